"""How often a record occurs within the design life: "16 h/day", "6000 h/year", "40/day", "200000".

A share of time repeats the record end to end; a number of times repeats it as one event.
"""

import re
from dataclasses import dataclass
from typing import Annotated

from loadhistories.dialect import is_number
from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_positive, where

HOUR, DAY, YEAR = 3600.0, 86_400.0, 31_557_600.0
PRACTICE = "common practice, no source"
FORMS = '"16 h/day", "16 h/day, 250 day/year", "6000 h/year", "100 h", "40/day", "12/year", "3/h, 16 h/day", "200000"'

_PERIODS = {"h": HOUR, "day": DAY, "week": 7 * DAY, "year": YEAR}
_PART = re.compile(r"([+-]?[0-9.]+(?:[eE][+-]?\d{1,2})?)\s*(h|hours?|days?|times|)\s*(?:/\s*(h|hour|day|week|year))?")
_SPELLINGS = {"hour": "h", "hours": "h", "days": "day", "times": "", None: ""}

_LIFE = Annotated[float, Figure("T_L", "s", title="design life")]
_SPAN = Annotated[float, Figure("t_h", "s", title="span of the history")]
_YEAR = Annotated[float, Figure("Y", "s", clause=PRACTICE, title="length of a year (365.25 days)")]
_PER_YEAR = Annotated[float, Figure("n_Y", "", clause=PRACTICE, title="periods in a year in which it works")]
_PERIODS_IN_LIFE = Annotated[float, Figure("n_P", "", "T_L / Y * n_Y", title="periods in the design life")]


@dataclass(frozen=True)
class TimePerPeriod:
    """The record repeated end to end for some time of every day, week or year."""

    text: str
    period: str
    design_life: _LIFE
    year: _YEAR
    periods_per_year: _PER_YEAR
    periods: _PERIODS_IN_LIFE
    time_per_period: Annotated[float, Figure("t_P", "s", title="time in each period")]
    total_time: Annotated[float, Figure("T", "s", "t_P * n_P", title="time in the design life")]
    span: _SPAN
    repeats: Annotated[float, Figure("n", "", "T / t_h", title="repeats of the history")]
    recorded_share: Annotated[float, Figure("r", "", "t_h / T", title="share of the time that the history covers")]

    @property
    def covers_period(self) -> bool:
        """Whether the record is as long as the time of one period."""
        return self.span >= self.time_per_period

    @property
    def per_life(self) -> str:
        """One sentence: what the record stands for."""
        each = _hours(self.time_per_period)
        return _sentence(self, f"{each} in each {self.period}{_working(self)} over {_years(self.design_life)}")


@dataclass(frozen=True)
class TimeInLife:
    """The record repeated end to end for some time of the whole design life."""

    text: str
    design_life: _LIFE
    total_time: Annotated[float, Figure("T", "s", title="time in the design life")]
    span: _SPAN
    repeats: Annotated[float, Figure("n", "", "T / t_h", title="repeats of the history")]
    recorded_share: Annotated[float, Figure("r", "", "t_h / T", title="share of the time that the history covers")]

    @property
    def covers_period(self) -> bool:
        """Whether the record is as long as all the time it stands for."""
        return self.span >= self.total_time

    @property
    def per_life(self) -> str:
        """One sentence: what the record stands for."""
        return _sentence(self, f"{_hours(self.total_time)} of the design life")


@dataclass(frozen=True)
class CountPerPeriod:
    """The record repeated as one event some times in every day, week or year."""

    text: str
    period: str
    design_life: _LIFE
    year: _YEAR
    periods_per_year: _PER_YEAR
    periods: _PERIODS_IN_LIFE
    count_per_period: Annotated[float, Figure("n_E", "", title="events in each period")]
    span: _SPAN
    repeats: Annotated[float, Figure("n", "", "n_E * n_P", title="repeats of the history")]
    total_time: Annotated[float, Figure("T", "s", "n * t_h", title="time in the design life")]

    @property
    def covers_period(self) -> bool:
        """Whether the record holds all events of one period; a record is one event."""
        return self.count_per_period <= 1.0

    @property
    def per_life(self) -> str:
        """One sentence: what the record stands for."""
        each = f"one event, {self.count_per_period:g} times in each {self.period}{_working(self)}"
        return _sentence(self, f"{each} over {_years(self.design_life)}")


