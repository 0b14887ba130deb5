"""Rungs that take shear from the bolts: a key welded to one part, dowels through both; the bolts clamp."""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from loadhistories.figures import Check, not_judged
from loadhistories.validation import InputError
from slip.alternatives.alternative import Alternative, OwnDetail, Proposal, Situation
from slip.alternatives.search import Candidate, first_that_does, nothing
from slip.alternatives.weld_details import key_details
from slip.joint import BoltedJoint
from slip.shear_parts import LONGEST_PIN, Dowels, ShearKey, ShearParts, relieved_of
from slip.standards import standard

DEPTHS = (12.0, 16.0, 20.0, 25.0, 30.0)
LEGS = (6.0, 8.0, 10.0, 12.0)
DIAMETERS = (16.0, 20.0, 25.0, 30.0, 40.0, 50.0)
FIT_OF_KEY = "the pocket packed or wedged so that the key bears at once, in both senses"
FIT_OF_DOWELS = "holes of the dowels reamed together with the parts aligned; dowels secured against working out"


def shear_key(situation: Situation) -> Alternative:
    """The smallest key between the bolts that takes the force along the axis of the larger load; bolts hold the rest.

    Its width is two thirds of the room between the bolts, or of the plate where there are none beside it.
    """
    joint, kind = situation.joint, "shear key"
    if joint.planes != 1 or len(joint.plates) < 2:
        return nothing(kind, "a key is sized between two plates in one plane, both given")
    return first_that_does(situation, kind, _keys(situation), none="no key fits between the bolts",
                           why="the least depth, then the least weld, that does")  # fmt: skip


def dowels(situation: Situation) -> Alternative:
    """Two tight dowels that take every load in the plane, outside the bolts on the line of the first plate's middle."""
    joint, kind = situation.joint, "dowels"
    if len(joint.plates) < 2:
        return nothing(kind, "the plates that the dowels bear in are known only where both are given")
    return first_that_does(situation, kind, _dowels(situation), none="no dowels fit into the plates",
                           why="the smallest diameter that does")  # fmt: skip


def _keys(situation: Situation) -> Iterator[Candidate]:
    joint, axis = situation.joint, situation.axis
    across = 0 if axis == "y" else 1
    bolt = standard(joint.standard).bolt(joint.size, joint.grade)
    clear = _room(joint, across, 2.0 * bolt.diameter)
    if clear < 30.0:
        return
    width = 5.0 * np.floor(2 / 3 * clear / 5.0)
    plate = joint.plates[0]
    made_with, words = standard(joint.standard).weld_choice(plate)
    for depth in (item for item in DEPTHS if item <= joint.plates[1].thickness):
        for leg in (item for item in LEGS if item <= min(plate.thickness, joint.plates[1].thickness)):
            try:
                weld = standard(joint.standard).fillet_weld(leg=leg, **made_with)
            except InputError:
                continue
            key = ShearKey(
                axis, float(width), depth, 2.0 * depth, plate.steel, plate.yield_strength, plate.ultimate_strength, 0.0,
                weld,
            )  # fmt: skip
            title = (
                f"key {width:g} mm wide and {key.length:g} mm long on the {plate.name}, bearing {depth:g} mm deep in "
                f"the {joint.plates[1].name} along {axis}, {leg:g} mm fillet weld round its foot"
                f"{f', {words}' if words else ''}"
            )
            show = (FIT_OF_KEY, f"the pocket in the {joint.plates[1].name}: what it takes from that part's section",
                    "stress at the pocket's corners in that part, a detail of its own")  # fmt: skip
            parts = ShearParts(key=key, foot_leg=leg)
            yield Candidate(title, Proposal(_left(joint, parts), own=key_details(joint, key), parts=parts), show)


def _dowels(situation: Situation) -> Iterator[Candidate]:
    joint = situation.joint
    thick = sum(plate.thickness for plate in joint.plates)
    weakest = min(joint.plates, key=lambda plate: plate.yield_strength)
    spread = np.ptp(joint.positions, axis=0)
    middle = joint.positions.min(axis=0) + spread / 2
    along = int(spread[1] >= spread[0])
    bolt = standard(joint.standard).bolt(joint.size, joint.grade)
    for diameter in DIAMETERS:
        if thick > LONGEST_PIN * diameter:
            continue
        reach = np.zeros(2)
        reach[along] = spread[along] / 2 + 1.5 * (diameter + bolt.diameter)
        places = np.array([middle - reach, middle + reach])
        found = Dowels(places, diameter, weakest.steel, weakest.yield_strength, weakest.ultimate_strength)
        parts = ShearParts(dowels=found)
        title = (
            f"2 dowels of {diameter:g} mm beyond the bolts, {2 * reach[along]:g} mm apart along {'xy'[along]}, which "
            "take all that acts in the plane; the bolts clamp"
        )
        grown = reach[along] - spread[along] / 2
        show = (
            FIT_OF_DOWELS,
            f"plates that reach {grown + 1.5 * diameter:g} mm beyond the outer bolts along {'xy'[along]}",
            "net section of the plates at their holes for fatigue", "play of the fit itself",
        )  # fmt: skip
        own = _pins(joint)
        open_points = () if own else (_shanks_not_judged(joint),)
        yield Candidate(title, Proposal(_left(joint, parts), own=own, parts=parts), show, open_points)


def _left(joint: BoltedJoint, parts: ShearParts) -> BoltedJoint:
    """The bolts with what is left to them of the permanent load."""
    return replace(joint, permanent=relieved_of(parts, joint.permanent))


def _pins(joint: BoltedJoint) -> tuple[OwnDetail, ...]:
    import fatigue.standards

    offered = getattr(fatigue.standards.standard(joint.standard), "FITTED_BOLTS", None)
    name = "shanks of the dowels in shear, as those of fitted bolts"
    return () if offered is None else (OwnDetail(name, offered["shank"], "dowel shear"),)


def _shanks_not_judged(joint: BoltedJoint) -> Check:
    reason = f"{joint.standard} has no category here for shanks that bear without play under reversed shear"
    return not_judged("dowel-fatigue", "fatigue of the dowels in shear", reason=reason, clause="")


def _room(joint: BoltedJoint, across: int, beside: float) -> float:
    """Room across the force between the inner bolts on both sides of the middle, or within the plate. [mm]"""
    places = joint.positions[:, across] - joint.positions[:, across].mean()
    inner = np.abs(places).min()
    if inner > 0.0:
        return float(2.0 * inner - 2.0 * beside / 2)
    other = joint.positions[:, 1 - across] - joint.positions[:, 1 - across].mean()
    free = np.abs(other).min()
    return 0.0 if free < beside else float(np.ptp(joint.positions[:, across]) + joint.plates[0].edge_distance)
