import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.recipes import stress_recipe
from fatigue.stress import (
    reduced_ranges,
    stress_of_net_section,
    stress_of_section,
    stress_of_shear_area,
    stress_per_component,
)
from loadhistories.figures import recomputed
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_en1993.toml").read_text())["case"]
BAR = {"force": "Fx", "width": 200, "thickness": 10, "holes": 2, "hole_diameter": 22}
stresses = st.floats(-500.0, 500.0)


def test_coefficients_stand_in_the_order_of_the_components():
    recipe = stress_per_component({"Mz": 2e-6, "Fy": 3e-4})
    assert list(recipe.coefficients) == [0, 3e-4, 0, 0, 0, 2e-6]
    assert recipe.stress_of([0, 1000, 0, 0, 0, 1e6]) == pytest.approx(0.3 + 2.0)


def test_stress_of_a_history_is_the_coefficients_times_its_components():
    history = np.arange(12.0).reshape(6, 2)
    recipe = stress_per_component({"Fx": 1.0, "Mx": 10.0})
    assert list(recipe.stress_of(history)) == [0 + 60.0, 1 + 70.0]


@pytest.mark.parametrize(
    ("normal", "point", "moment", "sign"),
    [
        ("x", {"z": 50.0}, "My", 1),
        ("x", {"y": 50.0}, "Mz", -1),
        ("y", {"x": 50.0}, "Mz", 1),
        ("y", {"z": 50.0}, "Mx", -1),
        ("z", {"y": 50.0}, "Mx", 1),
        ("z", {"x": 50.0}, "My", -1),
    ],
)
def test_positive_moment_by_the_right_hand_pulls_at_the_point_that_statics_says(normal, point, moment, sign):
    """M = r x F of a pull along the normal at the point: its own moment must pull at the point."""
    recipe = stress_of_section(normal, second_moments={moment[1]: 1e6}, point=point)
    (other,) = point
    axes = "xyz"
    arm, pull = np.zeros(3), np.zeros(3)
    arm[axes.index(other)], pull[axes.index(normal)] = 50.0, 1.0
    caused = np.cross(arm, pull)[axes.index(moment[1])]
    assert np.sign(caused) == sign
    loads = dict.fromkeys(("Fx", "Fy", "Fz", "Mx", "My", "Mz"), 0.0) | {moment: 1e6}
    assert recipe.stress_of(list(loads.values())) == pytest.approx(sign * 50.0)


def test_stress_of_a_section_is_force_over_area_and_moments_over_moduli():
    recipe = stress_of_section("x", area=2000.0, moduli={"y": 50_000.0, "z": -20_000.0})
    assert recipe.stress_of([10_000.0, 0, 0, 0, 1e6, 1e6]) == pytest.approx(5.0 + 20.0 - 50.0)
    assert recipe.stress == "normal"


def test_second_moments_with_a_point_agree_with_the_moduli_they_make():
    by_point = stress_of_section("z", area=5e3, second_moments={"x": 4e6, "y": 1e6}, point={"x": 40.0, "y": -80.0})
    by_modulus = stress_of_section("z", area=5e3, moduli={"x": -50_000.0, "y": -25_000.0})
    assert by_point.coefficients == pytest.approx(by_modulus.coefficients)


def test_net_section_takes_the_holes_off_the_width():
    recipe = stress_of_net_section(**BAR)
    assert recipe.working[0].net_area == 1560.0
    assert (recipe.stress, recipe.on) == ("normal", "net")


@pytest.mark.parametrize(
    "recipe",
    [
        stress_per_component({"Fy": 0.1}),
        stress_of_section("y", area=1e3, moduli={"x": -2e4}),
        stress_of_section("x", second_moments={"y": 1e6, "z": 2e6}, point={"y": 10.0, "z": -30.0}),
        stress_of_shear_area("Fz", 300.0),
        stress_of_net_section(**BAR),
    ],
    ids=lambda recipe: recipe.text,
)
def test_every_formula_of_the_working_gives_the_stored_number(recipe):
    assert recipe.working
    for part in recipe.working:
        for figure, stored, computed in recomputed(part):
            assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


