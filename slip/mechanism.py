"""A bolt group on the point of giving way: the motion, and the forces that hold the load in balance during it.

Mathematics behind `centre.py`, in scaled form; what the user gives and gets is checked and named there.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loadhistories.tables import read_table
from slip.interior import solve_cones
from slip.least_friction import least_friction

_LEVER = 1e-12
"""Share of its terms below which the moment about a point is rounding."""


@dataclass(frozen=True)
class Group:
    """Bolts and load, scaled: moments over the group's size `length`, the load to a length of 1.

    A motion is u_x, u_y and the rotation times `length`, at the mean of the positions. Those that let the load do
    the work w are w times `load` plus any mixture of the two in `idle`, across which the load does none.
    """

    positions: NDArray[np.float64]
    given: NDArray[np.float64]

    @cached_property
    def middle(self) -> NDArray[np.float64]:
        """Mean of the bolt positions. [mm]"""
        return self.positions.mean(axis=0)

    @cached_property
    def length(self) -> float:
        """Distance of the farthest bolt from the middle, 1 mm for bolts at one point."""
        return 1.0 if self.at_one_point else float(np.max(np.hypot(*(self.positions - self.middle).T)))

    @cached_property
    def at_one_point(self) -> bool:
        """Whether all bolts stand at one place."""
        return bool(np.all(np.ptp(self.positions, axis=0) == 0.0))

    @cached_property
    def moment(self) -> float:
        """Moment of the load about the middle. [N mm]"""
        return float(self.given[2] - self.middle[0] * self.given[1] + self.middle[1] * self.given[0])

    @cached_property
    def turns(self) -> bool:
        """Whether the load has a moment about the middle, beyond rounding."""
        parts = np.abs([self.given[2], self.middle[0] * self.given[1], self.middle[1] * self.given[0]])
        return abs(self.moment) > _LEVER * float(np.sum(parts))

    @cached_property
    def _scaled(self) -> NDArray[np.float64]:
        turning = self.moment / self.length if self.turns or not self.at_one_point else 0.0
        return np.array([self.given[0], self.given[1], turning])

    @cached_property
    def size(self) -> float:
        """Length of the load with its moment over `length`. [N]"""
        return float(np.linalg.norm(self._scaled))

    @cached_property
    def load(self) -> NDArray[np.float64]:
        """Direction of the load, of length 1."""
        return self._scaled / self.size

    @cached_property
    def maps(self) -> NDArray[np.float64]:
        """Motion to displacement of each bolt, shape (n, 2, 3)."""
        maps = np.zeros((len(self.positions), 2, 3))
        arms = (self.positions - self.middle) / self.length
        maps[:, 0, 0] = maps[:, 1, 1] = 1.0
        maps[:, 0, 2], maps[:, 1, 2] = -arms[:, 1], arms[:, 0]
        return maps

    @cached_property
    def idle(self) -> NDArray[np.float64]:
        """Two motions across the load, shape (3, 2)."""
        first = np.cross(self.load, np.eye(3)[np.argmin(np.abs(self.load))])
        first = first / np.linalg.norm(first)
        return np.stack([first, np.cross(self.load, first)], axis=1)

    def total(self, forces: NDArray) -> NDArray[np.float64]:
        """Resultant of the bolts' forces in the scaled form of the load, before its scaling to 1."""
        return np.einsum("nki,nk->i", self.maps, forces)


def in_friction(group: Group, grips: NDArray) -> tuple[NDArray, NDArray]:
    """Motion that takes the least friction work for work 1 of the load, and forces within the grips in balance.

    The cones |v_i| <= t_i hold the displacement of every bolt; the work sum of grip times t_i is least. Their forces
    are the friction, at a bolt that does not move too, where it is anything up to the grip.
    """
    count, top = len(grips), float(np.max(grips))
    idle, ahead = group.maps @ group.idle, group.maps @ group.load
    straight = least_friction(ahead, idle, grips / top)
    if straight is not None:
        aside, used = straight
        return group.load + group.idle @ aside, _within(used, idle, grips)
    slope, limit = np.zeros((count, 3, 2 + count)), np.zeros((count, 3))
    own = np.arange(count)
    slope[own, 0, 2 + own] = -1.0
    slope[:, 1:, :2], limit[:, 1:] = -idle, ahead
    start, push = np.zeros((1, 2 + count)), np.zeros((1, count, 3))
    start[0, 2:] = np.hypot(*ahead.T) + 1.0
    push[0, :, 0] = grips / top
    work = np.concatenate([np.zeros(2), -grips / top])
    x, z = solve_cones(slope, limit, work[None], start, push)
    return group.load + group.idle @ x[0, :2], _within(-z[0, :, 1:] / z[0, :, :1], idle, grips)


