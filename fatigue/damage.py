"""Damage of a detail over all blocks, its life and its equivalent constant range, to EN 1993-1-9:2005, Annex A.

The summing stands in `fatigue.accumulation`, counting in `fatigue.cycles`, the curve in `fatigue.curves`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from fatigue.accumulation import (
    BlockDamage,
    Counted,
    FewCycles,
    RangeShare,
    Summed,
    few_cycles_remark,
    life,
    life_text,
    sum_damage,
)
from fatigue.curves import LifeCurve
from fatigue.detail import Detail
from loadhistories.figures import Figure
from loadhistories.occurrence import YEAR
from loadhistories.validation import require_positive

EN = "EN 1993-1-9:2005"


@dataclass(frozen=True)
class NormalLimit:
    """The largest range of a normal stress against the yield strength."""

    yield_strength: Annotated[float, Figure("f_y", "MPa", title="yield strength")]
    ratio: Annotated[float, Figure("k_y", "", title="largest range over yield strength that is allowed")]
    limit: Annotated[float, Figure("Δσ_lim", "MPa", "k_y * f_y", f"{EN}, 8(1)", "largest range allowed")]
    largest_range: Annotated[float, Figure("Δσ_max", "MPa", title="largest range")]


@dataclass(frozen=True)
class ShearLimit:
    """The largest range of a shear stress against the yield strength."""

    yield_strength: Annotated[float, Figure("f_y", "MPa", title="yield strength")]
    ratio: Annotated[float, Figure("k_y", "", title="largest range over yield strength that is allowed")]
    limit: Annotated[float, Figure("Δτ_lim", "MPa", "k_y * f_y / sqrt(3)", f"{EN}, 8(1)", "largest range allowed")]
    largest_range: Annotated[float, Figure("Δτ_max", "MPa", title="largest range")]


@dataclass(frozen=True)
class NormalDamage:
    """Damage and life of a detail under normal stress.

    The equivalent range is defined at 2e6 cycles on the first slope, so that equivalent range over design
    strength is the cube root of the damage. At a damage below 0.4 it lies under the knee of the curve.
    """

    gamma_Ff: Annotated[float, Figure("gamma_Ff", "", "", f"{EN}, 3(7)", "partial factor of the ranges")]
    gamma_Mf: Annotated[float, Figure("gamma_Mf", "", "", f"{EN}, Table 3.1", "partial factor of the strength")]
    category: Annotated[float, Figure("Δσ_C", "MPa", "", f"{EN}, 7.1", "category: strength at 2e6 cycles")]
    size_factor: Annotated[float, Figure("k_s", "", "", f"{EN}, 7.2.2", "size effect")]
    slope: Annotated[float, Figure("m_1", "", "", f"{EN}, 7.1(2)", "first slope")]
    design_strength: Annotated[
        float, Figure("Δσ_C,d", "MPa", "k_s * Δσ_C / gamma_Mf", f"{EN}, 8(2)", "design strength at 2e6 cycles")
    ]
    knee_cycles: Annotated[float, Figure("N_D", "", "", f"{EN}, 7.1(2), 7.1(3)", "cycles at the knee of the curve")]
    design_knee: Annotated[
        float,
        Figure("Δσ_D,d", "MPa", "(2000000 / N_D) ** (1 / m_1) * Δσ_Cd", f"{EN}, 7.1(2)", "design strength at the knee"),
    ]
    design_cut_off: Annotated[
        float,
        Figure("Δσ_L,d", "MPa", "(N_D / 100000000) ** (1 / 5) * Δσ_Dd", f"{EN}, 7.1(3)", "cut-off, at 1e8 cycles"),
    ]
    cycles: Annotated[float, Figure("n", "", title="cycles in the design life, all blocks")]
    largest_range: Annotated[float, Figure("Δσ_max", "MPa", title="largest stress range of all blocks")]
    damage: Annotated[float, Figure("D", "", "", f"{EN}, A.5(1)", "damage in the design life, sum over the blocks")]
    few_cycles_damage: FewCycles
    equivalent_range: Annotated[
        float,
        Figure("Δσ_E,2", "MPa", "Δσ_Cd * D ** (1 / m_1) / gamma_Ff", f"{EN}, A.6", "equivalent range at 2e6 cycles"),
    ]
    stress_utilisation: Annotated[
        float, Figure("u", "", "gamma_Ff * Δσ_E2 / Δσ_Cd", f"{EN}, 8(2)", "equivalent range over design strength")
    ]
    design_life: Annotated[float, Figure("T", "year", title="design life")]
    life: Annotated[float | None, Figure("L", "year", "T / D", f"{EN}, A.5(1)", "life at a damage of 1")]
    life_text: str
    blocks: tuple[BlockDamage, ...]
    share_by_range: tuple[RangeShare, ...]
    curve: LifeCurve
    limit: NormalLimit | None
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class ShearDamage:
    """Damage and life of a detail under shear stress; the equivalent range takes the one slope of the curve."""

    gamma_Ff: Annotated[float, Figure("gamma_Ff", "", "", f"{EN}, 3(7)", "partial factor of the ranges")]
    gamma_Mf: Annotated[float, Figure("gamma_Mf", "", "", f"{EN}, Table 3.1", "partial factor of the strength")]
    category: Annotated[float, Figure("Δτ_C", "MPa", "", f"{EN}, 7.1", "category: strength at 2e6 cycles")]
    size_factor: Annotated[float, Figure("k_s", "", "", f"{EN}, 7.2.2", "size effect")]
    slope: Annotated[float, Figure("m_1", "", "", f"{EN}, 7.1(2)", "slope")]
    design_strength: Annotated[
        float, Figure("Δτ_C,d", "MPa", "k_s * Δτ_C / gamma_Mf", f"{EN}, 8(2)", "design strength at 2e6 cycles")
    ]
    design_cut_off: Annotated[
        float | None, Figure("Δτ_L,d", "MPa", "(2 / 100) ** (1 / 5) * Δτ_Cd", f"{EN}, 7.1(2)", "cut-off, at 1e8 cycles")
    ]
    cycles: Annotated[float, Figure("n", "", title="cycles in the design life, all blocks")]
    largest_range: Annotated[float, Figure("Δτ_max", "MPa", title="largest stress range of all blocks")]
    damage: Annotated[float, Figure("D", "", "", f"{EN}, A.5(1)", "damage in the design life, sum over the blocks")]
    few_cycles_damage: FewCycles
    equivalent_range: Annotated[
        float,
        Figure("Δτ_E,2", "MPa", "Δτ_Cd * D ** (1 / m_1) / gamma_Ff", f"{EN}, A.6", "equivalent range at 2e6 cycles"),
    ]
    stress_utilisation: Annotated[
        float, Figure("u", "", "gamma_Ff * Δτ_E2 / Δτ_Cd", f"{EN}, 8(2)", "equivalent range over design strength")
    ]
    design_life: Annotated[float, Figure("T", "year", title="design life")]
    life: Annotated[float | None, Figure("L", "year", "T / D", f"{EN}, A.5(1)", "life at a damage of 1")]
    life_text: str
    blocks: tuple[BlockDamage, ...]
    share_by_range: tuple[RangeShare, ...]
    curve: LifeCurve
    limit: ShearLimit | None
    remarks: tuple[str, ...]


def detail_damage(
    detail: Detail,
    counts: Sequence[Counted],
    *,
    blocks: Sequence[tuple[str, float]],
    factors,
    design_life: float,
    permanent_stress: float,
    compression_share: float,
    range_limit: float,
) -> NormalDamage | ShearDamage:
    """Damage of one detail over all blocks, by linear accumulation.

    Parameters
    ----------
    counts : sequence of Counted
        Cycles of the detail in each block, once through.
    blocks : sequence of (str, float)
        Name of each block and its repeats in the design life.
    factors : result with `.gamma_Ff` and `.gamma_Mf`
    design_life : float
        [s]
    permanent_stress : float
        Stress that the counted histories do not hold; moves the means only. [MPa]
    compression_share : float
        Part of the compression that counts where the detail is free of welding stress. [-]
    range_limit : float
        Largest range over yield strength. [-]

    Limits
    ------
    Cycles between one block and the next are not counted: a history that starts and ends in the state in
    which the others start and end loses nothing by that.

    Source
    ------
    EN 1993-1-9:2005, 7.1, 8, Annex A (from memory).
    """
    years = require_positive(design_life, "design life", unit="s") / YEAR
    curve = detail.curve.factored(factors.gamma_Mf)
    share = compression_share if detail.free_of_welding_stress else 1.0
    found = sum_damage(
        curve,
        counts,
        blocks=blocks,
        gamma_Ff=factors.gamma_Ff,
        permanent_stress=permanent_stress,
        compression_share=share,
    )
    equivalent = curve.strength * found.damage ** (1.0 / curve.slopes[0]) / factors.gamma_Ff
    shared = {
        "gamma_Ff": factors.gamma_Ff,
        "gamma_Mf": factors.gamma_Mf,
        "category": detail.strength,
        "size_factor": detail.size_factor,
        "slope": curve.slopes[0],
        "design_strength": curve.strength,
        "design_cut_off": curve.cut_off_strength,
        "cycles": found.cycles,
        "largest_range": found.largest_range,
        "damage": found.damage,
        "few_cycles_damage": found.few_cycles_damage or None,
        "equivalent_range": equivalent,
        "stress_utilisation": factors.gamma_Ff * equivalent / curve.strength,
        "design_life": years,
        "life": life(years, found.damage),
        "life_text": life_text(years, found.damage),
        "blocks": found.blocks,
        "share_by_range": found.share_by_range,
        "curve": curve,
        "limit": _limit(detail, found.largest_range, range_limit),
        "remarks": _remarks(detail, found, share),
    }
    if detail.stress == "shear":
        return ShearDamage(**shared)
    return NormalDamage(knee_cycles=curve.knees[0], design_knee=curve.knee_strengths[0], **shared)


def _limit(detail: Detail, largest: float, ratio: float) -> NormalLimit | ShearLimit | None:
    f_y = detail.yield_strength
    if f_y is None:
        return None
    if detail.stress == "normal":
        return NormalLimit(f_y, ratio, ratio * f_y, largest)
    return ShearLimit(f_y, ratio, ratio * f_y / math.sqrt(3), largest)


def _remarks(detail: Detail, summed: Summed, share: float) -> tuple[str, ...]:
    found = []
    if detail.yield_strength is None:
        found.append(f"the largest range was not compared with the yield strength ({EN}, 8(1)): none is given")
    found += few_cycles_remark(summed)
    if share < 1.0:
        found.append(
            f"{share:.0%} of the compression part of each range counts ({EN}, 7.2.1): the detail is said to be "
            f"{detail.free_of_welding_stress}"
        )
    if detail.row.also:
        found.append(f"to be judged beside this detail, as far as they apply: {', '.join(detail.row.also)}")
    return tuple(found)
