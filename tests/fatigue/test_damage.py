import math
import tomllib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.accumulation import life, range_shares
from fatigue.curves import life_curve
from fatigue.detail import detail
from fatigue.standards import en1993
from fatigue.stress import stress_of_shear_area, stress_per_component
from loadhistories.figures import recomputed
from loadhistories.occurrence import YEAR

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_en1993.toml").read_text())["case"]
NORMAL = stress_per_component({"Fy": 1.0})
SHEAR = stress_of_shear_area("Fy", 1.0)


@dataclass(frozen=True)
class Spectrum:
    """Counted cycles without a history behind them."""

    ranges: np.ndarray
    means: np.ndarray
    counts: np.ndarray

    def repeated(self, repeats):
        return Spectrum(self.ranges, self.means, self.counts * repeats)


def spectrum(ranges, counts, means=None):
    ranges = np.array(ranges, dtype=float)
    means = np.zeros_like(ranges) if means is None else np.array(means, dtype=float)
    return Spectrum(ranges, means, np.array(counts, dtype=float))


def judged_damage(spectra, repeats, *, category=80, recipe=NORMAL, concept="safe life", permanent_stress=0.0, **kw):
    return en1993.detail_damage(
        detail("plate", standard="EN 1993", category=category, recipe=recipe, **kw),
        spectra,
        blocks=[(f"block {k}", r) for k, r in enumerate(repeats)],
        factors=en1993.partial_factors(concept, "high"),
        design_life=25 * YEAR,
        permanent_stress=permanent_stress,
    )


CASE = CASES["damage_of_a_spectrum"]
WHOLE = spectrum(CASE["inputs"]["ranges"], CASE["inputs"]["counts"])


def test_damage_of_a_detail_is_that_of_en_1993_1_9_annex_a_with_gamma_mf_1_35():
    result = judged_damage([WHOLE], [1.0])
    expected = CASE["expected"]
    assert result.gamma_Mf == 1.35
    assert result.design_strength == pytest.approx(expected["strength"], rel=CASE["tolerance_rel"])
    assert result.design_knee == pytest.approx(expected["knee"], rel=CASE["tolerance_rel"])
    assert result.design_cut_off == pytest.approx(expected["cut_off"], rel=CASE["tolerance_rel"])
    assert result.damage == pytest.approx(expected["damage"], rel=CASE["tolerance_rel"])
    assert result.largest_range == 90.0
    assert result.cycles == pytest.approx(6_260_000)
    assert result.life == pytest.approx(25 / result.damage)


def test_life_in_years_is_design_life_over_damage():
    case = CASES["life_in_years"]
    years, damage = case["inputs"]["design_life"], case["inputs"]["damage"]
    assert life(years, damage) == case["expected"]["life"]
    assert life(years, damage, allowed=0.5) == case["expected"]["life_at_half"]


def test_spectrum_below_the_cut_off_has_no_end_of_life_and_says_so():
    result = judged_damage([spectrum([20.0], [1e9])], [1.0])
    assert (result.damage, result.life, result.equivalent_range) == (0.0, None, 0.0)
    assert result.life_text == "no end: every stress range lies below the cut-off"


def test_equivalent_range_at_2e6_cycles_alone_does_the_same_damage_above_the_knee():
    result = judged_damage([spectrum([90.0, 70.0], [5e5, 4e5])], [1.0])
    assert result.equivalent_range > result.design_knee
    assert result.curve.damage([result.equivalent_range], [2e6]) == pytest.approx(result.damage, rel=1e-12)


def test_equivalent_shear_range_at_2e6_cycles_alone_does_the_same_damage():
    result = judged_damage([spectrum([60.0, 50.0], [5e5, 4e6])], [1.0], recipe=SHEAR)
    assert result.slope == 5.0
    assert result.curve.damage([result.equivalent_range], [2e6]) == pytest.approx(result.damage, rel=1e-12)


def test_stress_utilisation_and_damage_reach_one_together():
    at_one = judged_damage([spectrum([80 / 1.35], [2e6])], [1.0])
    assert at_one.damage == pytest.approx(1.0, rel=1e-12)
    assert at_one.stress_utilisation == pytest.approx(1.0, rel=1e-12)
    half = judged_damage([spectrum([80 / 1.35], [1e6])], [1.0])
    assert half.stress_utilisation == pytest.approx(0.5 ** (1 / 3), rel=1e-12)


@pytest.mark.parametrize(
    "result",
    [
        judged_damage([WHOLE, WHOLE], [1.0, 7.5], yield_strength=355.0),
        judged_damage([WHOLE], [1.0], recipe=SHEAR, yield_strength=355.0),
        judged_damage([spectrum([10.0], [1.0])], [1.0]),
        judged_damage([WHOLE], [2.0], category="8.3-5", thickness=40.0),
        judged_damage([WHOLE], [2.0], category="8.5-10", recipe=SHEAR),
    ],
    ids=["normal", "shear", "endless", "thick plate", "stud"],
)
def test_every_formula_gives_the_stored_number(result):
    for part in (result, *result.blocks, *([result.limit] if result.limit else [])):
        for figure, stored, computed in recomputed(part):
            assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


