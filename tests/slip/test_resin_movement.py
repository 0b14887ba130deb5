"""Movement of joints with injection bolts: resin fills the holes, so that no play of theirs is shown as travel."""

import math

import numpy as np
import pytest

from loadhistories.blocks import block_of_arrays
from loadhistories.figures import NOT_JUDGED
from slip.alignment import movement
from slip.assessment import assess
from slip.frame import slip_of_joints
from slip.joint import Alignment, BoltedJoint, Grid, grid_positions

CLAUSE = "EN 1993-1-8:2005, 3.6.2.2(5), and EN 1090-2:2008, Annex K, from memory"


def moved(*, load=-60e3, **changes):
    grid = Grid(3, 2, 90.0, 130.0)
    given = {
        "name": "joint", "standard": "EN 1993", "positions": grid_positions(grid), "size": "M20", "grade": "10.9",
        "preload": 0.0, "holes": "normal", "slot_axis": "", "surface": "", "slip_factor": 0.0, "planes": 1,
        "threads_in_plane": True, "plates": (), "slip": "never", "because": "", "permanent": np.zeros(6), "grid": grid,
        "fit": "injection", "alignment": Alignment((0.0, 400.0), 1.0),
    }  # fmt: skip
    outcome = assess(
        BoltedJoint(**{**given, **changes}),
        [block_of_arrays("working", {"Fy": np.array([load, -load])}, step=0.01, repeats=10.0)],
    )
    return movement(outcome, [])


def test_movement_in_resin_is_not_judged():
    found = moved()
    assert [(check.id, check.state, check.clause) for check in found.checks] == [("movement", NOT_JUDGED, CLAUSE)]
    assert "found by test" in found.checks[0].reason
    assert all(math.isnan(value) for value in (found.translation, found.rotation, found.worst_at_point))
    assert found.play is None and not found.driven and CLAUSE in found.text


def test_without_an_aligned_point_nothing_is_asked_and_nothing_shown():
    found = moved(alignment=None)
    assert not found.checks and found.tolerance is None and found.centred_at_point is None


@pytest.mark.parametrize(("load", "checks"), [(-60e3, 0), (-900e3, 1)])
def test_preloaded_injection_bolts_are_asked_for_their_movement_only_where_they_slip(load, checks):
    found = moved(load=load, preload=171_500.0, surface="B", slip_factor=0.4)
    assert len(found.checks) == checks


def test_a_frame_does_not_know_the_slip_of_a_joint_in_resin():
    assert math.isnan(slip_of_joints([moved()]))
    assert slip_of_joints([moved(preload=171_500.0, surface="B", slip_factor=0.4)]) == 0.0
