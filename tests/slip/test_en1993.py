"""The rules of EN 1993-1-8:2005 against published tables, row by row, and published examples."""

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
from slip import bolt_strength, slip_resistance, standards

PUBLISHED = Path(__file__).parents[1] / "published"
TABLES = tomllib.loads((PUBLISHED / "en1993_tables.toml").read_text(encoding="utf-8"))
CASES = tomllib.loads((PUBLISHED / "en1993_joints.toml").read_text(encoding="utf-8"))["case"]
EN = standards.standard("EN 1993")


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


def assert_formulas_hold(result):
    found = recomputed(result)
    assert found
    for figure, stored, computed in found:
        assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


def test_a_standard_offers_every_name_of_the_interface():
    for name in standards.names():
        module = standards.standard(name)
        assert [item for item in standards.INTERFACE if not hasattr(module, item)] == []
        assert name in module.NAMES and standards.edition(name) == module.EDITIONS[name]


def test_an_unknown_standard_is_refused_with_the_known_ones():
    with pytest.raises(InputError, match=r"standard 'EN 1994' is unknown; did you mean 'EN 1993'\?; known: .*EN 1993"):
        standards.standard("EN 1994")


@pytest.mark.parametrize("row", rows("en_non_preloaded_8_8_S355"), ids=lambda row: row["size"])
def test_published_resistance_table_of_8_8_bolts_in_shear_and_tension(row):
    single = bolt_strength("EN 1993", size=row["size"], grade="8.8", hole_clearance=2.0)
    double = bolt_strength("EN 1993", size=row["size"], grade="8.8", planes=2, hole_clearance=2.0)
    assert EN.bolt(row["size"], "8.8").stress_area == row["A_s_mm2"]
    assert single.tension / 1000 == printed(row["F_t_Rd"])
    assert single.shear / 1000 == printed(row["F_v_Rd_single"])
    assert double.shear / 1000 == printed(row["F_v_Rd_double"])


@pytest.mark.parametrize("row", rows("en_preloaded_8_8_service"), ids=lambda row: row["size"])
@pytest.mark.parametrize("factor", [0.2, 0.3, 0.4, 0.5])
def test_published_resistance_table_of_preloaded_8_8_bolts_at_service(row, factor):
    found = slip_resistance("EN 1993", size=row["size"], grade="8.8", surface=factor, level="service")
    assert found.resistance / 1000 == printed(row[f"mu_{factor}"])


def test_orange_book_4_6_bolts_in_shear_and_tension():
    given, expect = case("bolts-4-6")
    for number, size in enumerate(given["size"]):
        found = bolt_strength("EN 1993", size=size, grade="4.6")
        double = bolt_strength("EN 1993", size=size, grade="4.6", planes=2)
        assert found.tension / 1000 == expect("Ft_Rd_kN", number)
        assert found.shear / 1000 == expect("Fv_Rd_kN", number)
        assert double.shear / 1000 == expect("Fv_Rd_double_kN", number)


@pytest.mark.parametrize(("grade", "key"), [("8.8", "88"), ("10.9", "109")])
def test_sci_p363_bolts_in_shear_and_tension(grade, key):
    given, expect = case("bolts-8-8-and-10-9")
    for number, size in enumerate(given["size"]):
        found = bolt_strength("EN 1993", size=size, grade=grade)
        assert found.tension / 1000 == expect(f"Ft_{key}_kN", number)
        assert found.shear / 1000 == expect(f"Fv_{key}_kN", number)


def test_specified_preload_of_en_1090_2_table_19():
    given, expect = case("specified-preload")
    for number, size in enumerate(given["size"]):
        assert EN.specified_preload(EN.bolt(size, "8.8")) / 1000 == expect("FpC_88_kN", number)
        assert EN.specified_preload(EN.bolt(size, "10.9")) / 1000 == expect("FpC_109_kN", number)


def test_steel_buildings_in_europe_slip_of_m24_10_9():
    given, expect = case("slip-category-c")
    assert EN.specified_preload(EN.bolt(given["size"], "10.9")) / 1000 == expect("FpC_kN")
    for key in ("n2", "n1"):
        found = slip_resistance("EN 1993", size=given["size"], grade="10.9", surface="A", planes=int(key[1]))
        assert found.resistance / 1000 == expect(f"FsRd_{key}_kN")


