"""The checks of one joint at its worst instants: grip by level, and what holds when it grips no longer."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from loadhistories.figures import FAILS, Check, judged, not_judged
from slip.bearing_checks import BearingForces, bearing_checks, without_plates
from slip.bolts import Bolt
from slip.events import Instant
from slip.holes import DIRECTIONS, Hole
from slip.joint import LEVELS, BoltedJoint
from slip.plate_checks import PlateForces, plate_checks
from slip.prying_checks import prying_checks
from slip.resin_checks import resin_checks
from slip.standards import standard
from slip.working import bolt_force, place

DOUBLE_LAP = (0.5, 1.0, 0.5)


def hole_factor(joint: BoltedJoint) -> float:
    """Factor of the grip for the kinds of holes, the smallest; of a slot the smaller of both directions. [-]"""
    rules = standard(joint.standard)
    kinds = {joint.holes, *(plate.holes for plate in joint.plates if plate.holes)}
    return min(rules.hole_factor(kind, direction) for kind in kinds for direction in DIRECTIONS)


def joint_length(joint: BoltedJoint) -> float:
    """Longest extent of the bolts along an axis: the length of the joint on the safe side. [mm]"""
    return float(np.ptp(joint.positions, axis=0).max())


def load_axis(extent: NDArray[np.float64]) -> str:
    """The axis along which the joint's in-plane load is larger: "x" or "y"."""
    return "x" if extent[0] > extent[1] else "y"


def shear_and_tension_resistance(joint: BoltedJoint, bolt: Bolt, hole: Hole) -> tuple[float, float]:
    """Resistances of one bolt without grip. [N]"""
    rules = standard(joint.standard)
    return _bolt_shear(joint, bolt, hole).resistance, rules.bolt_tension(bolt).resistance


def shares_of_plates(joint: BoltedJoint) -> tuple[float, ...]:
    """Share of a bolt's force that each plate takes: halves outside in a double lap of three plates, else all. [-]"""
    return DOUBLE_LAP if joint.planes == 2 and len(joint.plates) == 3 else (1.0,) * len(joint.plates)


def assumptions(joint: BoltedJoint, axis: str) -> tuple[str, ...]:
    """What the engine took for granted, in words."""
    found = [
        f"bolt forces by the elastic method in the plane and the linear method across it; {_prying(joint)}",
        _contact(joint),
    ]
    if joint.plates:
        found += _of_plates(joint, axis)
    if joint.planes == 2 and len(joint.plates) == 3:
        found.append("the second plate lies in the middle and takes the whole bolt force, the outer two half of it")
    elif joint.planes > 1:
        found.append("each plate is checked for the whole force of a bolt")
    if joint.fit == "injection":
        does = "what the resin adds to the grip is not counted" if joint.preloaded else "the resin holds the plates"
        found.append(f"injection bolts ({standard(joint.standard).CLAUSES['injection bolts']}): {does}")
    if joint.fit == "fitted":
        found.append(
            f"fitted bolts hold the plates without play where they do not grip "
            f"({standard(joint.standard).CLAUSES['fitted bolts']}); the play of the fit itself is not counted"
        )
    if joint.holes.endswith("slot"):
        found.append("hole factor of slots for a load along the slot, the smaller of both directions")
    return tuple(found)


def _contact(joint: BoltedJoint) -> str:
    if not joint.contact:
        return "contact pressure elsewhere is not counted against the loss of clamping by tension"
    return (
        "as stated, contact on the compression side makes up for the tension that moments put into the bolts: grip is "
        f"lowered by the pull on the whole joint alone ({standard(joint.standard).CLAUSES['contact']})"
    )


def _prying(joint: BoltedJoint) -> str:
    if joint.prying is None and joint.flange is None:
        return "prying is not included"
    if joint.flange is None:
        if joint.prying == 1.0:
            return "no prying, as stated"
        return f"bolt tension times {joint.prying:g} for prying, as stated"
    return (
        f"bolt tension times {joint.prying_factor:.4g} for prying, the factor of the largest tension of the loads, "
        f"which covers every smaller one ({standard(joint.standard).CLAUSES['prying']}); grip is lowered by the "
        "tension with prying too, on the safe side"
    )


def _of_plates(joint: BoltedJoint, axis: str) -> list[str]:
    rules = standard(joint.standard)
    found = [
        f"end distances of the plates run along {axis}, the axis of the larger load; bearing is checked for the "
        "components of every bolt's force along x and y separately, each bolt with its own end, edge and spacings"
    ]
    either = [plate.name for plate in joint.plates if not plate.belongs_to]
    if either:
        found.append(
            f"bolts press towards either end of {_and(either)}, as it is not said whether it belongs to the part or "
            "to its support"
        )
    if hasattr(rules, "plate_block_tearing"):
        found.append(
            f"blocks of bolts tear out along {axis}; with a moment or a force across it the tension on them is uneven"
        )
    else:
        found.append("block tearing of the plates is not judged")
    across = {"x": "height", "y": "width"}[axis]
    open_ones = [plate.name for plate in joint.plates if getattr(plate, across) is None]
    if open_ones:
        found.append(f"sections of {_and(open_ones)} are not judged: no {across} is given")
    if len(open_ones) < len(joint.plates):
        found.append(
            "plates whose sections are judged are centred on the bolts; their bending beyond the bolts is the member's "
            "own"
        )
    beside = {"x": "width", "y": "height"}[axis]
    sheared = [plate.name for plate in joint.plates if getattr(plate, beside) is not None]
    if sheared and hasattr(rules, "plate_shear"):
        found.append(
            f"shear of {_and(sheared)} along {axis} is judged as if each passed all of its load on through the section "
            "beside its bolts, as a fin plate does: the most that can be"
        )
    if hasattr(rules, "HEADS_ASSUMED"):
        found.append(rules.HEADS_ASSUMED)
    found.append(rules.DISTANCES_ASSUMED)
    return found


