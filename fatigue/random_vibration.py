"""Damage of a stationary random stress from its spectral density: moments, narrow band, Wirsching and Light, Dirlik.

The stress is Gaussian with mean zero; a density is one-sided, in MPa2/Hz over frequencies in Hz. Only stresses
here: what turns a load into stress stands in `fatigue.stress`. Where a record in time exists, count that.
"""

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.curves import LifeCurve
from fatigue.pieces import pieces_of
from loadhistories.figures import Figure
from loadhistories.tables import read_table
from loadhistories.validation import InputError, require_not_negative, require_positive

RICE = "S. O. Rice, Mathematical analysis of random noise, 1944 and 1945 (from memory)"
WIRSCHING = "P. H. Wirsching and M. C. Light, J. Struct. Div. ASCE 106 (1980) 1593-1607 (from memory)"
DIRLIK = "T. Dirlik, Application of computers in fatigue analysis, University of Warwick, 1985 (from memory)"

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SpectralMoments:
    """Moments of a stress density about frequency zero, and what they say of the stress."""

    m0: Annotated[float, Figure("m_0", "MPa2", title="moment of order 0: variance")]
    m1: Annotated[float, Figure("m_1", "MPa2 Hz", title="moment of order 1")]
    m2: Annotated[float, Figure("m_2", "MPa2 Hz2", title="moment of order 2")]
    m4: Annotated[float, Figure("m_4", "MPa2 Hz4", title="moment of order 4")]
    deviation: Annotated[float, Figure("s", "MPa", "sqrt(m_0)", RICE, "standard deviation")]
    crossings: Annotated[float, Figure("E_0", "1/s", "sqrt(m_2 / m_0)", RICE, "upward crossings of the mean")]
    peaks: Annotated[float, Figure("E_P", "1/s", "sqrt(m_4 / m_2)", RICE, "peaks")]
    irregularity: Annotated[float, Figure("g", "", "m_2 / sqrt(m_0 * m_4)", RICE, "crossings over peaks")]


@dataclass(frozen=True)
class DirlikShape:
    """Constants of Dirlik's density of ranges."""

    m0: Annotated[float, Figure("m_0", "MPa2", title="moment of order 0")]
    m1: Annotated[float, Figure("m_1", "MPa2 Hz", title="moment of order 1")]
    m2: Annotated[float, Figure("m_2", "MPa2 Hz2", title="moment of order 2")]
    m4: Annotated[float, Figure("m_4", "MPa2 Hz4", title="moment of order 4")]
    irregularity: Annotated[float, Figure("g", "", "m_2 / sqrt(m_0 * m_4)", DIRLIK, "irregularity")]
    mean_frequency: Annotated[float, Figure("x_m", "", "m_1 / m_0 * sqrt(m_2 / m_4)", DIRLIK, "mean frequency")]
    d1: Annotated[float, Figure("D_1", "", "2 * (x_m - g ** 2) / (1 + g ** 2)", DIRLIK)]
    r: Annotated[float, Figure("R", "", "(g - x_m - D_1 ** 2) / (1 - g - D_1 + D_1 ** 2)", DIRLIK)]
    d2: Annotated[float, Figure("D_2", "", "(1 - g - D_1 + D_1 ** 2) / (1 - R)", DIRLIK)]
    d3: Annotated[float, Figure("D_3", "", "1 - D_1 - D_2", DIRLIK)]
    q: Annotated[float, Figure("Q", "", "1.25 * (g - D_3 - D_2 * R) / D_1", DIRLIK)]

    def density(self, ranges: ArrayLike) -> Floats:
        """Share of the cycles at a stress range, per MPa. [1/MPa]"""
        z = np.asarray(ranges, dtype=np.float64) / (2.0 * math.sqrt(self.m0))
        terms = (
            self.d1 / self.q * np.exp(-z / self.q)
            + self.d2 * z / self.r**2 * np.exp(-(z**2) / (2.0 * self.r**2))
            + self.d3 * z * np.exp(-(z**2) / 2.0)
        )
        return terms / (2.0 * math.sqrt(self.m0))

    def mean_power(self, slope: float, *, above: float = 0.0, below: float = math.inf) -> float:
        """Mean of range ** slope over all cycles, of it the part between two ranges. [MPa ** slope]"""
        scale = 2.0 * math.sqrt(self.m0)
        low, high = above / scale, below / scale
        exponential = self.d1 * self.q**slope * _gamma_between(1.0 + slope, low / self.q, high / self.q)
        widths = ((self.d2, self.r), (self.d3, 1.0))
        rayleigh = sum(
            weight * (math.sqrt(2.0) * width) ** slope
            * _gamma_between(1.0 + slope / 2.0, low**2 / (2.0 * width**2), high**2 / (2.0 * width**2))
            for weight, width in widths
        )  # fmt: skip
        return scale**slope * (exponential + rayleigh)


