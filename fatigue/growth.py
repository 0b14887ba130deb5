"""How a crack grows under a spectrum: its sizes over time, cycle by cycle or with the cycles mixed.

The laws of growth stand in growth_laws.py, the stress intensity in cracks.py, inspection in inspection.py.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.growth_laws import GrowthLaw
from loadhistories.validation import InputError, require_positive

CELLS = 400
LONGEST_ORDER = 100_000
# Factor of growth, of all sizes together, within which a crack meets an end or has stopped.
LARGEST_GROWTH = 1e9


class Intensity(Protocol):
    """Stress intensity at one tip, for a unit of stress. [mm^0.5]"""

    per_stress: float
    plain_factor: float


class Crack(Protocol):
    """A crack of some shape; see `fatigue.cracks`."""

    sizes: tuple[str, ...]

    def intensities(self, *size: float) -> tuple[Intensity, ...]: ...

    def reference_stress(self, *size: float) -> float | None: ...

    def ends(self) -> tuple[tuple[str, Callable[..., float]], ...]: ...


@dataclass(frozen=True, eq=False)
class YearlySpectrum:
    """Stress ranges [MPa] in rising order and how often each occurs in a year; made by `yearly_spectrum`."""

    ranges: NDArray[np.float64]
    per_year: NDArray[np.float64]


def yearly_spectrum(ranges: ArrayLike, counts: ArrayLike, *, years: float) -> YearlySpectrum:
    """The cycles of some years as a spectrum of one year.

    Parameters
    ----------
    ranges, counts : array, shape (m,)
        Stress ranges [MPa] and how often each occurs within `years`.
    years : float
        Time in which they occur. [year]

    Raises
    ------
    InputError
        No cycle, shapes that differ, a value that is negative or not finite.

    Limits
    ------
    More than 400 different ranges are joined in 400 equal steps, each counted at the largest range in it.
    """
    span = require_positive(years, "years in which the cycles occur", unit="year")
    values, numbers = np.asarray(ranges, np.float64), np.asarray(counts, np.float64)
    if values.ndim != 1 or values.shape != numbers.shape:
        raise InputError(f"ranges and counts must have one shape (m,), got {values.shape} and {numbers.shape}")
    for name, array in (("stress range", values), ("count of cycles", numbers)):
        bad = np.flatnonzero(~(np.isfinite(array) & (array >= 0.0)))
        if bad.size:
            raise InputError(f"{name} must be finite and not below 0, got {array[bad[0]]:g} (number {bad[0]})")
    used = (values > 0.0) & (numbers > 0.0)
    if not used.any():
        raise InputError("a crack needs cycles to grow: every range or count is 0")
    values, numbers = values[used], numbers[used]
    places = values
    if np.unique(values).size > CELLS:
        places = np.ceil(values / values.max() * CELLS)
    _, firsts, inverse = np.unique(places, return_index=True, return_inverse=True)
    largest = np.zeros(firsts.size)
    np.maximum.at(largest, inverse, values)
    return YearlySpectrum(largest, np.bincount(inverse, weights=numbers) / span)


@dataclass(frozen=True, eq=False)
class GrowthPath:
    """Sizes of a crack over time.

    Attributes
    ----------
    years : array, shape (n,)
        From 0 at the first size. [year]
    sizes : array, shape (n, k)
        Depth, and half length where the shape has one. [mm]
    end : str
        What ended the growth; "" where the crack stopped growing before.
    """

    years: NDArray[np.float64]
    sizes: NDArray[np.float64]
    end: str


def grow(
    crack: Crack,
    law: GrowthLaw,
    spectrum: YearlySpectrum,
    *,
    start: Sequence[float],
    ends: Sequence[tuple[str, Callable[..., float]]],
) -> GrowthPath:
    """Grows a crack under a spectrum, its cycles evenly mixed, until one of the ends is reached.

    Parameters
    ----------
    crack : shape of `fatigue.cracks`
    law, spectrum
        The ranges count in full, also their part in compression.
    start : sequence of float
        Depth, and half length where the shape has one. [mm]
    ends : sequence of (str, function of the sizes)
        Name, and a value that reaches 1 from below when the crack is at this end.

    Returns
    -------
    GrowthPath

    Limits
    ------
    Cycles of all sizes are mixed within times in which the crack grows little: no effect of their order.
    """
    from scipy.integrate import solve_ivp

    sizes = np.array([require_positive(value, f"{name} of the crack", unit="mm")
                      for name, value in zip(crack.sizes, start, strict=True)])  # fmt: skip
    for name, share in ends:
        if share(*sizes) >= 1.0:
            raise InputError(f"the crack is at its end from the start: {name}")

    def slopes(_, state):
        # Along the growth (logarithm of the size) and not along time, which runs ever slower towards the end.
        now = np.exp(state[:-1])
        relative = yearly_growth(crack, law, spectrum, now) / now
        fastest = relative.max()
        if fastest == 0.0:
            return np.zeros(state.size)
        return np.append(relative / fastest, 1.0 / fastest)

    events = [_event(share) for _, share in ends]
    way = (0.0, math.log(LARGEST_GROWTH))
    path = solve_ivp(slopes, way, [*np.log(sizes), 0.0], events=events, rtol=1e-6, atol=1e-9, max_step=0.05)
    if not path.success:
        raise RuntimeError(f"crack growth could not be integrated: {path.message}")
    met = [name for (name, _), times in zip(ends, path.t_events, strict=True) if len(times)]
    return GrowthPath(path.y[-1], np.exp(path.y[:-1].T), met[0] if met else "")


def yearly_growth(
    crack: Crack, law: GrowthLaw, spectrum: YearlySpectrum, sizes: Sequence[float]
) -> NDArray[np.float64]:
    """Growth of each size in a year as long as the crack has these sizes. [mm/year]"""
    per_stress = np.array([tip.per_stress for tip in crack.intensities(*map(float, sizes))])
    return law.rate(np.multiply.outer(per_stress, spectrum.ranges)) @ spectrum.per_year


def grow_in_order(crack: Crack, law: GrowthLaw, ranges: ArrayLike, *, start: Sequence[float]) -> NDArray[np.float64]:
    """Sizes of a crack after cycles in their order, each with the stress intensity of the size it meets. [mm]

    Parameters
    ----------
    ranges : array, shape (m,)
        Stress range of one cycle after another, at most 100 000. [MPa]
    start : sequence of float
        Depth, and half length where the shape has one. [mm]

    Returns
    -------
    array, shape (k,)

    Raises
    ------
    InputError
        The crack meets one of its ends on the way.
    """
    values = np.asarray(ranges, np.float64)
    if values.ndim != 1 or values.size > LONGEST_ORDER or not (np.isfinite(values) & (values >= 0.0)).all():
        raise InputError(f"ranges must be at most {LONGEST_ORDER} finite values of shape (m,), none below 0")
    sizes = np.array(start, np.float64)
    for number, value in enumerate(values):
        for name, share in crack.ends():
            if share(*sizes) >= 1.0:
                raise InputError(f"the crack meets its end after {number} of {values.size} cycles: {name}")
        per_stress = np.array([tip.per_stress for tip in crack.intensities(*sizes.tolist())])
        sizes = sizes + law.rate(per_stress * value)
    return sizes


def _event(share: Callable[..., float]) -> Callable:
    def left(_, state):
        return 1.0 - share(*np.exp(state[:-1]).tolist())

    left.terminal = True
    return left
