import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fatigue.crack_toe import WeldToe
from fatigue.cracks import EdgeCrack, PlainCrack, SurfaceCrack
from fatigue.growth import grow, grow_in_order, yearly_growth, yearly_spectrum
from fatigue.growth_laws import constant_growth, growth_law, largest_start, own_law
from fatigue.inspection import critical_depth
from loadhistories.figures import recomputed
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "growth.toml").read_text())["case"]
METRE = math.sqrt(1000.0)
SIMPLE = growth_law("simplified", condition="as welded")
FREE = "free of welding stress"
LOW = "two-stage, low ratio, mean"
FLAT = own_law(1e-12, 1.8, threshold=0.0, source="hand")


def law_of(case):
    given = case["inputs"]
    return own_law(given["constant_in_metres"], given["exponent"], threshold=0.0, source="case", in_metres=True)


def depth_of(case):
    given = case["inputs"]
    return critical_depth(
        given["toughness_MPa_m05"] * METRE, factor=given["factor"], highest_stress=given["highest_stress"]
    )


def to_depth(limit):
    return [("limit", lambda depth, *rest: depth / limit)]


@pytest.mark.parametrize("name", ["edge_crack_in_a_wide_plate", "gusset_plate"])
def test_growth_to_fracture_is_that_of_stephens_and_others_and_of_the_course_problem(name):
    case = CASES[name]
    end = depth_of(case)
    assert end == pytest.approx(case["expected"]["critical"], rel=case["tolerance_rel"])
    result = constant_growth(
        law_of(case), factor=case["inputs"]["factor"], stress_range=case["inputs"]["highest_stress"],
        start=case["inputs"]["start"], end=end,
    )  # fmt: skip
    assert result.cycles == pytest.approx(case["expected"]["cycles"], rel=case["tolerance_rel"])


def test_largest_crack_at_the_start_is_that_of_askeland():
    case = CASES["largest_crack_at_the_start"]
    assert depth_of(case) == pytest.approx(case["expected"]["critical"], rel=case["tolerance_rel"])
    start = largest_start(
        law_of(case), factor=1.0, stress_range=500.0, cycles=case["inputs"]["cycles"], end=case["inputs"]["end"]
    )
    assert start == pytest.approx(case["expected"]["start"], rel=case["tolerance_rel"])


def test_largest_start_is_the_reverse_of_constant_growth():
    law = own_law(1e-12, 2.7, threshold=0.0, source="hand")
    cycles = constant_growth(law, factor=1.1, stress_range=60.0, start=0.8, end=9.0).cycles
    assert largest_start(law, factor=1.1, stress_range=60.0, cycles=cycles, end=9.0) == pytest.approx(0.8, rel=1e-9)


def test_stages_meet_where_bs_7910_says():
    case = CASES["transitions_of_two_stages"]
    for name, expected in case["expected"].items():
        free = {"condition": FREE, "ratio": 0.1}
        law = growth_law(name, **(free if "low" in name else {"condition": "as welded"}))
        assert law.transition == pytest.approx(expected, abs=case["tolerance_abs"])
        below, above = law.rate([law.transition * (1 - 1e-9), law.transition * (1 + 1e-9)])
        assert below == pytest.approx(above, rel=1e-6) and law.unconfirmed
        assert all(again == pytest.approx(stored) for _, stored, again in recomputed(law))


def test_simplified_law_is_the_same_in_metres_and_millimetres():
    case = CASES["simplified_law_in_metres"]
    given = case["inputs"]
    law = own_law(
        given["constant_in_metres"], given["exponent"], threshold=given["threshold_MPa_m05"], source="case",
        in_metres=True,
    )  # fmt: skip
    assert law.first_constant == pytest.approx(case["expected"]["constant"], rel=case["tolerance_rel"])
    assert law.threshold == pytest.approx(case["expected"]["threshold"], rel=case["tolerance_rel"])
    assert law.first_constant == pytest.approx(SIMPLE.first_constant, rel=case["tolerance_rel"])


def test_thresholds_are_those_of_bs_7910():
    case = CASES["thresholds"]
    assert SIMPLE.threshold == case["expected"]["welded"]
    for ratio, expected in zip(case["expected"]["ratios"], case["expected"]["unwelded"], strict=True):
        law = growth_law("simplified", condition=FREE, ratio=ratio)
        assert law.threshold == pytest.approx(expected, rel=1e-9)


