"""The life of a detail from several sides, on histories whose damage is known by hand."""

import math
from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.assessment import StressWalk, assess_details
from fatigue.curves import life_curve
from fatigue.detail import detail
from fatigue.given import damage_of_parts, given_cycles, judged_alone, smallest_damaging
from fatigue.outlook import outlook
from fatigue.resampling import LifeInterval, NoInterval, life_interval
from fatigue.sensitivity import life_at_other_stress
from fatigue.stress import stress_per_component
from fatigue.timed import TimedWalk, timed_count
from fatigue.timeline import TimedBlock, damage_curves, half_of_damage
from loadhistories.validation import InputError

YEAR = 31_557_600.0
YEARS = 25.0
STEP = 0.1
NONE = np.zeros(6)
GAMMA_MF = 1.35
TOE = detail("toe", standard="EN 1993", category=71, recipe=stress_per_component({"Fy": 1.0}))
FREE = detail(
    "free", standard="EN 1993", category=71, recipe=stress_per_component({"Fy": 1.0}),
    free_of_welding_stress="stress-relieved",
)  # fmt: skip
JUDGE = partial(
    assess_details, standard="EN 1993", basis={"concept": "safe life", "consequence": "high"},
    design_life=YEARS * YEAR, slips=False,
)  # fmt: skip


def judged(*histories, repeats=1000.0, given=TOE, event=False):
    """Outcome, cycles and timed blocks of stress histories."""
    counts, points = [], []
    for values in histories:
        loads = np.zeros((6, len(values)))
        loads[1] = values
        walk = StressWalk([given])
        walk.feed(loads)
        counts.append(walk.counts())
        points.append(loads)
    names = [f"load {number}" for number in range(1, len(histories) + 1)]
    (outcome,) = JUDGE([given], counts, blocks=[(name, repeats) for name in names], permanent=NONE)
    blocks = []
    for name, loads, (count,), part in zip(names, points, counts, outcome.blocks, strict=True):
        walk = TimedWalk(given.histories, [smallest_damaging(outcome.result)])
        walk.feed(loads)
        (found,) = walk.points()
        blocks.append(
            TimedBlock(
                name, repeats, STEP, event, part.damage, timed_count(found), found.values, found.places, count.extremes
            )
        )
    return outcome, [given_cycles(count, repeats) for (count,) in counts], blocks


def waves(*amplitudes):
    """Full waves from zero, ten samples each: peak at the fourth, valley at the eighth sample."""
    wave = np.array([0.0, 0.4, 0.8, 1.0, 0.5, 0.0, -0.5, -1.0, -0.8, -0.4])
    return np.concatenate([amplitude * wave for amplitude in amplitudes])


def random_stress(n, deviation, seed):
    """A record of one kind of working: smoothed noise."""
    noise = np.random.default_rng(seed).standard_normal(n + 6)
    smooth = np.convolve(noise, np.ones(4) / 2.0, mode="valid")[:n]
    return deviation * smooth


def endurance(stress_range):
    return life_curve("EN 1993", 71, gamma_Mf=GAMMA_MF).cycles_to_failure(stress_range)


# sensitivity


def test_life_at_other_stress_of_two_blocks_by_hand():
    # 100 MPa and 42 MPa on category 71 / 1.35 = 52.59 MPa with its knee at 38.75 and its cut-off at 21.27 MPa.
    outcome, cycles, _ = judged(waves(*[50.0] * 20), waves(*[21.0] * 30))
    for found in life_at_other_stress(outcome, cycles, judge=JUDGE, permanent=NONE):
        by_hand = 20 * 1000 / endurance(100 * found.stress_factor) + 30 * 1000 / endurance(42 * found.stress_factor)
        assert found.damage == pytest.approx(by_hand, rel=1e-3)
        assert found.life == pytest.approx(YEARS / found.damage)
    factors = [found.stress_factor for found in life_at_other_stress(outcome, cycles, judge=JUDGE, permanent=NONE)]
    assert factors == [0.9, 0.95, 1.05, 1.1]


def test_stress_that_comes_above_the_cut_off_is_counted_with_its_damage():
    # 20.5 MPa lies below the cut-off of 21.27 MPa, five per cent more lies above it.
    outcome, cycles, _ = judged(waves(*[10.25] * 20))
    assert outcome.result.damage == 0.0
    low, _, high, _ = life_at_other_stress(outcome, cycles, judge=JUDGE, permanent=NONE)
    assert (low.damage, low.life) == (0.0, None) and low.text.startswith("no end")
    assert high.damage == pytest.approx(20_000 / endurance(20.5 * 1.05), rel=1e-3)


@given(st.lists(st.floats(1.0, 200.0), min_size=2, max_size=12), st.floats(0.6, 1.5))
def test_at_a_factor_the_damage_is_that_of_the_history_times_the_factor(amplitudes, factor):
    outcome, cycles, _ = judged(waves(*amplitudes))
    (found,) = life_at_other_stress(outcome, cycles, judge=JUDGE, permanent=NONE, factors=[factor])
    again, _, _ = judged(factor * waves(*amplitudes))
    assert found.damage == pytest.approx(again.result.damage, rel=1e-9, abs=1e-15)


