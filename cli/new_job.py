"""The job files of `griplife new`: a commented job for a kind of joint and a standard, with a record where needed."""

import math
import textwrap
import tomllib
from functools import cache
from importlib.resources import files
from string import Template

from loadhistories.validation import InputError, require_one_of

FOLDER = "cli.new_jobs"
WIDTH = 80
# Of the records.
SECONDS, RATE = 60, 20
# What a unit of force is. [kN]
_IN_KN = {"kN": 1.0, "kip": 4.4482216152605}
# Column of the record and mean force while it works [kN].
_COLUMNS = {
    "bolted-splice": ("Pull", 150.0),
    "drive-bracket": ("Vertical", -25.0),
    "welded-bracket": ("Vertical", -12.0),
}


def kinds() -> tuple[str, ...]:
    """The kinds of joints."""
    return tuple(_fields()["kind"])


def standards() -> tuple[str, ...]:
    """The standards for which there are job files."""
    return tuple(_fields()["standard"])


def kinds_text() -> str:
    """The kinds with what they are, as text of 80 columns."""
    width = max(map(len, kinds())) + 2
    lines = []
    for kind, what in _fields()["kind"].items():
        lines += textwrap.wrap(what, WIDTH, initial_indent=f"{kind:<{width}}", subsequent_indent=" " * width)
    lines += ["", *textwrap.wrap(f"griplife new KIND --standard NAME; standards: {', '.join(standards())}", WIDTH)]
    return "\n".join(lines) + "\n"


def new_files(kind: str, standard: str) -> dict[str, bytes]:
    """Content of the job file of a kind of joint, the first, and of its record, by their names.

    Raises
    ------
    InputError
        Unknown kind or standard.
    """
    problems: list[str] = []
    for value, known, name in ((kind, kinds(), "kind of joint"), (standard, standards(), "standard")):
        try:
            require_one_of(value, known, name)
        except InputError as refusal:
            problems += refusal.problems
    if problems:
        raise InputError(*problems)
    stem = kind.replace("-", "_")
    filled = _filled(kind, standard, f"{stem}.csv")
    contents = {f"{stem}.toml": _text(kind, filled).encode("utf-8")}
    if kind in _COLUMNS:
        contents[f"{stem}.csv"] = _record(*_COLUMNS[kind], filled["force"]).encode("utf-8")
    return contents


@cache
def _fields() -> dict:
    return tomllib.loads(files(FOLDER).joinpath("fields.toml").read_text(encoding="utf-8"))


def _text(kind: str, filled: dict[str, str]) -> str:
    return Template(files(FOLDER).joinpath(f"{kind}.job").read_text(encoding="utf-8")).substitute(filled)


def _filled(kind: str, standard: str, record: str) -> dict[str, str]:
    """The fields of one job file; some of them hold fields themselves."""
    known = _fields()
    own = known["standard"][standard]
    own = known["standard"].get(own.get("like", ""), {}) | own
    found = {"standard": standard, "record": record} | own | known["units"][own["units"]][kind]
    if "lever" in found:
        # A force downwards that stands out of the face turns the other way about x.
        found["lever_away"] = found["lever"].replace('"', '"-', 1)
    return {name: Template(value).safe_substitute(found) for name, value in found.items()}


def _record(column: str, mean: float, unit: str) -> str:
    """A start, a run and a stop: no measurement, made from sines."""
    rows = []
    for number in range(SECONDS * RATE + 1):
        time = number / RATE
        working = _ramp((time - 5.0) / 3.0) * (1.0 - _ramp((time - 50.0) / 3.0))
        force = mean * working * (1.0 + 0.12 * math.sin(2.0 * math.pi * 1.5 * time))
        force += 0.5 * mean * _swing(time - 8.0) - 0.4 * mean * _swing(time - 53.0)
        force += 0.004 * mean * math.sin(2.0 * math.pi * 3.1 * time)
        rows.append(f"{time:.2f},{round(force / _IN_KN[unit], 3) + 0.0:.3f}")
    head = "made record for a new job, no measurement: put your own in its place\n"
    return f"{head}Time [s],{column} [{unit}]\n" + "\n".join(rows) + "\n"


def _ramp(share: float) -> float:
    share = min(max(share, 0.0), 1.0)
    return share * share * (3.0 - 2.0 * share)


def _swing(time: float) -> float:
    return math.exp(-time) * math.sin(4.0 * math.pi * time) if time > 0.0 else 0.0
