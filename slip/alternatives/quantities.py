"""What an alternative takes: bolts, holes, prepared faces, weld metal and passes, dowels."""

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from loadhistories.figures import Figure
from loadhistories.tables import read_table
from slip.alternatives.alternative import FILLET, PARTIAL, Proposal, Situation, WeldPlan
from slip.joint import BoltedJoint
from slip.redesign import plate_size
from slip.standards import standard

GEOMETRY = "geometry"
TABLE = "weld metal, common practice, no source"


@dataclass(frozen=True)
class Holes:
    """Holes of a joint made new."""

    bolts: Annotated[int, Figure("n_b", title="bolts")]
    plies: Annotated[int, Figure("n_p", title="plates that each bolt passes through")]
    hole: Annotated[float, Figure("d_0", "mm", title="width of a hole")]
    holes: Annotated[int, Figure("n_h", "", "n_b * n_p", GEOMETRY, "holes")]
    thickness: Annotated[float, Figure("t_s", "mm", title="thickness of the plates together, as far as given")]
    drilled: Annotated[float, Figure("A_h", "mm2", "n_b * pi * d_0 * t_s", GEOMETRY, "drilled surface")]


@dataclass(frozen=True)
class PreparedFaces:
    """Faying surfaces that are brought into their friction class."""

    width: Annotated[float, Figure("b", "mm", title="width of the first plate")]
    height: Annotated[float, Figure("h", "mm", title="height of the first plate")]
    planes: Annotated[int, Figure("n", title="faying surfaces, two faces each")]
    area: Annotated[float, Figure("A_f", "mm2", "2 * n * b * h", GEOMETRY, "prepared area")]


@dataclass(frozen=True)
class WeldMetal:
    """Weld metal of one group of lines."""

    length: Annotated[float, Figure("L_w", "mm", title="length of the weld lines together")]
    section: Annotated[float, Figure("A_d", "mm2", title="drawn section of the weld")]
    reinforcement: Annotated[float, Figure("k_r", "", "", TABLE, "real over drawn section")]
    volume: Annotated[float, Figure("V_w", "mm3", "k_r * A_d * L_w", GEOMETRY, "weld metal")]
    density: Annotated[float, Figure("rho", "kg/mm3", title="density")]
    mass: Annotated[float, Figure("m_w", "kg", "rho * V_w", GEOMETRY, "weld metal")]
    passes: Annotated[int, Figure("n_w", "", "", TABLE, "passes: section over that of one pass, at least one")]


@dataclass(frozen=True)
class Quantities:
    """All that an alternative takes. Each part is None where there is none of it."""

    holes: Holes | None = None
    faces: PreparedFaces | None = None
    metal: WeldMetal | None = None
    reamed_holes: int = 0
    injected_bolts: int = 0
    dowels: int = 0
    keys: int = 0

    @property
    def working(self) -> tuple:
        """The results behind the numbers."""
        return tuple(part for part in (self.holes, self.faces, self.metal) if part is not None)


def quantities(situation: Situation, proposal: Proposal) -> Quantities:
    """What a proposal takes, as a joint made new.

    Limits
    ------
    Plates that are not given are taken into account as plies but not with their thickness.
    """
    joint = proposal.joint
    metal = None if proposal.weld is None else weld_metal(proposal.weld)
    if joint is None:
        return Quantities(metal=metal)
    parts = proposal.parts
    fitted = joint.bolts * (joint.planes + 1) if joint.fit == "fitted" else 0
    dowels = 0 if parts is None or parts.dowels is None else len(parts.dowels.positions)
    key = parts.key if parts is not None else None
    if key is not None:
        lines = key.foot
        plan = WeldPlan(FILLET, lines, key.weld.throat, key.depth, {}, leg=parts.foot_leg)
        metal = weld_metal(plan)
    return Quantities(
        _holes(joint), _faces(joint, situation.axis), metal, fitted + dowels * (joint.planes + 1),
        joint.bolts if joint.fit == "injection" else 0, dowels, 0 if key is None else 1,
    )  # fmt: skip


def weld_metal(plan: WeldPlan) -> WeldMetal:
    """Weld metal and passes of one plan.

    Source
    ------
    Section by geometry: a fillet with two equal legs, a bevel of 45 deg; allowances: `weld_metal.toml`.

    Examples
    --------
    >>> lines = np.array([[[0.0, 0.0], [0.0, 500.0]]])
    >>> weld_metal(WeldPlan(FILLET, lines, 5.66, 20.0, {}, leg=8.0)).mass
    0.144
    """
    table = {name: float(row["value"]) for name, row in read_table(__package__, "weld_metal").items()}
    if plan.kind == FILLET:
        section = plan.leg**2 / 2
    elif plan.kind == PARTIAL:
        section = plan.depth**2 / 2
    else:
        section = plan.thickness**2 / 2 + table["root_gap"] * plan.thickness
    volume = table["reinforcement"] * section * plan.length
    passes = max(1, math.ceil(section / table["area_of_pass"] - 1e-9))
    return WeldMetal(
        plan.length, section, table["reinforcement"], volume, table["density"], table["density"] * volume, passes
    )


def _holes(joint: BoltedJoint) -> Holes:
    rules = standard(joint.standard)
    bolt = rules.bolt(joint.size, joint.grade)
    width = bolt.diameter if joint.fit == "fitted" else rules.hole(bolt, joint.holes).width
    plies, thickness = joint.planes + 1, float(np.sum([plate.thickness for plate in joint.plates]))
    drilled = joint.bolts * math.pi * width * thickness
    return Holes(joint.bolts, plies, width, joint.bolts * plies, thickness, drilled)


def _faces(joint: BoltedJoint, axis: str) -> PreparedFaces | None:
    if not joint.preloaded or not joint.plates:
        return None
    width, height = plate_size(joint, axis)
    return PreparedFaces(width, height, joint.planes, 2 * joint.planes * width * height)
