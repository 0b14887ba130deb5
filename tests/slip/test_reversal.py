import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slip.reversal import reversal_of, reversal_rows

ONE_BOLT = np.eye(6)[None, :2]


def of(*forces):
    loads = np.zeros((6, len(forces)))
    loads[:2] = np.array(forces, dtype=float).T
    return seen(ONE_BOLT, loads)


def seen(in_plane, loads):
    along = reversal_rows(in_plane) @ loads
    return reversal_of(along.min(axis=1), along.max(axis=1))


def test_a_force_that_keeps_its_sign_does_not_reverse():
    assert not of((0, 10), (0, 60), (0, 2)).reversed


def test_a_force_that_turns_round_is_found_with_both_sizes():
    found = of((0, -60e3), (0, 20e3))
    assert found.reversed
    assert {round(found.forward), round(found.back)} == {20_000, 60_000}


def test_measuring_noise_across_the_load_is_no_reversal():
    assert not of((-0.3, 100.0), (0.3, 40.0)).reversed


@given(st.floats(0, np.pi), st.floats(1.0, 1e5))
def test_a_swinging_force_is_seen_with_nine_tenths_of_its_size_in_any_direction(angle, size):
    force = size * np.array([np.cos(angle), np.sin(angle)])
    found = of(force, -force)
    assert found.reversed
    assert 0.92 * size <= min(found.forward, found.back) <= size * (1 + 1e-12)


def test_the_worst_bolt_is_named():
    """Hand calculation: bolt 1 feels Fx, bolt 2 half of Fx and all of Fy."""
    only_x, both = np.diag([1.0, 0, 0, 0, 0, 0])[:2], np.diag([0.5, 1.0, 0, 0, 0, 0])[:2]
    loads = np.zeros((6, 3))
    loads[0], loads[1] = [10, -2, 0], [0, 0, -7]
    loads[1, 0] = 5
    found = seen(np.array([only_x, both]), loads)
    assert found.bolt == 1
    assert (found.forward, found.back) == pytest.approx((5.0, 7.0))
