"""Blocks of text lines become numbers; a cell that cannot be read is refused with its line and column."""

import csv
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from loadhistories.arrow import array_of, pieces_of
from loadhistories.dialect import GAP_WORDS, Dialect, cells_of, is_number
from loadhistories.lines import Block, line_blocks
from loadhistories.survey import survey
from loadhistories.timebase import PADDED, TimeColumn
from loadhistories.validation import InputError

BLOCK_BYTES = 1 << 22

_PARSED_AT_ONCE = 1 << 20
_LOOKED_THROUGH = 64


class Piece(NamedTuple):
    """Some rows of a record.

    `first` is the line or row (from 1) of the first of them, `line_of` that of any of them, counted from 0;
    `times` is None without a time column; `values` has the shape (n_columns, rows) and the file's units.
    """

    first: int
    line_of: Callable[[int], int]
    times: NDArray | None
    values: NDArray[np.float64]
    comments: int = 0
    unfinished: bool = False


@dataclass(frozen=True)
class TextTable:
    """A text file of known dialect."""

    path: Path
    dialect: Dialect
    missing: tuple[str, ...]

    def walk(self, columns: tuple[int, ...], time: TimeColumn | None, size: int | None = None) -> Iterator[Piece]:
        """Yields the rows in blocks of about `size` bytes."""
        reader = RowReader(str(self.path), self.dialect, columns, time, self.missing)
        blocks = line_blocks(
            self.path, offset=self.dialect.offset, first_line=self.dialect.first_line, size=size or BLOCK_BYTES
        )
        for block in blocks:
            times, values = reader.read(block)
            yield Piece(block.line_of(0), block.line_of, times, values, len(block.passed_over), block.unfinished)

    row_word = "line"

    @property
    def names(self) -> tuple[str, ...]:
        """Of all columns."""
        return self.dialect.names

    @property
    def units(self) -> tuple[str | None, ...]:
        """As the file states them."""
        return self.dialect.units

    @property
    def first_cells(self) -> tuple[str, ...]:
        """The first row."""
        return self.dialect.first_cells

    @property
    def description(self) -> str:
        """How the file is read."""
        return str(self.dialect)

    def survey(self) -> tuple[int, str]:
        """Number of rows, counted without reading their cells, and SHA-256 of the stored bytes."""
        return survey(self.path, offset=self.dialect.offset, first_line=self.dialect.first_line)


