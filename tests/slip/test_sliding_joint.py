"""Slips of a whole joint: net load as the measure of the way, moments, blocks and levels side by side."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from slip.assessment import assess
from slip.corners import net_rows
from slip.joint import BoltedJoint, Grid, grid_positions
from slip.sharing import sharing_matrices
from slip.sliding import NONE, ONE_WAY, TWO_WAY

PATTERN = grid_positions(Grid(3, 2, 90.0, 130.0))
GRIP = 0.4 * 171_500 / 1.1
VALUE = st.floats(-1e5, 1e5)


def joint_of(**changes):
    given = {
        "name": "joint", "standard": "EN 1993", "positions": PATTERN, "size": "M20", "grade": "10.9",
        "preload": 171_500.0, "holes": "normal", "slot_axis": "", "surface": "B", "slip_factor": 0.4, "planes": 1,
        "threads_in_plane": True, "plates": (), "slip": "never", "because": "", "permanent": np.zeros(6),
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def block_of(name="working", repeats=10.0, chunk=65_536, **components):
    values = {key: np.asarray(value, dtype=float) for key, value in components.items()}
    return block_of_arrays(name, values, step=0.5, repeats=repeats, chunk=chunk)


@given(st.lists(st.tuples(VALUE, VALUE), min_size=2, max_size=8), st.lists(VALUE, min_size=12, max_size=12))
def test_the_product_of_two_net_loads_is_that_of_the_bolt_forces_they_cause(places, values):
    places = np.array(places) * 1e-3 + np.arange(len(places))[:, None] * [250.0, 0.0]
    loads = np.array(values).reshape(2, 6)
    forces = sharing_matrices(places)[0] @ loads.T
    nets = net_rows(places) @ loads.T
    product, scale = float((forces[..., 0] * forces[..., 1]).sum()), float((forces**2).sum())
    assert product == pytest.approx(float(nets[:, 0] @ nets[:, 1]) / len(places), abs=1e-7 * scale + 1e-9)


def test_a_moment_that_swings_slips_the_group_back_and_forth_by_its_sign():
    swing = np.array([0, 1, 0, 1, -1, 0, -1, 1, 0]) * 6 * GRIP * 200.0
    level = assess(joint_of(), [block_of(Mz=swing)]).levels["service"]
    (block,) = level.blocks
    assert (level.events, block.reversals, block.times_without_margin) == (3, 2, 3)
    assert level.kind == TWO_WAY


def test_the_way_does_not_depend_on_the_origin_of_the_axes():
    """The same load about another origin: Mz grows by the load times the lever."""
    random = np.random.default_rng(5)
    fx, fy, mz = 4 * GRIP * random.normal(size=(3, 400)) * np.array([[1.0], [1.0], [150.0]])
    here = assess(joint_of(), [block_of(Fx=fx, Fy=fy, Mz=mz)]).levels["service"]
    away = PATTERN + np.array([400.0, -250.0])
    moved = block_of(Fx=fx, Fy=fy, Mz=mz + 400.0 * fy + 250.0 * fx)
    there = assess(joint_of(positions=away), [moved]).levels["service"]
    assert here.events > 20
    assert [event.start for event in here.blocks[0].listed] == [event.start for event in there.blocks[0].listed]
    assert [event.way for event in here.blocks[0].listed] == [event.way for event in there.blocks[0].listed]


@pytest.mark.parametrize("chunk", [1, 7, 400, 65_536])
def test_chunks_of_any_size_give_the_same_slips_of_a_joint_at_both_levels(chunk):
    random = np.random.default_rng(7)
    loads = {"Fx": 3 * GRIP, "Fy": 3 * GRIP, "Fz": 60e3, "Mz": 300 * GRIP}
    loads = {key: size * random.normal(size=500) for key, size in loads.items()}
    joint = joint_of(permanent=np.array([0, -20e3, 5e3, 0, 0, 0]))
    whole, cut = (assess(joint, [block_of(chunk=size, **loads)]).levels for size in (100_000, chunk))
    names = ("events", "reversals", "times_without_margin", "instants", "longest", "first_way", "last_way")
    for name, level in whole.items():
        (one,), (other,) = level.blocks, cut[name].blocks
        assert one.events > 10
        assert [getattr(one, key) for key in names] == [getattr(other, key) for key in names]
        assert [event.start for event in one.listed] == [event.start for event in other.listed]


def test_blocks_that_push_opposite_ways_make_two_way_slip_of_the_level():
    """Hand count: each block slips once in each of its repeats, as the other one may have pushed the group back."""
    up, down = block_of("up", 10.0, Fy=[0, 400e3, 0]), block_of("down", 4.0, Fy=[0, -400e3, 0])
    level = assess(joint_of(), [up, down]).levels["service"]
    assert (level.kind, level.events, level.events_in_life) == (TWO_WAY, 2, 14.0)


def test_blocks_that_push_the_same_way_seat_the_group_once_in_the_life():
    first, second = block_of("first", 10.0, Fy=[0, 400e3]), block_of("second", 4.0, Fy=[420e3, 0, 420e3])
    level = assess(joint_of(), [first, second]).levels["service"]
    assert (level.kind, level.events, level.events_in_life) == (ONE_WAY, 2, 1.0)
    assert [level.in_life(block) for block in level.blocks] == [1.0, 1.0]


def test_a_level_can_slip_while_the_other_one_grips():
    levels = assess(joint_of(), [block_of(Fy=[0, -300e3, 0, 300e3])]).levels
    assert (levels["service"].kind, levels["service"].events_in_life) == (NONE, 0.0)
    assert (levels["ultimate"].kind, levels["ultimate"].events) == (TWO_WAY, 2)


def test_a_load_that_relieves_the_permanent_one_lets_the_group_slip_back():
    joint = joint_of(permanent=np.array([0, -400e3, 0, 0, 0, 0]))
    level = assess(joint, [block_of(Fy=[100e3, 800e3])]).levels["service"]
    assert level.before and level.kind == TWO_WAY
    assert assess(joint, [block_of(Fy=[100e3, 100e3])]).levels["service"].kind == ONE_WAY
