"""What `--verify` does: counts the stress history of every detail again by an independent package."""

import numpy as np

from cli.job import Job
from fatigue.cycles import count_cycles, verify


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
                for row in detail.histories:
                    stress = np.concatenate([row @ chunk for chunk in load.block.chunks()])
                    cycles += verify(stress, count_cycles(stress)).cycles
                    histories += 1
    if not histories:
        return "nothing to verify: the job has no details"
    number = f"{cycles:.1f}".removesuffix(".0")
    counted = "1 stress history" if histories == 1 else f"{histories} stress histories"
    return f"verified: an independent count of {counted} found the same {number} cycles"
