"""Assesses a job: one pass over every load block for slip and fatigue, then advice; the result is the JSON contract."""

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor, wait
from contextlib import closing
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from cli.care import planned_care, setting_of
from cli.contract import contract_of
from cli.inspections import inspected
from cli.job import Job, read_job
from cli.job_duty import duty_warnings
from cli.job_joint import JointInput
from cli.job_loads import LoadInput
from cli.job_past import PastDuty
from cli.outlook import DetailLife, Duty, lives
from cli.random_stresses import under_random_stress
from cli.record_warnings import counts_before, damage_of, record_warnings
from cli.runways import on_runway
from cli.sequences import in_sequence
from cli.trace import LoadTrace
from fatigue.assessment import DetailOutcome, StressWalk, assess_details
from fatigue.detail import Detail
from fatigue.inspection_task import InspectionOutcome
from fatigue.points import judge_points
from fatigue.tallies import Bins
from fatigue.wheel_damage import RunwayOutcome
from loadhistories.ahead import read_ahead
from loadhistories.blocks import LoadBlock
from loadhistories.extremes import LoadHull
from loadhistories.figures import Check
from loadhistories.tables import Recalled, recalled_rows
from slip.advice import Findings, Record, Warning, advise
from slip.alignment import Movement, movement
from slip.assessment import JointWalk, SlipOutcome
from slip.care import CareItem
from slip.fatigue_distances import fatigue_distance_checks
from slip.prying import settled
from slip.redesign import Alternative
from slip.sharing_with_welds import SharedOutcome, Sharing, share_with_welds
from slip.shear_parts import ShearParts, held, relieved, relieved_of, shear_part_checks
from slip.welded import assess_welds

# Longer blocks are reduced to their outermost load points for the alternatives.
HULL_FROM = 100_000
# From so many samples on, grip and stress take a chunk in side by side.
SHARED_FROM = 1_000_000
# So many chunks lie ready at most: both processors stay busy though chunks are not alike in work.
AHEAD = 8
# Up to so many samples times stress histories every cycle is kept; beyond, cycles are summed in steps of stress.
KEPT_SAMPLES = 5_000_000
SUMMED = Bins(range_width=0.05, mean_width=1e9)


def assess_file(path: str | Path) -> dict:
    """Read a job file, assess it, and give the contract that `griplife assess --json` prints.

    Raises
    ------
    InputError
        With every problem of the job and its records.
    """
    return assess_job(read_job(path))


def assess_job(job: Job, *, progress=None) -> dict:
    """Assess a job that has been read; the contract as a dict of plain values.

    Parameters
    ----------
    progress : callable, optional
        `progress(chunks)` gives the chunks on and may show how far the walk has come.
    """
    walks = [_JointWalks(job, given) for given in job.joints]
    traces = {}
    for load in job.loads:
        traces[load.name] = _walk(job, load, walks, progress)
    return contract_of(job, traces, [walk.result() for walk in walks])


def assessed_joints(job: Job, *, progress=None) -> list["JointResult"]:
    """Everything found for each joint of a job, in their order; `progress` as `assess_job` takes it."""
    walks = [_JointWalks(job, given) for given in job.joints]
    for load in job.loads:
        _walk(job, load, walks, progress)
    return [walk.result() for walk in walks]


@dataclass(frozen=True, eq=False)
class JointResult:
    """Everything found for one joint, as the contract needs it."""

    given: JointInput
    outcome: SlipOutcome | None
    movement: Movement | None
    details: tuple[DetailOutcome, ...]
    warnings: tuple[Warning, ...]
    alternatives: tuple[Alternative, ...]
    assumptions: tuple[str, ...]
    lives: tuple[DetailLife, ...]
    inspections: tuple[InspectionOutcome | None, ...]
    past: tuple[PastDuty, ...]
    welds: tuple[Check, ...] = ()
    runway: tuple[RunwayOutcome, ...] = ()
    recalled: tuple[str, ...] = ()
    damage_before: tuple[float | None, ...] = ()
    care: tuple[CareItem, ...] = ()

    @property
    def points(self) -> tuple[Check, ...]:
        """Checks of the places where a normal and a shear stress act together."""
        return judge_points(self.details)

    @property
    def fatigue_distances(self) -> tuple[Check, ...]:
        """Checks of the distances of holes that the categories of the details ask for."""
        if self.outcome is None:
            return ()
        judged_by = [detail for item in self.details for detail in (item.instead_of, item.detail) if detail is not None]
        return fatigue_distance_checks(self.outcome, judged_by)


