"""Logger files become records: `read_history` for the whole in memory, `open_record` for chunk after chunk.

Which formats are known stands in `loadhistories.formats`. Nothing is repaired here: a gap, a value that is not
finite or a jump of time is refused with its place.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np

from loadhistories.formats import open_table
from loadhistories.gappy import TableWithGaps
from loadhistories.history import LoadHistory
from loadhistories.identity import fingerprint
from loadhistories.lines import require_file
from loadhistories.record import Record, Table
from loadhistories.timebase import StepWatch, TimeColumn, find_time_column, step_from
from loadhistories.units import base_unit_of, quantity, unit_scale
from loadhistories.validation import InputError, require_one_of, require_positive

FEWEST_SAMPLES = 3

_HEAD_ROWS = 5000
_HEAD_BYTES = 65_536


def read_history(path: str | Path, **dialect) -> LoadHistory:
    """A whole record in memory; see `open_record` for the dialect.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> file = pathlib.Path(tempfile.mkdtemp()) / "drive.csv"
    >>> _ = file.write_text("Time (s),Vertical [kN]\\n0.00,1.5\\n0.01,2.5\\n0.02,-1.0\\n")
    >>> history = read_history(file)
    >>> history.channel("Vertical").tolist(), history.step
    ([1500.0, 2500.0, -1000.0], 0.01)
    """
    record = open_record(path, **dialect)
    values = np.concatenate([chunk for _, chunk in record.chunks()], axis=1)
    values.flags.writeable = False
    return LoadHistory(
        record.names, record.units, values, record.step, record.source, record.remarks, record.stated_units
    )


def open_record(
    path: str | Path, *, columns: Sequence[str] | None = None, names: Sequence[str] | None = None,
    units: Mapping[str, str] | None = None, time_column: str | None = None, date_format: str | None = None,
    step: float | str | None = None, rate: float | str | None = None, delimiter: str | None = None,
    decimal: str | None = None, header_line: int | None = None, encoding: str | None = None,
    missing: Sequence[str] = (), block_size: int | None = None, with_gaps: bool = False,
    group: str | None = None,
) -> Record:  # fmt: skip
    """Open a record; what is not given is found in the file.

    Parameters
    ----------
    columns : sequence of str, optional
        The channels that are wanted; other columns may then hold anything.
    names : sequence of str, optional
        Of all columns, for a file without header.
    units : mapping of column to unit, optional
        Where the file states none.
    time_column : str, optional
        Name of the time column; "" reads none, and `step` or `rate` is needed.
    date_format : str, optional
        Of stamps that are not ISO 8601, such as "%d/%m/%Y %H:%M:%S.%f".
    step, rate : float or quantity, optional
        Of a file without time column. [s, Hz]
    delimiter, decimal, header_line, encoding : optional
        Of a text file: ",", ";", tab or " "; "." or ","; line of the names, from 1; "utf-8" or another.
    missing : sequence of str
        Texts that mark a gap; it is refused as such.
    block_size : int, optional
        Bytes (binary files: rows) read at once; changes no value.
    with_gaps : bool
        Take gaps as values that are not a number instead of refusing them; see `loadhistories.raw`.
    group : str, optional
        The group of channels that is wanted, where the file holds several.

    Raises
    ------
    InputError
        The file is not there, is no record, or its first rows cannot be read.
    """
    shown = str(path)
    require_file(Path(path))
    stamp = fingerprint(Path(path))
    layout = {"delimiter": delimiter, "decimal": decimal, "header_line": header_line, "encoding": encoding}
    marks = (missing,) if isinstance(missing, str) else tuple(missing)
    layout = {key: value for key, value in layout.items() if value is not None}
    table = open_table(
        Path(path), names=names, missing=marks, layout=layout, group=group, columns=columns, time_column=time_column
    )
    stated_step = getattr(table, "step", None)
    if with_gaps:
        table = TableWithGaps(table)
    stated = _with_given(table, units or {}, shown)
    time = find_time_column(
        table.names, stated, table.first_cells, time_column=time_column, date_format=date_format, path=shown
    )
    chosen = _chosen(table, time, columns, shown)
    given = _given_step(step, rate, shown)
    if given is None and time is None:
        given = stated_step
    found, first, start = _start(table, chosen, time, given, shown)
    based = [_based(stated[i]) for i in chosen]
    return Record(
        shown,
        names=tuple(table.names[i] for i in chosen),
        units=tuple(unit for unit, _ in based),
        stated_units=tuple(stated[i] for i in chosen),
        step=found,
        start=start,
        first_line=first,
        table=table,
        columns=chosen,
        scales=tuple(scale for _, scale in based),
        time=time,
        block_size=block_size,
        assumed=(time.remark,) if time and time.remark else (),
        stamp=stamp,
    )


def _with_given(table: Table, given: Mapping[str, str], shown: str) -> list[str | None]:
    """Unit text of every column: the file's, or the one given where the file states none."""
    units = list(table.units)
    for name, unit in given.items():
        index = table.names.index(require_one_of(name, [name for name in table.names if name], "column", place=shown))
        base = base_unit_of(unit, f"unit of column {name!r}", shown)
        if units[index] is not None and _based(units[index]) != (base, unit_scale(unit, base)):
            raise InputError(f"column {name!r} is in {units[index]!r} by the file, but {unit!r} is given ({shown})")
        units[index] = unit
    return units