def test_orange_book_slip_at_service_of_8_8_bolts():
    given, expect = case("slip-at-service-8-8")
    for number, size in enumerate(given["size"]):
        for surface, key in (("D", "02"), ("C", "03"), ("B", "04"), ("A", "05")):
            found = slip_resistance("EN 1993", size=size, grade="8.8", surface=surface, level="service")
            assert found.resistance / 1000 == expect(f"Fs_mu{key}_kN", number)
        assert bolt_strength("EN 1993", size=size, grade="8.8").shear / 1000 == expect("FvRd_kN", number)


@pytest.mark.parametrize("name", ["slip-m16-two-planes", "slip-m20-two-planes"])
def test_slip_of_10_9_bolts_by_hand_at_both_levels(name):
    given, expect = case(name)
    told = {"size": given["size"], "grade": given["grade"], "surface": "B", "planes": given["planes"]}
    ultimate = slip_resistance("EN 1993", **told)
    assert ultimate.preload / 1000 == expect("F_pC_kN")
    assert ultimate.resistance / 1000 == expect("F_s_Rd_kN")
    assert slip_resistance("EN 1993", **told, level="service").resistance / 1000 == expect("F_s_Rd_ser_kN")


def test_slip_with_tension_by_hand_one_plane():
    given, expect = case("slip-m20-with-tension")
    tension = given["F_t_Ed_kN"] * 1000
    found = slip_resistance("EN 1993", size="M20", grade="10.9", surface="C", tension=tension)
    assert found.resistance / 1000 == expect("F_s_Rd_kN")


@pytest.mark.parametrize(
    ("name", "ultimate", "service"),
    [("slip-with-tension-m20", "FsRd_kN", "FsRd_ser_kN"), ("slip-with-tension-m24", "Fs_C_kN", "Fs_B_ser_kN")],
)
def test_slip_with_tension_by_hand_in_categories_c_and_b(name, ultimate, service):
    given, expect = case(name)
    told = {"size": given["size"], "grade": "10.9", "surface": given["mu"], "planes": given["n"]}
    found = slip_resistance("EN 1993", **told, tension=given["Ft_Ed_kN"] * 1000)
    assert found.resistance / 1000 == expect(ultimate)
    assert_formulas_hold(found)
    found = slip_resistance("EN 1993", **told, tension=given["Ft_Ed_ser_kN"] * 1000, level="service")
    assert found.resistance / 1000 == expect(service)
    assert_formulas_hold(found)


@pytest.mark.parametrize("holes", ["normal", "oversize", "long slot across", "short slot along", "long slot along"])
def test_hole_factors_of_table_3_6_by_hand(holes):
    order = ["normal", "oversize", "long slot across", "short slot along", "long slot along"]
    published = (("hole-factors-8-8", "8.8", 2, "FsRd_kN"), ("hole-factors-10-9", "10.9", 1, "Fs_kN"))
    for name, grade, planes, key in published:
        _, expect = case(name)
        found = slip_resistance("EN 1993", size="M20", grade=grade, surface="A", holes=holes, planes=planes)
        assert found.resistance / 1000 == expect(key, order.index(holes))


def test_short_slot_across_the_load_counts_like_an_oversize_hole_in_table_3_6():
    assert EN.hole_factor("short slot", "across") == EN.hole_factor("oversize") == 0.85


def test_a_slot_without_direction_has_no_hole_factor():
    with pytest.raises(InputError, match=r"direction of the load to the slot '' is unknown; known: along, across"):
        EN.hole_factor("short slot")


def test_grip_terms_give_the_slip_resistance_at_every_tension():
    tension = np.array([-1e5, 0.0, 4e4, 2e5, 3e5])
    for level in ("service", "ultimate"):
        factor, share = EN.grip_terms(slip_factor=0.3, planes=2, hole_factor=0.85, level=level)
        grip = factor * np.maximum(171_500 - share * np.maximum(tension, 0.0), 0.0)
        for value, force in zip(grip, tension, strict=True):
            found = EN.slip_resistance(
                preload=171_500, slip_factor=0.3, planes=2, hole_factor=0.85, level=level, tension=force
            )
            assert found.resistance == pytest.approx(value)
            assert_formulas_hold(found)


def test_no_grip_is_left_where_tension_reaches_the_preload_over_0_8():
    assert slip_resistance("EN 1993", size="M20", grade="10.9", surface="A", tension=171_500 / 0.8).resistance == 0.0


@given(st.floats(1.0, 1e6), st.floats(0.01, 100.0), st.integers(1, 4))
def test_grip_is_proportional_to_preload_and_to_planes(preload, scale, planes):
    def grip(force, number):
        return EN.slip_resistance(
            preload=force, slip_factor=0.4, planes=number, hole_factor=1.0, level="ultimate"
        ).resistance

    assert grip(scale * preload, planes) == pytest.approx(scale * planes * grip(preload, 1))


