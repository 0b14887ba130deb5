"""Machine: what a running, starting and stopping machine puts on its support, as ordinary load histories.

Channels are the forces "Vertical" and "Horizontal" [N] and, where the job states one, "Torque" [N mm].
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import combinations
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from loadhistories.exciters import DIRECTIONS, Harmonic, Strokes
from loadhistories.figures import Figure
from loadhistories.history import LoadHistory
from loadhistories.passage import Supports, passing_harmonics, passing_strokes, steady_harmonics, steady_strokes
from loadhistories.speedlaw import SpeedLaw, straight
from loadhistories.support import Support
from loadhistories.validation import InputError, where

TORQUE = "Torque"
CHANNELS = (*DIRECTIONS, TORQUE)

# Samples in one period of the fastest force: its peaks are then met within 0.02 %.
PER_PERIOD = 180
# Samples in one period of free vibration, and in one push.
PER_SWING, PER_PUSH = 60, 64
MOST_SAMPLES = 2_000_000
# Periods of force and support that one start and stop may have; each is integrated.
MOST_PERIODS = 10_000
# Longest history of several rates that is made without being asked for. [s]
LONGEST = 600.0

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Machine:
    """A machine on its support.

    Attributes
    ----------
    supports : (Support or None, Support or None)
        In each of DIRECTIONS; None is rigid.
    harmonics : tuple of Harmonic
        Forces that follow the angle of a shaft.
    strokes : tuple of Strokes
        Pushes while it runs at full speed.
    start, stop : SpeedLaw or None
        From rest to the running speed and back; None for a machine that only makes strokes.
    running, starting, stopping : dict of str to float
        Constant load in CHANNELS while it turns, and what comes on top of it while it starts or stops. [N, N mm]
    """

    supports: Supports
    harmonics: tuple[Harmonic, ...] = ()
    strokes: tuple[Strokes, ...] = ()
    start: SpeedLaw | None = None
    stop: SpeedLaw | None = None
    running: Mapping[str, float] = field(default_factory=dict)
    starting: Mapping[str, float] = field(default_factory=dict)
    stopping: Mapping[str, float] = field(default_factory=dict)

    @property
    def rates(self) -> tuple[Fraction, ...]:
        """Different rates of shafts and strokes, rising. [1/s]"""
        return tuple(sorted({*(item.turns for item in self.harmonics), *(item.rate for item in self.strokes)}))

    @property
    def channels(self) -> tuple[str, ...]:
        """Names of the channels of its histories."""
        torque = any(TORQUE in loads for loads in (self.running, self.starting, self.stopping))
        return CHANNELS if torque else DIRECTIONS


@dataclass(frozen=True)
class Beat:
    """Two rates whose forces drift through each other."""

    title: str
    first: Annotated[float, Figure("f_a", "Hz", title="rate of the one")]
    second: Annotated[float, Figure("f_b", "Hz", title="rate of the other")]
    span: Annotated[float, Figure("T_b", "s", "1 / abs(f_a - f_b)", title="time of one whole beat")]


@dataclass(frozen=True)
class Passage:
    """The largest force on the support in a start and stop, beside that of steady running."""

    direction: str
    steady: Annotated[float, Figure("F_run", "N", title="largest force on the support when running")]
    peak: Annotated[float, Figure("F_max", "N", title="largest force on the support while it starts and stops")]
    ratio: Annotated[float, Figure("k_max", "", "F_max / F_run", title="ratio of the two")]


def common_period(rates: tuple[Fraction, ...]) -> Fraction:
    """Shortest time in which each rate fits a whole number of times. [s]

    Examples
    --------
    >>> common_period((Fraction(49, 2), Fraction(243, 10)))
    Fraction(10, 1)
    """
    below = math.lcm(*(rate.denominator for rate in rates))
    return Fraction(below, math.gcd(*(int(rate * below) for rate in rates)))


def beats(machine: Machine) -> tuple[Beat, ...]:
    """The beats of its shafts that turn at nearly the same speed, the slower one above 0.8 of the faster one."""
    shafts = sorted({item.turns for item in machine.harmonics})
    return tuple(
        Beat("beat", float(a), float(b), float(1 / (b - a))) for a, b in combinations(shafts, 2) if a > b * 4 / 5
    )


def running_history(machine: Machine, *, length: float | None = None, place: str = "") -> LoadHistory:
    """One repeat of what the support is given at full speed, nothing of the start being left.

    Parameters
    ----------
    length : float, optional
        To be made where the whole repeat of several rates is too long; it holds at least one beat. [s]

    Raises
    ------
    InputError
        The whole repeat is longer than LONGEST or has too many samples, or `length` is shorter than a beat.
    """
    rates = machine.rates
    if not rates:
        raise InputError(f"the machine has no unbalance and no stroke: at full speed nothing changes{where(place)}")
    period = float(common_period(rates))
    remarks = ["made for one repeat of all its forces, steady: joined to itself it goes on without a step"]
    if length is not None and len(rates) > 1:
        period = _stated_length(machine, length, period, place)
        remarks = [f"made for {period:g} s as stated; its forces do not repeat exactly after that time"]
    step = _step(machine, swings=bool(machine.strokes))
    samples = math.ceil(period / step * (1.0 - 1e-9))
    if (period > LONGEST and len(rates) > 1 and length is None) or samples > MOST_SAMPLES:
        raise InputError(_too_long(machine, period, samples) + where(place))
    times = np.arange(samples) * (period / samples)
    forces = steady_harmonics(machine.harmonics, machine.supports, times)
    for item in machine.strokes:
        forces = forces + steady_strokes(item, machine.supports, times)
    values = _with_constant(machine, forces, np.ones(samples, bool), *np.zeros((2, samples), bool))
    return _history(machine, values, period / samples, remarks)


def start_stop_history(machine: Machine, *, place: str = "") -> LoadHistory:
    """One start, a stay at full speed until its free vibration has died away, one stop, and the rest after it.

    Raises
    ------
    InputError
        It would take too many periods or samples, or swings without damping.
    """
    _require_dying(machine, place)
    rest = max((on.decay_time for on in _used(machine)), default=0.0)
    stay, number = _stay(machine, rest)
    law = SpeedLaw((0.0, stay), (1.0, 1.0))
    if machine.start is not None and machine.stop is not None:
        law = machine.start.then(law).then(machine.stop)
    begins = machine.start.span if machine.start is not None else 0.0
    step = _step(machine, swings=True)
    _require_bounded(machine, law, rest, step, place)
    times = np.arange(math.ceil((law.span + rest) / step) + 1) * step
    forces = np.zeros((len(DIRECTIONS), len(times)))
    if machine.harmonics:
        forces = passing_harmonics(machine.harmonics, machine.supports, law, times)
    for item, pushes in zip(machine.strokes, number, strict=True):
        forces = forces + passing_strokes(item, machine.supports, pushes, times, begins=begins)
    turning, starting = times <= law.span, times <= begins
    stopping = turning & (times >= law.span - (machine.stop.span if machine.stop is not None else 0.0))
    if machine.start is None:
        starting, stopping = np.zeros((2, len(times)), bool)
    values = _with_constant(machine, forces, turning, starting, stopping)
    at_rest = np.zeros((len(values), 1))
    remarks = [
        f"one start and stop from rest to rest, with {stay:.4g} s at full speed between them, in which the free "
        "vibration of the start falls to a hundredth, as does that of the stop before the end"
    ]
    return _history(machine, np.hstack((at_rest, values, at_rest)), step, remarks)


def passages(machine: Machine, running: LoadHistory | None, started: LoadHistory) -> tuple[Passage, ...]:
    """The largest force of a start and stop beside that of running, in each direction that has one."""
    found = []
    for direction in DIRECTIONS if running is not None else ():
        steady = float(np.abs(running.channel(direction)).max())
        peak = float(np.abs(started.channel(direction)).max())
        if steady > 0.0:
            found.append(Passage(direction, steady, peak, peak / steady))
    return tuple(found)


def crossed(machine: Machine) -> tuple[tuple[str, float, Harmonic], ...]:
    """Resonances that a start passes: direction, natural frequency [Hz], and the force that meets it on its way up."""
    return tuple(
        (direction, on.frequency, item)
        for row, (direction, on) in enumerate(zip(DIRECTIONS, machine.supports, strict=True))
        for item in machine.harmonics
        if on is not None and item.weights[row] and item.frequency > on.frequency
    )


def _stay(machine: Machine, rest: float) -> tuple[float, list[int]]:
    """Time at full speed in a start and stop [s], and how many strokes of each kind fall into it."""
    slowest = min((item.turns for item in machine.harmonics), default=None)
    least = max(rest, float(2 / slowest) if slowest else 0.0)
    number = [math.ceil(least / item.period) + 1 for item in machine.strokes]
    stay = max([least, *(count * item.period for count, item in zip(number, machine.strokes, strict=True))])
    if stay == 0.0:
        stay = 0.1 * (machine.start.span if machine.start is not None else 1.0)
    return stay, number


def _used(machine: Machine) -> list[Support]:
    """The supports on which a changing force acts."""
    rows = {row for item in (*machine.harmonics, *machine.strokes) for row in (0, 1) if item.weights[row]}
    return [machine.supports[row] for row in sorted(rows) if machine.supports[row] is not None]


def _step(machine: Machine, *, swings: bool) -> float:
    """Time between samples that meets every peak closely. [s]"""
    steps = [1.0 / (PER_PERIOD * item.frequency) for item in machine.harmonics]
    steps += [item.duration / PER_PUSH for item in machine.strokes]
    steps += [item.rise / 8.0 for item in machine.strokes if item.rise]
    if swings:
        steps += [1.0 / (PER_SWING * on.frequency) for on in _used(machine)]
    if not steps:
        steps = [machine.start.span / 100.0 if machine.start is not None else 0.01]
    return min(steps)


def _stated_length(machine: Machine, length: float, period: float, place: str) -> float:
    """The stated length, or the whole repeat where that is no longer."""
    slowest = max([float(1 / rate) for rate in machine.rates] + [beat.span for beat in beats(machine)])
    if length < slowest:
        raise InputError(
            f"length must hold one whole beat and one period of every force, here {slowest:.6g} s, got {length:g} s"
            f"{where(place)}"
        )
    return min(length, period)


def _too_long(machine: Machine, period: float, samples: int) -> str:
    spans = [beat.span for beat in beats(machine)]
    hint = f"; one beat lasts {max(spans):.6g} s" if spans else ""
    if len(machine.rates) == 1:
        return (
            f"one period of {period:g} s needs {samples} samples, more than {MOST_SAMPLES}: a push is too short for it"
        )
    return (
        f"the forces repeat together only after {period:.6g} s ({samples} samples, made are at most {LONGEST:g} s and "
        f'{MOST_SAMPLES} samples){hint}: round the speeds, or state what is long enough, as in length = "120 s"'
    )


def _require_dying(machine: Machine, place: str) -> None:
    for on in _used(machine):
        if on.damping == 0.0:
            raise InputError(
                "without damping the free vibration of a start never dies away: give a damping ratio of the support "
                f"above 0{where(place)}"
            )


def _require_bounded(machine: Machine, law: SpeedLaw, rest: float, step: float, place: str) -> None:
    fastest = max((item.frequency for item in machine.harmonics), default=0.0)
    swings = max((on.frequency for on in _used(machine)), default=0.0)
    periods = law.turned[-1] * fastest + (law.span + rest) * swings
    samples = (law.span + rest) / step
    if periods > MOST_PERIODS or samples > MOST_SAMPLES:
        raise InputError(
            f"one start and stop of {law.span + rest:.4g} s has {periods:.0f} periods of force and support and "
            f"{samples:.0f} samples, more than {MOST_PERIODS} or {MOST_SAMPLES}: it is too slow to be integrated; "
            f"look at the time of start and stop, and at the damping{where(place)}"
        )


def _with_constant(machine: Machine, forces: Floats, turning, starting, stopping) -> Floats:
    """All channels, shape (n_channels, n), with the constant loads where they act."""
    values = np.zeros((len(machine.channels), forces.shape[1]))
    values[: len(DIRECTIONS)] = forces
    parts = ((machine.running, turning), (machine.starting, starting), (machine.stopping, stopping))
    for loads, when in parts:
        for channel, load in loads.items():
            values[machine.channels.index(channel), when] += load
    return values


def _history(machine: Machine, values: Floats, step: float, remarks: list[str]) -> LoadHistory:
    units = tuple("N mm" if name == TORQUE else "N" for name in machine.channels)
    return LoadHistory(machine.channels, units, values, step, remarks=tuple(remarks))


def ramp(duration: float, *, rising: bool, place: str = "") -> SpeedLaw:
    """The law of a start or a stop whose speed changes evenly. [s]"""
    first, last = (0.0, 1.0) if rising else (1.0, 0.0)
    return straight(duration, first, last, name="time of the start" if rising else "time of the stop", place=place)
