"""What the result of a job rests on: its file, its changes, every file that it names, and this program."""

import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

from cli.job import job_bytes, parsed_job
from cli.job_changes import changed
from cli.schedule import Item
from cli.version import version
from loadhistories.validation import InputError

PACKAGES = ("loadhistories", "fatigue", "slip", "cli")
PIECE = 1 << 20


@dataclass(frozen=True)
class Inputs:
    """Files of a job by the name that the job gives them, from its folder, with their SHA-256, and the key of it all.

    The file of the job itself has the name "".
    """

    key: str
    files: dict[str, str]


class Digests:
    """SHA-256 of files, each read once however many jobs name it."""

    def __init__(self):
        self._known: dict[str, str] = {}

    def of(self, path: Path) -> str:
        """The hash of a file in hexadecimal digits."""
        name = os.path.abspath(path)
        if name not in self._known:
            digest = hashlib.sha256()
            with open(name, "rb") as file:
                while piece := file.read(PIECE):
                    digest.update(piece)
            self._known[name] = digest.hexdigest()
        return self._known[name]


def inputs_of(item: Item, digests: Digests) -> Inputs:
    """The inputs of one job of a schedule.

    Raises
    ------
    InputError
        The job cannot be read or changed as asked, or a file that it names cannot be read.
    """
    content = job_bytes(item.path)
    table, _ = changed(parsed_job(content, item.path), item.changes)
    found = {"": hashlib.sha256(content).hexdigest()}
    for name in sorted(set(_texts(table))):
        path = item.path.parent / name
        if _is_file(path):
            try:
                found[name] = digests.of(path)
            except OSError as error:
                raise InputError(f"{name} cannot be read: {error.strerror} ({item.path.name})") from error
    changes = [[change.key, change.value] for change in item.changes]
    parts = json.dumps([code_digest(), item.path.name, found, changes], ensure_ascii=True, sort_keys=True)
    return Inputs(hashlib.sha256(parts.encode("ascii")).hexdigest(), found)


@cache
def code_digest() -> str:
    """SHA-256 of the version and every module and table of this program."""
    digest = hashlib.sha256(version().encode("utf-8"))
    for package in PACKAGES:
        for name, content in sorted(_sources(files(package), package)):
            digest.update(f"{name}\0{len(content)}\0".encode())
            digest.update(content)
    return digest.hexdigest()


def _sources(folder, name: str) -> Iterator[tuple[str, bytes]]:
    for entry in folder.iterdir():
        if entry.is_dir():
            if entry.name != "__pycache__":
                yield from _sources(entry, f"{name}/{entry.name}")
        elif entry.name.endswith((".py", ".toml")):
            yield f"{name}/{entry.name}", entry.read_bytes()


def _texts(value) -> Iterator[str]:
    """Every text in the tables of a job."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, (dict, list)):
        for item in value.values() if isinstance(value, dict) else value:
            yield from _texts(item)


def _is_file(path: Path) -> bool:
    """Whether there is a file of that name; not for a text that cannot be one."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False
