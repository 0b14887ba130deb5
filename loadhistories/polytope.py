"""Polytopes: the hull of points in one to six dimensions by its faces, and whether other points lie inside it.

The points are plain coordinates of like size; what they stand for is not known here.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

_MOST_FACES = 10_000  # a hull of more faces costs more than it saves
_PRODUCT = 200_000  # multiplications in a matrix product, below which it runs on one core without waiting for others
_FACE = 1e-13  # share of the hull's size by which a point on a face may seem to lie outside it
_INSIDE = 1e-9  # share of the hull's size by which a kept point must lie inside to be let go


@dataclass(frozen=True)
class Faces:
    """Faces of a polytope about the origin: what lies below all of them is inside.

    They stand by height, lowest first; in the plane by the angle at which they begin, which is then in `angles`.

    `heights` is the distance of each face's lowest corner along the face's normal. A point in the cone of a face
    and below that height is inside the polytope, whatever round-off the normal carries.
    """

    normals: NDArray[np.float64]
    heights: NDArray[np.float64]
    angles: NDArray[np.float64] | None = None

    def excess(self, points: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
        """How far each point lies above the face it exceeds most, and which; not above zero for points inside.

        Parameters
        ----------
        points : array, shape (rank, m)
        """
        if self.angles is not None:
            angle = np.arctan2(points[1], points[0])
            face = np.searchsorted(self.angles, angle, side="right") - 1
            return np.einsum("ji,ij->j", self.normals[face], points) - self.heights[face] - _FACE, face
        above, face = np.full(points.shape[1], -1.0), np.zeros(points.shape[1], dtype=np.intp)
        radius = np.sqrt(np.einsum("ij,ij->j", points, points))
        # A point nearer to the origin than a face is below it, so the faces further out need no look.
        order = np.argsort(radius)
        order = order[np.searchsorted(radius[order], self.heights[0]) :]
        start, most = 0, max(64, _PRODUCT // self.normals.size)
        while start < len(order):
            part = order[start : start + most]
            near = max(1, int(np.searchsorted(self.heights, radius[part[-1]])))
            part = part[: max(1, _PRODUCT // (near * len(points)))]
            over = points[:, part].T @ self.normals[:near].T - self.heights[:near]
            face[part] = over.argmax(axis=1)
            above[part] = over[np.arange(len(part)), face[part]] - _FACE
            start += len(part)
        return above, face


def polytope_of(
    points: NDArray[np.float64], old: int
) -> tuple[Faces, NDArray[np.float64], NDArray[np.bool_]] | None:
    """A polytope with corners among the points, its centre, and which points are corners or not safely inside.

    It begins with the furthest points in some directions and grows by the furthest points above its faces, until
    nothing is outside or its faces are too many. None where the points make no body. The first `old` points are
    needed unless they lie well inside, lest round-off wear the hull down from one settling to the next.
    """
    corners, before, out = _furthest(points), 0, np.arange(points.shape[1])
    while True:
        made = _faces_of(points[:, corners])
        if made is None:
            return None
        faces, centre, used = made
        # What was taken for a corner and is none is judged again like any other point.
        out, corners = np.setdiff1d(np.union1d(out, corners), corners[used]), corners[used]
        above, face = faces.excess(points[:, out] - centre)
        order = np.argsort(-above, kind="stable")[: np.count_nonzero(above > 0.0)]
        out, face = out[order], face[order]
        # The faces of a hull grow with its corners to the power of half the dimensions at most.
        room = (_MOST_FACES / len(faces.heights)) ** (1.0 / max(1, len(points) // 2)) - 1.0 if len(points) > 2 else 1.0
        if len(out) == 0 or len(corners) <= before or room < 0.1:
            break
        before = len(corners)
        highest = out[np.sort(np.unique(face, return_index=True)[1])]
        corners = np.concatenate([corners, highest[: int(min(1.0, room) * len(corners))]])
    needed = np.zeros(points.shape[1], dtype=bool)
    needed[:old] = faces.excess((points[:, :old] - centre) * (1.0 + _INSIDE))[0] > 0.0
    needed[corners] = needed[out] = True
    return faces, centre, needed


def _furthest(points: NDArray[np.float64]) -> NDArray[np.intp]:
    """Indices of the points furthest along each axis and some other directions."""
    rank = len(points)
    others = np.random.default_rng(0).normal(size=(16 * rank if rank > 1 else 0, rank))
    directions = np.concatenate([np.eye(rank), -np.eye(rank), others])
    return np.unique(np.concatenate([(part @ points).argmax(axis=1) for part in _parts(directions)]))


def _parts(directions: NDArray[np.float64]) -> Iterator[NDArray[np.float64]]:
    for start in range(0, len(directions), 8):
        yield directions[start : start + 8]


def _faces_of(
    points: NDArray[np.float64],
) -> tuple[Faces, NDArray[np.float64], NDArray[np.intp]] | None:
    """Faces of the hull of some points about its centre, the centre, and which points are its corners."""
    made = {1: _ends, 2: _outline}.get(len(points), _quickhull)(points)
    if made is None:
        return None
    used, simplices, normals = made
    centre = points[:, used].mean(axis=1, keepdims=True)
    corners = points[:, used] - centre
    heights = np.einsum("fr,rfc->fc", normals, corners[:, simplices]).min(axis=1)
    if np.any(heights <= 0.0):
        return None
    angles = np.arctan2(*corners[::-1, simplices[:, 0]]) if len(points) == 2 else None
    order = np.argsort(heights if angles is None else angles, kind="stable")
    return Faces(normals[order], heights[order], None if angles is None else angles[order]), centre, used


# The three below give the corners (indices of points), the faces (indices of corners) and the faces' outward normals.
_Hull = tuple[NDArray[np.intp], NDArray[np.intp], NDArray[np.float64]]


def _ends(points: NDArray[np.float64]) -> _Hull:
    """Hull of points on a line."""
    return np.array([points.argmin(), points.argmax()]), np.array([[0], [1]]), np.array([[-1.0], [1.0]])


def _outline(points: NDArray[np.float64]) -> _Hull | None:
    """Hull of points in a plane, anticlockwise; None where they make no area."""
    order = np.lexsort(points[::-1])
    x, y = points.tolist()

    def chain(indices: list[int]) -> list[int]:
        turns: list[int] = []
        for new in indices:
            while len(turns) > 1:
                last, one = turns[-1], turns[-2]
                if (x[last] - x[one]) * (y[new] - y[one]) > (y[last] - y[one]) * (x[new] - x[one]):
                    break
                turns.pop()
            turns.append(new)
        return turns[:-1]

    used = np.array(chain(order.tolist()) + chain(order[::-1].tolist()), dtype=np.intp)
    if len(used) < 3:
        return None
    follows = np.roll(np.arange(len(used)), -1)
    along = points[:, used[follows]] - points[:, used]
    normals = np.array([along[1], -along[0]]) / np.hypot(*along)
    return used, np.column_stack([np.arange(len(used)), follows]), normals.T


def _quickhull(points: NDArray[np.float64]) -> _Hull | None:
    """Hull of points in three to six dimensions; None where they make no body."""
    from scipy.spatial import ConvexHull, QhullError

    if points.shape[1] <= len(points):
        return None
    for options in (None, "QJ"):
        try:
            hull = ConvexHull(points.T, qhull_options=options)
        except QhullError:
            continue
        places = np.zeros(points.shape[1], dtype=np.intp)
        places[hull.vertices] = np.arange(len(hull.vertices))
        return hull.vertices, places[hull.simplices], hull.equations[:, :-1]
    return None
