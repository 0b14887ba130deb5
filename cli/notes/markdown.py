"""Prints a note as Markdown that also reads well as plain text; a letter that would be markup is escaped."""

import re

from cli.notes.formula import Formula
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
    State,
    Styled,
    Table,
    Working,
    WorkingLine,
)

# A line between two letters or digits is no markup.
_MARKUP = re.compile(r"([\\`*\[\]<>|~$&]|(?<![^\W_])_|_(?![^\W_]))")
# What would begin a list, a heading or a rule at the start of a line.
_BEGINS = re.compile(r"^(\s*)([-+=:#]|\d+(?=[.)]))")
_ADDRESS = re.compile(r"(?i)\b(https?|ftp|mailto|www)([:.])")


def markdown_text(note: Note) -> str:
    """The note as Markdown; the same note gives the same text."""
    parts = [f"# {escaped(note.title)}", *_blocks(note.head)]
    for number, section in enumerate(note.sections, start=1):
        parts += [f"## {number}  {escaped(section.title)}", *_blocks(section.blocks)]
    parts.append(f"End of note. {escaped(note.status)}")
    return "\n\n".join([*parts, escaped(note.foot)]) + "\n"


def escaped(text: str) -> str:
    """Text in which nothing is markup, link or HTML.

    Examples
    --------
    >>> escaped("a *b* <script>")
    'a \\\\*b\\\\* \\\\<script\\\\>'
    """
    return _ADDRESS.sub(r"\1\\\2", _MARKUP.sub(r"\\\1", text))


def _blocks(blocks) -> list[str]:
    found = []
    for block in blocks:
        match block:
            case Paragraph(runs=runs):
                found.append(_begun(_runs(runs)))
            case Bullets(items=items, numbered=numbered):
                found.append("\n".join(_item(number, item, numbered) for number, item in enumerate(items, start=1)))
            case Heading(runs=runs, level=level):
                found.append(f"{'#' * level} {_runs(runs)}")
            case Table():
                found += [f"**{escaped(block.caption)}**"] * bool(block.caption) + [_table(block)]
            case Working(lines=lines):
                found.append("\n".join(map(_line, lines)))
            case Picture(words=words, caption=caption):
                found.append(f"\\[Picture: {escaped(words)}\\]\n\n{escaped(caption)}")
            case Box(blocks=inner):
                found += _blocks(inner)
            case _:
                raise TypeError(f"{type(block).__name__} is no block of a note")
    return found


def _item(number: int, item: Runs, numbered: bool) -> str:
    text = _begun(_runs(item))
    return f"{number}. {text}" if numbered else f"- {text}"


def _begun(text: str) -> str:
    """A line that begins with nothing that would be a list, a heading or a rule."""
    return _BEGINS.sub(lambda found: f"{found[1]}{_before(found[2])}", text)


def _before(begin: str) -> str:
    return f"{begin}\\" if begin.isdigit() else f"\\{begin}"


def _runs(runs: Runs) -> str:
    return "".join(map(_run, runs)).strip()


def _run(run: Run) -> str:
    match run:
        case str():
            return escaped(run)
        case Styled(words=words, style="bold"):
            return f"**{escaped(words)}**"
        case Styled(words=words):
            return escaped(words)
        case State(word=word):
            return f"**{escaped(word)}**"
        case Bar():
            return ""
        case Formula(text=text):
            return escaped(text)
    raise TypeError(f"{type(run).__name__} is no run of a note")


def _table(table: Table) -> str:
    """A table; one without a head gets an empty one, which Markdown asks for."""
    columns = len(table.align)
    head = [_runs(cell) for cell in table.head] or [""] * columns
    rule = ["---:" if side == "r" else "---" for side in table.align]
    return "\n".join(map(_joined, [head, rule, *(_row(row, columns) for row in table.rows)]))


def _row(row: Row, columns: int) -> list[str]:
    if row.style == "group":
        return [f"**{_runs(row.cells[0])}**"] + [""] * (columns - 1)
    return [_runs(cell) for cell in row.cells] + [""] * (columns - len(row.cells))


def _joined(cells: list[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _line(line: WorkingLine) -> str:
    chain = " = ".join([*(escaped(part.text) for part in line.chain), f"**{escaped(line.result)}**"])
    title = f"{escaped(line.title)}: " if line.title else ""
    return f"- {title}{chain}" + (f" ({escaped(line.clause)})" if line.clause else "")
