"""The inspection of a detail through the whole job: from its cycles to the longest time between two looks."""

from importlib.resources import files

import pytest

from cli.assess import assess_file
from fatigue.growth import yearly_spectrum
from fatigue.inspection import inspection_plan
from loadhistories.validation import InputError

JOB = """title = "inspection"
standard = "EN 1993"
design_life = "25 year"
[[load]]
name = "start and stop"
history = "record.csv"
occurs = "40/day"
[load.components]
Fy = { column = "Vertical" }
[[joint]]
name = "bracket"
[[joint.detail]]
name = "toe"
category = "8.4-7a"
stress = { Fy = "1.0 MPa/kN" }
"""
INSPECTION = (
    'inspection = { crack = "surface", thickness = "20 mm", width = "300 mm", bending_share = 0.3, toe = "40 mm", '
    'law = "simplified", condition = "as welded", method = "magnetic particles", source = "trial on a sample", '
    'depth = "2 mm", length = "10 mm", highest_stress = "150 MPa", residual_stress = "355 MPa", '
    'toughness_MPa_sqrt_m = 120, toughness_share = 0.7, yield_strength = "355 MPa", share = 0.5, '
    'planned = "PLANNED" }\n'
)


@pytest.fixture
def detail(tmp_path):
    record = files("loadhistories.samples").joinpath("drive_bracket_start_stop.csv").read_bytes()
    (tmp_path / "record.csv").write_bytes(record)

    def assessed(text):
        (tmp_path / "job.toml").write_text(JOB + text, encoding="utf-8")
        return assess_file(tmp_path / "job.toml")["joints"][0]["details"][0]

    return assessed


def test_a_planned_interval_is_checked_against_the_one_that_growth_allows(detail):
    found = detail(INSPECTION.replace("PLANNED", "2 year"))
    plan = found["inspection"]
    assert plan["interval_years"] == pytest.approx(0.5 * plan["years_to_critical"])
    check = next(item for item in found["checks"] if item["id"] == "inspection:1")
    assert check["utilisation"] == pytest.approx(2 / plan["interval_years"])
    assert (check["state"], found["state"]) == ("holds", "holds")
    late = detail(INSPECTION.replace("PLANNED", "20 year"))
    assert late["state"] == "fails"


def test_the_plan_of_a_job_is_that_of_the_engine_on_the_same_cycles(detail, tmp_path):
    from cli.job import read_job

    found = detail(INSPECTION.replace("PLANNED", "2 year"))
    job = read_job(tmp_path / "job.toml")
    task = job.joints[0].details[0].inspection
    from fatigue.cycles import count_cycles

    stress = next(job.loads[0].block.chunks())[1] / 1000
    table = count_cycles(stress).repeated(job.loads[0].block.repeats)
    spectrum = yearly_spectrum(table.ranges, table.counts, years=25.0)
    plan = inspection_plan(
        task.crack, task.law, spectrum, detection=task.detection, failure=task.failure, share=0.5, found="none"
    )
    assert found["inspection"]["years_to_critical"] == pytest.approx(plan.time, rel=1e-9)


def test_a_found_crack_leaves_no_life_and_no_interval_but_what_to_do(detail):
    found = detail('crack = "found"\n' + INSPECTION.replace("PLANNED", "2 year"))
    assert (found["state"], found["damage"], found["life_years"]) == ("not judged", None, None)
    assert "interval_years" not in found["inspection"]
    assert "no life, remaining life or inspection interval is stated" in found["inspection"]["reason"]


def test_without_a_statement_there_is_no_inspection(detail):
    assert "inspection" not in detail("")


def test_the_share_between_two_inspections_has_no_default(detail):
    with pytest.raises(InputError, match=r"share is missing"):
        detail(INSPECTION.replace("share = 0.5, ", ""))
