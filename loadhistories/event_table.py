"""Events of a crane monitor: rows of time, load and duration become a history that rises, holds and comes back."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from loadhistories.history import LoadHistory
from loadhistories.validation import InputError, require_finite, require_positive, where

CHANNEL = "Load"
MOST_SAMPLES = 5_000_000
# Samples that the shortest event or pause is to have where no step is given.
SAMPLES_OF_SHORTEST = 2


def history_of_events(
    times: NDArray[np.float64], loads: NDArray[np.float64], durations: NDArray[np.float64], *, unit: str, idle: float,
    covers: float | None = None, step: float | None = None, place: str = "", remarks: Sequence[str] = (),
) -> LoadHistory:  # fmt: skip
    """One channel: each event as its load for its duration, the idle load before, between and after.

    However short it is, an event has at least one sample, and at least one idle sample lies between two events, so
    that each is a cycle of its own.

    Parameters
    ----------
    times : array, shape (n,)
        Start of each event. [s]
    loads : array, shape (n,)
        Base unit.
    durations : array, shape (n,)
        [s]
    idle : float
        Load between events. Base unit.
    covers : float, optional
        Time that the table covers from its first event on; until the end of the last event where not given. [s]
    step : float, optional
        Between two samples; from the shortest duration or pause where not given. [s]

    Raises
    ------
    InputError
        Times that do not rise, an event that begins before the last one ends, a duration that is not above 0, a step
        that is too coarse to keep the events apart or makes more than MOST_SAMPLES.
    """
    _require_order(times, loads, durations, place)
    starts = times - times[0]
    ends = starts + durations
    whole = float(ends[-1]) if covers is None else require_positive(covers, "covers", unit="s", place=place)
    if whole < ends[-1] * (1.0 - 1e-9):
        raise InputError(f"covers {whole:g} s ends before the last event, at {ends[-1]:g} s{where(place)}")
    require_finite(idle, "idle", place=place)
    pauses = starts[1:] - ends[:-1]
    if step is None:
        lengths = np.concatenate([durations, pauses[pauses > 1e-6 * whole]])
        step = float(f"{lengths.min() / SAMPLES_OF_SHORTEST:.3g}")
    require_positive(step, "step", unit="s", place=place)
    samples = max(round(whole / step), 1)
    if samples > MOST_SAMPLES:
        raise InputError(
            f"{whole:g} s in steps of {step:.3g} s are {samples} samples, at most {MOST_SAMPLES} are made: give a "
            f"larger step, such as \"{_round_up(whole / MOST_SAMPLES):g} s\"{where(place)}"
        )
    values = np.full((1, samples), float(idle))
    first = 1
    for number, (start, end) in enumerate(zip(starts, ends, strict=True)):
        begin = max(round(start / step) + 1, first)
        stop = max(round(end / step) + 1, begin + 1)
        if number + 1 < len(starts):
            # The next event keeps its own start; an idle sample before it is taken from this one.
            stop = max(min(stop, round(starts[number + 1] / step)), begin + 1)
        if stop > samples - 1:
            values = np.concatenate([values, np.full((1, stop + 1 - samples), float(idle))], axis=1)
            samples = values.shape[1]
        values[0, begin:stop] = loads[number]
        first = stop + 1
        if (begin - 1) * step - start > 2.0 * step:
            raise InputError(
                f"the step of {step:g} s is too coarse to keep event {number + 1} apart from those before it: give a "
                f"smaller step{where(place)}"
            )
    values.flags.writeable = False
    return LoadHistory((CHANNEL,), (unit,), values, step, None, tuple(remarks))


def _require_order(times, loads, durations, place: str) -> None:
    for values, name in ((times, "time"), (loads, "load"), (durations, "duration")):
        if not np.isfinite(values).all():
            raise InputError(f"{name} of event {int(np.argmin(np.isfinite(values))) + 1} must be finite{where(place)}")
    if (durations <= 0.0).any():
        row = int(np.argmax(durations <= 0.0))
        raise InputError(f"duration of event {row + 1} must be above 0 s, got {durations[row]:g} s{where(place)}")
    steps = np.diff(times)
    if (steps <= 0.0).any():
        row = int(np.argmax(steps <= 0.0))
        raise InputError(f"event {row + 2} does not begin after event {row + 1}: sort the table by time{where(place)}")
    overlap = times[:-1] + durations[:-1] - times[1:]
    if (overlap > 1e-9 * max(float(times[-1] - times[0]), 1.0)).any():
        row = int(np.argmax(overlap))
        raise InputError(
            f"event {row + 2} begins {overlap[row]:.4g} s before event {row + 1} ends; events of one crane do not "
            f"overlap: mend times or durations{where(place)}"
        )


def _round_up(value: float) -> float:
    """The next value of two digits."""
    scale = 10.0 ** (np.floor(np.log10(value)) - 1.0)
    return float(np.ceil(value / scale) * scale)
