"""Smallest and largest distances of holes by AS 4100:2020, 9.5."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Check, Figure, judged
from loadhistories.tables import read_table, row_of
from loadhistories.validation import require_positive
from slip.holes import Hole
from slip.standards.as4100.tables import EDITION, PACKAGE

CLAUSE = f"{EDITION}, 9.5"
ROUGHEST = "sheared or hand flame cut edge"
DISTANCES_ASSUMED = (
    "the edges of the plates are sheared or hand flame cut, which asks for the largest edge distances"
)


@dataclass(frozen=True)
class Distances:
    """Allowed distances of the holes in one plate."""

    diameter: Annotated[float, Figure("d_f", "mm", title="bolt diameter")]
    thickness: Annotated[float, Figure("t_p", "mm", title="thickness of the thinnest outer ply")]
    spacing_multiple: Annotated[float, Figure("c_s", "", "", f"{EDITION}, 9.5.1")]
    edge_multiple: Annotated[float, Figure("c_e", "", "", f"{EDITION}, Table 9.5.2")]
    least_spacing: Annotated[float, Figure("s_min", "mm", "c_s * d_f", f"{EDITION}, 9.5.1", "smallest spacing")]
    least_edge: Annotated[float, Figure("a_min", "mm", "c_e * d_f", f"{EDITION}, 9.5.2", "smallest edge distance")]
    largest_spacing: Annotated[
        float, Figure("s_max", "mm", "min(15 * t_p, 200)", f"{EDITION}, 9.5.3", "largest spacing")
    ]
    largest_edge: Annotated[
        float, Figure("a_max", "mm", "min(12 * t_p, 150)", f"{EDITION}, 9.5.4", "largest edge distance")
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
    edge: str = ROUGHEST,
) -> tuple[Check, ...]:
    """Checks of the distances of the holes in one plate against their smallest and largest values. [mm]

    Parameters
    ----------
    thickness : float
        Of the thinnest outer ply. [mm]
    pitch, gauge : float or None
        Along and across the load; None where there is only one bolt in that direction. [mm]
    exposed : bool
        Whether the steel stands in weather or other corrosive surroundings; the limits of bolts that carry load are
        the same in both.
    edge : str
        How the edge of the plate was made, as in the table; "sheared or hand flame cut edge" asks for most.

    Limits
    ------
    Bolts that carry load; the wider spacing of 9.5.3(a), (b) is not used. Distances are those of the hole's centre,
    of slots too.

    Source
    ------
    AS 4100:2020, 9.5.1 to 9.5.4, from memory.
    """
    t = require_positive(thickness, "thickness", unit="mm")
    diameter = hole.width - hole.clearance
    spacing = float(read_table(PACKAGE, "distances")["spacing"]["multiple"])
    rim = float(row_of(PACKAGE, "distances", edge, "edge of the plate")["multiple"])
    figures = Distances(
        diameter, t, spacing, rim, spacing * diameter, rim * diameter,
        largest_spacing=min(15.0 * t, 200.0), largest_edge=min(12.0 * t, 150.0),
    )  # fmt: skip
    given = {"end": end_distance, "edge": edge_distance, "pitch": pitch, "gauge": gauge}
    checks = []
    for key, value in given.items():
        if value is None:
            continue
        beside = key in ("end", "edge")
        value = require_positive(value, f"{key} distance" if beside else key, unit="mm")
        least, largest = (
            (figures.least_edge, figures.largest_edge) if beside else (figures.least_spacing, figures.largest_spacing)
        )
        checks.append(_check(f"smallest {key}", least, value, figures))
        checks.append(_check(f"largest {key}", value, largest, figures))
    return tuple(checks)


def _check(title: str, demand: float, resistance: float, figures: Distances) -> Check:
    return judged(
        f"distance:{title}", f"{title} distance of the holes", demand=demand, resistance=resistance, unit="mm",
        clause=CLAUSE, working=(figures,),
    )  # fmt: skip
