"""Writes each alternative as a job of its own: the file as it was, with its one joint made otherwise."""

import hashlib
import os
import re
from copy import deepcopy
from pathlib import Path

from cli.compare import Compared
from cli.compare_documents import table_of
from cli.compare_toml import toml_text
from cli.job import Job, job_bytes, parsed_job
from loadhistories.validation import InputError
from slip.alternatives.alternative import Alternative

_NOT_IN_NAMES = re.compile(r"[^a-z0-9]+")
# Keys under which a job file names a file beside it.
FILES = ("history", "file")


def job_files(job: Job, found: tuple[Compared, ...], folder: Path) -> dict[Path, bytes]:
    """The content of a job file for every alternative, by its path in the folder.

    Records are named from there to where they are; they are not copied.

    Raises
    ------
    InputError
        A record cannot be named from the folder.
    """
    content = job_bytes(job.path)
    if hashlib.sha256(content).hexdigest() != job.sha256:
        raise InputError(f"{job.path} changed while it was read; start again")
    document = parsed_job(content, job.path)
    base = _moved(document, job.path.parent.resolve(), folder.resolve())
    contents: dict[Path, bytes] = {}
    for number, item in enumerate(found):
        for rung in item.alternatives:
            if rung.proposal is None:
                continue
            path = folder / file_name(item, rung, several=len(found) > 1)
            contents[path] = _job(base, number, item, rung, job.path.name).encode("utf-8")
    return contents


def file_name(item: Compared, rung: Alternative, *, several: bool) -> str:
    """Name of the job file of an alternative."""
    parts = [item.given.name, rung.kind] if several else [rung.kind]
    return "-".join(_NOT_IN_NAMES.sub("_", part.casefold()).strip("_") or "joint" for part in parts) + ".toml"


def _job(base: dict, number: int, item: Compared, rung: Alternative, source: str) -> str:
    document = _alone(base, number)
    document["joint"] = [table_of(document["joint"][0], item.situation.joint, rung.proposal)]
    open_points = [*rung.still_to_show, *(f"{check.title}: {check.reason}" for check in rung.unjudged)]
    head = [f"{item.given.name}: {rung.kind}", rung.title, f"made from {source}; {rung.state}"]
    head += [f"still to show: {text}" for text in open_points]
    lines = [f"# {' '.join(line.split())}" for line in head]
    return "\n".join(lines) + "\n\n" + toml_text(document)


def _alone(base: dict, number: int) -> dict:
    """The job with one of its joints only, and with what acts on it."""
    document = deepcopy(base)
    document["joint"] = [document["joint"][number]]
    name = document["joint"][0]["name"]
    document.pop("frame", None)
    for key in ("load", "past", "sequence"):
        if key in document:
            document[key] = [table for table in document[key] if table.get("joint", "") in ("", name)]
    return {key: value for key, value in document.items() if value != []}


def _moved(value, source: Path, folder: Path, key: str = ""):
    """The document with every file named from another folder."""
    if isinstance(value, dict):
        return {name: _moved(item, source, folder, name) for name, item in value.items()}
    if isinstance(value, list):
        return [_moved(item, source, folder, key) for item in value]
    if key in FILES and isinstance(value, str):
        try:
            return Path(os.path.relpath(source / value, folder)).as_posix()
        except ValueError as error:
            raise InputError(f"{value} cannot be named from {folder}: they are on different drives") from error
    return value
