"""The job en1993_bracket.toml, all numbers worked by hand.

Bolts at x = -60 and 60, y = -80, 0 and 80 mm: I_p = 6 x 60^2 + 4 x 80^2 = 47 200 mm2. The load V runs
0, -60, 0, -30, 0, 20, 0 kN at 0.2 m from the bolts; -10 kN is permanent. M20 10.9: A_s 245 mm2, f_ub 1000 MPa,
F_p,C = 0.7 x 1000 x 245 = 171.5 kN; class A, slip factor 0.5, one plane.
"""

import math
from pathlib import Path

import pytest

from cli.assess import assess_file

JOB = Path(__file__).parent / "jobs" / "en1993_bracket.toml"


@pytest.fixture(scope="module")
def joint():
    return assess_file(JOB)["joints"][0]


def check(joint, name):
    return next(item for item in joint["checks"] if item["id"] == name)


def corner_bolt(force, moment):
    """Force on a bolt at x = 60, y = 80 mm, along x, along y and together. [kN], moment in kN mm"""
    x, y = moment * 80 / 47_200, abs(force) / 6 + moment * 60 / 47_200
    return x, y, math.hypot(x, y)


def test_grip_in_service(joint):
    """V = 70 kN, M = 60 x 200 = 12 000 kN mm: Fx 20.34, Fy 11.67 + 15.25 = 26.92, together 33.74 kN; grip 77.95 kN."""
    found = check(joint, "slip-service")
    assert corner_bolt(70, 12_000) == pytest.approx((20.339, 26.921, 33.741), abs=1e-3)
    assert found["demand"] == pytest.approx(33_741, abs=1)
    assert found["resistance"] == pytest.approx(0.5 * 171_500 / 1.1)


def test_grip_at_ultimate_level(joint):
    """V = 1.35 x 10 + 1.5 x 60 = 103.5 kN, M = 18 000 kN mm: together 50.41 kN against 68.6 kN."""
    found = check(joint, "slip-ultimate")
    assert corner_bolt(103.5, 18_000)[2] == pytest.approx(50.411, abs=1e-3)
    assert found["demand"] == pytest.approx(50_411, abs=1)
    assert found["resistance"] == pytest.approx(68_600)
    assert joint["slip"]["events"] == 0
    assert joint["slip"]["preload_at_slip_share"] == pytest.approx(50.411 / 68.6, abs=1e-4)


def test_bolt_shear_after_slip(joint):
    """alpha_v 0.5 for 10.9: 0.5 x 1000 x 245 / 1.25 = 98 kN; the joint is 160 mm long, below 15 d."""
    found = check(joint, "bolt-shear")
    assert (found["demand"], found["resistance"]) == pytest.approx((50_411, 98_000), abs=1)


def test_bearing_on_the_thinner_plate(joint):
    """Along y: alpha_b = min(50/66, 80/66 - 1/4) = 0.7576, k_1 = min(2.8 x 40/22 - 1.7, 1.4 x 120/22 - 1.7, 2.5) = 2.5;
    2.5 x 0.7576 x 470 x 20 x 15 / 1.25 = 213.6 kN. Largest force along y 17.25 + 22.88 = 40.13 kN."""
    found = check(joint, "bearing-plate-y")
    assert found["resistance"] == pytest.approx(213_636, abs=1)
    assert found["demand"] == pytest.approx(corner_bolt(103.5, 18_000)[1] * 1000, abs=1) == pytest.approx(40_131, abs=1)


def test_fatigue_of_the_stiffener(joint):
    """Stress 0, -72, 0, -36, 0, 24, 0 MPa. Cycles of one pass: 96 (from -72 to 24) and 36, closed within the repeats:
    the pass ends where it began, so that every repeat makes 96 once and 36 once. Category 80, gamma_Mf 1.15:
    69.57 MPa at 2e6, 51.26 at 5e6. N(96) = 2e6 (69.57 / 96)^3 = 761 008, N(36) = 5e6 (51.26 / 36)^5 = 29.25e6.
    """
    strength = 80 / 1.15
    knee = strength * (2 / 5) ** (1 / 3)
    damage = 1e5 / (2e6 * (strength / 96) ** 3) + 1e5 / (5e6 * (knee / 36) ** 5)
    assert damage == pytest.approx(0.131405 + 0.003419, abs=2e-5)
    detail = joint["details"][0]
    # One of the two outer half cycles of the very first and last pass stays open: less than 1e-5 of the damage.
    assert detail["damage"] == pytest.approx(damage, rel=2e-5)
    assert detail["life_years"] == pytest.approx(20 / damage, rel=2e-5)
    assert detail["largest_range_MPa"] == pytest.approx(96)
    assert detail["equivalent_range_MPa"] == pytest.approx(strength * damage ** (1 / 3), rel=1e-5)


def test_fatigue_of_the_plate_keeps_its_gross_section_as_the_joint_grips(joint):
    """0.5 MPa/kN: 40 and 15 MPa; category 90: 78.26 at 2e6, knee 57.66, cut-off 31.67: only 40 counts, slope 5."""
    knee = 90 / 1.15 * (2 / 5) ** (1 / 3)
    assert joint["details"][1]["damage"] == pytest.approx(1e5 / (5e6 * (knee / 40) ** 5), rel=2e-5)
    assert joint["details"][1]["state"] == "holds"


def test_movement_at_the_middle_of_the_bolts_is_the_clearance(joint):
    """Hole 22, bolt 20 mm: 2 mm from the middle, 4 mm from one extreme to the other, against 5 mm."""
    move = joint["movement"]
    assert (move["travel_mm"], move["at_point_mm"], move["at_point_worst_mm"]) == pytest.approx((2, 2, 4))
    # Without turning the farthest bolt is 100 mm away: 2 mm / 100 mm.
    assert move["rotation_mrad"] == pytest.approx(20.0)


def test_the_joint_holds(joint):
    assert joint["state"] == "holds"
    assert joint["alternatives"] == []