def test_levels_that_must_not_slip():
    rules = {"never": ("ultimate",), "not in service": ("service",), "allowed": ()}
    assert {rule: EN.levels_checked(rule) for rule in rules} == rules
    with pytest.raises(InputError, match=r"slip 'seldom' is unknown; known: never, not in service, allowed"):
        EN.levels_checked("seldom")


def test_bolts_that_are_not_made_for_preload_are_refused():
    with pytest.raises(InputError, match=r"bolt grade 4\.6 cannot be preloaded; use 8\.8 or 10\.9"):
        EN.specified_preload(EN.bolt("M20", "4.6"))


def test_long_joint_factor_by_hand():
    _, expect = case("long-joint-600")
    assert EN.long_joint_factor(20.0, 600.0) == expect("beta_Lf")
    given, expect = case("long-joint-factors")
    for number, length in enumerate(given["Lj_mm"]):
        assert EN.long_joint_factor(20.0, length) == expect("beta_Lf", number)


def test_packing_factor_by_hand():
    _, expect = case("packing-12")
    assert EN.packing_factor(20.0, 12.0) == expect("beta_p")
    given, expect = case("packing-factors")
    for number, thickness in enumerate(given["tp_mm"]):
        assert EN.packing_factor(20.0, thickness) == expect("beta_p", number)


def test_packing_factor_is_continuous_at_a_third_of_the_diameter():
    assert EN.packing_factor(24.0, 8.0) == 1.0
    assert EN.packing_factor(24.0, 8.0 + 1e-9) == pytest.approx(1.0, abs=1e-9)


def test_long_joint_factor_is_continuous_at_both_ends():
    for knee, factor in ((300.0, 1.0), (1300.0, 0.75)):
        for length in (knee - 1e-6, knee, knee + 1e-6):
            assert EN.long_joint_factor(20.0, length) == pytest.approx(factor, abs=1e-8)


def test_steel_buildings_in_europe_column_splice_shear_through_packing():
    given, expect = case("splice-with-packing")
    found = EN.bolt_shear(EN.bolt("M20", "8.8"), 1, True, hole_clearance=2.0, packing=given["packing_mm"])
    assert found.packing_factor == expect("beta_p")
    assert found.resistance / 1000 == expect("FvRd_kN")
    assert given["bolts"] * found.resistance / 1000 == expect("FRd_kN", unrounded=True)
    assert found.resistance * 1.25 / 1.1 / 1000 == expect("FvRd_tying_kN")
    assert_formulas_hold(found)


def test_shank_in_the_plane_takes_0_6_of_the_shank_area_for_every_class():
    for grade in read_table("slip.standards.en1993", "grades"):
        bolt = EN.bolt("M20", grade)
        found = EN.bolt_shear(bolt, 1, False, hole_clearance=2.0)
        assert found.resistance == pytest.approx(0.6 * bolt.ultimate_strength * 314.0 / 1.25)


def test_m12_shear_is_reduced_in_wide_or_unknown_holes_only_and_not_in_class_4_6():
    def shear(grade, clearance):
        return EN.bolt_shear(EN.bolt("M12", grade), 1, True, hole_clearance=clearance).resistance

    assert shear("8.8", 2.0) == shear("8.8", None) == pytest.approx(0.85 * shear("8.8", 1.0))
    assert shear("4.6", 2.0) == shear("4.6", 1.0)


def test_shear_with_tension_by_hand():
    given, expect = case("shear-with-tension")
    m20 = bolt_strength("EN 1993", size="M20", grade="8.8")
    found = EN.shear_with_tension(
        given["F_v_kN"] * 1e3, given["F_t_kN"] * 1e3, shear_resistance=m20.shear, tension_resistance=m20.tension
    )
    assert found.utilisation == expect("utilisation")
    assert_formulas_hold(found)


def test_combined_utilisation_of_arrays_counts_no_pressure_as_tension():
    found = EN.combined_utilisation(
        np.array([50.0, -50.0]), np.array([-10.0, 70.0]), shear_resistance=100.0, tension_resistance=100.0
    )
    assert found == pytest.approx([0.5, 1.0])


def test_every_figure_of_the_preload_is_computed_as_printed():
    assert_formulas_hold(EN.preload_working(EN.bolt("M24", "8.8")))


def test_every_figure_of_bolt_tension_is_computed_as_printed():
    plain, countersunk = (EN.bolt_tension(EN.bolt("M24", "8.8"), countersunk=way) for way in (False, True))
    assert_formulas_hold(plain)
    assert countersunk.resistance == pytest.approx(0.7 * plain.resistance)
