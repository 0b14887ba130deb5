"""What a note consists of: sections of blocks, blocks of runs; no print and no contract is known here.

Texts are plain: a print escapes them in its own way, so nothing in a job or record is ever obeyed as markup.
"""

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from cli.notes.formula import Formula

# Marks that turn the direction of writing, hide letters or break lines; shown by their code instead.
_UNSEEN = {"Cc", "Cf", "Cs", "Zl", "Zp"}
_SPACES = {"\t", "\n", "\r"}
_SOFT_HYPHEN = "\u00ad"


@dataclass(frozen=True)
class Styled:
    """Words that stand out ("bold") or stand back ("quiet"), or are read letter by letter ("code")."""

    words: str
    style: str


@dataclass(frozen=True)
class State:
    """One of the words "holds", "fails" and "not judged"."""

    word: str


@dataclass(frozen=True)
class Bar:
    """A utilisation as a bar with the limit at 1; None draws nothing."""

    value: float | None


Run = str | Styled | State | Bar | Formula
Runs = tuple[Run, ...]


@dataclass(frozen=True)
class Paragraph:
    """Runs in a line; `role` is "", "verdict", "draft" or "clause" (stays with what follows)."""

    runs: Runs
    role: str = ""


@dataclass(frozen=True)
class Bullets:
    """Items with a dot, or numbered."""

    items: tuple[Runs, ...]
    numbered: bool = False


@dataclass(frozen=True)
class Row:
    """A row of a table; `style` is "", "group" (one cell over all columns), "whole" (first cell empty, the second
    over the rest) or "governing"."""

    cells: tuple[Runs, ...]
    style: str = ""


@dataclass(frozen=True)
class Table:
    """A table.

    Attributes
    ----------
    head : tuple of Runs
        () for none.
    align : str
        A letter for each column: l, r for numbers, s for a word or two, w for sentences, h for row headings.
    kind : str
        "" or "facts" (names on the left), "title", "sign".
    may_break : bool
        Whether it may go on over several pages; its head is then repeated.
    """

    head: tuple[Runs, ...]
    rows: tuple[Row, ...]
    align: str
    caption: str = ""
    kind: str = ""
    may_break: bool = False


@dataclass(frozen=True)
class WorkingLine:
    """One number: symbol = formula = values = result. `chain` holds all but the result."""

    title: str
    clause: str
    chain: tuple[Formula, ...]
    result: str
    given: bool


@dataclass(frozen=True)
class Working:
    """The lines of a working in their order."""

    lines: tuple[WorkingLine, ...]


@dataclass(frozen=True)
class Picture:
    """A drawing as SVG with a text for those who cannot see it."""

    svg: str
    words: str
    caption: str


@dataclass(frozen=True)
class Heading:
    """Heading of a block; `level` counts from 3 (2 is a section)."""

    runs: Runs
    level: int = 3


@dataclass(frozen=True)
class Box:
    """Blocks that belong together, such as a check; `frame` is "block", "warning" or "keep" (no frame)."""

    blocks: tuple
    frame: str = "block"


Block = Paragraph | Bullets | Table | Working | Picture | Heading | Box


@dataclass(frozen=True)
class Section:
    """A numbered part of the note."""

    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Note:
    """A whole note.

    Attributes
    ----------
    title, status : str
        The status is what stands at its head and foot, such as "NOT CHECKED".
    head : tuple of blocks
        Title block and signatures.
    foot : str
        Foot of every page.
    """

    title: str
    status: str
    head: tuple[Block, ...]
    sections: tuple[Section, ...]
    foot: str


def visible(text: str) -> str:
    """The text with every control letter and every mark that turns the direction of writing shown by its code.

    Examples
    --------
    >>> visible("weld\\u202etoe")
    'weld⟨U+202E⟩toe'
    """
    return "".join(map(_shown, text)) if any(_hides(letter) for letter in text) else text


def all_visible(value):
    """Plain values with every text in them made visible; keys stay."""
    if isinstance(value, str):
        return visible(value)
    if isinstance(value, dict):
        return {key: all_visible(item) for key, item in value.items()}
    if isinstance(value, list):
        return value if value and isinstance(value[0], float) else [all_visible(item) for item in value]
    return value


def blocks_of(note: Note) -> Iterator[Block]:
    """Every block of a note in its order; those in boxes after the box."""
    yield from _walked(note.head)
    for section in note.sections:
        yield from _walked(section.blocks)


def bold(words: str) -> Styled:
    """Words that stand out."""
    return Styled(words, "bold")


def quiet(words: str) -> Styled:
    """Words that stand back."""
    return Styled(words, "quiet")


def line(*runs: Run | None, role: str = "") -> Paragraph:
    """A paragraph of those runs that are there."""
    return Paragraph(tuple(run for run in runs if run not in (None, "")), role)


def cells(*contents: Run | Runs | None) -> tuple[Runs, ...]:
    """The cells of a row; a cell is one run, several, or nothing."""
    return tuple(_runs(content) for content in contents)


def row(*contents: Run | Runs | None, style: str = "") -> Row:
    """A row of a table, its cells as in `cells`."""
    return Row(cells(*contents), style)


def table(head: tuple[str, ...], rows: list[Row], align: str, **further) -> list[Table]:
    """The table in a list, or an empty list where it has no rows."""
    return [Table(cells(*head), tuple(rows), align, **further)] if rows else []


def facts(rows: list[Row], **further) -> list[Table]:
    """A table of names on the left and what is said of them on the right."""
    return [Table((), tuple(rows), "hw", kind="facts", **further)] if rows else []


def bullets(items, *, numbered: bool = False) -> list[Bullets]:
    """A list of texts, or nothing where there is none."""
    return [Bullets(tuple(_runs(item) for item in items), numbered)] if items else []


def _runs(content: Run | Runs | None) -> Runs:
    if content is None or content == "":
        return ()
    return content if isinstance(content, tuple) else (content,)


def _walked(blocks) -> Iterator[Block]:
    for block in blocks:
        yield block
        if isinstance(block, Box):
            yield from _walked(block.blocks)


def _hides(letter: str) -> bool:
    return not letter.isprintable() and unicodedata.category(letter) in _UNSEEN


def _shown(letter: str) -> str:
    if letter in _SPACES:
        return " "
    if letter == _SOFT_HYPHEN:
        return ""
    return f"⟨U+{ord(letter):04X}⟩" if _hides(letter) else letter
