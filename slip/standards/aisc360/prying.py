"""Prying by the AISC Steel Construction Manual, Part 9: fitting and bolt in tension, for one bolt."""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import InputError, where
from slip.bolts import Bolt
from slip.prying import Flange, require_flange
from slip.standards.aisc360.shear import bolt_tension
from slip.standards.aisc360.tables import resistance_factor

_PART = "AISC Manual, 15th ed., Part 9, prying action, from memory"


@dataclass(frozen=True)
class PriedFitting:
    """Available tension of one bolt of a fitting whose flange bends."""

    thickness: Annotated[float, Figure("t", "mm", title="thickness of the fitting")]
    web: Annotated[float, Figure("b", "mm", title="from the bolt to the face of the web")]
    edge: Annotated[float, Figure("a", "mm", title="from the bolt to the edge of the fitting")]
    diameter: Annotated[float, Figure("d_b", "mm", title="bolt diameter")]
    lever: Annotated[float, Figure("b_1", "mm", "b - d_b / 2", _PART, "lever of the tension, b prime")]
    reach: Annotated[
        float, Figure("a_1", "mm", "min(a, 1.25 * b) + d_b / 2", _PART, "from the bolt to the prying force, a prime")
    ]
    ratio: Annotated[float, Figure("rho", "", "b_1 / a_1", _PART, "ratio of the levers")]
    length: Annotated[float, Figure("p", "mm", "", _PART, "length of fitting that belongs to the bolt")]
    hole: Annotated[float, Figure("d_h", "mm", title="width of the hole along the fitting, d prime")]
    net: Annotated[float, Figure("delta", "", "1 - d_h / p", _PART, "net over gross section at the bolts")]
    ultimate_strength: Annotated[float, Figure("F_u", "MPa", title="tensile strength of the fitting")]
    resistance_factor: Annotated[float, Figure("phi", "", "", _PART, "resistance factor of bending")]
    moment: Annotated[
        float, Figure("M_w", "N mm", "phi * p * t ** 2 * F_u / 4", _PART, "moment that the fitting carries at the web")
    ]
    bolt_resistance: Annotated[float, Figure("B_c", "N", title="available tension of the bolt alone")]
    thickness_without: Annotated[
        float, Figure("t_c", "mm", "sqrt(4 * B_c * b_1 / (phi * p * F_u))", _PART, "thickness from which nothing pries")
    ]
    alpha: Annotated[
        float,
        Figure(
            "alpha_1", "", "((t_c / t) ** 2 - 1) / (delta * (1 + rho))", _PART,
            "moment at the bolts over that at the web where both are used up, alpha prime",
        ),
    ]  # fmt: skip
    share: Annotated[
        float,
        Figure(
            "Q_c", "", "min(1, (t / t_c) ** 2 * (1 + delta * min(max(alpha_1, 0), 1)))", _PART,
            "share of the bolt's tension that prying leaves",
        ),
    ]  # fmt: skip
    resistance: Annotated[float, Figure("T_c", "N", "B_c * Q_c", _PART, "available tension with prying")]
    flange_resistance: Annotated[
        float, Figure("T_f", "N", "M_w * (1 + delta) / b_1", _PART, "tension at which the fitting alone gives way")
    ]
    given: Flange

    @property
    def pries(self) -> bool:
        """Whether prying forces can develop."""
        return True


def prying(bolt: Bolt, flange: Flange, *, hole_width: float, place: str = "") -> PriedFitting:
    """Available tension of one bolt with prying, with its figures. [N]

    Parameters
    ----------
    hole_width : float
        Of the fitting, along its length. [mm]

    Raises
    ------
    InputError
        As `slip.prying.require_flange`; a length that the hole takes up; a bolt length, which has no place here.

    Limits
    ------
    A tee or a pair of angles with a bolt on each side; no more length counts for a bolt than twice b unless the user
    has found the effective length.

    Source
    ------
    AISC Steel Construction Manual, 15th ed., Part 9, prying action, from memory.

    Examples
    --------
    >>> from slip.standards.aisc360.tables import KIP, bolt
    >>> tee = Flange(19.05, "A992", 345.0, 450.0, m=50.8, e=38.1, length=76.2)
    >>> prying(bolt("3/4 in", "A325"), tee, hole_width=20.6).resistance / KIP
    23.056
    """
    require_flange(flange, diameter=bolt.diameter, place=place)
    if flange.bolt_length is not None:
        raise InputError(f"bolt_length has no place in the rule of AISC; take it away{where(place)}")
    b, half, t = flange.m, bolt.diameter / 2.0, flange.thickness
    length = min(flange.length, 2.0 * b) if flange.effective_length is None else flange.effective_length
    if length <= hole_width:
        raise InputError(
            f"length {length:g} mm of the flange is taken up by its hole of {hole_width:g} mm{where(place)}"
        )
    lever, reach = b - half, min(flange.e + half, 1.25 * b + half)
    net, ratio, phi = 1.0 - hole_width / length, lever / reach, resistance_factor("yielding")
    moment = phi * length * t**2 * flange.ultimate_strength / 4.0
    alone = bolt_tension(bolt).resistance
    without = math.sqrt(4.0 * alone * lever / (phi * length * flange.ultimate_strength))
    alpha = ((without / t) ** 2 - 1.0) / (net * (1.0 + ratio))
    share = min(1.0, (t / without) ** 2 * (1.0 + net * min(max(alpha, 0.0), 1.0)))
    return PriedFitting(
        t, b, flange.e, bolt.diameter, lever, reach, ratio, length, hole_width, net, flange.ultimate_strength, phi,
        moment, alone, without, alpha, share, alone * share, moment * (1.0 + net) / lever, flange,
    )  # fmt: skip
