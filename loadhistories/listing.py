"""Listing: some columns of a table whose rows follow no even step, such as counted cycles or events, in base units."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from loadhistories.formats import open_table
from loadhistories.history import Provenance
from loadhistories.identity import fingerprint, sha256_of
from loadhistories.lines import require_file
from loadhistories.timebase import find_time_column
from loadhistories.units import base_unit_of, unit_scale
from loadhistories.validation import InputError, require_one_of

MOST_ROWS = 1_000_000


@dataclass(frozen=True, eq=False)
class Listing:
    """Some columns of a table.

    Attributes
    ----------
    names : tuple of str
        Of all columns of the table, those that were not read among them.
    columns : dict of str to array, shape (n,)
        The wanted ones, in base units.
    units : dict of str to (str or None)
        Their base units; None where neither table nor user states one.
    scales : dict of str to float
        What their numbers in the table were multiplied with.
    times : array, shape (n,), or None
        Of the time column, from the first row. [s]
    source : Provenance
    row_word, first_row : str, int
        What rows are counted in, and the number of the first one.
    """

    names: tuple[str, ...]
    columns: dict[str, NDArray[np.float64]]
    units: dict[str, str | None]
    scales: dict[str, float]
    times: NDArray[np.float64] | None
    source: Provenance
    row_word: str
    first_row: int

    def row(self, number: int) -> str:
        """A row, counted from 0, as a refusal names it."""
        return f"{self.source.path}, {self.row_word} {self.first_row + number}"


def read_listing(
    path: str | Path,
    columns: Sequence[str] | None,
    *,
    units: Mapping[str, str] | None = None,
    time_column: str | None = None,
    date_format: str | None = None,
    group: str | None = None,
    missing: Sequence[str] = (),
    shown: str = "",
    **layout,
) -> Listing:
    """Read columns of a table.

    Parameters
    ----------
    columns : sequence of str or None
        Those that are wanted; None for all but the time column.
    units : mapping of column to unit
        Where the table states none.
    time_column, date_format, group, missing, layout
        As for `loadhistories.open_record`; without `time_column` no times are read.
    shown : str
        The path as the user knows it.

    Raises
    ------
    InputError
        No such file or column, no number where one must stand, two units for one column, more than MOST_ROWS rows.
    """
    file, shown = Path(path), shown or str(path)
    require_file(file)
    stamp = fingerprint(file)
    table = open_table(
        file, missing=tuple(missing), layout=layout, group=group, columns=columns, time_column=time_column
    )
    stated = {name: unit for name, unit in zip(table.names, table.units, strict=True) if name}
    time = None
    if time_column is not None:
        time = find_time_column(
            table.names, [_unit(name, stated.get(name), units, shown) for name in table.names], table.first_cells,
            time_column=time_column, date_format=date_format, path=shown,
        )  # fmt: skip
    known = [name for name in table.names if name]
    wanted = [name for name in known if name != time_column] if columns is None else list(columns)
    for name in (*wanted, *(units or {})):
        require_one_of(name, known, "column", place=shown)
    at = tuple(table.names.index(name) for name in wanted)
    pieces = _pieces(table, at, time, shown)
    values = np.concatenate([piece.values for piece in pieces], axis=1)
    found = {name: _unit(name, stated[name], units, shown) for name in wanted}
    based = {name: _based(values[i], found[name]) for i, name in enumerate(wanted)}
    times = None
    if time is not None:
        counted = np.concatenate([piece.times for piece in pieces if piece.values.shape[1]])
        times = (counted - counted[0]) * time.scale
    if fingerprint(file) != stamp:
        raise InputError(f"the file was changed while it was read: start again ({shown})")
    first = next(piece.first for piece in pieces if piece.values.shape[1])
    start = "" if time is None or time.kind == "number" else " ".join(table.first_cells[i] for i in time.columns)
    source = Provenance(shown, sha256_of(file), stamp[0], first, table.description, start)
    return Listing(
        table.names, {name: column for name, (column, _, _) in based.items()},
        {name: unit for name, (_, unit, _) in based.items()}, {name: scale for name, (_, _, scale) in based.items()},
        times, source, table.row_word, first,
    )  # fmt: skip


def _pieces(table, at: tuple[int, ...], time, shown: str) -> list:
    """The pieces of a table that has rows, and not too many."""
    pieces, rows = [], 0
    for piece in table.walk(at, time):
        rows += piece.values.shape[1]
        pieces.append(piece)
        if rows > MOST_ROWS:
            raise InputError(f"the table has more than {MOST_ROWS} rows: give a record as history instead ({shown})")
    if not rows:
        raise InputError(f"the table has no row ({shown})")
    return pieces


def _unit(name: str, stated: str | None, given: Mapping[str, str] | None, shown: str) -> str | None:
    """Unit text of a column: the table's, or the one given where the table states none."""
    unit = (given or {}).get(name)
    if unit is None or stated is None:
        return unit or stated
    base = base_unit_of(unit, f"unit of column {name!r}", shown)
    try:
        agrees = base_unit_of(stated) == base and unit_scale(stated, base) == unit_scale(unit, base)
    except InputError:
        agrees = False
    if not agrees:
        raise InputError(f"column {name!r} is in {stated!r} by the table, but {unit!r} is given ({shown})")
    return unit


def _based(values: NDArray[np.float64], unit: str | None) -> tuple[NDArray[np.float64], str | None, float]:
    """Values in the base unit of their unit, that base unit, and the factor to it."""
    if unit is None:
        return values, None, 1.0
    base = base_unit_of(unit)
    scale = unit_scale(unit, base)
    return values * scale, base, scale
