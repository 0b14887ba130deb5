"""The table [load.clean]: what is named is done and listed, what is not named is left and warned of."""

import csv
import io
import json
import tomllib

import numpy as np
import pytest

from cli.assess import assess_file
from cli.job import read_job
from cli.note import note_html
from cli.screen import summary
from loadhistories import InputError

JOB = """
title = "A record with faults"
standard = "EN 1993"
design_life = "25 year"
fatigue = { concept = "safe life", consequence = "high" }

[[load]]
name = "running"
history = "record.csv"
occurs = "6000 h/year"
[load.components]
Fy = { column = "Vertical" }
%s

[[joint]]
name = "bracket"
[[joint.detail]]
name = "weld toe"
category = { strength = "71 MPa", stress = "normal" }
stress = { Fy = "2 MPa/kN" }
"""


def sound(count=3000):
    noise = np.random.default_rng(1).normal(0.0, 0.05, count)
    return 12.0 * np.sin(2 * np.pi * 0.8 * 0.01 * np.arange(count)) + noise


@pytest.fixture
def job(tmp_path):
    """Writes a job beside a record of the values given, NaN as an empty cell; the path of the job."""

    def write(values, clean=""):
        lines = [f"{0.01 * i:.2f},{'' if np.isnan(value) else repr(float(value))}" for i, value in enumerate(values)]
        (tmp_path / "record.csv").write_text("Time [s],Vertical [kN]\n" + "\n".join(lines) + "\n", encoding="utf-8")
        (tmp_path / "job.toml").write_text(JOB % clean, encoding="utf-8")
        return tmp_path / "job.toml"

    return write


def spiked():
    values = sound()
    values[1234] += 150.0
    return values


def codes(contract):
    return [warning["code"] for warning in contract["joints"][0]["warnings"]]


def test_a_sound_record_gives_no_warning_and_no_cleaning(job):
    contract = assess_file(job(sound()))
    assert "record-faults" not in codes(contract)
    assert contract["loads"][0]["cleaning"] is None
    assert contract["joints"][0]["details"][0]["damage_before_cleaning"] is None


def test_a_fault_that_is_not_treated_is_counted_and_warned_of_with_its_treatment(job):
    contract = assess_file(job(spiked()))
    (warning,) = [item for item in contract["joints"][0]["warnings"] if item["code"] == "record-faults"]
    assert warning["text"].startswith("running: Vertical, spike of 1 sample, 149.9 kN off")
    assert "at 12.34 s; counted as it is" in warning["text"]
    assert 'spikes = { window = "0.07 s", above = "8 times the median deviation" }' in warning["advice"][1]


def test_damage_is_given_before_and_after_cleaning(job):
    as_read = assess_file(job(spiked()))["joints"][0]["details"][0]["damage"]
    plain = assess_file(job(sound()))["joints"][0]["details"][0]["damage"]
    clean = '[load.clean]\nspikes = { window = "0.07 s", above = "50 kN" }'
    contract = assess_file(job(spiked(), clean))
    (detail,) = contract["joints"][0]["details"]
    assert detail["damage_before_cleaning"] == as_read
    assert detail["damage"] == pytest.approx(plain, rel=1e-3)
    assert detail["damage"] < 0.9 * as_read
    assert "cleaning-changes-damage" in codes(contract) and "record-faults" not in codes(contract)
    (change,) = contract["loads"][0]["cleaning"]["changes"]
    assert (change["treatment"], change["channel"], change["samples"]) == ("spikes", "Vertical", 1)
    assert (change["from_s"], change["before"]) == (pytest.approx(12.34), pytest.approx(1000 * spiked()[1234]))
    assert (change["after"], change["unit"]) == (pytest.approx(500 * (spiked()[1233] + spiked()[1235])), "N")


def test_note_and_screen_say_what_was_done(job):
    contract = assess_file(job(spiked(), '[load.clean]\nspikes = { window = "0.07 s", above = "50 kN" }'))
    shown = summary(contract, colour=False)
    assert "Cleaning, running: spikes of Vertical: 1 sample changed, most from" in shown
    assert "of the record as\n  read" in shown or "of the record as read" in shown
    assert max(map(len, shown.splitlines())) <= 80
    page = note_html(contract)
    assert "running: cleaning of the record" in page and "damage before and after cleaning" in page
    json.dumps(contract, allow_nan=False)


