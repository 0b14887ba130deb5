"""Walks the load blocks of one joint: the worst instant of every measure, and when, where and how often it slips.

The walk keeps extremes and counts only, so its memory does not grow with the history. Chunks of any size give
the same outcome. What a level, a grip or a strength is comes from the caller.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock

TRACE_BINS = 800
EVENTS_LISTED = 50
PERMANENT_ALONE = "permanent load alone"


@dataclass(frozen=True)
class Combination:
    """Factors on the permanent and on the variable load."""

    name: str
    permanent: float
    variable: float


@dataclass(frozen=True)
class Level:
    """One load level: its combinations and the grip of a bolt, `factor * (preload - tension_share * tension)`.

    `factor` is None for bolts without preload: then no slip is looked for.
    """

    name: str
    combinations: tuple[Combination, ...]
    factor: float | None
    tension_share: float


@dataclass(frozen=True)
class Instant:
    """The forces on one bolt at the instant that matters. [N]; time in s, None for the permanent load alone."""

    value: float
    load: str
    combination: str
    time: float | None
    bolt: int
    shear: tuple[float, float]
    tension: float
    shears: NDArray[np.float64]
    tensions: NDArray[np.float64]


@dataclass(frozen=True)
class SlipEvent:
    """An unbroken time in which the first bolt has no margin; bolt, direction and utilisation at its peak."""

    load: str
    start: float
    duration: float
    bolt: int
    direction: float
    utilisation: float


@dataclass
class BlockSlip:
    """Slip of one block at one level."""

    load: str
    repeats: float
    step: float
    samples: int
    events: int = 0
    instants: int = 0
    longest: int = 0
    listed: list[SlipEvent] = field(default_factory=list)
    trace: NDArray[np.float64] = field(default_factory=lambda: np.zeros(0))

    @property
    def trace_times(self) -> NDArray[np.float64]:
        """Middle of each bin of the trace. [s]"""
        return (np.arange(len(self.trace)) + 0.5) * self.samples * self.step / max(len(self.trace), 1)


@dataclass(frozen=True)
class Forces:
    """Forces on some bolts at some instants. [N]

    Attributes
    ----------
    shear : array, shape (n_bolts, 2, m)
    tension : array, shape (n_bolts, m)
        Below zero where the plates are pressed together.
    size : array, shape (n_bolts, m)
        Of the shear.
    """

    shear: NDArray[np.float64]
    tension: NDArray[np.float64]
    size: NDArray[np.float64]


def forces_of(shear: NDArray[np.float64], tension: NDArray[np.float64]) -> Forces:
    """Forces with the size of the shear."""
    return Forces(shear, tension, np.sqrt(shear[:, 0] * shear[:, 0] + shear[:, 1] * shear[:, 1]))


Measure = Callable[[Forces], NDArray[np.float64]]


def slip_measure(level: Level, preload: float) -> Measure:
    """Shear over grip of each bolt; infinite where the tension leaves no grip. [-]"""

    def utilisation(forces: Forces) -> NDArray[np.float64]:
        grip = level.factor * (preload - level.tension_share * np.maximum(forces.tension, 0.0))
        if grip.min() > 0.0:
            return forces.size / grip
        left = grip > 0.0
        return np.where(left, forces.size / np.where(left, grip, 1.0), np.inf)

    return utilisation


def preload_share_measure(level: Level, preload: float) -> Measure:
    """Share of the specified preload at which the bolt's grip just equals its shear. [-]"""

    def share(forces: Forces) -> NDArray[np.float64]:
        return (forces.size / level.factor + level.tension_share * np.maximum(forces.tension, 0.0)) / preload

    return share