def spectral_moments(frequencies: ArrayLike, densities: ArrayLike) -> SpectralMoments:
    """Moments of a one-sided density, straight between its points and zero beyond its ends.

    Parameters
    ----------
    frequencies, densities : array, shape (n,)
        [Hz], rising; [MPa2/Hz].

    Raises
    ------
    InputError
        Shapes differ, fewer than two points, frequencies do not rise, a value is negative or not finite, or all
        densities are zero.

    Source
    ------
    S. O. Rice, 1944 and 1945 (from memory); the integral over each straight piece is exact.

    Examples
    --------
    >>> spectral_moments([1.0, 5.0], [100.0, 100.0]).m0
    400.0
    """
    f, g = _checked(frequencies, densities)
    m0, m1, m2, m4 = (_moment(f, g, order) for order in (0, 1, 2, 4))
    return SpectralMoments(
        m0, m1, m2, m4, math.sqrt(m0), math.sqrt(m2 / m0), math.sqrt(m4 / m2), m2 / math.sqrt(m0 * m4)
    )


def narrow_band_damage(curve: LifeCurve, deviation: float, cycles: float) -> float:
    """Damage of a narrow-band Gaussian stress, its ranges spread after Rayleigh. [-]

    Parameters
    ----------
    curve : LifeCurve
        Any number of slopes, with a cut-off or without.
    deviation : float
        Standard deviation of the stress. [MPa]
    cycles : float
        Number of cycles: crossings of the mean in the time meant. [-]

    Limits
    ------
    On the safe side for a stress of wider band, where it counts every crossing as a full cycle of its envelope.

    Source
    ------
    JCSS Probabilistic Model Code, Annex B1: E[S^m] = (2 sqrt(2) s)^m Gamma(1 + m/2); over each piece of the curve
    with the incomplete Gamma function.

    Examples
    --------
    >>> from fatigue.curves import LifeCurve
    >>> narrow_band_damage(LifeCurve("one slope", 71.0, 2e6, (3.0,)), 10.0, 1_262_304_000.0)
    53.04324646
    """
    scale = 2.0 * math.sqrt(2.0) * require_positive(deviation, "standard deviation", unit="MPa")
    require_not_negative(cycles, "number of cycles")
    total = 0.0
    for piece in pieces_of(curve):
        low, high = (piece.above / scale) ** 2, (piece.below / scale) ** 2
        total += scale**piece.slope * _gamma_between(1.0 + piece.slope / 2.0, low, high) / piece.constant
    return cycles * total


def wirsching_light(slope: float, irregularity: float) -> float:
    """Factor on the narrow-band damage for a stress of wider band. [-]

    Parameters
    ----------
    slope : float
        Of the curve, one for all ranges. [-]
    irregularity : float
        Crossings of the mean over peaks, above 0 and not above 1. [-]

    Limits
    ------
    Curves of one slope.

    Source
    ------
    P. H. Wirsching and M. C. Light, J. Struct. Div. ASCE 106 (1980) 1593-1607 (from memory).

    Examples
    --------
    >>> wirsching_light(3.0, 0.4650091468)
    0.8278814699
    """
    m = require_positive(slope, "slope")
    g = require_positive(irregularity, "irregularity")
    if g > 1.0:
        raise InputError(f"irregularity must not be above 1, got {g:g}")
    constants = read_table("fatigue", "wirsching_light")["wide band"]
    a = constants["a_0"] + constants["a_1"] * m
    b = constants["b_0"] + constants["b_1"] * m
    return a + (1.0 - a) * (1.0 - math.sqrt(1.0 - g * g)) ** b


