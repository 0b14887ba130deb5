"""Bearing and tear-out after slip: every bolt in the direction of its force, with its own end, edge and spacings."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from loadhistories.figures import Check, judged, not_judged
from slip.bolts import Bolt
from slip.events import Combination, Instant
from slip.holes import Hole
from slip.joint import BoltedJoint, Plate
from slip.peaks import Peak, PeakWalk
from slip.standards import standard
from slip.surroundings import SENSES, Followed, Surroundings, spacing, surroundings
from slip.working import bolt_force, place

AXES = ("x", "y")
_SENSES_OF = {"": SENSES, "part": (-1,), "support": (1,)}


@dataclass(frozen=True, eq=False)
class BearingForces:
    """The largest force of every followed component in both senses, by `peak(item, sense)`."""

    items: tuple[Followed, ...]
    walk: PeakWalk
    first: int
    combinations: Sequence[Combination]
    all_forces: Callable

    def peak(self, item: Followed, sense: int) -> Peak:
        """The largest force in one sense at ultimate level. [N]"""
        return self.walk.peak(self.first + self.items.index(item), sense, self.combinations)

    def instant(self, item: Followed, peak: Peak) -> Instant:
        """The forces on its bolt then."""
        return peak.instant(item.bolt, self.all_forces)


def bearing_checks(
    joint: BoltedJoint, bolt: Bolt, hole: Hole, plate: Plate, share: float, *, axis: str, worst, forces: BearingForces
) -> Iterator[Check]:
    """Bearing of the bolts on one plate along y and x, and by the whole force where the standard limits it.

    Parameters
    ----------
    share : float
        Of a bolt's force that the plate takes. [-]
    axis : str
        Along which the end distances run.
    """
    hole = hole_in(joint, bolt, hole, plate)
    for direction in ("y", "x"):
        check = _along(joint, bolt, hole, plate, share, direction, axis, forces)
        if check is not None:
            yield check
    check = _whole(joint, bolt, hole, plate, share, worst)
    if check is not None:
        yield check


def hole_in(joint: BoltedJoint, bolt: Bolt, hole: Hole, plate: Plate) -> Hole:
    """The hole in one plate: that of the joint, unless the plate has its own."""
    return standard(joint.standard).hole(bolt, plate.holes) if plate.holes else hole


def without_plates(joint: BoltedJoint) -> Check:
    """Bearing of a joint whose plates are not given."""
    clause = standard(joint.standard).CLAUSES["bearing"]
    return not_judged("bearing", "bearing after slip", reason="no plates are given", clause=clause)


def _along(joint, bolt, hole, plate, share, direction, axis, forces: BearingForces) -> Check | None:
    number = AXES.index(direction)

    @cache
    def resistance(place: Surroundings):
        return _resistance(joint, bolt, hole, plate, direction, axis, place)

    worst = None
    for item in forces.items:
        if item.axis != number:
            continue
        for sense in SENSES:
            peak = forces.peak(item, sense)
            if peak.value <= 0.0:
                continue
            for side in _SENSES_OF[plate.belongs_to]:
                at = surroundings(joint.positions, item.bolt, axis=number, sense=sense * side, width=hole.width)
                found = resistance(at)
                used = share * peak.value / found.resistance if found.resistance > 0.0 else np.inf
                if worst is None or used > worst[0]:
                    worst = used, item, peak, found
    if worst is None:
        return None
    _, item, peak, found = worst
    instant = forces.instant(item, peak)
    return judged(
        f"bearing-{plate.name}-{direction}", f"bearing on the {plate.name} along {direction} after slip",
        demand=share * peak.value, resistance=found.resistance, unit="N",
        clause=standard(joint.standard).CLAUSES["bearing"],
        working=(bolt_force(joint, instant).shear, *found.working), at=place(instant),
    )  # fmt: skip


def _resistance(joint, bolt, hole, plate: Plate, direction, axis, at: Surroundings):
    end, edge = plate.end_distance, plate.edge_distance
    if direction != axis:
        end, edge = edge, end
    one_row = joint.planes == 1 and spacing(joint.positions, direction, hole.width)[0] is None
    return standard(joint.standard).bearing(
        bolt, hole, plate,
        end_distance=end if at.pitch is None else None, pitch=at.pitch,
        edge_distance=edge if at.edge else None, gauge=at.gauge,
        slot_across_load=hole.slotted and joint.slot_axis != direction, single_lap_one_row=one_row,
    )  # fmt: skip


def _whole(joint, bolt, hole, plate: Plate, share, worst) -> Check | None:
    rules, at = standard(joint.standard), worst["shear"]
    found = rules.resultant_bearing(bolt, hole, plate)
    if found is None or at.value <= 0.0:
        return None
    return judged(
        f"bearing-{plate.name}", f"bearing on the {plate.name} by the whole force after slip",
        demand=share * at.value, resistance=found.resistance, unit="N", clause=rules.CLAUSES["bearing"],
        working=(bolt_force(joint, at).shear, found), at=place(at),
    )  # fmt: skip
