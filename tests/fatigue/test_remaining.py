import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.remaining import allowed_damage, remaining_life, with_past
from loadhistories.figures import FAILS, NOT_JUDGED
from loadhistories.validation import InputError


def life(**changes):
    return remaining_life(
        **{"past_damage": 0.4, "damage": 0.5, "allowed": 1.0, "served": 20.0, "design_life": 25.0} | changes
    )


def test_remaining_life_by_hand():
    # 0.5 in 25 years is 0.02 a year; of the allowed 1.0 there is 0.6 left: 30 years.
    found = life()
    assert (found.rate, found.remaining, found.total_damage) == pytest.approx((0.02, 30.0, 0.9))
    assert found.text == "from now on"
    assert life(allowed=0.5).remaining == pytest.approx(5.0)


def test_a_detail_used_up_by_earlier_duty_has_no_life_left():
    assert life(past_damage=1.2).remaining == 0.0
    assert life(past_damage=1.0, damage=0.0).text.startswith("none: earlier duty has used up")


def test_without_damage_to_come_there_is_no_end():
    found = life(damage=0.0)
    assert found.remaining is None and found.text.startswith("no end")


@given(st.floats(0.0, 2.0), st.floats(0.01, 2.0))
def test_remaining_life_reaches_the_design_life_exactly_where_the_damage_holds(past, damage):
    found = life(past_damage=past, damage=damage)
    if abs(found.total_damage - 1.0) > 1e-9:
        assert (found.remaining >= 25.0) == (found.total_damage <= 1.0)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"past_damage": -0.1}, r"past damage must not be below 0, got -0\.1"),
        ({"served": 0.0}, "years served must be above 0, got 0"),
        ({"allowed": float("nan")}, "damage allowed must be finite"),
    ],
)
def test_what_is_no_damage_and_no_time_is_refused(changes, words):
    with pytest.raises(InputError, match=words):
        life(**changes)


def test_earlier_duty_is_a_check_of_its_own_and_decides(toe_outcome):
    assert allowed_damage(toe_outcome) == 1.0
    held = with_past(toe_outcome, life())
    assert held.state == toe_outcome.state and held.checks[-1].utilisation == pytest.approx(0.9)
    failed = with_past(toe_outcome, life(past_damage=0.7))
    assert failed.state == FAILS and failed.checks[-1].id == "fatigue:1:past"


def test_earlier_duty_that_cannot_be_judged_is_not_judged(toe_outcome):
    found = with_past(toe_outcome, None, reason="why")
    assert found.state == NOT_JUDGED and found.checks[-1].reason == "why"


@pytest.fixture(scope="module")
def toe_outcome():
    import numpy as np

    from fatigue.assessment import StressWalk, assess_details
    from fatigue.detail import detail
    from fatigue.stress import stress_per_component

    toe = detail("toe", standard="EN 1993", category=71, recipe=stress_per_component({"Fy": 1.0}), yield_strength=355.0)
    walk = StressWalk([toe])
    walk.feed(np.array([[0.0], [1.0], [0.0], [0.0], [0.0], [0.0]]) * np.array([0.0, 40.0, -40.0, 0.0]))
    return assess_details(
        [toe], [walk.counts()], blocks=[("running", 1e5)], standard="EN 1993",
        basis={"concept": "safe life", "consequence": "high"}, design_life=25 * 31_557_600.0, slips=False,
        permanent=np.zeros(6),
    )[0]  # fmt: skip
