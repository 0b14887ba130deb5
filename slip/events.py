"""Walks the load blocks of one joint at one level: the worst instant of every measure, with the slips beside it.

The walk keeps extremes and counts only, so its memory does not grow with the history. Chunks of any size give
the same outcome. What a level, a grip or a strength is comes from the caller; how a group slides, from `sliding`.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from slip.reduced import ReducedPreloads, grip_utilisation
from slip.sliding import TRACE_BINS, BlockSlip, Pushed, Slides

PERMANENT_ALONE = "permanent load alone"


@dataclass(frozen=True)
class Combination:
    """Factors on the permanent and on the variable load."""

    name: str
    permanent: float
    variable: float


@dataclass(frozen=True)
class Level:
    """One load level: its combinations and the grip of a bolt, `factor * (preload - tension_share * tension)`.

    `factor` is None for bolts without preload: then no slip is looked for.
    """

    name: str
    combinations: tuple[Combination, ...]
    factor: float | None
    tension_share: float


@dataclass(frozen=True)
class Instant:
    """The forces on one bolt at the instant that matters. [N]; time in s, None for the permanent load alone."""

    value: float
    load: str
    combination: str
    time: float | None
    bolt: int
    shear: tuple[float, float]
    tension: float
    shears: NDArray[np.float64]
    tensions: NDArray[np.float64]


@dataclass(frozen=True)
class Forces:
    """Forces on some bolts at some instants. [N]

    Attributes
    ----------
    shear : array, shape (n_bolts, 2, m)
    tension : array, shape (n_bolts, m)
        Below zero where the plates are pressed together.
    size : array, shape (n_bolts, m)
        Of the shear.
    """

    shear: NDArray[np.float64]
    tension: NDArray[np.float64]
    size: NDArray[np.float64]


def forces_of(shear: NDArray[np.float64], tension: NDArray[np.float64]) -> Forces:
    """Forces with the size of the shear."""
    return Forces(shear, tension, np.sqrt(shear[:, 0] * shear[:, 0] + shear[:, 1] * shear[:, 1]))


def _largest(forces: Forces) -> Forces:
    """The largest shear and the largest tension of each bolt, as if they came together."""
    size = forces.size.max(axis=1, keepdims=True)
    return Forces(np.stack([size, np.zeros_like(size)], axis=1), forces.tension.max(axis=1, keepdims=True), size)


Measure = Callable[[Forces], NDArray[np.float64]]


def slip_measure(level: Level, preload: float) -> Measure:
    """Shear over grip of each bolt; infinite where the tension leaves no grip. [-]"""

    def utilisation(forces: Forces) -> NDArray[np.float64]:
        return grip_utilisation(
            forces.size, forces.tension, factor=level.factor, preload=preload, tension_share=level.tension_share
        )

    return utilisation


def preload_share_measure(level: Level, preload: float) -> Measure:
    """Share of the specified preload at which the bolt's grip just equals its shear. [-]"""

    def share(forces: Forces) -> NDArray[np.float64]:
        return (forces.size / level.factor + level.tension_share * np.maximum(forces.tension, 0.0)) / preload

    return share


