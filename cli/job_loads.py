"""The tables [[load]] of a job file: record, occurrence, and which column makes which load component."""

from dataclasses import dataclass, replace
from pathlib import Path

from cli.keys import Keys
from loadhistories.blocks import COMPONENTS, LoadBlock, Term, block_of_history
from loadhistories.history import LoadHistory
from loadhistories.occurrence import Occurrence, repeats
from loadhistories.reading import open_record, read_history
from loadhistories.record import Record
from loadhistories.units import measure
from loadhistories.validation import InputError, require_finite

KINDS = ("vibration", "impact")
LARGEST_IN_MEMORY = 48_000_000

_TEXTS = ("delimiter", "decimal", "time_column", "rate", "step", "encoding", "date_format")


@dataclass(frozen=True)
class LoadColumn:
    """How one column of a record adds to one load component, as the note prints it."""

    component: str
    column: str
    unit: str
    factor: str


@dataclass(frozen=True, eq=False)
class LoadInput:
    """One kind of working of a job.

    `joint` is the name of the only joint it acts on, "" where it acts on all of them; `kind` is one of KINDS, or ""
    where the job says nothing of it.
    """

    name: str
    path: str
    joint: str
    history: LoadHistory | Record
    occurrence: Occurrence
    block: LoadBlock
    columns: tuple[LoadColumn, ...]
    kind: str = ""


class Records:
    """Reads each record of a job once, however many loads name it, and of it the columns that they name.

    Parameters
    ----------
    folder : Path
        Where the job file stands; records are named from there.
    loads : list of Keys
        All tables [[load]] of the job.
    """

    def __init__(self, folder: Path, loads: list[Keys]):
        self.folder = folder
        self._columns: dict[str, dict[str, None]] = {}
        self._read: dict[str, LoadHistory | Record | None] = {}
        for load in loads:
            wanted = self._columns.setdefault(_identity(load), {})
            wanted.update(dict.fromkeys(_columns_named(load)))

    def history(self, keys: Keys, name: str, dialect: dict) -> LoadHistory | Record | None:
        """The record that a load names; None where it was refused."""
        identity = _identity(keys)
        if identity not in self._read:
            columns = list(self._columns[identity])
            try:
                self._read[identity] = _read(self.folder / name, columns, dialect)
            except InputError as refusal:
                self._read[identity] = None
                for problem in refusal.problems:
                    keys.note(problem, "history")
        return self._read[identity]


def _read(path: Path, columns: list[str], dialect: dict) -> LoadHistory | Record:
    large = path.is_file() and path.stat().st_size > LARGEST_IN_MEMORY
    read = open_record if large or not columns else read_history
    return read(path, columns=columns or None, **dialect)


def _identity(load: Keys) -> str:
    """What two loads must have in common to share a record: the file and how it is read."""
    return repr((load.table.get("history"), load.table.get("file")))


def _columns_named(load: Keys) -> list[str]:
    components = load.table.get("components")
    terms = []
    for value in components.values() if isinstance(components, dict) else ():
        terms += value if isinstance(value, list) else [value]
    names = [term.get("column") for term in terms if isinstance(term, dict)]
    return [name for name in names if isinstance(name, str)]


def read_load(keys: Keys, records: Records, design_life: float | None) -> LoadInput | None:
    """One table [[load]]; None where something in it was refused.

    Parameters
    ----------
    design_life : float or None
        None where the job states none that can be read. [s]
    """
    before = len(keys.problems)
    name, joint = keys.text("name"), keys.text("joint", "")
    path, occurs = keys.text("history", like='"record.csv"'), keys.text("occurs", like='"16 h/day"')
    dialect = _dialect(keys)
    kind = keys.one_of("kind", KINDS, "")
    terms, columns = _components(keys)
    keys.done()
    history = None if path is None or dialect is None else records.history(keys, path, dialect)
    occurrence = _occurrence(keys, occurs, history, design_life)
    block = None
    if history is not None and terms:
        block = keys.attempt(
            block_of_history, name or "", history, terms, repeats=getattr(occurrence, "repeats", 1.0),
            place=keys.at("components"),
        )  # fmt: skip
    if len(keys.problems) > before or block is None or design_life is None:
        return None
    shown = tuple(_with_unit(column, history) for column in columns)
    return LoadInput(name, path, joint or "", history, occurrence, block, shown, kind or "")