@dataclass(frozen=True)
class CountPerHour:
    """The record repeated as one event some times in every hour that is worked."""

    text: str
    period: str
    design_life: _LIFE
    year: _YEAR
    periods_per_year: _PER_YEAR
    periods: _PERIODS_IN_LIFE
    hours_per_period: Annotated[float, Figure("h_P", "", title="hours worked in each period")]
    count_per_hour: Annotated[float, Figure("n_h", "", title="events in each hour")]
    span: _SPAN
    repeats: Annotated[float, Figure("n", "", "n_h * h_P * n_P", title="repeats of the history")]
    total_time: Annotated[float, Figure("T", "s", "n * t_h", title="time in the design life")]

    @property
    def covers_period(self) -> bool:
        """Whether the record holds all events of one period; a record is one event."""
        return self.count_per_hour * self.hours_per_period <= 1.0

    @property
    def per_life(self) -> str:
        """One sentence: what the record stands for."""
        each = f"one event, {self.count_per_hour:g} times in each of {self.hours_per_period:g} h of each {self.period}"
        return _sentence(self, f"{each}{_working(self)} over {_years(self.design_life)}")


@dataclass(frozen=True)
class CountInLife:
    """The record repeated as one event a number of times in the design life."""

    text: str
    design_life: _LIFE
    repeats: Annotated[float, Figure("n", "", title="repeats of the history")]
    span: _SPAN
    total_time: Annotated[float, Figure("T", "s", "n * t_h", title="time in the design life")]

    @property
    def covers_period(self) -> bool:
        """Whether the record holds all events; a record is one event."""
        return self.repeats <= 1.0

    @property
    def per_life(self) -> str:
        """One sentence: what the record stands for."""
        return _sentence(self, f"one event of the design life of {_years(self.design_life)}")


Occurrence = TimePerPeriod | TimeInLife | CountPerPeriod | CountPerHour | CountInLife


def repeats(occurs: str, *, design_life: float, span: float, place: str = "") -> Occurrence:
    """How often a record occurs within the design life.

    Parameters
    ----------
    occurs : str
        One of FORMS. Hours ("16 h/day") repeat the record end to end for that time; a number ("40/day")
        repeats it as one event. "250 day/year" or "5 day/week" beside it restricts the days that are worked.
    design_life, span : float
        Of the joint and of the record. [s]
    place : str
        Where `occurs` stands, for the refusal.

    Returns
    -------
    Occurrence
        With `.repeats`, `.total_time`, `.span`, `.covers_period` and `.per_life`.

    Raises
    ------
    InputError
        An unknown form, more hours than the period has, more time than the design life, nothing at all.

    Limits
    ------
    A year has 365.25 days of work where no days are given.

    Source
    ------
    Common practice, no source.

    Examples
    --------
    >>> repeats("40/day, 250 day/year", design_life=25 * YEAR, span=300.0).repeats
    250000.0
    >>> repeats("16 h/day", design_life=25 * YEAR, span=300.0).repeats
    1753200.0
    """
    require_positive(design_life, "design_life", unit="s", place=place)
    require_positive(span, "span of the record", unit="s", place=place)
    days, hourly, worked = _sorted_parts(occurs, place)
    if worked is None:
        _require_above_zero(hourly[0], "events per hour", place)
        raise InputError(
            f'occurs {occurs!r} leaves open how many hours are worked: write "{occurs}, 16 h/day"{where(place)}'
        )
    value, measure, period = worked
    _require_above_zero(value, "hours" if measure else "number of times", place)
    if hourly and not (measure and period):
        raise InputError(f'"/h" needs the hours worked beside it, as in "3/h, 16 h/day", got {occurs!r}{where(place)}')
    if days and period != "day":
        raise InputError(
            f'days of work need hours or a number for each day beside them, as in "16 h/day, 250 day/year", '
            f"got {occurs!r}{where(place)}"
        )
    if measure:
        _require_fits(value, period, design_life, occurs, place)
    if not period:
        return _in_life(occurs, value, measure, design_life, span)
    per_year = _days_per_year(days[0], occurs, place) if days else YEAR / _PERIODS[period]
    lead = (occurs, period, design_life, YEAR, per_year)
    periods = design_life / YEAR * per_year
    if hourly:
        _require_above_zero(hourly[0], "events per hour", place)
        count = hourly[0] * value * periods
        return CountPerHour(*lead, periods, value, hourly[0], span, count, count * span)
    if measure:
        total = value * HOUR * periods
        return TimePerPeriod(*lead, periods, value * HOUR, total, span, total / span, span / total)
    return CountPerPeriod(*lead, periods, value, span, value * periods, value * periods * span)


