"""Extreme rigid motions of a part whose bolts stand in clearance holes: the convex problem behind `movement`.

The iteration that solves it stands in `interior.py`.

A motion is u_x, u_y [mm] at the centre of the group and the rotation theta [rad]; bolt i allows it where
u + theta x r_i stays in its hole: a disc of radius c_i, drawn out along the slot of a slotted hole.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from slip.interior import solve_cones

TOLERANCE = 5e-7
"""Largest travel that `farthest` may still miss. [mm]"""

_ROUNDING = 1e-11
"""Share of the largest clearance by which a bolt may seem to be beyond its hole."""

_FIRST = 10
"""About as many bolts on the outline are looked at from the start."""

_MORE = 4
"""Bolts that are added for each motion that takes one too far."""


@dataclass(frozen=True)
class Holes:
    """Bolt positions (n, 2), clearances (n,) and extra half-lengths of slots (n, 2). [mm]"""

    positions: NDArray[np.float64]
    clearances: NDArray[np.float64]
    slots: NDArray[np.float64]

    @cached_property
    def centre(self) -> NDArray[np.float64]:
        """Mean of the bolt positions. [mm]"""
        return self.positions.mean(axis=0)

    @cached_property
    def levers(self) -> NDArray[np.float64]:
        """Bolt positions from the centre. [mm]"""
        return self.positions - self.centre

    @cached_property
    def holding(self) -> set[int]:
        """Bolts that are looked at: first some of the outermost and the tightest, then those found to hold the part."""
        outer = _outermost(self.levers)
        step = 1 if self.alike and len(outer) <= _FIRST else max(1, len(outer) // _FIRST)
        return {*outer[::step].tolist(), int(np.argmin(self.clearances))}

    @cached_property
    def pinned(self) -> NDArray[np.bool_]:
        """Which bolts have no clearance at all."""
        return self.clearances == 0.0

    @cached_property
    def alike(self) -> bool:
        """Whether all holes have the same clearance and the same slot."""
        return bool(np.all(self.clearances == self.clearances[0]) and np.all(self.slots == self.slots[0]))

    def about_centre(self, point: NDArray) -> NDArray[np.float64]:
        """A point from the centre. [mm]"""
        return point - self.centre


def straight_reach(holes: Holes, direction: NDArray) -> float:
    """How far the part goes along a unit vector without turning. [mm]"""
    return float(np.min(_reach(np.broadcast_to(direction, holes.slots.shape), holes.clearances, holes.slots)))


def pinned_rotation(holes: Holes, pin: NDArray) -> float:
    """Largest rotation about a pinned bolt, given by its lever from the centre. [rad]"""
    arm = holes.levers - pin
    others = np.any(arm != 0.0, axis=1)
    swing = np.stack([-arm[:, 1], arm[:, 0]], axis=1)[others]
    return float(np.min(_reach(swing, holes.clearances[others], holes.slots[others])))


def extremes(holes: Holes, works: NDArray) -> NDArray[np.float64]:
    """The motions that do the most work against each row of generalised forces.

    Parameters
    ----------
    works : array, shape (m, 3)
        Force x, force y and moment at the centre of the group, in any unit.

    Returns
    -------
    array, shape (m, 3)
        Motions at the centre, each allowed by every hole. [mm, mm, rad]

    Limits
    ------
    Every clearance above 0, two or more distinct bolts. The work is within 1e-10 of the largest one, as the
    duality gap of the interior-point solution shows, and no bolt is farther out of its hole than 1e-11 of the
    largest clearance. Of holes that are all alike only the outermost count: what they allow, they allow to all
    between. Of others, few hold the part: those that a motion is found to take too far are added until none is.
    """
    length = float(np.max(np.hypot(*holes.levers.T)))
    reach = float(np.max(holes.clearances + np.hypot(*holes.slots.T)))
    scale = np.array([reach, reach, reach / length])
    scaled = works * scale
    scaled = scaled / np.max(np.abs(scaled), axis=1, keepdims=True)
    found, left = np.zeros_like(scaled), np.arange(len(works))
    while True:
        found[left] = _within(holes, scaled[left], length=length, reach=reach)
        beyond = _beyond(holes, found[left] * scale)
        outside = np.max(beyond, axis=1) > _ROUNDING * reach
        if not np.any(outside):
            return found * scale
        worst = np.argsort(-beyond[outside], axis=1)[:, :_MORE]
        holes.holding.update(worst.ravel().tolist())
        left = left[outside]


def _within(holes: Holes, works: NDArray, *, length: float, reach: float) -> NDArray[np.float64]:
    """Scaled motions that do the most work while the bolts of `holes.holding` stay in their holes."""
    kept = sorted(holes.holding)
    arms = np.stack([-holes.levers[kept, 1], holes.levers[kept, 0]], axis=1) / length
    slope, limit = _cones(arms, holes.clearances[kept] / reach, holes.slots[kept] / reach)
    loads = np.zeros((len(works), slope.shape[2]))
    loads[:, :3] = works
    forces = np.zeros((len(works), *limit.shape))
    forces[:, :, 0] = np.min(limit[:, 0]) / limit[:, 0]
    return solve_cones(slope, limit, loads, np.zeros_like(loads), forces)[0][:, :3]


def _beyond(holes: Holes, motions: NDArray) -> NDArray[np.float64]:
    """How far beyond its hole every motion, shape (m, 3), takes each bolt; below 0 within it, shape (m, n). [mm]"""
    lever_x, lever_y = holes.levers.T
    moved_x = motions[:, :1] - motions[:, 2:] * lever_y
    moved_y = motions[:, 1:2] + motions[:, 2:] * lever_x
    half = np.hypot(*holes.slots.T)
    axis_x, axis_y = (holes.slots / np.where(half > 0.0, half, 1.0)[:, None]).T
    along = np.clip(moved_x * axis_x + moved_y * axis_y, -half, half)
    return np.hypot(moved_x - along * axis_x, moved_y - along * axis_y) - holes.clearances


def farthest(holes: Holes, point: NDArray) -> NDArray[np.float64]:
    """The motion that moves a point the farthest in any direction, to within TOLERANCE.

    Tangents in a fan of directions enclose all places the point can reach. Where two neighbours meet beyond
    the farthest place found, a tangent is added between them, until none does.

    A point between bolts moves no farther than the farthest of them: between bolts whose hole is held in every
    other hole, the straight way is the longest.
    """
    lever = holes.about_centre(point)
    tightest = (holes.clearances == np.min(holes.clearances)) & np.all(holes.slots == 0.0, axis=1)
    if _enclosed(holes.levers[tightest | holes.alike], lever):
        slot = holes.slots[0] if holes.alike else np.zeros(2)
        axis = slot / math.hypot(*slot) if np.any(slot) else np.array([1.0, 0.0])
        return np.array([*(axis * straight_reach(holes, axis)), 0.0])
    angles = np.linspace(0.0, np.pi, 13)
    motions, reached = _tangents(holes, lever, angles[:-1])
    motions, reached = np.vstack([motions, -motions[:1]]), np.append(reached, reached[0])
    while True:
        size = np.hypot(motions[:, 0] - motions[:, 2] * lever[1], motions[:, 1] + motions[:, 2] * lever[0])
        best = int(np.argmax(size))
        bound, between = _meeting_points(angles, reached)
        open_sides = bound > size[best] + TOLERANCE
        if not np.any(open_sides):
            return motions[best]
        added = between[open_sides]
        more, far = _tangents(holes, lever, added)
        order = np.argsort(np.concatenate([angles, added]), kind="stable")
        angles = np.concatenate([angles, added])[order]
        motions, reached = np.vstack([motions, more])[order], np.concatenate([reached, far])[order]


def _cones(arms: NDArray, clearances: NDArray, slots: NDArray) -> tuple[NDArray, NDArray]:
    """Slope and limit of the cones |u + theta arm_i - t_i slot_i| <= clearance_i and |t_i| <= 1, t in slots only."""
    slotted = np.flatnonzero(np.any(slots != 0.0, axis=1))
    bolts, count = len(arms), len(slotted)
    slope, limit = np.zeros((bolts + count, 3, 3 + count)), np.zeros((bolts + count, 3))
    limit[:bolts, 0], limit[bolts:, 0] = clearances, 1.0
    slope[:bolts, 1, 0] = slope[:bolts, 2, 1] = -1.0
    slope[:bolts, 1:, 2] = -arms
    own = np.arange(count)
    slope[slotted, 1:, 3 + own] = slots[slotted]
    slope[bolts + own, 1, 3 + own] = -1.0
    return slope, limit


def _tangents(holes: Holes, lever: NDArray, angles: NDArray) -> tuple[NDArray, NDArray]:
    """Extreme motions of a point in each direction, and how far it gets there."""
    across, along = np.cos(angles), np.sin(angles)
    works = np.stack([across, along, along * lever[0] - across * lever[1]], axis=1)
    motions = extremes(holes, works)
    return motions, np.sum(works * motions, axis=1)


def _meeting_points(angles: NDArray, reached: NDArray) -> tuple[NDArray, NDArray]:
    """Farthest place between neighbouring tangents, and the angle at which the next tangent does most."""
    step = np.diff(angles)
    first, second = reached[:-1], reached[1:]
    cosine = np.cos(step)
    aside = (second - first * cosine) / np.sin(step)
    turn = np.arctan2(aside, first)
    meets = (turn >= 0.0) & (turn <= step)
    bound = np.where(meets, np.hypot(first, aside), np.minimum(first, second) / cosine)
    share = np.where(meets, np.clip(turn / step, 0.1, 0.9), 0.5)
    return bound, angles[:-1] + share * step


def _enclosed(levers: NDArray, point: NDArray) -> bool:
    """Whether a point lies among these bolts: no half-plane through it is free of them."""
    arm = levers - point
    if len(arm) == 0 or np.any(np.all(arm == 0.0, axis=1)):
        return len(arm) > 0
    angles = np.sort(np.arctan2(arm[:, 1], arm[:, 0]))
    gaps = np.diff(angles, append=angles[0] + 2.0 * np.pi)
    return bool(np.max(gaps) <= np.pi + 1e-12)


def _reach(moves: NDArray, clearances: NDArray, slots: NDArray) -> NDArray[np.float64]:
    """By which factor each move, shape (n, 2), may be taken until it meets its hole."""
    half = np.hypot(*slots.T)
    axis = slots / np.where(half > 0.0, half, 1.0)[:, None]
    along = np.abs(np.sum(moves * axis, axis=1))
    across = np.where(half > 0.0, np.abs(moves[:, 0] * axis[:, 1] - moves[:, 1] * axis[:, 0]), 0.0)
    square = np.sum(moves**2, axis=1)
    inside = np.maximum((along * half) ** 2 - square * (half**2 - clearances**2), 0.0)
    round_end = (along * half + np.sqrt(inside)) / square
    flank = clearances / np.where(across > 0.0, across, 1.0)
    return np.where((across > 0.0) & (flank * along < half), flank, round_end)


def _outermost(places: NDArray) -> NDArray[np.int64]:
    """Indices of the corners of the convex hull; the two ends where all places lie on one line."""
    order = np.lexsort(places.T[::-1])
    corners = []
    for path in (order, order[::-1]):
        chain = []
        for index in path:
            while len(chain) > 1 and _turn(places[chain[-2]], places[chain[-1]], places[index]) <= 0.0:
                chain.pop()
            chain.append(index)
        corners += chain[:-1]
    return np.array(corners)


def _turn(first: NDArray, second: NDArray, third: NDArray) -> float:
    return (second[0] - first[0]) * (third[1] - first[1]) - (second[1] - first[1]) * (third[0] - first[0])
