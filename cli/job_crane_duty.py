"""The duty of [load.crane]: rows of working cycles from the job file, from a table beside it, or from a crane class."""

import csv
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cli.job_crane_values import weight
from cli.keys import Keys
from loadhistories.crane_class import SPECTRA, lifts_of_class
from loadhistories.crane_passages import RETURNS, Handling
from loadhistories.dialect import is_number
from loadhistories.history import Provenance
from loadhistories.occurrence import CountInLife, CountPerHour, CountPerPeriod, Occurrence, repeats
from loadhistories.small_files import content_of
from loadhistories.tables import row_of
from loadhistories.validation import InputError

# More histories than this would make a note that nobody reads.
MOST_ROWS = 40
ROW_KEYS = ("name", "hook_load", "crab", "crab_back", "from", "to", "lifts", "returns")
SAME_BACK = "where no crab_back is given, the hook stands on the way back where it stood on the way out"
EMPTY_BACK = "where no returns is given, the crane travels back empty over the same way"
_PER = ("life", "year", "week", "day")


@dataclass(frozen=True, eq=False)
class DutyRow:
    """One kind of working cycle.

    Attributes
    ----------
    hook_load : float
        [N]
    out, back : float
        Distance of the hook from this rail on both ways. [mm]
    start, end : float
        Place of the crane's middle. [mm]
    occurrence : Occurrence
        Of the lifts.
    together : float
        Share of the lifts that a second crane makes beside it.
    second : Handling or None
        What the second crane does then.
    working : tuple
        Result dataclasses that show where the row comes from.
    place : str
        Where it stands, for refusals.
    """

    name: str
    hook_load: float
    out: float
    back: float
    start: float
    end: float
    returns: str
    occurrence: Occurrence
    together: float
    second: Handling | None
    working: tuple
    place: str


@dataclass(frozen=True, eq=False)
class CraneDuty:
    """All rows, and the file they come from."""

    rows: tuple[DutyRow, ...]
    files: tuple[Provenance, ...] = ()


def read_duty(
    keys: Keys,
    folder: Path,
    design_life: float | None,
    assumptions: list[str],
    *,
    rated_load: float | None,
    second: bool,
) -> CraneDuty | None:
    """The duty of a crane; None where something in it was refused."""
    before = len(keys.problems)
    files: tuple[Provenance, ...] = ()
    if "class" in keys and "duty" in keys:
        keys.raw("duty")
        keys.note("class and duty are both given; give one of them", "class")
    life = design_life or 30_000_000.0
    if "class" in keys:
        inner = keys.table_of("class")
        tables = [] if inner is None else [inner]
        rows = [None] if inner is None else _rows_of_class(inner, life, rated_load, assumptions)
    elif isinstance(keys.table.get("duty"), dict):
        tables, files = _tables_of_file(keys.table_of("duty"), folder)
        rows = [_row(table, number, life, second) for number, table in enumerate(tables, start=1)]
    else:
        tables = keys.tables("duty", required=True)
        rows = [_row(table, number, life, second) for number, table in enumerate(tables, start=1)]
    if len(rows) > MOST_ROWS:
        keys.note(f"a duty has {MOST_ROWS} rows at most, got {len(rows)}: put lifts that are alike together", "duty")
    if len(keys.problems) > before or None in rows:
        return None
    names = [row.name for row in rows]
    for name in dict.fromkeys(name for name in names if names.count(name) > 1):
        keys.note(f"{names.count(name)} rows have the name {name!r}; give each its own", "duty")
    if second and not any(row.together for row in rows):
        keys.note("no row says what share of its lifts the second crane makes beside: add together = 0.1", "second")
    _note_left_open(tables, assumptions)
    return CraneDuty(tuple(rows), files)


def _note_left_open(tables: Sequence[Keys], assumptions: list[str]) -> None:
    if any("crab_back" not in table for table in tables):
        assumptions.append(SAME_BACK)
    if any("returns" not in table for table in tables):
        assumptions.append(EMPTY_BACK)


