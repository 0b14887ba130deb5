"""LoadHull: the few load points of a history on which every convex measure has its largest value.

What is measured there, the force of a bolt or the use of its grip, is the business of other rooms.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import COMPONENTS
from loadhistories.polytope import Faces, polytope_of
from loadhistories.validation import InputError

CROWDED = 50_000  # points above which thinning is given up
_WAITING = 8192  # points that wait before the hull is made anew
_TILE = 200_000  # multiplications at a time: they stay in the processor's cache and wait for no other core
_NOISE = 256 * np.finfo(float).eps  # share that counts as round-off


class LoadHull:
    """A subset of the load points of a history that holds the corners of their convex hull.

    A measure that is convex or quasi-convex in the load (the shear or tension of a bolt, their interaction, a
    component's size, shear over the grip that tension leaves) is largest at a corner of the hull. So the history
    need not be read again to know that measure's largest value.

    Limits
    ------
    A point that is let go lies inside the hull of the kept ones, or outside by no more than round-off: a few
    1e-13 of a component's span, or of its mean where it does not change by more than that. The smallest and
    largest value of each component are kept to the bit. A sum over time, a count or the instant of an event is
    no measure of one load point and cannot be had from the hull. Where most points are corners (a steadily
    turning load that never repeats itself, noise in five or six independent components), the number of points
    grows with the history and the hull is slow: see `crowded`.

    Source
    ------
    A convex function has its maximum over a bounded set at an extreme point of it: common practice, no source.

    Examples
    --------
    >>> hull = LoadHull()
    >>> hull.feed(np.array([[0.0, 1.0, 2.0, 3.0]] + 5 * [[0.0] * 4]))
    >>> hull.points()[0]
    array([0., 3.])
    """

    def __init__(self) -> None:
        self._low = np.full(len(COMPONENTS), np.inf)
        self._high = np.full(len(COMPONENTS), -np.inf)
        self._kept = np.empty((len(COMPONENTS), 0))
        self._waiting: list[NDArray[np.float64]] = []
        self._inner: _Inner | None = None
        self._copies = _Copies(self._kept)
        self._crowded = False

    @property
    def crowded(self) -> bool:
        """Whether more than CROWDED points were corners at once.

        The points stay complete, but no more are let go than lie inside the hull known by then, and memory grows
        with the history. Whoever wants it bounded stops feeding and walks the history again instead.
        """
        return self._crowded

    def feed(self, chunk: NDArray[np.float64]) -> None:
        """Take in the next instants.

        Parameters
        ----------
        chunk : array, shape (6, m)
            Load points in the order of COMPONENTS. [N, N mm]

        Raises
        ------
        InputError
            Another shape, or a value that is not finite.
        """
        chunk = np.asarray(chunk, dtype=np.float64)
        if chunk.ndim != 2 or len(chunk) != len(COMPONENTS):
            raise InputError(f"load points must have the shape (6, m), got {chunk.shape}: a row for each component")
        if chunk.shape[1] == 0:
            return
        self._note_records(chunk)
        if self._inner is None:
            self._wait(chunk.copy())
        else:
            outside = chunk[:, self._inner.outside(chunk)]
            if outside.shape[1]:
                self._wait(outside[:, ~self._copies.among(outside)])
        if sum(part.shape[1] for part in self._waiting) > max(_WAITING, self._kept.shape[1]):
            self._settle()

    def points(self) -> NDArray[np.float64]:
        """The kept load points, columns as they were fed, in no particular order. Shape (6, k). [N, N mm]"""
        self._settle()
        return self._kept.copy()

    def _note_records(self, chunk: NDArray[np.float64]) -> None:
        """Keep the smallest and largest value of each component; forget the inner hull if a component wakes up."""
        low, high = chunk.min(axis=1), chunk.max(axis=1)
        broken = ~(np.isfinite(low) & np.isfinite(high))
        if np.any(broken):
            name = COMPONENTS[np.flatnonzero(broken)[0]]
            raise InputError(f"load points must be finite, but {name} has a value that is not: clean the history first")
        lower, higher = np.flatnonzero(low < self._low), np.flatnonzero(high > self._high)
        if len(lower) == len(higher) == 0:
            return
        at = np.concatenate([chunk[lower].argmin(axis=1), chunk[higher].argmax(axis=1)])
        self._wait(chunk[:, np.unique(at)])
        self._low, self._high = np.minimum(low, self._low), np.maximum(high, self._high)
        if self._inner is not None and not np.array_equal(self._inner.rows, _moving(self._low, self._high)):
            self._inner = None

    def _wait(self, columns: NDArray[np.float64]) -> None:
        if columns.shape[1]:
            self._waiting.append(columns)

    def _settle(self) -> None:
        """Make the hull anew from the kept and the waiting points, and let go what lies inside."""
        if not self._waiting:
            return
        old, new = self._kept, np.concatenate(self._waiting, axis=1)
        self._waiting = []
        if not self._crowded:
            self._inner, stays = _inner_hull(old, new, self._low, self._high)
            old, new = old[:, stays[: old.shape[1]]], new[:, stays[old.shape[1] :]]
        self._kept = _distinct(np.concatenate([old, new], axis=1))
        self._copies = _Copies(self._kept)
        self._crowded = self._crowded or self._kept.shape[1] > CROWDED


@dataclass(frozen=True)
class _Inner:
    """The test whether a load point lies inside the hull known so far.

    Attributes
    ----------
    rows : array of int
        The components that move.
    origin, matrix, centre : array, shape (len(rows), 1), (len(rows), len(rows)), (len(rows), 1)
        From those to coordinates, matrix @ (load - origin) - centre: first `rank` within the hull, then those in
        which it is flat, in units of the round-off expected there.
    """

    rows: NDArray[np.intp]
    origin: NDArray[np.float64]
    matrix: NDArray[np.float64]
    centre: NDArray[np.float64]
    rank: int
    faces: Faces | None

    def outside(self, chunk: NDArray[np.float64]) -> NDArray[np.intp]:
        """Indices of the columns that may lie outside."""
        if self.faces is None:
            return np.empty(0, dtype=np.intp)
        found, places, sure, ball = [], [], [], self.faces.heights.min() ** 2
        size = min(16_384, _TILE // len(self.rows) ** 2)
        for start in range(0, chunk.shape[1], size):
            coordinates = self.matrix @ (chunk[self.rows, start : start + size] - self.origin)
            coordinates -= self.centre
            hull, flat = coordinates[: self.rank], coordinates[self.rank :]
            off = np.einsum("ij,ij->j", flat, flat) > 1.0 if len(flat) else False
            at = np.flatnonzero((np.einsum("ij,ij->j", hull, hull) > ball) | off)
            found.append(start + at)
            places.append(hull[:, at])
            sure.append(off[at] if len(flat) else np.zeros(len(at), dtype=bool))
        at = np.concatenate(found)
        above = self.faces.excess(np.concatenate(places, axis=1))[0] > 0.0
        return at[above | np.concatenate(sure)]


def _inner_hull(
    old: NDArray[np.float64], new: NDArray[np.float64], low: NDArray[np.float64], high: NDArray[np.float64]
) -> tuple[_Inner | None, NDArray[np.bool_]]:
    """The hull of kept and new points as a test, and which of the points (old first) must stay.

    The test is None where no hull could be made; then every point stays.
    """
    points = np.concatenate([old, new], axis=1)
    stays = np.zeros(points.shape[1], dtype=bool)
    changing = points[low < high] if np.any(low < high) else points[:1]
    stays[changing.argmin(axis=1)] = stays[changing.argmax(axis=1)] = True
    rows = _moving(low, high)
    if len(rows) == 0:
        none = np.empty((0, 1))
        return _Inner(rows, none, np.empty((0, 0)), none, 0, None), stays
    origin, matrix, centre, rank = _coordinates(points[rows], low[rows], high[rows])
    made = polytope_of(matrix[:rank] @ (points[rows] - origin) - centre[:rank], old.shape[1])
    if made is None:
        return None, np.ones_like(stays)
    faces, middle, needed = made
    centre[:rank] += middle
    return _Inner(rows, origin, matrix, centre, rank, faces), stays | needed


def _moving(low: NDArray[np.float64], high: NDArray[np.float64]) -> NDArray[np.intp]:
    """Indices of the components that change by more than round-off of their size."""
    size = np.maximum(np.abs(low), np.abs(high))
    return np.flatnonzero(high - low > np.maximum(_NOISE * size, 1e-290))


def _coordinates(
    points: NDArray[np.float64], low: NDArray[np.float64], high: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64], int]:
    """Origin, matrix and centre of coordinates from -1 to 1 in the points' subspace, and its rank; see _Inner."""
    span, origin = (high - low)[:, None], (low + (high - low) / 2)[:, None]
    scaled = (points - origin) / span
    axes = np.linalg.svd(np.linalg.qr(scaled.T, mode="r"))[2]
    along = axes @ scaled
    least, most = along.min(axis=1), along.max(axis=1)
    half, noise = (most - least) / 2, _NOISE * np.abs(axes).sum(axis=1)
    flat = half <= noise
    unit = np.where(flat, noise, half)
    order = np.argsort(flat, kind="stable")
    matrix, centre = axes / unit[:, None] / span.T, ((least + half) / unit)[:, None]
    return origin, matrix[order], centre[order], int(np.sum(~flat))


class _Copies:
    """Finds load points that are copies of known ones, as when a machine repeats its cycle exactly."""

    def __init__(self, known: NDArray[np.float64]):
        keys = self._keys(known)
        order = np.argsort(keys, kind="stable")
        self._sorted, self._known = keys[order], known[:, order]

    def among(self, points: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Which points equal a known one in every bit."""
        if len(self._sorted) == 0:
            return np.zeros(points.shape[1], dtype=bool)
        at = np.minimum(np.searchsorted(self._sorted, self._keys(points)), len(self._sorted) - 1)
        return np.all(self._known[:, at] == points, axis=0)

    @staticmethod
    def _keys(points: NDArray[np.float64]) -> NDArray[np.uint64]:
        """One number for each column, made of the bits of its values."""
        keys = np.zeros(points.shape[1], dtype=np.uint64)
        for row in points:
            keys = (keys ^ np.ascontiguousarray(row).view(np.uint64)) * np.uint64(0x9E3779B97F4A7C15)
            keys ^= keys >> np.uint64(29)
        return keys


def _distinct(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """The columns without repetition."""
    ordered = points[:, np.lexsort(points)]
    first = np.ones(ordered.shape[1], dtype=bool)
    first[1:] = np.any(ordered[:, 1:] != ordered[:, :-1], axis=0)
    return ordered[:, first]
