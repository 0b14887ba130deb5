import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.assessment import StressWalk, assess_details
from fatigue.catalogue import catalogue
from fatigue.curves import curve_of_strength, life_curve
from fatigue.cycles import count_cycles
from fatigue.detail import detail
from fatigue.standards import as4100
from fatigue.stress import stress_of_shear_area, stress_per_component
from loadhistories.blocks import block_of_arrays
from loadhistories.figures import recomputed
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_as4100.toml").read_text())["case"]
YEAR = 31_557_600.0
REFERENCE = {"load_path": "redundant", "inspection": "regular", "loading": "not highly irregular"}
LOOSE = REFERENCE | {"load_path": "not redundant"}
PLATE = stress_per_component({"Fy": 1.0})


class Spectrum:
    """Ranges as if counted, of a history between zero and the largest range."""

    def __init__(self, ranges, counts):
        self.ranges, self.counts = np.asarray(ranges, dtype=float), np.asarray(counts, dtype=float)
        self.means = self.ranges / 2
        self.extremes = (0.0, float(self.ranges.max()))

    def repeated(self, repeats):
        whole = Spectrum(self.ranges, repeats * self.counts)
        return whole


def result_of(item, ranges, counts, *, basis=LOOSE, permanent=0.0, repeats=1.0):
    return as4100.detail_damage(
        item, [Spectrum(ranges, counts)], blocks=[("working", repeats)], factors=as4100.partial_factors(**basis),
        design_life=25 * YEAR, permanent_stress=permanent,
    )  # fmt: skip


def plain(category=80, recipe=PLATE, **given_):
    return detail("edge", standard="AS 4100", recipe=recipe, category=category, **given_)


def outcomes(item, history, *, slips=None, repeats=1.0, basis=LOOSE, permanent=0.0):
    block = block_of_arrays("working", {"Fy": np.asarray(history, dtype=float)}, step=1.0, repeats=repeats)
    walk = StressWalk([item])
    for chunk in block.chunks():
        walk.feed(chunk)
    return assess_details(
        [item], [walk.counts()], blocks=[("working", repeats)], standard="AS 4100", basis=basis,
        design_life=25 * YEAR, slips=slips, permanent=[0.0, permanent, 0.0, 0.0, 0.0, 0.0],
    )[0]  # fmt: skip


def test_curve_constants_are_those_of_as_4100_11_6_1():
    case = CASES["curve_constants"]
    curve = life_curve("AS 4100", case["inputs"]["category"])
    wanted, close = case["expected"], {"rel": case["tolerance_rel"]}
    assert curve.knee_strengths[0] == pytest.approx(wanted["f_3"], **close)
    assert curve.cut_off_strength == pytest.approx(wanted["f_5"], **close)
    assert curve.cycles_to_failure(case["inputs"]["ranges"]) == pytest.approx(wanted["cycles"], **close)
    assert curve.strength_at(case["inputs"]["cycles"]) == pytest.approx(wanted["strength"], **close)
    assert curve.cycles_to_failure(0.999 * wanted["f_5"]) == math.inf


def test_shear_curve_has_one_slope_of_5_to_the_cut_off_as_in_as_4100_11_6_2():
    case = CASES["shear_curve"]
    curve = life_curve("AS 4100", case["inputs"]["category"], stress="shear")
    assert curve.cut_off_strength == pytest.approx(case["expected"]["f_5"], rel=case["tolerance_rel"])
    assert curve.cycles_to_failure(case["inputs"]["range"]) == pytest.approx(case["expected"]["cycles"])
    assert curve.slopes == (5.0,)


def test_curves_are_continuous_at_their_knees():
    for row in catalogue("AS 4100"):
        curve = as4100.curve_of_row(row)
        for knee, strength in zip(curve.knees, curve.knee_strengths, strict=True):
            near = [strength * (1 - 1e-9), strength * (1 + 1e-9)]
            assert curve.cycles_to_failure(near) == pytest.approx([knee, knee], rel=1e-7), row.id


