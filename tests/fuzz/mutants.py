"""Mutants of sound jobs, value by value: wrong kinds, units, signs and sizes, missing, doubled and exchanged keys.

The same seed gives the same mutants.
"""

import re
import tomllib
from copy import deepcopy
from pathlib import Path
from random import Random

ROOT = Path(__file__).parent.parent.parent
SAMPLE = ROOT / "loadhistories" / "samples" / "drive_bracket.toml"

_QUANTITY = re.compile(r"\s*([+-]?\d+\.?\d*(?:[eE][+-]?\d+)?)(?![\d.])\s*(.*)\Z", re.DOTALL)
_NUMBERS = (
    0, -0.0, 1, -1, 2, 0.5, 1e-9, 1e-12, 5e-324, 1e9, 1e15, 1e16, 1e308, -1e308, float("nan"), float("inf"),
    float("-inf"), 10**18, 10**30, 10**400, -(10**400), 2**63, True, False,
)  # fmt: skip
_UNITS = (
    "", "mm", "m", "kN", "N", "kN m", "kNm", "MPa", "N/mm2", "MPa/kN", "MPa/(kN m)", "s", "h", "year", "/day", "%",
    "kg", "t", "Hz", "rpm", "deg", "in", "kip", "ksi", "mm2", "cm4", "°", "µm", "kn", "m/s", "furlong", "mm mm mm",
    "1/0", "N/(", "mm^-9", "kN/day",
)  # fmt: skip
_TEXTS = (
    "", " ", "\t", "\n", "\x00", "\x7f", "\u202e", "\ufeff", "\u200b", "none", "nan", "inf", "-inf", "1e400", "1e-400",
    "0x10", "1_000 mm", "1,5 kN", "1 000 N", "−3 kN", "٣ kN", "１２ kN", "½ m", "1/2 m", "12 kN 3", "1e999999999 mm",
    "9" * 5000 + " mm", "a" * 100_000, "🔩", "<script>alert(1)</script>", "{{ 7 * 7 }}", "{% raw %}", "%s%n", "$(id)",
    "'; --", "=1+1", "\\", '"', "../../etc/passwd", "/dev/zero", "/dev/stdin", "/dev/null", "/etc/passwd", ".", "..",
    "~", "//", "a/b/c.csv", "record.csv\x00.toml", "CON", "file:///etc/passwd", "http://localhost/record.csv",
    "pipe.csv", "folder.csv", "zero.csv", "archive.csv", "archive.zip", "self.csv", "missing.csv", "M20", "10.9",
    "S355", "full", "B", "shop", "EN 1993", "AS 4100", "AISC 360-16", "AISC 360-22", "IIW", "BS 7608", "DNV-RP-C203",
    "EN 1993 ", "ЕN 1993", "en 1993", "never", "allowed", "not in service", "short slot", "long slot", "oversize",
    "fitted", "x", "y", "all", "service", "ultimate", "16 h/day", "40/day", "1e30/day", "1/year", "0/day", "25 h/day",
    "200000", "24 h/day, 366 day/year", "0.0001 s/year",
)  # fmt: skip
MADE = {"counted", "events", "crane", "machine"}
# The tables that the README names and does not show.
TABLES = {
    "cycles.csv": "Range,Mean,Cycles\n10,5,100\n20,0,30\n40,10,2\n",
    "lifts.csv": "Start (s),Load (kN),Duration (s)\n0,80,60\n300,20,30\n4000,95,90\n",
}
# Letters that look like those of our keys and are others.
_ALIKE = {"a": "а", "e": "е", "o": "о", "c": "с", "p": "р", "x": "х", "i": "і", "s": "ѕ", "F": "Ｆ", "_": "＿"}


