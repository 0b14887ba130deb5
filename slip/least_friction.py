"""The motion of a sliding bolt group that takes the least friction work, found straight away where that can be shown.

The work, a sum of grips times lengths of displacements, is convex in the two motions across the load. It is least
either where one bolt stands still and holds what the others leave out of balance within its grip, or where the
friction of all bolts, each at its grip, does no work on those motions.
"""

import numpy as np
from numpy.typing import NDArray

_GAP = 1e-11
"""Share by which the work may differ from what the forces do: as long as it does not, both are exact."""

_STILL = 1e-9
"""Share of the largest stiffness against the idle motions below which a bolt cannot be brought to stand still."""

_STEPS = 40


def least_friction(ahead: NDArray, idle: NDArray, grips: NDArray) -> tuple[NDArray, NDArray] | None:
    """Shares of the idle motions, and the friction of every bolt over its grip; None where that is not found.

    Parameters
    ----------
    ahead : array, shape (n, 2)
        Displacement of each bolt as the load does its work.
    idle : array, shape (n, 2, 2)
        Displacement of each bolt in the two motions across the load.
    grips : array, shape (n,)
        All above 0.

    Limits
    ------
    None is returned where the least work is reached in many motions, or is not shown to be the least within 1e-11.
    """
    held = _about_a_bolt(ahead, idle, grips)
    return _between_bolts(ahead, idle, grips) if held is None else held


def _about_a_bolt(ahead: NDArray, idle: NDArray, grips: NDArray) -> tuple[NDArray, NDArray] | None:
    """The motion in which one bolt stands still, if it holds the others in balance."""
    det = idle[:, 0, 0] * idle[:, 1, 1] - idle[:, 0, 1] * idle[:, 1, 0]
    can = np.flatnonzero(np.abs(det) > _STILL * np.max(np.abs(idle)) ** 2)
    if not len(can):
        return None
    aside = -np.linalg.solve(idle[can], ahead[can][:, :, None])[:, :, 0]
    moved = ahead + np.einsum("nki,mi->mnk", idle, aside)
    size = np.hypot(moved[:, :, 0], moved[:, :, 1])
    size[np.arange(len(can)), can] = np.inf
    with np.errstate(divide="ignore", invalid="ignore"):
        along = moved / size[:, :, None]
    left = np.einsum("nki,mnk,n->mi", idle, along, grips)
    needed = -np.linalg.solve(idle[can].transpose(0, 2, 1), left[:, :, None])[:, :, 0]
    share = np.hypot(needed[:, 0], needed[:, 1]) / grips[can]
    share[~np.isfinite(share)] = np.inf
    best = int(np.argmin(share))
    if share[best] > 1.0:
        return None
    used = along[best]
    used[can[best]] = needed[best] / grips[can[best]]
    return aside[best], used


def _between_bolts(ahead: NDArray, idle: NDArray, grips: NDArray) -> tuple[NDArray, NDArray] | None:
    """Newton's way to the motion in which every bolt slides; its step is halved until the work falls."""
    aside, moved = np.zeros(2), ahead
    size = np.hypot(moved[:, 0], moved[:, 1])
    work = float(grips @ size)
    for _ in range(_STEPS):
        if np.min(size) <= 0.0:
            return None
        along = moved / size[:, None]
        turned = np.einsum("nki,nk->ni", idle, along)
        excess = grips @ turned
        if work - float(grips @ np.einsum("nk,nk->n", along, ahead)) <= _GAP * work and _balanced(excess, grips):
            return aside, along
        weight = grips / size
        stiff = np.einsum("n,nki,nkj->ij", weight, idle, idle) - np.einsum("n,ni,nj->ij", weight, turned, turned)
        det = stiff[0, 0] * stiff[1, 1] - stiff[0, 1] * stiff[1, 0]
        if det <= 1e-13 * np.max(np.abs(stiff)) ** 2:
            return None
        step = -np.linalg.solve(stiff, excess)
        share = 1.0
        while True:
            trial = moved + share * (idle @ step)
            length = np.hypot(trial[:, 0], trial[:, 1])
            less = float(grips @ length)
            if less <= work:
                break
            share *= 0.5
            if share < 1e-9:
                return None
        aside, moved, size, work = aside + share * step, trial, length, less
    return None


def _balanced(excess: NDArray, grips: NDArray) -> bool:
    return bool(np.max(np.abs(excess)) <= 1e-12 * float(np.sum(grips)))
