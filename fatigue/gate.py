"""Takes cycles that are too small to matter out of a history before it is counted; the others stay as they are."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.turning import turning_points
from loadhistories.validation import require_not_negative

PASSES = 12


def without_small_cycles(values: ArrayLike, smallest: float) -> NDArray[np.float64]:
    """Turning points of a history without most of its closed cycles below a range.

    Two neighbouring turning points whose range is no larger than those beside it close a cycle whatever else
    the history holds; leaving them out changes no other cycle. Only such pairs fall away, so that every cycle
    of at least `smallest` is still counted, with its mean. Parts of a history may be treated one by one.

    Parameters
    ----------
    values : array, shape (n,)
    smallest : float
        Range from which on every cycle is kept, in the unit of the values.

    Returns
    -------
    array, shape (k,)
        First and last value of the history among them.

    Raises
    ------
    InputError
        `smallest` is below zero or not finite.

    Examples
    --------
    >>> without_small_cycles([0, 10, 9, 9.5, 2, 12, 0], 2.0).tolist()
    [0.0, 10.0, 2.0, 12.0, 0.0]
    """
    points = turning_points(np.asarray(values, dtype=np.float64))
    return points[places_without_small_cycles(points, smallest)]


def places_without_small_cycles(points: NDArray[np.float64], smallest: float) -> NDArray[np.int64]:
    """Which turning points are left; see `without_small_cycles`.

    Parameters
    ----------
    points : array, shape (n,)
        Turning points: neighbours differ, and the direction changes at every one but the two ends.
    smallest : float
        As for `without_small_cycles`.
    """
    require_not_negative(smallest, "smallest range")
    places = np.arange(len(points))
    for _ in range(PASSES):
        ranges = np.abs(np.diff(points))
        inner = ranges[1:-1]
        closed = (inner < smallest) & (inner <= ranges[:-2]) & (inner <= ranges[2:])
        # Of pairs that share a point only the first of a run goes; the next pass looks at what is left.
        closed[1:] &= ~closed[:-1]
        firsts = np.flatnonzero(closed) + 1
        if not len(firsts):
            break
        kept = np.ones(len(points), dtype=bool)
        kept[firsts] = kept[firsts + 1] = False
        points, places = points[kept], places[kept]
    return places
