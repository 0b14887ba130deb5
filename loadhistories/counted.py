"""Cycles that were counted elsewhere, of one load: from tables of ranges, from–to matrices and level crossings.

No history is invented for them: what is kept are the two ends of every cycle and how often it occurs. Neither their
order nor their times are known.
"""

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loadhistories.history import LoadHistory
from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive, where

Floats = NDArray[np.float64]

CHANNEL = "Load"
# How a class of a table stands for the values in it.
VALUES = ("exact", "upper edge", "middle", "lower edge")


@dataclass(frozen=True, eq=False)
class CountedCycles:
    """Cycles of one load, or of the stress that it makes.

    Attributes
    ----------
    lows, highs : array, shape (m,)
        Ends of each cycle.
    counts : array, shape (m,)
        How often each occurs in the time that the table covers, above 0. [-]
    remarks : tuple of str
        How the table was taken.

    Examples
    --------
    >>> cycles = counted_cycles([0.0, -5.0], [10.0, 5.0], [200.0, 3.0])
    >>> cycles.ranges.tolist(), cycles.means.tolist(), cycles.extremes
    ([10.0, 10.0], [5.0, 0.0], (-5.0, 10.0))
    """

    lows: Floats
    highs: Floats
    counts: Floats
    remarks: tuple[str, ...] = ()

    @cached_property
    def ranges(self) -> Floats:
        """From the lower to the upper end."""
        return self.highs - self.lows

    @cached_property
    def means(self) -> Floats:
        """Midway between the ends."""
        return 0.5 * (self.highs + self.lows)

    @property
    def extremes(self) -> tuple[float, float]:
        """Smallest and largest value that any cycle reaches."""
        return float(self.lows.min()), float(self.highs.max())

    @property
    def cycles(self) -> float:
        """Number of all cycles. [-]"""
        return float(self.counts.sum())

    def scaled(self, factor: float) -> "CountedCycles":
        """The cycles of what is `factor` times this load."""
        ends = np.sort([self.lows * factor, self.highs * factor], axis=0)
        return replace(self, lows=ends[0], highs=ends[1])

    def repeated(self, repeats: float) -> "CountedCycles":
        """The cycles of so many times what the table covers."""
        return replace(self, counts=self.counts * require_positive(repeats, "number of repeats"))

    def history(self, unit: str, covers: float) -> LoadHistory:
        """The ends of all cycles one after the other, as a history of one channel: its order and times mean nothing.

        Parameters
        ----------
        unit : str
            Base unit of the load.
        covers : float
            Time that the table covers. [s]
        """
        ends = np.column_stack([self.lows, self.highs]).reshape(1, -1)
        if ends.shape[1] < 3:
            ends = np.column_stack([ends, ends])
        ends.flags.writeable = False
        return LoadHistory((CHANNEL,), (unit,), ends, covers / ends.shape[1], None, self.remarks)


def counted_cycles(lows, highs, counts, *, remarks: tuple[str, ...] = (), place: str = "") -> CountedCycles:
    """Cycles from their ends; those that occur 0 times or have no range fall away.

    Raises
    ------
    InputError
        A count below 0 or not finite, or no cycle at all.
    """
    low, high, number = (np.asarray(values, dtype=np.float64) for values in (lows, highs, counts))
    for values, name in ((low, "end of a cycle"), (high, "end of a cycle"), (number, "number of cycles")):
        if not np.isfinite(values).all():
            raise InputError(f"{name} must be finite{where(place)}")
    if (number < 0.0).any():
        row = int(np.argmax(number < 0.0))
        raise InputError(f"number of cycles must not be below 0, got {number[row]:g} in entry {row + 1}{where(place)}")
    kept = (number > 0.0) & (high != low)
    if not kept.any():
        raise InputError(f"the table holds no cycle{where(place)}")
    ends = np.sort([low[kept], high[kept]], axis=0)
    return CountedCycles(ends[0], ends[1], number[kept], remarks)


def cycles_of_ranges(
    ranges, counts, *, means=None, lowest: float | None = None, mean: float | None = None, values: str = "exact",
    width: float = 0.0, place: str = "",
) -> CountedCycles:  # fmt: skip
    """Cycles from a table of ranges, with the mean of each, one mean for all, or one lowest value for all.

    Parameters
    ----------
    means : array, optional
        Of each range.
    lowest, mean : float, optional
        For all ranges; exactly one of `means`, `lowest` and `mean` is given.
    values, width : str, float
        One of VALUES, and the width of the classes: a range counts with the upper edge of its class.

    Raises
    ------
    InputError
        A range below 0; the position of the ranges is not given, or twice.
    """
    found = np.asarray(ranges, dtype=np.float64)
    if (found < 0.0).any():
        row = int(np.argmax(found < 0.0))
        raise InputError(f"a range must not be below 0, got {found[row]:g} in entry {row + 1}{where(place)}")
    if sum(item is not None for item in (means, lowest, mean)) != 1:
        raise InputError(f"give exactly one of the means, lowest and mean{where(place)}")
    added, remarks = _edges(values, width, "range", place)
    found = np.where(found > 0.0, found + added[0] + added[1], 0.0)
    if lowest is not None:
        require_finite(lowest, "lowest", place=place)
        low = np.full(found.shape, float(lowest))
    else:
        low = np.asarray(means if mean is None else np.full(found.shape, float(mean)), dtype=np.float64) - 0.5 * found
    return counted_cycles(low, low + found, counts, remarks=remarks, place=place)


