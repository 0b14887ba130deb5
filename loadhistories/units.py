"""Quantities with units become plain numbers in N, mm, MPa, s and rad; the only place that knows pint.

Unit words are read from a closed list, so that nothing is taken for something else ("kn" is no force, "t" is
a mass). Decimal multiples are exact here; pint is asked for the others, when the first one is met.
"""

import re
import unicodedata
from fractions import Fraction
from functools import cache

from loadhistories.validation import InputError, nearest, where

_FORCE, _LENGTH, _STRESS = (1, 0, 0, 0), (0, 1, 0, 0), (1, -2, 0, 0)
_TIME, _ANGLE, _RATIO, _RATE = (0, 0, 1, 0), (0, 0, 0, 1), (0, 0, 0, 0), (0, 0, -1, 0)

BASE_UNITS = {
    "N": ("a force", _FORCE, "kN"),
    "mm": ("a length", _LENGTH, "mm"),
    "MPa": ("a stress", _STRESS, "MPa"),
    "s": ("a time", _TIME, "h"),
    "rad": ("an angle", _ANGLE, "deg"),
    "N mm": ("a moment", (1, 1, 0, 0), "kNm"),
    "mm2": ("an area", (0, 2, 0, 0), "mm2"),
    "mm3": ("a section modulus", (0, 3, 0, 0), "mm3"),
    "mm4": ("a second moment of area", (0, 4, 0, 0), "mm4"),
    "N/mm": ("a force per length", (1, -1, 0, 0), "kN/m"),
    "MPa/N": ("a stress per force", (0, -2, 0, 0), "MPa/kN"),
    "MPa/(N mm)": ("a stress per moment", (0, -3, 0, 0), "MPa/(kN m)"),
    "1/mm": ("a value per length", (0, -1, 0, 0), "1/m"),
    "1/s": ("a rate", _RATE, "Hz"),
    "mm/s": ("a speed", (0, 1, -1, 0), "m/s"),
    "": ("a plain number", _RATIO, ""),
}

# Word: what it measures and the decimal factor to N, mm, MPa, s, rad; None leaves the factor to pint.
_WORDS = {
    "N": (_FORCE, "1"), "daN": (_FORCE, "10"), "kN": (_FORCE, "1e3"), "MN": (_FORCE, "1e6"),
    "lbf": (_FORCE, None), "kip": (_FORCE, None), "kips": (_FORCE, None), "kgf": (_FORCE, None),
    "um": (_LENGTH, "1e-3"), "mm": (_LENGTH, "1"), "cm": (_LENGTH, "10"), "dm": (_LENGTH, "100"),
    "m": (_LENGTH, "1e3"), "in": (_LENGTH, None), "inch": (_LENGTH, None), "ft": (_LENGTH, None),
    "Pa": (_STRESS, "1e-6"), "kPa": (_STRESS, "1e-3"), "MPa": (_STRESS, "1"), "GPa": (_STRESS, "1e3"),
    "psi": (_STRESS, None), "ksi": (_STRESS, None), "bar": (_STRESS, "0.1"),
    "us": (_TIME, "1e-6"), "ms": (_TIME, "1e-3"), "s": (_TIME, "1"), "sec": (_TIME, "1"), "min": (_TIME, "60"),
    "h": (_TIME, "3600"), "hr": (_TIME, "3600"), "hour": (_TIME, "3600"), "hours": (_TIME, "3600"),
    "d": (_TIME, "86400"), "day": (_TIME, "86400"), "days": (_TIME, "86400"),
    "week": (_TIME, "604800"), "weeks": (_TIME, "604800"),
    "year": (_TIME, "31557600"), "years": (_TIME, "31557600"), "month": (_TIME, None), "months": (_TIME, None),
    "Hz": (_RATE, "1"), "kHz": (_RATE, "1e3"),
    "rad": (_ANGLE, "1"), "mrad": (_ANGLE, "1e-3"), "deg": (_ANGLE, None), "°": (_ANGLE, None),
    "%": (_RATIO, "1e-2"), "‰": (_RATIO, "1e-3"), "strain": (_RATIO, "1"), "ε": (_RATIO, "1"),
    "ustrain": (_RATIO, "1e-6"), "microstrain": (_RATIO, "1e-6"), "uε": (_RATIO, "1e-6"),
    "uStrain": (_RATIO, "1e-6"),
}  # fmt: skip
_MASSES = ("t", "kg", "g", "mg", "lb", "lbs", "ton", "tons", "tonne", "tonnes", "pound", "pounds")
_COMPOUND = re.compile(r"(N|daN|kN|MN|lbf|kips?)(mm|cm|m|in|ft)")
_SPELLINGS = (*_WORDS, "Nm", "kNm", "MNm", "Nmm", "kNmm")
_NUMBER = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?)(?![\d.])")
_SYMBOL = re.compile(r"([A-Za-z°%‰ε]+)(?:\^?(-?\d))?|([/()])|(1)(?![\d.])|([ *·⋅]+)")


