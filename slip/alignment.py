"""What a slip does to a point that must stay in place: the travel within the hole clearances against its tolerance."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from loadhistories.figures import Check, Figure, judged, not_judged
from slip.assessment import SlipOutcome
from slip.driven import Driven, driven
from slip.holes import Hole
from slip.joint import Alignment, BoltedJoint
from slip.movement import GEOMETRY, Travel, travel
from slip.standards import standard

AXES = {"x": (1.0, 0.0), "y": (0.0, 1.0)}


@dataclass(frozen=True)
class PlayOfBolt:
    """How far one part can move against the other at a bolt in the middle of its holes: half the play of each."""

    first: Annotated[float, Figure("c_1", "mm", title="hole over bolt diameter, plate with the widest hole")]
    second: Annotated[float, Figure("c_2", "mm", title="hole over bolt diameter, plate with the next one")]
    clearance: Annotated[float, Figure("c", "mm", "(c_1 + c_2) / 2", GEOMETRY, "play of a centred bolt")]
    first_slot: Annotated[float | None, Figure("l_1", "mm", title="what its slot is longer than wide")]
    second_slot: Annotated[float | None, Figure("l_2", "mm", title="what its slot is longer than wide")]
    slot: Annotated[float | None, Figure("l", "mm", "(l_1 + l_2) / 2", GEOMETRY, "further play along the slots")]

    @property
    def reach(self) -> float:
        """Play in the direction in which there is most. [mm]"""
        return self.clearance + (self.slot or 0.0)


@dataclass(frozen=True)
class PlayAtPoint:
    """Movement of a point of the slipped part, from bolts in the middle of their holes and from the worst start."""

    centred: Annotated[
        float, Figure("u_c", "mm", clause=GEOMETRY, title="largest travel of the point, bolts centred at the start")
    ]
    worst: Annotated[float, Figure("u_w", "mm", "2 * u_c", GEOMETRY, "travel from one extreme to the other")]
    tolerance: Annotated[float, Figure("u_tol", "mm", title="tolerance of the point")]


@dataclass(frozen=True)
class TurnOfPart:
    """Turn of the slipped part against its tolerance."""

    centred: Annotated[
        float, Figure("theta_c", "rad", clause=GEOMETRY, title="largest turn of the part, bolts centred at the start")
    ]
    worst: Annotated[float, Figure("theta_w", "rad", "2 * theta_c", GEOMETRY, "turn from one extreme to the other")]
    tolerance: Annotated[float, Figure("theta_tol", "rad", title="tolerance of the angle")]


@dataclass(frozen=True)
class Movement:
    """Movement of a slipped joint. Lengths in mm, rotation in rad; not a number where it is not known.

    Attributes
    ----------
    play : PlayOfBolt or None
        None where no play of the holes is left to move in.
    point : tuple of float
        The aligned point, or the middle of the bolts.
    checks : tuple of Check
        None where the joint keeps its grip at the level that is asked of it, or no tolerance is given.
    driven : tuple of Driven
        Where the load of the worst instants drives the part.
    """

    translation: float
    rotation: float
    play: PlayOfBolt | None
    point: tuple[float, float]
    centred_at_point: float | None
    worst_at_point: float | None
    tolerance: float | None
    turn_tolerance: float | None
    tolerance_basis: str
    checks: tuple[Check, ...]
    driven: tuple[Driven, ...]
    moves: bool
    text: str

    @property
    def check(self) -> Check | None:
        """The check of the aligned point, None where there is none."""
        return self.checks[0] if self.checks else None


def movement(outcome: SlipOutcome, blocks: Sequence[LoadBlock] | None = None) -> Movement:
    """How far the joint moves if it slips, and whether that is judged.

    Parameters
    ----------
    blocks : sequence of LoadBlock, optional
        The loads, or their outermost load points, to find which one drives the part back. That is not looked for
        where they are left out, or where the joint grips at every level.

    Limits
    ------
    Rigid plates and bolts; the widest two holes of the bolt's plates move against each other. Real slips are mostly
    smaller, so these are bounds and no forecast. Injection bolts have no play to move in; how far their resin creeps
    is found by test and not judged here.
    """
    joint = outcome.joint
    if joint.fit == "injection":
        return _in_resin(outcome)
    play, moves = play_of_bolt(joint, outcome.hole), _moves(outcome)
    if joint.bolts == 1:
        place = tuple(map(float, joint.positions[0]))
        text = "a single bolt does not stop the part turning"
        return Movement(play.reach, math.nan, play, place, None, None, None, None, "", (), (), moves, text)
    aligned = joint.alignment
    point = tuple(map(float, joint.positions.mean(axis=0) if aligned is None else aligned.point))
    slots = slots_of(joint, play)
    found = travel(joint.positions, play.clearance, point, slots=slots)
    pushed = driven(outcome, point, play.clearance, slots, _searched(outcome, blocks)) if play.clearance > 0.0 else ()
    centred = worst = tolerance = None
    checks: tuple[Check, ...] = ()
    if aligned is not None:
        centred, worst, tolerance = found.displacement, 2.0 * found.displacement, aligned.tolerance
        checks = _checks(joint, play, found) if moves else ()
    return Movement(
        play.reach, found.largest_rotation, play, point, centred, worst, tolerance, aligned.turn if aligned else None,
        _basis(aligned), checks, pushed, moves, _text(outcome, moves),
    )  # fmt: skip


def _in_resin(outcome: SlipOutcome) -> Movement:
    """Movement of a joint with injection bolts, of which nothing can be said without a test of the resin."""
    joint, moves = outcome.joint, _moves(outcome)
    aligned, clause = joint.alignment, standard(joint.standard).CLAUSES["creep of the resin"]
    point = tuple(map(float, joint.positions.mean(axis=0) if aligned is None else aligned.point))
    reason = "resin fills the holes; how far it lets the part creep is found by test"
    checks, tolerances, worst = (), (None, None), None
    if aligned is not None:
        tolerances, worst = (aligned.tolerance, aligned.turn), math.nan
        title = "movement at the alignment point after slip"
        checks = (not_judged("movement", title, reason=reason, clause=clause),) if moves else ()
    return Movement(
        math.nan, math.nan, None, point, worst, worst, *tolerances, _basis(aligned), checks, (), moves,
        f"{reason} ({clause})",
    )  # fmt: skip


def _basis(aligned: Alignment | None) -> str:
    parts = () if aligned is None else (aligned.basis, aligned.source)
    return "; ".join(part for part in parts if part)


def _searched(outcome: SlipOutcome, blocks: Sequence[LoadBlock] | None) -> Sequence[LoadBlock] | None:
    """The blocks in which a load may push the part back: none where no bolt's force turns round, or it never slips."""
    if blocks is None or (outcome.joint.preloaded and not any(level.slips for level in outcome.levels.values())):
        return None
    return blocks if outcome.reversal.reversed else ()


