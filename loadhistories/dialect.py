"""Dialect: how a logger's text file is laid out, found from its first lines or given by the user.

Nothing is skipped to make a file fit: the table starts at its first row of numbers, and from there on every
line must be such a row.
"""

import csv
import re
from collections import Counter
from dataclasses import dataclass

from loadhistories.units import base_unit_of
from loadhistories.validation import InputError

HEAD_BYTES = 262_144
DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", " ": "white space"}
GAP_WORDS = ("nan", "na", "n/a", "null", "none", "--", "---", "1.#qnan", "-1.#ind", "inf", "-inf", "#n/a")

_LOOKED_AT = 500
_DATE = r"(\d{4}[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/.]\d{1,2}[-/.](\d{4}|\d{2}))"
_CLOCK = r"\d{1,2}:\d{2}(:\d{2}([.,]\d+)?)?( ?[AaPp][Mm])?"
STAMP = re.compile(rf"({_DATE}([ T]+{_CLOCK})?|{_CLOCK})(Z|[+-]\d{{2}}:?\d{{2}})?")
_NUMBERS = {
    ".": re.compile(r"[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?"),
    ",": re.compile(r"[+-]?(\d+(,\d+)?|,\d+)([eE][+-]?\d+)?"),
}
_BRACKETED = re.compile(r"(.*?)\s*(?:\[([^\[\]]*)\]|\(([^()]*)\))")
_DIVIDED = re.compile(r"(.+?)\s+(?:/|in)\s+(\S+)")
_OTHER_UNITS = ("-", "°C", "°F", "K", "V", "mV", "mV/V", "V/V", "A", "mA", "g", "m/s2", "m/s²", "m/s", "mm/s",
                "rpm", "1/min", "counts", "digit", "kg", "t", "W", "kW")  # fmt: skip
_UNIT_SPELLINGS = ("kN", "N", "MN", "kNm", "Nm", "MPa", "mm", "um/m", "kip", "ksi", "s", "ms", "Hz", "deg", "rad")


@dataclass(frozen=True)
class Dialect:
    """Layout of a text file.

    Attributes
    ----------
    delimiter : str
        A key of DELIMITERS; " " stands for any run of blanks and tabs.
    header_line, unit_line, first_line : int
        Lines, counted from 1, of the names, the units and the first row; 0 where there is no such line.
    offset : int
        Byte at which the first row starts.
    names : tuple of str
        One for each cell of a row; "" for an empty cell that ends every row.
    units : tuple of (str or None)
        As the file writes them, None where it states none.
    first_cells : tuple of str
        The first row.
    """

    encoding: str
    delimiter: str
    decimal: str
    header_line: int
    unit_line: int
    first_line: int
    offset: int
    names: tuple[str, ...]
    units: tuple[str | None, ...]
    first_cells: tuple[str, ...]

    def __str__(self) -> str:
        header = f"header in line {self.header_line}" if self.header_line else "no header"
        units = f", units in line {self.unit_line}" if self.unit_line else ""
        mark = "comma" if self.decimal == "," else "point"
        return f"text ({self.encoding}), {DELIMITERS[self.delimiter]} between cells, decimal {mark}, {header}{units}"


def sniff(
    head: bytes, path: str, *, whole: bool, delimiter: str | None = None, decimal: str | None = None,
    header_line: int | None = None, encoding: str | None = None, missing: tuple[str, ...] = (),
    names: tuple[str, ...] | None = None,
) -> Dialect:  # fmt: skip
    """The dialect of a text file from its first bytes; what is given is taken as given.

    Parameters
    ----------
    head : bytes
        The first HEAD_BYTES of the file, or all of it.
    whole : bool
        Whether `head` is the whole file.
    missing : tuple of str
        Texts that mark a gap; such cells count as cells of a row here.
    names : tuple of str, optional
        Of the columns; a header is then not looked for.

    Raises
    ------
    InputError
        Not a text file, no row of numbers, a header that does not fit the rows.
    """
    text, encoding = _decoded(head, path, whole, encoding)
    lines = text.split("\n")
    if whole and sum(bool(line.strip()) for line in lines) < 2:
        raise InputError(f"the file holds one line: a record needs a line of names and rows of numbers ({path})")
    words = {word.casefold() for word in (*GAP_WORDS, *missing)}
    if header_line is not None and not 1 <= header_line < len(lines):
        raise InputError(f"header_line must be a line before the first row, got {header_line} ({path})")
    delimiter, decimal, width, start = _table(lines, delimiter, decimal, header_line or 0, words, path)
    names_at, unit_at = -1, -1
    if header_line is not None:
        names_at = header_line - 1
        start, unit_at = _rows_below(lines, names_at, delimiter, decimal, words, path)
    elif names is None:
        names_at, unit_at = _header_above(lines, start, delimiter, decimal, width, path)
    first = cells_of(lines[start], delimiter)
    found, units = _named(lines, names_at, unit_at, delimiter, first, path)
    if names is not None:
        found = _renamed(found, names, path)
    offset = sum(len(line) + 1 for line in head.split(b"\n")[:start])
    return Dialect(
        encoding, delimiter, decimal, names_at + 1, unit_at + 1, start + 1, offset, found, units, tuple(first)
    )


