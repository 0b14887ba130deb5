"""Refusals: one error class for what the user can mend, and the small checks at the door.

Nothing here knows what is being checked; the wording is the same in every room.
"""

import difflib
import math
from collections.abc import Collection, Iterable


class InputError(ValueError):
    """What the user gave cannot be judged; `problems` holds every reason found, a line each."""

    def __init__(self, *problems: str):
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


def where(place: str) -> str:
    """The place as it ends a refusal: "" or " (place)"."""
    return f" ({place})" if place else ""


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that a slip of the pen most likely meant, or ""."""
    by_fold = {str(name).casefold(): str(name) for name in known}
    found = difflib.get_close_matches(str(word).casefold(), by_fold, n=1, cutoff=0.6)
    return by_fold[found[0]] if found else ""


def require_finite(value: float, name: str, *, unit: str = "", place: str = "") -> float:
    """Return `value` as float; raise InputError unless it is a finite number."""
    if isinstance(value, (bool, str)) or not hasattr(value, "__float__"):
        raise InputError(f"{name} must be a number, got {value!r}{where(place)}")
    try:
        number = float(value)
    except OverflowError:
        raise InputError(f"{name} must be finite, got a whole number beyond 1e308{where(place)}") from None
    if not math.isfinite(number):
        raise InputError(f"{name} must be finite, got {number:g}{_spaced(unit)}{where(place)}")
    return number


def require_positive(value: float, name: str, *, unit: str = "", place: str = "") -> float:
    """Return `value` as float; raise InputError unless it is finite and above zero."""
    number = require_finite(value, name, unit=unit, place=place)
    if number <= 0.0:
        raise InputError(f"{name} must be above 0{_spaced(unit)}, got {number:g}{where(place)}")
    return number


def require_not_negative(value: float, name: str, *, unit: str = "", place: str = "") -> float:
    """Return `value` as float; raise InputError unless it is finite and not below zero."""
    number = require_finite(value, name, unit=unit, place=place)
    if number < 0.0:
        raise InputError(f"{name} must not be below 0{_spaced(unit)}, got {number:g}{where(place)}")
    return number


def require_one_of(value: str, known: Collection[str], name: str, *, place: str = "") -> str:
    """Return `value`; raise InputError with the known words (nearest first) unless it is one of them."""
    if isinstance(value, str) and value in known:
        return value
    guess = nearest(value, known) if isinstance(value, str) else ""
    hint = f"; did you mean {guess!r}?" if guess else ""
    raise InputError(f"{name} {value!r} is unknown{hint}; known: {', '.join(map(str, known))}{where(place)}")


def _spaced(unit: str) -> str:
    return f" {unit}" if unit else ""
