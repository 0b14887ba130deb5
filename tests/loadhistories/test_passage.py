"""Passage through resonance against an independent integration and Fresnel integrals; strokes against momentum."""

import math
import re
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadhistories.exciters import along_line, rotating, strokes
from loadhistories.passage import (
    forces_of,
    integrated,
    passing_harmonics,
    passing_strokes,
    steady_harmonics,
    steady_strokes,
)
from loadhistories.speedlaw import SpeedLaw, speed_table, straight
from loadhistories.support import support, transmissibility
from loadhistories.validation import InputError


def newmark(forces, step, natural, damping):
    """Force on the support by constant average acceleration, for a mass of 1: a method of its own."""
    rate = 2.0 * math.pi * natural
    stiffness, drag = rate**2, 2.0 * damping * rate
    place, speed, pull = 0.0, 0.0, forces[0]
    found = [stiffness * place + drag * speed]
    effective = stiffness + 2.0 * drag / step + 4.0 / step**2
    for force in forces[1:]:
        right = force + drag * (2.0 * place / step + speed) + 4.0 * place / step**2 + 4.0 * speed / step + pull
        after = right / effective
        new_speed = 2.0 * (after - place) / step - speed
        pull = 4.0 * (after - place) / step**2 - 4.0 * speed / step - pull
        place, speed = after, new_speed
        found.append(stiffness * place + drag * speed)
    return np.array(found)


@pytest.mark.parametrize(("start", "stop", "damping"), [(1.0, 2.0, 0.02), (3.0, 1.0, 0.1)])
def test_a_start_and_stop_through_resonance_agrees_with_an_independent_integration(start, stop, damping):
    on = support(4.0, damping)
    fan = rotating("fan", Fraction(10), 50.0)
    law = straight(start, 0.0, 1.0).then(straight(0.5, 1.0, 1.0)).then(straight(stop, 1.0, 0.0))
    step = 1.0 / 4000.0
    times = np.arange(int((law.span + 1.0) / step)) * step
    for row in (0, 1):
        expected = newmark(forces_of(fan, row, law, times), step, 4.0, damping)
        found = passing_harmonics(fan, (on, on), law, times)[row]
        assert found == pytest.approx(expected, abs=5e-4 * np.abs(expected).max())


def test_a_slow_passage_peaks_where_fresnel_integrals_say():
    # Undamped, force cos(pi a t^2): near resonance the response is omega / 2 times the integral of exp(i pi a t^2),
    # which is pi / sqrt(2) * sqrt(f_n^2 / a) times the Fresnel integral from minus infinity; worked by hand.
    from scipy.special import fresnel

    rising = np.linspace(0.0, 3.0, 30_001)
    sine, cosine = fresnel(rising)
    overshoot = np.hypot(cosine + 0.5, sine + 0.5).max()
    slowness = 250.0
    times = np.arange(0.0, 1.2 * slowness, 1.0 / 100.0)
    values, _ = integrated(
        support(1.0, 1e-9),
        [(0.0, float(times[-1]), lambda time: math.cos(math.pi / slowness * time * time))],
        times,
        scale=1.0,
    )
    assert np.abs(values).max() == pytest.approx(math.pi / math.sqrt(2.0) * math.sqrt(slowness) * overshoot, rel=0.02)


def test_the_force_of_an_unbalance_is_the_second_derivative_of_its_place_while_the_speed_changes():
    law = straight(2.0, 0.0, 1.0)
    shaft = along_line("crank", Fraction(5), [(1, 30.0), (2, 8.0)], inclination=0.5 * math.pi)
    times, width = np.array([0.3, 1.0, 1.7]), 1e-4

    def place(time):
        angle = 2.0 * math.pi * 5.0 * law.at(time)[2]
        return 30.0 * np.cos(angle) + 8.0 / 4.0 * np.cos(2.0 * angle)

    exact = -(place(times + width) - 2.0 * place(times) + place(times - width)) / width**2 / 1000.0
    assert forces_of(shaft, 0, law, times) == pytest.approx(exact, rel=1e-4)


def test_once_the_start_has_died_away_what_is_left_is_the_closed_form():
    on = support(6.0, 0.1)
    fan = rotating("fan", Fraction(20), 10.0)
    law = straight(1.0, 0.0, 1.0).then(straight(9.0, 1.0, 1.0))
    times = np.arange(8.0, 10.0, 1e-3)
    amplitude = fan[0].amplitude * transmissibility(20.0 / 6.0, 0.1)
    found = passing_harmonics(fan, (on, on), law, times)
    assert np.abs(found).max(axis=1) == pytest.approx([amplitude, amplitude], rel=1e-3)
    # The closed form runs from angle 0 at its time 0; the law has turned half a second less.
    assert found == pytest.approx(steady_harmonics(fan, (on, on), times - 0.5), abs=1e-4 * amplitude)


def test_a_rotating_force_stands_a_quarter_of_a_turn_later_in_the_other_direction():
    fan = rotating("fan", Fraction(10), 10.0)
    times = np.arange(100) / 1000.0
    vertical, horizontal = steady_harmonics(fan, (None, None), times)
    assert np.hypot(vertical, horizontal) == pytest.approx(np.full(100, fan[0].amplitude))
    assert horizontal[25:] == pytest.approx(vertical[:-25], abs=1e-9 * fan[0].amplitude)


