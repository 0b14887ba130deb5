"""Welds that carry the whole load of a joint: force per length, strength, worst instant."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from loadhistories.figures import FAILS, HOLDS
from slip.joint import Factors
from slip.standards import standard
from slip.welded import WeldedJoint, assess_welds

EN = standard("EN 1993")
C_SHAPE = np.array([[[0, 0], [0, 200]], [[0, 0], [100, 0]], [[0, 200], [100, 200]]], dtype=float)
SIDES = np.array([[[-50, -100], [-50, 100]], [[50, -100], [50, 100]]], dtype=float)


def joint_of(lines=SIDES, *, leg=6.0, permanent=(0, 0, 0, 0, 0, 0), factors=None):
    weld = EN.fillet_weld(leg=leg, steel="S355")
    return WeldedJoint(
        "joint", "EN 1993", np.asarray(lines), weld, "shop", np.array(permanent, dtype=float),
        factors or Factors(1.0, 1.0, 1.0),
    )  # fmt: skip


def block_of(**components):
    arrays = {key: np.asarray(values, dtype=float) for key, values in components.items()}
    return block_of_arrays("working", arrays, step=0.01, repeats=1.0)


def test_c_shaped_weld_under_an_eccentric_load_by_the_elastic_line_method():
    """Closed form for a C (textbook tables of weld groups): 1080.8 N/mm for 100 kN at 250 mm from the upright line."""
    found = assess_welds(joint_of(C_SHAPE), [block_of(Fy=[0.0, -100e3], Mz=[0.0, -25e6])])
    assert found.force.size == pytest.approx(1080.8, abs=0.11)
    assert found.check.demand == found.force.size


def test_a_6_mm_fillet_carries_about_1_kN_per_mm_of_its_length():
    """Common practice, no source: 2 x 200 mm of 6 mm weld hold about 400 kN along them."""
    assert assess_welds(joint_of(), [block_of(Fy=[400e3])]).check.state == HOLDS
    assert assess_welds(joint_of(), [block_of(Fy=[420e3])]).check.state == FAILS


def test_the_worst_instant_stands_with_its_load_and_line():
    found = assess_welds(joint_of(permanent=(0, -10e3, 0, 0, 0, 0)), [block_of(Fy=[5e3, -90e3, 60e3])])
    assert found.force.force_y == pytest.approx(-100e3)
    assert found.check.at.startswith("line 1") and "working" in found.check.at


def test_permanent_load_that_helps_is_taken_with_its_smaller_factor():
    """Hand calculation: 1.5 * 100 - 1.0 * 40 = 110 kN over 400 mm is 275 N/mm."""
    joint = joint_of(permanent=(0, -40e3, 0, 0, 0, 0), factors=Factors(1.35, 1.0, 1.5))
    assert assess_welds(joint, [block_of(Fy=[100e3])]).force.size == pytest.approx(275.0)


def test_permanent_load_alone_is_judged_as_well():
    joint = joint_of(permanent=(0, -400e3, 0, 0, 0, 0), factors=Factors(1.35, 1.0, 1.5))
    found = assess_welds(joint, [block_of(Fy=[200e3])])
    assert found.force.force_y == pytest.approx(-540e3)
    assert "permanent load alone" in found.check.at


@given(st.lists(st.tuples(*[st.floats(-1e5, 1e5)] * 6), min_size=1, max_size=6), st.floats(-3.1, 3.1))
def test_turning_welds_loads_and_axes_together_changes_no_force(loads, angle):
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    table = np.array(loads).T
    turned = np.vstack([turn @ table[:2], table[2:3], turn @ table[3:5], table[5:]])
    names = ("Fx", "Fy", "Fz", "Mx", "My", "Mz")
    first = assess_welds(joint_of(C_SHAPE), [block_of(**dict(zip(names, table, strict=True)))])
    second = assess_welds(joint_of(C_SHAPE @ turn.T), [block_of(**dict(zip(names, turned, strict=True)))])
    assert second.force.size == pytest.approx(first.force.size, rel=1e-9, abs=1e-9)


@given(st.tuples(*[st.floats(-1e5, 1e5)] * 6))
def test_the_printed_working_gives_the_force_that_governs(load):
    """The closed form at the governing end equals the largest of the matrix of all ends."""
    from fatigue.welds import line_forces, weld_group

    found = assess_welds(joint_of(C_SHAPE), [block_of(**dict(zip(("Fx", "Fy", "Fz", "Mx", "My", "Mz"), [
        [value] for value in load], strict=True)))])  # fmt: skip
    all_ends = np.linalg.norm(line_forces(weld_group(C_SHAPE)) @ np.array(load), axis=1)
    assert found.force.size == pytest.approx(all_ends.max(), rel=1e-9, abs=1e-9)
