"""The rules of AS 4100:2020, section 9, against published tables and worked examples."""

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

PUBLISHED = Path(__file__).parents[1] / "published" / "as4100_joints.toml"
CASES = tomllib.loads(PUBLISHED.read_text(encoding="utf-8"))["case"]
PACKAGE = "slip.standards.as4100"
AS = standards.standard("AS 4100")
M20 = AS.bolt("M20", "8.8")
NORMAL = AS.hole(M20, "normal")
KINDS = {1.0: "normal", 0.85: "oversize", 0.7: "long slot across"}
PLATE = Plate("gusset", 10.0, "given", 300.0, 440.0, 40.0, 40.0)


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


def strength(size, grade="8.8", **given):
    return bolt_strength("AS 4100", size=size, grade=grade, **given)


def slip(size, surface="clean as-rolled", **given):
    return slip_resistance("AS 4100", size=size, grade="8.8", surface=surface, level="service", **given)


def weld(leg, electrode, quality, **given):
    return fillet_strength("AS 4100", leg=leg, electrode=electrode, quality=quality, **given).strength / 1000


def interaction(found, shear):
    """V / (phi V_sf) + N / (phi N_ti), from the figures of a slip capacity."""
    return shear / found.shear_capacity + max(found.tension, 0.0) / found.tension_capacity


@pytest.mark.parametrize("name", ["bolt-m16", "bolt-m20", "bolt-m30"])
def test_asi_design_capacity_table_of_8_8_bolts(name):
    given, expect = case(name)
    found = strength(**given)
    assert found.shear / 1000 == expect("phi_V_threads_in_kN")
    assert strength(**given, threads_in_plane=False).shear / 1000 == expect("phi_V_threads_out_kN")
    assert found.tension / 1000 == expect("phi_N_tension_kN")


def test_m20_bolt_in_five_categories_of_the_notes_after_syam_and_firkins_page_53():
    given, expect = case("m20-five-values")
    assert AS.core_area(M20) == given["Ac_mm2"] and M20.shank_area == given["Ao_mm2"]
    for grade, key in (("4.6", "S46"), ("8.8", "S88")):
        assert strength("M20", grade).shear / 1000 == expect(f"{key}_threads_in_kN")
        assert strength("M20", grade, threads_in_plane=False).shear / 1000 == expect(f"{key}_threads_out_kN")
    assert slip("M20").resistance / 1000 == expect("TF_slip_kN")


def test_asi_design_capacities_of_8_8_bolts_by_size():
    given, expect = case("bolts-8-8")
    for at, size in enumerate(given["size"]):
        bolt = AS.bolt(size, "8.8")
        areas = [given[key][at] for key in ("As_mm2", "Ac_mm2", "Ao_mm2")]
        assert [bolt.stress_area, AS.core_area(bolt), bolt.shank_area] == areas
        assert strength(size).shear / 1000 == expect("phiVfn_kN", at)
        assert strength(size, threads_in_plane=False).shear / 1000 == expect("phiVfx_kN", at)
        assert strength(size).tension / 1000 == expect("phiNtf_kN", at)


@pytest.mark.parametrize("name", ["slip-m16", "slip-m20", "slip-m24", "slip-m20-oversize"])
def test_asi_design_capacity_table_of_friction_type_bolts(name):
    given, expect = case(name)
    found = slip(given["size"], given["slip_factor"], planes=given["planes"], holes=KINDS[given["k_h"]])
    assert found.resistance / 1000 == expect("phi_V_sf_kN")


@pytest.mark.parametrize("factor", [1.0, 0.85, 0.7])
def test_slip_capacity_by_size_and_hole_from_9_3_3(factor):
    given, expect = case("slip-by-hole")
    key = f"phiVsf_kh{100 * factor:03.0f}_kN"
    for at, size in enumerate(given["size"]):
        assert AS.specified_preload(AS.bolt(size, "8.8")) == 1000 * given["Nti_kN"][at]
        assert slip(size, given["mu"], holes=KINDS[factor]).resistance / 1000 == expect(key, at)


def test_a_short_slot_has_the_hole_factor_of_an_oversize_hole_in_either_direction():
    assert {AS.hole_factor("short slot", way) for way in ("along", "across")} == {AS.hole_factor("oversize")}
    assert {AS.hole_factor("long slot", way) for way in ("along", "across")} == {0.7}


