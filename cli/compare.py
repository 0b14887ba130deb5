"""Compares a joint with its alternatives: each is designed by the ladder, written as a job and assessed as that job."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

from cli.assess import JointResult, Outermost, assessed_joints
from cli.compare_documents import table_of
from cli.compare_rates import OwnRates
from cli.contract import joint_of
from cli.job import Job
from cli.job_joint import JointInput
from cli.progress import Progress
from loadhistories.figures import HOLDS
from slip.alternatives.alternative import Alternative, Judged, Proposal, Situation
from slip.alternatives.ladder import RUNGS, ladder

# Blocks of more samples are reduced to their outermost load points while patterns and sizes are searched.
SHORT = 2000
# From so many samples on it is told that each candidate walks them.
LONG = 100_000
ON_BOLTS = ("tensile stress area", "shank", "net")


@dataclass(frozen=True, eq=False)
class Compared:
    """One joint with its alternatives, in the order of the ladder.

    Attributes
    ----------
    given : JointInput
    result : JointResult
        Of the joint as it is.
    contract : dict
        Of the same.
    situation : Situation or None
        None where nothing of it can be varied; `why_not` then says why.
    """

    given: JointInput
    result: JointResult
    contract: dict
    situation: Situation | None
    alternatives: tuple[Alternative, ...]
    why_not: str = ""


def compare_job(
    job: Job, own: OwnRates, *, tell: Callable[[str], None] = lambda text: None, progress: Progress | None = None
) -> tuple[Compared, ...]:
    """Every joint of a job with its alternatives.

    Grip and strength of every candidate are looked at first, under the outermost load points, which is exact. One that
    passes is assessed under the whole records: another stress history has other cycles, and how often a joint slips is
    in no reduced record.

    Parameters
    ----------
    tell : callable
        Told what is looked at now.
    progress : Progress, optional
        Of as many items as `steps_of` says.
    """
    shown = Progress(0, "", quiet=True) if progress is None else progress
    (results,) = (assessed_joints(job, progress=shown.within) for _ in shown.each([job]))
    pairs = zip(job.joints, results, strict=True)
    return tuple(_compared(job, given, result, own, tell, shown) for given, result in pairs)


def steps_of(job: Job) -> int:
    """Steps of the comparison of a job: it as given, and each rung of the ladder for each joint that can be varied."""
    return 1 + len(RUNGS) * sum(not _why_not(given) for given in job.joints)


def walked_again(job: Job) -> int:
    """Samples that each candidate walks for each joint, where they are many; else 0."""
    samples = sum(load.block.samples for load in job.loads)
    return samples if samples > LONG else 0


def _compared(
    job: Job, given: JointInput, result: JointResult, own: OwnRates, tell, progress: Progress
) -> Compared:
    contract = joint_of(result)
    why_not = _why_not(given)
    if why_not:
        return Compared(given, result, contract, None, (), why_not)
    loads = job.loads_on(given)
    blocks = [load.block for load in loads]
    alone = replace(job, joints=(given,), loads=loads, frames=())
    situation = Situation(
        given.joint, blocks, Outermost(blocks, short=SHORT), result.outcome.load_axis, job.basis, given.details,
        partial(_judge, alone, given, _past_mending(result), progress), own.wishes,
    )  # fmt: skip
    tell(given.name)
    return Compared(given, result, contract, situation, ladder(situation, over=progress.each))


def _why_not(given: JointInput) -> str:
    if given.joint is None:
        return "it has no bolts that carry: there is nothing to make otherwise here"
    if given.welded is not None:
        return "it has welds beside its bolts; take the [[joint.weld]] away to have the bolts compared"
    if given.parts is not None:
        return "it has a key or dowels beside its bolts; take them away to have the bolts compared"
    return ""


def _past_mending(result: JointResult) -> frozenset[str]:
    """Details that do not hold in the joint as given and that no change of its bolts can mend."""
    return frozenset(
        item.detail.name for item in result.details
        if item.state != HOLDS and item.instead_of is None and not item.detail.relies_on
        and item.detail.recipe.on not in ON_BOLTS and item.detail.row.stress_on not in ON_BOLTS
    )  # fmt: skip


def _judge(
    job: Job, given: JointInput, past_mending: frozenset[str], progress: Progress, proposal: Proposal
) -> Judged:
    """The proposal as a job of its own, assessed like any other."""
    other = given.again(table_of(given.table, given.joint, proposal))
    (result,) = assessed_joints(replace(job, joints=(other,)), progress=progress.within)
    contract = joint_of(result)
    against = [_shown(check) for check in contract["checks"] if check["state"] != HOLDS]
    failing = [detail for detail in contract["details"] if detail["state"] != HOLDS]
    beyond = bool(failing) and not against and all(item["name"] in past_mending for item in failing)
    against += [_shown_detail(item) for item in failing]
    used = [item["utilisation"] for item in (*contract["checks"], *contract["details"])]
    largest = max((value for value in used if value is not None), default=None)
    return Judged(contract["state"], largest, (), tuple(against), beyond, contract)


def _shown(check: dict) -> str:
    return f"{check['title']}{_number(check['utilisation'])}{_because(check)}"


def _shown_detail(item: dict) -> str:
    return f"fatigue of {item['name']}{_number(item.get('damage'))}{_because(item)}"


def _number(value: float | None) -> str:
    return "" if value is None else f" {value:.3g}"


def _because(item: dict) -> str:
    return f" ({item['reason']})" if item["reason"] else ""
