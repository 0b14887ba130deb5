"""From the lifts of a crane to passages and wheel passages at one place: how often its working cycles occur."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.crane_passages import WorkingCycle
from loadhistories.figures import Figure
from loadhistories.validation import require_positive


@dataclass(frozen=True)
class Ledger:
    """From lifts to passages to wheel passages of one kind of working cycle; how often it occurs in the design life."""

    text: str
    where: str
    lifts: Annotated[float, Figure("N_L", "", title="lifts of this row in the design life")]
    share: Annotated[float, Figure("s_L", "", title="share of them that is worked like this")]
    repeats: Annotated[float, Figure("n_C", "", "N_L * s_L", "common practice, no source", "working cycles like this")]
    passages_out: Annotated[float, Figure("p_1", "", title="passages on the way out, in one working cycle")]
    passages_back: Annotated[float, Figure("p_2", "", title="passages on the way back, in one working cycle")]
    passages: Annotated[
        float, Figure("N_P", "", "n_C * (p_1 + p_2)", "common practice, no source", "passages in the design life")
    ]
    wheels_out: Annotated[float, Figure("w_1", "", title="wheels that roll over the place on the way out")]
    wheels_back: Annotated[float, Figure("w_2", "", title="wheels that roll over the place on the way back")]
    wheel_passages: Annotated[
        float, Figure("N_W", "", "n_C * (w_1 + w_2)", "common practice, no source", "wheel passages in the design life")
    ]
    span: Annotated[float, Figure("t_C", "s", title="time that one working cycle travels")]
    total_time: Annotated[float, Figure("T_C", "s", "n_C * t_C", "", "time of travel in the design life")]

    @property
    def covers_period(self) -> bool:
        """Whether the history holds all that the duty states: it was made of it."""
        return True

    @property
    def per_life(self) -> str:
        """One sentence: lifts, passages and wheel passages."""
        part = "" if self.share == 1.0 else f" ({100.0 * self.share:g} % of the lifts)"
        return (
            f"{self.repeats:.7g} working cycles{part}, {self.passages:.7g} passages and {self.wheel_passages:.7g} "
            f"wheel passages of {self.where}"
        )


def ledger(cycle: WorkingCycle, text: str, where: str, *, lifts: float, share: float = 1.0) -> Ledger:
    """What `lifts` in the design life, or a share of them, come to at the place looked at."""
    repeats = require_positive(lifts, "lifts") * share
    travel = cycle.passages_out + cycle.passages_back
    wheels = cycle.wheels_out + cycle.wheels_back
    return Ledger(
        text, where, lifts, share, repeats, cycle.passages_out, cycle.passages_back, repeats * travel,
        cycle.wheels_out, cycle.wheels_back, repeats * wheels, cycle.time, repeats * cycle.time,
    )  # fmt: skip
