"""Several joints that slip in one frame: how far a named point moves, by virtual work."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from loadhistories.figures import Check, Figure, judged
from loadhistories.validation import InputError, require_finite, require_not_negative
from slip.alignment import Movement

VIRTUAL_WORK = "virtual work of a frame with hinged joints (textbook statics)"


@dataclass(frozen=True)
class MemberSlip:
    """What the slip of one member's joints adds to the deflection of the point."""

    name: str
    unit_force: Annotated[float, Figure("N_1", "", title="force in the member for a load of 1 at the point")]
    slip: Annotated[float, Figure("s", "mm", title="slip of its joints along the member, both ends together")]
    share: Annotated[float, Figure("v_i", "mm", "abs(N_1) * s", VIRTUAL_WORK, "what it adds")]


@dataclass(frozen=True)
class FrameDeflection:
    """Deflection of a point of a frame by the slips of all its joints; `members` hold what each of them adds."""

    deflection: Annotated[float, Figure("v", "mm", clause=VIRTUAL_WORK, title="sum of what the members add")]
    members: tuple[MemberSlip, ...]

    @property
    def largest(self) -> MemberSlip:
        """The member that adds most."""
        return max(self.members, key=lambda member: member.share)


def frame_deflection(unit_forces: Sequence[float], slips, *, names: Sequence[str] | None = None) -> FrameDeflection:
    """Deflection of a point of a frame when every joint slips the way its member's force pushes it. [mm]

    Parameters
    ----------
    unit_forces : sequence of float, shape (n,)
        Force in each member for a load of 1 at the point in the wanted direction. [-]
    slips : float or sequence of float, shape (n,)
        How far the joints of each member slip along it, both ends together. [mm]
    names : sequence of str, optional
        Of the members.

    Raises
    ------
    InputError
        No member, numbers of unlike count, a force that is not finite, a slip below 0.

    Limits
    ------
    Every member slips in the sense of its own force under a load along the unit load: the most that the slips can
    add. Elastic deflection comes on top. Small displacements.

    Source
    ------
    v = sum of |N_1,i| * s_i, as in Steel Buildings in Europe, Single-Storey Part 5, 3.6.

    Examples
    --------
    >>> round(frame_deflection([1.2, -0.5], 4.0).deflection, 3)
    6.8
    """
    forces = [require_finite(force, f"unit_forces[{i}]") for i, force in enumerate(unit_forces)]
    given = [float(slips)] * len(forces) if np.ndim(slips) == 0 else list(slips)
    labels = [f"member {i}" for i in range(1, len(forces) + 1)] if names is None else list(names)
    if not forces:
        raise InputError("a frame needs the unit force of at least one member, got none")
    if len(given) != len(forces) or len(labels) != len(forces):
        raise InputError(
            f"unit_forces, slips and names must be of one count, got {len(forces)}, {len(given)} and {len(labels)}"
        )
    lengths = [require_not_negative(slip, f"slips[{i}]", unit="mm") for i, slip in enumerate(given)]
    members = tuple(
        MemberSlip(name, force, slip, abs(force) * slip)
        for name, force, slip in zip(labels, forces, lengths, strict=True)
    )
    total = float(sum(member.share for member in members))
    return FrameDeflection(total, members)


def slip_of_joints(movements: Iterable[Movement]) -> float:
    """How far the joints of one member slip together, from the worst start; a joint that grips adds nothing. [mm]

    Not a number where a joint that moves is held by resin, whose creep is not known.
    """
    return float(sum(2.0 * move.translation for move in movements if move.moves))


def judge_frame(name: str, found: FrameDeflection, tolerance: float) -> Check:
    """Check of the deflection by slip against what is allowed of it. [mm]"""
    return judged(
        "frame", f"deflection of {name} by slip of its joints", demand=found.deflection, resistance=tolerance,
        unit="mm", clause=f"{VIRTUAL_WORK}; tolerance given by the user", working=(found,),
        at=f"most by {found.largest.name}",
    )  # fmt: skip
