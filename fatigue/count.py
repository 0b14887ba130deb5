"""CycleCount: the cycles of one history as a value that can be joined to others and repeated."""

import operator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from fatigue.channel import OpenPoints
from fatigue.kernel import kernel_for
from fatigue.tallies import CycleTable, DamageSum, Tally
from fatigue.turning import turning_points
from loadhistories.validation import InputError, require_positive

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class CycleCount:
    """The cycles of one history, as a value: `a + b` counts the joined history, `n * a` the repeated one.

    Attributes
    ----------
    tally : CycleList, Histogram or DamageSum
        What was kept of the closed cycles.
    residue : array, shape (k,)
        The turning points that are in no closed cycle, the first and the last sample among them. Unit of the
        history, as all ranges and means.
    samples : int
        Number of samples counted.

    Limits
    ------
    Joined and repeated counts hold the same cycles as the count of the whole history, in another order; a
    damage sum differs from it by rounding only. The count of nothing adds nothing, whatever it keeps.

    Source
    ------
    ASTM E1049-85, 5.4.4: a closed cycle counts 1, a range of the residue counts 0.5.

    Examples
    --------
    >>> from fatigue.cycles import count_cycles
    >>> first, second = count_cycles([-2, 1, -3, 5, -1]), count_cycles([3, -4, 4, -2])
    >>> (first + second).ranges.tolist()
    [4.0, 3.0, 4.0, 8.0, 9.0, 8.0, 6.0]
    >>> (first + second).counts.tolist()
    [1.0, 0.5, 0.5, 0.5, 0.5, 0.5, 0.5]
    """

    tally: Tally
    residue: Floats
    samples: int

    @property
    def closed(self) -> CycleTable:
        """The closed cycles: ranges, means and how many of each."""
        end = len(self._table.ranges) - max(len(self.residue) - 1, 0)
        return CycleTable(*(column[:end] for column in self._table))

    @property
    def ranges(self) -> Floats:
        """Range of each cycle, then of each half cycle. Shape (m,)."""
        return self._table.ranges

    @property
    def means(self) -> Floats:
        """Mean of each cycle, then of each half cycle. Shape (m,)."""
        return self._table.means

    @property
    def counts(self) -> Floats:
        """How often each cycle occurs: 0.5 for a half cycle. Shape (m,). [-]"""
        return self._table.counts

    @property
    def extremes(self) -> tuple[float, float] | None:
        """Smallest and largest value of the whole history; None of an empty one."""
        return (float(self.residue.min()), float(self.residue.max())) if len(self.residue) else None

    def repeated(self, repeats: float) -> CycleTable:
        """The cycles of the history repeated so many times, not necessarily a whole number of times.

        Between whole numbers, and between none and one, the numbers of cycles are interpolated linearly: 2.5
        repetitions count half of what 2 and 3 count together.

        Parameters
        ----------
        repeats : float
            How often the history occurs, above 0. [-]

        Returns
        -------
        CycleTable
            Ranges, means, and how many of each.

        Raises
        ------
        InputError
            `repeats` is not above 0, or only a damage sum was kept.
        """
        once, further = _shares(repeats)
        joined = self._joint.table(half_cycles(np.empty(0))) if further else CycleTable(*np.empty((3, 0)))
        halves = half_cycles(self.residue)
        tables = ((self.closed, once + further), (joined, further), (halves, once))
        ranges, means = (np.concatenate([table[column] for table, _ in tables]) for column in (0, 1))
        return CycleTable(ranges, means, np.concatenate([times * table.counts for table, times in tables]))

    def damage(self, repeats: float = 1.0) -> Floats:
        """The damage sum of the history, repeated so many times, on each curve it was counted on. [-]

        Parameters
        ----------
        repeats : float
            As for `repeated`. [-]

        Returns
        -------
        array, shape (n_curves,)

        Raises
        ------
        InputError
            `repeats` is not above 0, or cycles were kept: then a curve's own `damage` takes them.
        """
        once, further = _shares(repeats)
        if not isinstance(self.tally, DamageSum):
            raise InputError("cycles were kept, no damage sum; give .ranges and .counts to the curve's damage")
        total = once * self.tally.damage(half_cycles(self.residue).ranges, 0.5)
        nothing = np.empty(0)
        if further:
            total = total + further * (self.tally.damage(nothing, 1.0) + self._joint.damage(nothing, 1.0))
        return total

    def __add__(self, other: "CycleCount") -> "CycleCount":
        if not isinstance(other, CycleCount):
            return NotImplemented
        if other.samples == 0 or self.samples == 0:
            return self if other.samples == 0 else other
        if self.tally.mode != other.tally.mode:
            raise InputError(
                f"counts that keep {self.tally.mode} and {other.tally.mode} do not add; count both alike"
            )
        junction, residue = _junction(self.tally, self.residue, other.residue)
        total = self.tally.combined([(self.tally, 1.0), (other.tally, 1.0), (junction, 1.0)])
        return CycleCount(total, residue, self.samples + other.samples)

    def __mul__(self, times: int) -> "CycleCount":
        if isinstance(times, bool) or not hasattr(times, "__index__"):
            raise InputError(f"a count is repeated a whole number of times, got {times!r}; use .repeated for others")
        whole = operator.index(times)
        if whole < 1:
            raise InputError(f"a count is repeated at least once, got {whole}")
        if whole == 1 or self.samples == 0:
            return self
        total = self.tally.combined([(self.tally, float(whole)), (self._joint, float(whole - 1))])
        return CycleCount(total, self.residue, whole * self.samples)

    __rmul__ = __mul__

    @property
    def further(self) -> "CycleCount":
        """What every further repeat adds where the history directly follows itself; it leaves nothing open.

        The points that a history leaves open are the same after one repeat and after many, so n repeats in a row
        close this n - 1 times besides the count itself.
        """
        total = self.tally.combined([(self.tally, 1.0), (self._joint, 1.0)])
        return CycleCount(total, np.empty(0), self.samples)

    def __post_init__(self):
        self.residue.flags.writeable = False

    @cached_property
    def _table(self) -> CycleTable:
        table = self.tally.table(half_cycles(self.residue))
        for column in table:
            column.flags.writeable = False
        return table

    @cached_property
    def _joint(self) -> Tally:
        # What each further repetition closes besides its own cycles; it leaves the same points open.
        return _junction(self.tally, self.residue, self.residue)[0]


def half_cycles(residue: Floats) -> CycleTable:
    """The ranges between the points of a residue, each as half a cycle."""
    steps = np.abs(np.diff(residue))
    return CycleTable(steps, 0.5 * (residue[1:] + residue[:-1]), np.full(len(steps), 0.5))


def _shares(repeats: float) -> tuple[float, float]:
    number = require_positive(repeats, "number of repeats")
    return min(number, 1.0), max(number - 1.0, 0.0)


def _junction(like: Tally, first: Floats, second: Floats) -> tuple[Tally, Floats]:
    """What two residues close when the second follows the first, and what then is open."""
    closed = like.combined([])
    points = turning_points(np.concatenate((first, second)))
    left = OpenPoints(np.empty(0))
    left.push(kernel_for(len(points)), points, closed)
    return closed, left.values
