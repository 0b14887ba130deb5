"""Strength of a bolt that no longer grips, by EN 1993-1-8:2005: shear, tension, both together."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from loadhistories.figures import Figure
from loadhistories.validation import require_finite, require_not_negative, require_positive
from slip.bolts import Bolt, require_planes
from slip.standards.en1993.tables import grade_row, partial_factor

SHANK_SHEAR_FACTOR = 0.6
TENSION_FACTOR = 0.9
COUNTERSUNK_TENSION_FACTOR = 0.63
SMALL_BOLT = 14.0
SMALL_BOLT_FACTOR = 0.85
SMALL_BOLT_CLEARANCE = 1.0
_TABLE = "EN 1993-1-8:2005, Table 3.4"


@dataclass(frozen=True)
class BoltShear:
    """Shear resistance of one bolt over all its planes."""

    planes: Annotated[int, Figure("n", title="number of shear planes")]
    shear_factor: Annotated[float, Figure("alpha_v", "", "", _TABLE, "shear factor of the bolt class")]
    ultimate_strength: Annotated[float, Figure("f_ub", "MPa", title="ultimate strength of the bolt")]
    area: Annotated[float, Figure("A", "mm2", "", _TABLE, "area of the bolt in the shear plane")]
    diameter: Annotated[float, Figure("d", "mm", title="bolt diameter")]
    joint_length: Annotated[float, Figure("L_j", "mm", title="length between the end bolts")]
    long_joint_factor: Annotated[
        float,
        Figure(
            "beta_Lf", "", "min(1, max(0.75, 1 - (L_j - 15 * d) / (200 * d)))",
            "EN 1993-1-8:2005, 3.8(1), (3.5), from memory", "long joint",
        ),
    ]  # fmt: skip
    packing: Annotated[float, Figure("t_p", "mm", title="thickness of the packing")]
    packing_factor: Annotated[
        float,
        Figure("beta_p", "", "min(1, 9 * d / (8 * d + 3 * t_p))", "EN 1993-1-8:2005, 3.6.1(12), (3.3)", "packing"),
    ]
    small_bolt_factor: Annotated[
        float, Figure("c_2", "", "", "EN 1993-1-8:2005, 3.6.1(5)", "M12 or M14 in a hole of 2 mm clearance")
    ]
    partial_factor: Annotated[float, Figure("gamma_M2", "", "", "EN 1993-1-8:2005, Table 2.1", "partial factor")]
    resistance: Annotated[
        float,
        Figure(
            "F_v,Rd", "N", "n * c_2 * beta_Lf * beta_p * alpha_v * f_ub * A / gamma_M2", _TABLE,
            "shear resistance of the bolt",
        ),
    ]  # fmt: skip


@dataclass(frozen=True)
class BoltTension:
    """Tension resistance of one bolt."""

    tension_factor: Annotated[float, Figure("k_2", "", "", _TABLE, "0.9, countersunk 0.63")]
    ultimate_strength: Annotated[float, Figure("f_ub", "MPa", title="ultimate strength of the bolt")]
    stress_area: Annotated[float, Figure("A_s", "mm2", title="stress area of the bolt")]
    partial_factor: Annotated[float, Figure("gamma_M2", "", "", "EN 1993-1-8:2005, Table 2.1", "partial factor")]
    resistance: Annotated[
        float, Figure("F_t,Rd", "N", "k_2 * f_ub * A_s / gamma_M2", _TABLE, "tension resistance of the bolt")
    ]


@dataclass(frozen=True)
class ShearWithTension:
    """Use of one bolt by shear and tension together."""

    shear: Annotated[float, Figure("F_v,Ed", "N", title="shear of the bolt")]
    shear_resistance: Annotated[float, Figure("F_v,Rd", "N", title="shear resistance of the bolt")]
    tension: Annotated[float, Figure("F_t,Ed", "N", title="tension of the bolt")]
    tension_resistance: Annotated[float, Figure("F_t,Rd", "N", title="tension resistance of the bolt")]
    utilisation: Annotated[
        float,
        Figure("U", "", "F_vEd / F_vRd + max(F_tEd, 0) / (1.4 * F_tRd)", _TABLE, "shear and tension together"),
    ]


def long_joint_factor(diameter: float, joint_length: float) -> float:
    """Factor on the shear of bolts in a long joint. [-]

    Limits
    ------
    Not where the load comes in evenly over the length, 3.8(2). Not on grip.

    Source
    ------
    EN 1993-1-8:2005, 3.8(1), (3.5), from memory.

    Examples
    --------
    >>> long_joint_factor(20.0, 600.0)
    0.925
    """
    d = require_positive(diameter, "bolt diameter", unit="mm")
    length = require_not_negative(joint_length, "joint length", unit="mm")
    return min(1.0, max(0.75, 1.0 - (length - 15.0 * d) / (200.0 * d)))


def packing_factor(diameter: float, packing: float) -> float:
    """Factor on the shear of bolts through packing; 1 up to a third of the bolt diameter. [-]

    Source
    ------
    EN 1993-1-8:2005, 3.6.1(12), (3.3).

    Examples
    --------
    >>> packing_factor(20.0, 30.0)
    0.72
    """
    d = require_positive(diameter, "bolt diameter", unit="mm")
    return min(1.0, 9.0 * d / (8.0 * d + 3.0 * require_not_negative(packing, "packing", unit="mm")))


def bolt_shear(
    bolt: Bolt,
    planes: int,
    threads_in_plane: bool,
    *,
    hole_clearance: float | None,
    joint_length: float = 0.0,
    packing: float = 0.0,
) -> BoltShear:
    """Shear resistance of one bolt over all its planes, with its figures. [N]

    Parameters
    ----------
    threads_in_plane : bool
        Whether the thread lies in the shear planes.
    hole_clearance : float or None
        Hole over bolt diameter. None where it is not known: M12 and M14 then take the smaller value. [mm]
    joint_length : float
        Between the centres of the end bolts, along the load. [mm]
    packing : float
        Thickness of the packing, the thicker one of two. [mm]

    Source
    ------
    EN 1993-1-8:2005, Table 3.4, 3.6.1(5), 3.6.1(12), 3.8.

    Examples
    --------
    >>> from slip.standards.en1993.tables import bolt
    >>> bolt_shear(bolt("M20", "8.8"), 1, True, hole_clearance=2.0).resistance
    94080.0
    """
    planes = require_planes(planes)
    factor = float(grade_row(bolt)["threads_shear_factor"]) if threads_in_plane else SHANK_SHEAR_FACTOR
    area = bolt.stress_area if threads_in_plane else bolt.shank_area
    long_joint = long_joint_factor(bolt.diameter, joint_length)
    packed = packing_factor(bolt.diameter, packing)
    small = _small_bolt_factor(bolt, hole_clearance)
    gamma = partial_factor("gamma_M2")
    return BoltShear(
        planes=planes,
        shear_factor=factor,
        ultimate_strength=bolt.ultimate_strength,
        area=area,
        diameter=bolt.diameter,
        joint_length=float(joint_length),
        long_joint_factor=long_joint,
        packing=float(packing),
        packing_factor=packed,
        small_bolt_factor=small,
        partial_factor=gamma,
        resistance=planes * small * long_joint * packed * factor * bolt.ultimate_strength * area / gamma,
    )


def bolt_tension(bolt: Bolt, *, countersunk: bool = False) -> BoltTension:
    """Tension resistance of one bolt, with its figures. [N]

    Limits
    ------
    The bolt alone: punching of the plate and prying are checks of their own.

    Source
    ------
    EN 1993-1-8:2005, Table 3.4.

    Examples
    --------
    >>> from slip.standards.en1993.tables import bolt
    >>> bolt_tension(bolt("M20", "8.8")).resistance
    141120.0
    """
    factor = COUNTERSUNK_TENSION_FACTOR if countersunk else TENSION_FACTOR
    gamma = partial_factor("gamma_M2")
    resistance = factor * bolt.ultimate_strength * bolt.stress_area / gamma
    return BoltTension(factor, bolt.ultimate_strength, bolt.stress_area, gamma, resistance)


def combined_utilisation(
    shear: float | NDArray[np.float64],
    tension: float | NDArray[np.float64],
    *,
    shear_resistance: float,
    tension_resistance: float,
) -> float | NDArray[np.float64]:
    """Use of a bolt by shear and tension together; 1 is the limit. [-]

    Limits
    ------
    Beside it the tension alone must not exceed its resistance, and the shear alone its own.

    Source
    ------
    EN 1993-1-8:2005, Table 3.4.

    Examples
    --------
    >>> combined_utilisation(50_000, 80_000, shear_resistance=94_080, tension_resistance=141_120)
    0.936386
    """
    found = np.abs(shear) / shear_resistance + np.maximum(tension, 0.0) / (1.4 * tension_resistance)
    return found if np.ndim(found) else float(found)


def shear_with_tension(
    shear: float, tension: float, *, shear_resistance: float, tension_resistance: float
) -> ShearWithTension:
    """Use of one bolt by shear and tension together, with its figures; see `combined_utilisation`."""
    shear = require_not_negative(shear, "shear", unit="N")
    tension = require_finite(tension, "tension", unit="N")
    require_positive(shear_resistance, "shear resistance", unit="N")
    require_positive(tension_resistance, "tension resistance", unit="N")
    used = combined_utilisation(
        shear, tension, shear_resistance=shear_resistance, tension_resistance=tension_resistance
    )
    return ShearWithTension(shear, shear_resistance, tension, tension_resistance, used)


def _small_bolt_factor(bolt: Bolt, hole_clearance: float | None) -> float:
    """0.85 for M12 and M14 of most classes in a hole wider than the normal one, or in an unknown hole."""
    if hole_clearance is not None:
        require_not_negative(hole_clearance, "hole clearance", unit="mm")
    if bolt.diameter > SMALL_BOLT or not grade_row(bolt)["reduced_in_wide_holes"]:
        return 1.0
    return SMALL_BOLT_FACTOR if hole_clearance is None or hole_clearance > SMALL_BOLT_CLEARANCE else 1.0
