"""Strength of the plies round the bolts by AS 4100:2020: bearing, tear-out, net section, block shear."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_positive
from slip.bolts import Bolt
from slip.holes import Hole
from slip.joint import Plate
from slip.standards.as4100.tables import EDITION, capacity_factor

_PLY = f"{EDITION}, 9.2.2.4"
_BLOCK = f"{EDITION}, 9.1.9, from memory"
_DIAMETER = Figure("d_f", "mm", title="bolt diameter")
_HOLE = Figure("l_h", "mm", title="extent of the hole along the force")
_THICKNESS = Figure("t_p", "mm", title="thickness of the ply")
_PLATE_STRENGTH = Figure("f_up", "MPa", title="tensile strength of the ply")
_FACTOR = Figure("phi", "", "", f"{EDITION}, Table 3.4", "capacity factor of a ply in bearing")
_BEARING = Figure("V_b,1", "N", "3.2 * d_f * t_p * f_up", f"{_PLY}(1)", "nominal bearing capacity")


@dataclass(frozen=True)
class TearOutToEnd:
    """Distance over which a bolt tears out to the end of the ply."""

    end_distance: Annotated[float, Figure("a_1", "mm", title="end distance from the hole's centre")]
    hole_extent: Annotated[float, _HOLE]
    diameter: Annotated[float, _DIAMETER]
    distance: Annotated[
        float, Figure("a_e,1", "mm", "a_1 - l_h / 2 + d_f / 2", _PLY, "edge of the hole to the end, plus half a bolt")
    ]


@dataclass(frozen=True)
class TearOutToHole:
    """Distance over which a bolt tears out to the next hole, whose edge counts as one of the ply."""

    pitch: Annotated[float, Figure("s_p", "mm", title="pitch along the force")]
    hole_extent: Annotated[float, _HOLE]
    diameter: Annotated[float, _DIAMETER]
    distance: Annotated[
        float, Figure("a_e,2", "mm", "s_p - l_h + d_f / 2", _PLY, "edge of the hole to the next, plus half a bolt")
    ]


Part = TearOutToEnd | TearOutToHole


@dataclass(frozen=True)
class Bearing:
    """Bearing capacity of one ply for one component of a bolt's force; `parts` hold the working of a_e."""

    parts: tuple[Part, ...]
    diameter: Annotated[float, _DIAMETER]
    thickness: Annotated[float, _THICKNESS]
    plate_strength: Annotated[float, _PLATE_STRENGTH]
    local: Annotated[float, _BEARING]
    tear_out_distance: Annotated[float, Figure("a_e", "mm", "", _PLY, "smaller distance of end and inner bolt")]
    tear_out: Annotated[
        float, Figure("V_b,2", "N", "a_e * t_p * f_up", f"{_PLY}(2)", "nominal tear-out capacity")
    ]
    capacity_factor: Annotated[float, _FACTOR]
    resistance: Annotated[
        float, Figure("φV_b", "N", "phi * min(V_b1, V_b2)", _PLY, "bearing capacity of the ply")
    ]

    @property
    def working(self) -> tuple:
        """The results to print, in order."""
        return (*self.parts, self)


@dataclass(frozen=True)
class ResultantBearing:
    """Bearing capacity of one ply for the whole force of a bolt, in any direction."""

    diameter: Annotated[float, _DIAMETER]
    thickness: Annotated[float, _THICKNESS]
    plate_strength: Annotated[float, _PLATE_STRENGTH]
    local: Annotated[float, _BEARING]
    capacity_factor: Annotated[float, _FACTOR]
    resistance: Annotated[float, Figure("φV_b,1", "N", "phi * V_b1", f"{_PLY}(1)", "bearing capacity of the ply")]


