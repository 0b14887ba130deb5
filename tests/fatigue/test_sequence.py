"""Blocks that follow one another: joined counts against the counts of histories that are really joined."""

import re
from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.cycles import Bins, count_cycles
from fatigue.sequence import BlockSequence, joined_count, remaining_repeats, sequenced_counts
from loadhistories.validation import InputError

histories = st.lists(st.integers(-8, 8).map(float), min_size=1, max_size=9)


def tabled(*tables):
    """Cycles of some tables as numbers of each (range, mean)."""
    found = Counter()
    for table in tables:
        for key, number in zip(zip(table.ranges, table.means, strict=True), table.counts, strict=True):
            found[tuple(map(float, key))] += float(number)
    return {key: number for key, number in found.items() if number}


@given(
    st.lists(st.tuples(histories, st.integers(1, 4)), min_size=2, max_size=4),
    st.integers(1, 4),
)
def test_a_sequence_counts_what_the_really_joined_history_counts(blocks, times):
    really = np.array([value for _ in range(times) for values, n in blocks for _ in range(n) for value in values])
    counts = [[count_cycles(values)] for values, _ in blocks]
    repeats = [float(n * times) for _, n in blocks]
    sequence = BlockSequence("day", tuple(range(len(blocks))), float(times))
    remaining = remaining_repeats([str(k) for k in range(len(blocks))], repeats, [sequence])
    further, (joined,) = sequenced_counts(counts, remaining, [sequence])
    tables = [joined[0].repeated(float(times))]
    tables += [count[0].repeated(remaining[place]) for place, count in further]
    assert tabled(*tables) == tabled(count_cycles(really).repeated(1.0))


@given(histories, st.integers(1, 5))
def test_a_block_at_several_places_of_a_sequence_is_counted_at_each(values, times):
    counts = [[count_cycles(values)], [count_cycles([20.0, 15.0])]]
    sequence = BlockSequence("day", (0, 1, 0), float(times))
    remaining = remaining_repeats(["a", "b"], [2.0 * times, 1.0 * times], [sequence])
    assert remaining == (0.0, 0.0)
    further, (joined,) = sequenced_counts(counts, remaining, [sequence])
    really = np.tile([*values, 20.0, 15.0, *values], times)
    assert further == []
    assert tabled(joined[0].repeated(float(times))) == tabled(count_cycles(really).repeated(1.0))


@given(histories, histories, st.integers(1, 3))
def test_counts_summed_in_steps_join_as_well_as_whole_ones(first, second, times):
    kept = {"keep": "histogram", "bins": Bins(range_width=0.5, mean_width=1e9)}
    counts = [[count_cycles(values, **kept)] for values in (first, second)]
    sequence = BlockSequence("day", (0, 1), 1.0)
    further, (joined,) = sequenced_counts(counts, [float(times), 0.0], [sequence])
    tables = [joined[0].repeated(1.0), further[0][1][0].repeated(float(times))]
    really = count_cycles([*(first * (1 + times)), *second], **kept)
    assert tabled(*tables) == tabled(really.repeated(1.0))


def test_going_from_a_low_to_a_high_block_and_back_is_one_cycle_of_each_sequence():
    # By hand: 0/1 and 9/10 hold ranges of 1 only; each going up and down again is one range of 10.
    low, high = count_cycles([0.0, 1.0, 0.0]), count_cycles([10.0, 9.0, 10.0])
    table = joined_count([low, high]).repeated(1000.0)
    large = table.ranges == 10.0
    assert table.counts[large].sum() == pytest.approx(1000.0, abs=1.0)
    assert set(table.ranges.tolist()) == {1.0, 10.0}


def test_blocks_outside_of_a_sequence_keep_their_count():
    counts = [[count_cycles([0.0, 5.0, 0.0])], [count_cycles([1.0, 2.0])], [count_cycles([7.0, 8.0])]]
    sequence = BlockSequence("shift", (1, 2), 10.0)
    remaining = remaining_repeats(["a", "b", "c"], [3.0, 10.0, 25.0], [sequence])
    further, joined = sequenced_counts(counts, remaining, [sequence])
    assert remaining == (3.0, 0.0, 15.0)
    assert [place for place, _ in further] == [0, 2]
    assert further[0][1][0] is counts[0][0]
    assert len(further[1][1][0].residue) == 0
    assert joined[0][0].extremes == (1.0, 8.0)


def test_a_block_that_occurs_less_often_than_its_sequence_is_refused_with_both_numbers():
    with pytest.raises(InputError, match=re.escape("needs block 'b' 20 times in the design life, but it occurs 12")):
        remaining_repeats(["a", "b"], [10.0, 12.0], [BlockSequence("day", (0, 1, 1), 10.0)])


def test_a_block_in_two_sequences_and_a_sequence_of_one_block_are_refused_together():
    with pytest.raises(InputError) as refusal:
        remaining_repeats(
            ["a", "b"], [99.0, 99.0], [BlockSequence("day", (0, 1), 10.0), BlockSequence("night", (0,), 5.0)]
        )
    assert "sequence 'night' must name at least two blocks" in str(refusal.value)
    assert "block 'a' stands in the sequences 'day' and 'night'" in str(refusal.value)
