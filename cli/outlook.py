"""Looks at the life of every detail of a joint from further sides; walks the records that do damage once more."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from cli.job_loads import LoadInput
from cli.job_past import PastDuty
from fatigue.assessment import DetailOutcome, StressWalk
from fatigue.detail import Detail
from fatigue.given import Judge, given_cycles, smallest_damaging
from fatigue.outlook import Outlook, outlook
from fatigue.range_mean import RangeMeanCell, range_mean_cells
from fatigue.remaining import RemainingLife, allowed_damage, remaining_life, with_past
from fatigue.timed import TimedWalk, timed_count
from fatigue.timeline import TimedBlock
from loadhistories.occurrence import YEAR, TimeInLife, TimePerPeriod

# Samples times details that are walked a second time, and turning points that are kept of them.
MOST_SAMPLES = 10_000_000
MOST_POINTS = 500_000


@dataclass(frozen=True, eq=False)
class DetailLife:
    """The life of one detail beside its damage; None where it was not judged, or did not serve before."""

    outlook: Outlook | None
    remaining: RemainingLife | None
    past: tuple[tuple[str, float], ...] = ()
    cells: tuple[RangeMeanCell, ...] = ()


@dataclass(frozen=True, eq=False)
class Duty:
    """What a joint feels and was judged for.

    Attributes
    ----------
    details : tuple of Detail
        As given to the judge.
    loads : tuple of LoadInput
        The blocks to come.
    counts : sequence
        For each load the count of every history of every detail.
    past : tuple of PastDuty
        Earlier duty of the joint.
    judge : callable
        See `fatigue.given.Judge`.
    permanent : array, shape (6,)
        [N, N mm]
    design_life : float
        [year]
    """

    details: tuple[Detail, ...]
    loads: tuple[LoadInput, ...]
    counts: Sequence[Sequence]
    past: tuple[PastDuty, ...]
    judge: Judge
    permanent: np.ndarray
    design_life: float


def lives(duty: Duty, outcomes: Sequence[DetailOutcome]) -> tuple[tuple[DetailOutcome, ...], tuple[DetailLife, ...]]:
    """The outcomes, with a check of earlier duty where there was any, and the life of each detail."""
    rows = _governing_rows(duty.details, outcomes)
    outlooks = _outlooks(duty, outcomes, rows)
    cells = [_cells(duty, outcome, row) for outcome, row in zip(outcomes, rows, strict=True)]
    if not duty.past:
        pairs = zip(outlooks, cells, strict=True)
        return tuple(outcomes), tuple(DetailLife(item, None, cells=found) for item, found in pairs)
    together = _with_earlier_blocks(duty)
    checked, found = [], []
    for number, (outcome, item) in enumerate(zip(outcomes, outlooks, strict=True)):
        outcome, life = _served(duty, outcome, together[number])
        checked.append(outcome)
        found.append(DetailLife(item, *life, cells=cells[number]))
    return tuple(checked), tuple(found)


def _with_earlier_blocks(duty: Duty) -> tuple[DetailOutcome, ...]:
    """Every detail judged for the blocks of earlier duty and those to come together, in this order."""
    earlier = [load for past in duty.past for load in past.loads]
    blocks = [load.block for load in (*earlier, *duty.loads)]
    counts = [_counted(duty.details, load) for load in earlier]
    return duty.judge(
        duty.details, [*counts, *duty.counts], blocks=[(block.name, block.repeats) for block in blocks],
        permanent=duty.permanent,
    )  # fmt: skip


def _counted(details: Sequence[Detail], load: LoadInput):
    walk = StressWalk(details, counted=load.block.counted)
    for chunk in load.block.chunks():
        walk.feed(chunk)
    return walk.counts()


def _served(duty: Duty, outcome: DetailOutcome, together: DetailOutcome):
    """The outcome with its check of earlier duty; and remaining life and damage of each earlier duty."""
    if outcome.result is None:
        return outcome, (None, ())
    if together.result is None:
        return with_past(outcome, None, reason=f"earlier duty: {together.reason}"), (None, ())
    allowed = allowed_damage(outcome)
    if allowed is None:
        reason = "the standard's check is not of the damage itself, so earlier damage cannot be added to it"
        return with_past(outcome, None, reason=reason), (None, ())
    counted = iter(together.blocks)
    past = tuple(
        (item.name, sum(next(counted).damage for _ in item.loads) if item.loads else item.damage[outcome.detail.name])
        for item in duty.past
    )
    life = remaining_life(
        past_damage=sum(damage for _, damage in past),
        damage=sum(block.damage for block in counted),
        allowed=allowed,
        served=sum(item.served for item in duty.past) / YEAR,
        design_life=duty.design_life,
    )
    return with_past(outcome, life), (life, past)


def _cells(duty: Duty, outcome: DetailOutcome, row: int) -> tuple[RangeMeanCell, ...]:
    """Where the cycles of the governing history of a detail lie by range and mean."""
    if outcome.result is None:
        return ()
    return range_mean_cells(outcome.result, _cycles(duty, row))


def _cycles(duty: Duty, row: int) -> list:
    """The cycles of one history under each load over the design life."""
    pairs = zip(duty.loads, duty.counts, strict=True)
    return [given_cycles(counts[row], load.block.repeats) for load, counts in pairs]


def _outlooks(duty: Duty, outcomes: Sequence[DetailOutcome], rows: Sequence[int]) -> list[Outlook | None]:
    timed = _timed(duty, outcomes, rows)
    found = []
    for outcome, row, blocks in zip(outcomes, rows, timed, strict=True):
        if outcome.result is None:
            found.append(None)
            continue
        found.append(
            outlook(
                outcome, _cycles(duty, row), blocks, judge=duty.judge, permanent=duty.permanent,
                design_life=duty.design_life,
            )
        )
    return found


def _governing_rows(details: Sequence[Detail], outcomes: Sequence[DetailOutcome]) -> list[int]:
    """Which of all counted histories governs each detail; -1 where it was not judged."""
    rows, first = [], 0
    for detail, outcome in zip(details, outcomes, strict=True):
        row = -1
        if outcome.result is not None:
            same = (detail.histories == outcome.detail.recipe.histories[0]).all(axis=1)
            row = first + int(np.flatnonzero(same)[0])
        rows.append(row)
        first += len(detail.histories)
    return rows


def _timed(duty: Duty, outcomes: Sequence[DetailOutcome], rows: Sequence[int]) -> list[list[TimedBlock] | str]:
    """For each detail its damaging blocks with times, or why there are none."""
    found: list[list[TimedBlock] | str] = [[] for _ in outcomes]
    for place, (load, counts) in enumerate(zip(duty.loads, duty.counts, strict=True)):
        harmed = [
            number for number, outcome in enumerate(outcomes)
            if outcome.result is not None and outcome.blocks[place].damage > 0.0
        ]  # fmt: skip
        points = _points(load, [outcomes[number] for number in harmed])
        for k, number in enumerate(harmed):
            if isinstance(points, str):
                found[number] = points
            elif not isinstance(found[number], str):
                damage, extremes = outcomes[number].blocks[place].damage, counts[rows[number]].extremes
                found[number].append(_timed_block(load, damage, points[k], extremes))
    return found


def _timed_block(load: LoadInput, damage: float, points, extremes) -> TimedBlock:
    event = not isinstance(load.occurrence, (TimePerPeriod, TimeInLife))
    block = load.block
    return TimedBlock(
        block.name, block.repeats, block.step, event, damage, timed_count(points), points.values, points.places,
        extremes, load.from_data,
    )  # fmt: skip


def _points(load: LoadInput, outcomes: Sequence[DetailOutcome]):
    """Turning points of the damaging part of each detail's stress under a load, or why there are none."""
    if not outcomes:
        return ()
    if load.untimed:
        return load.untimed
    samples = load.block.samples * len(outcomes)
    if load.block.stored or samples > MOST_SAMPLES:
        return (
            f"{load.name}: the record is too long for a second walk, so when its cycles occurred was not looked for"
        )
    walk = TimedWalk(
        np.array([outcome.detail.recipe.histories[0] for outcome in outcomes]),
        [smallest_damaging(outcome.result) for outcome in outcomes],
    )
    for chunk in load.block.chunks():
        walk.feed(chunk)
        if walk.kept > MOST_POINTS:
            return f"{load.name}: more than {MOST_POINTS:g} turning points do damage, too many to look for their times"
    return walk.points()
