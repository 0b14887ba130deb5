"""Assesses one joint over its load blocks: force on every bolt, grip at each level, strength without grip, movement."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from loadhistories.figures import Check, worst_state
from slip.bolts import Bolt
from slip.events import BlockSlip, Combination, Instant, Level, LevelWalk, preload_share_measure, slip_measure
from slip.holes import Hole
from slip.joint import LEVELS, BoltedJoint
from slip.reversal import Reversal, ReversalWalk
from slip.sharing import require_resisted, sharing_matrices, unresisted
from slip.standards import standard
from slip.working import bolt_force

SLIP, SHARE, SHEAR, TENSION, COMBINED = "slip", "preload share", "shear", "tension", "combined"
NEGLIGIBLE = 1e-12
BEARING = {"x": "bearing along x", "y": "bearing along y"}


@dataclass(frozen=True)
class LevelOutcome:
    """Grip at one load level.

    Attributes
    ----------
    required : bool
        Whether the joint must not slip at this level.
    instant : Instant
        The bolt and time at which shear over grip is largest; `.value` is that utilisation of the first bolt.
    resistance : float
        Grip of that bolt then. [N]
    joint_utilisation : float or None
        Load over the load at which every bolt slides, at that instant; None where no grip is left.
    preload_share : float
        Share of the specified preload at which the first bolt begins to slip. [-]
    """

    level: str
    required: bool
    instant: Instant
    resistance: float
    joint_utilisation: float | None
    preload_share: float
    blocks: tuple[BlockSlip, ...]

    @property
    def slips(self) -> bool:
        """Whether the first bolt has no margin at some instant."""
        return self.instant.value > 1.0

    @property
    def events(self) -> int:
        """Number of slip events in the histories as they are."""
        return sum(block.events for block in self.blocks)


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
        self.hole = self._standard.hole(self.bolt, joint.holes)
        matrices = sharing_matrices(joint.positions)
        self._in_plane = matrices[0].reshape(-1, 6)
        self._axial = matrices[1]
        self._weak = bool(unresisted(joint.positions))
        permanent = np.asarray(joint.permanent, dtype=float)[:, None]
        self._require_resisted(permanent)
        self._permanent = self._forces(permanent)
        self._reversal = ReversalWalk(joint.bolts)
        self._extent = np.zeros(2)
        self._walks = self._level_walks()
        for walk in self._walks:
            walk.permanent(*self._permanent)
        self._reversal.feed(self._permanent[0])

    def begin(self, block: LoadBlock) -> None:
        """Start a block."""
        for walk in self._walks:
            walk.begin(block)

    def feed(self, chunk: NDArray[np.float64]) -> None:
        """Take in the next instants of the block, components of shape (6, m). [N, N mm]"""
        self._require_resisted(chunk)
        variable = self._forces(chunk)
        for walk in self._walks:
            walk.feed(variable, self._permanent)
        total = variable[0] + self._permanent[0]
        self._reversal.feed(total)
        net = total.sum(axis=0)
        np.maximum(self._extent, np.abs(net).max(axis=1), out=self._extent)

    def end(self) -> None:
        """Close the block."""
        for walk in self._walks:
            walk.end()

    def outcome(self) -> SlipOutcome:
        """Checks, levels and worst instants of all that was taken in."""
        from slip.checks import assumptions, grip_checks, load_axis, strength_checks

        service, ultimate = self._walks
        axis = load_axis(self._extent)
        levels = {walk.level.name: self._level(walk) for walk in self._walks} if self.joint.preloaded else {}
        checks = (
            *grip_checks(self.joint, self.hole, levels),
            *strength_checks(self.joint, self.bolt, self.hole, ultimate.worst, axis),
        )
        return SlipOutcome(
            self.joint,
            self.bolt,
            self.hole,
            checks,
            levels,
            self._reversal.outcome(),
            {**service.worst, **ultimate.worst},
            axis,
            assumptions(self.joint, axis),
        )

    def _require_resisted(self, components: NDArray[np.float64]) -> None:
        if self._weak:
            require_resisted(self.joint.positions, components.T, place=self.joint.name)

    def _forces(self, components: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        shear = (self._in_plane @ components).reshape(self.joint.bolts, 2, -1)
        return shear, self._axial @ components

    def _level_walks(self) -> tuple[LevelWalk, LevelWalk]:
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
            SHEAR: lambda shear, tension: np.hypot(shear[:, 0], shear[:, 1]),
            TENSION: lambda shear, tension: tension,
            COMBINED: lambda shear, tension: rules.combined_utilisation(
                np.hypot(shear[:, 0], shear[:, 1]), tension, shear_resistance=shear_rd, tension_resistance=tension_rd
            ),
            BEARING["x"]: lambda shear, tension: np.abs(shear[:, 0]),
            BEARING["y"]: lambda shear, tension: np.abs(shear[:, 1]),
        }
        grips = [{}, {}]
        if joint.preloaded:
            grips = [
                {SLIP: slip_measure(level, joint.preload), SHARE: preload_share_measure(level, joint.preload)}
                for level in levels
            ]
        looked_for = SLIP if joint.preloaded else None
        return (
            LevelWalk(levels[0], grips[0], slip=looked_for),
            LevelWalk(levels[1], {**grips[1], **strength}, slip=looked_for),
        )

    def _level(self, walk: LevelWalk) -> LevelOutcome:
        from slip.centre import friction_limit

        level, joint = walk.level, self.joint
        instant = walk.worst[SLIP]
        grips = level.factor * np.maximum(joint.preload - level.tension_share * np.maximum(instant.tensions, 0), 0)
        load = bolt_force(joint, instant).in_plane_load
        if instant.value < NEGLIGIBLE:
            whole = 0.0
        else:
            limit = friction_limit(joint.positions, grips, load) if grips.any() else 0.0
            whole = 1.0 / limit if limit > 0.0 else None
        return LevelOutcome(
            level.name,
            level.name in self._standard.levels_checked(joint.slip),
            instant,
            float(grips[instant.bolt]),
            whole,
            walk.worst[SHARE].value,
            tuple(walk.blocks),
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


def _ultimate(factors, with_permanent: bool) -> tuple[Combination, ...]:
    first = Combination("permanent load unfavourable", factors.permanent, factors.variable)
    if not with_permanent or factors.permanent == factors.permanent_favourable:
        return (first,)
    return (first, Combination("permanent load favourable", factors.permanent_favourable, factors.variable))
