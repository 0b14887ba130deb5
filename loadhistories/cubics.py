"""Piecewise cubics of one variable: influence lines, and what wheels at fixed distances make of them.

A value outside the pieces is zero. Where a piece ends and the next begins the value may jump.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

# Breaks closer than this are one. [mm]
SAME = 1e-6


@dataclass(frozen=True, eq=False)
class Cubic:
    """A piecewise cubic.

    Attributes
    ----------
    breaks : array, shape (m + 1,)
        Rising ends of the pieces.
    coefficients : array, shape (m, 4)
        Of 1, u, u^2, u^3 with u the distance from the start of the piece.
    """

    breaks: NDArray[np.float64]
    coefficients: NDArray[np.float64]

    def before(self, places: ArrayLike) -> NDArray[np.float64]:
        """Values as the place is reached from below, shape of `places`."""
        return self._values(places, np.searchsorted(self.breaks, places, side="left") - 1)

    def after(self, places: ArrayLike) -> NDArray[np.float64]:
        """Values as the place is reached from above, shape of `places`."""
        return self._values(places, np.searchsorted(self.breaks, places, side="right") - 1)

    def _values(self, places: ArrayLike, pieces: NDArray[np.intp]) -> NDArray[np.float64]:
        given = np.asarray(places, np.float64)
        inside = (pieces >= 0) & (pieces < len(self.coefficients))
        chosen = np.where(inside, pieces, 0)
        u = given - self.breaks[chosen]
        c0, c1, c2, c3 = np.moveaxis(self.coefficients[chosen], -1, 0)
        return np.where(inside, c0 + u * (c1 + u * (c2 + u * c3)), 0.0)

    def turning_places(self) -> NDArray[np.float64]:
        """Places inside the pieces where the slope is zero, in rising order."""
        found = []
        for start, end, (_, c1, c2, c3) in zip(self.breaks, self.breaks[1:], self.coefficients, strict=False):
            found += [start + u for u in _roots(3.0 * c3, 2.0 * c2, c1) if 0.0 < u < end - start]
        return np.array(sorted(found))

    def extremes(self, low: float, high: float) -> tuple[float, float]:
        """Smallest and largest value between two places, both of them included."""
        places = np.concatenate(([low, high], self.breaks, self.turning_places()))
        places = places[(places >= low) & (places <= high)]
        values = np.concatenate((self.before(places[places > low]), self.after(places[places < high])))
        if not values.size:
            values = np.concatenate((self.before(places), self.after(places)))
        return float(values.min()), float(values.max())


def under_wheels(line: Cubic, offsets: Sequence[float], loads: Sequence[float]) -> Cubic:
    """What wheels cause, over the place of the point that their offsets are measured from.

    Parameters
    ----------
    line : Cubic
        Effect of a unit load over its place.
    offsets : sequence of float
        Place of each wheel less that of the point. [mm]
    loads : sequence of float
        Of each wheel. [N]
    """
    ends = np.unique(np.concatenate([line.breaks - offset for offset in offsets]))
    breaks = ends[np.concatenate(([True], np.diff(ends) > SAME))]
    middles = (breaks[:-1] + breaks[1:]) / 2.0
    total = np.zeros((len(middles), 4))
    for offset, load in zip(offsets, loads, strict=True):
        pieces = np.searchsorted(line.breaks, middles + offset, side="right") - 1
        inside = (pieces >= 0) & (pieces < len(line.coefficients))
        chosen = np.where(inside, pieces, 0)
        moved = _moved(line.coefficients[chosen], breaks[:-1] + offset - line.breaks[chosen])
        total += load * np.where(inside[:, None], moved, 0.0)
    return Cubic(breaks, total)


def _moved(coefficients: NDArray[np.float64], by: NDArray[np.float64]) -> NDArray[np.float64]:
    """The same cubics with their variable measured from `by`."""
    c0, c1, c2, c3 = coefficients.T
    return np.stack(
        (
            c0 + by * (c1 + by * (c2 + by * c3)),
            c1 + by * (2.0 * c2 + 3.0 * by * c3),
            c2 + 3.0 * by * c3,
            c3,
        ),
        axis=1,
    )


def _roots(a: float, b: float, c: float) -> list[float]:
    """Real roots of a u^2 + b u + c, in the form that loses no digits."""
    if a == 0.0:
        return [] if b == 0.0 else [-c / b]
    square = b * b - 4.0 * a * c
    if square < 0.0:
        return []
    sum_ = -(b + np.copysign(np.sqrt(square), b)) / 2.0
    return [0.0] if sum_ == 0.0 else [sum_ / a, c / sum_]
