"""The time column of a record: which one it is, how its stamps are read, and whether it runs evenly."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from loadhistories.dialect import STAMP
from loadhistories.units import base_unit_of, unit_scale
from loadhistories.validation import InputError, require_one_of

JITTER = 0.25
SHORTEST, LONGEST = 0.5, 1.5
MEAN_AGREES = 1e-3

_TIME_NAMES = re.compile(
    r"(rel(ative)?[ ._]?|abs(olute)?[ ._]?|elapsed[ ._]?)?(time|zeit|date[ /_+-]?time|date|datum|time ?stamps?|temps|t|"
    r"sec(onds?)?)([ ._/-]?(\d|s|ms|utc|local))?",
    re.IGNORECASE,
)
_CLOCK = r"(\d{2}:\d{2}(?::\d{2}(?:[.,]\d{1,9})?)?)"
_ISO = re.compile(r"\d{4}-\d{2}-\d{2}[ T]\d{2}:\d{2}(:\d{2}(\.\d{1,9})?)?")
_ZONED = re.compile(_ISO.pattern + r"(Z|[+-]\d{2}:?\d{2})")
_FORMAT_PARTS = {
    "%Y": r"(\d{4})", "%m": r"(\d{2})", "%d": r"(\d{2})", "%H": r"(\d{2})", "%M": r"(\d{2})", "%S": r"(\d{2})",
    "%f": r"(\d{1,9})", "%y": r"(\d{2})", "%-m": r"(\d{2})", "%-d": r"(\d{2})", "%-H": r"(\d{2})",
}  # fmt: skip
# A number of one digit that is no fraction gets a zero in front: what stands before it, the digit, what is behind.
PADDED = (r"(^|[ T/:-])(\d)(\b)", r"(\.)(\d)(\.)")
_NO_DATE = "2000-01-01"
_HOUR, _DAY = 3_600 * 10**9, 86_400 * 10**9


@dataclass(frozen=True)
class TimeColumn:
    """How the time of a row is read.

    Attributes
    ----------
    columns : tuple of int
        Cells (from 0) that hold it: one, or a date and a clock.
    kind : str
        "number", "stamp" (ISO 8601), "zoned" (ISO 8601 with offset from UTC) or "text" (rewritten to ISO 8601).
    scale : float
        Seconds of one unit: of the column's number, or of a stamp's count of nanoseconds.
    pattern, replacement : str
        Rewriting of a "text" stamp.
    remark : str
        What was assumed.
    padded : bool
        Whether numbers of one digit get a zero in front before the rewriting.
    """

    columns: tuple[int, ...]
    kind: str
    scale: float
    pattern: str = ""
    replacement: str = ""
    remark: str = ""
    padded: bool = False

    def iso(self, text: str) -> str:
        """One stamp, rewritten to ISO 8601."""
        if self.kind != "text":
            return text
        return re.sub(self.pattern, self.replacement, self.filled(text))

    def filled(self, text: str) -> str:
        """One stamp with a zero in front of numbers of one digit, where these may occur."""
        found = text.strip()
        for pattern in PADDED if self.padded else ():
            found = re.sub(pattern, r"\g<1>0\2\3", found)
        return found

    def shown(self, time: float) -> str:
        """A time of this column as text."""
        if self.kind == "number":
            return f"{time:.12g}"
        text = str(np.datetime64(int(time), "ns")).rstrip("0").rstrip(".").replace("T", " ")
        return text.removeprefix(f"{_NO_DATE} ") if _NO_DATE in self.replacement else text


def find_time_column(
    names, units, first_cells, *, time_column: str | None, date_format: str | None, path: str
) -> TimeColumn | None:
    """The time column of a table; None if it has none, or if `time_column` is "".

    Parameters
    ----------
    names, units, first_cells : sequences
        Of every cell of a row.
    time_column : str or None
        Its name where the user gives it; "" reads none.
    date_format : str or None
        Of stamps that are not ISO 8601, from %Y %m %d %H %M %S %f.

    Raises
    ------
    InputError
        Two columns would do; a stamp leaves day and month open; the format does not fit.
    """
    if time_column == "":
        return None
    if time_column is not None:
        index = names.index(require_one_of(time_column, [name for name in names if name], "time_column", place=path))
    else:
        index = _likely_column(names, units, first_cells, path)
        if index is None:
            return None
    cell = first_cells[index]
    if STAMP.fullmatch(cell):
        return _stamps(first_cells, index, date_format, names[index], path)
    if units[index] is None:
        remark = f"assumed: column {names[index]!r} is in s, as its unit is not stated"
        return TimeColumn((index,), "number", 1.0, remark=remark)
    return TimeColumn((index,), "number", unit_scale(units[index], "s", f"unit of {names[index]!r}", path))


def step_from(given: float | None, head: NDArray, watch: "StepWatch", lines: Sequence[int]) -> float:
    """Step of a record from the times of its first rows and the lines they stand in. [s]

    The median of their steps; their mean where that differs by more than one in a thousand, as when stamps are
    printed too coarsely for the rate. A step that was given must agree within one in a hundred.
    """
    steps, column = np.diff(head), watch.column
    median = float(np.median(steps))
    if median <= 0.0:
        watch.feed(head, lines.__getitem__)
    mean = float(head[-1] - head[0]) / steps.size
    even = SHORTEST * median <= steps.min() and steps.max() <= LONGEST * median
    raw = mean if even and abs(mean - median) > MEAN_AGREES * median else median
    found = float(f"{raw * column.scale:.9g}")
    if given is None:
        return found
    if abs(given - found) > 0.01 * found:
        raise InputError(
            f"the step of {given:g} s that was given disagrees with the {found:g} s of the time column: "
            f'leave it out, or set time_column = "" ({watch.path})'
        )
    return given


@dataclass
class StepWatch:
    """Follows the times of a record from chunk to chunk and refuses what does not run evenly.

    `step` is in the units of the time column.
    """

    step: float
    column: TimeColumn
    name: str
    path: str
    row_word: str = "line"
    last: float | None = None
    first: float | None = None
    count: int = 0
    shortest: float = field(default=np.inf)
    longest: float = field(default=-np.inf)
    uneven: int = 0

    @property
    def _least(self) -> float:
        return SHORTEST * self.step * (1 - 1e-6)

    @property
    def _most(self) -> float:
        return LONGEST * self.step * (1 + 1e-6)

    def feed(self, times: NDArray, line_of: Callable[[int], int]) -> None:
        """Take the times of the next rows; `line_of` tells the line of a row counted from 0."""
        if not times.size:
            return
        joined = times if self.last is None else np.concatenate((np.array([self.last], times.dtype), times))
        steps = np.diff(joined)
        if self.first is None:
            self.first = times[0]
        if steps.size:
            low, high = steps.min(), steps.max()
            if low < self._least or high > self._most:
                self._refuse(joined, steps, line_of, times.size)
            self.shortest, self.longest = min(self.shortest, low), max(self.longest, high)
            if low < (1.0 - JITTER) * self.step or high > (1.0 + JITTER) * self.step:
                self.uneven += int(np.count_nonzero(np.abs(steps - self.step) > JITTER * self.step))
        self.last = times[-1]
        self.count += times.size

    def remarks(self) -> tuple[str, ...]:
        """What is to be said of the time base after the last row."""
        scale, found = self.column.scale, []
        if self.count < 2:
            return ()
        mean = (self.last - self.first) / (self.count - 1) * scale
        step, low, high = self.step * scale, self.shortest * scale, self.longest * scale
        if high - low > 1e-3 * step:
            beyond = f"; {self.uneven} of them differ by more than {JITTER:.0%}" if self.uneven else ""
            found.append(
                f"time steps run from {low:.4g} to {high:.4g} s around {step:.6g} s and are taken as even{beyond}"
            )
        if abs(mean - step) > MEAN_AGREES * step:
            found.append(f"the mean step is {mean:.6g} s, the step taken is {step:.6g} s")
        return tuple(found)

    def _refuse(self, joined, steps, line_of, rows) -> None:
        index = int(np.argmax((steps < self._least) | (steps > self._most)))
        line = line_of(index + 1 - (joined.size - rows))
        before, after = self.column.shown(joined[index]), self.column.shown(joined[index + 1])
        step, scale = steps[index], self.column.scale
        even = f"{self.step * scale:.6g} s"
        if step == 0:
            fault = f"time stands still at {after}"
        elif step < 0:
            fault = f"time runs backwards by {-step * scale:.6g} s, from {before} to {after}"
        elif self.column.kind != "number" and _swapped(int(joined[index]), int(joined[index + 1])):
            raise InputError(
                f"day and month are swapped: {before} is followed by {after}; give date_format with %d and %m the "
                f"other way round ({self.path}, {self.row_word} {line})"
            )
        elif step > self._most:
            fault = f"gap of {step * scale:.6g} s in steps of {even}, from {before} to {after}"
        else:
            fault = f"time step of {step * scale:.6g} s among steps of {even}, from {before} to {after}"
        place = f"{self.path}, {self.row_word} {line}, column {self.column.columns[0] + 1} {self.name!r}"
        raise InputError(f"{fault}: cut the record there ({place})")


def _swapped(before: int, after: int) -> bool:
    """Whether midnight leads to the same day of the next month, as where day and month are read the wrong way."""
    (last, clock), (new, morning) = ((stamp // _DAY, stamp % _DAY) for stamp in (before, after))
    if clock < 23 * _HOUR or morning >= _HOUR:
        return False
    year, month, day = str(np.datetime64(last, "D")).split("-")
    return day <= "12" and str(np.datetime64(new, "D")) == f"{year}-{int(month) + 1:02d}-{day}"


def _likely_column(names, units, first_cells, path: str) -> int | None:
    """The one column that holds stamps, or is called time and measured in time."""
    stamped = [i for i, cell in enumerate(first_cells) if STAMP.fullmatch(cell)]
    if len(stamped) == 2 and stamped[1] == stamped[0] + 1 and ":" not in first_cells[stamped[0]]:
        return stamped[0]
    if len(stamped) > 1:
        raise InputError(
            f"columns {' and '.join(repr(names[i]) for i in stamped)} hold time stamps: give time_column ({path})"
        )
    if stamped:
        return stamped[0]
    called = [i for i, name in enumerate(names) if name and _TIME_NAMES.fullmatch(name)]
    called = [i for i in called if units[i] is None or _is_time(units[i])]
    called = called or [i for i, unit in enumerate(units) if i == 0 and unit and _is_time(unit)]
    if len(called) > 1:
        raise InputError(
            f"columns {' and '.join(repr(names[i]) for i in called)} could be the time: give time_column ({path})"
        )
    return called[0] if called else None


def _is_time(unit: str) -> bool:
    try:
        return base_unit_of(unit) == "s"
    except InputError:
        return False


def _stamps(first_cells, index: int, date_format: str | None, name: str, path: str) -> TimeColumn:
    """Reading of stamps, judged by the first one."""
    cell, columns = first_cells[index], (index,)
    after = first_cells[index + 1] if index + 1 < len(first_cells) else ""
    if ":" not in cell and re.fullmatch(_CLOCK, after):
        cell, columns = f"{cell} {after}", (index, index + 1)
    if date_format is not None:
        pattern, replacement = _rewriting(date_format, path)
        time = TimeColumn(columns, "text", 1e-9, f"^{pattern}$", replacement, padded="%-" in date_format)
        if not re.fullmatch(pattern, time.filled(cell)):
            hint = "" if time.padded else "; of numbers without leading zero write %-d, %-m, %-H"
            raise InputError(
                f"time stamp {cell!r} does not fit date_format {date_format!r}{hint} ({path}, column {name!r})"
            )
        return time
    if len(columns) == 1 and _ISO.fullmatch(cell):
        return TimeColumn(columns, "stamp", 1e-9)
    if len(columns) == 1 and _ZONED.fullmatch(cell):
        return TimeColumn(columns, "zoned", 1e-9)
    if re.fullmatch(_CLOCK, cell):
        comma = r"^(\d{2}:\d{2}:\d{2}),(\d{1,9})$", rf"{_NO_DATE} \1.\2"
        point = r"^(\d{2}:.*)$", rf"{_NO_DATE} \1"
        return TimeColumn(columns, "text", 1e-9, *(comma if "," in cell else point))
    if _ISO.fullmatch(cell.replace(",", ".")):
        return TimeColumn(columns, "text", 1e-9, r"^(\d{4}-\d{2}-\d{2}[ T]\d{2}:\d{2}:\d{2})[.,](\d{1,9})$", r"\1.\2")
    raise InputError(
        f"the time stamp {cell!r} leaves open what is day and month: give date_format, such as "
        f"\"%d/%m/%Y %H:%M:%S\" or \"%m/%d/%Y %H:%M:%S.%f\" ({path}, column {name!r})"
    )


def _rewriting(date_format: str, path: str) -> tuple[str, str]:
    """Pattern of a stamp and its replacement in ISO 8601."""
    pattern, order = "", []
    for part in re.findall(r"%-?.|[^%]+|%", date_format):
        if part in _FORMAT_PARTS:
            pattern += _FORMAT_PARTS[part]
            order.append(part[-1])
        elif part.startswith("%"):
            raise InputError(f"date_format part {part!r} is unknown; known: {' '.join(_FORMAT_PARTS)} ({path})")
        else:
            pattern += re.escape(part)
    group = {letter: rf"\{order.index(letter) + 1}" for letter in order}
    if "y" in group and "Y" not in group:
        group["Y"] = f"20{group['y']}"
    if not {"Y", "m", "d", "H", "M", "S"} <= set(group) or len(order) != len(set(order)) or {"y", "Y"} <= set(order):
        raise InputError(f"date_format must hold %Y %m %d %H %M %S once each, got {date_format!r} ({path})")
    fraction = f".{group['f']}" if "f" in group else ""
    return pattern, "{Y}-{m}-{d} {H}:{M}:{S}".format(**group) + fraction
