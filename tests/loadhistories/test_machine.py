"""Machines as load histories: exact repeats, beats, starts and stops, constant loads, and what is refused."""

import re
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from loadhistories.datasheet import mass, stroke_rate, turns
from loadhistories.exciters import along_line, rotating, strokes
from loadhistories.machine import (
    Machine,
    beats,
    common_period,
    crossed,
    passages,
    ramp,
    running_history,
    start_stop_history,
)
from loadhistories.support import support, transmissibility
from loadhistories.validation import InputError

ON = support(4.0, 0.1)
FAN = rotating("fan", Fraction(15), 20.0)
MACHINE = Machine((ON, ON), FAN, start=ramp(2.0, rising=True), stop=ramp(3.0, rising=False))


def test_one_turn_of_a_fan_is_one_whole_cycle_with_its_closed_form_peak():
    history = running_history(MACHINE)
    assert history.span == pytest.approx(1.0 / 15.0, rel=1e-12)
    expected = FAN[0].amplitude * transmissibility(15.0 / 4.0, 0.1)
    for name in ("Vertical", "Horizontal"):
        assert np.abs(history.channel(name)).max() == pytest.approx(expected, rel=2e-4)


def test_two_fans_with_slip_are_made_for_their_exact_repeat_and_add_up_in_full_once():
    # 1470 and 1458 rpm: 24.5 and 24.3 Hz repeat together after 10 s, one beat lasts 5 s. Worked by hand.
    first = rotating("fan 1", turns("1470 rpm", "speed"), 20.0)
    second = rotating("fan 2", turns("1458 rpm", "speed"), 20.0)
    machine = replace(MACHINE, supports=(None, None), harmonics=first + second)
    assert common_period(machine.rates) == 10
    (beat,) = beats(machine)
    assert beat.span == pytest.approx(5.0, rel=1e-12)
    history = running_history(machine)
    assert history.span == pytest.approx(10.0, rel=1e-12)
    largest = np.abs(history.channel("Vertical"))
    assert largest.max() == pytest.approx(first[0].amplitude + second[0].amplitude, rel=3e-4)
    turn = int(1.0 / 24.5 / history.step)
    quiet = int(2.5 / history.step)
    assert largest[quiet : quiet + turn].max() < 0.05 * largest.max()


def test_the_end_of_a_running_history_leads_back_to_its_start():
    machine = replace(MACHINE, harmonics=FAN + along_line("crank", Fraction(10), [(1, 3.0), (2, 1.0)], inclination=1.0))
    values = running_history(machine).values
    seam = np.abs(values[:, 0] - values[:, -1])
    steps = np.abs(np.diff(values, axis=1)).max(axis=1)
    assert (seam <= steps * (1.0 + 1e-9)).all()


def test_a_beat_that_takes_too_long_is_refused_with_its_length_and_what_would_do():
    machine = replace(
        MACHINE, harmonics=FAN + rotating("fan 2", turns("900.01 rpm", "speed"), 20.0), supports=(None, None)
    )
    with pytest.raises(InputError) as refusal:
        running_history(machine)
    assert "one beat lasts 6000 s" in str(refusal.value)
    assert 'state what is long enough, as in length = "120 s"' in str(refusal.value)
    with pytest.raises(InputError, match=re.escape("length must hold one whole beat")):
        running_history(machine, length=120.0)


def test_a_stated_length_is_kept_and_said():
    second = rotating("fan 2", turns("893.7 rpm", "speed"), 20.0)
    history = running_history(replace(MACHINE, harmonics=FAN + second), length=12.0)
    assert history.span == pytest.approx(12.0)
    assert "made for 12 s as stated" in history.remarks[0]


def test_a_start_and_stop_goes_from_rest_to_rest():
    history = start_stop_history(MACHINE)
    assert not history.values[:, 0].any() and not history.values[:, -1].any()
    # Free vibration at the end is down to a hundredth of what it was.
    assert np.abs(history.values[:, -20:-1]).max() < 0.01 * np.abs(history.values).max()
    (vertical, _) = passages(MACHINE, running_history(MACHINE), history)
    assert vertical.ratio > 1.5


