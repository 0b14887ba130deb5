import tomllib
from pathlib import Path

import pytest

from fatigue.catalogue import catalogue
from fatigue.curves import curve_of_strength, life_curve
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_curves.toml").read_text())["case"]
CASE = CASES["iiw_curves"]


def test_knee_stresses_are_those_of_iiw_1823_07_section_3_2():
    for fat, stress in zip(CASE["inputs"]["FAT"], CASE["expected"]["knee_stress"], strict=True):
        curve = life_curve("IIW", f"FAT {fat}", second_slope=5)
        assert curve.knees == (1e7,)
        assert curve.knee_strengths[0] == pytest.approx(stress, abs=CASE["tolerance_abs"])


def test_cycles_above_the_knee_are_those_of_slope_3_through_the_class_at_2e6():
    for second_slope in (5, 22):
        curve = life_curve("IIW", 71, second_slope=second_slope)
        assert curve.cycles_to_failure(60.0) == pytest.approx(CASE["expected"]["cycles_of_FAT_71_at_60"], rel=1e-6)


def test_slope_22_drops_by_a_tenth_of_the_stress_in_a_decade_as_iiw_1823_07_says():
    curve = life_curve("IIW", 71, second_slope=22)
    expected = CASE["expected"]
    assert curve.strength_at(1e9) == pytest.approx(expected["FAT_71_at_1e9_slope_22"], abs=CASE["tolerance_abs"])
    assert curve.strength_at(1e9) / curve.strength_at(1e8) == pytest.approx(expected["drop_in_a_decade"], abs=0.002)


@pytest.mark.parametrize("fat", [80, 100])
def test_shear_classes_of_iiw_have_slope_5_and_their_knee_at_1e8(fat):
    curve = life_curve("IIW", fat, stress="shear", second_slope=22)
    assert (curve.slopes, curve.knees) == ((5.0, 22.0), (1e8,))
    assert curve.strength_at(1e8) == pytest.approx(CASE["expected"][f"shear_{fat}_at_1e8"], abs=CASE["tolerance_abs"])
    assert life_curve("IIW", f"FAT {fat} shear", second_slope=22) == curve


def test_curve_is_continuous_at_its_knee():
    for row in catalogue("IIW"):
        curve = life_curve("IIW", row.id, second_slope=5)
        knee = curve.knee_strengths[0]
        below, above = curve.cycles_to_failure([knee * (1 - 1e-9), knee * (1 + 1e-9)])
        assert below == pytest.approx(above, rel=1e-6), row.id


def test_small_ranges_do_damage_with_slope_5_and_far_less_with_slope_22():
    variable, constant = (life_curve("IIW", 71, second_slope=slope).cycles_to_failure(20.0) for slope in (5, 22))
    assert variable == pytest.approx(1e7 * (71 * 0.2 ** (1 / 3) / 20.0) ** 5, rel=1e-12)
    assert constant > 1e5 * variable


@pytest.mark.parametrize(
    ("rule", "exponent"),
    [
        ("transverse attachment, as welded", 0.3),
        ("transverse attachment, toe ground", 0.2),
        ("transverse butt weld, as welded", 0.2),
        ("ground flush, longitudinal, or not welded", 0.1),
    ],
)
def test_thickness_exponents_are_those_of_iiw_1823_07_section_3_5_2(rule, exponent):
    curve = life_curve("IIW", 71, second_slope=5, thickness=50, thickness_rule=rule)
    assert curve.strength == pytest.approx(71 * 0.5**exponent, rel=1e-12)


def test_a_plate_up_to_25_mm_needs_no_thickness_rule():
    assert life_curve("IIW", 71, second_slope=5, thickness=25).strength == 71.0


def test_own_strength_takes_the_form_of_the_curves():
    curve = curve_of_strength("IIW", 70.0, second_slope=22)
    assert (curve.strength, curve.slopes, curve.knees) == (70.0, (3.0, 22.0), (1e7,))
    assert curve_of_strength("IIW", 70.0, stress="shear", second_slope=5).slopes[0] == 5.0


@pytest.mark.parametrize(
    ("category", "conditions", "wording"),
    [
        (71, {}, r"class FAT 71 needs second_slope: 5 where amplitudes vary"),
        (71, {"second_slope": 9}, r"second_slope '9' is unknown; known: 5, 22"),
        (72, {"second_slope": 5}, r"FAT class 'FAT 72' is unknown; did you mean"),
        ("8.4-1a", {"second_slope": 5}, r"FAT class 'FAT 8.4-1a' is unknown"),
        ("FAT 80 shear", {"second_slope": 5, "stress": "normal"}, r"class FAT 80 shear is for shear stress"),
        (71, {"second_slope": 5, "stress": "shear"}, r"FAT class 'FAT 71 shear' is unknown"),
        (71, {"second_slope": 5, "thickness": 40}, r"a plate of 40 mm is thicker than 25 mm: give thickness_rule, one"),
        (71, {"second_slope": 5, "thickness": 40, "thickness_rule": "cruciform"}, r"thickness_rule 'cruciform' is unk"),
        (71, {"second_slope": 5, "diameter": 40}, r"condition of IIW 'diameter' is unknown"),
    ],
)
def test_refused_class_says_what_would_do(category, conditions, wording):
    with pytest.raises(InputError, match=wording):
        life_curve("IIW", category, **conditions)
