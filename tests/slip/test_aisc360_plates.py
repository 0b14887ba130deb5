"""Plates, holes and distances by AISC 360-16 and 360-22, J3 and J4, against published tables and by hand."""

import tomllib
from pathlib import Path

import pytest

from loadhistories.figures import FAILS, HOLDS
from loadhistories.tables import read_table
from slip import standards
from slip.joint import Plate

PUBLISHED = Path(__file__).parents[1] / "published" / "aisc360_joints.toml"
CASES = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["case"]
PACKAGE = "slip.standards.aisc360"
AISC = standards.standard("AISC 360-22")
KIP, INCH, KSI = 4448.2216152605, 25.4, 4448.2216152605 / 25.4**2
BOLT = AISC.bolt("3/4 in", "A325")
STANDARD = AISC.hole(BOLT, "normal")
LONG_SLOT = AISC.hole(BOLT, "long slot")


def case(name):
    """Inputs and expected values of a published case; of a list the one at a place."""
    row = CASES[name]

    def expect(key, at=None):
        value = row["expected"][key]
        value = value if at is None else value[at]
        if "relative_tolerance" in row:
            return pytest.approx(value, rel=row["relative_tolerance"])
        tolerance = row["tolerance"]
        tolerance = tolerance[key] if isinstance(tolerance, dict) else tolerance
        return pytest.approx(value, abs=tolerance[at] if isinstance(tolerance, list) else tolerance)

    return row["inputs"], expect


def plate(thickness_in=1.0, ultimate_ksi=58.0, yield_ksi=36.0):
    return Plate("gusset", INCH * thickness_in, "given", KSI * yield_ksi, KSI * ultimate_ksi, 31.75, 31.75)


def test_block_shear_of_j4_3():
    given, expect = case("block-shear")
    areas = {f"{key}_area": INCH**2 * given[name] for key, name in
             (("net_tension", "Ant_in2"), ("net_shear", "Anv_in2"), ("gross_shear", "Agv_in2"))}  # fmt: skip
    strengths = {"yield_strength": KSI * given["Fy_ksi"], "ultimate_strength": KSI * given["Fu_ksi"]}
    found = AISC.block_tearing(**areas, **strengths, eccentric=False)
    assert found.resistance / KIP == expect("phiRn_kip")
    assert found.nominal / KIP == expect("rupture_kip")
    areas_without_holes = {**areas, "net_shear_area": areas["gross_shear_area"]}
    yielding = AISC.block_tearing(**areas_without_holes, **strengths, eccentric=False)
    assert yielding.nominal / KIP == expect("yield_kip")
    uneven = AISC.block_tearing(**areas, **strengths, eccentric=True)
    assert found.nominal - uneven.nominal == pytest.approx(0.5 * 65 * 0.53 * KIP)


def test_net_section_deducts_a_sixteenth_more_than_the_hole():
    assert AISC.deducted_hole(STANDARD).width == pytest.approx(INCH * 0.875)
    assert AISC.deducted_hole(LONG_SLOT).length == pytest.approx(INCH * 1.9375)
    assert AISC.deducted_hole(AISC.hole(AISC.bolt("M24", "A325"), "normal")).width == 29.0
    net = (6 - 2 * 0.875) * 0.5 * INCH**2
    assert AISC.net_section(net_area=net, ultimate_strength=65 * KSI).resistance / KIP == pytest.approx(103.59375)


def test_sections_of_a_plate_yield_in_gross_and_rupture_in_net():
    """0.9 x 50 x 3 = 135 kip; 0.75 x 65 x 2.125 = 103.59 kip."""
    given = {"grips_at_ultimate": True}
    part = plate(0.5, 65.0, 50.0)
    gross, of_gross = AISC.plate_section(part, kind="gross", area=3 * INCH**2, **given)
    net, of_net = AISC.plate_section(part, kind="net", area=2.125 * INCH**2, **given)
    assert (gross.resistance / KIP, net.resistance / KIP) == pytest.approx((135.0, 103.59375))
    assert (of_gross, of_net) == ("AISC 360-16 and 360-22, J4.1(a)", "AISC 360-16 and 360-22, J4.1(b)")


def test_holes_of_table_j3_3_and_j3_3m():
    assert STANDARD.width == pytest.approx(INCH * 13 / 16)
    assert LONG_SLOT.length == pytest.approx(INCH * 1.875)
    big = AISC.hole(AISC.bolt("1 in", "A325"), "normal")
    assert big.clearance == pytest.approx(INCH / 8)
    m24 = AISC.bolt("M24", "A490")
    widths = [AISC.hole(m24, kind).length for kind in ("normal", "oversize", "short slot", "long slot")]
    assert widths == [27.0, 30.0, 32.0, 60.0]


def test_rules_of_the_tables_over_1_in_and_of_the_long_slots():
    for size, row in read_table(PACKAGE, "holes_inch").items():
        d = read_table(PACKAGE, "bolts_inch")[size]["diameter_in"]
        assert row["long_slot_in"] == 2.5 * d
        if d > 1.0:
            assert [row[f"{key}_in"] - d for key in ("normal", "oversize", "short_slot")] == [1 / 8, 5 / 16, 3 / 8]
        assert row["normal_in"] < row["oversize_in"] < row["short_slot_in"] < row["long_slot_in"]


def distances(hole, **given):
    values = {"thickness": 12.7, "end_distance": 40.0, "edge_distance": 40.0, "pitch": 76.2, "exposed": False, **given}
    return {check.id.removeprefix("distance:"): check for check in AISC.distance_checks(hole, **values)}


def test_distances_of_a_three_quarter_inch_bolt():
    """2-2/3 d = 2 in; 1 in to an edge, 1-1/16 in for an oversize hole, 1-1/8 and 1-9/16 in for slots; 12 t = 6 in."""
    found = distances(STANDARD)
    assert found["smallest pitch"].demand == pytest.approx(2 * INCH)
    assert found["smallest end"].demand == pytest.approx(INCH)
    assert found["largest edge"].resistance == pytest.approx(6 * INCH)
    assert found["largest pitch"].resistance == pytest.approx(12 * INCH)
    least = {kind: distances(AISC.hole(BOLT, kind))["smallest end"].demand / INCH
             for kind in ("oversize", "short slot", "long slot")}  # fmt: skip
    assert least == pytest.approx({"oversize": 1.0625, "short slot": 1.125, "long slot": 1.5625})
    assert distances(STANDARD, exposed=True)["largest pitch"].resistance == pytest.approx(7 * INCH)
    assert distances(LONG_SLOT)["smallest pitch"].demand == pytest.approx(1.875 * INCH + 0.75 * INCH)
    assert found["smallest end"].state == HOLDS
    assert distances(STANDARD, end_distance=25.0)["smallest end"].state == FAILS
