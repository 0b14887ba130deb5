"""NumPy files (.npy) as records: read piece by piece, so that neither memory nor mapped pages grow with the file."""

import operator
import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from tokenize import TokenError

import numpy as np
from numpy.lib import format as npy
from numpy.typing import NDArray

from loadhistories.columnar import CHUNK_ROWS, require_sound_rows
from loadhistories.dialect import split_unit
from loadhistories.identity import unreadable
from loadhistories.rows import Piece
from loadhistories.timebase import TimeColumn
from loadhistories.validation import InputError

_MOST_BYTES = 1 << 26
_HEADERS = {(1, 0): npy.read_array_header_1_0, (2, 0): npy.read_array_header_2_0}


@dataclass(frozen=True)
class ArrayTable:
    """A NumPy file of shape (n,) or (n, channels).

    `dtype`, `offset` and `by_column` tell of what kind its numbers are, at which byte they start, and whether each
    channel stands in one piece.
    """

    path: Path
    names: tuple[str, ...]
    units: tuple[str | None, ...]
    samples: int
    missing: tuple[float, ...]
    dtype: np.dtype
    offset: int
    by_column: bool
    row_word = "row"
    description = "NumPy array"

    @property
    def first_cells(self) -> tuple[str, ...]:
        """Nothing: an array holds no text."""
        return ("",) * len(self.names)

    def survey(self) -> tuple[int, str]:
        """Number of rows, as the file states it; nothing is read for it."""
        return self.samples, ""

    def walk(self, columns: tuple[int, ...], time: TimeColumn | None, size: int | None = None) -> Iterator[Piece]:
        """Yields the rows, at most `size` of them at once."""
        wanted = [*columns, *(time.columns if time else ())]
        names = [*(self.names[i] for i in columns), *("time" for _ in wanted[len(columns) :])]
        most = max(1, _MOST_BYTES // (len(self.names) * self.dtype.itemsize))
        size = min(size or CHUNK_ROWS, most)
        try:
            with open(self.path, "rb", buffering=0) as file:
                for start in range(0, self.samples, size):
                    values = self._read(file, wanted, start, min(size, self.samples - start))
                    require_sound_rows(values, names, start + 1, str(self.path), self.missing)
                    times = values[len(columns)] if time else None
                    yield Piece(start + 1, partial(operator.add, start + 1), times, values[: len(columns)])
        except OSError as fault:
            raise unreadable(self.path, fault) from None

    def _read(self, file, wanted: list[int], start: int, rows: int) -> NDArray[np.float64]:
        """Some rows of the wanted columns, shape (n_wanted, rows)."""
        values, width = np.empty((len(wanted), rows)), len(self.names)
        with np.errstate(over="ignore"):
            if not self.by_column:
                table = self._numbers(file, start * width, rows * width, start).reshape(rows, width)
                for row, column in enumerate(wanted):
                    values[row] = table[:, column]
                return values
            for row, column in enumerate(wanted):
                values[row] = self._numbers(file, column * self.samples + start, rows, start)
        return values

    def _numbers(self, file, first: int, count: int, start: int) -> NDArray:
        file.seek(self.offset + first * self.dtype.itemsize)
        numbers = np.fromfile(file, self.dtype, count)
        if numbers.size < count:
            raise InputError(f"the array was cut short while it was read ({self.path}, from row {start + 1})")
        return numbers


def array_table(path: Path, names: tuple[str, ...] | None, missing: tuple[float, ...] = ()) -> ArrayTable:
    """The channels of a NumPy file, named "column 1" onwards unless names are given."""
    shape, by_column, dtype, offset = _header(path)
    if dtype.kind not in "iuf" or len(shape) not in (1, 2) or 0 in shape:
        raise InputError(
            f"the array must hold real numbers in the shape (samples,) or (samples, channels), got "
            f"{dtype} {shape} ({path})"
        )
    samples, width = shape if len(shape) == 2 else (shape[0], 1)
    _require_whole(path, samples, width, dtype.itemsize, offset, by_column)
    if names is not None and len(names) != width:
        raise InputError(f"{len(names)} names are given for {width} columns ({path})")
    names = tuple(names) if names is not None else tuple(f"column {i + 1}" for i in range(width))
    split = [split_unit(name) for name in names]
    return ArrayTable(
        path, tuple(name for name, _ in split), tuple(unit for _, unit in split), samples, missing, dtype, offset,
        by_column,
    )  # fmt: skip


def _header(path: Path) -> tuple[tuple[int, ...], bool, np.dtype, int]:
    """Shape, whether it stands column by column, kind of number, and byte at which the numbers start."""
    try:
        with open(path, "rb") as file:
            version = npy.read_magic(file)
            if version not in _HEADERS:
                raise InputError(f"the NumPy file has the format {version}; known: 1.0 and 2.0 ({path})")
            with warnings.catch_warnings():
                # A header of Python 2 is read as well; that it takes a little longer is nothing to tell.
                warnings.simplefilter("ignore", UserWarning)
                return *_HEADERS[version](file), file.tell()
    except (ValueError, EOFError, SyntaxError, TypeError, RecursionError, TokenError) as fault:
        if isinstance(fault, InputError):
            raise
        told = "its header cannot be read" if "<ast." in str(fault) else fault
        raise InputError(f"the file is no whole NumPy array of numbers: {told} ({path})") from None
    except OSError as fault:
        raise unreadable(path, fault) from None


def _require_whole(path: Path, samples: int, width: int, itemsize: int, offset: int, by_column: bool) -> None:
    """Refuse an array that is shorter or longer than its header states."""
    stated, held = samples * width * itemsize, max(path.stat().st_size - offset, 0)
    if held < stated:
        numbers = held // itemsize
        row, column = (numbers % samples, numbers // samples) if by_column else (numbers // width, numbers % width)
        raise InputError(
            f"the file is no whole NumPy array: its header states {samples} rows in {stated} bytes, and {held} bytes "
            f"stand behind it ({path}, cut short in row {row + 1}, column {column + 1})"
        )
    if held > stated:
        raise InputError(
            f"{held - stated} bytes stand behind the {samples} rows of the array: save one array in a file ({path})"
        )
