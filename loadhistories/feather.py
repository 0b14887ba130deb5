"""Arrow IPC files (Feather version 2) and streams as records: batch after batch, never held whole.

A file is read as the stream that it embeds; how many rows a batch states is known before it is unpacked.
"""

import operator
import struct
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from loadhistories.columnar import CHUNK_ROWS, column_numbers, columns_of_schema, require_sound_rows
from loadhistories.rows import Piece
from loadhistories.timebase import TimeColumn
from loadhistories.validation import InputError

MAGIC = b"ARROW1"
# Rows that one batch may hold: it is unpacked whole.
MOST_ROWS = 1 << 24

_BEFORE_STREAM = 8


@dataclass(frozen=True)
class ArrowTable:
    """An Arrow file or stream; `names` and `units` are those of all columns."""

    path: Path
    names: tuple[str, ...]
    units: tuple[str | None, ...]
    samples: int
    first_cells: tuple[str, ...]
    stamped: tuple[int, ...]
    unreadable: tuple[int, ...]
    missing: tuple[float, ...]
    row_word = "row"
    description = "Arrow"

    def survey(self) -> tuple[int, str]:
        """Number of rows, as the batches state it."""
        return self.samples, ""

    def walk(self, columns: tuple[int, ...], time: TimeColumn | None, size: int | None = None) -> Iterator[Piece]:
        """Yields the rows, at most `size` of them at once."""
        import pyarrow as pa

        self._require_numbers(columns)
        wanted = sorted({*columns, *(time.columns if time else ())})
        row = 1
        try:
            with pa.OSFile(str(self.path)) as file:
                # Only the wanted columns are unpacked.
                reader = pa.ipc.open_stream(_at_stream(file), options=pa.ipc.IpcReadOptions(included_fields=wanted))
                for whole in reader:
                    # Buffers as long as the rows ask for; nothing else looks at that.
                    whole.validate()
                    for start in range(0, whole.num_rows, size or CHUNK_ROWS):
                        batch = whole.slice(start, size or CHUNK_ROWS)
                        yield self._piece(batch, wanted, columns, time, row)
                        row += batch.num_rows
        except InputError:
            raise
        except (pa.ArrowException, OSError, ValueError) as fault:
            raise InputError(f"the Arrow file is damaged from row {row}: {fault} ({self.path})") from None
        if row - 1 != self.samples:
            raise InputError(f"the Arrow file states {self.samples} rows and holds {row - 1} ({self.path})")

    def _piece(self, batch, wanted: list[int], columns, time: TimeColumn | None, row: int) -> Piece:
        arrays = {column: self._numbers(batch.column(place), column, row) for place, column in enumerate(wanted)}
        values = np.empty((len(columns), batch.num_rows))
        for place, column in enumerate(columns):
            values[place] = arrays[column]
        times = arrays[time.columns[0]] if time else None
        require_sound_rows(values, [self.names[i] for i in columns], row, str(self.path), self.missing)
        if times is not None and times.dtype.kind == "f":
            require_sound_rows(times[None, :], ["time"], row, str(self.path), ())
        return Piece(row, partial(operator.add, row), times, values)

    def _numbers(self, data, column: int, row: int) -> NDArray:
        place = f"column {column + 1} {self.names[column]!r}"
        return column_numbers(data, row, stamped=column in self.stamped, path=str(self.path), column=place)

    def _require_numbers(self, columns: tuple[int, ...]) -> None:
        for column in columns:
            if column in self.unreadable or column in self.stamped:
                raise InputError(
                    f"column {self.names[column]!r} holds no numbers: name the columns that are wanted ({self.path})"
                )


def arrow_table(path: Path, missing: tuple[float, ...] = ()) -> ArrowTable:
    """The columns of an Arrow file; units stand in its field metadata ("unit") or in brackets in the name."""
    import pyarrow as pa

    try:
        with pa.OSFile(str(path)) as file:
            if file.read(len(MAGIC)) == MAGIC:
                # A file that was cut short has no footer, by which the whole is known.
                pa.ipc.open_file(file)
            rows = _stated_rows(file, path)
            schema = pa.ipc.open_stream(_at_stream(file)).schema
            stamped = tuple(i for i, entry in enumerate(schema) if pa.types.is_timestamp(entry.type))
            first = _first_stamps(file, schema, stamped)
            names, units, unreadable = columns_of_schema(schema)
    except InputError:
        raise
    except (pa.ArrowException, OSError, ValueError) as fault:
        raise InputError(f"the file is no whole Arrow file: {fault} ({path})") from None
    return ArrowTable(path, names, units, rows, first, stamped, unreadable, missing)


def _at_stream(file):
    """The file at the start of its stream."""
    file.seek(0)
    file.seek(_BEFORE_STREAM if file.read(len(MAGIC)) == MAGIC else 0)
    return file


def _stated_rows(file, path: Path) -> int:
    """Rows of all batches, as their heads state them; a batch that would not fit into memory is refused."""
    import pyarrow as pa

    total = 0
    for message in pa.ipc.MessageReader.open_stream(_at_stream(file)):
        if message.type == "record batch":
            rows = _rows_of(message.metadata.to_pybytes(), path)
            if rows > MOST_ROWS:
                raise InputError(
                    f"one batch holds {rows} rows, at most {MOST_ROWS} are read at once: write smaller batches ({path})"
                )
            total += rows
    return total


def _rows_of(head: bytes, path: Path) -> int:
    """The field `length` of a record batch in the flatbuffer that heads its message."""
    try:
        batch = _field(head, struct.unpack_from("<I", head, 0)[0], 2)
        batch += struct.unpack_from("<I", head, batch)[0]
        place = _field(head, batch, 0)
        return struct.unpack_from("<q", head, place)[0] if place else 0
    except (struct.error, IndexError):
        raise InputError(f"the Arrow file is damaged: the head of a batch cannot be read ({path})") from None


def _field(head: bytes, table: int, number: int) -> int:
    """Byte at which a field of a flatbuffer table stands; 0 where it has none."""
    directory = table - struct.unpack_from("<i", head, table)[0]
    size = struct.unpack_from("<H", head, directory)[0]
    entry = 4 + 2 * number
    offset = struct.unpack_from("<H", head, directory + entry)[0] if entry < size else 0
    return table + offset if offset else 0


def _first_stamps(file, schema, stamped: tuple[int, ...]) -> tuple[str, ...]:
    """Text of the first time stamp of each stamped column, "" for the others."""
    import pyarrow as pa

    cells = [""] * len(schema)
    if stamped:
        reader = pa.ipc.open_stream(_at_stream(file), options=pa.ipc.IpcReadOptions(included_fields=list(stamped)))
        batch = next((batch for batch in reader if batch.num_rows), None)
        for place, column in enumerate(stamped if batch is not None else ()):
            stamp = batch.column(place)[0].cast(pa.timestamp("ns"))
            cells[column] = str(np.datetime64(stamp.value, "ns")) if stamp.is_valid else ""
    return tuple(cells)