@pytest.mark.parametrize("category", ["category", "row"])
def test_thickness_factor_of_as_4100_11_1_7_has_the_exponent_0_25(category):
    case = CASES["thickness_factor"]
    row = as4100.row_of(case["inputs"][category])
    effect = as4100.size_effect(row, thickness=case["inputs"]["thickness"])
    assert effect.factor == pytest.approx(case["expected"]["beta_tf"], rel=case["tolerance_rel"])
    curve = life_curve("AS 4100", case["inputs"][category], thickness=case["inputs"]["thickness"])
    assert curve.strength == pytest.approx(case["expected"]["strength"], rel=case["tolerance_rel"])
    assert all(computed == pytest.approx(stored) for _, stored, computed in recomputed(effect))
    assert effect.factor != pytest.approx((25 / 40) ** 0.2, rel=1e-3)


def test_a_plate_up_to_25_mm_has_no_thickness_factor_and_a_row_along_the_stress_never_has():
    assert as4100.size_effect(as4100.row_of("11.5.1(4)-28a"), thickness=25.0).factor == 1.0
    assert as4100.size_effect(as4100.row_of("11.5.1(4)-28a"), thickness=6.0).factor == 1.0
    assert as4100.size_effect(as4100.row_of("11.5.1(4)-25c"), thickness=60.0) is None


def test_transverse_welds_and_only_they_ask_for_a_thickness():
    asking = {row.id for row in catalogue("AS 4100") if row.size_effect}
    tables = {name.partition("-")[0] for name in asking}
    assert tables == {"11.5.1(3)", "11.5.1(4)"}
    assert {"11.5.1(3)-20", "11.5.1(4)-28b", "11.5.1(4)-29", "11.5.1(4)-30a", "11.5.1(4)-31b"} <= asking
    with pytest.raises(InputError, match=r"11\.5\.1\(4\)-28a depends on size \(AS 4100:2020, 11\.1\.7\)"):
        life_curve("AS 4100", "11.5.1(4)-28a")


def test_sum_of_a_variable_range_is_that_of_as_4100_11_8_2():
    case = CASES["variable_range"]
    given_ = case["inputs"]
    design = life_curve("AS 4100", given_["category"]).scaled(given_["capacity_factor"], "capacity factor")
    cubic, fifth = as4100.variable_range_cycles(design, given_["ranges"], given_["cycles"])
    assert (cubic + fifth) / 5e6 == pytest.approx(case["expected"]["sum"], rel=case["tolerance_rel"])
    result = result_of(plain(given_["category"]), given_["ranges"], given_["cycles"])
    assert result.damage == pytest.approx(case["expected"]["sum"], rel=case["tolerance_rel"])
    assert result.constant_limit == pytest.approx(case["expected"]["f_3c"], rel=case["tolerance_rel"])
    assert result.cubic_sum == pytest.approx(1e5 * (80 / (0.7 * 58.94450398)) ** 3 / 5e6 + 4e5 * (
        45 / (0.7 * 58.94450398)) ** 3 / 5e6, rel=1e-6)
    assert result.life == pytest.approx(25 / case["expected"]["sum"], rel=1e-6)


@pytest.mark.parametrize("stress", ["normal", "shear"])
@given(
    ranges=st.lists(st.floats(0.0, 400.0), min_size=1, max_size=30),
    strength=st.floats(20.0, 200.0),
    phi=st.sampled_from([0.7, 1.0]),
)
def test_the_sums_of_11_8_2_and_the_damage_by_the_curve_are_one_number(stress, ranges, strength, phi):
    curve = curve_of_strength("AS 4100", strength, stress=stress).scaled(phi, "capacity factor")
    counts = np.arange(1.0, len(ranges) + 1) * 1e4
    cubic, fifth = as4100.variable_range_cycles(curve, ranges, counts)
    over = 5e6 if stress == "normal" else 2e6
    assert (cubic + fifth) / over == pytest.approx(curve.damage(ranges, counts), rel=1e-9)


