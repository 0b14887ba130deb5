"""SpeedLaw: how the speed of a machine goes up and down, as straight pieces over time; and the angle turned by then."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive, where

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class SpeedLaw:
    """Share of the running speed over time, straight between its knots.

    Attributes
    ----------
    times : tuple of float
        Rising, from 0. [s]
    shares : tuple of float
        Of the running speed, from 0 to 1. [-]
    """

    times: tuple[float, ...]
    shares: tuple[float, ...]

    @property
    def span(self) -> float:
        """Time from the first knot to the last. [s]"""
        return self.times[-1]

    @property
    def turned(self) -> tuple[float, ...]:
        """Integral of the share up to each knot. [s]"""
        steps = [
            (later - time) * (share + next_share) / 2.0
            for (time, share), (later, next_share) in pairwise(zip(self.times, self.shares, strict=True))
        ]
        return tuple(np.concatenate(([0.0], np.cumsum(steps))).tolist())

    def piece(self, number: int) -> tuple[float, float, float, float]:
        """Start [s], share there, its rate [1/s] and the integral up to there [s] of the piece after a knot."""
        start, end = self.times[number], self.times[number + 1]
        rate = (self.shares[number + 1] - self.shares[number]) / (end - start)
        return start, self.shares[number], rate, self.turned[number]

    def at(self, times: Floats) -> tuple[Floats, Floats, Floats]:
        """Share of the speed, its rate and its integral at some instants, arrays of one shape."""
        knots, turned = np.array(self.times), np.array(self.turned)
        piece = np.clip(np.searchsorted(knots, times, side="right") - 1, 0, len(knots) - 2)
        rates = np.diff(self.shares) / np.diff(knots)
        since = np.clip(times, 0.0, self.span) - knots[piece]
        rate, share = rates[piece], np.array(self.shares)[piece]
        return share + rate * since, rate, turned[piece] + since * (share + 0.5 * rate * since)

    def then(self, other: "SpeedLaw") -> "SpeedLaw":
        """This law followed by another, which begins at the share where this one ends."""
        later = tuple(self.span + time for time in other.times[1:])
        return SpeedLaw(self.times + later, self.shares + other.shares[1:])


def straight(duration: float, first: float, last: float, *, name: str = "time", place: str = "") -> SpeedLaw:
    """A law of one straight piece.

    Examples
    --------
    >>> straight(4.0, 0.0, 1.0).turned
    (0.0, 2.0)
    """
    require_positive(duration, name, unit="s", place=place)
    return SpeedLaw((0.0, float(duration)), (first, last))


def speed_table(
    rows: Sequence[tuple[float, float]], running: float, *, rising: bool, place: str = ""
) -> SpeedLaw:
    """The law of a table of times [s] and speeds, in the unit of `running`.

    Parameters
    ----------
    rows : sequence of (float, float)
        Time and speed; from rest to the running speed if `rising`, else from it to rest.

    Raises
    ------
    InputError
        Every rule the table breaks: it begins at 0 s, the times rise, no speed is below zero, the ends fit.
    """
    problems = []
    if len(rows) < 2:
        raise InputError(f"a table of speeds needs at least two rows of time and speed, got {len(rows)}{where(place)}")
    require_positive(running, "running speed", place=place)
    times = [require_finite(time, "time", unit="s", place=place) for time, _ in rows]
    speeds = [require_not_negative(speed, "speed", place=place) for _, speed in rows]
    if times[0] != 0.0:
        problems.append(f"a table of speeds must begin at 0 s, got {times[0]:g} s{where(place)}")
    for earlier, later in pairwise(times):
        if later <= earlier:
            problems.append(f"times of a table of speeds must rise, got {later:g} s after {earlier:g} s{where(place)}")
    first, last = (0.0, running) if rising else (running, 0.0)
    for word, wanted, got in (("begin", first, speeds[0]), ("end", last, speeds[-1])):
        if abs(got - wanted) > 1e-6 * running:
            share = "at rest" if wanted == 0.0 else "at the running speed"
            problems.append(
                f"a table of speeds of a {'start' if rising else 'stop'} must {word} {share}, got {got / running:.4g} "
                f"times the running speed{where(place)}"
            )
    if problems:
        raise InputError(*problems)
    shares = [speed / running for speed in speeds]
    shares[0], shares[-1] = first / running, last / running
    return SpeedLaw(tuple(times), tuple(shares))
