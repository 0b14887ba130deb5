"""The part of the JSON contract about frames: how far a point moves when the joints of its members slip."""

import math
from collections.abc import Sequence

from cli.contract_figures import figures_of
from cli.job_frame import FrameInput, MemberInput
from loadhistories.figures import NOT_JUDGED
from slip.frame import frame_deflection, judge_frame, slip_of_joints

BASIS = (
    "joints that are expected to slip count with their travel from the worst start, those that grip with nothing; "
    "elastic deflection comes on top"
)


def frames_of(job, results) -> list[dict]:
    """Every frame of a job."""
    movements = {result.given.name: result.movement for result in results}
    return [_frame(frame, movements) for frame in job.frames]


def _frame(frame: FrameInput, movements) -> dict:
    members = frame.members
    slips = [_slip(member, movements) for member in members]
    if any(map(math.isnan, slips)):
        return _open(frame, slips)
    found = frame_deflection([member.unit_force for member in members], slips, names=[item.name for item in members])
    check = None if frame.tolerance is None else judge_frame(frame.name, found, frame.tolerance)
    return {
        "name": frame.name,
        "state": None if check is None else check.state,
        "deflection_mm": found.deflection,
        "tolerance_mm": frame.tolerance,
        "utilisation": None if check is None else check.utilisation,
        "members": [
            {
                "name": member.name,
                "unit_force": member.unit_force,
                "slip_mm": member.slip,
                "share_mm": member.share,
                "joints": list(given.joints),
                "figures": figures_of((member,)),
            }
            for member, given in zip(found.members, members, strict=True)
        ],
        "clause": "" if check is None else check.clause,
        "basis": BASIS,
    }


def _open(frame: FrameInput, slips: Sequence[float]) -> dict:
    """A frame with a joint whose movement is not known."""
    return {
        "name": frame.name,
        "state": NOT_JUDGED,
        "deflection_mm": None,
        "tolerance_mm": frame.tolerance,
        "utilisation": None,
        "members": [
            {
                "name": member.name,
                "unit_force": member.unit_force,
                "slip_mm": None if math.isnan(slip) else slip,
                "share_mm": None if math.isnan(slip) else abs(member.unit_force) * slip,
                "joints": list(member.joints),
                "figures": [],
            }
            for member, slip in zip(frame.members, slips, strict=True)
        ],
        "clause": "",
        "basis": "the movement of a joint in resin is not known without a test",
    }


def _slip(member: MemberInput, movements: dict) -> float:
    joints: Sequence = [movements[name] for name in member.joints]
    return slip_of_joints(joints) if member.slip is None else member.slip
