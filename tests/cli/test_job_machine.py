"""The table [load.machine]: what it makes, and every refusal in the words of the user."""

import pytest

from cli.job import read_job
from loadhistories.validation import InputError

JOB = """
title = "support"
standard = "EN 1993"
design_life = "10 year"
fatigue = {{ concept = "safe life", consequence = "high" }}
[[load]]
name = "fan"
{load}
[load.components]
Fz = {{ column = "Vertical" }}
My = {{ column = "Horizontal", factor = "0.5 m" }}
[load.machine]
{machine}
[[joint]]
name = "bracket"
[[joint.detail]]
name = "toe"
category = 71
stress = {{ Fz = "1 MPa/kN" }}
"""
TIMES = 'runs = "8 h/day"\nstarts = "2/day"\n'
SPEED = 'speed = "900 rpm"\nstart_time = "2 s"\nstop_time = "3 s"\n'
SOFT = 'support = { frequency = "4 Hz", damping = "10 %" }\n'
FAN = 'unbalance = { grade = "G 6.3", rotor_mass = "200 kg" }\n'
PRESS = (
    'stroke = { force = "8 kN", duration = "0.1 s", rate = "30/min", shape = "half-sine", along = "Vertical" }\n'
)


@pytest.fixture
def loads(tmp_path):
    def read(machine, load=""):
        path = tmp_path / "job.toml"
        path.write_text(JOB.format(machine=machine, load=load), encoding="utf-8")
        return read_job(path).loads

    return read


def refused(loads, machine, load=""):
    with pytest.raises(InputError) as refusal:
        loads(machine, load)
    return str(refusal.value)


def test_a_machine_makes_a_load_of_running_and_one_of_start_and_stop(loads):
    running, started = loads(TIMES + SPEED + SOFT + FAN)
    assert (running.name, started.name) == ("fan: running", "fan: start and stop")
    # 10 years of 365.25 days: 8 h x 3600 x 15 turns, and 2 starts, a day.
    assert running.block.repeats == pytest.approx(8 * 3600 * 15 * 3652.5)
    assert started.block.repeats == pytest.approx(2 * 3652.5)
    assert "unbalance of" in running.origin and "vertical support 4 Hz, damping 10 %" in running.origin


def test_a_grade_names_its_source_and_that_wear_is_not_in_it(loads):
    told = loads(TIMES + SPEED + SOFT + FAN)[0].made.assumptions
    assert "unbalance: as balanced to G 6.3; wear and build-up since then are not in it (factor)" in told
    assert "unbalance: value of G 6.3: ISO 21940-11:2016, Table 1, from memory" in told
    factored = loads(TIMES + SPEED + SOFT + FAN.replace("}", ", factor = 2.0 }"))[0].made.assumptions
    assert not any("wear" in text for text in factored)


def test_running_close_to_resonance_is_told(loads):
    told = loads(TIMES + SPEED + SOFT.replace("4 Hz", "16 Hz") + FAN)[0].made.assumptions
    assert any("0.938 times the natural frequency (vertical)" in text for text in told)


def test_a_drive_that_only_pulls_while_it_turns_makes_its_starts_alone(loads):
    machine = TIMES + SPEED + 'support = "rigid"\nrunning = { Vertical = "5 kN" }\nstarting = { Vertical = "4 kN" }\n'
    (started,) = loads(machine)
    assert started.name == "fan: start and stop"
    assert started.history.channel("Vertical").max() == 9000.0


def test_strokes_need_no_speed_and_each_direction_may_stand_differently(loads):
    support = 'support = { Vertical = { frequency = "5 Hz", damping = 0.2 }, Horizontal = "rigid" }\n'
    running, _ = loads(TIMES + support + PRESS)
    assert running.history.span == pytest.approx(2.0)
    assert any(text.startswith("rigid support (horizontal), as stated") for text in running.made.assumptions)


def test_several_shafts_and_a_table_of_the_start_are_read(loads):
    machine = (
        TIMES + 'speed = "900 rpm"\nstart = [["0 s", "0 rpm"], ["1 s", "600 rpm"], ["3 s", "900 rpm"]]\n'
        + 'stop_time = "4 s"\nsupport = "rigid"\n'
        + 'unbalance = [{ name = "fan", force = "2 kN", at = "900 rpm" }, '
        + '{ name = "motor", mass = "1 kg", eccentricity = "2 mm", speed = "1500 rpm", motion = "linear", '
        + 'inclination = "45 deg" }]\n'
        + 'reciprocating = { mass = "5 kg", crank_radius = "60 mm", rod_length = "240 mm", along = "Horizontal" }\n'
    )
    running, started = loads(machine)
    # 15 and 25 turns a second repeat together after a fifth of a second.
    assert running.history.span == pytest.approx(0.2)
    assert [group for group, _ in running.made.groups][:3] == ["fan", "motor", "reciprocating"]
    assert "motor of 2 kg mm at 1500 rpm at 45 deg from the horizontal" in started.origin
    assert started.history.span > 7.0


