"""Follows the utilisation in grip at other preloads than the one that the checks use, exactly, through a whole record.

With tension in the bolts another instant may govern at a smaller preload, so that the largest utilisation there
cannot be had from the largest one at full preload.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

# Looked at anyway when the bound comes as near as this to the largest value so far.
ROUNDING = 1e-9
# Stands for a limit of zero, so that any force is beyond it. [N]
LEAST = 1e-300


@dataclass(frozen=True)
class Reduced:
    """The largest utilisation in grip of the first bolt at a share of the preload, and where it is reached.

    `time` is None for the permanent load alone. [s]
    """

    share: float
    utilisation: float
    load: str
    combination: str
    time: float | None
    bolt: int


def grip_utilisation(
    size: NDArray[np.float64], tension: NDArray[np.float64], *, factor: float, preload: float, tension_share: float
) -> NDArray[np.float64]:
    """Shear over grip, `factor * (preload - tension_share * tension)`; infinite where the tension leaves no grip. [-]

    Parameters
    ----------
    size, tension : array
        Shear and tension of bolts; tension below zero presses the plates together. [N]
    """
    grip = grip_left(np.maximum(tension, 0.0), factor, preload, tension_share)
    if grip.min() > 0.0:
        return size / grip
    left = grip > 0.0
    return np.where(left, size / np.where(left, grip, 1.0), np.inf)


def grip_left(pull, factor, preload, tension_share):
    """Grip that a tension not below zero leaves, a number or an array. [N]"""
    return factor * (preload - tension_share * pull)


def within_utilisation(
    value: float, *, factor: float, preload: float, tension_share: float
) -> NDArray[np.float64]:
    """Line (a, b), shape (1, 2): where `a * size + b * max(tension, 0)` is at most 1, `grip_utilisation` is at most
    the value."""
    if value == np.inf:
        return np.zeros((1, 2))
    reached = value * factor
    return np.array([[1.0, reached * tension_share]]) / max(reached * preload, LEAST)


def first_largest(table: NDArray[np.float64]) -> tuple[int, int]:
    """Bolt and instant of the largest value of a table of bolts by instants: the first instant, then the first bolt."""
    at = int(table.max(axis=0).argmax())
    return int(table[:, at].argmax()), at


class ReducedPreloads:
    """Keeps the largest utilisation at each share of the preload.

    Parameters
    ----------
    preload : float
        That of which the shares are. [N]
    factor, tension_share : float
        Of the level, as in `grip_utilisation`.
    shares : sequence of float
        Above 0.
    """

    def __init__(self, preload: float, factor: float, tension_share: float, shares: Sequence[float]):
        self._preload = preload
        self._factor = factor
        self._tension_share = tension_share
        self._shares = tuple(shares)
        self._worst: dict[float, Reduced] = {}

    def feed(self, full, size, tension, place: Callable[[int, int], tuple]) -> None:
        """Take in the next instants.

        Parameters
        ----------
        full : array, shape (k, m)
            Utilisation of the bolts looked at at the whole preload. [-]
        size, tension : array, shape (k, m)
            Their shear and tension. [N]
        place : callable
            `place(bolt, instant)` gives load, combination, time and number of the bolt.
        """
        lost = self._tension_share * max(float(tension.max()), 0.0)
        for share in self._shares:
            known, growth = self._worst.get(share), self._growth(share, lost)
            least = -1.0
            if known is not None and growth < np.inf:
                least = known.utilisation / growth * (1.0 - ROUNDING)
            near = np.flatnonzero(full.max(axis=0) > least)
            if not len(near):
                continue
            found = grip_utilisation(
                size[:, near], tension[:, near],
                factor=self._factor, preload=share * self._preload, tension_share=self._tension_share,
            )  # fmt: skip
            bolt, at = first_largest(found)
            reached = Reduced(share, float(found[bolt, at]), *place(bolt, int(near[at])))
            if known is None or _passes(reached, known):
                self._worst[share] = reached

    def within(self) -> NDArray[np.float64]:
        """Lines as of `within_utilisation`, a row each: within all of them no value kept so far is passed."""
        return np.concatenate(
            [
                within_utilisation(
                    known.utilisation, factor=self._factor, preload=share * self._preload,
                    tension_share=self._tension_share,
                )
                for share, known in self._worst.items()
            ]
        )  # fmt: skip

    def outcome(self) -> tuple[Reduced, ...]:
        """The largest value of each share, in the order of the shares given."""
        return tuple(self._worst[share] for share in self._shares)

    def _growth(self, share: float, lost: float) -> float:
        """How many times larger a utilisation can be at this share, as tension takes `lost` of the clamping at most."""
        whole, left = self._preload - lost, share * self._preload - lost
        return np.inf if left <= 0.0 or whole <= 0.0 else max(1.0 / share, whole / left)


def _passes(found: Reduced, known: Reduced) -> bool:
    """Whether a utilisation is larger, or as large and earlier in the same load."""
    timed = found.load == known.load and found.time is not None and known.time is not None
    return found.utilisation > known.utilisation or (
        found.utilisation == known.utilisation and timed and found.time < known.time
    )
