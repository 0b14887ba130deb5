"""The one loop that follows the grip of some bolts through a long history, compiled: see `fatigue.compiling`.

It gives the largest utilisation in grip of every instant, to the bit as the measure of `slip.reduced` has it, and tells
where a measure can have passed its largest value; only there it is then looked at.
"""

import math
from collections.abc import Callable

import numpy as np

from fatigue.compiling import compiled, once
from slip.reduced import grip_left

# From so many instants on, loading the compiled loop costs less than it saves.
COMPILED_FROM = 2_000_000
# So many instants of all forces stay in the processor's cache.
TILE = 1024


def follow(loads, rows, places, fixed, parts, level_of, grips, bounds, bounds_of, ratio, most, low, high):
    """Raise `ratio`, `most` and `high` and lower `low` to what the instants hold.

    Parameters
    ----------
    loads : array, shape (6, m)
        [N, N mm]
    rows : array, shape (n_rows, 6)
        Force per unit load component.
    places : array of int, shape (k, 3)
        Rows of each bolt: in-plane force along x, along y, tension.
    fixed : array, shape (k, 3)
        The same by the permanent load. [N]
    parts : array, shape (c, 2)
        Factors of each combination on permanent and variable load.
    level_of, bounds_of : array of int, shapes (c,) and (l,)
        Level of each combination and of each line.
    grips : array, shape (n_levels, 3)
        Factor, preload and tension share of `slip.reduced.grip_left`.
    bounds : array, shape (l, 2)
        Lines (a, b): `a * size + b * max(tension, 0)`.
    ratio : array, shape (n_levels, m)
    most : array, shape (ceil(m / TILE), l)
        Largest value of each line in each tile.
    low, high : array, shape (n_rows,)
        Smallest and largest force. [N]
    """
    table, sizes, pulls = np.empty((len(rows), TILE)), np.empty(TILE), np.empty(TILE)
    fx, fy, fz, mx, my, mz = loads[0], loads[1], loads[2], loads[3], loads[4], loads[5]
    for tile in range(len(most)):
        start = tile * TILE
        length = min(TILE, loads.shape[1] - start)
        for row in range(len(rows)):
            force, share = table[row], rows[row]
            s0, s1, s2, s3, s4, s5 = share[0], share[1], share[2], share[3], share[4], share[5]
            for i in range(length):
                at = start + i
                force[i] = s0 * fx[at] + s1 * fy[at] + s2 * fz[at] + s3 * mx[at] + s4 * my[at] + s5 * mz[at]
            least, largest = low[row], high[row]
            for i in range(length):
                least = force[i] if force[i] < least else least
                largest = force[i] if force[i] > largest else largest
            low[row], high[row] = least, largest
        for part in range(len(parts)):
            still, moving, level = parts[part, 0], parts[part, 1], level_of[part]
            factor, preload, taken = grips[level, 0], grips[level, 1], grips[level, 2]
            used = ratio[level, start : start + length]
            for bolt in range(len(places)):
                along_x, along_y, pulling = table[places[bolt, 0]], table[places[bolt, 1]], table[places[bolt, 2]]
                x0, y0, t0 = still * fixed[bolt, 0], still * fixed[bolt, 1], still * fixed[bolt, 2]
                for i in range(length):
                    x, y, t = moving * along_x[i] + x0, moving * along_y[i] + y0, moving * pulling[i] + t0
                    size = math.sqrt(x * x + y * y)
                    pull = t if t > 0.0 else 0.0
                    left = grip_left(pull, factor, preload, taken)
                    use = size / left if left > 0.0 else math.inf
                    used[i] = use if use > used[i] else used[i]
                    sizes[i], pulls[i] = size, pull
                for line in range(len(bounds)):
                    if bounds_of[line] == level:
                        top = largest_along(bounds[line, 0], bounds[line, 1], sizes[:length], pulls[:length])
                        most[tile, line] = max(most[tile, line], top)


def largest_along(a, b, sizes, pulls):
    """Largest `a * size + b * pull`."""
    top = 0.0
    for i in range(len(sizes)):
        value = a * sizes[i] + b * pulls[i]
        top = value if value > top else top
    return top


@once
def compiled_follow() -> Callable:
    """`follow`, compiled. Values are taken not to be NaN; nothing is summed in another order."""
    from numba import float64, int64, types
    from numba.extending import register_jitable

    register_jitable(grip_left)
    register_jitable(largest_along)
    read = types.Array(float64, 2, "C", readonly=True)
    table, whole, line = (types.Array(*kind, "C") for kind in ((float64, 2), (int64, 2), (float64, 1)))
    order = types.Array(int64, 1, "C")
    signature = types.void(read, table, whole, table, table, order, table, table, order, table, table, line, line)
    return compiled(follow, signature, fastmath={"nnan", "nsz"})
