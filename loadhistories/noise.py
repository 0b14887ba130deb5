"""Noise of a channel as measured in its quietest stretches, and the gate that takes cycles of noise out."""

import itertools

import numpy as np
from numpy.typing import NDArray

BLOCK = 256
FEWEST = 64

# A fourth difference of white noise is as large as the noise times the root of 1 + 16 + 36 + 16 + 1.
_GAIN = 70.0**0.5


def noise_of(values: NDArray[np.float64]) -> float:
    """Standard deviation of the noise, in the unit of the values; 0 where there are too few to tell.

    Lower quartile, over blocks of 256 samples, of the root mean square of the fourth differences over the root of 70:
    a load that changes slowly against the sampling falls out of these.

    Limits
    ------
    A load with fewer than about ten samples a cycle throughout counts as noise in part.

    Source
    ------
    Derived: variance of a sum of independent values.
    """
    if values.size < FEWEST:
        return 0.0
    fourth = np.diff(values, 4)
    length = min(BLOCK, fourth.size)
    blocks = fourth[: fourth.size // length * length].reshape(-1, length)
    return float(np.quantile(np.sqrt((blocks * blocks).mean(axis=1)), 0.25)) / _GAIN


def turning_places(values: NDArray[np.float64], gate: float) -> list[int]:
    """Places of the turning points between which the values change by at least `gate`; first and last included."""
    places = _extremes(values)
    heights = values[places].tolist()
    found, direction, low, high = [], 0, 0, 0
    for k, height in enumerate(heights):
        if direction >= 0 and height > heights[high]:
            high = k
        if direction <= 0 and height < heights[low]:
            low = k
        if direction >= 0 and heights[high] - height >= gate and k > high:
            found.append(places[high])
            direction, low = -1, k
        elif direction <= 0 and height - heights[low] >= gate and k > low:
            found.append(places[low])
            direction, high = 1, k
    if direction:
        found.append(places[high if direction > 0 else low])
    return sorted({0, *found, values.size - 1})


def gated(values: NDArray[np.float64], gate: float) -> NDArray[np.float64]:
    """The values without ups and downs smaller than `gate`; every turning point that is left keeps its value.

    Between two turning points the values climb, or fall, and never turn; so cycles of at least `gate` keep their
    range, and no value moves by as much as `gate`.
    """
    found = np.array(values, float)
    places = turning_places(values, gate)
    for start, end in itertools.pairwise(places):
        part = found[start : end + 1]
        climb = np.maximum if values[end] >= values[start] else np.minimum
        climb.accumulate(part, out=part)
    return found


def _extremes(values: NDArray[np.float64]) -> NDArray[np.int64]:
    """First place, every place at which the direction changes, last place."""
    steps = np.diff(values)
    moved = np.flatnonzero(steps)
    if not moved.size:
        return np.array([0, values.size - 1])
    turns = moved[1:][np.diff(np.sign(steps[moved])) != 0]
    return np.concatenate(([0], turns, [values.size - 1]))
