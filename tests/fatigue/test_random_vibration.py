import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.curves import LifeCurve, life_curve
from fatigue.cycles import count_cycles
from fatigue.pieces import pieces_of
from fatigue.random_vibration import (
    SpectralMoments,
    dirlik_damage,
    dirlik_shape,
    narrow_band_damage,
    spectral_moments,
    three_band_damage,
    wirsching_light,
)
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "life.toml").read_text())["case"]
YEAR = 31_557_600.0


def one_slope(category=71.0, slope=3.0):
    return LifeCurve("one slope", category, 2e6, (slope,))


def two_slopes(cut_off=None):
    return LifeCurve("two slopes", 71.0, 2e6, (3.0, 5.0), (5e6,), cut_off)


def moments_of(m0, m1, m2, m4):
    return SpectralMoments(
        m0, m1, m2, m4, math.sqrt(m0), math.sqrt(m2 / m0), math.sqrt(m4 / m2), m2 / math.sqrt(m0 * m4)
    )


def record_of(frequencies, densities, *, time, step, seed):
    """A Gaussian record with the density: amplitudes by the density, random phases."""
    n = round(time / step)
    grid = np.fft.rfftfreq(n, step)
    power = np.interp(grid, frequencies, densities, left=0.0, right=0.0)
    random = np.random.default_rng(seed)
    lines = (random.standard_normal(len(grid)) + 1j * random.standard_normal(len(grid))) * np.sqrt(power / time) / 2.0
    return np.fft.irfft(lines, n) * n


def integral(values, places):
    """By trapezoids; numpy calls it otherwise before 2.0."""
    return float(np.sum(0.5 * (values[1:] + values[:-1]) * np.diff(places)))


def rayleigh_sum(curve, deviation, cycles):
    """The damage integral of Rayleigh ranges, as a sum over many narrow bands."""
    edges = np.linspace(0.0, 30.0 * deviation, 200_001)
    middle = 0.5 * (edges[1:] + edges[:-1])
    share = np.diff(-np.exp(-(edges**2) / (8.0 * deviation**2)))
    return curve.damage(middle, cycles * share)


def test_narrow_band_damage_on_one_slope_of_jcss_annex_b1():
    case = CASES["narrow_band_one_slope"]
    given, expected = case["inputs"], case["expected"]
    cycles = given["frequency"] * given["years"] * YEAR
    assert cycles == pytest.approx(expected["cycles"])
    found = narrow_band_damage(one_slope(), given["deviation"], cycles)
    assert found == pytest.approx(expected["damage"], rel=case["tolerance_rel"])
    power = (2 * math.sqrt(2) * given["deviation"]) ** 3 * math.gamma(2.5)
    assert power == pytest.approx(expected["mean_power"], rel=1e-8)


@pytest.mark.parametrize("deviation", [1.0, 6.0, 12.0, 25.0, 80.0])
@pytest.mark.parametrize("cut_off", [None, 1e8])
def test_narrow_band_damage_on_two_slopes_is_that_of_the_rayleigh_integral(deviation, cut_off):
    curve = two_slopes(cut_off)
    found = narrow_band_damage(curve, deviation, 1e7)
    assert found == pytest.approx(rayleigh_sum(curve, deviation, 1e7), rel=2e-4, abs=1e-12)


def test_narrow_band_damage_on_two_slopes_by_the_incomplete_gamma_function_by_hand():
    from scipy.special import gamma, gammainc, gammaincc

    deviation, knee = 15.0, 71.0 * (2 / 5) ** (1 / 3)
    scale = 2 * math.sqrt(2) * deviation
    u = (knee / scale) ** 2
    upper = scale**3 * gamma(2.5) * gammaincc(2.5, u) / (5e6 * knee**3)
    lower = scale**5 * gamma(3.5) * gammainc(3.5, u) / (5e6 * knee**5)
    assert narrow_band_damage(two_slopes(), deviation, 1e6) == pytest.approx(1e6 * (upper + lower), rel=1e-12)


def test_narrow_band_damage_far_below_the_cut_off_is_tiny_and_not_negative():
    assert 0.0 <= narrow_band_damage(two_slopes(1e8), 0.5, 1e9) < 1e-6


@given(st.floats(0.5, 80.0), st.floats(1.01, 2.0))
def test_narrow_band_damage_never_falls_when_the_stress_grows(deviation, factor):
    curve = two_slopes(1e8)
    assert narrow_band_damage(curve, deviation * factor, 1e6) >= narrow_band_damage(curve, deviation, 1e6)


