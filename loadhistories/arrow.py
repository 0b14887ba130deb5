"""Arrow columns as arrays, straight from their memory: asking Arrow itself would load further packages for it."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray


def pieces_of(column, kind: type) -> Iterator[NDArray]:
    """The pieces of a column without gaps, each as an array that reads the column's own memory.

    Parameters
    ----------
    column : pyarrow.Array or pyarrow.ChunkedArray
        Of float64 where `kind` is `np.float64`, of a type of eight bytes counted in whole numbers where it is
        `np.int64`.
    """
    for piece in getattr(column, "chunks", [column]):
        memory = piece.buffers()[1]
        if len(piece):
            yield np.frombuffer(memory, kind, count=len(piece), offset=piece.offset * np.dtype(kind).itemsize)


def array_of(column, kind: type) -> NDArray:
    """The whole column; of several pieces a copy."""
    pieces = list(pieces_of(column, kind))
    return pieces[0] if len(pieces) == 1 else np.concatenate([np.empty(0, kind), *pieces])
