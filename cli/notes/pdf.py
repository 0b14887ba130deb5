"""Prints a note as PDF through typst, which brings its own fonts; the note goes in as data and never as markup."""

import json
import os
import re
from datetime import UTC, datetime
from importlib.resources import files
from importlib.util import find_spec

from cli.notes.formula import Fenced, Formula, Fraction, Indexed, Leaf, Power, Root, Tree
from cli.notes.formula import Row as Side
from cli.notes.model import (
    Bar,
    Box,
    Bullets,
    Heading,
    Note,
    Paragraph,
    Picture,
    Run,
    Runs,
    State,
    Styled,
    Table,
    Working,
)
from cli.plots import font_folder
from loadhistories.validation import InputError

# Width of the text on the page; wider pictures are drawn smaller.
_TEXT_WIDTH = 500.0
_WIDTH = re.compile(r'<svg\b[^>]*?\bwidth="([0-9.]+)pt"')


def pdf_file(note: Note) -> bytes:
    """The note as a PDF file; the same note gives the same bytes.

    No clock is read: the file has a date only where SOURCE_DATE_EPOCH gives one.

    Raises
    ------
    InputError
        typst is not installed, or SOURCE_DATE_EPOCH is no number of seconds.
    """
    require_typst()
    import typst
    return typst.compile(
        files("cli.notes").joinpath("note.typ").read_bytes(),
        format="pdf",
        font_paths=[font_folder()],
        ignore_system_fonts=True,
        sys_inputs={"note": json.dumps(as_data(note, made_on()), ensure_ascii=False)},
    )


def require_typst() -> None:
    """Refuse where the package is not installed."""
    if find_spec("typst") is None:
        raise InputError(
            "a note as PDF needs the package typst; install it with pip install 'griplife[pdf]', or write the note "
            "as .html or .md"
        )


def made_on() -> tuple[int, int, int] | None:
    """Year, month and day that SOURCE_DATE_EPOCH names; None where it is not set."""
    text = os.environ.get("SOURCE_DATE_EPOCH", "")
    if not text:
        return None
    try:
        day = datetime.fromtimestamp(int(text), UTC)
    except (ValueError, OverflowError, OSError) as error:
        raise InputError(f"SOURCE_DATE_EPOCH must be a whole number of seconds since 1970, got {text!r}") from error
    return day.year, day.month, day.day


def as_data(note: Note, date: tuple[int, int, int] | None) -> dict:
    """The note as plain values for the template."""
    return {
        "title": note.title,
        "status": note.status,
        "foot": note.foot,
        "date": date,
        "head": [_block(block) for block in note.head],
        "sections": [
            {"title": section.title, "blocks": [_block(block) for block in section.blocks]}
            for section in note.sections
        ],
    }


def _block(block) -> dict:
    match block:
        case Paragraph(runs=runs, role=role):
            return {"kind": "paragraph", "runs": _runs(runs), "role": role}
        case Bullets(items=items, numbered=numbered):
            return {"kind": "bullets", "items": [_runs(item) for item in items], "numbered": numbered}
        case Heading(runs=runs, level=level):
            return {"kind": "heading", "runs": _runs(runs), "level": level}
        case Table():
            return {
                "kind": "table",
                "head": [_runs(cell) for cell in block.head],
                "rows": [[row.style, [_runs(cell) for cell in row.cells]] for row in block.rows],
                "align": block.align,
                "caption": block.caption,
                "look": block.kind,
                "breaks": block.may_break,
            }
        case Working(lines=lines):
            return {"kind": "working", "lines": [_line(line) for line in lines]}
        case Picture(svg=svg, words=words, caption=caption):
            found = _WIDTH.search(svg)
            width = min(float(found[1]), _TEXT_WIDTH) if found else _TEXT_WIDTH
            return {"kind": "picture", "svg": svg, "words": words, "caption": caption, "width": width}
        case Box(blocks=blocks, frame=frame):
            return {"kind": "box", "blocks": [_block(inner) for inner in blocks], "frame": frame}
    raise TypeError(f"{type(block).__name__} is no block of a note")


def _line(line) -> dict:
    chain = [_tree(part.tree) for part in line.chain]
    return {"title": line.title, "clause": line.clause, "chain": chain, "result": line.result, "given": line.given}


def _runs(runs: Runs) -> list:
    return [_run(run) for run in runs]


def _run(run: Run):
    match run:
        case str():
            return run
        case Styled(words=words, style=style):
            return [style, words]
        case State(word=word):
            return ["state", word]
        case Bar(value=value):
            return ["bar", value]
        case Formula(tree=tree):
            return ["formula", _tree(tree)]
    raise TypeError(f"{type(run).__name__} is no run of a note")


def _tree(tree: Tree) -> list:
    match tree:
        case Leaf(kind=kind, text=text):
            return [kind, text]
        case Indexed(base=base, index=index):
            return ["indexed", _tree(base), index]
        case Side(items=items):
            return ["row", [_tree(item) for item in items]]
        case Fraction(over=over, under=under):
            return ["fraction", _tree(over), _tree(under)]
        case Power(base=base, exponent=exponent):
            return ["power", _tree(base), _tree(exponent)]
        case Root(inside=inside):
            return ["root", _tree(inside)]
        case Fenced(opening=opening, inside=inside, closing=closing):
            return ["fenced", opening, _tree(inside), closing]
    raise TypeError(f"{type(tree).__name__} is no piece of a formula")
