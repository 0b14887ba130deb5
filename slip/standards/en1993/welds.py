"""Fillet welds by EN 1993-1-8:2005, 4.5.3: simplified and directional method, long welds."""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import row_of
from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive, where
from slip.joint import Plate
from slip.standards.en1993.tables import PACKAGE, partial_factor
from slip.steels import ultimate_strength as strength_of

THROAT_OF_LEG = 0.7
LEAST_THROAT = 3.0
_DIRECTIONAL = "EN 1993-1-8:2005, 4.5.3.2(6), (4.1)"
_ULTIMATE = Figure("f_u", "MPa", title="ultimate strength of the weaker part joined")
_CORRELATION = Figure("beta_w", "", "", "EN 1993-1-8:2005, Table 4.1", "correlation factor")
_GAMMA = Figure("gamma_M2", "", "", "EN 1993-1-8:2005, Table 2.1", "partial factor")
_THROAT = Figure("a", "mm", "", "EN 1993-1-8:2005, 4.5.2(1)", "throat; 0.7 of the leg where the leg is given")


@dataclass(frozen=True)
class FilletWeld:
    """Strength of a fillet weld per length."""

    throat: Annotated[float, _THROAT]
    ultimate_strength: Annotated[float, _ULTIMATE]
    correlation_factor: Annotated[float, _CORRELATION]
    partial_factor: Annotated[float, _GAMMA]
    lap_length: Annotated[float, Figure("L_j", "mm", title="length of the weld in a lap joint, 0 where it is none")]
    long_weld_factor: Annotated[
        float,
        Figure(
            "beta_Lw", "", "min(1, 1.2 - 0.2 * L_j / (150 * a))", "EN 1993-1-8:2005, 4.11(2), (4.9), from memory",
            "long weld in a lap joint",
        ),
    ]  # fmt: skip
    simplified: Annotated[
        float,
        Figure(
            "F_w,Rd", "N/mm", "beta_Lw * a * f_u / (sqrt(3) * beta_w * gamma_M2)",
            "EN 1993-1-8:2005, 4.5.3.3(2), (3), (4.3), (4.4)", "strength in any direction",
        ),
    ]  # fmt: skip
    angle: Annotated[float, Figure("phi", "rad", title="angle between the force and the weld's axis")]
    cosine: Annotated[float, Figure("c_phi", "", title="cosine of that angle")]
    angle_factor: Annotated[
        float, Figure("K", "", "sqrt(3 / (2 + c_phi**2))", _DIRECTIONAL, "gain from the direction of the force")
    ]
    strength: Annotated[
        float, Figure("F_w,phi,Rd", "N/mm", "K * F_wRd", _DIRECTIONAL, "strength in the direction of the force")
    ]


@dataclass(frozen=True)
class DirectionalWeld:
    """Use of a fillet weld by the stresses on its throat; both must not exceed 1."""

    throat: Annotated[float, _THROAT]
    normal_force: Annotated[float, Figure("n_p", "N/mm", title="force per length normal to the throat")]
    cross_force: Annotated[float, Figure("q_p", "N/mm", title="force per length in the throat, across the axis")]
    axial_force: Annotated[float, Figure("q_l", "N/mm", title="force per length along the axis")]
    normal_stress: Annotated[float, Figure("sigma_p", "MPa", "n_p / a", "EN 1993-1-8:2005, 4.5.3.2(4)")]
    cross_stress: Annotated[float, Figure("tau_p", "MPa", "q_p / a", "EN 1993-1-8:2005, 4.5.3.2(4)")]
    axial_stress: Annotated[float, Figure("tau_l", "MPa", "q_l / a", "EN 1993-1-8:2005, 4.5.3.2(4)")]
    ultimate_strength: Annotated[float, _ULTIMATE]
    correlation_factor: Annotated[float, _CORRELATION]
    partial_factor: Annotated[float, _GAMMA]
    combined_utilisation: Annotated[
        float,
        Figure(
            "U_1", "", "sqrt(sigma_p**2 + 3 * (tau_p**2 + tau_l**2)) * beta_w * gamma_M2 / f_u", _DIRECTIONAL,
            "all stresses together",
        ),
    ]  # fmt: skip
    normal_utilisation: Annotated[
        float, Figure("U_2", "", "abs(sigma_p) * gamma_M2 / (0.9 * f_u)", _DIRECTIONAL, "normal stress alone")
    ]


