"""A group that has slid stays where it is until it is pushed back: counts against a plain walk, instant by instant."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slip.sliding import (
    BACK,
    EVENTS_LISTED,
    FORWARD,
    NONE,
    ONE_WAY,
    SQUARE,
    TWO_WAY,
    BlockSlip,
    Pushed,
    Slides,
    kind_of,
    slips_in_life,
)

GRIP = 40e3
FORCES = st.lists(st.sampled_from([0.0, 20e3, 40e3, 41e3, 50e3, 80e3, -20e3, -41e3, -60e3]), min_size=1, max_size=80)
PLANE = st.lists(st.tuples(st.floats(-80e3, 80e3), st.floats(-80e3, 80e3)), min_size=1, max_size=60)


def pushed(forces):
    """One bolt under in-plane forces, shape (2, m)."""
    forces = np.asarray(forces, dtype=float)
    net = np.vstack([forces, np.zeros(forces.shape[1])])
    return Pushed(np.hypot(*forces)[None] / GRIP, forces[None], net)


def along_x(values):
    return np.vstack([np.asarray(values, dtype=float), np.zeros(len(values))])


def followed(*blocks, chunk=1000, repeats=10.0, permanent=None):
    slides = Slides(np.array([6]))
    if permanent is not None:
        slides.permanent([pushed(along_x([permanent]))])
    for number, forces in enumerate(blocks, start=1):
        count = forces.shape[1]
        slides.begin(BlockSlip(f"block {number}", repeats, 0.5, count, trace=np.zeros(min(count, 10))))
        for start in range(0, count, chunk):
            part = pushed(forces[:, start : start + chunk])
            slides.feed(part.utilisation.max(axis=0), lambda part=part: [part])
        slides.end()
    return slides


def slid(values, **more):
    return followed(along_x(values), **more).blocks[0]


def plainly(forces):
    """Slips, reversals and starts of slips by walking instant by instant; forces of shape (2, m)."""
    line, side, starts, reversals = None, 0, [], 0
    for at, force in enumerate(forces.T):
        size = math.hypot(*force)
        if size / GRIP <= 1.0:
            continue
        line = force / size if line is None else line
        cosine = float(line @ force) / size
        ahead = FORWARD if cosine > 0.0 else BACK
        way = (side or FORWARD) if abs(cosine) <= SQUARE else ahead
        if way != side:
            starts.append(at)
            reversals += side != 0
        side = way
    return len(starts), reversals, starts


def test_a_further_push_the_same_way_is_no_further_slip():
    block = slid([0, 50e3, 0, 60e3, 60e3, 0, 45e3])
    assert (block.events, block.reversals, block.times_without_margin, block.instants, block.longest) == (1, 0, 3, 4, 2)
    (event,) = block.listed
    assert (event.start, event.duration, event.bolt, event.way) == (0.5, 0.5, 6, FORWARD)
    assert event.utilisation == pytest.approx(1.25)
    assert kind_of(block.ways) == ONE_WAY


def test_the_way_back_is_a_reversal_with_its_own_direction_and_peak():
    block = slid([50e3, 20e3, -41e3, -60e3, 20e3, -80e3, 45e3])
    assert (block.events, block.reversals, block.times_without_margin) == (3, 2, 3)
    assert [event.way for event in block.listed] == [FORWARD, BACK, FORWARD]
    assert [event.start for event in block.listed] == [0.0, 1.0, 3.0]
    assert [event.utilisation for event in block.listed] == pytest.approx([1.25, 1.5, 1.125])
    assert block.listed[1].direction == pytest.approx(math.pi)
    assert (block.first_way, block.last_way, kind_of(block.ways)) == (FORWARD, FORWARD, TWO_WAY)


def test_a_change_of_way_without_an_instant_between_is_two_slips_in_one_time_without_margin():
    block = slid([50e3, -50e3, -50e3])
    assert (block.events, block.reversals, block.times_without_margin, block.longest) == (2, 1, 1, 3)
    assert [event.duration for event in block.listed] == [0.5, 1.0]


def test_a_group_that_grips_does_not_slide():
    block = slid([0, 40e3, -40e3])
    assert (block.events, block.times_without_margin, block.listed, kind_of(block.ways)) == (0, 0, [], NONE)


@given(st.integers(1, 120), st.integers(1, 7), st.integers(0, 3), st.integers(1, 50))
def test_an_alternating_load_beyond_the_grip_gives_one_reversal_less_than_pushes(pushes, length, rest, chunk):
    one = [50e3] * length + [0.0] * rest
    values = np.concatenate([np.array(one) * (-1.0) ** number for number in range(pushes)])
    block = slid(values, chunk=chunk)
    assert (block.events, block.reversals) == (pushes, pushes - 1)
    assert len(block.listed) == min(pushes, EVENTS_LISTED)
    assert all(event.duration == length * 0.5 for event in block.listed)


@given(st.lists(st.floats(0.0, 80e3), min_size=1, max_size=80))
def test_a_load_that_acts_one_way_only_has_no_reversal(values):
    block = slid(values)
    assert block.reversals == 0 and block.events == (max(values) > GRIP)
    assert kind_of(block.ways) in (NONE, ONE_WAY)


@given(FORCES, st.integers(1, 80))
def test_any_chunk_size_gives_the_same_slips(values, chunk):
    whole, cut = slid(values), slid(values, chunk=chunk)
    assert whole.listed == cut.listed
    assert np.array_equal(whole.trace, cut.trace)
    names = ("events", "reversals", "times_without_margin", "instants", "longest", "first_way", "last_way")
    assert [getattr(whole, name) for name in names] == [getattr(cut, name) for name in names]


@given(PLANE, st.integers(1, 60))
def test_slips_in_the_plane_agree_with_a_plain_walk(points, chunk):
    forces = np.array(points).T
    block = followed(forces, chunk=chunk).blocks[0]
    events, reversals, starts = plainly(forces)
    assert (block.events, block.reversals) == (events, reversals)
    assert [event.start for event in block.listed] == [0.5 * at for at in starts[:EVENTS_LISTED]]
    over = np.hypot(*forces) / GRIP > 1.0
    assert block.times_without_margin == (np.diff(over.astype(int), prepend=0) == 1).sum()


@given(PLANE)
def test_a_mirrored_history_mirrors_the_directions(points):
    forces = np.array(points).T
    block, mirrored = followed(forces).blocks[0], followed(-forces).blocks[0]
    assert (block.events, block.reversals, block.longest) == (mirrored.events, mirrored.reversals, mirrored.longest)
    for one, other in zip(block.listed, mirrored.listed, strict=True):
        assert (one.start, one.duration, one.utilisation, one.way) == (
            other.start, other.duration, other.utilisation, other.way,
        )  # fmt: skip
        assert math.cos(one.direction - other.direction) == pytest.approx(-1.0)


def test_pushes_square_to_the_first_slip_leave_the_group_on_its_side():
    forces = np.array([[-50e3, 0.0, 3e3, 50e3, 0.0, -3e3], [0.0, 50e3, 50e3, 0.0, 50e3, 50e3]])
    block = followed(forces).blocks[0]
    assert (block.events, block.reversals) == (2, 1)
    assert [event.start for event in block.listed] == [0.0, 1.5]


def test_the_way_is_judged_along_the_first_slip_of_the_level_in_all_its_blocks():
    slides = followed(along_x([-50e3, 0.0]), along_x([50e3, 0.0]))
    first, second = slides.blocks
    assert (first.ways, second.ways) == (frozenset({FORWARD}), frozenset({BACK}))
    assert kind_of(first.ways | second.ways) == TWO_WAY


def test_the_permanent_load_may_push_the_group_before_any_block_does():
    slides = followed(along_x([-50e3]), permanent=50e3)
    assert slides.before == {FORWARD} and slides.blocks[0].ways == {BACK}
    assert followed(along_x([-50e3]), permanent=39e3).before == frozenset()


def test_bolts_whose_clamping_is_gone_without_any_shear_slip_once():
    slides = Slides(np.array([0]))
    slides.begin(BlockSlip("pull", 1.0, 1.0, 3, trace=np.zeros(3)))
    nothing = np.zeros((1, 2, 3))
    part = Pushed(np.array([[np.inf, 0.0, np.inf]]), nothing, np.zeros((3, 3)))
    slides.feed(part.utilisation[0], lambda: [part])
    slides.end()
    (block,) = slides.blocks
    assert (block.events, block.reversals, block.times_without_margin) == (1, 0, 2)


def test_of_two_combinations_the_one_used_further_tells_the_way():
    slides = Slides(np.array([0]))
    slides.begin(BlockSlip("two", 1.0, 1.0, 2, trace=np.zeros(2)))
    parts = [pushed(along_x([50e3, 45e3])), pushed(along_x([45e3, -60e3]))]
    slides.feed(np.maximum(*(part.utilisation[0] for part in parts)), lambda: parts)
    slides.end()
    (block,) = slides.blocks
    assert (block.events, block.reversals) == (2, 1)
    assert [event.utilisation for event in block.listed] == pytest.approx([1.25, 1.5])


def test_one_way_slip_happens_once_in_the_life_and_two_way_slip_with_every_repeat():
    """Hand count over 10 repeats of one load that no other follows."""
    assert slips_in_life(slid([50e3, 0, 50e3]), frozenset()) == 1
    assert slips_in_life(slid([50e3, -50e3]), frozenset()) == 20
    assert slips_in_life(slid([50e3, -50e3, 50e3]), frozenset()) == 3 + 9 * 2
    assert slips_in_life(slid([50e3]), frozenset({BACK})) == 10
    assert slips_in_life(slid([50e3]), frozenset({FORWARD})) == 1
    assert slips_in_life(slid([50e3, -50e3], repeats=0.5), frozenset()) == 1
    assert slips_in_life(slid([0.0]), frozenset({BACK})) == 0


@given(FORCES, st.integers(1, 6))
def test_slips_in_the_life_are_those_of_the_record_repeated_end_to_end(values, repeats):
    block = slid(values, repeats=float(repeats))
    assert slips_in_life(block, frozenset()) == slid(values * repeats).events


def test_memory_and_list_stay_small_over_many_slips():
    values = np.tile([50e3, 0.0, -50e3, 0.0], 50_000)
    block = slid(values, chunk=8192)
    assert (block.events, block.reversals, len(block.listed)) == (100_000, 99_999, EVENTS_LISTED)
