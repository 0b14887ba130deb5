"""Judges a place of a runway by equivalent ranges: each crane, several together, beside what was counted."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from fatigue.assessment import CRACK_FOUND
from fatigue.crane_duty import ACTIONS, SClass, class_of_cranes_together, s_class
from fatigue.runway import FATIGUE, GIRDERS, ExemptionHint, exemption_hint
from fatigue.wheel_girder import GirderSection
from fatigue.wheels import Crane, RunwayPlace, Strength, clause_of_ranges, stress_ranges
from loadhistories.figures import Check, Figure, judged, not_judged
from loadhistories.validation import require_positive

TOGETHER = "cranes acting together"
SUM_CLAUSE = f"{GIRDERS}, 9.4.2 (from memory)"


@dataclass(frozen=True)
class EquivalentRange:
    """Equivalent range at 2e6 cycles against the category; ΔS is normal or shear stress, as the category is for.

    The equivalent factors stand on one slope, by which n cycles in place of one raise the range to n^(1/m): twice the
    cycles are one class more. The range is compared with the strength at 2e6 cycles, so no knee comes in.
    """

    wheel_range: Annotated[float, Figure("ΔS_1", "MPa", title="range under the equivalent wheel load")]
    cycles: Annotated[float, Figure("n_w", "", title="stress cycles here in one working cycle of the crane")]
    slope: Annotated[float, Figure("m", "", "", f"{ACTIONS}, Table 2.12 (from memory)", "slope of the factors")]
    range: Annotated[
        float,
        Figure("ΔS_E,2", "MPa", "ΔS_1 * n_w ** (1 / m)", "Miner's rule, one slope", "equivalent range, 2e6 cycles"),
    ]
    gamma_Ff: Annotated[float, Figure("gamma_Ff", "", "", f"{FATIGUE}, 3(7)", "partial factor of the ranges")]
    gamma_Mf: Annotated[float, Figure("gamma_Mf", "", "", f"{FATIGUE}, Table 3.1", "partial factor of the strength")]
    strength: Annotated[float, Figure("ΔS_C", "MPa", "", f"{FATIGUE}, 7.1", "category, size effect included")]
    demand: Annotated[float, Figure("ΔS_E,d", "MPa", "gamma_Ff * ΔS_E2", f"{FATIGUE}, 8(2)", "design range")]
    resistance: Annotated[float, Figure("ΔS_R,d", "MPa", "ΔS_C / gamma_Mf", f"{FATIGUE}, 8(2)", "design strength")]
    damage: Annotated[float, Figure("D_S", "", "(ΔS_Ed / ΔS_Rd) ** m", f"{FATIGUE}, 8(3)", "the same as a damage")]


@dataclass(frozen=True)
class BothStresses:
    """Normal and shear stress under the same cranes."""

    normal: Annotated[float, Figure("D_σ", "", title="damage by the normal stress")]
    shear: Annotated[float, Figure("D_τ", "", title="damage by the shear stress")]
    damage: Annotated[float, Figure("D_i", "", "D_σ + D_τ", f"{FATIGUE}, 8(3)", "damage by both")]


@dataclass(frozen=True)
class AllCranes:
    """Damage of every crane alone, and of their acting together."""

    single: Annotated[float, Figure("ΣD_i", "", title="sum of the damages of the single cranes")]
    together: Annotated[float, Figure("D_dup", "", title="damage of the cranes acting together")]
    damage: Annotated[float, Figure("D", "", "ΣD_i + D_dup", SUM_CLAUSE, "damage in all")]


@dataclass(frozen=True)
class TwoRoads:
    """Damage by the duty classes beside that of loads that were counted."""

    by_class: Annotated[float, Figure("D_S", "", title="damage by the duty classes")]
    counted: Annotated[float, Figure("D_c", "", title="damage of the loads that were counted")]
    ratio: Annotated[float | None, Figure("q_D", "", "D_S / D_c", "", "by class over counted")]


@dataclass(frozen=True)
class WithOtherLoads:
    """Damage by the duty classes and of other loads that were counted."""

    by_class: Annotated[float, Figure("D_S", "", title="damage by the duty classes")]
    counted: Annotated[float, Figure("D_c", "", title="damage of other loads, counted")]
    damage: Annotated[float, Figure("D_sum", "", "D_S + D_c", "Miner's rule", "damage of both")]


@dataclass(frozen=True)
class CraneDamage:
    """What one crane, or several together, do to a place."""

    who: str
    duty: SClass
    ranges: dict[str, EquivalentRange]
    both: BothStresses | None
    working: tuple

    @property
    def damage(self) -> float:
        """Of normal and shear stress together. [-]"""
        return sum(item.damage for item in self.ranges.values())


@dataclass(frozen=True)
class RunwayOutcome:
    """What was found for a place of a runway; nothing but the reason where a crack was found.

    Attributes
    ----------
    checks : tuple of Check
        The one of the damage in all first.
    cranes : tuple of CraneDamage
        Each alone.
    together : CraneDamage or None
        None for one crane.
    damage : float or None
        [-]
    exemption : ExemptionHint or None
        None where a crane's heavy cycles are not stated.
    roads : TwoRoads or None
        Where a detail stands beside that was judged.
    """

    place: RunwayPlace
    checks: tuple[Check, ...]
    cranes: tuple[CraneDamage, ...]
    together: CraneDamage | None
    damage: float | None
    exemption: ExemptionHint | None
    remarks: tuple[str, ...]
    roads: TwoRoads | None = None
    counted_range: float | None = None


def judge_place(number: int, given: RunwayPlace, *, factors) -> RunwayOutcome:
    """A place of a runway judged for its cranes by their duty classes.

    Parameters
    ----------
    number : int
        Of the place, for the names of the checks.
    factors : result of `partial_factors` of EN 1993

    Source
    ------
    EN 1991-3:2006, 2.12.1; EN 1993-6:2007, 9.3, 9.4; EN 1993-1-9:2005, 8 (from memory).
    """
    id, exempt = f"runway:{number}", _exemption(given.cranes)
    if given.crack_found:
        check = not_judged(id, _title(given), reason=CRACK_FOUND, clause=clause_of_ranges())
        return RunwayOutcome(given, (check,), (), None, None, exempt, ())
    singles = tuple(_damage(given, (crane,), crane.duty, factors) for crane in given.cranes)
    if len(singles) == 1:
        (only,) = singles
        checks = (_whole(id, given, only), *_ranges(id, given, only))
        return RunwayOutcome(given, checks, singles, None, only.damage, exempt, _remarks(given, None))
    duty = s_class(class_of_cranes_together([crane.duty.name for crane in given.cranes]))
    together = _damage(given, given.cranes, duty, factors)
    alone = sum(item.damage for item in singles)
    total = AllCranes(alone, together.damage, alone + together.damage)
    ids = [*(f"{id}:crane:{place}" for place in range(1, len(singles) + 1)), f"{id}:together"]
    parts = [
        judged(
            name, f"{_title(given)}, {item.who}", demand=item.damage, resistance=1.0, unit="",
            clause=f"{FATIGUE}, 8(3), and {GIRDERS}, 9.4", working=item.working,
        )
        for name, item in zip(ids, (*singles, together), strict=True)
    ]  # fmt: skip
    check = judged(
        id, f"{_title(given)}, all cranes", demand=total.damage, resistance=1.0, unit="", clause=SUM_CLAUSE,
        working=(total,),
    )  # fmt: skip
    return RunwayOutcome(
        given, (check, *parts), singles, together, total.damage, exempt, _remarks(given, together)
    )


def with_counted(id: str, outcome: RunwayOutcome, damage: float, *, past: bool) -> tuple[TwoRoads, tuple[Check, ...]]:
    """Both roads beside each other; and, where the counted loads are others, the check of their sum.

    Parameters
    ----------
    damage : float
        Of the loads counted at the detail that stands beside. [-]
    past : bool
        Whether the joint has an earlier duty, of which no class is known.
    """
    found = outcome.damage
    roads = TwoRoads(found, damage, found / damage if damage > 0.0 else None)
    if outcome.place.same_crane:
        return roads, ()
    title = f"fatigue at {outcome.place.name} by the cranes and the loads counted at {outcome.place.beside}"
    if past:
        reason = "the joint has an earlier duty, and which part of it the classes of the cranes hold is not known"
        return roads, (not_judged(id, title, reason=reason, clause=f"{FATIGUE}, 8(3)"),)
    both = WithOtherLoads(found, damage, found + damage)
    check = judged(id, title, demand=both.damage, resistance=1.0, unit="", clause=f"{FATIGUE}, 8(3)", working=(both,))
    return roads, (check,)


def _title(given: RunwayPlace) -> str:
    return f"fatigue at {given.name} by equivalent ranges"


def _damage(given: RunwayPlace, cranes: Sequence[Crane], duty: SClass, factors) -> CraneDamage:
    alone = len(cranes) == 1
    working: list = [cranes[0].made] if alone else []
    working += [duty, *(part for crane in cranes for part in (crane.factors, crane.load(duty)))]
    ranges = {}
    for kind, strength in given.strengths.items():
        parts, largest = stress_ranges(given, kind, cranes, duty)
        ranges[kind] = _equivalent(largest, given.cycles, strength, factors)
        working += [*parts, strength.size_effect, ranges[kind]]
    both = None
    if len(ranges) == 2:
        normal, shear = (ranges[kind].damage for kind in ("normal", "shear"))
        both = BothStresses(normal, shear, normal + shear)
    kept = tuple(part for part in (*working, both) if part is not None)
    return CraneDamage(f"{cranes[0].name} alone" if alone else TOGETHER, duty, ranges, both, kept)


def _equivalent(largest: float, cycles: float, strength: Strength, factors) -> EquivalentRange:
    number, slope = require_positive(cycles, "stress cycles in a working cycle"), strength.curve.slopes[0]
    found = largest * number ** (1.0 / slope)
    demand, resistance = factors.gamma_Ff * found, strength.curve.strength / factors.gamma_Mf
    return EquivalentRange(
        largest, number, slope, found, factors.gamma_Ff, factors.gamma_Mf, strength.curve.strength, demand, resistance,
        (demand / resistance) ** slope,
    )  # fmt: skip


def _whole(id: str, given: RunwayPlace, only: CraneDamage) -> Check:
    return judged(
        id, _title(given), demand=only.damage, resistance=1.0, unit="",
        clause=f"{FATIGUE}, 8(3), and {GIRDERS}, 9.4", working=only.working,
    )  # fmt: skip


def _ranges(id: str, given: RunwayPlace, only: CraneDamage) -> tuple[Check, ...]:
    """The same as a stress against a strength, one check for each kind of stress."""
    return tuple(
        judged(
            f"{id}:{kind}", f"equivalent range of {kind} stress at {given.name}, beside the damage",
            demand=found.demand, resistance=found.resistance, unit="MPa", clause=clause_of_ranges(),
        )
        for kind, found in only.ranges.items()
    )  # fmt: skip


def _exemption(cranes: Sequence[Crane]) -> ExemptionHint | None:
    heavy = [crane.heavy_cycles for crane in cranes]
    return None if None in heavy else exemption_hint(sum(heavy))


def _remarks(given: RunwayPlace, together: CraneDamage | None) -> tuple[str, ...]:
    found = [
        "the classes hold for the working cycles of the cranes that they were made of; the design life of the job does "
        "not enter, and compression counts in full"
    ]
    if given.web is not None:
        found.append("stress at the top of the web; wheels are taken to be farther apart than their loaded length")
        if given.web.bending is None and "normal" in given.strengths:
            found.append(f"bending of the web from eccentric wheels is left out up to class S3 ({GIRDERS}, 9.3.3)")
    if given.girder is not None:
        found += _of_girder(given.girder)
        if together is not None:
            found.append(
                f"{TOGETHER} follow each other from the first support of the girder as they are listed, at the worst "
                "distance that is not below apart"
            )
    if together is not None:
        found.append(
            f"{TOGETHER}: class {together.duty.name}, for want of knowledge of how often they do; cranes meant to "
            "work as one are to be stated as one crane"
        )
        if given.unit:
            found.append("of cranes acting together the ranges are added: an upper bound")
    return tuple(found)


def _of_girder(section: GirderSection):
    yield f"{section.title}; the wheels pass over all of it"
    if section.over_support and section.resists("shear"):
        yield "shear over the support is that on the side where its range is larger"
    if section.girder.system == "continuous" and len(section.girder.spans) > 1 and section.girder.stiffness is None:
        yield "the girder has the same stiffness in all spans"
