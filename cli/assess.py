"""Assesses a job: one pass over every load block for slip and fatigue, then advice; the result is the JSON contract."""

from dataclasses import dataclass
from pathlib import Path

from cli.contract import contract_of
from cli.job import Job, read_job
from cli.job_joint import JointInput
from cli.trace import LoadTrace
from fatigue.assessment import DetailOutcome, StressWalk, assess_details
from slip.advice import Findings, Record, Warning, warnings
from slip.alignment import Movement, movement
from slip.assessment import JointWalk, SlipOutcome
from slip.redesign import Alternative, alternatives
from slip.standards import standard


def assess_file(path: str | Path) -> dict:
    """Read a job file, assess it, and give the contract that `griplife assess --json` prints.

    Raises
    ------
    InputError
        With every problem of the job and its records.
    """
    return assess_job(read_job(path))


def assess_job(job: Job) -> dict:
    """Assess a job that has been read; the contract as a dict of plain values."""
    traces = {}
    for load in job.loads:
        trace = LoadTrace(load.block)
        for chunk in load.block.chunks():
            trace.feed(chunk)
        traces[load.name] = trace
    return contract_of(job, traces, assessed_joints(job))


def assessed_joints(job: Job) -> list["JointResult"]:
    """Everything found for each joint of a job, in their order."""
    return [_assessed(job, joint) for joint in job.joints]


@dataclass(frozen=True, eq=False)
class JointResult:
    """Everything found for one joint, as the contract needs it."""

    given: JointInput
    outcome: SlipOutcome | None
    movement: Movement | None
    details: tuple[DetailOutcome, ...]
    warnings: tuple[Warning, ...]
    alternatives: tuple[Alternative, ...]


def _assessed(job: Job, given: JointInput) -> JointResult:
    loads = job.loads_on(given)
    blocks = [load.block for load in loads]
    walk = JointWalk(given.joint) if given.joint is not None else None
    counts = []
    for block in blocks:
        stresses = StressWalk(given.details)
        if walk is not None:
            walk.begin(block)
        for chunk in block.chunks():
            stresses.feed(chunk)
            if walk is not None:
                walk.feed(chunk)
        if walk is not None:
            walk.end()
        counts.append(stresses.counts())
    outcome = walk.outcome() if walk is not None else None
    move = movement(outcome) if outcome is not None else None
    details = assess_details(
        given.details,
        counts,
        blocks=[(block.name, block.repeats) for block in blocks],
        standard=job.standard,
        concept=job.concept,
        consequence=job.consequence,
        design_life=job.design_life,
        slips=outcome.slips_in_service if outcome is not None else None,
        permanent=given.permanent,
    )
    package = standard(job.standard).__name__
    records = [Record(load.name, load.occurrence.per_life, load.occurrence.covers_period) for load in loads]
    found = warnings(Findings(outcome, move, details, records), package)
    instead = ()
    if outcome is not None and _slips_where_it_must_not(outcome):
        instead = alternatives(
            given.joint, blocks, axis=outcome.load_axis, concept=job.concept, consequence=job.consequence
        )
    return JointResult(given, outcome, move, details, found, instead)


def _slips_where_it_must_not(outcome) -> bool:
    if not outcome.joint.preloaded:
        return outcome.joint.slip != "allowed"
    return any(level.required and level.slips for level in outcome.levels.values())
