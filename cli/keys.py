"""Keys: reads one table of a job file key by key and notes every problem with its place instead of stopping.

Knows nothing of joints and loads; what a key means is said where it is read.
"""

import re
from collections.abc import Callable, Collection
from typing import Any

from loadhistories.validation import InputError, nearest, require_finite, require_one_of, where

REQUIRED = object()
# No number of a joint lies beyond these, in base units; products of such numbers stay finite.
LARGEST, SMALLEST = 1e15, 1e-9
# No whole number of a job, such as of rows or planes, lies beyond.
MOST = 1_000_000
# So many keys of one table that nothing asked for are named, and the others counted.
SHOWN_UNKNOWN = 20

_EXAMPLES = {
    "N": '"150 kN"',
    "N mm": '"12 kN m"',
    "mm": '"20 mm"',
    "mm2": '"1200 mm2"',
    "mm3": '"48000 mm3"',
    "mm4": '"2.4e6 mm4"',
    "MPa": '"355 MPa"',
    "s": '"25 year"',
    "mm/s": '"0.8 m/s"',
    "MPa/N": '"0.35 MPa/kN"',
    "MPa/(N mm)": '"1.9 MPa/(kN m)"',
}
_KINDS = {
    str: "text",
    bool: "true or false",
    int: "a whole number",
    float: "a number",
    list: "a list",
    dict: "a table",
}
_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")


