import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.cycles import count_cycles
from fatigue.gate import without_small_cycles
from loadhistories.validation import InputError

HISTORIES = st.lists(st.integers(-30, 30).map(float) | st.floats(-30, 30), min_size=0, max_size=120)


def cycles_from(history, smallest):
    count = count_cycles(np.array(history, dtype=float))
    table = {}
    for span, mean, number in zip(count.ranges, count.means, count.counts, strict=True):
        if span >= smallest:
            table[span, mean] = table.get((span, mean), 0.0) + number
    return table


@given(HISTORIES, st.floats(0, 40))
def test_every_cycle_from_the_gate_on_is_still_counted_with_its_mean(history, smallest):
    gated = without_small_cycles(history, smallest)
    assert cycles_from(gated, smallest) == cycles_from(history, smallest)


@given(HISTORIES, st.floats(0, 40), st.integers(0, 120))
def test_parts_of_a_history_may_be_gated_one_by_one(history, smallest, cut):
    parts = [without_small_cycles(part, smallest) for part in (history[:cut], history[cut:])]
    assert cycles_from(np.concatenate(parts), smallest) == cycles_from(history, smallest)


def test_small_cycles_do_fall_away():
    noisy = np.sin(np.linspace(0, 20, 2000)) + 0.01 * (np.arange(2000) % 2)
    assert len(without_small_cycles(noisy, 0.05)) < 20


def test_a_gate_of_nothing_keeps_the_turning_points():
    assert without_small_cycles([0, 1, 0.5, 2], 0.0).tolist() == [0.0, 1.0, 0.5, 2.0]


def test_a_gate_below_zero_is_refused():
    with pytest.raises(InputError, match="smallest range must not be below 0, got -1"):
        without_small_cycles([0, 1], -1.0)
