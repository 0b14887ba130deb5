"""Unbroken parts of a record: rows that cannot be counted are left out, and what stands on both sides is joined."""

import itertools
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from loadhistories.clipping import stuck_runs
from loadhistories.faults import Fault, runs
from loadhistories.gaps import late_stamps, missing_values, odd_steps, repeated_rows, time_faults
from loadhistories.raw import RawRecord
from loadhistories.validation import InputError


@dataclass(frozen=True)
class Segment:
    """An unbroken part of a record.

    Attributes
    ----------
    first, samples : int
        First sample of the record that is counted, from 0, and their number.
    time : float
        Of its first sample, from the first row of the file. [s]
    """

    first: int
    samples: int
    time: float


@dataclass(frozen=True)
class Change:
    """What one treatment did at one place.

    Attributes
    ----------
    treatment : str
        Key of the treatment.
    channel : str
        "" for rows that were left out.
    time, until : float
        From the first row of the file. [s]
    samples : int
        Concerned by it.
    before, after : float or None
        Value that was changed most, in the channel's base unit; None where rows were left out.
    at : float or None
        When that value stands. [s]
    """

    treatment: str
    channel: str
    time: float
    until: float
    samples: int
    before: float | None
    after: float | None
    at: float | None = None

    @property
    def size(self) -> float:
        """By how much the value moved; 0 for rows that were left out."""
        return 0.0 if self.before is None or self.after is None else abs(self.after - self.before)


class SoundRows(NamedTuple):
    """Values without gaps, shape (n_channels, m), the rows of the file they are, from 0, and their step. [s]"""

    values: NDArray[np.float64]
    places: NDArray[np.int64]
    step: float


def sound_rows(raw: RawRecord, treatments) -> tuple[SoundRows, tuple[Segment, ...], tuple[Change, ...]]:
    """The rows that are counted, their segments, and what was left out or bridged.

    Parameters
    ----------
    treatments : loadhistories.cleaning.Treatments

    Raises
    ------
    InputError
        Every fault of these kinds that no treatment is named for, and a record of which nothing is left.
    """
    changes: list[Change] = []
    kept, step = _even_rows(raw, treatments, changes)
    breaks = _breaks(raw, kept, step, treatments)
    values, gone = _without_gaps(raw, kept, breaks, treatments, changes)
    if treatments.stuck:
        gone |= _stuck(raw, kept, changes)
    rest = ~gone
    if rest.sum() < 3:
        raise InputError(f"cleaning leaves {int(rest.sum())} samples of the record ({raw.path})")
    starts = _starts(breaks, rest)
    places = kept[rest]
    values = values if rest.all() else values[:, rest]
    edges = np.append(starts, places.size)
    segments = tuple(
        Segment(int(a), int(b - a), raw.time_of(int(places[a]))) for a, b in itertools.pairwise(edges)
    )
    return SoundRows(values, places, step), segments, tuple(sorted(changes, key=lambda change: change.time))


def _even_rows(raw: RawRecord, treatments, changes: list[Change]) -> tuple[NDArray[np.int64], float]:
    """The rows without those that repeat, and their step."""
    kept, step = np.arange(raw.samples), raw.step
    repeated = repeated_rows(raw)
    if repeated.any():
        if not treatments.repeated:
            first, _ = runs(repeated)[0]
            raise InputError(
                f'row that repeats the one before, time and values: repeated = "drop" leaves such rows out '
                f"({raw.place(first)})"
            )
        for first, last in runs(repeated):
            changes.append(_left_out("repeated", raw, first, last))
        kept = np.flatnonzero(~repeated)
    if treatments.stamps and raw.times is not None:
        times = raw.times[kept]
        if not late_stamps(times, step):
            raise InputError(
                f'stamps = "even" is for late stamps of even samples: here they stray from an even run ({raw.path})'
            )
        step = float(times[-1] - times[0]) / (times.size - 1)
    return kept, step


