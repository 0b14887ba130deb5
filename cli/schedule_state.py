"""Keeps the outcome of every job of a schedule that is done, so that a run that was interrupted goes on from there."""

import contextlib
import json
import os
import time
from pathlib import Path

from loadhistories.validation import InputError

SUFFIX = ".state"
LEFT_OVER_AFTER = 3600.0


def state_folder(output: str | Path) -> Path:
    """The folder that belongs to a result table."""
    path = Path(output)
    return path.with_name(path.name + SUFFIX)


class Kept:
    """Outcomes in a folder, a file each, named by the key of the inputs; None keeps nothing.

    Raises
    ------
    InputError
        The folder cannot be made or written.
    """

    def __init__(self, folder: Path | None):
        self._folder = folder
        if folder is None:
            return
        try:
            folder.mkdir(exist_ok=True)
            self._clear()
        except OSError as error:
            raise InputError(f"the folder {folder} for finished jobs cannot be made: {error.strerror}") from error

    @property
    def words(self) -> str:
        """Where finished jobs are found by the next run, as the end of a sentence."""
        return "" if self._folder is None else f" and kept in {self._folder}; the same command goes on from there"

    def get(self, key: str) -> dict | None:
        """The outcome that is kept under a key; None where there is none, or no whole one."""
        if self._folder is None:
            return None
        try:
            kept = json.loads(self._file(key).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return None
        return kept["outcome"] if isinstance(kept, dict) and kept.get("key") == key else None

    def put(self, key: str, outcome: dict) -> None:
        """Keep an outcome: its file is there whole or not at all."""
        if self._folder is None:
            return
        part = self._folder / f".{key}.{os.getpid()}.part"
        text = json.dumps({"key": key, "outcome": outcome}, ensure_ascii=False, allow_nan=False)
        try:
            part.write_text(text, encoding="utf-8")
            os.replace(part, self._file(key))
        except OSError as error:
            raise InputError(f"{self._file(key)} cannot be written: {error.strerror}") from error

    def _file(self, key: str) -> Path:
        return self._folder / f"{key}.json"

    def _clear(self) -> None:
        """Take away what runs that were killed left half written; another run may be at work beside this one."""
        for part in self._folder.glob(".*.part"):
            with contextlib.suppress(OSError):
                if time.time() - part.stat().st_mtime > LEFT_OVER_AFTER:
                    part.unlink()
