"""Record: a file that is walked in chunks of base units, every row of it checked, and never held whole."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from loadhistories.history import Provenance, require_bounded
from loadhistories.identity import Hashing, fingerprint, sha256_of
from loadhistories.rows import Piece
from loadhistories.timebase import StepWatch, TimeColumn
from loadhistories.validation import InputError, require_one_of

# Larger files are hashed while they are walked. [bytes]
HASHED_BESIDE = 4_000_000


class Table(Protocol):
    """What a file format offers: its columns, its first row as text where it has one, a walk over its rows.

    `survey` gives the number of rows and, where it had to read the whole file for it, its SHA-256, else "".

    `row_word` says what its rows are counted in ("line" or "row"), `description` how it is read.
    """

    @property
    def names(self) -> tuple[str, ...]: ...
    @property
    def units(self) -> tuple[str | None, ...]: ...
    @property
    def first_cells(self) -> tuple[str, ...]: ...
    @property
    def row_word(self) -> str: ...
    @property
    def description(self) -> str: ...
    def survey(self) -> tuple[int, str]: ...
    def walk(self, columns: tuple[int, ...], time: TimeColumn | None, size: int | None = None) -> Iterator[Piece]: ...


@dataclass(eq=False)
class Record:
    """A file that is walked in chunks and never held whole.

    Attributes
    ----------
    path : str
        As it was given.
    names, units, stated_units : tuples
        Of the channels, as in LoadHistory.
    step : float
        Time between two samples. [s]
    start : str
        Text of the first time stamp, "" where there is none.
    first_line : int
        Line (binary files: row) of the first sample, from 1.
    table, columns, scales, time, block_size
        The file itself, the cells (from 0) of the channels, their factors to base units, the time column, and
        how much is read at once.
    assumed : tuple of str
        What opening it took for granted.
    stamp : tuple of int
        Its fingerprint when it was opened.
    """

    path: str
    names: tuple[str, ...]
    units: tuple[str | None, ...]
    stated_units: tuple[str | None, ...]
    step: float
    start: str
    first_line: int
    table: Table
    columns: tuple[int, ...]
    scales: tuple[float, ...]
    time: TimeColumn | None
    block_size: int | None
    assumed: tuple[str, ...]
    stamp: tuple[int, int, int]
    _samples: int | None = None
    _digest: str = ""
    _source: Provenance | None = None
    _noticed: tuple[str, ...] = field(default=())

    @property
    def samples(self) -> int:
        """Number of instants; a text file that was not walked yet is counted through once."""
        if self._samples is None:
            self._survey()
        return self._samples

    @property
    def span(self) -> float:
        """Time that the record stands for: each sample for one step. [s]"""
        return self.samples * self.step

    @property
    def source(self) -> Provenance:
        """Where the record came from; for its SHA-256 the file is read once, unless its rows were counted before."""
        if self._source is None:
            if self._samples is None:
                self._survey()
            if not self._digest:
                self._digest = sha256_of(Path(self.path))
                self._require_unchanged()
            self._source = Provenance(
                self.path, self._digest, self.stamp[0], self.first_line, self.table.description, self.start
            )
        return self._source

    @property
    def remarks(self) -> tuple[str, ...]:
        """What was assumed, and after a walk to the end also what was noticed."""
        return self.assumed + self._noticed

    def chunks(self, columns: Sequence[str] | None = None) -> Iterator[tuple[int, NDArray[np.float64]]]:
        """Walks the record: line of the first row and array of shape (n_columns, m), in base units.

        Every cell of the chosen columns and of the time column is checked; the walk can be made again.

        Raises
        ------
        InputError
            A gap, a value that is not finite, text, a ragged row, time that does not run evenly, a file that
            is cut short or changes while it is read. Chunks before that place have been yielded by then.
        """
        chosen = self.names if columns is None else tuple(columns)
        at = [self.names.index(require_one_of(name, self.names, "column", place=self.path)) for name in chosen]
        self._require_unchanged()
        hashing = Hashing(Path(self.path)) if not self._digest and self.stamp[0] > HASHED_BESIDE else None
        try:
            yield from self._walk(at)
            digest = hashing.result() if hashing else self._digest
            self._require_unchanged()
            self._digest = digest
        finally:
            if hashing:
                hashing.stop()

    def _walk(self, at: list[int]) -> Iterator[tuple[int, NDArray[np.float64]]]:
        watch = self._watch()
        count, comments, unfinished = 0, 0, False
        for piece in self.table.walk(tuple(self.columns[i] for i in at), self.time, self.block_size):
            if not piece.values.shape[1]:
                comments += piece.comments
                continue
            if watch:
                watch.feed(piece.times, piece.line_of)
            require_bounded(piece.values, [self.names[i] for i in at], self.path)
            for row, i in enumerate(at):
                if self.scales[i] != 1.0:
                    piece.values[row] *= self.scales[i]
            count += piece.values.shape[1]
            comments += piece.comments
            unfinished = piece.unfinished
            yield piece.first, piece.values
        self._require_unchanged()
        if self._samples not in (None, count):
            raise InputError(f"{self._samples} rows were counted and {count} read: start again ({self.path})")
        self._samples = count
        self._noticed = _noticed(watch, comments, unfinished)

    def _survey(self) -> None:
        self._require_unchanged()
        samples, self._digest = self.table.survey()
        self._require_unchanged()
        self._samples = samples

    def _watch(self) -> StepWatch | None:
        if self.time is None:
            return None
        name = self.table.names[self.time.columns[0]]
        return StepWatch(self.step / self.time.scale, self.time, name, self.path, self.table.row_word)

    def _require_unchanged(self) -> None:
        if fingerprint(Path(self.path)) != self.stamp:
            raise InputError(f"the file was changed after it was opened: start again ({self.path})")


def _noticed(watch: StepWatch | None, comments: int, unfinished: bool) -> tuple[str, ...]:
    found = list(watch.remarks()) if watch else []
    if comments:
        found.append(f"comment lines among the rows, passed over: {comments}")
    if unfinished:
        found.append("the last line has no line end: its last number may be cut short")
    return tuple(found)
