"""Strength of a bolt that no longer grips, by AS 4100:2020, 9.2.2: shear, tension, both together."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive
from slip.bolts import Bolt, require_planes
from slip.standards.as4100.tables import EDITION, capacity_factor, core_area

THIN_FILLER = 6.0
THICK_FILLER = 20.0
FILLER_FACTOR = 0.85
_SHEAR = f"{EDITION}, 9.2.2.1"
_FACTOR = Figure("phi", "", "", f"{EDITION}, Table 3.4", "capacity factor of bolts")
_STRENGTH = Figure("f_uf", "MPa", title="least tensile strength of the bolt")


@dataclass(frozen=True)
class BoltShear:
    """Shear capacity of one bolt over all its planes."""

    ultimate_strength: Annotated[float, _STRENGTH]
    threaded_planes: Annotated[int, Figure("n_n", "", "", _SHEAR, "shear planes through the thread")]
    core_area: Annotated[float, Figure("A_c", "mm2", title="core area of the bolt")]
    plain_planes: Annotated[int, Figure("n_x", "", "", _SHEAR, "shear planes through the shank")]
    shank_area: Annotated[float, Figure("A_o", "mm2", title="shank area of the bolt")]
    joint_length: Annotated[float, Figure("l_j", "mm", title="length of the bolted lap")]
    lap_factor: Annotated[
        float,
        Figure("k_r", "", "min(1, max(0.75, 1.075 - l_j / 4000))", f"{EDITION}, Table 9.2.2.1", "long lap"),
    ]
    filler: Annotated[float, Figure("t_fl", "mm", title="thickness of the filler plate")]
    filler_factor: Annotated[
        float, Figure("k_fl", "", "", f"{EDITION}, 9.2.2.5", "0.85 for a filler of more than 6 mm, up to 20 mm")
    ]
    capacity: Annotated[
        float,
        Figure("V_f", "N", "0.62 * f_uf * k_r * k_fl * (n_n * A_c + n_x * A_o)", _SHEAR, "nominal shear capacity"),
    ]
    capacity_factor: Annotated[float, _FACTOR]
    resistance: Annotated[float, Figure("φV_f", "N", "phi * V_f", _SHEAR, "shear capacity of the bolt")]


@dataclass(frozen=True)
class BoltTension:
    """Tension capacity of one bolt."""

    stress_area: Annotated[float, Figure("A_s", "mm2", title="stress area of the bolt")]
    ultimate_strength: Annotated[float, _STRENGTH]
    capacity: Annotated[
        float, Figure("N_tf", "N", "A_s * f_uf", f"{EDITION}, 9.2.2.2", "nominal tension capacity")
    ]
    capacity_factor: Annotated[float, _FACTOR]
    resistance: Annotated[
        float, Figure("φN_tf", "N", "phi * N_tf", f"{EDITION}, 9.2.2.2", "tension capacity of the bolt")
    ]


@dataclass(frozen=True)
class ShearWithTension:
    """Use of one bolt by shear and tension together."""

    shear: Annotated[float, Figure("V_f,d", "N", title="shear of the bolt")]
    shear_resistance: Annotated[float, Figure("φV_f", "N", title="shear capacity of the bolt")]
    tension: Annotated[float, Figure("N_tf,d", "N", title="tension of the bolt")]
    tension_resistance: Annotated[float, Figure("φN_tf", "N", title="tension capacity of the bolt")]
    utilisation: Annotated[
        float,
        Figure(
            "U", "", "(V_fd / φV_f) ** 2 + (max(N_tfd, 0) / φN_tf) ** 2", f"{EDITION}, 9.2.2.3",
            "shear and tension together",
        ),
    ]  # fmt: skip


def lap_factor(joint_length: float) -> float:
    """Factor on the shear of bolts in a long lap. [-]

    Limits
    ------
    Bolted lap splices; other groups have none, so that it is on the safe side for them. Not on grip.

    Source
    ------
    AS 4100:2020, Table 9.2.2.1, from memory: 1 below 300 mm, 0.75 above 1300 mm, a straight line between.

    Examples
    --------
    >>> lap_factor(500.0)
    0.95
    """
    length = require_not_negative(joint_length, "joint length", unit="mm")
    return min(1.0, max(0.75, 1.075 - length / 4000.0))


def filler_factor(filler: float) -> float:
    """Factor on the shear of bolts through a filler plate. [-]

    Raises
    ------
    InputError
        A filler of more than 20 mm, for which the clause has no factor.

    Source
    ------
    AS 4100:2020, 9.2.2.5, from memory.

    Examples
    --------
    >>> filler_factor(6.0), filler_factor(12.0)
    (1.0, 0.85)
    """
    thickness = require_not_negative(filler, "filler", unit="mm")
    if thickness > THICK_FILLER:
        raise InputError(f"filler must not be above {THICK_FILLER:g} mm ({EDITION}, 9.2.2.5), got {thickness:g}")
    return FILLER_FACTOR if thickness > THIN_FILLER else 1.0


def bolt_shear(
    bolt: Bolt,
    planes: int,
    threads_in_plane: bool,
    *,
    hole_clearance: float | None = None,
    joint_length: float = 0.0,
    packing: float = 0.0,
) -> BoltShear:
    """Shear capacity of one bolt over all its planes, with its figures. [N]

    Parameters
    ----------
    threads_in_plane : bool
        Whether the thread lies in the shear planes, in all of them or in none.
    hole_clearance : float or None
        Hole over bolt diameter; the shear capacity does not depend on it. [mm]
    joint_length : float
        Length of the lap, between the centres of the end bolts. [mm]
    packing : float
        Thickness of the filler plate, the thickest in any shear plane. [mm]

    Source
    ------
    AS 4100:2020, 9.2.2.1 and 9.2.2.5.

    Examples
    --------
    >>> from slip.standards.as4100.tables import bolt
    >>> bolt_shear(bolt("M20", "8.8"), 1, True).resistance
    92628.0
    """
    planes = require_planes(planes)
    if hole_clearance is not None:
        require_not_negative(hole_clearance, "hole clearance", unit="mm")
    threaded, plain = (planes, 0) if threads_in_plane else (0, planes)
    core, k_r, k_fl = core_area(bolt), lap_factor(joint_length), filler_factor(packing)
    phi = capacity_factor("bolt")
    capacity = 0.62 * bolt.ultimate_strength * k_r * k_fl * (threaded * core + plain * bolt.shank_area)
    return BoltShear(
        ultimate_strength=bolt.ultimate_strength,
        threaded_planes=threaded,
        core_area=core,
        plain_planes=plain,
        shank_area=bolt.shank_area,
        joint_length=float(joint_length),
        lap_factor=k_r,
        filler=float(packing),
        filler_factor=k_fl,
        capacity=capacity,
        capacity_factor=phi,
        resistance=phi * capacity,
    )


def bolt_tension(bolt: Bolt) -> BoltTension:
    """Tension capacity of one bolt, with its figures. [N]

    Limits
    ------
    The bolt alone; prying belongs to its tension, 9.1.8.

    Source
    ------
    AS 4100:2020, 9.2.2.2.

    Examples
    --------
    >>> from slip.standards.as4100.tables import bolt
    >>> bolt_tension(bolt("M20", "8.8")).resistance
    162680.0
    """
    capacity, phi = bolt.stress_area * bolt.ultimate_strength, capacity_factor("bolt")
    return BoltTension(bolt.stress_area, bolt.ultimate_strength, capacity, phi, phi * capacity)


def combined_utilisation(
    shear: float | NDArray[np.float64],
    tension: float | NDArray[np.float64],
    *,
    shear_resistance: float,
    tension_resistance: float,
) -> float | NDArray[np.float64]:
    """Use of a bolt by shear and tension together: a sum of squares, 1 is the limit. [-]

    Source
    ------
    AS 4100:2020, 9.2.2.3.

    Examples
    --------
    >>> combined_utilisation(60_000, 100_000, shear_resistance=92_600, tension_resistance=163_000)
    0.796215
    """
    found = (shear / shear_resistance) ** 2 + (np.maximum(tension, 0.0) / tension_resistance) ** 2
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
