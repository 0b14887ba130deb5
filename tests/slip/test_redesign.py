"""Alternatives: sized, and each true when the joint is judged again as it then is."""

import numpy as np
import pytest

from fatigue.curves import life_curve
from fatigue.cycles import count_cycles
from fatigue.welds import line_forces, weld_group
from loadhistories.blocks import block_of_arrays
from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED
from slip.assessment import assess
from slip.joint import BoltedJoint, Grid, Plate, grid_positions
from slip.redesign import alternatives, better_surface, more_bolts, plate_size
from slip.weld_instead import fillet_weld_instead
from slip.welds import fillet_strength

PLATES = (Plate("end plate", 20.0, "S355", 345.0, 470.0, 45.0, 40.0),)
SAFE_LIFE = {"basis": {"concept": "safe life", "consequence": "high"}}


def joint_of(rows=3, **changes):
    grid = Grid(rows, 2, 90.0, 130.0)
    given = {
        "name": "joint", "standard": "EN 1993", "positions": grid_positions(grid), "size": "M20", "grade": "10.9",
        "preload": 171_500.0, "holes": "normal", "slot_axis": "", "surface": "B", "slip_factor": 0.4, "planes": 1,
        "threads_in_plane": True, "plates": PLATES, "slip": "never", "because": "", "permanent": np.zeros(6),
        "grid": grid,
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def blocks_of(peak=-300e3, repeats=1.0):
    return [block_of_arrays("working", {"Fy": np.array([0.0, peak, 0.0, peak / 2, 0.0])}, step=1.0, repeats=repeats)]


def test_rows_are_added_until_the_joint_grips():
    """Hand calculation: 1.5 * 300 kN over 54.88 kN a bolt asks for 8.2 bolts: 5 rows of 2, as 4 rows carry 439 kN."""
    found = more_bolts(joint_of(), blocks_of())
    assert found.title.startswith("5 rows of 2 at the same pitch: 10 bolts instead of 6")
    assert found.state == HOLDS
    assert found.utilisation == pytest.approx(450 / (10 * 54.88), rel=1e-3)
    assert assess(joint_of(rows=4), blocks_of()).state == FAILS
    assert assess(joint_of(rows=5), blocks_of()).state == HOLDS


def test_when_no_number_of_rows_does_it_the_alternative_fails():
    found = more_bolts(joint_of(), blocks_of(peak=-3e6))
    assert found.state == FAILS
    assert "do not hold either" in found.title


def test_rows_are_not_added_to_bolts_that_were_placed_singly():
    found = more_bolts(joint_of(grid=None), blocks_of())
    assert found.state == NOT_JUDGED
    assert "given singly" in found.checks[0].reason


def test_one_row_without_a_pitch_gets_no_further_rows():
    grid = Grid(1, 2, 0.0, 130.0)
    found = more_bolts(joint_of(grid=grid, positions=grid_positions(grid)), blocks_of())
    assert found.state == NOT_JUDGED and "one row has no pitch" in found.checks[0].reason


def test_each_step_of_a_search_says_why_it_was_refused_or_kept():
    found = more_bolts(joint_of(), blocks_of())
    assert [(step.what, step.state) for step in found.tried] == [("4 rows of 2", FAILS), ("5 rows of 2", HOLDS)]
    assert found.tried[0].reason == "grip at ultimate level, category C 1.02"


def test_the_first_better_surface_that_holds_is_taken():
    """Hand calculation: 1.5 * 260 / 6 = 65 kN against 0.5 * 171.5 / 1.25 = 68.6 kN of class A."""
    (found,) = better_surface(joint_of(), blocks_of(peak=-260e3))
    assert found.title.startswith("friction class A, slip factor 0.5")
    assert (found.state, found.utilisation) == (HOLDS, pytest.approx(65 / 68.6))
    (from_rolled,) = better_surface(joint_of(surface="D", slip_factor=0.2), blocks_of(peak=-150e3))
    assert from_rolled.title.startswith("friction class C, slip factor 0.3")


def test_the_best_surface_is_shown_failing_where_it_is_not_enough():
    (found,) = better_surface(joint_of(), blocks_of(peak=-400e3))
    assert found.state == FAILS and "does not hold alone" in found.title


def test_there_is_no_better_surface_than_the_best():
    assert list(better_surface(joint_of(surface="A", slip_factor=0.5), blocks_of())) == []


def test_the_weld_that_is_offered_carries_the_load_by_an_independent_look():
    """Strength by the front door; throat fatigue of a concentric load by hand: q / a along the two side welds."""
    joint, blocks = joint_of(), blocks_of(repeats=1e5)
    found = fillet_weld_instead(joint, blocks, extremes=blocks, axis="y", **SAFE_LIFE)
    assert found.state == HOLDS
    leg = float(found.title.split()[0])
    assert plate_size(joint, "y") == (210.0, 270.0)
    assert "along both sides of the end plate, 2 x 270 mm" in found.title
    flow = 300e3 / 540
    strength = fillet_strength("EN 1993", leg=leg, steel="S355").strength
    assert found.checks[0].utilisation == pytest.approx(1.5 * flow / strength)
    throat = 0.7 * leg
    shear = count_cycles(np.array([0, 1, 0, 0.5, 0]) * flow / throat).repeated(1e5)
    damage = life_curve("EN 1993", "8.5-3t", gamma_Mf=1.35).damage(shear.ranges, shear.counts)
    assert found.checks[1].utilisation == pytest.approx(damage, rel=1e-9)
    assert any("toes" in item for item in found.still_to_show)


def test_a_smaller_leg_than_the_one_offered_does_not_hold():
    joint, blocks = joint_of(), blocks_of(peak=-700e3, repeats=1.0)
    found = fillet_weld_instead(joint, blocks, extremes=blocks, axis="y", **SAFE_LIFE)
    leg = float(found.title.split()[0])
    assert leg > 5
    smaller = max(size for size in (5, 6, 8, 10, 12) if size < leg)
    group = weld_group([[[-105, -135], [-105, 135]], [[105, -135], [105, 135]]])
    force = np.abs(line_forces(group)[:, 0, 1]).max() * 1.5 * 700e3
    assert force > fillet_strength("EN 1993", leg=smaller, steel="S355").strength


def test_the_weld_is_not_judged_without_plates():
    found = fillet_weld_instead(joint_of(plates=()), blocks_of(), extremes=blocks_of(), axis="y", **SAFE_LIFE)
    assert found.state == NOT_JUDGED and found.utilisation is None


def test_all_kinds_of_alternative_are_given_in_the_order_of_the_redesign():
    kinds = [item.kind for item in alternatives(joint_of(), blocks_of(), axis="y", **SAFE_LIFE)]
    assert kinds == ["more bolts", "friction class", "fillet weld"]
