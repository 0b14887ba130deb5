import tomllib
from pathlib import Path

import pytest

from fatigue.catalogue import catalogue
from fatigue.curves import curve_of_strength, life_curve
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_curves.toml").read_text())["case"]
CASE = CASES["bs_7608_classes"]


@pytest.mark.parametrize("edition", [1993, 2014])
def test_classes_are_those_of_bs_7608_1993_table_14_and_2014_table_18(edition):
    expected = CASE["expected"]
    for key, C2, stress in zip(CASE["inputs"]["classes"], expected["C2"], expected["range_at_1e7"], strict=True):
        curve = life_curve("BS 7608", key, edition=edition)
        m = curve.slopes[0]
        assert curve.cycles_to_failure(200.0) * 200.0**m == pytest.approx(C2, rel=CASE["tolerance_rel_of_C2"]), key
        assert curve.strength_at(1e7) == pytest.approx(stress, abs=CASE["tolerance_abs"]), key


def test_class_d_over_the_factors_of_the_uk_hse_gives_the_other_classes():
    case = CASES["classification_factors"]
    strength = {key: life_curve("BS 7608", key, edition=1993).strength_at(1e7) for key in case["inputs"]["factors"]}
    for key, factor in case["inputs"]["factors"].items():
        assert strength["D"] / factor == pytest.approx(strength[key], abs=case["tolerance_abs"]), key


def test_knee_and_thickness_go_with_the_edition():
    old, new = (life_curve("BS 7608", "F", edition=edition) for edition in (1993, "2014"))
    assert (old.knees, new.knees) == ((1e7,), (5e7,))
    assert old.slopes == new.slopes == (3.0, 5.0)
    assert old.cycles_to_failure(45.0) == new.cycles_to_failure(45.0)
    assert old.cycles_to_failure(20.0) > new.cycles_to_failure(20.0)
    thick = [life_curve("BS 7608", "F", edition=edition, thickness=32).strength for edition in (1993, 2014)]
    factors = [(16 / 32) ** 0.25, (25 / 32) ** 0.25]
    assert [strength / old.strength for strength in thick] == pytest.approx(factors, rel=1e-12)


def test_curve_is_continuous_at_its_knee():
    for row in catalogue("BS 7608"):
        for edition in (1993, 2014):
            curve = life_curve("BS 7608", row.id, edition=edition)
            knee = curve.knee_strengths[0]
            below, above = curve.cycles_to_failure([knee * (1 - 1e-9), knee * (1 + 1e-9)])
            assert below == pytest.approx(above, rel=1e-6), row.id


def test_mean_curve_lasts_longer_by_two_standard_deviations_and_the_name_says_which_it_is():
    """log10 N of class F: 0.4366 more at the mean."""
    mean, usual = (life_curve("BS 7608", "F", edition=1993, **given) for given in ({"deviations": 0}, {}))
    assert mean.cycles_to_failure(100.0) / usual.cycles_to_failure(100.0) == pytest.approx(10 ** (2 * 0.2183), rel=1e-9)
    assert "mean less 0 standard deviations" in mean.name
    assert "mean less 2 standard deviations" in usual.name


@pytest.mark.parametrize(
    ("category", "conditions", "wording"),
    [
        ("F", {}, r"class F needs edition: 1993 \(steeper from 1e7 cycles on\) or 2014"),
        ("F", {"edition": 2005}, r"edition '2005' is unknown; .*known: 1993, 2014"),
        ("F3", {"edition": 1993}, r"BS 7608 class 'F3' is unknown"),
        ("F", {"edition": 1993, "deviations": -1}, r"deviations must not be below 0, got -1"),
        ("F", {"edition": 1993, "stress": "shear"}, r"class F is for normal stress, got 'shear'"),
        ("F", {"edition": 1993, "second_slope": 5}, r"condition of BS 7608 'second_slope' is unknown"),
        ("F", {"edition": 1993, "thickness": 0}, r"thickness must be above 0 mm, got 0"),
    ],
)
def test_refused_class_says_what_would_do(category, conditions, wording):
    with pytest.raises(InputError, match=wording):
        life_curve("BS 7608", category, **conditions)


def test_own_strength_is_refused():
    with pytest.raises(InputError, match="BS 7608 goes by classes, not by strengths: give one of B, C"):
        curve_of_strength("BS 7608", 70.0)
