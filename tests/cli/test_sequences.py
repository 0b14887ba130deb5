"""From record to life in a job: sequences of loads, scaled records, and the duty stated for a record."""

from types import SimpleNamespace

import pytest

from cli.assess import assess_file
from cli.job import read_job
from cli.job_sequence import read_sequences
from cli.keys import Keys
from cli.note import note_html
from cli.screen import summary
from cli.verifying import verify_job
from loadhistories.validation import InputError

JOB = """
title = "silo bracket"
standard = "EN 1993"
design_life = "20 year"
fatigue = {{ concept = "safe life", consequence = "high" }}
[[load]]
name = "filled"
history = "filled.csv"
occurs = "3/day"
{filled}
[load.components]
Fz = {{ column = "Vertical" }}
[[load]]
name = "empty"
history = "empty.csv"
occurs = "30/day"
[load.components]
Fz = {{ column = "Vertical" }}
{sequence}
[[joint]]
name = "bracket"
permanent = {{ Fz = "-30 kN" }}
[[joint.detail]]
name = "toe"
category = 71
stress = {{ Fz = "1 MPa/kN" }}
"""
SEQUENCE = '[[sequence]]\nname = "fill and empty"\norder = ["filled", "empty"]\noccurs = "3/day"\n'
DUTY = 'stated_duty = { channel = "Vertical", cycles = 20, per = "day", above = "5 kN", tolerance = "20 %" }\n'
DAYS = 7305
# Category 71 / 1.35, three decades above the knee the slope is 3.
STRENGTH = 71 / 1.35


@pytest.fixture
def job(tmp_path):
    (tmp_path / "filled.csv").write_text("Time [s],Vertical [kN]\n0,100\n1,90\n2,100\n3,95\n4,100\n", encoding="utf-8")
    (tmp_path / "empty.csv").write_text("Time [s],Vertical [kN]\n0,0\n1,10\n2,0\n3,5\n", encoding="utf-8")

    def write(sequence="", filled=""):
        path = tmp_path / "job.toml"
        path.write_text(JOB.format(sequence=sequence, filled=filled), encoding="utf-8")
        return path

    return write


def refused(path):
    with pytest.raises(InputError) as refusal:
        read_job(path)
    return str(refusal.value)


def test_the_cycle_between_two_loads_is_counted_once_for_each_sequence(job):
    """Without the sequence no range exceeds 10 MPa and nothing is harmed; with it 3 x 7305 cycles of 100 MPa occur.

    100 MPa on 52.593 MPa at 2e6: 21 915 / (2e6 x (52.593 / 100)^3) = 21 915 / 290 941 = 0.075325
    """
    (apart,) = assess_file(job())["joints"][0]["details"]
    assert apart["damage"] == 0.0
    contract = assess_file(job(SEQUENCE))
    (detail,) = contract["joints"][0]["details"]
    assert detail["damage"] == pytest.approx(3 * DAYS / (2e6 * (STRENGTH / 100) ** 3), rel=1e-3)
    assert detail["damage"] == pytest.approx(0.075325, rel=1e-3)
    by_load = {part["load"]: part for part in detail["by_load"]}
    # 'filled' is wholly within the sequence; of 30 'empty' a day 27 directly follow another, with 2 cycles each.
    assert set(by_load) == {"empty", "fill and empty"}
    assert by_load["empty"]["repeats"] == pytest.approx(27 * DAYS)
    assert by_load["empty"]["cycles"] == pytest.approx(2 * 27 * DAYS)
    assert by_load["fill and empty"]["largest_range_MPa"] == 100.0


def test_the_joined_count_is_verified_by_the_independent_package(job):
    assert "3 stress histories" in verify_job(read_job(job(SEQUENCE)))


def test_a_sequence_is_told_in_json_note_and_on_the_screen(job):
    contract = assess_file(job(SEQUENCE))
    (sequence,) = contract["sequences"]
    assert (sequence["order"], sequence["repeats"]) == (["filled", "empty"], 3 * DAYS)
    assert any("sequence fill and empty: its loads are joined at the values they have" in text
               for text in contract["assumptions"])  # fmt: skip
    assert "fill and empty: filled, then empty, 3/day" in summary(contract, colour=False)
    assert "filled, then empty, 3/day" in note_html(contract)


def test_loads_of_different_time_steps_are_joined_without_times_of_their_cycles(job, tmp_path):
    path = job(SEQUENCE)
    (tmp_path / "empty.csv").write_text("Time [s],Vertical [kN]\n0,0\n0.5,10\n1,0\n1.5,5\n", encoding="utf-8")
    contract = assess_file(path)
    (detail,) = contract["joints"][0]["details"]
    assert detail["damage"] == pytest.approx(0.075325, rel=1e-3)
    assert "its loads have different time steps, so when its cycles occurred is not told" in summary(
        contract, colour=False
    ).replace("\n  ", " ")


