"""Bearing of every bolt in the direction of its force, with its own end, edge and spacings."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from slip.assessment import assess
from slip.joint import BoltedJoint, Grid, Plate, grid_positions
from slip.sharing import share_forces
from slip.standards import standard

EN = standard("EN 1993")
COMPONENTS = ("Fx", "Fy", "Fz", "Mx", "My", "Mz")


def plate_of(thickness=10.0, end=40.0, edge=30.0, **more):
    return Plate("plate", thickness, "S275", 275.0, 430.0, end, edge, **more)


def joint_of(grid=None, **changes):
    given = {
        "name": "joint", "standard": "EN 1993", "size": "M20", "grade": "8.8", "preload": 0.0, "holes": "normal",
        "slot_axis": "", "surface": "", "slip_factor": 0.0, "planes": 1, "threads_in_plane": True,
        "plates": (plate_of(),), "slip": "allowed", "because": "", "permanent": np.zeros(6), "grid": grid,
        "positions": grid_positions(grid) if grid else None,
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def block_of(**components):
    values = {key: np.asarray(value, dtype=float) for key, value in components.items()}
    return block_of_arrays("working", values, step=0.01, repeats=10.0)


def check(joint, name, **loads):
    return next(item for item in assess(joint, [block_of(**loads)]).checks if item.id == name)


def test_steel_buildings_in_europe_web_cleat_bears_at_its_end_bolt():
    """Steel Buildings in Europe, Multi-Storey Part 5, p. 5-74: 105 kN at the end, 139 kN at an inner bolt, of 6."""
    cleat = joint_of(Grid(6, 1, 70.0, 0.0), plates=(plate_of(edge=40.0),))
    found = check(cleat, "bearing-plate-y", Fy=[-300e3])
    assert found.resistance / 1e3 == pytest.approx(104.24, abs=0.005)
    assert found.demand == pytest.approx(1.5 * 300e3 / 6)


def test_steel_buildings_in_europe_fin_plate_in_both_directions():
    """Multi-Storey Part 5, p. 5-41, unrounded: 88.32 kN upright, 113.36 kN across; 5 rows of 2, pitch 70, gauge 60."""
    fin = joint_of(Grid(5, 2, 70.0, 60.0), plates=(plate_of(edge=50.0),))
    loads = {"Fy": [-300e3], "Mz": [-300e3 * 80.0]}
    assert check(fin, "bearing-plate-y", **loads).resistance / 1e3 == pytest.approx(88.322, abs=0.005)
    assert check(fin, "bearing-plate-x", **loads).resistance / 1e3 == pytest.approx(113.36, abs=0.005)


@pytest.mark.parametrize(("side", "force", "bolt"), [
    ("support", -1.0, 1), ("support", 1.0, 3), ("part", -1.0, 3), ("part", 1.0, 1),
])  # fmt: skip
def test_the_end_counts_only_where_the_force_points_to_it(side, force, bolt):
    """Three bolts upright, bolt 1 lowest: the bolts press on the support along the force, on the part against it."""
    joint = joint_of(Grid(3, 1, 90.0, 0.0), plates=(plate_of(belongs_to=side),))
    found = check(joint, "bearing-plate-y", Fy=[force * 100e3])
    assert found.at.startswith(f"bolt {bolt},")
    assert {type(part).__name__ for part in found.working[1:-1]} == {"EndFactor", "EdgeFactor"}


def test_with_a_short_pitch_the_inner_bolts_govern():
    """Hand calculation: p 50: 50/66 - 0.25 = 0.508, below 40/66 = 0.606 of the end bolt; k_1 2.118."""
    joint = joint_of(Grid(3, 1, 50.0, 0.0), plates=(plate_of(belongs_to="support"),))
    found = check(joint, "bearing-plate-y", Fy=[-100e3])
    assert found.resistance == pytest.approx((50 / 66 - 0.25) * (2.8 * 30 / 22 - 1.7) * 430 * 20 * 10 / 1.25)
    assert not found.at.startswith("bolt 1,")


def test_two_bolts_bear_at_the_end_by_the_one_that_is_ahead():
    """Hand calculation: e_1 25: 25/66; bolt 1 has 90 mm to bolt 2."""
    joint = joint_of(
        positions=np.array([[0.0, 0.0], [0.0, 90.0]]), plates=(plate_of(end=25.0, belongs_to="support"),)
    )
    up = check(joint, "bearing-plate-y", Fy=[100e3])
    assert up.at.startswith("bolt 2,")
    assert up.resistance == pytest.approx(25 / 66 * (2.8 * 30 / 22 - 1.7) * 430 * 20 * 10 / 1.25)


def test_an_inner_column_counts_its_gauge_and_no_edge():
    joint = joint_of(Grid(1, 3, 0.0, 60.0), plates=(plate_of(end=40.0, edge=16.0, belongs_to="support"),))
    outer = check(joint, "bearing-plate-y", Fy=[-100e3])
    assert outer.at.startswith(("bolt 1,", "bolt 3,"))
    assert outer.resistance == pytest.approx(40 / 66 * (2.8 * 16 / 22 - 1.7) * 430 * 20 * 10 / 1.25)


def brute_force(joint, table, axis, direction):
    """Largest use of any bolt at any instant, in either sense of the force, from the rules alone."""
    bolt = EN.bolt(joint.size, joint.grade)
    hole = EN.hole(bolt, joint.holes)
    (plate,) = joint.plates
    number = "xy".index(direction)
    along, across = joint.positions[:, number], joint.positions[:, 1 - number]
    ends = (plate.end_distance, plate.edge_distance)
    end, edge = ends if direction == axis else ends[::-1]
    forces = 1.5 * share_forces(joint.positions, table).in_plane[:, :, number]
    worst = 0.0
    for one in range(joint.bolts):
        line = [o for o in range(joint.bolts) if o != one and abs(across[o] - across[one]) < 22.0]
        row = [o for o in range(joint.bolts) if o != one and abs(along[o] - along[one]) < 22.0]
        gauges = [abs(across[o] - across[one]) for o in row]
        between = {np.sign(across[o] - across[one]) for o in row} == {1.0, -1.0}
        for sense in (1, -1):
            ahead = [sense * (along[o] - along[one]) for o in line if sense * (along[o] - along[one]) > 0]
            found = EN.bearing(
                bolt, hole, plate, end_distance=None if ahead else end, pitch=min(ahead, default=None),
                edge_distance=None if between else edge, gauge=min(gauges, default=None),
            )  # fmt: skip
            worst = max(worst, float(np.abs(forces[:, one]).max()) / found.resistance)
    return worst


@settings(max_examples=30)
@given(
    st.lists(st.tuples(*[st.floats(-1e5, 1e5)] * 3), min_size=1, max_size=20),
    st.floats(26.0, 80.0), st.floats(26.0, 80.0), st.floats(50.0, 120.0), st.floats(50.0, 120.0),
)  # fmt: skip
def test_no_bolt_at_any_instant_is_used_more_than_the_check_says(loads, end, edge, pitch, gauge):
    table = np.zeros((len(loads), 6))
    table[:, [0, 1, 5]] = np.array(loads) * [1.0, 1.0, 100.0]
    joint = joint_of(Grid(4, 3, pitch, gauge), plates=(plate_of(end=end, edge=edge),))
    outcome = assess(joint, [block_of(**dict(zip(COMPONENTS, table.T, strict=True)))])
    for direction in "xy":
        expected = brute_force(joint, table, outcome.load_axis, direction)
        found = [item for item in outcome.checks if item.id == f"bearing-plate-{direction}"]
        assert (found[0].utilisation if found else 0.0) == pytest.approx(expected, rel=1e-9, abs=1e-12)


@settings(max_examples=15)
@given(st.integers(1, 50), st.integers(0, 1000))
def test_permanent_load_and_chunks_of_any_size_give_the_same_bearing(size, seed):
    values = np.random.default_rng(seed).normal(0, 4e4, (3, 120))
    permanent = np.array([0.0, -30e3, 0.0, 0.0, 0.0, 2e6])
    joint = joint_of(Grid(3, 2, 90.0, 130.0), permanent=permanent)
    block = block_of(Fx=values[0], Fy=values[1], Mz=100 * values[2])
    (whole,) = block.chunks()
    parts = [whole[:, at : at + size] for at in range(0, whole.shape[1], size)]
    cut = replace(block, chunks=lambda: iter(parts))
    for one, other in zip(assess(joint, [block]).checks, assess(joint, [cut]).checks, strict=True):
        assert (one.id, one.at) == (other.id, other.at)
        assert one.utilisation == pytest.approx(other.utilisation, rel=1e-12)


def test_a_plate_with_its_own_holes_bears_by_them():
    """EN 1993-1-8:2005, Table 3.4, note 1: 0.8 for oversize holes, here of 24 mm in one plate only."""
    joint = joint_of(Grid(3, 1, 90.0, 0.0), plates=(plate_of(holes="oversize"),))
    found = check(joint, "bearing-plate-y", Fy=[-100e3])
    assert found.resistance == pytest.approx(0.8 * 40 / 72 * (2.8 * 30 / 24 - 1.7) * 430 * 20 * 10 / 1.25)
