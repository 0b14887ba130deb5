"""Plates round the bolts by EN 1993-1-8:2005: bearing, punching, tearing, distances, against published values."""

import math
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.figures import FAILS, HOLDS, recomputed
from loadhistories.validation import InputError
from slip import standards
from slip.joint import HOLES, Plate

PUBLISHED = Path(__file__).parents[1] / "published"
TABLES = tomllib.loads((PUBLISHED / "en1993_tables.toml").read_text(encoding="utf-8"))
CASES = tomllib.loads((PUBLISHED / "en1993_joints.toml").read_text(encoding="utf-8"))["case"]
EN = standards.standard("EN 1993")
HOLE_WIDTH = {"M12": 14.0, "M16": 18.0, "M20": 22.0, "M24": 26.0, "M30": 33.0}


def printed(value):
    """A resistance in kN as printed with three digits: half a unit of the last one."""
    return pytest.approx(value, abs=0.51 * 10 ** (math.floor(math.log10(value)) - 2))


def rows(name):
    table = TABLES[name]
    return [dict(zip(table["columns"], row, strict=True)) for row in table["rows"]]


def case(name):
    """Inputs, expected values and tolerances of a published case; tolerance of a key or one for all."""
    row = CASES[name]

    def expect(key, at=None, *, unrounded=False):
        value = row["expected_unrounded" if unrounded else "expected"][key]
        if "relative_tolerance" in row:
            return pytest.approx(value, rel=row["relative_tolerance"])
        tolerance = row["tolerance"]
        tolerance = tolerance[key] if isinstance(tolerance, dict) else tolerance
        if at is not None:
            value = value[at]
            tolerance = tolerance[at] if isinstance(tolerance, list) else tolerance
        return pytest.approx(value, rel=1e-3) if unrounded else pytest.approx(value, abs=tolerance)

    return row["inputs"], expect


def plate(thickness, ultimate=470.0, yield_strength=355.0):
    return Plate("plate", thickness, "S355", yield_strength, ultimate, 1.0, 1.0)


def bolt_in_hole(size, grade="8.8", width=None):
    bolt = EN.bolt(size, grade)
    hole = EN.hole(bolt, "normal")
    width = width or hole.width
    return bolt, replace(hole, width=width, length=width, clearance=width - bolt.diameter)


def assert_formulas_hold(result):
    found = recomputed(result)
    assert found
    for figure, stored, computed in found:
        assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


@pytest.mark.parametrize("name", ["en_bearing_8_8_S355_close", "en_bearing_8_8_S355_wide"])
@pytest.mark.parametrize("size", HOLE_WIDTH)
@pytest.mark.parametrize("thickness", [5, 6, 8, 10, 15, 20, 30])
def test_published_resistance_tables_of_bearing_in_s355(name, size, thickness):
    (row,) = (row for row in rows(name) if row["size"] == size)
    bolt, hole = bolt_in_hole(size, width=HOLE_WIDTH[size])
    found = EN.bearing(
        bolt, hole, plate(thickness), end_distance=row["e1"], edge_distance=row["e2"], pitch=row["p1"], gauge=row["p2"]
    )
    assert found.resistance / 1000 == printed(row[f"t{thickness}"])


@pytest.mark.parametrize("name", ["bearing-m12", "bearing-m20", "bearing-m24", "bearing-m30"])
def test_orange_book_bearing_of_4_6_bolts(name):
    given, expect = case(name)
    bolt, hole = bolt_in_hole(f"M{given['d_mm']}", "4.6", given["d0_mm"])
    for number, thickness in enumerate(given["t_mm"]):
        found = EN.bearing(
            bolt, hole, plate(thickness), end_distance=given["e1_mm"], edge_distance=given["e2_mm"],
            pitch=given["p1_mm"], gauge=given["p2_mm"],
        )  # fmt: skip
        assert found.resistance / 1000 == expect("Fb_Rd_kN", number)


