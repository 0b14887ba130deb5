"""A load whose history is made instead of read: what a maker gives for it, and which makers there are.

A maker reads its own table of a [[load]], such as [load.crane], and may make several histories of it.
"""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from cli.keys import Keys
from loadhistories.counted import CountedCycles
from loadhistories.history import LoadHistory, Provenance
from loadhistories.occurrence import Occurrence


@dataclass(frozen=True, eq=False)
class Made:
    """How one history was made.

    Attributes
    ----------
    how : str
        What it stands for, in words; it takes the place of a file's name.
    summary : str
        One line for the terminal, "" for none.
    assumptions : tuple of str
        What the job file left to us.
    working : tuple
        Result dataclasses whose figures the note prints with the load.
    files : tuple of Provenance
        What was read for it besides the job file; their paths are named from the folder of the job file.
    load : str
        Name of the [[load]] it belongs to; filled in by the reader of the job.
    groups : tuple of (str, tuple)
        Headings, and result dataclasses that the note prints below each, apart from the others.
    recorded : bool
        Whether it stands for something that was measured: events or cycles that were counted elsewhere.
    """

    how: str
    summary: str = ""
    assumptions: tuple[str, ...] = ()
    working: tuple = ()
    files: tuple[Provenance, ...] = ()
    load: str = ""
    groups: tuple[tuple[str, tuple], ...] = ()
    recorded: bool = False


@dataclass(frozen=True, eq=False)
class MadeLoad:
    """One of the histories that a table makes.

    Attributes
    ----------
    part : str
        Tells the histories of one table apart, "" where it makes only one; the load is called "name: part".
    history : LoadHistory
        Its channels are named by the columns of the components; those of one table all have the same channels.
    occurrence : Occurrence
        How often it occurs in the design life.
    cycles : CountedCycles or None
        Where they were counted elsewhere; the history is then that of their ends.
    """

    part: str
    history: LoadHistory
    occurrence: Occurrence
    made: Made
    cycles: CountedCycles | None = None


# (the maker's own table, the whole [[load]], folder of the job file, design life [s] or None) -> histories, or None
# where something was refused; a maker that takes `occurs` reads it from the whole load.
Maker = Callable[[Keys, Keys, Path, float | None], list[MadeLoad] | None]


def _crane() -> Maker:
    from cli.job_crane import made_by_crane

    return made_by_crane


def _machine() -> Maker:
    from cli.job_machine import made_by_machine

    return made_by_machine


def _counted() -> Maker:
    from cli.job_counted import made_by_counted

    return made_by_counted


def _events() -> Maker:
    from cli.job_events import made_by_events

    return made_by_events


MAKERS: dict[str, Callable[[], Maker]] = {
    "crane": _crane,
    "machine": _machine,
    "counted": _counted,
    "events": _events,
}


def maker_of(load: Keys) -> str:
    """The key of the maker that a load names, "" where it names a record."""
    named = [key for key in MAKERS if key in load]
    for key in named[1:]:
        load.raw(key)
        load.note(f"{named[0]} and {key} are both given; give one of them, and the other as a further [[load]]", key)
    if named and "history" in load:
        load.raw("history")
        load.note(f"history and {named[0]} are both given; give one of them", "history")
    return named[0] if named else ""


def digest(history: LoadHistory) -> tuple[str, int]:
    """SHA-256 and size [bytes] of the values of a made history, channel by channel in float64."""
    content = history.values.astype("<f8").tobytes()
    return hashlib.sha256(content).hexdigest(), len(content)
