"""The listings of `griplife tables`: kinds, rows of tables, and what is not yet confirmed, as text of 80 columns."""

import numbers
import textwrap
from collections.abc import Iterator, Sequence

from cli.symbols import plain
from cli.table_files import TableFile, kinds, tables_of
from cli.wrapping import WIDTH, wrapped
from loadhistories.tables import unconfirmed
from loadhistories.validation import InputError, nearest

MARK = "m"
MARKED = f"{MARK}: recalled, not read in its source; compare with the source before relying on it."
_UNITS = ("mm_per_s", "mm", "mm2", "mm3", "mm4", "in", "in2", "MPa", "ksi", "kN", "kip", "years", "cycles")
_LONGEST_CELL, _LONGEST_KEY = 18, 26
_MARK_WIDTH = 7
_GAP = 2


def kinds_text(standard: str = "") -> str:
    """The kinds of tables with the number of their rows and of those not yet confirmed."""
    lines = [f"{'kind':<12}{'tables':>7}{'rows':>6}{'not yet':>11}   what", f"{'':<25}{'confirmed':>11}", "-" * WIDTH]
    for kind, row in kinds().items():
        tables = tables_of(kind=kind, standard=standard)
        if tables:
            rows, open_ones = (sum(len(part) for part in parts) for parts in _counted(tables))
            head = f"{kind:<12}{len(tables):>7}{rows:>6}{open_ones:>11}   "
            lines += textwrap.wrap(row["what"], WIDTH, initial_indent=head, subsequent_indent=" " * len(head))
    lines += ["", *textwrap.wrap(
        "griplife tables KIND prints the tables of a kind, griplife tables WORDS the rows in which all words occur. "
        "Detail categories: griplife details.", WIDTH,
    )]  # fmt: skip
    return "\n".join(lines) + "\n"


def tables_text(words: Sequence[str], standard: str = "") -> str:
    """The rows of the tables of a kind, or of all, in which every word occurs.

    Parameters
    ----------
    words : sequence of str
        The first may be a kind of tables.

    Raises
    ------
    InputError
        Unknown standard; words that nothing holds.
    """
    kind = words[0] if words and words[0] in kinds() else ""
    wanted = [word.casefold() for word in (words[1:] if kind else words)]
    lines: list[str] = []
    marked = False
    for table in tables_of(kind=kind, standard=standard):
        rows = {key: row for key, row in table.rows.items() if all(word in _text(table, key, row) for word in wanted)}
        if rows:
            lines += [*_table_lines(table, rows), ""]
            marked = marked or any(unconfirmed(row) for row in rows.values())
    if not lines:
        raise InputError(_nothing(words, kind, standard))
    return "\n".join([*lines, *(wrapped(MARKED) if marked else [])]).rstrip() + "\n"


def unconfirmed_text(standard: str = "") -> str:
    """Every value and rule that was recalled, the one first that would hurt most if it were wrong."""
    from cli.recalled_rules import recalled_rules

    tables = [table for table in tables_of(standard=standard) if table.unconfirmed]
    rules = recalled_rules(standard)
    rows = sum(len(table.unconfirmed) for table in tables)
    lines = wrapped(
        f"Recalled and not read in their source: {rows} rows of {len(tables)} tables, {len(rules)} rules. The order is "
        "that of how much a wrong value would hurt, the worst first; compare from the top."
    )
    lines += _group(1, "rules and formulas", "a wrong rule may be wrong by any amount, and no proportion bounds it")
    for clause, titles in rules.items():
        lines += wrapped(f"{clause}: {'; '.join(titles)}", "  ", "    ")
    number = 1
    for kind, row in kinds().items():
        of_kind = [table for table in tables if table.kind == kind]
        if of_kind:
            number += 1
            lines += _group(number, f"{kind}: {row['what']}", row["hurt"])
        for table in of_kind:
            lines += wrapped(f"{table.title}{_whose(table)}", "  ", "  ")
            for source, keys in _by_source(table.unconfirmed).items():
                lines += wrapped(f"{', '.join(keys)}: {source}", "    ", "      ")
    return "\n".join(lines) + "\n"


def row_lines(table: TableFile, key: str) -> list[str]:
    """One row of a table under the table's title."""
    return _table_lines(table, {key: table.rows[key]})


def _counted(tables) -> tuple[list, list]:
    return [table.rows for table in tables], [table.unconfirmed for table in tables]


def _group(number: int, name: str, hurt: str) -> list[str]:
    return ["", *wrapped(f"{number}. {name}"), *wrapped(f"({hurt})", "   ", "   ")]


