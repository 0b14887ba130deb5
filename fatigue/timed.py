"""Cycles with the times of their turning points, for the part of a history that does damage.

Counting for damage stands in `fatigue.cycles` and knows no times; here the same rule closes the cycles.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.gate import places_without_small_cycles
from fatigue.kernel import FLOOR, close_cycles
from fatigue.turning import turning_places
from loadhistories.products import product
from loadhistories.validation import InputError

Floats = NDArray[np.float64]
Places = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class TimedPoints:
    """Turning points of a history and where they stand in it.

    Attributes
    ----------
    values : array, shape (n,)
        In the unit of the history.
    places : array, shape (n,)
        Number of the sample of each, rising.
    samples : int
        Of the whole history.
    """

    values: Floats
    places: Places
    samples: int


@dataclass(frozen=True, eq=False)
class TimedCycles:
    """Cycles, each with its two turning points and the sample that closes it; arrays of shape (m,).

    Attributes
    ----------
    ranges, means : array
        Unit of the history.
    first, second, closing : array
        Numbers of samples. What closes only when the history is repeated counts them on over its end.
    """

    ranges: Floats
    means: Floats
    first: Places
    second: Places
    closing: Places


@dataclass(frozen=True, eq=False)
class TimedCount:
    """What `fatigue.cycles` counts of a history, with times.

    Attributes
    ----------
    closed : TimedCycles
        Cycles that close within the history.
    joined : TimedCycles
        Cycles that close besides, each time the history follows itself.
    halves : TimedCycles
        Half cycles of what stays open at the end of all.
    """

    closed: TimedCycles
    joined: TimedCycles
    halves: TimedCycles
    samples: int


class TimedWalk:
    """Takes several stress histories in, chunk by chunk, and keeps the turning points of what is not small.

    Parameters
    ----------
    coefficients : array, shape (k, 6)
        Stress of each history per load component.
    smallest : sequence of float, length k
        Range from which on cycles are wanted; 0 wants all. [MPa]
    """

    def __init__(self, coefficients: ArrayLike, smallest: Sequence[float]):
        self._coefficients = np.asarray(coefficients, dtype=np.float64)
        self._smallest = list(smallest)
        self._parts: list[list[tuple[Floats, Places]]] = [[] for _ in self._smallest]
        self._samples = 0
        self.kept = 0

    def feed(self, chunk: Floats) -> None:
        """The next part of the history, shape (6, m). [N, N mm]"""
        for row, smallest, parts in zip(product(self._coefficients, chunk), self._smallest, self._parts, strict=True):
            if len(row) == 0:
                continue
            places = _kept_places(row, smallest)
            parts.append((row[places], places + self._samples))
            self.kept += len(places)
        self._samples += chunk.shape[1]

    def points(self) -> tuple[TimedPoints, ...]:
        """The turning points of each history so far."""
        return tuple(
            _joined(parts, smallest, self._samples)
            for parts, smallest in zip(self._parts, self._smallest, strict=True)
        )


def timed_points(values: ArrayLike, smallest: float = 0.0) -> TimedPoints:
    """The turning points of a history held whole, without closed cycles below `smallest`."""
    given = np.asarray(values, dtype=np.float64)
    if given.ndim != 1 or not np.isfinite(given).all():
        raise InputError(f"values must be finite and of shape (n,), got shape {given.shape}")
    return _joined([(given, np.arange(len(given)))], smallest, len(given))


def timed_count(points: TimedPoints) -> TimedCount:
    """Cycles of a history with their times.

    Parameters
    ----------
    points : TimedPoints
        From `TimedWalk` or `timed_points`.

    Limits
    ------
    Cycles below the range that the points were kept from may be missing, and half cycles among them.

    Examples
    --------
    >>> count = timed_count(timed_points([-2, 1, -3, 5, -1, 3, -4, 4, -2]))
    >>> count.closed.ranges.tolist(), count.closed.first.tolist(), count.closed.closing.tolist()
    ([4.0], [4], [6])
    """
    closed, left = _close(points.values, points.places)
    values, places = points.values[left], points.places[left]
    twice = np.concatenate((values, values))
    turns = turning_places(twice)
    places_twice = np.concatenate((places, places + points.samples))
    joined, _ = _close(twice[turns], places_twice[turns])
    halves = TimedCycles(
        np.abs(np.diff(values)), 0.5 * (values[1:] + values[:-1]), places[:-1], places[1:], places[1:]
    )
    return TimedCount(closed, joined, halves, points.samples)


def _close(values: Floats, places: Places) -> tuple[TimedCycles, Places]:
    """The cycles that close, and which points stay open."""
    stack = [float("nan")] * FLOOR + [0.0] * len(values)
    ranges, means = [0.0] * (len(values) // 2 + 1), [0.0] * (len(values) // 2 + 1)
    size, open_points, found = FLOOR, [], []
    for place, value in enumerate(values.tolist()):
        size, closed = close_cycles((value,), 1, stack, size, ranges, means)
        for number in range(closed):
            second, first = open_points.pop(), open_points.pop()
            found.append((ranges[number], means[number], first, second, place))
        open_points.append(place)
    table = np.array(found, dtype=np.float64).reshape(-1, 5).T
    at = [places[column.astype(np.int64)] if len(places) else column.astype(np.int64) for column in table[2:]]
    return TimedCycles(table[0], table[1], *at), np.array(open_points, dtype=np.int64)


def _joined(parts: list[tuple[Floats, Places]], smallest: float, samples: int) -> TimedPoints:
    """Turning points of parts that follow each other, thinned again over their seams."""
    if not parts:
        return TimedPoints(np.empty(0), np.empty(0, np.int64), samples)
    values, places = (np.concatenate(column) for column in zip(*parts, strict=True))
    kept = _kept_places(values, smallest)
    return TimedPoints(values[kept], places[kept], samples)


def _kept_places(values: Floats, smallest: float) -> Places:
    turns = turning_places(values)
    return turns if smallest <= 0.0 else turns[places_without_small_cycles(values[turns], smallest)]
