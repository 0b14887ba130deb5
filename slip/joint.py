"""BoltedJoint: the joint as the engines see it, in N, mm and MPa, with every choice already made."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

HOLES = ("normal", "oversize", "short slot", "long slot")
SLIP_RULES = ("never", "not in service", "allowed")
LEVELS = ("service", "ultimate")


@dataclass(frozen=True)
class Plate:
    """One plate of the joint. Lengths in mm, strengths in MPa.

    `end_distance` runs along the joint's load axis, `edge_distance` across it, both from the outermost hole centre.
    """

    name: str
    thickness: float
    steel: str
    yield_strength: float
    ultimate_strength: float
    end_distance: float
    edge_distance: float


@dataclass(frozen=True)
class Factors:
    """Load factors of the ultimate level; the service level takes every load once."""

    permanent: float = 1.35
    permanent_favourable: float = 1.0
    variable: float = 1.5


@dataclass(frozen=True)
class Alignment:
    """A point of the part whose place matters, in joint axes [mm], and how far it may move [mm]."""

    point: tuple[float, float]
    tolerance: float


@dataclass(frozen=True)
class Grid:
    """The pattern behind the bolt positions, where the user gave one: rows along y, columns along x. [mm]"""

    rows: int
    columns: int
    pitch: float
    gauge: float


@dataclass(frozen=True)
class BoltedJoint:
    """Bolts, plates, holes and faying surface of one joint.

    Attributes
    ----------
    positions : array, shape (n_bolts, 2)
        Bolt centres from the joint's origin. [mm]
    preload : float
        Specified clamping force of a bolt, 0 for bolts that are not preloaded. [N]
    slot_axis : str
        "x" or "y" for slotted holes: the axis along which the slot is longer; else "".
    slip_factor : float
        Friction of the faying surfaces. [-]
    permanent : array, shape (6,)
        Permanent load in the order of COMPONENTS. [N, N mm]
    """

    name: str
    standard: str
    positions: NDArray[np.float64]
    size: str
    grade: str
    preload: float
    holes: str
    slot_axis: str
    surface: str
    slip_factor: float
    planes: int
    threads_in_plane: bool
    plates: tuple[Plate, ...]
    slip: str
    because: str
    permanent: NDArray[np.float64]
    factors: Factors = field(default_factory=Factors)
    grid: Grid | None = None
    alignment: Alignment | None = None

    @property
    def bolts(self) -> int:
        """Number of bolts."""
        return len(self.positions)

    @property
    def preloaded(self) -> bool:
        """Whether the bolts clamp the plates with a specified force."""
        return self.preload > 0.0


def grid_positions(grid: Grid) -> NDArray[np.float64]:
    """Bolt centres of a pattern centred on the origin, row by row from below. Shape (rows * columns, 2). [mm]"""
    x = (np.arange(grid.columns) - (grid.columns - 1) / 2) * grid.gauge
    y = (np.arange(grid.rows) - (grid.rows - 1) / 2) * grid.pitch
    return np.array([(a, b) for b in y for a in x])
