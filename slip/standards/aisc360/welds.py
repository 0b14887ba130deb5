"""Fillet welds by AISC 360, J2.4: strength by electrode and angle, long welds, lines along and across the load."""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table, row_of
from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive, where
from slip.joint import Plate
from slip.standards.aisc360.tables import INCH, KSI, PACKAGE, clause, resistance_factor

LONGEST = 300.0
PROPOSED = (("E70XX", 55.0), ("E80XX", 65.0))
CLAUSE = clause("J2.4")


@dataclass(frozen=True)
class FilletWeld:
    """Strength of the weld metal of an equal-leg fillet weld per length."""

    electrode: str
    leg: Annotated[float, Figure("w", "mm", title="leg of the fillet weld")]
    throat: Annotated[float, Figure("a", "mm", "w / sqrt(2)", clause("J2.2a"), "effective throat")]
    electrode_strength: Annotated[
        float, Figure("F_EXX", "MPa", "", clause("Table J2.5"), "filler metal classification strength")
    ]
    angle: Annotated[float, Figure("theta", "rad", title="angle between the force and the weld's axis")]
    sine: Annotated[float, Figure("s_theta", "", title="sine of that angle")]
    direction_factor: Annotated[
        float,
        Figure("k_ds", "", "1 + 0.5 * s_theta ** 1.5", f"{CLAUSE}, (J2-5)", "gain from the direction of the force"),
    ]
    nominal_stress: Annotated[
        float, Figure("F_nw", "MPa", "0.6 * F_EXX * k_ds", f"{CLAUSE}, (J2-5)", "nominal stress of the weld metal")
    ]
    lap_length: Annotated[float, Figure("l", "mm", title="length of an end-loaded weld, 0 where it is none")]
    long_weld_factor: Annotated[
        float,
        Figure("beta", "", "min(1, 1.2 - 0.002 * l / w)", f"{clause('J2.2b')}, (J2-1), from memory", "long weld"),
    ]
    nominal: Annotated[float, Figure("R_n", "N/mm", "beta * F_nw * a", f"{CLAUSE}, (J2-3)", "nominal strength")]
    resistance_factor: Annotated[
        float, Figure("phi", "", "", clause("Table J2.5"), "resistance factor of fillet welds; by ASD 1 / Omega")
    ]
    strength: Annotated[float, Figure("φR_n", "N/mm", "phi * R_n", CLAUSE, "strength of the weld per length")]


@dataclass(frozen=True)
class FilletWeldGroup:
    """Strength of fillet welds along and across a load through their centre."""

    along: Annotated[float, Figure("R_nwl", "N", title="nominal strength of the lines along the load, at k_ds 1")]
    across: Annotated[float, Figure("R_nwt", "N", title="nominal strength of the lines across the load, at k_ds 1")]
    nominal: Annotated[
        float,
        Figure(
            "R_n", "N", "max(R_nwl + R_nwt, 0.85 * R_nwl + 1.5 * R_nwt)", f"{CLAUSE}(c), (J2-6a), (J2-6b), from memory",
            "nominal strength of the group",
        ),
    ]  # fmt: skip
    resistance_factor: Annotated[float, Figure("phi", "", "", clause("Table J2.5"), "resistance factor")]
    resistance: Annotated[float, Figure("φR_n", "N", "phi * R_n", CLAUSE, "strength of the group")]


def long_weld_factor(leg: float, length: float) -> float:
    """Factor on the strength of a long end-loaded fillet weld. [-]

    Raises
    ------
    InputError
        Longer than 300 legs: there 180 legs count in all.

    Source
    ------
    AISC 360-16 and 360-22, J2.2b(d), (J2-1), from memory.

    Examples
    --------
    >>> long_weld_factor(6.0, 1200.0)
    0.8
    """
    w = require_positive(leg, "leg", unit="mm")
    long = require_not_negative(length, "lap length", unit="mm")
    if long > LONGEST * w:
        raise InputError(
            f"lap length must not be above 300 legs, {LONGEST * w:g} mm, got {long:g}; beyond, count 180 legs in all "
            f"({clause('J2.2b')})"
        )
    return min(1.0, 1.2 - 0.002 * long / w)


