"""Slow change of a channel's level: steps that stay, drift, the level at rest."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.spikes import Spike, bridged, find_spikes, jump_limits

FEWEST = 200
SPANS = 20
_OTHER_SPANS = (13, 7)
BESIDE = 25
MOST_STEPS = 5


@dataclass(frozen=True)
class Drift:
    """A level that runs away: `change` from end to end by the straight line through the medians of 20 spans."""

    change: float
    scatter: float


def drift_of(values: NDArray[np.float64], noise: float) -> Drift | None:
    """Drift of a channel, or a load that grows throughout; None where its level does not run one way.

    The change from end to end is above four times the scatter of the medians about their line, three times the
    noise, and a twentieth of the channel's whole range; and all of that also with 13 and 7 spans, so that cycles
    which nearly fill a span are not taken for drift.
    """
    if values.size < FEWEST:
        return None
    found = [_drift(values, spans) for spans in (SPANS, *_OTHER_SPANS)]
    least = max(3.0 * noise, 0.05 * float(np.ptp(values)), 1e-9 * float(np.abs(values).max()))
    sure = all(abs(item.change) > max(least, 4.0 * item.scatter) for item in found)
    return found[0] if sure and len({item.change > 0.0 for item in found}) == 1 else None


def _drift(values: NDArray[np.float64], spans: int) -> Drift:
    medians = np.array([np.median(part) for part in np.array_split(values, spans)])
    place = np.arange(spans) - (spans - 1) / 2
    slope = float(place @ medians / (place @ place))
    scatter = float(np.sqrt(np.mean((medians - medians.mean() - slope * place) ** 2)))
    return Drift(slope * spans, scatter)


def shift_at_rest(values: NDArray[np.float64], noise: float) -> float | None:
    """Level at the end less that at the start, where the channel is at rest at both; None where they agree.

    At rest: the first and the last hundredth of the record scatter by less than three times the noise and a twentieth
    of the whole range. They agree within six times the noise and 3 % of the range, or where the channel is at rest
    at its first level again within the last fifth.
    """
    if values.size < FEWEST:
        return None
    length, span = max(BESIDE, values.size // 100), float(np.ptp(values))
    first, last = values[:length], values[-length:]
    quiet = min(3.0 * noise, 0.05 * span)
    if max(first.std(), last.std()) > quiet:
        return None
    shift = float(np.median(last) - np.median(first))
    for part in np.array_split(values[-(values.size // 5) :], max(1, values.size // 5 // length)):
        if part.std() <= quiet and abs(np.median(part) - np.median(first)) < 0.5 * abs(shift):
            return None
    return shift if abs(shift) > max(6.0 * noise, 0.03 * span) else None


def find_steps(values: NDArray[np.float64], spikes: list[Spike] | None = None) -> list[tuple[int, float]]:
    """Jumps of the level from one sample to the next that stay, each as its first sample and its size.

    None of a channel that also jumps back by as much, or that jumps often: such jumps are its load. `spikes` are
    those of the channel, where they were found before.
    """
    if values.size < FEWEST:
        return []
    plain = bridged(values, find_spikes(values) if spikes is None else spikes)
    steps = np.diff(plain, prepend=plain[0])
    limit = jump_limits(plain)
    jumps = np.flatnonzero(np.abs(steps) > limit)
    if not 0 < jumps.size <= MOST_STEPS:
        return []
    found = [(int(at), _rise(plain, int(at))) for at in jumps]
    found = [
        (at, rise) for at, rise in found
        if abs(rise) > max(0.7 * abs(steps[at]), limit[at]) and rise * steps[at] > 0
    ]  # fmt: skip
    for at, rise in found:
        if any(other * rise < 0 and 0.5 <= abs(other / rise) <= 2.0 for place, other in found if place != at):
            return []
    return [(at, rise) for at, rise in found if _stays(plain, at, rise)]


def rest_level(values: NDArray[np.float64]) -> float:
    """Median of the quietest of 20 spans: the level at rest, if the record holds one."""
    parts = np.array_split(values, SPANS) if values.size >= FEWEST else [values]
    quiet = min(parts, key=lambda part: float(np.std(part)))
    return float(np.median(quiet))


def without_drift(values: NDArray[np.float64], half: int) -> NDArray[np.float64]:
    """The values less the slow part of their running median, which keeps its mean.

    The median is taken at places a twentieth of the window apart and joined by lines.
    """
    length = 2 * half + 1
    every = max(1, length // 20)
    places = np.unique(np.append(np.arange(0, values.size, every), values.size - 1))
    medians = np.array([np.median(values[max(0, p - half) : p + half + 1]) for p in places])
    slow = np.interp(np.arange(values.size), places, medians)
    return values - (slow - slow.mean())


def without_line(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The values less the straight line through the medians of 20 spans, which keeps its mean."""
    spans = min(SPANS, values.size)
    parts = np.array_split(np.arange(values.size), spans)
    centres = np.array([part.mean() for part in parts])
    medians = np.array([np.median(values[part]) for part in parts])
    slope = np.polyfit(centres, medians, 1)[0] if spans > 1 else 0.0
    place = np.arange(values.size)
    return values - slope * (place - place.mean())


def _rise(values: NDArray[np.float64], at: int) -> float:
    """Difference of the medians behind and before a jump."""
    return float(np.median(values[at : at + BESIDE]) - np.median(values[max(0, at - BESIDE) : at]))


def _stays(values: NDArray[np.float64], at: int, rise: float) -> bool:
    """Whether the level behind a jump keeps its distance from that before to the end of the record."""
    before, after = values[:at], values[at:]
    if min(before.size, after.size) < BESIDE:
        return False
    moved = np.median(after) - np.median(before)
    back = np.median(after[-BESIDE:]) - np.median(before[-BESIDE:])
    return moved / rise > 0.5 and back / rise > 0.5