def correlation_factor(steel: str, *, place: str = "") -> float:
    """Factor beta_w of a steel. [-]

    Source
    ------
    EN 1993-1-8:2005, Table 4.1.

    Examples
    --------
    >>> correlation_factor("S355")
    0.9
    """
    return float(row_of(PACKAGE, "weld_factors", steel, "steel", place=place)["correlation_factor"])


def long_weld_factor(throat: float, lap_length: float) -> float:
    """Factor on the strength of a long fillet weld in a lap joint. [-]

    Raises
    ------
    InputError
        The weld is so long that nothing would be left of it by the rule.

    Limits
    ------
    Lap joints; not where the stress along the weld follows that of the parts, 4.11(1).

    Source
    ------
    EN 1993-1-8:2005, 4.11(2), (4.9), from memory.

    Examples
    --------
    >>> long_weld_factor(5.0, 1500.0)
    0.8
    """
    a = require_positive(throat, "throat", unit="mm")
    length = require_not_negative(lap_length, "lap length", unit="mm")
    factor = min(1.0, 1.2 - 0.2 * length / (150.0 * a))
    if factor <= 0.0:
        raise InputError(f"lap length must be below {900.0 * a:g} mm for a throat of {a:g} mm, got {length:g}")
    return factor


def fillet_weld(
    *,
    throat: float | None = None,
    leg: float | None = None,
    steel: str | None = None,
    thickness: float | None = None,
    ultimate_strength: float | None = None,
    beta_w: float | None = None,
    angle: float = 0.0,
    lap_length: float = 0.0,
    electrode: str | None = None,
    quality: str | None = None,
    place: str = "",
) -> FilletWeld:
    """Strength of a fillet weld per length, with its figures. [N/mm]

    Parameters
    ----------
    throat, leg : float
        One of them; the throat of an equal-leg weld is taken as 0.7 of its leg. [mm]
    steel : str
        Of the weaker part; gives f_u and beta_w where they are not given themselves.
    thickness : float
        Of that part, for steels whose ultimate strength depends on it. [mm]
    ultimate_strength, beta_w : float
        f_u [MPa] and the correlation factor [-] instead of the steel's.
    angle : float
        Between the force and the weld's axis, 0 to pi/2. [rad]
    lap_length : float
        Length of the weld in a lap joint; 0 where it is none. [mm]
    electrode, quality :
        Refused: the rule does not use them.

    Raises
    ------
    InputError
        Neither or both of throat and leg, no steel, a throat below 3 mm, an angle out of its range.

    Limits
    ------
    Throat from 3 mm, 4.5.2(2); effective length from 30 mm and 6 throats, 4.5.1(2), is not checked here. Above
    an angle of 0: equal legs, force across the axis parallel to a leg; and sigma_p <= 0.9 f_u / gamma_M2 is then
    never what governs.

    Source
    ------
    EN 1993-1-8:2005, 4.5.3.2, 4.5.3.3, Table 4.1; throat 0.7 of the leg: common practice of design tables, no
    source (0.707 by geometry).

    Examples
    --------
    >>> fillet_weld(throat=4.2, steel="S355").strength
    1013.06
    """
    _refuse_unused(electrode=electrode, quality=quality, place=place)
    a = _throat(throat, leg, place)
    f_u, beta = _strengths(steel, thickness, ultimate_strength, beta_w, place)
    angle = require_finite(angle, "angle", unit="rad", place=place)
    if not 0.0 <= angle <= math.pi / 2 + 1e-12:
        raise InputError(f"angle must be from 0 to {math.pi / 2:.6f} rad (force across the weld), got {angle:g}")
    gamma, long_weld, cosine = partial_factor("gamma_M2"), long_weld_factor(a, lap_length), math.cos(angle)
    simplified = long_weld * a * f_u / (math.sqrt(3.0) * beta * gamma)
    gain = math.sqrt(3.0 / (2.0 + cosine**2))
    return FilletWeld(
        a, f_u, beta, gamma, float(lap_length), long_weld, simplified, angle, cosine, gain, gain * simplified
    )


