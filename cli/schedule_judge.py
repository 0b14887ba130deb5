"""Judges one job of a schedule, in this process or wherever its files are sent; the outcome is plain values."""

import json
import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cli.job_changes import Change
from cli.schedule_inputs import code_digest
from cli.schedule_rows import rows_of
from loadhistories.validation import InputError

ROWS, REFUSED, ENDED, FAULT = "rows", "refused", "ended", "fault"
KEPT = (ROWS, REFUSED)


@dataclass(frozen=True)
class Task:
    """A job to judge where its files can be read; `files` is the SHA-256 of each, as in `Inputs`."""

    path: str
    changes: tuple[Change, ...]
    files: dict[str, str]
    code: str


@dataclass(frozen=True)
class Parcel:
    """A task with the content of its files, by their place under a folder that stands for the one they share."""

    task: Task
    contents: dict[str, bytes]


def judge(task: Task) -> dict:
    """What the job comes to: {"rows": [...]}, {"refused": [...]} with every problem, or {"ended": why}.

    Files are named from the folder of the job, so that the outcome is the same wherever it stands.
    """
    try:
        outcome = _judged(task)
    except InputError as refusal:
        folder = os.path.join(os.path.dirname(task.path), "")
        outcome = {REFUSED: [problem.replace(folder, "") for problem in refusal.problems]}
    # What is kept between two runs has been through JSON; what is not must look the same.
    return json.loads(json.dumps(outcome, allow_nan=False))


def judge_there(task: Task) -> dict:
    """The same on another computer, which must have the same program."""
    if task.code != code_digest():
        return {ENDED: "the worker has another version of griplife than the schedule"}
    return judge(task)


def judge_parcel(parcel: Parcel) -> dict:
    """The same for a job whose files come along."""
    with tempfile.TemporaryDirectory(prefix="griplife-") as folder:
        for place, content in parcel.contents.items():
            path = Path(folder, place)
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        task = parcel.task
        for name in task.files:
            os.makedirs(os.path.dirname(os.path.join(folder, os.path.dirname(task.path), name)), exist_ok=True)
        return judge_there(Task(str(Path(folder, task.path)), task.changes, task.files, task.code))


def require_sendable(task: Task, *, most: int) -> None:
    """Refuse a task whose files cannot be sent to a worker elsewhere.

    Raises
    ------
    InputError
        A file is named by its full path, or the files have more than `most` bytes together.
    """
    full = [name for name in task.files if os.path.isabs(name)]
    if full:
        raise InputError(
            f"{', '.join(full)}: named by the full path, which a worker elsewhere does not have; name it from the "
            "folder of the job, or use --shared-files where the workers see the same folders"
        )
    size = sum(os.path.getsize(path) for path in _places(task))
    if size > most:
        raise InputError(
            f"its files have {size} bytes, more than the {most} that are sent to a worker; use --shared-files where "
            "the workers see the same folders"
        )


def parcel_of(task: Task) -> Parcel:
    """The task with the content of its files, which `require_sendable` allows."""
    places = _places(task)
    root = os.path.commonpath([os.path.dirname(path) for path in places])
    contents = {os.path.relpath(path, root): Path(path).read_bytes() for path in places}
    return Parcel(Task(os.path.relpath(task.path, root), task.changes, task.files, task.code), contents)


def _places(task: Task) -> list[str]:
    """Where the files of a task stand, its job first."""
    folder = os.path.dirname(task.path)
    return [task.path, *(os.path.normpath(os.path.join(folder, name)) for name in task.files if name)]


def _judged(task: Task) -> dict:
    from cli.assess import assess_job
    from cli.job import read_job

    contract = assess_job(read_job(task.path, task.changes))
    folder = os.path.dirname(task.path)
    wanted = {os.path.normpath(os.path.join(folder, name)): sha for name, sha in task.files.items() if name}
    wanted[os.path.normpath(task.path)] = task.files[""]
    changed = _changed(contract["inputs"], wanted)
    if changed:
        return {ENDED: f"{', '.join(changed)} changed while the schedule ran; start it again"}
    return {ROWS: rows_of(contract)}


def _changed(inputs: Sequence[dict], wanted: dict[str, str]) -> list[str]:
    """Names of the inputs that are not what they were when the schedule began."""
    found = []
    for item in inputs:
        known = wanted.get(os.path.normpath(os.path.abspath(item["path"])))
        if known is not None and item["sha256"] != known:
            found.append(os.path.basename(item["path"]))
    return list(dict.fromkeys(found))
