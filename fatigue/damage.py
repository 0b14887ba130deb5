"""Damage of counted stress ranges over all blocks, life, and the equivalent constant range.

Linear accumulation to EN 1993-1-9:2005, Annex A. Counting stands in `fatigue.cycles`, the curve in
`fatigue.curves`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Protocol

import numpy as np
from numpy.typing import NDArray

from fatigue.curves import LifeCurve
from fatigue.detail import Detail
from fatigue.stress import reduced_ranges
from loadhistories.figures import Figure
from loadhistories.validation import require_positive

YEAR = 365.25 * 86_400.0
BINS = 20
FEWEST_CYCLES = 1e4
EN = "EN 1993-1-9:2005"


class Cycles(Protocol):
    """Ranges and means of cycles [MPa] and how often each occurs, arrays of shape (m,)."""

    ranges: NDArray[np.float64]
    means: NDArray[np.float64]
    counts: NDArray[np.float64]


class Counted(Protocol):
    """What was counted of one detail in one block."""

    def repeated(self, repeats: float) -> Cycles:
        """The cycles of the block repeated over the life."""


@dataclass(frozen=True)
class RangeShare:
    """What the cycles between two stress ranges add to the damage. Ranges in MPa, cycles per life."""

    lower: float
    upper: float
    cycles: float
    damage: float
    share: float


@dataclass(frozen=True)
class BlockDamage:
    """One kind of working over the life."""

    name: str
    repeats: Annotated[float, Figure("r", "", title="repeats in the design life")]
    cycles: Annotated[float, Figure("n", "", title="cycles in the design life")]
    largest_range: Annotated[float, Figure("Δ_max", "MPa", title="largest stress range")]
    damage: Annotated[float, Figure("D_block", "", "", f"{EN}, A.5", "damage of the block, sum of n_i / N_i")]


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
    design_knee: Annotated[
        float, Figure("Δσ_D,d", "MPa", "(2 / 5) ** (1 / 3) * Δσ_Cd", f"{EN}, 7.1(2)", "design strength at 5e6 cycles")
    ]
    design_cut_off: Annotated[
        float, Figure("Δσ_L,d", "MPa", "(5 / 100) ** (1 / 5) * Δσ_Dd", f"{EN}, 7.1(3)", "cut-off, at 1e8 cycles")
    ]
    cycles: Annotated[float, Figure("n", "", title="cycles in the design life, all blocks")]
    largest_range: Annotated[float, Figure("Δσ_max", "MPa", title="largest stress range of all blocks")]
    damage: Annotated[float, Figure("D", "", "", f"{EN}, A.5(1)", "damage in the design life, sum over the blocks")]
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
    spectra = [
        _spectrum(item.repeated(repeats), factors.gamma_Ff, permanent_stress, share)
        for item, (_, repeats) in zip(counts, blocks, strict=True)
    ]
    parts = tuple(
        _block(name, repeats, *spectrum, curve) for spectrum, (name, repeats) in zip(spectra, blocks, strict=True)
    )
    damage = math.fsum(part.damage for part in parts)
    largest = max((part.largest_range for part in parts), default=0.0)
    shares = range_shares(
        curve, np.concatenate([item[1] for item in spectra]), np.concatenate([item[2] for item in spectra])
    )
    normal = detail.stress == "normal"
    equivalent = curve.strength * damage ** (1.0 / curve.slopes[0]) / factors.gamma_Ff
    shared = {
        "gamma_Ff": factors.gamma_Ff,
        "gamma_Mf": factors.gamma_Mf,
        "category": detail.strength,
        "size_factor": detail.size_factor,
        "slope": curve.slopes[0],
        "design_strength": curve.strength,
        "design_cut_off": curve.cut_off_strength,
        "cycles": math.fsum(part.cycles for part in parts),
        "largest_range": largest,
        "damage": damage,
        "equivalent_range": equivalent,
        "stress_utilisation": factors.gamma_Ff * equivalent / curve.strength,
        "design_life": years,
        "life": life(years, damage),
        "life_text": _life_text(years, damage),
        "blocks": parts,
        "share_by_range": shares,
        "curve": curve,
        "limit": _limit(detail, largest, range_limit),
        "remarks": _remarks(detail, curve, largest * factors.gamma_Ff, share),
    }
    return NormalDamage(design_knee=curve.knee_strengths[0], **shared) if normal else ShearDamage(**shared)


def life(design_life: float, damage: float, *, allowed: float = 1.0) -> float | None:
    """Time until the damage reaches what is allowed, in the unit of `design_life`; None where nothing does damage.

    Examples
    --------
    >>> life(25.0, 0.2), life(25.0, 0.2, allowed=0.5)
    (125.0, 62.5)
    """
    require_positive(design_life, "design life")
    return design_life * allowed / damage if damage > 0.0 else None


def range_shares(
    curve: LifeCurve, ranges: NDArray[np.float64], counts: NDArray[np.float64], *, bins: int = BINS
) -> tuple[RangeShare, ...]:
    """Damage by stress range: equal steps from zero to the largest range, empty ones left out.

    Each cycle does the damage of its own range; only the listing is in steps.
    """
    if not ranges.size or ranges.max() <= 0.0:
        return ()
    each = curve.damage_of_each(ranges, counts)
    edges = np.linspace(0.0, ranges.max(), bins + 1)
    place = np.clip(np.searchsorted(edges, ranges, side="left") - 1, 0, bins - 1)
    cycles = np.bincount(place, counts, bins)
    damage = np.bincount(place, each, bins)
    total = damage.sum()
    return tuple(
        RangeShare(
            float(edges[k]),
            float(edges[k + 1]),
            float(cycles[k]),
            float(damage[k]),
            float(damage[k] / total) if total else 0.0,
        )
        for k in range(bins)
        if cycles[k]
    )


def _spectrum(whole: Cycles, gamma_Ff: float, permanent_stress: float, share: float) -> tuple[NDArray, ...]:
    """Full ranges, the ranges that do damage, and the counts of one block over the life."""
    ranges = np.asarray(whole.ranges, dtype=np.float64)
    effective = ranges
    if share < 1.0:
        effective = reduced_ranges(ranges, np.asarray(whole.means) + permanent_stress, share=share)
    return ranges, effective * gamma_Ff, np.asarray(whole.counts, dtype=np.float64)


def _block(
    name: str, repeats: float, ranges: NDArray, effective: NDArray, counts: NDArray, curve: LifeCurve
) -> BlockDamage:
    largest = float(ranges.max()) if ranges.size else 0.0
    return BlockDamage(name, float(repeats), float(counts.sum()), largest, curve.damage(effective, counts))


def _limit(detail: Detail, largest: float, ratio: float) -> NormalLimit | ShearLimit | None:
    f_y = detail.yield_strength
    if f_y is None:
        return None
    if detail.stress == "normal":
        return NormalLimit(f_y, ratio, ratio * f_y, largest)
    return ShearLimit(f_y, ratio, ratio * f_y / math.sqrt(3), largest)


def _life_text(years: float, damage: float) -> str:
    if damage <= 0.0:
        return "no end: every stress range lies below the cut-off"
    return f"{years / damage:.3g} years at a damage of 1"


def _remarks(detail: Detail, curve: LifeCurve, largest: float, share: float) -> tuple[str, ...]:
    found = []
    if detail.yield_strength is None:
        found.append(f"the largest range was not compared with the yield strength ({EN}, 8(1)): none is given")
    if curve.cycles_to_failure(largest) < FEWEST_CYCLES:
        found.append(
            f"the largest range of {largest:.4g} MPa alone lasts fewer than {FEWEST_CYCLES:g} cycles: the curves "
            "are not drawn there"
        )
    if share < 1.0:
        found.append(
            f"{share:.0%} of the compression part of each range counts ({EN}, 7.2.1): the detail is said to be "
            f"{detail.free_of_welding_stress}"
        )
    if detail.row.also:
        found.append(f"to be judged beside this detail, as far as they apply: {', '.join(detail.row.also)}")
    return tuple(found)