def weld_choice(plate: Plate) -> tuple[dict, str]:
    """Keywords of `fillet_weld` for a weld to a plate, and words for its title: the steel says all."""
    return {"steel": plate.steel, "thickness": plate.thickness}, ""


def least_leg(thickness: float) -> float:
    """Smallest leg of a fillet weld, by its smallest throat, alike at all thicknesses of the parts. [mm]

    Source
    ------
    EN 1993-1-8:2005, 4.5.2(2).

    Examples
    --------
    >>> least_leg(20.0)
    4.2857
    """
    require_positive(thickness, "thickness", unit="mm")
    return LEAST_THROAT / THROAT_OF_LEG


def directional_weld(
    *,
    throat: float,
    normal_force: float,
    cross_force: float,
    axial_force: float,
    ultimate_strength: float,
    beta_w: float,
) -> DirectionalWeld:
    """Use of a fillet weld by the forces on its throat, with its figures. [-]

    Parameters
    ----------
    throat : float
        [mm]
    normal_force, cross_force, axial_force : float
        Per length of weld: normal to the throat, in the throat across the axis, along the axis. [N/mm]
    ultimate_strength : float
        Of the weaker part. [MPa]
    beta_w : float
        Correlation factor. [-]

    Source
    ------
    EN 1993-1-8:2005, 4.5.3.2(6), (4.1).
    """
    a = require_positive(throat, "throat", unit="mm")
    f_u = require_positive(ultimate_strength, "ultimate strength", unit="MPa")
    beta = require_positive(beta_w, "correlation factor")
    n_p = require_finite(normal_force, "normal force", unit="N/mm")
    q_p = require_finite(cross_force, "cross force", unit="N/mm")
    q_l = require_finite(axial_force, "axial force", unit="N/mm")
    gamma = partial_factor("gamma_M2")
    combined = math.sqrt((n_p / a) ** 2 + 3.0 * ((q_p / a) ** 2 + (q_l / a) ** 2)) * beta * gamma / f_u
    normal = abs(n_p / a) * gamma / (0.9 * f_u)
    return DirectionalWeld(a, n_p, q_p, q_l, n_p / a, q_p / a, q_l / a, f_u, beta, gamma, combined, normal)


def _refuse_unused(*, place: str, **given: str | None) -> None:
    for name, value in given.items():
        if value is not None:
            raise InputError(
                f"{name} {value!r} has no place in EN 1993-1-8, 4.5.3: the strength follows from the steel joined and "
                f"presumes matching filler metal; leave it out{where(place)}"
            )


def _throat(throat: float | None, leg: float | None, place: str) -> float:
    if (throat is None) == (leg is None):
        raise InputError(f"a fillet weld needs either its throat or its leg{where(place)}")
    if throat is None:
        throat = THROAT_OF_LEG * require_positive(leg, "leg", unit="mm", place=place)
    throat = require_positive(throat, "throat", unit="mm", place=place)
    if throat < LEAST_THROAT:
        given = "" if leg is None else f" (leg {leg:g} mm)"
        raise InputError(f"throat must be at least {LEAST_THROAT:g} mm (4.5.2(2)), got {throat:g}{given}")
    return throat


def _strengths(
    steel: str | None, thickness: float | None, f_u: float | None, beta: float | None, place: str
) -> tuple[float, float]:
    """Ultimate strength and correlation factor, given or from the steel."""
    if steel is None and (f_u is None or beta is None):
        raise InputError("a fillet weld by EN 1993-1-8 needs the steel joined, or its ultimate strength and beta_w")
    if f_u is None:
        f_u = strength_of(steel, thickness, place=place)
    if beta is None:
        beta = correlation_factor(steel, place=place)
    return (
        require_positive(f_u, "ultimate strength", unit="MPa", place=place),
        require_positive(beta, "correlation factor", place=place),
    )
