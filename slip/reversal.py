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


def reversal_rows(in_plane: NDArray[np.float64]) -> NDArray[np.float64]:
    """Force of every bolt along DIRECTIONS lines through the plane per unit load component.

    A force that swings on a line between two of these is seen with at least cos(pi / (2 DIRECTIONS)) = 0.92
    of its size.

    Parameters
    ----------
    in_plane : array, shape (n_bolts, 2, 6)
        In-plane force of each bolt per unit load component, from `slip.sharing.sharing_matrices`.

    Returns
    -------
    array, shape (n_bolts * DIRECTIONS, 6)
    """
    slant = math.sqrt(0.5)
    axes = np.array([[1.0, 0.0], [slant, slant], [0.0, 1.0], [-slant, slant]])
    return np.einsum("dk,nkc->ndc", axes, in_plane).reshape(-1, in_plane.shape[2])


def reversal_of(low: NDArray[np.float64], high: NDArray[np.float64]) -> Reversal:
    """The bolt and line on which the smaller of the two opposite forces is largest.

    Parameters
    ----------
    low, high : array, shape (n_bolts * DIRECTIONS,)
        Smallest and largest force of each of the `reversal_rows`, permanent load included. [N]
    """
    low, high = low.reshape(-1, DIRECTIONS), high.reshape(-1, DIRECTIONS)
    smaller = np.minimum(high, -low)
    bolt, line = np.unravel_index(int(np.argmax(smaller)), smaller.shape)
    forward, back = float(high[bolt, line]), float(-low[bolt, line])
    largest = float(max(high.max(), -low.min()))
    return Reversal(int(bolt), float(line * math.pi / DIRECTIONS), max(forward, 0.0), max(back, 0.0), largest)