@pytest.mark.parametrize(
    ("name", "key"), [("slip-with-tension", "utilisation"), ("slip-m20-with-tension", "ratio")]
)
def test_linear_interaction_of_slip_and_tension_from_9_3_3_3(name, key):
    given, expect = case(name)
    found = slip(given["size"], 0.35, tension=1000 * given["N_kN"])
    assert interaction(found, 1000 * given["V_kN"]) == expect(key)


def test_slip_capacity_of_m24_by_hole_with_tension_at_serviceability():
    given, expect = case("slip-m24-by-hole-with-tension")
    shear = 1000 * given["V_star_ser_kN"]
    for at, factor in enumerate(given["kh"]):
        found = slip("M24", planes=given["nei"], holes=KINDS[factor], tension=1000 * given["N_star_ser_kN"])
        assert found.shear_capacity / 1000 == expect("phi_Vsf_kN", at)
        assert interaction(found, shear) == expect("interaction", at)
        assert (shear <= found.resistance) == (interaction(found, shear) <= 1.0)


@given(st.floats(0, 2e5), st.floats(-2e5, 2e5), st.integers(1, 3), st.floats(0.1, 0.35), st.sampled_from([1.0, 0.85]))
def test_the_grip_that_the_engine_walks_with_is_the_linear_interaction(shear, tension, planes, slip_factor, k_h):
    """V <= factor (N_ti - share N) and V / (phi V_sf) + N / (phi N_ti) <= 1 say the same."""
    terms = {"slip_factor": slip_factor, "planes": planes, "hole_factor": k_h, "level": "service"}
    factor, share = AS.grip_terms(**terms)
    found = AS.slip_resistance(preload=145e3, tension=tension, **terms)
    grip = factor * max(145e3 - share * max(tension, 0.0), 0.0)
    assert found.resistance == pytest.approx(grip)
    if grip > 0.0:
        assert interaction(found, grip) == pytest.approx(1.0)
        assert (shear <= grip * (1 - 1e-9)) <= (interaction(found, shear) <= 1.0)
        assert (shear >= grip * (1 + 1e-9)) <= (interaction(found, shear) >= 1.0)
    else:
        assert max(tension, 0.0) / found.tension_capacity >= 1.0 - 1e-12


def test_the_share_of_the_preload_at_which_a_bolt_slips_is_the_sum_of_the_interaction():
    factor, share = AS.grip_terms(slip_factor=0.35, planes=1, hole_factor=1.0, level="service")
    preload_share = (20e3 / factor + share * 40e3) / 145e3
    assert preload_share == pytest.approx(interaction(slip("M20", tension=40e3), 20e3))


def test_slip_is_checked_in_service_and_for_never_at_both_levels():
    """The clause knows the serviceability limit state; what is never to slip is asked to grip beyond it."""
    assert AS.levels_checked("not in service") == ("service",)
    assert AS.levels_checked("never") == ("service", "ultimate")
    assert AS.levels_checked("allowed") == ()
    with pytest.raises(InputError, match=r"slip 'seldom' is unknown; known: never, not in service, allowed"):
        AS.levels_checked("seldom")


def test_shear_with_tension_is_a_sum_of_squares_from_9_3_2_3():
    given, expect = case("shear-with-tension")
    limits = {"shear_resistance": 1000 * given["phiVf_kN"], "tension_resistance": 1000 * given["phiNtf_kN"]}
    found = AS.shear_with_tension(1000 * given["V_kN"], 1000 * given["N_kN"], **limits)
    assert found.utilisation == expect("ratio")
    table = AS.combined_utilisation(np.array([[60e3, -60e3]]), np.array([[100e3, -100e3]]), **limits)
    assert table == pytest.approx(np.array([[found.utilisation, (60 / 92.6) ** 2]]))


@given(*[st.floats(-3e5, 3e5)] * 4, st.floats(0, 1))
def test_use_by_shear_and_tension_is_convex_in_the_forces(v1, n1, v2, n2, share):
    limits = {"shear_resistance": 92_600.0, "tension_resistance": 163_000.0}
    first, second = (AS.combined_utilisation(v, n, **limits) for v, n in ((v1, n1), (v2, n2)))
    between = AS.combined_utilisation(share * v1 + (1 - share) * v2, share * n1 + (1 - share) * n2, **limits)
    assert between <= (share * first + (1 - share) * second) * (1 + 1e-9) + 1e-12


