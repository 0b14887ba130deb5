"""Prints a note as one HTML page that asks for nothing from outside."""

from functools import cache
from html import escape
from importlib.resources import files
from itertools import groupby

from cli.notes.formula import Formula
from cli.notes.mathml import mathml
from cli.notes.model import (
    Bar,
    Box,
    Bullets,
    Heading,
    Note,
    Paragraph,
    Picture,
    Row,
    Run,
    Runs,
    Section,
    State,
    Styled,
    Table,
    Working,
    WorkingLine,
)

# The page runs no script and loads nothing, whatever should ever stand in it.
NOTHING_ELSE = "default-src 'none'; style-src 'unsafe-inline'"
_CLASSES = {"r": ' class="n"', "w": ' class="long"'}
_STATES = {"not judged": "unjudged"}


def html_page(note: Note) -> str:
    """The note as an HTML page; the same note gives the same text."""
    head, body = "".join(map(_block, note.head)), "".join(map(_section, note.sections))
    title = escape(note.title)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{NOTHING_ELSE}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}: calculation note ({escape(note.status)})</title>\n"
        f"<style>\n{_style()}\n{_page_foot(note.foot)}\n</style>\n</head>\n<body>\n"
        f"<header>\n<h1>{title}</h1>\n{head}</header>\n<main>\n{body}"
        f'<p class="end">End of note. {escape(note.status)}</p>\n</main>\n</body>\n</html>\n'
    )


def bar_svg(value: float | None) -> str:
    """A utilisation as a bar from 0 to 1.5 with the limit at 1; empty for none, cut with an arrow beyond."""
    if value is None:
        return ""
    length = 100.0 * min(max(value, 0.0), 1.5)
    fill = "#4d7ea8" if value <= 1.0 else "#a5281b"
    beyond = f'<path d="M150 1l8 6-8 6z" fill="{fill}"/>' if value > 1.5 else ""
    return (
        '<svg class="bar" viewBox="0 0 160 14" width="160" height="14" aria-hidden="true">'
        '<rect x="0" y="3" width="150" height="8" fill="#e6e6e6"/>'
        f'<rect x="0" y="3" width="{length:.1f}" height="8" fill="{fill}"/>{beyond}'
        '<path d="M100 0v14" stroke="#000" stroke-width="2"/></svg>'
    )


@cache
def _style() -> str:
    return files("cli.notes").joinpath("note.css").read_text(encoding="utf-8")


def _page_foot(foot: str) -> str:
    """Foot of every printed page. In a style sheet only plain letters are safe, all others are written by code."""
    text = "".join(letter if letter.isascii() and letter.isalnum() else f"\\{ord(letter):06x}" for letter in foot)
    look = "font: 8pt sans-serif; color: #4c535b;"
    return (
        f'@page {{ @bottom-left {{ content: "{text}"; {look} }}\n'
        f'  @bottom-right {{ content: "page " counter(page) " of " counter(pages); {look} }} }}'
    )


def _section(section: Section) -> str:
    return f"<section>\n<h2>{escape(section.title)}</h2>\n{''.join(map(_block, section.blocks))}</section>\n"


def _block(block) -> str:
    match block:
        case Paragraph(runs=runs, role=role):
            return f"<p{_class(role)}>{_runs(runs)}</p>\n"
        case Bullets(items=items, numbered=numbered):
            tag = "ol" if numbered else "ul"
            return f"<{tag}>{''.join(f'<li>{_runs(item)}</li>' for item in items)}</{tag}>\n"
        case Heading(runs=runs, level=level):
            return f"<h{level}>{_runs(runs)}</h{level}>\n"
        case Table():
            return _table(block)
        case Working(lines=lines):
            return _working(lines)
        case Picture(svg=svg, caption=caption):
            return f"<figure>\n{svg}\n<figcaption>{escape(caption)}</figcaption>\n</figure>\n"
        case Box(blocks=blocks, frame=frame):
            return f'<div class="{frame}">\n{"".join(map(_block, blocks))}</div>\n'
    raise TypeError(f"{type(block).__name__} is no block of a note")


def _class(role: str) -> str:
    return f' class="{role}"' if role else ""


def _runs(runs: Runs) -> str:
    return "".join(map(_run, runs))


def _run(run: Run) -> str:
    match run:
        case str():
            return escape(run)
        case Styled(words=words, style="bold"):
            return f"<b>{escape(words)}</b>"
        case Styled(words=words, style=style):
            return f'<span class="{style}">{escape(words)}</span>'
        case State(word=word):
            return f'<span class="state {_STATES.get(word, word)}">{escape(word)}</span>'
        case Bar(value=value):
            return bar_svg(value)
        case Formula():
            return mathml(run)
    raise TypeError(f"{type(run).__name__} is no run of a note")


def _table(table: Table) -> str:
    classes = " ".join(part for part in (table.kind, "may-break" if table.may_break else "") if part)
    caption = f"<caption>{escape(table.caption)}</caption>\n" if table.caption else ""
    head = ""
    if table.head:
        named = zip(table.head, table.align, strict=True)
        found = "".join(f'<th scope="col"{_CLASSES.get(side, "")}>{_runs(cell)}</th>' for cell, side in named)
        head = f"<thead><tr>{found}</tr></thead>\n"
    rows = "".join(_row(row, table.align) for row in table.rows)
    return f'<div class="wide"><table{_class(classes)}>\n{caption}{head}<tbody>\n{rows}</tbody>\n</table></div>\n'


def _row(row: Row, align: str) -> str:
    if row.style == "group":
        cell = _runs(row.cells[0])
        return f'<tr class="group"><th scope="rowgroup" colspan="{len(align)}">{cell}</th></tr>\n'
    if row.style == "whole":
        return f'<tr><td></td><td colspan="{len(align) - 1}">{_runs(row.cells[1])}</td></tr>\n'
    cells = "".join(_cell(cell, side) for cell, side in zip(row.cells, align, strict=True))
    return f"<tr{_class(row.style)}>{cells}</tr>\n"


def _cell(cell: Runs, side: str) -> str:
    if side == "h":
        return f'<th scope="row">{_runs(cell)}</th>'
    return f"<td{_CLASSES.get(side, '')}>{_runs(cell)}</td>"


def _working(lines: tuple[WorkingLine, ...]) -> str:
    """A table; neighbouring numbers without a formula stand together in two columns."""
    rows = []
    for given, group in groupby(lines, key=lambda line: line.given):
        if given:
            inside = "".join(f"<div>{_given(line)}</div>" for line in group)
            rows.append(f'<tr><td colspan="3"><div class="given">{inside}</div></td></tr>\n')
        else:
            rows += [
                f'<tr><td>{escape(line.title)}</td><td class="formula">{_chain(line)}</td>'
                f"<td>{escape(line.clause)}</td></tr>\n"
                for line in group
            ]
    head = "".join(f'<th scope="col">{word}</th>' for word in ("quantity", "working", "clause"))
    return (
        f'<div class="wide"><table class="working may-break">\n<thead><tr>{head}</tr></thead>\n<tbody>\n'
        f"{''.join(rows)}</tbody>\n</table></div>\n"
    )


def _given(line: WorkingLine) -> str:
    clause = f' <span class="quiet">({escape(line.clause)})</span>' if line.clause else ""
    return f'{escape(line.title)} <span class="formula">{_chain(line)}</span>{clause}'


def _chain(line: WorkingLine) -> str:
    return " = ".join([*map(mathml, line.chain), f'<b class="result">{escape(line.result)}</b>'])
