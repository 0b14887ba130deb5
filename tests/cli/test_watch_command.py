"""`griplife watch`: assesses again when a file has changed and stands still, and ends cleanly."""

import os
import shutil
from pathlib import Path

import pytest

import cli.watching
from cli.watching import next_change, state_of

JOBS = Path(__file__).parent.parent / "jobs"


@pytest.fixture
def job(tmp_path):
    for name in ("en1993_bracket.toml", "en1993_bracket.csv"):
        shutil.copy(JOBS / name, tmp_path / name)
    return tmp_path / "en1993_bracket.toml"


def touched(path, text, seconds):
    """Write a file with a time of change of its own, as a clock that goes on."""
    path.write_text(text, encoding="utf-8")
    os.utime(path, (seconds, seconds))


def script(monkeypatch, *steps):
    """What happens between two looks; then the user ends it."""
    left = iter(steps)

    def wait(seconds):
        step = next(left, None)
        if step is None:
            raise KeyboardInterrupt
        step()

    monkeypatch.setattr(cli.watching.time, "sleep", wait)


def test_a_change_is_told_once_the_files_stand_still(tmp_path):
    file = tmp_path / "job.toml"
    touched(file, "one", 1000)
    before = state_of([file])
    steps = iter([lambda: None, lambda: touched(file, "two", 2000), lambda: touched(file, "three", 3000)])
    looks = []

    def wait():
        looks.append(1)
        next(steps, lambda: None)()

    after = next_change(before, wait=wait)
    assert after == state_of([file]) != before
    assert len(looks) == 4


def test_a_file_that_goes_away_is_a_change(tmp_path):
    file = tmp_path / "record.csv"
    file.write_text("1", encoding="utf-8")
    before = state_of([file])
    file.unlink()
    assert next_change(before, wait=lambda: None) == {file: None}


def test_the_job_is_assessed_again_when_it_changes_and_ends_with_0(griplife, job, monkeypatch):
    text = job.read_text(encoding="utf-8")
    script(monkeypatch, lambda: touched(job, text.replace("worked by hand", "changed"), 4e9), lambda: None)
    shown = griplife("watch", job)
    assert shown.exit_code == 0
    assert shown.stdout.count("Result: ") == 2
    assert "worked by hand" in shown.stdout and "bracket on a column, changed" in shown.stdout
    assert "en1993_bracket.toml changed" in shown.stderr
    assert shown.stderr.endswith("griplife: ended\n")


def test_a_change_of_a_record_is_seen(griplife, job, monkeypatch):
    record = job.with_suffix(".csv")
    script(monkeypatch, lambda: touched(record, record.read_text(encoding="utf-8") + "\n", 4e9), lambda: None)
    shown = griplife("watch", job)
    assert "en1993_bracket.csv changed" in shown.stderr
    assert shown.stdout.count("Result: ") == 2


def test_a_refused_job_is_told_and_looked_at_again(griplife, job, monkeypatch):
    good = job.read_text(encoding="utf-8")
    touched(job, good.replace("M20", "M21"), 1000)
    script(monkeypatch, lambda: touched(job, good, 4e9), lambda: None)
    shown = griplife("watch", job, "-q")
    assert shown.exit_code == 0
    assert "bolt size 'M21' is unknown" in shown.stderr
    assert shown.stdout.count("Result: ") == 1


def test_a_setting_holds_for_every_assessment(griplife, job, monkeypatch):
    script(monkeypatch)
    shown = griplife("watch", job, "--set", "joint.bolts.size=M24", "-q")
    assert "joint.bolts.size" in shown.stdout and "M24" in shown.stdout


def test_a_job_that_is_not_there_is_refused(griplife, tmp_path):
    refused = griplife("watch", tmp_path / "none.toml")
    assert refused.exit_code == 2 and "is not there" in refused.stderr
