import numpy as np
import pytest

from fatigue.assessment import StressWalk, assess_details
from fatigue.catalogue import catalogue, find_details
from fatigue.curves import life_curve
from fatigue.detail import detail
from fatigue.points import judge_points
from fatigue.standards import en1993
from fatigue.stress import stress_per_component
from loadhistories.blocks import block_of_arrays
from loadhistories.figures import recomputed
from loadhistories.occurrence import YEAR
from loadhistories.validation import InputError


def assessed(details, force, repeats, **basis):
    block = block_of_arrays("lifts", {"Fy": np.array(force, dtype=float)}, step=1.0, repeats=repeats)
    walk = StressWalk(details)
    for chunk in block.chunks():
        walk.feed(chunk)
    return assess_details(
        details,
        [walk.counts()],
        blocks=[("lifts", repeats)],
        standard="EN 1993",
        basis={"concept": "damage tolerant", "consequence": "low"} | basis,
        design_life=25 * YEAR,
        slips=None,
        permanent=np.zeros(6),
    )


def made(name, per_kN, category, **further):
    recipe = stress_per_component({"Fy": per_kN / 1000}, stress=further.pop("stress", ""))
    return detail(name, standard="EN 1993", category=category, recipe=recipe, **further)


def test_categories_of_runway_flanges_are_those_of_en_1993_1_9_table_8_10():
    rows = [row for row in catalogue("EN 1993") if row.table == "8.10"]
    found = [(row.id, row.category, row.starred) for row in rows]
    assert found == [
        ("8.10-1", 160, False),
        ("8.10-2", 71, False),
        ("8.10-3", 36, True),
        ("8.10-4", 36, True),
        ("8.10-5", 71, False),
        ("8.10-6", 36, True),
        ("8.10-7", 36, True),
    ]
    assert [row.welded for row in rows] == [False] + [True] * 6
    assert {row.id for row in find_details("EN 1993", "wheel fillet")} == {"8.10-4", "8.10-7"}


def test_starred_row_is_taken_one_class_higher_with_its_knee_at_1e7_as_en_1993_1_9_7_1_3_lets():
    raised = life_curve("EN 1993", "8.10-4", starred="limit at 1e7")
    plain = life_curve("EN 1993", "8.10-4")
    assert (plain.strength, plain.knees) == (36.0, (5e6,))
    assert (raised.strength, raised.slopes, raised.knees, raised.cut_off) == (40.0, (3.0, 5.0), (1e7,), 1e8)
    assert raised.knee_strengths[0] == pytest.approx(40 * 0.2 ** (1 / 3), rel=1e-12)
    # The limit for constant amplitude at 1e7 lies below that of the class without the option at 5e6.
    assert raised.knee_strengths[0] < plain.knee_strengths[0]


def test_raised_row_says_so_in_its_condition_and_source():
    row = en1993.row_of("8.5-6-56", starred="limit at 1e7")
    assert row.category == 63.0
    assert "56* taken as 63" in row.condition
    assert "7.1(3)" in row.source


@pytest.mark.parametrize(
    ("category", "starred", "wording"),
    [
        ("8.4-1a", "limit at 1e7", r"category 8.4-1a has no star in EN 1993-1-9:2005: leave starred out"),
        (36, "limit at 1e7", r"starred goes with the identifier of a starred row, not with a number"),
        ("8.10-4", "yes", r"starred 'yes' is unknown; known: limit at 1e7"),
        ("36*", None, r"category '36\*': give 36, or the identifier of its row; .* starred = \"limit at 1e7\""),
    ],
)
def test_refused_star_says_what_would_do(category, starred, wording):
    conditions = {} if starred is None else {"starred": starred}
    with pytest.raises(InputError, match=wording):
        life_curve("EN 1993", category, **conditions)


def test_damage_of_a_raised_row_shows_its_own_knee():
    (outcome,) = assessed([made("toe", 1.0, "8.5-6-56", conditions={"starred": "limit at 1e7"})], [0, 60e3, 0], 1e5)
    result = outcome.result
    assert (result.knee_cycles, result.category) == (1e7, 63.0)
    assert result.damage == pytest.approx(1e5 / (2e6 * (63 / 60) ** 3), rel=1e-4)
    for figure, stored, again in recomputed(result):
        assert again == pytest.approx(stored, rel=1e-12), figure.symbol


