"""Shear of a plate of a joint along its row of bolts, by EN 1993-1-1:2005 and EN 1993-1-8:2005."""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import require_one_of, require_positive
from slip.joint import Plate
from slip.standards.en1993.tables import partial_factor

KINDS = ("gross", "net")
GROSS = "EN 1993-1-1:2005, 6.2.6(2)"
NET = "Steel Buildings in Europe, Multi-Storey Part 5, p. 5-43: ultimate strength on the net area"


@dataclass(frozen=True)
class GrossShear:
    """Gross section of a plate in shear, at yielding."""

    area: Annotated[float, Figure("A_v", "mm2", title="gross area in shear")]
    yield_strength: Annotated[float, Figure("f_y", "MPa", title="yield strength of the plate")]
    partial_factor: Annotated[float, Figure("gamma_M0", "", "", "EN 1993-1-1:2005, 6.1", "partial factor")]
    resistance: Annotated[
        float,
        Figure("V_pl,Rd", "N", "A_v * f_y / (sqrt(3) * gamma_M0)", f"{GROSS}, from memory", "gross section in shear"),
    ]


@dataclass(frozen=True)
class NetShear:
    """Net section of a plate in shear, at rupture."""

    net_area: Annotated[float, Figure("A_v,net", "mm2", title="net area in shear")]
    ultimate_strength: Annotated[float, Figure("f_u", "MPa", title="ultimate strength of the plate")]
    partial_factor: Annotated[float, Figure("gamma_M2", "", "", "EN 1993-1-8:2005, Table 2.1", "partial factor")]
    resistance: Annotated[
        float,
        Figure(
            "V_net,Rd", "N", "A_vnet * f_u / (sqrt(3) * gamma_M2)", NET, "net section in shear",
        ),
    ]  # fmt: skip


def plate_shear(plate: Plate, *, kind: str, area: float) -> tuple:
    """Resistance of a section of a plate in shear, with its figures, and its clause. [N]

    Parameters
    ----------
    kind : str
        "gross" or "net".
    area : float
        Of that section. [mm2]

    Limits
    ------
    Without bending beside it and without shear buckling. The guide that the net section is read in divides the gross
    resistance by 1.27 for the bending that a fin plate has beside its shear.

    Source
    ------
    EN 1993-1-1:2005, 6.2.6(2), from memory; net section: Steel Buildings in Europe, Multi-Storey Part 5, p. 5-43.

    Examples
    --------
    >>> plate = Plate("fin plate", 10.0, "S275", 275.0, 430.0, 40.0, 50.0)
    >>> plate_shear(plate, kind="net", area=2500.0)[0].resistance
    496521.2
    """
    require_one_of(kind, KINDS, "section")
    area = require_positive(area, f"{kind} area in shear", unit="mm2")
    if kind == "gross":
        gamma = partial_factor("gamma_M0")
        found = GrossShear(area, plate.yield_strength, gamma, area * plate.yield_strength / (math.sqrt(3.0) * gamma))
        return found, GROSS
    gamma, f_u = partial_factor("gamma_M2"), plate.ultimate_strength
    return NetShear(area, f_u, gamma, area * f_u / (math.sqrt(3.0) * gamma)), NET
