"""The checks of one joint at its worst instants: grip by level, and what holds when it grips no longer."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from loadhistories.figures import FAILS, Check, judged, not_judged
from slip.bolts import Bolt
from slip.events import Instant
from slip.holes import DIRECTIONS, Hole
from slip.joint import LEVELS, BoltedJoint, Plate
from slip.standards import standard
from slip.working import bolt_force

STANDARD_LAP = {1: (1.0, 1.0), 2: (0.5, 1.0, 0.5)}


def hole_factor(joint: BoltedJoint) -> float:
    """Factor of the grip for the kind of hole; of a slot the smaller value of both directions. [-]"""
    rules = standard(joint.standard)
    return min(rules.hole_factor(joint.holes, direction) for direction in DIRECTIONS)


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
    shares = STANDARD_LAP[2] if joint.planes == 2 and len(joint.plates) == 3 else None
    return shares or (1.0,) * len(joint.plates)


def assumptions(joint: BoltedJoint, axis: str) -> tuple[str, ...]:
    """What the engine took for granted, in words."""
    found = [
        "bolt forces by the elastic method in the plane and the linear method across it; prying is not included",
        "contact pressure elsewhere is not counted against the loss of clamping by tension",
    ]
    if joint.plates:
        found.append(
            f"end distances of the plates run along {axis}, the axis of the larger load; bearing is checked for "
            "the components of the bolt force along x and y separately, with the smaller factors of end and inner "
            "bolts for every bolt"
        )
        found.append("the steel is not exposed to weather or corrosion: end and edge distances have no upper limit")
    if joint.planes == 2 and len(joint.plates) == 3:
        found.append("the second plate lies in the middle and takes the whole bolt force, the outer two half of it")
    elif joint.planes > 1:
        found.append("each plate is checked for the whole force of a bolt")
    if joint.holes.endswith("slot"):
        found.append("hole factor of slots for a load along the slot, the smaller of both directions")
    return tuple(found)


def grip_checks(joint: BoltedJoint, hole: Hole, levels) -> tuple[Check, ...]:
    """Grip at the levels at which the joint must not slip, the service level before the ultimate one."""
    rules = standard(joint.standard)
    required = rules.levels_checked(joint.slip)
    if required and not joint.preloaded:
        reason = f"slip is {joint.slip!r}, but bolts without preload do not grip"
        clause = rules.CLAUSES[f"slip at {required[-1]}"]
        check = not_judged(f"slip-{required[-1]}", f"grip at {required[-1]} level", reason=reason, clause=clause)
        return (replace(check, state=FAILS),)
    names = [name for name in LEVELS if required and LEVELS.index(name) <= LEVELS.index(required[-1])]
    return tuple(_grip_check(joint, levels[name]) for name in names)


def strength_checks(
    joint: BoltedJoint, bolt: Bolt, hole: Hole, worst: dict[str, Instant], axis: str
) -> tuple[Check, ...]:
    """Strength without grip at ultimate level: bolts in shear and tension, plates in bearing, hole distances."""
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
    for plate, share in zip(joint.plates, shares_of_plates(joint), strict=True):
        for direction in ("y", "x"):
            checks.append(_bearing(joint, bolt, hole, plate, share, direction, axis, worst))
        checks.append(_distances(joint, hole, plate, axis))
    if not joint.plates:
        reason = "no plates are given"
        checks.append(not_judged("bearing", "bearing after slip", reason=reason, clause=rules.CLAUSES["bearing"]))
    return tuple(check for check in checks if check is not None)


def place(instant: Instant) -> str:
    """Bolt, load and time of an instant in words."""
    when = "" if instant.time is None else f", {instant.time:.2f} s"
    return f"bolt {instant.bolt + 1}, {instant.load}{when}, {instant.combination}"


def spacing(positions: NDArray[np.float64], direction: str, width: float) -> tuple[float | None, float | None]:
    """Smallest pitch along and gauge across a direction; None where no bolt stands there. [mm]

    Bolts count as one behind the other where they are less than a hole's width apart across the direction. For
    bolts that stand neither behind nor beside each other the distance between them counts as gauge.
    """
    along, across = (1, 0) if direction == "y" else (0, 1)
    first, second = np.triu_indices(len(positions), k=1)
    steps = np.abs(positions[first] - positions[second])
    behind = steps[:, across] < width
    beside = steps[:, along] < width
    pitch = steps[behind, along]
    gauge = np.where(beside, steps[:, across], np.hypot(steps[:, 0], steps[:, 1]))[~behind]
    return (float(pitch.min()) if pitch.size else None, float(gauge.min()) if gauge.size else None)


def _bolt_shear(joint: BoltedJoint, bolt: Bolt, hole: Hole):
    return standard(joint.standard).bolt_shear(
        bolt, joint.planes, joint.threads_in_plane, hole_clearance=hole.clearance, joint_length=joint_length(joint)
    )


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


def _bearing(joint, bolt, hole, plate: Plate, share, direction, axis, worst) -> Check | None:
    rules, at = standard(joint.standard), worst[f"bearing along {direction}"]
    if at.value <= 0.0:
        return None
    ends = (plate.end_distance, plate.edge_distance)
    end, edge = ends if direction == axis else ends[::-1]
    pitch, gauge = spacing(joint.positions, direction, hole.width)
    found = rules.bearing(
        bolt, hole, plate, end_distance=end, edge_distance=edge, pitch=pitch, gauge=gauge,
        slot_across_load=hole.slotted and joint.slot_axis != direction,
        single_lap_one_row=joint.planes == 1 and pitch is None,
    )  # fmt: skip
    return judged(
        f"bearing-{plate.name}-{direction}", f"bearing on the {plate.name} along {direction} after slip",
        demand=share * at.value, resistance=found.resistance, unit="N", clause=rules.CLAUSES["bearing"],
        working=(bolt_force(joint, at).shear, *found.working), at=place(at),
    )  # fmt: skip


def _distances(joint: BoltedJoint, hole: Hole, plate: Plate, axis: str) -> Check:
    pitch, gauge = spacing(joint.positions, axis, hole.width)
    found = standard(joint.standard).distance_checks(
        hole, thickness=min(item.thickness for item in joint.plates), end_distance=plate.end_distance,
        edge_distance=plate.edge_distance, pitch=pitch, gauge=gauge, exposed=False,
    )  # fmt: skip
    worst = max(found, key=lambda check: check.utilisation)
    return replace(worst, id=f"distances-{plate.name}", title=f"hole distances of the {plate.name}: {worst.title}")