def test_two_fans_with_slip_need_a_stated_length_where_their_beat_is_long(loads):
    fans = 'unbalance = [{ grade = "G 6.3", rotor_mass = "200 kg" }, '
    fans += '{ grade = "G 6.3", rotor_mass = "200 kg", speed = "899.3 rpm" }]\n'
    machine = TIMES + SPEED + SOFT + fans
    running, _ = loads(machine)
    # In 600 s they turn 9000 and 8993 times, numbers without a common divisor.
    assert running.history.span == pytest.approx(600.0)
    slower = machine.replace("899.3", "899.97")
    assert "one beat lasts 2000 s" in refused(loads, slower)
    running, _ = loads(machine.replace("899.3", "891.37") + 'length = "10 s"\n')
    assert running.history.span == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("machine", "words"),
    [
        (
            TIMES + SPEED.replace("900", "0") + SOFT + FAN,
            "speed must be above 0, got '0 rpm' (job.toml, load[1].machine.speed)",
        ),
        (TIMES + SPEED + FAN, "support is missing"),
        (TIMES + SPEED + 'support = "soft"\n' + FAN, "support must be a table such as"),
        (TIMES + SPEED + SOFT.replace(', damping = "10 %"', "") + FAN, 'damping is missing; give it as in damping ='),
        (TIMES + SPEED + SOFT.replace('"10 %"', "10") + FAN, "was it meant in per cent"),
        (TIMES + SPEED + SOFT.replace("10 %", "0 %") + FAN, "without damping the free vibration of a start never"),
        (
            TIMES + SPEED + SOFT.replace("4 Hz", "15 Hz").replace("10 %", "0 %") + FAN,
            "unbalance of 15 Hz runs at the natural frequency of 15 Hz (vertical) without damping",
        ),
        (
            TIMES + SPEED.replace('start_time = "2 s"\n', "") + SOFT + FAN,
            'start_time is missing; give it as in start_time = "6 s": on its way it passes the natural frequency of 4',
        ),
        (TIMES + SPEED + SOFT + FAN.replace("G 6.3", "G 7"), "balance grade 'G 7' is unknown"),
        (TIMES + SPEED + SOFT + FAN.replace(', rotor_mass = "200 kg"', ""), "rotor_mass is missing"),
        (TIMES + SPEED + SOFT, "nothing acts on the machine: give unbalance, reciprocating, stroke, or a load under"),
        (TIMES + SPEED + SOFT + 'unbalance = { eccentricity = "2 mm" }\n', "an unbalance is given by one of mass and"),
        (TIMES + SPEED + SOFT + FAN.replace("}", ', along = "Vertical" }'), 'along goes with motion = "linear"'),
        (TIMES.replace("8 h/day", "40/day") + SPEED + SOFT + FAN, 'runs must be a time, as in "16 h/day", got'),
        (TIMES.replace("2/day", "2 h/day") + SPEED + SOFT + FAN, 'starts must be a number of times, as in "4/day"'),
        (TIMES.replace('starts = "2/day"\n', "") + SPEED + SOFT + FAN, "starts is missing"),
        (TIMES + SOFT + FAN, 'speed is missing; give it as in speed = "1480 rpm"'),
        (TIMES + SOFT + PRESS + 'start_time = "3 s"\n', "start_time goes with something that turns"),
        (TIMES + SOFT + PRESS.replace("half-sine", "sine"), "shape 'sine' is unknown; did you mean 'half-sine'?"),
        (TIMES + SPEED + SOFT + FAN + 'start = [["0 s", "0 rpm"]]\n', "start and start_time are both given"),
        (TIMES + SPEED + SOFT + FAN + "starttime = 3\n", "'starttime' is no key here; did you mean"),
    ],
)  # fmt: skip
def test_what_cannot_be_made_is_refused_in_words(loads, machine, words):
    assert words in refused(loads, machine)


def test_several_faults_are_told_at_once(loads):
    words = refused(loads, SPEED.replace("900 rpm", "0 rpm") + SOFT.replace("4 Hz", "0 Hz") + FAN.replace("6.3", "7"))
    for part in ("speed must be above 0", "frequency must be above 0", "'G 7' is unknown", "runs is missing"):
        assert part in words


def test_occurs_and_a_record_do_not_go_with_a_machine(loads):
    assert "a machine states runs and starts in its own table" in refused(
        loads, TIMES + SPEED + SOFT + FAN, 'occurs = "8 h/day"'
    )
    assert "history and machine are both given" in refused(loads, TIMES + SPEED + SOFT + FAN, 'history = "a.csv"')
