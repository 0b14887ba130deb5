"""Channels of a binary file that holds many of them, perhaps of several time bases: which are taken, how they are read.

A format says what channels a file holds and how a part of one is read; all else stands here.
"""

import operator
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from loadhistories.columnar import CHUNK_ROWS, require_sound_rows
from loadhistories.rows import Piece
from loadhistories.timebase import TimeColumn
from loadhistories.validation import InputError, nearest

FEWEST_VALUES = 3
EXTRA = "griplife[formats]"

_LISTED = 12


class Source(Protocol):
    """An open file: some values of a channel, by the key that the format gave it."""

    def read(self, key, start: int, count: int) -> NDArray:
        """So many values from a place on, shape (count,)."""
        ...


@dataclass(frozen=True)
class Channel:
    """One channel of a file.

    Attributes
    ----------
    group : str
        The part of the file that it stands in, "" where a file has no parts.
    samples : int
        Number of its values.
    step : float or None
        Between two of them, where the file states it. [s]
    stamped : bool
        Whether it holds time stamps and no numbers.
    key : object
        By which the format finds it.
    """

    name: str
    unit: str | None
    group: str
    samples: int
    step: float | None
    stamped: bool
    key: object


@dataclass(frozen=True)
class ChannelTable:
    """The channels of one time base; `step` is what the file states for them, None where it does not. [s]"""

    path: Path
    description: str
    channels: tuple[Channel, ...]
    open: Callable[[], AbstractContextManager[Source]]
    missing: tuple[float, ...]
    first_cells: tuple[str, ...]
    row_word = "row"

    @property
    def names(self) -> tuple[str, ...]:
        """Of all channels."""
        return tuple(channel.name for channel in self.channels)

    @property
    def units(self) -> tuple[str | None, ...]:
        """As the file states them."""
        return tuple(channel.unit for channel in self.channels)

    @property
    def step(self) -> float | None:
        """Between two rows, where the file states it. [s]"""
        return self.channels[0].step

    @property
    def samples(self) -> int:
        """Number of rows."""
        return self.channels[0].samples

    def survey(self) -> tuple[int, str]:
        """Number of rows, as the file states it; nothing is read for it."""
        return self.samples, ""

    def walk(self, columns: tuple[int, ...], time: TimeColumn | None, size: int | None = None) -> Iterator[Piece]:
        """Yields the rows, at most `size` of them at once."""
        for column in columns:
            if self.channels[column].stamped:
                raise InputError(f"channel {self.names[column]!r} holds time stamps and no numbers ({self.path})")
        names = [self.names[column] for column in columns]
        with self.open() as source:
            for start in range(0, self.samples, size or CHUNK_ROWS):
                rows = min(size or CHUNK_ROWS, self.samples - start)
                values = np.empty((len(columns), rows))
                for place, column in enumerate(columns):
                    values[place] = self._part(source, column, start, rows)
                times = self._part(source, time.columns[0], start, rows) if time else None
                require_sound_rows(values, names, start + 1, str(self.path), self.missing)
                if times is not None and times.dtype.kind == "f":
                    require_sound_rows(times[None, :], ["time"], start + 1, str(self.path), ())
                yield Piece(start + 1, partial(operator.add, start + 1), times, values)

    def _part(self, source: Source, column: int, start: int, rows: int) -> NDArray:
        channel = self.channels[column]
        values = np.asarray(source.read(channel.key, start, rows))
        if values.ndim != 1:
            raise InputError(f"channel {channel.name!r} holds an array in every row and no number ({self.path})")
        if values.shape != (rows,):
            raise InputError(
                f"channel {channel.name!r} states {channel.samples} values and ends within rows {start + 1} to "
                f"{start + rows} ({self.path})"
            )
        if channel.stamped:
            return values.astype("datetime64[ns]").astype(np.int64)
        if values.dtype.kind not in "iufb":
            raise InputError(f"channel {channel.name!r} holds {values.dtype} and no numbers ({self.path})")
        with np.errstate(over="ignore", invalid="ignore"):
            return values.astype(np.float64)


