"""The tables [[load]] of a job file: record or maker, occurrence, and which column makes which load component."""

from dataclasses import dataclass, replace
from pathlib import Path

from cli.job_cleaning import read_cleaned
from cli.job_duty import duty_channels, read_duty, read_scale
from cli.job_strain import read_strain
from cli.keys import Keys
from cli.made_loads import MAKERS, Made, MadeLoad, maker_of
from fatigue.stated_duty import StatedDuty
from loadhistories.blocks import COMPONENTS, LoadBlock, Term, block_of_cycles, block_of_history
from loadhistories.cleaning import Cleaned
from loadhistories.history import LoadHistory
from loadhistories.occurrence import Occurrence, repeats
from loadhistories.reading import open_record, read_history
from loadhistories.record import Record
from loadhistories.strain import StrainForce, StrainMoment
from loadhistories.units import measure
from loadhistories.validation import InputError, require_finite

KINDS = ("vibration", "impact")
LARGEST_IN_MEMORY = 48_000_000
# A record that is cleaned is held in memory several times over, a gigabyte of it for so many bytes of text.
LARGEST_CLEANED = 250_000_000

_TEXTS = ("delimiter", "decimal", "time_column", "rate", "step", "encoding", "date_format", "group")


@dataclass(frozen=True)
class LoadColumn:
    """How one column of a record adds to one load component, as the note prints it; `gauge` where it is a strain."""

    component: str
    column: str
    unit: str
    factor: str
    gauge: StrainForce | StrainMoment | None = None


@dataclass(frozen=True, eq=False)
class LoadInput:
    """One kind of working of a job.

    `joint` is the name of the only joint it acts on, "" where it acts on all of them; `kind` is one of KINDS, or ""
    where the job says nothing of it. A history that was made has no path, and `made` says how it came about.
    `scale` is in the values of the block, `represents` says what the record then stands for; `duty` compares it with
    the duty stated for it. `untimed` says why no times of its cycles can be told, "" where they can.
    `cleaned` says what was done to the record, `before` is the block with its values as read; None where nothing was.
    """

    name: str
    path: str
    joint: str
    history: LoadHistory | Record
    occurrence: Occurrence
    block: LoadBlock
    columns: tuple[LoadColumn, ...]
    kind: str = ""
    made: Made | None = None
    scale: float = 1.0
    represents: str = ""
    duty: StatedDuty | None = None
    untimed: str = ""
    cleaned: Cleaned | None = None
    before: LoadBlock | None = None

    @property
    def origin(self) -> str:
        """The record's path, or how the history was made."""
        return self.path if self.made is None else self.made.how

    @property
    def from_data(self) -> bool:
        """Whether its history was made from stated data, with nothing in it that was measured."""
        return self.made is not None and not self.made.recorded

    @property
    def per_life(self) -> str:
        """One sentence: what it stands for in the design life."""
        text = self.occurrence.per_life
        return text.replace("the record of", "the made history of", 1) if self.from_data else text

    @property
    def files(self) -> tuple[str, ...]:
        """What was read for it, named from the folder of the job file."""
        return (self.path,) if self.made is None else tuple(item.path for item in self.made.files)


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
        self._cleaned: dict[str, Cleaned | None] = {}
        for load in loads:
            wanted = self._columns.setdefault(_identity(load), {})
            wanted.update(dict.fromkeys(_columns_named(load)))

    def history(self, keys: Keys, name: str, dialect: dict) -> LoadHistory | Record | None:
        """The record that a load names; None where it was refused."""
        identity = _identity(keys)
        clean = keys.table_of("clean", like='{ missing = "cut" }')
        if identity not in self._read and "clean" in keys:
            self._cleaned[identity] = None if clean is None else self._clean(clean, name, dialect, identity)
            self._read[identity] = getattr(self._cleaned[identity], "history", None)
        if identity not in self._read:
            columns = list(self._columns[identity])
            try:
                self._read[identity] = _read(self.folder / name, columns, dialect)
            except InputError as refusal:
                self._read[identity] = None
                for problem in refusal.problems:
                    keys.note(problem, "history")
        return self._read[identity]

    def cleaned(self, keys: Keys) -> Cleaned | None:
        """What was done to the record that a load names; None where no treatment is named."""
        return self._cleaned.get(_identity(keys))

    def _clean(self, keys: Keys, name: str, dialect: dict, identity: str) -> Cleaned | None:
        path = self.folder / name
        if _size(path) > LARGEST_CLEANED:
            keys.note(
                f"a record is cleaned in memory and may have up to {LARGEST_CLEANED} bytes, {name} has "
                f"{_size(path)}: cut it into several loads, or take its faults out beforehand"
            )
            return None
        return read_cleaned(keys, path, list(self._columns[identity]), dialect)


def _read(path: Path, columns: list[str], dialect: dict) -> LoadHistory | Record:
    large = _size(path) > LARGEST_IN_MEMORY
    if large:
        _make_loops_ready()
    read = open_record if large or not columns else read_history
    return read(path, columns=columns or None, **dialect)


def _size(path: Path) -> int:
    """Bytes of an ordinary file; 0 for what is none, which its reader refuses."""
    try:
        return path.stat().st_size if path.is_file() else 0
    except (OSError, ValueError):
        return 0


