"""Bearing and tear-out of a bolt in a plate by AISC 360."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_positive
from slip.bolts import Bolt
from slip.holes import Hole
from slip.joint import Plate
from slip.standards.aisc360.tables import clause, resistance_factor

CLAUSE = clause("J3.10", "J3.11")
MULTIPLES = {"deformation counts": (2.4, 1.2), "long slot across": (2.0, 1.0), "deformation does not count": (3.0, 1.5)}
_DIAMETER = Figure("d", "mm", title="bolt diameter")
_HOLE = Figure("l_h", "mm", title="extent of the hole along the force")
_THICKNESS = Figure("t", "mm", title="thickness of the plate")
_ULTIMATE = Figure("F_u", "MPa", title="specified minimum tensile strength of the plate")
_MULTIPLE = Figure(
    "c_b", "", "", CLAUSE, "2.4; 2.0 for a long slot across the force; 3.0 where deformation is no concern"
)
_LOCAL = Figure("R_n,b", "N", "c_b * d * t * F_u", CLAUSE, "nominal bearing strength")
_FACTOR = Figure("phi", "", "", CLAUSE, "resistance factor of bearing; by ASD 1 / Omega")


@dataclass(frozen=True)
class ClearToEdge:
    """Clear distance from a hole to the edge of the plate."""

    end_distance: Annotated[float, Figure("L_e", "mm", title="distance from the hole's centre to the edge")]
    hole_extent: Annotated[float, _HOLE]
    distance: Annotated[float, Figure("l_c,e", "mm", "L_e - l_h / 2", CLAUSE, "clear distance to the edge")]


@dataclass(frozen=True)
class ClearToHole:
    """Clear distance from a hole to the next one."""

    pitch: Annotated[float, Figure("s", "mm", title="spacing along the force")]
    hole_extent: Annotated[float, _HOLE]
    distance: Annotated[float, Figure("l_c,s", "mm", "s - l_h", CLAUSE, "clear distance to the next hole")]


Part = ClearToEdge | ClearToHole


@dataclass(frozen=True)
class Bearing:
    """Bearing and tear-out of one bolt for one component of its force; `parts` hold the working of l_c."""

    parts: tuple[Part, ...]
    diameter: Annotated[float, _DIAMETER]
    thickness: Annotated[float, _THICKNESS]
    plate_strength: Annotated[float, _ULTIMATE]
    bearing_multiple: Annotated[float, _MULTIPLE]
    local: Annotated[float, _LOCAL]
    tear_out_multiple: Annotated[
        float,
        Figure("c_t", "", "", CLAUSE, "1.2; 1.0 for a long slot across the force; 1.5 where deformation is no concern"),
    ]
    clear_distance: Annotated[float, Figure("l_c", "mm", "", CLAUSE, "smaller clear distance")]
    tear_out: Annotated[float, Figure("R_n,t", "N", "c_t * l_c * t * F_u", CLAUSE, "nominal tear-out strength")]
    resistance_factor: Annotated[float, _FACTOR]
    resistance: Annotated[
        float, Figure("φR_n", "N", "phi * min(R_nb, R_nt)", CLAUSE, "bearing and tear-out strength at the bolt")
    ]

    @property
    def working(self) -> tuple:
        """The results to print, in order."""
        return (*self.parts, self)


@dataclass(frozen=True)
class ResultantBearing:
    """Bearing strength at one bolt for its whole force, in any direction."""

    diameter: Annotated[float, _DIAMETER]
    thickness: Annotated[float, _THICKNESS]
    plate_strength: Annotated[float, _ULTIMATE]
    bearing_multiple: Annotated[float, _MULTIPLE]
    local: Annotated[float, _LOCAL]
    resistance_factor: Annotated[float, _FACTOR]
    resistance: Annotated[float, Figure("φR_n,b", "N", "phi * R_nb", CLAUSE, "bearing strength at the bolt")]


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
    deformation_counts: bool = True,
    method: str = "LRFD",
) -> Bearing:
    """Bearing and tear-out strength at one bolt for one component of its force, with its figures. [N]

    Parameters
    ----------
    plate : Plate
        Its thickness and tensile strength; the distances are given apart, as they depend on bolt and direction.
    end_distance, pitch : float or None
        Along the force, to the edge and to the next bolt; None where there is none. One of them is needed. [mm]
    edge_distance, gauge : float or None
        Across the force; the strength does not depend on them. [mm]
    slot_across_load : bool
        The hole is a slot and its length lies across the force.
    single_lap_one_row : bool
        Two plates, one plane and one row of bolts only; the strength does not depend on it.
    deformation_counts : bool
        Deformation of the hole at service load is a design consideration.
    method : str
        "LRFD" or "ASD".

    Raises
    ------
    InputError
        No distance along the force, or one that leaves no plate beside the hole.

    Limits
    ------
    The clause takes l_c in the direction of the whole force, which is never shorter than what its components along
    x and y leave together: judged one by one with `resultant_bearing` beside them they are on the safe side.

    Source
    ------
    AISC 360-16, J3.10, (J3-6a) to (J3-6f); 360-22, J3.11.

    Examples
    --------
    >>> from slip.standards.aisc360.tables import KIP, bolt, hole
    >>> item = bolt("3/4 in", "A325")
    >>> plate = Plate("gusset", 25.4, "A36", 248.2, 399.896, 31.75, 31.75)
    >>> bearing(item, hole(item, "normal"), plate, end_distance=31.75).resistance / KIP
    44.0437
    """
    if slot_across_load and not hole.slotted:
        raise InputError(f"a {hole.kind} hole has no slot that could lie across the load")
    parts = _parts(hole.width if slot_across_load else hole.length, end_distance, pitch)
    across = slot_across_load and hole.kind == "long slot"
    c_b, c_t = _multiples(across, deformation_counts)
    l_c = min(part.distance for part in parts)
    local = c_b * bolt.diameter * plate.thickness * plate.ultimate_strength
    tear_out = c_t * l_c * plate.thickness * plate.ultimate_strength
    phi = resistance_factor("bearing", method)
    return Bearing(
        parts=parts,
        diameter=bolt.diameter,
        thickness=plate.thickness,
        plate_strength=plate.ultimate_strength,
        bearing_multiple=c_b,
        local=local,
        tear_out_multiple=c_t,
        clear_distance=l_c,
        tear_out=tear_out,
        resistance_factor=phi,
        resistance=phi * min(local, tear_out),
    )


def resultant_bearing(bolt: Bolt, hole: Hole, plate: Plate) -> ResultantBearing:
    """Bearing strength at one bolt for its whole force, with its figures; a long slot counts as across it. [N]

    Source
    ------
    AISC 360-16, J3.10; 360-22, J3.11.

    Examples
    --------
    >>> from slip.standards.aisc360.tables import KIP, bolt, hole
    >>> item = bolt("3/4 in", "A325")
    >>> plate = Plate("gusset", 25.4, "A36", 248.2, 399.896, 31.75, 31.75)
    >>> resultant_bearing(item, hole(item, "normal"), plate).resistance / KIP
    78.3
    """
    thickness = require_positive(plate.thickness, "thickness", unit="mm")
    strength = require_positive(plate.ultimate_strength, "ultimate strength", unit="MPa")
    c_b, _ = _multiples(hole.kind == "long slot", True)
    local, phi = c_b * bolt.diameter * thickness * strength, resistance_factor("bearing")
    return ResultantBearing(bolt.diameter, thickness, strength, c_b, local, phi, phi * local)


def _multiples(long_slot_across: bool, deformation_counts: bool) -> tuple[float, float]:
    if long_slot_across:
        return MULTIPLES["long slot across"]
    return MULTIPLES["deformation counts" if deformation_counts else "deformation does not count"]


def _parts(extent: float, end_distance: float | None, pitch: float | None) -> tuple[Part, ...]:
    """Clear distances along the force."""
    parts = []
    if end_distance is not None:
        _require_beyond(end_distance, extent / 2.0, "end distance", "half the hole")
        parts.append(ClearToEdge(float(end_distance), extent, end_distance - extent / 2.0))
    if pitch is not None:
        _require_beyond(pitch, extent, "pitch", "the hole")
        parts.append(ClearToHole(float(pitch), extent, pitch - extent))
    if not parts:
        raise InputError("bearing needs the end distance or the pitch along the force")
    return tuple(parts)


def _require_beyond(distance: float, least: float, name: str, what: str) -> None:
    if require_positive(distance, name, unit="mm") <= least:
        raise InputError(f"{name} must be above {least:.4g} mm ({what}), got {distance:g}")
