"""Treatments of the values of one channel, in their fixed order: spikes, steps, drift, zero, noise gate."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.drift import BESIDE, rest_level, without_drift, without_line
from loadhistories.noise import gated, noise_of
from loadhistories.raw import RawRecord
from loadhistories.segments import Change, Segment
from loadhistories.spikes import bridged, find_spikes, half_window
from loadhistories.validation import InputError

MOST_REPLACED = 0.05


@dataclass(frozen=True)
class SpikeTreatment:
    """Spikes are replaced by the line between their neighbours.

    `window` of the running median [s]; a spike is more off it than `times` the median deviation, or than `above`, in
    the channel's base unit.
    """

    window: float
    times: float | None = None
    above: float | None = None


@dataclass(frozen=True)
class DriftTreatment:
    """The slow part is taken out, its mean stays: a running median of `window` [s], or with 0 a straight line."""

    window: float


@dataclass(frozen=True)
class ChannelTreatment:
    """What is done to one channel; None and () where nothing.

    Attributes
    ----------
    steps : tuple of float
        Times at which the level jumped; each jump is taken out from there on. [s]
    zero : float or None
        What is subtracted, in the channel's base unit.
    zero_at_rest : bool
        The level of the quietest span is subtracted.
    gate : float or None
        Ups and downs below it are taken out, in the channel's base unit.
    gate_times : float or None
        The same as a multiple of the measured noise.
    """

    spikes: SpikeTreatment | None = None
    steps: tuple[float, ...] = ()
    drift: DriftTreatment | None = None
    zero: float | None = None
    zero_at_rest: bool = False
    gate: float | None = None
    gate_times: float | None = None


def treated_channel(
    name: str, values: NDArray[np.float64], wanted: ChannelTreatment, segments: tuple[Segment, ...], raw: RawRecord
) -> tuple[NDArray[np.float64], list[Change]]:
    """The values after the treatments, and what each changed.

    Raises
    ------
    InputError
        A window does not fit the sampling, a step lies outside the record, or more than a twentieth of the samples
        would be replaced as spikes.
    """
    place = f"{raw.path}, column {name!r}" if raw.path else f"column {name!r}"
    changes: list[Change] = []
    if wanted.spikes is not None:
        values, found = _without_spikes(name, values, wanted.spikes, segments, raw, place)
        changes += found
    for at in wanted.steps:
        after = _without_step(values, at, segments, raw, place)
        changes.append(_change("steps", name, values, after, segments, raw))
        values = after
    if wanted.drift is not None:
        after = _without_slow_part(values, wanted.drift, raw, place)
        changes.append(_change("drift", name, values, after, segments, raw))
        values = after
    if wanted.zero is not None or wanted.zero_at_rest:
        after = values - (rest_level(values) if wanted.zero is None else wanted.zero)
        changes.append(_change("zero", name, values, after, segments, raw))
        values = after
    gate = wanted.gate if wanted.gate_times is None else wanted.gate_times * noise_of(values)
    if gate:
        after = gated(values, gate)
        changes.append(_change("gate", name, values, after, segments, raw))
        values = after
    return values, [change for change in changes if change.samples]


def _without_spikes(name, values, wanted: SpikeTreatment, segments, raw: RawRecord, place: str):
    half = half_window(wanted.window, raw.step, place)
    found, changes, replaced = np.array(values), [], 0
    for segment in segments:
        part = slice(segment.first, segment.first + segment.samples)
        spikes = find_spikes(values[part], half=half, times=wanted.times, above=wanted.above)
        if not spikes:
            continue
        found[part] = bridged(values[part], spikes)
        for spike in spikes:
            first, last, peak = (segment.first + at for at in (spike.first, spike.last, spike.peak))
            times = _time_at(first, segments, raw), _time_at(last, segments, raw)
            changes.append(
                Change(
                    "spikes", name, *times, last - first + 1, float(values[peak]), float(found[peak]),
                    _time_at(peak, segments, raw),
                )
            )
            replaced += last - first + 1
    if replaced > MOST_REPLACED * values.size:
        raise InputError(
            f"spikes would replace {replaced} of {values.size} samples, more than a twentieth: these are no spikes, or "
            f"the limit is too low ({place})"
        )
    return found, changes


def _without_step(values, at: float, segments, raw: RawRecord, place: str) -> NDArray[np.float64]:
    """The values with the jump nearest to a time taken out from there on."""
    around = [
        index for segment in segments
        for index in range(segment.first + 1, segment.first + segment.samples)
        if abs(_time_at(index, (segment,), raw) - at) <= 1.5 * raw.step
    ]  # fmt: skip
    if not around:
        raise InputError(f"there is no sample at the step at {at:g} s ({place})")
    first = max(around, key=lambda index: abs(values[index] - values[index - 1]))
    rise = np.median(values[first : first + BESIDE]) - np.median(values[max(0, first - BESIDE) : first])
    found = np.array(values)
    found[first:] -= rise
    return found


def _without_slow_part(values, wanted: DriftTreatment, raw: RawRecord, place: str) -> NDArray[np.float64]:
    if not wanted.window:
        return without_line(values)
    half = round(wanted.window / raw.step) // 2
    if half < 10:
        raise InputError(
            f"window of the drift must hold at least 21 samples, {21 * raw.step:.4g} s, got {wanted.window:g} s "
            f"({place})"
        )
    return without_drift(values, half)


def _change(treatment: str, name: str, before, after, segments, raw: RawRecord) -> Change:
    """Everything that one treatment changed of a channel, with the value that it changed most."""
    moved = np.flatnonzero(before != after)
    if not moved.size:
        return Change(treatment, name, 0.0, 0.0, 0, None, None)
    most = int(moved[np.argmax(np.abs(after[moved] - before[moved]))])
    times = _time_at(int(moved[0]), segments, raw), _time_at(int(moved[-1]), segments, raw)
    at = _time_at(most, segments, raw)
    return Change(treatment, name, *times, int(moved.size), float(before[most]), float(after[most]), at)


def _time_at(sample: int, segments, raw: RawRecord) -> float:
    """Time of a sample of the joined segments, from the first row of the file. [s]"""
    segment = next(part for part in reversed(segments) if sample >= part.first)
    return segment.time + (sample - segment.first) * raw.step