def channel_table(
    path: Path,
    channels: Sequence[Channel],
    *,
    description: str,
    opener: Callable[[], AbstractContextManager[Source]],
    group: str | None,
    columns: Sequence[str] | None,
    time_column: str | None,
    missing: tuple[float, ...],
) -> ChannelTable:
    """The channels of one time base out of all that a file holds.

    Parameters
    ----------
    channels : sequence of Channel
        All that hold numbers or time stamps; those of fewer than three values are passed over.
    group : str or None
        Where the user says it.
    columns, time_column
        The channels that the user names.

    Raises
    ------
    InputError
        No channel, a group that is unknown or must be named, channels of several lengths or rates among which the
        user has to choose.
    """
    held = [channel for channel in channels if channel.samples >= FEWEST_VALUES]
    if not held:
        raise InputError(f"the file holds no channel of at least {FEWEST_VALUES} numbers ({path})")
    named = [*(columns or ()), *([time_column] if time_column else [])]
    held = _of_group(held, group, named, path)
    base = _of_one_base(held, named, path)
    twice = next((a.name for i, a in enumerate(base) for b in base[:i] if a.name == b.name), None)
    if twice is not None:
        raise InputError(f"two channels are called {twice!r}: names must differ ({path})")
    cells = _first_cells(base, opener)
    shown = description if base[0].step is None else f"{description}, step as the file states it"
    return ChannelTable(path, shown, tuple(base), opener, missing, cells)


def _of_group(channels: list[Channel], group: str | None, named: list[str], path: Path) -> list[Channel]:
    """The channels of the group that the user gives, or of the only one that holds the named ones."""
    groups = list(dict.fromkeys(channel.group for channel in channels))
    if group is not None:
        if group not in groups:
            guess = nearest(group, groups)
            hint = f"; did you mean {guess!r}?" if guess else ""
            known = _listed([repr(name) for name in groups])
            raise InputError(f"group {group!r} is unknown{hint}; known: {known} ({path})")
        return [channel for channel in channels if channel.group == group]
    fitting = [name for name in groups if set(named) <= {item.name for item in channels if item.group == name}]
    if len(groups) == 1 or (named and len(fitting) == 1):
        chosen = groups[0] if len(groups) == 1 else fitting[0]
        return [channel for channel in channels if channel.group == chosen]
    shown = _listed([_group_text(name, [item for item in channels if item.group == name]) for name in groups])
    raise InputError(f'the file holds {len(groups)} groups: give one, as in group = "{groups[0]}"; {shown} ({path})')


def _of_one_base(channels: list[Channel], named: list[str], path: Path) -> list[Channel]:
    """The channels of one length and step: of the only one there is, or of that of the named channels."""
    bases: dict[tuple, list[Channel]] = {}
    for channel in channels:
        bases.setdefault((channel.samples, None if channel.stamped else channel.step), []).append(channel)
    lengths = {samples for samples, _ in bases}
    if len(bases) == 1 or (len(lengths) == 1 and len({step for _, step in bases if step is not None}) <= 1):
        return _stepped(channels)
    wanted = {key for key, items in bases.items() if any(item.name in named for item in items)}
    if len(wanted) == 1:
        return bases[wanted.pop()]
    if len({samples for samples, _ in wanted}) == 1 and len({step for _, step in wanted if step is not None}) == 1:
        return _stepped([item for key in bases if key in wanted for item in bases[key]])
    shown = _listed([f"{_base_text(*key)}: {_listed([item.name for item in items])}" for key, items in bases.items()])
    fault = "the named channels are of several lengths or rates" if wanted else (
        "the channels are of several lengths or rates: name those that are wanted"
    )
    raise InputError(f"{fault}; one record has one time base; {shown} ({path})")


def _stepped(channels: list[Channel]) -> list[Channel]:
    """Channels of one length, of which some state the step: it holds for all."""
    step = next((channel.step for channel in channels if channel.step is not None), None)
    return [replace(channel, step=step) for channel in channels]


def _group_text(name: str, channels: list[Channel]) -> str:
    return f"{name!r} with {_listed([channel.name for channel in channels])}"


def _base_text(samples: int, step: float | None) -> str:
    return f"{samples} values" + (f" at {1.0 / step:.6g} Hz" if step else "")


def _listed(words: list[str]) -> str:
    more = f" and {len(words) - _LISTED} more" if len(words) > _LISTED else ""
    return ", ".join(words[:_LISTED]) + more


def _first_cells(channels: list[Channel], opener) -> tuple[str, ...]:
    """Text of the first time stamp of each channel that holds stamps, "" for the others."""
    cells = [""] * len(channels)
    if any(channel.stamped for channel in channels):
        with opener() as source:
            for place, channel in enumerate(channels):
                if channel.stamped:
                    cells[place] = str(np.asarray(source.read(channel.key, 0, 1)).astype("datetime64[ns]")[0])
    return tuple(cells)


def needed(package: str, what: str, path: Path) -> InputError:
    """The refusal of a file whose format needs a package that is not installed."""
    return InputError(f"{what} needs the package {package}: pip install '{EXTRA}' ({path})")
