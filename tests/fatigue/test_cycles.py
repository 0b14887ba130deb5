"""Rainflow cycles against ASTM E1049-85, against hand counts and against an independent count."""

import re
import tomllib
from collections import Counter
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fatigue.cycles import Bins, CountMismatch, CycleCount, count_cycles, verify
from loadhistories.validation import InputError

PUBLISHED = tomllib.loads((Path(__file__).parents[1] / "published" / "rainflow.toml").read_text(encoding="utf-8"))

# Every way a history can be awkward: ties and plateaus, quantised values, and numbers of any size.
LEVELS = st.lists(st.integers(-3, 3).map(float), max_size=40)
QUANTISED = st.lists(st.integers(-40, 40).map(lambda step: step / 8), max_size=40)
REALS = st.lists(st.floats(-1e100, 1e100).map(lambda value: 0.0 if abs(value) < 1e-100 else value), max_size=40)
TAME = st.lists(st.floats(-1e3, 1e3).map(lambda value: round(value, 6)), max_size=40)
EXACT = st.one_of(LEVELS, QUANTISED)
ANY = st.one_of(LEVELS, QUANTISED, TAME, REALS)


def case(name):
    row = PUBLISHED["case"][name]
    return row["inputs"], row["expected"]


def numbers_by_range(count: CycleCount) -> dict[float, float]:
    """How many cycles of each range."""
    total = Counter()
    for span, number in zip(count.ranges.tolist(), count.counts.tolist(), strict=True):
        total[span] += number
    return dict(sorted(total.items()))


def numbers_by_cycle(count) -> dict[tuple[float, float], float]:
    """How many cycles of each range and mean."""
    total = Counter()
    for *cycle, number in zip(count.ranges.tolist(), count.means.tolist(), count.counts.tolist(), strict=True):
        total[tuple(cycle)] += number
    return dict(sorted(total.items()))


def test_cycles_of_astm_e1049_85_figure_6():
    inputs, expected = case("open_history")
    count = count_cycles(inputs["history"])
    assert numbers_by_range(count) == dict(zip(expected["ranges"], expected["counts"], strict=True))
    assert count.counts.sum() == (len(inputs["history"]) - 1) / 2


def test_means_on_the_history_of_astm_e1049_85_figure_6():
    inputs, expected = case("means")
    found = numbers_by_cycle(count_cycles(inputs["history"]))
    assert found == {(span, mean): number for span, mean, number in sorted(expected["range_mean_count"])}


def test_closed_cycles_and_residue_by_the_four_point_rule_of_amzallag_1994():
    inputs, expected = case("closed_and_residue")
    count = count_cycles(inputs["history"])
    assert [list(row) for row in zip(*count.closed, strict=True)] == expected["closed"]
    assert count.residue.tolist() == expected["residue"]


def test_constant_amplitude_by_astm_e1049_85():
    inputs, expected = case("constant_amplitude")
    count = count_cycles(inputs["history"])
    assert numbers_by_cycle(count) == {(expected["ranges"][0], expected["means"][0]): expected["counts"][0]}


def three_point_count(points) -> dict[tuple[float, float], float]:
    """Procedure 5.4.4 of ASTM E1049-85 as it stands there, on turning points: cycles by range and mean."""
    found, read = Counter(), []
    for point in points:
        read.append(point)
        while len(read) >= 3 and abs(read[-1] - read[-2]) >= abs(read[-2] - read[-3]):
            cycle = abs(read[-2] - read[-3]), 0.5 * (read[-2] + read[-3])
            if len(read) == 3:
                found[cycle] += 0.5
                del read[0]
            else:
                found[cycle] += 1.0
                del read[-3:-1]
    for first, second in pairwise(read):
        found[abs(second - first), 0.5 * (first + second)] += 0.5
    return dict(sorted(found.items()))


def test_four_points_and_residue_give_the_cycles_of_three_points_mcinnes_and_meehan_2008():
    inputs, expected = case("equivalence")
    rng = np.random.default_rng(inputs["seed"])
    mismatches = 0
    for number in range(inputs["histories_integer"] + inputs["histories_real"]):
        length = rng.integers(inputs["shortest"], inputs["longest"] + 1)
        whole = number < inputs["histories_integer"]
        history = rng.integers(-5, 6, length).astype(float) if whole else rng.normal(size=length)
        history = history[np.concatenate(([True], np.diff(history) != 0))]
        turns = [history[0]]
        for before, value, after in zip(history, history[1:], history[2:], strict=False):
            if (value - before) * (after - value) < 0:
                turns.append(value)
        mismatches += numbers_by_cycle(count_cycles(history)) != three_point_count([*turns, *history[1:][-1:]])
    assert mismatches == expected["mismatches"]


@pytest.mark.parametrize(
    ("history", "cycles"),
    [
        ([], {}),
        ([7], {}),
        ([7, 7], {}),
        ([7, 7, 7], {}),
        ([1, 4], {(3, 2.5): 0.5}),
        ([1, 1, 4, 4], {(3, 2.5): 0.5}),
        ([1, 2, 4], {(3, 2.5): 0.5}),
        ([1, 4, 2], {(3, 2.5): 0.5, (2, 3): 0.5}),
        ([0.0, -0.0, 0.0], {}),
    ],
)
def test_short_and_flat_histories_counted_by_hand(history, cycles):
    assert numbers_by_cycle(count_cycles(history)) == dict(sorted(cycles.items()))


@given(ANY)
@settings(deadline=None)
def test_an_independent_count_finds_the_same_cycles(history):
    count = count_cycles(history)
    assert verify(history, count).cycles == count.counts.sum()


