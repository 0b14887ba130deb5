"""Bolts and bearing by AISC 360-16 and 360-22, J3, against published tables and worked examples in kip and in."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from slip import bolt_strength, slip_resistance, standards
from slip.joint import Plate

PUBLISHED = Path(__file__).parents[1] / "published" / "aisc360_joints.toml"
CASES = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["case"]
AISC = standards.standard("AISC 360-22")
KIP, INCH, KSI = 4448.2216152605, 25.4, 4448.2216152605 / 25.4**2
SIZES = {0.5: "1/2 in", 0.625: "5/8 in", 0.75: "3/4 in", 0.875: "7/8 in", 1.0: "1 in", 1.125: "1-1/8 in",
         1.25: "1-1/4 in", 1.375: "1-3/8 in", 1.5: "1-1/2 in"}  # fmt: skip
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


def strength(size, grade="A325", **given):
    return bolt_strength("AISC 360-22", size=size, grade=grade, **given)


def slip(size, grade="A325", surface="A", **given):
    return slip_resistance("AISC 360-22", size=size, grade=grade, surface=surface, **given).resistance / KIP


def plate(thickness_in=1.0, ultimate_ksi=58.0, yield_ksi=36.0):
    return Plate("gusset", INCH * thickness_in, "given", KSI * yield_ksi, KSI * ultimate_ksi, 31.75, 31.75)


@pytest.mark.parametrize(("name", "grade"), [("bolt-a325-3-4", "A325"), ("bolt-a490-3-4", "A490")])
def test_three_quarter_inch_bolts_of_manual_tables_7_1_to_7_3(name, grade):
    given, expect = case(name)
    assert AISC.bolt("3/4 in", grade).shank_area / INCH**2 == pytest.approx(given["A_b_in2"], abs=5e-5)
    assert strength("3/4 in", grade).shear / KIP == expect("phi_r_n_shear_N_kips")
    assert strength("3/4 in", grade, threads_in_plane=False).shear / KIP == expect("phi_r_n_shear_X_kips")
    assert strength("3/4 in", grade).tension / KIP == expect("phi_r_n_tension_kips")
    assert slip("3/4 in", grade, "A") == expect("phi_slip_class_A_kips")
    assert slip("3/4 in", grade, "B") == expect("phi_slip_class_B_kips")


def test_shear_of_bolts_of_manual_table_7_1():
    given, expect = case("bolt-shear")
    for at, d in enumerate(given["d_in"]):
        for grade in ("A325", "A490"):
            assert strength(SIZES[d], grade).shear / KIP == expect(f"phi_rn_{grade}N_kip", at)
            plain = strength(SIZES[d], grade, threads_in_plane=False)
            assert plain.shear / KIP == expect(f"phi_rn_{grade}X_kip", at)
        asd = AISC.bolt_shear(AISC.bolt(SIZES[d], "A325"), 1, True, method="ASD")
        assert asd.resistance / KIP == expect("rn_Omega_A325N_kip", at)


def test_tension_of_bolts_of_manual_table_7_2():
    given, expect = case("bolt-tension")
    for at, d in enumerate(given["d_in"]):
        for grade in ("A325", "A490"):
            assert strength(SIZES[d], grade).tension / KIP == expect(f"phi_rn_{grade}_kip", at)
        asd = AISC.bolt_tension(AISC.bolt(SIZES[d], "A325"), method="ASD")
        assert asd.resistance / KIP == expect("rn_Omega_A325_kip", at)


def test_strength_groups_of_both_editions_name_the_same_bolts():
    for names in (("A325", "F3125 A325", "Group A", "Group 120"), ("A490", "F3125 A490", "Group B", "Group 150")):
        assert len({strength("7/8 in", name).shear for name in names}) == 1
        assert len({AISC.specified_preload(AISC.bolt("7/8 in", name)) for name in names}) == 1


def test_shear_with_tension_of_design_example_j_3():
    given, expect = case("shear-with-tension")
    area = BOLT.shank_area
    found = {}
    for method, (permanent, variable) in {"LRFD": (1.2, 1.6), "ASD": (1.0, 1.0)}.items():
        pull = KIP * (permanent * given["T_dead_kip"] + variable * given["T_live_kip"])
        shear = KIP * (permanent * given["V_dead_kip"] + variable * given["V_live_kip"])
        factor = AISC.resistance_factor("bolt", method)
        result = AISC.shear_with_tension(
            shear, pull, shear_resistance=AISC.bolt_shear(BOLT, 1, True, method=method).resistance,
            tension_resistance=AISC.bolt_tension(BOLT, method=method).resistance,
        )  # fmt: skip
        found[method] = (pull / KIP, shear / KIP, shear / area / KSI, result, result.reduced_resistance / factor / area)
    pull, shear, stress, result, reduced = found["LRFD"]
    assert (pull, shear, stress) == (expect("Tu_kip"), expect("Vu_kip"), expect("frv_LRFD_ksi"))
    assert (reduced / KSI, result.reduced_resistance / KIP) == (expect("Fnt_prime_LRFD_ksi"), expect("phiRn_kip"))
    # 117 - 90 x 18.0993 / 40.5 = 76.7793 ksi; 0.75 x 0.441786 x 76.7793 = 25.4403 kip
    assert result.utilisation == pytest.approx(23.4 / 25.4403, abs=1e-5)
    pull, shear, _, result, reduced = found["ASD"]
    assert (pull, shear) == (expect("Ta_kip"), expect("Va_kip"))
    assert (reduced / KSI, result.reduced_resistance / KIP) == (expect("Fnt_prime_ASD_ksi"), expect("Rn_Omega_kip"))


def test_reduced_tensile_stress_at_25_ksi_of_shear():
    given, expect = case("reduced-tensile-stress")
    strengths = {"shear_resistance": strength("3/4 in").shear, "tension_resistance": strength("3/4 in").tension}
    left = AISC.reduced_tension(KSI * given["f_rv_ksi"] * BOLT.shank_area, **strengths)
    assert left / 0.75 / BOLT.shank_area / KSI == expect("F_nt_reduced_ksi")


def test_shear_up_to_three_tenths_takes_nothing_from_the_tension_and_1_3_times_its_strength_takes_all():
    strengths = {"shear_resistance": 100.0, "tension_resistance": 200.0}
    assert AISC.reduced_tension(30.0, **strengths) == pytest.approx(200.0)
    assert AISC.reduced_tension(31.0, **strengths) == pytest.approx(198.0)
    assert AISC.reduced_tension(130.0, **strengths) == pytest.approx(0.0, abs=1e-9)
    used = AISC.combined_utilisation(np.array([140.0, 140.0, 0.0]), np.array([10.0, -10.0, 50.0]), **strengths)
    assert used.tolist() == [math.inf, 0.0, 0.25]


@given(st.tuples(*[st.floats(0, 0.999)] * 2), st.tuples(*[st.floats(-1, 2)] * 2), st.floats(0, 1))
def test_shear_with_tension_of_a_bolt_between_two_others_is_never_above_that_of_both(shears, pulls, share):
    """A quotient of a convex by a concave number has this property, by which the outermost bolts are enough."""
    strengths = {"shear_resistance": 1.0, "tension_resistance": 1.0}
    ends = [AISC.combined_utilisation(v, t, **strengths) for v, t in zip(shears, pulls, strict=True)]
    middle = [share * a + (1 - share) * b for a, b in (shears, pulls)]
    assert AISC.combined_utilisation(*middle, **strengths) <= max(ends) + 1e-9


def test_bearing_and_tear_out_per_inch_of_manual_tables_7_4_and_7_5():
    given, expect = case("bearing-per-inch")
    assert STANDARD.width == pytest.approx(INCH * given["hole_in"])
    for at, f_u in enumerate(given["Fu_ksi"]):
        spaced = AISC.bearing(BOLT, STANDARD, plate(1.0, f_u), pitch=INCH * given["s_in"])
        at_edge = AISC.bearing(BOLT, STANDARD, plate(1.0, f_u), end_distance=INCH * given["Le_in"])
        assert spaced.resistance / KIP == expect("spacing_phi_rn_kip_per_in", at)
        assert at_edge.resistance / KIP == expect("edge_phi_rn_kip_per_in", at)


def test_bearing_and_tear_out_of_a_three_quarter_inch_bolt():
    given, expect = case("bearing-3-4")
    assert AISC.resultant_bearing(BOLT, STANDARD, plate()).resistance / KIP == expect("phi_bearing_kips_per_in")
    found = AISC.bearing(BOLT, STANDARD, plate(), end_distance=INCH * given["L_e_in"], pitch=3 * INCH)
    assert found.resistance / KIP == expect("phi_tearout_kips_per_in")
    assert [part.distance for part in found.parts] == pytest.approx([INCH * 0.84375, INCH * 2.1875])


def test_tear_out_of_a_standard_hole_and_of_a_long_slot_across_the_force():
    given, expect = case("tear-out-by-hole")
    edge = INCH * given["lc_in"] + STANDARD.width / 2
    part = plate(given["t_in"], given["Fu_ksi"], 50.0)
    assert AISC.bearing(BOLT, STANDARD, part, end_distance=edge).resistance / KIP == expect("STD_kip")
    free = AISC.bearing(BOLT, STANDARD, part, end_distance=edge, deformation_counts=False)
    assert free.resistance / KIP == expect("STD_no_deformation_limit_kip")
    across = AISC.bearing(BOLT, LONG_SLOT, part, end_distance=edge, slot_across_load=True)
    assert across.resistance / KIP == expect("LSL_across_kip")
    assert across.bearing_multiple == 2.0
    along = AISC.bearing(BOLT, LONG_SLOT, part, end_distance=edge + (LONG_SLOT.length - LONG_SLOT.width) / 2)
    assert along.resistance / KIP == expect("STD_kip")


def by_components(angle, along, across):
    """Largest force at an angle whose components stay within the tear-out strengths along and across."""
    return 1.0 / max(math.cos(angle) / along, math.sin(angle) / across)


@given(st.floats(0, math.pi / 2), st.floats(1.0, 6.0), st.floats(1.0, 6.0))
def test_tear_out_to_the_edges_judged_by_components_is_never_above_that_along_the_whole_force(angle, end, edge):
    """The force reaches the edge after end / cos(angle), or edge / sin(angle) if that is nearer."""
    tear_out = [AISC.bearing(BOLT, STANDARD, plate(), end_distance=INCH * x).tear_out for x in (end, edge)]
    reach = min(end / max(math.cos(angle), 1e-9), edge / max(math.sin(angle), 1e-9))
    whole = AISC.bearing(BOLT, STANDARD, plate(), end_distance=INCH * reach).tear_out
    assert by_components(angle, *tear_out) <= whole * (1 + 1e-9)


@given(st.floats(1.0, 6.0), st.floats(1.0, 6.0))
def test_tear_out_to_a_hole_on_the_diagonal_judged_by_components_is_never_above_that_along_the_force(pitch, gauge):
    tear_out = [AISC.bearing(BOLT, STANDARD, plate(), pitch=INCH * x).tear_out for x in (pitch, gauge)]
    whole = AISC.bearing(BOLT, STANDARD, plate(), pitch=INCH * math.hypot(pitch, gauge)).tear_out
    assert by_components(math.atan2(gauge, pitch), *tear_out) <= whole * (1 + 1e-9)
