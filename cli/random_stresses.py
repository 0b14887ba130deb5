"""Random stress at each detail for which a density is stated: its checks, and the life with recorded loads and it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from cli.outlook import DetailLife
from fatigue.accumulation import life_text
from fatigue.assessment import DetailOutcome
from fatigue.detail import Detail
from fatigue.outlook import Outlook
from fatigue.random_stress import (
    CLAUSE,
    STANDARD,
    random_check,
    random_damage,
    remark_on_random,
    scaled_damage,
    sum_check,
)
from fatigue.resampling import NoInterval
from fatigue.sensitivity import ScaledLife
from fatigue.standards import standard as rules_of
from loadhistories.figures import not_judged, worst_state


@dataclass(frozen=True)
class _Given:
    """What all details are judged by: partial factors, earlier duty, and the design life [year]."""

    factors: object
    past: bool
    years: float


def under_random_stress(
    details: Sequence[Detail], outcomes: Sequence[DetailOutcome], lives: Sequence[DetailLife], *,
    basis: Mapping[str, str], past: bool, years: float,
) -> tuple[tuple[DetailOutcome, ...], tuple[DetailLife, ...]]:
    """The outcomes and lives, with the random stress where it is stated.

    Parameters
    ----------
    lives : sequence of DetailLife
        Of the recorded loads alone.
    past : bool
        Whether the joint has an earlier duty.
    years : float
        Design life. [year]
    """  # fmt: skip
    if all(detail.random is None for detail in details):
        return tuple(outcomes), tuple(lives)
    given = _Given(rules_of(STANDARD).partial_factors(**basis), past, years)
    found = [
        (outcome, life) if detail.random is None else _with_random(number, detail, outcome, life, given)
        for number, (detail, outcome, life) in enumerate(zip(details, outcomes, lives, strict=True), start=1)
    ]
    return tuple(outcome for outcome, _ in found), tuple(life for _, life in found)


def _with_random(number: int, detail: Detail, outcome: DetailOutcome, life: DetailLife, given: _Given):
    id, title, reason = f"random:{number}", f"fatigue of {detail.name} by random stress", outcome.reason
    if outcome.instead_of is not None:
        reason = "the joint slips, and the random stress is not stated for what the detail is then judged by"
    if reason:
        checks, notes, found = [not_judged(id, title, reason=reason, clause=CLAUSE)], (), None
        life = replace(life, outlook=None, remaining=None)
    else:
        found = random_damage(detail, detail.random, factors=given.factors)
        both = sum_check(f"{id}:together", detail.name, found, counted=outcome.result.damage, years=given.years)
        if given.past:
            why = "the joint has an earlier duty, and the random stress in it is not known"
            both = not_judged(both.id, both.title, reason=why, clause=both.clause, working=both.working)
        checks, notes = [random_check(id, detail.name, detail.random, found), both], (
            remark_on_random(detail.random, found),
        )
        life = _life(detail, life, given)
    state = worst_state((outcome.state, *(check.state for check in checks)))
    outcome = replace(
        outcome, checks=(*outcome.checks, *checks), notes=(*outcome.notes, *notes), state=state, random=found
    )
    return outcome, life


def _life(detail: Detail, life: DetailLife, given: _Given) -> DetailLife:
    """The life at other stress with the random stress in it; what the records alone tell is left out."""
    if life.outlook is None:
        return replace(life, remaining=None)
    reason = f"the random stress of {detail.random.file} does damage beside the records, and has no instants"
    scaled = tuple(_with_scaled(detail, item, given) for item in life.outlook.scaled)
    return replace(life, outlook=Outlook(scaled, (), None, reason, NoInterval(reason)), remaining=None)


def _with_scaled(detail: Detail, item: ScaledLife, given: _Given) -> ScaledLife:
    """The life at a factor on every stress, that of the random one included."""
    if item.damage is None:
        return item
    total = item.damage + scaled_damage(detail, detail.random, item.stress_factor, factors=given.factors)
    life = given.years / total if total > 0.0 else None
    return ScaledLife(item.stress_factor, total, life, life_text(given.years, total))
