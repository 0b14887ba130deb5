"""Counts as values: joined and repeated they hold what counting the whole history gives."""

import re
from collections import Counter
from itertools import chain

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fatigue.cycles import Bins, CycleCount, count_cycles
from loadhistories.validation import InputError

LEVELS = st.lists(st.integers(-3, 3).map(float), max_size=40)
REALS = st.lists(st.floats(-1e300, 1e300), max_size=40)
ANY = st.one_of(LEVELS, REALS)
EIGHTHS = st.lists(st.integers(-99, 99).map(lambda step: step / 8), max_size=40)


class Cube:
    """A life curve of slope 3 through range 1 at one cycle."""

    def damage(self, ranges, counts):
        return float((counts * ranges**3).sum())


def numbers_by_cycle(count) -> dict[tuple[float, float], float]:
    """How many cycles of each range and mean."""
    total = Counter()
    for *cycle, number in zip(count.ranges.tolist(), count.means.tolist(), count.counts.tolist(), strict=True):
        total[tuple(cycle)] += number
    return dict(sorted(total.items()))


def assert_same(joined: CycleCount, whole: CycleCount) -> None:
    assert numbers_by_cycle(joined) == numbers_by_cycle(whole)
    assert numbers_by_cycle(joined.closed) == numbers_by_cycle(whole.closed)
    assert joined.residue.tolist() == whole.residue.tolist()
    assert joined.samples == whole.samples
    assert joined.extremes == whole.extremes


@given(ANY, st.data())
@settings(deadline=None)
def test_counts_of_the_two_parts_of_a_history_add_to_the_count_of_the_whole(history, data):
    place = data.draw(st.integers(0, len(history)))
    assert_same(count_cycles(history[:place]) + count_cycles(history[place:]), count_cycles(history))


@given(st.lists(LEVELS, max_size=6))
@settings(deadline=None)
def test_counts_of_many_parts_add_in_any_grouping(parts):
    counts = [count_cycles(part) for part in parts]
    nothing = count_cycles([])
    from_left, from_right = nothing, nothing
    for count in counts:
        from_left = from_left + count
    for count in reversed(counts):
        from_right = count + from_right
    assert_same(from_left, count_cycles(list(chain(*parts))))
    assert_same(from_right, from_left)


@given(ANY, st.integers(1, 50))
@settings(deadline=None)
def test_a_count_times_n_is_the_count_of_the_history_repeated_n_times(history, times):
    assert_same(times * count_cycles(history), count_cycles(times * history))
    assert_same(count_cycles(history) * times, times * count_cycles(history))


@given(ANY, st.integers(1, 6), st.integers(1, 6))
@settings(deadline=None)
def test_repetitions_multiply_and_add(history, first, second):
    count = count_cycles(history)
    assert_same(first * (second * count), (first * second) * count)
    assert_same(first * count + second * count, (first + second) * count)


@given(ANY, st.integers(1, 20))
@settings(deadline=None)
def test_repeated_by_a_whole_number_is_the_count_times_that_number(history, times):
    count = count_cycles(history)
    assert numbers_by_cycle(count.repeated(times)) == numbers_by_cycle(times * count)


@given(EIGHTHS, st.integers(0, 6), st.sampled_from([0.25, 0.5, 0.75]))
@settings(deadline=None)
def test_repeated_is_linear_between_whole_numbers(history, floor, share):
    count = count_cycles(history)
    expected = Counter()
    for times, weight in ((floor, 1 - share), (floor + 1, share)):
        for cycle, number in numbers_by_cycle(times * count if times else count_cycles([])).items():
            expected[cycle] += weight * number
    assert numbers_by_cycle(count.repeated(floor + share)) == dict(sorted(expected.items()))


def test_a_million_repetitions_take_one_junction():
    count = count_cycles([0.0, 10.0, 2.0])
    many = 1_000_000 * count
    # by hand: 0 to 10 opens, then every further repetition closes 10 to 0 through the 2 on its slope
    assert numbers_by_cycle(many.closed) == {(10.0, 5.0): 999_999.0}
    assert many.residue.tolist() == [0.0, 10.0, 2.0]
    assert many.samples == 3_000_000


