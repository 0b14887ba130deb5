"""How far the life depends on what happened to be recorded: the record is cut in spans, and these are drawn anew.

A short record holds few of its large cycles. Records put together from its own spans, drawn with repetition, show
how much the damage of another record of that length could differ.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from fatigue.cycles import count_cycles
from fatigue.detail import Detail
from fatigue.given import GivenCycles, Judge, damage_of_parts
from fatigue.timed import TimedCycles, TimedPoints, timed_count
from fatigue.timeline import TOLERANCE, TimedBlock
from loadhistories.figures import Figure

SPANS = 40
RESAMPLES = 200
SEED = 1
LARGEST_SHARE = 0.5
PRACTICE = "common practice, no source"

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class LifeInterval:
    """Life of a detail by records put together from the spans of the recorded ones."""

    resamples: Annotated[float, Figure("n", "", "", PRACTICE, "records put together")]
    spans: Annotated[float, Figure("n_s", "", "", PRACTICE, "spans that each record is cut into")]
    seed: Annotated[float, Figure("seed", "", "", PRACTICE, "start of the random numbers")]
    design_life: Annotated[float, Figure("T", "year", title="design life")]
    allowed: Annotated[float, Figure("D_a", "", title="damage at which the life ends")]
    low_damage: Annotated[float, Figure("D_5", "", "", PRACTICE, "damage that 5 % of them stay below")]
    high_damage: Annotated[float, Figure("D_95", "", "", PRACTICE, "damage that 5 % of them exceed")]
    low: Annotated[float, Figure("L_5", "year", "T * D_a / D_95", title="life that 5 % of them fall short of")]
    high: Annotated[float | None, Figure("L_95", "year", "T * D_a / D_5", title="life that 5 % of them outlast")]


@dataclass(frozen=True)
class NoInterval:
    """Why there is no interval."""

    reason: str


def life_interval(
    detail: Detail,
    blocks: Sequence[TimedBlock],
    *,
    judge: Judge,
    permanent: Floats,
    design_life: float,
    allowed: float = 1.0,
    resamples: int = RESAMPLES,
    seed: int = SEED,
) -> LifeInterval | NoInterval:
    """Interval that holds 90 % of the lives by resampled records, or why none can be given.

    Parameters
    ----------
    detail : Detail
        With one stress history.
    blocks : sequence of TimedBlock
        Every load block that acts on it.
    judge : callable
        See `fatigue.given.Judge`.
    permanent : array, shape (6,)
        [N, N mm]
    design_life : float
        [year]
    allowed : float
        Damage at which the life ends. [-]
    resamples, seed : int
        The same seed gives the same interval on every machine.

    Limits
    ------
    Spans count as exchangeable: the record is to be of one kind of working, and each span as long as its cycles.
    A record of one event has no such spans and stays as it is, and so does a history that was made from data. Where
    the seams of the spans alone change the damage by more than TOLERANCE, no interval is given. The damage of each
    record put together is counted anew, across its seams as well. What the record never held is in no span either:
    the interval knows no heavier load.

    Source
    ------
    Bootstrap by blocks and percentiles: B. Efron and R. Tibshirani, An Introduction to the Bootstrap, 1993,
    sections 8.6 and 13 (from memory); the numbers of spans and records: common practice, no source.
    """
    total = sum(block.damage for block in blocks)
    drawn = [block for block in blocks if block.damage > 0.0 and not block.event and not block.made]
    reason = _not_to_be_drawn(blocks, drawn, total)
    if reason:
        return NoInterval(reason)
    dice = random.Random(seed)
    damage = np.full(resamples, total - sum(block.damage for block in drawn))
    for block in drawn:
        # `random` alone is promised to give the same numbers in every version of Python.
        choices = np.array([int(dice.random() * SPANS) for _ in range(SPANS * resamples)]).reshape(resamples, SPANS)
        found = _damage_of_choices(detail, block, choices, judge=judge, permanent=permanent)
        if isinstance(found, NoInterval):
            return found
        damage += found
    low, high = (float(value) for value in np.quantile(damage, (0.05, 0.95)))
    return LifeInterval(
        resamples, SPANS, seed, design_life, allowed, low, high, design_life * allowed / high,
        design_life * allowed / low if low > 0.0 else None,
    )  # fmt: skip


def _not_to_be_drawn(blocks: Sequence[TimedBlock], drawn: Sequence[TimedBlock], total: float) -> str:
    """Why resampling would tell nothing, or ""."""
    if total <= 0.0:
        return "no cycle does damage"
    fixed = total - sum(block.damage for block in drawn)
    if fixed > LARGEST_SHARE * total:
        return _fixed([block for block in blocks if block not in drawn and block.damage > 0.0], fixed / total)
    for block in drawn:
        cycles = len(block.count.closed.ranges) + len(block.count.joined.ranges)
        if cycles < SPANS:
            return (
                f"the record of {block.name!r} holds {cycles} cycles that do damage, at least {SPANS} are needed; "
                "record for longer"
            )
    return ""


def _fixed(blocks: Sequence[TimedBlock], share: float) -> str:
    """What is known of the blocks that are not drawn anew, which make this share of the damage."""
    made, events = [block for block in blocks if block.made], [block for block in blocks if not block.made]
    makes = f"{_names(blocks)} {'makes' if len(blocks) == 1 else 'make'} {100 * share:.3g} % of the damage"
    recorded = "is recorded as one event" if len(events) == 1 else "are recorded as one event each"
    if not made:
        return f"{makes} and {recorded}: how such events differ is not known; record several of them"
    computed = "is made from its data, not recorded" if len(made) == 1 else "are made from their data, not recorded"
    each = f" and {computed}"
    if events:
        each = f"; {_names(made)} {computed}, and {_names(events)} {recorded}"
    return f"{makes}{each}: how far the real ones differ is not known; vary the data, or record some"


def _names(blocks: Sequence[TimedBlock]) -> str:
    return " and ".join(repr(block.name) for block in blocks)


def _damage_of_choices(
    detail: Detail, block: TimedBlock, choices: NDArray[np.int64], *, judge: Judge, permanent: Floats
) -> Floats | NoInterval:
    """Damage of the block in the design life for each choice of spans, shape of `choices` less its last axis."""
    spans = [_span(block, number) for number in range(SPANS)]
    counts = [timed_count(span) for span in spans]
    open_values = [_open_values(span, count.closed) for span, count in zip(spans, counts, strict=True)]
    within = [block.given(count.closed, block.repeats) for count in counts]
    every = np.arange(SPANS)
    rows = [every, *(np.delete(every, number) for number in every), *choices]
    across = [_across(block, np.concatenate([open_values[number] for number in row])) for row in rows]
    damage = damage_of_parts(judge, detail, [*within, *across], permanent=permanent)
    if damage is None:
        return NoInterval("the standard's rules give the spans no damage of their own")
    found = np.array([damage[row].sum() for row in rows]) + damage[SPANS:]
    whole, without_one, drawn = found[0], found[1 : SPANS + 1], found[SPANS + 1 :]
    if abs(whole - block.damage) > TOLERANCE * block.damage:
        return NoInterval(
            f"cut into {SPANS} spans the record of {block.name!r} has another damage ({whole:.4g} instead of "
            f"{block.damage:.4g}); record for longer"
        )
    if without_one.min() < (1.0 - LARGEST_SHARE) * whole:
        return NoInterval(
            f"one of {SPANS} spans of the record of {block.name!r} makes {100 * (1 - without_one.min() / whole):.3g} % "
            "of its damage; record for longer"
        )
    return drawn * (block.damage / whole)


def _span(block: TimedBlock, number: int) -> TimedPoints:
    edges = np.searchsorted(block.places * SPANS, [number * block.samples, (number + 1) * block.samples])
    values, places = block.values[edges[0] : edges[1]], block.places[edges[0] : edges[1]]
    return TimedPoints(values, places, block.samples)


def _open_values(span: TimedPoints, closed: TimedCycles) -> Floats:
    """The turning points of a span that are in none of its closed cycles."""
    used = np.concatenate((closed.first, closed.second))
    return span.values[~np.isin(span.places, used)]


def _across(block: TimedBlock, values: Floats) -> GivenCycles:
    """What spans in a row close across their seams, and that row with itself, as often as in the design life."""
    table = count_cycles(values).repeated(block.repeats)
    return GivenCycles(table.ranges, table.means, table.counts, block.extremes)
