"""Shear of a ply of a joint along its row of bolts, by AS 4100:2020."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import require_one_of, require_positive
from slip.joint import Plate
from slip.standards.as4100.tables import EDITION, capacity_factor

KINDS = ("gross", "net")
CLAUSE = f"{EDITION}, 5.11.3, 5.11.4"
UNEVEN = 1.5


@dataclass(frozen=True)
class PlyShear:
    """Gross section of a flat ply in shear, whose stress is largest in the middle."""

    area: Annotated[float, Figure("A_w", "mm2", title="gross area in shear")]
    yield_strength: Annotated[float, Figure("f_y", "MPa", title="yield strength of the ply")]
    even: Annotated[float, Figure("V_u", "N", "0.6 * f_y * A_w", f"{EDITION}, 5.11.4, from memory", "even stress")]
    ratio: Annotated[
        float, Figure("r_v", "", "", "stress of a rectangle (textbook statics)", "largest over mean shear stress")
    ]
    capacity: Annotated[
        float,
        Figure(
            "V_v", "N", "min(2 / (0.9 + r_v), 1) * V_u", f"{EDITION}, 5.11.3, from memory", "nominal shear capacity"
        ),
    ]  # fmt: skip
    capacity_factor: Annotated[float, Figure("phi", "", "", f"{EDITION}, Table 3.4", "capacity factor")]
    resistance: Annotated[float, Figure("φV_v", "N", "phi * V_v", f"{EDITION}, 5.11.1", "shear capacity of the ply")]


def plate_shear(plate: Plate, *, kind: str, area: float) -> tuple | None:
    """Capacity of the gross section of a ply in shear, with its figures, and its clause. [N]

    Parameters
    ----------
    kind : str
        "gross"; for "net" None is returned: the standard has no rule of its own for it beside block shear, 9.1.9.
    area : float
        Of that section. [mm2]

    Limits
    ------
    Without bending beside it and without shear buckling.

    Source
    ------
    AS 4100:2020, 5.11, from memory.

    Examples
    --------
    >>> plate = Plate("cleat", 10.0, "300", 300.0, 440.0, 36.0, 36.0)
    >>> plate_shear(plate, kind="gross", area=2000.0)[0].resistance
    270000.0
    """
    require_one_of(kind, KINDS, "section")
    if kind == "net":
        return None
    area, phi = require_positive(area, "gross area in shear", unit="mm2"), capacity_factor("member in shear")
    even = 0.6 * plate.yield_strength * area
    capacity = min(2.0 / (0.9 + UNEVEN), 1.0) * even
    return PlyShear(area, plate.yield_strength, even, UNEVEN, capacity, phi, phi * capacity), CLAUSE
