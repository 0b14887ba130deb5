"""Where the load drives a slipped part: forward, back, through holes of unlike play."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from loadhistories.figures import FAILS
from slip.alignment import movement, play_of_bolt
from slip.assessment import assess
from slip.driven import displacement
from slip.joint import Alignment, BoltedJoint, Grid, Plate, grid_positions
from slip.movement import driven_travel, driven_travels
from slip.standards import standard

PLATE = Plate("end plate", 20.0, "S355", 345.0, 470.0, 45.0, 40.0)


def joint_of(**changes):
    given = {
        "name": "joint", "standard": "EN 1993", "positions": grid_positions(Grid(3, 2, 90.0, 130.0)), "size": "M20",
        "grade": "10.9", "preload": 171_500.0, "holes": "normal", "slot_axis": "", "surface": "B", "slip_factor": 0.4,
        "planes": 1, "threads_in_plane": True, "plates": (PLATE,), "slip": "never", "because": "",
        "permanent": np.zeros(6), "alignment": Alignment((0.0, 420.0), 1.0),
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def moved(joint, **components):
    arrays = {key: np.asarray(values, dtype=float) for key, values in components.items()}
    blocks = [block_of_arrays("working", arrays, step=0.01, repeats=10.0)]
    return movement(assess(joint, blocks), blocks)


def test_a_load_through_the_centroid_drives_the_part_straight_by_the_play_of_its_holes():
    """Hand calculation: 2 mm of play in both plates, bolts in the middle: 2 mm down, and 4 mm from the worst start."""
    found = moved(joint_of(), Fy=[0.0, -400e3, 0.0])
    assert [item.level for item in found.driven] == ["service", "ultimate"]
    service = found.driven[0]
    assert displacement(service.forward) == pytest.approx((0.0, -2.0), abs=1e-6)
    assert service.forward.play == pytest.approx(4.0)


def test_a_load_that_never_turns_round_does_not_push_the_part_back():
    found = moved(joint_of(), Fy=[0.0, -400e3, -100e3])
    assert [item.back for item in found.driven] == [None, None]
    assert found.driven[0].searched and found.driven[0].between == 0.0


def test_a_load_that_turns_round_pushes_the_part_back_however_small_it_is():
    service = moved(joint_of(), Fy=[0.0, -400e3, 30e3]).driven[0]
    assert displacement(service.back) == pytest.approx((0.0, 2.0), abs=1e-6)
    assert service.between == pytest.approx(4.0)


def test_permanent_load_that_outweighs_the_turning_load_keeps_the_part_in_its_place():
    permanent = np.array([0.0, -100e3, 0.0, 0.0, 0.0, 0.0])
    found = moved(joint_of(permanent=permanent), Fy=[0.0, -300e3, 30e3])
    assert found.driven[0].back is None


def test_a_moment_turns_the_part_and_the_point_goes_with_its_lever():
    """Hand calculation: two bolts 80 mm apart, play 2 mm: 50 mrad, 20 mm at 400 mm."""
    joint = joint_of(positions=np.array([[0.0, -40.0], [0.0, 40.0]]), alignment=Alignment((400.0, 0.0), 1.0))
    way = moved(joint, Mz=[0.0, 40e6]).driven[0]
    assert way.forward.rotation == pytest.approx(0.05)
    assert way.forward.displacement == pytest.approx(20.0)


def test_a_joint_that_grips_at_every_level_is_not_searched():
    found = moved(joint_of(), Fy=[0.0, -60e3, 60e3])
    assert not found.driven[0].searched and found.driven[0].back is None


def test_bolts_without_preload_are_driven_at_the_ultimate_level():
    found = moved(joint_of(preload=0.0, slip="allowed"), Fy=[-60e3, 60e3])
    assert [item.level for item in found.driven] == ["ultimate"]
    assert found.driven[0].between == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("holes", "planes", "play"),
    [
        # c over two plates, half of each: M20 normal 2 mm, oversize 4 mm
        (("", ""), 1, 2.0), (("oversize", ""), 1, 3.0), (("oversize", "oversize"), 1, 4.0), (("oversize",), 1, 3.0),
        (("normal", "oversize", "normal"), 2, 3.0),
    ],
)  # fmt: skip
def test_play_is_half_the_clearance_of_each_plate(holes, planes, play):
    plates = tuple(Plate(f"plate {n}", 20.0, "S355", 345.0, 470.0, 45.0, 40.0, kind) for n, kind in enumerate(holes))
    joint = joint_of(plates=plates, planes=planes)
    rules = standard("EN 1993")
    found = play_of_bolt(joint, rules.hole(rules.bolt("M20", "10.9"), "normal"))
    assert found.clearance == pytest.approx(play)
    assert found.slot is None


def test_a_slot_in_one_plate_gives_half_of_its_length_to_the_play_along_it():
    rules = standard("EN 1993")
    slot = rules.hole(rules.bolt("M20", "10.9"), "short slot")
    other = Plate("web", 20.0, "S355", 345.0, 470.0, 45.0, 40.0, "normal")
    joint = joint_of(holes="short slot", slot_axis="y", plates=(PLATE, other))
    found = play_of_bolt(joint, slot)
    assert found.reach == pytest.approx((slot.slot_clearance + 2.0) / 2)
    down = moved(joint, Fy=[0.0, -400e3]).driven[0]
    assert displacement(down.forward) == pytest.approx((0.0, -found.reach), abs=1e-6)


def test_a_wider_hole_in_one_plate_lowers_the_grip_and_is_felt_in_the_movement():
    wide = Plate("web", 20.0, "S355", 345.0, 470.0, 45.0, 40.0, "oversize")
    blocks = [block_of_arrays("working", {"Fy": np.array([0.0, -200e3])}, step=0.01, repeats=1.0)]
    plain, other = (assess(joint_of(plates=(PLATE, plate)), blocks) for plate in (PLATE, wide))
    ratio = other.levels["ultimate"].instant.value / plain.levels["ultimate"].instant.value
    assert ratio == pytest.approx(1 / 0.85)
    assert movement(other).translation > movement(plain).translation


def test_a_turn_beyond_its_tolerance_fails_beside_the_travel_of_the_point():
    found = moved(joint_of(alignment=Alignment((0.0, 10.0), 100.0, turn=0.5e-3)), Fy=[0.0, -400e3])
    travel, turn = found.checks
    assert travel.utilisation < 1.0
    assert turn.state == FAILS and turn.demand == pytest.approx(2 * found.rotation)


@given(st.floats(-math.pi, math.pi), st.floats(-1e8, 1e8))
def test_no_bolt_is_driven_farther_than_its_play(angle, moment):
    load = {"Fx": [4e5 * math.cos(angle)], "Fy": [4e5 * math.sin(angle)], "Mz": [moment]}
    found = moved(joint_of(), **load)
    for way in found.driven:
        for x, y in joint_of().positions:
            u_x, u_y, turn = way.forward.motion
            assert math.hypot(u_x - turn * y, u_y + turn * x) <= found.play.clearance * (1 + 1e-8)
        assert way.forward.displacement <= found.centred_at_point + 1e-6


def test_several_loads_in_one_go_drive_the_part_as_each_alone():
    loads = [[1e3, 0.0, 2e6], [0.0, -5e3, 1e5], [-3e3, 2e3, -4e6]]
    positions = joint_of().positions
    together = driven_travels(positions, 2.0, [0.0, 420.0], loads)
    for load, found in zip(loads, together, strict=True):
        assert found.motion == pytest.approx(driven_travel(positions, 2.0, [0.0, 420.0], load).motion, abs=1e-6)
    assert driven_travels(positions, 2.0, [0.0, 420.0], []) == ()
