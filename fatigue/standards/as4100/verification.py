"""AS 4100:2020, section 11: from counted ranges to the result of a detail, its checks, and when it cannot be judged."""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from fatigue.accumulation import Counted, Summed, beyond_curve, few_cycles_remark, life, life_text, sum_damage
from fatigue.catalogue import CatalogueRow
from fatigue.curves import LifeCurve
from fatigue.detail import Detail
from fatigue.standards.as4100.capacity import CapacityFactor, GivenCapacityFactor
from fatigue.standards.as4100.sums import (
    ConstantNormalRange,
    ConstantShearRange,
    NormalSum,
    ShearSum,
    StressLimits,
    exempt_cycles,
    exempt_range,
    together,
    variable_range_cycles,
)
from fatigue.standards.as4100.tables import EDITION, rule
from loadhistories.figures import Check, judged, not_judged
from loadhistories.occurrence import YEAR
from loadhistories.validation import require_positive

CLAUSE = f"{EDITION}, 11.8.2"
BEARING = "11.5.1(1)-3-net"
EQUAL_RANGES = 1e-6


def condition_lost(detail: Detail, *, slips: bool | None, reverses: bool | None) -> str:
    """Why the detail's category does not stand in this joint, or "" where it does."""
    row = detail.row
    if row.relies_on == "grip" and slips is not False:
        told = (
            "the joint slips under its fatigue loads; make it grip, or, without load reversal, take the "
            f"net section with {BEARING}"
            if slips
            else "whether the joint slips under its fatigue loads is not known"
        )
        return f"category {row.id} counts on bolts of friction type that grip ({EDITION}, Table {row.table}): {told}"
    if row.relies_on == "no reversal" and reverses is not False:
        told = (
            "the load on the detail reverses; use bolts of friction type"
            if reverses
            else "whether the load on the detail reverses is not known"
        )
        return f"category {row.id} is for loads without reversal ({EDITION}, Table {row.table}): {told}"
    return ""


def category_without_grip(row: CatalogueRow, *, reverses: bool | None) -> str | None:
    """The category on the net section that a row keeps once the joint slips; None under reversed load, or if none."""
    return BEARING if row.relies_on == "grip" and reverses is False else None


def detail_damage(
    detail: Detail,
    counts: Sequence[Counted],
    *,
    blocks: Sequence[tuple[str, float]],
    factors: CapacityFactor | GivenCapacityFactor,
    design_life: float,
    permanent_stress: float,
) -> NormalSum | ShearSum:
    """Sum of 11.8.2 of one detail over all blocks.

    Parameters
    ----------
    counts : sequence of CycleCount
        Cycles of the detail in each block, once through.
    blocks : sequence of (str, float)
        Name of each block and its repeats in the design life.
    factors : CapacityFactor or GivenCapacityFactor
    design_life : float
        [s]
    permanent_stress : float
        Stress that the counted histories do not hold; counts for the largest stress only. [MPa]

    Limits
    ------
    Ranges count in full, in compression too. Cycles between one block and the next are not counted.

    Source
    ------
    AS 4100:2020, 11.4, 11.6 to 11.8 (from memory).
    """
    years = require_positive(design_life, "design life", unit="s") / YEAR
    curve = detail.curve.scaled(factors.phi, "capacity factor")
    found = sum_damage(curve, counts, blocks=blocks)
    ranges, numbers = _whole_life(counts, blocks)
    cubic, fifth = variable_range_cycles(curve, ranges, numbers)
    terms = (cubic / curve.knees[0], fifth / curve.knees[0]) if curve.knees else (fifth / curve.reference,)
    damage = math.fsum(terms)
    equivalent = curve.strength * damage ** (1.0 / curve.slopes[0])
    shared = {
        "phi": factors.phi,
        "category": detail.strength,
        "size_factor": detail.size_factor,
        "strength": detail.curve.strength,
        "cut_off": detail.curve.cut_off_strength,
        "design_cut_off": curve.cut_off_strength,
        "cycles": found.cycles,
        "largest_range": found.largest_range,
        "exempt_stress": rule("exempt_range_MPa"),
        "exempt_range": exempt_range(factors.phi),
        "exempt_strength": rule("exempt_strength_MPa"),
        "exempt_cycles": exempt_cycles(factors.phi, found.largest_range) if found.largest_range > 0.0 else None,
        "fifth_cycles": fifth,
        "damage": damage,
        "by_curve": found.damage,
        "few_cycles_damage": found.few_cycles_damage or None,
        "equivalent_range": equivalent,
        "stress_utilisation": equivalent / curve.strength,
        "design_life": years,
        "life": life(years, damage),
        "life_text": life_text(years, damage),
        "blocks": found.blocks,
        "share_by_range": found.share_by_range,
        "curve": curve,
        "constant": _constant_range(detail, factors.phi, ranges, numbers),
        "limit": _limits(detail, counts, found.largest_range, permanent_stress),
        "remarks": (*exemptions(curve, factors.phi, found), *_remarks(detail, factors, found)),
    }
    if detail.stress == "shear":
        return ShearSum(**shared)
    return NormalSum(
        constant_limit=detail.curve.knee_strengths[0],
        design_constant_limit=curve.knee_strengths[0],
        cubic_cycles=cubic,
        cubic_sum=terms[0],
        fifth_sum=terms[1],
        **shared,
    )