def test_a_factor_of_nothing_is_refused():
    outcome, cycles, _ = judged(waves(50.0, 50.0))
    with pytest.raises(InputError, match="factor on the stress must be above 0, got 0"):
        life_at_other_stress(outcome, cycles, judge=JUDGE, permanent=NONE, factors=[0.0])


# when


@given(st.lists(st.floats(5.0, 150.0), min_size=1, max_size=30), st.floats(0.3, 1e5))
def test_the_damage_curve_never_falls_and_ends_at_the_damage_of_the_block(amplitudes, repeats):
    outcome, _, blocks = judged(waves(*amplitudes), repeats=repeats)
    (curve,) = damage_curves(judged_alone(outcome), blocks, judge=JUDGE, permanent=NONE)
    assert (np.diff(curve.damage) >= 0).all() and curve.damage[0] == 0.0
    assert curve.damage[-1] + curve.left_open == pytest.approx(outcome.result.damage, rel=1e-9, abs=1e-18)
    assert curve.times[0] == 0.0 and curve.times[-1] == pytest.approx(len(amplitudes) * 10 * STEP)


def test_damage_rises_where_its_cycles_close():
    # One wave of 120 MPa range among small ones, in the fourth of ten seconds: it closes when the next repeat of
    # small waves does not reach it, at its own height one record later.
    outcome, _, blocks = judged(waves(1, 1, 1, 60.0, 1, 1, 1, 1, 1, 1), repeats=1e4)
    (curve,) = damage_curves(judged_alone(outcome), blocks, judge=JUDGE, permanent=NONE)
    steps = np.diff(curve.damage)
    (place,) = np.flatnonzero(steps > 0.5 * outcome.result.damage)
    assert 3.0 <= curve.times[place] < curve.times[place + 1] <= 4.0


def test_the_cycle_that_makes_most_of_the_damage_is_named_with_its_times():
    outcome, _, blocks = judged(waves(22.0, 22.0, 60.0, 22.0, 22.0), waves(15.0, 15.0))
    half = half_of_damage(judged_alone(outcome), blocks, judge=JUDGE, permanent=NONE)
    (cycle,) = half.cycles
    assert cycle.load == "load 1" and cycle.range == 120.0 and cycle.mean == 0.0
    assert sorted([cycle.first_time, cycle.second_time]) == pytest.approx([2.3, 2.7])
    assert cycle.times == pytest.approx(999.0)
    assert cycle.share == pytest.approx(999 / endurance(120) / outcome.result.damage, rel=1e-6)


def test_of_equal_cycles_the_fewest_that_make_half_are_listed():
    outcome, _, blocks = judged(waves(*[40.0] * 10), repeats=1e6)
    half = half_of_damage(judged_alone(outcome), blocks, judge=JUDGE, permanent=NONE)
    assert len(half.cycles) == 5
    assert half.share == pytest.approx(0.5, rel=1e-3)


def test_where_many_cycles_make_the_damage_none_is_listed():
    outcome, _, blocks = judged(waves(*[40.0] * 500))
    half = half_of_damage(judged_alone(outcome), blocks, judge=JUDGE, permanent=NONE)
    assert half.cycles == () and half.share == pytest.approx(100 / 500, rel=0.01)


def test_where_compression_counts_in_part_the_parts_still_add_up():
    outcome, _, blocks = judged(waves(50.0, 30.0, 60.0, 45.0) - 20.0, given=FREE)
    full, _, _ = judged(waves(50.0, 30.0, 60.0, 45.0) - 20.0)
    assert outcome.result.damage < full.result.damage
    (curve,) = damage_curves(judged_alone(outcome), blocks, judge=JUDGE, permanent=NONE)
    assert curve.damage[-1] + curve.left_open == pytest.approx(outcome.result.damage, rel=1e-9)


def test_parts_that_do_not_add_up_to_the_damage_give_no_curve():
    outcome, _, (block,) = judged(waves(50.0, 60.0))
    wrong = replace(block, damage=2.0 * block.damage)
    assert damage_curves(judged_alone(outcome), [wrong], judge=JUDGE, permanent=NONE) is None
    assert half_of_damage(judged_alone(outcome), [wrong], judge=JUDGE, permanent=NONE) is None


def test_parts_without_cycles_have_no_damage():
    outcome, _, (block,) = judged(waves(50.0, 60.0))
    empty = block.given(block.count.closed, 1.0, slice(0, 0))
    assert damage_of_parts(JUDGE, judged_alone(outcome), [empty], permanent=NONE).tolist() == [0.0]


# how sure


