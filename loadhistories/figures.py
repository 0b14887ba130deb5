"""Figure: what a result field is called, its unit, formula and clause; Check: one comparison with its working.

A result is a frozen dataclass whose fields are annotated with a Figure. The note prints the working from
these annotations, and `recomputed` evaluates each formula again, so that a printed formula is a computed one.
"""

import ast
import math
import operator
import typing
from dataclasses import dataclass, fields

HOLDS = "holds"
FAILS = "fails"
NOT_JUDGED = "not judged"


@dataclass(frozen=True)
class Figure:
    """Name of a result field as the note prints it.

    `symbol` as the source writes it ("F_s,Rd"); in formulas the comma falls away ("F_sRd").
    `unit` is that of the stored number (N, mm, MPa, s, rad or ""). `formula` is arithmetic over the
    symbols of the same result (with min, max, sqrt, abs, hypot, pi); "" marks a given number.
    """

    symbol: str
    unit: str = ""
    formula: str = ""
    clause: str = ""
    title: str = ""

    @property
    def variable(self) -> str:
        """The symbol as it stands in formulas."""
        return self.symbol.replace(",", "")


@dataclass(frozen=True)
class Value:
    """A figure together with the number that one result holds for it."""

    figure: Figure
    value: float


@dataclass(frozen=True)
class Check:
    """One comparison of a demand with a resistance, and the results that show its working.

    `utilisation` is demand over resistance (for a check in several terms: their sum against 1), None when
    it could not be judged; `reason` then says why.
    """

    id: str
    title: str
    state: str
    clause: str
    demand: float | None = None
    resistance: float | None = None
    unit: str = ""
    utilisation: float | None = None
    working: tuple = ()
    reason: str = ""
    at: str = ""


# Distances turned from inches to millimetres and back do not meet their limit to the last bit.
ROUNDING = 1e-12


def judged(
    id: str, title: str, *, demand: float, resistance: float, unit: str, clause: str, working=(), at: str = ""
) -> Check:
    """A check of `demand` against `resistance`, both in `unit`; holds up to equality, which rounding does not undo."""
    utilisation = demand / resistance if resistance > 0 else math.inf
    if not math.isfinite(utilisation):
        return Check(
            id, title, FAILS, clause, demand, resistance, unit, None, tuple(working),
            "no resistance is left", at,
        )
    state = HOLDS if utilisation <= 1.0 + ROUNDING else FAILS
    return Check(id, title, state, clause, demand, resistance, unit, utilisation, tuple(working), "", at)


def not_judged(id: str, title: str, *, reason: str, clause: str, working=()) -> Check:
    """A check that the rules or the data do not allow to be made, with the reason."""
    return Check(id, title, NOT_JUDGED, clause, reason=reason, working=tuple(working))


def worst_state(states) -> str:
    """`fails` before `not judged` before `holds`; of no states at all: `not judged`."""
    found = set(states)
    if FAILS in found:
        return FAILS
    return NOT_JUDGED if NOT_JUDGED in found or not found else HOLDS


def figure_values(result) -> list[Value]:
    """The figures of a result in the order of its fields; fields without a Figure or holding None are left out."""
    hints = typing.get_type_hints(type(result), include_extras=True)
    found = []
    for field in fields(result):
        for mark in getattr(hints[field.name], "__metadata__", ()):
            value = getattr(result, field.name)
            if isinstance(mark, Figure) and value is not None:
                found.append(Value(mark, float(value)))
    return found


def recomputed(result) -> list[tuple[Figure, float, float]]:
    """Each figure that states a formula, with the stored number and the one its formula gives.

    Raises
    ------
    KeyError
        A formula uses a symbol that the result does not hold.
    """
    values = figure_values(result)
    known = {item.figure.variable: item.value for item in values}
    return [
        (item.figure, item.value, evaluate(item.figure.formula, known)) for item in values if item.figure.formula
    ]


_OPERATORS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
_FUNCTIONS = {"min": min, "max": max, "sqrt": math.sqrt, "abs": abs, "hypot": math.hypot}


def evaluate(formula: str, known: dict[str, float]) -> float:
    """The number of a formula for the given symbols; knows + - * / **, min, max, sqrt, abs, hypot and pi."""
    names = {"pi": math.pi, **known}

    def value(node) -> float:
        match node:
            case ast.Expression(body=body):
                return value(body)
            case ast.Constant(value=number) if isinstance(number, (int, float)):
                return number
            case ast.Name(id=name):
                return names[name]
            case ast.UnaryOp(op=ast.USub(), operand=inner):
                return -value(inner)
            case ast.BinOp(left=left, op=op, right=right) if type(op) in _OPERATORS:
                return _OPERATORS[type(op)](value(left), value(right))
            case ast.Call(func=ast.Name(id=name), args=args, keywords=[]) if name in _FUNCTIONS:
                return _FUNCTIONS[name](*(value(item) for item in args))
        raise ValueError(f"formula {formula!r} uses more than plain arithmetic")

    return float(value(ast.parse(formula, mode="eval")))