def test_loads_of_different_joints_cannot_follow_one_another(job):
    assert "must act on the same joints" in refused(job(SEQUENCE, 'joint = "bracket"\n'))


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('"empty"]', '"emty"]', "load 'emty' is unknown; known: filled, empty (job.toml, sequence[1].order)"),
        ('"3/day"', '"16 h/day"', "a sequence occurs a number of times"),
        ('"3/day"', '"4/day"', "needs block 'filled' 29220 times in the design life, but it occurs 21915 times"),
        ('["filled", "empty"]', '["filled"]', "must name at least two blocks"),
        ('name = "fill and empty"', 'name = "filled"', "'filled' is the name of a load"),
        ("order", "orders", "order is missing"),
    ],
)
def test_a_sequence_that_cannot_be_is_refused(job, old, new, words):
    assert words in refused(job(SEQUENCE.replace(old, new)))


def test_a_scaled_record_does_the_damage_of_its_scaled_ranges_and_says_what_it_represents(job):
    contract = assess_file(job(SEQUENCE, 'scale = 1.1\nrepresents = "the heaviest material"\n'))
    (detail,) = contract["joints"][0]["details"]
    assert detail["largest_range_MPa"] == pytest.approx(110.0)
    assert (contract["loads"][0]["scale"], contract["loads"][0]["represents"]) == (1.1, "the heaviest material")
    page = note_html(contract)
    assert "Every value is multiplied with 1.1" in page and "Represents: the heaviest material" in page


def test_a_scale_without_what_it_represents_is_refused(job):
    assert "scale needs represents: say what the scaled record stands for" in refused(job(filled="scale = 1.1\n"))
    assert "scale must be above 0" in refused(job(filled='scale = -1.1\nrepresents = "none"\n'))


def test_a_record_with_fewer_cycles_than_stated_is_warned_of(job):
    """One event holds a range of 10 and one of 5 kN: 2 x 3 = 6 a day against 20 stated."""
    contract = assess_file(job(filled=DUTY))
    (warning,) = [item for item in contract["joints"][0]["warnings"] if item["code"] == "recorded-duty"]
    assert "the record holds 6 cycles in each day of 5 kN and more, 20 are stated" in warning["text"]
    assert "the life found from it is too long" in warning["text"]
    shown = {item["symbol"]: item["value"] for item in contract["loads"][0]["stated_duty"]["figures"]}
    assert (shown["n_c"], shown["n_s"], shown["q"]) == pytest.approx((6.0, 20.0, 0.3))
    assert "recorded against stated duty" in note_html(contract)


def test_a_record_that_holds_the_stated_duty_brings_no_warning(job):
    contract = assess_file(job(filled=DUTY.replace("20,", "6.5,")))
    assert not [item for item in contract["joints"][0]["warnings"] if item["code"] == "recorded-duty"]
    assert "they agree within 20 %" in contract["loads"][0]["stated_duty"]["text"]


def test_the_threshold_of_a_stated_duty_decides_what_counts(job):
    contract = assess_file(job(filled=DUTY.replace("5 kN", "6 kN").replace("20,", "3,")))
    assert contract["loads"][0]["stated_duty"]["agrees"]


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('"Vertical"', '"Vertcal"', "Vertcal"),
        ('"5 kN"', '"5 MPa"', "above"),
        ('"day"', '"month"', "per 'month' is unknown; known: h, day, week, year, life"),
        ("cycles = 20", "cycles = 0", "cycles must be above 0"),
        (', tolerance = "20 %"', "", "tolerance is missing"),
    ],
)
def test_a_stated_duty_that_says_nothing_is_refused(job, old, new, words):
    assert words in refused(job(filled=DUTY.replace(old, new)))


def test_cycles_that_were_counted_elsewhere_cannot_be_joined():
    blocks = {
        "recorded": SimpleNamespace(timed=True, span=5.0, repeats=9.0, samples=5),
        "counted": SimpleNamespace(timed=False, span=1.0, repeats=9.0, samples=2),
    }
    loads = [SimpleNamespace(name=name, joint="", made=None, block=block) for name, block in blocks.items()]
    problems = []
    table = {"name": "day", "order": ["recorded", "counted"], "occurs": "3"}
    assert read_sequences([Keys(table, "job.toml, sequence[1]", problems, file="job.toml")], loads, 3e8) == ()
    assert problems == [
        "load 'counted' is given as counted cycles, of which no order is known: it cannot be joined "
        "(job.toml, sequence[1].order)"
    ]