class Keys:
    """One table of a job file.

    Every getter returns the value, the default where the key is absent, or None where there was something to
    refuse; what was refused stands in `problems`, which all tables of a file share.

    Parameters
    ----------
    table : dict
        As the TOML reader gives it.
    place : str
        Where the table stands, such as "bracket.toml, joint[1].bolts".
    problems : list of str
        Takes the refusals.
    file : str
        Name of the job file; a table standing right in the file has it as its place.
    """

    def __init__(self, table: dict, place: str, problems: list[str], *, file: str = ""):
        self.table = table
        self.place = place
        self.problems = problems
        self.file = file or place
        self._read: dict[str, None] = {}

    def __contains__(self, key: str) -> bool:
        return key in self.table

    def at(self, key: str) -> str:
        """The place of a key of this table."""
        name = key if _BARE.match(key) and len(key) <= 60 else _shown(key)
        return f"{self.place}, {name}" if self.place == self.file else f"{self.place}.{name}"

    def note(self, problem: str, key: str = "") -> None:
        """Keep a refusal of a key, or of the whole table."""
        self.problems.append(problem + where(self.at(key) if key else self.place))

    def attempt(self, function: Callable, *args, **named):
        """What the call returns; if it refuses its input the problems are kept and None is returned."""
        try:
            return function(*args, **named)
        except InputError as refusal:
            self.problems.extend(refusal.problems)
            return None

    def raw(self, key: str, default: Any = REQUIRED, *, like: str = "") -> Any:
        """The value as it stands in the file."""
        self._read[key] = None
        if key in self.table:
            return self.table[key]
        if default is REQUIRED:
            self.note(f"{key} is missing" + (f"; give it as in {key} = {like}" if like else ""), key)
            return None
        return default

    def text(self, key: str, default: Any = REQUIRED, *, like: str = '"…"', blank: bool = False) -> str | None:
        """A text, not blank unless `blank` allows it."""
        value = self._typed(key, default, (str,), like)
        if isinstance(value, str) and key in self.table and not blank and not value.strip():
            return self._refuse(key, value, f"must not be blank, give {like}")
        return value

    def texts(self, key: str, default: Any = REQUIRED, *, like: str = '["…"]') -> list[str] | None:
        """A list of texts, with at least one in it."""
        value = self._typed(key, default, (list,), like)
        if key in self.table and value is not None and not (value and all(isinstance(item, str) for item in value)):
            return self._refuse(key, value, f"must be a list of texts, as in {key} = {like}")
        return value

    def one_of(self, key: str, known: Collection[str], default: Any = REQUIRED) -> str | None:
        """One of the known words."""
        value = self.raw(key, default, like=" or ".join(f'"{word}"' for word in known))
        if key not in self.table:
            return value
        return self.attempt(require_one_of, value, known, key, place=self.at(key))

    def quantity(
        self,
        key: str,
        unit: str,
        default: Any = REQUIRED,
        *,
        above: float | None = None,
        least: float | None = None,
    ) -> float | None:
        """A text such as "90 mm" as a number in `unit`, which is one of the base units."""
        value = self.raw(key, default, like=_EXAMPLES.get(unit, f'"1 {unit}"'))
        if key not in self.table:
            return value
        from loadhistories.units import quantity

        number = self.attempt(quantity, value, unit, key, place=self.at(key))
        return self._bounded(key, number, unit, above, least)

    def number(
        self, key: str, default: Any = REQUIRED, *, above: float | None = None, least: float | None = None
    ) -> float | None:
        """A bare number."""
        value = self.raw(key, default, like="1.35")
        if key not in self.table:
            return value
        number = self.attempt(require_finite, value, key, place=self.at(key))
        return self._bounded(key, number, "", above, least)

    def whole(self, key: str, default: Any = REQUIRED, *, least: int = 1) -> int | None:
        """A whole number of at least `least` and at most MOST."""
        value = self._typed(key, default, (int,), str(max(least, 2)))
        if key in self.table and value is not None and value < least:
            return self._refuse(key, value, f"must be at least {least}")
        if key in self.table and value is not None and value > MOST:
            return self._refuse(key, value, f"must be at most {MOST}")
        return value

    def boolean(self, key: str, default: Any = REQUIRED) -> bool | None:
        """true or false."""
        return self._typed(key, default, (bool,), "true")

    def table_of(self, key: str, *, required: bool = False, like: str = "{ … }") -> "Keys | None":
        """The table that stands under a key, or None where it is absent or no table."""
        value = self._typed(key, REQUIRED if required else None, (dict,), like)
        return None if value is None else self._inner(value, self.at(key))

    def tables(self, key: str, *, required: bool = False) -> "list[Keys]":
        """Every table of an array of tables `[[key]]`, numbered from 1 in its place."""
        value = self.raw(key, REQUIRED if required else [], like=f"a block that begins with [[{key}]]")
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            self.note(f"{key} must be one or more tables, each begun with [[{key}]], got {_kind(value)}", key)
            return []
        if required and not value:
            self.note(f"{key} is empty; give at least one block that begins with [[{key}]]", key)
        return [self._inner(item, f"{self.at(key)}[{number}]") for number, item in enumerate(value, start=1)]

    def done(self) -> None:
        """Refuse every key that nothing asked for, with the key that was probably meant."""
        unknown = [key for key in self.table if key not in self._read]
        for key in unknown[:SHOWN_UNKNOWN]:
            guess = nearest(key, [name for name in self._read if name not in self.table] or self._read)
            hint = f"did you mean {guess!r}? " if guess else ""
            self.note(f"{_shown(key)} is no key here; {hint}known: {', '.join(self._read)}", key)
        if len(unknown) > SHOWN_UNKNOWN:
            self.note(f"{len(unknown) - SHOWN_UNKNOWN} more keys are none here")

    def _inner(self, table: dict, place: str) -> "Keys":
        return Keys(table, place, self.problems, file=self.file)

    def _typed(self, key: str, default: Any, kinds: tuple[type, ...], like: str) -> Any:
        value = self.raw(key, default, like=like)
        if key not in self.table:
            return value
        if type(value) in kinds:
            return value
        return self._refuse(key, value, f"must be {_KINDS[kinds[0]]}, as in {key} = {like}")

    def _bounded(self, key, number, unit, above, least) -> float | None:
        tail = f" {unit}" if unit else ""
        if number is not None and abs(number) > LARGEST:
            return self._refuse(key, self.table[key], f"must not be beyond {LARGEST:g}{tail}, as no joint has it")
        if number is not None and above == 0.0 and 0.0 < number < SMALLEST:
            return self._refuse(key, self.table[key], f"must be above {SMALLEST:g}{tail}")
        if number is not None and above is not None and not number > above:
            return self._refuse(key, self.table[key], f"must be above {above:g}{tail}")
        if number is not None and least is not None and number < least:
            return self._refuse(key, self.table[key], f"must not be below {least:g}{tail}")
        return number

    def _refuse(self, key: str, value: Any, rule: str) -> None:
        self.note(f"{key} {rule}; got {_shown(value)}", key)


def entry(value: Any, unit: str, name: str, place: str = "") -> float:
    """A quantity in a list or within a text, as a number in `unit` that is bounded as every other one."""
    from loadhistories.units import quantity

    number = quantity(value, unit, name, place)
    if abs(number) > LARGEST:
        most = f"{LARGEST:g} {unit}".rstrip()
        raise InputError(f"{name} must not be beyond {most}, as no joint has it; got {_shown(value)}{where(place)}")
    return number


def _kind(value: Any) -> str:
    return _KINDS.get(type(value), type(value).__name__)


def _shown(value: Any) -> str:
    if isinstance(value, (dict, list)):
        return _kind(value)
    shown = str(value).lower() if isinstance(value, bool) else repr(value)
    return shown if len(shown) <= 60 else f"{shown[:57]}..."