def test_bearing_and_tear_out_from_9_3_2_4():
    given, expect = case("bearing-and-tear-out")
    found = AS.bearing(M20, NORMAL, PLATE, end_distance=end_for(given["ae_mm"]))
    assert found.tear_out_distance == given["ae_mm"]
    assert found.capacity_factor * found.local / 1000 == expect("phiVb_kN")
    assert found.capacity_factor * found.tear_out / 1000 == expect("phiVp_tearout_kN")
    assert AS.resultant_bearing(M20, NORMAL, PLATE).resistance / 1000 == expect("phiVb_kN")


def end_for(a_e):
    """End distance of a normal M20 hole whose edge is a_e less half a bolt from the end."""
    return a_e - 10.0 + 11.0


def test_tear_out_governs_below_3_2_bolt_diameters():
    given, expect = case("bearing-by-end-distance")
    for at, a_e in enumerate(given["ae_mm"]):
        found = AS.bearing(M20, NORMAL, PLATE, end_distance=end_for(a_e))
        assert found.capacity_factor * found.tear_out / 1000 == expect("tearout_kN", at)
        assert found.resistance / 1000 == expect("governing_kN", at)
    at_knee = AS.bearing(M20, NORMAL, PLATE, end_distance=end_for(64.0))
    assert at_knee.local == at_knee.tear_out


def test_the_edge_of_the_next_hole_counts_as_an_edge_of_the_ply():
    """Hand calculation: 60 mm pitch less a hole of 22 mm plus half a bolt is 48 mm; 0.9 x 48 x 10 x 440 = 190.08 kN."""
    found = AS.bearing(M20, NORMAL, PLATE, end_distance=90.0, pitch=60.0)
    assert found.tear_out_distance == 48.0
    assert found.resistance == pytest.approx(190_080.0)
    assert [part.distance for part in found.parts] == [89.0, 48.0]


def test_a_slot_takes_from_the_tear_out_distance_by_its_extent_along_the_force():
    """Hand calculation: short slot of M20, 22 by 30 mm: 40 - 15 + 10 along, 40 - 11 + 10 across."""
    slot = AS.hole(M20, "short slot")
    assert AS.bearing(M20, slot, PLATE, end_distance=40.0).tear_out_distance == 35.0
    assert AS.bearing(M20, slot, PLATE, end_distance=40.0, slot_across_load=True).tear_out_distance == 39.0


@given(st.floats(12, 300), st.floats(23, 300))
def test_more_end_distance_or_pitch_never_lowers_the_bearing_capacity(end, pitch):
    less = AS.bearing(M20, NORMAL, PLATE, end_distance=end, pitch=pitch).resistance
    assert AS.bearing(M20, NORMAL, PLATE, end_distance=end + 1.0, pitch=pitch).resistance >= less
    assert AS.bearing(M20, NORMAL, PLATE, end_distance=end, pitch=pitch + 1.0).resistance >= less


@pytest.mark.parametrize("size", read_table(PACKAGE, "core_areas"))
def test_core_area_follows_from_diameter_and_pitch(size):
    row = read_table("slip.standards", "metric_bolts")[size]
    core = math.pi / 4 * (row["diameter_mm"] - 1.2268 * row["pitch_mm"]) ** 2
    assert AS.core_area(AS.bolt(size, "8.8")) == pytest.approx(core, rel=0.005)
    assert AS.core_area(AS.bolt(size, "8.8")) < row["stress_area_mm2"]


def test_least_tension_is_600_mpa_on_the_stress_area_rounded_to_5_kn():
    for size, row in read_table(PACKAGE, "preloads").items():
        assert row["tension_kN"] == 5 * round(0.6 * AS.bolt(size, "8.8").stress_area / 5)
    assert AS.specified_preload(M20) == 145_000.0


@pytest.mark.parametrize(
    ("size", "widths", "lengths"),
    [
        ("M20", (22, 28), (30, 50)), ("M24", (26, 32), (34, 60)), ("M30", (33, 38), (40, 75)),
        ("M36", (39, 45), (47.88, 90)),
    ],
)
def test_largest_holes_by_the_rule_of_14_3_5_2(size, widths, lengths):
    bolt = AS.bolt(size, "8.8")
    assert tuple(AS.hole(bolt, kind).width for kind in ("normal", "oversize")) == widths
    assert tuple(AS.hole(bolt, kind).length for kind in ("short slot", "long slot")) == lengths
    assert {AS.hole(bolt, kind).width for kind in ("short slot", "long slot")} == {widths[0]}