def test_orange_book_bearing_of_countersunk_8_8_bolts():
    given, expect = case("bearing-countersunk")
    for d, d0, e1, e2, p1, p2 in given["d_d0_e1_e2_p1_p2_mm"]:
        bolt, hole = bolt_in_hole(f"M{d}", "8.8", d0)
        for number, thickness in enumerate(given["t_mm"]):
            found = EN.bearing(
                bolt, hole, plate(thickness), end_distance=e1, edge_distance=e2, pitch=p1, gauge=p2, countersink=d / 2
            )
            assert found.resistance / 1000 == expect(f"Fb_M{d}_kN", number)
            assert_formulas_hold(found)


def test_steel_buildings_in_europe_bearing_of_single_bolts():
    given, expect = case("bearing-single-bolts")
    bolt, hole = bolt_in_hole("M24", "10.9")
    gusset = plate(given["t_mm"], given["fu_MPa"])
    diagonal = math.hypot(60.0, 32.5)
    for key, distances in {
        "Fb_p65_g68": {"pitch": 65.0, "gauge": diagonal},
        "Fb_e90_g68": {"end_distance": 90.0, "gauge": diagonal},
        "Fb_p65_g65": {"pitch": 65.0, "gauge": 65.0},
        "Fb_e80_g65": {"end_distance": 80.0, "gauge": 65.0},
        "Fb_e54_g65": {"end_distance": 54.0, "gauge": 65.0},
        "Fb_p65_e33": {"pitch": 65.0, "edge_distance": 33.0},
        "Fb_p68_g65": {"pitch": diagonal, "gauge": 65.0},
        "Fb_e33_g65": {"end_distance": 33.0, "gauge": 65.0},
    }.items():
        found = EN.bearing(bolt, hole, gusset, **distances)
        assert found.resistance / 1000 == expect(f"{key}_kN")
        for result in found.working:
            assert_formulas_hold(result)


def test_steel_buildings_in_europe_fin_plate_bearing_in_both_directions():
    given, expect = case("fin-plate")
    bolt, hole = bolt_in_hole("M20")
    fin = plate(given["t_mm"], given["fu_MPa"])
    vertical = EN.bearing(bolt, hole, fin, end_distance=40.0, pitch=70.0, edge_distance=50.0, gauge=60.0).resistance
    across = EN.bearing(bolt, hole, fin, end_distance=50.0, pitch=60.0, edge_distance=40.0, gauge=70.0).resistance
    assert vertical / 1000 == expect("Fb_ver_kN", unrounded=True)
    assert across / 1000 == expect("Fb_hor_kN", unrounded=True)
    group = given["bolts"] / math.hypot(
        (1 + given["alpha"] * given["bolts"]) / vertical, given["beta"] * given["bolts"] / across
    )
    assert group / 1000 == expect("VRd_kN", unrounded=True)


def test_steel_buildings_in_europe_web_cleats():
    given, expect = case("web-cleats")
    bolt, hole = bolt_in_hole("M20")
    cleat = plate(given["t_mm"], given["fu_MPa"])
    end = EN.bearing(bolt, hole, cleat, end_distance=given["e1_mm"], edge_distance=given["e2_mm"])
    inner = EN.bearing(bolt, hole, cleat, pitch=given["p1_mm"], edge_distance=given["e2_mm"])
    assert end.resistance / 1000 == expect("Fb_end_kN", unrounded=True)
    assert inner.resistance / 1000 == expect("Fb_inner_kN", unrounded=True)
    shear = EN.bolt_shear(bolt, 1, True, hole_clearance=2.0)
    assert shear.resistance / 1000 == pytest.approx(given["FvRd_kN"], abs=0.5)


def test_bearing_of_end_and_inner_bolt_by_hand():
    given, expect = case("bearing-end-and-inner")
    bolt, hole = bolt_in_hole("M20")
    across = {"edge_distance": given["e2_mm"], "gauge": given["p2_mm"]}
    end = EN.bearing(bolt, hole, plate(given["t_mm"]), end_distance=given["e1_mm"], **across)
    inner = EN.bearing(bolt, hole, plate(given["t_mm"]), pitch=given["p1_mm"], **across)
    assert (end.along_factor, end.across_factor) == (expect("alpha_b_end"), expect("k1"))
    assert inner.along_factor == expect("alpha_b_inner")
    assert (end.resistance / 1000, inner.resistance / 1000) == (expect("Fb_end_kN"), expect("Fb_inner_kN"))


