import math
import re
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.curves import LifeCurve, curve_of_strength, life_curve
from fatigue.standards import edition, names
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_en1993.toml").read_text())["case"]
CURVES = [
    life_curve("EN 1993", 71),
    life_curve("EN 1993", 80, stress="shear"),
    life_curve("EN 1993", "8.5-10"),
    LifeCurve("reference between the knees", 90.0, 2e6, (4.0, 3.0, 5.0, 22.0), (1e5, 1e7, 1e9), None),
    LifeCurve("reference beyond the knees", 50.0, 1e7, (4.0, 3.0, 5.0), (1e5, 1e6), 1e8),
]
ranges = st.floats(0.0, 2000.0)
each_curve = pytest.mark.parametrize("curve", CURVES, ids=lambda curve: curve.name)


def test_knee_and_cut_off_factors_round_to_those_printed_in_en_1993_1_9_7_1():
    case = CASES["knee_and_cut_off_factors"]
    normal, shear = life_curve("EN 1993", 100), life_curve("EN 1993", 100, stress="shear")
    found = {
        "knee_over_strength": normal.knee_strengths[0] / 100,
        "cut_off_over_knee": normal.cut_off_strength / normal.knee_strengths[0],
        "cut_off_over_strength": normal.cut_off_strength / 100,
        "shear_cut_off_over_strength": shear.cut_off_strength / 100,
    }
    assert found == pytest.approx(case["expected"], abs=case["tolerance_abs"], rel=0)


def test_factors_are_the_closed_forms_and_not_their_three_digit_roundings():
    curve = life_curve("EN 1993", 71)
    assert curve.knee_strengths[0] == pytest.approx(71 * (2 / 5) ** (1 / 3), rel=1e-14)
    assert curve.cut_off_strength == pytest.approx(71 * (2 / 5) ** (1 / 3) * (5 / 100) ** (1 / 5), rel=1e-14)


@pytest.mark.parametrize(
    ("name", "stress"), [("endurance_of_category_71", "normal"), ("endurance_in_shear", "shear")]
)
def test_endurance_follows_the_slopes_of_en_1993_1_9_7_1(name, stress):
    case = CASES[name]
    curve = life_curve("EN 1993", case["inputs"]["category"], stress=stress)
    found = curve.cycles_to_failure(case["inputs"]["ranges"])
    assert found == pytest.approx(case["expected"]["cycles"], rel=case["tolerance_rel"])
    assert curve.cycles_to_failure(case["expected"]["endless"]) == math.inf


def test_damage_of_the_spectrum_of_en_1993_1_9_annex_a():
    case = CASES["damage_of_a_spectrum"]
    given_, expected = case["inputs"], case["expected"]
    curve = life_curve("EN 1993", given_["category"], gamma_Mf=given_["gamma_Mf"])
    found = {
        "strength": curve.strength,
        "knee": curve.knee_strengths[0],
        "cut_off": curve.cut_off_strength,
        "cycles": list(curve.cycles_to_failure(given_["ranges"][:4])),
        "damage": curve.damage(given_["ranges"], given_["counts"]),
    }
    for key, value in expected.items():
        assert found[key] == pytest.approx(value, rel=case["tolerance_rel"]), key


def test_bolt_in_tension_of_en_1993_1_9_table_8_1_detail_14_with_and_without_preload():
    case = CASES["bolt_in_tension"]
    given_, expected = case["inputs"], case["expected"]
    plain = given_["load_range_N"] / given_["stress_area"]
    curve = life_curve("EN 1993", given_["category"], diameter=given_["diameter"], gamma_Mf=given_["gamma_Mf"])
    found = {
        "strength": curve.strength,
        "range_plain": plain,
        "range_preloaded": plain * given_["share"],
        "cycles_plain": curve.cycles_to_failure(plain),
        "cycles_preloaded": curve.cycles_to_failure(plain * given_["share"]),
    }
    assert found == pytest.approx(expected, rel=case["tolerance_rel"])


def test_constant_sine_does_the_damage_of_its_full_range():
    case = CASES["constant_sine"]
    curve = life_curve("EN 1993", case["inputs"]["category"])
    assert curve.cycles_to_failure(80.0) == pytest.approx(case["expected"]["cycles_to_failure"], rel=1e-9)
    assert curve.damage([80.0], [3.6e6]) == pytest.approx(case["expected"]["damage"], rel=case["tolerance_rel"])


@pytest.mark.parametrize("name", ["thick_transverse_butt_weld", "eccentric_splice"])
def test_size_lowers_the_strength_as_in_en_1993_1_9_table_8_3(name):
    case = CASES[name]
    sizes = {key: value for key, value in case["inputs"].items() if key != "category"}
    curve = life_curve("EN 1993", case["inputs"]["category"], **sizes)
    assert curve.strength == pytest.approx(case["expected"]["strength"], rel=case["tolerance_rel"])


