"""The table [load.counted] of a job file: cycles that were counted elsewhere, with the columns that hold them."""

from pathlib import Path

import numpy as np

from cli.keys import Keys
from cli.made_loads import Made, MadeLoad
from loadhistories.counted import (
    VALUES,
    CountedCycles,
    cycles_of_crossings,
    cycles_of_ends,
    cycles_of_ranges,
)
from loadhistories.dialect import is_number
from loadhistories.listing import Listing, read_listing
from loadhistories.occurrence import YEAR, repeats
from loadhistories.units import BASE_UNITS, base_unit_of, quantity
from loadhistories.validation import InputError

RANGES, MEANS, ENDS, MATRIX, CROSSINGS = (
    "ranges", "range and mean", "from-to", "from-to matrix", "level crossings",
)  # fmt: skip
KINDS = (RANGES, MEANS, ENDS, MATRIX, CROSSINGS)
# The columns of each kind, in the order in which they are read; a matrix names its levels itself.
COLUMNS = {
    RANGES: ("range", "count"),
    MEANS: ("range", "mean", "count"),
    ENDS: ("from", "to", "count"),
    MATRIX: ("from",),
    CROSSINGS: ("level", "count"),
}
UNKNOWN_TIMES = (
    "counted cycles: neither their order nor their times are known; cycles between them and other loads are not "
    "counted, and how often and when the joint slips under them is not known"
)


def made_by_counted(table: Keys, load: Keys, folder: Path, design_life: float | None) -> list[MadeLoad] | None:
    """The load of a table [load.counted]; None where something was refused."""
    before = len(table.problems)
    file = table.text("file", like='"cycles.csv"')
    kind = table.one_of("kind", KINDS)
    named = {key: table.text(key) for key in COLUMNS.get(kind, ())}
    unit = table.text("unit", "")
    covers = table.quantity("covers", "s", above=0.0)
    options = _options(table, kind)
    table.done()
    occurs = load.text("occurs", like='"1/week"')
    dialect = _dialect(load)
    if len(table.problems) > before or dialect is None or covers is None or occurs is None:
        return None
    place = table.at("file")
    listing = table.attempt(_listed, folder / file, file, kind, named, unit, dialect)
    if listing is None:
        return None
    base = table.attempt(_unit_of, listing, kind, named, unit, place)
    cycles = None if base is None else table.attempt(_cycles, listing, kind, named, base, options, table)
    occurrence = table.attempt(
        repeats, occurs, design_life=design_life or YEAR, span=covers, place=load.at("occurs")
    )
    if cycles is None or occurrence is None or design_life is None or len(table.problems) > before:
        return None
    made = _made(cycles, base, kind, file, covers, listing)
    return [MadeLoad("", cycles.history(base, covers), occurrence, made, cycles)]


def _options(table: Keys, kind: str | None) -> dict:
    """What is to be said of a table of a kind besides its columns."""
    found = {}
    if kind in (RANGES, MEANS, ENDS, MATRIX):
        found["values"] = table.one_of("values", VALUES, "exact")
        found["class_width"] = table.text("class_width", None, like='"2 kN"')
    if kind == RANGES:
        found["lowest"] = table.text("lowest", None, like='"0 kN"')
        found["mean"] = table.text("mean", None, like='"20 kN"')
        if (found["lowest"] is None) == (found["mean"] is None):
            table.note(
                "ranges alone do not say between which loads the cycles lie, on which the grip of bolts depends: give "
                'one of lowest = "0 kN", from which every cycle starts, and mean = "20 kN", around which it lies'
            )
    if kind in (ENDS, MATRIX):
        found["entries"] = table.one_of("entries", ("cycles", "half cycles"))
    if kind == CROSSINGS:
        found["crossings"] = table.one_of("crossings", ("upwards", "both ways"))
    return found


def _dialect(load: Keys) -> dict | None:
    """How the table is laid out, as [load.file] says it of a record."""
    from cli.job_loads import read_dialect

    found = read_dialect(load)
    misplaced = [key for key in ("time_column", "date_format", "rate", "step", "names") if key in (found or {})]
    for key in misplaced:
        load.note(f"{key} is of a record with times; counted cycles have none: take it away", "file")
    return None if misplaced else found


