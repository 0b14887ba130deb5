"""The joint of compare_en1993.toml and every other way to make it, by EN 1993, all numbers worked by hand.

A hanger of 16 mm (f_y 355, f_u 470 MPa) on a gusset of 20 mm (f_y 345 MPa) with four M20 10.9, slip factor 0.3.
The pull runs 0, -120, 0, -60, 0, 20, 0 kN along y, 20 000 times: ranges of 140 and 60 kN; 180 kN at ultimate level.
The hanger is 200 mm wide and 180 mm high at the bolts.
"""

import math
from pathlib import Path

import pytest

from cli.compare import compare_job
from cli.compare_contract import comparison_of
from cli.compare_rates import read_rates
from cli.job import read_job

JOB = Path(__file__).parent / "jobs" / "compare_en1993.toml"
PULL, LINES = 180e3, 360.0
FILLET = 470 / (math.sqrt(3) * 0.9 * 1.25)


@pytest.fixture(scope="module")
def joint():
    job, own = read_job(JOB), read_rates(None)
    return comparison_of(job, compare_job(job, own), own, None)["joints"][0]


def option(joint, kind):
    return next(item for item in joint["alternatives"] if item["kind"] == kind)


def used(item, name):
    return next(check["utilisation"] for check in item["checks"] if check["id"] == name)


def damage(item, part):
    return next(detail["damage"] for detail in item["details"] if part in detail["name"])


def test_the_joint_as_given_slips(joint):
    """0.3 x 171.5 / 1.25 = 41.16 kN a bolt against 45 kN."""
    assert joint["state"] == "fails"
    assert used(joint["as_given"], "slip-ultimate") == pytest.approx(45 / 41.16)


@pytest.mark.parametrize(
    ("kind", "title", "grip"),
    [
        ("more bolts", "2 rows of 3, pitch 80 mm, gauge 60 mm: 6 bolts instead of 4", 30 / 41.16),
        ("larger bolts", "M22 10.9 instead of M20", 45 / (0.3 * 0.7 * 303 / 1.25)),
        ("friction class", "friction class B, slip factor 0.4", 45 / 54.88),
        ("second plane", "the gusset between two plates like the hanger", 45 / 82.32),
    ],
)
def test_ways_that_raise_the_grip(joint, kind, title, grip):
    found = option(joint, kind)
    assert found["state"] == "holds" and found["title"].startswith(title)
    assert used(found, "slip-ultimate") == pytest.approx(grip)


def test_rows_within_the_present_length_are_refused_as_they_stand_too_close(joint):
    """40 mm of pitch against 2.2 x 22 = 48.4 mm: used 1.21."""
    first = option(joint, "more bolts")["tried"][0]
    assert first["what"].startswith("3 rows of 2, pitch 40 mm") and first["state"] == "fails"
    assert first["reason"] == "hole distances of the hanger: smallest pitch distance of the holes 1.21"


def test_key_between_the_bolts(joint):
    """50 x 24 mm in shear, 50 x 12 mm in bearing; weld: 180 kN over 148 mm and 180 kN x 6 mm over J = 16 704 mm3."""
    found = option(joint, "shear key")
    assert found["title"].startswith("key 50 mm wide and 24 mm long on the hanger, bearing 12 mm deep")
    assert used(found, "key-shear") == pytest.approx(PULL / (50 * 24 * 355 / math.sqrt(3)))
    assert used(found, "key-bearing") == pytest.approx(PULL / (50 * 12 * 345))
    inertia = 2 * 50 * 12**2 + 2 * 24**3 / 12
    assert inertia == 16_704
    force = math.hypot(PULL / 148, PULL * 6 * 12 / inertia)
    assert used(found, "key-weld") == pytest.approx(force / (0.7 * 12 * FILLET))
    assert used(found, "slip-ultimate") == 0.0


def test_dowels_take_the_pull(joint):
    """90 kN each: 0.6 x 490.87 x 470 / 1.25 in shear, 1.5 d t f_y in bearing with the weaker 345 MPa."""
    found = option(joint, "dowels")
    assert "2 dowels of 25 mm" in found["title"]
    assert used(found, "dowel-shear") == pytest.approx(90e3 / (0.6 * math.pi / 4 * 25**2 * 470 / 1.25))
    assert used(found, "dowel-bearing-hanger") == pytest.approx(90e3 / (1.5 * 25 * 16 * 345))
    assert [step["reason"] for step in found["tried"][:2]] == ["shear of the dowels 1.98", "shear of the dowels 1.27"]


