"""Words of a machine's data sheet that the closed list of units does not hold: speeds, rates of strokes, masses.

Speeds are kept as exact fractions, so that the repeat of several is exact too.
"""

import re
from fractions import Fraction

from loadhistories.validation import InputError, where

_NUMBER = r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,2})?)"
_SPEEDS = {"rpm": 60, "r/min": 60, "rev/min": 60, "1/min": 60, "/min": 60, "min-1": 60, "min^-1": 60}
_SPEEDS |= {"hz": 1, "1/s": 1, "/s": 1, "rps": 1}
_STROKES = {"/s": 1, "1/s": 1, "hz": 1, "/min": 60, "1/min": 60, "/h": 3600, "1/h": 3600}
_MASSES = {"kg": 1, "t": 1000, "g": Fraction(1, 1000)}


def turns(text: str, name: str, place: str = "") -> Fraction:
    """Turns in a second of a speed such as "1480 rpm" or "24.5 Hz", exactly; above zero.

    Examples
    --------
    >>> turns("1470 rpm", "speed")
    Fraction(49, 2)
    """
    return _above_zero(*_read(text, _SPEEDS, name, '"1480 rpm"', place), text, name, place)


def turns_or_rest(text: str, name: str, place: str = "") -> Fraction:
    """The same, where a machine may also stand: "0 rpm"."""
    number, per = _read(text, _SPEEDS, name, '"0 rpm"', place)
    if number < 0:
        raise InputError(f"{name} must not be below 0, got {text!r}{where(place)}")
    return number / per


def stroke_rate(text: str, name: str, place: str = "") -> Fraction:
    """Strokes in a second of a rate such as "30/min", exactly."""
    return _above_zero(*_read(text, _STROKES, name, '"30/min"', place), text, name, place)


def mass(text: str, name: str, place: str = "") -> float:
    """Kilograms of a mass such as "800 kg" or "1.2 t"."""
    number, per = _read(text, {word: 1 / Fraction(factor) for word, factor in _MASSES.items()}, name, '"800 kg"', place)
    return float(_above_zero(number, per, text, name, place))


def _read(text: str, units: dict, name: str, like: str, place: str) -> tuple[Fraction, Fraction]:
    """The number, and what it is to be divided by."""
    if not isinstance(text, str):
        raise InputError(f"{name} must be a text with number and unit, as in {like}, got {text!r}{where(place)}")
    found = re.fullmatch(rf"\s*{_NUMBER}\s*(\S*)\s*", text)
    unit = found[2].casefold() if found else ""
    if not found or unit not in units:
        known = ", ".join(word for word in units if not word.startswith("/"))
        raise InputError(
            f"{name} must be a number with one of the units {known}, as in {like}, got {text!r}{where(place)}"
        )
    return Fraction(found[1]), Fraction(units[unit])


def _above_zero(number: Fraction, per: Fraction, text: str, name: str, place: str) -> Fraction:
    if number <= 0:
        raise InputError(f"{name} must be above 0, got {text!r}{where(place)}")
    return number / per
