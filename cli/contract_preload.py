"""The part of the JSON contract about preload: what if less of it is left, and how it comes about."""

import math

from cli.contract_figures import figures_of
from slip.joint import LEVELS
from slip.preload import WHAT_IF
from slip.tightening import tightening_of


def preloads_of(outcome) -> list[dict]:
    """Utilisation of the first bolt at shares of the specified preload, at both levels."""
    joint = outcome.joint
    losses = {} if joint.preload_life is None else joint.preload_life.shares
    found = []
    for rows in zip(*(outcome.levels[name].reduced for name in LEVELS), strict=True):
        share = rows[0].share
        left = [name for name, other in losses.items() if other == share]
        words = [f"{100 * share:g} % of the specified preload"] if share in WHAT_IF else []
        item = {"title": "; ".join(words + left), "share": share, "preload_N": share * joint.preload}
        item["after_losses"] = bool(left)
        found.append(item | {name: _row(row) for name, row in zip(LEVELS, rows, strict=True)})
    return found


def _row(row) -> dict:
    return {
        "utilisation": row.utilisation if math.isfinite(row.utilisation) else None,
        "grips": row.utilisation <= 1.0,
        "bolt": row.bolt + 1,
        "load": row.load,
        "combination": row.combination,
        "time_s": row.time,
    }


def preload_life_of(joint) -> dict | None:
    """From the specified preload to what is left of it, where the job says how it comes about."""
    life = joint.preload_life
    if life is None:
        return None
    steps = tightening_of(joint)
    known = (life,) if joint.tightening is None else (life, joint.tightening)
    return {
        "method": life.method,
        "surface": life.surface,
        "specified_N": life.specified,
        "remaining_N": life.remaining,
        "mean_remaining_N": life.mean_remaining,
        "low_remaining_N": life.low_remaining,
        "sources": list(life.sources),
        "unconfirmed": life.unconfirmed,
        "tightening": [] if steps is None else [*steps.sentences, steps.source],
        "figures": figures_of(known if steps is None else (*known, *steps.results)),
    }
