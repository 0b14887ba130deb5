"""What is known of a detail's life beside its damage: sensitivity, when the damage is done, and how sure it is."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fatigue.assessment import DetailOutcome
from fatigue.given import GivenCycles, Judge, judged_alone
from fatigue.resampling import LifeInterval, NoInterval, life_interval
from fatigue.sensitivity import ScaledLife, life_at_other_stress
from fatigue.timeline import DamageCurve, HalfOfDamage, TimedBlock, damage_curves, half_of_damage

NO_SUM = "by the rules of the standard the damage is no sum over single cycles"


@dataclass(frozen=True)
class Outlook:
    """The life of one detail, looked at from several sides.

    Attributes
    ----------
    scaled : tuple of ScaledLife
        At lower and higher stress.
    curves : tuple of DamageCurve
        Damage along the record of each block that does damage.
    half : HalfOfDamage or None
        The few cycles that make half of the damage.
    untimed : str
        Why `curves` and `half` are missing, or "".
    interval : LifeInterval or NoInterval
        By resampled records.
    """

    scaled: tuple[ScaledLife, ...]
    curves: tuple[DamageCurve, ...]
    half: HalfOfDamage | None
    untimed: str
    interval: LifeInterval | NoInterval


def outlook(
    outcome: DetailOutcome,
    cycles: Sequence[GivenCycles],
    timed: Sequence[TimedBlock] | str,
    *,
    judge: Judge,
    permanent: NDArray[np.float64],
    design_life: float,
) -> Outlook:
    """The outlook of a detail that was judged.

    Parameters
    ----------
    outcome : DetailOutcome
        With a result.
    cycles : sequence of GivenCycles
        Of the governing history in every load block, as often as they occur in the design life.
    timed : sequence of TimedBlock, or str
        The blocks that do damage, with times; or why there are none.
    judge : callable
        See `fatigue.given.Judge`.
    permanent : array, shape (6,)
        [N, N mm]
    design_life : float
        [year]
    """
    scaled = life_at_other_stress(outcome, cycles, judge=judge, permanent=permanent)
    if isinstance(timed, str):
        return Outlook(scaled, (), None, timed, NoInterval(timed))
    detail, by_rules = judged_alone(outcome), {"judge": judge, "permanent": permanent}
    curves = damage_curves(detail, timed, **by_rules)
    half = half_of_damage(detail, timed, **by_rules) if curves is not None else None
    if curves is None or half is None:
        return Outlook(scaled, (), None, NO_SUM, NoInterval(NO_SUM))
    result = outcome.result
    # The damage at which the standard lets the life end; the life itself is none where there is no damage.
    allowed = 1.0 if result.life is None else result.life * result.damage / design_life
    interval = life_interval(detail, timed, design_life=design_life, allowed=allowed, **by_rules)
    return Outlook(scaled, curves, half, "", interval)