def dirlik_shape(moments: SpectralMoments) -> DirlikShape:
    """Constants of Dirlik's density of rainflow ranges.

    Raises
    ------
    InputError
        The density is so narrow that they do not exist: take `narrow_band_damage` there.

    Source
    ------
    T. Dirlik, Application of computers in fatigue analysis, PhD thesis, University of Warwick, 1985 (from memory).
    """
    g = moments.irregularity
    x_m = moments.m1 / moments.m0 * math.sqrt(moments.m2 / moments.m4)
    d1 = 2.0 * (x_m - g * g) / (1.0 + g * g)
    rest = 1.0 - g - d1 + d1 * d1
    if not (d1 > 1e-6 and rest > 1e-6):
        raise InputError(
            f"Dirlik's density does not exist for an irregularity of {g:.6g}: the stress is of narrow band; take "
            "narrow_band_damage"
        )
    r = (g - x_m - d1 * d1) / rest
    d2 = rest / (1.0 - r)
    d3 = 1.0 - d1 - d2
    q = 1.25 * (g - d3 - d2 * r) / d1
    if not (0.0 < r < 1.0 and q > 0.0):
        raise InputError(
            f"Dirlik's density does not exist for this spectrum (R = {r:.4g}, Q = {q:.4g}): split it, or count a "
            "record in time"
        )
    return DirlikShape(moments.m0, moments.m1, moments.m2, moments.m4, g, x_m, d1, r, d2, d3, q)


def dirlik_damage(curve: LifeCurve, moments: SpectralMoments, time: float) -> float:
    """Damage of a Gaussian stress of any band width by Dirlik's density of ranges. [-]

    Parameters
    ----------
    curve : LifeCurve
        Any number of slopes, with a cut-off or without.
    moments : SpectralMoments
        From `spectral_moments`.
    time : float
        [s]

    Raises
    ------
    InputError
        As for `dirlik_shape`, or the time is below 0.

    Limits
    ------
    An empirical fit to rainflow counts of simulated records; not for stress that is not Gaussian. Against counts of
    simulated records it is about 4 % low for flat and falling spectra, and 11 % low for two separate bands on a
    slope of 5: not on the safe side.
    """
    require_not_negative(time, "time", unit="s")
    shape = dirlik_shape(moments)
    total = sum(
        shape.mean_power(piece.slope, above=piece.above, below=piece.below) / piece.constant
        for piece in pieces_of(curve)
    )
    return time * moments.peaks * total


def three_band_damage(curve: LifeCurve, deviation: float, cycles: float) -> float:
    """Damage of a narrow-band Gaussian stress in three steps: amplitudes of one, two and three deviations. [-]

    Parameters
    ----------
    curve, deviation, cycles
        As for `narrow_band_damage`.

    Limits
    ------
    A rule of thumb; amplitudes beyond three deviations are left out.

    Source
    ------
    Attributed to D. S. Steinberg, Vibration Analysis for Electronic Equipment (from memory).
    """
    deviation = require_positive(deviation, "standard deviation", unit="MPa")
    table = read_table("fatigue", "three_bands")
    rows = [table[key] for key in table]
    ranges = [2.0 * row["deviations"] * deviation for row in rows]
    return curve.damage(ranges, [row["share"] * require_not_negative(cycles, "number of cycles") for row in rows])


def _gamma_between(order: float, low: float, high: float) -> float:
    """Incomplete Gamma function of `order` from `low` to `high`."""
    from scipy.special import gamma, gammainc, gammaincc

    # Far out in the tail the difference of the lower functions would vanish in rounding.
    if low > order:
        part = gammaincc(order, low) - gammaincc(order, high)
    else:
        part = gammainc(order, high) - gammainc(order, low)
    return float(gamma(order) * part)


def _moment(f: Floats, g: Floats, order: int) -> float:
    """Integral of g * f ** order, g straight between its points."""
    steep = np.diff(g) / np.diff(f)
    level = g[:-1] - steep * f[:-1]
    one, two = (np.diff(f ** (order + k)) / (order + k) for k in (1, 2))
    return float(np.sum(level * one + steep * two))


def _checked(frequencies: ArrayLike, densities: ArrayLike) -> tuple[Floats, Floats]:
    f, g = np.asarray(frequencies, dtype=np.float64), np.asarray(densities, dtype=np.float64)
    if f.ndim != 1 or f.shape != g.shape or len(f) < 2:
        raise InputError(f"a density needs two or more points, shape (n,) twice, got {f.shape} and {g.shape}")
    for name, values, unit in (("frequency", f, "Hz"), ("density", g, "MPa2/Hz")):
        wrong = np.flatnonzero(~(np.isfinite(values) & (values >= 0.0)))
        if len(wrong):
            at = wrong[0]
            raise InputError(f"{name} must be finite and not below 0 {unit}, got {values[at]:g} at point {at + 1}")
    falls = np.flatnonzero(np.diff(f) <= 0.0)
    if len(falls):
        raise InputError(f"frequencies must rise, got {f[falls[0] + 1]:g} Hz after {f[falls[0]]:g} Hz")
    if not g.any():
        raise InputError("the density is zero throughout: there is no stress")
    return f, g
