"""Writes a proposal as the table [[joint]] of a job file: what changes, all else as the file has it."""

from copy import deepcopy
from typing import Any

import numpy as np

import fatigue.standards
from slip.alternatives.alternative import FILLET, FULL, OwnDetail, Proposal, WeldPlan
from slip.joint import BoltedJoint, Plate
from slip.shear_parts import ShearParts

OF_BOLTS = ("bolts", "slip", "because", "plates", "alignment", "sharing")
SHARED = {
    "carried_by": "bolts and welds", "tightened_after_welding": True, "unloaded_until_finished": True,
    "tightening": "other",
}  # fmt: skip
# Sizes of the flange that pries which another joint may change.
OF_FLANGE = ("length", "effective_length", "bolt_length")
GRID = ("rows", "columns", "pitch", "gauge")


def table_of(original: dict, before: BoltedJoint, proposal: Proposal) -> dict:
    """The table of the joint as the proposal wants it.

    Parameters
    ----------
    original : dict
        The table [[joint]] of the job file.
    before : BoltedJoint
        What was read from it.
    """
    table = deepcopy(original)
    if proposal.joint is None:
        for key in OF_BOLTS:
            table.pop(key, None)
    else:
        _bolts(table["bolts"], before, proposal.joint)
        _plates(table, before, proposal.joint)
        table["slip"] = proposal.joint.slip
    if proposal.weld is not None:
        table["weld"] = [_weld(proposal.weld, before)]
    if proposal.shared:
        table["sharing"] = dict(SHARED)
    if proposal.parts is not None:
        _shear_parts(table, proposal.parts, before)
    details = [_detail(number, item, proposal) for number, item in enumerate(table.get("detail", []))]
    details = [item for item in details if item is not None]
    details += [_own(item, proposal, before) for item in proposal.own]
    table.pop("detail", None)
    if details:
        table["detail"] = details
    return table


def length(value: float) -> str:
    """A length as a job file has it, to the last bit. [mm]"""
    return f"{float(value)!r} mm".replace(".0 mm", " mm")


def _bolts(bolts: dict, before: BoltedJoint, after: BoltedJoint) -> None:
    for key in ("size", "grade", "planes"):
        if getattr(after, key) != getattr(before, key):
            bolts[key] = getattr(after, key)
    _preload(bolts, before, after)
    if after.holes_in_words != before.holes_in_words:
        bolts["holes"] = after.holes_in_words
    if not after.slot_axis:
        bolts.pop("slot", None)
    if after.surface and (after.surface, after.slip_factor) != (before.surface, before.slip_factor):
        bolts["surface"] = after.surface
    if after.threads_in_plane != before.threads_in_plane:
        bolts["threads"] = "in shear plane" if after.threads_in_plane else "not in shear plane"
    if after.resin_strength != before.resin_strength and after.resin_strength is not None:
        bolts["resin_strength"] = f"{float(after.resin_strength)!r} MPa"
    if after.flange is not None and after.flange.given != before.flange.given:
        sizes = vars(after.flange.given)
        bolts["prying"] |= {key: length(sizes[key]) for key in OF_FLANGE if sizes[key] is not None}
    if after.grid is not None and after.grid != before.grid:
        for key in GRID:
            bolts.pop(key, None)
        bolts |= {"rows": after.grid.rows, "columns": after.grid.columns}
        bolts |= {"pitch": length(after.grid.pitch)} if after.grid.pitch else {}
        bolts |= {"gauge": length(after.grid.gauge)} if after.grid.gauge else {}


def _preload(bolts: dict, before: BoltedJoint, after: BoltedJoint) -> None:
    if after.preload == before.preload and after.size == before.size and after.grade == before.grade:
        return
    if not after.preloaded:
        bolts["preload"] = "none"
    elif isinstance(bolts.get("preload"), dict):
        bolts["preload"]["specified"] = "full"
    else:
        bolts["preload"] = "full"


def _plates(table: dict, before: BoltedJoint, after: BoltedJoint) -> None:
    tables = table.get("plates", [])
    for number, plate in enumerate(after.plates):
        if number == len(before.plates):
            source = next(k for k, item in enumerate(before.plates) if plate.name.endswith(item.name))
            tables.append({**deepcopy(tables[source]), "name": plate.name})
            continue
        old = before.plates[number]
        for key in ("end_distance", "edge_distance"):
            if getattr(plate, key) != getattr(old, key):
                tables[number][key] = length(getattr(plate, key))
        if plate.holes != old.holes:
            tables[number].pop("holes", None)


