"""What holds for a demand holds for a smaller one: alternatives of `griplife compare` in the three standards."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cli.assess import assessed_joints
from cli.compare import compare_job
from cli.compare_documents import table_of
from cli.compare_rates import read_rates
from cli.contract import joint_of
from cli.job import read_job
from cli.job_changes import change_of
from loadhistories.figures import HOLDS
from slip.alternatives.ladder import RUNGS

JOBS = Path(__file__).parents[1] / "jobs"
RULES = ("never", "not in service", "allowed")
# What the jobs ask for, which is relaxed.
SLIP = {"en1993": "never", "as4100": "not in service", "aisc": "never"}
OCCURS = {"en1993": 20_000, "as4100": 5_000, "aisc": 25_000}
NEAR = 1e-9


@cache
def proposals(standard):
    """Every proposal of the ladder by its rung, with what was found of it."""
    (found,) = compare_job(read_job(JOBS / f"compare_{standard}.toml"), read_rates(None))
    return {item.kind: (item.proposal, item.judged) for item in found.alternatives if item.proposal is not None}


def judged(standard, proposal, *changes):
    """The proposal assessed with changed keys of the job."""
    job = read_job(JOBS / f"compare_{standard}.toml", [change_of(text) for text in changes])
    asked = job.joints[0]
    if proposal.joint is not None:
        proposal = replace(proposal, joint=replace(proposal.joint, slip=asked.joint.slip))
    table = table_of(asked.table, asked.joint, proposal)
    (result,) = assessed_joints(replace(job, joints=(asked.again(table),)))
    return joint_of(result)


def uses(contract):
    checks = {item["id"]: item["utilisation"] for item in contract["checks"]}
    return checks | {item["name"]: item["damage"] for item in contract["details"]}


@pytest.mark.parametrize("standard", ["en1993", "as4100", "aisc"])
@settings(max_examples=10)
@given(data=st.data())
def test_relaxing_a_demand_never_makes_an_alternative_fail(standard, data):
    """Smaller loads, fewer of them, less asked of slip: no state and no use becomes worse."""
    offered = proposals(standard)
    proposal, strict = offered[data.draw(st.sampled_from([name for name in RUNGS if name in offered]))]
    asked, occurs = RULES.index(SLIP[standard]), OCCURS[standard]
    share, times = data.draw(st.floats(0.05, 1.0)), data.draw(st.integers(occurs // 20, occurs))
    rule = data.draw(st.sampled_from(RULES[asked:]))
    relaxed = judged(
        standard, proposal, f"load.components.Fy.factor={share!r}", f"load.occurs={times}", f"joint.slip={rule}"
    )
    before, after = uses(strict.result), uses(relaxed)
    for name in before.keys() & after.keys():
        if before[name] is not None and after[name] is not None:
            assert after[name] <= before[name] * (1.0 + NEAR), name
    if strict.state == HOLDS:
        assert relaxed["state"] == HOLDS
