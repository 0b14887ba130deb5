"""How numbers, units, symbols and formulas are printed; scales for print only, computes nothing."""

import math
import numbers

MISSING = "–"

_GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ", "eta": "η",
    "theta": "θ", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π",
    "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω",
    "Gamma": "Γ", "Delta": "Δ", "Theta": "Θ", "Lambda": "Λ", "Sigma": "Σ", "Phi": "Φ", "Psi": "Ψ",
    "Omega": "Ω",
}  # fmt: skip
_PREFIXES = ("Delta", "Sigma")
_SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_THIN_SPACE = "\u202f"
_SCALES = {"N": (1e-3, "kN"), "N mm": (1e-6, "kN m")}
_ROUNDING_NOISE = {"N": 1e-6, "N mm": 1e-3, "mm": 1e-9}
_PLAIN = {
    **{letter: name for name, letter in _GREEK.items()},
    "→": "->", "←": "<-", "≤": "<=", "≥": ">=", "−": "-", "≈": "about", "√": "sqrt", "∞": "infinity",
    "\u202f": " ", "\u2009": " ", "\u2011": "-",
}  # fmt: skip


def number(value, digits: int = 4) -> str:
    """A number for the page: `digits` significant, powers of ten from 1e6; a dash for none."""
    if not _is_number(value):
        return MISSING
    if _scientific(value):
        mantissa, exponent = f"{value:.{digits - 1}e}".split("e")
        text = f"{_trimmed(mantissa)}·{power_of_ten(int(exponent))}"
    else:
        text = _fixed(value, digits)
        if abs(value) >= 9_999.5:
            text = f"{float(text):,.0f}".replace(",", _THIN_SPACE)
    return text.replace("-", "−")


def whole_number(value) -> str:
    """A number of a working: whole if it has at most six digits (365.25), else with four."""
    short = _is_number(value) and float(f"{value:.6g}") == value
    return number(value, 6 if short else 4)


def power_of_ten(exponent: int) -> str:
    """Ten with a raised exponent: 10⁶."""
    return f"10{str(exponent).translate(_SUPERSCRIPT)}"


def plain_number(value, digits: int = 3) -> str:
    """A number for the terminal, in ASCII: 1234, 0.4, 6.3e8."""
    if not _is_number(value):
        return "-"
    if not _scientific(value):
        return _fixed(value, digits)
    mantissa, exponent = f"{value:.{digits - 1}e}".split("e")
    return f"{_trimmed(mantissa)}e{int(exponent)}"


def utilisation(value) -> str:
    """A utilisation or damage with two decimals, more where two would hide on which side of 1 or 0 it lies.

    Examples
    --------
    >>> utilisation(0.8), utilisation(1.0004), utilisation(0.99996), utilisation(0.00012)
    ('0.80', '1.0004', '0.99996', '0.00012')
    """
    if not _is_number(value):
        return MISSING
    decimals = 2
    while decimals < 12 and float(f"{value:.{decimals}f}") in (0.0, 1.0) and value not in (0.0, 1.0):
        decimals += 1
    if 0.0 < abs(value) < 0.01:
        decimals = min(decimals + 1, 12)
    return f"{value:.{decimals}f}" if abs(value) < 1000 else plain_number(value, 4)


def without_noise(value: float, unit: str) -> float:
    """The number, or 0 where it is so small for its unit that only rounding in the computer left it."""
    return 0.0 if abs(value) < _ROUNDING_NOISE.get(unit, 0.0) else value


def unit_text(unit: str) -> str:
    """A unit with raised powers: mm2 becomes mm²."""
    return unit.replace("mm2", "mm²").replace("mm3", "mm³").replace("mm4", "mm⁴")


def quantity(value, unit: str = "", digits: int = 4) -> str:
    """A stored number as the reader expects it: N as kN, N mm as kN m, all else in its own unit.

    Examples
    --------
    >>> quantity(171_500, "N"), quantity(-2.5e7, "N mm"), quantity(245, "mm2")
    ('171.5 kN', '−25 kN m', '245 mm²')
    """
    if not _is_number(value):
        return MISSING
    factor, shown = _SCALES.get(unit, (1.0, unit))
    return f"{number(without_noise(value, unit) * factor, digits)} {unit_text(shown)}".strip()


def stored_quantity(value, unit: str = "") -> str:
    """A number in its base unit, followed by the scaled one where that differs: "68 600 N = 68.6 kN"."""
    value = without_noise(value, unit)
    base, scaled = f"{whole_number(value)} {unit_text(unit)}".strip(), quantity(value, unit)
    return f"{base} = {scaled}" if unit in _SCALES and value != 0 else base


def plain(text: str) -> str:
    """Text for a terminal of any encoding: Greek and arrows in words, control characters replaced."""
    spelled = "".join(_PLAIN.get(letter, letter) for letter in str(text))
    return "".join(letter if letter.isprintable() else " " for letter in spelled)


def spelled_symbol(symbol: str) -> tuple[str, str]:
    """Letters and index of a symbol: "Delta_sigma_C,d" becomes Δσ and C,d.

    Examples
    --------
    >>> spelled_symbol("gamma_M3"), spelled_symbol("n")
    (('γ', 'M3'), ('n', ''))
    """
    base, *indices = symbol.split("_")
    letters = _letter(base) + (_letter(indices.pop(0)) if base in _PREFIXES and indices else "")
    return letters, ",".join(_letter(part) for token in indices for part in token.split(","))


def _is_number(value) -> bool:
    return isinstance(value, numbers.Real) and not isinstance(value, bool) and math.isfinite(value)


def _scientific(value: float) -> bool:
    return value != 0 and not 1e-4 <= abs(value) < 999_999.5


def _fixed(value: float, digits: int) -> str:
    """Fixed notation without exponent; rounds no digit before the point away."""
    if value == 0:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    return _trimmed(f"{value:.{decimals}f}")


def _trimmed(text: str) -> str:
    return text.rstrip("0").rstrip(".") if "." in text else text


def _letter(word: str) -> str:
    return _GREEK.get(word, word)
