import tomllib
from pathlib import Path

import pytest

from fatigue.curves import LifeCurve, curve_of_strength, life_curve
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_curves.toml").read_text())["case"]
CASE = CASES["dnv_curves_in_air"]


def test_curves_are_those_of_dnv_rp_c203_table_2_1_on_both_sides_of_the_knee():
    expected = CASE["expected"]
    for key, limit, log_a2 in zip(CASE["inputs"]["curves"], expected["limit_at_1e7"], expected["log_a2"], strict=True):
        curve = life_curve("DNV-RP-C203", key)
        assert curve.strength_at(1e7) == pytest.approx(limit, abs=CASE["tolerance_abs"]), key
        assert curve.strength_at(1e9) == pytest.approx(10 ** ((log_a2 - 9) / 5), abs=CASE["tolerance_abs"]), key
        knee = curve.knee_strengths[0]
        below, above = curve.cycles_to_failure([knee * (1 - 1e-9), knee * (1 + 1e-9)])
        assert below == pytest.approx(above, rel=1e-6), key


@pytest.mark.parametrize(("key", "k"), [("B1", 0.0), ("C", 0.05), ("C2", 0.15), ("D", 0.2), ("F1", 0.25), ("W3", 0.25)])
def test_thickness_exponents_are_those_of_dnv_rp_c203_table_2_1(key, k):
    plain, thick, thin = (life_curve("DNV-RP-C203", key, thickness=t).strength for t in (25, 50, 10))
    assert thick / plain == pytest.approx(0.5**k, rel=1e-12)
    assert thin == plain


def test_branches_of_iso_19902_in_sea_water_meet_at_their_knees():
    """A curve built from the first branch goes over into the printed second branch."""
    case = CASES["sea_water_branches"]
    inputs, expected = case["inputs"], case["expected"]
    for k, knee in enumerate(inputs["knee"]):
        first = (10 ** inputs["log_k1_a"][k] / knee) ** (1 / inputs["slope_a"][k])
        curve = LifeCurve("sea water", first, knee, (inputs["slope_a"][k], inputs["slope_b"]), (knee,))
        assert curve.knee_strengths[0] == pytest.approx(expected["knee_stress_a"][k], abs=0.06)
        for cycles in (knee, 1e8):
            second = (10 ** inputs["log_k1_b"][k] / cycles) ** (1 / inputs["slope_b"])
            assert curve.strength_at(cycles) == pytest.approx(second, abs=case["tolerance_abs"])


@pytest.mark.parametrize(
    ("category", "conditions", "wording"),
    [
        ("T", {}, r"DNV-RP-C203 curve 'T' is unknown; .*known: B1, B2, C"),
        ("D", {"stress": "shear"}, r"curve D is for normal stress, got 'shear'"),
        ("D", {"edition": 2011}, r"condition of DNV-RP-C203 'edition' is unknown"),
        ("D", {"thickness": -1}, r"thickness must be above 0 mm, got -1"),
    ],
)
def test_refused_curve_says_what_would_do(category, conditions, wording):
    with pytest.raises(InputError, match=wording):
        life_curve("DNV-RP-C203", category, **conditions)


def test_own_strength_is_refused():
    with pytest.raises(InputError, match="goes by curves, not by strengths: give one of B1"):
        curve_of_strength("DNV-RP-C203", 70.0)
