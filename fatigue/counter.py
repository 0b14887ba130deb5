"""CycleCounter: counts histories that come in pieces, several side by side, on as many processors as there are."""

import os
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor, wait

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.channel import BLOCK, Channel, Workspace
from fatigue.count import CycleCount
from fatigue.kernel import COMPILED_FROM, Kernel, kernel_for
from fatigue.tallies import Bins, Curve, tally
from loadhistories.validation import InputError

# From so many samples in one call on, a second thread costs less than it saves.
SHARED_FROM = 4 * BLOCK


class CycleCounter:
    """Counts histories that come in pieces, several side by side.

    Neither the size of the pieces nor the number of processors changes a bit of the result.

    Parameters
    ----------
    channels : int
        Number of histories.
    keep, bins, curves
        As for `count_cycles`. Where each history has curves of its own, `curves` is a sequence of as many
        sequences.

    Limits
    ------
    After a refused piece the counter is not to be used any more.

    Examples
    --------
    >>> counter = CycleCounter(channels=2)
    >>> counter.feed([[0, 5, 1], [0, -1, 0]])
    >>> counter.feed([[2, 0], [3, 3]])
    >>> [count.ranges.tolist() for count in counter.counts()]
    [[1.0, 5.0, 5.0], [1.0, 4.0]]
    """

    def __init__(
        self,
        channels: int = 1,
        *,
        keep: str = "cycles",
        bins: Bins | None = None,
        curves: Sequence[Curve] | Sequence[Sequence[Curve]] | None = None,
    ):
        if isinstance(channels, bool) or not hasattr(channels, "__index__") or channels < 0:
            raise InputError(f"number of channels must be a whole number, not below 0, got {channels!r}")
        each = [curves] * channels
        if curves is not None and len(curves) and isinstance(curves[0], Sequence):
            if len(curves) != channels:
                raise InputError(f"{channels} channels need as many sequences of curves, got {len(curves)}")
            each = curves
        names = ["values"] if channels == 1 else [f"values of channel {number}" for number in range(channels)]
        self._channels = [
            Channel(tally(keep, bins, own), name) for own, name in zip(each, names, strict=True)
        ]
        self._spaces = [Workspace()]
        self._pool: ThreadPoolExecutor | None = None
        self._samples = 0

    def feed(self, values: ArrayLike) -> None:
        """Count the next samples.

        Parameters
        ----------
        values : array, shape (n_channels, m), or (m,) for one channel

        Raises
        ------
        InputError
            The shape does not fit, or a value is not finite: named with its index since the first piece.
        """
        given = real_numbers(values)
        if given.ndim == 1 and len(self._channels) == 1:
            given = given[np.newaxis]
        if given.ndim != 2 or len(given) != len(self._channels):
            raise InputError(f"values must have shape ({len(self._channels)}, m), got {given.shape}")
        self._samples += given.size
        kernel = kernel_for(self._samples)
        threads = self._threads(given.size)
        if threads == 1:
            for channel, row in zip(self._channels, given, strict=True):
                channel.feed(np.ascontiguousarray(row), kernel, self._spaces[0])
        elif len(self._channels) == 1:
            self._channels[0].feed(np.ascontiguousarray(given[0]), kernel, self._spaces[0], self._pool, threads)
        else:
            self._feed_shared(given, kernel, threads)

    def counts(self) -> tuple[CycleCount, ...]:
        """The count of each channel so far; feeding can go on."""
        kernel = kernel_for(self._samples)
        return tuple(
            CycleCount(*channel.finished(kernel, self._spaces[0]), channel.samples) for channel in self._channels
        )

    def count(self) -> CycleCount:
        """The count of the only channel so far."""
        if len(self._channels) != 1:
            raise InputError(f"the counter has {len(self._channels)} channels; take .counts()")
        return self.counts()[0]

    def _threads(self, size: int) -> int:
        # Plain Python gains nothing by a second thread.
        if size < SHARED_FROM or self._samples < COMPILED_FROM:
            return 1
        if self._pool is None and _processors() > 1:
            self._spaces = [Workspace() for _ in range(_processors())]
            self._pool = ThreadPoolExecutor(len(self._spaces))
        return len(self._spaces)

    def _feed_shared(self, given: NDArray[np.float64], kernel: Kernel, threads: int) -> None:
        def run(first: int) -> None:
            for channel, row in zip(self._channels[first::threads], given[first::threads], strict=True):
                channel.feed(np.ascontiguousarray(row), kernel, self._spaces[first])

        futures = [self._pool.submit(run, first) for first in range(threads)]
        wait(futures)
        for future in futures:
            future.result()


def real_numbers(values: ArrayLike) -> NDArray[np.float64]:
    """`values` as float64; raise InputError unless they are real numbers. NaN and infinity pass."""
    given = np.asarray(values)
    if given.dtype.kind not in "fiu":
        raise InputError(f"values must be real numbers, got {given.dtype} data")
    return given.astype(np.float64, copy=False)


def _processors() -> int:
    try:
        return len(os.sched_getaffinity(0))
    except AttributeError:  # not on every system
        return os.cpu_count() or 1