def test_thin_plate_and_plate_at_the_reference_keep_their_strength():
    assert life_curve("EN 1993", "8.3-5", thickness=25).strength == 90.0
    assert life_curve("EN 1993", "8.3-5", thickness=8).strength == 90.0
    assert life_curve("EN 1993", "8.3-5", thickness=25.01).strength < 90.0


def test_bare_number_takes_the_effect_of_the_size_given_with_it():
    assert life_curve("EN 1993", 90, thickness=40).strength == pytest.approx(81.92538914, rel=1e-6)
    assert life_curve("EN 1993", 50, diameter=60).strength == pytest.approx(50 * 0.5**0.25, rel=1e-12)


def test_row_without_size_effect_ignores_the_thickness():
    assert life_curve("EN 1993", "8.4-1a", thickness=60).strength == 80.0


@each_curve
def test_curve_is_continuous_at_its_knees(curve):
    for knee, strength in zip(curve.knees, curve.knee_strengths, strict=True):
        around = curve.cycles_to_failure(np.array([1 - 1e-12, 1, 1 + 1e-12]) * strength)
        assert around == pytest.approx(knee, rel=1e-9)


@each_curve
def test_curve_passes_through_its_strength(curve):
    assert curve.cycles_to_failure(curve.strength) == pytest.approx(curve.reference, rel=1e-14)


@each_curve
def test_strength_at_cycles_is_the_inverse_of_cycles_to_failure(curve):
    for cycles in (2e4, 1e5, 3e6, 5e6, 2e7):
        assert curve.cycles_to_failure(curve.strength_at(cycles)) == pytest.approx(cycles, rel=1e-12)


def test_range_at_the_cut_off_does_damage_and_the_next_lower_one_none():
    curve = life_curve("EN 1993", 71)
    assert curve.cycles_to_failure(curve.cut_off_strength) == pytest.approx(1e8, rel=1e-12)
    assert curve.cycles_to_failure(np.nextafter(curve.cut_off_strength, 0.0)) == math.inf


def test_curve_without_cut_off_lasts_for_ever_only_at_no_stress():
    curve = life_curve("EN 1993", "8.5-10")
    assert curve.cycles_to_failure(9.0) == pytest.approx(2e6 * 10.0**8, rel=1e-12)
    assert curve.cycles_to_failure(0.0) == math.inf
    assert curve.damage([0.0], [1e9]) == 0.0


@each_curve
@given(a=ranges, b=ranges)
def test_damage_never_falls_when_a_range_grows(curve, a, b):
    low, high = sorted((a, b))
    assert curve.damage([low], [1.0]) <= curve.damage([high], [1.0]) * (1 + 1e-12)


@each_curve
@given(st.lists(st.tuples(ranges, st.floats(0, 1e6)), min_size=1, max_size=30), st.data())
def test_damage_adds_and_order_does_not_matter(curve, pairs, data):
    whole = curve.damage(*zip(*pairs, strict=True))
    shuffled = data.draw(st.permutations(pairs))
    cut = data.draw(st.integers(0, len(pairs)))
    parts = [np.array(part).reshape(-1, 2).T for part in (pairs[:cut], pairs[cut:])]
    assert curve.damage(*zip(*shuffled, strict=True)) == pytest.approx(whole, rel=1e-12)
    assert sum(curve.damage(*part) for part in parts) == pytest.approx(whole, rel=1e-12)


@given(st.floats(0.2, 5.0), ranges)
def test_scaling_ranges_and_strength_alike_changes_no_life(factor, stress_range):
    curve = LifeCurve("one slope", 71.0, 2e6, (3.0,))
    scaled = curve.scaled(factor, "factor").cycles_to_failure(stress_range * factor)
    assert scaled == pytest.approx(curve.cycles_to_failure(stress_range), rel=1e-9)


@given(st.floats(1.0, 2.0), st.floats(100.0, 500.0))
def test_partial_factor_divides_the_strength_so_damage_grows_with_its_cube(gamma, stress_range):
    curve = life_curve("EN 1993", 71)
    grown = curve.factored(gamma).damage([stress_range], [1.0]) / curve.damage([stress_range], [1.0])
    assert grown == pytest.approx(gamma**3, rel=1e-9)


def test_float_gives_float_and_array_gives_array_of_its_shape():
    curve = life_curve("EN 1993", 71)
    assert isinstance(curve.cycles_to_failure(100), float)
    assert curve.cycles_to_failure(np.full((2, 3), 100.0)).shape == (2, 3)
    assert curve.damage([], []) == 0.0


