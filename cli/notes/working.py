"""Workings: each figure of a result as symbol = formula = values = result; prints none that was not computed."""

import math
from itertools import islice, product

from cli.notes.formula import formula, formula_with_values, symbol, variables
from cli.notes.model import Working, WorkingLine
from cli.symbols import stored_quantity, without_noise
from loadhistories.figures import evaluate

_COMPARED_TO = 1e-6
_MOST_TRIED = 256


def working(figures: list[dict] | None) -> list[Working]:
    """The working of some figures of the contract; nothing where there are none."""
    lines = working_lines(figures or [])
    return [Working(lines)] if lines else []


def working_lines(figures: list[dict]) -> tuple[WorkingLine, ...]:
    """Each figure as the note prints it.

    The values are left out where the numbers at hand do not give the printed result: the note prints no
    working that was not computed. `given` marks a number without formula.
    """
    symbols = {_variable(figure): figure["symbol"] for figure in figures}
    return tuple(
        WorkingLine(
            figure.get("title") or "",
            figure.get("clause") or "",
            _chain(figures, place, symbols),
            stored_quantity(figure["value"], figure.get("unit") or ""),
            not figure.get("formula"),
        )
        for place, figure in enumerate(figures)
    )


def _chain(figures: list[dict], place: int, symbols: dict[str, str]) -> tuple:
    figure = figures[place]
    text = figure.get("formula") or ""
    chain = [symbol(figure["symbol"])]
    if text:
        chain.append(formula(text, symbols))
        values = _values_of(figures, place)
        if values:
            chain.append(formula_with_values(text, values))
    return tuple(chain)


def _values_of(figures: list[dict], place: int) -> dict[str, float]:
    """The numbers that the formula at `place` was computed from, {} if they are not among the figures.

    A symbol may stand for several numbers in one check (each result has its own): those nearest before the
    formula are tried first, and only numbers that give the printed result are taken.
    """
    names = variables(figures[place]["formula"])
    nearest_first = [*reversed(figures[:place]), *figures[place + 1 :]]
    choices = [[figure for figure in nearest_first if _variable(figure) == name] for name in names]
    for chosen in islice(product(*choices), _MOST_TRIED):
        used = dict(zip(names, chosen, strict=True))
        if _gives(figures[place], {name: figure["value"] for name, figure in used.items()}):
            return {name: without_noise(figure["value"], figure.get("unit") or "") for name, figure in used.items()}
    return {}


def _gives(figure: dict, known: dict[str, float]) -> bool:
    """Whether the figure's formula gives its number for these values."""
    unit = figure.get("unit") or ""
    try:
        found = evaluate(figure["formula"], known)
    except ArithmeticError:
        return False
    close = math.isclose(found, figure["value"], rel_tol=_COMPARED_TO)
    return close or without_noise(found, unit) == without_noise(figure["value"], unit) == 0.0


def _variable(figure: dict) -> str:
    return figure["symbol"].replace(",", "")
