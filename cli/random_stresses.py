"""Random stress at each detail for which a density is stated: its check, and that of the sum with recorded loads."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fatigue.assessment import DetailOutcome
from fatigue.detail import Detail
from fatigue.random_stress import CLAUSE, STANDARD, random_check, random_damage, remark_on_random, sum_check
from fatigue.standards import standard as rules_of
from loadhistories.figures import not_judged, worst_state


def under_random_stress(
    details: Sequence[Detail], outcomes: Sequence[DetailOutcome], *, basis: Mapping[str, str], past: bool
) -> tuple[DetailOutcome, ...]:
    """The outcomes, with the checks of the random stress where it is stated; `past`: the joint has an earlier duty."""
    return tuple(
        outcome if detail.random is None else _with_random(number, detail, outcome, basis, past)
        for number, (detail, outcome) in enumerate(zip(details, outcomes, strict=True), start=1)
    )


def _with_random(number: int, detail: Detail, outcome: DetailOutcome, basis, past: bool) -> DetailOutcome:
    id, title, reason = f"random:{number}", f"fatigue of {detail.name} by random stress", outcome.reason
    if outcome.instead_of is not None:
        reason = "the joint slips, and the random stress is not stated for what the detail is then judged by"
    if reason:
        checks, notes = [not_judged(id, title, reason=reason, clause=CLAUSE)], ()
    else:
        found = random_damage(detail, detail.random, factors=rules_of(STANDARD).partial_factors(**basis))
        both = sum_check(f"{id}:together", detail.name, found, counted=outcome.result.damage)
        if past:
            why = "the joint has an earlier duty, and the random stress in it is not known"
            both = not_judged(both.id, both.title, reason=why, clause=both.clause, working=both.working)
        checks, notes = [random_check(id, detail.name, detail.random, found), both], (
            remark_on_random(detail.random, found),
        )
    state = worst_state((outcome.state, *(check.state for check in checks)))
    return replace(outcome, checks=(*outcome.checks, *checks), notes=(*outcome.notes, *notes), state=state)
