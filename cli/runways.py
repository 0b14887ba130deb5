"""Places of a runway at a joint: judged by the duty classes of the cranes, beside the damage that was counted."""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fatigue.assessment import DetailOutcome
from fatigue.runway import STANDARD
from fatigue.standards import standard as rules_of
from fatigue.wheel_damage import RunwayOutcome, judge_place, with_counted
from fatigue.wheels import RunwayPlace


def on_runway(
    places: Sequence[RunwayPlace], details: Sequence[DetailOutcome], *, basis: Mapping[str, str], past: bool
) -> tuple[RunwayOutcome, ...]:
    """Every place of the runway judged.

    Parameters
    ----------
    details : sequence of DetailOutcome
        Of the same joint, some of which may stand beside.
    basis : mapping
        Concept and consequence, see `fatigue.assessment.assess_details`.
    past : bool
        Whether the joint has an earlier duty.
    """
    if not places:
        return ()
    factors = rules_of(STANDARD).partial_factors(**basis)
    counted = {}
    for item in details:
        counted[(item.instead_of or item.detail).name] = item
    outcomes = [judge_place(number, place, factors=factors) for number, place in enumerate(places, start=1)]
    if past:
        remark = "earlier duty of the joint counts only as far as the working cycles of the classes hold it"
        outcomes = [replace(outcome, remarks=(*outcome.remarks, remark)) for outcome in outcomes]
    return tuple(
        _beside(f"runway:{number}:beside", outcome, counted, past) for number, outcome in enumerate(outcomes, start=1)
    )


def _beside(id: str, outcome: RunwayOutcome, counted: Mapping[str, DetailOutcome], past: bool) -> RunwayOutcome:
    place = outcome.place
    if not place.beside or outcome.damage is None:
        return outcome
    detail = counted[place.beside]
    if detail.result is None:
        remark = f"beside it stands {place.beside}, which was not judged by its cycles: {detail.reason}"
        return replace(outcome, remarks=(remark, *outcome.remarks))
    roads, checks = with_counted(id, outcome, detail.result.damage, past=past)
    remark = (
        f"two roads: by the duty classes the damage is {roads.by_class:.3g}, by the cycles counted at {place.beside} "
        f"it is {roads.counted:.3g}; "
    )
    remark += (
        "both describe the same cranes, so they are not added, and each has to hold" if place.same_crane
        else "the cycles are those of other loads, so the damages add"
    )  # fmt: skip
    return replace(
        outcome, checks=(*outcome.checks, *checks), remarks=(remark, *outcome.remarks), roads=roads,
        counted_range=detail.result.equivalent_range,
    )  # fmt: skip