def _weld(plan: WeldPlan, before: BoltedJoint) -> dict:
    weld: dict[str, Any] = {"lines": _lines(plan.lines), "quality": plan.quality}
    made = {"class" if key == "quality" else key: _made(key, value) for key, value in plan.made_with.items()}
    if plan.kind == FILLET:
        weld |= {"leg": length(plan.leg), **made}
    elif plan.kind == FULL:
        weakest = min(before.plates, key=lambda plate: plate.yield_strength)
        weld |= {"kind": plan.kind, "thickness": length(plan.thickness), "steel": _steel(weakest)}
    else:
        weld |= {"kind": plan.kind, "depth": length(plan.depth), **made}
    if plan.strength_factor != 1.0:
        weld["strength_factor"] = plan.strength_factor
    return weld


def _made(key: str, value: Any) -> Any:
    return length(value) if key == "thickness" else value


def _steel(item) -> dict:
    """A steel by its strengths, so that no thickness changes them."""
    return {
        "name": item.steel,
        "yield_strength": f"{float(item.yield_strength)!r} MPa",
        "ultimate_strength": f"{float(item.ultimate_strength)!r} MPa",
    }


def _lines(lines) -> list:
    return [[[length(value) for value in end] for end in line] for line in np.asarray(lines)]


def _shear_parts(table: dict, parts: ShearParts, before: BoltedJoint) -> None:
    if parts.dowels is not None:
        table["dowels"] = {
            "at": [[length(value) for value in point] for point in parts.dowels.positions],
            "diameter": length(parts.dowels.diameter), "steel": _steel(parts.dowels),
        }  # fmt: skip
        return
    key = parts.key
    made_with, _ = _choice(before)
    weld = {"leg": length(parts.foot_leg), **{
        "class" if name == "quality" else name: _made(name, value) for name, value in made_with.items()
    }}  # fmt: skip
    table["shear_key"] = {
        "axis": key.axis, "width": length(key.width), "depth": length(key.depth), "length": length(key.length),
        "clearance": length(key.clearance), "steel": _steel(key), "weld": weld,
    }  # fmt: skip


def _choice(joint: BoltedJoint) -> tuple[dict, str]:
    from slip.standards import standard

    first: Plate = joint.plates[0]
    return standard(joint.standard).weld_choice(first)


def _detail(number: int, table: dict, proposal: Proposal) -> dict | None:
    """A detail of the file as it stays; None where it goes with the bolts."""
    if number in proposal.dropped:
        return None
    if number in proposal.on_net_section:
        changed = {key: value for key, value in table.items() if key not in ("net_section", "category", "stress")}
        net = {"net_section": table["net_section"]}
        return {**changed, "category": proposal.on_net_section[number], "stress": net}
    return table


def _own(item: OwnDetail, proposal: Proposal, before: BoltedJoint) -> dict:
    """A detail that the alternative brings."""
    table: dict[str, Any] = {"name": item.name, "category": item.category, "stress": _stress(item, proposal, before)}
    table |= {key: length(value) for key, value in item.sizes.items()}
    table |= dict(item.statements)
    if item.point:
        table["point"] = item.point
    return table


def _stress(item: OwnDetail, proposal: Proposal, before: BoltedJoint) -> dict:
    shear = fatigue.standards.standard(before.standard).row_of(item.category).stress == "shear"
    match item.recipe:
        case "components":
            units = {name: "MPa/N" if name[0] == "F" else "MPa/(N mm)" for name in item.values}
            return {name: f"{float(value)!r} {units[name]}" for name, value in item.values.items()}
        case "bolt shear" | "dowel shear":
            return {item.recipe.replace(" ", "_"): {}}
        case "key weld across" | "key weld along":
            return {"key_weld": _kind(item.recipe, shear)}
    plan = proposal.weld
    throat = plan.thickness if item.recipe == "plate at the weld" else plan.throat
    return {"weld": {"lines": _lines(plan.lines), "throat": length(throat), **_kind(item.recipe, shear)}}


def _kind(recipe: str, shear: bool) -> dict:
    """What the throat's stress is, and where the category takes it as shear all the same."""
    if recipe.endswith("along"):
        return {"kind": "shear"}
    return {"kind": "normal", "counts_as": "shear"} if shear else {"kind": "normal"}
