"""What is kept of the cycles that closed: every one, a histogram, or only the damage they do.

A tally grows by parts. A part is made of some cycles without touching the tally, so that several threads
can make parts; `take` adds it. Cycles kept whole and histograms add exactly, damage within rounding.
A tally that is `whole` keeps the very arrays it is given.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol

import numpy as np
from numpy.typing import NDArray

from loadhistories.validation import InputError, require_one_of, require_positive

Floats = NDArray[np.float64]

# A histogram with more cells than this is no summary; 32 MB.
LARGEST_GRID = 4_000_000


class CycleTable(NamedTuple):
    """Cycles as three arrays of one length: range and mean in the unit of the history, and how many. [-]"""

    ranges: Floats
    means: Floats
    counts: Floats


class Curve(Protocol):
    """Anything that turns ranges and their counts into a damage sum."""

    def damage(self, ranges: Floats, counts: Floats) -> float: ...


@dataclass(frozen=True)
class Bins:
    """The cells of a histogram of ranges and means, open towards larger values.

    A cycle counts with the upper edge of its range's cell, which is never below its own range, and with
    the middle of its mean's cell.

    Attributes
    ----------
    range_width, mean_width : float
        Width of the cells, in the unit of the history.

    Examples
    --------
    >>> Bins.dividing(ranges=50, up_to=200.0, means=10, between=(-100.0, 100.0))
    Bins(range_width=4.0, mean_width=20.0)
    """

    range_width: float
    mean_width: float

    def __post_init__(self):
        require_positive(self.range_width, "width of the range bins")
        require_positive(self.mean_width, "width of the mean bins")

    @classmethod
    def dividing(cls, *, ranges: int, up_to: float, means: int, between: tuple[float, float]) -> "Bins":
        """Bins by number: `ranges` of them up to a largest range, `means` of them between two means.

        Cycles beyond the bounds are kept too, in further cells of the same width.
        """
        low, high = between
        require_positive(ranges, "number of range bins")
        require_positive(means, "number of mean bins")
        span = require_positive(high - low, "span of the means")
        return cls(require_positive(up_to, "largest range") / ranges, span / means)

    def cells(self, ranges: Floats, means: Floats) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """The cell of each cycle: the multiple of the width at its upper range edge and at its lower mean edge."""
        rows = np.ceil(ranges / self.range_width)
        rows += rows * self.range_width < ranges
        columns = np.floor(means / self.mean_width)
        if len(rows) and max(rows.max(), abs(columns).max()) > 2.0**31:
            raise InputError(
                f"histogram bins {self.range_width:g} and {self.mean_width:g} wide are too narrow for cycles "
                f"of range up to {ranges.max():g} and mean up to {abs(means).max():g}; give wider bins"
            )
        return rows.astype(np.int64), columns.astype(np.int64)


class CycleList:
    """Every closed cycle, in the order of closing, with its number."""

    mode = "cycles"
    whole = True

    def __init__(self):
        self._parts: list[tuple[Floats, Floats, float]] = []

    def part(self, ranges: Floats, means: Floats):
        """A part of these cycles: the arrays themselves."""
        return ranges, means

    def take(self, part, times: float = 1.0) -> None:
        """Add a part, each of its cycles so many times."""
        if len(part[0]):
            self._parts.append((*part, times))

    def combined(self, terms: Sequence[tuple["CycleList", float]]) -> "CycleList":
        """A new tally: the sum of tallies, each so many times."""
        total = CycleList()
        total._parts = [(r, m, n * times) for tally, times in terms for r, m, n in tally._parts]
        return total

    def table(self, halves: CycleTable) -> CycleTable:
        """The closed cycles, then the half cycles."""
        parts = [*self._parts, (halves.ranges, halves.means, 0.5)]
        counts = np.ones(sum(len(ranges) for ranges, _, _ in parts))
        end = 0
        for ranges, _, number in parts:
            start, end = end, end + len(ranges)
            if number != 1.0:
                counts[start:end] = number
        return CycleTable(*(np.concatenate([part[column] for part in parts]) for column in (0, 1)), counts)


class Histogram:
    """The numbers of closed cycles in cells of range and mean."""

    mode = "histogram"
    whole = False

    def __init__(self, bins: Bins):
        self.bins = bins
        self._corner = (0, 0)
        self._grid = np.zeros((0, 0))

    def part(self, ranges: Floats, means: Floats):
        """The corner cell and the grid of these cycles."""
        if len(ranges) == 0:
            return (0, 0), np.zeros((0, 0))
        rows, columns = self.bins.cells(ranges, means)
        corner = (int(rows.min()), int(columns.min()))
        shape = (int(rows.max()) - corner[0] + 1, int(columns.max()) - corner[1] + 1)
        self._require_room(shape)
        flat = (rows - corner[0]) * shape[1] + (columns - corner[1])
        return corner, np.bincount(flat, minlength=shape[0] * shape[1]).reshape(shape)

    def take(self, part, times: float = 1.0) -> None:
        """Add a part, each of its cycles so many times."""
        corner, grid = part
        if grid.size == 0:
            return
        self._reach(corner, grid.shape)
        top, left = corner[0] - self._corner[0], corner[1] - self._corner[1]
        self._grid[top : top + grid.shape[0], left : left + grid.shape[1]] += times * grid

    def combined(self, terms: Sequence[tuple["Histogram", float]]) -> "Histogram":
        """A new tally: the sum of tallies of the same bins, each so many times."""
        total = Histogram(self.bins)
        for tally, times in terms:
            if tally.bins != self.bins:
                raise InputError(f"histograms of different bins do not add: {self.bins} and {tally.bins}")
            total.take((tally._corner, tally._grid), times)
        return total

    def table(self, halves: CycleTable) -> CycleTable:
        """The cells that hold cycles: upper edge of the range, middle of the mean, number; then the half cycles."""
        rows, columns = np.nonzero(self._grid)
        ranges = (rows + self._corner[0]) * self.bins.range_width
        means = (columns + self._corner[1] + 0.5) * self.bins.mean_width
        cells = (ranges, means, self._grid[rows, columns])
        return CycleTable(*(np.concatenate(pair) for pair in zip(cells, halves, strict=True)))

    def _reach(self, corner: tuple[int, int], shape: tuple[int, int]) -> None:
        held = self._grid.shape
        if self._grid.size == 0:
            self._corner, self._grid = corner, np.zeros(shape)
            return
        first = [min(a, b) for a, b in zip(self._corner, corner, strict=True)]
        ends = [
            max(a + m, b + n) for a, m, b, n in zip(self._corner, held, corner, shape, strict=True)
        ]
        wanted = (ends[0] - first[0], ends[1] - first[1])
        if wanted == held:
            return
        self._require_room(wanted)
        grown = np.zeros(wanted)
        top, left = self._corner[0] - first[0], self._corner[1] - first[1]
        grown[top : top + held[0], left : left + held[1]] = self._grid
        self._corner, self._grid = (first[0], first[1]), grown

    def _require_room(self, shape: tuple[int, int]) -> None:
        if math.prod(shape) > LARGEST_GRID:
            raise InputError(
                f"histogram bins {self.bins.range_width:g} by {self.bins.mean_width:g} would need "
                f"{shape[0]} x {shape[1]} cells; at most {LARGEST_GRID} are kept: give wider bins"
            )


class DamageSum:
    """Only the damage that the closed cycles do on each curve."""

    mode = "damage"
    whole = False

    def __init__(self, curves: Sequence[Curve]):
        self.curves = tuple(curves)
        self._sums = np.zeros(len(self.curves))

    def part(self, ranges: Floats, means: Floats):
        """The damage of these cycles on each curve; no cycle is kept."""
        if len(ranges) == 0:
            return np.zeros(len(self.curves))
        return self._damage(ranges, 1.0)

    def take(self, part, times: float = 1.0) -> None:
        """Add a part, each of its cycles so many times."""
        self._sums = self._sums + times * part

    def combined(self, terms: Sequence[tuple["DamageSum", float]]) -> "DamageSum":
        """A new tally: the sum of tallies on the same curves, each so many times."""
        total = DamageSum(self.curves)
        for tally, times in terms:
            if tally.curves != self.curves:
                raise InputError("damage sums on different curves do not add; count both on the same curves")
            total.take(tally._sums, times)
        return total

    def damage(self, half_ranges: Floats, half_count: float) -> Floats:
        """The sum of each curve, with further ranges that count `half_count` each."""
        return self._sums + self._damage(half_ranges, half_count) if len(half_ranges) else self._sums.copy()

    def table(self, halves: CycleTable) -> CycleTable:
        """Refused: nothing but the sum is left."""
        raise InputError('only the damage sum was kept, no cycles; count with keep="cycles" or "histogram"')

    def _damage(self, ranges: Floats, count: float) -> Floats:
        counts = np.full(len(ranges), count)
        return np.array([float(curve.damage(ranges, counts)) for curve in self.curves])


Tally = CycleList | Histogram | DamageSum
KEEP = (CycleList.mode, Histogram.mode, DamageSum.mode)


def tally(keep: str, bins: Bins | None, curves: Sequence[Curve] | None) -> Tally:
    """An empty tally for one of KEEP.

    Raises
    ------
    InputError
        The way of keeping is unknown, or `bins` or `curves` do not go with it.
    """
    require_one_of(keep, KEEP, "keep")
    if (bins is not None) != (keep == "histogram"):
        raise InputError('bins go with keep="histogram" and are needed for it: give both or none')
    if (curves is not None) != (keep == "damage"):
        raise InputError('curves go with keep="damage" and are needed for it: give both or none')
    if keep == "histogram":
        return Histogram(bins)
    if keep == "damage":
        if len(curves) == 0:
            raise InputError("a damage sum needs at least one curve, got none")
        return DamageSum(curves)
    return CycleList()
