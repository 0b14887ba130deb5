"""The table [load.events] of a job file: a crane monitor's list of lifts becomes a history of one event a row."""

from pathlib import Path

from cli.keys import Keys, entry
from cli.made_loads import Made, MadeLoad
from loadhistories.event_table import history_of_events
from loadhistories.listing import read_listing
from loadhistories.occurrence import YEAR, repeats
from loadhistories.units import BASE_UNITS, base_unit_of
from loadhistories.validation import InputError


def made_by_events(table: Keys, load: Keys, folder: Path, design_life: float | None) -> list[MadeLoad] | None:
    """The load of a table [load.events]; None where something was refused."""
    before = len(table.problems)
    file = table.text("file", like='"lifts.csv"')
    time, weight = table.text("time", like='"Start"'), table.text("load", like='"Load"')
    duration = table.text("duration", like='"Duration"')
    idle = table.text("idle", like='"0 kN"')
    covers, step = table.quantity("covers", "s", None, above=0.0), table.quantity("step", "s", None, above=0.0)
    table.done()
    occurs = load.text("occurs", like='"24 h/day"')
    dialect = _dialect(load)
    if len(table.problems) > before or dialect is None or occurs is None:
        return None
    listing = table.attempt(
        read_listing, folder / file, [weight, duration], time_column=time, shown=file, **dialect
    )
    base = None if listing is None else table.attempt(_units, listing, weight, duration, table.at("file"))
    at_rest = None if base is None else table.attempt(entry, idle, base, "idle", table.at("idle"))
    if at_rest is None:
        return None
    remarks = (
        f"each of the {len(listing.times)} events is held for its duration and comes back to {idle} before the next",
    )
    history = table.attempt(
        history_of_events, listing.times, listing.columns[weight], listing.columns[duration], unit=base, idle=at_rest,
        covers=covers, step=step, place=table.at("file"), remarks=remarks,
    )  # fmt: skip
    occurrence = None
    if history is not None:
        occurrence = table.attempt(
            repeats, occurs, design_life=design_life or YEAR, span=history.span, place=load.at("occurs")
        )
    if occurrence is None or design_life is None:
        return None
    summary = f"{len(listing.times)} events in {history.span:.6g} s, each a cycle from {idle} at least"
    stated = "" if covers is not None else "the table covers the time from its first event to the end of its last one"
    assumptions = (*remarks, *((stated,) if stated else ()))
    made = Made(f"events of {file}", summary, assumptions, (), (listing.source,), recorded=True)
    return [MadeLoad("", history, occurrence, made)]


def _dialect(load: Keys) -> dict | None:
    """How the table is laid out, as [load.file] says it of a record."""
    from cli.job_loads import read_dialect

    found = read_dialect(load)
    misplaced = [key for key in ("time_column", "rate", "step", "names") if key in (found or {})]
    for key in misplaced:
        load.note(f"{key} is of a record; a table of events names its columns in [load.events]: take it away", "file")
    return None if misplaced else found


def _units(listing, weight: str, duration: str, place: str) -> str:
    """Base unit of the load; the duration must be a time."""
    if listing.units[duration] is None:
        raise InputError(f'column {duration!r} states no unit: give it in [load.file], units = {{ … = "s" }} ({place})')
    if listing.units[duration] != "s":
        raise InputError(f"column {duration!r} must be a time, its unit is of another kind ({place})")
    found = listing.units[weight]
    if found not in BASE_UNITS or found is None:
        raise InputError(f'column {weight!r} states no unit: give it in [load.file], units = {{ … = "kN" }} ({place})')
    return base_unit_of(found)