def interval_of(values, **changes):
    outcome, _, blocks = judged(values, **{key: value for key, value in changes.items() if key == "event"})
    named = {key: value for key, value in changes.items() if key != "event"}
    return outcome, life_interval(
        judged_alone(outcome), blocks, judge=JUDGE, permanent=NONE, design_life=YEARS, **named
    )


def test_the_interval_holds_the_life_of_the_record_and_narrows_with_its_length():
    widths = []
    for samples in (4_000, 40_000):
        outcome, found = interval_of(random_stress(samples, 20.0, seed=4))
        assert isinstance(found, LifeInterval)
        assert found.low < outcome.result.life < found.high
        assert found.low == pytest.approx(YEARS / found.high_damage)
        widths.append((found.high - found.low) / outcome.result.life)
    assert widths[1] < 0.5 * widths[0]


def test_the_interval_holds_the_life_of_a_long_record_nine_times_in_ten():
    long, _, _ = judged(random_stress(200_000, 20.0, seed=99))
    hits = 0
    for seed in range(16):
        _, found = interval_of(random_stress(4_000, 20.0, seed=seed), resamples=60)
        # A record fifty times as long does fifty times the damage at the same number of repeats.
        hits += found.low <= 50.0 * long.result.life <= found.high
    assert 12 <= hits <= 16


def test_the_same_seed_gives_the_same_interval_and_another_one_differs():
    values = random_stress(4_000, 20.0, seed=4)
    first, again, other = (interval_of(values, seed=seed)[1] for seed in (1, 1, 2))
    assert first == again and first != other
    assert (first.seed, first.resamples, first.spans) == (1, 200, 40)


def test_where_less_damage_is_allowed_the_interval_is_that_of_the_shorter_life():
    values = random_stress(4_000, 20.0, seed=4)
    _, whole = interval_of(values)
    _, third = interval_of(values, allowed=1 / 3)
    assert (third.low, third.high) == pytest.approx((whole.low / 3, whole.high / 3))


def test_a_record_of_equal_waves_leaves_hardly_any_width():
    outcome, found = interval_of(waves(*[40.0] * 400))
    assert (found.high - found.low) / outcome.result.life < 0.03


@pytest.mark.parametrize(
    ("values", "changes", "words"),
    [
        (waves(*[40.0] * 400), {"event": True}, "'load 1' makes 100 % of the damage and is recorded as one event"),
        (waves(*[40.0] * 10), {}, "holds 10 cycles that do damage, at least 40 are needed"),
        (waves(*[5.0] * 400), {}, "no cycle does damage"),
        (waves(*[12.0] * 200, 150.0, *[12.0] * 200), {}, "spans of the record of 'load 1' makes"),
    ],
)
def test_where_resampling_would_tell_nothing_the_reason_is_given(values, changes, words):
    _, found = interval_of(values, **changes)
    assert isinstance(found, NoInterval) and words in found.reason


def test_a_made_history_is_not_drawn_anew_and_not_called_recorded():
    outcome, _, blocks = judged(waves(*[40.0] * 400), waves(*[30.0] * 400))
    given = {"judge": JUDGE, "permanent": NONE, "design_life": YEARS}

    def reason(*changes):
        changed = [replace(block, **change) for block, change in zip(blocks, changes, strict=True)]
        return life_interval(judged_alone(outcome), changed, **given).reason

    made, event = {"made": True}, {"event": True}
    both = reason(made, made)
    assert both.startswith("'load 1' and 'load 2' make 100 % of the damage and are made from their data, not recorded")
    assert "how far the real ones differ is not known; vary the data" in both
    mixed = reason(made | event, event)
    assert "'load 1' is made from its data, not recorded, and 'load 2' is recorded as one event:" in mixed
    one = reason(made, {})
    assert one.startswith("'load 1' makes") and "is made from its data" in one and "load 2" not in one


# all together


def test_an_outlook_without_times_keeps_the_sensitivity_and_says_why():
    outcome, cycles, blocks = judged(random_stress(4_000, 20.0, seed=4))
    given = {"judge": JUDGE, "permanent": NONE, "design_life": YEARS}
    whole = outlook(outcome, cycles, blocks, **given)
    assert whole.untimed == "" and whole.half is not None and isinstance(whole.interval, LifeInterval)
    part = outlook(outcome, cycles, "the record is too long", **given)
    assert part.scaled == whole.scaled and part.untimed == part.interval.reason == "the record is too long"
    (block,) = blocks
    odd = outlook(outcome, cycles, [replace(block, damage=9.0 * block.damage)], **given)
    assert "no sum over single cycles" in odd.untimed and odd.curves == ()


def test_at_rest_there_is_no_damage_and_no_end():
    outcome, cycles, _ = judged(np.zeros(50))
    assert outcome.result.damage == 0.0
    found = outlook(outcome, cycles, [], judge=JUDGE, permanent=NONE, design_life=YEARS)
    assert all(item.life is None and item.damage == 0.0 for item in found.scaled)
    assert found.interval == NoInterval("no cycle does damage")
    assert math.isclose(found.half.share, 0.0)
