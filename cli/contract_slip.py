"""The part of the JSON contract about grip: geometry with forces, levels and events, movement."""

import math

from cli.contract_preload import preload_life_of, preloads_of
from loadhistories.figures import HOLDS, NOT_JUDGED, worst_state
from slip.checks import hole_factor
from slip.driven import displacement
from slip.joint import LEVELS
from slip.redesign import plate_size
from slip.sliding import BACK, kind_of

MOVEMENT_BASIS = "rigid parts within the hole clearances, first-order rotation; bounds, no forecast"


def geometry(outcome) -> dict:
    """Bolts with their forces at the governing instant, plates and alignment point, for the drawing."""
    joint, hole = outcome.joint, outcome.hole
    at = outcome.worst["shear"]
    return {
        "bolts": [
            {
                "number": number,
                "x_mm": float(x),
                "y_mm": float(y),
                "shear_x_N": float(shear[0]),
                "shear_y_N": float(shear[1]),
                "tension_N": float(tension),
            }
            for number, ((x, y), shear, tension) in enumerate(
                zip(joint.positions, at.shears, at.tensions, strict=True), start=1
            )
        ],
        "hole_mm": hole.width,
        "slot_mm": hole.length,
        "slot_axis": joint.slot_axis,
        "bolt_mm": outcome.bolt.diameter,
        "size": joint.size,
        "grade": joint.grade,
        "preload_N": joint.preload,
        "surface": joint.surface,
        "slip_factor": joint.slip_factor if joint.preloaded else None,
        "planes": joint.planes,
        "holes": joint.holes_in_words,
        "prying": joint.prying,
        "packing_mm": joint.packing,
        "hole_factor": hole_factor(joint),
        "load_axis": outcome.load_axis,
        "at": f"{at.load}, {at.combination}" + ("" if at.time is None else f", {at.time:.2f} s"),
        "plates": [_plate(outcome, plate, first=plate is joint.plates[0]) for plate in joint.plates],
        "alignment": None
        if joint.alignment is None
        else {
            "x_mm": joint.alignment.point[0],
            "y_mm": joint.alignment.point[1],
            "tolerance_mm": joint.alignment.tolerance,
        },
    }


def _plate(outcome, plate, *, first: bool) -> dict:
    width, height = plate_size(outcome.joint, outcome.load_axis) if first else (None, None)
    width, height = plate.width or width, plate.height or height
    return {
        "name": plate.name,
        "thickness_mm": plate.thickness,
        "steel": plate.steel,
        "yield_strength_MPa": plate.yield_strength,
        "ultimate_strength_MPa": plate.ultimate_strength,
        "end_distance_mm": plate.end_distance,
        "edge_distance_mm": plate.edge_distance,
        "belongs_to": plate.belongs_to,
        "width_mm": width,
        "height_mm": height,
    }


def slip_of(outcome) -> dict:
    """Grip at both levels and the slip events; the values at the top are those of the level that is asked for."""
    levels = [_level(outcome.levels[name], outcome.joint) for name in LEVELS]
    asked = [level for level in levels if level["required"]] or levels[:1]
    top = asked[-1]
    return {
        "level": top["level"],
        "events": top["events"],
        "kind": top["kind"],
        "first_bolt_utilisation": top["utilisation"],
        "joint_utilisation": top["joint_utilisation"],
        "preload_at_slip_share": top["preload_at_slip_share"],
        "reversal": _reversal(outcome.reversal),
        "preload": preloads_of(outcome),
        "preload_life": preload_life_of(outcome.joint),
        "levels": levels,
    }


def _reversal(reversal) -> dict:
    return {
        "reversed": reversal.reversed,
        "bolt": reversal.bolt + 1,
        "direction_deg": math.degrees(reversal.direction),
        "forward_N": reversal.forward,
        "back_N": reversal.back,
    }


