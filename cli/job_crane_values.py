"""Values of the table [load.crane]: weights that may be masses, and lists of quantities."""

import re

from cli.keys import Keys, entry
from loadhistories.crane import GRAVITY

_MASS = re.compile(r"\s*([0-9.]+(?:[eE][+-]?\d{1,2})?)\s*(t|kg)\s*\Z")
_IN_KILOGRAMS = {"t": 1000.0, "kg": 1.0}


def weight(keys: Keys, key: str) -> float | None:
    """A force, or a mass in t or kg taken with the acceleration of fall. [N]"""
    text = keys.raw(key, like='"80 kN", or "8 t"')
    if text is None:
        return None
    found = _MASS.match(text) if isinstance(text, str) else None
    if found is None:
        return keys.quantity(key, "N")
    mass = keys.attempt(entry, found[1], "", key, place=keys.at(key))
    return None if mass is None else mass * _IN_KILOGRAMS[found[2]] * GRAVITY


def quantities(keys: Keys, key: str, unit: str, *default, like: str) -> list[float] | None:
    """A list of quantities; an empty list is one too."""
    given = keys.raw(key, *default, like=like)
    if given is None:
        return None
    if not isinstance(given, list):
        return keys.note(f"{key} must be a list, as in {key} = {like}; got {given!r}", key)
    found = [keys.attempt(entry, item, unit, key, place=keys.at(key)) for item in given]
    return None if None in found else found
