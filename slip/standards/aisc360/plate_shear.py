"""Shear of a plate of a joint along its row of bolts, by AISC 360, J4.2."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import require_one_of, require_positive
from slip.joint import Plate
from slip.standards.aisc360.tables import clause, resistance_factor

KINDS = ("gross", "net")
YIELDING, RUPTURE = clause("J4.2(a)"), clause("J4.2(b)")


@dataclass(frozen=True)
class ShearYielding:
    """Gross section of a plate in shear, at yielding."""

    area: Annotated[float, Figure("A_gv", "mm2", title="gross area in shear")]
    yield_strength: Annotated[float, Figure("F_y", "MPa", title="yield strength of the plate")]
    nominal: Annotated[float, Figure("R_n", "N", "0.6 * F_y * A_gv", f"{YIELDING}, (J4-3)", "nominal strength")]
    resistance_factor: Annotated[float, Figure("phi", "", "", YIELDING, "resistance factor of yielding in shear")]
    resistance: Annotated[float, Figure("φR_n", "N", "phi * R_n", YIELDING, "strength of the gross section in shear")]


@dataclass(frozen=True)
class ShearRupture:
    """Net section of a plate in shear, at rupture."""

    net_area: Annotated[float, Figure("A_nv", "mm2", title="net area in shear")]
    ultimate_strength: Annotated[float, Figure("F_u", "MPa", title="specified minimum tensile strength of the plate")]
    nominal: Annotated[float, Figure("R_n", "N", "0.6 * F_u * A_nv", f"{RUPTURE}, (J4-4)", "nominal strength")]
    resistance_factor: Annotated[float, Figure("phi", "", "", RUPTURE, "resistance factor of rupture in shear")]
    resistance: Annotated[float, Figure("φR_n", "N", "phi * R_n", RUPTURE, "strength of the net section in shear")]


def plate_shear(plate: Plate, *, kind: str, area: float) -> tuple:
    """Strength of a section of a plate in shear, with its figures, and its clause. [N]

    Parameters
    ----------
    kind : str
        "gross" or "net".
    area : float
        Of that section, holes deducted as `deducted_hole` gives them. [mm2]

    Limits
    ------
    Without bending beside it and without shear buckling.

    Source
    ------
    AISC 360-16 and 360-22, J4.2, from memory.

    Examples
    --------
    >>> plate = Plate("single plate", 10.0, "A36", 250.0, 400.0, 40.0, 50.0)
    >>> plate_shear(plate, kind="gross", area=2000.0)[0].resistance
    300000.0
    """
    require_one_of(kind, KINDS, "section")
    area = require_positive(area, f"{kind} area in shear", unit="mm2")
    if kind == "gross":
        nominal, phi = 0.6 * plate.yield_strength * area, resistance_factor("shear yielding")
        return ShearYielding(area, plate.yield_strength, nominal, phi, phi * nominal), YIELDING
    nominal, phi = 0.6 * plate.ultimate_strength * area, resistance_factor("rupture")
    return ShearRupture(area, plate.ultimate_strength, nominal, phi, phi * nominal), RUPTURE