@pytest.mark.parametrize("repeats", [1e5, 6e6])
def test_equivalent_range_says_the_same_as_the_damage(repeats):
    """100 MPa on 71 at 1: N = 715 822, so 1e5 cycles give 100 (1e5 / 2e6)^(1/3) = 36.8 MPa at 2e6."""
    (outcome,) = assessed([made("toe", 1.0, 71)], [0, 100e3, 0], repeats)
    damage, equivalent = outcome.checks
    assert (damage.id, equivalent.id) == ("fatigue:1", "fatigue:1:equivalent")
    assert (damage.clause, equivalent.clause) == ("EN 1993-1-9:2005, 8(4), A.5", "EN 1993-1-9:2005, 8(2)")
    assert equivalent.demand == pytest.approx(100 * (repeats / 2e6) ** (1 / 3), rel=1e-4)
    assert equivalent.resistance == 71.0
    assert damage.state == equivalent.state
    assert equivalent.utilisation == pytest.approx(damage.demand ** (1 / 3), rel=1e-9)


def test_normal_and_shear_at_one_point_are_judged_together_by_en_1993_1_9_8_3():
    """30 MPa on 36 and 50 MPa on 80, 5e5 cycles: 0.25 (30/36)^3 = 0.14468 and 0.25 (50/80)^5 = 0.02384."""
    details = [made("across", 0.3, "8.5-3", point="root"), made("along", 0.5, "8.5-3t", point="root", stress="shear")]
    damage, ratio = judge_points(assessed(details, [0, 100e3, 0], 5e5))
    assert damage.demand == pytest.approx(0.14468 + 0.02384, rel=2e-4)
    assert ratio.demand == pytest.approx(damage.demand, rel=1e-9)
    assert (damage.state, damage.resistance) == ("holds", 1.0)
    assert (damage.clause, ratio.clause) == ("EN 1993-1-9:2005, 8(4), A.5", "EN 1993-1-9:2005, 8(3)")
    for check in (damage, ratio):
        for figure, stored, again in recomputed(check.working[0]):
            assert again == pytest.approx(stored, rel=1e-12), figure.symbol


def test_point_fails_where_each_of_its_stresses_holds():
    """1.4e6 cycles: 0.7 (34/36)^3 = 0.590 and 0.7 (76/80)^5 = 0.542."""
    details = [made("across", 0.34, "8.5-3", point="root"), made("along", 0.76, "8.5-3t", point="root", stress="shear")]
    outcomes = assessed(details, [0, 100e3, 0], 1.4e6)
    assert [item.state for item in outcomes] == ["holds", "holds"]
    assert [check.state for check in judge_points(outcomes)] == ["fails", "fails"]


def test_stud_has_another_slope_so_that_the_two_sums_differ():
    """Slope 8 for the damage, exponent 5 for the ratio: 0.5 (60/90)^8 = 0.01951 gives (0.01951^(1/8))^5 = 0.0854."""
    details = [made("flange", 0.1, "8.4-9", point="stud"), made("stud", 0.6, "8.5-10", point="stud", stress="shear")]
    damage, ratio = judge_points(assessed(details, [0, 100e3, 0], 1e6))
    assert damage.demand == pytest.approx(0.01951, rel=2e-3)
    assert ratio.demand == pytest.approx(0.0854, rel=2e-3)


def test_details_without_a_point_or_of_one_kind_are_not_combined():
    apart = [made("across", 0.3, 71), made("along", 0.5, 80, stress="shear")]
    same = [made("one", 0.3, 71, point="toe"), made("other", 0.3, 71, point="toe")]
    elsewhere = [made("one", 0.3, 71, point="a"), made("other", 0.5, 80, point="b", stress="shear")]
    for details in (apart, same, elsewhere):
        assert judge_points(assessed(details, [0, 100e3, 0], 1e5)) == ()


