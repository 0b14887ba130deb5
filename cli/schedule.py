"""A schedule: many jobs judged one by one; each is a job file of a folder, or a row of a table that varies a job."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cli.job_changes import Change, require_key
from cli.sheets import TABLES, read_sheet
from loadhistories.validation import InputError

NAME, JOB = "name", "job"


@dataclass(frozen=True)
class Item:
    """One job of a schedule.

    `job` is its file as the schedule names it, `path` the same in full; `problems` says why it cannot be judged.
    """

    name: str
    job: str
    path: Path
    changes: tuple[Change, ...] = ()
    problems: tuple[str, ...] = ()


@dataclass(frozen=True)
class Schedule:
    """The jobs in the order given, the keys that a table of them varies, and the files that say all this."""

    items: tuple[Item, ...]
    keys: tuple[str, ...]
    files: tuple[Path, ...]


def read_schedule(path: str | Path, base: str | Path | None = None) -> Schedule:
    """The jobs of a folder, of a table, or the one job of a job file.

    Parameters
    ----------
    path : path
        A folder, of which every `*.toml` is a job; a job file; or a table (.csv, .xlsx) with a job in each row.
    base : path, optional
        The job that the rows of a table vary. A column `job` names one for each row instead.

    Raises
    ------
    InputError
        There is no job in it, or the table cannot be read.
    """
    path = Path(path)
    if path.suffix.lower() in TABLES and not path.is_dir():
        return _of_table(path, None if base is None else Path(base))
    if base is not None:
        raise InputError(f"a base job goes with a table of jobs ({' or '.join(TABLES)}), not with {path}")
    if path.is_dir():
        files = sorted(item for item in path.glob("*.toml") if item.is_file())
        if not files:
            raise InputError(f"the folder {path} holds no job: there is no file *.toml in it")
    elif path.is_file():
        files = [path]
    else:
        raise InputError(f"{path} is not there; give a folder of jobs, a job file, or a table ({' or '.join(TABLES)})")
    return Schedule(tuple(Item(file.stem, file.name, _full(file)) for file in files), (), tuple(files))


def _of_table(path: Path, base: Path | None) -> Schedule:
    """Rows that vary a job: a column for each key, and columns for the name and the job where there are such."""
    header, rows = read_sheet(path)
    keys = tuple(key for key in header if key not in (NAME, JOB))
    problems = []
    for key in keys:
        try:
            require_key(key, path.name)
        except InputError as refusal:
            problems.extend(refusal.problems)
    if base is None and JOB not in header:
        problems.append(f"{path} does not say which job its rows vary: give --base JOB.toml, or a column {JOB!r}")
    if base is not None and not base.is_file():
        problems.append(f"{base} is not there; give the job that the rows of {path.name} vary")
    if not rows:
        problems.append(f"{path} has no row below its header")
    if problems:
        raise InputError(*problems)
    items = tuple(_row(path, base, number, dict(zip(header, cells, strict=True)), keys) for number, cells in rows)
    return Schedule(items, keys, (path, *([] if base is None else [base])))


def _row(path: Path, base: Path | None, number: int, cells: dict, keys: Sequence[str]) -> Item:
    name = str(cells.get(NAME) or "").strip() or f"row {number}"
    job = str(cells.get(JOB) or "").strip()
    place = f"{path.name}, row {number}"
    file = path.parent / job if job else base
    problems = () if file is not None else (f"no job is named ({place}, column {JOB!r})",)
    given = [(key, cells[key]) for key in keys if cells[key] not in (None, "")]
    dates = [key for key, value in given if not isinstance(value, (str, int, float, bool))]
    problems += tuple(f"{key} is a date or a time; write it as text, such as 20 mm ({place})" for key in dates)
    changes = tuple(Change(key, value, place) for key, value in given if key not in dates)
    shown = job or (base.name if base is not None else "")
    return Item(name, shown, _full(file or path), changes, problems)


def _full(path: Path) -> Path:
    return Path(os.path.abspath(path))
