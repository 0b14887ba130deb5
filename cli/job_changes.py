"""Changes to a job before it is read: `joint.bolts.size=M24` of a command line, or one row of a table of jobs."""

import copy
import json
import math
import re
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from loadhistories.validation import InputError, nearest, where

_STEP = re.compile(r'(?P<key>[A-Za-z0-9_-]+|"[^"]+")(?:\[(?P<which>[^\]]+)\])?(?P<dot>\.|\Z)')
_EXAMPLE = "joint.bolts.size or joint[2].plates[1].thickness"


@dataclass(frozen=True)
class Change:
    """One key of a job and the value that it is to have: a text, or a number or list as a table of jobs holds it.

    `origin` says where the change was asked for, such as "--set".
    """

    key: str
    value: Any
    origin: str = ""


@dataclass(frozen=True)
class Changed:
    """A change that was made; `was` is the value before, None where the key was not there."""

    key: str
    value: Any
    was: Any

    @property
    def text(self) -> str:
        """The value as a change asks for it, so that it can be made again."""
        return toml_value(self.value)

    @property
    def words(self) -> str:
        """The change as results print it."""
        before = "which the job does not state" if self.was is None else f"in the job {_shown(self.was)}"
        return f"changed for this run: {self.key} = {_shown(self.value)}, {before}"


def change_of(text: str, origin: str = "--set") -> Change:
    """The change that "key=value" asks for.

    Raises
    ------
    InputError
        Key or value is missing.

    Examples
    --------
    >>> change_of("joint.bolts.size=M24").value
    'M24'
    """
    key, sign, value = text.partition("=")
    if not sign or not key.strip() or not value.strip():
        raise InputError(f"a change is written as key=value, as in joint.bolts.size=M24, got {text!r}{where(origin)}")
    return Change(key.strip(), value.strip(), origin)


def changed(table: dict, changes: Sequence[Change]) -> tuple[dict, tuple[Changed, ...]]:
    """A copy of the table of a job with the changes, in their order, and what each of them changed.

    A key is named from the top of the file, as refusals name it: `joint.bolts.size`. Where the file has several
    tables of a name, one is chosen by number or name: `joint[2]…`, `joint[end plate]…`. A key in a table that is
    there need not be there itself.

    Raises
    ------
    InputError
        With every change that cannot be made.
    """
    table = copy.deepcopy(table)
    problems: list[str] = []
    made: list[Changed] = []
    keys = [change.key for change in changes]
    for change in changes:
        if keys.count(change.key) > 1:
            problems.append(f"{change.key} is changed {keys.count(change.key)} times; change it once"
                            f"{where(change.origin)}")  # fmt: skip
            continue
        try:
            made.append(_make(table, change))
        except InputError as refusal:
            problems.extend(refusal.problems)
    if problems:
        raise InputError(*dict.fromkeys(problems))
    return table, tuple(made)


def require_key(key: str, origin: str = "") -> None:
    """Refuse a text that cannot name a key of a job, whatever the job."""
    _steps(key, origin)


def _make(table: dict, change: Change) -> Changed:
    *path, (last, which) = _steps(change.key, change.origin)
    for name, chosen in path:
        table = _into(table, name, chosen, change)
    if which is not None:
        return _make_in_list(table, last, which, change)
    was = table.get(last)
    table[last] = value = _value(change.value, was)
    return Changed(change.key, value, was)


def _make_in_list(table: dict, name: str, which: str, change: Change) -> Changed:
    """The change of one entry of a list of plain values."""
    entries = table.get(name)
    if not isinstance(entries, list) or any(isinstance(entry, dict) for entry in entries):
        raise InputError(f"{change.key} does not name a value: {name} is {_kind(entries)}{where(change.origin)}")
    number = _number(which, len(entries), change)
    was, entries[number] = entries[number], _value(change.value, entries[number])
    return Changed(change.key, entries[number], was)


def _steps(key: str, origin: str) -> list[tuple[str, str | None]]:
    """The parts of a key: each a name, and which of several tables of that name is meant."""
    found, end, dot = [], 0, "."
    while end < len(key) and dot:
        step = _STEP.match(key, end)
        if not step:
            break
        found.append((step["key"].strip('"'), step["which"]))
        end, dot = step.end(), step["dot"]
    if end < len(key) or dot or not found:
        raise InputError(f"{key!r} names no key of a job; a key is written as in {_EXAMPLE}{where(origin)}")
    return found


def _into(table: dict, name: str, which: str | None, change: Change) -> dict:
    """The table that stands under a name; one that is not there is made."""
    inner = table.setdefault(name, {}) if which is None else table.get(name)
    if isinstance(inner, dict) and which is None:
        return inner
    tables = inner if isinstance(inner, list) and inner and all(isinstance(item, dict) for item in inner) else None
    if tables is None:
        raise InputError(f"{change.key} does not name a value: {name} is {_kind(inner)}{where(change.origin)}")
    if which is None:
        if len(tables) > 1:
            raise InputError(
                f"{change.key}: the job has {len(tables)} tables {name}; say which, as in {name}[1] or "
                f"{name}[{tables[0].get('name', 'its name')}]{where(change.origin)}"
            )
        return tables[0]
    names = [item.get("name") for item in tables]
    if which in names:
        return tables[names.index(which)]
    return tables[_number(which, len(tables), change, [text for text in names if isinstance(text, str)])]


def _number(which: str, known: int, change: Change, names: Sequence[str] = ()) -> int:
    """Place of the entry that a number from 1 chooses."""
    if which.isascii() and which.isdigit() and 1 <= int(which) <= known:
        return int(which) - 1
    guess = nearest(which, names)
    hint = f"; did you mean {guess!r}?" if guess else f"; known: 1 to {known}" + "".join(f", {name}" for name in names)
    raise InputError(f"{change.key}: there is no [{which}]{hint}{where(change.origin)}")


def _value(given: Any, was: Any) -> Any:
    """The value that a text stands for: a number, list or table where it reads as one and no text stands there."""
    if isinstance(was, str):
        if not isinstance(given, str):
            return str(int(given)) if isinstance(given, float) and given.is_integer() else str(given)
        read = _read(given)
        return read if isinstance(read, (dict, list, str)) else given
    if isinstance(given, float) and given.is_integer() and not isinstance(was, float):
        return int(given)
    return _read(given) if isinstance(given, str) else given


def _read(text: str) -> Any:
    """What the text is as a value of a job file; the text itself where it is none."""
    try:
        found = tomllib.loads(f"value = {text}")
    except (ValueError, RecursionError):
        return text
    value = found.get("value")
    plain = type(value) in (str, int, bool, list, dict) or (isinstance(value, float) and math.isfinite(value))
    return value if plain and set(found) == {"value"} else text


def toml_value(value: Any) -> str:
    """A plain value as a job file writes it.

    Examples
    --------
    >>> toml_value({"share": 0.5, "names": ["a", "b"]})
    '{ "share" = 0.5, "names" = ["a", "b"] }'
    """
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{toml_value(key)} = {toml_value(item)}' for key, item in value.items())} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(toml_value, value))}]"
    return json.dumps(value, ensure_ascii=True) if isinstance(value, str | bool | int | float) else str(value)


def _kind(value: Any) -> str:
    kinds = {dict: "a table", list: "a list", type(None): "not there"}
    return kinds.get(type(value), "a value")


def _shown(value: Any) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_shown(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list):
        return f"[{', '.join(map(_shown, value))}]"
    if isinstance(value, bool):
        return str(value).lower()
    return f'"{value}"' if isinstance(value, str) else str(value)
