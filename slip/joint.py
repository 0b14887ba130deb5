"""BoltedJoint: the joint as the engines see it, in N, mm and MPa, with every choice already made."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from loadhistories.tables import read_table
from slip.preload import PreloadLife, TighteningTorque
from slip.prying import PriedFlange, factor_at_strength

HOLES = ("normal", "oversize", "short slot", "long slot")
SLIP_RULES = ("never", "not in service", "allowed")
LEVELS = ("service", "ultimate")
SIDES = ("part", "support")
REACHES = ("+x", "-x", "+y", "-y")
FITS = ("fitted", "injection")
CONTACTS = ("moment only",)


@dataclass(frozen=True)
class Plate:
    """One plate of the joint. Lengths in mm, strengths in MPa.

    `end_distance` runs along the joint's load axis, `edge_distance` across it, both from the outermost hole centre.
    `holes` is the kind of its holes where they are not those of the joint, else "".
    `width` and `height` are its extents along x and y, centred on the bolts, where its sections are to be judged.
    `belongs_to` tells whether it is of the "part" that brings the load or of its "support"; "": not said.
    `reaches` is one of REACHES: on which side it goes on beyond the bolts to what it belongs to; "": not said.
    """

    name: str
    thickness: float
    steel: str
    yield_strength: float
    ultimate_strength: float
    end_distance: float
    edge_distance: float
    holes: str = ""
    width: float | None = None
    height: float | None = None
    belongs_to: str = ""
    reaches: str = ""


@dataclass(frozen=True)
class Factors:
    """Load factors of the ultimate level; the service level takes every load once."""

    permanent: float = 1.35
    permanent_favourable: float = 1.0
    variable: float = 1.5


def usual_factors(package: str) -> Factors:
    """The usual load factors of a standard, from the table `load_factors` beside its module."""
    return Factors(**{name: float(row["value"]) for name, row in read_table(package, "load_factors").items()})


@dataclass(frozen=True)
class Alignment:
    """A point of the part whose place matters, in joint axes [mm], and how far it may move [mm].

    Attributes
    ----------
    turn : float or None
        How far the part may turn. [rad]
    basis, source : str
        Where both come from, in words, and the source of a class.
    working : tuple
        The results behind them.
    """

    point: tuple[float, float]
    tolerance: float
    turn: float | None = None
    basis: str = "tolerance given by the user"
    source: str = ""
    working: tuple = ()


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
    packing : float
        Thickness of the packing that the bolts pass through, the thicker one of two. [mm]
    prying : float or None
        Bolt tension with prying over that without it, 1 where there is none; None: nothing was said. [-]
    flange : PriedFlange or None
        What the standard makes of the flange that pries on the bolts, where the user gave its sizes.
    contact : str
        "moment only": contact on the compression side makes up for the tension that moments put into the bolts, so
        that it does not lower the grip; "": it is not counted.
    fit : str
        "fitted": bolts without play, their shank in the shear planes; "injection": bolts in normal holes whose play is
        filled with resin; "": bolts in holes with clearance.
    resin_strength : float or None
        Bearing strength of that resin, found by test. [MPa]
    preload_life : PreloadLife or None
        What becomes of the preload, where the user said how it comes about.
    tightening : TighteningTorque or None
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
    packing: float = 0.0
    prying: float | None = None
    fit: str = ""
    contact: str = ""
    resin_strength: float | None = None
    preload_life: PreloadLife | None = None
    tightening: TighteningTorque | None = None
    flange: PriedFlange | None = None

    @property
    def holes_in_words(self) -> str:
        """Kind of the holes as the job names it."""
        return self.fit or self.holes

    @property
    def prying_factor(self) -> float:
        """Factor on the tension of every bolt; with a flange and no factor, that at strength. [-]"""
        if self.prying is None:
            return 1.0 if self.flange is None else factor_at_strength(self.flange)
        return self.prying

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