class LevelWalk:
    """Follows one level through all blocks: the largest value of each measure, and slip events.

    Every measure is to be convex, or a quotient of a convex by a concave one, in the forces: then it is largest
    at an outermost bolt, and only those are looked at.
    """

    def __init__(self, level: Level, measures: dict[str, Measure], *, bolts, all_forces, slip: str | None = None):
        """Measures by their name.

        Parameters
        ----------
        bolts : array, shape (k,)
            Numbers of the bolts whose forces are fed.
        all_forces : callable
            `all_forces(load)` gives shear, shape (n_bolts, 2), and tension, shape (n_bolts,), of every bolt
            under one load, shape (6,).
        slip : str, optional
            The measure whose value above 1 is a slip of the first bolt; None to look for none.
        """
        self.level = level
        self.worst: dict[str, Instant] = {}
        self.blocks: list[BlockSlip] = []
        self._measures = measures
        self._bolts = bolts
        self._all_forces = all_forces
        self._slip = slip
        self._done = 0
        self._run: list | None = None

    def permanent(self, load, shear: NDArray[np.float64], tension: NDArray[np.float64]) -> None:
        """Take in the permanent load acting alone; shapes (6,), (k, 2, 1) and (k, 1)."""
        for part in self.level.combinations:
            forces = forces_of(part.permanent * shear, part.permanent * tension)
            self._measure(PERMANENT_ALONE, part, None, forces, lambda _, part=part: part.permanent * load)

    def begin(self, block: LoadBlock) -> None:
        """Start a block."""
        self._done, self._run = 0, None
        bins = min(TRACE_BINS, block.samples) if self._slip else 0
        self.blocks.append(BlockSlip(block.name, block.repeats, block.step, block.samples, trace=np.zeros(bins)))

    def feed(self, variable, permanent) -> None:
        """Take in the next instants of the block.

        Parameters
        ----------
        variable, permanent : tuple of arrays
            Load, shape (6, m) and (6,), in-plane force of the bolts looked at, shape (k, 2, m) and (k, 2, 1), and
            their tension, shape (k, m) and (k, 1). [N, N mm]
        """
        block = self.blocks[-1]
        loads, fixed = variable[0], permanent[0]
        found = []
        for part in self.level.combinations:
            forces = forces_of(
                part.variable * variable[1] + part.permanent * permanent[1],
                part.variable * variable[2] + part.permanent * permanent[2],
            )
            values = self._measure(
                block.load, part, block.step, forces,
                lambda at, part=part: part.variable * loads[:, at] + part.permanent * fixed,
            )  # fmt: skip
            if self._slip:
                found.append((values[self._slip], forces.shear))
        if found:
            self._follow(block, found)
        self._done += loads.shape[1]

    def end(self) -> None:
        """Close the block: an event that runs to its end is counted."""
        if self._run is not None:
            self._close(self.blocks[-1])

    def _measure(self, load: str, part: Combination, step: float | None, forces: Forces, load_at):
        values = {}
        for key, measure in self._measures.items():
            values[key] = table = measure(forces)
            bolt, at = divmod(int(np.argmax(table)), table.shape[1])
            value = float(table[bolt, at])
            if key in self.worst and value <= self.worst[key].value:
                continue
            shears, tensions = self._all_forces(load_at(at))
            self.worst[key] = Instant(
                value,
                load,
                part.name,
                None if step is None else (self._done + at) * step,
                int(self._bolts[bolt]),
                (float(forces.shear[bolt, 0, at]), float(forces.shear[bolt, 1, at])),
                float(forces.tension[bolt, at]),
                shears,
                tensions,
            )
        return values

    def _follow(self, block: BlockSlip, found) -> None:
        ratio = found[0][0].max(axis=0)
        for table, _ in found[1:]:
            np.maximum(ratio, table.max(axis=0), out=ratio)
        _fill_trace(block, self._done, ratio)
        if self._run is None and ratio.max() <= 1.0:
            return
        over = np.concatenate([[False], ratio > 1.0, [False]])
        begins = np.flatnonzero(over[1:-1] & ~over[:-2])
        ends = np.flatnonzero(over[1:-1] & ~over[2:]) + 1
        block.instants += int((ends - begins).sum())
        if self._run is not None and not over[1]:
            self._close(block)
        for begin, end in zip(begins, ends, strict=True):
            peak = self._peak(found, int(begin + np.argmax(ratio[begin:end])))
            event = [self._done + int(begin), int(end - begin), *peak]
            self._run = _joined(self._run, event) if begin == 0 and self._run is not None else event
            if end < len(ratio):
                self._close(block)

    def _peak(self, found, at: int) -> tuple[int, float, float]:
        """Bolt, direction and utilisation at one instant."""
        table, shear = max(found, key=lambda part: part[0][:, at].max())
        bolt = int(np.argmax(table[:, at]))
        x, y = shear[bolt, :, at]
        return int(self._bolts[bolt]), float(np.arctan2(y, x)), float(table[bolt, at])

    def _close(self, block: BlockSlip) -> None:
        start, length, bolt, direction, ratio = self._run
        block.events += 1
        block.longest = max(block.longest, length)
        if len(block.listed) < EVENTS_LISTED:
            block.listed.append(
                SlipEvent(block.load, start * block.step, length * block.step, bolt, direction, ratio)
            )
        self._run = None


def _fill_trace(block: BlockSlip, done: int, ratio: NDArray[np.float64]) -> None:
    """Raise the bins of the trace to the largest utilisation that falls into them."""
    bins, samples = len(block.trace), block.samples
    first, last = done * bins // samples, (done + len(ratio) - 1) * bins // samples
    numbers = np.arange(first, last + 1)
    starts = np.maximum(-(-numbers * samples // bins) - done, 0)
    part = block.trace[first : last + 1]
    np.maximum(part, np.maximum.reduceat(ratio, starts), out=part)


def _joined(first: list, second: list) -> list:
    """Two parts of one event that a chunk's border cut apart."""
    peak = first if first[4] >= second[4] else second
    return [first[0], first[1] + second[1], *peak[2:]]
