"""Strength of the plates round the bolts by AISC 360: gross and net section, block shear."""

from dataclasses import dataclass, replace
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_positive
from slip.holes import Hole
from slip.joint import Plate
from slip.standards.aisc360.tables import clause, resistance_factor, size_of_hole, size_row

BLOCK = clause("J4.3")
_ULTIMATE = Figure("F_u", "MPa", title="specified minimum tensile strength of the plate")


@dataclass(frozen=True)
class GrossSection:
    """Yielding of the gross section of a plate in tension."""

    gross_area: Annotated[float, Figure("A_g", "mm2", title="gross area")]
    yield_strength: Annotated[float, Figure("F_y", "MPa", title="yield strength of the plate")]
    nominal: Annotated[float, Figure("R_n", "N", "F_y * A_g", clause("J4.1(a)"), "nominal strength at yielding")]
    resistance_factor: Annotated[float, Figure("phi", "", "", clause("J4.1(a)"), "resistance factor of yielding")]
    resistance: Annotated[float, Figure("φR_n", "N", "phi * R_n", clause("J4.1(a)"), "strength of the gross section")]


@dataclass(frozen=True)
class NetSection:
    """Rupture of the net section of a plate in tension."""

    net_area: Annotated[float, Figure("A_n", "mm2", title="net area")]
    shear_lag: Annotated[float, Figure("U_sl", "", "", clause("Table D3.1"), "shear lag factor")]
    effective_area: Annotated[float, Figure("A_e", "mm2", "A_n * U_sl", clause("D3"), "effective net area")]
    ultimate_strength: Annotated[float, _ULTIMATE]
    nominal: Annotated[float, Figure("R_n", "N", "F_u * A_e", clause("J4.1(b)"), "nominal strength at rupture")]
    resistance_factor: Annotated[float, Figure("phi", "", "", clause("J4.1(b)"), "resistance factor of rupture")]
    resistance: Annotated[float, Figure("φR_n", "N", "phi * R_n", clause("J4.1(b)"), "strength of the net section")]


@dataclass(frozen=True)
class BlockShear:
    """Shearing of a block of bolts out of a plate."""

    ultimate_strength: Annotated[float, _ULTIMATE]
    yield_strength: Annotated[float, Figure("F_y", "MPa", title="yield strength of the plate")]
    net_shear_area: Annotated[float, Figure("A_nv", "mm2", title="net area in shear")]
    gross_shear_area: Annotated[float, Figure("A_gv", "mm2", title="gross area in shear")]
    net_tension_area: Annotated[float, Figure("A_nt", "mm2", title="net area in tension")]
    share: Annotated[float, Figure("U_bs", "", "", BLOCK, "1 where the tension is uniform over A_nt, else 0.5")]
    nominal: Annotated[
        float,
        Figure(
            "R_n", "N", "min(0.6 * F_u * A_nv, 0.6 * F_y * A_gv) + U_bs * F_u * A_nt", f"{BLOCK}, (J4-5)",
            "nominal block shear strength",
        ),
    ]  # fmt: skip
    resistance_factor: Annotated[float, Figure("phi", "", "", BLOCK, "resistance factor of block shear")]
    resistance: Annotated[float, Figure("φR_n", "N", "phi * R_n", BLOCK, "block shear strength")]


def punching(**given: float) -> None:
    """Refused: section J3 has no rule for a plate that a bolt's head or nut pulls through.

    Raises
    ------
    InputError
        Always.
    """
    raise InputError(
        "AISC 360, J3, has no rule for pulling a bolt's head or nut through a plate; judge the plate in bending with "
        "prying"
    )


def deducted_hole(hole: Hole) -> Hole:
    """A hole as it is deducted from net areas: 1/16 in, or 2 mm of a hole for metric bolts, more than it is.

    Source
    ------
    AISC 360-16 and 360-22, B4.3b, from memory.

    Examples
    --------
    >>> from slip.standards.aisc360.tables import bolt, hole
    >>> deducted_hole(hole(bolt("M20", "A325"), "normal")).width
    24.0
    """
    _, scale, unit = size_row("holes", size_of_hole(hole))
    more = scale / 16.0 if unit == "in" else 2.0
    return replace(hole, width=hole.width + more, length=hole.length + more)


def gross_section(*, gross_area: float, yield_strength: float) -> GrossSection:
    """Strength of the gross section of a plate in tension at yielding, with its figures. [N]

    Source
    ------
    AISC 360-16 and 360-22, J4.1(a), from memory.

    Examples
    --------
    >>> gross_section(gross_area=2000.0, yield_strength=250.0).resistance
    450000.0
    """
    area = require_positive(gross_area, "gross area", unit="mm2")
    strength = require_positive(yield_strength, "yield strength", unit="MPa")
    phi = resistance_factor("yielding")
    return GrossSection(area, strength, strength * area, phi, phi * strength * area)


