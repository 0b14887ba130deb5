"""Cycles summed up: by bins of range, as exceedances, and as one constant range that does the same damage."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loadhistories.validation import InputError, require_positive

Floats = NDArray[np.float64]


class Cycles(Protocol):
    """Anything that holds ranges and how often each occurs."""

    @property
    def ranges(self) -> Floats: ...

    @property
    def counts(self) -> Floats: ...


@dataclass(frozen=True)
class Spectrum:
    """Cycles by range.

    Attributes
    ----------
    lower, upper : array, shape (n_bins,)
        Edges of each bin; a range equal to an edge lies in the bin below it. Unit of the ranges.
    cycles : array, shape (n_bins,)
        Cycles in each bin. [-]
    exceedances : array, shape (n_bins,)
        Cycles above the lower edge of each bin. [-]
    """

    lower: Floats
    upper: Floats
    cycles: Floats
    exceedances: Floats


def spectrum(count: Cycles, bins: int | ArrayLike) -> Spectrum:
    """The cycles in bins of range.

    Parameters
    ----------
    count : CycleCount, CycleTable or alike
        The cycles.
    bins : int or array, shape (n_bins + 1,)
        Number of equal bins from 0 to the largest range, or their edges: rising, from 0 or above.

    Returns
    -------
    Spectrum

    Raises
    ------
    InputError
        There are no bins, the edges do not rise, or a range lies outside them.

    Examples
    --------
    >>> from fatigue.cycles import count_cycles
    >>> spectrum(count_cycles([-2, 1, -3, 5, -1, 3, -4, 4, -2]), bins=3).cycles
    array([0.5, 2. , 1.5])
    """
    ranges, counts = _checked(count.ranges, count.counts)
    edges = _edges(bins, float(ranges.max(initial=0.0)))
    outside = ranges[(ranges <= edges[0]) | (ranges > edges[-1])]
    if len(outside):
        raise InputError(
            f"bins from {edges[0]:g} to {edges[-1]:g} leave out {len(outside)} ranges between "
            f"{outside.min():g} and {outside.max():g}; give edges around every range"
        )
    places = np.searchsorted(edges, ranges, side="left") - 1
    cycles = np.bincount(places, weights=counts, minlength=len(edges) - 1)
    return Spectrum(edges[:-1], edges[1:], cycles, np.cumsum(cycles[::-1])[::-1])


def exceedance(ranges: ArrayLike, counts: ArrayLike) -> tuple[Floats, Floats]:
    """How many cycles reach or exceed each range that occurs.

    Parameters
    ----------
    ranges, counts : array, shape (m,)
        Ranges and how often each occurs.

    Returns
    -------
    ranges : array, shape (k,)
        Each range once, the largest first. Unit of `ranges`.
    cycles : array, shape (k,)
        Cycles of this range or a larger one. [-]

    Raises
    ------
    InputError
        The two differ in shape, or hold a negative value or one that is not finite.

    Examples
    --------
    >>> exceedance([3, 4, 6, 4], [0.5, 0.5, 0.5, 1.0])
    (array([6., 4., 3.]), array([0.5, 2. , 2.5]))
    """
    given, numbers = _checked(ranges, counts)
    distinct, places = np.unique(given, return_inverse=True)
    cycles = np.bincount(places, weights=numbers, minlength=len(distinct))
    return distinct[::-1], np.cumsum(cycles[::-1])


def equivalent_range(ranges: ArrayLike, counts: ArrayLike, slope: float, cycles: float | None = None) -> float:
    """The constant range that does the same damage. Unit of `ranges`.

    Parameters
    ----------
    ranges, counts : array, shape (m,)
        Ranges and how often each occurs.
    slope : float
        Slope m of the life curve, N = c / S**m. [-]
    cycles : float, optional
        How often the constant range occurs; left out: as often as all the ranges together. [-]

    Returns
    -------
    float
        0 if no range does damage.

    Raises
    ------
    InputError
        Arrays of different shape, negative values, a slope or number of cycles not above 0, or no cycle at
        all and no `cycles` given.

    Limits
    ------
    One slope, no cut-off: every range counts.

    Source
    ------
    Linear damage sum: common practice, no source.

    Examples
    --------
    >>> equivalent_range([3, 4, 6, 8, 9], [0.5, 1.5, 0.5, 1.0, 0.5], slope=3)
    6.491112113
    """
    given, numbers = _checked(ranges, counts)
    power = require_positive(slope, "slope")
    total = float(numbers.sum())
    if cycles is None and total == 0:
        raise InputError("no cycles to be made equivalent; give the number of cycles, or ranges with counts above 0")
    wanted = total if cycles is None else require_positive(cycles, "number of cycles")
    # Ranges over the largest one, so that no power overflows.
    largest = float(given.max(initial=0.0))
    if largest == 0.0:
        return 0.0
    return largest * float((numbers * (given / largest) ** power).sum() / wanted) ** (1.0 / power)


def _checked(ranges: ArrayLike, counts: ArrayLike) -> tuple[Floats, Floats]:
    given, numbers = np.asarray(ranges, np.float64), np.asarray(counts, np.float64)
    if given.ndim != 1 or given.shape != numbers.shape:
        raise InputError(f"ranges and counts must have one shape (m,), got {given.shape} and {numbers.shape}")
    for name, array in (("ranges", given), ("counts", numbers)):
        wrong = np.flatnonzero(~(np.isfinite(array) & (array >= 0)))
        if len(wrong):
            raise InputError(f"{name} must be finite and not below 0, got {array[wrong[0]]:g} at index {wrong[0]}")
    return given, numbers


def _edges(bins: int | ArrayLike, largest: float) -> Floats:
    if np.ndim(bins) == 0:
        number = require_positive(bins, "number of bins")
        if number != int(number):
            raise InputError(f"number of bins must be whole, got {number:g}; or give the edges")
        return np.linspace(0.0, largest or 1.0, int(number) + 1)
    edges = np.asarray(bins, np.float64)
    if edges.ndim != 1 or len(edges) < 2 or not np.isfinite(edges).all() or edges[0] < 0 or (np.diff(edges) <= 0).any():
        raise InputError(f"edges of bins must be two or more finite values that rise from 0 or above, got {bins!r}")
    return edges
