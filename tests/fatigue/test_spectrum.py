"""Spectra: binned ranges, exceedances and equivalent ranges, against hand values."""

import re
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.cycles import count_cycles
from fatigue.spectrum import equivalent_range, exceedance, spectrum
from loadhistories.validation import InputError

PUBLISHED = tomllib.loads((Path(__file__).parents[1] / "published" / "rainflow.toml").read_text(encoding="utf-8"))
ASTM = [-2, 1, -3, 5, -1, 3, -4, 4, -2]


@pytest.mark.parametrize("slope", [3, 5])
def test_damage_sums_and_equivalent_range_on_the_table_of_astm_e1049_85(slope):
    row = PUBLISHED["case"]["damage_sums"]
    expected, tolerance = row["expected"], row["tolerance_rel"]
    count = count_cycles(row["inputs"]["history"])
    assert count.counts.sum() == expected["cycles"]
    assert (count.counts * count.ranges**slope).sum() == pytest.approx(expected[f"sum_n_S{slope}"], rel=tolerance)
    found = equivalent_range(count.ranges, count.counts, slope)
    assert found == pytest.approx(expected[f"equivalent_range_m{slope}"], rel=tolerance)


def test_bins_by_number_on_the_table_of_astm_e1049_85():
    # ranges 3, 4, 6, 8, 9 with 0.5, 1.5, 0.5, 1.0, 0.5 cycles; edges 0, 3, 6, 9: an edge belongs to the bin below
    found = spectrum(count_cycles(ASTM), 3)
    assert found.lower.tolist() == [0, 3, 6]
    assert found.upper.tolist() == [3, 6, 9]
    assert found.cycles.tolist() == [0.5, 2.0, 1.5]
    assert found.exceedances.tolist() == [4.0, 3.5, 1.5]


def test_bins_by_edges():
    found = spectrum(count_cycles(ASTM), [2, 5, 20])
    assert found.cycles.tolist() == [2.0, 2.0]
    assert found.exceedances.tolist() == [4.0, 2.0]


def test_a_spectrum_of_no_cycles_is_empty_in_every_bin():
    assert spectrum(count_cycles([1.0]), 4).cycles.tolist() == [0, 0, 0, 0]


def test_exceedances_on_the_table_of_astm_e1049_85():
    count = count_cycles(ASTM)
    ranges, cycles = exceedance(count.ranges, count.counts)
    assert ranges.tolist() == [9, 8, 6, 4, 3]
    assert cycles.tolist() == [0.5, 1.5, 2.0, 3.5, 4.0]


SPECTRA = st.lists(st.tuples(st.floats(1e-3, 1e3), st.floats(0.5, 1e6)), min_size=1, max_size=30)


@given(SPECTRA, st.floats(1.0, 8.0))
def test_the_equivalent_range_lies_between_the_smallest_and_the_largest(pairs, slope):
    ranges, counts = np.array(pairs).T
    found = equivalent_range(ranges, counts, slope)
    assert ranges.min() * (1 - 1e-9) <= found <= ranges.max() * (1 + 1e-9)


@given(SPECTRA, st.floats(1.0, 8.0), st.floats(0.1, 10.0), st.floats(1.0, 1e6))
def test_the_equivalent_range_does_the_same_damage_and_scales_with_the_ranges(pairs, slope, factor, cycles):
    ranges, counts = np.array(pairs).T
    found = equivalent_range(ranges, counts, slope, cycles)
    assert cycles * found**slope == pytest.approx((counts * ranges**slope).sum(), rel=1e-9)
    assert equivalent_range(factor * ranges, counts, slope, cycles) == pytest.approx(factor * found, rel=1e-9)


@given(SPECTRA, st.integers(1, 20))
def test_no_cycle_is_lost_in_bins(pairs, bins):
    ranges, counts = np.array(pairs).T

    class Table:
        pass

    table = Table()
    table.ranges, table.counts = ranges, counts
    found = spectrum(table, bins)
    assert found.cycles.sum() == pytest.approx(counts.sum())
    assert found.exceedances[0] == pytest.approx(counts.sum())
    assert found.upper[-1] == ranges.max()


def test_powers_of_large_ranges_do_not_overflow():
    assert equivalent_range([1e200, 1e200], [1.0, 1.0], 5) == pytest.approx(1e200)


def test_no_damage_is_an_equivalent_range_of_zero_for_a_given_number_of_cycles():
    assert equivalent_range([], [], 3, cycles=2e6) == 0.0


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (([1, -2], [1, 1], 3), "ranges must be finite and not below 0, got -2 at index 1"),
        (([1, 2], [1, np.nan], 3), "counts must be finite and not below 0, got nan at index 1"),
        (([1, 2], [1], 3), "ranges and counts must have one shape (m,), got (2,) and (1,)"),
        (([1], [1], 0), "slope must be above 0, got 0"),
        (([1], [1], 3, 0), "number of cycles must be above 0, got 0"),
        (([], [], 3), "no cycles to be made equivalent; give the number of cycles"),
    ],
)
def test_a_refused_spectrum_is_named(arguments, message):
    with pytest.raises(InputError, match=re.escape(message)):
        equivalent_range(*arguments)


@pytest.mark.parametrize(
    ("bins", "message"),
    [
        (0, "number of bins must be above 0, got 0"),
        (2.5, "number of bins must be whole, got 2.5; or give the edges"),
        ([0, 5, 5], "edges of bins must be two or more finite values that rise from 0 or above, got [0, 5, 5]"),
        ([3], "edges of bins must be two or more finite values"),
        ([3, 20], "bins from 3 to 20 leave out 1 ranges between 3 and 3; give edges around every range"),
        ([0, 5], "bins from 0 to 5 leave out 4 ranges between 6 and 9"),
    ],
)
def test_refused_bins_say_what_would_do(bins, message):
    with pytest.raises(InputError, match=re.escape(message)):
        spectrum(count_cycles(ASTM), bins)
