"""Laws of crack growth: growth per cycle against the range of stress intensity, their thresholds and closed forms.

The growth of a crack under a spectrum stands in growth.py.
"""

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loadhistories.figures import Figure
from loadhistories.tables import read_table, row_of, unconfirmed
from loadhistories.validation import (
    InputError,
    require_finite,
    require_not_negative,
    require_one_of,
    require_positive,
    where,
)

LAW = "BS 7910, fatigue crack growth (from memory)"
PARIS = "Paris and Erdogan, Journal of Basic Engineering 85 (1963)"
CONDITIONS = ("as welded", "free of welding stress")
_METRE = math.sqrt(1000.0)


@dataclass(frozen=True)
class GrowthLaw:
    """Growth per cycle against the range of stress intensity: no growth below a threshold, then one or two powers."""

    name: str
    first_constant: Annotated[float, Figure("A_1", "", "", LAW, "growth constant, mm per cycle and (N/mm^1.5)^m")]
    first_exponent: Annotated[float, Figure("m_1", "", "", LAW, "growth exponent")]
    second_constant: Annotated[float | None, Figure("A_2", "", "", LAW, "growth constant of the second stage")]
    second_exponent: Annotated[float | None, Figure("m_2", "", "", LAW, "growth exponent of the second stage")]
    transition: Annotated[
        float | None,
        Figure("ΔK_t", "N/mm^1.5", "(A_2 / A_1) ** (1 / (m_1 - m_2))", LAW, "where the second stage begins"),
    ]
    threshold: Annotated[float, Figure("ΔK_0", "N/mm^1.5", "", LAW, "threshold: smaller ranges do not grow the crack")]
    source: str
    unconfirmed: bool

    def rate(self, intensity_range: ArrayLike) -> NDArray[np.float64]:
        """Growth in a cycle of each range of stress intensity [N/mm^1.5]. [mm]"""
        ranges = np.asarray(intensity_range, dtype=np.float64)
        grown = self.first_constant * ranges**self.first_exponent
        if self.transition is not None:
            grown = np.where(
                ranges < self.transition, grown, self.second_constant * ranges**self.second_exponent
            )
        return np.where(ranges > self.threshold, grown, 0.0)


def growth_law(name: str, *, condition: str, ratio: float | None = None, place: str = "") -> GrowthLaw:
    """A law of the table with the threshold of the part's condition.

    Parameters
    ----------
    name : str
        Such as "simplified" or "two-stage, high ratio, mean + 2 SD".
    condition : str
        "as welded" or "free of welding stress".
    ratio : float
        Highest ratio of lowest to highest stress of the cycles; only, and always, for parts free of welding
        stress. [-]

    Returns
    -------
    GrowthLaw

    Raises
    ------
    InputError
        Unknown law or condition; ratio missing or out of place; a law for other stress ratios.

    Limits
    ------
    Structural steel in air up to 100 °C. No retardation after a large cycle is counted on.

    Examples
    --------
    >>> growth_law("two-stage, high ratio, mean", condition="as welded").transition
    195.563
    """
    row = row_of("fatigue", "growth_constants", name, "law of crack growth", place=place)
    threshold, source = _threshold(condition, ratio, place)
    if row["stress_ratio"] == "below 0.5" and (ratio is None or ratio >= 0.5):
        why = "welding stress lifts every cycle to a high ratio" if ratio is None else f"ratio {ratio:g}"
        fitting = [key for key, other in read_table("fatigue", "growth_constants").items()
                   if other["stress_ratio"] != "below 0.5"]  # fmt: skip
        raise InputError(
            f"growth law {name!r} is for stress ratios below 0.5, the part is {condition} ({why}); "
            f"fitting: {', '.join(map(repr, fitting))}{where(place)}"
        )
    return _law(name, row, threshold, f"{row['source']}; threshold: {source}", unconfirmed(row))


def own_law(
    constant: float, exponent: float, *, threshold: float, source: str, in_metres: bool = False
) -> GrowthLaw:
    """A law of one power with constants of the user's own.

    Parameters
    ----------
    constant, exponent : float
        For mm per cycle and N/mm^1.5; `in_metres`: for m per cycle and MPa m^0.5. [-]
    threshold : float
        In the same unit of stress intensity; 0: every cycle grows the crack.
    source : str
        Where they come from; printed.

    Examples
    --------
    >>> own_law(1.65e-11, 3, threshold=2, source="test report", in_metres=True).first_constant
    5.2177e-13
    """
    a, m = require_positive(constant, "growth constant"), require_positive(exponent, "growth exponent")
    least = require_not_negative(threshold, "threshold of growth")
    if not source.strip():
        raise InputError("a growth law of your own needs its source, such as a test report")
    if in_metres:
        a, least = a * 1000.0 / _METRE**m, least * _METRE
    return _law("own constants", {"A_1": a, "m_1": m}, least, source, False)