def _and(names: list[str]) -> str:
    return " and ".join(names)


def grip_checks(joint: BoltedJoint, hole: Hole, levels) -> tuple[Check, ...]:
    """Grip at the levels at which the joint must not slip, the service level before the ultimate one."""
    rules = standard(joint.standard)
    required = rules.levels_checked(joint.slip)
    if joint.fit and not joint.preloaded:
        return ()
    if required and not joint.preloaded:
        reason = f"slip is {joint.slip!r}, but bolts without preload do not grip"
        clause = rules.CLAUSES[f"slip at {required[-1]}"]
        check = not_judged(f"slip-{required[-1]}", f"grip at {required[-1]} level", reason=reason, clause=clause)
        return (replace(check, state=FAILS),)
    names = [name for name in LEVELS if required and LEVELS.index(name) <= LEVELS.index(required[-1])]
    return tuple(_grip_check(joint, levels[name]) for name in names)


def strength_checks(
    joint: BoltedJoint,
    bolt: Bolt,
    hole: Hole,
    worst: dict[str, Instant],
    *,
    axis: str,
    bearing: BearingForces,
    plates: PlateForces,
) -> tuple[Check, ...]:
    """Strength without grip at ultimate level: bolts in shear and tension, plates in bearing, tearing and punching.

    Parameters
    ----------
    worst : dict
        The instants at which bolt shear, bolt tension and both together are largest.
    axis : str
        Along which the end distances run.
    """
    rules = standard(joint.standard)
    shear, tension = _bolt_shear(joint, bolt, hole), rules.bolt_tension(bolt)
    checks = []
    at = worst["shear"]
    force = bolt_force(joint, at)
    checks.append(
        judged(
            "bolt-shear", "bolt shear after slip", demand=at.value, resistance=shear.resistance, unit="N",
            clause=rules.CLAUSES["bolt shear"], working=(*force.working[:1], shear), at=place(at),
        )
    )  # fmt: skip
    if worst["tension"].value > 0.0:
        checks += _with_tension(joint, worst, shear, tension)
    for number, (plate, share) in enumerate(zip(joint.plates, shares_of_plates(joint), strict=True)):
        checks += bearing_checks(joint, bolt, hole, plate, share, axis=axis, worst=worst, forces=bearing)
        checks += plate_checks(joint, bolt, hole, number, share, axis=axis, worst=worst, forces=plates)
    checks += prying_checks(joint, worst)
    checks += resin_checks(joint, bolt, worst)
    if not joint.plates:
        checks.append(without_plates(joint))
    return tuple(checks)


def _bolt_shear(joint: BoltedJoint, bolt: Bolt, hole: Hole):
    return standard(joint.standard).bolt_shear(
        bolt, joint.planes, joint.threads_in_plane, hole_clearance=hole.clearance, joint_length=joint_length(joint),
        packing=joint.packing,
    )  # fmt: skip


def _grip_check(joint: BoltedJoint, level) -> Check:
    rules, at = standard(joint.standard), level.instant
    grip = rules.slip_resistance(
        preload=joint.preload, slip_factor=joint.slip_factor, planes=joint.planes,
        hole_factor=hole_factor(joint), level=level.level, tension=at.tension,
    )  # fmt: skip
    force = bolt_force(joint, at)
    return judged(
        f"slip-{level.level}", f"grip at {level.level} level, {rules.CATEGORIES[level.level]}",
        demand=float(np.hypot(*at.shear)), resistance=grip.resistance, unit="N",
        clause=rules.CLAUSES[f"slip at {level.level}"], working=(*force.working, grip), at=place(at),
    )  # fmt: skip


def _with_tension(joint: BoltedJoint, worst, shear, tension) -> list[Check]:
    rules = standard(joint.standard)
    pull, both = worst["tension"], worst["combined"]
    together = rules.shear_with_tension(
        float(np.hypot(*both.shear)), both.tension,
        shear_resistance=shear.resistance, tension_resistance=tension.resistance,
    )  # fmt: skip
    return [
        judged(
            "bolt-tension", "bolt tension", demand=pull.value, resistance=tension.resistance, unit="N",
            clause=rules.CLAUSES["bolt tension"], working=(*bolt_force(joint, pull).working[1:], tension),
            at=place(pull),
        ),
        judged(
            "bolt-shear-tension", "bolt shear with tension after slip", demand=together.utilisation,
            resistance=1.0, unit="", clause=rules.CLAUSES["shear with tension"],
            working=(*bolt_force(joint, both).working, together), at=place(both),
        ),
    ]  # fmt: skip
