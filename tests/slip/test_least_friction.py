"""The straight way to the least friction work against the cone program that always finds it; bolts that hold a part."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slip import mechanism
from slip.centre import friction_limit
from slip.clearance import Holes, _beyond, extremes
from slip.least_friction import least_friction
from slip.mechanism import Group, in_friction


@st.composite
def groups(draw):
    """Positions on a raster, grips, and a load."""
    cells = draw(st.lists(st.tuples(st.integers(-4, 4), st.integers(-4, 4)), min_size=2, max_size=12, unique=True))
    grips = draw(st.lists(st.sampled_from([20.0, 60.0, 100.0]), min_size=len(cells), max_size=len(cells)))
    angle, lever = draw(st.floats(0, 2 * math.pi)), draw(st.sampled_from([0.0, 3.0, 70.0, 400.0, 5000.0]))
    return 45.0 * np.array(cells, dtype=float), np.array(grips), np.array([math.cos(angle), math.sin(angle), lever])


@given(groups())
def test_the_straight_way_and_the_cone_program_agree(group):
    positions, grips, load = group
    straight = friction_limit(positions, grips, load)
    kept = mechanism.least_friction
    mechanism.least_friction = lambda *_: None
    try:
        by_cones = friction_limit(positions, grips, load)
    finally:
        mechanism.least_friction = kept
    assert straight == pytest.approx(by_cones, rel=1e-9)


@given(groups())
def test_what_is_found_straight_away_is_shown_to_be_exact(group):
    """The work of the motion bounds the limit from above, forces in balance within the grips from below: no gap."""
    positions, grips, load = group
    scaled = Group(positions, load)
    idle, ahead = scaled.maps @ scaled.idle, scaled.maps @ scaled.load
    found = least_friction(ahead, idle, grips)
    if found is None:
        return
    work = float(grips @ np.hypot(*(ahead + idle @ found[0]).T))
    _, forces = in_friction(scaled, grips)
    assert np.all(np.hypot(*forces.T) <= grips * (1.0 + 1e-12))
    total = scaled.total(forces)
    assert np.abs(total - (scaled.load @ total) * scaled.load).max() <= 1e-9 * grips.sum()
    assert float(scaled.load @ total) == pytest.approx(work, rel=1e-10)


def test_a_middle_bolt_that_stands_still_is_found():
    ahead = np.array([[0.0, 1.0], [0.0, 0.0], [0.0, -1.0]])
    idle = np.zeros((3, 2, 2))
    idle[:] = np.eye(2)
    aside, used = least_friction(ahead, idle, np.ones(3))
    assert aside == pytest.approx([0.0, 0.0], abs=1e-15)
    assert used[1] == pytest.approx([0.0, 0.0], abs=1e-15)


@st.composite
def parts(draw):
    """Holes of unlike clearance, some slotted, and a direction of work."""
    cells = draw(st.lists(st.tuples(st.integers(-6, 6), st.integers(-6, 6)), min_size=2, max_size=24, unique=True))
    count = len(cells)
    clearances = draw(st.lists(st.floats(0.5, 3.0), min_size=count, max_size=count))
    slots = draw(st.lists(st.sampled_from([0.0, 0.0, 4.0, 9.0]), min_size=count, max_size=count))
    angle, turn = draw(st.floats(0, 2 * math.pi)), draw(st.floats(-200.0, 200.0))
    places = 45.0 * np.array(cells, dtype=float)
    holes = Holes(places, np.array(clearances), np.stack([slots, np.zeros(count)], axis=1))
    return holes, np.array([[math.cos(angle), math.sin(angle), turn]])


@given(parts())
def test_bolts_that_were_not_looked_at_hold_the_part_no_further_back(part):
    """The same motion with every bolt looked at from the start, and none out of its hole."""
    holes, works = part
    few = extremes(holes, works)
    every = Holes(holes.positions, holes.clearances, holes.slots)
    every.holding.update(range(len(holes.positions)))
    assert np.max(_beyond(holes, few)) <= 1e-9
    assert float(works[0] @ few[0]) == pytest.approx(float(works[0] @ extremes(every, works)[0]), rel=1e-8)
