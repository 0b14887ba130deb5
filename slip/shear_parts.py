"""Keys and dowels that take shear from the bolts of a joint: what they take, and what they hold."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Any

import numpy as np
from numpy.typing import NDArray

from fatigue.welds import line_forces, weld_group
from loadhistories.blocks import COMPONENTS, LoadBlock
from loadhistories.figures import Check, Figure, judged, not_judged
from loadhistories.tables import read_table
from slip.assessment import SlipOutcome
from slip.joint import BoltedJoint
from slip.sharing import sharing_matrices
from slip.standards import standard

LONGEST_PIN = 3.0
IN_PLANE = ("Fx", "Fy", "Mz")


@dataclass(frozen=True)
class ShearKey:
    """A block welded to one part that bears in a pocket or against stops of the other. Lengths in mm, MPa.

    Attributes
    ----------
    axis : str
        "x" or "y": along which it takes the whole force of the joint, in both senses.
    width, depth, length : float
        Face that bears, across the force and into the pocket; length of the block along the force.
    clearance : float
        Play left between block and pocket once fitted, both sides together.
    weld : result of the standard's `fillet_weld`
        All round its foot.
    """

    axis: str
    width: float
    depth: float
    length: float
    steel: str
    yield_strength: float
    ultimate_strength: float
    clearance: float
    weld: Any

    @property
    def foot(self) -> NDArray[np.float64]:
        """Weld lines round the foot, centred on the joint's origin, shape (4, 2, 2). [mm]"""
        across, along = self.width / 2, self.length / 2
        x, y = (along, across) if self.axis == "x" else (across, along)
        corners = np.array([[-x, -y], [x, -y], [x, y], [-x, y]])
        return np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)

    @property
    def weld_loads(self) -> NDArray[np.float64]:
        """Load on the weld at the foot per load component of the joint, shape (6, 6): the force half way down."""
        loads = np.zeros((6, 6))
        force, moment, sign = (0, 4, -1.0) if self.axis == "x" else (1, 3, 1.0)
        loads[force, force], loads[moment, force] = 1.0, sign * self.depth / 2
        return loads


@dataclass(frozen=True, eq=False)
class Dowels:
    """Tight pins through both parts that take every load in the plane; the bolts only clamp. Lengths in mm, MPa."""

    positions: NDArray[np.float64]
    diameter: float
    steel: str
    yield_strength: float
    ultimate_strength: float
    clearance: float = 0.0


@dataclass(frozen=True, eq=False)
class ShearParts:
    """A key, or dowels; `foot_leg` is the leg of the weld round the key's foot, where it was sized here. [mm]"""

    key: ShearKey | None = None
    dowels: Dowels | None = None
    foot_leg: float = 0.0

    @property
    def words(self) -> str:
        """What they are, in words."""
        return "dowels" if self.dowels is not None else "the key"

    @property
    def taken(self) -> tuple[str, ...]:
        """Load components that the bolts are relieved of."""
        return IN_PLANE if self.dowels is not None else (f"F{self.key.axis}",)


@dataclass(frozen=True)
class PartStrength:
    """Resistance of one face of a key or dowel."""

    area: Annotated[float, Figure("A", "mm2", title="area that carries")]
    strength: Annotated[float, Figure("f", "MPa", title="strength of the weaker part")]
    factor: Annotated[float, Figure("k", "", title="factor on the strength, by the clause of the check")]
    phi: Annotated[float, Figure("phi", "", title="resistance factor, or one over the partial factor")]
    resistance: Annotated[float, Figure("R_d", "N", "phi * k * f * A", title="resistance")]


@dataclass(frozen=True)
class KeyWeldForce:
    """Largest force per length at the foot of a key."""

    force: Annotated[float, Figure("V_Ed", "N", title="force that the key takes")]
    lever: Annotated[float, Figure("e", "mm", title="half the depth that bears")]
    moment: Annotated[float, Figure("M_Ed", "N mm", "V_Ed * e", "textbook statics", "moment at the foot")]
    size: Annotated[float, Figure("F_w,Ed", "N/mm", title="largest force per length, elastic line method")]


def relieved(parts: ShearParts | None, block: LoadBlock) -> LoadBlock:
    """The loads that are left to the bolts."""
    if parts is None:
        return block
    counted = block.counted
    if counted is not None:
        counted = replace(counted, components=relieved_of(parts, counted.components))
    return replace(block, chunks=lambda: (relieved_of(parts, chunk) for chunk in block.chunks()), counted=counted)


def relieved_of(parts: ShearParts, loads: NDArray[np.float64]) -> NDArray[np.float64]:
    """Loads without the components that a key or dowels take; the first axis in the order of COMPONENTS."""
    left = np.array(loads, dtype=float)
    left[[COMPONENTS.index(name) for name in parts.taken]] = 0.0
    return left