def cycles_of_ends(
    starts, ends, counts, *, halves: bool, values: str = "exact", width: float = 0.0, place: str = ""
) -> CountedCycles:
    """Cycles from a from–to table: from one turning point to the next.

    Parameters
    ----------
    halves : bool
        Whether an entry is a way from one turning point to the next, half a cycle, or a closed cycle.
    values, width : str, float
        One of VALUES, and the width of the classes: an end counts with the outer edge of its class.
    """
    pair = np.sort([np.asarray(starts, dtype=np.float64), np.asarray(ends, dtype=np.float64)], axis=0)
    added, remarks = _edges(values, width, "end", place)
    differ = pair[0] != pair[1]
    low, high = np.where(differ, pair[0] - added[0], pair[0]), np.where(differ, pair[1] + added[1], pair[1])
    share = 0.5 if halves else 1.0
    remarks += ("an entry of the from–to table is half a cycle",) if halves else ()
    return counted_cycles(low, high, share * np.asarray(counts, dtype=np.float64), remarks=remarks, place=place)


def cycles_of_crossings(levels, crossings, *, both_ways: bool, place: str = "") -> CountedCycles:
    """Cycles from level crossings, paired so that none of the same crossings does more damage.

    The largest cycle that the crossings allow is taken as often as they allow it, then the next: the highest peak
    with the lowest valley. A peak lies at the next level above the highest one crossed, a valley at the next below.

    Parameters
    ----------
    levels : array, shape (m,)
        Rising.
    crossings : array, shape (m,)
        How often each level is crossed upwards, or both ways.
    both_ways : bool
        Whether crossings upwards and downwards are counted together.

    Raises
    ------
    InputError
        The levels do not rise, or the outermost ones are crossed: how far the load goes beyond is not known.

    Source
    ------
    ASTM E1049-85, 5.1.1.2: the most damaging pairing (from memory). The outward levels are our own caution.

    Examples
    --------
    >>> cycles = cycles_of_crossings([0.0, 1.0, 2.0, 3.0], [0.0, 5.0, 2.0, 0.0], both_ways=False)
    >>> cycles.lows.tolist(), cycles.highs.tolist(), cycles.counts.tolist()
    ([0.0, 0.0], [3.0, 2.0], [2.0, 3.0])
    """
    level, left = (np.asarray(values, dtype=np.float64) for values in (levels, crossings))
    if len(level) < 3 or (np.diff(level) <= 0.0).any():
        raise InputError(f"at least three levels are needed, each above the one before{where(place)}")
    if not np.isfinite(left).all() or (left < 0.0).any():
        raise InputError(f"numbers of crossings must be finite and not below 0{where(place)}")
    for end, word in ((0, "lowest"), (-1, "highest")):
        if left[end] > 0.0:
            raise InputError(
                f"the {word} level, {level[end]:g} in base units, is still crossed {left[end]:g} times, so that how "
                f"far the load goes beyond it is not known: add the next level, with 0 crossings{where(place)}"
            )
    left = left * (0.5 if both_ways else 1.0)
    lows, highs, counts = [], [], []
    waiting = [(1, len(level) - 1)]
    while waiting:
        start, stop = waiting.pop()
        if start >= stop:
            continue
        least = float(left[start:stop].min())
        if least > 0.0:
            lows.append(level[start - 1])
            highs.append(level[stop])
            counts.append(least)
            left[start:stop] -= least
        inner = start + np.flatnonzero(left[start:stop] == 0.0)
        bounds = [start - 1, *inner.tolist(), stop]
        waiting += [(a + 1, b) for a, b in pairwise(bounds) if b - a > 1]
    remarks = (
        "cycles from level crossings: the largest cycle that the crossings allow as often as they allow it, then the "
        "next; peaks at the next level above, valleys at the next below",
    )
    return counted_cycles(lows, highs, counts, remarks=remarks, place=place)


def _edges(values: str, width: float, what: str, place: str) -> tuple[tuple[float, float], tuple[str, ...]]:
    """What is added downwards and upwards to the value of a class, and the remark that says so."""
    if values in ("middle", "lower edge") or (values == "upper edge" and what == "end"):
        require_positive(width, "class_width", place=place)
    else:
        require_not_negative(width, "class_width", place=place)
    if values == "exact":
        return (0.0, 0.0), (f"each {what} is taken as it stands in the table",)
    outward = "its upper edge" if what == "range" else "the outer edge of its class"
    remark = (f"each class counts with {outward}",) if what == "range" else (f"each {what} counts with {outward}",)
    if what == "range":
        return (0.0, {"upper edge": 0.0, "middle": 0.5 * width, "lower edge": width}[values]), remark
    half = 0.5 * width
    return {"upper edge": (width, 0.0), "middle": (half, half), "lower edge": (0.0, width)}[values], remark
