"""GivenCycles: cycles at hand in place of a count, to be judged by the same rules as a counted history."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from fatigue.assessment import DetailOutcome
from fatigue.detail import Detail

Floats = NDArray[np.float64]


class Judge(Protocol):
    """`assess_details` with standard, basis, design life and slip filled in."""

    def __call__(self, details, counts_by_block, *, blocks, permanent) -> tuple[DetailOutcome, ...]: ...


@dataclass(frozen=True, eq=False)
class GivenCycles:
    """Cycles of one history.

    Attributes
    ----------
    ranges, means, counts : array, shape (m,)
        [MPa], and how often each occurs. [-]
    extremes : (float, float) or None
        Smallest and largest value of the history they come from. [MPa]
    """

    ranges: Floats
    means: Floats
    counts: Floats
    extremes: tuple[float, float] | None

    def repeated(self, repeats: float) -> "GivenCycles":
        """The same cycles so many times."""
        return replace(self, counts=self.counts * repeats)

    def scaled(self, factor: float) -> "GivenCycles":
        """The cycles of a history whose every value is multiplied with `factor`, which is above zero."""
        extremes = None if self.extremes is None else (self.extremes[0] * factor, self.extremes[1] * factor)
        return replace(self, ranges=self.ranges * factor, means=self.means * factor, extremes=extremes)

    def from_range(self, smallest: float) -> "GivenCycles":
        """Without the cycles below a range."""
        kept = self.ranges >= smallest
        return replace(self, ranges=self.ranges[kept], means=self.means[kept], counts=self.counts[kept])


def given_cycles(count, repeats: float) -> GivenCycles:
    """What a `CycleCount` holds of its history repeated so many times."""
    table = count.repeated(repeats)
    return GivenCycles(table.ranges, table.means, table.counts, count.extremes)


def judged_alone(outcome: DetailOutcome) -> Detail:
    """The detail with nothing but the one stress history that governs it."""
    return replace(outcome.detail, net=None)


def smallest_damaging(result) -> float:
    """Stress range below which cycles do no damage, 0 where every one does. [MPa]"""
    cut_off = result.curve.cut_off_strength
    # A cycle on the edge stays in.
    return 0.0 if cut_off is None else cut_off / getattr(result, "gamma_Ff", 1.0) * (1.0 - 1e-9)


def damage_of_parts(
    judge: Judge, detail: Detail, parts: Sequence[GivenCycles], *, permanent: Floats
) -> Floats | None:
    """Damage of each part when all of them occur together, by the rules of the detail's standard.

    Parameters
    ----------
    judge : callable
        See `Judge`.
    detail : Detail
        With one stress history.
    parts : sequence of GivenCycles
        Each as often as it occurs in the design life.
    permanent : array, shape (6,)
        Permanent load. [N, N mm]

    Returns
    -------
    array, shape (n_parts,), or None
        None where the parts cannot be judged.
    """
    damage = np.zeros(len(parts))
    filled = [number for number, part in enumerate(parts) if len(part.ranges)]
    if not filled:
        return damage
    (outcome,) = judge(
        (detail,),
        [(parts[number],) for number in filled],
        blocks=[(f"part {number}", 1.0) for number in filled],
        permanent=permanent,
    )
    if outcome.result is None:
        return None
    damage[filled] = [block.damage for block in outcome.blocks]
    return damage
