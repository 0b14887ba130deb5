import tomllib
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.assessment import StressWalk, assess_details
from fatigue.bolt_stress import share_of_standard, share_of_stiffness, stress_of_bolt_tension
from fatigue.curves import life_curve
from fatigue.detail import detail
from fatigue.standards import standard
from loadhistories.blocks import block_of_arrays
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "stress_recipes.toml").read_text())["case"]
ONE = [[0, 0, 1.0, 0, 0, 0]]
# Two bolts 100 mm apart in y: Fz / 2 each, Mx / 100 as a pair.
PAIR = [[0, 0, 0.5, -0.01, 0, 0], [0, 0, 0.5, 0.01, 0, 0]]


def pair(**changes):
    return stress_of_bolt_tension(PAIR, **({"area": 245.0, "prying": 1.0, "share": 0.25, "preload": 172e3} | changes))


def test_force_in_a_preloaded_bolt_of_the_textbook_example():
    case = CASES["preloaded_bolt_load"]
    given_, wanted = case["inputs"], case["expected"]
    share = share_of_stiffness(given_["stiffness_ratio"])
    preload, force = 1e3 * given_["preload_kN"], 1e3 * given_["force_kN"]
    added = stress_of_bolt_tension(ONE, area=1.0, prying=1.0, share=share, preload=preload)
    largest = preload + added.stress_of([0, 0, force, 0, 0, 0])
    assert share.share == pytest.approx(wanted["share"], rel=case["tolerance_rel"])
    assert largest == pytest.approx(1e3 * wanted["bolt_force_kN"], rel=case["tolerance_rel"])
    assert largest / given_["allowable_MPa"] == pytest.approx(wanted["area_mm2"], rel=case["tolerance_rel"])


def test_life_of_a_preloaded_m20_in_cyclic_tension_with_and_without_its_share():
    case = CASES["preloaded_m20"]
    given_, wanted, near = case["inputs"], case["expected"], case["tolerance_rel"]
    load = [0, 0, 1e3 * given_["range_kN"], 0, 0, 0]
    bare = stress_of_bolt_tension(ONE, area=given_["area_mm2"], prying=1.0)
    eased = stress_of_bolt_tension(ONE, area=given_["area_mm2"], prying=1.0, share=given_["share"], preload=172e3)
    assert bare.stress_of(load) == pytest.approx(wanted["bolt_range_without_preload_MPa"], rel=near)
    assert eased.stress_of(load) == pytest.approx(wanted["bolt_range_MPa"], rel=near)
    curve = life_curve("EN 1993", "8.1-14", diameter=given_["diameter_mm"], gamma_Mf=given_["gamma_Mf"])
    assert curve.strength == pytest.approx(wanted["design_strength_MPa"], rel=near)
    assert curve.cycles_to_failure(bare.stress_of(load)) == pytest.approx(wanted["cycles_without_preload"], rel=near)
    assert curve.cycles_to_failure(eased.stress_of(load)) == pytest.approx(wanted["cycles_preloaded"], rel=near)


def test_bolts_of_a_group_share_force_and_moment_each_with_a_history_of_its_own():
    """98 kN on two bolts, a quarter of it over 245 mm2: 50 MPa; 2.45 kNm at 100 mm: 24.5 kN, 25 MPa up and down."""
    made = pair()
    assert made.names == ("bolt 1", "bolt 2")
    assert made.stress_of([0, 0, 98e3, 2.45e6, 0, 0]) == pytest.approx([25.0, 75.0])
    assert (made.stress, made.on) == ("normal", "tensile stress area")


def test_bolts_that_feel_the_same_are_one_history():
    assert stress_of_bolt_tension([[0, 0, 0.25, 0, 0, 0]] * 4, area=245.0, prying=1.0).coefficients.shape == (6,)


@given(st.floats(1.0, 3.0), st.floats(0.01, 1.0))
def test_stress_is_in_proportion_to_prying_and_share(prying, share):
    whole = pair(share=1.0).coefficients
    assert pair(prying=prying, share=share).coefficients == pytest.approx(whole * prying * share)


def bolts(**changes):
    return detail("bolts", standard="EN 1993", category="8.1-14", recipe=pair(**changes), diameter=20.0)


