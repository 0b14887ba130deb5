"""The blocks [[frame]] of a job file: a point that moves when the joints of several members slip."""

from collections.abc import Sequence
from dataclasses import dataclass

from cli.job_joint import JointInput
from cli.keys import Keys


@dataclass(frozen=True)
class MemberInput:
    """One member: its force for a load of 1 at the point, and its slip [mm] or the joints that slip."""

    name: str
    unit_force: float
    slip: float | None
    joints: tuple[str, ...]


@dataclass(frozen=True)
class FrameInput:
    """A point of a frame; `tolerance` is what its deflection by slip may be, or None. [mm]"""

    name: str
    tolerance: float | None
    members: tuple[MemberInput, ...]


def read_frame(keys: Keys, joints: Sequence[JointInput | None]) -> FrameInput | None:
    """One block [[frame]]; None where something in it was refused."""
    before = len(keys.problems)
    name, tolerance = keys.text("name"), keys.quantity("tolerance", "mm", None, above=0.0)
    members = [_member(table, joints) for table in keys.tables("member", required=True)]
    keys.done()
    if len(keys.problems) > before or None in (name, *members):
        return None
    return FrameInput(name, tolerance, tuple(members))


def _member(keys: Keys, joints: Sequence[JointInput | None]) -> MemberInput | None:
    before = len(keys.problems)
    name, force = keys.text("name"), keys.number("unit_force")
    slip = keys.quantity("slip", "mm", None, least=0.0)
    named = keys.texts("joints", None, like='["upper gusset", "lower gusset"]') or []
    keys.done()
    if ("slip" in keys) == ("joints" in keys):
        keys.note('a member needs its slip, both ends together, as in slip = "4 mm", or else the joints that slip')
    if None not in joints:
        bolted = [joint.name for joint in joints if joint.joint is not None]
        for other in named:
            if other not in bolted:
                keys.note(f"no bolted joint is called {other!r}; known: {', '.join(bolted) or 'none'}", "joints")
    if len(keys.problems) > before:
        return None
    return MemberInput(name, force, slip, tuple(named))