def test_the_count_of_nothing_adds_nothing_to_a_count_of_any_kind():
    history = [0.0, 4.0, 1.0, 3.0, -2.0, 0.0]
    for options in ({}, {"keep": "histogram", "bins": Bins(1.0, 1.0)}, {"keep": "damage", "curves": [Cube()]}):
        count = count_cycles(history, **options)
        assert count + count_cycles([]) is count
        assert count_cycles([]) + count is count


@given(EIGHTHS, st.data())
@settings(deadline=None)
def test_histograms_of_parts_add_to_the_histogram_of_the_whole(history, data):
    place = data.draw(st.integers(0, len(history)))
    options = {"keep": "histogram", "bins": Bins(0.75, 1.5)}
    parts = [count_cycles(part, **options) for part in (history[:place], history[place:])]
    assert_same(parts[0] + parts[1], count_cycles(history, **options))
    assert_same(7 * parts[0], count_cycles(7 * history[:place], **options))


@given(EIGHTHS, st.data(), st.integers(1, 9))
@settings(deadline=None)
def test_damage_of_parts_adds_to_the_damage_of_the_whole_and_of_all_cycles(history, data, times):
    place = data.draw(st.integers(0, len(history)))
    options = {"keep": "damage", "curves": [Cube()]}
    parts = [count_cycles(part, **options) for part in (history[:place], history[place:])]
    whole = count_cycles(history)
    full = Cube().damage(whole.ranges, whole.counts)
    assert (parts[0] + parts[1]).damage()[0] == pytest.approx(full, rel=1e-12)
    repeated = whole.repeated(times + 0.5)
    full = Cube().damage(repeated.ranges, repeated.counts)
    summed = count_cycles(history, **options)
    assert summed.damage(times + 0.5)[0] == pytest.approx(full, rel=1e-12)
    assert (times * summed).damage()[0] == pytest.approx(summed.damage(times)[0], rel=1e-12)


def test_a_count_cannot_be_changed_through_its_arrays():
    count = count_cycles([0.0, 4.0, 1.0, 3.0, -2.0, 0.0])
    for array in (count.ranges, count.means, count.counts, count.residue, count.closed.ranges):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1.0


@pytest.mark.parametrize(
    ("times", "message"),
    [
        (0, "a count is repeated at least once, got 0"),
        (-2, "a count is repeated at least once, got -2"),
        (2.5, "a count is repeated a whole number of times, got 2.5; use .repeated for others"),
        (True, "a count is repeated a whole number of times, got True"),
    ],
)
def test_a_refused_number_of_repetitions_is_named(times, message):
    with pytest.raises(InputError, match=re.escape(message)):
        times * count_cycles([0.0, 1.0])


def test_repeats_of_zero_or_less_are_refused():
    with pytest.raises(InputError, match="number of repeats must be above 0, got 0"):
        count_cycles([0.0, 1.0]).repeated(0)
    with pytest.raises(InputError, match="number of repeats must be finite, got inf"):
        count_cycles([0.0, 1.0]).repeated(np.inf)


def test_counts_of_different_kinds_do_not_add():
    history = [0.0, 4.0, 1.0]
    binned = count_cycles(history, keep="histogram", bins=Bins(1.0, 1.0))
    with pytest.raises(InputError, match="counts that keep cycles and histogram do not add; count both alike"):
        count_cycles(history) + binned
    with pytest.raises(InputError, match="histograms of different bins do not add"):
        binned + count_cycles(history, keep="histogram", bins=Bins(2.0, 1.0))
    with pytest.raises(InputError, match="damage sums on different curves do not add"):
        count_cycles(history, keep="damage", curves=[Cube()]) + count_cycles(history, keep="damage", curves=[Cube()])
    with pytest.raises(TypeError):
        count_cycles(history) + 1


def test_what_was_not_kept_is_refused():
    summed = count_cycles([0.0, 4.0, 1.0], keep="damage", curves=[Cube()])
    with pytest.raises(InputError, match="only the damage sum was kept, no cycles"):
        _ = summed.ranges
    with pytest.raises(InputError, match="cycles were kept, no damage sum"):
        count_cycles([0.0, 4.0, 1.0]).damage()