def test_compression_counts_to_60_per_cent_as_in_en_1993_1_9_7_2_1():
    case = CASES["reduced_compression"]
    upper, lower = (np.array(case["inputs"][key], dtype=float) for key in ("upper", "lower"))
    assert list(reduced_ranges(upper - lower, (upper + lower) / 2, share=0.6)) == case["expected"]["ranges"]


@given(st.lists(st.tuples(stresses, stresses), min_size=1, max_size=10), st.floats(0.0, 1.0))
def test_reduced_range_lies_between_its_share_and_the_full_range(pairs, share):
    table = np.array(pairs)
    ranges, means = np.abs(table[:, 0] - table[:, 1]), table.mean(axis=1)
    reduced = reduced_ranges(ranges, means, share=share)
    assert np.all(reduced <= ranges + 1e-9)
    assert np.all(reduced >= share * ranges - 1e-9)


@pytest.mark.parametrize(
    ("make", "wording"),
    [
        (lambda: stress_per_component({}), "stress needs a coefficient for at least one of Fx, Fy, Fz, Mx, My, Mz"),
        (lambda: stress_per_component({"fx": 1.0}), r"load component 'fx' is unknown; did you mean 'Fx'\?"),
        (lambda: stress_per_component({"Fx": 0.0}), "stress coefficients are all 0"),
        (lambda: stress_per_component({"Fx": float("nan")}), "stress per Fx must be finite, got nan"),
        (lambda: stress_per_component({"Fx": 1.0}, stress="bending"), "stress 'bending' is unknown"),
        (lambda: stress_per_component({"Fx": 1.0}, on="netto"), r"section of the stress 'netto' is unknown"),
        (lambda: stress_of_section("w", area=1.0), "section normal 'w' is unknown; known: x, y, z"),
        (lambda: stress_of_section("x"), "section needs an area, moduli, or second moments with a point"),
        (lambda: stress_of_section("x", area=0.0), "area must be above 0 mm2, got 0"),
        (lambda: stress_of_section("x", moduli={"x": 1e4}), "modulus in a section across x: 'x' is unknown"),
        (lambda: stress_of_section("x", moduli={"y": 0.0}), "modulus about y must not be 0 mm3"),
        (
            lambda: stress_of_section("x", moduli={"y": 1e4}, second_moments={"y": 1e6}, point={"z": 1.0}),
            "give either moduli or second moments with a point, not both",
        ),
        (lambda: stress_of_section("x", second_moments={"y": 1e6}), "the point's coordinates go together"),
        (
            lambda: stress_of_section("x", second_moments={"y": 1e6}, point={"y": 1.0}),
            "bending about y needs the point's coordinate z",
        ),
        (
            lambda: stress_of_section("x", second_moments={"y": -1e6}, point={"z": 1.0}),
            "second moment about y must be above 0 mm4, got -1e",
        ),
        (
            lambda: stress_of_section("x", second_moments={"y": 1e6}, point={"z": 0.0}),
            "the point lies on the axes of bending and no area is given",
        ),
        (lambda: stress_of_shear_area("Mx", 100.0), "force 'Mx' is unknown"),
        (lambda: stress_of_shear_area("Fx", -1.0), "shear area must be above 0 mm2, got -1"),
        (
            lambda: stress_of_net_section(**(BAR | {"holes": 10})),
            "10 holes of 22 mm leave nothing of a width of 200 mm; give more width or fewer holes",
        ),
        (lambda: stress_of_net_section(**(BAR | {"holes": 1.5})), "holes across the force must be a whole number"),
        (lambda: stress_of_net_section(**(BAR | {"thickness": -1})), "thickness must be above 0 mm, got -1"),
        (lambda: stress_recipe(place="job.toml"), r"exactly one recipe of .*; got none \(job.toml\)"),
        (
            lambda: stress_recipe(net_section=BAR, shear_area={"force": "Fx", "area": 1.0}),
            "exactly one recipe of .*; got shear_area and net_section",
        ),
        (lambda: reduced_ranges([1.0], [0.0], share=1.5), "share of compression must not be above 1, got 1.5"),
    ],
)
def test_refused_recipe_says_what_would_do(make, wording):
    with pytest.raises(InputError, match=wording):
        make()