def checks(number: int, detail: Detail, result: NormalSum | ShearSum) -> tuple[Check, ...]:
    """The sum of 11.8.2 first; then a constant range, and the largest range and stress where these are known."""
    found = [_sum_check(number, detail, result)]
    if result.constant is not None:
        found.append(
            judged(
                f"fatigue:{number}:constant",
                f"constant stress range at {detail.name}",
                demand=result.constant.largest_range,
                resistance=result.constant.design_strength,
                unit="MPa",
                clause=f"{EDITION}, 11.8.1",
                working=(result.constant,),
            )
        )
    if result.limit is not None:
        limit = result.limit
        for key, words, demand, resistance in (
            ("range", "largest stress range", limit.largest_range, limit.range_limit),
            ("stress", "largest stress", limit.largest_stress, limit.stress_limit),
        ):
            found.append(
                judged(
                    f"fatigue:{number}:{key}", f"{words} at {detail.name}", demand=demand, resistance=resistance,
                    unit="MPa", clause=f"{EDITION}, 11.1.5", working=(limit,),
                )
            )
    return tuple(found)


def point_checks(number: int, name: str, normal: NormalSum, shear: ShearSum) -> tuple[Check, ...]:
    """Normal and shear stress together at one point: their sums are added.

    Parameters
    ----------
    number : int
        Of the point, for the name of the check.
    name : str
        As the user calls the point.

    Source
    ------
    AS 4100:2020, 11.8.2(c) (from memory).
    """
    both = together(normal, shear)
    return (
        judged(
            f"fatigue:point:{number}",
            f"normal and shear stress together at {name}",
            demand=both.damage,
            resistance=rule("allowed_sum"),
            unit="",
            clause=f"{EDITION}, 11.8.2(c)",
            working=(both,),
        ),
    )


def _sum_check(number: int, detail: Detail, result: NormalSum | ShearSum) -> Check:
    parts = (*detail.recipe.working, detail.size_effect, *result.blocks, result)
    working = tuple(part for part in parts if part is not None)
    name, title, allowed = f"fatigue:{number}", f"fatigue of {detail.name}", rule("allowed_sum")
    reason, few = beyond_curve(result), result.few_cycles_damage or 0.0
    if reason and result.damage - few <= allowed:
        return not_judged(name, title, reason=reason, clause=CLAUSE, working=working)
    return judged(name, title, demand=result.damage, resistance=allowed, unit="", clause=CLAUSE, working=working)


def _whole_life(counts: Sequence[Counted], blocks: Sequence[tuple[str, float]]) -> tuple[NDArray, NDArray]:
    """Ranges and numbers of the cycles of all blocks in the design life."""
    tables = [item.repeated(repeats) for item, (_, repeats) in zip(counts, blocks, strict=True)]
    return np.concatenate([table.ranges for table in tables]), np.concatenate([table.counts for table in tables])


