"""LoadHistory: named channels on one even time base, in base units, with where they came from."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.validation import InputError, require_one_of, require_positive, where

# No load, stress or strain lies beyond; powers and products of such values stay finite.
LARGEST_VALUE = 1e30


@dataclass(frozen=True)
class Provenance:
    """Where a record came from.

    Attributes
    ----------
    path : str
        As it was given.
    sha256 : str
        Of the stored bytes.
    size : int
        Stored bytes.
    first_line : int
        Line of the file, counted from 1, that holds the first sample; for binary files the first row.
    dialect : str
        How the file was read, in words.
    start : str
        Text of the first time stamp, "" where there is none.
    """

    path: str
    sha256: str
    size: int
    first_line: int
    dialect: str
    start: str


@dataclass(frozen=True, eq=False)
class LoadHistory:
    """Channels of one record, sampled at one even step.

    Attributes
    ----------
    names : tuple of str
        Of the channels, without their unit.
    units : tuple of (str or None)
        Base unit of each channel ("N", "mm", "MPa", "N mm", "" for strain and plain numbers); the file's own
        text where it is none of ours (the values are then as read), None where the file states none.
    values : array, shape (n_channels, n)
        Every value is finite.
    step : float
        Time between two samples. [s]
    source : Provenance or None
        None for a history that was made and not read.
    remarks : tuple of str
        What the reader noticed or assumed.
    stated_units : tuple of (str or None)
        As the file states them; the base units themselves where nothing was converted.
    """

    names: tuple[str, ...]
    units: tuple[str | None, ...]
    values: NDArray[np.float64]
    step: float
    source: Provenance | None = None
    remarks: tuple[str, ...] = ()
    stated_units: tuple[str | None, ...] = ()

    def __post_init__(self):
        require_positive(self.step, "step", unit="s")
        if not self.stated_units:
            object.__setattr__(self, "stated_units", self.units)
        shape = np.shape(self.values)
        if len(shape) != 2 or not (shape[0] == len(self.names) == len(self.units)):
            raise InputError(
                f"values must have the shape (channels, samples) with {len(self.names)} names and "
                f"{len(self.units)} units, got {shape}"
            )
        if not np.isfinite(self.values).all():
            channel, sample = np.argwhere(~np.isfinite(self.values))[0]
            raise InputError(f"values must be finite (channel {self.names[channel]!r}, sample {sample + 1})")
        require_bounded(self.values, self.names)

    @property
    def samples(self) -> int:
        """Number of instants."""
        return self.values.shape[1]

    @property
    def span(self) -> float:
        """Time that the history stands for: each sample for one step. [s]"""
        return self.samples * self.step

    def channel(self, name: str) -> NDArray[np.float64]:
        """Values of one channel, shape (n,), in its base unit."""
        return self.values[self.names.index(require_one_of(name, self.names, "channel", place=self._place))]

    def chunks(
        self, columns: Sequence[str] | None = None, *, size: int = 65_536
    ) -> Iterator[tuple[int, NDArray[np.float64]]]:
        """Walks the history: number of the first sample (from 1) and array of shape (n_columns, m) of each chunk."""
        chosen = self.names if columns is None else columns
        rows = [self.names.index(require_one_of(name, self.names, "channel", place=self._place)) for name in chosen]
        for start in range(0, self.samples, size):
            yield start + 1, self.values[rows, start : start + size]

    @property
    def _place(self) -> str:
        return self.source.path if self.source else ""


def require_bounded(values: NDArray[np.float64], names: Sequence[str], place: str = "") -> None:
    """Refuse a value of a channel that lies beyond LARGEST_VALUE; gaps (NaN) are passed over."""
    for row, name in zip(values, names, strict=True):
        if not row.size:
            continue
        worst = max(float(np.fmax.reduce(row)), -float(np.fmin.reduce(row)))
        if worst > LARGEST_VALUE:
            raise InputError(
                f"a value of {worst:g} is beyond what any channel holds; if it marks a gap, say so with missing"
                f"{where(f'{place}, column {name!r}' if place else f'channel {name!r}')}"
            )