@given(st.lists(st.floats(1.0, 200.0), min_size=1, max_size=10), st.integers(0, 9), st.floats(0.0, 50.0))
def test_the_sum_never_falls_when_a_range_grows_and_does_not_ask_for_the_order(ranges, place, more):
    counts = np.full(len(ranges), 1e5)
    first = result_of(plain(), ranges, counts).damage
    grown = list(ranges)
    grown[place % len(ranges)] += more
    assert result_of(plain(), grown, counts).damage >= first * (1 - 1e-12)
    assert result_of(plain(), ranges[::-1], counts).damage == pytest.approx(first, rel=1e-12)


def test_sum_and_curve_are_both_shown_and_the_sum_is_the_check():
    item = plain(thickness=40.0)
    result = result_of(item, [80, 45, 30], [1e5, 4e5, 2e6])
    check = as4100.checks(1, item, result)[0]
    assert (check.demand, check.resistance, check.clause) == (result.damage, 1.0, "AS 4100:2020, 11.8.2")
    assert result.by_curve == pytest.approx(result.damage, rel=1e-12)
    figures = {figure.symbol for figure, _, _ in recomputed(result)}
    assert {"D", "D_3", "D_5", "f_3,c", "f_5,c", "f_x,d", "n_x", "L"} <= figures


def test_one_range_alone_is_checked_against_the_strength_at_its_cycles_by_11_8_1():
    item = plain(100)
    result = result_of(item, [60.0, 60.0], [4e5, 2e5])
    _, constant = as4100.checks(1, item, result)
    # f_c = 100 (2e6 / 6e5)^(1/3) = 149.38, times 0.7
    assert constant.resistance == pytest.approx(0.7 * 149.3802, rel=1e-6)
    assert (constant.demand, constant.clause) == (60.0, "AS 4100:2020, 11.8.1")
    assert constant.utilisation**3 == pytest.approx(result.damage, rel=1e-12)
    assert all(computed == pytest.approx(stored) for _, stored, computed in recomputed(result.constant))


@pytest.mark.parametrize(
    ("cycles", "strength"), [(2e6, 80.0), (5e6, 58.94450398), (1e8, 32.37705316), (1e9, 32.37705316)]
)
def test_strength_of_a_constant_range_follows_11_6_1_and_stays_at_the_cut_off(cycles, strength):
    result = result_of(plain(), [20.0], [cycles])
    assert result.constant.strength == pytest.approx(strength, rel=1e-6)
    assert all(computed == pytest.approx(stored) for _, stored, computed in recomputed(result.constant))


def test_strength_of_a_constant_shear_range_follows_11_6_2():
    item = plain("11.5.1(4)-32", recipe=stress_of_shear_area("Fy", 100.0))
    for cycles, strength in ((2e6, 80.0), (1e7, 80 * 0.2**0.2), (1e9, 36.58440415)):
        result = result_of(item, [30.0], [cycles])
        assert result.constant.strength == pytest.approx(strength, rel=1e-6)
        assert all(computed == pytest.approx(stored) for _, stored, computed in recomputed(result.constant))


def test_ranges_that_differ_are_no_constant_range():
    assert result_of(plain(), [40.0, 39.9], [4e5, 2e5]).constant is None
    assert result_of(plain(), [0.0], [1.0]).constant is None


def test_exemption_of_as_4100_11_4():
    case = CASES["exemption"]
    given_, wanted = case["inputs"], case["expected"]
    assert as4100.exempt_range(given_["capacity_factor"]) == pytest.approx(wanted["limit"], rel=1e-9)
    found = as4100.exempt_cycles(given_["capacity_factor"], given_["other_range"])
    assert found == pytest.approx(wanted["cycles"], rel=1e-9)
    result = result_of(plain(), [given_["range"]], [given_["cycles"]], basis=REFERENCE)
    assert result.exempt_range == pytest.approx(wanted["limit"])
    assert any("11.4, asks for no assessment where neither" in text for text in result.remarks)