def fillet_weld(
    *,
    leg: float,
    electrode: str | None = None,
    angle: float = 0.0,
    lap_length: float = 0.0,
    quality: str | None = None,
    steel: str | None = None,
    thickness: float | None = None,
    method: str = "LRFD",
    place: str = "",
) -> FilletWeld:
    """Strength of an equal-leg fillet weld per length, with its figures. [N/mm]

    Parameters
    ----------
    leg : float
        [mm]
    electrode : str
        Class of the filler metal: "E70XX".
    angle : float
        Between the force and the weld's axis, 0 to pi/2; above 0 only where the welds of a group deform alike. [rad]
    lap_length : float
        Length of an end-loaded weld; 0 where it is none. [mm]
    quality, steel, thickness :
        Refused: the rule does not use them.
    method : str
        "LRFD" or "ASD".

    Raises
    ------
    InputError
        The electrode is missing or unknown, the leg is not above zero, the angle is out of its range.

    Limits
    ------
    The weld metal; rupture of the base metal in shear, J4.2, and smallest and largest size, J2.2b, are checks of
    their own. Filler metal matching the steel.

    Source
    ------
    AISC 360-16 and 360-22, J2.4, (J2-3), (J2-5); form of k_ds read, 360-10 in AISC Design Examples V14.0.

    Examples
    --------
    >>> fillet_weld(leg=6.35, electrode="E70XX").strength
    975.1
    """
    _refuse_unused(quality=quality, steel=steel, thickness=thickness, place=place)
    leg = require_positive(leg, "leg", unit="mm", place=place)
    angle = require_finite(angle, "angle", unit="rad", place=place)
    if not 0.0 <= angle <= math.pi / 2 + 1e-12:
        raise InputError(f"angle must be from 0 to {math.pi / 2:.6f} rad (force across the weld), got {angle:g}")
    if electrode is None:
        known = ", ".join(read_table(PACKAGE, "electrodes"))
        raise InputError(f"a fillet weld by AISC 360 needs its electrode ({known}){where(place)}")
    strength = KSI * row_of(PACKAGE, "electrodes", electrode, "electrode", place=place)["strength_ksi"]
    throat, sine, beta = leg / math.sqrt(2.0), math.sin(angle), long_weld_factor(leg, lap_length)
    k_ds = 1.0 + 0.5 * sine**1.5
    stress, phi = 0.6 * strength * k_ds, resistance_factor("fillet weld", method)
    nominal = beta * stress * throat
    return FilletWeld(
        electrode, leg, throat, strength, angle, sine, k_ds, stress, float(lap_length), beta, nominal, phi,
        phi * nominal,
    )  # fmt: skip


def fillet_weld_group(*, along: float, across: float) -> FilletWeldGroup:
    """Strength of fillet welds of one size along and across a load through their centre, with its figures. [N]

    Parameters
    ----------
    along, across : float
        Nominal strength of the lines along and across the load, both at k_ds = 1. [N]

    Source
    ------
    AISC 360-16 and 360-22, J2.4(c), from memory.

    Examples
    --------
    >>> fillet_weld_group(along=200e3, across=100e3).nominal
    320000.0
    """
    along = require_not_negative(along, "strength along the load", unit="N")
    across = require_not_negative(across, "strength across the load", unit="N")
    nominal, phi = max(along + across, 0.85 * along + 1.5 * across), resistance_factor("fillet weld")
    return FilletWeldGroup(along, across, nominal, phi, phi * nominal)


def weld_choice(plate: Plate) -> tuple[dict, str]:
    """Keywords of `fillet_weld` for a weld to a plate, and words for its title: filler metal that matches its steel.

    Raises
    ------
    InputError
        No filler metal is known here for so strong a steel.

    Source
    ------
    Matching by yield strength, after AWS D1.1, from memory: E70XX up to 55 ksi, E80XX up to 65 ksi.
    """
    for electrode, limit in PROPOSED:
        if plate.yield_strength <= KSI * limit:
            return {"electrode": electrode}, electrode
    raise InputError(
        f"no matching filler metal is known here for the {plate.name} with a yield strength of "
        f"{plate.yield_strength:g} MPa, above {KSI * PROPOSED[-1][1]:.0f} MPa"
    )


def least_leg(thickness: float) -> float:
    """Smallest leg of a fillet weld at a part of a thickness. [mm]

    Limits
    ------
    The table goes by the thinner part joined; by the thicker one the leg is on the safe side.

    Source
    ------
    AISC 360-16 and 360-22, Table J2.4, from memory.

    Examples
    --------
    >>> least_leg(12.7), least_leg(20.0)
    (4.7625, 7.9375)
    """
    t = require_positive(thickness, "thickness", unit="mm")
    rows = read_table(PACKAGE, "least_legs")
    return INCH * rows[next(key for key, row in rows.items() if t <= INCH * row["up_to_in"] * (1.0 + 1e-9))]["leg_in"]


def _refuse_unused(*, place: str, **given) -> None:
    for name, value in given.items():
        if value is not None:
            raise InputError(
                f"{name} {value!r} has no place in {CLAUSE}: the strength of the weld follows from its electrode; "
                f"leave it out{where(place)}"
            )
