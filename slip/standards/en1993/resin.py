"""Bearing of injection bolts on the resin round them by EN 1993-1-8:2005, 3.6.2; its strength is found by test."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import require_positive
from slip.bolts import Bolt
from slip.standards.en1993.tables import partial_factor

_RESIN = "EN 1993-1-8:2005, 3.6.2.2(5), (3.4), from memory"
_RATIO = "EN 1993-1-8:2005, Table 3.5, from memory"


@dataclass(frozen=True)
class ResinBearing:
    """Bearing resistance of one bolt on resin, in a double lap with normal holes."""

    middle: Annotated[float, Figure("t_1", "mm", title="thickness of the middle plate")]
    outer: Annotated[float, Figure("t_2", "mm", title="thickness of the thinner outer plate")]
    ratio_factor: Annotated[
        float,
        Figure("beta", "", "min(1.33, max(1, 1.66 - 0.33 * t_1 / t_2))", _RATIO, "by the ratio of the thicknesses"),
    ]
    diameter: Annotated[float, Figure("d", "mm", title="bolt diameter")]
    thickness: Annotated[
        float, Figure("t_b,resin", "mm", "min(t_1, 2 * t_2, 1.5 * d)", _RATIO, "thickness that the resin bears on")
    ]
    time_factor: Annotated[
        float, Figure("k_t", "", "", _RESIN, "1.0, as for load of long duration; 1.2 is not counted on")
    ]
    strength: Annotated[
        float, Figure("f_b,resin", "MPa", "", "test, given by the user", "bearing strength of the resin")
    ]
    partial_factor: Annotated[float, Figure("gamma_M4", "", "", "EN 1993-1-8:2005, Table 2.1", "partial factor")]
    resistance: Annotated[
        float,
        Figure(
            "F_b,Rd,resin", "N", "k_t * d * t_bresin * beta * f_bresin / gamma_M4", _RESIN,
            "bearing resistance of the resin",
        ),
    ]  # fmt: skip


def resin_bearing(bolt: Bolt, *, middle: float, outer: float, strength: float) -> ResinBearing:
    """Bearing resistance of one injection bolt on its resin, with its figures. [N]

    Parameters
    ----------
    middle, outer : float
        Thickness of the middle plate and of the thinner outer one. [mm]
    strength : float
        Bearing strength of the resin by test. [MPa]

    Limits
    ------
    Double lap, normal holes (k_s = 1). Bearing of the plates and shear of the bolt are checks of their own.

    Source
    ------
    EN 1993-1-8:2005, 3.6.2.2 and Table 3.5, from memory.

    Examples
    --------
    >>> from slip.standards.en1993.tables import bolt
    >>> resin_bearing(bolt("M20", "8.8"), middle=20.0, outer=10.0, strength=140.0).resistance
    56000.0
    """
    t_1 = require_positive(middle, "thickness of the middle plate", unit="mm")
    t_2 = require_positive(outer, "thickness of the outer plate", unit="mm")
    f_b = require_positive(strength, "bearing strength of the resin", unit="MPa")
    beta = min(1.33, max(1.0, 1.66 - 0.33 * t_1 / t_2))
    t_b = min(t_1, 2.0 * t_2, 1.5 * bolt.diameter)
    gamma = partial_factor("gamma_M4")
    return ResinBearing(
        t_1, t_2, beta, bolt.diameter, t_b, 1.0, f_b, gamma, bolt.diameter * t_b * beta * f_b / gamma
    )
