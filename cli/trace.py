"""Thins a load block out for the plots: the smallest and largest value of each component in equal spans of time."""

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import COMPONENTS, LoadBlock

BINS = 800
SHOWN = {"F": ("kN", 1e-3), "M": ("kN m", 1e-6)}


class LoadTrace:
    """Takes one block in, chunk by chunk."""

    def __init__(self, block: LoadBlock):
        self._block = block
        self._done = 0
        bins = min(BINS, block.samples)
        self._low = np.full((len(COMPONENTS), bins), np.inf)
        self._high = np.full((len(COMPONENTS), bins), -np.inf)

    def feed(self, chunk: NDArray[np.float64]) -> None:
        """Take in the next instants, shape (6, m). [N, N mm]"""
        bins = (self._done + np.arange(chunk.shape[1])) * self._low.shape[1] // self._block.samples
        starts = np.flatnonzero(np.diff(bins, prepend=-1))
        for part, merge in ((self._low, np.minimum), (self._high, np.maximum)):
            part[:, bins[starts]] = merge(part[:, bins[starts]], merge.reduceat(chunk, starts, axis=1))
        self._done += chunk.shape[1]

    def extremes(self) -> dict[str, dict]:
        """Smallest and largest value of each component that is not zero throughout."""
        return {
            name: {
                "low": float(self._low[row].min() * scale),
                "high": float(self._high[row].max() * scale),
                "unit": unit,
            }
            for name, row, unit, scale in self._shown()
        }

    def trace(self) -> dict:
        """Time in the middle of each span, and both extremes of each component in it."""
        bins = self._low.shape[1]
        times = (np.arange(bins) + 0.5) * self._block.span / bins
        return {
            "time_s": times.tolist(),
            "components": {
                name: {
                    "unit": unit,
                    "low": (self._low[row] * scale).tolist(),
                    "high": (self._high[row] * scale).tolist(),
                }
                for name, row, unit, scale in self._shown()
            },
        }

    def _shown(self):
        for row, name in enumerate(COMPONENTS):
            if self._low[row].any() or self._high[row].any():
                yield name, row, *SHOWN[name[0]]
