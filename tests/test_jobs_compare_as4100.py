"""The joint of compare_as4100.toml and every other way to make it, by AS 4100, all numbers worked by hand.

A hanger of 16 mm on a gusset of 20 mm, both f_y 300, f_u 430 MPa, with four M24 8.8 (N_ti 210 kN) in oversize holes,
slip factor 0.35. The pull runs 0, -210, 0, -100, 0, 20, 0 kN along y; 315 kN at ultimate level. Weld lines 2 x 180 mm.
"""

import math
from pathlib import Path

import pytest

from cli.compare import compare_job
from cli.compare_contract import comparison_of
from cli.compare_rates import read_rates
from cli.job import read_job

JOB = Path(__file__).parent / "jobs" / "compare_as4100.toml"
GRIP = 0.7 * 0.35 * 210


@pytest.fixture(scope="module")
def joint():
    job, own = read_job(JOB), read_rates(None)
    return comparison_of(job, compare_job(job, own), own, None)["joints"][0]


def option(joint, kind):
    return next(item for item in joint["alternatives"] if item["kind"] == kind)


def refused(joint, kind):
    return next(item for item in joint["refused"] if item["kind"] == kind)["reason"]


def used(item, name):
    return next(check["utilisation"] for check in item["checks"] if check["id"] == name)


def test_the_joint_as_given_slips_in_service(joint):
    assert used(joint["as_given"], "slip-service") == pytest.approx(52.5 / (0.85 * GRIP))


@pytest.mark.parametrize(
    ("kind", "state", "grip"),
    [
        ("more bolts", "holds", 35 / (0.85 * GRIP)),
        ("normal holes", "fails", 52.5 / GRIP),
        ("second plane", "holds", 52.5 / (2 * 0.85 * GRIP)),
    ],
)
def test_ways_that_raise_the_grip(joint, kind, state, grip):
    found = option(joint, kind)
    assert found["state"] == state
    assert used(found, "slip-service") == pytest.approx(grip)


def test_larger_bolts_would_grip_but_stand_too_near_to_the_end(joint):
    """M30: 1.75 x 30 = 52.5 mm of 50 mm."""
    found = option(joint, "larger bolts")
    assert found["state"] == "fails" and found["title"].startswith("M30 8.8")
    assert used(found, "distances-hanger") == pytest.approx(52.5 / 50)


def test_fillet_weld(joint):
    """875 N/mm on 0.8 x 0.6 x 480 x 6 / sqrt(2)."""
    found = option(joint, "fillet weld")
    assert found["title"] == "6 mm fillet weld along both sides of the hanger, 2 x 180 mm, E48XX, quality SP"
    assert used(found, "weld-strength") == pytest.approx(875 / (0.8 * 0.6 * 480 * 6 / math.sqrt(2)))


def test_groove_welds(joint):
    """Bevel 8 mm less 3: 0.8 x 0.6 x 480 x 5; through: 0.9 x 0.6 x 300 x 16 N/mm."""
    assert used(option(joint, "partial penetration weld"), "weld-strength") == pytest.approx(875 / (0.48 * 480 * 5))
    assert used(option(joint, "full penetration weld"), "weld-strength") == pytest.approx(875 / (0.54 * 300 * 16))


def test_dowels_hold_but_their_fatigue_is_not_judged(joint):
    """157.5 kN on 0.8 x 0.62 x 300 x 1256.6 mm2; Table 11.5.1(1) has no row for shanks under reversed shear."""
    found = option(joint, "dowels")
    assert found["state"] == "not judged" and "2 dowels of 40 mm" in found["title"]
    assert used(found, "dowel-shear") == pytest.approx(157.5e3 / (0.8 * 0.62 * 300 * math.pi / 4 * 40**2))
    assert found["checks"][-1]["reason"].startswith("AS 4100 has no category here for shanks")


def test_ways_that_the_standard_does_not_offer_say_so(joint):
    assert refused(joint, "fitted bolts") == "no rule for fitted bolts is known here by AS 4100"
    assert "friction of bolts is a serviceability rule" in refused(joint, "bolts and welds sharing")
    assert refused(joint, "friction class") == "there is no friction class with a higher slip factor"
    assert refused(joint, "longer pattern").startswith("no moment turns the bolts")
