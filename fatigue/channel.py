"""The count of one history while it is fed: turning points of the running block, the open points, the tally.

A history is taken apart into blocks of BLOCK samples, each reduced to what stays open in it, and the blocks
are joined in order. The blocks are fixed by the number of the sample, so that neither the size of the pieces
fed nor the number of threads changes a bit or the order of the cycles.
"""

from concurrent.futures import Executor, wait
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from fatigue.kernel import FLOOR, Kernel, empty_stack
from fatigue.tallies import Tally
from loadhistories.validation import InputError

Floats = NDArray[np.float64]

BLOCK = 131_072
# Cycles are written to ever larger arrays up to this length: few of them, and large pages of memory.
LARGEST_SLAB = 16 * BLOCK
# Sums and differences of two values must stay finite.
LARGEST = 2.0**1022


class Workspace:
    """Arrays that the reduction of blocks writes to, used again where no tally keeps them."""

    def __init__(self):
        self.points = np.empty(BLOCK + 1)
        self._stack = empty_stack(BLOCK + 1)
        self._cycles = np.empty((2, BLOCK))
        self._used = 0

    def reduce(self, kernel: Kernel, points: Floats, found: int, tally: Tally):
        """Close what can be closed within a block: its ranges and means, and the points left open."""
        if self._cycles.shape[1] - self._used < BLOCK // 2 + 1:
            self._cycles = np.empty((2, min(2 * self._cycles.shape[1], LARGEST_SLAB)))
            self._used = 0
        ranges, means = self._cycles[:, self._used :]
        size, closed = kernel.close(points, found, self._stack, FLOOR, ranges, means)
        if tally.whole:
            self._used += closed
        return ranges[:closed], means[:closed], self._stack[FLOOR:size].copy()