def test_points_for_plotting_are_the_corners_from_1e4_to_1e9():
    cycles, stress = life_curve("EN 1993", 71).points()
    assert list(cycles) == [1e4, 5e6, 1e8, 1e9]
    assert stress[0] == pytest.approx(71 * 200 ** (1 / 3), rel=1e-12)
    assert stress[2] == stress[3]


def test_points_of_a_curve_without_cut_off_go_down_to_the_end():
    cycles, stress = life_curve("EN 1993", "8.5-10").points()
    assert list(cycles) == [1e4, 1e9]
    assert stress[1] < stress[0]


def test_number_may_be_written_as_text():
    assert life_curve("EN 1993", "71") == life_curve("EN 1993", 71)


def test_curve_of_a_strength_of_ones_own_has_the_form_of_the_standard():
    curve = curve_of_strength("EN 1993", 70.0)
    assert (curve.strength, curve.slopes, curve.knees, curve.cut_off) == (70.0, (3.0, 5.0), (5e6,), 1e8)
    assert curve_of_strength("EN 1993", 70.0, stress="shear").slopes == (5.0,)


def test_known_standards_state_their_edition():
    assert "EN 1993" in names()
    assert edition("EN 1993") == "EN 1993-1-9:2005"


@pytest.mark.parametrize(
    ("arguments", "conditions", "wording"),
    [
        (("EN1993", 71), {}, r"standard 'EN1993' is unknown; did you mean 'EN 1993'\?"),
        (("EN 1993", 70), {}, r"category 70 is no normal stress class of EN 1993-1-9:2005; nearest is 71; known: 36"),
        (("EN 1993", 71), {"stress": "shear"}, r"71 is no shear stress class .* nearest is 80; known: 80, 100"),
        (("EN 1993", 71), {"stress": "bending"}, r"stress 'bending' is unknown; known: normal, shear"),
        (("EN 1993", "36*"), {}, r"category '36\*': give 36"),
        (("EN 1993", "8.4-1e"), {}, r"category '8.4-1e' is unknown .* known of this kind: 8.4-1a, 8.4-1b"),
        (("EN 1993", "EN-8.4-1a"), {}, r"did you mean '8.4-1a'\?"),
        (("EN 1993", "8.5-2"), {}, r"'8.5-2' has no category of its own: .* use one of 8.5-1-80, 8.5-1-71"),
        (("EN 1993", "8.1-spacing"), {}, r"no category of its own: limits for details 8 to 13"),
        (("EN 1993", "8.1-1-5w"), {}, r"of its own: details 1 to 5 in weathering steel take the next lower"),
        (("EN 1993", "8.3-5"), {}, r"8.3-5 depends on size .* give its thickness, such as thickness = \"20 mm\""),
        (("EN 1993", "8.1-14"), {}, r"category 8.1-14 depends on size .* give its diameter"),
        (("EN 1993", "8.3-5"), {"thickness": -5}, r"thickness must be above 0 mm, got -5"),
        (("EN 1993", "8.3-17"), {"thickness": 20, "thicker": 30}, r"give its eccentricity"),
        (
            ("EN 1993", "8.3-17"),
            {"thickness": 20, "thicker": 10, "eccentricity": 0},
            r"thicker plate must not be below 20 mm, got 10 mm",
        ),
        (("EN 1993", "8.5-9"), {"stress": "normal"}, r"category 8.5-9 is for shear stress, got 'normal'"),
        (("EN 1993", 71), {"thicknes": 20}, r"condition of EN 1993 'thicknes' is unknown; did you mean 'thickness'\?"),
        (("EN 1993", 71), {"gamma_Mf": 0}, r"gamma_Mf must be above 0, got 0"),
        (("EN 1993", math.nan), {}, r"category must be finite"),
        (("EN 1993", True), {}, r"category must be a number, got True"),
    ],
)
def test_refused_category_says_what_would_do(arguments, conditions, wording):
    with pytest.raises(InputError, match=wording):
        life_curve(*arguments, **conditions)


@pytest.mark.parametrize(
    ("values", "wording"),
    [
        (-1.0, "stress range must be finite and not below 0, got -1"),
        ([10.0, math.nan], "stress range must be finite and not below 0, got nan (number 1)"),
        ("100", "stress range must be a number, got '100'"),
    ],
)
def test_refused_range_is_named_with_its_place(values, wording):
    with pytest.raises(InputError, match=re.escape(wording)):
        life_curve("EN 1993", 71).cycles_to_failure(values)


def test_ranges_and_counts_of_different_shape_are_refused():
    with pytest.raises(InputError, match=r"ranges and counts must have one shape, got \(2,\) and \(1,\)"):
        life_curve("EN 1993", 71).damage([100.0, 50.0], [1.0])