@pytest.mark.parametrize("size", read_table(PACKAGE, "holes"))
def test_every_row_of_the_table_of_holes_follows_the_rule(size):
    bolt = AS.bolt(size, "8.8")
    d = bolt.diameter
    assert AS.hole(bolt, "normal").width == d + (2 if d <= 24 else 3)
    assert AS.hole(bolt, "oversize").width == pytest.approx(max(1.25 * d, d + 8))
    assert AS.hole(bolt, "short slot").length == pytest.approx(max(1.33 * d, d + 10))
    assert AS.hole(bolt, "long slot").length == 2.5 * d


def distances(**changes):
    given = {"thickness": 10.0, "end_distance": 40.0, "edge_distance": 36.0, "pitch": 60.0, "gauge": 140.0}
    found = AS.distance_checks(NORMAL, **{**given, **changes}, exposed=False)
    return {check.id.removeprefix("distance:"): check for check in found}


def test_distances_of_holes_from_9_6_by_hand():
    """M20 in 10 mm plate: edge 35 to 120 mm, spacing 50 to 150 mm."""
    found = distances()
    assert [(check.demand, check.resistance) for check in found.values()] == [
        (35, 40), (40, 120), (35, 36), (36, 120), (50, 60), (60, 150), (50, 140), (140, 150),
    ]  # fmt: skip
    assert {check.state for check in found.values()} == {HOLDS}
    assert distances(edge_distance=34.9)["smallest edge"].state == FAILS
    assert distances(edge_distance=30.0, edge="rolled plate, machine flame cut, sawn or planed edge")[
        "smallest edge"
    ].state == HOLDS
    assert distances(gauge=151.0)["largest gauge"].state == FAILS
    assert distances(thickness=30.0, gauge=200.0, end_distance=150.0)["largest gauge"].utilisation == 1.0
    assert "pitch" not in " ".join(distances(pitch=None))


def test_net_section_and_block_shear_by_hand():
    """0.9 x 0.85 x 2500 x 430 = 822.4 kN; 0.75 (0.6 x 430 x 1450 + 0.5 x 430 x 380) = 341.9 kN, rupture in shear."""
    net = AS.net_section(net_area=2500.0, ultimate_strength=430.0, distribution=1.0)
    assert net.resistance == pytest.approx(822_375.0)
    block = AS.block_tearing(
        net_tension_area=380.0, net_shear_area=1450.0, gross_shear_area=3000.0, yield_strength=300.0,
        ultimate_strength=430.0, eccentric=True,
    )  # fmt: skip
    assert block.resistance == pytest.approx(341_850.0)


@pytest.mark.parametrize("name", ["preload", "slip", "shear", "tension", "both", "bearing", "whole", "weld"])
def test_every_printed_formula_gives_its_number(name):
    results = {
        "preload": AS.preload_working(M20),
        "slip": slip("M20", planes=2, tension=30e3, holes="oversize"),
        "shear": AS.bolt_shear(M20, 2, False, joint_length=700.0, packing=8.0),
        "tension": AS.bolt_tension(M20),
        "both": AS.shear_with_tension(5e4, -1e4, shear_resistance=9e4, tension_resistance=16e4),
        "bearing": AS.bearing(M20, NORMAL, PLATE, end_distance=40.0, pitch=60.0),
        "whole": AS.resultant_bearing(M20, NORMAL, PLATE),
        "weld": AS.fillet_weld(leg=6.0, electrode="E41XX", quality="GP", lap_length=5000.0),
    }
    for figure, stored, computed in recomputed(results[name]):
        assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


