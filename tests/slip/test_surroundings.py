"""What lies round a hole, for a force of one direction."""

import numpy as np

from slip.joint import Grid, grid_positions
from slip.surroundings import Surroundings, followed, surroundings

THREE = grid_positions(Grid(3, 3, 90.0, 60.0))


def around(bolt, axis, sense):
    return surroundings(THREE, bolt, axis=axis, sense=sense, width=22.0)


def test_a_corner_bolt_has_the_end_ahead_one_way_and_a_bolt_the_other():
    assert around(0, 1, -1) == Surroundings(None, 60.0, True)
    assert around(0, 1, 1) == Surroundings(90.0, 60.0, True)
    assert around(0, 0, -1) == Surroundings(None, 90.0, True)


def test_the_middle_bolt_has_bolts_all_round():
    for axis, pitch, gauge in ((0, 60.0, 90.0), (1, 90.0, 60.0)):
        assert {around(4, axis, sense) for sense in (1, -1)} == {Surroundings(pitch, gauge, False)}


def test_a_single_bolt_has_ends_and_edges_only():
    assert surroundings(np.zeros((1, 2)), 0, axis=0, sense=1, width=22.0) == Surroundings(None, None, True)


def test_of_bolts_with_the_same_surroundings_only_the_outer_ones_are_followed():
    """A row of ten: along x the ends and their neighbours, along y the outer ones of eight inner bolts."""
    row = np.array([[60.0 * number, 0.0] for number in range(10)])
    along_y = sorted(item.bolt for item in followed(row, 22.0) if item.axis == 1)
    assert along_y == [0, 1, 8, 9]
    assert len(followed(THREE, 22.0)) <= 2 * 9
