"""Judging a detail by a curve whose source brings no safety of its own: the user's factors stand beside it.

The classes and their curves stand with the standards.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from fatigue.accumulation import (
    BlockDamage,
    Counted,
    FewCycles,
    RangeShare,
    beyond_curve,
    few_cycles_remark,
    life,
    sum_damage,
)
from fatigue.curves import LifeCurve
from fatigue.detail import Detail
from loadhistories.figures import Check, Figure, judged, not_judged
from loadhistories.occurrence import YEAR
from loadhistories.validation import InputError, require_positive, where


@dataclass(frozen=True)
class OwnSafety:
    """Safety of a fatigue strength as the user sets it; a factor that was not given is 1."""

    gamma_M: Annotated[float, Figure("gamma_M", "", title="partial factor of the strength, as given")]
    design_fatigue_factor: Annotated[float, Figure("DFF", "", title="design fatigue factor on the damage, as given")]


@dataclass(frozen=True)
class PlateThickness:
    """Strength of a thick plate over that of one of the reference thickness."""

    size: Annotated[float, Figure("t", "mm", title="thickness")]
    reference: Annotated[float, Figure("t_0", "mm", title="thickness without effect")]
    exponent: Annotated[float, Figure("a", "", title="exponent of the thickness effect")]
    factor: Annotated[float, Figure("k_t", "", "min(1, (t_0 / t) ** a)", title="thickness effect")]


@dataclass(frozen=True)
class ThinPlate:
    """A plate no thicker than the reference thickness: its strength is that of the class."""

    size: Annotated[float, Figure("t", "mm", title="thickness")]
    reference: Annotated[float, Figure("t_0", "mm", title="thickness without effect")]
    factor: Annotated[float, Figure("k_t", "", "min(1, t_0 / t)", title="thickness effect")]


@dataclass(frozen=True)
class CurveDamage:
    """Damage and life of a detail on a curve with the user's own factors.

    The equivalent range is that of the reference cycles on the piece of the curve where the class is anchored.
    """

    gamma_M: Annotated[float, Figure("gamma_M", "", title="partial factor of the strength, as given")]
    design_fatigue_factor: Annotated[float, Figure("DFF", "", title="design fatigue factor on the damage, as given")]
    category: Annotated[float, Figure("S_R", "MPa", title="strength of the class at the reference cycles")]
    reference: Annotated[float, Figure("N_R", "", title="reference cycles")]
    size_factor: Annotated[float, Figure("k_t", "", title="thickness effect")]
    slope: Annotated[float, Figure("m_1", "", title="first slope")]
    second_slope: Annotated[float, Figure("m_2", "", title="slope beyond the knee")]
    knee_cycles: Annotated[float, Figure("N_D", "", title="cycles at the knee of the curve")]
    design_strength: Annotated[float, Figure("S_R,d", "MPa", "k_t * S_R / gamma_M", title="design strength")]
    cycles: Annotated[float, Figure("n", "", title="cycles in the design life, all blocks")]
    largest_range: Annotated[float, Figure("S_max", "MPa", title="largest stress range of all blocks")]
    damage: Annotated[float, Figure("D", "", title="damage in the design life, sum over the blocks")]
    few_cycles_damage: FewCycles
    allowed_damage: Annotated[float, Figure("η", "", "1 / DFF", title="damage allowed")]
    equivalent_range: Annotated[
        float, Figure("S_eq", "MPa", "S_Rd * D ** (1 / m_1)", title="equivalent range at the reference cycles")
    ]
    stress_utilisation: Annotated[
        float, Figure("u", "", "S_eq / S_Rd * DFF ** (1 / m_1)", title="equivalent range over design strength")
    ]
    design_life: Annotated[float, Figure("T", "year", title="design life")]
    life: Annotated[float | None, Figure("L", "year", "T / (DFF * D)", title="life at a damage of 1 / DFF")]
    life_text: str
    blocks: tuple[BlockDamage, ...]
    share_by_range: tuple[RangeShare, ...]
    curve: LifeCurve
    remarks: tuple[str, ...]


def own_safety(
    gamma_M: float | None = None, design_fatigue_factor: float | None = None, *, place: str = ""
) -> OwnSafety:
    """The user's partial factor or design fatigue factor, or both.

    Raises
    ------
    InputError
        Neither is given, or one is below 1.

    Examples
    --------
    >>> own_safety(design_fatigue_factor=3)
    OwnSafety(gamma_M=1.0, design_fatigue_factor=3.0)
    """
    given = {"gamma_M": gamma_M, "design_fatigue_factor": design_fatigue_factor}
    if gamma_M is None and design_fatigue_factor is None:
        raise InputError(
            "these curves bring no safety of their own: give gamma_M = 1.25 (on the strength) or "
            f"design_fatigue_factor = 3 (on the damage), with the value that is agreed for the job{where(place)}"
        )
    values = {}
    for name, value in given.items():
        values[name] = 1.0 if value is None else require_positive(value, name, place=place)
        if values[name] < 1.0:
            raise InputError(f"{name} must not be below 1, got {values[name]:g}{where(place)}")
    return OwnSafety(**values)


def thickness_effect(
    thickness: float | None, *, reference: float, exponent: float | None, missing: str, place: str = ""
) -> PlateThickness | ThinPlate | None:
    """What the thickness of the cracked plate does to its strength; None where no thickness is given.

    Parameters
    ----------
    thickness, reference : float
        [mm]
    exponent : float or None
        None: not chosen.
    missing : str
        What to give, where a thick plate lacks its exponent.
    """
    if thickness is None:
        return None
    size = require_positive(thickness, "thickness", unit="mm", place=place)
    if size <= reference:
        return ThinPlate(size, reference, 1.0)
    if exponent is None:
        raise InputError(f"a plate of {size:g} mm is thicker than {reference:g} mm: {missing}{where(place)}")
    return PlateThickness(size, reference, exponent, min(1.0, (reference / size) ** exponent))


def condition_lost(detail: Detail, *, slips: bool | None = None, reverses: bool | None = None) -> str:
    """Why a detail cannot be judged by its curve, or "" where it can; no class relies on grip or on a sign."""
    if detail.size_effect is None:
        return (
            f"class {detail.category} falls with the thickness of the plate ({detail.row.table}), which is not "
            'given: give it as in thickness = "20 mm"'
        )
    if detail.free_of_welding_stress:
        return (
            f"class {detail.category} counts every range in full: leave free_of_welding_stress out "
            f"({detail.free_of_welding_stress} here)"
        )
    return ""


def detail_damage(
    detail: Detail,
    counts: Sequence[Counted],
    *,
    blocks,
    factors: OwnSafety,
    design_life: float,
    permanent_stress: float = 0.0,
) -> CurveDamage:
    """Damage of one detail over all blocks; see `fatigue.damage.detail_damage`.

    The permanent stress moves the means of the cycles only, which these curves have no regard to.
    """
    years = require_positive(design_life, "design life", unit="s") / YEAR
    curve = detail.curve.factored(factors.gamma_M)
    found = sum_damage(curve, counts, blocks=blocks)
    slope, dff = curve.slopes[0], factors.design_fatigue_factor
    equivalent = curve.strength * found.damage ** (1.0 / slope)
    return CurveDamage(
        gamma_M=factors.gamma_M,
        design_fatigue_factor=dff,
        category=detail.strength,
        reference=curve.reference,
        size_factor=detail.size_factor,
        slope=slope,
        second_slope=curve.slopes[-1],
        knee_cycles=curve.knees[0],
        design_strength=curve.strength,
        cycles=found.cycles,
        largest_range=found.largest_range,
        damage=found.damage,
        few_cycles_damage=found.few_cycles_damage or None,
        allowed_damage=1.0 / dff,
        equivalent_range=equivalent,
        stress_utilisation=equivalent / curve.strength * dff ** (1.0 / slope),
        design_life=years,
        life=life(years, found.damage, allowed=1.0 / dff),
        life_text=_life_text(years, found.damage, dff),
        blocks=found.blocks,
        share_by_range=found.share_by_range,
        curve=curve,
        remarks=(
            f"curve: {detail.curve.name}",
            f"{detail.row.table} gives a curve only: its safety is that of the factors given, and neither the largest "
            "range nor the conditions of the class are checked",
            *few_cycles_remark(found),
        ),
    )


def checks(number: int, detail: Detail, result: CurveDamage) -> tuple[Check, ...]:
    """Damage against 1 over the design fatigue factor: their product must not be above 1."""
    name, title, clause = f"fatigue:{number}", f"fatigue of {detail.name}", f"{detail.row.table}, with factors as given"
    working = tuple(part for part in (*detail.recipe.working, detail.size_effect) if part is not None)
    working = (*working, *result.blocks, result)
    reason = beyond_curve(result)
    if reason:
        return (not_judged(name, title, reason=reason, clause=clause, working=working),)
    return (
        judged(
            name,
            title,
            demand=result.damage,
            resistance=result.allowed_damage,
            unit="",
            clause=clause,
            working=working,
        ),
    )


def _life_text(years: float, damage: float, dff: float) -> str:
    if damage <= 0.0:
        return "no end: no stress range does damage"
    return f"{years / (dff * damage):.3g} years at a damage of {1.0 / dff:.3g}"
