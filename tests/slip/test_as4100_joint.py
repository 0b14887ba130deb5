"""One joint by AS 4100:2020 in the engine. The bracket: 3 rows of 2 M24 8.8, pitch 90, gauge 140, clean as-rolled."""

import numpy as np
import pytest

from loadhistories.blocks import block_of_arrays
from loadhistories.figures import FAILS, HOLDS
from slip.assessment import assess
from slip.joint import BoltedJoint, Grid, Plate, grid_positions
from slip.redesign import alternatives
from slip.standards import standard

AS = standard("AS 4100")
GRID = Grid(3, 2, 90.0, 140.0)
BASIS = {"load_path": "redundant", "inspection": "regular", "loading": "not highly irregular"}


def joint_of(**changes):
    given = {
        "name": "joint", "standard": "AS 4100", "positions": grid_positions(GRID), "size": "M24", "grade": "8.8",
        "preload": 210e3, "holes": "normal", "slot_axis": "", "surface": "clean as-rolled", "slip_factor": 0.35,
        "planes": 1, "threads_in_plane": True, "plates": (Plate("end plate", 16.0, "300", 300.0, 430.0, 45.0, 50.0),),
        "slip": "not in service", "because": "", "permanent": np.zeros(6), "factors": AS.LOAD_FACTORS, "grid": GRID,
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def block_of(**components):
    values = {key: np.asarray(value, dtype=float) for key, value in components.items()}
    return block_of_arrays("working", values, step=0.01, repeats=10.0)


def check(outcome, name):
    return next(item for item in outcome.checks if item.id == name)


def test_slip_with_tension_is_judged_by_the_linear_interaction():
    """Hand calculation: 6 bolts, 40 kN and 20 kN each: 40 / 51.45 + 20 / 147 = 0.9135 of the least tension."""
    outcome = assess(joint_of(), [block_of(Fy=[0, -240e3], Fz=[0, 120e3])])
    level = outcome.levels["service"]
    assert level.preload_share == pytest.approx(40 / 51.45 + 20 / 147)
    assert check(outcome, "slip-service").resistance == pytest.approx(0.245 * (210e3 - 20e3 / 0.7))
    assert check(outcome, "slip-service").state == HOLDS


@pytest.mark.parametrize(("shear", "slips"), [(44.4, False), (44.5, True)])
def test_it_slips_where_the_linear_interaction_passes_one(shear, slips):
    """Hand calculation: with 20 kN of tension in each bolt 51.45 (1 - 20 / 147) = 44.45 kN of shear are left."""
    outcome = assess(joint_of(), [block_of(Fy=[0, -6e3 * shear], Fz=[0, 120e3])])
    assert outcome.levels["service"].slips == slips
    assert (outcome.levels["service"].preload_share > 1.0) == slips


def test_not_in_service_checks_the_serviceability_limit_state_and_never_both():
    """50 kN a bolt holds in service (51.45 kN); 1.5 times that, 75 kN, slips."""
    blocks = [block_of(Fy=[0, -300e3])]
    once, always = (assess(joint_of(slip=rule), blocks) for rule in ("not in service", "never"))
    assert check(once, "slip-service").state == check(always, "slip-service").state == HOLDS
    assert not any(item.id == "slip-ultimate" for item in once.checks)
    assert check(always, "slip-ultimate").state == FAILS
    assert check(always, "slip-ultimate").clause.startswith("asked for by the job")
    assert once.levels["ultimate"].instant.value == pytest.approx(75 / 51.45)


def test_bearing_is_judged_for_the_components_and_for_the_whole_force():
    """A slanting load: each component is 45 kN, the whole force 63.6 kN against 0.9 x 3.2 x 24 x 16 x 430."""
    outcome = assess(joint_of(), [block_of(Fx=[0, 180e3], Fy=[0, -180e3])])
    whole = check(outcome, "bearing-end plate")
    assert whole.demand == pytest.approx(45e3 * 2**0.5)
    assert whole.resistance == pytest.approx(0.9 * 3.2 * 24 * 16 * 430)
    assert [check(outcome, f"bearing-end plate-{way}").demand for way in "xy"] == pytest.approx([45e3, 45e3])


def test_a_joint_of_en_1993_has_no_such_check():
    plate = Plate("end plate", 16.0, "S355", 355.0, 470.0, 45.0, 50.0)
    joint = joint_of(standard="EN 1993", surface="B", slip_factor=0.4, plates=(plate,))
    found = assess(joint, [block_of(Fx=[0, 180e3], Fy=[0, -180e3])])
    assert not any(item.id == "bearing-end plate" for item in found.checks)


def test_alternatives_are_more_bolts_and_a_weld_of_stated_electrode_and_quality():
    """60 kN a bolt slips at 51.45 kN: 8 bolts take 45 kN each; no surface of the standard grips better."""
    blocks = [block_of(Fy=[0, -360e3, 0])]
    found = {item.kind: item for item in alternatives(joint_of(), blocks, axis="y", basis=BASIS)}
    assert set(found) == {"more bolts", "fillet weld"}
    assert found["more bolts"].title.startswith("4 rows of 2") and found["more bolts"].state == HOLDS
    weld = found["fillet weld"]
    assert weld.title.endswith("E48XX, quality SP") and weld.state == HOLDS
    strength, throat = weld.checks
    leg = float(weld.title.split(" mm")[0])
    assert leg >= 6.0, "the smallest leg to a plate of 16 mm"
    assert strength.resistance == pytest.approx(0.8 * 0.6 * 480 * leg / 2**0.5)
    assert (strength.clause, throat.clause.split(",")[0]) == ("AS 4100:2020, 9.6.3.10", "AS 4100:2020")


def test_what_the_distances_take_for_granted_is_told():
    outcome = assess(joint_of(), [block_of(Fy=[0, -60e3])])
    assert AS.DISTANCES_ASSUMED in outcome.assumptions
    assert not any("weather" in text for text in outcome.assumptions)


def test_a_long_group_of_bolts_loses_shear_strength():
    """Hand calculation: 7 rows at 90 mm are 540 mm long: k_r 1.075 - 540 / 4000 = 0.94."""
    short, long = (assess(joint_of(positions=grid_positions(Grid(rows, 2, 90.0, 140.0))), [block_of(Fy=[0, -60e3])])
                   for rows in (3, 7))  # fmt: skip
    ratio = check(long, "bolt-shear").resistance / check(short, "bolt-shear").resistance
    assert ratio == pytest.approx(0.94)


def test_sections_and_block_shear_of_a_ply_are_judged():
    """Hand calculation: t 16, b 240, holes 26 (net 188); strips of 50 mm less half a hole beside two columns."""
    plate = Plate("end plate", 16.0, "300", 300.0, 430.0, 45.0, 50.0, width=240.0)
    found = {item.id: item for item in assess(joint_of(plates=(plate,)), [block_of(Fy=[0, -240e3])]).checks}
    assert found["gross-section-end plate"].resistance == pytest.approx(0.9 * 16 * 240 * 300)
    assert found["net-section-end plate"].resistance == pytest.approx(0.9 * 0.85 * 16 * 188 * 430)
    shear, gross = 2 * 16 * (225 - 2.5 * 26), 2 * 16 * 225
    strips = min(0.6 * 430 * shear, 0.6 * 300 * gross) + 430 * 16 * 2 * (50 - 13)
    assert found["block-end plate"].resistance == pytest.approx(0.75 * strips)
