"""Life of a detail when every stress is a little lower or higher: each cycle is judged again at its new range."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fatigue.assessment import DetailOutcome
from fatigue.given import GivenCycles, Judge, judged_alone, smallest_damaging
from loadhistories.validation import require_positive

FACTORS = (0.90, 0.95, 1.05, 1.10)


@dataclass(frozen=True)
class ScaledLife:
    """A detail at scaled stress.

    Attributes
    ----------
    stress_factor : float
        Factor on every stress, that of the permanent load included. [-]
    damage, life : float or None
        In the design life [-], and the life at the damage allowed [year]; None where there is none.
    text : str
        The life in words, or why there is none.
    """

    stress_factor: float
    damage: float | None
    life: float | None
    text: str


def life_at_other_stress(
    outcome: DetailOutcome,
    cycles: Sequence[GivenCycles],
    *,
    judge: Judge,
    permanent: NDArray[np.float64],
    factors: Sequence[float] = FACTORS,
) -> tuple[ScaledLife, ...]:
    """Life for each factor on the stress, counted cycle by cycle on the curve of the detail.

    Parameters
    ----------
    outcome : DetailOutcome
        A detail that was judged.
    cycles : sequence of GivenCycles
        Those of its governing history in each load block, as often as they occur in the design life.
    judge : callable
        See `fatigue.given.Judge`.
    permanent : array, shape (6,)
        Permanent load. [N, N mm]
    factors : sequence of float
        On the stress. [-]

    Raises
    ------
    InputError
        A factor is not above 0.

    Limits
    ------
    The stress changes, not the load: whether the joint slips stays as it is.
    """
    detail = judged_alone(outcome)
    smallest = smallest_damaging(outcome.result)
    found = []
    for factor in factors:
        require_positive(factor, "factor on the stress")
        scaled = [block.from_range(smallest / factor).scaled(factor) for block in cycles]
        filled = [block for block in scaled if len(block.ranges)]
        if not filled:
            found.append(ScaledLife(factor, 0.0, None, "no end: every stress range lies below the cut-off"))
            continue
        (again,) = judge(
            (detail,),
            [(block,) for block in filled],
            blocks=[(f"block {number}", 1.0) for number in range(len(filled))],
            permanent=permanent * factor,
        )
        result = again.result
        if result is None:
            found.append(ScaledLife(factor, None, None, f"not judged: {again.reason}"))
        else:
            found.append(ScaledLife(factor, result.damage, result.life, result.life_text))
    return tuple(found)
