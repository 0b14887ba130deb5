import tomllib

import numpy as np
import pytest

from cli.job_inspection import read_found, read_inspection
from cli.keys import Keys
from fatigue.cracks import EdgeCrack, SurfaceCrack
from fatigue.cycles import count_cycles
from fatigue.inspection_task import inspect_detail

SURFACE = """
[inspection]
crack = "surface"
thickness = "20 mm"
width = "300 mm"
bending_share = 0.3
toe = "40 mm"
law = "simplified"
condition = "as welded"
method = "magnetic particles"
source = "trial on a sample"
depth = "2 mm"
length = "10 mm"
highest_stress = "150 MPa"
residual_stress = "100 MPa"
toughness_MPa_sqrt_m = 120
toughness_share = 0.7
yield_strength = "355 MPa"
share = 0.5
planned = "1 year"
"""


def read(text):
    problems = []
    keys = Keys(tomllib.loads(text), "job.toml, joint[1].detail[2]", problems, file="job.toml")
    return read_inspection(keys), problems


def changed(old, new):
    assert old in SURFACE
    return SURFACE.replace(old, new)


def test_a_table_of_a_surface_crack_is_read_whole():
    task, problems = read(SURFACE)
    assert not problems
    assert isinstance(task.crack, SurfaceCrack) and task.crack.toe.reach == 40.0
    assert task.detection.size == (2.0, 5.0)
    assert task.failure.toughness == pytest.approx(120.0 * 1000**0.5)
    assert (task.share, task.planned, task.law.threshold) == (0.5, 1.0, 63.0)


def test_a_table_of_an_edge_crack_has_no_thickness_and_no_length():
    edge = changed('"surface"', '"edge"').replace('thickness = "20 mm"\n', "").replace('length = "10 mm"\n', "")
    task, problems = read(edge)
    assert not problems
    assert isinstance(task.crack, EdgeCrack) and task.detection.size == (2.0,)
    _, problems = read(changed('"surface"', '"edge"'))
    assert any("leave thickness away" in text for text in problems)
    assert any("leave length away" in text for text in problems)


def test_no_table_is_no_task():
    assert read("") == (None, [])


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("share = 0.5\n", "", "share is missing"),
        ('depth = "2 mm"\n', "", "depth is missing"),
        ('method = "magnetic particles"\n', "", "method is missing"),
        ('length = "10 mm"\n', "", "length is missing"),
        ('width = "300 mm"\n', "", "width is missing"),
        ("bending_share = 0.3", "bending_share = 1.3", "share of bending must lie from 0 to 1"),
        ('residual_stress = "100 MPa"\n', "", "residual_stress is missing"),
        ("toughness_share = 0.7\n", "", "give toughness and toughness_share together"),
        ('law = "simplified"', 'law = "simple"', "law of crack growth 'simple' is unknown"),
        ('"as welded"', '"free of welding stress"', "highest stress ratio of its cycles"),
        ('planned = "1 year"', 'plannd = "1 year"', "'plannd' is no key here; did you mean 'planned'"),
    ],
)
def test_refused_tables_say_what_and_where(old, new, words):
    task, problems = read(changed(old, new))
    assert task is None
    assert any(words in text and "detail[2].inspection" in text for text in problems), problems


def test_a_crack_that_was_found_is_read_and_leads_to_no_plan():
    task, _ = read(SURFACE)
    keys = Keys({"crack": "found"}, "job.toml", [])
    counts = [count_cycles(np.tile([0.0, 60.0, 10.0, 40.0], 50))]
    cracked = inspect_detail(2, "web", task, counts, repeats=[1e4], years=25.0, found=read_found(keys))
    assert cracked.plan is None and cracked.check.state == "not judged"
    assert "a crack was found in web" in cracked.check.reason
    assert read_found(Keys({}, "job.toml", [])) == "none"


def test_the_plan_of_a_detail_counts_every_block_over_the_design_life():
    task, _ = read(SURFACE)
    counts = [count_cycles(np.tile([0.0, 60.0, 10.0, 40.0], 50)), count_cycles(np.tile([0.0, 30.0], 50))]
    both = inspect_detail(2, "web", task, counts, repeats=[1e4, 1e4], years=25.0, found="none")
    first = inspect_detail(2, "web", task, counts[:1], repeats=[1e4], years=25.0, found="none")
    assert both.plan.interval < first.plan.interval
    assert both.check.demand == 1.0 and both.check.id == "inspection:2"
    # The first block has 100 cycles less its open ends, the second 50: over 25 years.
    assert both.plan.cycles == pytest.approx((100 + 50) * 1e4 / 25, rel=0.02)
