"""TableWithGaps: the rows of a file with its gaps in them, each as a value that is not a number.

For those who look for faults. Text where a number must stand, ragged rows and gaps in the time stay refused.
"""

import operator
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import NDArray

from loadhistories.arrays import ArrayTable
from loadhistories.columnar import CHUNK_ROWS, ParquetTable
from loadhistories.dialect import GAP_WORDS, cells_of, is_number
from loadhistories.lines import Block, line_blocks
from loadhistories.rows import BLOCK_BYTES, Piece, RowReader, TextTable
from loadhistories.timebase import TimeColumn
from loadhistories.validation import InputError

_PARTS = 16
_READ_CELL_BY_CELL = 64


@dataclass(frozen=True)
class TableWithGaps:
    """A table as of `loadhistories.record.Table`, whose walk gives gaps as NaN.

    Of text, Parquet and NumPy files; other formats are walked as they are, and refuse a gap.
    """

    table: object

    @property
    def names(self) -> tuple[str, ...]:
        """Of all columns."""
        return self.table.names

    @property
    def units(self) -> tuple[str | None, ...]:
        """As the file states them."""
        return self.table.units

    @property
    def first_cells(self) -> tuple[str, ...]:
        """The first row as text."""
        return self.table.first_cells

    @property
    def row_word(self) -> str:
        """What rows are counted in."""
        return self.table.row_word

    @property
    def description(self) -> str:
        """How the file is read."""
        return self.table.description

    def survey(self) -> tuple[int, str]:
        """Number of rows and, where the file was read for it, its SHA-256."""
        return self.table.survey()

    def walk(self, columns: tuple[int, ...], time: TimeColumn | None, size: int | None = None) -> Iterator[Piece]:
        """Yields the rows."""
        if isinstance(self.table, TextTable):
            return _text(self.table, columns, time, size)
        if isinstance(self.table, ParquetTable):
            return _parquet(self.table, columns, time, size)
        if isinstance(self.table, ArrayTable):
            return _array(self.table, columns, time)
        return self.table.walk(columns, time, size)


def _text(table: TextTable, columns: tuple[int, ...], time: TimeColumn | None, size: int | None) -> Iterator[Piece]:
    reader = RowReader(str(table.path), table.dialect, columns, time, table.missing)
    blocks = line_blocks(
        table.path, offset=table.dialect.offset, first_line=table.dialect.first_line, size=size or BLOCK_BYTES
    )
    for block in blocks:
        yield from _pieces(reader, block)


def _pieces(reader: RowReader, block: Block) -> Iterator[Piece]:
    """The rows of a block: read at once where nothing is amiss, else in ever smaller parts."""
    try:
        times, values = reader.read(block)
    except InputError:
        if block.rows > _READ_CELL_BY_CELL:
            for part in _split(block):
                yield from _pieces(reader, part)
            return
        times, values = _cell_by_cell(reader, block)
    yield Piece(block.line_of(0), block.line_of, times, values, len(block.passed_over), block.unfinished)