class LevelWalk:
    """Follows one level through all blocks: the largest value of each measure, and slips.

    Every measure is to be convex, or a quotient of a convex by a concave one, in the forces: then it is largest
    at an outermost bolt, and only those are looked at. It is to depend on the size of the shear and on the tension
    alone, and not to fall when one of them grows.
    """

    def __init__(
        self,
        level: Level,
        measures: dict[str, Measure],
        *,
        bolts,
        all_forces,
        slip: str | None = None,
        reduced: ReducedPreloads | None = None,
    ):
        """Measures by their name.

        Parameters
        ----------
        bolts : array, shape (k,)
            Numbers of the bolts whose forces are fed.
        all_forces : callable
            `all_forces(load)` gives shear, shape (n_bolts, 2), and tension, shape (n_bolts,), of every bolt
            under one load, shape (6,).
        slip : str, optional
            The measure whose value above 1 is a slip of the first bolt; None to look for none.
        reduced : ReducedPreloads, optional
            Takes the largest utilisation in grip at smaller preloads; only together with `slip`.
        """
        self.level = level
        self.worst: dict[str, Instant] = {}
        self.slides = Slides(np.asarray(bolts))
        self.reduced = reduced
        self._measures = measures
        self._bolts = bolts
        self._all_forces = all_forces
        self._slip = slip
        self._done = 0

    @property
    def blocks(self) -> list[BlockSlip]:
        """Slip of each block."""
        return self.slides.blocks

    def permanent(self, load, shear: NDArray[np.float64], tension: NDArray[np.float64], net) -> None:
        """Take in the permanent load acting alone; shapes (6,), (k, 2, 1), (k, 1) and (3, 1)."""
        found = []
        for part in self.level.combinations:
            forces = forces_of(part.permanent * shear, part.permanent * tension)
            found.append((forces, part.permanent * net))
            self._measure(PERMANENT_ALONE, part, None, forces, lambda _, part=part: part.permanent * load)
        if self._slip:
            measure = self._measures[self._slip]
            self.slides.permanent([Pushed(measure(forces), forces.shear, net) for forces, net in found])

    def begin(self, block: LoadBlock) -> None:
        """Start a block."""
        self._done = 0
        bins = min(TRACE_BINS, block.samples) if self._slip else 0
        self.slides.begin(BlockSlip(block.name, block.repeats, block.step, block.samples, trace=np.zeros(bins)))

    def feed(self, variable, permanent) -> None:
        """Take in the next instants of the block.

        Parameters
        ----------
        variable, permanent : tuple of arrays
            Load, shape (6, m) and (6,), in-plane force of the bolts looked at, shape (k, 2, m) and (k, 2, 1),
            their tension, shape (k, m) and (k, 1), and the net in-plane load as `sliding.Pushed` has it, shape
            (3, m) and (3, 1). [N, N mm]
        """
        block = self.blocks[-1]
        loads, fixed = variable[0], permanent[0]
        found = []
        for part in self.level.combinations:
            shear, tension, net = (
                part.variable * moving + part.permanent * still
                for moving, still in zip(variable[1:], permanent[1:], strict=True)
            )
            forces = forces_of(shear, tension)
            values = self._measure(
                block.load, part, block.step, forces,
                lambda at, part=part: part.variable * loads[:, at] + part.permanent * fixed,
            )  # fmt: skip
            if self._slip:
                found.append(Pushed(values[self._slip], shear, net))
        if found:
            self.slides.feed(found)
        self._done += loads.shape[1]

    def end(self) -> None:
        """Close the block."""
        self.slides.end()

    def _measure(self, load: str, part: Combination, step: float | None, forces: Forces, load_at):
        values = {}
        largest = _largest(forces)
        for key, measure in self._measures.items():
            # A measure that does not pass its largest value even at the largest shear and tension is not looked at.
            if key != self._slip and key in self.worst and float(measure(largest).max()) <= self.worst[key].value:
                continue
            values[key] = table = measure(forces)
            bolt, at = divmod(int(np.argmax(table)), table.shape[1])
            value = float(table[bolt, at])
            if key == self._slip and self.reduced is not None:
                self.reduced.feed(
                    table, forces.size, forces.tension,
                    lambda bolt, at: (load, part.name, self._time(step, at), int(self._bolts[bolt])),
                )  # fmt: skip
            if key in self.worst and value <= self.worst[key].value:
                continue
            shears, tensions = self._all_forces(load_at(at))
            self.worst[key] = Instant(
                value,
                load,
                part.name,
                self._time(step, at),
                int(self._bolts[bolt]),
                (float(forces.shear[bolt, 0, at]), float(forces.shear[bolt, 1, at])),
                float(forces.tension[bolt, at]),
                shears,
                tensions,
            )
        return values

    def _time(self, step: float | None, at: int) -> float | None:
        return None if step is None else (self._done + at) * step
