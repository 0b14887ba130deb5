"""Largest and smallest values of quantities that are linear in the load, over all load blocks of a joint."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from slip.events import PERMANENT_ALONE, Combination, Instant


@dataclass(frozen=True, eq=False)
class Peak:
    """The largest value of one quantity in one sense, and the load at that instant.

    `value` is not negative where the quantity ever has that sense; `time` is None for the permanent load alone. [s]
    """

    value: float
    load: str
    combination: str
    time: float | None
    components: NDArray[np.float64]

    def instant(self, bolt: int, all_forces: Callable) -> Instant:
        """The forces on one bolt then; `all_forces(load)` gives shear and tension of every bolt."""
        shears, tensions = all_forces(self.components)
        return Instant(
            self.value, self.load, self.combination, self.time, bolt,
            (float(shears[bolt, 0]), float(shears[bolt, 1])), float(tensions[bolt]), shears, tensions,
        )  # fmt: skip


class PeakWalk:
    """Keeps the extremes of `rows @ load` and the loads that make them; memory does not grow with the history.

    Parameters
    ----------
    rows : array, shape (k, 6)
        One quantity each, per unit load component; alike ones are followed once.
    permanent : array, shape (6,)
        Load that is always there. [N, N mm]
    """

    def __init__(self, rows: NDArray[np.float64], permanent: NDArray[np.float64]):
        self.rows, self._back = np.unique(np.reshape(rows, (-1, 6)), axis=0, return_inverse=True)
        self._back = self._back.reshape(-1)
        self._permanent = np.asarray(permanent, dtype=float)
        count = len(self.rows)
        self._most = np.full((2, count), -np.inf)
        self._loads = np.zeros((2, count, 6))
        self._block: LoadBlock | None = None
        self._done = 0
        self._found: list[list[tuple[str, float]]] = [[("", 0.0)] * count for _ in range(2)]

    def begin(self, block: LoadBlock) -> None:
        """Start a block."""
        self._block, self._done = block, 0

    def feed(self, loads: NDArray[np.float64]) -> NDArray[np.float64]:
        """Take in the next instants of the block, components of shape (6, m); `rows @ loads`. [N, N mm]"""
        values = ordered_product(self.rows, loads)
        if len(self.rows):
            self.take(loads, values.min(axis=1), values.max(axis=1), values)
        return values

    def take(self, loads: NDArray[np.float64], low, high, values: NDArray[np.float64] | None = None) -> None:
        """Take in the next instants of the block, of which the smallest and largest value of each row are known.

        Parameters
        ----------
        loads : array, shape (6, m)
            [N, N mm]
        low, high : array, shape (k,)
        values : array, shape (k, m), optional
            `rows @ loads`, where it is at hand.
        """
        for side, most in enumerate((high, -low)):
            for row in np.flatnonzero(most > self._most[side]):
                line = ordered_product(self.rows[[row]], loads)[0] if values is None else values[row]
                at = int(line.argmin() if side else line.argmax())
                self._most[side, row] = most[row]
                self._loads[side, row] = loads[:, at]
                time = (self._done + at) * self._block.step if self._block.timed else None
                self._found[side][row] = (self._block.name, time)
        self._done += loads.shape[1]

    def places(self, numbers: slice) -> NDArray[np.int64]:
        """Where some rows, by their numbers as they were given, stand in what `feed` returns."""
        return self._back[numbers]

    def reach(self, numbers: slice) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Smallest and largest value of some rows so far, the permanent load once with them; infinite if not fed."""
        still = (self.rows @ self._permanent)[self._back[numbers]]
        return still - self._most[1, self._back[numbers]], still + self._most[0, self._back[numbers]]

    def peak(self, number: int, sense: int, combinations: Sequence[Combination]) -> Peak:
        """The largest value of `sense` times one quantity over combinations of permanent and variable load.

        Parameters
        ----------
        number : int
            Of the row as it was given.
        sense : int
            1 or -1.
        """
        row, side = int(self._back[number]), 0 if sense > 0 else 1
        fixed = sense * float(self.rows[row] @ self._permanent)
        found = []
        for part in combinations:
            still = part.permanent * self._permanent
            found.append((part.permanent * fixed, PERMANENT_ALONE, part.name, None, still))
            if np.isfinite(self._most[side, row]):
                name, time = self._found[side][row]
                value = part.permanent * fixed + part.variable * float(self._most[side, row])
                found.append((value, name, part.name, time, still + part.variable * self._loads[side, row]))
        return Peak(*max(found, key=lambda item: item[0]))


def ordered_product(rows: NDArray[np.float64], loads: NDArray[np.float64]) -> NDArray[np.float64]:
    """`rows @ loads`, shapes (k, 6) and (6, m), summed in the order of the components, a rounding for each step.

    So every value has the same bits as in the compiled loop, wherever it stands in an array.
    """
    found = np.zeros((len(rows), loads.shape[1]))
    for component in range(len(loads)):
        acting = np.flatnonzero(rows[:, component])
        if len(acting) and loads[component].any():
            found[acting] += rows[acting, component, None] * loads[component]
    return found