def _row(keys: Keys, number: int, life: float, second: bool) -> DutyRow | None:
    before = len(keys.problems)
    name = keys.text("name", f"row {number}")
    load = weight(keys, "hook_load")
    occurrence = _lifts(keys, life)
    together = keys.number("together", 0.0, least=0.0)
    if together is not None and together > 1.0:
        keys.note(f"together is a share of the lifts, from 0 to 1; got {together:g}", "together")
    partner = keys.table_of("second_crane", required=bool(together), like='{ hook_load = "50 kN", crab = "3 m" }')
    if ("together" in keys or "second_crane" in keys) and not second:
        keys.note("a second crane is named here but not described: add a table [load.crane.second]", "together")
    handled = None if partner is None else _second(partner)
    way = _way(keys)
    keys.done()
    if len(keys.problems) > before or way is None:
        return None
    return DutyRow(name, load, *way, occurrence, together, handled, (), keys.place)


def _second(keys: Keys) -> Handling | None:
    load, out = weight(keys, "hook_load"), keys.quantity("crab", "mm", least=0.0)
    back = keys.quantity("crab_back", "mm", out, least=0.0)
    keys.done()
    return None if None in (load, out, back) else Handling(load, out, back)


def _way(keys: Keys) -> tuple[float, float, float, float, str] | None:
    """Hook on both ways, start and end, and how it returns."""
    out = keys.quantity("crab", "mm", least=0.0)
    back = keys.quantity("crab_back", "mm", out, least=0.0)
    start, end = keys.quantity("from", "mm"), keys.quantity("to", "mm")
    returns = keys.one_of("returns", RETURNS, "empty")
    found = (out, back, start, end, returns)
    return None if None in found else found


def _lifts(keys: Keys, life: float) -> Occurrence | None:
    text = keys.text("lifts", like='"40/day", "40/day, 250 day/year", "9000/year" or "200000"')
    if text is None:
        return None
    found = keys.attempt(repeats, text, design_life=life, span=1.0, place=keys.at("lifts"))
    if found is not None and not isinstance(found, (CountPerPeriod, CountPerHour, CountInLife)):
        return keys.note(f'lifts must be a number of times, as in "40/day"; got {text!r}', "lifts")
    return found


def _rows_of_class(
    keys: Keys, life: float, rated_load: float | None, assumptions: list[str]
) -> list[DutyRow | None]:
    """Rows of a class of working cycles and of the load spectrum, with the user's own way and place of the crab."""
    cycles = _bound(keys, "cycles", "U", '"U4", or a number of lifts in the life', assumptions)
    spectrum = _bound(keys, "spectrum", "Q", '"Q2", or the load spectrum factor', assumptions)
    loads = keys.one_of("loads", SPECTRA)
    way = _way(keys)
    keys.done()
    if None in (cycles, spectrum, loads, way, rated_load):
        return [None]
    item = keys.attempt(
        lifts_of_class, loads, cycles=cycles, factor=spectrum, rated_load=rated_load, place=keys.at("spectrum")
    )
    if item is None:
        return [None]
    return [
        DutyRow(
            name, load, *way, repeats(f"{count:.12g}", design_life=life, span=1.0), 0.0, None, (item,), keys.place
        )
        for name, load, count in item.rows
    ]


def _bound(keys: Keys, key: str, letter: str, like: str, assumptions: list[str]) -> float | None:
    """A number, or the upper bound of a class, which is listed with its source."""
    given = keys.raw(key, like=like)
    if not isinstance(given, str):
        return None if given is None else keys.number(key, above=0.0)
    row = keys.attempt(row_of, "fatigue.standards", "en1991_3_duty", given, f"class of {key}", place=keys.at(key))
    if row is not None and not given.startswith(letter):
        return keys.note(f"{key} takes a class {letter}0, {letter}1, …; got {given!r}", key)
    if row is None:
        return None
    assumptions.append(f"{given} is taken with its upper bound {row['upper_bound']:g}; {row['source']}")
    return float(row["upper_bound"])


