"""A run that is ended, a full disk, a folder that may not be written, a record that changes: whole files or none."""

import os
import signal
import time

import faults
import pytest

from cli.files import require_targets
from cli.job import read_job
from loadhistories import InputError, open_record


@pytest.mark.parametrize(("command", "number"), [("assess", signal.SIGKILL), ("schedule", signal.SIGTERM)])
def test_a_run_that_is_ended_leaves_whole_files_and_the_next_gives_the_same_bytes(tmp_path, command, number):
    folder = faults.made_folder(tmp_path / "whole")
    begun = time.monotonic()
    assert faults.ran(folder, *faults.COMMANDS[command]) in (0, 1)
    span, whole = time.monotonic() - begun, faults.results(folder)
    assert len(whole) > 1
    for share in (0.5, 0.9, -0.001 / span):
        place = faults.made_folder(tmp_path / f"{share:.3f}")
        left = faults.killed(place, faults.COMMANDS[command], share * span, number)
        assert all(whole[name] == content for name, content in left.items())
        assert faults.ran(place, *faults.COMMANDS[command], "--force") in (0, 1)
        assert faults.results(place) == whole


@pytest.mark.parametrize("size", [0, 4096])
def test_on_a_full_disk_no_file_appears_and_it_is_said(tmp_path, size):
    folder = faults.made_folder(tmp_path / "full")
    process = faults.started(folder, *faults.COMMANDS["look"], file_size=size)
    assert "cannot be written: File too large" in process.communicate()[1]
    assert process.returncode == 2
    assert faults.results(folder) == {}
    assert not [path for path in folder.iterdir() if path.name.endswith(".part")]


def test_two_runs_on_one_output_leave_one_whole_result_and_one_refusal(tmp_path):
    folder = faults.made_folder(tmp_path / "two")
    both = [faults.started(folder, *faults.COMMANDS["look"]) for _ in range(2)]
    told = [process.communicate()[1] for process in both]
    codes = sorted(process.returncode for process in both)
    assert codes == [0, 2], told
    found = faults.results(folder)
    assert set(found) <= {"out.svg", "out.json"}
    assert found
    for name, content in found.items():
        faults.require_whole(name, content)


def test_a_folder_that_may_not_be_written_is_told_before_any_work(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "access", lambda path, kind: kind != os.W_OK)
    with pytest.raises(InputError, match=r"cannot be written: the folder .* is not writable"):
        require_targets([tmp_path / "out.json"], force=False)


def test_a_record_that_is_replaced_while_it_is_read_is_refused(tmp_path):
    rows = "".join(f"{number / 10:.1f},{number % 7}\n" for number in range(400_000))
    (tmp_path / "a.csv").write_text("Time (s),Fy (kN)\n" + rows, encoding="utf-8")
    chunks = open_record(tmp_path / "a.csv").chunks()
    next(chunks)
    (tmp_path / "b.csv").write_text("Time (s),Fy (kN)\n" + rows.replace("6", "5"), encoding="utf-8")
    (tmp_path / "b.csv").replace(tmp_path / "a.csv")
    with pytest.raises(InputError, match="changed"):
        list(chunks)


def test_a_clock_that_is_set_back_changes_nothing(tmp_path):
    folder = faults.made_folder(tmp_path / "clock")
    for path in folder.iterdir():
        os.utime(path, (4e9, 4e9))
    job = read_job(folder / "bracket.toml")
    (early,) = {load.history.source.sha256 for load in job.loads}
    for path in folder.iterdir():
        os.utime(path, (1.0, 1.0))
    (late,) = {load.history.source.sha256 for load in read_job(folder / "bracket.toml").loads}
    assert early == late
