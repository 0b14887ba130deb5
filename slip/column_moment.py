"""The moment that a stiff joint brings into the column that carries it, against what the same joint brings as a pin."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table, row_of
from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive

CLAUSE = "textbook statics, elastic, prismatic members without sway"
MODULUS = 210_000.0


@dataclass(frozen=True)
class Member:
    """A beam or a length of column: second moment of area [mm4], length [mm], what its other end does."""

    second_moment: float
    length: float
    far_end: str


@dataclass(frozen=True)
class Stiffness:
    """Moment per turn of one end of a member."""

    factor: Annotated[float, Figure("c", "", clause=CLAUSE, title="factor of the other end")]
    modulus: Annotated[float, Figure("E", "MPa", title="modulus of elasticity")]
    second_moment: Annotated[float, Figure("I", "mm4", title="second moment of area")]
    length: Annotated[float, Figure("L", "mm", title="length")]
    stiffness: Annotated[float, Figure("k", "N mm", "c * E * I / L", CLAUSE, "moment for a turn of 1 rad")]


@dataclass(frozen=True)
class ColumnMoment:
    """Moment in the column beside a stiff and a pinned joint of one beam."""

    beam: Annotated[float, Figure("k_b", "N mm", title="stiffness of the beam at the joint")]
    above: Annotated[float, Figure("k_1", "N mm", title="stiffness of the column above")]
    below: Annotated[float, Figure("k_2", "N mm", title="stiffness of the column below")]
    column: Annotated[float, Figure("k_c", "N mm", "k_1 + k_2", CLAUSE, "stiffness of the column")]
    turn: Annotated[float, Figure("f_j", "1/(N mm)", title="turn of the joint itself for a moment of 1 N mm; rigid: 0")]
    fixed_end: Annotated[float, Figure("M_F", "N mm", title="moment at this end of the beam if it were held")]
    reaction: Annotated[float, Figure("V", "N", title="reaction of the beam")]
    eccentricity: Annotated[float, Figure("e", "mm", title="from the axis of the column to where it is handed over")]
    pinned: Annotated[float, Figure("M_pin", "N mm", "V * e", CLAUSE, "moment into the column if the joint is a pin")]
    joint: Annotated[
        float,
        Figure(
            "M_j", "N mm", "(M_F - k_b * V * e / k_c) / (1 + k_b / k_c + k_b * f_j)", CLAUSE, "moment of the joint"
        ),
    ]
    stiff: Annotated[float, Figure("M_c", "N mm", "M_j + V * e", CLAUSE, "moment into the column by the stiff joint")]
    into_above: Annotated[float, Figure("M_1", "N mm", "M_c * k_1 / k_c", CLAUSE, "of it in the column above")]
    into_below: Annotated[float, Figure("M_2", "N mm", "M_c * k_2 / k_c", CLAUSE, "of it in the column below")]


@dataclass(frozen=True)
class SupportingColumn:
    """The stiffnesses around a joint, and the moment that they make."""

    beam: Stiffness
    above: Stiffness | None
    below: Stiffness | None
    moment: ColumnMoment

    @property
    def members(self) -> dict[str, Stiffness]:
        """The stiffness of every member that there is, by its name."""
        named = {"beam": self.beam, "column above": self.above, "column below": self.below}
        return {name: item for name, item in named.items() if item is not None}


def far_ends() -> tuple[str, ...]:
    """What the other end of a member may do."""
    return tuple(read_table(__package__, "column_moment"))


def stiffness_of(member: Member, modulus: float) -> Stiffness:
    """Moment that turns one end of a member by 1 rad. [N mm]

    Raises
    ------
    InputError
        A size is not above zero, or what the other end does is unknown.

    Examples
    --------
    >>> stiffness_of(Member(8e7, 8000.0, "fixed"), 2e5).stiffness
    8000000000.0
    """
    factor = row_of(__package__, "column_moment", member.far_end, "far_end")["factor"]
    second = require_positive(member.second_moment, "second moment of area", unit="mm4")
    length = require_positive(member.length, "length", unit="mm")
    return Stiffness(factor, modulus, second, length, factor * modulus * second / length)


def supporting_column(
    beam: Member,
    *,
    above: Member | None,
    below: Member | None,
    fixed_end_moment: float,
    reaction: float,
    eccentricity: float,
    turn: float,
    modulus: float = MODULUS,
) -> SupportingColumn:
    """Moment that one beam brings into the column that carries it, by a stiff joint and by a pin. [N mm]

    Parameters
    ----------
    beam, above, below : Member
        The beam, and the lengths of column above and below; None where there is none.
    fixed_end_moment, reaction : float
        Of the beam under the load that is looked at: moment at this end if it were held, and its reaction; both with
        the sign of the turn that they give the column. [N mm, N]
    eccentricity : float
        From the axis of the column to where the reaction is handed over. [mm]
    turn : float
        Of the joint itself for a unit moment: one over its stiffness, 0 if rigid. [rad/(N mm)]

    Raises
    ------
    InputError
        There is no column, or a value is out of its range.

    Limits
    ------
    Elastic, one beam, no sway of the storey; the reaction is taken as the same for both joints.

    Source
    ------
    Textbook statics: the turn of the column is M_c / k_c, that of the beam's end larger by M_j f_j, and the beam
    gives M_j = M_F - k_b times its turn.
    """
    if above is None and below is None:
        raise InputError("the supporting column needs a length above or below the joint")
    parts = [None if item is None else stiffness_of(item, modulus) for item in (beam, above, below)]
    k_b, k_1, k_2 = (0.0 if item is None else item.stiffness for item in parts)
    k_c = k_1 + k_2
    turn = require_not_negative(turn, "turn of the joint for a unit moment", unit="rad/(N mm)")
    fixed = require_finite(fixed_end_moment, "fixed_end_moment", unit="N mm")
    pinned = require_finite(reaction, "reaction", unit="N") * require_finite(eccentricity, "eccentricity", unit="mm")
    joint = (fixed - k_b * pinned / k_c) / (1.0 + k_b / k_c + k_b * turn)
    stiff = joint + pinned
    moment = ColumnMoment(
        k_b, k_1, k_2, k_c, turn, fixed, reaction, eccentricity, pinned, joint, stiff, stiff * k_1 / k_c,
        stiff * k_2 / k_c,
    )  # fmt: skip
    return SupportingColumn(*parts, moment)
