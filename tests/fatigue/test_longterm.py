import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.curves import LifeCurve, life_curve
from fatigue.longterm import allowed_extreme_range, weibull_damage
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_curves.toml").read_text())["case"]
SHAPES = CASES["weibull"]["inputs"]["shapes"]


@pytest.mark.parametrize("key", ["B1", "B2", "C1", "D"])
def test_allowed_extreme_ranges_are_those_of_the_tables_of_dnv_rp_c203(key):
    case, curve = CASES["weibull"], life_curve("DNV-RP-C203", key)
    for shape, expected in zip(SHAPES, case["expected"][key], strict=True):
        found = allowed_extreme_range(curve, cycles=case["inputs"]["cycles"], shape=shape)
        wide = case["tolerance_rel_up_to_shape_0_6"] if shape <= 0.6 else case["tolerance_rel"]
        assert found == pytest.approx(expected, rel=wide), shape
        assert weibull_damage(curve, found, cycles=1e8, shape=shape) == pytest.approx(1.0, rel=1e-9)


def test_weibull_damage_on_one_slope_is_the_gamma_function_of_jcss_annex_b1():
    case = CASES["weibull_one_slope"]
    inputs = case["inputs"]
    strength = (10 ** inputs["log_a"] / 2e6) ** (1 / inputs["slope"])
    curve = LifeCurve("one slope", strength, 2e6, (3.0,))
    found = weibull_damage(curve, inputs["extreme_range"], cycles=inputs["cycles"], shape=inputs["shape"])
    assert found == pytest.approx(case["expected"]["damage"], rel=case["tolerance_rel"])


@given(st.floats(0.5, 2.5), st.floats(80.0, 800.0))
def test_closed_form_is_the_integral_over_the_distribution_on_a_curve_with_a_cut_off(shape, extreme):
    curve = life_curve("EN 1993", 71)
    scale = extreme / math.log(1e7) ** (1 / shape)
    # Midpoints of equal chance down to 1e-12, in steps of the logarithm of the chance of being exceeded.
    edges = np.linspace(0.0, 40.0, 40_001)
    middle = (edges[1:] + edges[:-1]) / 2
    chance = np.exp(-edges[:-1]) - np.exp(-edges[1:])
    integral = 1e7 * np.sum(chance / curve.cycles_to_failure(scale * middle ** (1 / shape)))
    assert weibull_damage(curve, extreme, cycles=1e7, shape=shape) == pytest.approx(integral, rel=2e-3)


@given(st.floats(0.5, 2.0), st.floats(10.0, 500.0), st.floats(1.0, 3.0))
def test_damage_never_falls_when_the_extreme_range_grows(shape, extreme, factor):
    curve = life_curve("DNV-RP-C203", "F1")
    less, more = (weibull_damage(curve, extreme * k, cycles=1e8, shape=shape) for k in (1.0, factor))
    assert more >= less * (1 - 1e-12)


def test_no_range_does_no_damage():
    assert weibull_damage(life_curve("DNV-RP-C203", "D"), 0.0, cycles=1e8, shape=1.0) == 0.0


@pytest.mark.parametrize(
    ("changes", "wording"),
    [
        ({"extreme_range": -1.0}, r"extreme range must not be below 0 MPa, got -1"),
        ({"shape": 0.0}, r"shape must be above 0, got 0"),
        ({"cycles": 1.0}, r"cycles beyond the first must be above 0, got 0"),
        ({"cycles": math.nan}, r"cycles must be finite, got nan"),
    ],
)
def test_refused_distribution_says_why(changes, wording):
    values = {"extreme_range": 100.0, "cycles": 1e8, "shape": 1.0} | changes
    with pytest.raises(InputError, match=wording):
        weibull_damage(life_curve("DNV-RP-C203", "D"), **values)
