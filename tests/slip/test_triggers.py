"""When slip is not allowed: each trigger has its cause and its clause, and is silent without the cause."""

import numpy as np
import pytest

from loadhistories.blocks import block_of_arrays
from loadhistories.tables import read_table
from slip.advice import Findings, Record, warnings
from slip.alignment import movement
from slip.assessment import assess
from slip.joint import Alignment, BoltedJoint, Grid, Plate, grid_positions
from slip.sharing_with_welds import SharedOutcome
from slip.standards import names, standard

PLATES = (Plate("end plate", 20.0, "S355", 345.0, 470.0, 45.0, 40.0),)
CODES = (
    "large-holes-without-grip", "alignment-with-slip-allowed", "under-vibration", "under-impact", "bolts-with-welds",
    "weld-without-fatigue",
)  # fmt: skip


def joint_of(**changes):
    given = {
        "name": "joint", "standard": "EN 1993", "positions": grid_positions(Grid(3, 2, 90.0, 130.0)), "size": "M20",
        "grade": "10.9", "preload": 171_500.0, "holes": "normal", "slot_axis": "", "surface": "B", "slip_factor": 0.4,
        "planes": 1, "threads_in_plane": True, "plates": PLATES, "slip": "never", "because": "",
        "permanent": np.zeros(6),
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def found(joint, forces=(-60e3,), *, kind="", **more):
    block = block_of_arrays("working", {"Fy": np.asarray(forces, dtype=float)}, step=0.01, repeats=1.0)
    outcome = assess(joint, [block])
    records = (Record("working", "a full day", True, kind),)
    items = warnings(Findings(outcome, movement(outcome), (), records, **more), "EN 1993")
    return {item.code: item for item in items}


def test_oversize_holes_ask_for_grip_and_a_stated_permission_does_not_silence_the_clause():
    warning = found(joint_of(holes="oversize", slip="allowed"))["large-holes-without-grip"]
    assert "can move 4 mm at a bolt" in warning.text and "stated deviation" in warning.text
    assert "EN 1993-1-8:2005, 2.6(2)" in warning.clause


def test_a_wide_hole_in_one_plate_alone_is_found():
    plates = (*PLATES, Plate("web", 20.0, "S355", 345.0, 470.0, 45.0, 40.0, "oversize"))
    assert "large-holes-without-grip" in found(joint_of(plates=plates, slip="allowed"))


def test_slots_without_preload_are_told_that_nothing_grips():
    joint = joint_of(holes="short slot", slot_axis="y", preload=0.0, slip="never")
    assert "not preloaded" in found(joint)["large-holes-without-grip"].text


@pytest.mark.parametrize("changes", [{"holes": "oversize"}, {"slip": "allowed"}, {"preload": 0.0}])
def test_no_trigger_of_holes_where_they_are_normal_or_the_joint_grips(changes):
    assert "large-holes-without-grip" not in found(joint_of(**changes))


def test_an_aligned_point_beside_allowed_slip_is_a_deviation():
    aligned = Alignment((0.0, 420.0), 1.0)
    warning = found(joint_of(alignment=aligned, slip="allowed"))["alignment-with-slip-allowed"]
    assert "within 1 mm" in warning.text and "stated deviation" in warning.text
    assert "alignment-with-slip-allowed" not in found(joint_of(alignment=aligned))
    assert "alignment-with-slip-allowed" not in found(joint_of(slip="allowed"))


@pytest.mark.parametrize("kind", ["vibration", "impact"])
def test_vibration_and_impact_ask_for_a_joint_that_does_not_slip_in_service(kind):
    code = f"under-{kind}"
    loose = found(joint_of(preload=0.0, slip="never"), kind=kind)[code]
    assert f"'working' brings {kind}" in loose.text and "2.6(1)" in loose.clause
    assert "stated deviation" in found(joint_of(slip="allowed"), kind=kind)[code].text
    assert "slips in service" in found(joint_of(), [-400e3], kind=kind)[code].text
    assert code not in found(joint_of(), kind=kind)
    assert code not in found(joint_of(preload=0.0, slip="never"))


def test_bolts_beside_welds_are_told_what_the_sharing_rests_on():
    def beside(shared):
        return SharedOutcome(assess(joint_of(), []), (), shared, "3.9.3", ())

    assert "shrinks" in found(joint_of(), beside=beside(True))["bolts-with-welds"].text
    assert "not judged" in found(joint_of(), beside=beside(False))["bolts-with-welds"].text
    assert "3.9.3(1)" in found(joint_of(), beside=beside(True))["bolts-with-welds"].clause
    assert "bolts-with-welds" not in found(joint_of())


def test_a_weld_that_is_judged_for_strength_alone_is_told_that_it_may_crack():
    assert "weld-without-fatigue" in found(joint_of(), welded=True)
    assert "weld-without-fatigue" not in found(joint_of())


def test_every_trigger_has_a_clause_in_every_standard_of_joints():
    for name in names():
        table = read_table(standard(name).__name__, "warnings")
        assert set(CODES) <= set(table), name