def _occurrence(keys: Keys, occurs: str | None, history: LoadHistory | Record | None, design_life: float | None):
    """Repeats in the design life; where record or life is refused, stand-ins let a wrong `occurs` show as well."""
    if occurs is None:
        return None
    span, life = (history.span if history else 1.0), design_life or 30_000_000.0
    return keys.attempt(repeats, occurs, design_life=life, span=span, place=keys.at("occurs"))


def _with_unit(column: LoadColumn, history: LoadHistory | Record) -> LoadColumn:
    """The column with the unit that its record states, where the job gives none."""
    stated = history.stated_units[history.names.index(column.column)]
    return column if column.unit else replace(column, unit=stated or "")


def _dialect(keys: Keys) -> dict | None:
    inner = keys.table_of("file")
    if inner is None:
        return {} if "file" not in keys else None
    before = len(keys.problems)
    found = {key: inner.text(key, None, blank=True) for key in _TEXTS}
    found["header_line"] = inner.whole("header_line", None)
    found["names"] = inner.texts("names", None)
    found["missing"] = inner.texts("missing", None, like='["n/a"]')
    units = inner.table_of("units")
    if units is not None:
        found["units"] = {column: units.text(column) for column in units.table}
    inner.done()
    given = {key: value for key, value in found.items() if value is not None}
    return given if len(keys.problems) == before else None


def _components(keys: Keys) -> tuple[dict[str, list[Term]], tuple[LoadColumn, ...]]:
    """The terms of every component, those left out in which something was refused."""
    inner = keys.table_of("components", required=True, like='{ Fy = { column = "Vertical", unit = "kN" } }')
    terms: dict[str, list[Term]] = {}
    columns: list[LoadColumn] = []
    if inner is None:
        return terms, ()
    before = len(keys.problems)
    for component in COMPONENTS:
        for table in _term_tables(inner, component):
            term, column = _term(table, component)
            if term is not None:
                terms.setdefault(component, []).append(term)
                columns.append(column)
    inner.done()
    if not terms and len(keys.problems) == before:
        inner.note(f"no load component is given; give at least one of {', '.join(COMPONENTS)}")
    return terms, tuple(columns)


def _term_tables(keys: Keys, component: str) -> list[Keys]:
    """The columns of a component: one table, or an array of tables that are summed."""
    given = keys.raw(component, None)
    if isinstance(given, list):
        return keys.tables(component)
    table = keys.table_of(component, like='{ column = "Vertical", unit = "kN" }')
    return [] if table is None else [table]


def _term(keys: Keys, component: str) -> tuple[Term | None, LoadColumn | None]:
    before = len(keys.problems)
    column, unit = keys.text("column"), keys.text("unit", "")
    factor = _factor(keys)
    sign = keys.raw("sign", "+")
    if sign not in ("+", "-"):
        keys.note(f'sign must be "+" or "-", got {sign!r}', "sign")
    keys.done()
    if len(keys.problems) > before:
        return None, None
    if sign == "-":
        factor = _turned(factor) if isinstance(factor, str) else -factor
    shown = factor if isinstance(factor, str) else f"{factor:g}"
    return Term(column, factor, unit), LoadColumn(component, column, unit, shown)


def _factor(keys: Keys) -> float | str | None:
    """A number, also one written as text, or a quantity such as a lever."""
    given = keys.raw("factor", 1.0)
    if isinstance(given, str):
        try:
            given = float(given)
        except ValueError:
            return None if keys.attempt(measure, given, "factor", place=keys.at("factor")) is None else given
    number = keys.attempt(require_finite, given, "factor", place=keys.at("factor"))
    if number == 0.0:
        keys.note("factor must not be 0: the column would count for nothing", "factor")
        return None
    return number


def _turned(quantity: str) -> str:
    """A quantity with the other sign."""
    text = quantity.strip()
    return text[1:].strip() if text.startswith("-") else f"-{text.removeprefix('+').strip()}"
