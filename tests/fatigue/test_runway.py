import math
import tomllib
from pathlib import Path

import pytest

from fatigue.crane_duty import (
    class_of_cranes_together,
    cycles_class,
    duty_class,
    dynamic_factors,
    equivalent_wheel_load,
    load_spectrum_factor,
    s_class,
    spectrum_class,
    wheel_passages,
)
from fatigue.runway import (
    cranes_check,
    cranes_together,
    effective_flange_width,
    equivalent_check,
    equivalent_damage,
    exemption_hint,
    needs_web_bending,
    web_bending,
    wheel_pressure,
)
from fatigue.standards import standard
from loadhistories.figures import recomputed
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "runway.toml").read_text())["case"]
HC2 = dynamic_factors("HC2", hoisting_speed=100.0, own=1.1)
FACTORS = standard("EN 1993").partial_factors("damage tolerant", "high")


def assert_formulas(*results):
    for result in results:
        for figure, stored, again in recomputed(result):
            assert again == pytest.approx(stored, rel=1e-12), figure.symbol


def damage(normal, shear, **change):
    given = {"normal_category": 71, "shear_category": 80, "factors": FACTORS} | change
    return equivalent_damage(normal_range=normal, shear_range=shear, **given)


def test_equivalent_factors_are_those_of_en_1991_3_table_2_12_and_of_their_closed_form():
    case = CASES["equivalent_factors"]
    for index in range(10):
        found = s_class(f"S{index}")
        assert found.normal == case["expected"]["normal"][index]
        assert found.shear == case["expected"]["shear"][index]
        assert found.normal_exact == pytest.approx(found.normal, abs=case["tolerance_abs"])
        assert found.shear_exact == pytest.approx(found.shear, abs=case["tolerance_abs"])
        assert found.unconfirmed
        assert_formulas(found)


def test_s_class_of_a_duty_is_that_of_en_1991_3_table_2_11():
    for duty, expected in CASES["s_class_of_duty"]["expected"].items():
        spectrum, cycles = duty.split()
        found = duty_class(cycles, spectrum)
        assert found.name == expected
        assert_formulas(found)


def test_classes_of_cycles_and_spectrum_hold_up_to_their_bound():
    assert [cycles_class(n) for n in (1, 1.6e4, 1.6001e4, 2.5e5, 8e6)] == ["U0", "U0", "U1", "U4", "U9"]
    assert [spectrum_class(k) for k in (0.01, 0.0313, 0.04, 0.25, 1.0)] == ["Q0", "Q0", "Q1", "Q3", "Q5"]


def test_load_spectrum_factor_by_hand():
    factor = load_spectrum_factor([100e3, 50e3, 0.0], [10.0, 80.0, 10.0], safe_working_load=100e3)
    assert factor == pytest.approx(0.1 + 0.8 * 0.125)
    assert load_spectrum_factor([100e3], [7.0], safe_working_load=100e3) == 1.0


def test_dynamic_factors_for_fatigue_are_those_of_en_1991_3_2_12_1():
    expected = CASES["dynamic_factors"]["expected"]
    assert HC2.hoist == pytest.approx(expected["hoist"], rel=1e-9)
    assert HC2.own_fatigue == pytest.approx(expected["own_fatigue"], rel=1e-9)
    assert HC2.hoist_fatigue == pytest.approx(expected["hoist_fatigue"], rel=1e-9)
    assert_formulas(HC2)


def test_equivalent_wheel_load_is_that_of_en_1991_3_equation_2_16():
    case = CASES["equivalent_wheel_load"]
    load = equivalent_wheel_load(0.0, case["inputs"]["hoist"], factors=HC2, duty=s_class("S4"))
    assert load.normal == pytest.approx(case["expected"]["normal"], rel=1e-9)
    assert load.shear == pytest.approx(case["expected"]["shear"], rel=1e-9)
    both = equivalent_wheel_load(40e3, 60e3, factors=HC2, duty=s_class("S4"))
    assert both.normal == pytest.approx(0.5 * (1.05 * 40e3 + 1.067 * 60e3))
    assert_formulas(load, both)


