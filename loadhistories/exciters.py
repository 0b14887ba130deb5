"""Exciters: the forces that turn or beat in a machine, as harmonics of its angle or as strokes.

A harmonic of order h grows with the square of the speed: U (Omega^2 cos(h theta + phase) + alpha / h sin(h theta +
phase)) is the force of a mass whose place is U / h^2 cos(h theta + phase), also while the speed changes.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from loadhistories.validation import InputError, require_finite, require_one_of, require_positive, where

DIRECTIONS = ("Vertical", "Horizontal")
SHAPES = ("half-sine", "rectangular", "trapezoid")

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Harmonic:
    """A force that turns with a shaft or goes to and fro with it.

    Attributes
    ----------
    title : str
        What it comes from.
    turns : Fraction
        Turns of its shaft in a second, when running. [1/s]
    order : int
        Its periods in one turn.
    unbalance : float
        Amplitude over the square of the angular speed. [kg mm]
    weights, phases : (float, float)
        Its share and its phase [rad] in each of DIRECTIONS.
    """

    title: str
    turns: Fraction
    order: int
    unbalance: float
    weights: tuple[float, float]
    phases: tuple[float, float]

    @property
    def frequency(self) -> float:
        """When running. [Hz]"""
        return float(self.turns) * self.order

    @property
    def amplitude(self) -> float:
        """Force when running, in the direction of its full share. [N]"""
        return self.unbalance * (2.0 * math.pi * float(self.turns)) ** 2 / 1000.0


def rotating(title: str, turns: Fraction, unbalance: float, *, phase: float = 0.0) -> tuple[Harmonic, ...]:
    """The force of an unbalance [kg mm] that turns: the same in both directions, a quarter of a turn apart."""
    return (Harmonic(title, turns, 1, unbalance, (1.0, 1.0), (phase, phase - 0.5 * math.pi)),)


def along_line(
    title: str, turns: Fraction, orders: Sequence[tuple[int, float]], *, inclination: float, phase: float = 0.0
) -> tuple[Harmonic, ...]:
    """Forces to and fro along one line.

    Parameters
    ----------
    orders : sequence of (int, float)
        Order and unbalance [kg mm] of each.
    inclination : float
        Of the line, from the horizontal. [rad]
    phase : float
        Of the shaft. [rad]
    """
    weights = line_weights(inclination)
    return tuple(
        Harmonic(title, turns, order, unbalance, weights, (order * phase, order * phase))
        for order, unbalance in orders
        if unbalance
    )


def line_weights(inclination: float) -> tuple[float, float]:
    """Shares of a line in each of DIRECTIONS, from its inclination to the horizontal [rad]; exact at right angles."""
    weights = (math.sin(inclination), math.cos(inclination))
    return tuple(0.0 if abs(weight) < 1e-12 else weight for weight in weights)


@dataclass(frozen=True)
class Strokes:
    """A push that comes again at an even rate.

    Attributes
    ----------
    title : str
    rate : Fraction
        [1/s]
    force : float
        Largest force; its sign tells the way along the line. [N]
    duration : float
        From the first to the last of the push. [s]
    shape : str
        One of SHAPES.
    rise : float
        Time in which a trapezoid rises, and falls again; 0 for the other shapes. [s]
    weights : (float, float)
        Its share in each of DIRECTIONS.
    """

    title: str
    rate: Fraction
    force: float
    duration: float
    shape: str
    rise: float
    weights: tuple[float, float]

    @property
    def period(self) -> float:
        """[s]"""
        return float(1 / self.rate)

    @property
    def knots(self) -> tuple[float, ...]:
        """Instants since the start of a push between which the force is smooth. [s]"""
        inner = (self.rise, self.duration - self.rise) if self.shape == "trapezoid" else ()
        return tuple(dict.fromkeys((0.0, *inner, self.duration)))

    def push(self, since: float, piece: int) -> float:
        """Force at a time since the start of the push, in a piece between its knots. [N]"""
        if self.shape == "rectangular":
            return self.force
        if self.shape == "half-sine":
            return self.force * math.sin(math.pi * since / self.duration)
        left = min(since, self.duration - since)
        return self.force * min(1.0, max(left, 0.0) / self.rise)

    def forces(self, times: Floats) -> Floats:
        """Force at times since the first push began, repeated for ever. [N]"""
        since = np.mod(times, self.period)
        # A time that rounding brings just below a period is the start of the next push.
        since[since > self.period * (1.0 - 1e-12)] = 0.0
        inside = since <= self.duration
        found = np.zeros_like(since)
        found[inside] = [self.push(float(value), 0) for value in since[inside]]
        return found


def strokes(
    title: str,
    rate: Fraction,
    force: float,
    duration: float,
    *,
    shape: str,
    rise: float = 0.0,
    inclination: float = 0.5 * math.pi,
    place: str = "",
) -> Strokes:
    """Strokes, checked; `inclination` of their line to the horizontal. [rad]

    Raises
    ------
    InputError
        The shape is unknown, a push is longer than the time between two, a trapezoid rises in no time or in more than
        half of its duration.
    """
    require_one_of(shape, SHAPES, "shape of the stroke", place=place)
    require_finite(force, "force of the stroke", unit="N", place=place)
    require_positive(abs(force), "size of the force of the stroke", unit="N", place=place)
    require_positive(duration, "duration of the stroke", unit="s", place=place)
    if duration >= float(1 / rate):
        raise InputError(
            f"a stroke must be shorter than the {float(1 / rate):.4g} s from one to the next, got {duration:g} s"
            f"{where(place)}"
        )
    if shape == "trapezoid":
        require_positive(rise, "rise of the stroke", unit="s", place=place)
        if rise > 0.5 * duration:
            raise InputError(
                f"rise of the stroke must be at most half of its duration of {duration:g} s, got {rise:g} s"
                f"{where(place)}"
            )
    return Strokes(title, rate, force, duration, shape, rise, line_weights(inclination))
