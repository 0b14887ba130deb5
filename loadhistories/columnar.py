"""Parquet files as records: columns of numbers, decoded page by page and never held whole."""

import operator
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from loadhistories.arrow import array_of
from loadhistories.dialect import split_unit
from loadhistories.rows import Piece
from loadhistories.timebase import TimeColumn
from loadhistories.validation import InputError

CHUNK_ROWS = 1 << 17

_READ_AT_ONCE = 1 << 20


@dataclass(frozen=True)
class ParquetTable:
    """A Parquet file, read by row groups; `names` and `units` are those of all columns."""

    path: Path
    names: tuple[str, ...]
    units: tuple[str | None, ...]
    samples: int
    first_cells: tuple[str, ...]
    keys: tuple[str, ...]
    stamped: tuple[int, ...]
    unreadable: tuple[int, ...]
    missing: tuple[float, ...]
    row_word = "row"
    description = "Parquet"

    def walk(self, columns: tuple[int, ...], time: TimeColumn | None, size: int | None = None) -> Iterator[Piece]:
        """Yields the rows, at most `size` of them at once."""
        import pyarrow as pa
        import pyarrow.parquet as pq

        wanted = tuple(dict.fromkeys([*columns, *(time.columns if time else ())]))
        self._require_numbers(columns)
        row = 1
        try:
            # With pre_buffer every page that was read stays in memory until the file is closed.
            options = {"buffer_size": _READ_AT_ONCE, "pre_buffer": False, "page_checksum_verification": True}
            with pq.ParquetFile(self.path, **options) as file:
                for batch in file.iter_batches(batch_size=size or CHUNK_ROWS, columns=[self.keys[i] for i in wanted]):
                    arrays = [self._numbers(batch, column, row) for column in wanted]
                    values = np.empty((len(columns), batch.num_rows))
                    for i in range(len(columns)):
                        values[i] = arrays[i]
                    times = arrays[wanted.index(time.columns[0])] if time else None
                    self._require_sound(values, times, columns, row)
                    yield Piece(row, partial(operator.add, row), times, values)
                    row += batch.num_rows
        except InputError:
            raise
        except (pa.ArrowException, OSError, ValueError) as fault:
            raise InputError(f"the Parquet file is damaged from row {row}: {fault} ({self.path})") from None
        if row - 1 != self.samples:
            raise InputError(f"the Parquet file states {self.samples} rows and holds {row - 1} ({self.path})")

    def survey(self) -> tuple[int, str]:
        """Number of rows, as the file states it; nothing is read for it."""
        return self.samples, ""

    def _require_numbers(self, columns: tuple[int, ...]) -> None:
        for column in columns:
            if column in self.unreadable or column in self.stamped:
                raise InputError(
                    f"column {self.names[column]!r} holds no numbers: name the columns that are wanted ({self.path})"
                )

    def _require_sound(self, values, times, columns, row) -> None:
        require_sound_rows(values, [self.names[i] for i in columns], row, str(self.path), self.missing)
        if times is not None and times.dtype.kind == "f":
            require_sound_rows(times[None, :], ["time"], row, str(self.path), ())

    def _numbers(self, batch, column: int, row: int) -> NDArray:
        place = f"column {column + 1} {self.names[column]!r}"
        data = batch.column(self.keys[column])
        return column_numbers(data, row, stamped=column in self.stamped, path=str(self.path), column=place)


def parquet_table(path: Path, missing: tuple[float, ...] = ()) -> ParquetTable:
    """The columns of a Parquet file; units stand in its field metadata ("unit") or in brackets in the name."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    try:
        with pq.ParquetFile(path) as file:
            schema, samples = file.schema_arrow, file.metadata.num_rows
            stamped = tuple(i for i, entry in enumerate(schema) if pa.types.is_timestamp(entry.type))
            cells = _first_stamps(file, [schema.names[i] for i in stamped])
            names, units, unreadable = columns_of_schema(schema)
    except (pa.ArrowException, OSError, ValueError) as fault:
        raise InputError(f"the file is no whole Parquet file: {fault} ({path})") from None
    first = tuple(cells.get(name, "") for name in schema.names)
    return ParquetTable(path, names, units, samples, first, tuple(schema.names), stamped, unreadable, missing)


def columns_of_schema(schema) -> tuple[tuple[str, ...], tuple[str | None, ...], tuple[int, ...]]:
    """Names and units of an Arrow schema, and the columns (from 0) that hold neither numbers nor time stamps."""
    import pyarrow as pa

    names, units = [], []
    for entry in schema:
        name, unit = split_unit(entry.name)
        stated = (entry.metadata or {}).get(b"unit", b"").decode("utf-8", errors="replace")
        names.append(name)
        units.append(unit or (stated if stated not in ("", "-") else None))
    sound = (pa.types.is_integer, pa.types.is_floating, pa.types.is_decimal, pa.types.is_timestamp)
    unreadable = tuple(i for i, entry in enumerate(schema) if not any(test(entry.type) for test in sound))
    return tuple(names), tuple(units), unreadable


def column_numbers(data, row: int, *, stamped: bool, path: str, column: str) -> NDArray:
    """Numbers of an Arrow array, time stamps as nanoseconds; a gap is refused with its row and column."""
    import pyarrow as pa
    import pyarrow.compute as pc

    if data.null_count:
        gap = row + int(np.argmax(pc.is_null(data).to_numpy(zero_copy_only=False)))
        raise InputError(f"gap (empty cell) ({path}, row {gap}, {column})")
    if stamped:
        return array_of(data.cast(pa.timestamp("ns")), np.int64)
    return array_of(data.cast(pa.float64()), np.float64)


def _first_stamps(file, keys: list[str]) -> dict[str, str]:
    """Text of the first time stamp of each of these columns."""
    import pyarrow as pa

    batch = next(file.iter_batches(batch_size=1, columns=keys), None) if keys else None
    if batch is None or not batch.num_rows:
        return {}
    found = {key: batch.column(key)[0].cast(pa.timestamp("ns")) for key in keys}
    return {key: str(np.datetime64(stamp.value, "ns")) for key, stamp in found.items() if stamp.is_valid}


def require_sound_rows(
    values: NDArray[np.float64], names: list[str], first_row: int, path: str, missing: tuple[float, ...]
) -> None:
    """Refuse a value that is not finite or marks a gap, with its row and column."""
    wrong = np.isin(values, missing) if missing else np.zeros((), bool)
    with np.errstate(over="ignore", invalid="ignore"):
        if not np.isfinite(values.sum()):
            wrong = wrong | ~np.isfinite(values)
    if not wrong.any():
        return
    row, column = np.argwhere(wrong.T)[0]
    value = float(values[column, row])
    fault = f"gap (marked {value:g})" if np.isfinite(value) else f"number that is not finite ({value})"
    raise InputError(f"{fault} ({path}, row {first_row + row}, column {names[column]!r})")
