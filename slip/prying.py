"""Prying: what the bending of a flange adds to the tension of its bolts, and the one factor that stands for it.

A bolt at the distance m from the web is pulled with T. The web end of the flange carries the moment M at most, so that
the edge of the flange, at the distance n beyond the bolt, has to press with Q = (T m - M) / n as soon as T m passes M.
The force in the bolt, T + Q, is convex in T and 0 without it. Its quotient with T therefore never falls as T grows: the
factor at the largest T of a range covers every smaller one, and a force linear in the load may stand for it.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Protocol

from loadhistories.blocks import LoadBlock
from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_positive, where

STATICS = "equilibrium of the flange (textbook statics)"
SETTLED = 1e-9


@dataclass(frozen=True)
class Flange:
    """The flange through which bolts in tension hold, one bolt on each side of a web. Lengths in mm, strengths in MPa.

    Attributes
    ----------
    m : float
        From the bolt's centre to the web, as the standard measures it.
    e : float
        From the bolt's centre to the edge of the flange.
    length : float
        Of the flange that belongs to one bolt, along the web.
    effective_length : float or None
        Length of the yield lines, where the user has found it.
    bolt_length : float or None
        Length over which the bolt stretches; None where it is not said.
    """

    thickness: float
    steel: str
    yield_strength: float
    ultimate_strength: float
    m: float
    e: float
    length: float
    effective_length: float | None = None
    bolt_length: float | None = None


class PriedFlange(Protocol):
    """What the result of a standard's `prying` offers, for one bolt. [N, mm]

    `moment` is what the flange carries at the web, `lever` and `reach` are m and n of it, `bolt_resistance` is that of
    the bolt alone, `flange_resistance` the tension without prying at which the flange gives way, `resistance` the one
    at which flange or bolt does; `pries` is False where the bolt stretches too far for the flange to press; `given` is
    the flange that it was made of.
    """

    moment: float
    lever: float
    reach: float
    pries: bool
    bolt_resistance: float
    flange_resistance: float
    resistance: float
    given: Flange


@dataclass(frozen=True)
class PryingForce:
    """Prying force of one bolt under its largest tension."""

    tension: Annotated[float, Figure("T_Ed", "N", title="tension of the bolt without prying")]
    lever: Annotated[float, Figure("m_q", "mm", title="lever of the tension about the web")]
    moment: Annotated[float, Figure("M_w", "N mm", title="moment of the flange at the web, as large as it can be")]
    reach: Annotated[float, Figure("n_q", "mm", title="from the bolt to where the flange presses")]
    prying: Annotated[
        float, Figure("Q_Ed", "N", "max((T_Ed * m_q - M_w) / n_q, 0)", STATICS, "prying force")
    ]
    force: Annotated[float, Figure("F_Q,Ed", "N", "T_Ed + Q_Ed", STATICS, "tension of the bolt with prying")]
    factor: Annotated[float, Figure("c_Q", "", "F_QEd / T_Ed", STATICS, "tension with prying over that without")]


def require_flange(flange: Flange, *, diameter: float, place: str = "") -> Flange:
    """A flange whose sizes can be, else a refusal.

    Raises
    ------
    InputError
        A size that is not above 0, a bolt that stands beyond the edge or in the web, or a length shorter than it.
    """
    sizes = {"flange_thickness": flange.thickness, "m": flange.m, "e": flange.e, "length": flange.length}
    sizes |= {"effective_length": flange.effective_length, "bolt_length": flange.bolt_length}
    for name, size in sizes.items():
        if size is not None:
            require_positive(size, name, unit="mm", place=place)
    for name, size in (("m", flange.m), ("e", flange.e)):
        if size <= diameter / 2.0:
            raise InputError(f"{name} {size:g} mm leaves no flange beside a bolt of {diameter:g} mm{where(place)}")
    if flange.length <= diameter:
        raise InputError(
            f"length {flange.length:g} mm of the flange is no longer than the bolt is thick, {diameter:g} mm; give the "
            f"length of flange that belongs to one bolt{where(place)}"
        )
    return flange


def prying_force(flange: PriedFlange, tension: float) -> PryingForce:
    """Prying force under a tension of the bolt without prying, with its figures. [N]

    Source
    ------
    Equilibrium of the flange with the moment at the web as large as it can be: the least prying force, as the T-stub
    of EN 1993-1-8:2005, 6.2.4, and AISC Manual, Part 9, take it.
    """
    pull = require_positive(tension, "tension", unit="N")
    moment = flange.moment if flange.pries else max(flange.moment, pull * flange.lever)
    more = max((pull * flange.lever - moment) / flange.reach, 0.0)
    return PryingForce(pull, flange.lever, moment, flange.reach, more, pull + more, (pull + more) / pull)


def factor_at_strength(flange: PriedFlange) -> float:
    """Bolt tension with prying over that without it where bolt or flange is used up: the largest that can count. [-]

    Examples
    --------
    >>> from slip.standards.en1993.tables import bolt
    >>> from slip.standards.en1993.prying import prying
    >>> plate = Flange(20.0, "S355", 345.0, 470.0, m=45.0, e=40.0, length=90.0)
    >>> factor_at_strength(prying(bolt("M20", "10.9"), plate, hole_width=22.0))
    1.4756
    """
    return prying_force(flange, flange.resistance).factor


def settled(outcome, blocks: Sequence[LoadBlock]):
    """The outcome with the prying factor of the largest tension that the loads bring, instead of that at strength.

    Where the tension reaches what bolt or flange carries, and where the user states the factor, it stays as it is.

    Parameters
    ----------
    outcome : SlipOutcome
        With the factor at strength.
    blocks : sequence of LoadBlock
        All loads of the joint; they are walked again.
    """
    from slip.assessment import assess

    joint = outcome.joint
    if joint.flange is None:
        return outcome
    pull = max(level.value for level in outcome.pulls.values()) / joint.prying_factor
    if pull <= 0.0:
        return outcome
    factor = prying_force(joint.flange, pull).factor
    if factor >= joint.prying_factor * (1.0 - SETTLED):
        return outcome
    return assess(replace(joint, prying=factor), blocks)
