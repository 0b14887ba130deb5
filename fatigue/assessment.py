"""Walks load histories to stress cycles at every detail, and judges the details over all blocks."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import ModuleType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.cycles import CycleCount, CycleCounter
from fatigue.damage import BlockDamage, NormalDamage, ShearDamage
from fatigue.detail import Detail
from fatigue.recipe import Recipe
from fatigue.slipped import slip_note, without_grip
from fatigue.standards import standard as rules_of
from fatigue.tallies import Bins
from loadhistories.blocks import COMPONENTS, CountedLoad
from loadhistories.counted import CountedCycles
from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED, Check, not_judged, worst_state
from loadhistories.products import product
from loadhistories.validation import InputError, require_finite, require_positive

CRACK_FOUND = (
    "a crack was found here, and no life by stress cycles applies to a cracked part: make the place safe, size the "
    "crack by inspection, and let an engineer decide on repair, replacement, or crack growth with inspections"
)
# For each block the counts of some histories.
Counts = Sequence[Sequence[CycleCount]]


class StressWalk:
    """Counts the stress cycles of several details while one load history passes by in chunks.

    Parameters
    ----------
    details : sequence of Detail
        Each with one stress history or several; see `Detail.histories`.
    keep, bins
        As for `fatigue.cycles.count_cycles`: "cycles", or "histogram" with its bins for a very long history.
    counted : CountedLoad, optional
        The cycles of a load that was counted elsewhere; then nothing is counted here, whatever is fed.
    """

    def __init__(
        self,
        details: Sequence[Detail],
        *,
        keep: str = "cycles",
        bins: Bins | None = None,
        counted: CountedLoad | None = None,
    ):
        rows = [detail.histories for detail in details]
        self._coefficients = np.concatenate(rows) if rows else np.empty((0, len(COMPONENTS)))
        self._counted = counted
        counts = bool(rows) and counted is None
        self._counter = CycleCounter(len(self._coefficients), keep=keep, bins=bins) if counts else None

    def feed(self, chunk: NDArray[np.float64]) -> None:
        """The next part of the history, shape (6, m) in the order of COMPONENTS. [N, N mm]"""
        if self._counter is not None:
            self._counter.feed(product(self._coefficients, chunk))

    def counts(self) -> tuple[CycleCount | CountedCycles, ...]:
        """Cycles of each history of each detail so far, in the order of the details. [MPa]"""
        if self._counted is not None:
            return tuple(self._counted.along(row) for row in self._coefficients)
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
    notes : tuple of str
        Which of several histories governs, and why the detail was judged otherwise than given.
    instead_of : Detail or None
        The detail as given, where the joint lets it be judged only as another one; `detail` is then that one.
    random : RandomDamage or None
        Of the random stress stated at it, once that was judged; see `fatigue.random_stress`.
    """

    detail: Detail
    checks: tuple[Check, ...]
    result: NormalDamage | ShearDamage | None
    state: str
    reason: str
    reverses: bool | None
    notes: tuple[str, ...] = ()
    instead_of: Detail | None = None
    random: object | None = None

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
        return self.notes if self.result is None else (*self.notes, *self.result.remarks)


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
    preloaded: bool | None = None,
) -> tuple[DetailOutcome, ...]:
    """Judges every detail for the damage of all blocks together.

    Parameters
    ----------
    details : sequence of Detail
    counts_by_block : sequence, a block each, of the counts of every history of every detail
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
    preloaded : bool or None
        Whether the bolts of the joint are preloaded; None where that is not known, or it has none.

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
    case = _Case(rules, factors, tuple(blocks), design_life, slips, load, preloaded)
    outcomes, first = [], 0
    for number, detail in enumerate(details, start=1):
        last = first + len(detail.histories)
        outcomes.append(_outcome(number, detail, [block[first:last] for block in counts_by_block], case))
        first = last
    return tuple(outcomes)


@dataclass(frozen=True, eq=False)
class _Case:
    """What all details of a joint are judged by."""

    rules: ModuleType
    factors: object
    blocks: tuple[tuple[str, float], ...]
    design_life: float
    slips: bool | None
    permanent: NDArray[np.float64]
    preloaded: bool | None

    def without_preload(self, detail: Detail) -> str:
        """Why a detail cannot be judged for want of preload, or "" where it can."""
        missing = getattr(self.rules, "preload_missing", None)
        return "" if missing is None else missing(detail, slips=self.slips, preloaded=self.preloaded)


def _outcome(number: int, detail: Detail, counts: Counts, case: _Case) -> DetailOutcome:
    """One detail, judged as given or, where it cannot keep its category, as the standard lets it be judged."""
    if detail.safety is not None:
        case = replace(case, rules=rules_of(detail.standard), factors=detail.safety)
    own = len(detail.recipe.histories)
    mine, net = [block[:own] for block in counts], [block[own:] for block in counts]
    other = without_grip(detail, case.rules, slips=case.slips, reverses=_any_reverses(detail.net, net, case))
    if other is not None and not detail.crack_found and not case.without_preload(detail):
        found = _judged(number, other, net, case)
        return replace(found, notes=(slip_note(detail, other, case.rules), *found.notes), instead_of=detail)
    return _judged(number, detail, mine, case)


def _judged(number: int, detail: Detail, counts: Counts, case: _Case) -> DetailOutcome:
    """Each history of a detail judged; the worst governs."""
    reverses = _any_reverses(detail.recipe, counts, case)
    reason = CRACK_FOUND if detail.crack_found else case.without_preload(detail)
    reason = reason or case.rules.condition_lost(detail, slips=case.slips, reverses=reverses)
    reason = reason or _beyond(detail.recipe, counts, case)
    if reason:
        check = not_judged(
            f"fatigue:{number}", f"fatigue of {detail.name}", reason=reason, clause=case.rules.CLAUSE
        )
        return DetailOutcome(detail, (check,), None, NOT_JUDGED, reason, reverses)
    singles = [replace(detail, recipe=detail.recipe.only(k)) for k in range(len(detail.recipe.histories))]
    results = [_result(single, [block[k] for block in counts], case) for k, single in enumerate(singles)]
    worst = max(range(len(singles)), key=lambda k: (results[k].damage, results[k].largest_range))
    checks = _worst_checks(number, singles, results, worst, case)
    notes = ()
    if len(singles) > 1:
        notes = (f"the worst of {len(singles)} stress histories governs: {detail.recipe.names[worst]}",)
    state = worst_state(check.state for check in checks)
    return DetailOutcome(singles[worst], checks, results[worst], state, "", reverses, notes)


def _result(detail: Detail, counts: Sequence[CycleCount], case: _Case):
    return case.rules.detail_damage(
        detail,
        counts,
        blocks=case.blocks,
        factors=case.factors,
        design_life=case.design_life,
        permanent_stress=float(detail.coefficients @ case.permanent),
    )


def _worst_checks(number: int, singles: Sequence[Detail], results: Sequence, worst: int, case: _Case):
    """The checks of the history with the most damage; a further check is that of the history that is worst in it."""
    checks = case.rules.checks(number, singles[worst], results[worst])
    if len(singles) == 1:
        return checks
    rank = {HOLDS: 0, NOT_JUDGED: 1, FAILS: 2}
    every = [case.rules.checks(number, *pair) for pair in zip(singles, results, strict=True)]
    found = [checks[0]]
    for check in checks[1:]:
        rivals = [item for row in every for item in row if item.id == check.id]
        found.append(max(rivals, key=lambda item: (rank[item.state], item.utilisation or 0.0)))
    return tuple(found)


def _any_reverses(recipe: Recipe | None, counts: Counts, case: _Case) -> bool | None:
    """Whether any history of a recipe changes sign; None where there is none, or nothing was counted."""
    found = [
        _reverses([block[k] for block in counts], float(row @ case.permanent))
        for k, row in enumerate(recipe.histories if recipe is not None else ())
    ]
    if not found or None in found:
        return None
    return any(found)


def _beyond(recipe: Recipe, counts: Counts, case: _Case) -> str:
    """Why the recipe does not stand under these loads, or "" where it does."""
    if recipe.highest is None:
        return ""
    for k, row in enumerate(recipe.histories):
        permanent = float(row @ case.permanent)
        tops = [block[k].extremes[1] for block in counts if block[k].extremes is not None]
        top = max([permanent, *(permanent + value for value in tops)])
        if top > recipe.highest:
            who = f"{recipe.names[k]}: " if recipe.names else ""
            return f"{who}{recipe.beyond} (stress {top:.4g} MPa, at most {recipe.highest:.4g} MPa)"
    return ""


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
        histories = sum(len(detail.histories) for detail in details)
        if len(counts) != histories:
            raise InputError(
                f"block {name!r} has counts of {len(counts)} stress histories, the details have {histories}"
            )
    for detail in details:
        if detail.standard != standard and detail.safety is None:
            raise InputError(f"detail {detail.name!r} is of {detail.standard}, the assessment of {standard}")
