"""Follows a bolt group that slides: when it slips, which way, and whether it is pushed back. Memory does not grow.

A group that has slid one way stays there until it is pushed back. The way is judged along one line: the direction
of the first slip of the level, in the net in-plane load of the joint.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

TRACE_BINS = 800
EVENTS_LISTED = 50
# Cosine to the line of the first slip below which a push is square to it and leaves the group on its side.
SQUARE = 0.1
FORWARD, BACK = 1, -1
NONE, ONE_WAY, TWO_WAY = "none", "one-way", "two-way"


@dataclass(frozen=True)
class SlipEvent:
    """A slip of the group from where it stood; bolt, direction and utilisation at the peak of the push behind it.

    `duration` is that of the push: the unbroken time without margin that way. [s] `way` is FORWARD or BACK,
    `direction` that of the force on the bolt from the x axis. [rad]
    """

    load: str
    start: float
    duration: float
    bolt: int
    direction: float
    utilisation: float
    way: int


@dataclass
class BlockSlip:
    """Slip of one block at one level; the block is entered by a group that has not slid yet.

    Attributes
    ----------
    events, reversals : int
        Slips in all, and those of them that push a group back which has slid the other way.
    times_without_margin, instants, longest : int
        Unbroken times in which the first bolt has no margin, samples in them, and samples of the longest.
    first_way, last_way : int
        Of the first and of the last slip, 0 without any.
    timed : bool
        Whether order and time of the instants mean anything; where not, all that is counted means nothing but
        whether it slips, and in which ways.
    """

    load: str
    repeats: float
    step: float
    samples: int
    events: int = 0
    reversals: int = 0
    times_without_margin: int = 0
    instants: int = 0
    longest: int = 0
    first_way: int = 0
    last_way: int = 0
    listed: list[SlipEvent] = field(default_factory=list)
    trace: NDArray[np.float64] = field(default_factory=lambda: np.zeros(0))
    timed: bool = True

    @property
    def trace_times(self) -> NDArray[np.float64]:
        """Middle of each bin of the trace. [s]"""
        return (np.arange(len(self.trace)) + 0.5) * self.samples * self.step / max(len(self.trace), 1)

    @property
    def ways(self) -> frozenset[int]:
        """The ways it slips: FORWARD, BACK, both or none."""
        return frozenset({self.first_way, self.last_way, *((FORWARD, BACK) if self.reversals else ())}) - {0}


def kind_of(ways: frozenset[int]) -> str:
    """NONE, ONE_WAY (the group seats and stays) or TWO_WAY (it goes back and forth)."""
    return (NONE, ONE_WAY, TWO_WAY)[len(ways)]


def slips_in_life(block: BlockSlip, others: frozenset[int]) -> float:
    """Slips of one block in the design life. [-]

    A repeat of a block that begins the way the last one ended finds the group already there, unless another load
    may have pushed it back between them.

    Parameters
    ----------
    others : frozenset of int
        The ways in which the other loads of the level let the group slip.
    """
    if not block.events or block.repeats < 1.0:
        return block.events * block.repeats
    there = block.first_way == block.last_way and -block.first_way not in others
    return block.events + (block.repeats - 1.0) * (block.events - there)


@dataclass(frozen=True)
class Pushed:
    """One combination of loads at some instants: utilisation in grip and shear of the bolts, net load of the joint.

    Attributes
    ----------
    utilisation : array, shape (k, m)
    shear : array, shape (k, 2, m)
    net : array, shape (3, m)
        Fx, Fy and the moment about the bolts' centroid over their polar radius. [N]
    """

    utilisation: NDArray[np.float64]
    shear: NDArray[np.float64]
    net: NDArray[np.float64]


class Slides:
    """Follows one level through its blocks. Feed the instants in order; chunks of any size give the same outcome."""

    def __init__(self, bolts: NDArray[np.int64]):
        """`bolts` are the numbers of the bolts whose forces are fed."""
        self.blocks: list[BlockSlip] = []
        self.before: frozenset[int] = frozenset()
        self._bolts = bolts
        self._line: NDArray[np.float64] | None = None
        self._begin()

    def _begin(self) -> None:
        self._done, self._carried, self._way = 0, 0, 0
        self._open: list | None = None

    def permanent(self, found: Sequence[Pushed]) -> None:
        """Take in the permanent load acting alone, which may push the group before any block does."""
        worst = max(found, key=lambda part: part.utilisation.max())
        if worst.utilisation.max() > 1.0:
            self.before = frozenset({FORWARD})
            self._settle(worst.net)

    def begin(self, block: BlockSlip) -> None:
        """Start a block."""
        self._begin()
        self.blocks.append(block)

    def feed(self, ratio: NDArray[np.float64], combinations: Callable[[], Sequence[Pushed]]) -> None:
        """Take in the next instants of the block.

        Parameters
        ----------
        ratio : array, shape (m,)
            The largest utilisation in grip of every instant. [-]
        combinations : callable
            Gives each combination of the level; asked for where a bolt has no margin.
        """
        block = self.blocks[-1]
        _fill_trace(block, self._done, ratio)
        if self._carried or ratio.max() > 1.0:
            over = ratio > 1.0
            self._count_times(block, over)
            self._count_slips(block, combinations(), over, ratio)
        self._done += len(ratio)

    def end(self) -> None:
        """Close the block: a push that runs to its end is listed."""
        if self._open is not None:
            self._list(self.blocks[-1])

    def _count_times(self, block: BlockSlip, over: NDArray[np.bool_]) -> None:
        edges = np.flatnonzero(np.diff(over, prepend=False, append=False))
        lengths = edges[1::2] - edges[::2]
        goes_on = bool(self._carried and over[0])
        block.instants += int(lengths.sum())
        block.times_without_margin += len(lengths) - goes_on
        if goes_on:
            lengths[0] += self._carried
        if len(lengths):
            block.longest = max(block.longest, int(lengths.max()))
        self._carried = int(lengths[-1]) if over[-1] else 0

    def _count_slips(self, block, found, over: NDArray[np.bool_], ratio: NDArray[np.float64]) -> None:
        """Count the slips; look closer at those that are still listed."""
        at = np.flatnonzero(over)
        if not len(at):
            self._list(block)
            return
        ways = self._ways(found, at)
        # A push ends where the margin comes back or the way changes.
        stops = np.append(np.flatnonzero((np.diff(at) != 1) | (np.diff(ways) != 0)) + 1, len(at))
        if self._open is not None:
            if at[0] == 0 and ways[0] == self._way:
                self._extend(found, ratio, 0, int(stops[0]))
            if self._done + len(ratio) > self._open[0] + self._open[1]:
                self._list(block)
        slips = np.flatnonzero(ways != np.concatenate([[self._way], ways[:-1]]))
        block.events += len(slips)
        block.reversals += len(slips) - int(self._way == 0)
        block.first_way = block.first_way or int(ways[0])
        block.last_way = self._way = int(ways[-1])
        for slip in slips[: max(EVENTS_LISTED - len(block.listed), 0)]:
            stop = int(stops[np.searchsorted(stops, slip, side="right")])
            self._open = [self._done + int(at[slip]), 0, -1, 0.0, -np.inf, int(ways[slip])]
            self._extend(found, ratio, int(at[slip]), stop - int(slip))
            if at[stop - 1] + 1 < len(ratio):
                self._list(block)

    def _ways(self, found, at: NDArray[np.int64]) -> NDArray[np.int64]:
        """The side to which each instant without margin pushes: FORWARD or BACK."""
        net = found[0].net[:, at]
        if len(found) > 1:
            sizes = np.stack([part.utilisation[:, at].max(axis=0) for part in found])
            governs = sizes.argmax(axis=0)
            net = np.stack([part.net[:, at] for part in found])[governs, :, np.arange(len(at))].T
        if self._line is None:
            self._settle(net)
        cosine = np.zeros(len(at))
        if self._line is not None:
            size = np.sqrt(net[0] * net[0] + net[1] * net[1] + net[2] * net[2])
            along = self._line[0] * net[0] + self._line[1] * net[1] + self._line[2] * net[2]
            np.divide(along, size, out=cosine, where=size > 0.0)
        ways = np.where(cosine > SQUARE, FORWARD, np.where(cosine < -SQUARE, BACK, 0))
        if ways[0] == 0:
            ways[0] = self._way or (BACK if cosine[0] < 0.0 else FORWARD)
        last = np.maximum.accumulate(np.where(ways != 0, np.arange(len(ways)), 0))
        return ways[last]

    def _settle(self, net: NDArray[np.float64]) -> None:
        """Take the direction of the first net load that is not zero as the line of the level."""
        sizes = np.sqrt((net * net).sum(axis=0))
        if sizes.any():
            first = int(np.argmax(sizes > 0.0))
            self._line = net[:, first] / sizes[first]

    def _extend(self, found, ratio, start: int, length: int) -> None:
        """Add instants of this chunk to the open push; its peak is kept."""
        self._open[1] += length
        at = start + int(np.argmax(ratio[start : start + length]))
        if ratio[at] > self._open[4]:
            part = max(found, key=lambda item: item.utilisation[:, at].max())
            bolt = int(np.argmax(part.utilisation[:, at]))
            x, y = part.shear[bolt, :, at]
            self._open[2:5] = [int(self._bolts[bolt]), float(np.arctan2(y, x)), float(ratio[at])]

    def _list(self, block: BlockSlip) -> None:
        if self._open is None:
            return
        start, length, bolt, direction, ratio, way = self._open
        block.listed.append(
            SlipEvent(block.load, start * block.step, length * block.step, bolt, direction, ratio, way)
        )
        self._open = None


def _fill_trace(block: BlockSlip, done: int, ratio: NDArray[np.float64]) -> None:
    """Raise the bins of the trace to the largest utilisation that falls into them."""
    bins, samples = len(block.trace), block.samples
    first, last = done * bins // samples, (done + len(ratio) - 1) * bins // samples
    numbers = np.arange(first, last + 1)
    starts = np.maximum(-(-numbers * samples // bins) - done, 0)
    part = block.trace[first : last + 1]
    np.maximum(part, np.maximum.reduceat(ratio, starts), out=part)