def test_fitted_bolts_bear_and_their_shanks_last(joint):
    """0.6 x 1000 x 314 / 1.25 = 150.7 kN; 35 and 15 kN over 314 mm2, raised by 1 / cos(pi / 16); 100 MPa, slope 5."""
    found = option(joint, "fitted bolts")
    assert used(found, "bolt-shear") == pytest.approx(45e3 / (0.6 * 1000 * 314 / 1.25))
    each = sum(
        2e4 / (2e6 * (100 / 1.15 / (force / 314 / math.cos(math.pi / 16))) ** 5) for force in (35e3, 15e3)
    )
    assert damage(found, "shanks") == pytest.approx(each, rel=1e-4)
    assert found["movement_mm"] == 0.0


def test_injection_bolts_need_the_test_of_their_resin(joint):
    found = option(joint, "injection bolts")
    assert found["state"] == "not judged"
    assert any("found by test, is not given" in check["reason"] for check in found["checks"])


def test_fillet_weld_along_both_sides(joint):
    """500 N/mm on 3.5 mm; 140 and 60 kN over 360 x 3.5 mm2 by category 80; over 200 x 16 mm2 in the plate by 45."""
    found = option(joint, "fillet weld")
    assert found["title"] == "5 mm fillet weld along both sides of the hanger, 2 x 180 mm"
    assert used(found, "weld-strength") == pytest.approx(500 / (3.5 * FILLET))
    shear = sum(2e4 / (2e6 * (80 / 1.15 / (force / LINES / 3.5)) ** 5) for force in (140e3, 60e3))
    assert damage(found, "throat of 3.5 mm, stress along") == pytest.approx(shear, rel=1e-4)
    strength = 45 / 1.15
    knee = strength * 0.4 ** (1 / 3)
    plate = 2e4 / (2e6 * (strength / (140e3 / 3200)) ** 3) + 2e4 / (5e6 * (knee / (60e3 / 3200)) ** 5)
    assert damage(found, "hanger at the end of the weld, one edge") == pytest.approx(plate, rel=1e-4)


def test_groove_welds_of_standing_plates(joint):
    """Bevel 8 mm less 3: 5 mm as a fillet throat; through: 16 x 345 / sqrt(3)."""
    partial, full = option(joint, "partial penetration weld"), option(joint, "full penetration weld")
    assert used(partial, "weld-strength") == pytest.approx(500 / (5 * FILLET))
    assert used(full, "weld-strength") == pytest.approx(500 / (16 * 345 / math.sqrt(3)))


def test_bolts_and_welds_share_the_pull(joint):
    """1 / (41.16 / 45 + 844.2 / 500)."""
    found = option(joint, "bolts and welds sharing")
    assert used(found, "bolts-with-welds") == pytest.approx(1 / (41.16 / 45 + 3.5 * FILLET / 500))


def test_quantities_and_work(joint):
    """Fillet: 1.15 x 12.5 x 360 mm3, one pass. Six bolts: 12 holes of 22 mm in 36 mm of plates. Example rates."""
    weld, more = option(joint, "fillet weld"), option(joint, "more bolts")
    assert weld["quantities"]["weld_volume_mm3"] == pytest.approx(1.15 * 12.5 * 360)
    assert weld["quantities"]["weld_mass_kg"] == pytest.approx(1.15 * 12.5 * 360 * 7.85e-6)
    assert (weld["quantities"]["weld_passes"], weld["quantities"]["bolts"]) == (1, 0)
    assert (more["quantities"]["bolts"], more["quantities"]["holes"]) == (6, 12)
    assert more["quantities"]["drilled_mm2"] == pytest.approx(6 * math.pi * 22 * 36)
    assert more["quantities"]["prepared_mm2"] == pytest.approx(2 * 200 * 180)
    assert more["work"]["shop_hours"] == pytest.approx(12 * 0.1 + 0.072)
    assert more["work"]["site_hours"] == pytest.approx(6 * 0.2)
    assert more["work"]["cost"] == pytest.approx(60 * 1.272 + 85 * 1.2 + 6 * 8 + 0.072 * 10)
    assert more["work"]["examples"] is True


def test_what_holds_stands_first_then_the_margin_decides(joint):
    order = sorted(joint["alternatives"], key=lambda item: item["rank"])
    assert order[0]["kind"] == "full penetration weld" and order[-1]["kind"] == "injection bolts"
    margins = [item["criteria"]["margin"] for item in order if item["state"] == "holds"]
    assert margins == sorted(margins, reverse=True)
