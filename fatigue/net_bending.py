"""Makes the recipe of the stress of a flat bar less its holes under axial force and bending in its plane."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from fatigue.recipe import AXES, Recipe, component_vector, several
from loadhistories.blocks import COMPONENTS
from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_finite, require_one_of, require_positive, where

SAME_PLACE = 1e-6


@dataclass(frozen=True)
class BentNetSection:
    """A flat bar at a row of holes that stand alike on both sides of its middle."""

    width: Annotated[float, Figure("b", "mm", title="width")]
    thickness: Annotated[float, Figure("t", "mm", title="thickness")]
    holes: Annotated[float, Figure("n", "", title="holes in the row across the force")]
    hole_diameter: Annotated[float, Figure("d_0", "mm", title="diameter of a hole")]
    offsets_squared: Annotated[float, Figure("S_2", "mm2", title="sum of the squared distances of the holes")]
    net_area: Annotated[float, Figure("A_net", "mm2", "(b - n * d_0) * t", title="net area")]
    second_moment: Annotated[
        float,
        Figure(
            "I_net",
            "mm4",
            "t * b ** 3 / 12 - n * t * d_0 ** 3 / 12 - t * d_0 * S_2",
            title="second moment less the holes, about the middle",
        ),
    ]
    per_force: Annotated[float, Figure("c_N", "MPa/N", "1 / A_net", title="stress per force")]
    per_moment: Annotated[float, Figure("c_M", "MPa/(N mm)", "b / 2 / I_net", title="edge stress per moment")]


def stress_of_bent_net_section(
    force: str,
    moment: str,
    *,
    width: float,
    thickness: float,
    hole_diameter: float,
    hole_offsets: Sequence[float],
    place: str = "",
) -> Recipe:
    """Normal stress at both edges of a flat bar less its holes: axial force, and a moment in the plane of the bar.

    Parameters
    ----------
    force : str
        "Fx", "Fy" or "Fz"; positive pulls the bar.
    moment : str
        "Mx", "My" or "Mz": about the axis through the thickness, at the middle of the net section.
    width, thickness, hole_diameter : float
        [mm]
    hole_offsets : sequence of float
        Place of each hole in the row across the force, from the middle of the width. [mm]

    Returns
    -------
    Recipe
        A history for each edge.

    Raises
    ------
    InputError
        A size is not above zero; a hole leaves the bar or runs into another; holes are not alike on both sides;
        the moment is about the axis of the force.

    Limits
    ------
    Holes in one straight row. Holes on one side only would shift the centroid and are refused.

    Source
    ------
    Beam theory on the net section, common practice, no source.

    Examples
    --------
    >>> bar = stress_of_bent_net_section(
    ...     "Fx", "Mz", width=200, thickness=10, hole_diameter=22, hole_offsets=[-50, 50])
    >>> bar.stress_of([156e3, 0, 0, 0, 0, 0])
    array([100., 100.])
    """
    require_one_of(force, COMPONENTS[:3], "force", place=place)
    along = force[1]
    require_one_of(moment, [f"M{axis}" for axis in AXES if axis != along], "moment in the plane of the bar",
                   place=place)  # fmt: skip
    b = require_positive(width, "width", unit="mm", place=place)
    t = require_positive(thickness, "thickness", unit="mm", place=place)
    d_0 = require_positive(hole_diameter, "hole diameter", unit="mm", place=place)
    offsets = np.sort([require_finite(value, "hole offset", unit="mm", place=place) for value in hole_offsets])
    _require_fit(offsets, b, d_0, place)
    n, squares = len(offsets), float((offsets**2).sum())
    area = (b - n * d_0) * t
    inertia = t * b**3 / 12 - n * t * d_0**3 / 12 - t * d_0 * squares
    part = BentNetSection(b, t, n, d_0, squares, area, inertia, 1.0 / area, b / 2 / inertia)
    width_axis = next(axis for axis in AXES if axis not in (along, moment[1]))
    # Right-hand rule: a moment about the axis that follows the force's pulls at larger values of the one after that.
    pulls = 1.0 if moment[1] == AXES[(AXES.index(along) + 1) % 3] else -1.0
    rows = [component_vector({force: part.per_force, moment: side * pulls * part.per_moment}) for side in (1.0, -1.0)]
    return several(
        rows,
        (f"edge at +{width_axis}", f"edge at -{width_axis}"),
        f"{force} and {moment} on the net section",
        stress="normal",
        on="net",
        working=(part,),
    )


def _require_fit(offsets, width: float, diameter: float, place: str) -> None:
    if not len(offsets):
        raise InputError(f"hole_offsets must name at least one hole{where(place)}")
    reach = float(np.abs(offsets).max()) + diameter / 2
    if reach >= width / 2:
        raise InputError(
            f"a hole of {diameter:g} mm at {np.abs(offsets).max():g} mm from the middle leaves a width of {width:g} mm"
            f"{where(place)}"
        )
    if (np.diff(offsets) <= diameter).any():
        raise InputError(f"holes of {diameter:g} mm at these offsets run into each other{where(place)}")
    if (np.abs(offsets + offsets[::-1]) > SAME_PLACE).any():
        raise InputError(
            "holes must stand alike on both sides of the middle of the bar; for others give the section's area, second "
            f"moment and point{where(place)}"
        )
