"""The joint of compare_aisc.toml and every other way to make it, by AISC 360-22, all numbers worked by hand.

A hanger of 1/2 in on a gusset of 3/4 in, F_y 50, F_u 65 ksi, with four 7/8 in A325, class A (0.30), T_b 39 kip.
The pull runs 0, -38, 0, -20, 0, 5, 0 kip along y; 1.6 x 38 / 4 = 15.2 kip on a bolt. Weld lines 2 x 7 in.
"""

import math
from pathlib import Path

import pytest

from cli.compare import compare_job
from cli.compare_contract import comparison_of
from cli.compare_rates import read_rates
from cli.job import read_job

JOB = Path(__file__).parent / "jobs" / "compare_aisc.toml"
FLOW = 1.6 * 38 * 4448.2216152605 / (2 * 7 * 25.4)
KSI = 6.894757293168361


@pytest.fixture(scope="module")
def joint():
    job, own = read_job(JOB), read_rates(None)
    return comparison_of(job, compare_job(job, own), own, None)["joints"][0]


def option(joint, kind):
    return next(item for item in joint["alternatives"] if item["kind"] == kind)


def used(item, name):
    return next(check["utilisation"] for check in item["checks"] if check["id"] == name)


def grip(slip_factor, pretension, planes=1):
    return slip_factor * 1.13 * pretension * planes


@pytest.mark.parametrize(
    ("kind", "title", "expected"),
    [
        ("more bolts", "2 rows of 3", 1.6 * 38 / 6 / grip(0.3, 39)),
        ("larger bolts", "1 in A325 instead of 7/8 in", 15.2 / grip(0.3, 51)),
        ("friction class", "friction class B, slip factor 0.5", 15.2 / grip(0.5, 39)),
        ("higher grade", "7/8 in A490 instead of A325", 15.2 / grip(0.3, 49)),
        ("second plane", "the gusset between two plates", 15.2 / grip(0.3, 39, planes=2)),
    ],
)
def test_ways_that_raise_the_grip(joint, kind, title, expected):
    assert used(joint["as_given"], "slip-ultimate") == pytest.approx(15.2 / grip(0.3, 39))
    found = option(joint, kind)
    assert found["state"] == "holds" and found["title"].startswith(title)
    assert used(found, "slip-ultimate") == pytest.approx(expected)


def test_fillet_weld(joint):
    """760.5 N/mm on 0.75 x 0.6 x 70 ksi x 8 / sqrt(2) mm."""
    found = option(joint, "fillet weld")
    assert found["title"] == "8 mm fillet weld along both sides of the hanger, 2 x 177.8 mm, E70XX"
    assert used(found, "weld-strength") == pytest.approx(FLOW / (0.45 * 70 * KSI * 8 / math.sqrt(2)))


def test_throat_of_the_fillet_weld_by_category_F(joint):
    """43 and 20 kip over 14 x 0.2227 in: 13.8 and 6.4 ksi; F_SR = 100 (1.5 / n)^0.167, no threshold once exceeded."""
    found = option(joint, "fillet weld")
    detail = next(item for item in found["details"] if "stress along" in item["name"])
    stresses = [force / (14 * 8 / 25.4 / math.sqrt(2)) for force in (43, 20)]
    assert stresses == pytest.approx([13.79, 6.414], abs=0.005)
    expected = sum(25_000 / (1.5 * (100 / stress) ** (1 / 0.167)) for stress in stresses)
    assert detail["category"] == "F" and detail["damage"] == pytest.approx(expected, rel=1e-4)


def test_groove_welds(joint):
    """Bevel 8 mm less 1/8 in; through: 0.6 x 50 ksi x 12.7 mm."""
    partial, full = option(joint, "partial penetration weld"), option(joint, "full penetration weld")
    assert used(partial, "weld-strength") == pytest.approx(FLOW / (0.45 * 70 * KSI * (8 - 3.175)))
    assert used(full, "weld-strength") == pytest.approx(FLOW / (0.6 * 50 * KSI * 12.7))


def test_bolts_and_longitudinal_welds_share_with_three_quarters_of_both(joint):
    found = option(joint, "bolts and welds sharing")
    assert found["state"] == "holds" and "8 mm fillet welds along y beside the bolts" in found["title"]
