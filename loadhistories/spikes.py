"""Spikes: few samples far off the running median, reached and left in a jump."""

from dataclasses import dataclass

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from loadhistories.faults import resolution, runs
from loadhistories.validation import InputError

HALF_WINDOW = 3
TIMES = 8.0
LARGEST_SHARE = 0.01
WIDEST = 1001

_BLOCK = 128
_AT_ONCE = 2_000_000


@dataclass(frozen=True)
class Spike:
    """Samples `first` to `last` of a channel; `peak` is the one furthest off, `size` how far from the line between
    the sound neighbours."""

    first: int
    last: int
    peak: int
    size: float


def running_median(values: NDArray[np.float64], half: int) -> NDArray[np.float64]:
    """Median of each value and `half` neighbours on either side.

    At the ends, where neighbours are missing, it goes on from the first and the last such window by the median of
    its steps.
    """
    view = sliding_window_view(values, 2 * half + 1)
    found = np.empty(values.size)
    inner = found[half : values.size - half]
    rows = max(1, _AT_ONCE // (2 * half + 1))
    for start in range(0, inner.size, rows):
        inner[start : start + rows] = np.partition(view[start : start + rows], half, axis=1)[:, half]
    away = np.arange(1, half + 1)
    found[:half] = inner[0] - away[::-1] * np.median(np.diff(view[0]))
    found[values.size - half :] = inner[-1] + away * np.median(np.diff(view[-1]))
    return found


def spike_limits(
    values: NDArray[np.float64], *, half: int = HALF_WINDOW, times: float = TIMES
) -> NDArray[np.float64]:
    """How far off the running median a spike, and how large the jump to it, must at least be; shape of the values.

    `times` the median of the deviations, or of the steps from sample to sample where that is larger, in the
    neighbourhood: a block of 128 samples, or a block beside it where that is larger. Never below `times` the
    resolution.
    """
    deviations = np.abs(values - running_median(values, half))
    return np.maximum(times * _nearby(deviations), jump_limits(values, times=times))


def jump_limits(values: NDArray[np.float64], *, times: float = TIMES) -> NDArray[np.float64]:
    """How large a jump from one sample to the next stands out, shape of the values; see `spike_limits`."""
    steps = np.abs(np.diff(values, prepend=values[0]))
    return times * np.maximum(_nearby(steps), resolution(values))


def find_spikes(
    values: NDArray[np.float64], *, half: int = HALF_WINDOW, times: float | None = TIMES, above: float | None = None
) -> list[Spike]:
    """Spikes of one channel without gaps, at most `half` samples long each.

    Parameters
    ----------
    half : int
        Half the window: neighbours on either side that the median is taken of.
    times : float or None
        Multiple of the median deviation; see `spike_limits`.
    above : float or None
        A limit in the unit of the values instead; the jumps are then not looked at.

    Returns
    -------
    list of Spike
        None where the values are fewer than three windows. Within `half` samples of an end only single samples are
        sure to be found: several cannot be told from a step there.

    Source
    ------
    Deviation from the running median against the median deviation: known as the Hampel identifier, from memory; the
    demand for a jump in and out is ours.
    """
    if values.size < 3 * (2 * half + 1):
        return []
    off = values - running_median(values, half)
    if above is not None:
        limit, jumps = np.full(values.size, above), np.full(values.size, -1.0)
    else:
        jumps = jump_limits(values, times=times)
        limit = np.maximum(times * _nearby(np.abs(off)), jumps)
    found = [_spike(values, off, jumps, *run) for run in runs(np.abs(off) > limit) if run[1] - run[0] < half]
    return [spike for spike in found if spike is not None]


def bridged(values: NDArray[np.float64], spikes: list[Spike]) -> NDArray[np.float64]:
    """The values with each spike replaced by the line between its sound neighbours.

    A line adds no turning point: the cycles are those of the record with the samples left out.
    """
    found = np.array(values, float)
    last = values.size - 1
    for spike in spikes:
        before, after = spike.first - 1, spike.last + 1
        low, high = values[max(before, 0)], values[min(after, last)]
        low, high = (high if before < 0 else low), (low if after > last else high)
        part = np.arange(spike.first, spike.last + 1)
        found[part] = low + (high - low) * (part - before) / (after - before)
    return found


def half_window(window: float, step: float, place: str = "") -> int:
    """Neighbours on either side of a sample in a window. [s]

    Raises
    ------
    InputError
        The window holds fewer than three samples, or more than WIDEST.
    """
    half = round(window / step) // 2
    if not 1 <= half <= WIDEST // 2:
        raise InputError(
            f"window of spikes must hold 3 to {WIDEST} samples, {3 * step:.4g} s to {WIDEST * step:.4g} s at this "
            f"sampling, got {window:.6g} s" + (f" ({place})" if place else "")
        )
    return half


def _spike(values, off, jumps, first: int, last: int) -> Spike | None:
    """The spike of a run, if it is reached and left in a jump to the side on which it lies."""
    peak = first + int(np.argmax(np.abs(off[first : last + 1])))
    sign = np.sign(off[peak])
    if (np.sign(off[first : last + 1]) != sign).any():
        return None
    into = sign * np.diff(values[max(first - 1, 0) : peak + 1])
    out = -sign * np.diff(values[peak : last + 2])
    for jump in (into, out):
        if jump.size and jump.max() <= jumps[peak]:
            return None
    line = bridged(values, [Spike(first, last, peak, 0.0)])[peak]
    return Spike(first, last, peak, float(values[peak] - line))


def _nearby(sizes: NDArray[np.float64]) -> NDArray[np.float64]:
    """Median of the block of each place, or of a block beside it where that is larger."""
    length = min(_BLOCK, sizes.size)
    whole = sizes.size // length
    blocks = sizes[: whole * length].reshape(whole, length)
    medians = np.partition(blocks, length // 2, axis=1)[:, length // 2]
    if whole * length < sizes.size:
        tail = sizes[-length:]
        medians = np.append(medians, np.partition(tail, length // 2)[length // 2])
    padded = np.pad(medians, 1, mode="edge")
    largest = np.maximum(np.maximum(padded[:-2], padded[1:-1]), padded[2:])
    return np.repeat(largest, length)[: sizes.size]