@dataclass(frozen=True)
class GrossSection:
    """Yielding of the gross section of a ply in tension."""

    area: Annotated[float, Figure("A_g", "mm2", title="gross area")]
    yield_strength: Annotated[float, Figure("f_y", "MPa", title="yield strength of the ply")]
    capacity: Annotated[
        float, Figure("N_t", "N", "A_g * f_y", f"{EDITION}, 7.2, from memory", "nominal capacity at yielding")
    ]
    capacity_factor: Annotated[float, Figure("phi", "", "", f"{EDITION}, Table 3.4", "capacity factor")]
    resistance: Annotated[
        float, Figure("φN_t", "N", "phi * N_t", f"{EDITION}, 7.1", "capacity of the gross section at yielding")
    ]


@dataclass(frozen=True)
class NetSection:
    """Rupture of the net section of a ply in tension."""

    net_area: Annotated[float, Figure("A_n", "mm2", title="net area")]
    ultimate_strength: Annotated[float, Figure("f_u", "MPa", title="tensile strength of the ply")]
    distribution: Annotated[float, Figure("k_t", "", "", f"{EDITION}, 7.3", "factor for the spread of the force")]
    capacity: Annotated[
        float,
        Figure("N_t", "N", "0.85 * k_t * A_n * f_u", f"{EDITION}, 7.2, from memory", "nominal capacity at rupture"),
    ]
    capacity_factor: Annotated[float, Figure("phi", "", "", f"{EDITION}, Table 3.4", "capacity factor")]
    resistance: Annotated[
        float, Figure("φN_t", "N", "phi * N_t", f"{EDITION}, 7.1", "capacity of the net section at rupture")
    ]


@dataclass(frozen=True)
class BlockShear:
    """Shearing of a block of bolts out of a ply."""

    ultimate_strength: Annotated[float, Figure("f_uc", "MPa", title="tensile strength of the ply")]
    yield_strength: Annotated[float, Figure("f_yc", "MPa", title="yield strength of the ply")]
    net_shear_area: Annotated[float, Figure("A_nv", "mm2", title="net area in shear")]
    gross_shear_area: Annotated[float, Figure("A_gv", "mm2", title="gross area in shear")]
    net_tension_area: Annotated[float, Figure("A_nt", "mm2", title="net area in tension")]
    share: Annotated[float, Figure("k_bs", "", "", _BLOCK, "1 where the tension is uniform over A_nt, else 0.5")]
    capacity: Annotated[
        float,
        Figure(
            "R_bs", "N", "min(0.6 * f_uc * A_nv, 0.6 * f_yc * A_gv) + k_bs * f_uc * A_nt", _BLOCK,
            "nominal capacity against block shear",
        ),
    ]  # fmt: skip
    capacity_factor: Annotated[float, Figure("phi", "", "", f"{EDITION}, Table 3.4", "capacity factor")]
    resistance: Annotated[float, Figure("φR_bs", "N", "phi * R_bs", _BLOCK, "capacity against block shear")]


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
) -> Bearing:
    """Bearing capacity of one ply for one component of a bolt's force, with its figures. [N]

    Parameters
    ----------
    plate : Plate
        Its thickness and tensile strength; the distances are given apart, as they depend on bolt and direction.
    end_distance, pitch : float or None
        Along the force, to the end and to the next bolt; None where there is none. One of them is needed. [mm]
    edge_distance, gauge : float or None
        Across the force; the capacity does not depend on them. [mm]
    slot_across_load : bool
        The hole is a slot and its length lies across the force.
    single_lap_one_row : bool
        Two plies, one plane and one row of bolts only; the capacity does not depend on it.

    Raises
    ------
    InputError
        No distance along the force, or one that leaves no ply beside the hole.

    Limits
    ------
    Distances above the smallest ones of 9.5; see `distance_checks`. The whole force of the bolt has a limit of its
    own, `resultant_bearing`.

    Source
    ------
    AS 4100:2020, 9.2.2.4.

    Examples
    --------
    >>> from slip.standards.as4100.tables import bolt, hole
    >>> m20 = bolt("M20", "8.8")
    >>> plate = Plate("gusset", 10.0, "300", 300.0, 440.0, 36.0, 36.0)
    >>> bearing(m20, hole(m20, "normal"), plate, end_distance=36.0).resistance
    138600.0
    """
    if slot_across_load and not hole.slotted:
        raise InputError(f"a {hole.kind} hole has no slot that could lie across the load")
    parts = _parts(bolt, hole.width if slot_across_load else hole.length, end_distance, pitch)
    a_e = min(part.distance for part in parts)
    whole = resultant_bearing(bolt, hole, plate)
    tear_out = a_e * plate.thickness * plate.ultimate_strength
    return Bearing(
        parts=parts,
        diameter=bolt.diameter,
        thickness=plate.thickness,
        plate_strength=plate.ultimate_strength,
        local=whole.local,
        tear_out_distance=a_e,
        tear_out=tear_out,
        capacity_factor=whole.capacity_factor,
        resistance=whole.capacity_factor * min(whole.local, tear_out),
    )


