"""Planted faults are found and named at their time; clean records give none; treating nothing changes nothing."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.cycles import count_cycles
from loadhistories import InputError, LoadHistory
from loadhistories.cleaning import Treatments, find_faults, treat
from loadhistories.spikes import find_spikes, half_window, running_median, spike_limits
from loadhistories.treatments import ChannelTreatment, DriftTreatment, SpikeTreatment

STEP = 0.01
SPIKES = ChannelTreatment(spikes=SpikeTreatment(0.07, times=8.0))


def working(seed=0, samples=3000):
    """A load as a logger records it: two slow cycles of different size with noise. [N]"""
    noise = np.random.default_rng(seed).normal(0.0, 50.0, samples)
    time = np.arange(samples) * STEP
    return 8000.0 * np.sin(2 * np.pi * 0.7 * time) + 3000.0 * np.sin(2 * np.pi * 2.1 * time) + noise


def history(*channels, names=("Fy", "Fx", "Mz")):
    return LoadHistory(names[: len(channels)], ("N",) * len(channels), np.array(channels), STEP)


def kinds(record):
    return [fault.kind for fault in find_faults(record).faults]


@given(st.integers(0, 40))
def test_a_clean_record_gives_no_finding(seed):
    assert kinds(history(working(seed))) == []


@pytest.mark.parametrize(
    "values",
    [
        np.sin(np.arange(4000) / 9.0),
        np.interp(np.arange(4000) % 400, [0, 40, 200, 240, 400], [0, 10, 10, 0, 0]),
        np.abs(np.arange(4000) % 60 - 30.0),
        np.where(np.arange(4000) % 200 < 100, 5.0, 0.0),
        np.round(np.sin(np.arange(4000) / 50.0), 1),
        np.random.default_rng(1).normal(0, 1, 4000),
    ],
    ids=["sine", "hoist", "triangle", "on and off", "coarse steps of a sine", "noise"],
)
def test_loads_without_a_fault_give_no_finding(values):
    assert [kind for kind in kinds(history(values)) if kind != "coarse sampling"] == []


@given(
    place=st.integers(0, 2999), seed=st.integers(0, 20), times=st.floats(1.5, 50.0), sign=st.sampled_from([-1, 1]),
    length=st.integers(1, 3),
)  # fmt: skip
def test_a_spike_beyond_the_limit_is_found_and_named_at_its_time_wherever_it_stands(place, seed, times, sign, length):
    length = length if 3 <= place < 2990 else 1
    values = working(seed)
    last = min(place + length, values.size) - 1
    size = times * (spike_limits(values)[place] + 4 * np.abs(values - running_median(values, 3)).max())
    values[place : last + 1] += sign * size
    (fault,) = find_faults(history(values)).of("spike")
    assert (fault.channel, fault.first, fault.samples) == ("Fy", place, last - place + 1)
    assert fault.time == pytest.approx(place * STEP)
    assert fault.value in values[place : last + 1]
    assert abs(fault.size) >= spike_limits(working(seed))[place]
    assert fault.words.startswith(f"spike of {last - place + 1} sample")


@given(place=st.integers(3, 2990), seed=st.integers(0, 20))
def test_a_treated_spike_leaves_the_cycles_of_the_record_without_its_samples(place, seed):
    values = working(seed)
    values[place] += 90_000.0
    cleaned = treat(history(values), Treatments(channels={"Fy": SPIKES}))
    (change,) = cleaned.changes
    assert (change.treatment, change.before, change.samples) == ("spikes", values[place], 1)
    assert change.time == pytest.approx(place * STEP)
    assert change.after == pytest.approx((values[place - 1] + values[place + 1]) / 2)
    assert cleaned.untreated == ()
    treated, left_out = count_cycles(cleaned.history.channel("Fy")), count_cycles(np.delete(values, place))
    np.testing.assert_array_equal(treated.ranges, left_out.ranges)


@given(st.lists(st.floats(-1e9, 1e9), min_size=3, max_size=300))
def test_treatment_of_nothing_changes_nothing_to_the_bit(values):
    record = history(values, values[::-1])
    cleaned = treat(record, Treatments())
    assert cleaned.history.values.tobytes() == record.values.tobytes()
    assert cleaned.before is cleaned.history and cleaned.changes == ()
    assert (cleaned.history.step, len(cleaned.segments)) == (record.step, 1)


def test_the_record_as_it_was_read_is_never_changed():
    values = working()
    values[700] += 1e5
    record = history(values, values)
    before = record.values.tobytes()
    full = ChannelTreatment(SPIKES.spikes, (12.0,), DriftTreatment(5.0), None, True, None, 6.0)
    cleaned = treat(record, Treatments(channels={"Fy": full}))
    assert record.values.tobytes() == before == cleaned.before.values.tobytes()
    assert cleaned.history.channel("Fx").tobytes() == record.channel("Fx").tobytes()


def test_treatments_follow_their_fixed_order_whatever_the_order_of_the_faults():
    values = working() + 5000.0
    values[100] += 1e5
    full = ChannelTreatment(SPIKES.spikes, (20.0,), DriftTreatment(0.0), 10.0, False, 200.0)
    cleaned = treat(history(values), Treatments(channels={"Fy": full}))
    assert list(dict.fromkeys(change.treatment for change in cleaned.changes)) == [
        "spikes", "steps", "drift", "zero", "gate",
    ]  # fmt: skip


def test_faults_stand_in_the_order_in_which_they_would_be_treated():
    values = working()
    values[1000] += 1e5
    values[1500:] += 60_000.0
    values[200:300] = values[200]
    assert kinds(history(values)) == ["stuck", "spike", "step"]


def test_a_reading_that_is_cut_off_is_found_at_each_flat_top():
    values = np.minimum(working(), 6000.0)
    found = find_faults(history(values)).of("clipped")
    flat = values == 6000.0
    assert sum(fault.samples for fault in found) >= 0.9 * flat.sum()
    assert {fault.value for fault in found} == {6000.0}
    assert "stands at its limit 6000 N" in found[0].words


def test_a_stuck_stretch_is_found_and_cut_on_request():
    values = working()
    values[1200:1400] = values[1200]
    (fault,) = find_faults(history(values)).of("stuck")
    assert (fault.first, fault.samples, fault.time) == (1200, 200, pytest.approx(12.0))
    cleaned = treat(history(values), Treatments(stuck=True))
    np.testing.assert_array_equal(cleaned.history.channel("Fy"), np.delete(values, np.arange(1200, 1400)))
    assert [(part.first, part.samples) for part in cleaned.segments] == [(0, 1200), (1200, 1600)]


def test_a_dead_channel_is_named():
    (fault,) = find_faults(history(working(), np.full(3000, 4.2))).faults
    assert (fault.kind, fault.channel, fault.words) == ("dead", "Fx", "stands at 4.2 N throughout")


@pytest.mark.parametrize("rise", [-4000.0, 25_000.0])
def test_a_jump_of_the_level_that_stays_is_found_and_taken_out(rise):
    values = 0.1 * working()
    values[1700:] += rise
    (fault,) = find_faults(history(values)).of("step")
    assert (fault.first, fault.size) == (1700, pytest.approx(rise, rel=0.2))
    cleaned = treat(history(values), Treatments(channels={"Fy": ChannelTreatment(steps=(17.0,))}))
    assert cleaned.history.channel("Fy")[1700:].mean() == pytest.approx(values[:1700].mean(), abs=0.25 * abs(rise))
    assert cleaned.untreated == ()


def test_a_load_that_comes_and_goes_in_one_sample_is_no_step_of_the_zero():
    values = 0.01 * working()
    values[1000:2000] += 20_000.0
    assert kinds(history(values)) == []


def test_drift_of_a_channel_at_rest_is_found_and_taken_out():
    noise = np.random.default_rng(3).normal(0, 0.2, 6000)
    values = noise + np.linspace(0.0, 9.3, 6000)
    (fault,) = find_faults(history(values)).of("drift")
    assert fault.size == pytest.approx(9.3, rel=0.05)
    for method in (DriftTreatment(0.0), DriftTreatment(5.0)):
        cleaned = treat(history(values), Treatments(channels={"Fy": ChannelTreatment(drift=method)}))
        after = cleaned.history.channel("Fy")
        assert after.std() == pytest.approx(0.2, rel=0.1)
        assert after.mean() == pytest.approx(values.mean(), abs=0.1)


def test_a_rest_level_that_has_moved_under_load_events_is_found():
    noise = np.random.default_rng(5).normal(0, 0.2, 6000)
    values = noise + np.where(np.arange(6000) // 600 % 3 == 1, 12.0, 0.0)
    values[4250:] += np.minimum(np.arange(1750) / 300, 1.0) * 3.0
    (fault,) = [fault for fault in find_faults(history(values)).faults if fault.kind == "drift"]
    assert fault.size == pytest.approx(3.0, abs=0.2)


def test_zero_is_subtracted_as_given_or_as_the_level_at_rest():
    values = np.concatenate((np.full(400, 250.0), working(samples=2000) + 250.0))
    given_value = treat(history(values), Treatments(channels={"Fy": ChannelTreatment(zero=250.0)}))
    at_rest = treat(history(values), Treatments(channels={"Fy": ChannelTreatment(zero_at_rest=True)}))
    np.testing.assert_allclose(given_value.history.values, at_rest.history.values)
    assert given_value.history.values[0, 0] == 0.0


def test_a_gate_keeps_every_larger_cycle_at_its_range():
    values = working()
    cleaned = treat(history(values), Treatments(channels={"Fy": ChannelTreatment(gate=600.0)}))
    before, after = count_cycles(values), count_cycles(cleaned.history.channel("Fy"))
    assert after.counts.sum() < 0.6 * before.counts.sum()
    assert np.sort(after.ranges[after.counts == 1])[::-1].tolist() == pytest.approx(
        np.sort(before.ranges[(before.counts == 1) & (before.ranges >= 600.0)])[::-1].tolist()
    )
    assert np.abs(cleaned.history.values - values).max() < 600.0


def test_treatments_that_do_not_fit_are_refused_in_words():
    record = history(working())
    with pytest.raises(InputError, match=r"channel 'Fyy' is unknown; did you mean 'Fy'"):
        treat(record, Treatments(channels={"Fyy": SPIKES}))
    low = ChannelTreatment(spikes=SpikeTreatment(0.07, above=20.0))
    with pytest.raises(InputError, match=r"spikes would replace \d+ of 3000 samples, more than a twentieth"):
        treat(record, Treatments(channels={"Fy": low}))
    with pytest.raises(InputError, match=r"there is no sample at the step at 99 s"):
        treat(record, Treatments(channels={"Fy": ChannelTreatment(steps=(99.0,))}))
    with pytest.raises(InputError, match=r"window of the drift must hold at least 21 samples, 0.21 s, got 0.1 s"):
        treat(record, Treatments(channels={"Fy": ChannelTreatment(drift=DriftTreatment(0.1))}))
    with pytest.raises(InputError, match=r"window of spikes must hold 3 to 1001 samples, 0.03 s to 10.01 s"):
        half_window(60.0, STEP)


def test_many_short_pulses_are_a_load_and_no_spikes():
    values = working()
    values[::40] += 90_000.0
    assert len(find_spikes(values)) > 50
    assert "spike" not in kinds(history(values))
