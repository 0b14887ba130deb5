"""Events of a crane monitor as a history."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue import count_cycles
from loadhistories import InputError
from loadhistories.event_table import history_of_events


def history(times, loads, durations, **options):
    arrays = [np.asarray(values, dtype=float) for values in (times, loads, durations)]
    return history_of_events(*arrays, unit="N", idle=options.pop("idle", 0.0), **options)


def test_events_rise_hold_and_come_back_at_their_times():
    found = history([0, 60, 100], [5.0, -3.0, 8.0], [20, 10, 20], covers=200.0, step=10.0)
    values = found.channel("Load")
    assert values.tolist() == [0, 5, 5, 0, 0, 0, 0, -3, 0, 0, 0, 8, 8, 0, 0, 0, 0, 0, 0, 0]
    assert found.span == 200.0


def test_the_load_between_events_is_the_stated_one():
    found = history([0, 50], [80.0, 90.0], [20, 20], idle=15.0, step=10.0)
    assert (found.channel("Load")[[0, -1]] == 15.0).all()
    assert sorted(set(found.channel("Load").tolist())) == [15.0, 80.0, 90.0]


def test_events_that_follow_at_once_are_cycles_of_their_own():
    found = history([0, 60, 120], [5.0, 7.0, 9.0], [60, 60, 60], step=10.0)
    counted = count_cycles(found.channel("Load"))
    assert counted.counts.sum() == 3.0
    assert sorted(counted.ranges.tolist()) == [5.0, 7.0, 9.0, 9.0]


def test_the_step_follows_from_the_shortest_event_or_pause():
    assert history([0, 100], [5.0, 7.0], [50, 4]).step == 2.0
    assert history([0, 53], [5.0, 7.0], [50, 40]).step == 1.5


@given(
    st.lists(
        st.tuples(st.floats(5.0, 500.0), st.floats(1.0, 500.0), st.integers(1, 90)), min_size=1, max_size=25
    )
)
def test_every_event_is_one_peak_and_durations_give_the_share_of_time(rows):
    pauses, durations, loads = (np.array(column, dtype=float) for column in zip(*rows, strict=True))
    times = np.concatenate([[0.0], np.cumsum(durations + pauses)[:-1]])
    covers = float(times[-1] + durations[-1] + pauses[-1])
    found = history(times, loads, durations, covers=covers)
    values = found.channel("Load")
    rises = np.flatnonzero((values[1:] > 0.0) & (values[:-1] == 0.0))
    assert values[rises + 1].tolist() == loads.tolist()
    assert (rises * found.step).tolist() == pytest.approx(times.tolist(), abs=1.01 * found.step)
    held = np.count_nonzero(values) * found.step
    assert held == pytest.approx(durations.sum(), abs=found.step * len(rows))


@pytest.mark.parametrize(
    ("times", "durations", "options", "wording"),
    [
        ([0, 10, 10], [1, 1, 1], {}, "event 3 does not begin after event 2: sort the table by time"),
        ([0, 10, 20], [1, 15, 1], {}, "event 3 begins 5 s before event 2 ends"),
        ([0, 10, 20], [1, 0, 1], {}, "duration of event 2 must be above 0 s, got 0 s"),
        ([0, 10, 20], [1, 1, 1], {"covers": 20.5}, "covers 20.5 s ends before the last event, at 21 s"),
        ([0, 10, 20], [1, 1, 1], {"step": 20.0}, "too coarse to keep event 3 apart"),
        ([0, 10, 1e9], [1, 1, 1], {}, "at most 5000000 are made: give a larger step, such as \"210 s\""),
        ([0, 10, 20], [1, 1, np.nan], {}, "duration of event 3 must be finite"),
    ],
)
def test_events_that_are_no_sound_list_are_refused(times, durations, options, wording):
    with pytest.raises(InputError, match=wording):
        history(times, [5.0, 6.0, 7.0], durations, **options)