def sound_jobs() -> dict[str, dict]:
    """The jobs that the mutants are made of, by the name of their file."""
    files = sorted([*(ROOT / "tests" / "jobs").glob("*.toml"), SAMPLE])
    found = {file.name: tomllib.loads(file.read_text(encoding="utf-8")) for file in files}
    readme = re.findall(r"```toml\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), flags=re.DOTALL)
    found["readme.toml"] = whole = tomllib.loads(readme[0])
    for number, text in enumerate(readme[1:], start=2):
        found[f"readme_{number}.toml"] = _with_part(whole, tomllib.loads(text))
    return found


def _with_part(whole: dict, part: dict) -> dict:
    """The job of the README with one of the parts that it shows beside it."""
    job = deepcopy(whole) | {key: value for key, value in part.items() if key not in ("load", "joint")}
    for kind in ("load", "joint"):
        given = part.get(kind, {})
        for table, more in zip(job[kind], given if isinstance(given, list) else [given], strict=False):
            if MADE & set(more):
                del table["history"]
            if {"crane", "machine"} & set(more):
                del table["occurs"]
            table |= more
            if MADE & set(more) <= {"counted", "events"} and MADE & set(more):
                table["components"] = {"Fy": {"column": "Load"}}
            if "counted" in more:
                table["counted"]["class_width"] = "2 kN"
            if "machine" in more:
                table["components"] = {"Fy": {"column": "Vertical"}}
    for place in (place for joint in job["joint"] for place in joint.get("runway", ())):
        place.pop("beside", None)
        place.pop("records", None)
    return job


def records() -> list[Path]:
    """The records that these jobs name."""
    return sorted([*(ROOT / "tests" / "jobs").glob("*.csv"), *SAMPLE.parent.glob("*.csv")])


class Mutants:
    """Makes mutants without end.

    Parameters
    ----------
    jobs : dict of str to dict
        The sound jobs.
    seed : int
        The same seed gives the same mutants.
    """

    def __init__(self, jobs: dict[str, dict], seed: int):
        self._jobs = list(jobs.values())
        self._random = Random(seed)
        self._known: dict[str, list] = {}
        for job in self._jobs:
            for table, key in _places(job):
                if isinstance(key, str):
                    self._known.setdefault(key, []).append(table[key])
        self._keys = sorted(self._known)

    def next(self) -> dict:
        """One more mutant."""
        job = deepcopy(self._random.choice(self._jobs))
        for _ in range(self._random.choice((1, 1, 1, 2, 3, 5))):
            places = _places(job)
            if places:
                self._change(*self._random.choice(places))
        return job

    def _change(self, table, key) -> None:
        draw = self._random.random()
        if draw < 0.08:
            del table[key]
        elif draw < 0.14 and isinstance(key, str):
            table[self._renamed(key)] = table.pop(key)
        elif draw < 0.24 and isinstance(key, str):
            other = self._random.choice(self._keys)
            table[other] = deepcopy(self._random.choice(self._known[other]))
        elif draw < 0.44 and isinstance(key, str):
            table[key] = deepcopy(self._random.choice(self._known[key]))
        else:
            table[key] = self._value(table[key])

    def _renamed(self, key: str) -> str:
        alike = "".join(_ALIKE.get(letter, letter) for letter in key)
        return self._random.choice((alike, key.upper(), key + " ", "", key + "\x00", key[:-1], "name", key * 200))

    def _value(self, was):
        draw = self._random.random()
        if isinstance(was, list) and draw < 0.5:
            return self._list(was)
        if isinstance(was, bool) or draw < 0.25:
            return self._random.choice((*_NUMBERS, *_TEXTS))
        if isinstance(was, int | float) and draw < 0.9:
            return self._number(was)
        found = _QUANTITY.match(was) if isinstance(was, str) else None
        if found and draw < 0.9:
            unit = found[2] if self._random.random() < 0.8 else self._random.choice(_UNITS)
            return f"{self._number(float(found[1]))} {unit}".strip()
        text = self._random.choice(_TEXTS)
        return self._random.choice((text, [], {}, [[]], [was], {"x": was}, [was, was], _deep(was)))

    def _number(self, was):
        if self._random.random() < 0.5:
            return self._random.choice(_NUMBERS)
        scale = self._random.choice((-1, 0.1, 0.5, 0.9, 1.01, 1.5, 2, 10, 100, 1e3, 1e6, 1e-3, 1e-6, 1e12))
        return int(was * scale) if isinstance(was, int) else was * scale

    def _list(self, was: list) -> list:
        draw = self._random.random()
        if draw < 0.25:
            return was + deepcopy(was)
        if draw < 0.45:
            return was[:-1]
        if draw < 0.6:
            return was[::-1]
        if draw < 0.75:
            return deepcopy(was) * 40
        return [*was, self._random.choice((*_NUMBERS, *_TEXTS))]


def _places(value, found=None) -> list:
    """Every table or list of a job with each of its keys."""
    found = [] if found is None else found
    entries = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in list(entries):
        found.append((value, key))
        _places(inner, found)
    return found


def _deep(value):
    for _ in range(60):
        value = [value]
    return value
