"""The tables [[sequence]] of a job file: loads that follow one another, and how often they do in the design life."""

from collections.abc import Sequence
from dataclasses import dataclass

from cli.job_loads import LoadInput
from cli.keys import Keys
from fatigue.sequence import BlockSequence, remaining_repeats
from loadhistories.occurrence import Occurrence, TimeInLife, TimePerPeriod, repeats


@dataclass(frozen=True, eq=False)
class SequenceInput:
    """Loads in the order in which they follow one another.

    Attributes
    ----------
    order : tuple of str
        Names of the loads; one may stand in it several times.
    joint : str
        Name of the only joint that its loads act on, "" where they act on all.
    occurrence : Occurrence
        How often the whole sequence occurs in the design life.
    """

    name: str
    order: tuple[str, ...]
    joint: str
    occurrence: Occurrence


def read_sequences(
    tables: Sequence[Keys], loads: Sequence[LoadInput], design_life: float | None, named: Sequence = ()
) -> tuple[SequenceInput, ...]:
    """The tables [[sequence]]; those in which something was refused are left out.

    Parameters
    ----------
    named : sequence
        What each [[load]] states as its name; a load that was refused is not called unknown.

    Examples
    --------
    In a job file:

    [[sequence]]
    name = "a shift"
    order = ["silo filled", "silo emptied"]
    occurs = "2/day"
    """
    refused = [name for name in named if isinstance(name, str) and not any(_is_of(load, name) for load in loads)]
    found = [_read(table, loads, design_life, refused) for table in tables]
    if tables and None not in found:
        names, often = [load.name for load in loads], [load.block.repeats for load in loads]
        wanted = [blocks_of(item, loads) for item in found]
        tables[0].attempt(remaining_repeats, names, often, wanted, place=tables[0].place)
    return tuple(item for item in found if item is not None)


def blocks_of(item: SequenceInput, loads: Sequence[LoadInput]) -> BlockSequence:
    """The sequence by the places of its loads among some loads."""
    names = [load.name for load in loads]
    return BlockSequence(item.name, tuple(names.index(name) for name in item.order), item.occurrence.repeats)


def _is_of(load: LoadInput, name: str) -> bool:
    """Whether a load comes from the table of a name."""
    return load.name == name or (load.made is not None and load.name.startswith(f"{name}: "))


def _read(
    keys: Keys, loads: Sequence[LoadInput], design_life: float | None, refused: Sequence[str]
) -> SequenceInput | None:
    before = len(keys.problems)
    name, order = keys.text("name"), keys.texts("order", like='["silo filled", "silo emptied"]')
    occurs = keys.text("occurs", like='"2/day"')
    keys.done()
    by_name = {load.name: load for load in loads}
    for wanted in dict.fromkeys(order or ()):
        if wanted not in by_name and wanted.partition(": ")[0] not in refused and wanted not in refused:
            keys.note(f"load {wanted!r} is unknown; known: {', '.join(by_name)}", "order")
    if name in by_name:
        keys.note(f"{name!r} is the name of a load; give the sequence its own name", "name")
    named = [by_name[wanted] for wanted in order or () if wanted in by_name]
    if len({load.joint for load in named}) > 1:
        keys.note("loads that follow one another must act on the same joints: these act on different ones", "order")
    for load in dict.fromkeys(load.name for load in named if not load.block.timed):
        keys.note(f"load {load!r} is given as counted cycles, of which no order is known: it cannot be joined", "order")
    occurrence = None
    if occurs is not None and design_life is not None:
        span = sum(load.block.span for load in named) or 1.0
        occurrence = keys.attempt(repeats, occurs, design_life=design_life, span=span, place=keys.at("occurs"))
    if isinstance(occurrence, TimePerPeriod | TimeInLife):
        keys.note(f'a sequence occurs a number of times, as in "2/day", got {occurs!r}', "occurs")
    if len(keys.problems) > before or occurrence is None or not named:
        return None
    if any(wanted not in by_name for wanted in order):
        return None
    return SequenceInput(name, tuple(order), named[0].joint, occurrence)