def test_bearing_is_reduced_by_hole_as_the_orange_book_notes():
    _, expect = case("bearing-by-hole")
    bolt, hole = bolt_in_hole("M20")
    distances = {"end_distance": 40.0, "edge_distance": 30.0}
    oversize = EN.bearing(bolt, replace(hole, kind="oversize"), plate(10), **distances)
    slot = replace(hole, kind="short slot", length=28.0)
    across = EN.bearing(bolt, slot, plate(10), slot_across_load=True, **distances)
    along = EN.bearing(bolt, slot, plate(10), **distances)
    assert oversize.resistance / 1000 == expect("Fb_oversize_kN")
    assert across.resistance / 1000 == expect("Fb_slot_across_kN")
    assert along.resistance == EN.bearing(bolt, hole, plate(10), **distances).resistance


def test_a_single_lap_with_one_row_bears_at_most_1_5_f_u_d_t():
    bolt, hole = bolt_in_hole("M20")
    found = EN.bearing(bolt, hole, plate(10), end_distance=80.0, edge_distance=40.0, single_lap_one_row=True)
    assert found.resistance == pytest.approx(1.5 * 470 * 20 * 10 / 1.25)
    assert_formulas_hold(found)


def test_steel_buildings_in_europe_bearing_under_tying():
    given, expect = case("tying")
    bolt, hole = bolt_in_hole("M20")
    fin = plate(given["t_mm"], given["fu_MPa"])
    found = EN.bearing(bolt, hole, fin, end_distance=50.0, pitch=60.0, edge_distance=60.0)
    assert found.across_factor == given["k1"] and round(found.along_factor, 2) == given["alpha_b"]
    assert found.resistance * 1.25 / 1.1 / 1000 == expect("Fb_kN", unrounded=True)


@pytest.mark.parametrize(
    ("distances", "message"),
    [
        ({"end_distance": 11.0, "edge_distance": 30.0}, r"end distance must be above 11 mm \(half the hole\), got 11"),
        ({"pitch": 20.0, "edge_distance": 30.0}, r"pitch must be above 22 mm \(the hole\), got 20"),
        ({"end_distance": 40.0, "gauge": 24.0}, r"gauge must be above 26\.71 mm"),
        ({"end_distance": 40.0}, r"bearing needs the edge distance or the gauge"),
        ({"gauge": 40.0}, r"bearing needs the end distance or the pitch"),
        ({"end_distance": -4.0, "gauge": 40.0}, r"end distance must be above 0 mm, got -4"),
        ({"end_distance": 40.0, "gauge": 60.0, "slot_across_load": True}, r"a normal hole has no slot"),
    ],
)
def test_bearing_refuses_distances_that_leave_no_plate(distances, message):
    bolt, hole = bolt_in_hole("M20")
    with pytest.raises(InputError, match=message):
        EN.bearing(bolt, hole, plate(10), **distances)


@given(st.floats(13.4, 200.0), st.floats(0.1, 50.0))
def test_bearing_never_falls_when_the_edge_moves_away(edge, more):
    bolt, hole = bolt_in_hole("M20")

    def resistance(distance):
        return EN.bearing(bolt, hole, plate(10), end_distance=distance, edge_distance=distance).resistance

    assert resistance(edge) <= resistance(edge + more)


def test_punching_by_hand():
    given, expect = case("punching")
    found = EN.punching(head_diameter=given["dm_mm"], thickness=given["tp_mm"], ultimate_strength=given["fu_MPa"])
    assert found.resistance / 1000 == expect("Bp_Rd_kN")
    assert_formulas_hold(found)


def block(given, *, eccentric):
    return EN.block_tearing(
        net_tension_area=given["A_nt"], net_shear_area=given["A_nv"], yield_strength=given["f_y"],
        ultimate_strength=given["f_u"], eccentric=eccentric,
    )  # fmt: skip


