"""Bearing of a bolt on a plate and distances of holes, by EN 1993-1-8:2005, Tables 3.3 and 3.4."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Check, Figure, judged
from loadhistories.tables import read_table
from loadhistories.validation import InputError, require_not_negative, require_positive
from slip.bolts import Bolt
from slip.holes import Hole
from slip.joint import Plate
from slip.standards.en1993.tables import PACKAGE, partial_factor

OVERSIZE_FACTOR = 0.8
SLOT_ACROSS_FACTOR = 0.6
LAP_LIMIT = 1.5
NO_LAP_LIMIT = 2.5
DISTANCES_ASSUMED = "the steel is not exposed to weather or corrosion: end and edge distances have no upper limit"
_TABLE = "EN 1993-1-8:2005, Table 3.4"
_DISTANCES = "EN 1993-1-8:2005, Table 3.3"


@dataclass(frozen=True)
class EndFactor:
    """Bearing factor of a bolt at the end of the plate."""

    end_distance: Annotated[float, Figure("e_1", "mm", title="end distance")]
    hole_width: Annotated[float, Figure("d_0", "mm", title="hole diameter")]
    factor: Annotated[float, Figure("alpha_d,end", "", "e_1 / (3 * d_0)", _TABLE, "end bolt")]


@dataclass(frozen=True)
class PitchFactor:
    """Bearing factor of a bolt behind another along the load."""

    pitch: Annotated[float, Figure("p_1", "mm", title="pitch along the load")]
    hole_width: Annotated[float, Figure("d_0", "mm", title="hole diameter")]
    factor: Annotated[float, Figure("alpha_d,inner", "", "p_1 / (3 * d_0) - 0.25", _TABLE, "inner bolt")]


@dataclass(frozen=True)
class EdgeFactor:
    """Bearing factor of a bolt beside an edge."""

    edge_distance: Annotated[float, Figure("e_2", "mm", title="edge distance")]
    hole_width: Annotated[float, Figure("d_0", "mm", title="hole diameter")]
    factor: Annotated[float, Figure("k_1,edge", "", "min(2.8 * e_2 / d_0 - 1.7, 2.5)", _TABLE, "edge bolt")]


@dataclass(frozen=True)
class GaugeFactor:
    """Bearing factor of a bolt beside another across the load."""

    gauge: Annotated[float, Figure("p_2", "mm", title="spacing across the load")]
    hole_width: Annotated[float, Figure("d_0", "mm", title="hole diameter")]
    factor: Annotated[float, Figure("k_1,inner", "", "min(1.4 * p_2 / d_0 - 1.7, 2.5)", _TABLE, "inner bolt")]


Part = EndFactor | PitchFactor | EdgeFactor | GaugeFactor


@dataclass(frozen=True)
class Bearing:
    """Bearing resistance of one bolt on one plate; `parts` hold the working of alpha_d and k_1."""

    parts: tuple[Part, ...]
    along_factor: Annotated[float, Figure("alpha_d", "", "", _TABLE, "smaller one of end and inner bolt")]
    across_factor: Annotated[float, Figure("k_1", "", "", _TABLE, "smaller one of edge and inner bolt")]
    bolt_strength: Annotated[float, Figure("f_ub", "MPa", title="ultimate strength of the bolt")]
    plate_strength: Annotated[float, Figure("f_u", "MPa", title="ultimate strength of the plate")]
    bearing_factor: Annotated[float, Figure("alpha_b", "", "min(alpha_d, f_ub / f_u, 1)", _TABLE, "bearing factor")]
    diameter: Annotated[float, Figure("d", "mm", title="bolt diameter")]
    thickness: Annotated[float, Figure("t", "mm", title="plate thickness")]
    countersink: Annotated[float, Figure("h_cs", "mm", "", _TABLE, "depth of the countersink, half of it deducted")]
    hole_factor: Annotated[
        float,
        Figure(
            "c_h", "", "", f"{_TABLE}, note 1, from memory", "0.8 for an oversize hole, 0.6 for a slot across the load"
        ),
    ]
    limit: Annotated[
        float, Figure("c_1", "", "", "EN 1993-1-8:2005, 3.6.1(10)", "1.5 for a single lap with one row, else 2.5")
    ]
    partial_factor: Annotated[float, Figure("gamma_M2", "", "", "EN 1993-1-8:2005, Table 2.1", "partial factor")]
    resistance: Annotated[
        float,
        Figure(
            "F_b,Rd", "N", "c_h * min(k_1 * alpha_b, c_1) * f_u * d * max(t - h_cs / 2, 0) / gamma_M2",
            _TABLE, "bearing resistance of the bolt",
        ),
    ]  # fmt: skip

    @property
    def working(self) -> tuple:
        """The results to print, in order."""
        return (*self.parts, self)


def bearing(
    bolt: Bolt,
    hole: Hole,
    plate: Plate,
    *,
    end_distance: float | None = None,
    edge_distance: float | None = None,
    pitch: float | None = None,
    gauge: float | None = None,
    slot_across_load: bool = False,
    single_lap_one_row: bool = False,
    countersink: float = 0.0,
) -> Bearing:
    """Bearing resistance of one bolt on one plate in the direction of its force, with its figures. [N]

    Parameters
    ----------
    plate : Plate
        Its thickness and ultimate strength; the distances are given apart, as they depend on bolt and direction.
    end_distance, pitch : float or None
        Along the force, to the end and to the next bolt; None where there is none. One of them is needed. [mm]
    edge_distance, gauge : float or None
        Across the force, likewise. [mm]
    slot_across_load : bool
        The hole is a slot and its length lies across the force.
    single_lap_one_row : bool
        Two plates, one plane and one row of bolts only.
    countersink : float
        Depth of the countersink in this plate. [mm]

    Raises
    ------
    InputError
        No distance along or across the force, a distance that leaves no plate beside the hole.

    Limits
    ------
    Distances above the smallest ones of Table 3.3; see `distance_checks`.

    Source
    ------
    EN 1993-1-8:2005, Table 3.4 and its note 1, 3.6.1(10).

    Examples
    --------
    >>> from slip.standards.en1993.tables import bolt, hole
    >>> m20 = bolt("M20", "8.8")
    >>> plate = Plate("gusset", 10.0, "S355", 355.0, 470.0, 40.0, 30.0)
    >>> bearing(m20, hole(m20, "normal"), plate, end_distance=40.0, edge_distance=30.0).resistance
    96537.7
    """
    along = _along(hole, end_distance, pitch)
    across = _across(hole, edge_distance, gauge)
    alpha_d = min(part.factor for part in along)
    k_1 = min(part.factor for part in across)
    alpha_b = min(alpha_d, bolt.ultimate_strength / plate.ultimate_strength, 1.0)
    c_h = _hole_factor(hole, slot_across_load)
    c_1 = LAP_LIMIT if single_lap_one_row else NO_LAP_LIMIT
    gamma = partial_factor("gamma_M2")
    thickness = max(plate.thickness - require_not_negative(countersink, "countersink", unit="mm") / 2.0, 0.0)
    return Bearing(
        parts=(*along, *across),
        along_factor=alpha_d,
        across_factor=k_1,
        bolt_strength=bolt.ultimate_strength,
        plate_strength=plate.ultimate_strength,
        bearing_factor=alpha_b,
        diameter=bolt.diameter,
        thickness=plate.thickness,
        countersink=float(countersink),
        hole_factor=c_h,
        limit=c_1,
        partial_factor=gamma,
        resistance=c_h * min(k_1 * alpha_b, c_1) * plate.ultimate_strength * bolt.diameter * thickness / gamma,
    )


def resultant_bearing(bolt: Bolt, hole: Hole, plate: Plate) -> None:
    """None: bearing is judged by the components of the force alone, along and across the end.

    Source
    ------
    EN 1993-1-8:2005, Table 3.4, note 3, from memory.
    """
    return None


def _hole_factor(hole: Hole, slot_across_load: bool) -> float:
    if slot_across_load and not hole.slotted:
        raise InputError(f"a {hole.kind} hole has no slot that could lie across the load")
    if hole.slotted:
        return SLOT_ACROSS_FACTOR if slot_across_load else 1.0
    return OVERSIZE_FACTOR if hole.kind == "oversize" else 1.0


def _along(hole: Hole, end_distance: float | None, pitch: float | None) -> list[Part]:
    width, parts = hole.width, []
    if end_distance is not None:
        _require_beyond(end_distance, width / 2, "end distance", "half the hole")
        parts.append(EndFactor(float(end_distance), width, end_distance / (3.0 * width)))
    if pitch is not None:
        _require_beyond(pitch, width, "pitch", "the hole")
        parts.append(PitchFactor(float(pitch), width, pitch / (3.0 * width) - 0.25))
    if not parts:
        raise InputError("bearing needs the end distance or the pitch along the force")
    return parts


def _across(hole: Hole, edge_distance: float | None, gauge: float | None) -> list[Part]:
    width, parts = hole.width, []
    if edge_distance is not None:
        _require_beyond(edge_distance, 1.7 / 2.8 * width, "edge distance", "what bearing needs at all")
        parts.append(EdgeFactor(float(edge_distance), width, min(2.8 * edge_distance / width - 1.7, 2.5)))
    if gauge is not None:
        _require_beyond(gauge, 1.7 / 1.4 * width, "gauge", "what bearing needs at all")
        parts.append(GaugeFactor(float(gauge), width, min(1.4 * gauge / width - 1.7, 2.5)))
    if not parts:
        raise InputError("bearing needs the edge distance or the gauge across the force")
    return parts


def _require_beyond(distance: float, least: float, name: str, what: str) -> None:
    """Refuse a distance at which no plate, or no resistance by Table 3.4, is left."""
    if require_positive(distance, name, unit="mm") <= least:
        raise InputError(f"{name} must be above {least:.4g} mm ({what}), got {distance:g}")


@dataclass(frozen=True)
class Distances:
    """Given and allowed distances of the holes in one plate."""

    hole_width: Annotated[float, Figure("d_0", "mm", title="hole diameter")]
    thickness: Annotated[float, Figure("t", "mm", title="thickness of the thinner outer plate")]
    end_multiple: Annotated[float, Figure("c_e1", "", "", _DISTANCES)]
    edge_multiple: Annotated[float, Figure("c_e2", "", "", _DISTANCES)]
    pitch_multiple: Annotated[float, Figure("c_p1", "", "", _DISTANCES)]
    gauge_multiple: Annotated[float, Figure("c_p2", "", "", _DISTANCES)]
    least_end: Annotated[float, Figure("e_1,min", "mm", "c_e1 * d_0", _DISTANCES, "smallest end distance")]
    least_edge: Annotated[float, Figure("e_2,min", "mm", "c_e2 * d_0", _DISTANCES, "smallest edge distance")]
    least_pitch: Annotated[float, Figure("p_1,min", "mm", "c_p1 * d_0", _DISTANCES, "smallest pitch")]
    least_gauge: Annotated[float, Figure("p_2,min", "mm", "c_p2 * d_0", _DISTANCES, "smallest gauge")]
    largest_edge: Annotated[float, Figure("e_max", "mm", "4 * t + 40", _DISTANCES, "largest distance, exposed steel")]
    largest_spacing: Annotated[float, Figure("p_max", "mm", "min(14 * t, 200)", _DISTANCES, "largest spacing")]


def distance_checks(
    hole: Hole,
    *,
    thickness: float,
    end_distance: float,
    edge_distance: float,
    pitch: float | None = None,
    gauge: float | None = None,
    exposed: bool,
) -> tuple[Check, ...]:
    """Checks of the distances of the holes in one plate against their smallest and largest values. [mm]

    Parameters
    ----------
    thickness : float
        Of the thinner outer plate. [mm]
    pitch, gauge : float or None
        Along and across the load; None where there is only one bolt in that direction. [mm]
    exposed : bool
        Whether the steel stands in weather or other corrosive surroundings: only then end and edge have a
        largest distance.

    Limits
    ------
    Rows that are not staggered, compression members and the outer rows of tension members; not EN 10025-5 steel.

    Source
    ------
    EN 1993-1-8:2005, Table 3.3.
    """
    column = "slot" if hole.slotted else "round_hole"
    multiple = {key: float(row[column]) for key, row in read_table(PACKAGE, "distances").items()}
    t = require_positive(thickness, "thickness", unit="mm")
    least = {key: value * hole.width for key, value in multiple.items()}
    figures = Distances(
        hole.width, t, *multiple.values(), *least.values(),
        largest_edge=4.0 * t + 40.0, largest_spacing=min(14.0 * t, 200.0),
    )  # fmt: skip
    given = {"end": end_distance, "edge": edge_distance, "pitch": pitch, "gauge": gauge}
    checks = []
    for key, value in given.items():
        if value is None:
            continue
        value = require_positive(value, f"{key} distance" if key in ("end", "edge") else key, unit="mm")
        checks.append(_distance_check(f"smallest {key}", least[key], value, figures))
        spacing = key in ("pitch", "gauge")
        if spacing or exposed:
            limit = figures.largest_spacing if spacing else figures.largest_edge
            checks.append(_distance_check(f"largest {key}", value, limit, figures))
    return tuple(checks)


def _distance_check(title: str, demand: float, resistance: float, figures: Distances) -> Check:
    return judged(
        f"distance:{title}", f"{title} distance of the holes", demand=demand, resistance=resistance, unit="mm",
        clause=_DISTANCES, working=(figures,),
    )  # fmt: skip
