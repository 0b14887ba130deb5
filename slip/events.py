"""Walks the load blocks of one joint at one level: the worst instant of every measure, with the slips beside it.

The walk keeps extremes and counts only, so its memory does not grow with the history. Chunks of any size give
the same outcome. What a level, a grip or a strength is comes from the caller; how a group slides, from `sliding`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from slip.measures import Forces, Measure, forces_of, largest_of, outer_lines
from slip.reduced import ReducedPreloads, first_largest
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


class Acting:
    """Load at some instants and what it does to the bolts looked at, one product of rows with the load for all.

    Parameters
    ----------
    load : array, shape (6, m)
        [N, N mm]
    table : array, shape (n_rows, m)
        Forces. [N]
    rows : Rows
        Which of them are what.
    """

    def __init__(self, load: NDArray[np.float64], table: NDArray[np.float64], rows: "Rows"):
        self.load = load
        self.table = table
        self.rows = rows

    @cached_property
    def shear(self) -> NDArray[np.float64]:
        """In-plane force of the bolts looked at, shape (k, 2, m). [N]"""
        return self.table[self.rows.bolts[:, :2]]

    @cached_property
    def tension(self) -> NDArray[np.float64]:
        """Their tension, shape (k, m). [N]"""
        return self.table[self.rows.bolts[:, 2]]

    @cached_property
    def net(self) -> NDArray[np.float64]:
        """Net in-plane load as `sliding.Pushed` has it, shape (3, m). [N]"""
        return self.table[self.rows.net]


@dataclass(frozen=True, eq=False)
class Rows:
    """Where the forces of the bolts looked at stand in a table: along x, along y, tension, shape (k, 3); net load."""

    bolts: NDArray[np.int64]
    net: NDArray[np.int64]


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
        preload: float = 0.0,
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
        preload : float
            That of which the measure `slip` tells; only together with it. [N]
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
        self.preload = preload
        self._done = 0
        self._bounds: NDArray[np.float64] | None = None

    @property
    def blocks(self) -> list[BlockSlip]:
        """Slip of each block."""
        return self.slides.blocks

    def permanent(self, alone: Acting) -> None:
        """Take in the permanent load acting alone, one instant."""
        found = []
        for part in self.level.combinations:
            forces = forces_of(part.permanent * alone.shear, part.permanent * alone.tension)
            found.append((forces, part.permanent * alone.net))
            self._measure(
                PERMANENT_ALONE, part, lambda _: None, forces, lambda _, part=part: part.permanent * alone.load[:, 0]
            )
        if self._slip:
            measure = self._measures[self._slip]
            self.slides.permanent([Pushed(measure(forces), forces.shear, net) for forces, net in found])

    def begin(self, block: LoadBlock) -> None:
        """Start a block."""
        self._done = 0
        bins = min(TRACE_BINS, block.samples) if self._slip else 0
        self.slides.begin(
            BlockSlip(block.name, block.repeats, block.step, block.samples, trace=np.zeros(bins), timed=block.timed)
        )

    def feed(self, variable: Acting, permanent: Acting) -> None:
        """Take in the next instants of the block; `permanent` is of one instant."""
        found = [self._take(variable, permanent, part, self._done) for part in self.level.combinations]
        if self._slip:
            self.slides.feed(_largest_ratio(found), lambda: found)
        self._done += variable.load.shape[1]

    def feed_followed(
        self,
        ratio: NDArray[np.float64],
        closer: list[tuple[int, Acting]],
        variable: Callable[[], Acting],
        permanent: Acting,
    ) -> None:
        """Take in the next instants of the block, whose grip has been followed already.

        Parameters
        ----------
        ratio : array, shape (m,)
            The largest utilisation in grip of every instant. [-]
        closer : list of (int, Acting)
            Instants among which a measure may pass its worst value, with the number of their first one.
        variable : callable
            Gives all instants; asked for where a bolt has no margin.
        """
        for first, acting in closer:
            for part in self.level.combinations:
                self._take(acting, permanent, part, self._done + first)

        def pushed() -> list[Pushed]:
            acting = variable()
            return [self._pushed(acting, permanent, part) for part in self.level.combinations]

        self.slides.feed(ratio, pushed)
        self._done += len(ratio)

    @property
    def bounds(self) -> NDArray[np.float64]:
        """Lines as of `measures.Measure.within`, shape (l, 2), within which no measure passes its worst value."""
        if self._bounds is None:
            kept = [measure.within(self.worst[key].value) for key, measure in self._measures.items()]
            self._bounds = outer_lines(np.concatenate([*kept, *([self.reduced.within()] if self.reduced else [])]))
        return self._bounds

    def end(self) -> None:
        """Close the block."""
        self.slides.end()

    def _take(self, variable: Acting, permanent: Acting, part: Combination, first: int):
        """Measure one combination and keep what is worst; what slides need of it."""
        forces = self._forces(variable, permanent, part)
        fixed = permanent.load[:, 0]
        block = self.blocks[-1]
        values = self._measure(
            block.load, part, lambda at: (first + at) * block.step if block.timed else None, forces,
            lambda at: part.variable * variable.load[:, at] + part.permanent * fixed,
        )  # fmt: skip
        return self._pushed(variable, permanent, part, forces, values) if self._slip else None

    def _forces(self, variable: Acting, permanent: Acting, part: Combination) -> Forces:
        return forces_of(
            part.variable * variable.shear + part.permanent * permanent.shear,
            part.variable * variable.tension + part.permanent * permanent.tension,
        )

    def _pushed(self, variable: Acting, permanent: Acting, part: Combination, forces=None, values=None) -> Pushed:
        forces = forces or self._forces(variable, permanent, part)
        used = values[self._slip] if values else self._measures[self._slip](forces)
        return Pushed(used, forces.shear, part.variable * variable.net + part.permanent * permanent.net)

    def _measure(self, load: str, part: Combination, time_at, forces: Forces, load_at):
        values = {}
        largest = largest_of(forces)
        for key, measure in self._measures.items():
            # A measure that does not pass its largest value even at the largest shear and tension is not looked at.
            if key != self._slip and key in self.worst and float(measure(largest).max()) <= self.worst[key].value:
                continue
            values[key] = table = measure(forces)
            bolt, at = first_largest(table)
            value, time = float(table[bolt, at]), time_at(at)
            if key == self._slip and self.reduced is not None:
                self.reduced.feed(
                    table, forces.size, forces.tension,
                    lambda bolt, at: (load, part.name, time_at(at), int(self._bolts[bolt])),
                )  # fmt: skip
                self._bounds = None
            if key in self.worst and not _passes(value, load, time, self.worst[key]):
                continue
            self._bounds = None
            shears, tensions = self._all_forces(load_at(at))
            self.worst[key] = Instant(
                value, load, part.name, time, int(self._bolts[bolt]),
                (float(forces.shear[bolt, 0, at]), float(forces.shear[bolt, 1, at])),
                float(forces.tension[bolt, at]), shears, tensions,
            )  # fmt: skip
        return values


def _passes(value: float, load: str, time: float | None, worst: Instant) -> bool:
    """Whether a value is worse, or as bad and earlier in the same load: then pieces of any size give the same."""
    earlier = worst.load == load and time is not None and worst.time is not None and time < worst.time
    return value > worst.value or (value == worst.value and earlier)


def _largest_ratio(found: list[Pushed]) -> NDArray[np.float64]:
    """The largest utilisation in grip of every instant, over bolts and combinations. [-]"""
    ratio = found[0].utilisation.max(axis=0)
    for part in found[1:]:
        np.maximum(ratio, part.utilisation.max(axis=0), out=ratio)
    return ratio