def test_life_by_the_simplified_law_of_bs_7910_closed_and_integrated():
    case = CASES["life_by_the_simplified_law"]
    given = case["inputs"]
    for start, expected in (
        (given["start"], case["expected"]["cycles"]),
        (given["start_larger"], case["expected"]["cycles_from_larger"]),
    ):
        closed = constant_growth(SIMPLE, factor=1.0, stress_range=given["stress_range"], start=start, end=given["end"])
        assert closed.cycles == pytest.approx(expected, rel=case["tolerance_rel"])
        assert all(again == pytest.approx(stored) for _, stored, again in recomputed(closed))
        yearly = yearly_spectrum([given["stress_range"]], [2e6], years=20)
        path = grow(PlainCrack(1.0), SIMPLE, yearly, start=(start,), ends=to_depth(given["end"]))
        assert path.years[-1] * 1e5 == pytest.approx(expected, rel=1e-5) and path.end == "limit"
        assert path.sizes[-1, 0] == pytest.approx(given["end"], rel=1e-6)


@settings(max_examples=25)
@given(
    st.floats(1.5, 5.0).filter(lambda m: abs(m - 2.0) > 0.05), st.floats(0.3, 3.0), st.floats(1.5, 20.0),
    st.floats(20.0, 200.0),
)  # fmt: skip
def test_integration_agrees_with_the_closed_form_for_any_exponent(exponent, start, growth, stress_range):
    law = own_law(1e-12, exponent, threshold=0.0, source="hand")
    closed = constant_growth(law, factor=1.12, stress_range=stress_range, start=start, end=start * growth)
    path = grow(
        PlainCrack(1.12), law, yearly_spectrum([stress_range], [1.0], years=1), start=(start,),
        ends=to_depth(start * growth),
    )  # fmt: skip
    assert path.years[-1] == pytest.approx(closed.cycles, rel=1e-5)


def test_exponent_of_two_is_integrated_by_the_logarithm():
    law = own_law(1e-12, 2.0, threshold=0.0, source="hand")
    path = grow(PlainCrack(1.0), law, yearly_spectrum([50.0], [1e6], years=1), start=(1.0,), ends=to_depth(10.0))
    by_hand = math.log(10.0) / (1e-12 * 50.0**2 * math.pi)
    assert path.years[-1] * 1e6 == pytest.approx(by_hand, rel=1e-5)
    with pytest.raises(InputError, match="exponent of 2"):
        constant_growth(law, factor=1.0, stress_range=50.0, start=1.0, end=10.0)


@pytest.mark.parametrize(
    ("crack", "start"),
    [(EdgeCrack(80.0, 0.2, WeldToe(30.0)), (1.0,)), (SurfaceCrack(20.0, 400.0, 0.3, WeldToe(40.0)), (1.0, 2.5))],
)
def test_mixed_growth_agrees_with_growth_cycle_by_cycle(crack, start):
    law = own_law(3e-11, 3.0, threshold=90.0, source="fast law, for few cycles")
    ranges = np.tile([120.0, 40.0, 80.0, 30.0], 500)
    end = grow_in_order(crack, law, ranges, start=start)
    path = grow(crack, law, yearly_spectrum(ranges, np.ones(2000), years=1), start=start, ends=to_depth(end[0]))
    assert 1.3 * start[0] < end[0] < 8.0
    assert path.years[-1] == pytest.approx(1.0, rel=0.01)
    assert path.sizes[-1] == pytest.approx(end, rel=0.01)


def test_order_of_cycles_hardly_matters_where_growth_is_slow():
    ranges = np.repeat([140.0, 70.0], 500)
    law = own_law(1e-11, 3.0, threshold=0.0, source="hand")
    crack = EdgeCrack(80.0, 0.0)
    up, down = (grow_in_order(crack, law, order, start=(2.0,))[0] for order in (ranges, ranges[::-1]))
    assert up == pytest.approx(down, rel=1e-3) and up > 2.0


def test_twice_the_cycles_take_half_the_time_and_larger_ranges_take_less():
    crack, start = SurfaceCrack(20.0, 400.0, 0.3, WeldToe(40.0)), (1.0, 3.0)
    ranges = np.array([25.0, 40.0, 60.0, 90.0])

    def years(factor, number):
        spectrum = yearly_spectrum(ranges * factor, np.full(4, 1e4 * number), years=1)
        return grow(crack, SIMPLE, spectrum, start=start, ends=to_depth(8.0)).years[-1]

    assert years(1.0, 2.0) == pytest.approx(years(1.0, 1.0) / 2.0, rel=1e-4)
    assert years(1.1, 1.0) < years(1.0, 1.0) / 1.1**3


