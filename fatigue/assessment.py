"""Walks load histories to stress cycles at every detail, and judges the details over all blocks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.cycles import CycleCount, CycleCounter
from fatigue.damage import BlockDamage, NormalDamage, ShearDamage
from fatigue.detail import Detail
from fatigue.standards import standard as rules_of
from fatigue.tallies import Bins
from loadhistories.blocks import COMPONENTS
from loadhistories.figures import NOT_JUDGED, Check, not_judged, worst_state
from loadhistories.validation import InputError, require_finite, require_positive


class StressWalk:
    """Counts the stress cycles of several details while one load history passes by in chunks.

    Parameters
    ----------
    details : sequence of Detail
    keep, bins
        As for `fatigue.cycles.count_cycles`: "cycles", or "histogram" with its bins for a very long history.
    """

    def __init__(self, details: Sequence[Detail], *, keep: str = "cycles", bins: Bins | None = None):
        self._coefficients = np.array([detail.coefficients for detail in details]).reshape(-1, len(COMPONENTS))
        self._counter = CycleCounter(len(details), keep=keep, bins=bins) if len(details) else None

    def feed(self, chunk: NDArray[np.float64]) -> None:
        """The next part of the history, shape (6, m) in the order of COMPONENTS. [N, N mm]"""
        if self._counter is not None:
            self._counter.feed(self._coefficients @ chunk)

    def counts(self) -> tuple[CycleCount, ...]:
        """Cycles of each detail so far, in the order of the details. [MPa]"""
        return () if self._counter is None else self._counter.counts()


@dataclass(frozen=True)
class DetailOutcome:
    """What is known of one detail.

    Attributes
    ----------
    checks : tuple of Check
        The damage check first; then the largest range, where the yield strength is known.
    result : NormalDamage, ShearDamage or None
        None where the detail was not judged.
    reason : str
        Why it was not judged, or "".
    reverses : bool or None
        Whether its stress, with that of the permanent load, changes sign; None where nothing was counted.
    """

    detail: Detail
    checks: tuple[Check, ...]
    result: NormalDamage | ShearDamage | None
    state: str
    reason: str
    reverses: bool | None

    @property
    def check(self) -> Check:
        """The damage check."""
        return self.checks[0]

    @property
    def blocks(self) -> tuple[BlockDamage, ...]:
        """Damage of each block; none where the detail was not judged."""
        return () if self.result is None else self.result.blocks

    @property
    def remarks(self) -> tuple[str, ...]:
        """What the reader should know beside the figures."""
        return () if self.result is None else self.result.remarks


def assess_details(
    details: Sequence[Detail],
    counts_by_block: Sequence[Sequence[CycleCount]],
    *,
    blocks: Sequence[tuple[str, float]],
    standard: str,
    basis: Mapping[str, str],
    design_life: float,
    slips: bool | None,
    permanent: ArrayLike,
) -> tuple[DetailOutcome, ...]:
    """Judges every detail for the damage of all blocks together.

    Parameters
    ----------
    details : sequence of Detail
    counts_by_block : sequence, a block each, of the counts of every detail
        From `StressWalk.counts`, each history once through.
    blocks : sequence of (str, float)
        Name of each block and its repeats in the design life, in the same order.
    basis : mapping
        A value for each key of the standard's BASIS; EN 1993: concept "damage tolerant" or "safe life",
        consequence "low" or "high".
    design_life : float
        [s]
    slips : bool or None
        Whether the joint slips under its fatigue loads; None where that is not known.
    permanent : array, shape (6,)
        Permanent load that the histories do not hold. [N, N mm]

    Returns
    -------
    tuple of DetailOutcome
        In the order of the details.

    Raises
    ------
    InputError
        Numbers of blocks, counts and details do not match; a detail is of another standard; a value is not above 0.
    """
    rules = rules_of(standard)
    factors = rules.partial_factors(**basis)
    require_positive(design_life, "design life", unit="s")
    load = np.array([require_finite(value, "permanent load") for value in np.asarray(permanent).ravel()])
    if load.shape != (len(COMPONENTS),):
        raise InputError(f"permanent load must have {len(COMPONENTS)} components, got {load.size}")
    _require_matching(details, counts_by_block, blocks, standard)
    outcomes = []
    for number, detail in enumerate(details, start=1):
        counts = [block[number - 1] for block in counts_by_block]
        permanent_stress = float(detail.coefficients @ load)
        reverses = _reverses(counts, permanent_stress)
        reason = rules.condition_lost(detail, slips=slips, reverses=reverses)
        if reason:
            check = not_judged(
                f"fatigue:{number}", f"fatigue of {detail.name}", reason=reason, clause=rules.CLAUSE
            )
            outcomes.append(DetailOutcome(detail, (check,), None, NOT_JUDGED, reason, reverses))
            continue
        result = rules.detail_damage(
            detail,
            counts,
            blocks=blocks,
            factors=factors,
            design_life=design_life,
            permanent_stress=permanent_stress,
        )
        checks = rules.checks(number, detail, result)
        state = worst_state(check.state for check in checks)
        outcomes.append(DetailOutcome(detail, checks, result, state, "", reverses))
    return tuple(outcomes)


def _reverses(counts: Sequence[CycleCount], permanent_stress: float) -> bool | None:
    extremes = [item.extremes for item in counts if item.extremes is not None]
    if not extremes:
        return None
    lowest = min(low for low, _ in extremes) + permanent_stress
    highest = max(high for _, high in extremes) + permanent_stress
    return lowest < 0.0 < highest


def _require_matching(details, counts_by_block, blocks, standard: str) -> None:
    if not blocks:
        raise InputError("a fatigue assessment needs at least one load block")
    if len(counts_by_block) != len(blocks):
        raise InputError(f"{len(blocks)} blocks need {len(blocks)} sets of counts, got {len(counts_by_block)}")
    for (name, repeats), counts in zip(blocks, counts_by_block, strict=True):
        require_positive(repeats, f"repeats of block {name!r}")
        if len(counts) != len(details):
            raise InputError(f"block {name!r} has counts of {len(counts)} details, there are {len(details)}")
    for detail in details:
        if detail.standard != standard:
            raise InputError(f"detail {detail.name!r} is of {detail.standard}, the assessment of {standard}")
