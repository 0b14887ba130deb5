import math
import tomllib
from pathlib import Path

import pytest

from fatigue.crack_toe import WeldToe, toe_factor
from fatigue.cracks import EdgeCrack, PlainCrack, SurfaceCrack, collapse_share
from loadhistories.figures import recomputed
from loadhistories.tables import read_table
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "growth.toml").read_text())["case"]
WIDE = math.inf


def test_shallow_half_circle_has_the_factors_of_newman_and_raju_1981():
    case = CASES["shallow_half_circle"]
    deepest, surface = SurfaceCrack(1e9, WIDE, 0.0).intensities(1.0, 1.0)
    assert deepest.membrane == pytest.approx(case["expected"]["deepest"], rel=case["tolerance_rel"])
    assert surface.membrane == pytest.approx(case["expected"]["surface"], rel=case["tolerance_rel"])


@pytest.mark.parametrize("number", range(4))
def test_flat_surface_crack_agrees_with_the_finite_elements_of_raju_and_newman_1979(number):
    case = CASES["finite_elements_tension"]
    slim, deep = case["inputs"]["depth_over_half_length"], case["inputs"]["depth_over_thickness"][number]
    depth = 20.0 * deep
    for tip, place in zip(SurfaceCrack(20.0, WIDE, 0.0).intensities(depth, depth / slim), ("deepest", "surface"),
                          strict=True):  # fmt: skip
        expected = case["expected"][place][number]
        assert tip.membrane * math.sqrt(tip.shape) == pytest.approx(expected, rel=case["tolerance_rel"]), place


def test_edge_crack_half_through_has_the_handbook_factors_of_tada_paris_and_irwin():
    case = CASES["edge_crack_half_through"]
    (tip,) = EdgeCrack(100.0, 0.0).intensities(50.0)
    assert tip.membrane == pytest.approx(case["expected"]["tension"], rel=case["tolerance_rel"])
    assert tip.bending == pytest.approx(case["expected"]["bending"], rel=case["tolerance_rel"])


def test_short_edge_crack_is_that_of_a_half_plane_by_hand():
    (tip,) = EdgeCrack(WIDE, 0.0).intensities(2.0)
    assert tip.per_stress == pytest.approx(1.12 * math.sqrt(math.pi * 2.0), rel=1e-12)
    (near,) = EdgeCrack(1e7, 1.0).intensities(2.0)
    assert near.per_stress == pytest.approx(tip.per_stress, rel=1e-5)


def test_plain_crack_takes_the_factor_of_the_user():
    (tip,) = PlainCrack(0.8).intensities(4.0)
    assert tip.per_stress == pytest.approx(0.8 * math.sqrt(4.0 * math.pi), rel=1e-12)
    assert PlainCrack(0.8).ends() == () and PlainCrack(0.8).reference_stress(4.0) is None


def test_bending_of_a_deep_surface_crack_matters_less_than_tension_at_its_deepest_point():
    deepest, surface = SurfaceCrack(20.0, 400.0, 0.0).intensities(12.0, 20.0)
    assert deepest.bending < 0.5 * deepest.membrane
    assert surface.bending > deepest.bending


def test_weld_toe_factor_by_hand_from_the_rule_of_bs_7910():
    near = toe_factor(WeldToe(60.0), "membrane", depth=1.0, thickness=20.0)
    assert near.factor == pytest.approx(0.615 * (1 / 20) ** -0.31, rel=1e-12)
    short = toe_factor(WeldToe(20.0), "membrane", depth=0.4, thickness=20.0)
    assert short.factor == pytest.approx(0.51 * 0.02**-0.31, rel=1e-12)
    deep = toe_factor(WeldToe(10.0), "bending", depth=1.0, thickness=20.0)
    assert deep.factor == pytest.approx(0.68 * 0.05 ** (-0.19 * 0.5**0.21), rel=1e-12)


@pytest.mark.parametrize("load", ["membrane", "bending"])
@pytest.mark.parametrize("reach", [8.0, 30.0, 200.0])
def test_weld_toe_factor_never_falls_below_1_and_falls_with_depth(load, reach):
    depths = (0.15, 0.3, 0.7, 2.0, 9.0, 24.0)
    factors = [toe_factor(WeldToe(reach), load, depth=depth, thickness=25.0).factor for depth in depths]
    assert factors[0] > 1.3 and factors[-1] == 1.0
    assert factors == sorted(factors, reverse=True)