@dataclass(frozen=True)
class RowReader:
    """Reads the rows of one file.

    Attributes
    ----------
    columns : tuple of int
        Cells (from 0) of a row that are wanted as numbers.
    time : TimeColumn or None
        How the time of a row is read.
    missing : tuple of str
        Texts that mark a gap.
    """

    path: str
    dialect: Dialect
    columns: tuple[int, ...]
    time: TimeColumn | None
    missing: tuple[str, ...] = ()

    def read(self, block: Block) -> tuple[NDArray | None, NDArray[np.float64]]:
        """Times (nanoseconds as int64, or numbers as in the file; None without a time column) and values.

        The values have the shape (n_columns, rows) and the unit of the file.
        """
        import pyarrow as pa

        if not block.data:
            return (None if self.time is None else np.empty(0)), np.empty((len(self.columns), 0))
        try:
            table, times = self._parsed(block.data, block.rows)
        except pa.ArrowInvalid as fault:
            raise self._located(block, str(fault)) from None
        values = np.empty((len(self.columns), table.num_rows))
        for row, column in enumerate(self.columns):
            _copy_column(table.column(str(column)), values[row])
        self._require_sound(values, self.columns, block)
        if self.time is not None and self.time.kind == "number":
            self._require_sound(times[None, :], self.time.columns, block)
        return times, values

    def _parsed(self, data: bytes, lines: int) -> tuple:
        """Columns and times of the rows; raises ArrowInvalid where a cell cannot be read."""
        import pyarrow as pa

        table = self._table(data)
        if table.num_rows != lines:
            raise pa.ArrowInvalid(f"{lines} lines hold {table.num_rows} rows")
        self._require_empty_end(table)
        return table, (None if self.time is None else self._times(table))

    def _table(self, data: bytes):
        from pyarrow import BufferReader
        from pyarrow import csv as arrow_csv

        delimiter = self.dialect.delimiter
        if delimiter == " ":
            data = re.sub(rb"(?m)^[ \t]+|[ \t]+(?=\r?$)", b"", data)
            data, delimiter = re.sub(rb"[ \t]+", b"\t", data), "\t"
        width = len(self.dialect.names)
        types = self._types()
        return arrow_csv.read_csv(
            BufferReader(data),
            arrow_csv.ReadOptions(column_names=[str(i) for i in range(width)], block_size=_PARSED_AT_ONCE),
            arrow_csv.ParseOptions(delimiter=delimiter, ignore_empty_lines=False, newlines_in_values=False),
            arrow_csv.ConvertOptions(
                column_types=types, include_columns=list(types), null_values=[], strings_can_be_null=False,
                decimal_point=self.dialect.decimal, check_utf8=False,
            ),
        )  # fmt: skip

    def _types(self) -> dict:
        import pyarrow as pa

        kinds = {"number": pa.float64(), "stamp": pa.timestamp("ns"), "zoned": pa.timestamp("ns", "UTC")}
        types = {str(column): pa.float64() for column in self.columns}
        if self.time is not None:
            types |= {str(column): kinds.get(self.time.kind, pa.string()) for column in self.time.columns}
        if not self.dialect.names[-1]:
            types[str(len(self.dialect.names) - 1)] = pa.string()
        return types

    def _times(self, table) -> NDArray:
        columns = [table.column(str(column)) for column in self.time.columns]
        if self.time.kind == "number":
            return array_of(columns[0], np.float64)
        stamps = columns[0]
        if self.time.kind == "text":
            import pyarrow as pa
            import pyarrow.compute as pc

            texts = [pc.utf8_trim_whitespace(column) for column in columns]
            joined = texts[0] if len(texts) == 1 else pc.binary_join_element_wise(*texts, " ")
            for pattern in PADDED if self.time.padded else ():
                joined = pc.replace_substring_regex(joined, pattern, r"\10\2\3")
            if self.time.pattern:
                joined = pc.replace_substring_regex(joined, self.time.pattern, self.time.replacement)
            stamps = pc.cast(joined, pa.timestamp("ns"))
        return array_of(stamps, np.int64)

    def _require_empty_end(self, table) -> None:
        if self.dialect.names[-1]:
            return
        import pyarrow as pa
        import pyarrow.compute as pc

        end = pc.utf8_trim_whitespace(table.column(str(len(self.dialect.names) - 1)))
        if not pc.all(pc.equal(end, "")).as_py():
            raise pa.ArrowInvalid("a cell stands beyond the last name")

    def _require_sound(self, values: NDArray, columns: tuple[int, ...], block: Block) -> None:
        """Refuse numbers that are not finite, and numbers that mark a gap."""
        wrong = np.zeros(values.shape, bool)
        sentinels = [float(word.replace(",", ".")) for word in self.missing if is_number(word.replace(",", "."), ".")]
        for sentinel in sentinels:
            wrong |= values == sentinel
        with np.errstate(over="ignore", invalid="ignore"):
            sound = bool(np.isfinite(values.sum()))
        if not sound:
            wrong |= ~np.isfinite(values)
        if not wrong.any():
            return
        row, number = np.argwhere(wrong.T)[0]
        column = columns[number]
        line = block.line_of(int(row))
        cell = self._cells(block.data.split(b"\n")[row], line)[column]
        if np.isfinite(values[number, row]):
            raise self._refusal(f"gap (marked {cell!r})", line, column)
        raise self._refusal(f"number that is not finite ({cell!r})", line, column)

    def _located(self, block: Block, fault: str) -> InputError:
        """The refusal of the first row that cannot be read."""
        lines = block.data.split(b"\n")[:-1]
        low, high = self._narrowed(lines)
        for row in range(low, high):
            line = block.line_of(row)
            if lines[row].count(b'"') % 2:
                return InputError(f"quotation mark that is not closed ({self.path}, line {line})")
            if b"\r" in lines[row].rstrip(b"\r"):
                return InputError(f"carriage return in the middle of a line ({self.path}, line {line})")
            cells = self._cells(lines[row], line)
            end = "; the file ends in the middle of this row" if block.unfinished and row == len(lines) - 1 else ""
            if len(cells) != len(self.dialect.names):
                return self._ragged(len(cells), line, end)
            for column in self._watched():
                if found := self._cell_fault(cells, column):
                    return self._refusal(found + end, line, column)
        return InputError(f"rows cannot be read: {fault[:200]} ({self.path}, from line {block.line_of(low)})")

    def _narrowed(self, lines: list[bytes]) -> tuple[int, int]:
        """Some rows, from low to below high, of which the first faulty one is the first in all lines."""
        import pyarrow as pa

        low, high = 0, len(lines)
        while high - low > _LOOKED_THROUGH:
            middle = (low + high) // 2
            try:
                self._parsed(b"\n".join(lines[low:middle]) + b"\n", middle - low)
                low = middle
            except pa.ArrowInvalid:
                high = middle
        return low, high

    def _cells(self, raw: bytes, line: int) -> list[str]:
        try:
            return cells_of(raw.decode(self.dialect.encoding, errors="replace"), self.dialect.delimiter)
        except csv.Error as fault:
            raise InputError(f"line that cannot be split into cells: {fault} ({self.path}, line {line})") from None

    def _watched(self) -> list[int]:
        ends = [] if self.dialect.names[-1] else [len(self.dialect.names) - 1]
        return sorted({*self.columns, *(self.time.columns if self.time else ()), *ends})

    def _ragged(self, count: int, line: int, end: str) -> InputError:
        width = len(self.dialect.names)
        if count == 0:
            return InputError(f"empty line among the rows ({self.path}, line {line}, column 1)")
        if count < width:
            return self._refusal(f"row has {count} of {width} cells{end}", line, count)
        return InputError(f"row has {count} cells instead of {width} ({self.path}, line {line}, column {width + 1})")

    def _cell_fault(self, cells: list[str], column: int) -> str:
        """What is wrong with one cell, "" if nothing is."""
        cell = cells[column]
        if not self.dialect.names[column]:
            return f"cell {cell!r} beyond the last name" if cell else ""
        if not cell:
            return "gap (empty cell)"
        if cell in self.missing or cell.casefold() in GAP_WORDS:
            return f"gap (marked {cell!r})"
        if self.time is None or column not in self.time.columns or self.time.kind == "number":
            return "" if is_number(cell, self.dialect.decimal) else f"text {cell!r} where a number must stand"
        stamp = " ".join(cells[i] for i in self.time.columns)
        return "" if _is_stamp(self.time.iso(stamp)) else f"text {stamp!r} where a time stamp must stand"

    def _refusal(self, fault: str, line: int, column: int) -> InputError:
        name = self.dialect.names[column]
        return InputError(f"{fault} ({self.path}, line {line}, column {column + 1} {name!r})")


def _copy_column(column, target: NDArray[np.float64]) -> None:
    """Copy the pieces of a parsed column without joining them first."""
    start = 0
    for piece in pieces_of(column, np.float64):
        target[start : start + len(piece)] = piece
        start += len(piece)


def _is_stamp(text: str) -> bool:
    bare = re.sub(r"(Z|[+-]\d{2}:?\d{2})$", "", text) if ":" in text else text
    # A zone that is written otherwise would be passed over by numpy with a warning.
    if not re.fullmatch(r"\d{4}-\d{2}-\d{2}[ T]\d{2}:\d{2}(:\d{2}(\.\d*)?)?", bare):
        return False
    try:
        np.datetime64(bare, "ns")
    except ValueError:
        return False
    return bool(re.match(r"\d{4}-\d{2}-\d{2}[ T]\d{2}:\d{2}", text))