def test_stud_has_no_cut_off():
    result = judged_damage([spectrum([5.0], [1.0])], [1.0], category="8.5-10", recipe=SHEAR)
    assert result.design_cut_off is None
    assert result.damage > 0.0


def test_largest_range_is_held_against_1_5_times_the_yield_strength_of_en_1993_1_9_8():
    normal = judged_damage([WHOLE], [1.0], yield_strength=355.0).limit
    shear = judged_damage([WHOLE], [1.0], recipe=SHEAR, yield_strength=355.0).limit
    assert (normal.limit, normal.largest_range) == (532.5, 90.0)
    assert shear.limit == pytest.approx(532.5 / math.sqrt(3), rel=1e-12)


def test_unknown_yield_strength_and_few_cycles_and_companion_details_are_remarked():
    result = judged_damage([spectrum([500.0], [1.0])], [1.0], category="8.5-1-80")
    told = " | ".join(result.remarks)
    assert "not compared with the yield strength" in told
    assert "500 MPa alone lasts fewer than 10000 cycles" in told
    assert "to be judged beside this detail, as far as they apply: 8.5-3, 8.5-3t" in told


def test_compression_counts_in_part_only_where_the_detail_is_said_to_be_free_of_welding_stress():
    cycles = spectrum([160.0], [1e5], means=[-20.0])
    full = judged_damage([cycles], [1.0], category="8.1-4")
    part = judged_damage([cycles], [1.0], category="8.1-4", free_of_welding_stress="non-welded")
    assert part.damage / full.damage == pytest.approx((120 / 160) ** 3, rel=1e-12)
    assert part.largest_range == 160.0
    assert any("60% of the compression part" in remark for remark in part.remarks)


def test_permanent_stress_moves_the_compression_part():
    cycles = spectrum([160.0], [1e5], means=[-20.0])
    pulled = judged_damage(
        [cycles], [1.0], category="8.1-4", free_of_welding_stress="non-welded", permanent_stress=100.0
    )
    assert pulled.damage == pytest.approx(judged_damage([cycles], [1.0], category="8.1-4").damage, rel=1e-12)


def test_mean_stress_changes_nothing_at_a_welded_detail():
    shifted = spectrum(WHOLE.ranges, WHOLE.counts, means=WHOLE.ranges)
    assert judged_damage([shifted], [1.0]).damage == judged_damage([WHOLE], [1.0]).damage


def test_shares_by_range_add_up_to_the_whole():
    curve = life_curve("EN 1993", 80, gamma_Mf=1.35)
    shares = range_shares(curve, WHOLE.ranges, WHOLE.counts)
    assert sum(item.share for item in shares) == pytest.approx(1.0)
    assert sum(item.cycles for item in shares) == pytest.approx(WHOLE.counts.sum())
    assert sum(item.damage for item in shares) == pytest.approx(curve.damage(WHOLE.ranges, WHOLE.counts))
    assert [item.upper for item in shares if item.lower < 90.0 <= item.upper] == [90.0]
    assert all(item.lower < item.upper for item in shares)


def test_no_cycles_have_no_shares_and_no_damage():
    result = judged_damage([spectrum([], [])], [10.0])
    assert (result.damage, result.largest_range, result.share_by_range) == (0.0, 0.0, ())


@given(
    st.lists(
        st.tuples(st.lists(st.tuples(st.floats(0, 300), st.floats(0.5, 1e4)), max_size=5), st.floats(1, 1e3)),
        min_size=1,
        max_size=4,
    )
)
def test_order_of_blocks_does_not_matter_and_their_damages_add(blocks):
    spectra = [spectrum(*(zip(*pairs, strict=True) if pairs else ([], []))) for pairs, _ in blocks]
    repeats = [number for _, number in blocks]
    forward = judged_damage(spectra, repeats)
    backward = judged_damage(spectra[::-1], repeats[::-1])
    alone = [judged_damage([one], [number]).damage for one, number in zip(spectra, repeats, strict=True)]
    assert forward.damage == backward.damage
    assert forward.damage == math.fsum(alone)


@given(st.floats(1.0, 3.0), st.floats(0.0, 300.0))
def test_damage_of_a_larger_stress_never_falls_below_that_of_the_smaller(factor, stress):
    small = judged_damage([spectrum([stress], [1e4])], [1.0]).damage
    assert judged_damage([spectrum([stress * factor], [1e4])], [1.0]).damage >= small * (1 - 1e-12)
