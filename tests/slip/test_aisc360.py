"""The rules of AISC 360-16 and 360-22, J2 to J4, against published tables and worked examples in kip and in."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.figures import FAILS, HOLDS, recomputed
from loadhistories.tables import read_table
from loadhistories.validation import InputError
from slip import bolt_strength, fillet_strength, slip_resistance, standards
from slip.joint import Plate

PUBLISHED = Path(__file__).parents[1] / "published" / "aisc360_joints.toml"
CASES = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["case"]
PACKAGE = "slip.standards.aisc360"
AISC = standards.standard("AISC 360-22")
KIP, INCH, KSI = 4448.2216152605, 25.4, 4448.2216152605 / 25.4**2
SIZES = {0.5: "1/2 in", 0.625: "5/8 in", 0.75: "3/4 in", 0.875: "7/8 in", 1.0: "1 in", 1.125: "1-1/8 in",
         1.25: "1-1/4 in", 1.375: "1-3/8 in", 1.5: "1-1/2 in"}  # fmt: skip
KINDS = {"STD": "normal", "SSLT": "short slot across", "OVS": "oversize", "SSLP": "short slot along",
         "LSL": "long slot along"}  # fmt: skip
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


def allowable_slip(size, kind, direction="", *, surface="A", planes=1, tension=0.0, fillers=0, method="ASD"):
    """A slip resistance by a method and with fillers, which the front door does not ask for."""
    return AISC.slip_resistance(
        preload=AISC.specified_preload(AISC.bolt(size, "A325")), slip_factor=AISC.slip_factor(surface), planes=planes,
        hole_factor=AISC.hole_factor(kind, direction, method=method), level="ultimate", tension=tension,
        fillers=fillers, method=method,
    )  # fmt: skip


def plate(thickness_in=1.0, ultimate_ksi=58.0, yield_ksi=36.0):
    return Plate("gusset", INCH * thickness_in, "given", KSI * yield_ksi, KSI * ultimate_ksi, 31.75, 31.75)


def test_both_editions_are_judged_and_print_their_own_name():
    for name in ("AISC 360-16", "AISC 360-22"):
        assert standards.edition(name).startswith(f"ANSI/{name}, ")
        assert slip_resistance(name, size="3/4 in", grade="A325", surface="B").resistance / KIP == pytest.approx(15.82)


def test_pretensions_of_inch_bolts_of_table_j3_1_of_2005_with_the_later_ones_of_a325_over_1_in():
    given, expect = case("pretension-inch-2005")
    later = {"1-1/8 in": 64, "1-1/4 in": 81, "1-3/8 in": 97, "1-1/2 in": 118}
    for at, d in enumerate(given["d_in"]):
        size = SIZES[d]
        found = {grade: AISC.specified_preload(AISC.bolt(size, grade)) / KIP for grade in ("A325", "A490")}
        assert found["A490"] == expect("Tb_A490_kip", at)
        assert found["A325"] == (pytest.approx(later[size]) if size in later else expect("Tb_A325_kip", at))
        area = AISC.bolt(size, "A325").stress_area
        assert area / INCH**2 == pytest.approx(given["As_UNC_in2"][at])
        assert found["A325"] == pytest.approx(0.7 * 120 * area / INCH**2, abs=0.51)


def test_pretensions_of_metric_bolts_of_table_j3_1m_of_2005():
    given, expect = case("pretension-metric-2005")
    for at, size in enumerate(given["size"]):
        assert AISC.specified_preload(AISC.bolt(size, "A325")) / 1000 == expect("Tb_A325M_kN", at)
        assert AISC.specified_preload(AISC.bolt(size, "A490")) == 1000 * CASES["pretension-metric-2005"]["expected"][
            "Tb_A490M_kN"
        ][at]


def test_slip_of_design_example_j_4_of_2005_with_the_class_and_hole_factor_of_that_edition():
    given, expect = case("slip-short-slots-2005")
    found = AISC.slip_resistance(
        preload=KIP * given["Tb_kip"], slip_factor=given["mu"], planes=given["Ns"], hole_factor=given["hsc"],
        level="ultimate",
    )  # fmt: skip
    factors = AISC.LOAD_FACTORS
    demand = factors.permanent * given["P_dead_kip"] + factors.variable * given["P_live_kip"]
    assert demand == expect("Pu_kip")
    assert found.resistance / KIP == expect("Rn_per_bolt_kip")
    assert demand / (found.resistance / KIP) == expect("n_required_LRFD")
    assert math.ceil(demand / (found.resistance / KIP)) == expect("bolts_used")
    asd = found.resistance / KIP / given["Omega"]
    assert (given["P_dead_kip"] + given["P_live_kip"]) / asd == expect("n_required_ASD")


@pytest.mark.parametrize("kind", ["STD", "OVS", "LSL"])
def test_slip_by_kind_of_hole_of_manual_table_7_3(kind):
    _, expect = case("slip-by-hole")
    assert slip("3/4 in", holes=KINDS[kind]) == expect(f"LRFD_{kind}_kip")
    name, _, way = KINDS[kind].partition(" slot ")
    name = f"{name} slot" if way else name
    assert allowable_slip("3/4 in", name, way).resistance / KIP == expect(f"ASD_{kind}_kip")


def test_short_slots_count_as_standard_holes_across_the_load_and_as_oversize_ones_along_it():
    assert slip("3/4 in", holes="short slot across") == slip("3/4 in")
    assert slip("3/4 in", holes="short slot along") == slip("3/4 in", holes="oversize")
    assert slip("3/4 in", holes="long slot across") == slip("3/4 in", holes="long slot along")
    _, expect = case("slip-by-hole")
    assert slip("3/4 in", planes=2) == expect("LRFD_STD_double_kip")


@pytest.mark.parametrize(
    ("name", "holes"), [("slip-bolts-needed", "normal"), ("slip-bolts-needed-long-slots", "long slot along")]
)
def test_bolts_needed_in_design_examples_j_4_and_j_5(name, holes):
    given, expect = case(name)
    each = slip("3/4 in", holes=holes, planes=given["Ns"])
    assert each == expect("Rn_per_bolt_kip" if holes == "normal" else "phiRn_per_bolt_kip")
    assert given["Pu_kip"] / each == expect("n_required_LRFD")
    assert math.ceil(given["Pu_kip"] / each) == expect("bolts_used")


def test_slip_of_class_a_by_size_and_hole_of_manual_table_7_3():
    given, expect = case("slip-class-A")
    for at, d in enumerate(given["d_in"]):
        for kind in ("STD", "OVS", "LSL"):
            assert slip(SIZES[d], holes=KINDS[kind]) == expect(f"A325_{kind}_kip", at)
        assert slip(SIZES[d], "A490") == expect("A490_STD_kip", at)


def test_slip_of_class_b_with_fillers():
    _, expect = case("slip-class-B-fillers")
    lrfd = {"surface": "B", "planes": 2, "method": "LRFD"}
    assert allowable_slip("7/8 in", "normal", fillers=1, **lrfd).resistance / KIP == expect("STD_no_filler_kip")
    assert allowable_slip("7/8 in", "normal", fillers=2, **lrfd).resistance / KIP == expect("STD_two_fillers_kip")
    assert allowable_slip("7/8 in", "oversize", fillers=2, **lrfd).resistance / KIP == expect("OVS_two_fillers_kip")
    asd = {"surface": "B", "planes": 2, "method": "ASD"}
    assert allowable_slip("7/8 in", "normal", **asd).resistance / KIP == expect("ASD_STD_no_filler_kip")
    assert allowable_slip("7/8 in", "oversize", **asd).resistance / KIP == expect("ASD_OVS_no_filler_kip")


@pytest.mark.parametrize(
    ("name", "size", "group_asd"),
    [
        ("slip-with-tension", "3/4 in", "Rn_over_Omega_kip"),
        ("slip-with-tension-8-bolts", "7/8 in", "Rn_Omega_group_kip"),
    ],
)
def test_tension_lowers_the_slip_resistance_of_a_group_by_k_sc(name, size, group_asd):
    given, expect = case(name)
    n = given["bolts"]
    lrfd = allowable_slip(size, "normal", tension=KIP * given["Tu_kip"] / n, method="LRFD")
    asd = allowable_slip(size, "normal", tension=KIP * given["Ta_kip"] / n, method="ASD")
    assert lrfd.tension_factor == expect("ksc_LRFD")
    assert asd.tension_factor == expect("ksc_ASD")
    assert n * lrfd.resistance / KIP == expect("phiRn_group_kip")
    assert n * asd.resistance / KIP == expect(group_asd)


def test_k_sc_of_four_bolts():
    given, expect = case("k-sc")
    found = allowable_slip("3/4 in", "normal", tension=KIP * given["T_u_kips"] / given["n_b"], method="LRFD")
    assert found.tension_factor == expect("k_sc")


@given(
    st.floats(-3e5, 3e5), st.integers(1, 3), st.floats(0.05, 0.5), st.sampled_from([1.0, 0.85, 0.7]),
    st.sampled_from(["LRFD", "ASD"]),
)  # fmt: skip
def test_the_grip_that_the_engine_walks_with_is_phi_r_n_k_sc_of_each_bolt(tension, planes, slip_factor, phi, method):
    terms = {"slip_factor": slip_factor, "planes": planes, "hole_factor": phi, "level": "ultimate", "method": method}
    factor, share = AISC.grip_terms(**terms)
    found = AISC.slip_resistance(preload=28 * KIP, tension=tension, **terms)
    grip = factor * max(28 * KIP - share * max(tension, 0.0), 0.0)
    multiplier = 1.5 if method == "ASD" else 1.0
    k_sc = max(1 - multiplier * max(tension, 0.0) / (1.13 * 28 * KIP), 0.0)
    assert found.resistance == pytest.approx(grip, abs=1e-6)
    assert phi * slip_factor * 1.13 * 28 * KIP * planes * k_sc == pytest.approx(grip, abs=1e-6)


def test_the_group_of_the_clause_and_bolts_one_by_one_agree_for_a_tension_spread_evenly():
    """8 x 9.492 (1 - 60 / (1.13 x 28 x 8)) = 8 x 9.492 (1 - 7.5 / (1.13 x 28)); uneven tension keeps the sum."""
    pulls = np.array([0, 2, 4, 6, 8, 10, 14, 16]) * KIP
    one_by_one = sum(allowable_slip("3/4 in", "normal", tension=pull, method="LRFD").resistance for pull in pulls)
    group = 8 * 9.492 * KIP * (1 - 60 / (1.13 * 28 * 8))
    assert one_by_one == pytest.approx(group)


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


def test_slip_is_checked_under_factored_loads_whatever_is_asked_for():
    assert AISC.levels_checked("never") == AISC.levels_checked("not in service") == ("ultimate",)
    assert AISC.levels_checked("allowed") == ()


def test_long_joints_and_fillers_lower_the_shear_of_bolts():
    one = AISC.bolt_shear(BOLT, 1, True).resistance
    assert AISC.bolt_shear(BOLT, 1, True, joint_length=38 * INCH).resistance == one
    assert AISC.bolt_shear(BOLT, 1, True, joint_length=38 * INCH + 1).resistance == pytest.approx(0.833 * one)
    assert AISC.bolt_shear(BOLT, 1, True, packing=INCH / 4).resistance == one
    assert AISC.bolt_shear(BOLT, 2, True, packing=INCH / 2).resistance == pytest.approx(2 * 0.9 * one)
    with pytest.raises(InputError, match=r"fillers must not be above 19\.05 mm together \(3/4 in, .*J5\.2\), got 20"):
        AISC.bolt_shear(BOLT, 1, True, packing=20.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: AISC.bolt("M12", "A325"), r"bolt size 'M12' is unknown; .*known: 1/2 in, 5/8 in"),
        (lambda: AISC.bolt("3/4", "A325"), r"bolt size '3/4' is unknown; did you mean '3/4 in'"),
        (lambda: AISC.bolt("3/4 in", "8.8"), r"bolt grade '8\.8' is unknown; .*known: A325, F3125 A325, Group A"),
        (lambda: AISC.bolt("3/4 in", 325), r'grade must be a text such as "A325", got the number 325'),
        (lambda: AISC.specified_preload(AISC.bolt("3/4 in", "A307")), r"A307 cannot be pretensioned; use A325 or A490"),
        (lambda: AISC.slip_factor("C"), r"surface 'C' is unknown; known: A, B"),
        (lambda: AISC.slip_factor(0.6), r"slip factor must not be above 0\.5, got 0\.6; class B is the best"),
        (lambda: AISC.hole_factor("long slot"), r"direction of the load to the slot"),
        (lambda: AISC.bolt_tension(BOLT, method="WSD"), r"method 'WSD' is unknown; .*known: LRFD, ASD"),
        (lambda: allowable_slip("3/4 in", "normal", fillers=-1), r"fillers must be a whole number from 0, got -1"),
        (lambda: AISC.bearing(BOLT, STANDARD, plate()), r"bearing needs the end distance or the pitch"),
        (lambda: AISC.bearing(BOLT, STANDARD, plate(), end_distance=10.0), r"end distance must be above 10\.32 mm"),
        (lambda: AISC.bearing(BOLT, STANDARD, plate(), pitch=60.0, slot_across_load=True), r"normal hole has no slot"),
        (lambda: AISC.punching(thickness=10.0), r"AISC 360, J3, has no rule for pulling"),
        (lambda: AISC.fillet_weld(leg=6.0), r"needs its electrode \(E60XX, E70XX"),
        (lambda: AISC.fillet_weld(leg=6.0, electrode="E70XX", quality="SP"), r"quality 'SP' has no place in AISC"),
        (lambda: AISC.fillet_weld(leg=6.0, electrode="E70XX", angle=2.0), r"angle must be from 0 to 1\.570796 rad"),
        (lambda: AISC.net_section(net_area=1.0, ultimate_strength=1.0, shear_lag=1.1), r"shear lag factor must not be"),
    ],
)  # fmt: skip
def test_refusals_say_what_and_what_would_do(call, words):
    with pytest.raises(InputError, match=words):
        call()


def test_every_table_can_be_read_and_every_warning_has_a_clause_with_its_edition():
    folder = Path(standards.__file__).parent / "aisc360"
    for path in folder.glob("*.toml"):
        assert read_table(PACKAGE, path.stem)
    for row in read_table(PACKAGE, "warnings").values():
        assert "360-16" in row["clause"] or "RCSC" in row["clause"]


def test_printed_formulas_are_computed_ones_with_tension_and_by_both_methods():
    for method in ("LRFD", "ASD"):
        for tension in (0.0, 40e3, 400e3, -40e3):
            result = allowable_slip("3/4 in", "oversize", tension=tension, fillers=2, method=method)
            for figure, stored, computed in recomputed(result):
                assert computed == pytest.approx(stored, rel=1e-12, abs=1e-9), figure.symbol
