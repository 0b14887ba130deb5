"""RawRecord: a record as it was written, gaps and uneven time included, held in memory.

Faults are looked for in it (`loadhistories.cleaning.find_faults`) and it is made sound from it (`treat`); everything
else works on a LoadHistory, which is sound.
"""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from loadhistories.history import LoadHistory, Provenance, require_bounded
from loadhistories.reading import open_record
from loadhistories.record import Record
from loadhistories.units import BASE_UNITS, unit_scale
from loadhistories.validation import InputError

MOST_VALUES = 40_000_000


@dataclass(frozen=True, eq=False)
class RawRecord:
    """Channels of one record as they were written.

    Attributes
    ----------
    names, units, stated_units : tuples
        Of the channels, as in LoadHistory.
    scales : tuple of float
        From the file's unit of each channel to its base unit.
    values : array, shape (n_channels, n)
        In base units; NaN where the file holds a gap.
    times : array, shape (n,), or None
        From the first row, as the file states them; None without a time column. [s]
    lines : array, shape (n,), of int
        Line or row of the file of each sample, from 1.
    step : float
        Time between two samples, as most of the first rows have it. [s]
    source : Provenance or None
        None for a part of a file, and for what was not read from one.
    remarks : tuple of str
        What the reader assumed.
    row_word : str
        What `lines` counts: "line" or "row".
    whole : bool
        Whether these are all rows of the file.
    start : str
        Text of the first time stamp, "" where there is none.
    understood_as : str
        How the file was read, in words.
    """

    names: tuple[str, ...]
    units: tuple[str | None, ...]
    stated_units: tuple[str | None, ...]
    scales: tuple[float, ...]
    values: NDArray[np.float64]
    times: NDArray[np.float64] | None
    lines: NDArray[np.int64]
    step: float
    source: Provenance | None = None
    remarks: tuple[str, ...] = ()
    path: str = ""
    row_word: str = "row"
    whole: bool = True
    start: str = ""
    understood_as: str = ""

    @property
    def samples(self) -> int:
        """Number of rows."""
        return self.values.shape[1]

    def time_of(self, sample: int) -> float:
        """Time of a sample counted from 0, from the first row. [s]"""
        return float(sample * self.step if self.times is None else self.times[sample])

    def shown(self, channel: str, value: float, digits: int = 6) -> str:
        """A number of a channel in the unit that its file states."""
        place = self.names.index(channel)
        unit = self.stated_units[place]
        return f"{value / self.scales[place]:.{digits}g} {unit or ''}".rstrip()

    def place(self, sample: int) -> str:
        """Where a sample counted from 0 stands, for a refusal."""
        return f"{self.path}, {self.row_word} {self.lines[sample]}" if self.path else f"sample {sample + 1}"


def read_raw(path: str | Path, *, cut_short: bool = False, **dialect) -> RawRecord:
    """A record as it was written; see `loadhistories.reading.open_record` for the dialect.

    Parameters
    ----------
    cut_short : bool
        Take the first rows of a record that is too long to be held, instead of refusing it.

    Raises
    ------
    InputError
        The file is no record, holds text or ragged rows, or is too long.
    """
    record = open_record(path, with_gaps=True, **dialect)
    pieces, rows, whole = [], 0, True
    for piece in record.table.walk(record.columns, record.time, record.block_size):
        if not piece.values.shape[1]:
            continue
        pieces.append(piece)
        rows += piece.values.shape[1]
        if rows * len(record.names) > MOST_VALUES:
            if not cut_short:
                raise InputError(
                    f"the record holds more than {MOST_VALUES // len(record.names)} rows of {len(record.names)} "
                    f"channels, too many to be held for cleaning: name fewer columns, or cut it ({path})"
                )
            whole = False
            break
    values = np.concatenate([piece.values for piece in pieces], axis=1)
    require_bounded(values, record.names, str(path))
    values *= np.array(record.scales)[:, None]
    lines = np.concatenate([_lines_of(piece) for piece in pieces])
    return RawRecord(
        record.names, record.units, record.stated_units, record.scales, values, _seconds(record, pieces), lines,
        record.step, record.source if whole else None, record.assumed, str(path), record.table.row_word, whole,
        record.start, record.table.description,
    )  # fmt: skip


def raw_of(history: LoadHistory) -> RawRecord:
    """A history that is sound already, to look for faults in it."""
    scales = tuple(
        unit_scale(stated, unit) if unit in BASE_UNITS and stated is not None else 1.0
        for unit, stated in zip(history.units, history.stated_units, strict=True)
    )
    source = history.source
    first = source.first_line if source else 1
    return RawRecord(
        history.names, history.units, history.stated_units, scales, history.values, None,
        first + np.arange(history.samples), history.step, source, history.remarks,
        start=source.start if source else "", understood_as=source.dialect if source else "",
    )  # fmt: skip


def _lines_of(piece) -> NDArray[np.int64]:
    count = piece.values.shape[1]
    if not piece.comments:
        return piece.line_of(0) + np.arange(count)
    return np.array([piece.line_of(row) for row in range(count)])


def _seconds(record: Record, pieces: list) -> NDArray[np.float64] | None:
    """Times from the first row on; whole nanoseconds are subtracted as such."""
    if record.time is None:
        return None
    times = np.concatenate([piece.times for piece in pieces])
    return (times - times[0]) * record.time.scale
