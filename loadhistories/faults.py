"""Fault: one thing that is wrong with a record, or looks so, with where and how large it is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

# In the order in which they are looked for and treated.
KINDS = (
    "uneven stamps", "repeated row", "break in time", "swapped date", "missing value", "marker", "stuck", "dead",
    "clipped", "spike", "step", "drift", "coarse sampling",
)  # fmt: skip


@dataclass(frozen=True)
class Fault:
    """One fault of a record.

    Attributes
    ----------
    kind : str
        One of KINDS.
    channel : str
        "" for the time base.
    first, samples : int
        First sample concerned, counted from 0, and their number.
    time, until : float
        Of the first and the last of them, from the first row of the record. [s]
    value : float or None
        As it was read (of several the furthest off), in the channel's base unit.
    size : float or None
        How far it is from what is sound, in the channel's base unit; of the time base in seconds.
    words : str
        What was found, for the reader.
    """

    kind: str
    channel: str
    first: int
    samples: int
    time: float
    until: float
    value: float | None
    size: float | None
    words: str


def runs(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last place of every unbroken run of true flags."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False])).astype(np.int8)))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def equal_runs(values: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """First places and lengths of the runs of equal neighbours."""
    starts = np.concatenate(([0], np.flatnonzero(np.diff(values) != 0.0) + 1))
    return starts, np.diff(np.append(starts, values.size))


def resolution(values: NDArray[np.float64]) -> float:
    """Smallest step between two different neighbours, at least what a float of this size can tell apart."""
    steps = np.abs(np.diff(values))
    steps = steps[steps > 0.0]
    least = 1e-9 * float(np.abs(values).max(initial=0.0))
    return max(float(steps.min()), least) if steps.size else least
