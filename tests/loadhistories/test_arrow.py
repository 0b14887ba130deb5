"""Arrow columns read from their memory equal what Arrow itself gives."""

import numpy as np
import pyarrow as pa
import pytest

from loadhistories.arrow import array_of


@pytest.mark.parametrize("sizes", [(5,), (3, 0, 2), (0,), ()])
@pytest.mark.parametrize("kind", [np.float64, np.int64])
def test_a_column_in_pieces_is_joined_in_order(sizes, kind):
    pieces = [np.arange(100 * k, 100 * k + size).astype(kind) for k, size in enumerate(sizes)]
    column = pa.chunked_array([pa.array(piece) for piece in pieces], type=pa.from_numpy_dtype(kind))
    found = array_of(column, kind)
    assert found.dtype == kind and found.tolist() == column.to_pylist()


def test_a_part_of_an_array_begins_where_the_part_begins():
    column = pa.array(np.arange(10.0))
    assert array_of(column.slice(3, 4), np.float64).tolist() == [3.0, 4.0, 5.0, 6.0]


def test_time_stamps_are_their_nanoseconds():
    stamps = np.array(["2026-01-02T03:04:05.000000006", "1969-12-31T23:59:59"], "datetime64[ns]")
    assert array_of(pa.array(stamps), np.int64).tolist() == stamps.astype(np.int64).tolist()