def judged(item, pull, permanent=0.0):
    block = block_of_arrays("running", {"Fz": np.array([0.0, pull, 0.0])}, step=1.0, repeats=10.0)
    walk = StressWalk([item])
    for chunk in block.chunks():
        walk.feed(chunk)
    (outcome,) = assess_details(
        [item], [walk.counts()], blocks=[("running", 10.0)], standard="EN 1993",
        basis={"concept": "safe life", "consequence": "low"}, design_life=1e9, slips=False,
        permanent=np.array([0, 0, permanent, 0, 0, 0]),
    )  # fmt: skip
    return outcome


def test_bolts_pulled_beyond_their_preload_are_not_judged():
    """172 kN on each of two bolts: 344 kN; with prying 1.2 already at 286.7 kN."""
    assert judged(bolts(), 343e3).state != "not judged"
    outcome = judged(bolts(), 345e3)
    assert (outcome.state, outcome.result) == ("not judged", None)
    assert outcome.reason.startswith("bolt 1: the load with prying pulls at a bolt with more than its preload of 172")
    assert judged(bolts(prying=1.2), 286e3).state != "not judged"
    assert judged(bolts(prying=1.2), 287e3).state == "not judged"


def test_permanent_pull_opens_the_joint_as_well():
    assert judged(bolts(), 300e3, permanent=40e3).state != "not judged"
    assert judged(bolts(), 300e3, permanent=50e3).state == "not judged"
    assert judged(bolts(), -10e3, permanent=350e3).state == "not judged"


def test_bolts_that_take_the_whole_force_have_no_preload_to_exceed():
    assert judged(bolts(share=1.0), 345e3).result is not None


def test_the_bolt_that_governs_is_named():
    item = bolts()
    block = block_of_arrays("running", {"Mx": np.array([0.0, 9e6, 0.0]), "Fz": np.array([0.0, 1e5, 0.0])}, step=1.0,
                            repeats=1e6)  # fmt: skip
    walk = StressWalk([item])
    walk.feed(next(block.chunks()))
    (outcome,) = assess_details(
        [item], [walk.counts()], blocks=[("running", 1e6)], standard="EN 1993",
        basis={"concept": "safe life", "consequence": "low"}, design_life=1e9, slips=False, permanent=np.zeros(6),
    )  # fmt: skip
    assert outcome.notes == ("the worst of 2 stress histories governs: bolt 2",)
    assert outcome.detail.recipe.text.endswith("; bolt 2")
    assert outcome.result.largest_range == pytest.approx(0.25 * (50e3 + 90e3) / 245.0)


def test_share_may_be_that_of_the_standard_where_it_states_one():
    rules = SimpleNamespace(bolt_tension_share=lambda *, prying, place: 0.2 if prying < 1.3 else 1.0)
    assert share_of_standard(rules, prying=1.1) == 0.2
    with pytest.raises(InputError, match=r"EN 1993-1-9:2005 gives no share of the force .* give share as a number"):
        share_of_standard(standard("EN 1993"), prying=1.0)


@pytest.mark.parametrize(
    ("changes", "wording"),
    [
        ({"prying": 0.9}, "prying must not be below 1, which stands for none, got 0.9"),
        ({"share": None}, "a preloaded bolt takes only part of an outer force: give its share"),
        ({"share": 1.2}, "share of the force must not be above 1, got 1.2"),
        ({"share": 0.0}, "share of the force must be above 0, got 0"),
        ({"preload": 0.0}, "a bolt without preload takes the whole force, got a share of 0.25"),
        ({"area": -1.0}, "tensile stress area must be above 0 mm2, got -1"),
    ],
)
def test_refused_bolts_say_what_would_do(changes, wording):
    with pytest.raises(InputError, match=wording):
        pair(**changes)


def test_forces_of_no_bolt_or_of_the_wrong_shape_are_refused():
    with pytest.raises(InputError, match=r"must have shape \(n_bolts, 6\), got \(0,\)"):
        stress_of_bolt_tension([], area=245.0, prying=1.0)
    with pytest.raises(InputError, match="no load pulls at the bolts"):
        stress_of_bolt_tension([[1.0, 0, 0, 0, 0, 0]], area=245.0, prying=1.0)
