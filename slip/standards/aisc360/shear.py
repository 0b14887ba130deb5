"""Strength of a bolt that no longer grips, by AISC 360: shear, tension, both together."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive
from slip.bolts import Bolt, require_planes
from slip.standards.aisc360.tables import INCH, KSI, clause, grade_row, resistance_factor

LONG_JOINT = 38.0 * INCH
LONG_JOINT_FACTOR = 0.833
THICK_FILLER = 0.75 * INCH
STRENGTH = clause("J3.6", "J3.7")
COMBINED = clause("J3.7", "J3.8")
_STRESS = clause("Table J3.2")
_AREA = Figure("A_b", "mm2", title="nominal area of the unthreaded bolt")
_FACTOR = Figure("phi", "", "", STRENGTH, "resistance factor of bolts; by ASD 1 / Omega")


@dataclass(frozen=True)
class BoltShear:
    """Shear strength of one bolt over all its planes."""

    planes: Annotated[int, Figure("n", title="number of shear planes")]
    nominal_stress: Annotated[float, Figure("F_nv", "MPa", "", _STRESS, "nominal shear stress of the bolt")]
    area: Annotated[float, _AREA]
    joint_length: Annotated[float, Figure("l_j", "mm", title="length between the end bolts")]
    long_joint_factor: Annotated[
        float, Figure("c_l", "", "", f"{_STRESS}, from memory", "0.833 for end-loaded joints over 38 in, else 1")
    ]
    filler: Annotated[float, Figure("t_f", "mm", title="thickness of the fillers")]
    filler_factor: Annotated[
        float,
        Figure("c_f", "", "min(1, 1 - 0.4 * (t_f / 25.4 - 0.25))", f"{clause('J5.2')}(a), from memory", "fillers"),
    ]
    nominal: Annotated[float, Figure("R_nv", "N", "n * c_l * c_f * F_nv * A_b", STRENGTH, "nominal shear strength")]
    resistance_factor: Annotated[float, _FACTOR]
    resistance: Annotated[float, Figure("φR_nv", "N", "phi * R_nv", STRENGTH, "shear strength of the bolt")]


@dataclass(frozen=True)
class BoltTension:
    """Tension strength of one bolt."""

    nominal_stress: Annotated[float, Figure("F_nt", "MPa", "", _STRESS, "nominal tensile stress of the bolt")]
    area: Annotated[float, _AREA]
    nominal: Annotated[float, Figure("R_nt", "N", "F_nt * A_b", STRENGTH, "nominal tension strength")]
    resistance_factor: Annotated[float, _FACTOR]
    resistance: Annotated[float, Figure("φR_nt", "N", "phi * R_nt", STRENGTH, "tension strength of the bolt")]


@dataclass(frozen=True)
class ShearWithTension:
    """Use of one bolt by its tension, of the strength that the shear leaves it.

    The clause's F'_nt = 1.3 F_nt - F_nt f_rv / (phi F_nv) <= F_nt, times phi and A_b, with f_rv / (phi F_nv) the shear
    over its strength.
    """

    shear: Annotated[float, Figure("V_u", "N", title="shear of the bolt")]
    shear_resistance: Annotated[float, Figure("φR_nv", "N", title="shear strength of the bolt")]
    tension: Annotated[float, Figure("T_u", "N", title="tension of the bolt")]
    tension_resistance: Annotated[float, Figure("φR_nt", "N", title="tension strength of the bolt")]
    reduced_resistance: Annotated[
        float,
        Figure(
            "φR_nt,v", "N", "max(φR_nt * min(1, 1.3 - V_u / φR_nv), 0)", f"{COMBINED}, (J3-2), (J3-3a)",
            "tension strength beside the shear",
        ),
    ]  # fmt: skip
    utilisation: Annotated[
        float, Figure("U", "", "max(T_u, 0) / φR_ntv", COMBINED, "tension over the strength beside the shear")
    ]


def filler_factor(filler: float) -> float:
    """Factor on the shear of bolts through fillers; 1 up to 1/4 in. [-]

    Raises
    ------
    InputError
        Fillers of more than 3/4 in, for which the clause has no factor.

    Source
    ------
    AISC 360-16 and 360-22, J5.2(a), from memory.

    Examples
    --------
    >>> filler_factor(12.7)
    0.9
    """
    thickness = require_not_negative(filler, "filler", unit="mm")
    if thickness > THICK_FILLER:
        raise InputError(
            f"fillers must not be above {THICK_FILLER:g} mm together (3/4 in, {clause('J5.2')}), got {thickness:g}; "
            "extend and develop them, or make the joint slip-critical"
        )
    return min(1.0, 1.0 - 0.4 * (thickness / INCH - 0.25))


def bolt_shear(
    bolt: Bolt,
    planes: int,
    threads_in_plane: bool,
    *,
    hole_clearance: float | None = None,
    joint_length: float = 0.0,
    packing: float = 0.0,
    method: str = "LRFD",
) -> BoltShear:
    """Shear strength of one bolt over all its planes, with its figures. [N]

    Parameters
    ----------
    threads_in_plane : bool
        Threads not excluded from the shear planes (N), or excluded (X).
    hole_clearance : float or None
        Hole over bolt diameter; the strength does not depend on it. [mm]
    joint_length : float
        Between the centres of the end bolts, along the load, of an end-loaded joint. [mm]
    packing : float
        Thickness of the fillers. [mm]
    method : str
        "LRFD" or "ASD".

    Source
    ------
    AISC 360-16, J3.6; 360-22, J3.7; Table J3.2.

    Examples
    --------
    >>> from slip.standards.aisc360.tables import KIP, bolt
    >>> bolt_shear(bolt("3/4 in", "A325"), 1, True).resistance / KIP
    17.8924
    """
    planes = require_planes(planes)
    if hole_clearance is not None:
        require_not_negative(hole_clearance, "hole clearance", unit="mm")
    stress = KSI * grade_row(bolt)["threads_shear_ksi" if threads_in_plane else "shank_shear_ksi"]
    length = require_not_negative(joint_length, "joint length", unit="mm")
    long_joint, fillers = LONG_JOINT_FACTOR if length > LONG_JOINT else 1.0, filler_factor(packing)
    phi = resistance_factor("bolt", method)
    nominal = planes * long_joint * fillers * stress * bolt.shank_area
    return BoltShear(
        planes, stress, bolt.shank_area, length, long_joint, float(packing), fillers, nominal, phi, phi * nominal
    )


def bolt_tension(bolt: Bolt, *, method: str = "LRFD") -> BoltTension:
    """Tension strength of one bolt, with its figures. [N]

    Limits
    ------
    The bolt alone; prying belongs to its tension.

    Source
    ------
    AISC 360-16, J3.6; 360-22, J3.7; Table J3.2.

    Examples
    --------
    >>> from slip.standards.aisc360.tables import KIP, bolt
    >>> bolt_tension(bolt("3/4 in", "A325")).resistance / KIP
    29.8206
    """
    stress, phi = KSI * grade_row(bolt)["tension_ksi"], resistance_factor("bolt", method)
    nominal = stress * bolt.shank_area
    return BoltTension(stress, bolt.shank_area, nominal, phi, phi * nominal)


def reduced_tension(
    shear: float | NDArray[np.float64], *, shear_resistance: float, tension_resistance: float
) -> float | NDArray[np.float64]:
    """Tension strength of a bolt beside its shear, phi F'_nt A_b. [N]

    Parameters
    ----------
    shear : float or array
        Size of the shear over all planes, not below 0. [N]
    shear_resistance, tension_resistance : float
        Of the bolt, each alone, by the same method. [N]

    Source
    ------
    AISC 360-16, J3.7; 360-22, J3.8: (J3-2), (J3-3a), (J3-3b).

    Examples
    --------
    >>> reduced_tension(50_000, shear_resistance=100_000, tension_resistance=200_000)
    160000.0
    """
    left = np.asarray(np.multiply(shear, -tension_resistance / shear_resistance))
    left += 1.3 * tension_resistance
    np.clip(left, 0.0, tension_resistance, out=left)
    return left if left.ndim else float(left)


def combined_utilisation(
    shear: float | NDArray[np.float64],
    tension: float | NDArray[np.float64],
    *,
    shear_resistance: float,
    tension_resistance: float,
) -> float | NDArray[np.float64]:
    """Use of a bolt by its tension, of the strength that the shear leaves it; 1 is the limit. [-]

    Infinite where the shear leaves none. A quotient of the tension by a strength that is concave in the forces.

    Limits
    ------
    Beside it the shear alone must not exceed its strength.

    Source
    ------
    AISC 360-16, J3.7; 360-22, J3.8.

    Examples
    --------
    >>> combined_utilisation(50_000, 80_000, shear_resistance=100_000, tension_resistance=200_000)
    0.5
    """
    pull = np.asarray(np.maximum(tension, 0.0), dtype=float)
    left = reduced_tension(shear, shear_resistance=shear_resistance, tension_resistance=tension_resistance)
    if np.min(left) > 0.0:
        found = np.divide(pull, left, out=pull) if pull.shape == np.shape(left) else pull / left
    else:
        none = np.equal(left, 0.0)
        found = np.where(none, np.where(pull > 0.0, np.inf, 0.0), pull / np.where(none, 1.0, left))
    return found if np.ndim(found) else float(found)


def shear_with_tension(
    shear: float, tension: float, *, shear_resistance: float, tension_resistance: float
) -> ShearWithTension:
    """Use of one bolt by shear and tension together, with its figures; see `combined_utilisation`."""
    shear = require_not_negative(shear, "shear", unit="N")
    tension = require_finite(tension, "tension", unit="N")
    require_positive(shear_resistance, "shear resistance", unit="N")
    require_positive(tension_resistance, "tension resistance", unit="N")
    strengths = {"shear_resistance": shear_resistance, "tension_resistance": tension_resistance}
    left, used = reduced_tension(shear, **strengths), combined_utilisation(shear, tension, **strengths)
    return ShearWithTension(shear, shear_resistance, tension, tension_resistance, left, used)
