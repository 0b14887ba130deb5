"""Inspection of one detail of a joint, from what the user states of it and the cycles that were counted."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fatigue.growth import Crack, yearly_spectrum
from fatigue.growth_laws import GrowthLaw
from fatigue.inspection import (
    CRACK,
    Detection,
    Failure,
    InspectionPlan,
    cracked_check,
    inspection_check,
    inspection_plan,
)
from loadhistories.figures import Check
from loadhistories.validation import require_one_of


@dataclass(frozen=True)
class InspectionTask:
    """What a user states of a detail so that its inspection can be planned; see `inspection_plan`."""

    crack: Crack
    law: GrowthLaw
    detection: Detection
    failure: Failure
    share: float
    planned: float | None = None
    place: str = ""


@dataclass(frozen=True)
class InspectionOutcome:
    """The plan of a detail and its check; no plan where a crack was found, no check where no interval is planned."""

    plan: InspectionPlan | None
    check: Check | None


def inspect_detail(
    number: int,
    name: str,
    task: InspectionTask,
    counts: Sequence,
    *,
    repeats: Sequence[float],
    years: float,
    found: str,
) -> InspectionOutcome:
    """Plans the inspection of a detail from the cycles that were counted for its life curve.

    Parameters
    ----------
    number, name
        Of the detail.
    counts : sequence of CycleCount, a block each
        Of the detail's stress; the ranges count in full, without partial factor. [MPa]
    repeats : sequence of float
        How often each block occurs within `years`.
    years : float
        Design life. [year]
    found : str
        "none" or "found".

    Raises
    ------
    InputError
        As `inspection_plan`, but not for a crack that was found: that is not judged.
    """
    id = f"inspection:{number}"
    if require_one_of(found, CRACK, "crack", place=task.place) == "found":
        return InspectionOutcome(None, cracked_check(id, name))
    tables = [count.repeated(times) for count, times in zip(counts, repeats, strict=True)]
    ranges = np.concatenate([table.ranges for table in tables])
    spectrum = yearly_spectrum(ranges, np.concatenate([table.counts for table in tables]), years=years)
    plan = inspection_plan(
        task.crack, task.law, spectrum, detection=task.detection, failure=task.failure, share=task.share, found=found,
        place=task.place,
    )  # fmt: skip
    check = None if task.planned is None else inspection_check(id, name, plan, planned=task.planned)
    return InspectionOutcome(plan, check)
