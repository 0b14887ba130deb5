"""Fillet welds: the front door and the rules of EN 1993-1-8:2005, 4.5.3."""

import math
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.figures import recomputed
from loadhistories.validation import InputError
from slip import fillet_strength, standards

CASES = tomllib.loads(
    (Path(__file__).parents[1] / "published" / "en1993_joints.toml").read_text(encoding="utf-8")
)["case"]
EN = standards.standard("EN 1993")


def assert_formulas_hold(result):
    for figure, stored, computed in recomputed(result):
        assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


@pytest.mark.parametrize(("name", "steel"), [("weld-s275", "S275"), ("weld-s355", "S355")])
def test_sci_p363_fillet_welds_along_and_across(name, steel):
    row = CASES[name]
    for number, leg in enumerate(row["inputs"]["leg_mm"]):
        for angle, key in ((0.0, "longitudinal_kN_per_mm"), (math.pi / 2, "transverse_kN_per_mm")):
            found = fillet_strength("EN 1993", leg=leg, steel=steel, angle=angle)
            assert found.strength / 1000 == pytest.approx(row["expected"][key][number], abs=row["tolerance"])
            assert_formulas_hold(found)


def test_a_6_mm_fillet_weld_carries_about_1_kn_per_mm_as_is_common_practice():
    row = CASES["weld-practice"]
    found = fillet_strength("EN 1993", leg=row["inputs"]["leg_mm"], steel="S355")
    assert found.strength / 1000 == pytest.approx(row["expected"]["kN_per_mm"], rel=row["relative_tolerance"])


def test_weld_strength_by_the_simplified_method_by_hand():
    row = CASES["weld-simplified"]
    given = row["inputs"]
    found = EN.fillet_weld(throat=given["a_mm"], ultimate_strength=given["f_u_MPa"], beta_w=given["beta_w"])
    expected = pytest.approx(row["expected"]["F_w_Rd_kN_per_mm"], rel=row["relative_tolerance"])
    assert found.simplified / 1000 == expected and found.strength / 1000 == expected
    assert EN.fillet_weld(throat=given["a_mm"], steel="S355").strength / 1000 == expected


def test_a_force_across_the_weld_gains_the_root_of_three_halves():
    row = CASES["weld-transverse"]
    found = EN.fillet_weld(throat=row["inputs"]["a_mm"], steel="S355", angle=math.pi / 2)
    expected = pytest.approx(row["expected"]["ratio"], rel=row["relative_tolerance"])
    assert found.angle_factor == expected and found.strength / found.simplified == expected


def test_weld_strength_by_the_angle_of_the_force_by_hand():
    row = CASES["weld-by-angle"]
    for number, degrees in enumerate(row["inputs"]["theta_deg"]):
        found = EN.fillet_weld(throat=row["inputs"]["a_mm"], steel="S355", angle=math.radians(degrees))
        key = "directional_kN_per_mm"
        assert found.simplified / 1000 == pytest.approx(
            row["expected"]["simplified_kN_per_mm"], abs=row["tolerance"]["simplified_kN_per_mm"]
        )
        assert found.strength / 1000 == pytest.approx(row["expected"][key][number], abs=row["tolerance"][key][number])
        assert found.angle_factor == pytest.approx(row["expected"]["K"][number], abs=row["tolerance"]["K"][number])


@given(st.floats(0.0, math.pi / 2), st.floats(3.0, 30.0))
def test_both_methods_agree_at_every_angle(angle, throat):
    force = EN.fillet_weld(throat=throat, steel="S355", angle=angle).strength
    across = force * math.sin(angle) / math.sqrt(2.0)
    found = EN.directional_weld(
        throat=throat, normal_force=across, cross_force=across, axial_force=force * math.cos(angle),
        ultimate_strength=470.0, beta_w=0.9,
    )  # fmt: skip
    assert found.combined_utilisation == pytest.approx(1.0)
    assert found.normal_utilisation < 1.0


def test_steel_buildings_in_europe_weld_of_a_gusset_by_the_directional_method():
    row = CASES["weld-directional"]
    given, expected, tolerance = row["inputs"], row["expected"], row["tolerance"]
    found = EN.directional_weld(
        throat=1.0,
        normal_force=given["a_sigma_perp_N_per_mm"],
        cross_force=given["a_tau_perp_N_per_mm"],
        axial_force=given["a_tau_par_N_per_mm"],
        ultimate_strength=given["fu_MPa"],
        beta_w=given["beta_w"],
    )
    assert found.combined_utilisation == pytest.approx(expected["a1_min_mm"], abs=tolerance["a1_min_mm"])
    assert found.normal_utilisation == pytest.approx(expected["a2_min_mm"], abs=tolerance["a2_min_mm"])
    assert_formulas_hold(found)


def test_long_weld_factor_by_hand():
    row = CASES["long-weld"]
    for number, length in enumerate(row["inputs"]["Lj_mm"]):
        found = EN.long_weld_factor(row["inputs"]["a_mm"], length)
        key = "beta_Lw1"
        assert found == pytest.approx(row["expected"][key][number], abs=row["tolerance"][key][number])


def test_a_long_weld_in_a_lap_joint_is_weaker_per_length():
    short, long = (EN.fillet_weld(throat=5.0, steel="S355", lap_length=length) for length in (0.0, 1500.0))
    assert long.strength == pytest.approx(0.8 * short.strength)
    assert_formulas_hold(long)


@pytest.mark.parametrize(
    ("told", "message"),
    [
        ({"leg": 6.0}, r"needs the steel joined"),
        ({"leg": 6.0, "steel": "S355", "electrode": "E48XX"}, r"electrode 'E48XX' has no place in EN 1993-1-8"),
        ({"leg": 6.0, "steel": "S355", "quality": "SP"}, r"quality 'SP' has no place in EN 1993-1-8, 4\.5\.3"),
        ({"leg": 6.0, "steel": "S350"}, r"steel 'S350' is unknown; did you mean 'S355'"),
        ({"leg": 0.0, "steel": "S355"}, r"leg must be above 0 mm, got 0"),
        ({"leg": 4.0, "steel": "S355"}, r"throat must be at least 3 mm \(4\.5\.2\(2\)\), got 2\.8 \(leg 4 mm\)"),
        ({"leg": 6.0, "steel": "S355", "angle": 90.0}, r"angle must be from 0 to 1\.570796 rad .*, got 90"),
        ({"leg": 6.0, "steel": "S460M"}, r"S460M has an ultimate strength of 500 to 540 MPa: give the thickness"),
    ],
)
def test_a_weld_that_cannot_be_judged_is_refused(told, message):
    with pytest.raises(InputError, match=message):
        fillet_strength("EN 1993", **told)


def test_a_weld_needs_either_throat_or_leg():
    for told in ({}, {"throat": 4.0, "leg": 6.0}):
        with pytest.raises(InputError, match=r"needs either its throat or its leg"):
            EN.fillet_weld(steel="S355", **told)


def test_a_weld_so_long_that_nothing_is_left_is_refused():
    with pytest.raises(InputError, match=r"lap length must be below 4500 mm for a throat of 5 mm, got 4600"):
        EN.long_weld_factor(5.0, 4600.0)
