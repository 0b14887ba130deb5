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
    """

    def __init__(self, bolts: int):
        angles = np.arange(DIRECTIONS) * math.pi / DIRECTIONS
        self._axes = np.stack([np.cos(angles), np.sin(angles)], axis=1)
        self._low = np.full((bolts, DIRECTIONS), np.inf)
        self._high = np.full((bolts, DIRECTIONS), -np.inf)

    def feed(self, shear: NDArray[np.float64]) -> None:
        """Take in the in-plane force of each bolt, permanent load included, shape (n_bolts, 2, m). [N]"""
        along = np.einsum("dk,nkm->ndm", self._axes, shear)
        np.minimum(self._low, along.min(axis=2), out=self._low)
        np.maximum(self._high, along.max(axis=2), out=self._high)

    def outcome(self) -> Reversal:
        """The bolt and line on which the smaller of the two opposite forces is largest."""
        smaller = np.minimum(self._high, -self._low)
        bolt, line = np.unravel_index(int(np.argmax(smaller)), smaller.shape)
        forward, back = float(self._high[bolt, line]), float(-self._low[bolt, line])
        largest = float(max(self._high.max(), -self._low.min()))
        return Reversal(int(bolt), float(line * math.pi / DIRECTIONS), max(forward, 0.0), max(back, 0.0), largest)
