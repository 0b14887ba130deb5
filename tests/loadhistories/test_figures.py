"""A check against its limit: equality holds, also where rounding has touched it; anything beyond fails."""

import math

import pytest

from loadhistories.figures import FAILS, HOLDS, judged


@pytest.mark.parametrize(
    ("demand", "state"),
    [
        (1.0, HOLDS),
        (math.nextafter(1.0, 2.0), HOLDS),
        (6 * 25.4 / 152.4, HOLDS),
        (1.0 + 1e-9, FAILS),
        (1.1, FAILS),
    ],
)
def test_a_demand_holds_up_to_its_resistance_and_no_further(demand, state):
    assert judged("x", "x", demand=demand, resistance=1.0, unit="N", clause="c").state == state


@pytest.mark.parametrize("resistance", [0.0, -1.0])
def test_without_resistance_nothing_holds(resistance):
    found = judged("x", "x", demand=0.0, resistance=resistance, unit="N", clause="c")
    assert (found.state, found.utilisation) == (FAILS, None)
