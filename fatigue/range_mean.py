"""Cycles of a detail gathered by range and mean: how many in each cell, and their share of the damage."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from fatigue.given import GivenCycles

RANGE_CELLS, MEAN_CELLS = 12, 12
# A summed count keeps no means; the edge of its one cell lies beyond any stress.
_NO_MEAN = 1e6


@dataclass(frozen=True)
class RangeMeanCell:
    """Cycles in the design life whose range and mean lie between two limits [MPa], and their share of the damage."""

    range_from: float
    range_to: float
    mean_from: float
    mean_to: float
    cycles: float
    share: float


def range_mean_cells(result, blocks: Sequence[GivenCycles]) -> tuple[RangeMeanCell, ...]:
    """Cells that hold cycles, by range and then by mean; none where no means are known.

    Parameters
    ----------
    result : NormalDamage, ShearDamage or like
        Of the detail; its curve weighs the ranges in full.
    blocks : sequence of GivenCycles
        Cycles of each load over the design life.

    Limits
    ------
    The share is by full ranges: relief for compression and the like are not in it.
    """
    ranges, means, counts = (
        np.concatenate([np.empty(0), *(getattr(block, name) for block in blocks)])
        for name in ("ranges", "means", "counts")
    )
    known = ranges > 0.0
    ranges, means, counts = ranges[known], means[known], counts[known]
    if not len(ranges) or not np.isfinite(means).all() or np.abs(means).max() > _NO_MEAN:
        return ()
    harm = result.curve.damage_of_each(ranges * getattr(result, "gamma_Ff", 1.0), counts)
    edges = [np.linspace(0.0, ranges.max(), RANGE_CELLS + 1), _mean_edges(means)]
    cycles, damage = (np.histogram2d(ranges, means, bins=edges, weights=weights)[0] for weights in (counts, harm))
    whole = damage.sum()
    share = damage / whole if whole > 0.0 else damage
    return tuple(
        RangeMeanCell(*_limits(edges[0], i), *_limits(edges[1], j), float(cycles[i, j]), float(share[i, j]))
        for i, j in zip(*np.nonzero(cycles), strict=True)
    )


def _mean_edges(means):
    """Limits of the means; of means that are all alike one cell around them."""
    low, high = float(means.min()), float(means.max())
    least = max(1e-6 * max(abs(low), abs(high)), 1e-6)
    if high - low < least:
        return np.array([low - 0.5, high + 0.5])
    return np.linspace(low, high, MEAN_CELLS + 1)


def _limits(edges, place: int) -> tuple[float, float]:
    return float(edges[place]), float(edges[place + 1])
