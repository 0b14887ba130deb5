"""Faults of the time base and gaps among the values of a raw record."""

import re
from datetime import date

import numpy as np
from numpy.typing import NDArray

from loadhistories.faults import Fault, runs
from loadhistories.raw import RawRecord
from loadhistories.timebase import LONGEST, SHORTEST

# Numbers that loggers write where they have no value, in the file's own unit.
MARKERS = (
    -99.0, -999.0, -9999.0, -99999.0, 999.0, 9999.0, 99999.0, 999999.0, -32768.0, 32767.0, 65535.0, -2147483648.0,
    2147483647.0, 1e10, -1e10, 1e30, -1e30, -999.9, -999.99, -7999.0, 7999.0, -6999.0, 6999.0,
)  # fmt: skip
LATEST = 5.0

_DAY = 86_400.0
_STAMP = re.compile(r"(\d{4})-(\d{2})-(\d{2})")
_NAMED = re.compile(r"(?<!\d)(\d{4})[-_.]?(\d{2})[-_.]?(\d{2})(?!\d)")


def time_faults(raw: RawRecord) -> list[Fault]:
    """Rows that repeat, stamps that run unevenly, breaks of the time, and dates with day and month swapped."""
    found = swapped_dates(raw)
    if raw.times is None:
        return found
    repeated = repeated_rows(raw)
    kept = np.flatnonzero(~repeated)
    for first, last in runs(repeated):
        words = f"{_counted(last - first + 1, 'row')} the same as the row before, time and values"
        found.append(_fault("repeated row", raw, first, last, None, words))
    odd = odd_steps(raw.times[kept], raw.step)
    if not odd.any():
        return found
    if late_stamps(raw.times[kept], raw.step):
        steps = np.diff(raw.times[kept])
        words = (
            f"{_counted(int(odd.sum()), 'step')} of the time from {steps.min():.4g} to {steps.max():.4g} s among steps "
            f"of {raw.step:.6g} s, but no stamp is off an even run by more than {LATEST:g} steps: late stamps of even "
            "samples"
        )
        return [*found, _fault("uneven stamps", raw, int(kept[1:][odd][0]), int(kept[1:][odd][-1]), None, words)]
    return found + [_break(raw, int(kept[at]), int(kept[at + 1])) for at in np.flatnonzero(odd)]


def jitter(raw: RawRecord) -> str:
    """What is to be said of steps that scatter within what is taken as even, "" where they do not."""
    if raw.times is None:
        return ""
    steps = np.diff(raw.times)
    even = steps[~odd_steps(raw.times, raw.step)]
    if not even.size or float(np.ptp(even)) <= 1e-3 * raw.step:
        return ""
    return (
        f"the stamps jitter: steps of {even.min():.4g} to {even.max():.4g} s around {raw.step:.6g} s are taken as even"
    )


def odd_steps(times: NDArray[np.float64], step: float) -> NDArray[np.bool_]:
    """Whether each step of the time is one that no even sampling makes."""
    steps = np.diff(times)
    return (steps < SHORTEST * step * (1 - 1e-6)) | (steps > LONGEST * step * (1 + 1e-6))


def late_stamps(times: NDArray[np.float64], step: float) -> bool:
    """Whether the stamps never stray from an even run by more than LATEST steps, and never run backwards."""
    if (np.diff(times) < 0.0).any():
        return False
    place = np.arange(times.size)
    even = times[0] + (times[-1] - times[0]) * place / max(place[-1], 1)
    mean = (times[-1] - times[0]) / max(place[-1], 1)
    return abs(mean - step) <= 0.05 * step and float(np.abs(times - even).max()) <= LATEST * step


def repeated_rows(raw: RawRecord) -> NDArray[np.bool_]:
    """Whether each row has the time and all values of the row before."""
    found = np.zeros(raw.samples, bool)
    if raw.times is not None:
        values = raw.values
        same = (values[:, 1:] == values[:, :-1]) | (np.isnan(values[:, 1:]) & np.isnan(values[:, :-1]))
        found[1:] = (np.diff(raw.times) == 0.0) & same.all(axis=0)
    return found


