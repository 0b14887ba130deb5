import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.assessment import StressWalk, assess_details
from fatigue.curves import life_curve
from fatigue.cycles import count_cycles
from fatigue.damage import YEAR
from fatigue.detail import detail
from fatigue.stress import stress_of_shear_area, stress_per_component
from loadhistories.blocks import block_of_arrays
from loadhistories.validation import InputError

RNG = np.random.default_rng(7)
HISTORY = {"Fy": RNG.normal(20e3, 40e3, 5000), "Mz": RNG.normal(0, 5e6, 5000)}
BLOCK = block_of_arrays("running", HISTORY, step=0.01, repeats=1000.0, chunk=700)
TOE = detail(
    "weld toe",
    standard="EN 1993",
    category="8.4-1b",
    recipe=stress_per_component({"Fy": 4e-4, "Mz": 2e-6}),
    yield_strength=355.0,
)
THROAT = detail("throat", standard="EN 1993", category=80, recipe=stress_of_shear_area("Fy", 2000.0))
NOTHING = np.zeros(6)


def counted(details, *blocks):
    found = []
    for block in blocks:
        walk = StressWalk(details)
        for chunk in block.chunks():
            walk.feed(chunk)
        found.append(walk.counts())
    return found


def outcomes(details, *blocks, slips=False, permanent=NOTHING, **changes):
    given_ = {
        "blocks": [(block.name, block.repeats) for block in blocks],
        "standard": "EN 1993",
        "basis": {"concept": "safe life", "consequence": "low"},
        "design_life": 25 * YEAR,
        "slips": slips,
        "permanent": permanent,
    }
    return assess_details(details, counted(details, *blocks), **(given_ | changes))


def steady(force, name="steady", repeats=10.0):
    return block_of_arrays(name, {"Fy": np.array(force, dtype=float)}, step=1.0, repeats=repeats)


def bolted(category, **sizes):
    return detail("plate", standard="EN 1993", category=category, recipe=stress_per_component({"Fy": 1e-3}), **sizes)


def test_walk_in_chunks_counts_the_stress_history_of_each_detail():
    (toe, throat), = counted([TOE, THROAT], BLOCK)
    whole = count_cycles(4e-4 * HISTORY["Fy"] + 2e-6 * HISTORY["Mz"])
    assert np.sort(toe.ranges) == pytest.approx(np.sort(whole.ranges), rel=1e-12)
    assert toe.counts.sum() == whole.counts.sum()
    assert throat.counts.sum() == count_cycles(HISTORY["Fy"] / 2000.0).counts.sum()


def test_damage_of_a_detail_is_that_of_its_history_on_the_design_curve():
    (outcome,) = outcomes([TOE], BLOCK)
    whole = count_cycles(4e-4 * HISTORY["Fy"] + 2e-6 * HISTORY["Mz"])
    by_hand = 1000 * life_curve("EN 1993", 71, gamma_Mf=1.15).damage(whole.ranges, whole.counts)
    assert outcome.result.damage == pytest.approx(by_hand, rel=2e-3)
    assert outcome.check.demand == outcome.result.damage
    assert (outcome.check.resistance, outcome.check.clause) == (1.0, "EN 1993-1-9:2005, 8(4), A.5")


def test_one_cycle_repeated_is_judged_as_worked_by_hand():
    """0 to 100 kN gives 100 MPa; category 71 at 1.15 lasts 2e6 (71 / 115)^3 = 470 664 cycles."""
    toe = detail("toe", standard="EN 1993", category=71, recipe=stress_per_component({"Fy": 1e-3}))
    (outcome,) = outcomes([toe], steady([0, 1e5, 0], repeats=200_000.0))
    assert outcome.result.cycles == pytest.approx(200_000, rel=1e-4)
    assert outcome.result.damage == pytest.approx(200_000 / 470_663.6, rel=1e-4)
    assert outcome.result.life == pytest.approx(25 * 470_663.6 / 200_000, rel=1e-4)
    assert outcome.state == "holds"


def test_more_repeats_than_the_detail_lasts_fail():
    toe = detail("toe", standard="EN 1993", category=71, recipe=stress_per_component({"Fy": 1e-3}))
    (outcome,) = outcomes([toe], steady([0, 1e5, 0], repeats=500_000.0))
    assert (outcome.state, outcome.check.state) == ("fails", "fails")
    assert outcome.result.life < 25.0


def test_range_beyond_1_5_times_the_yield_strength_fails_whatever_the_damage():
    weak = detail(
        "toe", standard="EN 1993", category=71, recipe=stress_per_component({"Fy": 1e-3}), yield_strength=50.0
    )
    (outcome,) = outcomes([weak], steady([0, 1e5, 0], repeats=1.0))
    assert [(check.id, check.state) for check in outcome.checks] == [
        ("fatigue:1", "holds"),
        ("fatigue:1:equivalent", "holds"),
        ("fatigue:1:range", "fails"),
    ]
    assert outcome.state == "fails"