def test_exemption_by_cycles_names_its_condition_and_passes_nothing_by_itself():
    few = result_of(plain(36), [50.0], [7e5], basis=REFERENCE)
    assert any("11.4, asks for no assessment up to 7.465e+05 cycles" in text for text in few.remarks)
    assert any("normal or shear stress range at the point" in text for text in few.remarks)
    assert few.exempt_cycles == pytest.approx(746496.0)
    assert few.damage == pytest.approx(7e5 / (2e6 * (36 / 50) ** 3))
    many = result_of(plain(36), [50.0], [8e5], basis=REFERENCE)
    assert not any("11.4" in text for text in many.remarks)
    assert as4100.checks(1, plain(36), many)[0].state == "fails"


def test_ranges_below_the_constant_range_limit_are_told_as_11_7_tells_them_and_judged_all_the_same():
    below = result_of(plain(), [41.0, 35.0], [1e7, 1e7])
    assert any("11.7" in text for text in below.remarks)
    assert below.damage > 1.0
    above = result_of(plain(), [42.0, 35.0], [1e7, 1e7])
    assert not any("11.7" in text for text in above.remarks)


@pytest.mark.parametrize(
    ("changes", "phi"),
    [
        ({}, 1.0),
        ({"load_path": "not redundant"}, 0.7),
        ({"inspection": "not regular"}, 0.7),
        ({"loading": "highly irregular"}, 0.7),
        ({"load_path": "not redundant", "inspection": "not regular", "loading": "highly irregular"}, 0.7),
    ],
)
def test_capacity_factor_is_1_at_the_reference_design_condition_of_11_1_6_and_0_7_off_it(changes, phi):
    factors = as4100.partial_factors(**(REFERENCE | changes))
    assert factors.phi == phi
    assert factors.gamma_Mf == pytest.approx(1 / phi)
    assert all(computed == pytest.approx(stored) for _, stored, computed in recomputed(factors))


def test_the_strictest_choice_of_each_condition_stands_first_and_says_that_it_was_assumed():
    for key, values in as4100.BASIS.items():
        strictest, *others = values
        assert values[strictest]
        for other in others:
            lenient = as4100.partial_factors(**(REFERENCE | {key: other})).phi
            assert as4100.partial_factors(**(REFERENCE | {key: strictest})).phi < lenient


def test_a_reduction_without_a_number_is_told():
    told = result_of(plain(), [20.0], [1e5], basis=REFERENCE | {"inspection": "not regular"}).remarks
    assert any("11.1.6, asks for a lower capacity factor here (inspection not regular)" in text for text in told)
    silent = result_of(plain(), [20.0], [1e5]).remarks
    assert not any("11.1.6" in text for text in silent)


def test_a_capacity_factor_of_the_users_own_needs_its_ground_and_is_told():
    open_ = REFERENCE | {"inspection": "not regular"}
    own = as4100.partial_factors(**open_, capacity_factor=0.85, because="client brief")
    assert (own.phi, own.gamma_Mf) == (0.85, 1 / 0.85)
    assert as4100.deviation(own) == (
        "capacity factor 0.85 in place of the 0.7 taken by AS 4100:2020, 11.1.6; given by the user: client brief"
    )
    assert as4100.deviation(as4100.partial_factors(**open_)) == ""
    result = as4100.detail_damage(
        plain(), [Spectrum([80.0], [1e5])], blocks=[("working", 1.0)], factors=own, design_life=YEAR,
        permanent_stress=0.0,
    )  # fmt: skip
    assert result.damage == pytest.approx(1e5 / (2e6 * 0.85**3))
    assert not any("names no number" in text for text in result.remarks)
    with pytest.raises(InputError, match=r"capacity_factor 0\.6 in place of 0\.7 needs its ground"):
        as4100.partial_factors(**LOOSE, capacity_factor=0.6)


