"""Flat stretches of a channel that otherwise moves: cut off at a limit of its range, stuck, or dead."""

import numpy as np
from numpy.typing import NDArray

from loadhistories.faults import equal_runs

FEWEST = 64
FLAT = 3
STUCK = 50

_FLAT_SHARE = 0.05


def clipped_runs(values: NDArray[np.float64]) -> list[tuple[int, int]]:
    """First and last place of the runs that stand at the highest or the lowest value of a channel.

    At least three samples each, and two such runs or one of five samples at the same end; none where the channel
    stands still elsewhere as well.
    """
    if values.size < FEWEST:
        return []
    starts, lengths = equal_runs(values)
    found = []
    for extreme in (values.max(), values.min()):
        flat = (values[starts] == extreme) & (lengths >= FLAT)
        known = flat | (lengths >= STUCK)
        if (flat.sum() >= 2 or lengths[flat].max(initial=0) >= FLAT + 2) and _moves_elsewhere(values, lengths, known):
            found += [(int(a), int(a + n) - 1) for a, n in zip(starts[flat], lengths[flat], strict=True)]
    return sorted(found)


def stuck_runs(values: NDArray[np.float64]) -> list[tuple[int, int]]:
    """First and last place of the runs of at least 50 equal samples within a channel that otherwise moves."""
    if values.size < FEWEST:
        return []
    starts, lengths = equal_runs(values)
    flat = lengths >= STUCK
    limits = (values[starts] == values.max()) | (values[starts] == values.min())
    if not flat.any() or not _moves_elsewhere(values, lengths, flat | (limits & (lengths >= FLAT))):
        return []
    return [(int(a), int(a + n) - 1) for a, n in zip(starts[flat], lengths[flat], strict=True)]


def is_dead(values: NDArray[np.float64]) -> bool:
    """Whether a channel never changes."""
    return values.size >= FEWEST and bool((values == values[0]).all())


def _moves_elsewhere(values: NDArray[np.float64], lengths: NDArray[np.int64], flat: NDArray[np.bool_]) -> bool:
    """Whether outside the flat runs hardly a sample equals its neighbours, and the values bend as measured ones do."""
    rest, still = int(lengths[~flat].sum()), int(lengths[~flat & (lengths >= FLAT)].sum())
    if rest < FEWEST // 2 or still > _FLAT_SHARE * rest:
        return False
    outside = values[np.repeat(~flat, lengths)]
    bends = np.abs(np.diff(outside, 2))
    return float(np.median(bends)) > 1e-6 * float(np.ptp(values))
