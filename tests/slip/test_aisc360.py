"""Grip by AISC 360-16 and 360-22, J3, and the rules as a whole, against published tables and worked examples."""

import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.figures import recomputed
from loadhistories.tables import read_table
from loadhistories.validation import InputError
from slip import slip_resistance, standards
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
