"""Fillet welds by AS 4100:2020, 9.6.3.10: strength by electrode and quality, long welds."""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table, row_of
from loadhistories.validation import (
    InputError,
    require_finite,
    require_not_negative,
    require_one_of,
    require_positive,
    where,
)
from slip.joint import Plate
from slip.standards.as4100.tables import EDITION, PACKAGE, capacity_factor

QUALITIES = ("SP", "GP")
PROPOSED = {"electrode": "E48XX", "quality": "SP"}
_CLAUSE = f"{EDITION}, 9.6.3.10"


@dataclass(frozen=True)
class FilletWeld:
    """Capacity of an equal-leg fillet weld per length, alike in every direction of the force."""

    electrode: str
    quality: str
    leg: Annotated[float, Figure("t_w", "mm", title="leg of the fillet weld")]
    throat: Annotated[float, Figure("t_t", "mm", "t_w / sqrt(2)", f"{EDITION}, 9.6.3.4", "design throat")]
    tensile_strength: Annotated[
        float, Figure("f_uw", "MPa", "", f"{EDITION}, Table 9.6.3.10(1)", "tensile strength of the weld metal")
    ]
    lap_length: Annotated[float, Figure("l_w", "mm", title="length of the weld in a lap, 0 where it is none")]
    lap_factor: Annotated[
        float,
        Figure("k_r", "", "min(1, max(0.62, 1.10 - 0.06 * l_w / 1000))", f"{EDITION}, Table 9.6.3.10(2)", "long lap"),
    ]
    capacity: Annotated[float, Figure("v_w", "N/mm", "0.6 * f_uw * t_t * k_r", _CLAUSE, "nominal capacity")]
    capacity_factor: Annotated[
        float, Figure("phi", "", "", f"{EDITION}, Table 3.4", "capacity factor of the weld's quality")
    ]
    strength: Annotated[float, Figure("φv_w", "N/mm", "phi * v_w", _CLAUSE, "capacity of the weld per length")]


def lap_factor(lap_length: float) -> float:
    """Factor on the capacity of a long fillet weld in a lap. [-]

    Limits
    ------
    Welded laps. The table has 1.0 up to 1.7 m and 0.998 just above: the line is followed from where it leaves 1.0,
    at 1667 mm, the smaller value.

    Source
    ------
    AS 4100:2020, Table 9.6.3.10(2), from memory.

    Examples
    --------
    >>> lap_factor(3000.0)
    0.92
    """
    length = require_not_negative(lap_length, "lap length", unit="mm")
    return min(1.0, max(0.62, 1.10 - 0.06 * length / 1000.0))


def fillet_weld(
    *,
    leg: float,
    electrode: str | None = None,
    quality: str | None = None,
    angle: float = 0.0,
    lap_length: float = 0.0,
    steel: str | None = None,
    thickness: float | None = None,
    place: str = "",
) -> FilletWeld:
    """Capacity of an equal-leg fillet weld per length, with its figures. [N/mm]

    Parameters
    ----------
    leg : float
        [mm]
    electrode : str
        Class of the weld metal: "E41XX", "E48XX", "E49XX", "W40X", "W50X".
    quality : str
        "SP" or "GP" of AS/NZS 1554.1.
    angle : float
        Between the force and the weld's axis, 0 to pi/2; the capacity is the same at all. [rad]
    lap_length : float
        Length of the weld in a lap; 0 where it is none. [mm]
    steel, thickness :
        Refused: the rule does not use them.

    Raises
    ------
    InputError
        Electrode or quality is missing or unknown, the leg is not above zero, the angle is out of its range.

    Limits
    ------
    Smallest size by the thickness of the plates, see `least_leg`, largest size, 9.6.3.3, and effective length,
    9.6.3.5, are not checked here. Not for thin hollow sections, whose capacity factor is smaller.

    Source
    ------
    AS 4100:2020, 9.6.3.10, from memory.

    Examples
    --------
    >>> fillet_weld(leg=6.0, electrode="E48XX", quality="SP").strength
    977.5
    """
    _refuse_unused(steel=steel, thickness=thickness, place=place)
    leg = require_positive(leg, "leg", unit="mm", place=place)
    angle = require_finite(angle, "angle", unit="rad", place=place)
    if not 0.0 <= angle <= math.pi / 2 + 1e-12:
        raise InputError(f"angle must be from 0 to {math.pi / 2:.6f} rad (force across the weld), got {angle:g}")
    known = ", ".join(read_table(PACKAGE, "electrodes"))
    if electrode is None or quality is None:
        raise InputError(
            f"a fillet weld by {EDITION} needs its electrode ({known}) and its quality ({', '.join(QUALITIES)})"
            + where(place)
        )
    f_uw = float(row_of(PACKAGE, "electrodes", electrode, "electrode", place=place)["tensile_strength_MPa"])
    phi = capacity_factor(f"weld {require_one_of(quality, QUALITIES, 'quality of the weld', place=place)}")
    throat, k_r = leg / math.sqrt(2.0), lap_factor(lap_length)
    capacity = 0.6 * f_uw * throat * k_r
    return FilletWeld(
        electrode, quality, leg, throat, f_uw, float(lap_length), k_r, capacity, phi, phi * capacity
    )


def weld_choice(plate: Plate) -> tuple[dict, str]:
    """Keywords of `fillet_weld` for a weld to a plate, and words for its title: SP, which fatigue loads ask for.

    Source
    ------
    Quality SP under fatigue loads: AS 4100:2020, 11.1.5, and AS/NZS 1554.1, from memory; electrode: common practice,
    no source.
    """
    return dict(PROPOSED), f"{PROPOSED['electrode']}, quality {PROPOSED['quality']}"


def least_leg(thickness: float) -> float:
    """Smallest leg of a fillet weld by the thickest part joined. [mm]

    Limits
    ------
    It need not be more than the thickness of the thinner part.

    Source
    ------
    AS 4100:2020, Table 9.6.3.2, from memory.

    Examples
    --------
    >>> least_leg(16.0)
    6.0
    """
    t = require_positive(thickness, "thickness", unit="mm")
    rows = read_table(PACKAGE, "least_legs")
    return float(rows[next(key for key, row in rows.items() if t <= row["up_to_mm"])]["leg_mm"])


def _refuse_unused(*, place: str, **given) -> None:
    for name, value in given.items():
        if value is not None:
            raise InputError(
                f"{name} {value!r} has no place in {_CLAUSE}: the capacity follows from electrode and quality; "
                f"leave it out{where(place)}"
            )