@dataclass(frozen=True)
class ConstantGrowth:
    """Cycles of one stress range between two sizes of a crack, closed form of the law of one power."""

    constant: Annotated[float, Figure("A", "", "", PARIS, "growth constant, mm per cycle and (N/mm^1.5)^m")]
    exponent: Annotated[float, Figure("m", "", "", PARIS, "growth exponent, not 2")]
    factor: Annotated[float, Figure("Y", "", title="shape factor")]
    stress_range: Annotated[float, Figure("Δσ", "MPa", title="stress range")]
    start: Annotated[float, Figure("a_0", "mm", title="size at the start")]
    end: Annotated[float, Figure("a_c", "mm", title="size at the end")]
    cycles: Annotated[
        float,
        Figure(
            "N",
            "",
            "(a_c ** (1 - m / 2) - a_0 ** (1 - m / 2)) / ((1 - m / 2) * A * (Y * Δσ * sqrt(pi)) ** m)",
            PARIS,
            "cycles from start to end",
        ),
    ]


def constant_growth(law: GrowthLaw, *, factor: float, stress_range: float, start: float, end: float) -> ConstantGrowth:
    """Cycles of one stress range between two sizes, for a constant shape factor.

    Raises
    ------
    InputError
        A law of two stages, an exponent of 2, a start below the threshold, an end not above the start.

    Examples
    --------
    >>> law = growth_law("simplified", condition="as welded")
    >>> constant_growth(law, factor=1, stress_range=80, start=0.5, end=12).cycles
    1515506.59
    """
    y, s = require_positive(factor, "shape factor"), require_positive(stress_range, "stress range", unit="MPa")
    first, last = require_positive(start, "start", unit="mm"), require_positive(end, "end", unit="mm")
    a, power = _one_power(law)
    if last <= first:
        raise InputError(f"end must be above the start of {first:g} mm, got {last:g} mm")
    if y * s * math.sqrt(math.pi * first) <= law.threshold:
        raise InputError(f"a crack of {first:g} mm does not grow under a range of {s:g} MPa: it is below the threshold")
    cycles = (last**power - first**power) / (power * a * (y * s * math.sqrt(math.pi)) ** law.first_exponent)
    return ConstantGrowth(a, law.first_exponent, y, s, first, last, cycles)


def largest_start(law: GrowthLaw, *, factor: float, stress_range: float, cycles: float, end: float) -> float:
    """Largest crack that stays below `end` for so many cycles of one stress range; the threshold is not used. [mm]"""
    y, s = require_positive(factor, "shape factor"), require_positive(stress_range, "stress range", unit="MPa")
    n, last = require_positive(cycles, "cycles"), require_positive(end, "end", unit="mm")
    a, power = _one_power(law)
    left = last**power - n * power * a * (y * s * math.sqrt(math.pi)) ** law.first_exponent
    if left <= 0.0:
        raise InputError(f"no crack above 0 mm stays below {last:g} mm for {n:g} cycles of {s:g} MPa")
    return left ** (1.0 / power)


def _one_power(law: GrowthLaw) -> tuple[float, float]:
    """Constant of a law of one power, and the exponent of the size in its integral."""
    power = 1.0 - law.first_exponent / 2.0
    if law.transition is not None or abs(power) < 1e-6:
        raise InputError(f"law {law.name!r} has no closed form here (two stages, or an exponent of 2); integrate it")
    return law.first_constant, power


def _law(name: str, row: dict, threshold: float, source: str, recalled: bool) -> GrowthLaw:
    a, m, second, n = row["A_1"], row["m_1"], row.get("A_2"), row.get("m_2")
    transition = None if second is None else (second / a) ** (1.0 / (m - n))
    return GrowthLaw(name, a, m, second, n, transition, threshold, source, recalled)


def _threshold(condition: str, ratio: float | None, place: str) -> tuple[float, str]:
    require_one_of(condition, CONDITIONS, "condition of the part", place=place)
    row = read_table("fatigue", "growth_thresholds")[condition]
    if condition == "as welded":
        if ratio is not None:
            raise InputError(f"a part as welded takes no stress ratio: leave {ratio:g} out{where(place)}")
        return row["lowest"], row["source"]
    if ratio is None:
        raise InputError(
            "a part free of welding stress needs the highest stress ratio of its cycles, such as 0.1"
            f"{where(place)}"
        )
    if require_finite(ratio, "stress ratio", place=place) >= 1.0:
        raise InputError(f"stress ratio must be below 1, got {ratio:g}{where(place)}")
    return max(row["lowest"], row["at_zero_ratio"] - row["fall_with_ratio"] * max(ratio, 0.0)), row["source"]
