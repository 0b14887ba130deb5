"""Smallest and largest distances of holes by AISC 360."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Check, Figure, judged
from loadhistories.validation import require_positive
from slip.holes import Hole
from slip.standards.aisc360.tables import INCH, clause, size_of_hole, size_row

SPACING = clause("J3.3", "J3.4")
EDGE = clause("J3.4 and Tables J3.4, J3.5", "J3.5 and Tables J3.4, J3.5")
LARGEST = clause("J3.5", "J3.6")
DISTANCES_ASSUMED = (
    "the steel is painted or not exposed to weather; the increment of the edge distance for a slot counts at every edge"
)


@dataclass(frozen=True)
class Distances:
    """Allowed distances of the holes in one plate."""

    diameter: Annotated[float, Figure("d", "mm", title="bolt diameter")]
    hole_extent: Annotated[float, Figure("l_h", "mm", title="largest extent of the hole")]
    thickness: Annotated[float, Figure("t", "mm", title="thickness of the thinner part")]
    standard_edge: Annotated[float, Figure("L_0", "mm", "", EDGE, "smallest edge distance of a standard hole")]
    increment: Annotated[float, Figure("C_2", "mm", "", EDGE, "increment for an oversize hole or a slot")]
    spacing_multiple: Annotated[float, Figure("c_s", "", "", LARGEST, "24; 14 for bare weathering steel")]
    spacing_limit: Annotated[float, Figure("s_lim", "mm", "", LARGEST, "12 in; 7 in for bare weathering steel")]
    least_spacing: Annotated[
        float,
        Figure(
            "s_min", "mm", "max(8 / 3 * d, l_h + d)", f"{SPACING}; clear distance of d: from memory",
            "smallest spacing: 2-2/3 d, and d between the holes",
        ),
    ]  # fmt: skip
    least_edge: Annotated[float, Figure("L_e,min", "mm", "L_0 + C_2", EDGE, "smallest edge distance")]
    largest_spacing: Annotated[float, Figure("s_max", "mm", "min(c_s * t, s_lim)", LARGEST, "largest spacing")]
    largest_edge: Annotated[
        float, Figure("L_e,max", "mm", "min(12 * t, 6 * 25.4)", f"{LARGEST}, from memory", "largest edge distance")
    ]


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
        Of the thinner part. [mm]
    pitch, gauge : float or None
        Along and across the load; None where there is only one bolt in that direction. [mm]
    exposed : bool
        Whether it is bare weathering steel in the weather; else it is painted or not exposed.

    Raises
    ------
    InputError
        A distance is not above zero, or the hole is not one of these tables.

    Limits
    ------
    The Specification lets smaller edge distances pass where bearing and tear-out hold; that is not used.

    Source
    ------
    AISC 360-16, J3.3 to J3.5; 360-22, J3.4 to J3.6.
    """
    figures = _distances(hole, require_positive(thickness, "thickness", unit="mm"), exposed)
    given = {"end": end_distance, "edge": edge_distance, "pitch": pitch, "gauge": gauge}
    checks = []
    for key, value in given.items():
        if value is None:
            continue
        beside = key in ("end", "edge")
        value = require_positive(value, f"{key} distance" if beside else key, unit="mm")
        least, largest, clause_of_least = (
            (figures.least_edge, figures.largest_edge, EDGE)
            if beside
            else (figures.least_spacing, figures.largest_spacing, SPACING)
        )
        checks.append(_check(f"smallest {key}", least, value, clause_of_least, figures))
        checks.append(_check(f"largest {key}", value, largest, LARGEST, figures))
    return tuple(checks)


def _distances(hole: Hole, t: float, exposed: bool) -> Distances:
    row, scale, unit = size_row("edges", size_of_hole(hole))
    d, standard_edge = hole.width - hole.clearance, scale * row[f"edge_{unit}"]
    increment = _increment(hole, row, scale, unit, d)
    multiple, limit = (14.0, 7.0 * INCH) if exposed else (24.0, 12.0 * INCH)
    return Distances(
        diameter=d,
        hole_extent=hole.length,
        thickness=t,
        standard_edge=standard_edge,
        increment=increment,
        spacing_multiple=multiple,
        spacing_limit=limit,
        least_spacing=max(8.0 / 3.0 * d, hole.length + d),
        least_edge=standard_edge + increment,
        largest_spacing=min(multiple * t, limit),
        largest_edge=min(12.0 * t, 6.0 * INCH),
    )


def _increment(hole: Hole, row: dict, scale: float, unit: str, diameter: float) -> float:
    """Increment C_2 of the smallest edge distance, a slot taken as across the edge. [mm]"""
    if hole.kind == "normal":
        return 0.0
    if hole.kind == "long slot":
        return 0.75 * diameter
    return scale * row[f"{hole.kind.replace(' ', '_')}_more_{unit}"]


def _check(title: str, demand: float, resistance: float, clause_of_it: str, figures: Distances) -> Check:
    return judged(
        f"distance:{title}", f"{title} distance of the holes", demand=demand, resistance=resistance, unit="mm",
        clause=clause_of_it, working=(figures,),
    )  # fmt: skip
