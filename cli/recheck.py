"""Runs an assessment again from the inputs that its result names, and says what has become different."""

import hashlib
import json
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from cli.assess import assess_job
from cli.job import read_job
from cli.job_changes import Change
from cli.version import version
from loadhistories.small_files import content_of
from loadhistories.validation import InputError

LARGEST_RESULT = 500_000_000
# Numbers that agree so closely differ by the rounding of another computer only.
SAME_WITHIN = 1e-9
_FILES = ("job", "history", "density", "table")
_ABSENT = object()


@dataclass(frozen=True)
class Difference:
    """One value of the result; `was` and `now` are in words, "nothing" where it was or is not there."""

    where: str
    was: str
    now: str


@dataclass(frozen=True)
class Recheck:
    """What has become different.

    Attributes
    ----------
    files : tuple of str
        What is the matter with the inputs, in words.
    version : str
        What differs of the version, or "".
    differences : tuple of Difference
        Of the results, in their order.
    compared, rounded : int
        Values compared; numbers of them that agree but for rounding.
    ran : bool
        Whether the job could be assessed again.
    """

    files: tuple[str, ...]
    version: str
    differences: tuple[Difference, ...]
    compared: int
    rounded: int
    ran: bool

    @property
    def same(self) -> bool:
        """Whether nothing differs."""
        return self.ran and not (self.files or self.version or self.differences)


def read_result(path: str | Path) -> dict:
    """The result of an assessment as `griplife assess --json` wrote it.

    Raises
    ------
    InputError
        It cannot be read, or is no such result.
    """
    path = Path(path)
    try:
        result = json.loads(content_of(path, "result of an assessment", most=LARGEST_RESULT))
    except InputError:
        raise
    except (ValueError, RecursionError) as error:
        raise InputError(f"{path} is no JSON: {error}; give the file that griplife assess --json wrote") from error
    wanted = {"griplife": str, "inputs": list, "joints": list, "state": str}
    values = result if isinstance(result, dict) else {}
    missing = [key for key, kind in wanted.items() if not isinstance(values.get(key), kind)]
    inputs = [] if missing else result["inputs"]
    sound = all(isinstance(item, dict) and {"what", "path", "sha256"} <= item.keys() for item in inputs)
    changes = values.get("changes", [])
    named = isinstance(changes, list) and all(
        isinstance(item, dict) and isinstance(item.get("key"), str) and isinstance(item.get("text"), str)
        for item in changes
    )
    if not missing and not named:
        raise InputError(f"{path}: changes must be a list of tables with key and text")
    if missing or not sound or not any(item["what"] == "job" for item in inputs):
        lacks = ", ".join(missing) or "an input that is a job"
        raise InputError(f"{path} is no result of griplife assess --json: {lacks} is missing")
    return result


def recheck(result: dict, folder: Path) -> Recheck:
    """Assess the job of a result again and compare.

    Parameters
    ----------
    result : dict
        From `read_result`.
    folder : path
        Where the result lies: a job that is not at its recorded path is looked for here.

    Raises
    ------
    InputError
        The job is refused.
    """
    job_path, files = _job_path(result, folder)
    files += _changed_files(result, job_path)
    other = "" if result["griplife"] == version() else f"made with griplife {result['griplife']}, this is {version()}"
    if job_path is None:
        return Recheck(tuple(files), other, (), 0, 0, False)
    changes = [Change(item["key"], item["text"], "the recorded changes") for item in result.get("changes") or []]
    now = json.loads(json.dumps(assess_job(read_job(job_path, changes)), allow_nan=False))
    tally = _Tally()
    differences = tuple(tally.compared(_without_paths(result), _without_paths(now), ""))
    return Recheck(tuple(files), other, differences, tally.values, tally.rounded, True)


def _job_path(result: dict, folder: Path) -> tuple[Path | None, list[str]]:
    recorded = Path(next(item["path"] for item in result["inputs"] if item["what"] == "job"))
    for path in (recorded, folder / recorded.name):
        if path.is_file():
            return path, []
    return None, [f"{recorded} is missing: the job cannot be assessed again"]


def _changed_files(result: dict, job_path: Path | None) -> list[str]:
    """What is the matter with each recorded file; records are looked for beside the job."""
    if job_path is None:
        return []
    recorded = Path(next(item["path"] for item in result["inputs"] if item["what"] == "job"))
    found = []
    for item in result["inputs"]:
        if item["what"] not in _FILES:
            continue
        path = _moved(Path(item["path"]), recorded.parent, job_path.parent)
        sha256 = _hash(path)
        if sha256 is None:
            found.append(f"{item['path']} is missing")
        elif sha256 != item["sha256"]:
            found.append(f"{item['path']} has changed: SHA-256 was {item['sha256'][:12]}…, is {sha256[:12]}…")
    return found


def _moved(path: Path, before: Path, now: Path) -> Path:
    """The path of a file that lay in or below the folder of the job, where this lies now."""
    return now / path.relative_to(before) if path.is_relative_to(before) else path


def _hash(path: Path) -> str | None:
    try:
        if not path.is_file():
            return None
        with path.open("rb") as file:
            return hashlib.file_digest(file, "sha256").hexdigest()
    except (OSError, ValueError):
        return None


def _without_paths(result: dict) -> dict:
    """The result without what stands under files and version already."""
    kept = {key: value for key, value in result.items() if key not in ("griplife", "inputs")}
    remarks = [[item["what"], item.get("remarks"), item.get("understood_as")] for item in result["inputs"]]
    return kept | {"inputs": remarks}


class _Tally:
    """Compares two results and counts what was compared."""

    def __init__(self):
        self.values, self.rounded = 0, 0

    def compared(self, was, now, where: str) -> Iterator[Difference]:
        """Every difference between two values, however deep."""
        if isinstance(was, dict) and isinstance(now, dict):
            for key in dict.fromkeys((*was, *now)):
                inner = f"{where}.{key}" if where else key
                yield from self.compared(was.get(key, _ABSENT), now.get(key, _ABSENT), inner)
        elif isinstance(was, list) and isinstance(now, list):
            for place in range(max(len(was), len(now))):
                pair = [items[place] if place < len(items) else _ABSENT for items in (was, now)]
                yield from self.compared(*pair, f"{where}[{_named(pair, place)}]")
        else:
            self.values += 1
            if not self._same(was, now):
                yield Difference(where, _words(was), _words(now))

    def _same(self, was, now) -> bool:
        if was is _ABSENT or now is _ABSENT:
            return False
        if was == now and isinstance(was, bool) == isinstance(now, bool):
            return True
        both = all(isinstance(item, int | float) and not isinstance(item, bool) for item in (was, now))
        if both and math.isclose(was, now, rel_tol=SAME_WITHIN, abs_tol=1e-12):
            self.rounded += 1
            return True
        return False


def _named(pair: list, place: int) -> str:
    """What an entry of a list is called: by its name or title, else by its number from 1."""
    for item in pair:
        if isinstance(item, dict):
            name = item.get("id") or item.get("name") or item.get("symbol")
            if isinstance(name, str):
                return name
    return str(place + 1)


def _words(value) -> str:
    if value is _ABSENT:
        return "nothing"
    if isinstance(value, dict | list):
        return f"{len(value)} values"
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else f"{text[:57]}..."
