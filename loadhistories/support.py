"""Support: what a machine on springs hands on to its supports, in closed form for a steady harmonic force.

One degree of freedom for each direction; how a start or a stop passes through is in passage.py.
"""

import cmath
import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_not_negative, require_positive, where

SOURCE = "linear oscillator of one degree of freedom, steady state"
# Without damping, a steady response closer to resonance than this says more of the data than of the machine.
NEAREST_UNDAMPED = 0.02
# From here to its inverse the response hangs on damping and natural frequency so much that it is said.
NEAR = 0.8


@dataclass(frozen=True)
class Support:
    """How a machine stands in one direction.

    Attributes
    ----------
    frequency : float
        Natural frequency of the machine on its support. [Hz]
    damping : float
        Damping ratio, a share of the critical damping. [-]
    """

    frequency: float
    damping: float

    @property
    def rate(self) -> float:
        """Natural circular frequency. [rad/s]"""
        return 2.0 * math.pi * self.frequency

    @property
    def decay_time(self) -> float:
        """Time in which free vibration falls to a hundredth. [s]"""
        return math.log(100.0) / (self.damping * self.rate)


def support(frequency: float, damping: float, *, place: str = "") -> Support:
    """A support, checked.

    Raises
    ------
    InputError
        The frequency is not above zero, or the damping ratio is below zero or not below one.
    """
    require_positive(frequency, "natural frequency of the support", unit="Hz", place=place)
    require_not_negative(damping, "damping ratio of the support", place=place)
    if damping >= 1.0:
        raise InputError(
            f"damping ratio of the support must be below 1, a share of the critical damping, got {damping:g}: "
            f'was it meant in per cent, as in "{damping:g} %"?{where(place)}'
        )
    return Support(float(frequency), float(damping))


@dataclass(frozen=True)
class SupportResponse:
    """A steady harmonic force on a machine, and what its support is given of it."""

    direction: str
    source: str
    frequency: Annotated[float, Figure("f", "Hz", title="frequency of the force")]
    natural_frequency: Annotated[float, Figure("f_n", "Hz", title="natural frequency of the machine on its support")]
    damping: Annotated[float, Figure("zeta", "", title="damping ratio")]
    ratio: Annotated[float, Figure("r", "", "f / f_n", title="ratio of the frequencies")]
    amplification: Annotated[
        float,
        Figure("V", "", "1 / sqrt((1 - r**2)**2 + (2 * zeta * r)**2)", SOURCE, "amplification of the displacement"),
    ]
    transmissibility: Annotated[
        float,
        Figure("T", "", "V * sqrt(1 + (2 * zeta * r)**2)", "spring and damper", "share of the force that reaches it"),
    ]
    force: Annotated[float, Figure("F_0", "N", title="amplitude of the force on the machine")]
    transmitted: Annotated[float, Figure("F_T", "N", "T * F_0", title="amplitude of the force on the support")]


def amplification(ratio: float, damping: float) -> float:
    """Displacement under a harmonic force over that under the same force at rest. [-]

    Parameters
    ----------
    ratio : float
        Frequency of the force over the natural frequency, not below 0. [-]
    damping : float
        Damping ratio. [-]

    Raises
    ------
    InputError
        At resonance without damping there is none.

    Source
    ------
    Linear oscillator of one degree of freedom; any textbook of vibration, from memory.

    Examples
    --------
    >>> amplification(1.0, 0.05)
    10.0
    >>> round(amplification(2.0, 0.0), 6)
    0.333333
    """
    require_not_negative(ratio, "ratio of the frequencies")
    require_not_negative(damping, "damping ratio")
    if damping == 0.0 and abs(ratio - 1.0) < NEAREST_UNDAMPED:
        raise InputError(
            f"at {ratio:.3g} times the natural frequency without damping the response has no bound: "
            "give a damping ratio above 0"
        )
    return 1.0 / math.hypot(1.0 - ratio**2, 2.0 * damping * ratio)


def unbalance_response(ratio: float, damping: float) -> float:
    """Displacement of a machine times its mass, over the unbalance that turns in it. [-]

    Source
    ------
    r^2 times the amplification; any textbook of vibration, from memory.

    Examples
    --------
    >>> round(unbalance_response(10.0, 0.05), 3)
    1.01
    """
    return ratio**2 * amplification(ratio, damping)


def transmissibility(ratio: float, damping: float) -> float:
    """Force on the support over the harmonic force on the machine. [-]

    Source
    ------
    Spring and damper in parallel; any textbook of vibration, from memory.

    Examples
    --------
    >>> round(transmissibility(2.0**0.5, 0.3), 12)
    1.0
    """
    return amplification(ratio, damping) * math.hypot(1.0, 2.0 * damping * ratio)


def handed_on(frequency: float, on: Support | None) -> complex:
    """Force on the support for a unit force on the machine, as a complex number; 1 for a rigid support (None)."""
    if on is None:
        return 1.0 + 0.0j
    ratio = frequency / on.frequency
    size = transmissibility(ratio, on.damping)
    phase = cmath.phase((1.0 + 2j * on.damping * ratio) / complex(1.0 - ratio**2, 2.0 * on.damping * ratio))
    return cmath.rect(size, phase)


def support_response(force: float, frequency: float, on: Support, *, direction: str, source: str) -> SupportResponse:
    """The working of one harmonic force on one direction of a support.

    Parameters
    ----------
    force : float
        Amplitude. [N]
    frequency : float
        [Hz]
    direction, source : str
        Where it acts, and what makes it.
    """
    ratio = frequency / on.frequency
    size, share = amplification(ratio, on.damping), transmissibility(ratio, on.damping)
    return SupportResponse(
        direction, source, frequency, on.frequency, on.damping, ratio, size, share, force, share * force
    )
