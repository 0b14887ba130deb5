"""AISC 360, Appendix 3: effective range and damage of a detail over all blocks, against its allowable range.

The appendix is written for constant ranges. Ranges of different size are summed linearly: no damage as long as
none exceeds the threshold; once one does, each does damage on the inclined line, those below it as well.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
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
from fatigue.standards.aisc360.categories import BOLT, BOTH, Constants, constants_of_row, curve_of_row, rule
from fatigue.standards.aisc360.roots import again
from loadhistories.figures import Figure
from loadhistories.occurrence import YEAR
from loadhistories.validation import require_positive

PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class StandardDeviations:
    """What the safety of the strength rests on: no partial factor, but curves below the mean."""

    equations: str
    deviations: Annotated[
        float, Figure("s", "", title="standard deviations by which the curves lie below the mean", clause=BOTH)
    ]
    gamma_Mf: Annotated[
        float,
        Figure(
            "gamma",
            "",
            title="no partial factor: the curves are mean minus two standard deviations",
            clause=f"{BOTH}.3 and its commentary",
        ),
    ]


@dataclass(frozen=True)
class PeakStress:
    """The largest stress of the record with the permanent load, against the yield strength."""

    yield_strength: Annotated[float, Figure("F_y", "MPa", title="yield strength")]
    ratio: Annotated[float, Figure("k_y", "", title="largest peak stress over yield strength")]
    limit: Annotated[float, Figure("f_lim", "MPa", "k_y * F_y", f"{BOTH}.1", "largest peak stress allowed")]
    peak: Annotated[float, Figure("f_peak", "MPa", title="largest stress, pull or push, of record and permanent load")]


@dataclass(frozen=True)
class AllRangesBelow:
    """No range exceeds the threshold: the life has no end."""

    constant: Annotated[float, Figure("C_f", "", "", f"{BOTH}, Table A-3.1", "constant of the category")]
    threshold: Annotated[float, Figure("F_TH", "MPa", "", f"{BOTH}, Table A-3.1", "threshold of the category")]
    cycles: Annotated[float, Figure("n_SR", "", title="cycles in the design life, all blocks")]
    largest_range: Annotated[float, Figure("f_max", "MPa", title="largest stress range of all blocks")]
    allowable_range: Annotated[
        float, Figure("F_SR", "MPa", "F_TH", f"{BOTH}.3", "allowable range for any number of cycles")
    ]
    stress_utilisation: Annotated[
        float, Figure("u", "", "f_max / F_SR", f"{BOTH}.3", "largest range over allowable range")
    ]
    damage: Annotated[float, Figure("D", "", title="damage in the design life")]
    few_cycles_damage: FewCycles
    design_life: Annotated[float, Figure("T", "year", title="design life")]
    equivalent_range: float | None
    life: float | None
    life_text: str
    blocks: tuple[BlockDamage, ...]
    share_by_range: tuple[RangeShare, ...]
    curve: LifeCurve
    limit: PeakStress | None
    root: object | None
    remarks: tuple[str, ...]

    @property
    def demand(self) -> float:
        """The range that is held against the allowable one. [MPa]"""
        return self.largest_range


@dataclass(frozen=True)
class FiniteLife:
    """Some range exceeds the threshold, or the category has none: every range does damage."""

    factor: Annotated[float, Figure("K", "MPa", "", f"{BOTH}.3", "factor of the equation: 1000 ksi, category F 100")]
    constant: Annotated[float, Figure("C_f", "", "", f"{BOTH}, Table A-3.1", "constant of the category")]
    exponent: Annotated[float, Figure("p", "", "", f"{BOTH}.3", "exponent of the equation, as printed")]
    reduction: Annotated[float, Figure("R", "", "", f"{BOTH}.3", "reduction for a crack from the root, else 1")]
    threshold: Annotated[
        float | None, Figure("F_TH", "MPa", "", f"{BOTH}, Table A-3.1", "threshold of the category, exceeded here")
    ]
    cycles: Annotated[float, Figure("n_SR", "", title="cycles in the design life, all blocks")]
    largest_range: Annotated[float, Figure("f_max", "MPa", title="largest stress range of all blocks")]
    allowable_range: Annotated[
        float | None, Figure("F_SR", "MPa", "R * K * (C_f / n_SR) ** p", f"{BOTH}.3", "allowable range at n_SR cycles")
    ]
    damage: Annotated[float, Figure("D", "", "", PRACTICE, "damage in the design life, sum of n_i / N_i")]
    equivalent_range: Annotated[
        float | None,
        Figure("f_e", "MPa", "F_SR * D ** p", PRACTICE, "effective range: n_SR cycles of it do the same damage"),
    ]
    stress_utilisation: Annotated[
        float | None, Figure("u", "", "f_e / F_SR", f"{BOTH}.3", "effective range over allowable range")
    ]
    few_cycles_damage: FewCycles
    design_life: Annotated[float, Figure("T", "year", title="design life")]
    life: Annotated[float | None, Figure("L", "year", "T / D", PRACTICE, "life at a damage of 1")]
    life_text: str
    blocks: tuple[BlockDamage, ...]
    share_by_range: tuple[RangeShare, ...]
    curve: LifeCurve
    limit: PeakStress | None
    root: object | None
    remarks: tuple[str, ...]

    @property
    def demand(self) -> float | None:
        """The range that is held against the allowable one. [MPa]"""
        return self.equivalent_range


def detail_damage(
    detail: Detail,
    counts: Sequence[Counted],
    *,
    blocks: Sequence[tuple[str, float]],
    factors: StandardDeviations,
    design_life: float,
    permanent_stress: float,
) -> AllRangesBelow | FiniteLife:
    """Damage and effective range of one detail over all blocks.

    Parameters
    ----------
    counts : sequence of Counted
        Cycles of the detail in each block, once through.
    blocks : sequence of (str, float)
        Name of each block and its repeats in the design life.
    factors : StandardDeviations
        Says which printing of the equations is used.
    design_life : float
        [s]
    permanent_stress : float
        Stress that the counted histories do not hold; moves the peak only. [MPa]

    Limits
    ------
    The effective range is the mean of the ranges to the power that the printed exponent stands for (3.003, and
    5.988 for category F), so that damage and effective range say the same; with 3 and 6 it differs by less than
    0.1 %. Compression counts in full.

    Source
    ------
    AISC 360-16 and 360-22, Appendix 3.3 for constant ranges; the sum over ranges of different size, and the
    line extended below the threshold: common practice, no source.
    """
    row = replace(detail.row, equations=factors.equations)
    numbers, root = constants_of_row(row), again(row, detail.size_effect)
    curve = curve_of_row(row)
    if root is not None:
        curve = curve.scaled(root.factor, "reduction for the root")
    line = curve.without_cut_off()
    found = sum_damage(line, counts, blocks=blocks)
    years = require_positive(design_life, "design life", unit="s") / YEAR
    shared = {
        "constant": numbers.constant,
        "threshold": numbers.threshold,
        "design_life": years,
        "limit": _peak(detail, counts, permanent_stress),
        "root": root,
        "remarks": _remarks(detail, numbers, found, counts, permanent_stress),
    }
    if numbers.threshold is not None and found.largest_range <= numbers.threshold:
        return _below(sum_damage(curve, counts, blocks=blocks), curve, numbers, found, shared)
    return _finite(line, numbers, root, found, shared)


def _below(none: Summed, curve: LifeCurve, numbers: Constants, on_line: Summed, shared: dict) -> AllRangesBelow:
    return AllRangesBelow(
        cycles=none.cycles,
        largest_range=none.largest_range,
        allowable_range=numbers.threshold,
        stress_utilisation=none.largest_range / numbers.threshold,
        damage=none.damage,
        few_cycles_damage=None,
        equivalent_range=_effective(numbers, 1.0, on_line)[1],
        life=None,
        life_text="no end: no stress range exceeds the threshold",
        blocks=none.blocks,
        share_by_range=none.share_by_range,
        curve=curve,
        **shared,
    )


def _finite(line: LifeCurve, numbers: Constants, root, found: Summed, shared: dict) -> FiniteLife:
    reduction = 1.0 if root is None else root.factor
    allowable, effective = _effective(numbers, reduction, found)
    return FiniteLife(
        factor=numbers.factor,
        exponent=numbers.exponent,
        reduction=reduction,
        cycles=found.cycles,
        largest_range=found.largest_range,
        allowable_range=allowable,
        damage=found.damage,
        equivalent_range=effective,
        stress_utilisation=None if allowable is None else effective / allowable,
        few_cycles_damage=found.few_cycles_damage or None,
        life=life(shared["design_life"], found.damage),
        life_text=life_text(shared["design_life"], found.damage) if found.damage else "no end: no stress range",
        blocks=found.blocks,
        share_by_range=found.share_by_range,
        curve=line,
        **shared,
    )


def _effective(numbers: Constants, reduction: float, found: Summed) -> tuple[float | None, float | None]:
    """Range of the line at the counted cycles, and the effective range; None where nothing was counted."""
    if not found.cycles:
        return None, None
    allowable = reduction * numbers.line_at(found.cycles)
    return allowable, allowable * found.damage**numbers.exponent


def _peak(detail: Detail, counts: Sequence[Counted], permanent_stress: float) -> PeakStress | None:
    f_y = detail.yield_strength
    if f_y is None or detail.stress != "normal" or detail.row.letter == BOLT:
        return None
    low, high = _extremes(counts, permanent_stress)
    ratio = rule("peak_share")
    return PeakStress(f_y, ratio, ratio * f_y, max(abs(low), abs(high)))


def _extremes(counts: Sequence[Counted], permanent_stress: float) -> tuple[float, float]:
    """Smallest and largest stress with the permanent one; the permanent stress alone is among them. [MPa]"""
    found = [item.extremes for item in counts if item.extremes is not None]
    low = min([0.0, *(item[0] for item in found)])
    high = max([0.0, *(item[1] for item in found)])
    return low + permanent_stress, high + permanent_stress


def _remarks(
    detail: Detail, numbers: Constants, found: Summed, counts: Sequence[Counted], permanent_stress: float
) -> tuple[str, ...]:
    said = ["no partial factor: the curves are mean minus two standard deviations"]
    if numbers.threshold is not None:
        said.append(
            f"a range exceeds the threshold: all ranges, those below it as well, do damage on the line ({PRACTICE})"
            if found.largest_range > numbers.threshold
            else f"no range exceeds the threshold of {numbers.threshold:.4g} MPa: no damage"
        )
    if found.cycles < rule("fewest_cycles"):
        said.append(
            f"fewer than {rule('fewest_cycles'):,.0f} cycles in the design life: {BOTH}.1 asks for no evaluation of "
            "fatigue; the detail was judged all the same"
        )
    if _extremes(counts, permanent_stress)[1] <= 0.0 and detail.stress == "normal":
        said.append(
            f"the stress never pulls: {BOTH}.2 (commentary) asks for no evaluation; the detail was judged all the same"
        )
    said += [*_of_scope(detail), *few_cycles_remark(found)]
    if detail.free_of_welding_stress:
        said.append(f"compression counts in full: {BOTH} knows no relief for {detail.free_of_welding_stress} details")
    if detail.row.also:
        said.append(f"to be judged beside this detail, as far as they apply: {', '.join(detail.row.also)}")
    return tuple(said)


def _of_scope(detail: Detail) -> list[str]:
    """What the appendix presumes and nobody has checked here."""
    said = [
        f"not checked: steel up to {rule('temperature_C'):g} °C (300 °F), corrosion no more than mild or kept off "
        f"({BOTH}.1)"
    ]
    if detail.row.letter == BOLT:
        said.append(
            "the stress must hold prying, which must be small; a pretensioned bolt with steel only in its grip takes "
            f"its share by stiffness or {rule('pretensioned_share'):.0%} of the cyclic load ({BOTH}.4)"
        )
    elif detail.stress == "normal" and detail.yield_strength is None:
        said.append(
            f"the peak stress was not compared with {rule('peak_share'):g} of the yield strength ({BOTH}.1): no "
            "yield strength is given"
        )
    if detail.row.relies_on == "pretension":
        said.append("the bolts are taken to be pretensioned as for a slip-critical joint (Table A-3.1, 2.2)")
    return said
