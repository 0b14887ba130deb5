"""Fillet welds by AISC 360-16 and 360-22, J2, against published tables and worked examples in kip and in."""

import math
import tomllib
from pathlib import Path

import pytest

from loadhistories.validation import InputError
from slip import fillet_strength, standards
from slip.joint import Plate

PUBLISHED = Path(__file__).parents[1] / "published" / "aisc360_joints.toml"
CASES = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["case"]
AISC = standards.standard("AISC 360-22")
KIP, INCH, KSI = 4448.2216152605, 25.4, 4448.2216152605 / 25.4**2


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


def weld(leg_in, electrode="E70XX", **given):
    return AISC.fillet_weld(leg=INCH * leg_in, electrode=electrode, **given)


PER_INCH = KIP / INCH


def test_fillet_weld_of_design_example_j_1():
    given, expect = case("fillet-weld-3-16")
    found = weld(given["leg_in"])
    assert found.nominal / PER_INCH == expect("Rn_kip_per_in")
    assert given["Pu_kip"] / (found.strength / PER_INCH) == expect("length_LRFD_in")


def test_fillet_weld_of_one_sixteenth_of_manual_equations_8_2():
    given, expect = case("fillet-weld-per-sixteenth")
    assert weld(given["leg_in"]).strength / PER_INCH == expect("phi_rn_kip_per_in")
    assert weld(given["leg_in"], method="ASD").strength / PER_INCH == expect("rn_over_Omega_kip_per_in")
    _, expect = case("weld-sixteenth")
    front = fillet_strength("AISC 360-16", leg=INCH / 16, electrode="E70XX")
    assert front.strength / PER_INCH == expect("phi_R_n_kips_per_in")


def test_fillet_weld_by_the_angle_of_its_load():
    given, expect = case("fillet-weld-by-angle")
    for at, degrees in enumerate(given["theta_deg"]):
        found = weld(0.25, angle=math.radians(degrees))
        assert found.direction_factor == expect("factor", at)
        assert found.nominal_stress / KSI == expect("Fnw_ksi", at)
    _, expect = case("weld-transverse")
    assert weld(0.25, angle=math.pi / 2).direction_factor == expect("factor")


def test_group_of_longitudinal_and_transverse_fillet_welds():
    given, expect = case("weld-group")
    each = weld(given["leg_sixteenths"] / 16).nominal
    along, across = (each * INCH * given[key] for key in ("L_long_in", "L_trans_in"))
    found = AISC.fillet_weld_group(along=along, across=across)
    assert found.resistance / KIP == expect("phiRn_kip") == expect("b_kip")
    assert 0.75 * (along + across) / KIP == expect("a_kip")
    assert AISC.fillet_weld_group(along=along, across=0.0).nominal == along


def test_long_welds_and_their_end():
    assert AISC.long_weld_factor(6.0, 600.0) == 1.0
    assert AISC.long_weld_factor(6.0, 1800.0) == pytest.approx(0.6)
    with pytest.raises(InputError, match=r"must not be above 300 legs, 1800 mm, got 1801; beyond, count 180 legs"):
        AISC.long_weld_factor(6.0, 1801.0)


def test_smallest_legs_of_table_j2_4():
    found = [AISC.least_leg(INCH * inches) * 16 / INCH for inches in (0.25, 0.26, 0.5, 0.51, 0.75, 0.76, 4.0)]
    assert found == pytest.approx([2, 3, 3, 4, 4, 5, 5])


def test_a_proposed_weld_matches_the_steel():
    assert AISC.weld_choice(plate(1.0, 65.0, 50.0))[0] == {"electrode": "E70XX"}
    assert AISC.weld_choice(plate(1.0, 80.0, 65.0)) == ({"electrode": "E80XX"}, "E80XX")
    with pytest.raises(InputError, match="no matching filler metal is known here for the gusset"):
        AISC.weld_choice(plate(1.0, 110.0, 100.0))
