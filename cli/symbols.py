"""How numbers, units, symbols and formulas are printed; scales for print only, computes nothing."""

import ast
import html
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


def symbol_html(symbol: str) -> str:
    """A symbol with Greek letters and subscripts: "Delta_sigma_C,d" becomes Δσ with the index C,d."""
    base, *indices = symbol.split("_")
    letters = _letter(base) + (_letter(indices.pop(0)) if base in _PREFIXES and indices else "")
    index = ",".join(_letter(part) for token in indices for part in token.split(","))
    lowered = f"<sub>{html.escape(index)}</sub>" if index else ""
    return f"<i>{html.escape(letters)}</i>{lowered}"


def formula_html(formula: str, symbols: dict[str, str]) -> str:
    """A formula in symbols.

    Parameters
    ----------
    symbols : dict of str to str
        The full symbol ("F_p,C") of each variable ("F_pC"); a variable not named here stands as it is.

    Raises
    ------
    ValueError
        The formula uses more than plain arithmetic.
    """
    return _typeset(formula, lambda name: (symbol_html(symbols.get(name, name)), _ATOM))


def formula_values_html(formula: str, values: dict[str, float]) -> str:
    """A formula with the numbers in the place of its symbols, in base units.

    Raises
    ------
    ValueError
        The formula uses more than plain arithmetic.
    KeyError
        The formula uses a symbol without a value.
    """
    return _typeset(formula, lambda name: _number_piece(values[name]))


def variables(formula: str) -> list[str]:
    """The variables of a formula in alphabetical order, without pi and the names of functions."""
    tree = ast.parse(formula, mode="eval")
    called = {id(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and id(node) not in called}
    return sorted(names - {"pi"})


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


# Strength of binding. A printed piece is bracketed where it binds less than its place demands.
_SUM, _PRODUCT, _SIGN, _POWER, _ATOM = range(5)
_SIGNS = {
    ast.Add: (" + ", _SUM),
    ast.Sub: (" − ", _SUM),
    ast.Mult: (" × ", _PRODUCT),
    ast.Div: (" / ", _PRODUCT),
}


def _typeset(formula: str, name_piece) -> str:
    """The formula as HTML; `name_piece` gives the HTML of a variable and how strongly it binds."""

    def piece(node) -> tuple[str, int]:
        match node:
            case ast.Expression(body=body):
                return piece(body)
            case ast.Constant(value=number_) if _is_number(number_):
                return _number_piece(number_)
            case ast.Name(id="pi"):
                return "π", _ATOM
            case ast.Name(id=name):
                return name_piece(name)
            case ast.UnaryOp(op=ast.USub(), operand=inner):
                return f"−{held(inner, _SIGN + 1)}", _SIGN
            case ast.BinOp(left=base, op=ast.Pow(), right=exponent):
                return f"{held(base, _ATOM)}<sup>{piece(exponent)[0]}</sup>", _POWER
            case ast.BinOp(left=left, op=op, right=right) if type(op) in _SIGNS:
                return two_sided(left, op, right)
            case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if args:
                return called(name, args)
        raise ValueError(f"formula {formula!r} uses more than plain arithmetic")

    def held(node, needed: int) -> str:
        text, strength = piece(node)
        return f"({text})" if strength < needed else text

    def two_sided(left, op, right) -> tuple[str, int]:
        sign, strength = _SIGNS[type(op)]
        # "a / b × c" and "a / b / c" are read in two ways: the left quotient gets brackets.
        first = f"({piece(left)[0]})" if strength == _PRODUCT and is_quotient(left) else held(left, strength)
        regroups = isinstance(op, (ast.Add, ast.Mult)) and not is_quotient(right)
        second = held(right, strength if regroups else strength + 1)
        return f"{first}{sign}{f'({second})' if second.startswith('−') else second}", strength

    def is_quotient(node) -> bool:
        return isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div)

    def called(name: str, args) -> tuple[str, int]:
        inside = [piece(item)[0] for item in args]
        match name, len(args):
            case "sqrt", 1:
                return f"√({inside[0]})", _ATOM
            case "abs", 1:
                return f"|{inside[0]}|", _ATOM
            case "hypot", 2:
                squares = " + ".join(f"{held(item, _ATOM)}<sup>2</sup>" for item in args)
                return f"√({squares})", _ATOM
            case ("min" | "max"), _:
                return f"{name}({', '.join(inside)})", _ATOM
        raise ValueError(f"formula {formula!r} uses more than plain arithmetic")

    return piece(ast.parse(formula, mode="eval"))[0]


def _number_piece(value: float) -> tuple[str, int]:
    strength = _SIGN if value < 0 else _ATOM
    return whole_number(value), _PRODUCT if _scientific(value) else strength
