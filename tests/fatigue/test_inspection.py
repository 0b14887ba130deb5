import math

import numpy as np
import pytest

from fatigue.crack_toe import WeldToe
from fatigue.cracks import EdgeCrack, PlainCrack, SurfaceCrack
from fatigue.growth import yearly_spectrum
from fatigue.growth_laws import constant_growth, growth_law
from fatigue.inspection import (
    Detection,
    Failure,
    cracked_check,
    critical_depth,
    inspection_check,
    inspection_plan,
    refuse_cracked,
)
from loadhistories.figures import recomputed
from loadhistories.validation import InputError

SIMPLE = growth_law("simplified", condition="as welded")
ONE_RANGE = yearly_spectrum([80.0], [1e5], years=1)
TWO_MM = Detection("magnetic particles, paint removed", (2.0,), "trial on a sample")
LONG = Detection("magnetic particles, paint removed", (2.0, 5.0), "trial on a sample")
PLATE = SurfaceCrack(20.0, 400.0, 0.3, WeldToe(40.0))


def plan(crack=PLATE, spectrum=ONE_RANGE, detection=LONG, failure=None, share=0.5, found="none", law=SIMPLE):
    failure = failure or Failure(150.0, 0.0, toughness=3000.0, toughness_share=0.7, yield_strength=355.0)
    return inspection_plan(
        crack, law, spectrum, detection=detection, failure=failure, share=share, found=found, place="job.toml, detail 2"
    )


def test_interval_is_the_stated_share_of_the_closed_form_of_paris():
    end = critical_depth(0.7 * 2500.0, factor=1.12, highest_stress=200.0)
    cycles = constant_growth(SIMPLE, factor=1.12, stress_range=80.0, start=2.0, end=end).cycles
    failure = Failure(200.0, 0.0, toughness=2500.0, toughness_share=0.7)
    result = plan(PlainCrack(1.12), detection=TWO_MM, failure=failure, share=1 / 3)
    assert result.critical_by == "brittle fracture"
    assert result.critical_depth == pytest.approx(end, rel=1e-6)
    assert result.time == pytest.approx(cycles / 1e5, rel=1e-5)
    assert result.interval == pytest.approx(cycles / 3e5, rel=1e-5)
    assert result.cycles == result.growing_cycles == 1e5
    assert result.detectable_half_length is None and result.critical_half_length is None


def test_locked_in_stress_and_low_toughness_make_the_critical_crack_smaller():
    sizes = [
        plan(failure=Failure(150.0, locked, toughness=k, toughness_share=0.7)).critical_depth
        for locked, k in ((0.0, 6000.0), (355.0, 6000.0), (355.0, 3500.0))
    ]
    assert sizes[0] > sizes[1] > sizes[2]


def test_thin_wide_plate_ends_by_a_crack_through_it_and_says_that_toughness_is_missing():
    result = plan(SurfaceCrack(8.0, 2000.0, 0.0), failure=Failure(60.0, 0.0, yield_strength=355.0))
    assert result.critical_by == "crack through the plate"
    assert result.critical_depth == pytest.approx(8.0, rel=1e-6)
    assert any("no toughness was given" in remark for remark in result.remarks)


def test_a_highly_stressed_section_ends_by_yielding():
    result = plan(EdgeCrack(60.0, 0.0), detection=TWO_MM, failure=Failure(280.0, 0.0, yield_strength=300.0))
    assert result.critical_by == "yielding of the section that is left"
    lost = result.critical_depth / 60.0
    free = 3 * lost
    by_hand = (free + math.hypot(free, 3 * (1 - lost))) / (3 * (1 - lost) ** 2)
    assert 280.0 * by_hand == pytest.approx(300.0, rel=1e-5)


def test_a_quiet_spectrum_gives_no_interval_and_is_not_judged():
    result = plan(spectrum=yearly_spectrum([8.0], [1e6], years=1))
    assert result.time is None and result.interval is None and result.critical_depth is None
    assert result.growing_cycles == 0.0
    assert "below the threshold" in result.reason
    check = inspection_check("inspection:1", "web stiffener", result, planned=2.0)
    assert check.state == "not judged" and "below the threshold" in check.reason


