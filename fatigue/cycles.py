"""Rainflow cycles of a history, and their verification by an independent count. The public face of counting.

How cycles close is in kernel.py, what is kept of them in tallies.py, how counts join in count.py.
"""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.count import CycleCount
from fatigue.counter import CycleCounter, real_numbers
from fatigue.tallies import Bins, Curve, CycleList, CycleTable
from loadhistories.validation import InputError

__all__ = ["Bins", "CountMismatch", "CycleCount", "CycleCounter", "CycleTable", "count_cycles", "verify"]


class CountMismatch(RuntimeError):
    """Two independent counts of the same history do not agree: a fault of ours, not of the user."""


def count_cycles(
    values: ArrayLike, *, keep: str = "cycles", bins: Bins | None = None, curves: Sequence[Curve] | None = None
) -> CycleCount:
    """The rainflow cycles of a history. Unit of `values`.

    Parameters
    ----------
    values : array, shape (n,)
        The history. One sample or none has no cycle; two different ones are half a cycle.
    keep : str
        "cycles": every cycle; "histogram": numbers in cells of range and mean, on the safe side (see `Bins`);
        "damage": only the damage sum on each curve.
    bins : Bins
        The cells of a histogram.
    curves : sequence
        For damage: objects with `damage(ranges, counts) -> float`, such as life curves.

    Returns
    -------
    CycleCount

    Raises
    ------
    InputError
        A value is not finite, the shape is not (n,), or `keep` and its companions do not fit.

    Limits
    ------
    Every range counts, however small. The cycles come in the order of closing, which is no order of time.

    Source
    ------
    ASTM E1049-85, 5.4.4. It counts each range not counted before as half a cycle: so also that of a
    history of two points.

    Examples
    --------
    >>> count = count_cycles([-2, 1, -3, 5, -1, 3, -4, 4, -2])
    >>> sorted(zip(count.ranges.tolist(), count.counts.tolist()))
    [(3.0, 0.5), (4.0, 0.5), (4.0, 1.0), (6.0, 0.5), (8.0, 0.5), (8.0, 0.5), (9.0, 0.5)]
    """
    given = real_numbers(values)
    if given.ndim != 1:
        raise InputError(f"values must have shape (n,), got {given.shape}; count one history at a time")
    counter = CycleCounter(keep=keep, bins=bins, curves=curves)
    counter.feed(given)
    return counter.count()


@dataclass(frozen=True)
class Verification:
    """A second count that agrees with the first.

    Attributes
    ----------
    cycles : float
        Sum of the counts of both. [-]
    difference : float
        Largest difference between ranges, or means, of the two. Unit of the history.
    """

    cycles: float
    difference: float


def verify(values: ArrayLike, count: CycleCount) -> Verification:
    """Count the history again with the `rainflow` package and demand the same cycles.

    Parameters
    ----------
    values : array, shape (n,)
        The history, finite.
    count : CycleCount
        What `count_cycles(values)` gave.

    Returns
    -------
    Verification

    Raises
    ------
    CountMismatch
        The two hold different cycles.
    InputError
        The count kept no cycles, or the history is not finite.

    Limits
    ------
    `rainflow` compares rounded differences, this count compares the values; where two ranges differ by a
    rounding error it may pair the points differently. Cycles that agree within 8 units in the last place of
    the largest value are the same. Beyond 300 decades between values the package loses reversals. It has no
    cycle for two points: it is given the first one twice.
    """
    if not isinstance(count.tally, CycleList):
        raise InputError(f'only whole cycles can be verified, this count kept {count.tally.mode}; use keep="cycles"')
    given = real_numbers(values)
    if given.ndim != 1 or not np.isfinite(given).all():
        raise InputError("only a history of shape (n,) without gaps can be verified; give the values that were counted")
    theirs = _rainflow_cycles(given)
    ours = _halves(count.ranges, count.means, count.counts)
    total = sum(ours.values()) / 2
    if sum(theirs.values()) != sum(ours.values()):
        raise CountMismatch(f"{total:g} cycles were counted, rainflow counts {sum(theirs.values()) / 2:g}")
    tolerance = 8 * np.spacing(np.abs(given).max()) if len(given) else 0.0
    left, right = (np.array(sorted(pairs.elements())) for pairs in (ours - theirs, theirs - ours))
    difference = float(np.abs(np.sort(left, 0) - np.sort(right, 0)).max()) if len(left) else 0.0
    if difference > tolerance:
        raise CountMismatch(f"a cycle differs by {difference:g} from that of rainflow; rounding is {tolerance:g}")
    return Verification(total, difference)


def _halves(ranges: NDArray[np.float64], means: NDArray[np.float64], counts: NDArray[np.float64]) -> Counter:
    """How many half cycles there are of each range and mean."""
    halves = Counter()
    for cycle, number in zip(zip(ranges.tolist(), means.tolist(), strict=True), counts.tolist(), strict=True):
        halves[cycle] += round(2 * number)
    return halves


def _rainflow_cycles(values: NDArray[np.float64]) -> Counter:
    from rainflow import extract_cycles

    # The package multiplies slopes, which vanish below 1e-162: a power of two brings the values far above.
    largest = np.abs(values).max() if len(values) else 0.0
    shift = 500 - math.frexp(largest)[1]
    scaled = np.ldexp(values, shift).tolist()
    if len(scaled) == 2:
        scaled.insert(0, scaled[0])
    halves = Counter()
    for span, mean, number, _, _ in extract_cycles(scaled):
        if span > 0:
            halves[math.ldexp(span, -shift), math.ldexp(mean, -shift)] += round(2 * number)
    return halves