def test_stress_under_a_wheel_is_that_of_en_1993_6_5_7():
    case = CASES["stress_under_a_wheel"]
    given, expected, rel = case["inputs"], case["expected"], case["tolerance_rel"]
    web = {"web_thickness": given["web_thickness"]}
    fixed = wheel_pressure(given["wheel_load"], seat="fixed", rail_and_flange=given["inertia"], **web)
    assert fixed.length == pytest.approx(expected["length_fixed"], rel=rel)
    assert fixed.pressure == pytest.approx(expected["pressure"], rel=rel)
    assert fixed.shear == pytest.approx(expected["shear"], rel=rel)
    assert fixed.shear_range == pytest.approx(2 * expected["shear"], rel=rel)
    apart = {"rail": 0.75 * given["inertia"], "flange": 0.25 * given["inertia"]}
    loose, pad = (wheel_pressure(given["wheel_load"], seat=s, **apart, **web) for s in ("not fixed", "elastic pad"))
    assert loose.length == pytest.approx(fixed.length, rel=1e-12)
    assert pad.length == pytest.approx(expected["length_pad"], rel=rel)
    assert_formulas(fixed, loose, pad)


def test_effective_flange_is_rail_foot_and_what_spreads_below_it_but_not_wider_than_the_flange():
    parts = {"rail_foot": 150.0, "rail_height": 75.0, "flange_thickness": 20.0}
    assert effective_flange_width(**parts, flange=300.0) == 245.0
    assert effective_flange_width(**parts, flange=200.0) == 200.0


def test_web_bending_from_an_eccentric_wheel_is_that_of_en_1993_6_5_7_3():
    case = CASES["web_bending"]
    found = web_bending(**case["inputs"])
    for name, expected in case["expected"].items():
        assert getattr(found, name) == pytest.approx(expected, rel=case["tolerance_rel"]), name
    assert_formulas(found)
    thick = web_bending(**case["inputs"] | {"web_thickness": 40})
    assert thick.eccentricity == 20.0


def test_web_bending_counts_from_s4_on():
    assert [needs_web_bending(s_class(f"S{index}")) for index in range(10)] == [False] * 4 + [True] * 6


def test_two_cranes_on_a_runway_are_judged_by_en_1993_6_9_4_2():
    case = CASES["two_cranes"]
    parts = [damage(*ranges) for ranges in zip(case["inputs"]["normal"], case["inputs"]["shear"], strict=True)]
    assert [part.damage for part in parts] == pytest.approx(case["expected"]["damages"], rel=case["tolerance_rel"])
    result = cranes_together(parts[:2], parts[2])
    assert result.damage == pytest.approx(case["expected"]["total"], rel=case["tolerance_rel"])
    check = cranes_check("runway:1", "web below the rail", result)
    assert check.state == "fails" and check.utilisation == pytest.approx(result.damage)
    assert equivalent_check("runway:1", "web below the rail", parts[0]).state == "holds"
    assert_formulas(result, *parts)


def test_cranes_together_fall_two_or_three_classes_below_the_lowest():
    assert class_of_cranes_together(["S6", "S4"]) == "S2"
    assert class_of_cranes_together(["S6", "S7", "S5"]) == "S2"
    assert class_of_cranes_together(["S1", "S7"]) == "S0"


def test_few_heavy_cycles_hint_at_the_exemption_of_en_1993_6_9_1_but_are_no_pass():
    case = CASES["exemption"]
    hint = exemption_hint(case["inputs"]["cycles"])
    assert (hint.limit, hint.may_be_exempt) == (case["expected"]["limit"], case["expected"]["may_be_exempt"])
    assert "hint only" in hint.text and "S275" in hint.text
    above = exemption_hint(10_001)
    assert not above.may_be_exempt and "has to be assessed" in above.text
    assert not hasattr(hint, "state")


def test_every_wheel_of_every_passage_is_a_local_cycle():
    assert wheel_passages(1e5, passages=2, wheels=4) == 8e5


