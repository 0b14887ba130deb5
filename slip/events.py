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


Measure = Callable[[NDArray[np.float64], NDArray[np.float64]], NDArray[np.float64]]


def slip_measure(level: Level, preload: float) -> Measure:
    """Shear over grip of each bolt; infinite where the tension leaves no grip. [-]"""

    def utilisation(shear: NDArray[np.float64], tension: NDArray[np.float64]) -> NDArray[np.float64]:
        grip = level.factor * (preload - level.tension_share * np.maximum(tension, 0.0))
        force = np.hypot(shear[:, 0], shear[:, 1])
        with np.errstate(divide="ignore", invalid="ignore"):
            ratio = np.where(grip > 0.0, force / grip, np.inf)
        return ratio

    return utilisation


def preload_share_measure(level: Level, preload: float) -> Measure:
    """Share of the specified preload at which the bolt's grip just equals its shear. [-]"""

    def share(shear: NDArray[np.float64], tension: NDArray[np.float64]) -> NDArray[np.float64]:
        force = np.hypot(shear[:, 0], shear[:, 1])
        return (force / level.factor + level.tension_share * np.maximum(tension, 0.0)) / preload

    return share


class LevelWalk:
    """Follows one level through all blocks: the largest value of each measure, and slip events."""

    def __init__(self, level: Level, measures: dict[str, Measure], slip: str | None = None):
        """`slip` names the measure whose value above 1 is a slip of the first bolt; None to look for none."""
        self.level = level
        self.worst: dict[str, Instant] = {}
        self.blocks: list[BlockSlip] = []
        self._measures = measures
        self._slip = slip
        self._done = 0
        self._run: list | None = None

    def permanent(self, shear: NDArray[np.float64], tension: NDArray[np.float64]) -> None:
        """Take in the permanent load acting alone; arrays of shape (n_bolts, 2, 1) and (n_bolts, 1)."""
        for part in self.level.combinations:
            self._measure(PERMANENT_ALONE, part.name, None, part.permanent * shear, part.permanent * tension)

    def begin(self, block: LoadBlock) -> None:
        """Start a block."""
        self._done, self._run = 0, None
        bins = min(TRACE_BINS, block.samples) if self._slip else 0
        self.blocks.append(BlockSlip(block.name, block.repeats, block.step, block.samples, trace=np.zeros(bins)))

    def feed(self, variable, permanent) -> None:
        """Take in the next instants of the block.

        Parameters
        ----------
        variable, permanent : pair of arrays
            In-plane force of each bolt, shape (n_bolts, 2, m) and (n_bolts, 2, 1), and its tension, shape
            (n_bolts, m) and (n_bolts, 1). [N]
        """
        block = self.blocks[-1]
        peak = None
        for part in self.level.combinations:
            shear = part.variable * variable[0] + part.permanent * permanent[0]
            tension = part.variable * variable[1] + part.permanent * permanent[1]
            values = self._measure(block.load, part.name, block.step, shear, tension)
            if self._slip:
                peak = _larger(peak, values[self._slip], shear)
        if peak is not None:
            self._follow(block, peak)
        self._done += variable[1].shape[1]

    def end(self) -> None:
        """Close the block: an event that runs to its end is counted."""
        if self._run is not None:
            self._close(self.blocks[-1])

    def _measure(self, load, combination, step, shear, tension) -> dict[str, NDArray[np.float64]]:
        values = {}
        for key, measure in self._measures.items():
            values[key] = table = measure(shear, tension)
            bolt, at = np.unravel_index(int(np.argmax(table)), table.shape)
            value = float(table[bolt, at])
            if key not in self.worst or value > self.worst[key].value:
                self.worst[key] = Instant(
                    value,
                    load,
                    combination,
                    None if step is None else (self._done + int(at)) * step,
                    int(bolt),
                    (float(shear[bolt, 0, at]), float(shear[bolt, 1, at])),
                    float(tension[bolt, at]),
                    shear[:, :, at].copy(),
                    tension[:, at].copy(),
                )
        return values

    def _follow(self, block: BlockSlip, peak) -> None:
        ratio, bolt, direction = peak
        bins = (self._done + np.arange(len(ratio))) * len(block.trace) // block.samples
        starts = np.flatnonzero(np.diff(bins, prepend=-1))
        np.maximum.at(block.trace, bins[starts], np.maximum.reduceat(ratio, starts))
        over = np.concatenate([[False], ratio > 1.0, [False]])
        begins = np.flatnonzero(over[1:-1] & ~over[:-2])
        ends = np.flatnonzero(over[1:-1] & ~over[2:]) + 1
        block.instants += int((ends - begins).sum())
        if self._run is not None and not over[1]:
            self._close(block)
        for begin, end in zip(begins, ends, strict=True):
            at = begin + int(np.argmax(ratio[begin:end]))
            found = [self._done + begin, end - begin, int(bolt[at]), float(direction[at]), float(ratio[at])]
            if begin == 0 and self._run is not None:
                self._run = _joined(self._run, found)
            else:
                self._run = found
            if end < len(ratio):
                self._close(block)

    def _close(self, block: BlockSlip) -> None:
        start, length, bolt, direction, ratio = self._run
        block.events += 1
        block.longest = max(block.longest, length)
        if len(block.listed) < EVENTS_LISTED:
            block.listed.append(
                SlipEvent(block.load, start * block.step, length * block.step, bolt, direction, ratio)
            )
        self._run = None


def _larger(peak, ratios: NDArray[np.float64], shear: NDArray[np.float64]):
    """The worse of two combinations at each instant: utilisation, bolt and direction of its force. [-, -, rad]"""
    columns = np.arange(ratios.shape[1])
    bolt = np.argmax(ratios, axis=0)
    ratio = ratios[bolt, columns]
    direction = np.arctan2(shear[bolt, 1, columns], shear[bolt, 0, columns])
    if peak is None:
        return ratio, bolt, direction
    worse = ratio > peak[0]
    return tuple(np.where(worse, new, old) for new, old in zip((ratio, bolt, direction), peak, strict=True))


def _joined(first: list, second: list) -> list:
    """Two parts of one event that a chunk's border cut apart."""
    peak = first if first[4] >= second[4] else second
    return [first[0], first[1] + second[1], *peak[2:]]