def _within(used: NDArray, idle: NDArray, grips: NDArray) -> NDArray[np.float64]:
    """Forces by their shares of the grips, what is out of balance by rounding taken out, none beyond its grip."""
    weighed = idle * grips[:, None, None]
    left = np.linalg.solve(np.einsum("nki,nkj->ij", weighed, idle), np.einsum("nki,nk->i", weighed, used))
    used = used - idle @ left
    return used * (grips / max(1.0, np.max(np.hypot(*used.T))))[:, None]


def in_bearing(group: Group, strengths: NDArray) -> tuple[NDArray, NDArray]:
    """Motion with the farthest bolt at the largest deformation, taken as 1, and forces in balance with the load.

    For work w of the load the motion of least strain energy is unique; w is raised until the farthest bolt is there.
    """
    idle, ahead = group.maps @ group.idle, group.maps @ group.load
    work, aside = 1.0 / float(np.max(np.hypot(*ahead.T))), np.zeros(2)
    low, high = 0.0, math.inf
    for _ in range(100):
        aside, forces, tangent = _least_energy(idle, ahead * work, aside, strengths)
        moved = ahead * work + idle @ aside
        size = np.hypot(*moved.T)
        last = int(np.argmax(size))
        if abs(size[last] - 1.0) <= 1e-12:
            break
        low, high = (low, work) if size[last] > 1.0 else (work, high)
        drift = -np.linalg.solve(*_stiffness(idle, tangent, ahead))
        rate = float(moved[last] @ (ahead[last] + idle[last] @ drift)) / size[last]
        ahead_of = work + (1.0 - size[last]) / rate if rate > 0.0 else math.nan
        if not low < ahead_of < high:
            ahead_of = (low + high) / 2.0 if math.isfinite(high) else work / size[last]
        aside, work = aside + drift * (ahead_of - work), ahead_of
    else:
        raise RuntimeError(f"the instantaneous centre was not found: farthest bolt at {size[last]:g} of its end")
    return work * group.load + group.idle @ aside, forces


def _least_energy(
    idle: NDArray, moved: NDArray, aside: NDArray, strengths: NDArray
) -> tuple[NDArray, NDArray, NDArray]:
    """Share of the idle motions at which the bolts' forces do no work on them; forces and tangents, (n, 2, 2).

    Newton's step where it halves what is out of balance, else the step with the secant of each bolt, which always
    lowers the energy.
    """
    total = float(np.sum(strengths))
    forces, tangent, secant = _bolt_forces(moved + idle @ aside, strengths)
    for _ in range(500):
        excess = np.einsum("nki,nk->i", idle, forces)
        if np.linalg.norm(excess) <= 1e-12 * total:
            return aside, forces, tangent
        for stiffness in (tangent, secant):
            trial = aside - np.linalg.solve(_stiffness(idle, stiffness, idle)[0], excess)
            found = _bolt_forces(moved + idle @ trial, strengths)
            if np.linalg.norm(np.einsum("nki,nk->i", idle, found[0])) < 0.5 * np.linalg.norm(excess):
                break
        aside, (forces, tangent, secant) = trial, found
    raise RuntimeError(f"the bolts' forces were not brought into balance: {np.linalg.norm(excess) / total:g} left")


def _stiffness(idle: NDArray, each: NDArray, moves: NDArray) -> tuple[NDArray, NDArray]:
    """Stiffness of the group against its idle motions, and what `moves`, (n, 2) or (n, 2, 2), adds to their force."""
    resisted = np.einsum("nki,nkl->nil", idle, each)
    return np.einsum("nil,nlj->ij", resisted, idle), np.einsum("nil,nl...->i...", resisted, moves)


def _bolt_forces(moved: NDArray, strengths: NDArray) -> tuple[NDArray, NDArray, NDArray]:
    """Force of each bolt at its displacement over the largest deformation; tangent and secant stiffness (n, 2, 2)."""
    size = np.hypot(np.hypot(*moved.T), 1e-9)
    along = moved / size[:, None]
    share, slope = bearing_law(size)
    secant = (strengths * share / size)[:, None, None] * np.eye(2)
    softer = (strengths * (share / size - slope))[:, None, None] * along[:, :, None] * along[:, None]
    return (strengths * share)[:, None] * along, secant - softer, secant


def bearing_law(deformation: ArrayLike) -> tuple[NDArray, NDArray]:
    """Share of the strength at a share of the largest deformation, and its slope."""
    row = read_table("slip", "bolt_law")["bearing"]
    rise, power = row["mu_per_in"] * row["delta_max_in"], row["lambda"]
    gone = np.exp(-rise * np.asarray(deformation))
    reached = -np.expm1(-rise * np.asarray(deformation))
    return reached**power, power * rise * gone * reached ** (power - 1.0)
