"""How far the damage at which a detail fails lies about one: for information, in no check."""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table

FIVE_PERCENT = -1.6448536269514722


@dataclass(frozen=True)
class FailureDamage:
    """The damage at failure as a lognormal variable."""

    mean: Annotated[float, Figure("mean", "", title="mean damage at failure")]
    variation: Annotated[float, Figure("V", "", title="coefficient of variation")]
    median: Annotated[float, Figure("median", "", "mean / sqrt(1 + V ** 2)", title="median damage at failure")]
    log_deviation: Annotated[float, Figure("s_ln", "", title="standard deviation of its logarithm")]
    log_mean: Annotated[float, Figure("m_ln", "", title="mean of its logarithm")]
    low: Annotated[float, Figure("D_5", "", title="damage at failure that 5 % stay below")]
    source: str


def failure_damage() -> FailureDamage:
    """Scatter of the damage at failure.

    Source
    ------
    JCSS Probabilistic Model Code (after Wirsching, 1984): lognormal, mean 1.0, coefficient of variation 0.3.

    Examples
    --------
    >>> failure_damage().low
    0.59099
    """
    row = read_table("fatigue", "failure_damage")["sum"]
    mean, variation = float(row["mean"]), row["variation"]
    median = mean / math.sqrt(1.0 + variation**2)
    deviation = math.sqrt(math.log(1.0 + variation**2))
    low = median * math.exp(FIVE_PERCENT * deviation)
    return FailureDamage(mean, variation, median, deviation, math.log(median), low, row["source"])