@pytest.mark.parametrize("key", list(read_table("fatigue", "crack_toe")))
def test_weld_toe_factor_steps_by_no_more_than_three_percent_where_its_table_changes(key):
    row = read_table("fatigue", "crack_toe")[key]
    reach = 1.0 if math.isinf(row["longest_L_over_t"]) else row["longest_L_over_t"]
    place = row["near_limit"] * reach ** row["near_limit_exponent"]
    near = row["near_v"] * reach ** row["near_v_exponent"] * place ** row["near_w"]
    far = row["far_v"] * place ** (row["far_w"] * reach ** row["far_w_exponent"])
    assert near == pytest.approx(far, rel=0.03)


def test_the_ends_of_a_surface_crack_at_a_weld_feel_the_toe_0_15_mm_deep():
    deepest, surface = SurfaceCrack(20.0, 400.0, 0.4, WeldToe(40.0)).intensities(2.0, 5.0)
    assert [item.place for item in deepest.toe] == [2.0, 2.0]
    assert [item.place for item in surface.toe] == [0.15, 0.15]
    plain, _ = SurfaceCrack(20.0, 400.0, 0.4).intensities(2.0, 5.0)
    assert deepest.per_stress > plain.per_stress and deepest.plain_factor == plain.plain_factor


def test_every_formula_of_a_crack_gives_its_number():
    cracks = [
        PlainCrack(1.1).intensities(3.0),
        EdgeCrack(60.0, 0.3, WeldToe(25.0)).intensities(9.0),
        SurfaceCrack(20.0, 300.0, 0.3, WeldToe(30.0)).intensities(3.0, 6.0),
    ]
    for tip in [tip for tips in cracks for tip in tips]:
        for result in (tip, *getattr(tip, "toe", ())):
            for figure, stored, again in recomputed(result):
                assert again == pytest.approx(stored, rel=1e-12), figure.symbol


def test_reference_stress_of_bs_7910_by_hand():
    assert collapse_share(0.0, 0.0) == pytest.approx(1.0)
    assert collapse_share(0.2, 0.0) == pytest.approx(1 / 0.8)
    assert collapse_share(0.2, 1.0) == pytest.approx(2 / (3 * 0.64))
    assert collapse_share(0.2, 0.0, free_to_bend=True) > collapse_share(0.2, 0.0)
    assert math.isinf(collapse_share(1.0, 0.0))
    assert EdgeCrack(WIDE, 0.0).reference_stress(3.0) is None
    wide, narrow = SurfaceCrack(10.0, 200.0, 0.0), SurfaceCrack(10.0, 50.0, 0.0)
    assert wide.reference_stress(5.0, 20.0) == pytest.approx(1 / (1 - 0.5 / 1.5))
    assert narrow.reference_stress(5.0, 20.0) == pytest.approx(1 / (1 - 2 * 5 * 20 / 500))


def test_the_ends_of_the_shapes_are_those_of_their_formulas():
    assert {name: share(30.0) for name, share in EdgeCrack(50.0, 0.0).ends()} == {
        "end of the range of the stress intensity, by depth": pytest.approx(1.0)
    }
    ends = dict(SurfaceCrack(20.0, 160.0, 0.0).ends())
    assert ends["crack through the plate"](20.0, 30.0) == 1.0
    assert ends["end of the range of the stress intensity, by length"](5.0, 40.0) == 1.0
    assert ends["end of the range of the stress intensity, flat crack"](17.5, 175.0) == pytest.approx(1.0)
    assert ends["end of the range of the stress intensity, round crack"](5.0, 4.9) > 1.0


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: PlainCrack(0.0), "shape factor must be above 0, got 0"),
        (lambda: EdgeCrack(WIDE, 0.5), "need the plate's width"),
        (lambda: EdgeCrack(WIDE, 0.0, WeldToe(20.0)), "need the plate's width"),
        (lambda: EdgeCrack(-3.0, 0.0), "width must be above 0 mm, got -3"),
        (lambda: SurfaceCrack(20.0, 300.0, 1.2), "share of bending must lie from 0 to 1, got 1.2"),
        (lambda: SurfaceCrack(0.0, 300.0, 0.0), "thickness must be above 0 mm"),
        (lambda: WeldToe(0.0), "reach of the weld from toe to toe must be above 0 mm"),
        (lambda: SurfaceCrack(20.0, 30.0, 0.0).intensities(19.0, 20.0), "does not fit a plate 30 mm wide"),
        (lambda: toe_factor(WeldToe(9.0), "torsion", depth=1.0, thickness=10.0), "load at a weld toe 'torsion'"),
    ],
)
def test_refused_cracks_say_why(make, words):
    with pytest.raises(InputError, match=words):
        make()
