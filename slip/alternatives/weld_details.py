"""Fatigue details that a proposed weld brings: throat, toes and root, by the categories of the standard."""

from collections.abc import Iterator

import fatigue.standards
from loadhistories.tables import read_table
from slip.alternatives.alternative import FILLET, FULL, OwnDetail, WeldPlan
from slip.joint import BoltedJoint
from slip.shear_parts import ShearKey

EDGES = {"+x": (0, 1.0), "-x": (0, -1.0), "+y": (1, 1.0), "-y": (1, -1.0)}


def lap_details(joint: BoltedJoint, plan: WeldPlan, middle, size: tuple[float, float]) -> tuple[OwnDetail, ...]:
    """Details of a fillet weld round a plate that lies on the other: throat, and toe in the plate.

    Parameters
    ----------
    middle, size : pair of float
        Middle of the plate in joint axes, and its width and height; no middle: its section is not judged. [mm]

    Limits
    ------
    The toe is judged by the stress in the plate's whole section where it leaves the weld, for loads in the plane only;
    not where it is not said on which side the plate goes on. The toe in the plate below takes that part's own stress,
    which is not known.
    """
    return (*_throat(joint, plan.throat), *(_plate_section(joint, middle, size) if middle is not None else ()))


def tee_details(joint: BoltedJoint, plan: WeldPlan) -> tuple[OwnDetail, ...]:
    """Details of a groove weld of plates that stand on the other part: toe, and root where it is not welded through."""
    rules = fatigue.standards.standard(joint.standard)
    row = _toe(joint, "tee", plan.kind == FULL, plan.thickness + 2.0 * plan.leg)
    statements = {"root": "none: full penetration"} if plan.kind == FULL else {}
    toe = OwnDetail(
        "toe of the weld, stress in the welded plate", row["category"], "plate at the weld",
        sizes=_sizes(row["category"], joint, plan), statements=statements,
    )  # fmt: skip
    if plan.kind == FULL:
        along = OwnDetail(
            "weld in shear along its length", rules.WELD_THROAT["shear"], "weld throat along",
            statements={"root": "none: full penetration", "toe": "none: judged as a detail of its own"},
        )  # fmt: skip
        return toe, along
    if "root_category" in row:
        root = OwnDetail(
            "root of the weld, stress in the welded plate", row["root_category"], "plate at the weld",
            sizes=_sizes(row["root_category"], joint, plan),
        )  # fmt: skip
        shear = rules.WELD_THROAT["shear"]
        return toe, root, OwnDetail("weld throat, stress along it", shear, "weld throat along")
    return toe, *_throat(joint, plan.throat)


def key_details(joint: BoltedJoint, key: ShearKey) -> tuple[OwnDetail, ...]:
    """Details of the weld at the foot of a key."""
    rules = fatigue.standards.standard(joint.standard)
    why = {"toe": "none: the key ends at its weld; the toe in the plate takes that part's own stress"}
    return tuple(
        OwnDetail(f"weld of the key, stress {word} it", rules.WELD_THROAT[kind], f"key weld {word}", statements=why,
                  point="weld of the key")
        for word, kind in (("across", "normal"), ("along", "shear"))
    )  # fmt: skip


def _throat(joint: BoltedJoint, throat: float) -> Iterator[OwnDetail]:
    categories = fatigue.standards.standard(joint.standard).WELD_THROAT
    for word, kind in (("across", "normal"), ("along", "shear")):
        yield OwnDetail(
            f"weld throat of {throat:.3g} mm, stress {word} it", categories[kind], f"weld throat {word}",
            statements={"toe": "none: judged as a detail of its own"}, point="weld throat",
        )  # fmt: skip


def _plate_section(joint: BoltedJoint, middle, size: tuple[float, float]) -> Iterator[OwnDetail]:
    """Both edges of the plate's section at the end of the weld, beyond which it goes on to its part."""
    plate = joint.plates[0]
    category = _toe(joint, "lap", False, 0.0)["category"]
    axis, side = EDGES[plate.reaches]
    width, t = size[1 - axis], plate.thickness
    place = [float(middle[0]), float(middle[1])]
    place[axis] += side * size[axis] / 2
    for fibre, per_moment in (("one edge", 6.0 / (t * width**2)), ("other edge", -6.0 / (t * width**2))):
        values = {"Fx": place[1] * per_moment, "Fy": -place[0] * per_moment, "Mz": per_moment}
        values["Fx" if axis == 0 else "Fy"] += 1.0 / (width * t)
        yield OwnDetail(
            f"{plate.name} at the end of the weld, {fibre}", category, "components",
            values={name: value for name, value in values.items() if value}, sizes=_sizes(category, joint, None),
            statements={"root": "none: judged as the throat of the weld"},
        )  # fmt: skip


def _toe(joint: BoltedJoint, kind: str, full: bool, length: float) -> dict:
    """The row of the standard's table of toes for a lap or a tee joint."""
    package, name = fatigue.standards.standard(joint.standard).WELD_TOES
    thickness = joint.plates[0].thickness if kind == "lap" else max(plate.thickness for plate in joint.plates)
    wanted = [f"{kind}, {FULL}", kind] if full else [kind]
    rows = [row for word in wanted for row in read_table(package, name).values() if row["joint"] == word]
    return next(
        row for row in rows
        if length <= row.get("length_up_to_mm", length) and thickness <= row.get("thickness_up_to_mm", thickness)
    )  # fmt: skip


def _sizes(category: str, joint: BoltedJoint, plan: WeldPlan | None) -> dict[str, float]:
    """Sizes that the category's size effect asks for."""
    row = fatigue.standards.standard(joint.standard).row_of(category)
    plate = joint.plates[0]
    if row.size_effect == "thickness":
        return {"thickness": plate.thickness}
    if row.size_effect.endswith("root") and plan is not None:
        given = {"thickness": plan.thickness, "root_face": plan.thickness - plan.depth}
        return given if plan.kind != FILLET else {"thickness": plan.thickness, "leg": plan.leg}
    return {}
