"""Turning points of a history: the samples at which it changes direction. Knows nothing of cycles.

Two forms of one rule, the same to the bit: numpy for short histories, and a loop over words of 64 samples
that is fast only when compiled. A plateau turns at its last sample.
"""

import numpy as np
from numpy.typing import NDArray

WORD = 64

# Place of the lowest set bit of a word: multiplied by this number, its six leading bits are different for each.
_PLACE_KEY = 0x03F79D71B4CB0A89
_PLACES = np.zeros(WORD, np.int64)
_PLACES[[((_PLACE_KEY << place) >> 58) & 63 for place in range(WORD)]] = np.arange(WORD)


def turning_points(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The turning points of a whole history, its first and last sample among them. Unit of `values`.

    Parameters
    ----------
    values : array, shape (n,)
        The history; finite.

    Returns
    -------
    array, shape (m,)
        Neighbours differ, and the direction changes at every point but the two ends; a constant history
        leaves one point.

    Source
    ------
    ASTM E1049-85, 2.1 (reversal: the slope changes its sign).  (clause number from memory)

    Examples
    --------
    >>> turning_points(np.array([0.0, 1, 2, 3, 3, 3, 1, 2, -1, -1, 0.5, 0.5]))
    array([ 0. ,  3. ,  1. ,  2. , -1. ,  0.5])
    """
    different = np.flatnonzero(values != values[:1])
    if len(different) == 0:
        return values[:1].copy()
    first = different[0]
    points = np.empty(len(values))
    rising = bool(values[first] > values[0])
    found, _, _ = find_turning(values[first:], values[0], not rising, points)
    points[found] = values[-1]
    return points[: found + 1].copy()


def turning_places(values: NDArray[np.float64]) -> NDArray[np.int64]:
    """Where the turning points of a whole history stand in it: numbers of samples, the first and the last among them.

    Examples
    --------
    >>> turning_places(np.array([0.0, 1, 2, 3, 3, 3, 1, 2, -1, -1, 0.5, 0.5]))
    array([ 0,  5,  6,  7,  9, 11])
    """
    changed = np.flatnonzero(values[1:] != values[:-1])
    if len(changed) == 0:
        return np.arange(min(len(values), 1))
    up = values[changed + 1] > values[changed]
    turned = np.flatnonzero(up[1:] != up[:-1]) + 1
    return np.concatenate(([0], changed[turned], [len(values) - 1]))


def find_turning(
    values: NDArray[np.float64], last: float, rising: bool, points: NDArray[np.float64]
) -> tuple[int, bool, bool]:
    """Write the turning points that the next samples of a history settle, and say how it then runs.

    Parameters
    ----------
    values : array, shape (n,)
        The next samples, n > 0.
    last : float
        The sample before them. A turn at the last of `values` is settled only by the sample after it.
    rising : bool
        Whether the history rose when it last changed.
    points : array, shape (at least n,)
        Takes the turning points.

    Returns
    -------
    found : int
        How many were written.
    rising : bool
        Whether the history rose when it last changed, now.
    numbers : bool
        False if a sample is not a number; the points are then void.
    """
    run = np.empty(len(values) + 1)
    run[0] = last
    run[1:] = values
    changed = np.flatnonzero(run[1:] != run[:-1])
    if len(changed) == 0:
        return 0, rising, True
    up = run[changed + 1] > run[changed]
    turned = np.flatnonzero(up != np.concatenate(([rising], up[:-1])))
    points[: len(turned)] = run[changed[turned]]
    return len(turned), bool(up[-1]), not bool(np.isnan(values).any())


def find_turning_by_words(values, last, rising, points):
    """The same as `find_turning`, to be compiled: 64 comparisons make one word, and its changes are the turns."""
    one = np.uint64(1)
    nothing = np.uint64(0)
    found = 0
    numbers = True
    at = 0
    while at < len(values):
        if at == 0 or at + WORD > len(values):
            before = last if at == 0 else values[at - 1]
            value = values[at]
            if value != before:
                if (value > before) != rising:
                    points[found] = before
                    found += 1
                    rising = not rising
                numbers &= value == value
            at += 1
            continue
        # Slices of fixed length without a condition inside: only so the loop runs in vector registers.
        befores = values[at - 1 : at - 1 + WORD]
        nexts = values[at : at + WORD]
        up = nothing
        down = nothing
        void = nothing
        for place in range(WORD):
            bit = one << np.uint64(place)
            up |= bit if nexts[place] > befores[place] else nothing
            down |= bit if nexts[place] < befores[place] else nothing
            void |= bit if nexts[place] != nexts[place] else nothing
        numbers &= void == nothing
        carried = one if rising else nothing
        level = ~(up | down)
        if level != nothing:
            # On a plateau the direction before it goes on: spread it over the level bits, doubling the reach.
            up |= level & carried
            for doubling in range(6):
                reach = one << np.uint64(doubling)
                up |= level & (up << reach)
                level &= level << reach
        turns = up ^ ((up << one) | carried)
        rising = (up >> np.uint64(WORD - 1)) != nothing
        while turns != nothing:
            lowest = turns & (~turns + one)
            points[found] = befores[_PLACES[(lowest * np.uint64(_PLACE_KEY)) >> np.uint64(58)]]
            found += 1
            turns ^= lowest
        at += WORD
    return found, rising, numbers
