"""Prying by EN 1993-1-8:2005, 6.2.4: the T-stub of one bolt-row, its modes and what they leave to one bolt."""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from slip.bolts import Bolt
from slip.prying import Flange, require_flange
from slip.standards.en1993.shear import bolt_tension
from slip.standards.en1993.tables import partial_factor

_TABLE = "EN 1993-1-8:2005, Table 6.2, from memory"
_LENGTHS = "EN 1993-1-8:2005, Table 6.4, bolt-row considered alone, from memory"
_STRETCH = "EN 1993-1-8:2005, 6.2.4.1, Table 6.2, from memory"


@dataclass(frozen=True)
class PriedTee:
    """Half of the T-stub of one bolt-row: one bolt, and the flange on its side of the web."""

    thickness: Annotated[float, Figure("t_f", "mm", title="thickness of the flange")]
    m: Annotated[float, Figure("m", "mm", title="from the bolt to the web, less 0.8 of the root radius or weld leg")]
    e: Annotated[float, Figure("e", "mm", title="from the bolt to the edge of the flange")]
    reach: Annotated[
        float, Figure("n", "mm", "min(e, 1.25 * m)", _TABLE, "from the bolt to where the flange presses")
    ]
    length: Annotated[float, Figure("b_f", "mm", title="length of the flange that belongs to the bolt")]
    circular: Annotated[float | None, Figure("l_cp", "mm", "2 * pi * m", _LENGTHS, "circular yield lines")]
    other: Annotated[float | None, Figure("l_nc", "mm", "4 * m + 1.25 * e", _LENGTHS, "other yield lines")]
    first_length: Annotated[float, Figure("l_eff,1", "mm", "", _LENGTHS, "effective length of mode 1, the shortest")]
    second_length: Annotated[float, Figure("l_eff,2", "mm", "", _LENGTHS, "effective length of mode 2")]
    yield_strength: Annotated[float, Figure("f_y", "MPa", title="yield strength of the flange")]
    partial_factor: Annotated[float, Figure("gamma_M0", "", "", "EN 1993-1-1:2005, 6.1", "partial factor")]
    first_moment: Annotated[
        float, Figure("M_pl,1", "N mm", "0.25 * l_eff1 * t_f ** 2 * f_y / gamma_M0", _TABLE, "moment of mode 1")
    ]
    moment: Annotated[
        float, Figure("M_pl,2", "N mm", "0.25 * l_eff2 * t_f ** 2 * f_y / gamma_M0", _TABLE, "moment of mode 2")
    ]
    bolt_resistance: Annotated[float, Figure("F_t,Rd", "N", title="tension resistance of the bolt")]
    stress_area: Annotated[float | None, Figure("A_s", "mm2", title="stress area of the bolt")]
    bolt_length: Annotated[float | None, Figure("L_b", "mm", title="length over which the bolt stretches")]
    longest: Annotated[
        float | None,
        Figure("L_b,max", "mm", "8.8 * m ** 3 * A_s / (l_eff1 * t_f ** 3)", _STRETCH, "longest bolt with prying"),
    ]
    first: Annotated[
        float | None, Figure("F_T,1", "N", "2 * M_pl1 / m", _TABLE, "mode 1, the flange yields; for one bolt")
    ]
    second: Annotated[
        float | None,
        Figure("F_T,2", "N", "(M_pl2 + n * F_tRd) / (m + n)", _TABLE, "mode 2, bolt and flange; for one bolt"),
    ]
    unpried: Annotated[
        float | None, Figure("F_T,1-2", "N", "M_pl1 / m", _TABLE, "modes 1 and 2 without prying; for one bolt")
    ]
    resistance: Annotated[float, Figure("F_T,Rd", "N", "", _TABLE, "smallest of the modes; mode 3 is the bolt alone")]
    given: Flange

    @property
    def lever(self) -> float:
        """[mm]"""
        return self.m

    @property
    def pries(self) -> bool:
        """Whether prying forces can develop."""
        return self.unpried is None

    @property
    def flange_resistance(self) -> float:
        """Tension of one bolt at which the flange alone gives way. [N]"""
        return self.first if self.unpried is None else self.unpried


def prying(bolt: Bolt, flange: Flange, *, hole_width: float, place: str = "") -> PriedTee:
    """Resistance of flange and bolt with prying, for one bolt of a T-stub with one bolt-row, with its figures. [N]

    Parameters
    ----------
    hole_width : float
        Of the flange; the rule does not go by it. [mm]

    Raises
    ------
    InputError
        As `slip.prying.require_flange`.

    Limits
    ------
    One bolt on each side of a web; no washer or backing plate; the bolt's edge of the flange presses. Without the
    effective length the yield lines of a row that stands alone are taken, no longer than the flange that belongs to
    the bolt. Without the bolt's length prying is taken to develop.

    Source
    ------
    EN 1993-1-8:2005, 6.2.4, Tables 6.2 and 6.4, from memory.

    Examples
    --------
    >>> from slip.standards.en1993.tables import bolt
    >>> plate = Flange(20.0, "S355", 345.0, 470.0, m=45.0, e=40.0, length=90.0)
    >>> prying(bolt("M20", "10.9"), plate, hole_width=22.0).resistance
    119541.18
    """
    require_flange(flange, diameter=bolt.diameter, place=place)
    t, m, f_y, gamma = flange.thickness, flange.m, flange.yield_strength, partial_factor("gamma_M0")
    n = min(flange.e, 1.25 * m)
    circular = other = None
    first = second = flange.effective_length
    if flange.effective_length is None:
        circular, other = 2.0 * math.pi * m, 4.0 * m + 1.25 * flange.e
        first, second = min(circular, other, flange.length), min(other, flange.length)
    moments = [0.25 * length * t**2 * f_y / gamma for length in (first, second)]
    alone = bolt_tension(bolt).resistance
    stretches = flange.bolt_length is not None
    longest = 8.8 * m**3 * bolt.stress_area / (first * t**3) if stretches else None
    if stretches and flange.bolt_length > longest:
        modes = None, None, moments[0] / m
    else:
        modes = 2.0 * moments[0] / m, (moments[1] + n * alone) / (m + n), None
    return PriedTee(
        t, m, flange.e, n, flange.length, circular, other, first, second, f_y, gamma, *moments, alone,
        bolt.stress_area if stretches else None, flange.bolt_length, longest, *modes,
        min(alone, *(mode for mode in modes if mode is not None)), flange,
    )  # fmt: skip
