"""Figures of results as plain values for the contract."""

import math

from loadhistories.figures import figure_values


def figures_of(working) -> list[dict]:
    """The figures of some results in their order; each number once, as long as symbol and value are the same."""
    found, seen = [], set()
    for result in working:
        for item in figure_values(result):
            key = (item.figure.symbol, item.value)
            if key in seen or not math.isfinite(item.value):
                continue
            seen.add(key)
            figure = item.figure
            found.append(
                {
                    "symbol": figure.symbol,
                    "title": figure.title,
                    "value": item.value,
                    "unit": figure.unit,
                    "formula": figure.formula,
                    "clause": figure.clause,
                }
            )
    return found
