"""Forces on the bolts of a group: published groups, statics, refusals."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from loadhistories.validation import InputError
from slip.sharing import share_forces, sharing_matrices

CASES = tomllib.loads(
    (Path(__file__).parents[1] / "published" / "en1993_joints.toml").read_text(encoding="utf-8")
)["case"]
SQUARE = [[-50.0, -50.0], [50.0, -50.0], [-50.0, 50.0], [50.0, 50.0]]


def in_plane(positions, fx=0.0, fy=0.0, mz=0.0):
    return share_forces(positions, [fx, fy, 0.0, 0.0, 0.0, mz])


def grid(columns, gauge, rows, pitch):
    return [
        (gauge * (i - (columns - 1) / 2), pitch * (j - (rows - 1) / 2)) for j in range(rows) for i in range(columns)
    ]


@st.composite
def groups(draw):
    """Positions of three to twelve bolts on a 5 mm raster that are neither coincident nor on one line."""
    cell = st.tuples(st.integers(-60, 60), st.integers(-60, 60))
    cells = draw(st.lists(cell, min_size=3, max_size=12, unique=True))
    positions = 5.0 * np.array(cells, dtype=float)
    arms = positions - positions.mean(axis=0)
    extents = np.linalg.svd(arms, compute_uv=False)
    assume(extents[1] > 1e-3 * extents[0])
    return positions


LOADS = arrays(np.float64, 6, elements=st.floats(-1e6, 1e6, allow_subnormal=False))


def test_shigley_example_8_7_eccentric_shear_on_four_bolts():
    row = CASES["group-eccentric-shear"]
    given, expected, tolerance = row["inputs"], row["expected"], row["tolerance"]
    force = in_plane(given["bolts_xy_mm"], fy=-given["F_kN"] * 1e3, mz=-given["F_kN"] * 1e3 * given["arm_mm"])
    near, far = force.shear[:2] / 1000, force.shear[2:] / 1000
    assert near == pytest.approx([expected["F_A_B_kN"]] * 2, abs=tolerance["F_A_B_kN"])
    assert far == pytest.approx([expected["F_C_D_kN"]] * 2, abs=tolerance["F_C_D_kN"])
    stress = force.shear.max() / given["root_area_mm2"]
    assert stress == pytest.approx(expected["tau_max_MPa"], abs=tolerance["tau_max_MPa"])


def test_shigley_eccentric_shear_recalled():
    row = CASES["group-textbook"]
    given, expected, rel = row["inputs"], row["expected"], row["relative_tolerance"]
    positions = np.transpose([given["x_mm"], given["y_mm"]])
    shear = in_plane(positions, fy=16e3, mz=16e3 * given["eccentricity_mm"]).shear / 1000
    assert (shear.max(), shear.min()) == pytest.approx((expected["largest_kN"], expected["smallest_kN"]), rel=rel)


def test_three_bolts_in_a_line_by_hand():
    row = CASES["group-line"]
    given, expected = row["inputs"], row["expected"]
    positions = [(0.0, y) for y in given["y_mm"]]
    force = in_plane(positions, fy=given["V_kN"] * 1e3, mz=given["V_kN"] * 1e3 * given["e_mm"])
    middle, outer = expected["middle_kN"], expected["outer_kN"]
    assert force.shear[1] / 1000 == pytest.approx(middle, rel=1e-6)
    assert force.shear[[0, 2]] / 1000 == pytest.approx([outer, outer], rel=1e-6)


def test_steel_buildings_in_europe_group_of_six_preloaded_bolts():
    row = CASES["group-six-bolts"]
    given, expected = row["inputs"], row["expected"]
    positions = np.transpose([given["h_mm"], given["v_mm"]])
    load = given["N_kN"] * 1e3
    force = in_plane(positions, fx=load, mz=load * given["e_mm"])
    along, across = force.in_plane[:, 0] / 1000, force.in_plane[:, 1] / 1000
    assert along == pytest.approx(expected["F_along_kN"], abs=0.03)
    assert across == pytest.approx(expected["F_across_kN"], abs=0.03)
    assert force.shear / 1000 == pytest.approx(expected["F_result_kN"], abs=0.03)


def test_steel_buildings_in_europe_group_of_six_turned_into_the_axes_of_the_frame():
    row = CASES["group-six-bolts"]
    given, expected = row["inputs"], row["expected"]
    load, angle = given["N_kN"] * 1e3, math.radians(given["rotation_deg"])
    positions = np.transpose([given["h_mm"], given["v_mm"]])
    across = in_plane(positions, fx=load, mz=load * given["e_mm"]).in_plane / 1000
    turned = turn(angle)
    force = in_plane(positions @ turned.T, *(load * turned[:, 0]), mz=load * given["e_mm"]).in_plane / 1000
    assert force == pytest.approx(across @ turned.T)
    horizontal = math.cos(angle) * across[:, 1] - math.sin(angle) * across[:, 0]
    vertical = math.cos(angle) * across[:, 0] + math.sin(angle) * across[:, 1]
    assert horizontal == pytest.approx(expected["F_horizontal_kN"], abs=0.03)
    assert vertical == pytest.approx(expected["F_vertical_kN"], abs=0.03)


def test_steel_buildings_in_europe_group_of_four_preloaded_bolts():
    row = CASES["group-four-bolts"]
    given, expected = row["inputs"], row["expected"]
    positions = np.transpose([given["h_mm"], given["v_mm"]])
    load = given["N_kN"] * 1e3
    force = in_plane(positions, fx=load, mz=load * given["e_mm"])
    assert force.in_plane[:, 0] / 1000 == pytest.approx(expected["F_along_kN"], abs=0.04)
    assert force.in_plane[:, 1] / 1000 == pytest.approx(expected["F_across_kN"], abs=0.04)
    assert force.shear / 1000 == pytest.approx(expected["F_result_kN"], abs=0.04)


def test_salmon_johnson_example_of_an_eccentric_group_in_inches_and_kip():
    row = CASES["group-2x3-inch"]
    given, expected, tolerance = row["inputs"], row["expected"], row["tolerance"]
    positions = grid(given["columns"], given["gauge_in"], given["rows"], given["pitch_in"])
    force = in_plane(positions, fy=-given["P_kip"], mz=-given["P_kip"] * given["e_in"])
    assert force.shear.max() == pytest.approx(expected["Rmax_kip"], abs=tolerance["Rmax_kip"])


def test_segui_example_of_an_inclined_load_on_an_unsymmetric_group():
    row = CASES["group-inclined-load"]
    given, expected, tolerance = row["inputs"], row["expected"], row["tolerance"]
    positions = [(x, y) for x in (0.0, given["gauge_in"]) for y in given["y_in"]]
    slope = math.hypot(given["slope_h"], given["slope_v"])
    fx, fy = -given["P_kip"] * given["slope_h"] / slope, -given["P_kip"] * given["slope_v"] / slope
    at_x, at_y = given["gauge_in"] + given["load_x_from_near_column_in"], given["load_y_in"]
    force = in_plane(positions, fx=fx, fy=fy, mz=at_x * fy - at_y * fx)
    assert force.shear.max() == pytest.approx(expected["Rmax_kip"], abs=tolerance["Rmax_kip"])


def test_a_group_under_two_load_components_by_hand():
    row = CASES["group-two-components"]
    given, expected, tolerance = row["inputs"], row["expected"], row["tolerance"]
    positions = grid(given["columns"], given["gauge_mm"], given["rows"], given["pitch_mm"])
    force = in_plane(
        positions, fx=given["Px_kN"] * 1e3, fy=given["Py_kN"] * 1e3, mz=given["Py_kN"] * 1e3 * given["e_mm"]
    )
    assert force.shear.max() / 1000 == pytest.approx(expected["Rmax_kN"], abs=tolerance["Rmax_kN"])


def test_moments_pull_the_bolts_on_the_side_the_right_hand_rule_says():
    tension_by_mx = share_forces(SQUARE, [0, 0, 0, 1e6, 0, 0]).axial
    tension_by_my = share_forces(SQUARE, [0, 0, 0, 0, 1e6, 0]).axial
    assert tension_by_mx == pytest.approx([-5000, -5000, 5000, 5000])
    assert tension_by_my == pytest.approx([5000, -5000, 5000, -5000])


@given(groups(), LOADS)
def test_bolt_forces_balance_the_load(positions, load):
    force = share_forces(positions, load)
    x, y = positions.T
    v, n = force.in_plane, force.axial
    size = 1.0 + np.abs(load).max() + 300.0 * (np.abs(v).sum() + np.abs(n).sum())
    balance = [
        v[:, 0].sum(), v[:, 1].sum(), n.sum(), (n * y).sum(), -(n * x).sum(), (x * v[:, 1] - y * v[:, 0]).sum(),
    ]  # fmt: skip
    assert np.abs(np.array(balance) - load).max() <= 1e-9 * size


def turn(angle):
    return np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])


@given(groups(), LOADS, st.floats(-math.pi, math.pi))
def test_turning_bolts_and_loads_together_turns_the_forces(positions, load, angle):
    matrix = turn(angle)
    turned = np.concatenate([matrix @ load[:2], load[2:3], matrix @ load[3:5], load[5:]])
    before, after = share_forces(positions, load), share_forces(positions @ matrix.T, turned)
    scale = 1.0 + np.abs(before.in_plane).max() + np.abs(before.axial).max() + np.abs(load).max()
    assert np.abs(after.in_plane - before.in_plane @ matrix.T).max() <= 1e-9 * scale
    assert np.abs(after.axial - before.axial).max() <= 1e-9 * scale


@given(groups(), LOADS, st.randoms(use_true_random=False))
def test_the_order_of_the_bolts_does_not_matter(positions, load, random):
    order = list(range(len(positions)))
    random.shuffle(order)
    before, after = share_forces(positions, load), share_forces(positions[order], load)
    scale = 1.0 + np.abs(before.in_plane).max() + np.abs(before.axial).max()
    assert np.abs(after.in_plane - before.in_plane[order]).max() <= 1e-9 * scale
    assert np.abs(after.axial - before.axial[order]).max() <= 1e-9 * scale


@given(groups(), LOADS, st.floats(-500, 500), st.floats(-500, 500))
def test_moving_the_origin_with_the_load_changes_no_force(positions, load, dx, dy):
    fx, fy, fz = load[:3]
    moved = load + np.array([0, 0, 0, dy * fz, -dx * fz, dx * fy - dy * fx])
    before, after = share_forces(positions, load), share_forces(positions + np.array([dx, dy]), moved)
    scale = 1.0 + np.abs(before.in_plane).max() + np.abs(before.axial).max() + np.abs(moved).max()
    assert np.abs(after.in_plane - before.in_plane).max() <= 1e-9 * scale
    assert np.abs(after.axial - before.axial).max() <= 1e-9 * scale


def test_a_history_is_one_product_with_the_matrices():
    history = np.random.default_rng(7).normal(scale=1e4, size=(6, 500))
    shear, axial = sharing_matrices(SQUARE)
    force = share_forces(SQUARE, history.T)
    assert force.in_plane.shape == (500, 4, 2) and force.axial.shape == (500, 4)
    assert np.moveaxis(shear @ history, 2, 0) == pytest.approx(force.in_plane, rel=1e-12, abs=1e-8)
    assert np.transpose(axial @ history) == pytest.approx(force.axial, rel=1e-12, abs=1e-8)


def test_the_instantaneous_centre_balances_the_load_and_spares_the_farthest_bolts():
    positions, loads = grid(1, 0.0, 4, 76.2), [[0, -1e5, 2e3, 0, 0, -1.5e7], [0, 0, 2e3, 0, 0, 0]]
    elastic, centre = (share_forces(positions, loads, method=method) for method in ("elastic", "centre"))
    forces = centre.in_plane[0]
    x, y = np.transpose(positions)
    assert forces.sum(axis=0) == pytest.approx([0.0, -1e5], abs=1e-3)
    assert (x * forces[:, 1] - y * forces[:, 0]).sum() == pytest.approx(-1.5e7, rel=1e-8)
    assert centre.shear[0].max() < elastic.shear[0].max()
    assert not centre.in_plane[1].any() and np.array_equal(centre.axial, elastic.axial)


def test_one_bolt_carries_a_force_through_it_wherever_the_origin_is():
    force = share_forces([[30.0, -20.0]], [1000, 2000, 500, -20 * 500, -30 * 500, 30 * 2000 + 20 * 1000])
    assert force.in_plane.tolist() == [[1000.0, 2000.0]] and force.axial.tolist() == [500.0]


def test_bolts_on_an_inclined_line_carry_the_moment_across_it():
    line = np.array([[-60.0, -80.0], [0.0, 0.0], [60.0, 80.0]])
    force = share_forces(line, [0, 0, 0, 0.8e6, -0.6e6, 0])
    assert force.axial == pytest.approx([-5000.0, 0.0, 5000.0], abs=1e-9)


@pytest.mark.parametrize(
    ("positions", "load", "message"),
    [
        ([[0, 0]], [0, 0, 0, 0, 0, 5], r"one bolt cannot resist a moment: Mz about it, got 5 N mm"),
        ([[0, 10]], [0, 0, 1000, 0, 0, 0], r"one bolt cannot resist a moment: Mx about it, got -10000 N mm"),
        ([[-50, 0], [50, 0]], [0, 0, 0, 7, 0, 0], r"on one line cannot resist a moment about that line, got -?7 N mm"),
        ([[-60, -80], [0, 0], [60, 80]], [0, 0, 0, 600, 800, 0], r"about that line, got -?1000 N mm"),
    ],
)
def test_a_moment_that_the_group_cannot_resist_is_refused(positions, load, message):
    with pytest.raises(InputError, match=message):
        share_forces(positions, load)


@pytest.mark.parametrize(
    ("positions", "message"),
    [
        ([], r"a joint needs at least one bolt, got none"),
        ([[0, 0], [10, 0], [0, 0]], r"bolts 1 and 3 are at one place, \(0, 0\) mm"),
        ([[0, 0], [10, math.inf]], r"position of bolt 2 must be finite, got \(10, inf\) mm"),
        ([[0, 0, 0]], r"positions must have the shape \(bolts, 2\), got \(1, 3\)"),
        ([["a", 0]], r"positions must be pairs of numbers"),
    ],
)
def test_a_group_that_is_none_is_refused(positions, message):
    with pytest.raises(InputError, match=message):
        share_forces(positions, [0] * 6)


@pytest.mark.parametrize(
    ("loads", "message"),
    [
        ([0, 0, 0], r"loads must end in the six components Fx, Fy, Fz, Mx, My, Mz; got the shape \(3,\)"),
        ([0, 0, math.nan, 0, 0, 0], r"loads must be finite"),
        (["a"] * 6, r"loads must be the six numbers"),
    ],
)
def test_loads_that_are_none_are_refused(loads, message):
    with pytest.raises(InputError, match=message):
        share_forces(SQUARE, loads)


def test_an_unknown_method_is_refused():
    with pytest.raises(InputError, match=r"method 'plastic' is unknown; .*known: elastic, centre"):
        share_forces(SQUARE, [0] * 6, method="plastic")
