"""How far the load itself drives a slipped part: towards where the worst instant pushes it, and back."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from slip.events import Instant
from slip.movement import Travel, driven_travels
from slip.working import bolt_force

IN_PLANE = [0, 1, 5]
ROUND_OFF = 1e-9


@dataclass(frozen=True)
class Driven:
    """Where the load drives the part at one level, from bolts in the middle of their holes.

    Attributes
    ----------
    level, load : str
    time : float or None
        Of the worst instant. [s]
    forward : Travel
        Travel of the point under the load of the worst instant.
    back : Travel or None
        Travel of the point under the load that works most against that motion; None where no load does.
    searched : bool
        Whether the histories were searched for such a load.
    """

    level: str
    load: str
    time: float | None
    forward: Travel
    back: Travel | None
    searched: bool

    @property
    def between(self) -> float:
        """Distance between the two places of the point: 0 where nothing pushes it back. [mm]

        Where the search was left out a load as large in the other direction is taken: twice the travel forward.
        """
        if self.back is None:
            return 0.0 if self.searched else self.forward.play
        first, second = displacement(self.forward), displacement(self.back)
        return math.hypot(first[0] - second[0], first[1] - second[1])


def displacement(travel: Travel) -> tuple[float, float]:
    """Displacement of the point of a travel along x and y. [mm]"""
    return (
        travel.motion_x - travel.rotation * travel.point_y,
        travel.motion_y + travel.rotation * travel.point_x,
    )


def driven(outcome, point, clearances, slots, blocks: Sequence[LoadBlock] | None) -> tuple[Driven, ...]:
    """The driven travel at the worst instant of each level; of bolts without preload at ultimate level only.

    Parameters
    ----------
    outcome : SlipOutcome
    point : array, shape (2,)
        [mm]
    clearances, slots : float and array
        As `slip.movement.travel` takes them. [mm]
    blocks : sequence of LoadBlock or None
        Searched for the load that works most against the motion; the outermost load points are enough. None to
        leave the search out.

    Limits
    ------
    As of `driven_travel`: no friction that remains. A level whose worst instant has no in-plane load is left out.
    """
    joint = outcome.joint
    pushes = []
    for level, instant in _instants(outcome):
        load = np.array(bolt_force(joint, instant).in_plane_load)
        if np.any(load):
            pushes.append((level, instant, load))

    def drive(loads) -> tuple[Travel, ...]:
        return driven_travels(joint.positions, clearances, point, loads, slots=slots)

    forward = drive([load for _, _, load in pushes])
    against: list = [None] * len(pushes)
    if blocks is not None:
        against = [_against(joint, push[0], way, blocks) for push, way in zip(pushes, forward, strict=True)]
    found = iter(drive([load for load in against if load is not None]))
    return tuple(
        Driven(level, instant.load, instant.time, way, None if load is None else next(found), blocks is not None)
        for (level, instant, _), way, load in zip(pushes, forward, against, strict=True)
    )


def _instants(outcome) -> Iterator[tuple[str, Instant]]:
    if not outcome.levels:
        yield "ultimate", outcome.worst["shear"]
    for name, level in outcome.levels.items():
        yield name, level.instant


def _against(joint, level: str, forward: Travel, blocks: Sequence[LoadBlock]) -> NDArray[np.float64] | None:
    """The in-plane load that does the most work against a motion; None where none does any."""
    motion = np.array(forward.motion)
    permanent = np.asarray(joint.permanent, dtype=float)[IN_PLANE]
    least, load, most = 0.0, None, 0.0
    for fixed, variable in _factors(joint, level):
        for table in _tables(blocks):
            loads = fixed * permanent[:, None] + variable * table
            work = motion @ loads
            at, most = int(np.argmin(work)), max(most, float(np.abs(work).max()))
            if work[at] < least:
                least, load = float(work[at]), loads[:, at]
    return load if load is not None and least < -ROUND_OFF * most else None


def _factors(joint, level: str) -> set[tuple[float, float]]:
    if level == "service":
        return {(1.0, 1.0)}
    factors = joint.factors
    return {(factors.permanent, factors.variable), (factors.permanent_favourable, factors.variable)}


def _tables(blocks: Sequence[LoadBlock]) -> Iterator[NDArray[np.float64]]:
    """In-plane loads of all blocks, and none at all: the permanent load acts alone as well."""
    yield np.zeros((len(IN_PLANE), 1))
    for block in blocks:
        for chunk in block.chunks():
            yield chunk[IN_PLANE]