def swapped_dates(raw: RawRecord) -> list[Fault]:
    """Dates of which day and month are swapped, as a jump at midnight or the file's name shows."""
    stamp = _STAMP.match(raw.start)
    if not stamp:
        return []
    year, month, day = (int(part) for part in stamp.groups())
    if not (1 <= month <= 12 and 1 <= day <= 12) or day == month:
        return []
    other = date(year, day, month)
    named = [date_of(found) for found in _NAMED.findall(raw.path.rsplit("/", 1)[-1])]
    if other in named and date(year, month, day) not in named:
        words = f"the stamps begin with {year}-{month:02d}-{day:02d} and the file's name says {other}: day and month "
        return [_fault("swapped date", raw, 0, 0, None, words + "are swapped")]
    for at in np.flatnonzero(np.diff(raw.times) > 20 * _DAY) if raw.times is not None else ():
        days = float(raw.times[at + 1] - raw.times[at]) / _DAY
        if _is_month(days, raw.step):
            words = (
                f"the date jumps by {days:.4g} days at midnight, as from one month to the next: day and month are "
                'swapped; give date_format with %d and %m the other way round'
            )
            return [_fault("swapped date", raw, int(at) + 1, int(at) + 1, None, words)]
    return []


def open_date(raw: RawRecord) -> str:
    """What a first stamp leaves open of its day and month, "" where nothing."""
    stamp = _STAMP.match(raw.start)
    if not stamp:
        return ""
    year, month, day = (int(part) for part in stamp.groups())
    if not (1 <= month <= 12 and 1 <= day <= 12) or day == month:
        return ""
    return (
        f"the first stamp is read as year-month-day, {year}-{month:02d}-{day:02d}; a logger that swaps day and month "
        f"would mean {year}-{day:02d}-{month:02d} (no matter for counting)"
    )


def missing_values(raw: RawRecord) -> list[Fault]:
    """Gaps among the values, channel by channel."""
    found = []
    for name, values in zip(raw.names, raw.values, strict=True):
        for first, last in runs(np.isnan(values)):
            words = f"{_counted(last - first + 1, 'value')} missing"
            found.append(_fault("missing value", raw, first, last, name, words))
    return found


def markers(raw: RawRecord) -> list[Fault]:
    """Numbers far outside the rest of a channel that loggers write where they have no value."""
    found = []
    for name, scale, values in zip(raw.names, raw.scales, raw.values, strict=True):
        rest = values[~np.isnan(values)]
        for marker in (mark for mark in MARKERS if np.isclose(rest / scale, mark, rtol=1e-12, atol=0.0).any()):
            marked = np.isclose(values / scale, marker, rtol=1e-12, atol=0.0)
            others = rest[~np.isclose(rest / scale, marker, rtol=1e-12, atol=0.0)]
            others = others[~np.isin(np.round(others / scale, 6), MARKERS)]
            if others.size < 3 or not _far(marker * scale, others):
                continue
            for first, last in runs(marked):
                words = f"{_counted(last - first + 1, 'value')} of {marker:g}, which loggers write for a missing one"
                found.append(_fault("marker", raw, first, last, name, words, value=marker * scale))
    return found


def date_of(parts: tuple[str, str, str]) -> date | None:
    """A date of year, month and day as text; None where there is no such day."""
    try:
        return date(*(int(part) for part in parts))
    except ValueError:
        return None


def _far(value: float, others: NDArray[np.float64]) -> bool:
    """Whether a value lies outside the others by more than their whole range."""
    low, high = float(others.min()), float(others.max())
    return max(value - high, low - value) > max(high - low, 1e-9 * abs(high))


def _is_month(days: float, step: float) -> bool:
    """Whether a jump of the date is that of a day counted as a month: a month less a day, and one step."""
    whole = round(days)
    return 27 <= whole <= 30 and abs(days - whole) * _DAY <= LONGEST * step


def _break(raw: RawRecord, before: int, after: int) -> Fault:
    step = float(raw.times[after] - raw.times[before])
    if step > 0.0:
        steps = step / raw.step
        if steps > 1e12:
            words = f"gap of {step:.6g} s in steps of {raw.step:.6g} s: one of the two is no time of a record"
            return _fault("break in time", raw, after, after, None, words, size=min(step, 1e300))
        missing = max(round(steps) - 1, 0)
        words = (
            f"gap of {step:.6g} s in steps of {raw.step:.6g} s: {_counted(missing, 'row')} missing"
            if step > raw.step else f"step of {step:.6g} s among steps of {raw.step:.6g} s"
        )  # fmt: skip
    elif step == 0.0:
        words = "the time stands still, with other values"
    else:
        words = f"the time runs backwards by {-step:.6g} s"
    return _fault("break in time", raw, after, after, None, words, size=step)


def _fault(kind, raw: RawRecord, first: int, last: int, channel: str | None, words: str, *, value=None, size=None):
    return Fault(
        kind, channel or "", first, last - first + 1, raw.time_of(first), raw.time_of(last), value, size, words
    )


def _counted(number: int, word: str) -> str:
    return f"1 {word}" if number == 1 else f"{number} {word}s"
