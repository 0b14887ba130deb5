"""What of a bolt group is enough to look at: its corners, and the load on the group as a whole."""

import numpy as np
from numpy.typing import NDArray


def net_rows(positions: NDArray[np.float64]) -> NDArray[np.float64]:
    """Fx, Fy and the moment about the bolts' centroid over their polar radius, per unit load component, shape (3, 6).

    The product of two such loads is that of the bolt forces which they cause, so that its sign tells whether one
    pushes the group the way of the other. One bolt takes no moment.
    """
    places = np.asarray(positions, dtype=float)
    centre = places.mean(axis=0)
    radius = float(np.sqrt(((places - centre) ** 2).sum(axis=1).mean()))
    rows = np.eye(6)[[0, 1, 5]]
    rows[2, :2] = centre[1], -centre[0]
    rows[2] *= 1.0 / radius if radius > 0.0 else 0.0
    return rows


def outermost(positions: NDArray[np.float64]) -> NDArray[np.int64]:
    """Numbers of the bolts at the corners of the group: no measure that is convex is larger at any other bolt.

    The forces on a bolt are linear in its place, so that a convex measure of them is convex in the place too.
    """
    places = np.asarray(positions, dtype=float)
    order = np.lexsort((places[:, 1], places[:, 0]))
    if len(order) < 3:
        return order
    chains = []
    for path in (order, order[::-1]):
        chain: list[int] = []
        for bolt in path:
            while len(chain) > 1 and _turns_right(places[chain[-2]], places[chain[-1]], places[bolt]):
                chain.pop()
            chain.append(int(bolt))
        chains += chain[:-1]
    return np.array(sorted(set(chains)))


def _turns_right(first, middle, last) -> bool:
    """Whether the way over three points turns to the right or goes straight on."""
    (ax, ay), (bx, by) = middle - first, last - first
    return ax * by - ay * bx <= 0.0
