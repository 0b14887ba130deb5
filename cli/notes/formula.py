"""Formulas as trees that every print sets in its own way, and as plain text; computes nothing."""

import ast
import math
from collections.abc import Callable
from dataclasses import dataclass

from cli.symbols import spelled_symbol, whole_number

# Strength of binding. A printed piece is bracketed where it binds less than its place demands.
_SUM, _PRODUCT, _SIGN, _POWER, _ATOM = range(5)
_SIGNS = {ast.Add: ("+", _SUM), ast.Sub: ("−", _SUM), ast.Mult: ("×", _PRODUCT)}


@dataclass(frozen=True)
class Leaf:
    """A piece without parts; `kind` is "letter" (slanted), "upright", "number" or "sign"."""

    kind: str
    text: str


@dataclass(frozen=True)
class Indexed:
    """A letter with an index."""

    base: Leaf
    index: str


@dataclass(frozen=True)
class Row:
    """Pieces side by side, signs among them."""

    items: tuple


@dataclass(frozen=True)
class Fraction:
    """One piece over another."""

    over: object
    under: object


@dataclass(frozen=True)
class Power:
    """A piece with a raised one."""

    base: object
    exponent: object


@dataclass(frozen=True)
class Root:
    """A square root."""

    inside: object


@dataclass(frozen=True)
class Fenced:
    """A piece between brackets or bars."""

    opening: str
    inside: object
    closing: str


Tree = Leaf | Indexed | Row | Fraction | Power | Root | Fenced


@dataclass(frozen=True)
class Formula:
    """A formula to be set, and the same in one line of plain text."""

    tree: Tree
    text: str


def symbol(name: str) -> Formula:
    """A symbol such as "Delta_sigma_C,d": Δσ with the index C,d."""
    letters, index = spelled_symbol(name)
    base = Leaf("letter", letters)
    return Formula(Indexed(base, index), f"{letters}_{index}") if index else Formula(base, letters)


def formula(text: str, symbols: dict[str, str]) -> Formula:
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
    names = {name: symbol(full) for name, full in symbols.items()}
    return _set(text, lambda name: (names.get(name) or symbol(name), _ATOM, False))


def formula_with_values(text: str, values: dict[str, float]) -> Formula:
    """A formula with the numbers in the place of its symbols, in base units.

    Raises
    ------
    ValueError
        The formula uses more than plain arithmetic.
    KeyError
        The formula uses a symbol without a value.
    """
    return _set(text, lambda name: _number(values[name]))


def variables(text: str) -> list[str]:
    """The variables of a formula in alphabetical order, without pi and the names of functions."""
    tree = ast.parse(text, mode="eval")
    called = {id(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name) and id(node) not in called}
    return sorted(names - {"pi"})


def _number(value: float):
    scientific = value != 0 and not 1e-4 <= abs(value) < 999_999.5
    strength = _PRODUCT if scientific else _SIGN if value < 0 else _ATOM
    text = whole_number(value)
    return Formula(Leaf("number", text), text), strength, value < 0


def _set(text: str, name_piece: Callable) -> Formula:
    parsed = ast.parse(text, mode="eval").body
    return Formula(_Setter(text, _Stacked(), name_piece).piece(parsed)[0],
                   _Setter(text, _Linear(), name_piece).piece(parsed)[0])  # fmt: skip


class _Stacked:
    """Pieces are trees; a fraction stands with a bar and needs no brackets but as the base of a power."""

    stacked = True

    def leaf(self, found: Formula):
        return found.tree

    def upright(self, word: str):
        return Leaf("upright", word)

    def row(self, *parts):
        flat = [Leaf("sign", part) if isinstance(part, str) else part for part in parts]
        return Row(tuple(item for part in flat for item in (part.items if isinstance(part, Row) else (part,))))

    def fraction(self, over, under):
        return Fraction(over, under)

    def power(self, base, exponent, strength):
        return Power(base, exponent)

    def root(self, inside):
        return Root(inside)

    def fenced(self, inside, opening="(", closing=")"):
        return Fenced(opening, inside, closing)