def plate_section(plate: Plate, *, kind: str, area: float, grips_at_ultimate: bool) -> tuple:
    """Strength of a section of a plate in a joint, with its figures, and its clause. [N]

    Parameters
    ----------
    kind : str
        "gross" or "net".
    area : float
        Of that section. [mm2]
    grips_at_ultimate : bool
        Whether the joint is slip-critical; it makes no difference.

    Limits
    ------
    All of the plate is taken to act, U = 1. Compression without buckling is judged as tension is.

    Source
    ------
    AISC 360-16 and 360-22, J4.1, from memory.
    """
    if kind == "gross":
        return gross_section(gross_area=area, yield_strength=plate.yield_strength), clause("J4.1(a)")
    return net_section(net_area=area, ultimate_strength=plate.ultimate_strength), clause("J4.1(b)")


def net_section(*, net_area: float, ultimate_strength: float, shear_lag: float = 1.0) -> NetSection:
    """Strength of the net section of a plate in tension at rupture, with its figures. [N]

    Parameters
    ----------
    net_area : float
        Of the plate less its holes, each as `deducted_hole` gives it. [mm2]
    ultimate_strength : float
        Of the plate. [MPa]
    shear_lag : float
        Factor U of Table D3.1, 1 where every part is joined. [-]

    Limits
    ------
    Yielding of the gross section is a check of its own, `gross_section`.

    Source
    ------
    AISC 360-16 and 360-22, J4.1(b), D3, from memory.

    Examples
    --------
    >>> net_section(net_area=2000.0, ultimate_strength=400.0).resistance
    600000.0
    """
    area = require_positive(net_area, "net area", unit="mm2")
    strength = require_positive(ultimate_strength, "ultimate strength", unit="MPa")
    lag = require_positive(shear_lag, "shear lag factor")
    if lag > 1.0:
        raise InputError(f"shear lag factor must not be above 1, got {lag:g}")
    effective, phi = area * lag, resistance_factor("rupture")
    return NetSection(area, lag, effective, strength, strength * effective, phi, phi * strength * effective)


def block_tearing(
    *,
    net_tension_area: float,
    net_shear_area: float,
    gross_shear_area: float,
    yield_strength: float,
    ultimate_strength: float,
    eccentric: bool,
) -> BlockShear:
    """Strength of a plate against the shearing out of its bolt group, with its figures. [N]

    Parameters
    ----------
    net_tension_area, net_shear_area, gross_shear_area : float
        Of the faces of the block, less holes and with them. [mm2]
    yield_strength, ultimate_strength : float
        Of the plate. [MPa]
    eccentric : bool
        Whether the tension is uneven over its face of the block.

    Source
    ------
    AISC 360-16 and 360-22, J4.3, (J4-5), from memory.

    Examples
    --------
    >>> block_tearing(net_tension_area=400.0, net_shear_area=1500.0, gross_shear_area=2500.0, yield_strength=250.0,
    ...               ultimate_strength=400.0, eccentric=False).resistance
    390000.0
    """
    tension = require_positive(net_tension_area, "net tension area", unit="mm2")
    shear = require_positive(net_shear_area, "net shear area", unit="mm2")
    gross = require_positive(gross_shear_area, "gross shear area", unit="mm2")
    low = require_positive(yield_strength, "yield strength", unit="MPa")
    high = require_positive(ultimate_strength, "ultimate strength", unit="MPa")
    if gross < shear:
        raise InputError(f"gross shear area must not be below the net one of {shear:g} mm2, got {gross:g}")
    share, phi = 0.5 if eccentric else 1.0, resistance_factor("block shear")
    nominal = min(0.6 * high * shear, 0.6 * low * gross) + share * high * tension
    return BlockShear(high, low, shear, gross, tension, share, nominal, phi, phi * nominal)


def plate_block_tearing(
    plate: Plate, *, net_tension_area: float, net_shear_area: float, gross_shear_area: float, eccentric: bool
) -> BlockShear:
    """Strength of one plate of a joint against block shear, with its figures; see `block_tearing`. [N]"""
    return block_tearing(
        net_tension_area=net_tension_area, net_shear_area=net_shear_area, gross_shear_area=gross_shear_area,
        yield_strength=plate.yield_strength, ultimate_strength=plate.ultimate_strength, eccentric=eccentric,
    )  # fmt: skip
