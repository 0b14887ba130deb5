import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories import products
from loadhistories.products import product


@given(st.integers(0, 12), st.integers(1, 6), st.integers(0, 300), st.integers(0, 1000))
def test_a_product_in_pieces_is_the_product(rows, columns, length, seed):
    random = np.random.default_rng(seed)
    left = random.normal(size=(rows, columns))
    chunk = random.normal(size=(columns, length)) * (random.random(columns) > 0.3)[:, None]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(products, "SMALL", 500)
        assert product(left, chunk) == pytest.approx(left @ chunk, rel=1e-12, abs=1e-12)


def test_any_cut_of_the_history_gives_the_same_bits():
    random = np.random.default_rng(3)
    rows, chunk = random.normal(size=(9, 6)), random.normal(size=(6, 5000))
    whole = product(rows, chunk)
    for cut in (1, 17, 2500, 4999):
        parts = np.concatenate([product(rows, chunk[:, :cut]), product(rows, chunk[:, cut:])], axis=1)
        assert parts == pytest.approx(whole, rel=1e-13, abs=1e-13)
