"""Ranks alternatives: those that hold everywhere first, then by margin and work, or by the user's own weights."""

import math

from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED
from loadhistories.validation import InputError, nearest, require_finite

STATES = (HOLDS, NOT_JUDGED, FAILS)
# What may be weighted, and whether more of it is better.
CRITERIA = {
    "margin": True, "preload_margin": True, "life": True, "movement": False, "hours": False, "cost": False,
}  # fmt: skip
LONGEST_LIFE = 10.0


def read_weights(text: str) -> dict[str, float]:
    """Weights such as "margin=2, hours=1".

    Raises
    ------
    InputError
        A name that is no criterion, one that is named twice, a number that is none, below 0, or all of them 0.
    """
    found: dict[str, float] = {}
    for part in filter(None, (piece.strip() for piece in text.split(","))):
        name, sign, number = (piece.strip() for piece in part.partition("="))
        if name not in CRITERIA:
            guess = nearest(name, list(CRITERIA))
            hint = f"did you mean {guess!r}? " if guess else ""
            raise InputError(f"{name!r} is no criterion of --weights; {hint}known: {', '.join(CRITERIA)}")
        if name in found:
            raise InputError(f"{name} has two weights; give one")
        try:
            value = require_finite(float(number), f"weight of {name}") if sign else 1.0
        except ValueError as error:
            raise InputError(f"weight of {name} must be a number, as in {name}=2, got {number!r}") from error
        if value < 0.0:
            raise InputError(f"weight of {name} must not be below 0, got {value:g}")
        found[name] = value
    if not any(found.values()):
        raise InputError(f"--weights needs a weight above 0, as in margin=2,hours=1; known: {', '.join(CRITERIA)}")
    return found


def ranked(options: list[dict], weights: dict[str, float] | None) -> list[dict]:
    """The options with `rank` and, where weights are given, `score`; those that hold always come first.

    Limits
    ------
    A score compares options of the same state only: it never brings one that fails before one that holds.
    """
    scores = [None] * len(options) if weights is None else _scores(options, weights)
    keys = [_key(option, score) for option, score in zip(options, scores, strict=True)]
    order = sorted(range(len(options)), key=lambda number: (*keys[number], number))
    ranks = {number: place for place, number in enumerate(order, start=1)}
    return [
        option | {"rank": ranks[number], "score": scores[number]}
        for number, option in enumerate(options)
    ]  # fmt: skip


def _key(option: dict, score: float | None) -> tuple:
    state = STATES.index(option["state"])
    if score is not None:
        return state, -score
    values = option["criteria"]
    return state, -_or(values["margin"], -math.inf), _or(values["hours"], math.inf)


def _scores(options: list[dict], weights: dict[str, float]) -> list[float]:
    """Weighted mean of each criterion over the span that the options have, 1 for the best; nothing known counts 0."""
    total, scores = sum(weights.values()), [0.0] * len(options)
    for name, weight in weights.items():
        values = [option["criteria"][name] for option in options]
        known = [value for value in values if value is not None]
        low, high = (min(known), max(known)) if known else (0.0, 0.0)
        for number, value in enumerate(values):
            if value is None:
                continue
            share = 1.0 if high == low else (value - low) / (high - low)
            scores[number] += weight / total * (share if CRITERIA[name] or high == low else 1.0 - share)
    return scores


def _or(value: float | None, other: float) -> float:
    return other if value is None else value