def test_the_planned_interval_is_judged_against_the_longest_one():
    result = plan()
    shorter, longer = (
        inspection_check("inspection:1", "web stiffener", result, planned=share * result.interval)
        for share in (0.99, 1.01)
    )
    assert (shorter.state, longer.state) == ("holds", "fails")
    assert shorter.unit == "year" and result in shorter.working


def test_two_stages_and_the_smaller_detectable_crack_change_the_interval_the_right_way():
    finer = Detection("eddy current", (1.0, 2.5), "trial on a sample")
    assert plan(detection=finer).interval > plan().interval
    mean, upper = (
        plan(law=growth_law(f"two-stage, high ratio, {level}", condition="as welded")).interval
        for level in ("mean", "mean + 2 SD")
    )
    assert mean > upper


def test_every_formula_of_a_plan_gives_its_number():
    result = plan(failure=Failure(150.0, 355.0, toughness=6000.0, toughness_share=0.7, yield_strength=355.0))
    for part in (result, result.law, *result.first, *result.last):
        for figure, stored, again in recomputed(part):
            assert again == pytest.approx(stored, rel=1e-12), figure.symbol
    assert len(result.last) == 2
    assert max(item.intensity / item.limit for item in result.last) == pytest.approx(1.0, rel=1e-6)


def test_sizes_grow_with_time_from_the_detectable_to_the_critical_one():
    result = plan()
    assert result.years[0] == 0.0 and result.sizes[0] == pytest.approx([2.0, 5.0])
    assert (np.diff(result.years) > 0).all() and (np.diff(result.sizes, axis=0) >= 0).all()
    assert result.sizes[-1] == pytest.approx([result.critical_depth, result.critical_half_length])


def test_remarks_say_whose_figure_the_detectable_size_is_and_that_constants_are_from_memory():
    remarks = " ".join(plan().remarks)
    assert "figure of the user's for magnetic particles" in remarks and "trial on a sample" in remarks
    assert "no probability of detection is built in" in remarks
    assert "from memory: confirm against your copy" in remarks


def test_a_found_crack_gets_no_life_but_words_on_what_to_do():
    with pytest.raises(InputError) as refusal:
        plan(found="found")
    text = str(refusal.value)
    for words in ("a crack was found in this detail", "no life", "Make the place safe", "like detail", "job.toml"):
        assert words in text
    check = cracked_check("fatigue:2", "web stiffener")
    assert check.state == "not judged" and "a crack was found in web stiffener" in check.reason
    refuse_cracked("web stiffener", "none")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"share": 1.0}, "share of the time between inspections must be below 1, got 1"),
        ({"share": 0.0}, "share of the time between inspections must be above 0"),
        ({"found": "maybe"}, "crack 'maybe' is unknown; known: none, found"),
        ({"detection": TWO_MM}, "detectable size must have depth and half length"),
        ({"detection": Detection("visual", (25.0, 60.0), "x")}, "at its end already.*inspection by visual cannot"),
        ({"detection": Detection("x", (6.0, 5.0), "x")}, "round crack"),
        ({"failure": Failure(150.0, 0.0, yield_strength=140.0)}, "150 MPa, is not below the yield strength, 140 MPa"),
        ({"crack": PlainCrack(1.0), "detection": TWO_MM, "failure": Failure(90.0, 0.0)}, "nothing ends this crack"),
    ],
)
def test_refused_plans_say_why(change, words):
    with pytest.raises(InputError, match=words):
        plan(**change)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Failure(150.0, 0.0, toughness=3000.0), "give toughness and toughness_share together"),
        (lambda: Failure(150.0, 0.0, toughness=3000.0, toughness_share=1.5), "must not be above 1, got 1.5"),
        (lambda: Failure(0.0, 0.0), "highest stress must be above 0 MPa"),
        (lambda: Failure(10.0, -1.0), "residual stress must not be below 0 MPa"),
        (lambda: Detection("", (2.0,), "trial"), "needs its method: none is built in"),
        (lambda: Detection("eddy current", (2.0,), ""), "needs its source: none is built in"),
        (lambda: Detection("eddy current", (0.0,), "trial"), "detectable size must be above 0 mm"),
    ],
)
def test_refused_figures_of_the_user_say_why(make, words):
    with pytest.raises(InputError, match=words):
        make()