def quantity(text: str, unit: str, name: str, place: str = "") -> float:
    """The number of a quantity in one of the BASE_UNITS, as in "12 kN" for "N": 12000.0.

    Parameters
    ----------
    text : str
        Number and unit. A plain number (`unit` "") needs none.
    unit : str
        Key of BASE_UNITS in which the result is wanted.
    name, place : str
        What the quantity is and where it stands, for the refusal.

    Raises
    ------
    InputError
        No unit, an unknown one, one of another kind, a decimal comma, a number that is not finite.

    Examples
    --------
    >>> quantity("12 kN", "N", "preload")
    12000.0
    >>> quantity("1.9 MPa/(kN m)", "MPa/(N mm)", "stress")
    1.9e-06
    """
    number, unit_text = _split(text, unit, name, place)
    if not unit_text and unit:
        mended = _example(text.strip(), unit)
        raise InputError(f"{name} has no unit: write it as in {mended}, got {text!r}{where(place)}")
    factor, dimension = _parsed(unit_text, name, place)
    _require_kind(dimension, unit, text, name, place)
    return _finite(number, factor, text, name, place)


def measure(text: str, name: str, place: str = "") -> tuple[float, tuple[int, ...]]:
    """Number in base units and dimension (exponents of force, length, time, angle) of a quantity of any kind."""
    number, unit_text = _split(text, "", name, place)
    factor, dimension = _parsed(unit_text, name, place)
    return _finite(number, factor, text, name, place), dimension


def unit_scale(text: str, base: str, name: str = "unit", place: str = "") -> float:
    """What a number in the unit `text` is to be multiplied with to stand in `base`, a key of BASE_UNITS."""
    factor, dimension = _parsed(text, name, place)
    _require_kind(dimension, base, text, name, place)
    return float(factor)


def base_unit_of(text: str, name: str = "unit", place: str = "") -> str:
    """The base unit that a unit belongs to: "N" for "kN", "N mm" for "kNm", "" for "um/m".

    Raises
    ------
    InputError
        The unit is unknown, or of a kind that is of no use here.
    """
    dimension = _parsed_words(text, name, place)[1]
    for base, (_, of_base, _) in BASE_UNITS.items():
        if dimension == of_base:
            return base
    raise InputError(f"{name} {text!r} is none of {_listed(BASE_UNITS)}{where(place)}")


def dimension_of(base: str) -> tuple[int, ...]:
    """Exponents of force, length, time and angle of a base unit."""
    return BASE_UNITS[base][1]


def unit_words(base: str) -> tuple[str, ...]:
    """The single words for units of a kind, such as "N", "kN" and "kip" for "N"; compounds are none."""
    return tuple(word for word, (dimension, _) in _WORDS.items() if dimension == BASE_UNITS[base][1])


def _split(text: str, unit: str, name: str, place: str) -> tuple[Fraction, str]:
    """Number and unit text of a quantity."""
    example = _example("20", unit)
    if not isinstance(text, str):
        raise InputError(f"{name} must be a quantity with its unit, such as {example}, got {text!r}{where(place)}")
    plain = text.replace("−", "-")
    if re.match(r"\s*[+-]?\d[\d ]*,\s*\d", plain):
        mended = re.sub(r",\s*", "" if "." in plain else ".", plain.strip(), count=1)
        raise InputError(
            f"{name} has a comma: write the decimal point and no thousands separator, as in \"{mended}\", "
            f"got {text!r}{where(place)}"
        )
    if re.match(r"\s*[+-]?(nan|inf)", plain, re.IGNORECASE):
        raise InputError(f"{name} must be finite, got {text!r}{where(place)}")
    found = _NUMBER.match(plain)
    if not found:
        raise InputError(f"{name} must be a number with its unit, such as {example}, got {text!r}{where(place)}")
    rest = plain[found.end() :].strip()
    if re.match(r"(?!1/)[\d.,'_]", rest):
        raise InputError(
            f"{name} must be one number without separators, such as {example}, got {text!r}{where(place)}"
        )
    return Fraction(found[1]), rest


def _finite(number: Fraction, factor: Fraction, text: str, name: str, place: str) -> float:
    try:
        return float(number * factor)
    except OverflowError:
        raise InputError(f"{name} must be finite, got {text!r}{where(place)}") from None


