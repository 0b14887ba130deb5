"""Does the force on a bolt turn round? Found in the history itself, bolt by bolt, in the faying plane."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

DIRECTIONS = 4
NOISE_SHARE = 0.01


@dataclass(frozen=True)
class Reversal:
    """The largest opposite forces on one bolt along one line.

    Attributes
    ----------
    bolt : int
    direction : float
        From the x axis. [rad]
    forward, back : float
        Largest force along the direction and against it, both not negative. [N]
    largest : float
        Largest force on any bolt along any of the lines. [N]
    """

    bolt: int
    direction: float
    forward: float
    back: float
    largest: float

    @property
    def reversed(self) -> bool:
        """Whether the opposite force is more than NOISE_SHARE of the largest one (common practice, no source)."""
        return min(self.forward, self.back) > NOISE_SHARE * self.largest


class ReversalWalk:
    """Keeps, for every bolt, the smallest and largest force along DIRECTIONS lines through the plane.

    A force that swings on a line between two of these is seen with at least cos(pi / (2 DIRECTIONS)) = 0.92
    of its size.

    Parameters
    ----------
    in_plane : array, shape (n_bolts, 2, 6)
        In-plane force of each bolt per unit load component, from `slip.sharing.sharing_matrices`.
    """

    def __init__(self, in_plane: NDArray[np.float64]):
        angles = np.arange(DIRECTIONS) * math.pi / DIRECTIONS
        axes = np.stack([np.cos(angles), np.sin(angles)], axis=1)
        rows = np.einsum("dk,nkc->ndc", axes, in_plane)
        # Bolts in one row or column feel the same along some lines: each force is followed once.
        self.rows, back = np.unique(rows.reshape(-1, rows.shape[2]), axis=0, return_inverse=True)
        self._back = back.reshape(rows.shape[:2])
        self._low = np.full(len(self.rows), np.inf)
        self._high = np.full(len(self.rows), -np.inf)

    def feed(self, along: NDArray[np.float64]) -> None:
        """Take in the forces `rows @ load`, permanent load included, shape (len(rows), m). [N]"""
        np.minimum(self._low, along.min(axis=1), out=self._low)
        np.maximum(self._high, along.max(axis=1), out=self._high)

    def outcome(self) -> Reversal:
        """The bolt and line on which the smaller of the two opposite forces is largest."""
        high, low = self._high[self._back], self._low[self._back]
        smaller = np.minimum(high, -low)
        bolt, line = np.unravel_index(int(np.argmax(smaller)), smaller.shape)
        forward, back = float(high[bolt, line]), float(-low[bolt, line])
        largest = float(max(high.max(), -low.min()))
        return Reversal(int(bolt), float(line * math.pi / DIRECTIONS), max(forward, 0.0), max(back, 0.0), largest)
