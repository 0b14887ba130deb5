"""What a slip does to a point that must stay in place: the travel within the hole clearances against its tolerance."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np

from loadhistories.figures import Check, Figure, judged
from slip.assessment import SlipOutcome
from slip.movement import GEOMETRY, travel

CLAUSE = f"{GEOMETRY}; tolerance given by the user"


@dataclass(frozen=True)
class PlayAtPoint:
    """Movement of a point of the slipped part, from bolts in the middle of their holes and from the worst start."""

    hole: Annotated[float, Figure("d_0", "mm", title="hole width")]
    diameter: Annotated[float, Figure("d", "mm", title="bolt diameter")]
    clearance: Annotated[
        float, Figure("c", "mm", "d_0 - d", GEOMETRY, "play of a bolt in the middle of both holes, half of each")
    ]
    centred: Annotated[float, Figure("u_c", "mm", clause=GEOMETRY, title="largest travel of the point from there")]
    worst: Annotated[float, Figure("u_w", "mm", "2 * u_c", GEOMETRY, "travel from one extreme to the other")]
    tolerance: Annotated[float, Figure("u_tol", "mm", title="tolerance of the point")]


@dataclass(frozen=True)
class Movement:
    """Movement of a slipped joint. Lengths in mm, rotation in rad.

    `check` is None where the joint keeps its grip at the level that is asked of it, or no tolerance is given.
    """

    translation: float
    rotation: float
    centred_at_point: float | None
    worst_at_point: float | None
    tolerance: float | None
    check: Check | None
    moves: bool
    text: str


def movement(outcome: SlipOutcome) -> Movement:
    """How far the joint moves if it slips, and whether that is judged.

    Limits
    ------
    Normal holes of the same width in both plates; rigid plates and bolts. Real slips are mostly smaller, so these
    are bounds and no forecast.
    """
    joint, hole = outcome.joint, outcome.hole
    slot = {"x": (1.0, 0.0), "y": (0.0, 1.0)}.get(joint.slot_axis, (0.0, 0.0))
    slots = np.tile(np.multiply(hole.slot_clearance - hole.clearance, slot), (joint.bolts, 1))
    reach = hole.slot_clearance if hole.slotted else hole.clearance
    if joint.bolts == 1:
        return Movement(
            reach, float("nan"), None, None, None, None, _moves(outcome), "a single bolt does not stop the part turning"
        )
    point = joint.alignment.point if joint.alignment else joint.positions.mean(axis=0)
    found = travel(joint.positions, hole.clearance, point, slots=slots)
    moves = _moves(outcome)
    if joint.alignment is None:
        return Movement(reach, found.largest_rotation, None, None, None, None, moves, _text(outcome, moves))
    play = PlayAtPoint(
        hole.width, outcome.bolt.diameter, hole.clearance, found.displacement, 2 * found.displacement,
        joint.alignment.tolerance,
    )  # fmt: skip
    check = None
    if moves:
        check = judged(
            "movement", "movement at the alignment point after slip", demand=play.worst,
            resistance=play.tolerance, unit="mm", clause=CLAUSE, working=(play, found),
        )  # fmt: skip
    return Movement(
        reach, found.largest_rotation, play.centred, play.worst, play.tolerance, check, moves, _text(outcome, moves)
    )


def _moves(outcome: SlipOutcome) -> bool:
    """Whether the joint has to be expected to slip at a level at which it must not, or is not preloaded at all."""
    if not outcome.joint.preloaded:
        return True
    required = [level for level in outcome.levels.values() if level.required]
    return any(level.slips for level in required) or outcome.levels["service"].slips


def _text(outcome: SlipOutcome, moves: bool) -> str:
    if not outcome.joint.preloaded:
        return "the bolts are not preloaded: the part moves within its holes whenever the load turns"
    if outcome.levels["service"].slips:
        return "the joint slips under its unfactored loads and moves within its holes"
    if moves:
        return "the joint grips under its unfactored loads and slips at ultimate level"
    if outcome.levels["ultimate"].slips:
        return "the joint grips at the level asked for; beyond it, at ultimate level, it would move this far"
    return "the joint grips at both levels; beyond them it could move this far"