def test_toe_is_not_combined_with_shear_in_the_throat_of_the_same_weld():
    details = [
        made("toe", 0.3, "8.5-1-71", point="weld"),
        made("across", 0.3, "8.5-3", point="weld"),
        made("along", 0.5, "8.5-3t", point="weld", stress="shear"),
    ]
    titles = {check.title.partition(", damage")[0] for check in judge_points(assessed(details, [0, 100e3, 0], 1e5))}
    assert {title for title in titles if "toe" in title} == set()
    assert any("across and along" in title for title in titles)


def test_point_is_not_judged_where_one_of_its_details_is_not():
    details = [
        made("plate", 0.3, "8.1-10", point="hole"),
        made("shear", 0.5, 100, point="hole", stress="shear"),
    ]
    (check,) = judge_points(assessed(details, [0, 100e3, 0], 1e5))
    assert (check.state, check.reason) == ("not judged", "not judged by itself: plate")


def test_own_partial_factor_stands_in_place_of_table_3_1_and_is_told_as_a_deviation():
    factors = en1993.partial_factors("safe life", "high", gamma_Mf=1.25, because="national annex")
    assert (factors.gamma_Mf, factors.recommended, factors.gamma_Ff) == (1.25, 1.35, 1.0)
    assert en1993.deviation(factors) == (
        "gamma_Mf 1.25 in place of the 1.35 that EN 1993-1-9:2005, Table 3.1, recommends for safe life, high "
        "consequence; given by the user: national annex"
    )
    assert en1993.deviation(en1993.partial_factors("safe life", "high")) == ""
    (own,) = assessed([made("toe", 1.0, 71)], [0, 100e3, 0], 1e5, gamma_Mf=1.25, because="national annex")
    assert own.result.damage == pytest.approx(1e5 / (2e6 * (71 / 125) ** 3), rel=1e-4)


@pytest.mark.parametrize(
    ("given", "wording"),
    [
        ({"gamma_Mf": 1.25}, r"gamma_Mf 1.25 in place of the recommended 1.35 needs its ground: give because"),
        ({"gamma_Mf": 0.9, "because": "x"}, r"gamma_Mf must not be below 1, got 0.9"),
        ({"gamma_Mf": float("nan"), "because": "x"}, r"gamma_Mf must be finite, got nan"),
    ],
)
def test_refused_partial_factor_says_what_would_do(given, wording):
    with pytest.raises(InputError, match=wording):
        en1993.partial_factors("safe life", "high", **given)


def test_damage_by_ranges_of_fewer_than_1e4_cycles_is_not_judged_in_words_of_the_user():
    """600 MPa on 71 lasts 3314 cycles."""
    (outcome,) = assessed([made("toe", 1.0, 71)], [0, 600e3, 0], 100.0)
    assert (outcome.state, outcome.check.state) == ("not judged", "not judged")
    assert "the detail would not last 10,000 cycles of them; life curves are not drawn there" in outcome.check.reason
    assert "The largest range, 600 MPa, occurs in 'lifts': see whether it is real" in outcome.check.reason
    assert outcome.result.few_cycles_damage == pytest.approx(outcome.result.damage)


def test_few_large_cycles_of_less_than_a_hundredth_of_the_damage_are_told_and_judged():
    force = [0, 450e3, 0] + [0, 200e3] * 2000 + [0]
    (outcome,) = assessed([made("toe", 1.0, 71)], force, 10.0)
    result = outcome.result
    assert 0.0 < result.few_cycles_damage <= 0.01 * result.damage
    assert outcome.check.state == "holds"
    assert any("alone lasts fewer than 10000 cycles" in text for text in result.remarks)


def test_damage_that_fails_without_the_large_ranges_still_fails():
    force = [0, 600e3, 0] + [0, 200e3] * 200 + [0]
    (outcome,) = assessed([made("toe", 1.0, 71)], force, 2000.0)
    assert outcome.result.few_cycles_damage > 0.01 * outcome.result.damage
    assert outcome.check.state == "fails"
