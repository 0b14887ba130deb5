"""Turning points against ASTM E1049-85, and the two forms of the search against each other."""

import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fatigue.kernel import compiled_kernel
from fatigue.turning import find_turning, find_turning_by_words, turning_points

PUBLISHED = tomllib.loads((Path(__file__).parents[1] / "published" / "rainflow.toml").read_text(encoding="utf-8"))


def test_plateaus_and_points_on_a_slope_are_no_reversals_astm_e1049_85():
    row = PUBLISHED["case"]["plateaus"]
    assert turning_points(np.array(row["inputs"]["history"], float)).tolist() == row["expected"]["turning_points"]


@pytest.mark.parametrize(
    ("history", "points"), [([], []), ([2], [2]), ([2, 2], [2]), ([2, 3], [2, 3]), ([2, 2, 3, 3, 1, 1], [2, 3, 1])]
)
def test_turning_points_of_short_histories_by_hand(history, points):
    assert turning_points(np.array(history, float)).tolist() == points


@given(st.lists(st.integers(-2, 2).map(float), max_size=60))
@settings(deadline=None)
def test_turning_points_alternate_keep_both_ends_and_are_their_own_turning_points(history):
    values = np.array(history)
    points = turning_points(values)
    steps = np.diff(points)
    assert (steps[1:] * steps[:-1] < 0).all() and (steps != 0).all()
    assert turning_points(points).tolist() == points.tolist()
    if history:
        assert points[0] == history[0] and points[-1] == history[-1]
        assert points.min() == min(history) and points.max() == max(history)


def histories():
    rng = np.random.default_rng(8)
    for length in (1, 2, 63, 64, 65, 66, 127, 128, 129, 130, 1000):
        for _ in range(6):
            yield rng.normal(size=length)
            yield rng.integers(-1, 2, length).astype(float)
            yield np.repeat(rng.normal(size=length), rng.integers(1, 150, length))[:length]
            yield np.cumsum(rng.random(length))
            yield np.full(length, 0.5)


@pytest.mark.parametrize("rising", [False, True])
@pytest.mark.parametrize("last", [0.5, -9.0])
def test_both_forms_find_the_same_points_to_the_bit(rising, last):
    compiled = compiled_kernel().turning
    for values in histories():
        plain, words = np.zeros((2, len(values) + 1))
        assert find_turning(values, last, rising, plain) == compiled(values, last, rising, words)
        assert plain.tobytes() == words.tobytes()


def test_the_form_in_words_is_right_without_being_compiled_too():
    values = np.random.default_rng(4).integers(-3, 4, 300).astype(float)
    plain, words = np.zeros((2, 300))
    with np.errstate(over="ignore"):
        assert find_turning_by_words(values, 0.5, True, words) == find_turning(values, 0.5, True, plain)
    assert plain.tobytes() == words.tobytes()


@pytest.mark.parametrize("place", [0, 1, 40, 64, 65, 128, 299])
def test_a_sample_that_is_not_a_number_is_noticed_wherever_it_stands(place):
    for values in (np.arange(300.0), -np.arange(300.0), np.zeros(300), np.sin(np.arange(300.0))):
        values[place] = np.nan
        for form in (find_turning, compiled_kernel().turning):
            assert not form(values, 1.0, True, np.empty(301))[2]