def _level(level, joint) -> dict:
    at = level.instant
    timed = [block for block in level.blocks if block.timed]
    known = not level.uncounted
    events = [event for block in timed for event in block.listed]
    span = sum(block.samples * block.step * block.repeats for block in timed)
    slipping = sum(block.instants * block.step * block.repeats for block in timed)
    return {
        "level": level.level,
        "required": level.required,
        "utilisation": _finite(at.value),
        "joint_utilisation": _finite(level.joint_utilisation),
        "preload_at_slip_share": _finite(level.preload_share),
        "bolt": at.bolt + 1,
        "load": at.load,
        "combination": at.combination,
        "time_s": at.time,
        "direction_deg": math.degrees(math.atan2(at.shear[1], at.shear[0])),
        "demand_N": math.hypot(*at.shear),
        "resistance_N": level.resistance,
        "tension_N": at.tension,
        "events": level.events,
        "kind": level.kind,
        "uncounted": list(level.uncounted),
        "reversals": sum(block.reversals for block in timed) if known else None,
        "times_without_margin": sum(block.times_without_margin for block in timed) if known else None,
        "instants": sum(block.instants for block in timed) if known else None,
        "share_of_time": (slipping / span if span else 0.0) if known else None,
        "events_in_life": level.events_in_life if level.level == "service" else None,
        "longest_s": float(max((block.longest * block.step for block in timed), default=0.0)) if known else None,
        "by_load": [_by_load(level, block) for block in level.blocks],
        "event_list": [
            {
                "load": event.load,
                "start_s": event.start,
                "duration_s": event.duration,
                "bolt": event.bolt + 1,
                "direction_deg": math.degrees(event.direction),
                "way": "back" if event.way == BACK else "forward",
                "utilisation": _finite(event.utilisation),
            }
            for event in events[:50]
        ],
        "traces": [
            {
                "load": block.load,
                "time_s": block.trace_times.tolist(),
                "utilisation": [_finite(value) for value in block.trace],
            }
            for block in timed
        ],
    }


def _by_load(level, block) -> dict:
    """Slips of one load; of counted cycles that let the joint slip, neither number nor times are known."""
    known = block.timed or not block.events
    return {
        "load": block.load,
        "events": block.events if known else None,
        "kind": kind_of(block.ways),
        "reversals": block.reversals if known else None,
        "times_without_margin": block.times_without_margin if known else None,
        "instants": block.instants if known else None,
        "events_in_life": _in_life(level, block) if known else None,
        "longest_s": float(block.longest * block.step) if known else None,
    }


def _in_life(level, block) -> float | None:
    """Slip events in the design life; the ultimate level is no load that occurs so often, so it has no such number."""
    return level.in_life(block) if level.level == "service" else None


def movement_of(move) -> dict:
    """Bounds of the movement after slip, and where the load itself drives the part."""
    ways = [_driven(item) for item in move.driven]
    first = ways[0] if ways else {}
    return {
        "state": _movement_state(move),
        "travel_mm": _finite(move.translation),
        "rotation_mrad": _finite(1e3 * move.rotation),
        "point": {"x_mm": move.point[0], "y_mm": move.point[1], "aligned": move.tolerance is not None},
        "at_point_mm": _finite(move.centred_at_point),
        "at_point_worst_mm": _finite(move.worst_at_point),
        "tolerance_mm": move.tolerance,
        "turn_tolerance_mrad": None if move.turn_tolerance is None else 1e3 * move.turn_tolerance,
        "tolerance_basis": move.tolerance_basis,
        "driven_level": first.get("level"),
        "driven_mm": first.get("forward_mm"),
        "driven_back_mm": first.get("back_mm"),
        "driven_worst_start_mm": first.get("worst_start_mm"),
        "driven": ways,
        "play_mm": None if move.play is None else move.play.clearance,
        "slot_play_mm": None if move.play is None else move.play.slot,
        "basis": "" if move.play is None else MOVEMENT_BASIS,
        "text": move.text,
    }


def _driven(item) -> dict:
    return {
        "level": item.level,
        "load": item.load,
        "time_s": item.time,
        "forward_mm": item.forward.displacement,
        "back_mm": item.back.displacement if item.back is not None else None,
        "between_mm": item.between,
        "worst_start_mm": item.forward.play,
        "text": _driven_text(item),
        "forward": _motion(item.forward),
        "back": _motion(item.back) if item.back is not None else None,
    }


def _driven_text(item) -> str:
    if item.back is not None:
        return "the load pushes the part back as well: it works to and fro"
    if item.searched:
        return "no load pushes the part back: it stays where it was driven"
    return "the joint grips at every level: whether a load would push the part back was not looked for"


def _motion(travel) -> dict:
    x, y = displacement(travel)
    return {
        "x_mm": travel.motion_x,
        "y_mm": travel.motion_y,
        "rotation_mrad": 1e3 * travel.rotation,
        "point_x_mm": x,
        "point_y_mm": y,
    }


def _movement_state(move) -> str:
    if move.checks:
        return worst_state(check.state for check in move.checks)
    return NOT_JUDGED if move.moves else HOLDS


def _finite(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else float(value)