def resultant_bearing(bolt: Bolt, hole: Hole, plate: Plate) -> ResultantBearing:
    """Bearing capacity of one ply for the whole force of a bolt, whatever the hole, with its figures. [N]

    Source
    ------
    AS 4100:2020, 9.2.2.4(1).

    Examples
    --------
    >>> from slip.standards.as4100.tables import bolt, hole
    >>> m20 = bolt("M20", "8.8")
    >>> plate = Plate("gusset", 10.0, "300", 300.0, 440.0, 36.0, 36.0)
    >>> resultant_bearing(m20, hole(m20, "normal"), plate).resistance
    253440.0
    """
    thickness = require_positive(plate.thickness, "thickness", unit="mm")
    strength = require_positive(plate.ultimate_strength, "ultimate strength", unit="MPa")
    local, phi = 3.2 * bolt.diameter * thickness * strength, capacity_factor("ply bearing")
    return ResultantBearing(bolt.diameter, thickness, strength, local, phi, phi * local)


def punching(**given: float) -> None:
    """Refused: AS 4100 has no rule for a ply that a bolt's head or nut pulls through.

    Raises
    ------
    InputError
        Always.
    """
    raise InputError(
        f"{EDITION} has no rule for pulling a bolt's head or nut through a ply; judge the ply in bending with prying, "
        "9.1.8"
    )


def net_section(*, net_area: float, ultimate_strength: float, distribution: float) -> NetSection:
    """Capacity of the net section of a ply in tension at rupture, with its figures. [N]

    Parameters
    ----------
    net_area : float
        Of the ply less its holes. [mm2]
    ultimate_strength : float
        Tensile strength of the ply. [MPa]
    distribution : float
        Factor k_t for the spread of the force over the section, 1 where it is even. [-]

    Limits
    ------
    Yielding of the gross section, 7.2, is a check of its own.

    Source
    ------
    AS 4100:2020, 7.2 and 7.3, from memory.

    Examples
    --------
    >>> net_section(net_area=2500.0, ultimate_strength=430.0, distribution=1.0).resistance
    822375.0
    """
    area = require_positive(net_area, "net area", unit="mm2")
    strength = require_positive(ultimate_strength, "ultimate strength", unit="MPa")
    k_t = require_positive(distribution, "factor for the spread of the force")
    if k_t > 1.0:
        raise InputError(f"factor for the spread of the force must not be above 1, got {k_t:g}")
    capacity, phi = 0.85 * k_t * area * strength, capacity_factor("member in tension")
    return NetSection(area, strength, k_t, capacity, phi, phi * capacity)