class _Linear:
    """Pieces are text in one line."""

    stacked = False

    def leaf(self, found: Formula):
        return found.text

    def upright(self, word: str):
        return word

    def row(self, first, *others):
        spaced = {"+": " + ", "−": " − ", "×": " × ", "/": " / ", ",": ", "}
        begin = first
        return begin + "".join(spaced.get(part, part) for part in others)

    def power(self, base, exponent, strength):
        return f"{base}^{exponent}" if strength == _ATOM else f"{base}^({exponent})"

    def root(self, inside):
        return f"√({inside})"

    def fenced(self, inside, opening="(", closing=")"):
        return f"{opening}{inside}{closing}"


class _Setter:
    """Walks a formula; a piece is what the style makes, how strongly it binds, and whether it begins with a minus."""

    def __init__(self, text: str, style, name_piece: Callable):
        self._text, self._style, self._name_piece = text, style, name_piece
        # A quotient that is raised would be too small to read with a bar.
        self._bars = style.stacked

    def piece(self, node):
        style = self._style
        match node:
            case ast.Constant(value=number) if type(number) in (int, float) and math.isfinite(number):
                return self._leaf(*_number(number))
            case ast.Name(id="pi"):
                return style.upright("π"), _ATOM, False
            case ast.Name(id=name):
                return self._leaf(*self._name_piece(name))
            case ast.UnaryOp(op=ast.USub(), operand=inner):
                return style.row("−", self._held(inner, _SIGN + 1)), _SIGN, True
            case ast.BinOp(left=base, op=ast.Pow(), right=exponent):
                return self._raised(base, exponent), _POWER, False
            case ast.BinOp(left=left, op=ast.Div(), right=right):
                return self._quotient(left, right)
            case ast.BinOp(left=left, op=op, right=right) if type(op) in _SIGNS:
                return self._two_sided(left, op, right)
            case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if args:
                return self._called(name, args), _ATOM, False
        raise ValueError(f"formula {self._text!r} uses more than plain arithmetic")

    def _leaf(self, found: Formula, strength: int, negative: bool):
        return self._style.leaf(found), strength, negative

    def _held(self, node, needed: int, *, plain: bool = False):
        made, strength, negative = self.piece(node)
        return self._style.fenced(made) if strength < needed or (plain and negative) else made

    def _raised(self, base, exponent):
        below, before = self._held(base, _ATOM), self._bars
        self._bars = False
        raised, strength, _ = self.piece(exponent)
        self._bars = before
        return self._style.power(below, raised, strength)

    def _quotient(self, left, right):
        if self._bars:
            return self._style.fraction(self.piece(left)[0], self.piece(right)[0]), _POWER, False
        over, strength, negative = self.piece(left)
        bracketed = strength < _PRODUCT or _is_quotient(left)
        over = self._style.fenced(over) if bracketed else over
        under = self._held(right, _PRODUCT + 1, plain=True)
        return self._style.row(over, "/", under), _PRODUCT, negative and not bracketed

    def _two_sided(self, left, op, right):
        sign, strength = _SIGNS[type(op)]
        first, binding, negative = self.piece(left)
        # In one line "a / b × c" is read in two ways: the left quotient gets brackets.
        unclear = strength == _PRODUCT and _is_quotient(left) and not self._bars
        if unclear or binding < strength:
            first, negative = self._style.fenced(first), False
        regroups = isinstance(op, ast.Add | ast.Mult) and not (_is_quotient(right) and not self._bars)
        second = self._held(right, strength if regroups else strength + 1, plain=True)
        return self._style.row(first, sign, second), strength, negative

    def _called(self, name: str, args):
        style = self._style
        match name, len(args):
            case "sqrt", 1:
                return style.root(self.piece(args[0])[0])
            case "abs", 1:
                return style.fenced(self.piece(args[0])[0], "|", "|")
            case "hypot", 2:
                two = style.leaf(_number(2)[0])
                squares = [style.power(self._held(item, _ATOM), two, _ATOM) for item in args]
                return style.root(style.row(squares[0], "+", squares[1]))
            case ("min" | "max"), _:
                inside = [self.piece(item)[0] for item in args]
                parts = [part for item in inside[1:] for part in (",", item)]
                listed = style.row(inside[0], *parts) if parts else inside[0]
                return style.row(style.upright(name), style.fenced(listed))
        raise ValueError(f"formula {self._text!r} uses more than plain arithmetic")


def _is_quotient(node) -> bool:
    return isinstance(node, ast.BinOp) and isinstance(node.op, ast.Div)