def cells_of(line: str, delimiter: str) -> list[str]:
    """Cells of one line, without quotes and outer blanks."""
    if delimiter == " ":
        return line.split()
    return [cell.strip() for cell in next(csv.reader([line.rstrip("\r")], delimiter=delimiter), [""])]


def is_number(cell: str, decimal: str) -> bool:
    """Whether a cell reads as a finite decimal number with that decimal mark."""
    return bool(_NUMBERS[decimal].fullmatch(cell))


def split_unit(text: str) -> tuple[str, str | None]:
    """Name and unit of a header cell such as "Load [kN]", "Load (kN)" or "Load / kN"; what is no unit stays."""
    divided = _DIVIDED.fullmatch(text)
    if divided and _is_unit(divided[2]):
        return divided[1], _stated(divided[2])
    found = _BRACKETED.fullmatch(text)
    if not found or not found[1]:
        return text, None
    unit = found[2] if found[2] is not None else found[3]
    if found[2] is None and not _is_unit(unit):
        return text, None
    return found[1], _stated(unit)


def _stated(unit: str) -> str | None:
    return None if unit.strip() in ("", "-") else unit.strip()


def _is_unit(text: str) -> bool:
    if text in _OTHER_UNITS or text.casefold() in {word.casefold() for word in _UNIT_SPELLINGS}:
        return True
    try:
        return base_unit_of(text) is not None
    except InputError:
        return False