def shear_part_checks(
    parts: ShearParts, joint: BoltedJoint, blocks: Sequence[LoadBlock], permanent: NDArray[np.float64]
) -> tuple[Check, ...]:
    """Strength of a key or of dowels at ultimate level, under the whole load in the components that they take.

    Parameters
    ----------
    joint : BoltedJoint
        The bolts beside them, with the plates.
    permanent : array, shape (6,)
        The whole permanent load. [N, N mm]

    Limits
    ------
    The stiffest part takes all: what the bolts' grip would carry of these components is not counted. Dowels fit
    tightly in reamed holes of clamped plates and are no longer than three diameters, so that they do not bend.
    """
    return tuple(_key(parts.key, joint, blocks, permanent) if parts.key else
                 _dowels(parts.dowels, joint, blocks, permanent))  # fmt: skip


def held(parts: ShearParts | None, outcome: SlipOutcome) -> SlipOutcome:
    """The bolts' outcome with the play that dowels leave in place of that of the bolts' holes, for the movement.

    A key leaves the part free to turn and to move across it, so that the holes still limit its movement.
    """
    if parts is None or parts.dowels is None:
        return outcome
    play, diameter = parts.dowels.clearance, outcome.bolt.diameter
    hole = replace(
        outcome.hole, kind="dowels", width=diameter + play, length=diameter + play, clearance=play, slot_clearance=play
    )
    plates = tuple(replace(plate, holes="") for plate in outcome.joint.plates)
    return replace(outcome, hole=hole, joint=replace(outcome.joint, plates=plates, slot_axis=""))


def _cases(joint: BoltedJoint, blocks, permanent) -> Iterator[NDArray[np.float64]]:
    fixed, factors = np.asarray(permanent, dtype=float)[:, None], joint.factors
    for factor in {factors.permanent, factors.permanent_favourable}:
        yield factor * fixed
        for block in blocks:
            for chunk in block.chunks():
                yield factor * fixed + factors.variable * chunk


def _part(joint: BoltedJoint, name: str, area: float, yields: float, breaks: float) -> tuple[PartStrength, str]:
    row = read_table(standard(joint.standard).__name__, "shear_parts")[name]
    strength = yields if row["strength"] == "yield" else breaks
    found = PartStrength(area, strength, row["factor"], row["phi"], row["phi"] * row["factor"] * strength * area)
    return found, row["clause"]


def _key(key: ShearKey, joint: BoltedJoint, blocks, permanent) -> Iterator[Check]:
    row = COMPONENTS.index(f"F{key.axis}")
    force = max(float(np.abs(case[row]).max()) for case in _cases(joint, blocks, permanent))
    weakest = min([key.yield_strength, *(plate.yield_strength for plate in joint.plates)])
    for name, title, area, strength in (
        ("key shear", "shear of the key", key.width * key.length, key.yield_strength),
        ("key bearing", "bearing of the key in its pocket", key.width * key.depth, weakest),
    ):
        found, clause = _part(joint, name, area, strength, key.ultimate_strength)
        yield judged(
            name.replace(" ", "-"), title, demand=force, resistance=found.resistance, unit="N", clause=clause,
            working=(found,),
        )  # fmt: skip
    loads = key.weld_loads[:, row] * force
    sizes = np.linalg.norm(line_forces(weld_group(key.foot)) @ loads, axis=1)
    demand = KeyWeldForce(force, key.depth / 2, force * (key.depth / 2), float(sizes.max()))
    yield judged(
        "key-weld", "weld at the foot of the key", demand=demand.size, resistance=key.weld.strength, unit="N/mm",
        clause=standard(joint.standard).CLAUSES["fillet weld"], working=(demand, key.weld),
    )  # fmt: skip


def _dowels(dowels: Dowels, joint: BoltedJoint, blocks, permanent) -> Iterator[Check]:
    matrices = sharing_matrices(dowels.positions)[0]
    force = max(
        float(np.hypot(shear[:, 0], shear[:, 1]).max())
        for case in _cases(joint, blocks, permanent)
        for shear in [np.einsum("bic,cm->bim", matrices, case)]
    )
    area = np.pi / 4 * dowels.diameter**2 * joint.planes
    found, clause = _part(joint, "dowel shear", area, dowels.yield_strength, dowels.ultimate_strength)
    yield judged(
        "dowel-shear", "shear of the dowels", demand=force, resistance=found.resistance, unit="N", clause=clause,
        working=(found,),
    )  # fmt: skip
    length = sum(plate.thickness for plate in joint.plates)
    title = "bearing at the dowels"
    if len(joint.plates) < 2 or length > LONGEST_PIN * dowels.diameter:
        reason = (
            f"the plates that the dowels pass through are {length:g} mm thick together, or not all given: a pin of "
            f"more than {LONGEST_PIN:g} diameters bends, and the bending is not judged"
        )
        yield not_judged("dowel-bearing", title, reason=reason, clause=clause)
        return
    for plate in joint.plates:
        weakest = min(dowels.yield_strength, plate.yield_strength)
        found, clause = _part(joint, "dowel bearing", dowels.diameter * plate.thickness, weakest, weakest)
        yield judged(
            f"dowel-bearing-{plate.name}", f"{title} on the {plate.name}", demand=force, resistance=found.resistance,
            unit="N", clause=clause, working=(found,),
        )  # fmt: skip
