"""Cycles that were counted elsewhere: ranges, from–to tables and level crossings."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fatigue import count_cycles
from loadhistories import InputError, Term
from loadhistories.blocks import block_of_cycles
from loadhistories.counted import counted_cycles, cycles_of_crossings, cycles_of_ends, cycles_of_ranges


def table(cycles):
    return sorted(zip(cycles.lows.tolist(), cycles.highs.tolist(), cycles.counts.tolist(), strict=True))


def test_ranges_start_from_the_stated_lowest_value_or_lie_around_the_stated_mean():
    assert table(cycles_of_ranges([10, 4], [5, 7], lowest=-2.0)) == [(-2.0, 2.0, 7.0), (-2.0, 8.0, 5.0)]
    assert table(cycles_of_ranges([10, 4], [5, 7], mean=1.0)) == [(-4.0, 6.0, 5.0), (-1.0, 3.0, 7.0)]
    assert table(cycles_of_ranges([10, 4], [5, 7], means=[0.0, 9.0])) == [(-5.0, 5.0, 5.0), (7.0, 11.0, 7.0)]


@pytest.mark.parametrize(
    ("values", "top"), [("exact", 10.0), ("upper edge", 10.0), ("middle", 11.0), ("lower edge", 12.0)]
)
def test_a_class_of_ranges_counts_with_its_upper_edge(values, top):
    assert cycles_of_ranges([10.0], [1], lowest=0.0, values=values, width=2.0).ranges.tolist() == [top]


@pytest.mark.parametrize(
    ("values", "ends"),
    [("exact", (0.0, 10.0)), ("middle", (-1.0, 11.0)), ("lower edge", (0.0, 12.0)), ("upper edge", (-2.0, 10.0))],
)
def test_the_ends_of_a_class_count_with_its_outer_edges(values, ends):
    cycles = cycles_of_ends([10.0], [0.0], [3], halves=False, values=values, width=2.0)
    assert table(cycles) == [(*ends, 3.0)]


def test_an_entry_of_a_table_of_turns_is_half_a_cycle():
    assert table(cycles_of_ends([0, 5], [5, 0], [10, 8], halves=True)) == [(0.0, 5.0, 4.0), (0.0, 5.0, 5.0)]


def test_cycles_without_range_or_number_fall_away():
    assert table(counted_cycles([0, 1, 2], [5, 1, 9], [3, 100, 0])) == [(0.0, 5.0, 3.0)]


def test_level_crossings_are_paired_largest_with_largest():
    # By hand: 10 crossings of 0, 4 of 10 and of -10, 1 of 20; levels from -20 to 30.
    levels, crossings = [-20, -10, 0, 10, 20, 30], [0, 4, 10, 4, 1, 0]
    cycles = cycles_of_crossings(levels, crossings, both_ways=False)
    assert table(cycles) == [(-20.0, 20.0, 3.0), (-20.0, 30.0, 1.0), (-10.0, 10.0, 6.0)]
    both = cycles_of_crossings(levels, np.multiply(2, crossings), both_ways=True)
    assert table(both) == table(cycles)


def test_levels_that_nothing_connects_make_cycles_of_their_own():
    cycles = cycles_of_crossings([0, 1, 2, 3, 4], [0, 2, 0, 5, 0], both_ways=False)
    assert table(cycles) == [(0.0, 2.0, 2.0), (2.0, 4.0, 5.0)]


@given(st.lists(st.integers(-8, 8), min_size=4, max_size=40), st.sampled_from([1.0, 3.0, 5.0]))
def test_cycles_of_level_crossings_are_never_milder_than_those_of_the_history_itself(history, slope):
    values = np.array([*history, history[0]], dtype=float)
    assume(np.ptp(values) > 0.0)
    turned = np.roll(values[:-1], -int(values[:-1].argmax()))
    values = np.append(turned, turned[0])
    levels = np.arange(-9.5, 10.0, 1.0)
    crossings = [int(((values[:-1] < level) & (values[1:] > level)).sum()) for level in levels]
    cycles = cycles_of_crossings(levels, crossings, both_ways=False)
    counted = count_cycles(values)
    assert (cycles.counts * cycles.ranges**slope).sum() >= (counted.counts * counted.ranges**slope).sum() * (1 - 1e-12)
    assert cycles.extremes[0] <= values.min()
    assert cycles.extremes[1] >= values.max()
    crossed = [float(cycles.counts[(cycles.lows < level) & (cycles.highs > level)].sum()) for level in levels]
    assert all(again >= once for again, once in zip(crossed, crossings, strict=True))


@pytest.mark.parametrize(
    ("levels", "crossings", "wording"),
    [
        ([0, 1, 2], [0, 5, 3], "the highest level, 2 in base units, is still crossed 3 times"),
        ([0, 1, 2], [1, 5, 0], "the lowest level, 0 in base units, is still crossed 1 times"),
        ([0, 2, 1], [0, 5, 0], "each above the one before"),
        ([0, 1], [0, 0], "at least three levels"),
        ([0, 1, 2], [0, -1, 0], "must be finite and not below 0"),
        ([0, 1, 2], [0, 0, 0], "the table holds no cycle"),
    ],
)
def test_level_crossings_that_leave_something_open_are_refused(levels, crossings, wording):
    with pytest.raises(InputError, match=wording):
        cycles_of_crossings(levels, crossings, both_ways=False)


@pytest.mark.parametrize(
    ("options", "wording"),
    [
        ({"lowest": 0.0, "mean": 1.0}, "exactly one of the means, lowest and mean"),
        ({}, "exactly one of the means"),
        ({"lowest": 0.0, "values": "middle"}, "class_width must be above 0"),
    ],
)
def test_ranges_without_what_they_need_are_refused(options, wording):
    with pytest.raises(InputError, match=wording):
        cycles_of_ranges([10.0], [1.0], **options)
    with pytest.raises(InputError, match="a range must not be below 0, got -1 in entry 2"):
        cycles_of_ranges([1.0, -1.0], [1.0, 1.0], lowest=0.0)
    with pytest.raises(InputError, match="number of cycles must not be below 0, got -2 in entry 1"):
        cycles_of_ranges([1.0], [-2.0], lowest=0.0)
    with pytest.raises(InputError, match="number of cycles must be finite"):
        cycles_of_ranges([1.0], [np.nan], lowest=0.0)


def test_a_block_of_cycles_has_the_components_and_the_stress_that_the_load_makes():
    cycles = counted_cycles([0.0, -2000.0], [10_000.0, 3000.0], [4.0, 9.0])
    terms = {"Fy": [Term("Load")], "Mz": [Term("Load", "-0.5 m")]}
    block = block_of_cycles("lifts", cycles, cycles.history("N", 60.0), terms, repeats=7.0)
    assert not block.timed
    assert block.counted.components.tolist() == [0.0, 1.0, 0.0, 0.0, 0.0, -500.0]
    (chunk,) = block.chunks()
    assert chunk[1].tolist() == [0.0, 10_000.0, -2000.0, 3000.0]
    assert chunk[5].tolist() == [0.0, -5e6, 1e6, -1.5e6]
    # 0.001 MPa/N of Fy and 1e-6 MPa/(N mm) of Mz: 0.001 - 0.0005 = 0.0005 MPa/N
    stress = block.counted.along(np.array([0, 1e-3, 0, 0, 0, 1e-6])).repeated(7.0)
    assert stress.ranges == pytest.approx([5.0, 2.5])
    assert stress.means == pytest.approx([2.5, 0.25])
    assert stress.counts.tolist() == [28.0, 63.0]
    turned = block.scaled(-2.0).counted.along(np.array([0, 1e-3, 0, 0, 0, 0]))
    assert np.array(table(turned)) == pytest.approx(np.array([(-20.0, 0.0, 4.0), (-6.0, 4.0, 9.0)]))


def test_one_cycle_alone_is_a_history_of_enough_samples():
    assert counted_cycles([0.0], [1.0], [5.0]).history("N", 10.0).samples == 4
