"""What `--verify` does: counts the stress history of every detail again by an independent package."""

import numpy as np

from cli.job import Job
from cli.job_joint import JointInput
from cli.job_sequence import blocks_of
from fatigue.cycles import count_cycles, verify
from fatigue.sequence import joined_count


def verify_job(job: Job) -> str:
    """Count every detail's stress history under every load twice and say that the same cycles were found.

    Raises
    ------
    CountMismatch
        The two counts differ: a fault of ours.
    """
    histories, cycles = 0, 0.0
    for joint in job.joints:
        for load in job.loads_on(joint):
            for detail in joint.details:
                for row in detail.histories if load.block.timed else ():
                    stress = np.concatenate([row @ chunk for chunk in load.block.chunks()])
                    cycles += verify(stress, count_cycles(stress)).cycles
                    histories += 1
        cycles, histories = _sequences(job, joint, cycles, histories)
    if not histories:
        given = any(not load.block.timed for load in job.loads) and any(joint.details for joint in job.joints)
        return f"nothing to verify: the job has {'only cycles that were counted elsewhere' if given else 'no details'}"
    number = f"{cycles:.1f}".removesuffix(".0")
    counted = "1 stress history" if histories == 1 else f"{histories} stress histories"
    return f"verified: an independent count of {counted} found the same {number} cycles"


def _sequences(job: Job, joint: JointInput, cycles: float, histories: int) -> tuple[float, int]:
    """The joined counts of every sequence against the count of its loads really put one after the other."""
    loads = job.loads_on(joint)
    for item in job.sequences_on(joint):
        blocks = [loads[place].block for place in blocks_of(item, loads).members]
        for detail in joint.details:
            for row in detail.histories:
                parts = [np.concatenate([row @ chunk for chunk in block.chunks()]) for block in blocks]
                joined = joined_count([count_cycles(part) for part in parts])
                cycles += verify(np.concatenate(parts), joined).cycles
                histories += 1
    return cycles, histories
