"""Bolt groups about their instantaneous centre: published coefficients, statics, properties, refusals."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.figures import recomputed
from loadhistories.validation import InputError
from slip.centre import LAWS, centre_forces, friction_limit
from slip.sharing import share_forces

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "centre.toml").read_text(encoding="utf-8"))["case"]
INCH = 25.4
THREE = [[0.0, -80.0], [0.0, 0.0], [0.0, 80.0]]


def lines(count, pitch, *, across=1, gauge=0.0):
    """Bolts in vertical lines; inches in, mm out."""
    return INCH * np.array([(gauge * i, pitch * j) for i in range(across) for j in range(count)], dtype=float)


def coefficient(positions, eccentricity, law="bearing"):
    """Coefficient of a vertical load at an eccentricity [in] from the centroid."""
    lever = np.mean(positions, axis=0)[0] + INCH * eccentricity
    return centre_forces(positions, [0.0, -1.0, -lever], law=law).coefficient


def first_bolt_factor(positions, grips, load):
    """Load factor at which the first bolt reaches its grip by the elastic method about the centroid."""
    middle = positions.mean(axis=0)
    x, y = (positions - middle).T
    moment = load[2] - middle[0] * load[1] + middle[1] * load[0]
    polar = np.sum(x**2 + y**2)
    forces = np.stack([load[0] / len(x) - moment * y / polar, load[1] / len(x) + moment * x / polar], axis=1)
    sizes = np.hypot(*forces.T)
    loaded = sizes > 0.0
    return float(np.min(grips[loaded] / sizes[loaded]))


@st.composite
def groups(draw):
    """Positions on a raster, grips, and a load that is not tiny."""
    cells = draw(st.lists(st.tuples(st.integers(-4, 4), st.integers(-4, 4)), min_size=2, max_size=10, unique=True))
    grips = draw(st.lists(st.sampled_from([20.0, 60.0, 100.0]), min_size=len(cells), max_size=len(cells)))
    angle, lever = draw(st.floats(0, 2 * math.pi)), draw(st.sampled_from([0.0, 3.0, 70.0, 400.0, 5000.0]))
    load = np.array([math.cos(angle), math.sin(angle), lever])
    return 45.0 * np.array(cells, dtype=float), np.array(grips), load


@pytest.mark.parametrize("name", ["line-of-2-e-3", "line-of-4-e-6", "two-lines-of-4-e-8"])
@pytest.mark.parametrize("law", LAWS)
def test_coefficients_of_a_separate_solver(name, law):
    case = CASES[name]
    inputs = case["inputs"]
    positions = lines(inputs["n"], inputs["pitch_in"], across=inputs["lines"], gauge=inputs["gauge_in"])
    expected = case["expected"][f"C_{law}"]
    assert coefficient(positions, inputs["e_in"], law) == pytest.approx(expected, rel=case["relative_tolerance"])


@pytest.mark.parametrize("name", ["table-7-6-two-bolts", "table-7-6-three-bolts"])
def test_coefficients_of_the_aisc_manual_14th_edition_table_7_6_from_memory(name):
    case = CASES[name]
    positions = lines(case["inputs"]["n"], case["inputs"]["pitch_in"])
    found = [coefficient(positions, e) for e in case["inputs"]["e_in"]]
    assert found == pytest.approx(case["expected"]["C"], abs=case["tolerance"])


def test_coefficients_of_single_lines_confirmed_by_a_scan():
    case = CASES["lines-of-2-3-4-6"]
    inputs = case["inputs"]
    found = [coefficient(lines(n, inputs["pitch_in"]), e) for n, e in zip(inputs["n"], inputs["e_in"], strict=True)]
    assert found == pytest.approx(case["expected"]["C"], abs=case["tolerance"])


def test_elastic_coefficients_of_single_lines_from_statics():
    """Companion of the lines confirmed by a scan: what the elastic method makes of the same groups."""
    case = CASES["elastic-lines-of-2-3-4-6"]
    inputs = case["inputs"]
    found = []
    for count, lever in zip(inputs["n"], inputs["e_in"], strict=True):
        positions = lines(count, inputs["pitch_in"])
        centred = positions - positions.mean(axis=0)
        forces = share_forces(centred, [0.0, -1.0, 0.0, 0.0, 0.0, -INCH * lever])
        found.append(1.0 / float(forces.shear.max()))
    assert found == pytest.approx(case["expected"]["C_elastic"], abs=case["tolerance"])


def test_moment_only_coefficients_of_the_aisc_manual_14th_edition_from_memory():
    case = CASES["moment-only"]
    inputs = case["inputs"]
    rows = zip(inputs["n"], inputs["lines"], case["expected"]["C_moment_in"], case["tolerance"], strict=True)
    for count, across, expected, tolerance in rows:
        positions = lines(count, inputs["pitch_in"], across=across, gauge=inputs["gauge_in"])
        found = centre_forces(positions, [0.0, 0.0, 1.0])
        assert found.moment_coefficient / INCH == pytest.approx(expected, abs=tolerance)
        assert found.coefficient is None
        assert found.centre == pytest.approx(tuple(positions.mean(axis=0)), abs=1e-6)


def test_unsymmetric_group_of_a_second_formulation():
    case = CASES["unsymmetric-group"]
    inputs = case["inputs"]
    positions = INCH * np.stack([inputs["x_in"], inputs["y_in"]], axis=1).astype(float)
    found = coefficient(positions, inputs["e_in"])
    assert found == pytest.approx(case["expected"]["C"], rel=case["relative_tolerance"])


def test_limits_of_the_coefficient_for_large_and_small_eccentricity():
    case = CASES["limits-of-the-coefficient"]
    inputs, expected, tolerance = case["inputs"], case["expected"], case["relative_tolerance"]
    positions = lines(inputs["n"], inputs["pitch_in"])
    found = [e * coefficient(positions, e) for e in inputs["e_in"]]
    assert found == pytest.approx(expected["C_times_e_in"], rel=tolerance)
    assert coefficient(positions, inputs["e_small_in"]) == pytest.approx(expected["C_small_e"], rel=tolerance)
    concentric = centre_forces(positions, [0.0, -1.0, 0.0])
    assert concentric.coefficient / 4 == pytest.approx(expected["law_at_its_end"], rel=tolerance)


def test_two_bolts_in_friction_follow_the_closed_form():
    # two bolts s apart, load at e: each at its grip, centre on the axis, C = 2 (s/2) / sqrt(e^2 + (s/2)^2) for e >= s/2
    for eccentricity in (2.0, 3.0, 10.0):
        expected = 3.0 / math.hypot(eccentricity, 1.5)
        assert coefficient(lines(2, 3.0), eccentricity, "friction") == pytest.approx(expected, rel=1e-9)


def test_middle_bolt_of_an_odd_line_carries_what_is_left_within_its_grip():
    # pure moment: outer bolts 100 N at 80 mm each way, the middle one at the centre carries nothing
    turned = centre_forces(THREE, [0.0, 0.0, 1000.0], law="friction", strength=100.0)
    assert turned.load_factor == pytest.approx(16.0, rel=1e-9)
    assert turned.forces == pytest.approx(np.array([[100.0, 0.0], [0.0, 0.0], [-100.0, 0.0]]), abs=1e-5)
    # with a small side force the centre stays at the middle bolt, which alone carries that force, below its grip
    pushed = centre_forces(THREE, [0.0, 1.0, 1000.0], law="friction", strength=100.0)
    assert pushed.load_factor == pytest.approx(16.0, rel=1e-9)
    assert pushed.centre == pytest.approx((0.0, 0.0), abs=1e-4)
    assert pushed.forces[1] == pytest.approx([0.0, 16.0], abs=1e-4)


def test_concentric_load_moves_the_part_straight_and_uses_every_grip():
    grips = np.array([100.0, 50.0, 80.0, 100.0, 50.0])
    positions = np.array([[0.0, 0.0], [0.0, 90.0], [0.0, -90.0], [70.0, 30.0], [-140.0 / 3, -20.0]])
    axis = np.sum(grips[:, None] * positions, axis=0) / np.sum(grips)
    load = [3.0, 4.0, axis[0] * 4.0 - axis[1] * 3.0]
    assert friction_limit(positions, grips, load) == pytest.approx(380.0 / 5.0, rel=1e-9)
    found = centre_forces(THREE, [3.0, 4.0, 0.0], law="friction", strength=10.0)
    assert found.centre is None
    assert found.load_factor == pytest.approx(6.0, rel=1e-9)


@pytest.mark.parametrize("law", LAWS)
@given(group=groups())
def test_forces_balance_the_load_and_stay_within_the_strength(law, group):
    positions, grips, load = group
    found = centre_forces(positions, load, law=law, strength=grips)
    assert found.residual < 1e-9
    along_x, along_y = found.forces.T
    total = np.array([*found.forces.sum(axis=0), np.sum(positions[:, 0] * along_y - positions[:, 1] * along_x)])
    scale = found.load_factor * np.array([1.0, 1.0, max(abs(load[2]), 200.0)])
    assert np.max(np.abs(total - found.load_factor * load) / scale) < 1e-8
    assert np.all(np.hypot(*found.forces.T) <= grips * (1 + 1e-12))


@given(groups())
def test_friction_limit_is_the_least_of_all_motions(group):
    positions, grips, load = group
    limit = friction_limit(positions, grips, load)
    # any motion at which the load does work bounds the limit from above; a scan over centres and translations
    centres = np.stack(np.meshgrid(*[np.linspace(-400.0, 400.0, 33)] * 2), axis=-1).reshape(-1, 2)
    arms = np.hypot(*(positions[None] - centres[:, None]).transpose(2, 0, 1))
    work = np.abs(load[2] - centres[:, 0] * load[1] + centres[:, 1] * load[0])
    assert np.all(arms @ grips >= limit * work * (1 - 1e-9))
    assert limit <= np.sum(grips) * (1 + 1e-9)
    # and the motion about the centre that was found attains it
    centre = centre_forces(positions, load, law="friction", strength=grips).centre
    if centre is not None and math.hypot(*centre) < 1e6:
        power = abs(load[2] - centre[0] * load[1] + centre[1] * load[0])
        assert np.sum(grips * np.hypot(*(positions - centre).T)) / power == pytest.approx(limit, rel=1e-6)


@given(groups())
def test_the_whole_joint_slides_no_sooner_than_its_first_bolt(group):
    positions, grips, load = group
    assert friction_limit(positions, grips, load) >= first_bolt_factor(positions, grips, load) * (1 - 1e-9)


@given(groups(), st.tuples(st.integers(-9, 9), st.integers(-9, 9)), st.floats(0.0, 200.0))
def test_one_more_bolt_never_lowers_the_friction_limit(group, place, grip):
    positions, grips, load = group
    more = np.vstack([positions, 30.0 * np.array(place)])
    assert friction_limit(more, [*grips, grip], load) >= friction_limit(positions, grips, load) * (1 - 1e-9)


@given(groups(), st.floats(1e-3, 1e3))
def test_friction_limit_is_proportional_to_the_grips(group, factor):
    positions, grips, load = group
    limit = friction_limit(positions, grips, load)
    assert friction_limit(positions, factor * grips, load) == pytest.approx(factor * limit, rel=1e-8)
    assert friction_limit(positions, grips, factor * load) == pytest.approx(limit / factor, rel=1e-8)


@pytest.mark.parametrize("law", LAWS)
@given(group=groups(), angle=st.floats(0, 2 * math.pi), shift=st.tuples(st.floats(-500, 500), st.floats(-500, 500)))
def test_turning_and_shifting_everything_changes_no_load_factor(law, group, angle, shift):
    positions, grips, load = group
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    force = turn @ load[:2]
    moved = [*force, load[2] + shift[0] * force[1] - shift[1] * force[0]]
    here = centre_forces(positions, load, law=law, strength=grips)
    there = centre_forces(positions @ turn.T + shift, moved, law=law, strength=grips)
    assert there.load_factor == pytest.approx(here.load_factor, rel=1e-7)


@given(groups())
def test_bearing_carries_less_than_friction_of_the_same_strength(group):
    # every bolt at its strength is the most any law with that strength can give; its end value is 0.98155
    positions, strengths, load = group
    bearing = centre_forces(positions, load, strength=strengths).load_factor
    assert bearing <= 0.98155 * friction_limit(positions, strengths, load) * (1 + 1e-6)


def test_order_of_the_bolts_does_not_matter():
    positions, load = lines(4, 3.0, across=2, gauge=3.0), [0.0, -1.0, -200.0]
    order = [3, 1, 7, 0, 5, 2, 6, 4]
    once, again = centre_forces(positions, load), centre_forces(positions[order], load)
    assert again.forces == pytest.approx(once.forces[order], abs=1e-9)


def test_what_does_not_grip_is_left_out_of_the_friction_limit():
    assert friction_limit(THREE, [100.0, 0.0, 100.0], [0.0, 0.0, 1000.0]) == pytest.approx(16.0, rel=1e-9)
    assert friction_limit(THREE, 0.0, [1.0, 0.0, 0.0]) == 0.0
    assert friction_limit(THREE, [0.0, 100.0, 0.0], [0.0, 1.0, 5.0]) == 0.0
    assert friction_limit(THREE, [0.0, 100.0, 0.0], [0.0, 4.0, 0.0]) == pytest.approx(25.0)
    assert friction_limit(THREE, 100.0, [0.0, 0.0, 0.0]) == math.inf


def test_one_bolt_carries_a_load_through_it():
    found = centre_forces([[20.0, 10.0]], [3.0, 4.0, 20 * 4.0 - 10 * 3.0], law="friction", strength=10.0)
    assert found.load_factor == pytest.approx(2.0)
    assert found.forces == pytest.approx(np.array([[6.0, 8.0]]))


def test_every_printed_formula_gives_its_number():
    for load in ([1.0, 2.0, 300.0], [0.0, 0.0, -5.0]):
        for figure, stored, computed in recomputed(centre_forces(THREE, load, strength=70e3)):
            assert computed == pytest.approx(stored, rel=1e-12), figure.symbol
    unequal = centre_forces(THREE, [1.0, 0.0, 0.0], strength=[1.0, 2.0, 3.0])
    assert (unequal.strength, unequal.coefficient, unequal.moment_coefficient) == (None, None, None)


@pytest.mark.parametrize(
    ("arguments", "options", "message"),
    [
        ((THREE, [0, 0, 0]), {}, r"load must not be zero"),
        ((THREE, [1, 0]), {}, r"load must be the three numbers Fx, Fy, Mz, got shape \(2,\)"),
        ((THREE, [1, 0, math.nan]), {}, r"load must be finite, got \[1.0, 0.0, nan\]"),
        ((THREE, [1, 0, 0]), {"law": "bering"}, r"law 'bering' is unknown; did you mean 'bearing'\?"),
        ((THREE, [1, 0, 0]), {"strength": [1.0, 0.0, 2.0]}, r"strength\[1\] must be above 0 N, got 0 N"),
        ((THREE, [1, 0, 0]), {"strength": [1.0, 2.0]}, r"one number or one per bolt \(3\), got shape \(2,\)"),
        (([], [1, 0, 0]), {}, r"positions must be pairs x, y of one bolt or more"),
        (([[0, 0], ["x", 1]], [1, 0, 0]), {}, r"positions must hold numbers only"),
        (([[0, 0]], [1, 0, 50]), {}, r"a bolt does not hold a moment about it: .* 50 N mm"),
    ],
)
def test_refused_numbers_are_named(arguments, options, message):
    with pytest.raises(InputError, match=message):
        centre_forces(*arguments, **options)


def test_refused_grip_is_named_with_its_value():
    with pytest.raises(InputError, match=r"grips\[2\] must not be below 0 N, got -3 N"):
        friction_limit(THREE, [1.0, 1.0, -3.0], [1.0, 0.0, 0.0])