def _make_loops_ready() -> None:
    """Load the compiled loops in a second thread while the rows of the record are counted."""
    from threading import Thread

    from fatigue.kernel import compiled_kernel
    from slip.kernel import compiled_follow

    Thread(target=lambda: (compiled_kernel(), compiled_follow()), name="compiled-loops").start()


def _identity(load: Keys) -> str:
    """What two loads must have in common to share a record: the file and how it is read."""
    return repr((load.table.get("history"), load.table.get("file"), load.table.get("clean")))


def _columns_named(load: Keys) -> list[str]:
    components = load.table.get("components")
    terms = []
    for value in components.values() if isinstance(components, dict) else ():
        terms += value if isinstance(value, list) else [value]
    names = [term.get("column") for term in terms if isinstance(term, dict)]
    return [name for name in names if isinstance(name, str)] + duty_channels(load)


def read_load(keys: Keys, records: Records, design_life: float | None) -> list[LoadInput]:
    """The load of one table [[load]], or the several that a maker makes of it; none where something was refused.

    Parameters
    ----------
    design_life : float or None
        None where the job states none that can be read. [s]
    """
    maker = maker_of(keys)
    if maker:
        return _made(keys, maker, records.folder, design_life)
    load = _recorded(keys, records, design_life)
    return [] if load is None else [load]


def _recorded(keys: Keys, records: Records, design_life: float | None) -> LoadInput | None:
    before = len(keys.problems)
    name, joint = keys.text("name"), keys.text("joint", "")
    path, occurs = keys.text("history", like='"record.csv"'), keys.text("occurs", like='"16 h/day"')
    dialect = read_dialect(keys)
    kind = keys.one_of("kind", KINDS, "")
    terms, columns = _components(keys)
    keys.raw("clean", None)
    scaling = read_scale(keys)
    history = None if path is None or dialect is None else records.history(keys, path, dialect)
    occurrence = _occurrence(keys, occurs, history, design_life)
    scale, represents = scaling or (1.0, "")
    duty = read_duty(keys, history, occurrence, scale=scale, design_life=design_life)
    keys.done()
    block = None
    if history is not None and terms:
        block = keys.attempt(
            block_of_history, name or "", history, terms, repeats=getattr(occurrence, "repeats", 1.0),
            place=keys.at("components"),
        )  # fmt: skip
    if len(keys.problems) > before or block is None or design_life is None:
        return None
    shown = tuple(_with_unit(column, history) for column in columns)
    cleaned, before = records.cleaned(keys), None
    if cleaned is not None:
        before = block_of_history(name, cleaned.before, terms, repeats=block.repeats).scaled(scale)
    return LoadInput(
        name, path, joint or "", history, occurrence, block.scaled(scale), shown, kind or "", None, scale,
        represents, duty, cleaned=cleaned, before=before,
    )  # fmt: skip


def _made(keys: Keys, maker: str, folder: Path, design_life: float | None) -> list[LoadInput]:
    """The loads that a maker makes of its table."""
    before = len(keys.problems)
    name, joint = keys.text("name"), keys.text("joint", "")
    kind = keys.one_of("kind", KINDS, "")
    terms, columns = _components(keys)
    table = keys.table_of(maker)
    made = None if table is None else MAKERS[maker]()(table, keys, folder, design_life)
    keys.done()
    if made is None or not terms or len(keys.problems) > before or design_life is None:
        return []
    loads = []
    for item in made:
        block = keys.attempt(_block_of_made, _named(name, item), item, terms, keys.at("components"))
        if block is None:
            return []
        shown = tuple(_with_unit(column, item.history) for column in columns)
        made_of = replace(item.made, load=name)
        given = (item.history, item.occurrence, block, shown, kind or "", made_of)
        untimed = "" if block.timed else f"{block.name}: counted cycles, of which no times are known"
        loads.append(LoadInput(block.name, "", joint or "", *given, untimed=untimed))
    return loads


def _block_of_made(name: str, item: MadeLoad, terms: dict[str, list[Term]], place: str) -> LoadBlock:
    often = item.occurrence.repeats
    if item.cycles is None:
        return block_of_history(name, item.history, terms, repeats=often, place=place)
    return block_of_cycles(name, item.cycles, item.history, terms, repeats=often, place=place)


def _named(name: str, item: MadeLoad) -> str:
    return f"{name}: {item.part}" if item.part else name


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


def read_dialect(keys: Keys) -> dict | None:
    """The table [load.file]: how a file is laid out; None where something in it was refused."""
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
    gauge = read_strain(keys, component) if "strain" in keys else None
    keys.raw("strain", None)
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
    if gauge is None:
        return Term(column, factor, unit), LoadColumn(component, column, unit, shown)
    size, base = gauge.factor * (-1.0 if shown.startswith("-") else 1.0), "N mm" if component[0] == "M" else "N"
    words = f"{shown} with E = {gauge.modulus / 1e3:g} GPa, gauge factor {gauge.gauge_factor:g} set to {gauge.set_to:g}"
    return Term(column, f"{size!r} {base}", unit), LoadColumn(component, column, unit, words, gauge)


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
