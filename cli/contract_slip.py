"""The part of the JSON contract about grip: geometry with forces, levels and events, movement."""

import math

from loadhistories.figures import HOLDS, NOT_JUDGED
from slip.checks import hole_factor
from slip.joint import LEVELS
from slip.redesign import plate_size

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
        "holes": joint.holes,
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
    return {
        "name": plate.name,
        "thickness_mm": plate.thickness,
        "steel": plate.steel,
        "yield_strength_MPa": plate.yield_strength,
        "ultimate_strength_MPa": plate.ultimate_strength,
        "end_distance_mm": plate.end_distance,
        "edge_distance_mm": plate.edge_distance,
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
        "first_bolt_utilisation": top["utilisation"],
        "joint_utilisation": top["joint_utilisation"],
        "preload_at_slip_share": top["preload_at_slip_share"],
        "reversal": _reversal(outcome.reversal),
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
    events = [event for block in level.blocks for event in block.listed]
    span = sum(block.samples * block.step * block.repeats for block in level.blocks)
    slipping = sum(block.instants * block.step * block.repeats for block in level.blocks)
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
        "instants": sum(block.instants for block in level.blocks),
        "share_of_time": slipping / span if span else 0.0,
        "events_in_life": sum(_in_life(level, block) for block in level.blocks) if level.level == "service" else None,
        "longest_s": float(max((block.longest * block.step for block in level.blocks), default=0.0)),
        "by_load": [
            {
                "load": block.load,
                "events": block.events,
                "instants": block.instants,
                "events_in_life": _in_life(level, block),
                "longest_s": float(block.longest * block.step),
            }
            for block in level.blocks
        ],
        "event_list": [
            {
                "load": event.load,
                "start_s": event.start,
                "duration_s": event.duration,
                "bolt": event.bolt + 1,
                "direction_deg": math.degrees(event.direction),
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
            for block in level.blocks
        ],
    }


def _in_life(level, block) -> float | None:
    """Slip events in the design life; the ultimate level is no load that occurs so often, so it has no such number."""
    return block.events * block.repeats if level.level == "service" else None


def movement_of(move) -> dict:
    """Bounds of the movement after slip."""
    return {
        "state": _movement_state(move),
        "travel_mm": move.translation,
        "rotation_mrad": _finite(1e3 * move.rotation),
        "at_point_mm": move.centred_at_point,
        "at_point_worst_mm": move.worst_at_point,
        "tolerance_mm": move.tolerance,
        "basis": MOVEMENT_BASIS,
        "text": move.text,
    }


def _movement_state(move) -> str:
    if move.check is not None:
        return move.check.state
    return NOT_JUDGED if move.moves else HOLDS


def _finite(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else float(value)
