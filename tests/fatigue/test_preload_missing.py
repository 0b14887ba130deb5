"""A bolted lap of AISC 360: what it may be judged as depends on the pretension of its bolts, not only on slip."""

import numpy as np
import pytest

from fatigue.assessment import StressWalk, assess_details
from fatigue.detail import detail
from fatigue.standards import aisc360, en1993
from fatigue.stress import stress_of_net_section, stress_of_section
from loadhistories.blocks import block_of_arrays

GROSS = stress_of_section("x", area=2000.0, on="gross")
NET = stress_of_net_section("Fx", width=200, thickness=10, holes=2, hole_diameter=22)


def lap(category="2.1", **more):
    recipe = GROSS if category == "2.1" else NET
    return detail("lap", standard="AISC 360-22", category=category, recipe=recipe, **more)


def judged(item, *, slips, preloaded, forces=(-20e3, 60e3, -20e3)):
    block = block_of_arrays("running", {"Fx": np.array(forces, dtype=float)}, step=1.0, repeats=1e5)
    walk = StressWalk([item])
    for chunk in block.chunks():
        walk.feed(chunk)
    (outcome,) = assess_details(
        [item], [walk.counts()], blocks=[("running", 1e5)], standard="AISC 360-22", basis={"equations": "US"},
        design_life=1e9, slips=slips, permanent=np.zeros(6), preloaded=preloaded,
    )  # fmt: skip
    return outcome


def test_pretensioned_bolts_that_slip_leave_category_b_on_the_net_section():
    outcome = judged(lap(net=NET), slips=True, preloaded=True)
    assert (outcome.detail.category, outcome.detail.row.letter) == ("2.2", "B")
    assert outcome.result.largest_range == pytest.approx(80e3 / 1560)


@pytest.mark.parametrize("item", [lap(), lap(net=NET), lap("2.2"), lap("2.3")])
def test_bolts_without_pretension_under_cyclic_shear_are_not_judged_by_any_row_of_laps(item):
    outcome = judged(item, slips=True, preloaded=False)
    assert (outcome.state, outcome.result, outcome.instead_of) == ("not judged", None, None)
    assert "not pretensioned under cyclic shear are outside the Specification (ANSI/AISC 360-22" in outcome.reason


def test_a_joint_that_slips_with_nobody_knowing_of_its_pretension_is_not_judged():
    outcome = judged(lap(net=NET), slips=True, preloaded=None)
    assert outcome.state == "not judged" and "whether its bolts are pretensioned is not known" in outcome.reason


def test_pretension_that_is_not_known_leaves_the_row_that_the_user_chose_and_a_joint_that_grips():
    assert judged(lap("2.2"), slips=None, preloaded=None).result is not None
    assert judged(lap(), slips=False, preloaded=None).result is not None


def test_a_detail_away_from_the_bolts_does_not_ask_for_pretension():
    other = detail("toe", standard="AISC 360-22", category="E", recipe=GROSS)
    assert aisc360.preload_missing(other, slips=True, preloaded=False) == ""
    assert judged(other, slips=True, preloaded=False).result is not None


def test_en_1993_has_a_category_for_bolts_without_preload_and_asks_for_none():
    assert not hasattr(en1993, "preload_missing")