def _walk(job: Job, load: LoadInput, walks: list["_JointWalks"], progress) -> LoadTrace:
    """One pass over a load block for everything that wants it."""
    trace = LoadTrace(load.block)
    touched = [walk for walk in walks if load in job.loads_on(walk.given)]
    for walk in touched:
        walk.begin(load)
    feeds = [feed for walk in touched for feed in walk.feeds] + [trace.feed]
    chunks = read_ahead(load.block.chunks(), AHEAD)
    with closing(_Feeder(feeds, several=load.block.samples > SHARED_FROM)) as feeder:
        for chunk in chunks if progress is None else progress(chunks):
            feeder.feed(chunk)
    for walk in touched:
        walk.end()
    return trace


class _Feeder:
    """Gives each chunk to all that want it; with `several`, in as many threads as there are processors."""

    def __init__(self, feeds: list, *, several: bool):
        self._feeds = feeds
        self._pool = ThreadPoolExecutor(os.cpu_count() or 1) if several and len(feeds) > 1 else None

    def feed(self, chunk) -> None:
        """Give a chunk to all, and wait until all are done with it."""
        if self._pool is None:
            for feed in self._feeds:
                feed(chunk)
            return
        futures = [self._pool.submit(feed, chunk) for feed in self._feeds]
        wait(futures)
        for future in futures:
            future.result()

    def close(self) -> None:
        """End the threads."""
        if self._pool is not None:
            self._pool.shutdown()


class Outermost(Sequence):
    """The blocks reduced to the load points that are enough for grip and strength; made where they are asked for.

    Blocks of up to `short` samples, and those of which no point can be left out, stay as they are.
    """

    def __init__(self, blocks: Sequence[LoadBlock], *, short: int = HULL_FROM):
        self._blocks, self._short = blocks, short
        self._made: dict[int, LoadBlock] = {}

    def __len__(self) -> int:
        return len(self._blocks)

    def __getitem__(self, number: int) -> LoadBlock:
        block = self._blocks[number]
        if number not in self._made:
            self._made[number] = block if block.samples <= self._short else _reduced(block)
        return self._made[number]


def _reduced(block: LoadBlock) -> LoadBlock:
    hull = LoadHull()
    for chunk in read_ahead(block.chunks()):
        hull.feed(chunk)
        if hull.crowded:
            return block
    points = hull.points()
    return replace(block, samples=points.shape[1], chunks=lambda: iter((points,)))