def _based(unit: str | None) -> tuple[str | None, float]:
    """Base unit and factor of a column; a unit that is none of ours stays as it is."""
    if unit is None:
        return None, 1.0
    try:
        base = base_unit_of(unit)
    except InputError:
        return unit, 1.0
    return base, unit_scale(unit, base)


def _chosen(table: Table, time: TimeColumn | None, columns: Sequence[str] | None, shown: str) -> tuple[int, ...]:
    """Cells (from 0) of the channels: those named, or all but the time and an empty end."""
    known = [name for name in table.names if name]
    if columns is not None:
        if not columns:
            raise InputError(f"columns must name at least one column; known: {', '.join(known)} ({shown})")
        return tuple(table.names.index(require_one_of(name, known, "column", place=shown)) for name in columns)
    times = time.columns if time else [i for i, cell in enumerate(table.first_cells) if ":" in cell]
    found = tuple(i for i, name in enumerate(table.names) if name and i not in times)
    if not found:
        raise InputError(f"the file holds no column beside its time ({shown})")
    return found


def _given_step(step: float | str | None, rate: float | str | None, shown: str) -> float | None:
    """Step from what the user states. [s]"""
    if step is not None and rate is not None:
        raise InputError(f"give step or rate, not both: got {step!r} and {rate!r} ({shown})")
    if rate is not None:
        value = quantity(rate, "1/s", "rate", shown) if isinstance(rate, str) else rate
        return 1.0 / require_positive(value, "rate", unit="Hz", place=shown)
    if step is not None:
        value = quantity(step, "s", "step", shown) if isinstance(step, str) else step
        return require_positive(value, "step", unit="s", place=shown)
    return None


def _start(
    table: Table, chosen: tuple[int, ...], time: TimeColumn | None, given: float | None, shown: str
) -> tuple[float, int, str]:
    """Step [s], line of the first row and text of its stamp, from the first rows."""
    if time is None and given is None:
        raise InputError(f'no time column is found: give time_column, or step (such as "10 ms") or rate ({shown})')
    pieces, rows = [], 0
    for piece in table.walk(chosen, time, _HEAD_BYTES):
        pieces.append(piece)
        rows += piece.values.shape[1]
        if rows >= _HEAD_ROWS:
            break
    if rows < FEWEST_SAMPLES:
        raise InputError(f"the record holds {rows} samples, at least {FEWEST_SAMPLES} are needed ({shown})")
    first = next(piece for piece in pieces if piece.values.shape[1])
    if time is None:
        return given, first.first, ""
    times = np.concatenate([piece.times for piece in pieces if piece.values.shape[1]])[:_HEAD_ROWS]
    lines = [piece.line_of(i) for piece in pieces for i in range(piece.values.shape[1])]
    start = "" if time.kind == "number" else " ".join(table.first_cells[i] for i in time.columns)
    column = table.names[time.columns[0]]
    return step_from(given, times, StepWatch(1.0, time, column, shown, table.row_word), lines), first.first, start