@given(st.floats(1, 5e5), st.integers(1, 4), st.floats(0.05, 1))
def test_grip_is_proportional_to_preload_and_interfaces(preload, planes, slip_factor):
    def grip(preload, planes):
        return AS.slip_resistance(
            preload=preload, slip_factor=slip_factor, planes=planes, hole_factor=1.0, level="service"
        ).resistance

    assert grip(2 * preload, planes) == pytest.approx(2 * grip(preload, planes))
    assert grip(preload, 2 * planes) == pytest.approx(2 * grip(preload, planes))


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: AS.specified_preload(AS.bolt("M20", "4.6")), r"bolt grade 4\.6 cannot be preloaded here.*use 8\.8"),
        (lambda: slip_resistance("AS 4100", size="M20", grade="10.9", surface="clean as-rolled"),
         r"bolt grade 10\.9 cannot be preloaded here: no least tension"),
        (lambda: slip("M22"), r"size of a preloaded bolt 'M22' is unknown.*known: M16, M20, M24, M30, M36"),
        (lambda: slip("M20", "B"), r"surface 'B' is unknown; known: clean as-rolled"),
        (lambda: slip("M20", 0.5), r"slip factor must not be above 0\.35, got 0\.5; .*must be found by test"),
        (lambda: strength("M20", "8.9"), r"bolt grade '8\.9' is unknown; .*known: 4\.6, 8\.8, 10\.9"),
        (lambda: strength("M14"), r"bolt size 'M14' is unknown"),
        (lambda: AS.bolt_shear(M20, 0, True), r"planes must be a whole number from 1, got 0"),
        (lambda: AS.bolt_shear(M20, 1, True, packing=25.0), r"filler must not be above 20 mm .*got 25"),
        (lambda: AS.bearing(M20, NORMAL, PLATE), r"bearing needs the end distance or the pitch along the force"),
        (lambda: AS.bearing(M20, NORMAL, PLATE, end_distance=11.0),
         r"end distance must be above 11 mm \(half the hole\), got 11"),
        (lambda: AS.bearing(M20, NORMAL, PLATE, end_distance=40.0, slot_across_load=True),
         r"a normal hole has no slot that could lie across the load"),
        (lambda: AS.punching(head_diameter=32.0, thickness=8.0, ultimate_strength=430.0), r"AS 4100:2020 has no rule"),
        (lambda: AS.net_section(net_area=1.0, ultimate_strength=430.0, distribution=1.2),
         r"factor for the spread of the force must not be above 1, got 1\.2"),
        (lambda: fillet_strength("AS 4100", leg=6.0), r"needs its electrode \(E41XX, .*\) and its quality \(SP, GP\)"),
        (lambda: fillet_strength("AS 4100", leg=6.0, electrode="E48XX"), r"needs its electrode .*quality \(SP, GP\)"),
        (lambda: weld(6.0, "E70XX", "SP"), r"electrode 'E70XX' is unknown"),
        (lambda: weld(6.0, "E48XX", "XP"), r"quality of the weld 'XP' is unknown.*known: SP, GP"),
        (lambda: weld(6.0, "E48XX", "SP", steel="S355"), r"steel 'S355' has no place in AS 4100:2020, 9\.6\.3\.10"),
        (lambda: weld(6.0, "E48XX", "SP", thickness=10.0), r"thickness 10\.0 has no place in AS 4100:2020"),
        (lambda: weld(0.0, "E48XX", "SP"), r"leg must be above 0 mm, got 0"),
        (lambda: weld(6.0, "E48XX", "SP", angle=2.0), r"angle must be from 0 to 1\.570796 rad"),
        (lambda: distances(edge="torn edge"), r"edge of the plate 'torn edge' is unknown"),
    ],
)  # fmt: skip
def test_what_the_rules_do_not_cover_is_refused(call, message):
    with pytest.raises(InputError, match=message):
        call()


def test_usual_load_factors_are_those_of_as_nzs_1170_0():
    factors = AS.LOAD_FACTORS
    assert (factors.permanent, factors.permanent_favourable, factors.variable) == (1.2, 0.9, 1.5)


def test_a_value_from_memory_marks_the_bolt_and_the_hole():
    assert AS.bolt("M24", "8.8").unconfirmed and NORMAL.unconfirmed
    assert "from memory" in AS.bolt("M24", "8.8").source


@pytest.mark.parametrize("code", read_table(PACKAGE, "warnings"))
def test_a_warning_of_the_table_is_one_that_the_engine_gives_and_names_its_clause(code):
    assert code in read_table("slip.standards.en1993", "warnings")
    assert "AS 4100:2020, " in read_table(PACKAGE, "warnings")[code]["clause"]
