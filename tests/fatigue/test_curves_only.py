import numpy as np
import pytest

from fatigue.assessment import StressWalk, assess_details
from fatigue.curves_only import own_safety
from fatigue.detail import detail
from fatigue.standards import curves_only, judging, names
from fatigue.stress import stress_per_component
from loadhistories.blocks import block_of_arrays
from loadhistories.figures import recomputed
from loadhistories.occurrence import YEAR
from loadhistories.validation import InputError

UNIT = stress_per_component({"Fy": 1e-3})


def made(**changes):
    given = {
        "standard": "DNV-RP-C203",
        "category": "F1",
        "thickness": 32.0,
        "recipe": UNIT,
        "safety": own_safety(design_fatigue_factor=3),
    }
    return detail("plate", **(given | changes))


def judged(item, force, repeats):
    block = block_of_arrays("lifts", {"Fy": np.array([0.0, force, 0.0])}, step=1.0, repeats=repeats)
    walk = StressWalk([item])
    for chunk in block.chunks():
        walk.feed(chunk)
    (outcome,) = assess_details(
        [item],
        [walk.counts()],
        blocks=[("lifts", repeats)],
        standard="EN 1993",
        basis={"concept": "safe life", "consequence": "high"},
        design_life=25 * YEAR,
        slips=None,
        permanent=np.zeros(6),
    )
    return outcome


def test_sources_of_curves_judge_no_job_by_themselves():
    only = {name for name in names() if curves_only(name)}
    assert only == {"IIW", "BS 7608", "DNV-RP-C203"}
    assert only.isdisjoint(judging())
    assert "EN 1993" in judging()


def test_one_range_is_judged_as_worked_by_hand_with_a_design_fatigue_factor():
    """50 MPa at 32 mm: log10 N = 11.699 - 3 log10(50 (32/25)^0.25), so N = 3.324e6; 5e5 cycles make D = 0.1504."""
    outcome = judged(made(), 50e3, 5e5)
    cycles = 10**11.699 / (50 * (32 / 25) ** 0.25) ** 3
    result = outcome.result
    assert result.damage == pytest.approx(5e5 / cycles, rel=1e-4)
    assert result.damage == pytest.approx(0.1504, abs=1e-4)
    assert (outcome.check.demand, outcome.check.resistance) == (result.damage, pytest.approx(1 / 3))
    assert outcome.check.utilisation == pytest.approx(3 * result.damage)
    assert result.life == pytest.approx(25 / (3 * result.damage))
    assert outcome.check.clause == "DNV-RP-C203:2011, Table 2-1, with factors as given"
    assert outcome.state == "holds"
    for figure, stored, again in recomputed(result):
        assert again == pytest.approx(stored, rel=1e-12), figure.symbol


def test_damage_times_design_fatigue_factor_above_one_fails():
    outcome = judged(made(), 50e3, 1.2e6)
    assert outcome.result.damage < 1.0
    assert (outcome.state, outcome.result.life_text) == ("fails", "23.1 years at a damage of 0.333")


def test_partial_factor_divides_the_strength_and_not_the_damage():
    plain = judged(made(safety=own_safety(gamma_M=1.0)), 50e3, 5e5).result
    factored = judged(made(safety=own_safety(gamma_M=1.25)), 50e3, 5e5).result
    assert factored.design_strength == pytest.approx(plain.design_strength / 1.25)
    assert factored.damage == pytest.approx(1.25**3 * plain.damage, rel=1e-9)


def test_detail_without_thickness_is_not_judged():
    bare = detail("plate", standard="DNV-RP-C203", category="F1", recipe=UNIT, safety=own_safety(1.2))
    outcome = judged(bare, 1e3, 1.0)
    assert outcome.state == "not judged"
    assert 'give it as in thickness = "20 mm"' in outcome.reason


def test_compression_counts_in_full_on_these_curves():
    relieved = made(free_of_welding_stress="stress-relieved")
    outcome = judged(relieved, 50e3, 1.0)
    assert outcome.state == "not judged"
    assert "counts every range in full: leave free_of_welding_stress out" in outcome.reason


def test_damage_by_ranges_above_the_curve_is_not_judged():
    """500 MPa lasts 3324 cycles."""
    outcome = judged(made(), 500e3, 100.0)
    assert outcome.state == "not judged"
    assert outcome.check.reason.startswith("100% of the damage comes from stress ranges so large that the detail would")


@pytest.mark.parametrize(
    ("make", "wording"),
    [
        (lambda: own_safety(), r"these curves bring no safety of their own: give gamma_M = 1.25"),
        (lambda: own_safety(gamma_M=0.9), r"gamma_M must not be below 1, got 0.9"),
        (lambda: own_safety(design_fatigue_factor=-3), r"design_fatigue_factor must be above 0, got -3"),
        (lambda: made(safety=None), r"detail 'plate': DNV-RP-C203 gives a curve without safety: give gamma_M or"),
        (
            lambda: made(standard="EN 1993", category=71),
            r"detail 'plate': EN 1993 has its own safety factors; take those given away",
        ),
        (lambda: made(conditions={"edition": 1993}), r"condition of DNV-RP-C203 'edition' is unknown"),
        (lambda: made(category="8.4-1a"), r"DNV-RP-C203 curve '8.4-1a' is unknown"),
    ],
)
def test_refused_detail_says_what_would_do(make, wording):
    with pytest.raises(InputError, match=wording):
        make()