def play_of_bolt(joint: BoltedJoint, hole: Hole) -> PlayOfBolt:
    """Play of a bolt by the two widest holes among its plates; a plate that is not given has the joint's holes.

    Source
    ------
    Geometry: with the bolt in the middle of both holes the parts move by half the play of each.
    """
    rules = standard(joint.standard)
    bolt = rules.bolt(joint.size, joint.grade)
    holes = [rules.hole(bolt, plate.holes) if plate.holes else hole for plate in joint.plates]
    holes += [hole] * max(0, joint.planes + 1 - len(holes))
    first, second = sorted((item.clearance for item in holes), reverse=True)[:2]
    longer, long = sorted((item.slot_clearance - item.clearance for item in holes), reverse=True)[:2]
    if not longer:
        return PlayOfBolt(first, second, (first + second) / 2.0, None, None, None)
    return PlayOfBolt(first, second, (first + second) / 2.0, longer, long, (longer + long) / 2.0)


def slots_of(joint: BoltedJoint, play: PlayOfBolt) -> NDArray[np.float64]:
    """Further play of every bolt along the slots, shape (n_bolts, 2). [mm]"""
    return np.tile(np.multiply(play.slot or 0.0, AXES.get(joint.slot_axis, (0.0, 0.0))), (joint.bolts, 1))


def _checks(joint: BoltedJoint, play: PlayOfBolt, found: Travel) -> tuple[Check, ...]:
    aligned = joint.alignment
    at_point = PlayAtPoint(found.displacement, 2.0 * found.displacement, aligned.tolerance)
    clause = f"{GEOMETRY}; {aligned.basis}"
    checks = [
        judged(
            "movement", "movement at the alignment point after slip", demand=at_point.worst,
            resistance=at_point.tolerance, unit="mm", clause=clause,
            working=(play, found, *aligned.working, at_point),
        )
    ]  # fmt: skip
    if aligned.turn is not None:
        turn = TurnOfPart(found.largest_rotation, 2.0 * found.largest_rotation, aligned.turn)
        checks.append(
            judged(
                "movement-turn", "turn of the aligned part after slip", demand=turn.worst, resistance=turn.tolerance,
                unit="rad", clause=clause, working=(play, found, *aligned.working, turn),
            )
        )  # fmt: skip
    return tuple(checks)


def _moves(outcome: SlipOutcome) -> bool:
    """Whether the joint has to be expected to slip at a level at which it must not, or is not preloaded at all."""
    if not outcome.joint.preloaded:
        return True
    required = [level for level in outcome.levels.values() if level.required]
    return any(level.slips for level in required) or outcome.levels["service"].slips


def _text(outcome: SlipOutcome, moves: bool) -> str:
    if not outcome.joint.preloaded and outcome.joint.fit == "fitted":
        return "fitted bolts leave no play; that of the fit itself is not counted"
    if not outcome.joint.preloaded:
        return "the bolts are not preloaded: the part moves within its holes whenever the load turns"
    if outcome.levels["service"].slips:
        return "the joint slips under its unfactored loads and moves within its holes"
    if moves:
        return "the joint grips under its unfactored loads and slips at ultimate level"
    if outcome.levels["ultimate"].slips:
        return "the joint grips at the level asked for; beyond it, at ultimate level, it would move this far"
    return "the joint grips at both levels; beyond them it could move this far"
