import numpy as np
import pytest

from slip.checks import hole_factor, load_axis, shares_of_plates
from slip.joint import BoltedJoint, Grid, Plate, grid_positions
from slip.surroundings import spacing


def joint_of(**changes):
    plates = (Plate("end plate", 20.0, "S355", 345.0, 470.0, 45.0, 40.0),)
    given = {
        "name": "joint", "standard": "EN 1993", "positions": grid_positions(Grid(3, 2, 90.0, 130.0)), "size": "M20",
        "grade": "10.9", "preload": 171_500.0, "holes": "normal", "slot_axis": "", "surface": "B", "slip_factor": 0.4,
        "planes": 1, "threads_in_plane": True, "plates": plates, "slip": "never", "because": "",
        "permanent": np.zeros(6), "grid": Grid(3, 2, 90.0, 130.0),
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def test_positions_of_a_pattern_are_centred_row_by_row():
    assert grid_positions(Grid(2, 2, 90.0, 130.0)).tolist() == [[-65, -45], [65, -45], [-65, 45], [65, 45]]


def test_spacing_of_a_pattern_is_its_pitch_and_gauge_in_both_directions():
    positions = grid_positions(Grid(3, 2, 90.0, 130.0))
    assert spacing(positions, "y", 22.0) == (90.0, 130.0)
    assert spacing(positions, "x", 22.0) == (130.0, 90.0)


def test_spacing_of_one_column_has_no_gauge():
    assert spacing(np.array([[0.0, 0.0], [0.0, 70.0]]), "y", 22.0) == (70.0, None)
    assert spacing(np.array([[0.0, 0.0]]), "y", 22.0) == (None, None)


def test_staggered_bolts_take_the_distance_between_them_as_gauge():
    """Steel Buildings in Europe, Single-Storey Part 5, Appendix B, takes 68.2 mm for h 32.5, v 60."""
    positions = np.array([[-30.0, -16.25], [30.0, 16.25]])
    assert spacing(positions, "y", 26.0) == (None, pytest.approx(68.24, abs=0.01))


def test_the_middle_plate_of_a_double_lap_takes_the_whole_bolt_force():
    plate = joint_of().plates[0]
    assert shares_of_plates(joint_of(planes=2, plates=(plate,) * 3)) == (0.5, 1.0, 0.5)
    assert shares_of_plates(joint_of(planes=2, plates=(plate,) * 2)) == (1.0, 1.0)
    assert shares_of_plates(joint_of()) == (1.0,)


def test_slots_take_the_smaller_hole_factor_of_both_directions():
    """EN 1993-1-8:2005, Table 3.6: 0.85 across, 0.76 along a short slot."""
    assert hole_factor(joint_of(holes="short slot", slot_axis="x")) == 0.76
    assert hole_factor(joint_of()) == 1.0


def test_the_load_axis_is_that_of_the_larger_load():
    assert load_axis(np.array([10.0, 60.0])) == "y"
    assert load_axis(np.array([60.0, 10.0])) == "x"
    assert load_axis(np.array([0.0, 0.0])) == "y"