def _split(block: Block) -> Iterator[Block]:
    lines = block.data.split(b"\n")[:-1]
    length = max(_READ_CELL_BY_CELL, -(-len(lines) // _PARTS))
    for start in range(0, len(lines), length):
        part = lines[start : start + length]
        last = start + length >= len(lines)
        data = b"\n".join(part) + b"\n"
        yield Block(block.first_line + start, data, len(part), block.passed_over, block.unfinished and last)


def _cell_by_cell(reader: RowReader, block: Block) -> tuple[NDArray | None, NDArray[np.float64]]:
    """Times and values of few rows, of which a cell is a gap."""
    times = None
    if reader.time is not None:
        times, _ = RowReader(reader.path, reader.dialect, (), reader.time).read(block)
    lines = block.data.split(b"\n")[:-1]
    values = np.empty((len(reader.columns), len(lines)))
    for row, column in enumerate(reader.columns):
        alone = RowReader(reader.path, reader.dialect, (column,), None, reader.missing)
        for place, line in enumerate(lines):
            values[row, place] = _cell(alone, line, Block(block.line_of(place), line + b"\n", 1, (), False))
    return times, values


def _cell(reader: RowReader, line: bytes, block: Block) -> float:
    """One cell as a number; NaN where it is a gap."""
    cells = cells_of(line.decode(reader.dialect.encoding, errors="replace"), reader.dialect.delimiter)
    (column,) = reader.columns
    if len(cells) == len(reader.dialect.names):
        cell = cells[column]
        if not cell or cell in reader.missing or cell.casefold() in GAP_WORDS:
            return np.nan
        if is_number(cell, reader.dialect.decimal):
            number = float(cell.replace(",", "."))
            return np.nan if not np.isfinite(number) or number in _numbers(reader.missing) else number
    return float(reader.read(block)[1][0, 0])


def _numbers(marks: tuple[str, ...]) -> list[float]:
    points = [mark.replace(",", ".") for mark in marks]
    return [float(mark) for mark in points if is_number(mark, ".")]


def _parquet(table: ParquetTable, columns, time: TimeColumn | None, size: int | None) -> Iterator[Piece]:
    import pyarrow as pa
    import pyarrow.parquet as pq

    row = 1
    for column in columns:
        if column in table.unreadable or column in table.stamped:
            raise InputError(
                f"column {table.names[column]!r} holds no numbers: name the columns that are wanted ({table.path})"
            )
    times = time.columns[:1] if time else ()
    keys = [table.keys[i] for i in dict.fromkeys((*columns, *times))]
    with pq.ParquetFile(table.path, pre_buffer=False) as file:
        for batch in _batches(table, file, size or CHUNK_ROWS, keys):
            cells = {key: batch.column(key) for key in keys}
            values = np.empty((len(columns), batch.num_rows))
            for place, column in enumerate(columns):
                numbers = cells[table.keys[column]].cast(pa.float64()).to_numpy(zero_copy_only=False)
                values[place] = _without_marks(numbers, table.missing)
            stamps = None
            for column in times:
                data = cells[table.keys[column]]
                if data.null_count:
                    raise InputError(f"gap in the time ({table.path}, from row {row})")
                stamps = (
                    data.cast(pa.timestamp("ns")).cast(pa.int64()).to_numpy() if column in table.stamped
                    else data.cast(pa.float64()).to_numpy(zero_copy_only=False)
                )  # fmt: skip
            yield Piece(row, partial(operator.add, row), stamps, values)
            row += batch.num_rows


def _batches(table: ParquetTable, file, size: int, keys: list[str]) -> Iterator:
    """Batches of a Parquet file; a damaged one is refused."""
    import pyarrow as pa

    batches = file.iter_batches(batch_size=size, columns=keys)
    while True:
        try:
            batch = next(batches, None)
        except (pa.ArrowException, OSError, ValueError) as fault:
            raise InputError(f"the Parquet file is damaged: {fault} ({table.path})") from None
        if batch is None:
            return
        yield batch


def _array(table: ArrayTable, columns, time: TimeColumn | None) -> Iterator[Piece]:
    stored = np.load(table.path, mmap_mode="r", allow_pickle=False).reshape(table.samples, len(table.names))
    for start in range(0, table.samples, CHUNK_ROWS):
        part = stored[start : start + CHUNK_ROWS].astype(float)
        values = np.array([_without_marks(part[:, column], table.missing) for column in columns])
        times = part[:, time.columns[0]] if time else None
        if times is not None and not np.isfinite(times).all():
            raise InputError(f"gap in the time ({table.path}, from row {start + 1})")
        yield Piece(start + 1, partial(operator.add, start + 1), times, values)


def _without_marks(numbers: NDArray, marks: tuple[float, ...]) -> NDArray[np.float64]:
    found = np.array(numbers, float)
    found[~np.isfinite(found) | np.isin(found, marks)] = np.nan
    return found