@given(EXACT)
@settings(deadline=None)
def test_without_rounding_an_independent_count_finds_the_same_ranges_means_and_numbers_even_with_ties(history):
    assert verify(history, count_cycles(history)).difference == 0.0


@pytest.mark.parametrize("name", ["random", "tied", "quantised", "rising", "constant", "dolls"])
def test_an_independent_count_of_a_long_history_finds_the_same_cycles(name):
    rng = np.random.default_rng(3)
    steps = np.arange(10_000)
    history = {
        "random": rng.normal(size=20_000),
        "tied": rng.integers(-2, 3, 20_000).astype(float),
        "quantised": np.round(20 * np.sin(steps / 3) * rng.normal(size=10_000)) / 4,
        "rising": np.cumsum(rng.random(10_000)),
        "constant": np.full(10_000, 3.25),
        "dolls": np.where(steps % 2, 1.0, -1.0) * np.minimum(steps, steps[::-1]),
    }[name]
    assert verify(history, count_cycles(history)).difference == 0.0


def test_a_wrong_count_is_found_by_the_independent_one():
    history = [-2.0, 1, -3, 5, -1, 3, -4, 4, -2]
    with pytest.raises(CountMismatch, match=r"a cycle differs by 0\.5 from that of rainflow"):
        verify(history, count_cycles([-2.0, 1, -3, 5, -1, 3.5, -4, 4, -2]))
    with pytest.raises(CountMismatch, match=r"3\.5 cycles were counted, rainflow counts 4"):
        verify(history, count_cycles(history[:-1]))


@given(EXACT, st.sampled_from([0.125, 0.5, 2.0, 3.0, 1024.0]))
@settings(deadline=None)
def test_scaling_a_history_scales_ranges_and_means(history, factor):
    scaled = count_cycles(factor * np.array(history))
    count = count_cycles(history)
    assert scaled.ranges.tolist() == (factor * count.ranges).tolist()
    assert scaled.means.tolist() == (factor * count.means).tolist()
    assert scaled.counts.tolist() == count.counts.tolist()


@given(ANY)
@settings(deadline=None)
def test_a_history_and_its_negative_have_the_same_ranges_and_opposite_means(history):
    count, negative = count_cycles(history), count_cycles(-np.array(history, float))
    assert negative.ranges.tolist() == count.ranges.tolist()
    assert negative.means.tolist() == (-count.means).tolist()
    assert negative.residue.tolist() == (-count.residue).tolist()


@given(ANY)
@settings(deadline=None)
def test_a_history_read_backwards_has_the_same_cycles(history):
    assert numbers_by_cycle(count_cycles(history[::-1])) == numbers_by_cycle(count_cycles(history))


@given(ANY)
@settings(deadline=None)
def test_plateaus_and_points_on_a_slope_change_nothing(history):
    dense = np.repeat(np.array(history, float), 2)
    assert numbers_by_cycle(count_cycles(dense)) == numbers_by_cycle(count_cycles(history))


@given(ANY)
@settings(deadline=None)
def test_the_extremes_are_those_of_the_whole_history_and_the_largest_range_lies_between_them(history):
    count = count_cycles(history)
    if not history:
        assert count.extremes is None
        return
    assert count.extremes == (min(history), max(history))
    assert count.ranges.max(initial=0.0) == max(history) - min(history)


@given(ANY)
@settings(deadline=None)
def test_no_range_is_zero(history):
    assert (count_cycles(history).ranges > 0).all()


def test_whole_numbers_of_any_width_are_counted_as_such():
    for kind in (np.int16, np.uint8, np.int64, np.float32):
        history = np.array([-32768, 32767, 0] if kind == np.int16 else [200, 10, 250, 5, 255], kind)
        assert numbers_by_cycle(count_cycles(history)) == numbers_by_cycle(count_cycles(history.astype(float)))


def test_a_refused_value_is_named_with_its_index():
    for wrong in (np.nan, np.inf, -np.inf, 1.7e308):
        history = np.sin(np.arange(1000.0))
        history[731] = wrong
        with pytest.raises(InputError, match=re.escape(f"got {wrong:g} at index 731; mend or cut the history")):
            count_cycles(history)


@pytest.mark.parametrize("place", [0, 1, -1])
def test_a_value_that_is_not_a_number_is_refused_at_either_end(place):
    for before in ([0.0, 1.0, 2.0], [2.0, 1.0, 0.0], [1.0, 1.0, 1.0]):
        before[place] = np.nan
        with pytest.raises(InputError, match=f"got nan at index {place % 3}"):
            count_cycles(before)


def test_a_refused_shape_or_kind_of_data_is_named():
    with pytest.raises(InputError, match=r"values must have shape \(n,\), got \(2, 2\)"):
        count_cycles([[1, 2], [3, 4]])
    with pytest.raises(InputError, match=r"values must have shape \(n,\), got \(\)"):
        count_cycles(3.0)
    with pytest.raises(InputError, match="values must be real numbers, got <U3 data"):
        count_cycles(["1.0", "2.0"])
    with pytest.raises(InputError, match="values must be real numbers, got complex128 data"):
        count_cycles([1j, 2.0])


def test_verification_is_refused_where_it_cannot_be_made():
    binned = count_cycles([0, 5, 0], keep="histogram", bins=Bins(1.0, 1.0))
    with pytest.raises(InputError, match='this count kept histogram; use keep="cycles"'):
        verify([0, 5, 0], binned)
    with pytest.raises(InputError, match="without gaps"):
        verify([0, np.nan, 0], count_cycles([0, 5, 0]))
