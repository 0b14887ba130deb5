"""Follows the levels of a joint through long histories: the compiled loop first, a closer look only where it is due."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from slip.events import Acting, LevelWalk
from slip.kernel import TILE, compiled_follow
from slip.peaks import PeakWalk, ordered_product
from slip.reduced import ROUNDING


class LongWalk:
    """Feeds the walks of several levels and that of the peaks; they keep what they would keep without it.

    Parameters
    ----------
    peaks : PeakWalk
        Of all forces that are linear in the load.
    walks : sequence of LevelWalk
        All with grip, and of the same bolts.
    permanent : Acting
        The permanent load alone, with the rows of the bolts.
    """

    def __init__(self, peaks: PeakWalk, walks: Sequence[LevelWalk], permanent: Acting):
        self._peaks = peaks
        self._walks = walks
        self._permanent = permanent
        self._fixed = np.concatenate([permanent.shear[..., 0], permanent.tension], axis=1)
        parts = [(level, part) for level, walk in enumerate(walks) for part in walk.level.combinations]
        self._parts = np.array([[part.permanent, part.variable] for _, part in parts])
        self._level_of = np.array([level for level, _ in parts])
        self._grips = np.array([[x.level.factor, x.preload, x.level.tension_share] for x in walks])

    def feed(self, chunk: NDArray[np.float64]) -> None:
        """Take in the next instants, components of shape (6, m). [N, N mm]"""
        rows = self._peaks.rows
        bounds = [walk.bounds for walk in self._walks]
        of = np.repeat(np.arange(len(bounds)), [len(lines) for lines in bounds])
        ratio = np.zeros((len(bounds), chunk.shape[1]))
        most = np.zeros((-(-chunk.shape[1] // TILE), len(of)))
        low, high = np.full(len(rows), np.inf), np.full(len(rows), -np.inf)
        compiled_follow()(
            np.ascontiguousarray(chunk), rows, self._permanent.rows.bolts, self._fixed, self._parts, self._level_of,
            self._grips, np.concatenate(bounds), of, ratio, most, low, high,
        )  # fmt: skip
        self._peaks.take(chunk, low, high)
        for level, walk in enumerate(self._walks):
            passed = (most[:, of == level] > 1.0 - ROUNDING).any(axis=1)
            starts = (TILE * passed.nonzero()[0]).tolist()
            closer = [(start, self._acting(chunk[:, start : start + TILE])) for start in starts]
            walk.feed_followed(ratio[level], closer, lambda: self._acting(chunk), self._permanent)

    def _acting(self, loads: NDArray[np.float64]) -> Acting:
        return Acting(loads, ordered_product(self._peaks.rows, loads), self._permanent.rows)