def test_a_gap_is_refused_unless_its_treatment_is_named(job):
    values = sound()
    values[500:520] = np.nan
    with pytest.raises(InputError, match=r"gap \(empty cell\) .*line 502"):
        read_job(job(values))
    with pytest.raises(InputError, match=r"20 values missing in column 'Vertical': missing = \"cut\" leaves"):
        read_job(job(values, '[load.clean]\nbreaks = "join"'))
    (load,) = read_job(job(values, '[load.clean]\nmissing = "cut"')).loads
    assert (load.block.samples, len(load.cleaned.segments)) == (2980, 2)
    counted = np.concatenate(list(load.block.chunks()), axis=1)[1]
    np.testing.assert_allclose(counted, 1000.0 * values[~np.isnan(values)])
    assert load.block.repeats == pytest.approx(6000 * 3600 * 25 / 29.8)


def test_a_channel_may_be_treated_otherwise_than_the_rest(job, tmp_path):
    everywhere = '[load.clean]\nspikes = { window = "0.07 s", above = "50 kN" }\nzero = "1 kN"\n'
    clean = f"{everywhere}[load.clean.channel.Vertical]\n"
    (load,) = read_job(job(spiked(), clean + 'spikes = "none"\nzero = "-0.5 kN"')).loads
    assert [change.treatment for change in load.cleaned.changes] == ["zero"]
    np.testing.assert_allclose(load.history.values[0], 1000.0 * spiked() + 500.0)


@pytest.mark.parametrize(
    ("clean", "wording"),
    [
        ('spike = { window = "1 s" }', r"'spike' is no key here; did you mean 'spikes'"),
        ('spikes = { window = "1 s" }', r"above is missing; give it as in .* \(job.toml, load\[1\].clean"),
        ('spikes = { window = "0.07 s", above = "3 mm" }', r"above must be a force such as"),
        ('spikes = { window = "0.07 s", above = "0 times the median deviation" }', r"above must be more than 0 times"),
        ('gate = "0 kN"', r"gate must be above 0, got '0 kN'"),
        ('gate = "much"', r"gate must be a number with its unit"),
        ('drift = { method = "filter" }', r"method 'filter' is unknown; known: running median, line"),
        ('drift = { method = "running median" }', r"window is missing"),
        ('missing = "interpolate"', r"missing must be \"cut\" or \{ bridge"),
        ('breaks = "mend"', r"breaks 'mend' is unknown; known: join"),
        ('steps = ["12 kN"]', r"step must be a time such as"),
        ('channel = { Horizontal = { zero = "1 kN" } }', r"channel 'Horizontal' is not used by a load; known"),
    ],
)
def test_what_cannot_be_done_is_refused_with_its_place(job, clean, wording):
    with pytest.raises(InputError, match=wording):
        read_job(job(spiked(), f"[load.clean]\n{clean}"))


def test_a_record_too_large_to_be_cleaned_in_memory_is_refused_in_words(job, monkeypatch):
    monkeypatch.setattr("cli.job_loads.LARGEST_CLEANED", 1000)
    with pytest.raises(InputError, match=r"cleaned in memory and may have up to 1000 bytes, record.csv has"):
        read_job(job(spiked(), '[load.clean]\nzero = "1 kN"'))


def test_every_change_goes_to_a_csv_on_request(job, griplife, tmp_path):
    values = spiked()
    values[2000:2003] = np.nan
    clean = '[load.clean]\nmissing = "cut"\nspikes = { window = "0.07 s", above = "50 kN" }'
    shown = griplife("assess", job(values, clean), "--changes", tmp_path / "changes.csv", "-q")
    assert shown.exit_code == 1, shown.stderr
    rows = list(csv.DictReader(io.StringIO((tmp_path / "changes.csv").read_text(encoding="utf-8"))))
    assert [(row["treatment"], row["channel"], row["samples"]) for row in rows] == [
        ("missing", "", "3"), ("spikes", "Vertical", "1"),
    ]  # fmt: skip
    assert float(rows[1]["before"]) == pytest.approx(1000 * values[1234])
    both = griplife("assess", job(values, clean), "--changes", "-", "--json", "-")
    assert both.exit_code == 2 and "only one of --json and --changes" in both.stderr


def test_the_suggested_treatment_is_toml_that_a_job_takes(job):
    from cli.look import look_at

    values = spiked()
    values[2000:2003] = np.nan
    path = job(values)
    paste = look_at(path.parent / "record.csv")["suggestion"]
    assert tomllib.loads(paste)["load"]["clean"]["missing"] == "cut"
    (load,) = read_job(job(values, paste)).loads
    assert load.cleaned.untreated == ()