def test_a_machine_that_stays_below_its_natural_frequency_crosses_nothing():
    stiff = replace(MACHINE, supports=(support(40.0, 0.1), support(40.0, 0.1)))
    assert crossed(stiff) == ()
    assert [item[:2] for item in crossed(MACHINE)] == [("Vertical", 4.0), ("Horizontal", 4.0)]


def test_on_a_rigid_support_a_start_never_exceeds_what_runs():
    rigid = replace(MACHINE, supports=(None, None), start=ramp(60.0, rising=True), stop=ramp(60.0, rising=False))
    found = passages(rigid, running_history(rigid), start_stop_history(rigid))
    assert [item.ratio for item in found] == pytest.approx([1.0, 1.0], rel=1e-3)


def test_constant_loads_act_while_the_machine_turns_and_those_of_the_start_only_then():
    machine = Machine(
        (None, None), start=ramp(2.0, rising=True), stop=ramp(3.0, rising=False),
        running={"Torque": 2e6}, starting={"Torque": 3e6}, stopping={"Torque": -1e6},
    )  # fmt: skip
    torque = start_stop_history(machine).channel("Torque")
    changes = torque[np.flatnonzero(np.diff(torque, prepend=np.nan))]
    assert changes.tolist() == [0.0, 5e6, 2e6, 1e6, 0.0]
    with pytest.raises(InputError, match="no unbalance and no stroke"):
        running_history(machine)


def test_strokes_begin_and_end_within_the_stay_at_full_speed():
    item = strokes("press", stroke_rate("30/min", "rate"), 5000.0, 0.1, shape="half-sine")
    machine = Machine((support(5.0, 0.2), None), strokes=(item,))
    assert running_history(machine).span == pytest.approx(2.0)
    history = start_stop_history(machine)
    # Each stroke on a support that comes to rest between two is the same: its peak comes at least twice.
    peak = np.abs(history.channel("Vertical")).max()
    assert peak == pytest.approx(np.abs(running_history(machine).channel("Vertical")).max(), rel=2e-2)
    assert not history.channel("Horizontal").any()


def test_without_damping_a_start_never_ends_and_is_refused():
    loose = replace(MACHINE, supports=(support(4.0, 0.0), support(4.0, 0.0)))
    with pytest.raises(InputError, match="without damping the free vibration of a start never dies away"):
        start_stop_history(loose)


def test_a_start_of_hours_is_refused_with_its_periods():
    slow = replace(MACHINE, start=ramp(7200.0, rising=True))
    with pytest.raises(InputError, match="too slow to be integrated"):
        start_stop_history(slow)


def test_speeds_are_exact_and_masses_in_kilograms():
    assert turns("1470 rpm", "speed") == Fraction(49, 2)
    assert turns("24.3 Hz", "speed") == Fraction(243, 10)
    assert stroke_rate("90/min", "rate") == Fraction(3, 2)
    assert mass("1.2 t", "mass") == 1200.0 and mass("800 kg", "mass") == 800.0


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: turns("0 rpm", "speed"), "speed must be above 0, got '0 rpm'"),
        (lambda: turns("-5 Hz", "speed"), "speed must be above 0, got '-5 Hz'"),
        (lambda: turns("1480", "speed"), 'speed must be a number with one of the units rpm, r/min'),
        (lambda: turns("1,480 rpm", "speed"), "got '1,480 rpm'"),
        (lambda: mass("40 kN", "mass"), 'mass must be a number with one of the units kg, t, g, as in "800 kg"'),
        (lambda: stroke_rate("30", "rate"), "rate must be a number with one of the units"),
    ],
)
def test_words_of_a_data_sheet_that_mean_nothing_are_refused(call, words):
    with pytest.raises(InputError, match=re.escape(words)):
        call()
