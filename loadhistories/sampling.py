"""Sampling test: how many samples the fastest cycles that do damage have, and what that does to the damage."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from loadhistories.figures import Figure
from loadhistories.noise import turning_places

FEWEST = 64
SLOPES = (3.0, 5.0)
ENOUGH = 10.0
# Half cycles below a fifth of the largest range do under one in a hundred of its damage at a slope of 3.
LEAST_SHARE = 0.2
# Ranges of noise alone stay below this many standard deviations of it.
OF_NOISE = 9.0

_SOURCE = "common practice, no source: at least about 10 to 20 samples a cycle"


@dataclass(frozen=True)
class Sampling:
    """Sampling of one channel against its cycles; the range of a cycle to the power of 3 stands for its damage.

    Attributes
    ----------
    samples_per_cycle : float
        So many samples have the cycles at the highest damaging frequency; a tenth of the damage has fewer.
    missed_low, missed_high : float
        Estimated share of the damage that is missed because peaks fall between samples, for slopes of 3 and 5.
    half_cycles : int
        Number of half cycles that were looked at.
    """

    samples_per_cycle: Annotated[float, Figure("n_c", "", clause=_SOURCE, title="samples a cycle")]
    step: Annotated[float, Figure("Δt", "s", title="time between samples")]
    frequency: Annotated[float, Figure("f_d", "1/s", "1 / (n_c * Δt)", title="highest damaging frequency")]
    missed_low: float
    missed_high: float
    half_cycles: int

    @property
    def coarse(self) -> bool:
        """Whether there are fewer samples a cycle than practice asks for."""
        return self.samples_per_cycle < ENOUGH


def sampling_of(
    values: NDArray[np.float64], step: float, noise: float, breaks: NDArray[np.int64] | None = None
) -> Sampling | None:
    """Sampling test of a channel; None where nothing in it is larger than its noise.

    Parameters
    ----------
    noise : float
        Standard deviation of the noise, in the unit of the values.
    breaks : array of int, optional
        Places that do not follow the one before; no half cycle is taken across them.

    Limits
    ------
    Half cycles are those between turning points at least a fifth of the whole range apart: rainflow pairs them
    otherwise, but does not make them faster. Each is taken as half a sine.
    """
    span = float(np.ptp(values)) if values.size >= FEWEST else 0.0
    gate = max(LEAST_SHARE * span, OF_NOISE * noise)
    if not 0.0 < gate <= span:
        return None
    places = np.array(turning_places(values, gate))
    ranges, lengths = np.abs(np.diff(values[places])), np.diff(places)
    kept = ranges >= gate
    if breaks is not None:
        kept &= np.diff(np.searchsorted(breaks, places, side="right")) == 0
    ranges, lengths = ranges[kept] / span, lengths[kept]
    if not ranges.size:
        return None
    weights = ranges ** SLOPES[0]
    order = np.argsort(lengths)
    shares = np.cumsum(weights[order]) / weights.sum()
    per_cycle = 2.0 * float(lengths[order][np.searchsorted(shares, 0.1)])
    missed = [1.0 - float((ranges**m).sum() / (ranges**m / seen(2.0 * lengths, m)).sum()) for m in SLOPES]
    return Sampling(per_cycle, step, 1.0 / (per_cycle * step), missed[0], missed[1], int(ranges.size))


def seen(samples_per_cycle, slope: float):
    """Share of the damage of a sine that its samples show on average over where they fall. [-]

    The nearest sample lies anywhere within half a step of a peak; the range that is seen is the cosine of that part
    of the cycle, and the damage that range to the power of the slope.

    Source
    ------
    Derived: mean of cos(x)**m for x from 0 to pi / n.

    Examples
    --------
    >>> float(seen(10.0, 3.0))
    0.952
    """
    widest = np.pi / np.asarray(samples_per_cycle, float)
    nodes, weights = np.polynomial.legendre.leggauss(8)
    angles = np.multiply.outer(widest, 0.5 * (nodes + 1.0))
    return np.cos(np.minimum(angles, np.pi / 2)) ** slope @ (0.5 * weights)
