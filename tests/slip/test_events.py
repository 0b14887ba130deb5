import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from slip.events import (
    PERMANENT_ALONE,
    Acting,
    Combination,
    Level,
    LevelWalk,
    Rows,
)
from slip.measures import forces_of, preload_share_measure, slip_measure

ONCE = Level("service", (Combination("every load once", 1.0, 1.0),), factor=0.4, tension_share=0.8)
PRELOAD = 100e3


def walk_of(forces, *, chunk=65_536, tension=0.0, permanent=0.0, level=ONCE, step=0.01, repeats=10.0):
    """One bolt under forces along x; its grip without tension is 40 kN."""
    block = block_of_arrays("running", {"Fx": np.asarray(forces, dtype=float)}, step=step, repeats=repeats, chunk=chunk)
    measures = {"slip": slip_measure(level, PRELOAD), "share": preload_share_measure(level, PRELOAD)}
    walk = LevelWalk(
        level, measures, bolts=[0], all_forces=lambda load: (load[None, :2], load[None, 2]), slip="slip",
        preload=PRELOAD,
    )  # fmt: skip
    rows = Rows(np.array([[0, 1, 2]]), np.array([0, 1, 3]))
    still = np.array([[permanent], [0], [0], [0], [0], [0]], dtype=float)
    fixed = Acting(still, np.array([[permanent], [0.0], [0.0], [0.0]]), rows)
    walk.permanent(fixed)
    walk.begin(block)
    for part in block.chunks():
        table = np.stack([part[0], 0 * part[0], np.full(part.shape[1], float(tension)), 0 * part[0]])
        walk.feed(Acting(part, table, rows), fixed)
    walk.end()
    return walk


def test_each_push_back_and_forth_is_one_slip_with_its_peak():
    walk = walk_of([0, 50e3, 60e3, 0, -45e3, 0, 41e3])
    (block,) = walk.blocks
    assert (block.times_without_margin, block.instants, block.longest) == (3, 4, 2)
    assert (block.events, block.reversals) == (3, 2)
    first, second, last = block.listed
    assert (first.start, first.duration, first.utilisation) == pytest.approx((0.01, 0.02, 1.5))
    assert (second.start, second.direction) == pytest.approx((0.04, np.pi))
    assert last.start == pytest.approx(0.06)
    worst = walk.worst["slip"]
    assert (worst.time, worst.bolt, worst.value, worst.load) == (pytest.approx(0.02), 0, pytest.approx(1.5), "running")


def test_no_margin_left_is_not_yet_a_slip():
    assert walk_of([0, 40e3, 0]).blocks[0].events == 0


def test_tension_takes_its_share_of_the_clamping_force():
    """EN 1993-1-8:2005, 3.9.2: 0.4 * (100 - 0.8 * 50) = 24 kN of grip are left."""
    assert walk_of([12e3], tension=50e3).worst["slip"].value == pytest.approx(0.5)
    assert walk_of([12e3], tension=-50e3).worst["slip"].value == pytest.approx(0.3)


def test_a_bolt_whose_clamping_is_used_up_by_tension_has_no_grip_at_all():
    walk = walk_of([0.0, 1.0], tension=125e3)
    assert walk.worst["slip"].value == np.inf
    assert walk.blocks[0].events == 1


def test_the_share_of_preload_at_slip_is_where_the_reduced_preload_gives_a_utilisation_of_one():
    walk = walk_of([10e3, 20e3], tension=30e3)
    share = walk.worst["share"].value
    assert share == pytest.approx((20e3 / 0.4 + 0.8 * 30e3) / PRELOAD)
    reduced = slip_measure(ONCE, share * PRELOAD)
    assert reduced(forces_of(np.array([[[20e3], [0.0]]]), np.array([[30e3]])))[0, 0] == pytest.approx(1.0)


def test_the_permanent_load_alone_can_be_the_worst():
    walk = walk_of([-30e3, -20e3], permanent=35e3)
    assert walk.worst["slip"].load == PERMANENT_ALONE
    assert walk.worst["slip"].time is None
    assert walk.worst["slip"].value == pytest.approx(35 / 40)


def test_a_favourable_permanent_load_is_taken_with_its_smaller_factor():
    both = Level("ultimate", (Combination("a", 1.35, 1.5), Combination("b", 1.0, 1.5)), 0.4, 0.8)
    walk = walk_of([-30e3], permanent=20e3, level=both)
    assert walk.worst["slip"].combination == "a"
    assert walk.worst["slip"].value == pytest.approx(27 / 40)
    walk = walk_of([-40e3], permanent=20e3, level=both)
    assert walk.worst["slip"].combination == "b"
    assert walk.worst["slip"].value == pytest.approx(40 / 40)


@given(st.lists(st.floats(-80e3, 80e3), min_size=1, max_size=60), st.integers(1, 60))
def test_any_chunk_size_gives_the_same_events_extremes_and_trace(forces, chunk):
    whole, cut = walk_of(forces), walk_of(forces, chunk=chunk)
    assert whole.blocks[0].listed == cut.blocks[0].listed
    assert np.array_equal(whole.blocks[0].trace, cut.blocks[0].trace)
    assert (whole.blocks[0].instants, whole.blocks[0].longest) == (cut.blocks[0].instants, cut.blocks[0].longest)
    assert whole.worst["slip"].value == cut.worst["slip"].value
    assert whole.worst["slip"].time == cut.worst["slip"].time


@given(st.lists(st.floats(-80e3, 80e3), min_size=1, max_size=200))
def test_instants_and_trace_agree_with_a_plain_look_at_the_history(forces):
    walk = walk_of(forces)
    over = np.abs(forces) / 40e3 > 1.0
    assert walk.blocks[0].instants == over.sum()
    assert walk.blocks[0].times_without_margin == (np.diff(over.astype(int), prepend=0) == 1).sum()
    assert walk.blocks[0].trace.max() == pytest.approx(np.abs(forces).max() / 40e3)