def test_details_are_numbered_in_their_order():
    assert [item.check.id for item in outcomes([TOE, THROAT], BLOCK)] == ["fatigue:1", "fatigue:2"]


def test_gross_section_category_is_not_judged_when_the_joint_slips():
    (outcome,) = outcomes([bolted("8.1-8")], BLOCK, slips=True)
    assert (outcome.state, outcome.result, outcome.blocks) == ("not judged", None, ())
    assert "8.1-8 counts on preloaded bolts that grip (EN 1993-1-9:2005, Table 8.1): the joint slips" in outcome.reason
    assert outcome.check.reason == outcome.reason


def test_gross_section_category_is_not_judged_when_slip_is_not_known():
    (outcome,) = outcomes([bolted("8.1-10")], BLOCK, slips=None)
    assert outcome.state == "not judged"
    assert "whether the joint slips under its fatigue loads is not known" in outcome.reason


def test_gross_section_category_is_judged_while_the_joint_grips():
    (outcome,) = outcomes([bolted("8.1-8")], BLOCK, slips=False)
    assert outcome.result is not None


def test_category_without_reversal_is_not_judged_under_reversed_load():
    (outcome,) = outcomes([bolted("8.1-13")], steady([-1e3, 1e4, -1e3]))
    assert (outcome.state, outcome.reverses) == ("not judged", True)
    assert "no category for normal bolts in clearance holes under reversed load" in outcome.reason


def test_load_that_reverses_only_from_one_block_to_the_next_is_reversed():
    pulls, pushes = steady([1e3, 1e4, 1e3]), steady([-1e3, -1e4, -1e3], name="pushing")
    assert outcomes([bolted("8.1-13")], pulls)[0].state != "not judged"
    assert outcomes([bolted("8.1-13")], pushes)[0].state != "not judged"
    assert outcomes([bolted("8.1-13")], pulls, pushes)[0].state == "not judged"


def test_permanent_load_can_keep_the_load_from_reversing_and_can_make_it_reverse():
    pull = np.array([0, 2e3, 0, 0, 0, 0])
    assert outcomes([bolted("8.1-13")], steady([-1e3, 1e4, -1e3]), permanent=pull)[0].reverses is False
    assert outcomes([bolted("8.1-13")], steady([1e3, 1e4, 1e3]), permanent=-pull)[0].reverses is True


def test_blocks_add_and_their_order_does_not_matter():
    other = steady([0, 2e5, -1e5, 5e4, 0], name="starts", repeats=5000.0)
    (both,), (turned,) = outcomes([TOE], BLOCK, other), outcomes([TOE], other, BLOCK)
    alone = [outcomes([TOE], block)[0].result.damage for block in (BLOCK, other)]
    assert both.result.damage == pytest.approx(sum(alone), rel=1e-12)
    assert turned.result.damage == both.result.damage
    assert [block.name for block in both.blocks] == ["running", "starts"]


@given(st.floats(1.0, 4.0))
def test_scaled_history_never_does_less_damage(factor):
    larger = block_of_arrays(
        "larger", {key: values[:300] * factor for key, values in HISTORY.items()}, step=0.01, repeats=1e4
    )
    base = block_of_arrays("base", {key: values[:300] for key, values in HISTORY.items()}, step=0.01, repeats=1e4)
    assert outcomes([TOE], larger)[0].result.damage >= outcomes([TOE], base)[0].result.damage * (1 - 1e-9)


def test_no_details_give_no_outcomes():
    assert outcomes([], BLOCK) == ()


@pytest.mark.parametrize(
    ("changes", "wording"),
    [
        ({"standard": "EN 1994"}, "standard 'EN 1994' is unknown"),
        ({"basis": {"concept": "safe", "consequence": "low"}}, "concept 'safe' is unknown"),
        ({"design_life": 0.0}, "design life must be above 0 s, got 0"),
        ({"blocks": []}, "a fatigue assessment needs at least one load block"),
        ({"blocks": [("a", 1.0), ("b", 1.0)]}, "2 blocks need 2 sets of counts, got 1"),
        ({"blocks": [("a", 0.0)]}, "repeats of block 'a' must be above 0, got 0"),
        ({"permanent": np.zeros(3)}, "permanent load must have 6 components, got 3"),
        ({"permanent": np.full(6, np.nan)}, "permanent load must be finite, got nan"),
    ],
)
def test_refused_assessment_says_what_would_do(changes, wording):
    with pytest.raises(InputError, match=wording):
        outcomes([TOE], BLOCK, **changes)


def test_counts_that_do_not_match_the_details_are_refused():
    with pytest.raises(InputError, match="block 'running' has counts of 1 stress histories, the details have 2"):
        assess_details(
            [TOE, THROAT],
            counted([TOE], BLOCK),
            blocks=[("running", 1.0)],
            standard="EN 1993",
            basis={"concept": "safe life", "consequence": "low"},
            design_life=YEAR,
            slips=False,
            permanent=NOTHING,
        )