def _decoded(head: bytes, path: str, whole: bool, encoding: str | None) -> tuple[str, str]:
    """Text of the whole lines of the head, and the encoding it was read with."""
    if not head.strip():
        raise InputError(f"the file is empty ({path})")
    if head[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise InputError(f"the file is UTF-16 text: save it as UTF-8 ({path})")
    if b"\x00" in head:
        place = head[: head.index(b"\x00")].count(b"\n") + 1
        raise InputError(f"the file is binary, not text: line {place} holds a zero byte ({path})")
    if not whole:
        if b"\n" not in head:
            raise InputError(f"the first {len(head)} bytes hold no line end: this is not a logger's text ({path})")
        head = head[: head.rindex(b"\n") + 1]
    for name in (encoding,) if encoding else ("utf-8-sig", "cp1252"):
        try:
            return head.decode(name).lstrip("\ufeff"), name.removesuffix("-sig")
        except UnicodeDecodeError:
            continue
        except LookupError:
            raise InputError(f"encoding {encoding!r} is unknown; known are utf-8, cp1252, latin-1 ({path})") from None
    raise InputError(f"the text is neither utf-8 nor cp1252: give its encoding ({path})")


def _table(lines, delimiter, decimal, skipped, words, path) -> tuple[str, str, int, int]:
    """Delimiter, decimal mark, cells in a row and first row (from 0) of the table that explains most lines."""
    found = []
    for mark, point in _layouts(delimiter, decimal, path):
        widths = [_row_width(line, mark, point, words) for line in lines[skipped : skipped + _LOOKED_AT]]
        counts = Counter(width for width in widths if width)
        if counts:
            width, count = max(counts.items(), key=lambda item: (item[1], item[0]))
            start = widths.index(width) + skipped
            found.append((count, _fits(lines, start, mark, width), width, (mark, point, width, start)))
    if not found:
        if skipped:
            return _below_header(lines, skipped - 1, delimiter, decimal)
        raise InputError(
            f"no row of numbers is found in the first {min(len(lines), _LOOKED_AT)} lines: give delimiter, "
            f"decimal and header_line if this is a logger's text ({path})"
        )
    most = max(count for count, _, _, _ in found)
    return max(found, key=lambda item: (item[1] and item[2] > 1 and item[0] > 0.5 * most, item[0], *item[1:3]))[3]


def _layouts(delimiter: str | None, decimal: str | None, path: str) -> list[tuple[str, str]]:
    if delimiter is not None and delimiter not in DELIMITERS:
        raise InputError(f"delimiter {delimiter!r} is unknown; known: ',', ';', tab '\\t' and ' ' ({path})")
    if decimal not in (None, ".", ","):
        raise InputError(f"decimal must be '.' or ',', got {decimal!r} ({path})")
    marks = [delimiter] if delimiter else list(DELIMITERS)
    points = [decimal] if decimal else [".", ","]
    return [(mark, point) for mark in marks for point in points if mark != point or (delimiter and decimal)]


def _row_width(line: str, delimiter: str, decimal: str, words: set[str]) -> int:
    """Number of cells of a row of numbers, stamps and gaps; 0 for any other line."""
    if not line.strip() or line.lstrip().startswith("#"):
        return 0
    cells = cells_of(line, delimiter)
    valued = any(is_number(cell, decimal) or (cell and cell.casefold() in words) for cell in cells)
    return len(cells) if valued and all(_belongs(cell, decimal, words) for cell in cells) else 0


def _belongs(cell: str, decimal: str, words: set[str]) -> bool:
    return not cell or cell.casefold() in words or _is_data(cell, decimal)


def _is_data(cell: str, decimal: str) -> bool:
    return is_number(cell, decimal) or bool(STAMP.fullmatch(cell))


def _header_cells(line: str, delimiter: str, width: int) -> list[str]:
    """Cells of a line of names or units; in white space a name may hold single blanks."""
    bare = re.sub(r"^\s*#+\s*", "", line)
    if delimiter != " ":
        cells = cells_of(bare, delimiter)
        return cells[:-1] if len(cells) == width + 1 and not cells[-1] else cells
    for pattern in (r"\s{2,}|\t", r"\s+(?![\[(])", r"\s+"):
        cells = re.split(pattern, bare.strip())
        if len(cells) == width:
            return cells
    return bare.split()


def _above(lines: list[str], index: int) -> int:
    """The nearest line above that is not blank, from 0; -1 if there is none."""
    index -= 1
    while index >= 0 and not lines[index].strip(" \r#"):
        index -= 1
    return index


def _fits(lines: list[str], start: int, delimiter: str, width: int) -> bool:
    above = _above(lines, start)
    return above >= 0 and len(_header_cells(lines[above], delimiter, width)) in _allowed(lines, start, delimiter, width)


def _allowed(lines: list[str], start: int, delimiter: str, width: int) -> tuple[int, ...]:
    """Numbers of names that fit the rows: one less where every row ends in an empty cell."""
    ends_empty = width > 1 and not cells_of(lines[start], delimiter)[-1]
    return (width, width - 1) if ends_empty else (width,)


def _header_above(lines, start, delimiter, decimal, width, path) -> tuple[int, int]:
    """Lines (from 0) of the names and the units above the first row; -1 for none."""
    allowed = _allowed(lines, start, delimiter, width)
    fitting, above = [], _above(lines, start)
    while above >= 0 and len(_header_cells(lines[above], delimiter, width)) in allowed:
        fitting.append(above)
        above = _above(lines, above)
    if fitting and lines[fitting[0]].lstrip().startswith("#"):
        fitting = [index for index in fitting if _names_only(lines[index], delimiter, width, decimal)] or fitting
    if not fitting:
        if above >= 0:
            count = len(_header_cells(lines[above], delimiter, width))
            raise InputError(
                f"the line above the rows has {count} names and the rows have {width} cells: give header_line, or "
                f"names for the columns ({path}, line {above + 1})"
            )
        return -1, -1
    while len(fitting) > 2 and _is_unit_row(_header_cells(lines[fitting[1]], delimiter, width)):
        # Names stand above units: the line between units and rows tells how values were taken, no names.
        del fitting[0]
    unit_row = len(fitting) > 1 and _is_unit_row(_header_cells(lines[fitting[0]], delimiter, width))
    names_at = fitting[1] if unit_row else fitting[0]
    _require_no_numbers(_header_cells(lines[names_at], delimiter, width), names_at, decimal, path)
    return names_at, fitting[0] if unit_row else -1


def _rows_below(lines, names_at, delimiter, decimal, words, path) -> tuple[int, int]:
    """First row and unit line (from 0) below a given header; the first row may not be passed over."""
    unit_at = -1
    for index in range(names_at + 1, len(lines)):
        line = lines[index]
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        cells = cells_of(line, delimiter)
        if unit_at < 0 and not any(_is_data(cell, decimal) or cell.casefold() in words for cell in cells):
            unit_at = index
            continue
        texts = not any(_is_data(cell, decimal) or cell.casefold() in words for cell in cells)
        if texts and index == unit_at + 1 and _is_unit_row(cells_of(lines[unit_at], delimiter)):
            continue
        return index, unit_at
    raise InputError(f"no row of numbers is found below the header ({path}, line {names_at + 1})")


def _names_only(line: str, delimiter: str, width: int, decimal: str) -> bool:
    """Whether a line is no comment and holds no number, so that it is preferred to a comment as the header."""
    cells = _header_cells(line, delimiter, width)
    return not line.lstrip().startswith("#") and not any(_is_data(cell, decimal) for cell in cells)


def _below_header(lines, names_at: int, delimiter, decimal) -> tuple[str, str, int, int]:
    """Layout of a table of which some columns hold text, from its given header."""
    counts = {mark: len(cells_of(lines[names_at], mark)) for mark in DELIMITERS if mark != " "}
    mark = delimiter or max(counts, key=counts.__getitem__)
    cells = [cell for line in lines[names_at + 1 : names_at + _LOOKED_AT] for cell in cells_of(line, mark)]
    commas = sum(is_number(cell, ",") and not is_number(cell, ".") for cell in cells)
    return mark, decimal or ("," if commas and mark != "," else "."), 0, 0


def _renamed(found: tuple[str, ...], names: tuple[str, ...], path: str) -> tuple[str, ...]:
    """The names given by the user, for all columns but an empty end."""
    ends = () if found[-1] else ("",)
    if len(names) != len(found) - len(ends) or len(set(names)) != len(names) or not all(names):
        raise InputError(
            f"names must be {len(found) - len(ends)} different texts, one for each column, got {list(names)} ({path})"
        )
    return (*names, *ends)


def _is_unit_row(cells: list[str]) -> bool:
    bare = [cell.strip("[]() ") for cell in cells]
    return any(bare) and all(not cell or _is_unit(cell) for cell in bare)


def _require_no_numbers(cells: list[str], index: int, decimal: str, path: str) -> None:
    if not any(_is_data(cell, decimal) for cell in cells):
        return
    texts = [(i, cell) for i, cell in enumerate(cells, 1) if not _is_data(cell, decimal)]
    if not texts:
        raise InputError(f"numbers stand where the names are looked for: {cells} ({path}, line {index + 1})")
    number, text = texts[0]
    raise InputError(
        f"text {text!r} stands in a row of numbers; if the line holds names, give header_line = {index + 1} "
        f"({path}, line {index + 1}, column {number})"
    )


def _named(lines, names_at, unit_at, delimiter, first, path) -> tuple[tuple[str, ...], tuple[str | None, ...]]:
    """Names and unit texts of the cells of a row."""
    width = len(first)
    if names_at < 0:
        return tuple(f"column {i}" if first[i - 1] or i < width else "" for i in range(1, width + 1)), (None,) * width
    header = _header_cells(lines[names_at], delimiter, width)
    stated = _header_cells(lines[unit_at], delimiter, width) if unit_at >= 0 else []
    if len(header) == width - 1 and not first[-1]:
        header.append("")
    if len(header) != width:
        raise InputError(
            f"the header has {len(header)} names and the first row {width} cells ({path}, line {names_at + 1})"
        )
    names, units = [], []
    for number, text in enumerate(header, 1):
        name, unit = split_unit(text)
        if number <= len(stated):
            below = _stated(stated[number - 1].strip("[]() "))
            if unit and below and unit != below:
                raise InputError(
                    f"column {name!r} states {unit!r} and {below!r} as its unit ({path}, line {unit_at + 1})"
                )
            unit = unit or below
        empty_end = number == width and not first[-1]
        names.append(name or ("" if empty_end else f"column {number}"))
        units.append(unit)
    _require_distinct(names, path, names_at)
    return tuple(names), tuple(units)


def _require_distinct(names: list[str], path: str, names_at: int) -> None:
    twice = [name for name, count in Counter(names).items() if count > 1]
    if twice:
        numbers = [str(i) for i, name in enumerate(names, 1) if name == twice[0]]
        raise InputError(
            f"the name {twice[0]!r} stands over columns {' and '.join(numbers)}: names must differ; "
            f"give header_line if this is not the line of names ({path}, line {names_at + 1})"
        )

