"""What is kept of closed cycles: histograms on the safe side, damage sums, and the refusals."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fatigue.cycles import Bins, CycleCounter, count_cycles
from loadhistories.validation import InputError


class Cube:
    """A life curve of slope 3 through range 1 at one cycle."""

    def damage(self, ranges, counts):
        return float((counts * ranges**3).sum())


def test_a_histogram_by_hand():
    # closed: 4 to 1 and 1 to 3 are within -2 and 6; open: -2 to 6 and 6 to 0
    count = count_cycles([-2, 4, 1, 3, 0.5, 6, 0], keep="histogram", bins=Bins(range_width=2.0, mean_width=1.0))
    # ranges 2 (mean 2) and 3.5 (mean 2.25): cells that end at 2 and at 4, both of means from 2 to 3
    assert list(zip(*(column.tolist() for column in count.closed), strict=True)) == [(2.0, 2.5, 1.0), (4.0, 2.5, 1.0)]
    # half cycles are not binned
    assert count.ranges.tolist()[2:] == [8.0, 6.0]
    assert count.means.tolist()[2:] == [2.0, 3.0]
    assert count.counts.tolist()[2:] == [0.5, 0.5]


@given(st.lists(st.floats(-1e3, 1e3), max_size=60), st.floats(0.5, 300.0), st.floats(0.5, 300.0))
@settings(deadline=None)
def test_a_histogram_holds_the_same_number_of_cycles_with_ranges_never_smaller(history, range_width, mean_width):
    whole = count_cycles(history)
    binned = count_cycles(history, keep="histogram", bins=Bins(range_width, mean_width))
    assert binned.counts.sum() == whole.counts.sum()
    spread = np.repeat(binned.ranges, np.round(2 * binned.counts).astype(int))
    exact = np.repeat(whole.ranges, np.round(2 * whole.counts).astype(int))
    excess = np.sort(spread) - np.sort(exact)
    assert (excess >= 0).all()
    assert excess.max(initial=0.0) <= range_width * (1 + 1e-9)
    assert Cube().damage(binned.ranges, binned.counts) >= Cube().damage(whole.ranges, whole.counts) * (1 - 1e-12)


def test_a_range_on_the_edge_of_its_cell_is_kept_as_it_is():
    for width in (0.1, 0.3, 1 / 3, 7.0):
        values = [0.0, 10 * width, 2 * width, 5 * width, -9 * width]
        exact = count_cycles(values)
        binned = count_cycles(values, keep="histogram", bins=Bins(width, width))
        assert binned.closed.ranges[0] == pytest.approx(exact.closed.ranges[0], rel=1e-15, abs=0.0) or (
            binned.closed.ranges[0] - exact.closed.ranges[0] <= width
        )
        assert binned.closed.ranges[0] >= exact.closed.ranges[0]


def test_bins_by_number_and_bounds_keep_what_lies_beyond_them():
    bins = Bins.dividing(ranges=4, up_to=8.0, means=2, between=(-1.0, 1.0))
    count = count_cycles([-50, 40, -20, 50, -60], keep="histogram", bins=bins)
    assert bins == Bins(2.0, 1.0)
    assert count.closed.ranges.tolist() == [60.0]


def test_damage_sums_of_several_curves_by_hand():
    class Sum:
        def damage(self, ranges, counts):
            return float((counts * ranges).sum())

    count = count_cycles([0, 4, 1, 3, 0], keep="damage", curves=[Cube(), Sum()])
    # one closed cycle of 2, two half cycles of 4
    assert count.damage().tolist() == [8.0 + 64.0, 2.0 + 4.0]
    # repeated: the junction at 0 closes one more cycle of 4
    assert count.damage(2).tolist() == [2 * 8.0 + 64.0 + 64.0, 2 * 2.0 + 4.0 + 4.0]
    assert count.damage(0.5).tolist() == [36.0, 3.0]


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"keep": "cycle"}, "keep 'cycle' is unknown; did you mean 'cycles'"),
        ({"keep": 3}, "keep 3 is unknown; known: cycles, histogram, damage"),
        ({"keep": "histogram"}, 'bins go with keep="histogram" and are needed for it: give both or none'),
        ({"bins": Bins(1.0, 1.0)}, 'bins go with keep="histogram" and are needed for it: give both or none'),
        ({"keep": "damage"}, 'curves go with keep="damage" and are needed for it: give both or none'),
        ({"curves": [Cube()]}, 'curves go with keep="damage" and are needed for it: give both or none'),
        ({"keep": "damage", "curves": []}, "a damage sum needs at least one curve, got none"),
    ],
)
def test_a_refused_way_of_keeping_says_what_would_do(options, message):
    with pytest.raises(InputError, match=message):
        count_cycles([0, 1, 0], **options)
    with pytest.raises(InputError, match=message):
        CycleCounter(2, **options)


def test_bins_that_are_no_bins_are_refused():
    with pytest.raises(InputError, match="width of the range bins must be above 0, got 0"):
        Bins(0.0, 1.0)
    with pytest.raises(InputError, match="width of the mean bins must be finite, got nan"):
        Bins(1.0, np.nan)
    with pytest.raises(InputError, match="number of range bins must be above 0, got 0"):
        Bins.dividing(ranges=0, up_to=1.0, means=1, between=(0.0, 1.0))
    with pytest.raises(InputError, match="span of the means must be above 0, got -1"):
        Bins.dividing(ranges=1, up_to=1.0, means=1, between=(1.0, 0.0))


def test_bins_too_narrow_for_the_history_are_refused():
    values = [0.0, 1e6, 2.0, 3e5, 1.0, 2e6]
    with pytest.raises(InputError, match=r"histogram bins 0.001 by 0.001 would need \d+ x \d+ cells; at most 4000000"):
        count_cycles(values, keep="histogram", bins=Bins(1e-3, 1e-3))
    with pytest.raises(InputError, match="too narrow for cycles of range up to 299998 and mean up to 150001"):
        count_cycles(values, keep="histogram", bins=Bins(1e-9, 1e-9))
