"""Linear accumulation of damage on any life curve: over blocks, over stress ranges, and the life it leaves.

What a standard makes of the sum stands elsewhere.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Protocol

import numpy as np
from numpy.typing import NDArray

from fatigue.curves import LifeCurve
from fatigue.stress import reduced_ranges
from loadhistories.figures import Figure
from loadhistories.validation import require_positive

BINS = 20
# Life curves begin here; damage by larger ranges is unsure, and is passed over up to this share of the whole.
FEWEST_CYCLES = 1e4
FEW_CYCLES_SHARE = 0.01

FewCycles = Annotated[
    float | None,
    Figure("D_few", "", title=f"part of the damage by ranges that last fewer than {FEWEST_CYCLES:g} cycles"),
]


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
    damage: Annotated[float, Figure("D_block", "", title="damage of the block, sum of n_i / N_i")]


@dataclass(frozen=True)
class Summed:
    """Damage of all blocks on one curve.

    Attributes
    ----------
    cycles : float
        In the design life.
    largest_range : float
        As counted, without factors. [MPa]
    damage, few_cycles_damage : float
        The whole, and the part of it by ranges that last fewer than FEWEST_CYCLES.
    shortest_life : float
        Cycles that the largest of the ranges lasts.
    """

    blocks: tuple[BlockDamage, ...]
    cycles: float
    largest_range: float
    damage: float
    few_cycles_damage: float
    shortest_life: float
    share_by_range: tuple[RangeShare, ...]


def sum_damage(
    curve: LifeCurve,
    counts: Sequence[Counted],
    *,
    blocks: Sequence[tuple[str, float]],
    gamma_Ff: float = 1.0,
    permanent_stress: float = 0.0,
    compression_share: float = 1.0,
) -> Summed:
    """Linear accumulation of damage on a curve, whatever standard the curve is of.

    Parameters
    ----------
    curve : LifeCurve
        The design curve.
    gamma_Ff : float
        Factor on every range that does damage. [-]
    permanent_stress, compression_share
        As for `detail_damage`.
    """
    spectra = [
        _spectrum(item.repeated(repeats), gamma_Ff, permanent_stress, compression_share)
        for item, (_, repeats) in zip(counts, blocks, strict=True)
    ]
    parts = tuple(
        _block(name, repeats, *spectrum, curve) for spectrum, (name, repeats) in zip(spectra, blocks, strict=True)
    )
    ranges = np.concatenate([item[1] for item in spectra])
    numbers = np.concatenate([item[2] for item in spectra])
    lives = curve.cycles_to_failure(ranges)
    return Summed(
        blocks=parts,
        cycles=math.fsum(part.cycles for part in parts),
        largest_range=max((part.largest_range for part in parts), default=0.0),
        damage=math.fsum(part.damage for part in parts),
        few_cycles_damage=float(curve.damage_of_each(ranges, numbers)[lives < FEWEST_CYCLES].sum()),
        shortest_life=float(lives.min()) if lives.size else math.inf,
        share_by_range=range_shares(curve, ranges, numbers),
    )


def beyond_curve(result) -> str:
    """Why a damage cannot be relied on, where ranges too large for life curves make too much of it; else "".

    Parameters
    ----------
    result : result with `.damage`, `.few_cycles_damage`, `.blocks`, `.largest_range`
    """
    few = result.few_cycles_damage or 0.0
    if few <= FEW_CYCLES_SHARE * result.damage:
        return ""
    worst = max(result.blocks, key=lambda block: block.largest_range)
    return (
        f"{few / result.damage:.0%} of the damage comes from stress ranges so large that the detail would not last "
        f"{FEWEST_CYCLES:,.0f} cycles of them; life curves are not drawn there. The largest range, "
        f"{result.largest_range:.4g} MPa, occurs in {worst.name!r}: see whether it is real (a spike in the record, "
        "a wrong unit or stress coefficient); if it is, the detail needs a low-cycle assessment or less stress"
    )


def life(design_life: float, damage: float, *, allowed: float = 1.0) -> float | None:
    """Time until the damage reaches what is allowed, in the unit of `design_life`; None where nothing does damage.

    Examples
    --------
    >>> life(25.0, 0.2), life(25.0, 0.2, allowed=0.5)
    (125.0, 62.5)
    """
    require_positive(design_life, "design life")
    return design_life * allowed / damage if damage > 0.0 else None


def life_text(years: float, damage: float) -> str:
    """The life in words, for a damage in so many years."""
    if damage <= 0.0:
        return "no end: every stress range lies below the cut-off"
    return f"{years / damage:.3g} years at a damage of 1"


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


def few_cycles_remark(summed: Summed) -> tuple[str, ...]:
    """Says that some of the ranges lie above the curve, where they do."""
    if summed.shortest_life >= FEWEST_CYCLES:
        return ()
    return (
        f"the largest range of {summed.largest_range:.4g} MPa alone lasts fewer than {FEWEST_CYCLES:g} cycles: the "
        "curves are not drawn there",
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
