import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.welds import PROJECTIONS, line_forces, throat_projections, weld_group
from loadhistories.validation import InputError

C_SHAPE = [[[0, 0], [0, 200]], [[0, 0], [100, 0]], [[0, 200], [100, 200]]]


def load_at(force_x, force_y, x, y):
    return np.array([force_x, force_y, 0, 0, 0, x * force_y - y * force_x], dtype=float)


def test_c_shaped_weld_group_of_the_elastic_line_method():
    """Closed form of Shigley Table 9-1 / AISC for a C: L 400, x 25, Ip 3 083 330 mm3, 1080.8 N/mm at 100 kN."""
    group = weld_group(C_SHAPE)
    assert group.length == pytest.approx(400)
    assert group.centroid == pytest.approx([25, 100])
    assert group.polar_moment == pytest.approx(3_083_333, rel=1e-5)
    forces = line_forces(group) @ load_at(0, -100e3, 250, 0)
    assert np.hypot(forces[:, 0], forces[:, 1]).max() == pytest.approx(1080.8, abs=0.11)


def test_axial_force_and_moments_are_in_balance_on_two_lines():
    """Hand calculation: lines of 100 mm at x = +-50; Fz 10 kN gives 50 N/mm, My 1 kNm gives -100 N/mm at x = +50."""
    group = weld_group([[[-50, -50], [-50, 50]], [[50, -50], [50, 50]]])
    forces = line_forces(group)
    assert forces[:, 2, 2] * 10e3 == pytest.approx(np.full(4, 50.0))
    assert forces[:, 2, 4] * 1e6 == pytest.approx([100, 100, -100, -100])
    # Mx: I = 2 * 100^3 / 12, q = M y / I at y = +-50
    assert forces[:, 2, 3] * 1e6 == pytest.approx([-300, 300, -300, 300])


@given(st.floats(-3.0, 3.0), st.tuples(*[st.floats(-1e4, 1e4)] * 3))
def test_turning_welds_and_loads_together_changes_no_force_per_length(angle, load):
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    lines = np.array(C_SHAPE, dtype=float)
    fx, fy, moment = load
    first = line_forces(weld_group(lines)) @ [fx, fy, 0, 0, 0, moment]
    turned = turn @ [fx, fy]
    second = line_forces(weld_group(lines @ turn.T)) @ [*turned, 0, 0, 0, moment]
    assert second == pytest.approx(first, abs=1e-6)


@given(st.floats(-100, 100), st.floats(-100, 100))
def test_projected_range_bounds_the_transverse_stress_from_above_by_two_per_cent(across, normal):
    forces = np.zeros((1, 3, 6))
    forces[0, 1, 0], forces[0, 2, 0] = across, normal
    transverse, _ = throat_projections(forces, throat=1.0)
    exact, bound = np.hypot(across, normal), abs(transverse[:, 0]).max()
    assert transverse.shape == (PROJECTIONS, 6)
    assert exact * (1 - 1e-12) <= bound <= exact * 1.0197


def test_welds_on_one_straight_line_are_refused():
    with pytest.raises(InputError, match="all lie on one straight line"):
        line_forces(weld_group([[[0, 0], [0, 50]], [[0, 60], [0, 90]]]))


def test_a_weld_line_without_length_is_named():
    with pytest.raises(InputError, match="length of weld line 2 must be above 0 mm, got 0"):
        weld_group([[[0, 0], [0, 50]], [[3, 3], [3, 3]]])