def _require_kind(dimension, base: str, text: str, name: str, place: str) -> None:
    kind, wanted, _ = BASE_UNITS[base]
    if dimension != wanted:
        raise InputError(f"{name} must be {kind} such as {_example('20', base)}, got {text!r}{where(place)}")


def _example(number: str, base: str) -> str:
    return f'"{number} {BASE_UNITS[base][2]}"'.replace(' "', '"')


def _listed(words) -> str:
    return ", ".join(word for word in words if word)


def _parsed(text: str, name: str, place: str) -> tuple[Fraction, tuple[int, ...]]:
    """Factor to base units and dimension of a unit text."""
    words, dimension = _parsed_words(text, name, place)
    factor = Fraction(1)
    for word, power in words:
        factor *= _factor(word) ** power
    return factor, dimension


def _parsed_words(text: str, name: str, place: str) -> tuple[list[tuple[str, int]], tuple[int, ...]]:
    """Words of a unit text with their powers, and its dimension."""
    if not isinstance(text, str):
        raise InputError(f"{name} must be a text such as \"kN\", got {text!r}{where(place)}")
    plain = unicodedata.normalize("NFKC", text).replace("μ", "u").replace("−", "-").replace("\\", "/")
    plain = re.sub(r"(?<=[a-zA-Z])[.-](?=[a-zA-Z])", " ", plain.replace("**", "^")).strip()
    if plain in ("", "-"):
        return [], _RATIO
    symbols, end = [], 0
    while end < len(plain):
        found = _SYMBOL.match(plain, end)
        if not found:
            raise InputError(f"{name}: unit {text!r} cannot be read{_hint(plain)}{where(place)}")
        symbols.append(found)
        end = found.end()
    words = _product([found for found in symbols if not found[5]], text, name, place)
    dimension = tuple(sum(power * _WORDS[word][0][i] for word, power in words) for i in range(4))
    return words, dimension


def _product(symbols: list, text: str, name: str, place: str) -> list[tuple[str, int]]:
    """Words with powers of a product with at most one divisor: a word or a bracket."""
    words: list[tuple[str, int]] = []
    unclear = InputError(f"{name}: unit {text!r} is unclear; write it as in \"MPa/(kN m)\"{where(place)}")
    while symbols:
        head = symbols.pop(0)
        if head[1]:
            words += [(word, power * int(head[2] or 1)) for word, power in _words(head[1], text, name, place)]
        elif head[3] == "/":
            if not symbols or (symbols[0][3] != "(" and len(symbols) > 1):
                raise unclear
            if symbols[0][3] == "(":
                if symbols[-1][3] != ")":
                    raise unclear
                symbols = symbols[1:-1]
            return words + [(word, -power) for word, power in _product(symbols, text, name, place)]
        elif head[3]:
            raise unclear
    return words


def _words(symbol: str, text: str, name: str, place: str) -> list[tuple[str, int]]:
    """The known words that a symbol consists of: itself, or a force and a length as in "kNm"."""
    if symbol in _WORDS:
        return [(symbol, 1)]
    if found := _COMPOUND.fullmatch(symbol):
        return [(found[1], 1), (found[2], 1)]
    if symbol in _MASSES:
        raise InputError(
            f"{name}: {symbol!r} is a mass and no force; give the force it makes, such as \"12 kN\", "
            f"got {text!r}{where(place)}"
        )
    meaning = " (it means knots)" if symbol == "kn" else ""
    raise InputError(f"{name}: unit {symbol!r} is unknown{meaning}{_hint(symbol)}{where(place)}")


def _hint(symbol: str) -> str:
    guess = nearest(symbol, _SPELLINGS)
    mended = f"; did you mean {guess!r}?" if guess else ""
    return f"{mended}; known are for instance kN, mm, MPa, kNm, N/mm2, um/m, h, year, deg, kip, ksi, in"


@cache
def _factor(word: str) -> Fraction:
    """Factor from a word to N, mm, MPa, s or rad, exact for decimal multiples and to 15 digits from pint."""
    dimension, decimal = _WORDS[word]
    if decimal is not None:
        return Fraction(decimal)
    targets = {_FORCE: "newton", _LENGTH: "millimeter", _STRESS: "megapascal", _TIME: "second", _ANGLE: "radian"}
    names = {"kips": "kip", "in": "inch", "°": "degree", "deg": "degree", "lbf": "force_pound", "months": "month"}
    value = _registry().Quantity(1.0, names.get(word, word)).to(targets[dimension]).magnitude
    return Fraction(value) if dimension == _ANGLE else Fraction(f"{value:.15g}")


@cache
def _registry():
    import pint

    return pint.UnitRegistry()