def _listed(path: Path, shown: str, kind: str, named: dict[str, str], unit: str, dialect: dict) -> Listing:
    """The columns of the table; the numbers of cycles have no unit, all others the one that is given."""
    units = dict(dialect.pop("units", {}))
    if unit:
        units |= {name: unit for key, name in named.items() if key != "count" and name not in units}
    if kind != MATRIX:
        return read_listing(path, list(named.values()), units=units, shown=shown, **dialect)
    return read_listing(path, None, units=units, shown=shown, **{"header_line": 1, **dialect})


def _unit_of(listing: Listing, kind: str, named: dict[str, str], unit: str, place: str) -> str:
    """The base unit of the load, which all columns but the numbers share."""
    found = {}
    for key, name in named.items():
        if key == "count":
            continue
        stated = listing.units[name]
        if stated is None and unit:
            stated = base_unit_of(unit, "unit", place)
        if stated not in BASE_UNITS:
            raise InputError(f'column {name!r} states no unit: give unit = "kN" ({place})')
        found[name] = stated
    if len(set(found.values())) > 1:
        words = ", ".join(f"{name!r} in {base}" for name, base in found.items())
        raise InputError(f"the columns are of different kinds: {words} ({place})")
    return next(iter(found.values()))


def _cycles(
    listing: Listing, kind: str, named: dict[str, str], base: str, options: dict, table: Keys
) -> CountedCycles:
    """The cycles of the table in the base unit of its load."""
    place = table.at("file")
    given = {
        key: None if options.get(key) is None else quantity(options[key], base, key, table.at(key))
        for key in ("class_width", "lowest", "mean")
    }
    classes = {"values": options.get("values", "exact"), "width": given["class_width"] or 0.0, "place": place}
    if kind == MATRIX:
        starts, ends, counts = _matrix(listing, named["from"], place)
        return cycles_of_ends(starts, ends, counts, halves=options["entries"] == "half cycles", **classes)
    columns = [listing.columns[named[key]] for key in COLUMNS[kind]]
    if kind == RANGES:
        return cycles_of_ranges(*columns, lowest=given["lowest"], mean=given["mean"], **classes)
    if kind == MEANS:
        return cycles_of_ranges(columns[0], columns[2], means=columns[1], **classes)
    if kind == ENDS:
        return cycles_of_ends(*columns, halves=options["entries"] == "half cycles", **classes)
    order = np.argsort(columns[0])
    both = options["crossings"] == "both ways"
    return cycles_of_crossings(columns[0][order], columns[1][order], both_ways=both, place=place)


def _matrix(listing: Listing, first: str, place: str) -> tuple:
    """From, to and number of every entry of a matrix whose first column holds the levels that its names are of."""
    names = [name for name in listing.columns if name != first]
    texts = [name.replace(",", ".") if name.count(",") == 1 and "." not in name else name for name in names]
    wrong = next((name for name, text in zip(names, texts, strict=True) if not is_number(text, ".")), None)
    if wrong is not None:
        raise InputError(f"column {wrong!r} of the matrix must be named by the level it leads to, a number ({place})")
    ends = np.array([float(text) for text in texts]) * listing.scales[first]
    starts = listing.columns[first]
    counts = np.stack([listing.columns[name] for name in names], axis=1)
    return np.repeat(starts, len(ends)), np.tile(ends, len(starts)), counts.ravel()


def _made(cycles: CountedCycles, base: str, kind: str, file: str, covers: float, listing: Listing) -> Made:
    """What was made of the table, in words."""
    low, high = cycles.extremes
    unit, scale = {"N": ("kN", 1e-3), "N mm": ("kN m", 1e-6)}.get(base, (base, 1.0))
    summary = (
        f"{cycles.cycles:.6g} counted cycles in {_time(covers)}, from {low * scale:.4g} to {high * scale:.4g} {unit}, "
        f"largest range {float(cycles.ranges.max()) * scale:.4g} {unit}; no times, so how often and when it slips is "
        "not known"
    )
    return Made(
        f"counted cycles ({kind}) of {file}", summary, (*cycles.remarks, UNKNOWN_TIMES), (), (listing.source,),
        recorded=True,
    )  # fmt: skip


def _time(seconds: float) -> str:
    for size, word in ((YEAR, "year"), (86_400.0, "day"), (3600.0, "h")):
        if seconds >= size:
            return f"{seconds / size:.4g} {word}"
    return f"{seconds:.4g} s"
