"""Strength of the plates round the bolts by EN 1993-1-8:2005: punching, block tearing, net section."""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import row_of
from loadhistories.validation import require_positive
from slip.bolts import Bolt
from slip.joint import Plate
from slip.standards.en1993.tables import PACKAGE, partial_factor

HEADS_ASSUMED = "heads and nuts are hexagons of the usual width across flats; washers do not spread their pressure"
_BLOCK = "EN 1993-1-8:2005, 3.10.2"
_GAMMA_M0 = Figure("gamma_M0", "", "", "EN 1993-1-1:2005, 6.1", "partial factor")
_GAMMA_M2 = Figure("gamma_M2", "", "", "EN 1993-1-8:2005, Table 2.1", "partial factor")
_YIELD = Figure("f_y", "MPa", title="yield strength of the plate")
_ULTIMATE = Figure("f_u", "MPa", title="ultimate strength of the plate")
_NET_AREA = Figure("A_net", "mm2", title="net area")


@dataclass(frozen=True)
class Punching:
    """Punching of a plate by the head or nut of a bolt in tension."""

    head_diameter: Annotated[float, Figure("d_m", "mm", title="mean of the widths across flats and across corners")]
    thickness: Annotated[float, Figure("t_p", "mm", title="thickness of the plate under head or nut")]
    ultimate_strength: Annotated[float, _ULTIMATE]
    partial_factor: Annotated[float, _GAMMA_M2]
    resistance: Annotated[
        float,
        Figure(
            "B_p,Rd", "N", "0.6 * pi * d_m * t_p * f_u / gamma_M2", "EN 1993-1-8:2005, Table 3.4, from memory",
            "punching resistance",
        ),
    ]  # fmt: skip


@dataclass(frozen=True)
class BlockTearing:
    """Tearing of a block of bolts out of a plate."""

    share: Annotated[float, Figure("c_nt", "", "", _BLOCK, "1 for a load through the group's centre, else 0.5")]
    net_tension_area: Annotated[float, Figure("A_nt", "mm2", title="net area in tension")]
    net_shear_area: Annotated[float, Figure("A_nv", "mm2", title="net area in shear")]
    yield_strength: Annotated[float, _YIELD]
    ultimate_strength: Annotated[float, _ULTIMATE]
    shear_partial_factor: Annotated[float, _GAMMA_M0]
    tension_partial_factor: Annotated[float, _GAMMA_M2]
    resistance: Annotated[
        float,
        Figure(
            "V_eff,Rd", "N", "c_nt * f_u * A_nt / gamma_M2 + f_y * A_nv / (sqrt(3) * gamma_M0)",
            f"{_BLOCK}(2), (3.9); {_BLOCK}(3), (3.10)", "block tearing resistance",
        ),
    ]  # fmt: skip


@dataclass(frozen=True)
class GrossSection:
    """Gross section of a plate in tension."""

    area: Annotated[float, Figure("A", "mm2", title="gross area")]
    yield_strength: Annotated[float, _YIELD]
    partial_factor: Annotated[float, _GAMMA_M0]
    resistance: Annotated[
        float,
        Figure(
            "N_pl,Rd", "N", "A * f_y / gamma_M0", "EN 1993-1-1:2005, 6.2.3(2)a, from memory",
            "gross section resistance",
        ),
    ]  # fmt: skip


@dataclass(frozen=True)
class NetSection:
    """Net section of a plate in a joint that must grip at ultimate level (category C)."""

    net_area: Annotated[float, _NET_AREA]
    yield_strength: Annotated[float, _YIELD]
    partial_factor: Annotated[float, _GAMMA_M0]
    resistance: Annotated[
        float,
        Figure(
            "N_net,Rd", "N", "A_net * f_y / gamma_M0", "EN 1993-1-8:2005, 3.4.1(1)c; EN 1993-1-1:2005, 6.2.3(4)",
            "net section resistance",
        ),
    ]  # fmt: skip


@dataclass(frozen=True)
class NetSectionRupture:
    """Net section of a plate in tension, at rupture."""

    net_area: Annotated[float, _NET_AREA]
    ultimate_strength: Annotated[float, _ULTIMATE]
    partial_factor: Annotated[float, _GAMMA_M2]
    resistance: Annotated[
        float,
        Figure(
            "N_u,Rd", "N", "0.9 * A_net * f_u / gamma_M2", "EN 1993-1-1:2005, 6.2.3(2)b",
            "net section resistance at rupture",
        ),
    ]  # fmt: skip


def punching(*, head_diameter: float, thickness: float, ultimate_strength: float) -> Punching:
    """Punching resistance of the plate under a head or nut, with its figures. [N]

    Parameters
    ----------
    head_diameter : float
        Mean of the widths across flats and across corners of head or nut, the smaller one. [mm]
    thickness : float
        Of the plate. [mm]
    ultimate_strength : float
        Of the plate. [MPa]

    Source
    ------
    EN 1993-1-8:2005, Table 3.4, from memory.

    Examples
    --------
    >>> punching(head_diameter=32.3, thickness=8.0, ultimate_strength=470.0).resistance
    183139.27
    """
    d_m = require_positive(head_diameter, "head diameter", unit="mm")
    t_p = require_positive(thickness, "thickness", unit="mm")
    f_u = require_positive(ultimate_strength, "ultimate strength", unit="MPa")
    gamma = partial_factor("gamma_M2")
    return Punching(d_m, t_p, f_u, gamma, 0.6 * math.pi * d_m * t_p * f_u / gamma)