@pytest.mark.parametrize(
    ("changes", "own", "wording"),
    [
        ({"load_path": "not redundant"}, 0.75, r"must be at most 0\.7 where load_path is not redundant"),
        ({"inspection": "not regular"}, 1.0, r"must be below 1 where .*inspection is not regular"),
        ({}, 1.1, r"must be at most 1 where .*\(AS 4100:2020, 11\.1\.6\), got 1\.1"),
        ({}, 0.0, r"capacity_factor must be above 0, got 0"),
    ],
)
def test_a_capacity_factor_above_what_11_1_6_allows_is_refused(changes, own, wording):
    with pytest.raises(InputError, match=wording):
        as4100.partial_factors(**(REFERENCE | changes), capacity_factor=own, because="why not")


def test_capacity_factor_lowers_the_strength_and_not_the_damage():
    ranges, counts = [90.0, 80.0], [1e5, 1e5]
    full, reduced = (result_of(plain(), ranges, counts, basis=basis).damage for basis in (REFERENCE, LOOSE))
    assert reduced == pytest.approx(full / 0.7**3, rel=1e-12)


def test_largest_range_and_stress_are_checked_against_the_yield_strength_by_11_1_5():
    item = plain(yield_strength=300.0)
    result = result_of(item, [100.0, 400.0], [1e4, 10.0], permanent=-150.0)
    _, largest, top = as4100.checks(1, item, result)
    assert (largest.demand, largest.resistance, largest.state) == (400.0, 450.0, "holds")
    assert (top.demand, top.resistance, top.state) == (250.0, 300.0, "holds")
    assert largest.clause == top.clause == "AS 4100:2020, 11.1.5"
    result = result_of(item, [100.0, 400.0], [1e4, 10.0], permanent=20.0)
    assert as4100.checks(1, item, result)[2].state == "fails"


def test_shear_stress_is_compared_with_the_yield_stress_in_shear():
    item = plain("11.5.1(4)-32", recipe=stress_of_shear_area("Fy", 100.0), yield_strength=300.0)
    result = result_of(item, [100.0], [1e4])
    assert (result.limit.range_limit, result.limit.stress_limit) == pytest.approx((270.0, 180.0))


def test_a_missing_yield_strength_is_told():
    assert any("11.1.5): none is given" in text for text in result_of(plain(), [20.0], [1e5]).remarks)


def test_damage_by_ranges_above_the_curves_is_not_judged():
    item = plain()
    result = result_of(item, [600.0, 30.0], [5.0, 1e5])
    check = as4100.checks(1, item, result)[0]
    assert check.state == "not judged"
    assert "10,000 cycles" in check.reason


def test_compression_counts_in_full_and_a_statement_that_asks_for_less_is_answered():
    item = plain(free_of_welding_stress="stress-relieved")
    count = count_cycles(np.array([-100.0, -20.0, -100.0, -20.0, -100.0]))
    result = as4100.detail_damage(
        item, [count], blocks=[("working", 1e5)], factors=as4100.partial_factors(**LOOSE), design_life=25 * YEAR,
        permanent_stress=0.0,
    )  # fmt: skip
    assert result.damage == pytest.approx(2e5 / (2e6 * (56 / 80) ** 3))
    assert any("no relief for a detail that is stress-relieved" in text for text in result.remarks)


def test_normal_and_shear_sums_are_added_by_11_8_2_c():
    normal = result_of(plain(), [80.0, 45.0], [1e5, 4e5])
    shear = result_of(plain("11.5.1(4)-32", recipe=stress_of_shear_area("Fy", 100.0)), [50.0, 40.0], [1e5, 4e5])
    both = as4100.together(normal, shear)
    assert both.damage == normal.damage + shear.damage
    (check,) = as4100.point_checks(1, "hanger", normal, shear)
    assert (check.demand, check.resistance, check.clause) == (both.damage, 1.0, "AS 4100:2020, 11.8.2(c)")
    assert any("11.8.2(c)" in text for text in normal.remarks)
