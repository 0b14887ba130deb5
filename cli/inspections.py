"""The inspection of each detail for which one is stated: from the cycles that were counted for its life."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from fatigue.assessment import DetailOutcome
from fatigue.detail import Detail
from fatigue.inspection_task import InspectionOutcome, inspect_detail
from loadhistories.figures import worst_state


def inspected(
    details: Sequence[Detail],
    outcomes: Sequence[DetailOutcome],
    counts: Sequence[Sequence],
    *,
    repeats: Sequence[float],
    years: float,
) -> tuple[tuple[DetailOutcome, ...], tuple[InspectionOutcome | None, ...]]:
    """The outcomes, with the check of a planned interval where one is stated, and the inspection of each detail.

    Parameters
    ----------
    details : sequence of Detail
        As they were counted.
    counts : sequence, a block each
        The count of every history of every detail. [MPa]
    repeats : sequence of float
        Of each block in the design life.
    years : float
        Design life. [year]
    """
    checked, found, first = [], [], 0
    for number, (detail, outcome) in enumerate(zip(details, outcomes, strict=True), start=1):
        inspection = None
        if detail.inspection is not None:
            history = first + _governing(detail, outcome)
            inspection = inspect_detail(
                number,
                detail.name,
                detail.inspection,
                [block[history] for block in counts],
                repeats=repeats,
                years=years,
                found="found" if detail.crack_found else "none",
            )
            outcome = _with_check(outcome, inspection)
        checked.append(outcome)
        found.append(inspection)
        first += len(detail.histories)
    return tuple(checked), tuple(found)


def _governing(detail: Detail, outcome: DetailOutcome) -> int:
    """Number of the history that governs the detail; the first where none was judged."""
    same = [np.array_equal(row, outcome.detail.recipe.histories[0]) for row in detail.histories]
    return same.index(True) if True in same else 0


def _with_check(outcome: DetailOutcome, inspection: InspectionOutcome) -> DetailOutcome:
    if inspection.check is None:
        return outcome
    state = worst_state((outcome.state, inspection.check.state))
    return replace(outcome, checks=(*outcome.checks, inspection.check), state=state)