def test_ranges_below_the_threshold_do_not_grow_the_crack():
    quiet = 63.0 / math.sqrt(math.pi)
    spectrum = yearly_spectrum([0.99 * quiet], [1e6], years=1)
    assert yearly_growth(PlainCrack(1.0), SIMPLE, spectrum, (1.0,)).tolist() == [0.0]
    path = grow(PlainCrack(1.0), SIMPLE, spectrum, start=(1.0,), ends=to_depth(9.0))
    assert path.end == "" and path.sizes[-1, 0] == pytest.approx(1.0)
    louder = yearly_spectrum([1.01 * quiet], [1e6], years=1)
    assert grow(PlainCrack(1.0), SIMPLE, louder, start=(1.0,), ends=to_depth(9.0)).end == "limit"


def test_a_spectrum_of_many_ranges_is_joined_on_the_safe_side():
    rng = np.random.default_rng(7)
    ranges = rng.weibull(1.2, 20_000) * 25.0
    joined = yearly_spectrum(ranges, np.full(20_000, 50.0), years=10)
    assert len(joined.ranges) <= 400
    assert joined.per_year.sum() == pytest.approx(20_000 * 5.0)
    exact = SIMPLE.rate(2.0 * math.sqrt(math.pi) * ranges).sum() * 5.0
    assert exact <= yearly_growth(PlainCrack(2.0), SIMPLE, joined, (1.0,))[0] <= 1.03 * exact


def test_few_different_ranges_are_kept_as_they_are():
    spectrum = yearly_spectrum([30.0, 10.0, 30.0, 0.0], [1.0, 4.0, 0.5, 9.0], years=0.5)
    assert spectrum.ranges.tolist() == [10.0, 30.0] and spectrum.per_year.tolist() == [8.0, 3.0]


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: growth_law("simple", condition="as welded"), "law of crack growth 'simple' is unknown; did you mean"),
        (lambda: growth_law("simplified", condition="welded"), "condition of the part 'welded' is unknown"),
        (lambda: growth_law("simplified", condition="as welded", ratio=0.1), "takes no stress ratio"),
        (lambda: growth_law("simplified", condition=FREE), "highest stress ratio of its cycles"),
        (lambda: growth_law("simplified", condition=FREE, ratio=1.0), "stress ratio must be below 1"),
        (lambda: growth_law(LOW, condition="as welded"), "is for stress ratios below 0.5.*high"),
        (lambda: own_law(1e-12, 3.0, threshold=0.0, source=" "), "needs its source"),
        (lambda: own_law(-1e-12, 3.0, threshold=0.0, source="x"), "growth constant must be above 0"),
        (lambda: yearly_spectrum([1.0], [1.0, 2.0], years=1), "must have one shape"),
        (lambda: yearly_spectrum([1.0, math.nan], [1.0, 2.0], years=1), "stress range must be finite.*number 1"),
        (lambda: yearly_spectrum([0.0], [1.0], years=1), "needs cycles to grow"),
        (lambda: yearly_spectrum([9.0], [1.0], years=0), "years in which the cycles occur must be above 0"),
        (lambda: largest_start(FLAT, factor=1, stress_range=1e4, cycles=1e9, end=2.0), "no crack above 0 mm"),
        (lambda: constant_growth(SIMPLE, factor=1, stress_range=9, start=1, end=9), "below the threshold"),
        (lambda: constant_growth(SIMPLE, factor=1, stress_range=90, start=9, end=1), "end must be above the start"),
        (lambda: grow_in_order(PlainCrack(1.0), SIMPLE, [-1.0], start=(1.0,)), "none below 0"),
    ],
)
def test_refused_growth_says_why(make, words):
    with pytest.raises(InputError, match=words):
        make()


def test_growth_in_order_beyond_the_end_of_a_crack_is_refused():
    law = own_law(1e-8, 3.0, threshold=0.0, source="very fast")
    with pytest.raises(InputError, match=r"meets its end after .* of 5000 cycles: end of the range"):
        grow_in_order(EdgeCrack(40.0, 0.0), law, np.full(5000, 100.0), start=(1.0,))


def test_a_crack_that_is_at_its_end_from_the_start_is_refused():
    with pytest.raises(InputError, match="at its end from the start: limit"):
        grow(PlainCrack(1.0), SIMPLE, yearly_spectrum([90.0], [1.0], years=1), start=(9.0,), ends=to_depth(9.0))