def _constant_range(
    detail: Detail, phi: float, ranges: NDArray[np.float64], counts: NDArray[np.float64]
) -> ConstantNormalRange | ConstantShearRange | None:
    """The constant range that all cycles have, None where their ranges differ by more than one part in a million."""
    moving = (ranges > 0.0) & (counts > 0.0)
    if not moving.any() or np.ptp(ranges[moving]) > EQUAL_RANGES * ranges[moving].max():
        return None
    curve, largest, cycles = detail.curve, float(ranges[moving].max()), float(counts[moving].sum())
    strength = max(curve.strength_at(cycles), curve.cut_off_strength)
    kind = ConstantNormalRange if curve.knees else ConstantShearRange
    reference = curve.knee_strengths[0] if curve.knees else curve.strength
    return kind(phi, reference, curve.cut_off_strength, cycles, strength, phi * strength, largest)


def _limits(detail: Detail, counts: Sequence, largest_range: float, permanent_stress: float) -> StressLimits | None:
    f_y = detail.yield_strength
    if f_y is None:
        return None
    ends = [permanent_stress + end for item in counts if item.extremes is not None for end in item.extremes]
    largest_stress = max((abs(end) for end in ends), default=abs(permanent_stress))
    share, ratio = rule(f"{detail.stress}_yield_share"), rule("range_limit")
    return StressLimits(f_y, share, ratio, ratio * share * f_y, largest_range, share * f_y, largest_stress)


def exemptions(curve: LifeCurve, phi: float, found: Summed) -> tuple[str, ...]:
    """What 11.4 and 11.7 would let go without assessment, with what must be true for it; no detail passes by these.

    Parameters
    ----------
    curve : LifeCurve
        Corrected strength times the capacity factor.
    found : Summed
        Ranges of all blocks.
    """
    asked = "was judged all the same"
    largest, told = found.largest_range, []
    if largest <= exempt_range(phi):
        told.append(
            f"{EDITION}, 11.4, asks for no assessment where neither a normal nor a shear stress range at the point "
            f"exceeds {exempt_range(phi):.4g} MPa; the ranges given do not, yet the detail {asked}"
        )
    elif found.cycles <= exempt_cycles(phi, largest):
        told.append(
            f"{EDITION}, 11.4, asks for no assessment up to {exempt_cycles(phi, largest):.4g} cycles, if the largest "
            f"normal or shear stress range at the point is {largest:.4g} MPa; the detail {asked}"
        )
    limit, cycles = (curve.knee_strengths[0], "5e6") if curve.knees else (curve.cut_off_strength, "1e8")
    if largest <= limit:
        told.append(
            f"{EDITION}, 11.7, asks for no further assessment where no stress range of this kind exceeds "
            f"{limit:.4g} MPa, the design strength at {cycles} cycles, as here; the detail {asked}"
        )
    return tuple(told)


def _remarks(detail: Detail, factors: CapacityFactor | GivenCapacityFactor, found: Summed) -> tuple[str, ...]:
    told = []
    if factors.without_number:
        told.append(
            f"{EDITION}, 11.1.6, asks for a lower capacity factor here ({', '.join(factors.without_number)}) and "
            f"names no number; {factors.phi:g} is taken, agree on a lower one where the case calls for it"
        )
    if detail.yield_strength is None:
        told.append(
            f"largest range and stress were not compared with the yield strength ({EDITION}, 11.1.5): none is given"
        )
    told += few_cycles_remark(found)
    if detail.free_of_welding_stress:
        told.append(
            f"compression counts in full: {EDITION}, section 11, has no relief for a detail that is "
            f"{detail.free_of_welding_stress}"
        )
    if detail.row.also:
        told.append(f"to be judged beside this detail, as far as they apply: {', '.join(detail.row.also)}")
    if not detail.point:
        other = "shear" if detail.stress == "normal" else "normal"
        told.append(
            f"if the same place has {other} stress ranges too, both sums are added ({EDITION}, 11.8.2(c)): name the "
            "place by point in both details"
        )
    return tuple(told)