class OpenPoints:
    """The turning points not yet in a closed cycle, in order."""

    def __init__(self, points: Floats):
        self._size = FLOOR + len(points)
        self._stack = empty_stack(len(points) + 64)
        self._stack[FLOOR : self._size] = points

    def push(self, kernel: Kernel, points: Floats, tally: Tally) -> None:
        """Join further turning points and give the cycles they close to the tally."""
        needed = self._size + len(points)
        if needed > len(self._stack):
            grown = empty_stack(2 * needed)
            grown[: self._size] = self._stack[: self._size]
            self._stack = grown
        ranges, means = np.empty((2, needed // 2 + 1))
        self._size, closed = kernel.close(points, len(points), self._stack, self._size, ranges, means)
        if closed:
            tally.take(tally.part(ranges[:closed].copy(), means[:closed].copy()))

    @property
    def values(self) -> Floats:
        """A copy of the points."""
        return self._stack[FLOOR : self._size].copy()


class Channel:
    """The running count of one history."""

    def __init__(self, tally: Tally, name: str):
        self.tally = tally
        self.name = name
        self.samples = 0
        self._last = 0.0
        self._rising: bool | None = None
        self._points = np.empty(BLOCK + 1)
        self._found = 0
        self._open = OpenPoints(np.empty(0))

    def feed(self, values: Floats, kernel: Kernel, space: Workspace, pool: Executor | None = None, tasks: int = 1):
        """Count the next samples, shape (n,), contiguous; with a pool, whole blocks in so many tasks."""
        at = 0
        while at < len(values):
            whole = (len(values) - at) // BLOCK
            if whole and self._rising is not None and self.samples % BLOCK == 0:
                blocks = values[at : at + whole * BLOCK]
                self._feed_blocks(blocks, kernel, space, pool, min(tasks, whole))
                at += len(blocks)
                continue
            piece = values[at : at + BLOCK - self.samples % BLOCK]
            self._find(piece, kernel)
            at += len(piece)
            if self.samples % BLOCK == 0:
                ranges, means, left = space.reduce(kernel, self._points, self._found, self.tally)
                self._join(self.tally.part(ranges, means), left, kernel)
                self._found = 0

    def finished(self, kernel: Kernel, space: Workspace) -> tuple[Tally, Floats]:
        """The tally and the open points if the history ended here; the count can go on."""
        total = self.tally.combined([(self.tally, 1.0)])
        if self._rising is None:
            return total, np.full(min(self.samples, 1), self._last)
        still_open = OpenPoints(self._open.values)
        ranges, means, left = space.reduce(kernel, self._points, self._found, total)
        total.take(total.part(ranges, means))
        still_open.push(kernel, left, total)
        still_open.push(kernel, np.array([self._last]), total)
        return total, still_open.values

    def _find(self, piece: Floats, kernel: Kernel) -> None:
        rest = piece
        if self._rising is None:
            rest = self._started(piece)
        if len(rest):
            found, self._rising, numbers = kernel.turning(
                rest, self._last, self._rising, self._points[self._found :]
            )
            self._require_sound(piece, numbers, self._points[self._found : self._found + found], self.samples)
            self._found += found
            self._last = float(rest[-1])
        self.samples += len(piece)

    def _started(self, piece: Floats) -> Floats:
        # Up to its first change a history is one point; the change then turns at it, so that it is kept.
        if self.samples == 0:
            self._require_sound(piece[:1], not np.isnan(piece[0]), piece[:1], 0)
            self._last = float(piece[0])
        different = np.flatnonzero(piece != self._last)
        if len(different) == 0:
            return piece[:0]
        self._rising = not piece[different[0]] > self._last
        return piece[different[0] :]

    def _feed_blocks(self, values: Floats, kernel: Kernel, space: Workspace, pool: Executor | None, tasks: int):
        blocks = len(values) // BLOCK
        bounds = [BLOCK * (blocks * task // tasks) for task in range(tasks + 1)]
        if pool is None:
            done = [self._reduced(values, 0, len(values), kernel, space)]
        else:
            futures = [
                pool.submit(self._reduced, values, first, end, kernel, Workspace()) for first, end in pairwise(bounds)
            ]
            # All are waited for, so that a refusal in one leaves no other at work.
            wait(futures)
            done = [future.result() for future in futures]
        for reduced, rising in done:
            self._rising = rising
            for part, left in reduced:
                self._join(part, left, kernel)
        self._last = float(values[-1])
        self.samples += len(values)

    def _reduced(self, values: Floats, first: int, end: int, kernel: Kernel, space: Workspace):
        """The parts and the open points of each whole block, and whether the history rises at the end."""
        last, rising = self._last, self._rising
        if first:
            last, rising = float(values[first - 1]), self._direction(values[:first])
        done = []
        for start in range(first, end, BLOCK):
            piece = values[start : start + BLOCK]
            found, rising, numbers = kernel.turning(piece, last, rising, space.points)
            ranges, means, left = space.reduce(kernel, space.points, found, self.tally)
            self._require_sound(piece, numbers, left, self.samples + start)
            done.append((self.tally.part(ranges, means), left))
            last = float(piece[-1])
        return done, rising

    def _direction(self, before: Floats) -> bool:
        """Whether the history rose when it last changed, at the end of `before`."""
        reach = 64
        while True:
            tail = before[-reach:]
            changed = np.flatnonzero(tail[1:] != tail[:-1])
            if len(changed):
                return bool(tail[changed[-1] + 1] > tail[changed[-1]])
            if reach >= len(before):
                return bool(before[0] > self._last) if before[0] != self._last else self._rising
            reach *= 8

    def _join(self, part, left: Floats, kernel: Kernel) -> None:
        self.tally.take(part)
        self._open.push(kernel, left, self.tally)

    def _require_sound(self, piece: Floats, numbers: bool, points: Floats, first: int) -> None:
        # What is too large lies at turning points or at the end; only NaN hides between.
        bounded = len(points) == 0 or (points.max() <= LARGEST and points.min() >= -LARGEST)
        if numbers and bounded and abs(piece[-1]) <= LARGEST:
            return
        at = int(np.flatnonzero(~(np.abs(piece) <= LARGEST))[0])
        raise InputError(
            f"{self.name} must be finite (and not beyond {LARGEST:.3g}), got {piece[at]:g} at index {first + at}; "
            "mend or cut the history before counting"
        )