def test_pieces_of_a_curve_meet_at_its_knees_and_give_its_cycles():
    for category in ("8.4-1a", "8.5-1-71"):
        curve = life_curve("EN 1993", category)
        pieces = pieces_of(curve)
        assert [piece.slope for piece in pieces] == [3.0, 5.0]
        assert pieces[0].above == pieces[1].below == pytest.approx(curve.knee_strengths[0])
        assert pieces[1].above == pytest.approx(curve.cut_off_strength)
        for piece in pieces:
            at = 1.01 * piece.above
            assert piece.constant / at**piece.slope == pytest.approx(curve.cycles_to_failure(at), rel=1e-12)


def test_dirlik_constants_and_moment_recomputed_from_dirlik_1985():
    case = CASES["dirlik_constants"]
    given, expected = case["inputs"], case["expected"]
    moments = moments_of(given["m0"], given["m1"], given["m2"], given["m4"])
    shape = dirlik_shape(moments)
    found = {
        "x_m": shape.mean_frequency, "g": shape.irregularity, "D_1": shape.d1, "R": shape.r, "D_2": shape.d2,
        "D_3": shape.d3, "Q": shape.q, "mean_power": shape.mean_power(3.0),
        "power_per_second": moments.peaks * shape.mean_power(3.0),
        "narrow_band_per_second": moments.crossings * (2 * math.sqrt(2) * moments.deviation) ** 3 * math.gamma(2.5),
    }  # fmt: skip
    assert found == pytest.approx(expected, rel=case["tolerance_rel"])
    curve = LifeCurve("N = 1e12 / S^3", 100.0, 1e6, (3.0,))
    assert dirlik_damage(curve, moments, 1.0) == pytest.approx(expected["power_per_second"] / 1e12, rel=1e-6)
    narrow = narrow_band_damage(curve, moments.deviation, moments.crossings)
    assert narrow == pytest.approx(expected["narrow_band_per_second"] / 1e12, rel=1e-6)


def test_dirlik_density_is_one_in_sum_and_its_moments_are_those_of_the_closed_form():
    shape = dirlik_shape(moments_of(12_500.0, 35_000.0, 260_000.0, 25_010_000.0))
    ranges = np.linspace(0.0, 3000.0, 600_001)
    density = shape.density(ranges)
    assert integral(density, ranges) == pytest.approx(1.0, abs=1e-6)
    part = np.where((ranges >= 100.0) & (ranges <= 400.0), density * ranges**5, 0.0)
    assert shape.mean_power(5.0, above=100.0, below=400.0) == pytest.approx(integral(part, ranges), rel=1e-3)
    assert shape.mean_power(0.0) == pytest.approx(1.0)


def test_dirlik_damage_on_two_slopes_is_that_of_its_density_summed():
    moments = spectral_moments([0.5, 3.0, 3.5, 12.0], [2.0, 60.0, 5.0, 8.0])
    curve = two_slopes(1e8)
    ranges = np.linspace(0.0, 400.0, 400_001)
    middle = 0.5 * (ranges[1:] + ranges[:-1])
    share = dirlik_shape(moments).density(middle) * np.diff(ranges)
    summed = curve.damage(middle, share * moments.peaks * 1e6)
    assert dirlik_damage(curve, moments, 1e6) == pytest.approx(summed, rel=1e-4)


SPECTRA = {
    "flat": ([0.5, 10.0], [10.0, 10.0], 0.06),
    "falling": ([0.5, 2.0, 12.0], [40.0, 40.0, 1.0], 0.06),
    "two bands": ([0.5, 2.0, 2.5, 8.0, 9.0, 15.0], [20.0, 20.0, 2.0, 2.0, 15.0, 1.0], 0.13),
}


@pytest.mark.parametrize("kind", SPECTRA)
def test_dirlik_damage_is_near_that_of_counting_a_simulated_record(kind):
    # The formula is a fit: how far it lies off is stated with the function.
    frequencies, densities, tolerance = SPECTRA[kind]
    time = 20_000.0
    moments = spectral_moments(frequencies, densities)
    record = record_of(frequencies, densities, time=time, step=0.01, seed=5)
    assert record.std() == pytest.approx(moments.deviation, rel=0.01)
    count = count_cycles(record)
    for slope in (3.0, 5.0):
        curve = one_slope(slope=slope)
        counted = curve.damage(count.ranges, count.counts)
        assert dirlik_damage(curve, moments, time) == pytest.approx(counted, rel=tolerance)
        assert narrow_band_damage(curve, moments.deviation, moments.crossings * time) > 1.1 * counted


