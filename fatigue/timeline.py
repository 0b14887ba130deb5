"""When the damage of a detail is done: along a record, and by which few cycles."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fatigue.detail import Detail
from fatigue.given import GivenCycles, Judge, damage_of_parts
from fatigue.timed import TimedCount, TimedCycles

SPANS = 40
LISTED_FROM = 100
# Counted in steps of stress, a block may have this share more damage than its cycles have one by one.
TOLERANCE = 0.05

Floats = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class TimedBlock:
    """One load block as a detail feels it.

    Attributes
    ----------
    name : str
    repeats : float
        In the design life. [-]
    step : float
        Time between samples. [s]
    event : bool
        Whether the record is one event, not a share of time.
    damage : float
        Of the block in the design life. [-]
    count : TimedCount
        Of the governing stress history.
    values, places : array
        Its turning points and the samples at which they stand.
    extremes : (float, float) or None
        Of the history. [MPa]
    made : bool
        Whether it was made from stated data and not recorded.
    """

    name: str
    repeats: float
    step: float
    event: bool
    damage: float
    count: TimedCount
    values: Floats
    places: NDArray[np.int64]
    extremes: tuple[float, float] | None
    made: bool = False

    @property
    def samples(self) -> int:
        """Number of samples of the record."""
        return self.count.samples

    def parts(self) -> tuple[tuple[TimedCycles, float], ...]:
        """The three kinds of cycles, each with how often one of them occurs in the design life."""
        once, further = min(self.repeats, 1.0), max(self.repeats - 1.0, 0.0)
        return (self.count.closed, once + further), (self.count.joined, further), (self.count.halves, 0.5 * once)

    def given(self, cycles: TimedCycles, times: float | Floats, which=slice(None)) -> GivenCycles:
        """Some of the cycles, each so many times."""
        ranges = cycles.ranges[which]
        return GivenCycles(ranges, cycles.means[which], np.broadcast_to(times, ranges.shape), self.extremes)


@dataclass(frozen=True)
class DamageCurve:
    """Damage of one load block along its record, summed over the design life.

    Attributes
    ----------
    times : tuple of float, length SPANS + 1
        From 0 to the span of the record. [s]
    damage : tuple of float, length SPANS + 1
        Done by cycles that are closed by then; rises to the damage of the block less `left_open`.
    left_open : float
        Of half cycles that are still open when all repeats are over.
    """

    load: str
    times: tuple[float, ...]
    damage: tuple[float, ...]
    left_open: float


@dataclass(frozen=True)
class BigCycle:
    """One cycle of a record.

    Attributes
    ----------
    first_time, second_time : float
        Of its two turning points in the record [s]; the second is the earlier one where the cycle runs on
        into the next repeat.
    times : float
        How often it occurs in the design life. [-]
    share : float
        Of the damage of all blocks. [-]
    """

    load: str
    first_time: float
    second_time: float
    range: float
    mean: float
    times: float
    damage: float
    share: float


@dataclass(frozen=True)
class HalfOfDamage:
    """The fewest cycles that make half of the damage, the most harmful first.

    Attributes
    ----------
    cycles : tuple of BigCycle
        Empty where they are not few.
    share : float
        What they make together, or what the LISTED_FROM most harmful make where these are not enough. [-]
    """

    cycles: tuple[BigCycle, ...]
    share: float


def damage_curves(
    detail: Detail, blocks: Sequence[TimedBlock], *, judge: Judge, permanent: Floats
) -> tuple[DamageCurve, ...] | None:
    """Damage along the record of each block.

    A cycle counts at the instant that closes it; one that runs on into the next repeat, at that instant of the
    repeat. None where the parts do not add up to the damage of the blocks: the rules of the standard are then
    no sum over single cycles.
    """
    parts, owners = [], []
    for block in blocks:
        *whole, (halves, often) = block.parts()
        for number in range(SPANS):
            parts += [block.given(cycles, times, _span_of(cycles, block) == number) for cycles, times in whole]
        parts.append(block.given(halves, often))
        owners.append(slice(len(parts) - 2 * SPANS - 1, len(parts)))
    damage = damage_of_parts(judge, detail, parts, permanent=permanent)
    if damage is None:
        return None
    curves = []
    for block, own in zip(blocks, owners, strict=True):
        done = _adjusted(damage[own], block.damage)
        if done is None:
            return None
        times = np.linspace(0.0, block.samples * block.step, SPANS + 1)
        rising = np.concatenate(([0.0], np.cumsum(done[:-1].reshape(SPANS, 2).sum(axis=1))))
        curves.append(DamageCurve(block.name, tuple(times.tolist()), tuple(rising.tolist()), float(done[-1])))
    return tuple(curves)


def half_of_damage(
    detail: Detail, blocks: Sequence[TimedBlock], *, judge: Judge, permanent: Floats
) -> HalfOfDamage | None:
    """The few cycles that make half of the damage of all blocks; None as for `damage_curves`.

    Of each kind of cycle of a block only the LISTED_FROM largest are looked at one by one.
    """
    singles, parts, rests = [], [], []
    for block in blocks:
        for cycles, times in block.parts():
            order = np.argsort(-cycles.ranges, kind="stable")
            for number in order[:LISTED_FROM] if times > 0.0 else ():
                singles.append((block, cycles, times, number))
                parts.append(block.given(cycles, times, slice(number, number + 1)))
            rests.append(block.given(cycles, times, order[LISTED_FROM:]))
    damage = damage_of_parts(judge, detail, [*parts, *rests], permanent=permanent)
    total = sum(block.damage for block in blocks)
    if damage is None or _adjusted(damage, total) is None:
        return None
    shares = damage[: len(singles)] / damage.sum()
    order = np.argsort(-shares, kind="stable")[:LISTED_FROM]
    reached = np.cumsum(shares[order])
    if not len(reached) or reached[-1] < 0.5:
        return HalfOfDamage((), float(reached[-1]) if len(reached) else 0.0)
    needed = int(np.searchsorted(reached, 0.5 * (1.0 - 1e-12))) + 1
    cycles = tuple(_big_cycle(*singles[place], float(shares[place]), total) for place in order[:needed])
    return HalfOfDamage(cycles, float(reached[needed - 1]))


def _span_of(cycles: TimedCycles, block: TimedBlock) -> NDArray[np.int64]:
    """The span of the record in which each cycle closes."""
    return cycles.closing % block.samples * SPANS // block.samples


def _big_cycle(
    block: TimedBlock, cycles: TimedCycles, times: float, number: int, share: float, total: float
) -> BigCycle:
    first, second = (int(side[number]) % block.samples * block.step for side in (cycles.first, cycles.second))
    return BigCycle(
        block.name, first, second, float(cycles.ranges[number]), float(cycles.means[number]), times,
        share * total, share,
    )  # fmt: skip


def _adjusted(damage: Floats, total: float) -> Floats | None:
    """The parts so that they add up to the total; None where they are too far from it."""
    found = float(damage.sum())
    if abs(found - total) > TOLERANCE * total:
        return None
    return damage * (total / found) if found > 0.0 else damage