def _in_life(occurs: str, value: float, measure: str, design_life: float, span: float) -> TimeInLife | CountInLife:
    if measure:
        return TimeInLife(occurs, design_life, value * HOUR, span, value * HOUR / span, span / (value * HOUR))
    return CountInLife(occurs, design_life, value, span, value * span)


def _sorted_parts(occurs: str, place: str) -> tuple[list, list, tuple[float, str, str] | None]:
    """Days worked (number, period), events per hour, and the one part that is left (number, "h" or "", period)."""
    if not isinstance(occurs, str):
        raise InputError(f"occurs must be a text, one of the forms {FORMS}, got {occurs!r}{where(place)}")
    days, hourly, worked = [], [], []
    for text in re.split(r",\s+|;", occurs):
        found = _PART.fullmatch(text.strip())
        measure = _SPELLINGS.get(found[2], found[2]) if found else ""
        period = _SPELLINGS.get(found[3], found[3] or "") if found else ""
        if not found or not is_number(found[1], "."):
            raise _unknown(occurs, place)
        value = float(found[1])
        if measure == "day" and period in ("week", "year"):
            days.append((value, period))
        elif measure == "" and period == "h":
            hourly.append(value)
        elif measure in ("", "h") and period != "h":
            worked.append((value, measure, period))
        else:
            raise _unknown(occurs, place)
    if len(days) > 1 or len(hourly) > 1 or len(worked) > 1 or not (hourly or worked):
        raise _unknown(occurs, place)
    return days, hourly, worked[0] if worked else None


def _unknown(occurs: str, place: str) -> InputError:
    return InputError(f"occurs {occurs!r} is unknown; known forms: {FORMS}{where(place)}")


def _require_above_zero(value: float, name: str, place: str) -> None:
    require_positive(value, f"{name} of occurs", place=place)


def _require_fits(hours: float, period: str, design_life: float, occurs: str, place: str) -> None:
    """Refuse more hours than the period, or the design life, has."""
    limit = (_PERIODS[period] if period else design_life) / HOUR
    if hours > limit:
        of = f"a {period}" if period else "the design life"
        raise InputError(f"occurs {occurs!r} asks for more than the {limit:g} h of {of}{where(place)}")


def _days_per_year(days: tuple[float, str], occurs: str, place: str) -> float:
    value, period = days
    _require_above_zero(value, "days", place)
    limit = 7.0 if period == "week" else 366.0
    if value > limit:
        raise InputError(f"occurs {occurs!r} asks for more than the {limit:g} days of a {period}{where(place)}")
    return value * YEAR / _PERIODS["week"] if period == "week" else value


def _sentence(occurrence: Occurrence, stands_for: str) -> str:
    number = occurrence.repeats
    times = f"{number / 1e6:.3g} million times" if number >= 1e6 else f"{number:.6g} times"
    return f"the record of {occurrence.span:g} s stands for {stands_for}: repeated {times}"


def _hours(seconds: float) -> str:
    return f"{seconds / HOUR:g} h"


def _years(seconds: float) -> str:
    return f"{seconds / YEAR:g} year"


def _working(occurrence: TimePerPeriod | CountPerPeriod | CountPerHour) -> str:
    plain = YEAR / _PERIODS[occurrence.period]
    return "" if occurrence.periods_per_year == plain else f" worked ({occurrence.periods_per_year:g} in a year)"