def block_tearing(
    *,
    net_tension_area: float,
    net_shear_area: float,
    gross_shear_area: float,
    yield_strength: float,
    ultimate_strength: float,
    eccentric: bool,
) -> BlockShear:
    """Capacity of a ply against the shearing out of its bolt group, with its figures. [N]

    Parameters
    ----------
    net_tension_area, net_shear_area, gross_shear_area : float
        Of the faces of the block, less holes and with them. [mm2]
    yield_strength, ultimate_strength : float
        Of the ply. [MPa]
    eccentric : bool
        Whether the tension is uneven over its face of the block.

    Source
    ------
    AS 4100:2020, 9.1.9, from memory.

    Examples
    --------
    >>> block_tearing(net_tension_area=380.0, net_shear_area=1450.0, gross_shear_area=2000.0, yield_strength=300.0,
    ...               ultimate_strength=430.0, eccentric=False).resistance
    392550.0
    """
    tension = require_positive(net_tension_area, "net tension area", unit="mm2")
    shear = require_positive(net_shear_area, "net shear area", unit="mm2")
    gross = require_positive(gross_shear_area, "gross shear area", unit="mm2")
    f_yc = require_positive(yield_strength, "yield strength", unit="MPa")
    f_uc = require_positive(ultimate_strength, "ultimate strength", unit="MPa")
    if gross < shear:
        raise InputError(f"gross shear area must not be below the net one of {shear:g} mm2, got {gross:g}")
    share, phi = 0.5 if eccentric else 1.0, capacity_factor("block shear")
    capacity = min(0.6 * f_uc * shear, 0.6 * f_yc * gross) + share * f_uc * tension
    return BlockShear(f_uc, f_yc, shear, gross, tension, share, capacity, phi, phi * capacity)


def plate_section(plate: Plate, *, kind: str, area: float, grips_at_ultimate: bool) -> tuple:
    """Capacity of a section of a ply in a joint, with its figures, and its clause. [N]

    Parameters
    ----------
    kind : str
        "gross" or "net".
    area : float
        Of that section. [mm2]
    grips_at_ultimate : bool
        Whether the joint must grip at ultimate level; it makes no difference.

    Limits
    ------
    The force is spread evenly, k_t = 1. Compression without buckling is judged as tension is.

    Source
    ------
    AS 4100:2020, 7.2, from memory.

    Examples
    --------
    >>> plate = Plate("gusset", 10.0, "300", 300.0, 440.0, 36.0, 36.0)
    >>> plate_section(plate, kind="gross", area=2000.0, grips_at_ultimate=False)[0].resistance
    540000.0
    """
    if kind == "net":
        found = net_section(net_area=area, ultimate_strength=plate.ultimate_strength, distribution=1.0)
        return found, f"{EDITION}, 7.2"
    area, phi = require_positive(area, "gross area", unit="mm2"), capacity_factor("member in tension")
    capacity = area * plate.yield_strength
    return GrossSection(area, plate.yield_strength, capacity, phi, phi * capacity), f"{EDITION}, 7.2"


def plate_block_tearing(
    plate: Plate, *, net_tension_area: float, net_shear_area: float, gross_shear_area: float, eccentric: bool
) -> BlockShear:
    """Capacity of one ply of a joint against block shear, with its figures; see `block_tearing`. [N]"""
    return block_tearing(
        net_tension_area=net_tension_area, net_shear_area=net_shear_area, gross_shear_area=gross_shear_area,
        yield_strength=plate.yield_strength, ultimate_strength=plate.ultimate_strength, eccentric=eccentric,
    )  # fmt: skip


def _parts(bolt: Bolt, extent: float, end_distance: float | None, pitch: float | None) -> tuple[Part, ...]:
    """Distances over which the bolt can tear out along the force."""
    half, parts = bolt.diameter / 2.0, []
    if end_distance is not None:
        _require_beyond(end_distance, extent / 2.0, "end distance", "half the hole")
        parts.append(TearOutToEnd(float(end_distance), extent, bolt.diameter, end_distance - extent / 2.0 + half))
    if pitch is not None:
        _require_beyond(pitch, extent, "pitch", "the hole")
        parts.append(TearOutToHole(float(pitch), extent, bolt.diameter, pitch - extent + half))
    if not parts:
        raise InputError("bearing needs the end distance or the pitch along the force")
    return tuple(parts)


def _require_beyond(distance: float, least: float, name: str, what: str) -> None:
    if require_positive(distance, name, unit="mm") <= least:
        raise InputError(f"{name} must be above {least:.4g} mm ({what}), got {distance:g}")