def block_tearing(
    *,
    net_tension_area: float,
    net_shear_area: float,
    yield_strength: float,
    ultimate_strength: float,
    eccentric: bool,
) -> BlockTearing:
    """Resistance of a plate against the tearing out of its bolt group, with its figures. [N]

    Parameters
    ----------
    net_tension_area, net_shear_area : float
        Of the faces of the block. [mm2]
    yield_strength, ultimate_strength : float
        Of the plate. [MPa]
    eccentric : bool
        Whether the load passes beside the centre of the group.

    Source
    ------
    EN 1993-1-8:2005, 3.10.2(2), (3.9) and 3.10.2(3), (3.10).

    Examples
    --------
    >>> block_tearing(net_tension_area=380.0, net_shear_area=1450.0, yield_strength=355.0,
    ...               ultimate_strength=470.0, eccentric=True).resistance
    368631.0
    """
    tension = require_positive(net_tension_area, "net tension area", unit="mm2")
    shear = require_positive(net_shear_area, "net shear area", unit="mm2")
    f_y = require_positive(yield_strength, "yield strength", unit="MPa")
    f_u = require_positive(ultimate_strength, "ultimate strength", unit="MPa")
    share = 0.5 if eccentric else 1.0
    gamma_M0, gamma_M2 = partial_factor("gamma_M0"), partial_factor("gamma_M2")
    resistance = share * f_u * tension / gamma_M2 + f_y * shear / (math.sqrt(3.0) * gamma_M0)
    return BlockTearing(share, tension, shear, f_y, f_u, gamma_M0, gamma_M2, resistance)


def net_section(*, net_area: float, yield_strength: float) -> NetSection:
    """Resistance of the net section of a joint of category C, with its figures. [N]

    Parameters
    ----------
    net_area : float
        Of the plate less its holes. [mm2]
    yield_strength : float
        Of the plate. [MPa]

    Source
    ------
    EN 1993-1-8:2005, 3.4.1(1)c.

    Examples
    --------
    >>> net_section(net_area=2194.0, yield_strength=355.0).resistance
    778870.0
    """
    area = require_positive(net_area, "net area", unit="mm2")
    f_y = require_positive(yield_strength, "yield strength", unit="MPa")
    gamma = partial_factor("gamma_M0")
    return NetSection(area, f_y, gamma, area * f_y / gamma)


def net_section_rupture(*, net_area: float, ultimate_strength: float) -> NetSectionRupture:
    """Resistance of a net section in tension at rupture, with its figures. [N]

    Source
    ------
    EN 1993-1-1:2005, 6.2.3(2)b.

    Examples
    --------
    >>> net_section_rupture(net_area=2500.0, ultimate_strength=430.0).resistance
    774000.0
    """
    area = require_positive(net_area, "net area", unit="mm2")
    f_u = require_positive(ultimate_strength, "ultimate strength", unit="MPa")
    gamma = partial_factor("gamma_M2")
    return NetSectionRupture(area, f_u, gamma, 0.9 * area * f_u / gamma)


def plate_section(plate: Plate, *, kind: str, area: float, grips_at_ultimate: bool):
    """Resistance of a section of a plate in a joint, with its figures, and its clause. [N]

    Parameters
    ----------
    kind : str
        "gross" or "net".
    area : float
        Of that section. [mm2]
    grips_at_ultimate : bool
        Whether the joint is of category C, whose net section must not yield.

    Limits
    ------
    Compression without buckling is judged as tension is; the holes then count although the bolts fill them.

    Source
    ------
    EN 1993-1-1:2005, 6.2.3; EN 1993-1-8:2005, 3.4.1(1)c.

    Examples
    --------
    >>> plate = Plate("gusset", 10.0, "S355", 355.0, 470.0, 40.0, 30.0)
    >>> plate_section(plate, kind="net", area=2194.0, grips_at_ultimate=True)[0].resistance
    742449.6
    """
    if kind == "gross":
        area, gamma = require_positive(area, "gross area", unit="mm2"), partial_factor("gamma_M0")
        found = GrossSection(area, plate.yield_strength, gamma, area * plate.yield_strength / gamma)
        return found, "EN 1993-1-1:2005, 6.2.3(2)a"
    rupture = net_section_rupture(net_area=area, ultimate_strength=plate.ultimate_strength)
    if grips_at_ultimate:
        yielding = net_section(net_area=area, yield_strength=plate.yield_strength)
        if yielding.resistance <= rupture.resistance:
            return yielding, "EN 1993-1-8:2005, 3.4.1(1)c"
    return rupture, "EN 1993-1-1:2005, 6.2.3(2)b"


def plate_block_tearing(
    plate: Plate, *, net_tension_area: float, net_shear_area: float, gross_shear_area: float, eccentric: bool
) -> BlockTearing:
    """Resistance of one plate of a joint against block tearing; the gross area in shear does not count here."""
    return block_tearing(
        net_tension_area=net_tension_area, net_shear_area=net_shear_area, yield_strength=plate.yield_strength,
        ultimate_strength=plate.ultimate_strength, eccentric=eccentric,
    )  # fmt: skip


def width_across_flats(bolt: Bolt) -> float:
    """Width across flats of the head and nut of a bolt, the smaller of the usual ones. [mm]

    Source
    ------
    ISO 4014, ISO 4032, from memory; heads of EN 14399 are wider.

    Examples
    --------
    >>> from slip.standards.en1993.tables import bolt
    >>> width_across_flats(bolt("M20", "8.8"))
    30.0
    """
    return float(row_of(PACKAGE, "heads", bolt.size, "bolt size")["across_flats_mm"])
