"""Writes a job as TOML: tables in the order they have, every value as the reader of job files wants it."""

import math
import re
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+\Z")
_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r", "\b": "\\b", "\f": "\\f"}


def toml_text(document: dict) -> str:
    """The document as a TOML file.

    Limits
    ------
    Tables, lists, texts, numbers and true or false; dates stay as their text in the reader's form.

    Examples
    --------
    >>> print(toml_text({"title": "a", "joint": [{"name": "c", "bolts": {"rows": 3}}]}), end="")
    title = "a"
    <BLANKLINE>
    [[joint]]
    name = "c"
    bolts = { rows = 3 }
    """
    return "\n".join(_table(document, "")).strip("\n") + "\n"


def _table(table: dict, path: str) -> list[str]:
    """Plain values first, since they would otherwise belong to the table above them; then tables and blocks."""
    inner = {key: value for key, value in table.items() if _is_block(value)}
    lines = [f"{_key(key)} = {_value(value)}" for key, value in table.items() if key not in inner]
    for key, value in inner.items():
        name = f"{path}.{_key(key)}" if path else _key(key)
        for item in value if isinstance(value, list) else [value]:
            body = _table(item, name)
            # A table that holds only further tables needs no heading of its own.
            heading = [] if isinstance(value, dict) and body[:1] == [""] else ["", f"[{name}]"]
            lines += ["", f"[[{name}]]", *body] if isinstance(value, list) else [*heading, *body]
    return lines


def _is_block(value: Any) -> bool:
    """Whether a value gets a heading of its own: blocks, and tables that hold more than plain values."""
    if isinstance(value, list):
        return bool(value) and all(isinstance(item, dict) for item in value)
    return isinstance(value, dict) and (len(value) > 4 or any(isinstance(item, dict | list) for item in value.values()))


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return _number(value)
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{_key(key)} = {_value(item)}' for key, item in value.items())} }}" if value else "{}"
    if isinstance(value, str):
        return _text(value)
    return value.isoformat()


def _number(value: float) -> str:
    if isinstance(value, int) or math.isfinite(value):
        return repr(value)
    return "nan" if math.isnan(value) else "inf" if value > 0 else "-inf"


def _key(key: str) -> str:
    return key if _BARE.match(key) else _text(key)


def _text(value: str) -> str:
    return f'"{"".join(map(_letter, value))}"'


def _letter(letter: str) -> str:
    return _ESCAPES.get(letter) or (letter if letter.isprintable() else f"\\U{ord(letter):08X}")
