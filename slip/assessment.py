"""Assesses one joint over its load blocks: force on every bolt, grip at each level, strength without grip, movement."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, partial

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from loadhistories.figures import Check, worst_state
from slip.bolts import Bolt
from slip.corners import net_rows, outermost
from slip.events import Acting, Combination, Instant, Level, LevelWalk, Rows
from slip.holes import Hole, without_play
from slip.joint import LEVELS, BoltedJoint
from slip.kernel import COMPILED_FROM
from slip.long_walk import LongWalk
from slip.measures import preload_share_measure, shear_measure, slip_measure, strength_measure, tension_measure
from slip.peaks import PeakWalk, ordered_product
from slip.plate_rows import PlateRows
from slip.preload import shares_looked_at
from slip.reduced import Reduced, ReducedPreloads
from slip.reversal import Reversal, reversal_of, reversal_rows
from slip.sharing import require_resisted, sharing_matrices, unresisted
from slip.sliding import TWO_WAY, BlockSlip, kind_of, slips_in_life
from slip.standards import standard
from slip.working import bolt_force

SLIP, SHARE, SHEAR, TENSION, COMBINED = "slip", "preload share", "shear", "tension", "combined"
NEGLIGIBLE = 1e-12
PIECE = 8192


@dataclass(frozen=True, eq=False)
class LevelOutcome:
    """Grip at one load level.

    Attributes
    ----------
    required : bool
        Whether the joint must not slip at this level.
    instant : Instant
        The bolt and time at which shear over grip is largest; `.value` is that utilisation of the first bolt.
    joint : BoltedJoint
    grips : array, shape (n_bolts,)
        Grip of every bolt then. [N]
    preload_share : float
        Share of the specified preload at which the first bolt begins to slip. [-]
    before : frozenset of int
        The way in which the permanent load alone lets the group slip; empty where it grips.
    reduced : tuple of Reduced
        Utilisation of the first bolt at shares of the specified preload.
    """

    level: str
    required: bool
    instant: Instant
    joint: BoltedJoint
    grips: NDArray[np.float64]
    preload_share: float
    blocks: tuple[BlockSlip, ...]
    before: frozenset[int]
    reduced: tuple[Reduced, ...]

    @property
    def resistance(self) -> float:
        """Grip of the first bolt to slip, at that instant. [N]"""
        return float(self.grips[self.instant.bolt])

    @cached_property
    def joint_utilisation(self) -> float | None:
        """Load over the load at which every bolt slides, at that instant; None where no grip is left. [-]"""
        from slip.centre import friction_limit

        if self.instant.value < NEGLIGIBLE:
            return 0.0
        load = bolt_force(self.joint, self.instant).in_plane_load
        limit = friction_limit(self.joint.positions, self.grips, load) if self.grips.any() else 0.0
        return 1.0 / limit if limit > 0.0 else None

    @property
    def slips(self) -> bool:
        """Whether the first bolt has no margin at some instant."""
        return self.instant.value > 1.0

    @property
    def uncounted(self) -> tuple[str, ...]:
        """The loads under which the joint slips, but which have no times by which the slips could be counted."""
        return tuple(block.load for block in self.blocks if block.events and not block.timed)

    @property
    def events(self) -> int | None:
        """Number of slips in the histories as they are, each entered by a group that has not slid yet.

        None where it is not known: see `uncounted`.
        """
        return None if self.uncounted else sum(block.events for block in self.blocks)

    @property
    def kind(self) -> str:
        """Whether the group slips never, one way (it seats and stays) or two ways (back and forth)."""
        return kind_of(self.before.union(*(block.ways for block in self.blocks)))

    def in_life(self, block: BlockSlip) -> float:
        """Slips of one block in the design life, as far as other loads do not take them first. [-]"""
        others = (item.ways for item in self.blocks if item is not block)
        return slips_in_life(block, self.before.union(*others))

    @property
    def events_in_life(self) -> float | None:
        """Slips in the design life, at most; a group that only ever slips one way seats once. [-]

        None where it is not known: see `uncounted`.
        """
        if self.uncounted:
            return None
        each = [self.in_life(block) for block in self.blocks]
        return sum(each) if self.kind == TWO_WAY else max(each, default=0.0)


@dataclass(frozen=True)
class SlipOutcome:
    """What the slip engine found for one joint."""

    joint: BoltedJoint
    bolt: Bolt
    hole: Hole
    checks: tuple[Check, ...]
    levels: dict[str, LevelOutcome]
    reversal: Reversal
    worst: dict[str, Instant]
    load_axis: str
    pulls: dict[str, Instant]
    assumptions: tuple[str, ...]

    @property
    def state(self) -> str:
        """State of the slip and strength checks together."""
        return worst_state(check.state for check in self.checks)

    @property
    def slips_in_service(self) -> bool:
        """Whether the joint cannot be counted on to grip under its unfactored loads."""
        return not self.joint.preloaded or self.levels["service"].slips


class JointWalk:
    """Takes the load blocks of one joint in, chunk by chunk, and gives the outcome at the end."""

    def __init__(self, joint: BoltedJoint):
        self.joint = joint
        self._standard = standard(joint.standard)
        self.bolt = self._standard.bolt(joint.size, joint.grade)
        hole = self._standard.hole(self.bolt, joint.holes)
        self.hole = without_play(hole, self.bolt) if joint.fit == "fitted" else hole
        self._in_plane, axial = sharing_matrices(joint.positions)
        self._axial = joint.prying_factor * axial
        self._loosening = joint.prying_factor * (_without_moments(joint.bolts) if joint.contact else axial)
        self._weak = bool(unresisted(joint.positions))
        bolts = outermost(joint.positions)
        self._plates = PlateRows(
            joint, self.bolt, self.hole, in_plane=self._in_plane, axial=self._axial, outermost=bolts
        )
        self._followed(bolts)
        *self._walks, self._strength = self._level_walks(bolts)
        still = np.asarray(joint.permanent, dtype=float)[:, None]
        self._require_resisted(still)
        table = ordered_product(self._peaks.rows, still)
        self._permanent, self._pulled = (Acting(still, table, rows) for rows in (self._rows, self._pulling))
        for walk in self._walks:
            walk.permanent(self._permanent)
        if self._apart:
            self._strength.permanent(self._pulled)
        self._quick = LongWalk(self._peaks, self._walks, self._permanent) if joint.preloaded else None
        self._long = False

    def begin(self, block: LoadBlock) -> None:
        """Start a block."""
        self._peaks.begin(block)
        self._long = block.samples >= COMPILED_FROM and self.joint.preloaded and not self._apart
        for walk in (*self._walks, *([self._strength] if self._apart else [])):
            walk.begin(block)

    def feed(self, chunk: NDArray[np.float64]) -> None:
        """Take in the next instants of the block, components of shape (6, m). [N, N mm]"""
        self._require_resisted(chunk)
        if self._long:
            self._quick.feed(chunk)
            return
        for start in range(0, chunk.shape[1], PIECE):
            piece = chunk[:, start : start + PIECE]
            table = self._peaks.feed(piece)
            acting = Acting(piece, table, self._rows)
            for walk in self._walks:
                walk.feed(acting, self._permanent)
            if self._apart:
                self._strength.feed(Acting(piece, table, self._pulling), self._pulled)

    def end(self) -> None:
        """Close the block."""
        for walk in self._walks:
            walk.end()

    def outcome(self) -> SlipOutcome:
        """Checks, levels and worst instants of all that was taken in."""
        from slip.checks import assumptions, grip_checks, load_axis, strength_checks

        service, ultimate = self._walks
        axis = load_axis(self._extent())
        levels = {walk.level.name: self._level(walk) for walk in self._walks} if self.joint.preloaded else {}
        checks = (
            *grip_checks(self.joint, self.hole, levels),
            *strength_checks(
                self.joint, self.bolt, self.hole, self._strength.worst, axis=axis,
                bearing=self._plates.bearing(ultimate.level.combinations, self._all_forces),
                plates=self._plates.plates(ultimate.level.combinations, self._all_forces),
            ),
        )
        return SlipOutcome(
            self.joint,
            self.bolt,
            self.hole,
            checks,
            levels,
            self._reversal(),
            {**service.worst, **ultimate.worst, **self._strength.worst},
            axis,
            {
                walk.level.name: self._plates.pull(walk.level.combinations, self._all_forces) for walk in self._walks
            },
            assumptions(self.joint, axis),
        )

    def _require_resisted(self, components: NDArray[np.float64]) -> None:
        if self._weak:
            require_resisted(self.joint.positions, components.T, place=self.joint.name)

    def _followed(self, bolts: NDArray[np.int64]) -> None:
        """One walk over all forces that are linear in the load, and where in it stands what."""
        k, parts = len(bolts), [
            self._in_plane[bolts].reshape(-1, 6), self._loosening[bolts], self._axial[bolts],
            net_rows(self.joint.positions), reversal_rows(self._in_plane), self._plates.rows,
        ]  # fmt: skip
        ends = np.cumsum([0, *map(len, parts)])
        at = [slice(*ends[i : i + 2]) for i in range(len(parts))]
        self._peaks = PeakWalk(np.concatenate(parts), self.joint.permanent)
        self._net, self._lines = at[3], at[4]
        self._plates.follow(self._peaks, int(ends[5]))
        shears, net = self._peaks.places(at[0]).reshape(k, 2), self._peaks.places(at[3])
        self._rows, self._pulling = (
            Rows(np.column_stack([shears, self._peaks.places(part)]).astype(np.int64), net) for part in at[1:3]
        )

    def _reversal(self) -> Reversal:
        low, high = self._peaks.reach(self._lines)
        still = (self._peaks.rows @ np.asarray(self.joint.permanent, dtype=float))[self._peaks.places(self._lines)]
        return reversal_of(np.minimum(low, still), np.maximum(high, still))

    def _extent(self) -> NDArray[np.float64]:
        """Largest net force along x and along y, either way. [N]"""
        low, high = self._peaks.reach(slice(self._net.start, self._net.start + 2))
        return np.maximum(0.0, np.maximum(-low, high))

    @property
    def _apart(self) -> bool:
        """Whether strength has a walk of its own, with other tensions than those that lower the grip."""
        return self._strength is not self._walks[1]

    def _all_forces(self, load: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        return self._in_plane @ load, self._axial @ load

    def _forces_against_grip(self, load: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        return self._in_plane @ load, self._loosening @ load

    def _level_walks(self, bolts) -> tuple[LevelWalk, LevelWalk, LevelWalk]:
        """Grip at service and at ultimate level, and strength, which is followed with the latter if it can be."""
        from slip.checks import hole_factor, shear_and_tension_resistance

        joint, rules = self.joint, self._standard
        factors = joint.factors
        combinations = {
            "service": (Combination("every load once", 1.0, 1.0),),
            "ultimate": _ultimate(factors, any(joint.permanent)),
        }
        levels = []
        for name in LEVELS:
            factor, share = None, 0.0
            if joint.preloaded:
                factor, share = rules.grip_terms(
                    slip_factor=joint.slip_factor, planes=joint.planes, hole_factor=hole_factor(joint), level=name
                )
            levels.append(Level(name, combinations[name], factor, share))
        shear_rd, tension_rd = shear_and_tension_resistance(joint, self.bolt, self.hole)
        strength = {
            SHEAR: shear_measure(),
            TENSION: tension_measure(),
            COMBINED: strength_measure(
                partial(rules.combined_utilisation, shear_resistance=shear_rd, tension_resistance=tension_rd),
                shear=shear_rd, tension=tension_rd,
            ),
        }  # fmt: skip
        grips, reduced = [{}, {}], [None, None]
        if joint.preloaded:
            shares = shares_looked_at(joint)
            reduced = [ReducedPreloads(joint.preload, item.factor, item.tension_share, shares) for item in levels]
            grips = [
                {SLIP: slip_measure(level, joint.preload), SHARE: preload_share_measure(level, joint.preload)}
                for level in levels
            ]
        common = {
            "bolts": bolts, "all_forces": self._forces_against_grip,
            "slip": SLIP if joint.preloaded else None, "preload": joint.preload,
        }  # fmt: skip
        together = {} if joint.contact else strength
        service = LevelWalk(levels[0], grips[0], reduced=reduced[0], **common)
        ultimate = LevelWalk(levels[1], {**grips[1], **together}, reduced=reduced[1], **common)
        if together:
            return service, ultimate, ultimate
        return service, ultimate, LevelWalk(levels[1], strength, bolts=bolts, all_forces=self._all_forces)

    def _level(self, walk: LevelWalk) -> LevelOutcome:
        level, joint = walk.level, self.joint
        instant = walk.worst[SLIP]
        return LevelOutcome(
            level=level.name,
            required=level.name in self._standard.levels_checked(joint.slip),
            instant=instant,
            joint=joint,
            grips=level.factor * np.maximum(joint.preload - level.tension_share * np.maximum(instant.tensions, 0), 0),
            preload_share=walk.worst[SHARE].value,
            blocks=tuple(walk.blocks),
            before=walk.slides.before,
            reduced=walk.reduced.outcome(),
        )


def assess(joint: BoltedJoint, blocks: Iterable[LoadBlock]) -> SlipOutcome:
    """Walk all blocks of one joint and judge grip, strength without grip and movement.

    Parameters
    ----------
    blocks : iterable of LoadBlock
        Load components at the joint's origin. [N, N mm]

    Raises
    ------
    InputError
        The bolts cannot carry the loads by statics, or a table has no value for the joint.
    """
    walk = JointWalk(joint)
    for block in blocks:
        walk.begin(block)
        for chunk in block.chunks():
            walk.feed(chunk)
        walk.end()
    return walk.outcome()


def _without_moments(bolts: int) -> NDArray[np.float64]:
    """Axial force of every bolt per unit load component where contact balances the moments, shape (n_bolts, 6)."""
    rows = np.zeros((bolts, 6))
    rows[:, 2] = 1.0 / bolts
    return rows


def _ultimate(factors, with_permanent: bool) -> tuple[Combination, ...]:
    first = Combination("permanent load unfavourable", factors.permanent, factors.variable)
    if not with_permanent or factors.permanent == factors.permanent_favourable:
        return (first,)
    return (first, Combination("permanent load favourable", factors.permanent_favourable, factors.variable))