def _by_source(rows: dict[str, dict]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for key, row in rows.items():
        found.setdefault(row["source"], []).append(key)
    return found


def _whose(table: TableFile) -> str:
    return f" [{', '.join(table.standards) if table.standards else 'all standards'}]"


def _text(table: TableFile, key: str, row: dict) -> str:
    return " ".join([table.title, table.name, key, *map(str, row.values())]).casefold()


def _nothing(words: Sequence[str], kind: str, standard: str) -> str:
    asked = " ".join(words[1:] if kind else words)
    guess = "" if kind else nearest(words[0], kinds())
    where = f" of {standard}" if standard else ""
    known = ", ".join(dict.fromkeys(table.kind for table in tables_of(standard=standard)))
    if kind and not asked:
        return f"there is no table of kind {kind!r}{where}"
    hint = f"; did you mean griplife tables {guess}?" if guess else "; fewer or shorter words find more"
    return f"no row of a table{where} holds {asked!r}{hint}; kinds: {known}"


def _table_lines(table: TableFile, rows: dict[str, dict]) -> list[str]:
    sources = {source: number for number, source in enumerate(_by_source(rows), start=1)}
    columns, others = _fitting(rows, [name for name in table.columns if any(name in row for row in rows.values())])
    first = _first(rows)
    lines = wrapped(f"{table.title}{_whose(table)}")
    lines += [" " * first + line for line in _heads(columns)]
    for key, row in rows.items():
        mark = f"{MARK if unconfirmed(row) else ' '} [{sources[row['source']]}]"
        shown = key
        if len(key) + _GAP > first:
            lines.append(key)
            shown = ""
        for number, cells in enumerate(_bands(row, columns)):
            body = "".join(column.cell(cell) for column, cell in zip(columns, cells, strict=True))
            tail = mark if number == 0 else ""
            lines.append(f"{shown if number == 0 else '':<{first}}{body}{tail}".rstrip())
        stated = [name for name in others if row.get(name, []) != []]
        short = [f"{_words(name)} {_shown(row[name])}" for name in stated if _is_short(row[name])]
        lines += wrapped("; ".join(short), "    ", "      ")
        for name in stated:
            if not _is_short(row[name]):
                lines += wrapped(f"{_words(name)}: {_shown(row[name])}", "    ", "      ")
    for source, number in sources.items():
        lines += wrapped(f"[{number}] {source}", "  ", "      ")
    return [plain(line) for line in lines]


def _first(rows: dict[str, dict]) -> int:
    """Width of the column of the keys; longer keys stand on a line of their own."""
    return min(max(map(len, rows)), _LONGEST_KEY) + _GAP


class _Column:
    """One column of a table: its cells as text, so aligned that decimal points stand below each other."""

    def __init__(self, name: str, rows: dict[str, dict]):
        values = [item for row in rows.values() if name in row for item in _listed(row[name])]
        self.name, self.head = name, _head_words(name)
        self.numeric = all(_is_number(value) for value in values)
        texts = [_shown(value) for value in values]
        self._after = max((len(text) - len(text.partition(".")[0]) for text in texts), default=0)
        before = max((len(text.partition(".")[0]) for text in texts), default=0)
        needed = before + self._after if self.numeric else max(map(len, texts))
        self.width = max(needed, *map(len, self.head)) + _GAP

    def cell(self, value) -> str:
        """One cell, as wide as the column."""
        text = _shown(value)
        if not self.numeric:
            return f"{text:<{self.width}}"
        after = len(text) - len(text.partition(".")[0])
        return f"{text + ' ' * (self._after - after):>{self.width - _GAP}}{'':{_GAP}}"

    def title(self, level: int, height: int) -> str:
        """One of the lines of the head, counted from above."""
        place = level - height + len(self.head)
        word = self.head[place] if place >= 0 else ""
        return f"{word:>{self.width - _GAP}}{'':{_GAP}}" if self.numeric else f"{word:<{self.width}}"


def _fitting(rows: dict[str, dict], names: Sequence[str]) -> tuple[list[_Column], list[str]]:
    """Columns that stand side by side, and those whose cells are written below their row."""
    room = WIDTH - _first(rows) - _MARK_WIDTH
    columns, others = [], []
    for name in names:
        listed = any(isinstance(row.get(name), list) for row in rows.values())
        column = _Column(name, rows)
        if column.width - _GAP <= _LONGEST_CELL and column.width <= room and (column.numeric or not listed):
            room -= column.width
            columns.append(column)
        else:
            others.append(name)
    return columns, others


def _bands(row: dict, columns: Sequence[_Column]) -> Iterator[list]:
    """The cells of a row; lists of one length are bands, each on a line of its own."""
    given = [row.get(column.name) for column in columns]
    longest = max((len(value) for value in given if isinstance(value, list)), default=1)
    for band in range(longest):
        yield [
            (value[band] if band < len(value) else None) if isinstance(value, list) else (value if band == 0 else None)
            for value in given
        ]


def _heads(columns: Sequence[_Column]) -> list[str]:
    height = max((len(column.head) for column in columns), default=0)
    return ["".join(column.title(level, height) for column in columns).rstrip() for level in range(height)]


def _head_words(name: str) -> list[str]:
    """The words of a column's name, and its unit in brackets."""
    for unit in _UNITS:
        if name.endswith(f"_{unit}"):
            return [*name.removesuffix(f"_{unit}").split("_"), f"[{unit.replace('_per_', '/')}]"]
    return [name] if name.rpartition("_")[2].isdigit() else name.split("_")


def _words(name: str) -> str:
    return " ".join(_head_words(name))


def _is_short(value) -> bool:
    return len(_shown(value)) <= _LONGEST_CELL


def _listed(value) -> list:
    return value if isinstance(value, list) else [value]


def _is_number(value) -> bool:
    return isinstance(value, numbers.Real) and not isinstance(value, bool)


def _shown(value) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value) if 1e-4 <= abs(value) < 1e7 or value == 0 else f"{value:.6g}"
    return ", ".join(_shown(item) for item in value) if isinstance(value, list) else str(value)
