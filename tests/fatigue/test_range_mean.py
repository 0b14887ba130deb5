"""Cycles gathered by range and mean, compared with sums that need no gathering."""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue import life_curve
from fatigue.given import GivenCycles
from fatigue.range_mean import range_mean_cells

RESULT = SimpleNamespace(curve=life_curve("EN 1993", 71), gamma_Ff=1.0)
STRESSES = st.lists(st.tuples(st.floats(1.0, 300.0), st.floats(-200.0, 200.0), st.floats(1.0, 1e6)), min_size=1)


def cycles(*rows):
    ranges, means, counts = np.array(rows, dtype=float).T
    return GivenCycles(ranges, means, counts, (-1.0, 1.0))


def test_two_kinds_of_cycles_lie_in_two_cells_and_the_larger_does_the_damage_of_its_cube():
    cells = range_mean_cells(RESULT, [cycles((100.0, 0.0, 10.0), (200.0, 50.0, 10.0))])
    assert [(cell.cycles, pytest.approx(cell.share)) for cell in cells] == [(10.0, 1 / 9), (10.0, 8 / 9)]
    assert all(cell.range_from <= size <= cell.range_to for cell, size in zip(cells, (100.0, 200.0), strict=True))
    assert all(cell.mean_from <= mean <= cell.mean_to for cell, mean in zip(cells, (0.0, 50.0), strict=True))


@given(STRESSES, STRESSES)
def test_no_cycle_and_no_damage_is_lost(first, second):
    cells = range_mean_cells(RESULT, [cycles(*first), cycles(*second)])
    assert sum(cell.cycles for cell in cells) == pytest.approx(sum(row[2] for row in (*first, *second)))
    whole = sum(cell.share for cell in cells)
    assert whole == pytest.approx(1.0) or whole == 0.0


def test_cycles_below_the_cut_off_have_no_share():
    cells = range_mean_cells(RESULT, [cycles((5.0, 0.0, 1e6))])
    assert [cell.share for cell in cells] == [0.0]


def test_without_known_means_there_is_no_map():
    assert range_mean_cells(RESULT, [cycles((100.0, 5e8, 1.0))]) == ()
    assert range_mean_cells(RESULT, [cycles((100.0, np.nan, 1.0))]) == ()
    assert range_mean_cells(RESULT, []) == ()