def test_narrow_band_damage_is_that_of_counting_a_simulated_narrow_band():
    # 0.2 Hz wide over 20 000 s: some 4000 independent heights, so the mean cube of a range is known to 2.5 %.
    frequencies, densities = [1.8, 2.0, 2.2], [0.0, 4000.0, 0.0]
    time, curve = 20_000.0, two_slopes(1e8)
    moments = spectral_moments(frequencies, densities)
    assert moments.irregularity > 0.99
    count = count_cycles(record_of(frequencies, densities, time=time, step=0.02, seed=2))
    found = narrow_band_damage(curve, moments.deviation, moments.crossings * time)
    assert found == pytest.approx(curve.damage(count.ranges, count.counts), rel=0.06)


def test_wide_band_factor_recomputed_from_wirsching_and_light_1980():
    case = CASES["wide_band_factor"]
    given = case["inputs"]
    assert wirsching_light(given["slope"], given["irregularity"]) == pytest.approx(case["expected"]["factor"], rel=1e-6)
    assert wirsching_light(3.0, 1.0) == 1.0


def test_three_bands_recomputed_from_steinberg():
    case = CASES["three_bands"]
    given, expected = case["inputs"], case["expected"]
    curve = life_curve("EN 1993", given["category"])
    found = three_band_damage(curve, given["deviation"], given["cycles"])
    assert found == pytest.approx(expected["damage"], rel=case["tolerance_rel"])
    narrow = narrow_band_damage(curve, given["deviation"], given["cycles"])
    assert narrow == pytest.approx(expected["narrow_band_damage"], rel=1e-6)


def test_moments_of_a_flat_band_in_closed_form():
    case = CASES["flat_band"]
    given, expected = case["inputs"], case["expected"]
    for points in (2, 40):
        found = spectral_moments(np.linspace(given["from"], given["to"], points), np.full(points, given["density"]))
        assert [found.m0, found.m1, found.m2, found.m4] == pytest.approx(
            [expected[f"m{order}"] for order in (0, 1, 2, 4)], rel=case["tolerance_rel"]
        )
        assert found.irregularity == pytest.approx(expected["irregularity"], abs=5e-5)


def test_moments_of_a_triangle_from_zero_hertz():
    found = spectral_moments([0.0, 2.0], [0.0, 6.0])
    assert [found.m0, found.m1, found.m2, found.m4] == pytest.approx([6.0, 8.0, 12.0, 32.0])


def test_a_sine_counted_on_category_71():
    case = CASES["sine"]
    given, expected = case["inputs"], case["expected"]
    curve = life_curve("EN 1993", given["category"])
    assert curve.cycles_to_failure(expected["range"]) == pytest.approx(expected["endurance"], rel=1e-9)
    time = np.arange(0, 4001) / 4.0
    count = count_cycles(given["mean"] + given["amplitude"] * np.sin(2 * np.pi * given["frequency"] * time))
    table = count.repeated(3600 * given["hours"] / 1000.0)
    found = curve.damage(table.ranges, table.counts)
    # The record begins and ends at its mean: a quarter of a cycle at either end is counted apart.
    assert found == pytest.approx(expected["damage"], rel=2e-3)
    assert curve.damage([expected["range"]], [expected["cycles"]]) == pytest.approx(expected["damage"], rel=1e-9)


@pytest.mark.parametrize(
    ("frequencies", "densities", "words"),
    [
        ([1.0], [1.0], "needs two or more points"),
        ([1.0, 1.0], [1.0, 1.0], "frequencies must rise, got 1 Hz after 1 Hz"),
        ([1.0, 2.0], [1.0, -3.0], "density must be finite and not below 0 MPa2/Hz, got -3 at point 2"),
        ([1.0, float("nan")], [1.0, 3.0], "frequency must be finite and not below 0 Hz, got nan at point 2"),
        ([1.0, 2.0], [0.0, 0.0], "the density is zero throughout"),
    ],
)
def test_a_density_that_is_none_is_refused(frequencies, densities, words):
    with pytest.raises(InputError, match=words):
        spectral_moments(frequencies, densities)


def test_a_stress_of_too_narrow_band_is_refused_for_dirlik():
    with pytest.raises(InputError, match=r"the stress is of narrow band; take narrow_band_damage"):
        dirlik_shape(spectral_moments([1.99999, 2.0, 2.00001], [0.0, 40.0, 0.0]))


def test_an_irregularity_above_one_is_refused():
    with pytest.raises(InputError, match=r"irregularity must not be above 1, got 1\.2"):
        wirsching_light(3.0, 1.2)