def test_equivalent_damage_by_hand_and_at_its_limit():
    assert damage(71 / 1.15, 0.0).damage == pytest.approx(1.0)
    assert damage(0.0, 80 / 1.15).damage == pytest.approx(1.0)
    assert damage(50.0, 30.0).damage == pytest.approx((50 * 1.15 / 71) ** 3 + (30 * 1.15 / 80) ** 5)


def test_the_road_from_duty_to_check_by_hand():
    duty = s_class(duty_class(cycles_class(4e5), spectrum_class(0.2)).name)
    assert duty.name == "S3"
    load = equivalent_wheel_load(50e3, 100e3, factors=HC2, duty=duty)
    seat = {"seat": "fixed", "web_thickness": 10.0, "rail_and_flange": 4e6}
    normal, shear = wheel_pressure(load.normal, **seat), wheel_pressure(load.shear, **seat)
    length = 3.25 * (4e6 / 10) ** (1 / 3)
    force = 1.05 * 50e3 + 1.067 * 100e3
    assert normal.pressure == pytest.approx(0.397 * force / length / 10)
    assert shear.shear_range == pytest.approx(0.575 * 0.4 * force / length / 10)
    result = damage(normal.pressure, shear.shear_range)
    by_hand = (normal.pressure * 1.15 / 71) ** 3 + (shear.shear_range * 1.15 / 80) ** 5
    check = equivalent_check("runway:1", "web below the rail", result, working=(duty, load, normal, shear))
    assert check.demand == pytest.approx(by_hand) and load in check.working


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: s_class("S10"), "S class 'S10' is unknown.*known: S0, S1"),
        (lambda: duty_class("U10", "Q2"), "class 'U10' is unknown; known: U0"),
        (lambda: duty_class("Q2", "U4"), "class 'Q2' is unknown; known: U0"),
        (lambda: cycles_class(9e6), "working cycles 9e.06 is above the highest class U9, 8e.06"),
        (lambda: spectrum_class(1.1), "load spectrum factor 1.1 is above the highest class Q5, 1"),
        (lambda: load_spectrum_factor([2.0], [1.0], safe_working_load=1.0), "lifted load 2 N is above the safe"),
        (lambda: load_spectrum_factor([1.0], [0.0], safe_working_load=1.0), "at least one lift"),
        (lambda: load_spectrum_factor([1.0, 2.0], [0.0], safe_working_load=2.0), "must have one shape"),
        (lambda: load_spectrum_factor([-1.0], [1.0], safe_working_load=1.0), "finite and not below 0"),
        (lambda: dynamic_factors("HC5", hoisting_speed=1.0, own=1.0), "hoisting class 'HC5' is unknown"),
        (lambda: dynamic_factors("HC1", hoisting_speed=1.0, own=1.3), "phi_1 must lie from 0.9 to 1.1, got 1.3"),
        (lambda: equivalent_wheel_load(0.0, 0.0, factors=HC2, duty=s_class("S4")), "wheel load is 0 N"),
        (lambda: wheel_pressure(1e5, seat="glued", web_thickness=10.0), "seat of the rail 'glued' is unknown"),
        (lambda: wheel_pressure(1e5, seat="fixed", web_thickness=10.0, rail=4e6, flange=1e6), "rail and flange as one"),
        (lambda: wheel_pressure(1e5, seat="elastic pad", web_thickness=10.0, rail=4e6), "needs rail and flange"),
        (lambda: web_bending(**CASES["web_bending"]["inputs"] | {"spacing": 5.0}), "stiffeners 5 mm apart"),
        (lambda: web_bending(**CASES["web_bending"]["inputs"] | {"flange_torsion": 0.0}), "torsion constant"),
        (lambda: class_of_cranes_together(["S4"]), "at least two, got 1"),
        (lambda: cranes_together([damage(1.0, 1.0)], damage(1.0, 1.0)), "at least two, got 1"),
        (lambda: damage(-1.0, 1.0), "equivalent range of normal stress must not be below 0 MPa"),
        (lambda: damage(1.0, 1.0, normal_category=77), "category 77 is no normal stress class"),
        (lambda: exemption_hint(math.nan), "cycles above half of the full payload must be finite"),
    ],
)
def test_refused_runways_say_why(make, words):
    with pytest.raises(InputError, match=words):
        make()