def _breaks(raw: RawRecord, kept: NDArray[np.int64], step: float, treatments) -> NDArray[np.int64]:
    """Places among the kept rows at which a new segment begins."""
    if raw.times is None or treatments.stamps:
        return np.array([], np.int64)
    found = np.flatnonzero(odd_steps(raw.times[kept], step)) + 1
    if found.size and not treatments.breaks:
        faults = [fault for fault in time_faults(raw) if fault.kind in ("break in time", "uneven stamps")]
        remedy = 'stamps = "even" takes them as even' if faults[0].kind == "uneven stamps" else (
            'breaks = "join" counts the parts one after the other'
        )  # fmt: skip
        more = f", and {len(faults) - 1} more" if len(faults) > 1 else ""
        raise InputError(f"{faults[0].words}{more}: {remedy} ({raw.place(faults[0].first)})")
    return found


def _without_gaps(raw: RawRecord, kept, breaks, treatments, changes) -> tuple[NDArray, NDArray[np.bool_]]:
    """Values of the kept rows with short gaps bridged, and which rows still have one."""
    values = raw.values if kept.size == raw.samples else raw.values[:, kept]
    gaps = np.isnan(values)
    if not gaps.any():
        return values, np.zeros(kept.size, bool)
    if treatments.bridge:
        values = np.array(values)
        for row, name in enumerate(raw.names):
            for first, last in runs(gaps[row]):
                if _bridge(values[row], first, last, breaks, treatments.bridge / raw.step):
                    at = raw.time_of(int(kept[first])), raw.time_of(int(kept[last]))
                    value = float(values[row, first])
                    changes.append(Change("missing", name, *at, last - first + 1, None, value, at[0]))
    left = np.isnan(values)
    if left.any() and not treatments.missing:
        raise InputError(_refusal(raw, treatments))
    for first, last in runs(left.any(axis=0)):
        changes.append(_left_out("missing", raw, int(kept[first]), int(kept[last])))
    return values, left.any(axis=0)


def _bridge(values: NDArray[np.float64], first: int, last: int, breaks, longest: float) -> bool:
    """Close a gap by the line between its neighbours, unless it is too long, at an end or across a break."""
    if last - first + 1 > longest * (1 + 1e-9) or first == 0 or last == values.size - 1:
        return False
    if ((breaks >= first) & (breaks <= last + 1)).any():
        return False
    values[first : last + 1] = np.interp(
        np.arange(first, last + 1), [first - 1, last + 1], [values[first - 1], values[last + 1]]
    )
    return True


def _stuck(raw: RawRecord, kept, changes) -> NDArray[np.bool_]:
    """Kept rows in which a channel stands still that otherwise moves."""
    gone = np.zeros(kept.size, bool)
    for values in raw.values[:, kept]:
        sound = np.flatnonzero(~np.isnan(values))
        for first, last in stuck_runs(values[sound]):
            gone[sound[first] : sound[last] + 1] = True
    for first, last in runs(gone):
        changes.append(_left_out("stuck", raw, int(kept[first]), int(kept[last])))
    return gone


def _starts(breaks: NDArray[np.int64], rest: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Places, among the rows that are left, of the first row of every segment."""
    begins = np.zeros(rest.size, bool)
    begins[0] = True
    begins[breaks] = True
    begins[1:] |= ~rest[:-1]
    number = np.cumsum(begins)[rest]
    return np.flatnonzero(np.diff(number, prepend=0) != 0)


def _left_out(treatment: str, raw: RawRecord, first: int, last: int) -> Change:
    return Change(treatment, "", raw.time_of(first), raw.time_of(last), last - first + 1, None, None)


def _refusal(raw: RawRecord, treatments) -> str:
    gaps: list[Fault] = missing_values(raw)
    first = gaps[0]
    more = f" and {len(gaps) - 1} more gaps" if len(gaps) > 1 else ""
    remedy = (
        f"longer than the {treatments.bridge:g} s to bridge: longer ones are left out with cut = true"
        if treatments.bridge else 'missing = "cut" leaves such rows out'
    )  # fmt: skip
    return f"{first.words} in column {first.channel!r}{more}: {remedy} ({raw.place(first.first)})"
