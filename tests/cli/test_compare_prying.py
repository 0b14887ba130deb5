"""`griplife compare` of bolts whose flange pries: every alternative has the flange made anew for its own bolt."""

from dataclasses import replace
from pathlib import Path

import pytest

from cli.assess import assess_file
from cli.compare import compare_job
from cli.compare_contract import comparison_of
from cli.compare_files import file_name, job_files
from cli.compare_rates import read_rates
from cli.job import read_job
from loadhistories.validation import InputError
from slip.alternatives.pried import along_web, pried_again, with_pattern
from slip.standards import standard

JOBS = Path(__file__).parents[1] / "jobs"
EN = 'flange_thickness = "22 mm", m = "45 mm", e = "40 mm", length = "80 mm", steel = "S355", bolt_length = "60 mm"'
STEEL = 'steel = { name = "A992", yield_strength = "50 ksi", ultimate_strength = "65 ksi" }'
AISC = f'flange_thickness = "0.9 in", m = "2 in", e = "1.6 in", length = "3 in", {STEEL}'
CASES = {"en1993": (EN, "150 kN"), "aisc": (AISC, "45 kip")}


@pytest.fixture(params=CASES)
def path(request, tmp_path):
    flange, pull = CASES[request.param]
    name = f"compare_{request.param}"
    text = (JOBS / f"{name}.toml").read_text(encoding="utf-8")
    text = text.replace("planes = 1\n", f"planes = 1\nprying = {{ {flange} }}\n")
    text = text.replace('because = "the load turns round"\n', f'because = "it"\npermanent = {{ Fz = "{pull}" }}\n')
    (tmp_path / f"{name}.csv").write_bytes((JOBS / f"{name}.csv").read_bytes())
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    return tmp_path / "job.toml"


def of_bolt(joint):
    """The flange made from the given sizes for the joint's own bolt."""
    rules = standard(joint.standard)
    bolt = rules.bolt(joint.size, joint.grade)
    return rules.prying(bolt, joint.flange.given, hole_width=rules.hole(bolt, joint.holes).length)


def test_alternatives_written_out_with_a_flange_give_the_same_numbers(path, tmp_path):
    job = read_job(path)
    found = compare_job(job, read_rates(None))
    (compared,) = comparison_of(job, found, read_rates(None), None)["joints"]
    told = {item["kind"]: item for item in compared["alternatives"]}
    for file, content in job_files(job, found, tmp_path).items():
        file.write_bytes(content)
    seen, others = 0, set()
    for rung in found[0].alternatives:
        joint = None if rung.proposal is None else rung.proposal.joint
        if joint is None or joint.flange is None:
            continue
        written = tmp_path / file_name(found[0], rung, several=False)
        again = read_job(written).joints[0].joint
        assert joint.flange == again.flange == of_bolt(joint)
        assert joint.prying_factor == again.prying_factor
        open_ = {check.id for check in rung.unjudged}
        mine = {item["id"]: item["utilisation"] for item in told[rung.kind]["checks"] if item["id"] not in open_}
        (result,) = assess_file(written)["joints"]
        assert {item["id"]: item["utilisation"] for item in result["checks"]} == mine
        assert mine["prying"] > 0.0
        seen, others = seen + 1, others | {joint.size} - {job.joints[0].joint.size}
    assert seen >= 3 and others


def test_a_larger_bolt_is_not_held_against_the_flange_of_the_smaller_one(path):
    """The bolt of the next size carries more, so flange and bolt together do."""
    joint = read_job(path).joints[0].joint
    sizes = {"M20": "M24", "7/8 in": "1 in"}
    larger = pried_again(replace(joint, size=sizes[joint.size]))
    assert larger.flange.bolt_resistance > joint.flange.bolt_resistance
    assert larger.flange.resistance > joint.flange.resistance


def test_rows_nearer_to_each_other_share_the_flange_and_columns_cannot_be_added(path):
    joint = read_job(path).joints[0].joint
    assert along_web(joint) == "pitch"
    near = with_pattern(joint, replace(joint.grid, rows=3, pitch=joint.grid.pitch / 2))
    assert near.flange.given.length == joint.flange.given.length / 2
    assert near.flange.resistance < joint.flange.resistance
    assert with_pattern(joint, replace(joint.grid, rows=3)).flange == joint.flange
    with pytest.raises(InputError, match=r"other columns, or another gauge, make another flange"):
        with_pattern(joint, replace(joint.grid, columns=3))
    unknown = replace(joint, flange=replace(joint.flange, given=replace(joint.flange.given, length=70.0)))
    with pytest.raises(InputError, match=r"which way the web runs along the bolts is not known"):
        with_pattern(unknown, replace(joint.grid, rows=3))
