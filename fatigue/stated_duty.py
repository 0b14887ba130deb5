"""StatedDuty: the cycles that a record holds, put to the life, against the number that a data sheet states."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Annotated

from numpy.typing import NDArray

from fatigue.cycles import CycleCounter
from loadhistories.figures import Figure
from loadhistories.occurrence import DAY, HOUR, YEAR, Occurrence
from loadhistories.validation import require_not_negative, require_one_of, require_positive

PERIODS = {"h": HOUR, "day": DAY, "week": 7 * DAY, "year": YEAR, "life": None}
CLAUSE = "rainflow count of the channel, ASTM E1049-85, 5.4.4"


@dataclass(frozen=True)
class StatedDuty:
    """Cycles of one channel, stated and recorded."""

    channel: str
    per: str
    threshold: str
    smallest: Annotated[float, Figure("R_0", "", title="cycles count from this range on, in the unit of the channel")]
    in_life: Annotated[float, Figure("N_c", "", clause=CLAUSE, title="such cycles in the design life by the record")]
    periods: Annotated[float, Figure("n_P", "", title="periods of the statement in the design life")]
    recorded: Annotated[float, Figure("n_c", "", "N_c / n_P", title="cycles in each period by the record")]
    stated: Annotated[float, Figure("n_s", "", title="cycles in each period as stated")]
    ratio: Annotated[float, Figure("q", "", "n_c / n_s", title="recorded over stated")]
    tolerance: Annotated[float, Figure("q_t", "", title="deviation that is allowed, given by the user")]

    @property
    def agrees(self) -> bool:
        """Whether record and statement agree within the tolerance."""
        return abs(self.ratio - 1.0) <= self.tolerance * (1.0 + 1e-12)

    @property
    def text(self) -> str:
        """One sentence: the two numbers, and what their difference means."""
        each = "in the design life" if self.per == "life" else f"in each {self.per}"
        lead = (
            f"{self.channel}: the record holds {self.recorded:.4g} cycles {each} of {self.threshold} and more, "
            f"{self.stated:.4g} are stated"
        )
        if self.agrees:
            return f"{lead}: they agree within {100 * self.tolerance:g} %"
        if self.ratio < 1.0:
            return f"{lead}: the record holds less than the duty, and the life found from it is too long"
        return f"{lead}: the record holds more than the duty"


def stated_duty(
    chunks: Iterable[NDArray],
    occurrence: Occurrence,
    *,
    channel: str,
    stated: float,
    per: str,
    smallest: float,
    threshold: str,
    tolerance: float,
    design_life: float,
) -> StatedDuty:
    """Compare the cycles of a record with a stated number.

    Parameters
    ----------
    chunks : iterable of array, shape (m,)
        The channel from its start.
    occurrence : Occurrence
        Of the record.
    stated : float
        Cycles in each period, above 0.
    per : str
        Key of PERIODS. A day, week or year of the same kind as in the occurrence counts only as often as it is worked,
        an hour as often as it is run.
    smallest : float
        Range from which on a cycle counts, in the unit of the channel.
    threshold : str
        The same as the reader knows it, with its unit.
    tolerance : float
        Allowed deviation of recorded over stated from 1. [-]
    design_life : float
        [s]

    Raises
    ------
    InputError
        A number is not above zero, or the period is unknown.
    """
    require_positive(stated, "stated cycles")
    require_not_negative(smallest, "smallest range")
    require_not_negative(tolerance, "tolerance")
    require_one_of(per, PERIODS, "per")
    counter = CycleCounter()
    for chunk in chunks:
        counter.feed(chunk)
    table = counter.count().repeated(occurrence.repeats)
    in_life = float(table.counts[table.ranges >= smallest * (1.0 - 1e-12)].sum())
    periods = _periods(per, occurrence, design_life)
    recorded = in_life / periods
    return StatedDuty(
        channel, per, threshold, smallest, in_life, periods, recorded, stated, recorded / stated, tolerance
    )


def _periods(per: str, occurrence: Occurrence, design_life: float) -> float:
    if per == "life":
        return 1.0
    if per == "h":
        return occurrence.total_time / HOUR
    if getattr(occurrence, "period", "") == per:
        return occurrence.periods
    return design_life / PERIODS[per]
