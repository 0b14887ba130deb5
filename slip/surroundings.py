"""Holes among each other: what lies round a hole for a force of one direction, and the spacings of a group."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

SENSES = (1, -1)
DIGITS = 9


@dataclass(frozen=True)
class Surroundings:
    """What lies round one hole for a force of one direction. [mm]

    Attributes
    ----------
    pitch : float or None
        To the next hole ahead; None where the end of the plate comes next.
    gauge : float or None
        To the nearest hole that stands neither ahead nor behind; None where there is none.
    edge : bool
        Whether no other hole lies between it and an edge of the plate beside it.
    """

    pitch: float | None
    gauge: float | None
    edge: bool


@dataclass(frozen=True, order=True)
class Followed:
    """One component of the force on one bolt: along the axis `axis`, 0 for x."""

    bolt: int
    axis: int


def surroundings(positions: NDArray[np.float64], bolt: int, *, axis: int, sense: int, width: float) -> Surroundings:
    """What lies round the hole of a bolt that presses along an axis, in the sense 1 or -1.

    Bolts count as one behind the other where they are less than a hole's width apart across the force. For holes
    that stand neither behind nor beside each other the distance between them counts as gauge.
    """
    steps = np.delete(positions - positions[bolt], bolt, axis=0)
    ahead, across = sense * steps[:, axis], steps[:, 1 - axis]
    in_line = np.abs(across) < width
    beside = np.abs(ahead) < width
    pitches = ahead[in_line & (ahead > 0.0)]
    gauges = np.where(beside, np.abs(across), np.hypot(ahead, across))[~in_line]
    between = beside & ~in_line
    return Surroundings(
        round(float(pitches.min()), DIGITS) if pitches.size else None,
        round(float(gauges.min()), DIGITS) if gauges.size else None,
        not (np.any(between & (across > 0.0)) and np.any(between & (across < 0.0))),
    )


def followed(positions: NDArray[np.float64], width: float) -> tuple[Followed, ...]:
    """The force components that can govern bearing: of bolts with the same surroundings, those at the outside.

    A component along x is linear in y, and along y in x, so that no bolt between two others of the same
    surroundings takes more along that axis.
    """
    found = []
    for axis in (0, 1):
        alike: dict[tuple, list[int]] = {}
        for bolt in range(len(positions)):
            key = tuple(surroundings(positions, bolt, axis=axis, sense=sense, width=width) for sense in SENSES)
            alike.setdefault(key, []).append(bolt)
        for bolts in alike.values():
            other = positions[bolts, 1 - axis]
            found += {Followed(bolts[int(pick(other))], axis) for pick in (np.argmin, np.argmax)}
    return tuple(sorted(found))


def spacing(positions: NDArray[np.float64], direction: str, width: float) -> tuple[float | None, float | None]:
    """Smallest pitch along and gauge across a direction; None where no bolt stands there. [mm]

    Bolts count as one behind the other where they are less than a hole's width apart across the direction. For
    bolts that stand neither behind nor beside each other the distance between them counts as gauge.
    """
    along, across = (1, 0) if direction == "y" else (0, 1)
    first, second = np.triu_indices(len(positions), k=1)
    steps = np.abs(positions[first] - positions[second])
    behind = steps[:, across] < width
    beside = steps[:, along] < width
    pitch = steps[behind, along]
    gauge = np.where(beside, steps[:, across], np.hypot(steps[:, 0], steps[:, 1]))[~behind]
    return (float(pitch.min()) if pitch.size else None, float(gauge.min()) if gauge.size else None)