def _tables_of_file(keys: Keys, folder: Path) -> tuple[list[Keys], tuple[Provenance, ...]]:
    """A table of rows each of a CSV file, its cells with the units that the job file states."""
    name = keys.text("file", like='"duty.csv"')
    columns, units = keys.table_of("columns", required=True, like=_LIKE), keys.table_of("units")
    per = keys.one_of("lifts_per", _PER)
    delimiter, decimal = keys.text("delimiter", ",", blank=True), keys.one_of("decimal", (".", ","), ".")
    heads = {} if columns is None else {key: columns.text(key) for key in ROW_KEYS if key in columns}
    given = {} if units is None else {key: units.text(key) for key in ROW_KEYS if key in units}
    for table in (columns, units):
        if table is not None:
            _require_row_keys(table)
    for key in ("hook_load", "crab", "from", "to", "lifts"):
        if columns is not None and key not in columns:
            columns.note(f"column of {key} is missing; give it as in columns = {_LIKE}", key)
    keys.done()
    if name is None or None in (columns, per, delimiter, decimal) or None in (*heads.values(), *given.values()):
        return [], ()
    if len(delimiter) != 1:
        keys.note(f"delimiter must be one character, got {delimiter!r}", "delimiter")
        return [], ()
    path = folder / name
    try:
        content = content_of(path, "table of lifts")
        lines = list(csv.reader(content.decode("utf-8-sig").splitlines(), delimiter=delimiter))
    except InputError as refusal:
        for problem in refusal.problems:
            keys.note(problem, "file")
        return [], ()
    except (UnicodeDecodeError, csv.Error) as error:
        keys.note(f"{name} cannot be read as a table: {error}", "file")
        return [], ()
    source = Provenance(name, hashlib.sha256(content).hexdigest(), len(content), 2, "duty of a crane, a row a line", "")
    tables = keys.attempt(_cells, keys, lines, name, heads, given, decimal, per)
    return tables or [], (source,)


_LIKE = '{ hook_load = "Load", crab = "Crab", from = "From", to = "To", lifts = "Number" }'


def _require_row_keys(keys: Keys) -> None:
    for key in keys.table:
        if key not in ROW_KEYS:
            keys.note(f"{key!r} is no key of a row; known: {', '.join(ROW_KEYS)}", key)


def _cells(keys: Keys, lines, name: str, heads: dict, units: dict, decimal: str, per: str) -> list[Keys]:
    if not lines:
        raise InputError(f"{name} is empty ({keys.at('file')})")
    head = [cell.strip() for cell in lines[0]]
    missing = [column for column in heads.values() if column not in head]
    if missing:
        raise InputError(f"{name} has no column {missing[0]!r}; known: {', '.join(head)} ({keys.at('columns')})")
    tables = []
    for number, line in enumerate(lines[1:], start=2):
        if not any(cell.strip() for cell in line):
            continue
        if len(line) != len(head):
            raise InputError(f"line {number} of {name} has {len(line)} cells, its head {len(head)}")
        table = {}
        for key, column in heads.items():
            cell = line[head.index(column)].strip()
            table[key] = cell if key in ("name", "returns") else _quantity_text(cell, key, units, decimal, per)
        tables.append(Keys(table, f"{name}, line {number}", keys.problems, file=keys.file))
    if not tables:
        raise InputError(f"{name} has no row below its head ({keys.at('file')})")
    return tables


def _quantity_text(cell: str, key: str, units: dict, decimal: str, per: str) -> str:
    """A cell as a job file would say it."""
    number = cell.replace(decimal, ".") if decimal == "," and is_number(cell, ",") else cell
    if key == "lifts":
        return number if per == "life" else f"{number}/{per}"
    return f"{number} {units[key]}" if key in units else number
