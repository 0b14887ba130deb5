"""Remaining life of a detail that has served before: earlier duty has used part of what it stands."""

from dataclasses import dataclass, replace
from typing import Annotated

from fatigue.assessment import DetailOutcome
from loadhistories.figures import Check, Figure, judged, not_judged, worst_state
from loadhistories.validation import require_not_negative, require_positive

PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class RemainingLife:
    """Damage of earlier duty and of the design life to come, and how long the rest lasts."""

    past_damage: Annotated[float, Figure("D_p", "", title="damage of earlier duty")]
    damage: Annotated[float, Figure("D_f", "", title="damage in the design life to come")]
    total_damage: Annotated[float, Figure("D_t", "", "D_p + D_f", PRACTICE, "damage at the end of the design life")]
    allowed: Annotated[float, Figure("D_a", "", title="damage allowed")]
    served: Annotated[float, Figure("T_p", "year", title="years served")]
    design_life: Annotated[float, Figure("T", "year", title="design life from now on")]
    rate: Annotated[float, Figure("r", "1/year", "D_f / T", PRACTICE, "damage in a year to come")]
    remaining: Annotated[
        float | None, Figure("L_r", "year", "max(0, D_a - D_p) / r", PRACTICE, "remaining life from now on")
    ]

    @property
    def text(self) -> str:
        """What goes with the number of years, or stands in its place where there is none."""
        if self.past_damage >= self.allowed:
            return "none: earlier duty has used up the damage allowed"
        if self.remaining is None:
            return "no end by the duty to come: it does no damage"
        return "from now on"


def remaining_life(
    *, past_damage: float, damage: float, allowed: float, served: float, design_life: float
) -> RemainingLife:
    """How long a detail lasts from now on.

    Parameters
    ----------
    past_damage, damage : float
        Of the years served, and of the design life to come. [-]
    allowed : float
        Damage at which the life ends. [-]
    served, design_life : float
        [year]

    Raises
    ------
    InputError
        A damage is below 0, or a time or the damage allowed not above 0.

    Limits
    ------
    For a detail without a crack. A damage that was given and not counted is as good as its giver.

    Source
    ------
    Linear accumulation over the whole of the service: common practice, no source.

    Examples
    --------
    >>> remaining_life(past_damage=0.4, damage=0.5, allowed=1.0, served=20.0, design_life=25.0).remaining
    30.0
    """
    past, future = require_not_negative(past_damage, "past damage"), require_not_negative(damage, "damage")
    limit, years = require_positive(allowed, "damage allowed"), require_positive(design_life, "design life")
    require_positive(served, "years served")
    rate = future / years
    remaining = max(0.0, limit - past) / rate if rate > 0.0 else None
    return RemainingLife(past, future, past + future, limit, served, years, rate, remaining)


def allowed_damage(outcome: DetailOutcome) -> float | None:
    """The damage at which the life ends, by the detail's damage check; None where that check is of something else."""
    check = outcome.check
    if outcome.result is None or check.unit or check.demand != outcome.result.damage:
        return None
    return check.resistance


def with_past(outcome: DetailOutcome, life: RemainingLife | None, *, reason: str = "") -> DetailOutcome:
    """The outcome with one more check: damage of earlier duty and of the design life together.

    Parameters
    ----------
    life : RemainingLife or None
        None where earlier duty could not be judged; `reason` says why.
    """
    check = _check(outcome, life, reason)
    checks = (*outcome.checks, check)
    return replace(outcome, checks=checks, state=worst_state(item.state for item in checks))


def _check(outcome: DetailOutcome, life: RemainingLife | None, reason: str) -> Check:
    identifier, title = f"{outcome.check.id}:past", f"damage with earlier duty at {outcome.detail.name}"
    if life is None:
        return not_judged(identifier, title, reason=reason, clause=outcome.check.clause)
    return judged(
        identifier, title, demand=life.total_damage, resistance=life.allowed, unit="", clause=outcome.check.clause,
        working=(life,),
    )  # fmt: skip
