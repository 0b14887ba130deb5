"""Assesses a job: one pass over every load block for slip and fatigue, then advice; the result is the JSON contract."""

from dataclasses import dataclass, replace
from pathlib import Path

from cli.contract import contract_of
from cli.job import Job, read_job
from cli.job_joint import JointInput
from cli.job_loads import LoadInput
from cli.trace import LoadTrace
from fatigue.assessment import DetailOutcome, StressWalk, assess_details
from fatigue.detail import Detail
from fatigue.tallies import Bins
from loadhistories.ahead import read_ahead
from loadhistories.blocks import LoadBlock
from loadhistories.extremes import LoadHull
from slip.advice import Findings, Record, Warning, advise
from slip.alignment import Movement, movement
from slip.assessment import JointWalk, SlipOutcome
from slip.redesign import Alternative

# Longer blocks are reduced to their outermost load points for the alternatives.
HULL_FROM = 100_000
# Up to so many samples times details every cycle is kept; beyond, cycles are summed in steps of stress.
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


def assessed_joints(job: Job) -> list["JointResult"]:
    """Everything found for each joint of a job, in their order."""
    walks = [_JointWalks(job, given) for given in job.joints]
    for load in job.loads:
        _walk(job, load, walks, None)
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


def _walk(job: Job, load: LoadInput, walks: list["_JointWalks"], progress) -> LoadTrace:
    """One pass over a load block for everything that wants it."""
    trace = LoadTrace(load.block)
    touched = [walk for walk in walks if load in job.loads_on(walk.given)]
    hull = LoadHull() if load.block.samples > HULL_FROM else None
    for walk in touched:
        walk.begin(load)
    chunks = read_ahead(load.block.chunks())
    for chunk in chunks if progress is None else progress(chunks):
        trace.feed(chunk)
        if hull is not None:
            hull.feed(chunk)
            hull = None if hull.crowded else hull
        for walk in touched:
            walk.feed(chunk)
    for walk in touched:
        walk.end(_outermost(load.block, hull))
    return trace


def _outermost(block: LoadBlock, hull: LoadHull | None) -> LoadBlock:
    """The block reduced to the load points that are enough for grip and strength; short blocks stay as they are."""
    if hull is None:
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
        self._extremes: list[LoadBlock] = []
        self._slip = JointWalk(given.joint) if given.joint is not None else None
        self._stresses: StressWalk | None = None
        self._summed = any(
            load.block.samples * len(given.details) > KEPT_SAMPLES for load in job.loads_on(given)
        )
        self._details = tuple(_with_all_compression(item) if self._summed else item for item in given.details)

    def begin(self, load: LoadInput) -> None:
        self._loads.append(load)
        kept = {"keep": "histogram", "bins": SUMMED} if self._summed else {}
        self._stresses = StressWalk(self._details, **kept)
        if self._slip is not None:
            self._slip.begin(load.block)

    def feed(self, chunk) -> None:
        self._stresses.feed(chunk)
        if self._slip is not None:
            self._slip.feed(chunk)

    def end(self, outermost: LoadBlock) -> None:
        self._extremes.append(outermost)
        self._counts.append(self._stresses.counts())
        if self._slip is not None:
            self._slip.end()

    def result(self) -> JointResult:
        job, given = self._job, self.given
        blocks = [load.block for load in self._loads]
        outcome = self._slip.outcome() if self._slip is not None else None
        move = movement(outcome) if outcome is not None else None
        details = assess_details(
            self._details,
            self._counts,
            blocks=[(block.name, block.repeats) for block in blocks],
            standard=job.standard,
            basis=job.basis,
            design_life=job.design_life,
            slips=outcome.slips_in_service if outcome is not None else None,
            permanent=given.permanent,
        )
        records = [Record(x.name, x.occurrence.per_life, x.occurrence.covers_period) for x in self._loads]
        found = advise(
            Findings(outcome, move, details, records),
            blocks,
            standard=job.standard,
            basis=job.basis,
            extremes=self._extremes,
        )
        assumed = (*given.assumptions, *self._assumptions(), *(outcome.assumptions if outcome is not None else ()))
        return JointResult(given, outcome, move, details, found.warnings, found.alternatives, assumed)

    def _assumptions(self) -> tuple[str, ...]:
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


def _with_all_compression(detail: Detail) -> Detail:
    """The detail without the relief for compression, which would need the mean of every cycle."""
    return replace(detail, free_of_welding_stress="") if detail.free_of_welding_stress else detail
