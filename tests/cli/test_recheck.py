"""A recorded result run again: the same, or what differs."""

import json
import shutil
from importlib.resources import files

import pytest

SAMPLES = ("drive_bracket.toml", "drive_bracket_running.csv", "drive_bracket_start_stop.csv")


@pytest.fixture
def folder(tmp_path, monkeypatch, griplife):
    """A folder with the demo's job, its records and its result."""
    for name in SAMPLES:
        (tmp_path / name).write_bytes(files("loadhistories.samples").joinpath(name).read_bytes())
    monkeypatch.chdir(tmp_path)
    shown = griplife("assess", "drive_bracket.toml", "--json", "result.json", "-q")
    assert shown.exit_code == 1, shown.stderr
    return tmp_path


def changed_result(folder, change):
    result = json.loads((folder / "result.json").read_text(encoding="utf-8"))
    change(result)
    (folder / "result.json").write_text(json.dumps(result), encoding="utf-8")


def test_nothing_has_changed(folder, griplife):
    shown = griplife("recheck", "result.json")
    assert shown.exit_code == 0
    assert "Result: the same" in shown.stdout
    assert len(shown.stdout.splitlines()) == 1


def test_a_result_that_was_moved_with_its_files_is_the_same(folder, griplife, tmp_path, monkeypatch):
    moved = tmp_path / "elsewhere"
    moved.mkdir()
    for name in (*SAMPLES, "result.json"):
        shutil.move(tmp_path / name, moved / name)
    shown = griplife("recheck", "elsewhere/result.json")
    assert shown.exit_code == 0, shown.stdout


def test_changed_numbers_and_versions_are_named(folder, griplife):
    def change(result):
        result["griplife"] = "0.0.9"
        result["joints"][0]["checks"][0]["utilisation"] = 0.5
        result["joints"][0]["details"][0]["damage"] *= 1.0 + 1e-12

    changed_result(folder, change)
    shown = griplife("recheck", "result.json")
    assert shown.exit_code == 1
    assert "version: made with griplife 0.0.9, this is" in shown.stdout
    assert "joints[end plate to column flange].checks[slip-service].utilisation: was 0.5, is 0.7" in shown.stdout
    assert "Result: differs; of " in shown.stdout
    assert "but for rounding" in shown.stdout


def test_a_changed_record_and_what_it_does_are_named(folder, griplife):
    record = folder / "drive_bracket_start_stop.csv"
    lines = record.read_text(encoding="utf-8").splitlines(keepends=True)
    record.write_text("".join(lines[:-1000]), encoding="utf-8")
    shown = griplife("recheck", "result.json", "--most", "3")
    assert shown.exit_code == 1
    assert "file: drive_bracket_start_stop.csv has changed: SHA-256 was " in shown.stdout
    assert "more values differ" in shown.stdout


def test_a_missing_job_cannot_be_run_again(folder, griplife):
    (folder / "drive_bracket.toml").unlink()
    shown = griplife("recheck", "result.json")
    assert shown.exit_code == 1
    assert "file: drive_bracket.toml is missing: the job cannot be assessed again" in shown.stdout
    assert "Result: differs, and could not be assessed again" in shown.stdout


def test_a_missing_record_is_refused_with_the_words_of_the_job(folder, griplife):
    (folder / "drive_bracket_running.csv").unlink()
    shown = griplife("recheck", "result.json")
    assert shown.exit_code == 2
    assert "drive_bracket_running.csv" in shown.stderr


def test_changes_of_the_run_are_made_again(folder, griplife):
    changes = ("--set", "joint.bolts.size=M24", "--set", "joint.bolts.prying=1.2")
    griplife("assess", "drive_bracket.toml", *changes, "--json", "large.json", "-q")
    shown = griplife("recheck", "large.json")
    assert shown.exit_code == 0, shown.stdout
    assert json.loads((folder / "large.json").read_text(encoding="utf-8"))["changes"] == [
        {"key": "joint.bolts.size", "text": '"M24"'},
        {"key": "joint.bolts.prying", "text": "1.2"},
    ]


@pytest.mark.parametrize(
    ("content", "refusal"),
    [
        ("[1, 2", "is no JSON"),
        ("[]", "is no result of griplife assess --json: griplife, inputs, joints, state is missing"),
        ('{"griplife": "0", "inputs": [], "joints": [], "state": "holds"}', "an input that is a job is missing"),
        (
            '{"griplife": "0", "inputs": [], "joints": [], "state": "holds", "changes": [{"key": 1}]}',
            "changes must be a list of tables with key and text",
        ),
        ('{"griplife": "0", "inputs": [{"what": "job"}], "joints": [], "state": "holds"}', "an input that is a job"),
    ],
)
def test_a_file_that_is_no_result_is_refused(tmp_path, griplife, content, refusal):
    path = tmp_path / "result.json"
    path.write_text(content, encoding="utf-8")
    shown = griplife("recheck", path)
    assert shown.exit_code == 2
    assert refusal in shown.stderr


def test_a_result_that_is_not_there_is_refused(tmp_path, griplife):
    shown = griplife("recheck", tmp_path / "none.json")
    assert shown.exit_code == 2
    assert "none.json is not there; give the path of a result of an assessment" in shown.stderr
