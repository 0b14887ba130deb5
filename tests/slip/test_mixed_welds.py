"""Welds of unlike throats in one joint: by hand, in balance with the load, and as alike ones where they are alike."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from loadhistories.figures import recomputed
from slip.joint import Factors
from slip.mixed_welds import throat_group
from slip.standards import standard
from slip.welded import WeldedJoint, assess_welds

EN = standard("EN 1993")
SIDES = np.array([[[-50, -100], [-50, 100]], [[50, -100], [50, 100]]], dtype=float)
C_SHAPE = np.array([[[0, 0], [0, 200]], [[0, 0], [100, 0]], [[0, 200], [100, 200]]], dtype=float)
COMPONENTS = ("Fx", "Fy", "Fz", "Mx", "My", "Mz")


def assessed(lines, throats, **loads):
    each = tuple(EN.fillet_weld(throat=throat, steel="S355") for throat in throats)
    joint = WeldedJoint("joint", "EN 1993", lines, each[0], "shop", np.zeros(6), Factors(1.0, 1.0, 1.0), each=each)
    arrays = {key: np.asarray(values, dtype=float) for key, values in loads.items()}
    return assess_welds(joint, [block_of_arrays("working", arrays, step=0.01, repeats=1.0)])


def test_two_lines_of_unlike_throats_by_hand():
    """Throats 4 and 8: centroid 200/3 - 50 mm from the middle; 240 kN through it is 240e3/2400 = 100 MPa in both."""
    found = assessed(SIDES, (4.0, 8.0), Fy=[240e3], Mz=[240e3 * (200.0 / 3.0 - 50.0)])
    assert found.force.along_y == pytest.approx(100.0)
    assert found.force.moment_z == pytest.approx(0.0, abs=1e-6)
    assert found.force.size == pytest.approx(100.0 * found.force.throat)
    assert found.utilisation == pytest.approx(100.0 * 4.0 / EN.fillet_weld(throat=4.0, steel="S355").strength)


def test_the_line_with_the_least_margin_governs_not_the_one_with_the_largest_force():
    strong = EN.fillet_weld(throat=8.0, steel="S460")
    weak = EN.fillet_weld(throat=4.0, steel="S235")
    joint = WeldedJoint("j", "EN 1993", SIDES, weak, "shop", np.zeros(6), Factors(1.0, 1.0, 1.0), each=(weak, strong))
    load = {"Fy": np.array([240e3]), "Mz": np.array([240e3 * (200.0 / 3.0 - 50.0)])}
    found = assess_welds(joint, [block_of_arrays("working", load, step=0.01, repeats=1.0)])
    assert found.check.at.startswith("line 1")
    assert (found.force.size, found.check.resistance) == (pytest.approx(400.0), weak.strength)


@given(st.tuples(*[st.floats(-1e5, 1e5)] * 6))
def test_alike_throats_give_what_the_method_for_alike_welds_gives(load):
    loads = dict(zip(COMPONENTS, [[value] for value in load], strict=True))
    mixed = assessed(C_SHAPE, (5.0, 5.0, 5.0), **loads)
    weld = EN.fillet_weld(throat=5.0, steel="S355")
    joint = WeldedJoint("joint", "EN 1993", C_SHAPE, weld, "shop", np.zeros(6), Factors(1.0, 1.0, 1.0))
    arrays = {key: np.asarray(values, dtype=float) for key, values in loads.items()}
    alike = assess_welds(joint, [block_of_arrays("working", arrays, step=0.01, repeats=1.0)])
    assert mixed.force.size == pytest.approx(alike.force.size, rel=1e-9, abs=1e-9)


@given(st.tuples(*[st.floats(-1e5, 1e5)] * 6), st.tuples(*[st.floats(3.0, 12.0)] * 3))
def test_forces_on_all_lines_are_in_balance_with_the_load(load, throats):
    """Simpson's rule is exact for a stress that is linear along a line, and for its moments."""
    from fatigue.welds import line_forces

    group = throat_group(C_SHAPE, np.array(throats))
    total = np.zeros(6)
    forces = line_forces(group) @ np.array(load)
    for number, (line, throat) in enumerate(zip(C_SHAPE, throats, strict=True)):
        span = line[1] - line[0]
        length = np.hypot(*span)
        along = span / length
        across = np.array([-along[1], along[0]])
        ends = [
            np.array([*(force[0] * along + force[1] * across), force[2]]) * throat
            for force in forces[2 * number : 2 * number + 2]
        ]
        for share, weight in ((0.0, 1 / 6), (0.5, 4 / 6), (1.0, 1 / 6)):
            force = ((1 - share) * ends[0] + share * ends[1]) * weight * length
            place = np.array([*(line[0] + share * span), 0.0])
            total += np.concatenate([force, np.cross(place, force)])
    assert total == pytest.approx(np.array(load), rel=1e-7, abs=1e-2)


def test_every_printed_formula_gives_its_number():
    found = assessed(C_SHAPE, (3.0, 5.0, 7.0), Fx=[1e4], Fy=[-6e4], Fz=[2e4], Mx=[1e6], My=[-2e6], Mz=[3e6])
    for figure, stored, computed in recomputed(found.force):
        assert computed == pytest.approx(stored, rel=1e-9), figure.symbol
