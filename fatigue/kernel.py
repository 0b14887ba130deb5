"""The one place where cycles are closed, and the choice between plain Python and compiled code.

The compiled functions are the plain ones, handed to numba; both give the same result to the bit.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fatigue.compiling import compiled, once
from fatigue.turning import find_turning, find_turning_by_words

# From so many samples on, loading the compiled kernel costs less than it saves.
COMPILED_FROM = 2_000_000

# Three NaN lie below the stack: every comparison with them is false, so nothing closes at the bottom.
FLOOR = 3


@dataclass(frozen=True)
class Kernel:
    """The two steps of a count in one form: `turning` as `find_turning`, `close` as `close_cycles`."""

    turning: Callable
    close: Callable


def close_cycles(points, count, stack, size, ranges, means):
    """Put turning points on the stack one by one and close every cycle that lies within its neighbours.

    Of the last four points a, b, c, d the cycle b, c closes when both lie within a and d (ties included).
    Only values are compared, never differences: no rounding decides, so what closes does not depend on
    the order in which a history is taken apart and joined again.

    Parameters
    ----------
    points : sequence of float
        Turning points; they alternate with each other and with the top of the stack.
    count : int
        How many of them.
    stack : mutable sequence of float, length at least size + count
        FLOOR times NaN, then the points still open.
    size : int
        Length in use, the FLOOR included.
    ranges, means : mutable sequences of float
        Take the closed cycles, at most (size + count) / 2.

    Returns
    -------
    size : int
        Length of the stack in use.
    closed : int
        Number of cycles closed.

    Source
    ------
    Amzallag et al., Int. J. Fatigue 16 (1994) 287-293 (four-point rule; from memory). What stays open,
    taken as half cycles, makes it the rule of ASTM E1049-85, 5.4.4: McInnes and Meehan, Int. J. Fatigue
    30 (2008) 547-559.
    """
    closed = 0
    a, b, c = stack[size - 3], stack[size - 2], stack[size - 1]
    for place in range(count):
        d = points[place]
        while ((a <= c) & (b <= d)) if c < b else ((a >= c) & (b >= d)):
            ranges[closed] = abs(b - c)
            means[closed] = 0.5 * (b + c)
            closed += 1
            size -= 2
            a, b, c = stack[size - 3], stack[size - 2], a
        stack[size] = d
        size += 1
        a, b, c = b, c, d
    return size, closed


def kernel_for(samples: int) -> Kernel:
    """The quicker kernel for so many samples."""
    return compiled_kernel() if samples >= COMPILED_FROM else plain_kernel()


def empty_stack(room: int) -> NDArray[np.float64]:
    """A stack with its floor and room for as many points."""
    stack = np.empty(FLOOR + room)
    stack[:FLOOR] = np.nan
    return stack


def plain_kernel() -> Kernel:
    """The kernel in plain Python."""
    return Kernel(find_turning, _close_plainly)


@once
def compiled_kernel() -> Kernel:
    """The kernel compiled by numba, or read from its cache; says on stderr when it has to compile.

    Limits
    ------
    Where no folder for the cache can be written, it is compiled anew in every process.
    """
    from numba import boolean, float64, int64, types

    given = types.Array(float64, 1, "C", readonly=True)
    taken = float64[::1]
    return Kernel(
        compiled(find_turning_by_words, types.Tuple((int64, boolean, boolean))(given, float64, boolean, taken)),
        compiled(close_cycles, types.UniTuple(int64, 2)(given, int64, taken, int64, taken, taken)),
    )


def _close_plainly(points, count, stack, size, ranges, means):
    # Plain Python reads a memoryview three times as fast as an array.
    return close_cycles(
        memoryview(points), count, memoryview(stack), size, memoryview(ranges), memoryview(means)
    )
