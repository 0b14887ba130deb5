import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.cycles import count_cycles
from fatigue.timed import TimedWalk, timed_count, timed_points
from fatigue.turning import turning_places, turning_points
from loadhistories.validation import InputError

HISTORIES = st.lists(st.integers(-8, 8).map(float), min_size=1, max_size=80)
ASTM = [-2, 1, -3, 5, -1, 3, -4, 4, -2]


def pairs(*tables, smallest=0.0):
    found = [
        (r, m)
        for table in tables
        for r, m in zip(table.ranges.tolist(), table.means.tolist(), strict=True)
        if r >= smallest and r > 0
    ]
    return sorted(found)


def test_cycles_of_astm_e1049_85_figure_6_with_their_samples():
    count = timed_count(timed_points(ASTM))
    assert pairs(count.closed) == [(4.0, 1.0)]
    assert (count.closed.first[0], count.closed.second[0], count.closed.closing[0]) == (4, 5, 6)
    assert count.halves.ranges.tolist() == [3.0, 4.0, 8.0, 9.0, 8.0, 6.0]


@given(HISTORIES)
def test_the_same_cycles_are_found_as_by_the_count_without_times(values):
    count, timed = count_cycles(values), timed_count(timed_points(values))
    assert pairs(timed.closed) == pairs(count.closed)
    thrice = count_cycles(values * 3)
    assert pairs(timed.closed, timed.closed, timed.closed, timed.joined, timed.joined) == pairs(thrice.closed)


@given(HISTORIES)
def test_the_turning_points_of_a_cycle_give_its_range_and_mean(values):
    timed = timed_count(timed_points(values))
    given = np.array(values + values)
    for table in (timed.closed, timed.joined, timed.halves):
        first, second = given[table.first], given[table.second]
        assert np.abs(first - second).tolist() == table.ranges.tolist()
        assert (0.5 * (first + second)).tolist() == table.means.tolist()
    for table in (timed.closed, timed.joined):
        assert (table.first < table.second).all() and (table.second < table.closing).all()
    assert (timed.joined.closing >= len(values)).all()


@given(HISTORIES, st.floats(0.5, 9.0), st.integers(1, 30))
def test_leaving_small_cycles_out_chunk_by_chunk_loses_no_large_one(values, smallest, chunk):
    loads = np.zeros((6, len(values)))
    loads[1] = values
    walk = TimedWalk([[0, 1, 0, 0, 0, 0], [0, 2, 0, 0, 0, 0]], [smallest, 0.0])
    for start in range(0, len(values), chunk):
        walk.feed(loads[:, start : start + chunk])
    once, twice = (timed_count(points) for points in walk.points())
    whole = timed_count(timed_points(values))
    assert pairs(once.closed, smallest=smallest) == pairs(whole.closed, smallest=smallest)
    assert pairs(once.joined, smallest=smallest) == pairs(whole.joined, smallest=smallest)
    assert twice.closed.ranges.tolist() == (2 * whole.closed.ranges).tolist()
    assert twice.closed.closing.tolist() == whole.closed.closing.tolist()


@given(HISTORIES)
def test_the_places_of_turning_points_are_where_they_stand(values):
    given = np.array(values)
    assert given[turning_places(given)].tolist() == turning_points(given).tolist()


def test_a_history_without_a_value_has_no_cycle():
    count = timed_count(timed_points([]))
    assert [len(table.ranges) for table in (count.closed, count.joined, count.halves)] == [0, 0, 0]


def test_a_history_with_a_gap_is_refused():
    with pytest.raises(InputError, match="values must be finite"):
        timed_points([0.0, math.nan])
