"""Noise, the gate and the sampling test."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.noise import gated, noise_of, turning_places
from loadhistories.sampling import sampling_of, seen


@pytest.mark.parametrize("size", [0.02, 3.0])
def test_noise_is_measured_beside_a_load(size):
    noise = np.random.default_rng(0).normal(0.0, size, 20_000)
    assert noise_of(noise) == pytest.approx(size, rel=0.06)
    load = 500.0 * size * np.sin(np.arange(20_000) / 150.0)
    assert noise_of(noise + load) == pytest.approx(size, rel=0.06)
    assert noise_of(noise[:20]) == 0.0


@given(st.lists(st.integers(-50, 50), min_size=2, max_size=200), st.integers(1, 40))
def test_between_turning_points_of_a_gate_the_values_climb_or_fall_throughout(values, gate):
    values = np.array(values, float)
    after, places = gated(values, gate), turning_places(values, gate)
    assert np.abs(after - values).max() < gate
    for start, end in itertools.pairwise(places):
        steps = np.diff(after[start : end + 1])
        assert (steps >= 0).all() or (steps <= 0).all()
    inner = places[1:-1]
    assert after[inner].tolist() == values[inner].tolist()
    assert (np.abs(np.diff(values[inner])) >= gate).all()


@pytest.mark.parametrize("per_cycle", [8.0, 12.0, 40.0])
def test_samples_a_cycle_of_a_sine_are_found(per_cycle):
    found = sampling_of(np.sin(2 * np.pi * np.arange(4000) / per_cycle), 0.01, 0.0)
    assert found.samples_per_cycle == pytest.approx(per_cycle, abs=2.0)
    assert found.frequency == pytest.approx(1.0 / (found.samples_per_cycle * 0.01))
    assert found.coarse == (per_cycle < 10)


def test_fast_cycles_that_do_no_damage_do_not_make_a_record_coarse():
    time = np.arange(8000)
    values = np.sin(2 * np.pi * time / 200) + 0.05 * np.sin(2 * np.pi * time / 4)
    assert sampling_of(values, 0.01, 0.0).samples_per_cycle > 150


def test_noise_alone_has_no_cycles_to_be_tested():
    noise = np.random.default_rng(2).normal(0, 1, 5000)
    assert sampling_of(noise, 0.01, noise_of(noise)) is None
    assert sampling_of(np.zeros(500), 0.01, 0.0) is None


@pytest.mark.parametrize("slope", [3.0, 5.0])
def test_what_samples_show_of_a_sine_is_what_sampled_sines_show_on_average(slope):
    # Peak of a sine against the nearest sample, over 4001 places at which the first sample may fall.
    for per_cycle in (6, 10, 20):
        starts = np.linspace(-np.pi / per_cycle, np.pi / per_cycle, 4001)
        assert seen(float(per_cycle), slope) == pytest.approx(np.mean(np.cos(starts) ** slope), rel=2e-3)


def test_the_damage_that_is_missed_is_estimated():
    values = np.sin(2 * np.pi * np.arange(4000) / 10.0 + 0.3)
    found = sampling_of(values, 0.01, 0.0)
    assert found.missed_low == pytest.approx(1 - seen(10.0, 3.0), abs=0.01)
    assert found.missed_high == pytest.approx(1 - seen(10.0, 5.0), abs=0.02)
