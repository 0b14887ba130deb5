"""The plan of inspection and care of one joint: what to look at first, how often, how, and what is accepted."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from fatigue.assessment import DetailOutcome
from fatigue.inspection_task import InspectionOutcome
from loadhistories.tables import read_table
from slip.assessment import SlipOutcome
from slip.joint import LEVELS
from slip.preload_advice import CLOSELY, LOOK_AFTER
from slip.sliding import ONE_WAY, TWO_WAY
from slip.trade import SHAKING, Place

MAIN = "main inspection"
REPLACED = "a bolt found loose is replaced, not tightened again, and the cause is found first"


@dataclass(frozen=True)
class CareItem:
    """One row of the plan.

    `interval_years` is None where the interval is no time of its own; `because` names the results that decide it,
    `standing` what stands behind the rule; `possible` is False where the joint is hidden.
    """

    code: str
    what: str
    first: str
    interval: str
    interval_years: float | None
    method: str
    acceptance: str
    because: str
    standing: str
    possible: bool


@dataclass(frozen=True)
class Cared:
    """What the plan of a joint rests on, as `slip.advice.Findings` has it, with the inspections of its details.

    `planned` is the interval that the user plans for each detail, None where none is. [year]
    """

    findings: object
    inspections: Sequence[InspectionOutcome | None]
    planned: Sequence[float | None]


def care_plan(cared: Cared) -> tuple[CareItem, ...]:
    """The rows of the plan of one joint, bolts before details."""
    findings = cared.findings
    place = findings.setting.place
    rows = [*_bolts(findings, place), *_point(findings, place), *_cracks(cared, place)]
    if findings.welded and not findings.details:
        because = "the welds are judged for strength alone"
        rows.append(_item("welds", place, acceptance="no crack, coating whole", because=because))
    return tuple(rows)


def _bolts(findings, place: Place) -> Iterator[CareItem]:
    outcome: SlipOutcome | None = findings.slip
    if outcome is None:
        return
    if not outcome.joint.preloaded:
        shaken = any(record.kind in SHAKING for record in findings.records)
        because = "its loads shake" if shaken else "the bolts are not preloaded"
        accepted = f"no nut turns under a spanner; {REPLACED}"
        yield _item("tightness-shaken" if shaken else "tightness", place, acceptance=accepted, because=because)
        return
    if not outcome.levels:
        return
    yield _preload(findings, outcome, place)
    yield _signs(findings, outcome, place)


def _preload(findings, outcome: SlipOutcome, place: Place) -> CareItem:
    levels = [outcome.levels[name] for name in LEVELS]
    service = outcome.levels["service"]
    share = service.preload_share
    shaken = any(record.kind in SHAKING for record in findings.records)
    if service.slips:
        code = "preload-slip-allowed" if outcome.joint.slip == "allowed" else "preload-slips"
    elif share > CLOSELY or (shaken and share > LOOK_AFTER) or any(_asked_in_vain(level) for level in levels):
        code = "preload-closely"
    else:
        code = "preload-look-after" if share > LOOK_AFTER else "preload-ample"
    begins = [
        f"{100 * level.preload_share:.3g} % at {level.level} level (bolt {level.instant.bolt + 1} first)"
        for level in levels
        if level is service or level.required
    ]
    because = f"the first bolt begins to slip when the preload falls to {' and '.join(begins)}"
    life = outcome.joint.preload_life
    if life is not None:
        because += f"; {100 * life.left:.3g} % is left after the stated losses"
    return _item(code, place, acceptance=_accepted(outcome), because=because)


def _accepted(outcome: SlipOutcome) -> str:
    """What is left of the preload must be more than that at which the joint slips where it must not."""
    service = outcome.levels["service"]
    asked = [service, *(level for level in outcome.levels.values() if level.required and level is not service)]
    enough = [level.preload_share for level in asked if not level.slips]
    vain = [f"at {level.level} level not even the full preload is enough" for level in asked if level.slips]
    if not enough:
        return f"{' and '.join(vain)}; {REPLACED}"
    least = max(enough)
    force = least * outcome.joint.preload / 1e3
    begin = "no match mark has turned; where the preload is measured"
    return "; ".join(
        [f"{begin}, no bolt below {100 * least:.3g} % of the specified one ({force:.4g} kN)", *vain, REPLACED]
    )


def _asked_in_vain(level) -> bool:
    return level.required and level.slips


def _signs(findings, outcome: SlipOutcome, place: Place) -> CareItem:
    service = outcome.levels["service"]
    words = {ONE_WAY: "it slips one way and seats", TWO_WAY: "it slips back and forth"}
    because = words.get(service.kind, "it does not slip under the recorded loads")
    if service.kind in words:
        often = service.events_in_life
        because += ", how often is not known" if often is None else f", {often:.3g} times in the life"
    accepted = "no sign of it"
    if outcome.joint.slip == "allowed" and findings.movement is not None:
        accepted = f"plies moved by no more than {findings.movement.translation:.3g} mm, the play of the holes"
    return _item("slip-signs", place, acceptance=accepted, because=because)


def _point(findings, place: Place) -> Iterator[CareItem]:
    move = findings.movement
    if move is None or move.tolerance is None:
        return
    yield _item(
        "alignment", place, acceptance=f"within {move.tolerance:.3g} mm",
        because=f"the point can move {move.worst_at_point:.3g} mm once the joint slips",
    )  # fmt: skip


def _cracks(cared: Cared, place: Place) -> Iterator[CareItem]:
    for outcome, inspection, planned in zip(
        cared.findings.details, cared.inspections, cared.planned, strict=True
    ):
        yield _crack(outcome, inspection, planned, place, cared.findings.setting.concept)


def _crack(outcome: DetailOutcome, inspection, planned: float | None, place: Place, concept: str) -> CareItem:
    what = f"crack at {outcome.detail.name}"
    if outcome.detail.crack_found:
        return _item("crack-found", place, what=what, acceptance="nothing", because="a crack was found in it")
    if inspection is not None and inspection.plan is not None:
        return _by_growth(what, inspection.plan, planned, place)
    because = _life(outcome)
    code = "crack-damage-tolerant" if concept == "damage tolerant" else "crack-safe-life"
    return _item(code, place, what=what, acceptance="no crack", because=because)


def _life(outcome: DetailOutcome) -> str:
    result = outcome.result
    if result is None or outcome.detail.random is not None:
        return f"fatigue: {outcome.state}"
    return f"life by the record: {result.life_text if result.life is None else f'{result.life:.3g} years'}"


def _by_growth(what: str, plan, planned: float | None, place: Place) -> CareItem:
    """A detail whose inspection is planned by crack growth; a shorter interval that the user plans stands."""
    accepted = f"no crack; one {plan.detectable_depth:.3g} mm deep is counted on to be found ({plan.detection.source})"
    if plan.interval is None:
        because = f"no interval from crack growth: {plan.reason}"
        row = _item("crack-does-not-grow", place, what=what, acceptance=accepted, because=because)
        return _with_method(row, plan)
    because = (
        f"a crack grows from {plan.detectable_depth:.3g} mm to its end in {plan.time:.3g} years; the longest interval "
        f"is {_in_words(plan.interval)}"
    )
    years = plan.interval if planned is None else min(planned, plan.interval)
    if planned is not None and planned > plan.interval:
        because += f", the planned {_in_words(planned)} are too long"
    row = _item("crack-planned", place, what=what, acceptance=accepted, because=because, years=years)
    return _with_method(row, plan)


def _with_method(row: CareItem, plan) -> CareItem:
    return replace(row, method=plan.detection.method + row.method.removeprefix("as stated for the detail"))


def _item(
    code: str, place: Place, *, acceptance: str, because: str, what: str = "", years: float | None = None
) -> CareItem:
    """A row of the plan from the row of the table."""
    row = read_table(__package__, "care")[code]
    interval, years = row["interval"], row.get("interval_years") if years is None else years
    if interval == MAIN:
        years = place.main_inspection
        interval = f"each {MAIN}" + ("" if years is None else f", {_every(years)}")
    elif years is not None:
        interval = _every(years)
    method = row["method"]
    if place.hidden:
        method += "; the joint is hidden: this cannot be done until it is opened"
    return CareItem(
        code, what or row["what"], row["first"], interval, years, method, acceptance, because, row["source"],
        not place.hidden,
    )  # fmt: skip


def _every(years: float) -> str:
    words = _in_words(years)
    return "every year" if words == "1 year" else f"every {words}"


def _in_words(years: float) -> str:
    """A time: in years, below one year in months or days."""
    if years >= 0.995:
        return f"{years:.3g} year{'' if f'{years:.3g}' == '1' else 's'}"
    if years >= 2 / 12:
        return f"{12 * years:.2g} months"
    return f"{365.25 * years:.2g} days"
