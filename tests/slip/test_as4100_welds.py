"""Fillet welds, long laps and fillers by AS 4100:2020, section 9, against published tables and worked examples."""

import math
import tomllib
from pathlib import Path

import pytest

from loadhistories.tables import read_table
from slip import fillet_strength, standards

PUBLISHED = Path(__file__).parents[1] / "published" / "as4100_joints.toml"
CASES = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["case"]
PACKAGE = "slip.standards.as4100"
AS = standards.standard("AS 4100")
M20 = AS.bolt("M20", "8.8")


def case(name):
    """Inputs and expected values of a published case; of a list the one at a place."""
    row = CASES[name]

    def expect(key, at=None):
        value = row["expected"][key]
        value = value if at is None else value[at]
        if "relative_tolerance" in row:
            return pytest.approx(value, rel=row["relative_tolerance"])
        tolerance = row["tolerance"][key]
        return pytest.approx(value, abs=tolerance[at] if isinstance(tolerance, list) else tolerance)

    return row["inputs"], expect


def weld(leg, electrode, quality, **given):
    return fillet_strength("AS 4100", leg=leg, electrode=electrode, quality=quality, **given).strength / 1000


@pytest.mark.parametrize("name", ["weld-4", "weld-5", "weld-6", "weld-10", "weld-12"])
def test_asi_design_capacity_table_of_fillet_welds_of_quality_sp(name):
    given, expect = case(name)
    for at, electrode in enumerate(("E41XX", "E48XX")):
        assert read_table(PACKAGE, "electrodes")[electrode]["tensile_strength_MPa"] == given["f_uw_MPa"][at]
        assert weld(given["leg_mm"], electrode, "SP") == expect("phi_v_w_kN_per_mm", at)


def test_fillet_weld_of_quality_gp_has_the_smaller_capacity_factor():
    given, expect = case("weld-6-gp")
    assert weld(given["leg_mm"], "E48XX", "GP") == expect("phi_v_w_kN_per_mm")


def test_a_6_mm_fillet_weld_carries_about_1_kn_per_mm_by_common_practice():
    given, expect = case("weld-6-of-common-practice")
    assert weld(given["leg_mm"], "E49XX", "SP") == expect("kN_per_mm")


@pytest.mark.parametrize("name", ["welds-by-leg", "welds-with-newer-electrodes"])
def test_fillet_welds_by_leg_electrode_and_quality_from_9_7_3_10(name):
    given, expect = case(name)
    for key in CASES[name]["expected"]:
        quality, electrode = key.split("_")[:2]
        for at, leg in enumerate(given["leg_mm"]):
            assert weld(leg, f"{electrode}XX", quality) == expect(key, at), (key, leg)


def test_a_fillet_weld_is_as_strong_across_its_axis_as_along_it():
    assert weld(6.0, "E48XX", "SP", angle=math.pi / 2) == weld(6.0, "E48XX", "SP")


def test_long_laps_of_welds_and_bolts_from_tables_9_7_3_10_and_9_3_2_1():
    given, expect = case("long-lap-factors")
    for at, length in enumerate(given["weld_length_m"]):
        assert AS.welded_lap_factor(1000 * length) == expect("kr_weld", at)
    for at, length in enumerate(given["lap_length_mm"]):
        assert AS.bolted_lap_factor(length) == expect("kr_bolts", at)


def test_long_laps_at_their_switch_points_and_filler_from_9_3_2_5():
    given, expect = case("long-laps-and-filler")
    for at, length in enumerate(given["lw_m"]):
        assert AS.welded_lap_factor(1000 * length) == expect("kr_weld", at)
    for at, length in enumerate(given["lj_mm"]):
        assert AS.bolted_lap_factor(length) == expect("kr_bolt", at)
    assert given["phi_Vfn_M20_kN"] * AS.filler_factor(12.0) == expect("phi_Vfn_with_filler_kN")


def test_filler_and_long_lap_lower_the_shear_of_a_bolt():
    """Hand calculation: 92.628 kN x 0.95 x 0.85 = 74.797 kN per plane of M20 8.8, threads in the plane."""
    found = AS.bolt_shear(M20, 2, True, joint_length=500.0, packing=12.0)
    assert found.resistance == pytest.approx(2 * 74_797.1, abs=1.0)
    assert [AS.filler_factor(thickness) for thickness in (6.0, 6.01, 20.0)] == [1.0, 0.85, 0.85]


def test_smallest_leg_by_the_thickest_part_from_table_9_7_3_2():
    found = [AS.least_leg(thickness) for thickness in (3, 7, 7.1, 10, 10.1, 15, 15.1, 60)]
    assert found == [3, 3, 4, 4, 5, 5, 6, 6]


def test_a_long_lap_lowers_a_weld():
    """Hand calculation: 0.9775 kN/mm x 0.92."""
    found = AS.fillet_weld(leg=6.0, electrode="E48XX", quality="SP", lap_length=3000.0)
    assert found.strength == pytest.approx(0.92 * 977.504, abs=0.01)
