"""Measures of the forces on a bolt: how far its grip or its strength is used up, and below which forces it is not.

Every measure depends on the size of the shear and on the tension alone, does not fall when one of them grows, and is
convex or a quotient of a convex by a concave one: where two states of force are within a value, so is all between.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from slip.reduced import LEAST, grip_utilisation, within_utilisation

if TYPE_CHECKING:
    from slip.events import Level

# Rays on which the bound of a curved measure is sought, and how near to the axes the outer ones lie. [rad]
RAYS, NEAR_AXIS = 7, 0.01


@dataclass(frozen=True)
class Forces:
    """Forces on some bolts at some instants. [N]

    Attributes
    ----------
    shear : array, shape (n_bolts, 2, m)
    tension : array, shape (n_bolts, m)
        Below zero where the plates are pressed together.
    size : array, shape (n_bolts, m)
        Of the shear.
    """

    shear: NDArray[np.float64]
    tension: NDArray[np.float64]
    size: NDArray[np.float64]


def forces_of(shear: NDArray[np.float64], tension: NDArray[np.float64]) -> Forces:
    """Forces with the size of the shear."""
    return Forces(shear, tension, np.sqrt(shear[:, 0] * shear[:, 0] + shear[:, 1] * shear[:, 1]))


def largest_of(forces: Forces) -> Forces:
    """The largest shear and the largest tension of each bolt, as if they came together."""
    return _forces_with(forces.size.max(axis=1, keepdims=True), forces.tension.max(axis=1, keepdims=True))


@dataclass(frozen=True, eq=False)
class Measure:
    """One measure of the forces on bolts.

    Attributes
    ----------
    value_of : callable
        `value_of(forces)` gives an array, shape (n_bolts, m). [-] or [N]
    within : callable
        `within(value)` gives lines (a, b), shape (l, 2): as long as `a * size + b * max(tension, 0)` is at most 1 for
        all of them, the measure is at most that value.
    """

    value_of: Callable[[Forces], NDArray[np.float64]]
    within: Callable[[float], NDArray[np.float64]]

    def __call__(self, forces: Forces) -> NDArray[np.float64]:
        return self.value_of(forces)


def slip_measure(level: "Level", preload: float) -> Measure:
    """Shear over grip of each bolt; infinite where the tension leaves no grip. [-]"""
    terms = {"factor": level.factor, "preload": preload, "tension_share": level.tension_share}
    return Measure(
        lambda forces: grip_utilisation(forces.size, forces.tension, **terms),
        lambda value: within_utilisation(value, **terms),
    )


def preload_share_measure(level: "Level", preload: float) -> Measure:
    """Share of the specified preload at which the bolt's grip just equals its shear. [-]"""
    return Measure(
        lambda forces: (forces.size / level.factor + level.tension_share * np.maximum(forces.tension, 0.0)) / preload,
        lambda value: lines(1.0 / level.factor, level.tension_share, value * preload),
    )


def shear_measure() -> Measure:
    """Shear of each bolt. [N]"""
    return Measure(lambda forces: forces.size, lambda value: lines(1.0, 0.0, value))


def tension_measure() -> Measure:
    """Tension of each bolt. [N]"""
    return Measure(lambda forces: forces.tension, lambda value: lines(0.0, 1.0, max(value, 0.0)))


def strength_measure(utilisation: Callable, *, shear: float, tension: float) -> Measure:
    """Use of each bolt by shear and tension together. [-]

    Parameters
    ----------
    utilisation : callable
        `utilisation(size, tension)`, arrays of one shape.
    shear, tension : float
        Forces of the order at which the bolt is used up: they only set the scale of the search for a bound. [N]
    """

    def value_of(forces: Forces) -> NDArray[np.float64]:
        return utilisation(forces.size, forces.tension)

    return Measure(value_of, lambda value: _within_curve(utilisation, value, shear, tension))


def lines(size: float, tension: float, limit: float) -> NDArray[np.float64]:
    """`size` times the shear and `tension` times the tension together within a limit, as one line, shape (1, 2)."""
    return np.array([[size, tension]]) / max(limit, LEAST)


def outer_lines(found: NDArray[np.float64]) -> NDArray[np.float64]:
    """Those of some lines, shape (l, 2), that are enough: where none of them is passed, no other one is.

    `a * size + b * pull`, with neither size nor pull below zero, is largest at a corner of the hull of all (a, b).
    """
    order = np.lexsort((found[:, 1], found[:, 0]))[::-1]
    kept: list[int] = []
    for line in order:
        if kept and found[line, 1] <= found[kept[-1], 1]:
            continue
        while len(kept) > 1 and _bends_in(*found[[*kept[-2:], line]]):
            kept.pop()
        kept.append(int(line))
    return np.ascontiguousarray(found[kept])


def _bends_in(first, middle, last) -> bool:
    """Whether the middle one of three points, from right to left, lies within the hull."""
    (ax, ay), (bx, by) = middle - first, last - first
    return ax * by - ay * bx <= 0.0


def _within_curve(utilisation: Callable, value: float, shear: float, tension: float) -> NDArray[np.float64]:
    """Lines through states on some rays that just keep the value: all within them keeps it too."""
    angles = np.linspace(NEAR_AXIS, np.pi / 2 - NEAR_AXIS, RAYS)
    along = np.stack([shear * np.cos(angles), tension * np.sin(angles)])
    kept, reached = np.zeros(RAYS), np.full(RAYS, 2.0**-20)
    for _ in range(40):
        more = utilisation(*(reached * along)) <= value
        kept, reached = np.where(more, reached, kept), np.where(more, 2.0 * reached, reached)
    for _ in range(40):
        middle = 0.5 * (kept + reached)
        more = utilisation(*(middle * along)) <= value
        kept, reached = np.where(more, middle, kept), np.where(more, reached, middle)
    if not kept.all():
        return lines(1.0, 1.0, 0.0)
    sizes, pulls = kept * along
    corners = np.stack([np.stack([sizes[:-1], pulls[:-1]], axis=1), np.stack([sizes[1:], pulls[1:]], axis=1)], axis=1)
    chords = np.linalg.solve(corners, np.ones((RAYS - 1, 2, 1)))[..., 0]
    # A chord that falls towards an axis says nothing there that the bounds of the outer rays do not say.
    return np.concatenate([np.maximum(chords, 0.0), lines(1.0, 0.0, sizes[0]), lines(0.0, 1.0, pulls[-1])])


def _forces_with(size: NDArray[np.float64], tension: NDArray[np.float64]) -> Forces:
    return Forces(np.stack([size, np.zeros_like(size)], axis=1), tension, size)
