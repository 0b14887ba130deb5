"""Matrix products of a few rows with long histories, in pieces that stay in one thread and in the processor's cache."""

import numpy as np
from numpy.typing import NDArray

# Products of fewer multiplications are done by one thread; several would wait for each other longer than they work.
SMALL = 500_000


def product(rows: NDArray[np.float64], chunk: NDArray[np.float64]) -> NDArray[np.float64]:
    """`rows @ chunk`, shapes (k, c) and (c, m). Rows of zeros of the chunk are left out.

    Examples
    --------
    >>> product(np.array([[2.0, 1.0]]), np.array([[1.0, 2.0, 3.0], [0.0, 0.0, 0.0]])).tolist()
    [[2.0, 4.0, 6.0]]
    """
    acting = chunk.any(axis=1)
    if not acting.all():
        rows, chunk = np.ascontiguousarray(rows[:, acting]), chunk[acting]
    found = np.empty((len(rows), chunk.shape[1]))
    piece = max(SMALL // max(rows.size, 1), 64)
    for start in range(0, chunk.shape[1], piece):
        part = slice(start, start + piece)
        np.matmul(rows, chunk[:, part], out=found[:, part])
    return found
