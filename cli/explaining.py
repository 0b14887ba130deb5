"""What a word of the output or of a job stands for, from the tables, the result classes and the schema themselves."""

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from cli.result_classes import ResultFigure, result_figures
from cli.standard_clauses import standard_clauses, standards_of_module
from cli.table_files import table_files
from cli.table_listing import row_lines
from cli.wrapping import wrapped
from loadhistories.tables import read_table
from loadhistories.validation import InputError

MOST = 12
_SHORTEST_CLAUSE = 3


@dataclass(frozen=True)
class Entry:
    """One thing that a word stands for: what kind of thing, its names, and what gives the lines to be said of it."""

    kind: str
    names: tuple[str, ...]
    lines: Callable[[], Iterable[str]]


def explained(term: str) -> str:
    """Everything that a term stands for, as text of 80 columns.

    Parameters
    ----------
    term : str
        Id of a check, code of a warning, symbol, key of a job, row of a table, or part of a clause.

    Raises
    ------
    InputError
        Nothing of that name; the nearest ones are given.
    """
    wanted = _folded(term)
    if not wanted:
        raise InputError("give what is to be explained, as in griplife explain slip-ultimate")
    entries = list(_entries())
    alike = [entry for entry in entries if wanted in map(_folded, entry.names)]
    # Where capitals tell names apart, such as the symbol b from class B, the one as written is meant.
    found = [entry for entry in alike if term.strip() in entry.names] or alike
    if not found:
        found = list(_under_clause(term))
    if not found:
        raise InputError(_unknown(term, entries))
    lines: list[str] = []
    for entry in found[:MOST]:
        lines += [*wrapped(f"{entry.kind} {entry.names[0]}"), *entry.lines(), ""]
    if len(found) > MOST:
        lines += wrapped(f"{len(found) - MOST} more; griplife tables {term} lists rows of tables")
    return "\n".join(lines).rstrip() + "\n"


def _entries() -> Iterator[Entry]:
    yield from _checks_and_warnings()
    yield from _symbols()
    yield from _keys()
    yield from _rows()


def _checks_and_warnings() -> Iterator[Entry]:
    """Checks with the clauses of every standard, warnings with what stands behind them."""
    for row in read_table(__package__, "words").values():
        if row["kind"] == "check":
            clauses = [item for item in standard_clauses() if item.what in row.get("clauses", ())]
            said = [f"{', '.join(item.standards)}: {item.clause}" for item in clauses]
        else:
            tables = [table for table in table_files() if table.kind == "warnings" and row["code"] in table.rows]
            said = [
                f"{', '.join(table.standards) or 'all standards'}: {table.rows[row['code']]['clause']}"
                for table in tables
            ] or ["common practice, no source"]
        yield Entry(row["kind"], (row["code"],), partial(_said_of, row["says"], said))


def _said_of(says: str, clauses: Sequence[str]) -> list[str]:
    return [*wrapped(f"  {says}", later="  "), *_listed(clauses)]


def _symbols() -> Iterator[Entry]:
    """One entry for each symbol, with every result class that prints it."""
    by_symbol: dict[str, list[ResultFigure]] = {}
    for item in result_figures():
        by_symbol.setdefault(item.figure.symbol, []).append(item)
    for symbol, items in by_symbol.items():
        yield Entry("symbol", (symbol, symbol.replace(",", "")), partial(_lines_of_symbols, items))


def _lines_of_symbols(items: Sequence[ResultFigure]) -> list[str]:
    """What each of several figures of one symbol is, alike ones once."""
    told = dict.fromkeys(tuple(_symbol_lines(item)) for item in items)
    return [line for lines in told for line in lines]


def _symbol_lines(item: ResultFigure) -> list[str]:
    figure, whose = item.figure, standards_of_module(item.module)
    unit = f" [{figure.unit}]" if figure.unit else ""
    said = f"{figure.title or item.what}{unit}"
    formula = f"; = {figure.formula}" if figure.formula else ""
    clause = f"; {figure.clause}" if figure.clause else ""
    where = f" ({', '.join(whose)})" if whose and not figure.clause else ""
    what = f"    in: {item.what}" if figure.title else ""
    text = f"  - {said}{formula}{clause}{where}"
    return [*wrapped(text, later="      "), *wrapped(what, later="        ")]


def _keys() -> Iterator[Entry]:
    """Keys of a job file, one entry for each name with the tables that take it."""
    from cli.schema.job import key_descriptions

    by_name: dict[str, list[str]] = {}
    for path, description in key_descriptions():
        by_name.setdefault(path.rpartition(".")[2], []).append(f"{path}: {description}")
    for name, said in by_name.items():
        paths = tuple(text.partition(": ")[0] for text in said)
        yield Entry("key of a job", (name, *paths), partial(_listed, said))


def _rows() -> Iterator[Entry]:
    for table in table_files():
        if table.kind == "practice":
            continue
        for key in table.rows:
            yield Entry("row of a table", (key,), partial(row_lines, table, key))


def _under_clause(term: str) -> Iterator[Entry]:
    """What stands under the clauses that hold a term as a whole word."""
    if len(term.strip()) < _SHORTEST_CLAUSE or not any(letter.isdigit() for letter in term):
        return
    whole = re.compile(rf"(?<![\w.]){re.escape(term.strip())}(?![\w])(?!\.\d)", re.IGNORECASE)
    found: dict[str, list[str]] = {}
    for item in standard_clauses():
        if whole.search(item.clause):
            found.setdefault(item.clause, []).append(item.what)
    for item in result_figures():
        if whole.search(item.figure.clause):
            found.setdefault(item.figure.clause, []).append(f"{item.figure.symbol}, {item.figure.title or item.what}")
    for table in table_files():
        for key, row in table.rows.items():
            text = row.get("clause", "") if table.kind == "warnings" else row["source"]
            if whole.search(text):
                found.setdefault(text, []).append(f"{key} of {table.title!r}")
    for clause, said in found.items():
        yield Entry("clause", (clause,), partial(_listed, list(dict.fromkeys(said))[:MOST]))


def _unknown(term: str, entries: Iterable[Entry]) -> str:
    import difflib

    names = {_folded(name): name for entry in entries for name in entry.names}
    near = difflib.get_close_matches(_folded(term), names, n=4, cutoff=0.6)
    near += [name for name in names if _folded(term) in name and name not in near][: max(0, 4 - len(near))]
    hint = f"did you mean {', '.join(repr(names[name]) for name in near)}?" if near else ""
    return (
        f"{term!r} is no check, warning, symbol, key of a job, row of a table or clause here; "
        f"{hint or 'griplife tables WORDS searches the tables'}"
    )


def _folded(text: str) -> str:
    """A term as it is compared: the numbers of details and names of plates do not matter to the id of a check."""
    return re.sub(r":\d+", "", text.strip()).casefold()


def _listed(texts: Iterable[str]) -> list[str]:
    return [line for text in texts for line in wrapped(f"  - {text}", later="      ")]