class _JointWalks:
    """Bolt forces and stresses of one joint, while the load blocks pass by."""

    def __init__(self, job: Job, given: JointInput):
        self.given = given
        self._job = job
        self._loads: list[LoadInput] = []
        self._counts: list = []
        self._recalled = Recalled()
        self._slip = self._noting(JointWalk, given.joint) if given.joint is not None else None
        self._stresses: StressWalk | None = None
        histories = sum(len(item.histories) for item in given.details)
        self._summed = any(load.block.samples * histories > KEPT_SAMPLES for load in job.loads_on(given))
        self._details = tuple(_with_all_compression(item) if self._summed else item for item in given.details)

    def _noting(self, function, *given):
        """What the call returns; the recalled rows that it looks up are kept, in whichever thread it runs."""
        with recalled_rows(self._recalled):
            return function(*given)

    def begin(self, load: LoadInput) -> None:
        """Get ready for the chunks of a load."""
        self._loads.append(load)
        self._stresses = self._noting(self._walk, load.block)
        if self._slip is not None:
            self._noting(self._slip.begin, load.block)

    def _walk(self, block: LoadBlock) -> StressWalk:
        kept = {"keep": "histogram", "bins": SUMMED} if self._summed else {}
        return StressWalk(self._details, counted=block.counted, **kept)

    @property
    def feeds(self) -> list:
        """What takes a chunk in, each apart from the others."""
        found = [self._stresses.feed]
        if self._slip is not None:
            parts = self.given.parts
            found.append(self._slip.feed if parts is None else partial(_feed_relieved, self._slip, parts))
        return [partial(self._noting, feed) for feed in found]

    def end(self) -> None:
        """Keep what the load that was walked has come to."""
        self._counts.append(self._noting(self._stresses.counts))
        if self._slip is not None:
            self._noting(self._slip.end)

    def result(self) -> JointResult:
        """Everything found, with the recalled rows of tables that were looked up for it."""
        return replace(self._noting(self._result), recalled=self._recalled.lines)

    def _result(self) -> JointResult:
        job, given = self._job, self.given
        whole = [load.block for load in self._loads]
        blocks = [relieved(given.parts, block) for block in whole]
        outer = Outermost(blocks)
        outcome = settled(self._slip.outcome(), blocks) if self._slip is not None else None
        beside, weld_checks = self._beside(outcome, blocks, outer)
        if given.parts is not None and outcome is not None:
            weld_checks += shear_part_checks(given.parts, outcome.joint, Outermost(whole), given.permanent)
        outcome = outcome if beside is None else beside.slip
        move = movement(held(given.parts, outcome), outer) if outcome is not None else None
        judge = partial(
            assess_details,
            standard=job.standard,
            basis=job.basis,
            design_life=job.design_life,
            slips=outcome.slips_in_service if outcome is not None else None,
            preloaded=outcome.joint.preloaded if outcome is not None else None,
        )
        loads, counts = in_sequence(self._loads, self._counts, job.sequences_on(given))
        details = self._judged(judge, loads, counts)
        as_read = counts_before(self._loads, self._counts, self._walk) if details else None
        before = ()
        if as_read is not None:
            before = damage_of(self._judged(judge, *in_sequence(self._loads, as_read, job.sequences_on(given))))
        of_records = record_warnings(self._loads, details, before)
        duty = Duty(
            self._details, loads, counts, job.past_of(given), judge, given.permanent, job.design_life_years
        )
        details, looked_at = lives(duty, details)
        details, inspections = inspected(
            self._details, details, counts,
            repeats=[load.block.repeats for load in loads], years=job.design_life_years,
        )  # fmt: skip
        details, looked_at = under_random_stress(
            self._details, details, looked_at, basis=job.basis, past=bool(duty.past), years=job.design_life_years
        )
        records = [
            Record(x.name, x.per_life, x.made is not None or x.occurrence.covers_period, x.kind, x.from_data)
            for x in self._loads
        ]
        # What the alternatives look up is not used by the checks of the joint.
        setting = setting_of(given, outer, job.basis)
        findings = Findings(outcome, move, details, records, beside, given.welded is not None, setting)
        with recalled_rows():
            found = advise(
                findings,
                blocks,
                standard=job.standard,
                basis=job.basis,
                extremes=outer,
            )
        assumed = (*given.assumptions, *self._assumptions(), *(outcome.assumptions if outcome is not None else ()))
        assumed += beside.assumptions if beside is not None else ()
        warnings = (*found.warnings, *duty_warnings(self._loads), *of_records)
        return JointResult(
            given, outcome, move, details, warnings, found.alternatives, assumed, looked_at, inspections,
            duty.past, weld_checks, on_runway(given.runway, details, basis=job.basis, past=bool(duty.past)),
            damage_before=before, care=planned_care(findings, self._details, inspections),
        )

    def _judged(self, judge, loads, counts) -> tuple[DetailOutcome, ...]:
        if not self._details:
            return ()
        blocks = [(load.name, load.block.repeats) for load in loads]
        return judge(self._details, counts, blocks=blocks, permanent=self.given.permanent)

    def _beside(self, outcome, blocks, outer) -> tuple[SharedOutcome | None, tuple[Check, ...]]:
        """What the welds add: shared with the bolts, or checked for the whole load."""
        if self.given.welded is None:
            return None, ()
        welds = assess_welds(self.given.welded, outer)
        if outcome is None:
            return None, (welds.check,)
        beside = share_with_welds(outcome, welds, self.given.sharing or Sharing(), blocks)
        return beside, beside.checks

    def _assumptions(self) -> tuple[str, ...]:
        earlier = ("earlier duty: whether the joint slipped under it is not judged",)
        found = earlier if self._job.past_of(self.given) and self.given.joint is not None else ()
        return (*found, *self._assumptions_of_summing())

    def _assumptions_of_summing(self) -> tuple[str, ...]:
        if not self._summed or not self._details:
            return ()
        found = [
            f"long record: stress ranges are summed in steps of {SUMMED.range_width:g} MPa, each counted with the "
            "upper edge of its step"
        ]
        changed = [old.name for old, new in zip(self.given.details, self._details, strict=True) if old is not new]
        if changed:
            found.append(f"long record: compression counts in full at {', '.join(changed)}")
        return tuple(found)


def _feed_relieved(walk: JointWalk, parts: ShearParts, chunk) -> None:
    walk.feed(relieved_of(parts, chunk))


def _with_all_compression(detail: Detail) -> Detail:
    """The detail without the relief for compression, which would need the mean of every cycle."""
    return replace(detail, free_of_welding_stress="") if detail.free_of_welding_stress else detail
