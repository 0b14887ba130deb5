"""Largest and smallest values of quantities that are linear in the load, over all load blocks of a joint."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from loadhistories.products import product
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

    def feed(self, loads: NDArray[np.float64]) -> None:
        """Take in the next instants of the block, components of shape (6, m). [N, N mm]"""
        start, self._done = self._done, self._done + loads.shape[1]
        if not len(self.rows):
            return
        values = product(self.rows, loads)
        order = np.arange(len(self.rows))
        for side, at in enumerate((values.argmax(axis=1), values.argmin(axis=1))):
            found = values[order, at] * (1 - 2 * side)
            for row in np.flatnonzero(found > self._most[side]):
                self._most[side, row] = found[row]
                self._loads[side, row] = loads[:, at[row]]
                self._found[side][row] = (self._block.name, (start + int(at[row])) * self._block.step)

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