def test_block_tearing_by_hand():
    given, expect = case("block-tearing-two-rows")
    bare = {key.removesuffix("_mm2").removesuffix("_MPa"): value for key, value in given.items()}
    found = block(bare, eccentric=False)
    assert found.resistance / 1000 == expect("V_eff_1_kN")
    assert_formulas_hold(found)
    given, expect = case("block-tearing-eccentric")
    areas = {"A_nt": given["Ant_mm2"], "A_nv": given["Anv_mm2"], "f_y": given["fy_MPa"], "f_u": given["fu_MPa"]}
    assert block(areas, eccentric=False).resistance / 1000 == expect("Veff1_kN")
    assert block(areas, eccentric=True).resistance / 1000 == expect("Veff2_kN")


def test_steel_buildings_in_europe_block_tearing_of_a_fin_plate():
    given, expect = case("plate-of-fin-plate")
    t, d0, n1 = given["tp_mm"], given["d0_mm"], given["n1"]
    tension = t * (given["p2_mm"] + given["e2_mm"] - 1.5 * d0)
    shear = t * (given["hp_mm"] - given["e1_mm"] - (n1 - 0.5) * d0)
    assert (tension, shear) == (expect("Ant_mm2"), expect("Anv_mm2"))
    found = block({"A_nt": tension, "A_nv": shear, "f_y": 275, "f_u": 430}, eccentric=True)
    assert found.resistance / 1000 == expect("VRd_block_kN")


def test_steel_buildings_in_europe_block_tearing_of_a_column_splice():
    given, expect = case("splice-block-tearing")
    t, d0 = given["tp_mm"], given["d0_mm"]
    tension = 2 * t * (given["e2_mm"] - d0 / 2)
    shear = 2 * t * (given["e1_mm"] + (given["n1"] - 1) * given["p1_mm"] - (given["n1"] - 0.5) * d0)
    assert (tension, shear) == (expect("Ant_mm2"), expect("Anv_mm2"))
    found = block({"A_nt": tension, "A_nv": shear, "f_y": 275, "f_u": 430}, eccentric=False)
    assert found.resistance / 1000 == expect("Veff1_kN")


def test_steel_buildings_in_europe_net_section_under_tying():
    given, expect = case("tying")
    found = EN.net_section_rupture(net_area=given["Anet_mm2"], ultimate_strength=given["fu_MPa"])
    assert found.resistance * 1.25 / 1.1 / 1000 == expect("Fnet_kN")
    assert_formulas_hold(found)


def test_steel_buildings_in_europe_net_section_of_category_c():
    given, expect = case("net-section-category-c")
    found = EN.net_section(net_area=given["Anet_mm2"], yield_strength=given["fy_MPa"])
    assert found.resistance / 1000 == expect("Nnet_Rd_kN")
    assert_formulas_hold(found)


@pytest.mark.parametrize("kind", HOLES)
def test_distances_at_the_smallest_values_of_table_3_3_hold_and_below_them_fail(kind):
    hole = EN.hole(EN.bolt("M20", "8.8"), kind)
    end = 1.5 if hole.slotted else 1.2
    least = {"end_distance": end, "edge_distance": end, "pitch": 2.2, "gauge": 2.4}

    def states(share):
        distances = {key: share * value * hole.width for key, value in least.items()}
        checks = EN.distance_checks(hole, thickness=20.0, exposed=True, **distances)
        for check in checks:
            assert_formulas_hold(check.working[0])
        return {check.id: check.state for check in checks}

    assert set(states(1.0).values()) == {HOLDS}
    assert [state for key, state in states(0.99).items() if "smallest" in key] == [FAILS] * 4


def test_distances_above_the_largest_values_fail_and_the_edge_only_where_steel_is_exposed():
    hole = EN.hole(EN.bolt("M20", "8.8"), "normal")
    far = {"thickness": 10.0, "end_distance": 90.0, "edge_distance": 40.0, "pitch": 141.0}
    exposed = {check.id: check.state for check in EN.distance_checks(hole, exposed=True, **far)}
    assert exposed["distance:largest end"] == exposed["distance:largest pitch"] == FAILS
    assert exposed["distance:largest edge"] == HOLDS
    assert "distance:largest end" not in {check.id for check in EN.distance_checks(hole, exposed=False, **far)}