def test_a_force_along_a_line_has_no_part_across_it():
    up = along_line("press", Fraction(2), [(1, 5.0)], inclination=0.5 * math.pi)
    tilted = along_line("screen", Fraction(2), [(1, 5.0)], inclination=math.radians(30.0))
    assert up[0].weights == (1.0, 0.0)
    assert tilted[0].weights == pytest.approx((0.5, math.sqrt(0.75)))


@pytest.mark.parametrize("shape", ["half-sine", "rectangular", "trapezoid"])
def test_steady_strokes_hand_on_their_momentum_and_are_what_many_strokes_lead_to(shape):
    on = support(3.0, 0.2)
    item = strokes("press", Fraction(2), 1000.0, 0.1, shape=shape, rise=0.02 if shape == "trapezoid" else 0.0)
    times = np.arange(2000) / 2000.0 * item.period
    steady = steady_strokes(item, (on, None), times)[0]
    momentum = 1000.0 * {"half-sine": 0.2 / math.pi, "rectangular": 0.1, "trapezoid": 0.08}[shape]
    assert steady.mean() * item.period == pytest.approx(momentum, rel=1e-3)
    many = passing_strokes(item, (on, None), 12, np.arange(12 * 2000) / 2000.0 * item.period)[0]
    assert many[-2000:] == pytest.approx(steady, abs=1e-3 * np.abs(steady).max())


def test_a_sudden_force_doubles_at_most_on_an_undamped_support():
    # Rectangular push longer than half a period: textbook value 2, from memory.
    item = strokes("press", Fraction(1, 10), 1000.0, 1.0, shape="rectangular")
    values = passing_strokes(item, (support(2.0, 1e-6), None), 1, np.arange(0.0, 2.0, 1e-3))[0]
    assert values.max() == pytest.approx(2000.0, rel=1e-4)


@settings(max_examples=8, deadline=None)
@given(st.floats(0.5, 20.0), st.floats(0.02, 0.3), st.floats(0.3, 2.0))
def test_twice_the_unbalance_hands_on_twice_the_force(natural, damping, start):
    on = support(natural, damping)
    law = straight(start, 0.0, 1.0).then(straight(0.5, 1.0, 0.0))
    times = np.linspace(0.0, law.span + 0.2, 800)
    once = passing_harmonics(rotating("fan", Fraction(8), 5.0), (on, on), law, times)
    twice = passing_harmonics(rotating("fan", Fraction(8), 10.0), (on, on), law, times)
    assert twice == pytest.approx(2.0 * once, rel=1e-6, abs=1e-6 * np.abs(once).max())


def test_a_slower_start_through_the_same_resonance_peaks_higher():
    # True of a lightly damped passage from far below, as the Fresnel integral above has it.
    fan, on, peaks = rotating("fan", Fraction(10), 5.0), support(4.0, 0.02), []
    for start in (1.0, 2.0, 4.0, 8.0):
        law = straight(start, 0.0, 1.0)
        peaks.append(np.abs(passing_harmonics(fan, (on, on), law, np.linspace(0.0, start, 4000))[0]).max())
    assert peaks == sorted(peaks)


def test_a_table_of_one_straight_piece_is_the_even_start():
    table = speed_table([(0.0, 0.0), (2.0, 7.5), (4.0, 15.0)], 15.0, rising=True)
    times = np.linspace(0.0, 4.0, 9)
    for found, expected in zip(table.at(times), straight(4.0, 0.0, 1.0).at(times), strict=True):
        assert found == pytest.approx(expected)


def test_angle_is_the_integral_of_the_speed_over_all_pieces():
    law = SpeedLaw((0.0, 1.0, 3.0, 4.0), (0.0, 1.0, 1.0, 0.0))
    assert law.turned == (0.0, 0.5, 2.5, 3.0)
    assert law.at(np.array([2.0]))[2] == pytest.approx([1.5])


def test_every_fault_of_a_table_of_speeds_is_named():
    with pytest.raises(InputError) as refusal:
        speed_table([(1.0, 0.0), (0.5, 10.0)], 15.0, rising=True)
    words = str(refusal.value)
    assert "must begin at 0 s, got 1 s" in words
    assert "must rise, got 0.5 s after 1 s" in words
    assert "of a start must end at the running speed, got 0.6667 times the running speed" in words


@pytest.mark.parametrize(
    ("named", "words"),
    [
        ({"duration": 0.6}, "a stroke must be shorter than the 0.5 s from one to the next, got 0.6 s"),
        ({"shape": "square"}, "shape of the stroke 'square' is unknown"),
        ({"shape": "trapezoid", "rise": 0.08}, "at most half of its duration of 0.1 s, got 0.08 s"),
        ({"force": 0.0}, "size of the force of the stroke must be above 0 N, got 0"),
    ],
)
def test_strokes_that_cannot_be_are_refused(named, words):
    given_values = {"force": 100.0, "duration": 0.1, "shape": "half-sine"} | named
    with pytest.raises(InputError, match=re.escape(words)):
        strokes("press", Fraction(2), given_values.pop("force"), given_values.pop("duration"), **given_values)
