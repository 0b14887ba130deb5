"""Makes the recipe of throat stresses in a group of welds: at every line end, across the weld or along it.

Force per length is shared as `fatigue.welds` says; here each history carries its own working.
"""

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from fatigue.recipe import KINDS, Recipe, several
from fatigue.welds import PROJECTIONS, WeldGroup, line_forces, throat_projections, weld_group
from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_one_of, require_positive, where

TEXTBOOK = "elastic line method, textbook statics"


@dataclass(frozen=True)
class ThroatOfLeg:
    """Throat of a fillet weld with two equal legs at a right angle."""

    leg: Annotated[float, Figure("z", "mm", title="leg of the weld")]
    throat: Annotated[float, Figure("a", "mm", "z / sqrt(2)", title="throat")]


@dataclass(frozen=True)
class WeldLines:
    """Weld lines as lines of unit thickness."""

    length: Annotated[float, Figure("L", "mm", title="length of the welds")]
    centroid_x: Annotated[float, Figure("x_0", "mm", title="centroid from the joint's origin")]
    centroid_y: Annotated[float, Figure("y_0", "mm", title="centroid from the joint's origin")]
    second_xx: Annotated[float, Figure("J_xx", "mm3", title="integral of x x about the centroid")]
    second_xy: Annotated[float, Figure("J_xy", "mm3", title="integral of x y about the centroid")]
    second_yy: Annotated[float, Figure("J_yy", "mm3", title="integral of y y about the centroid")]
    polar: Annotated[float, Figure("J_p", "mm3", "J_xx + J_yy", title="polar second moment")]
    throat: Annotated[float, Figure("a", "mm", title="throat")]


@dataclass(frozen=True)
class StressAlongWeld:
    """tau_wf at one end of a line for a unit of each load component: force along the weld over the throat."""

    x: Annotated[float, Figure("r_x", "mm", title="line end from the centroid")]
    y: Annotated[float, Figure("r_y", "mm", title="line end from the centroid")]
    along_x: Annotated[float, Figure("u_x", "", title="direction of the weld")]
    along_y: Annotated[float, Figure("u_y", "", title="direction of the weld")]
    length: Annotated[float, Figure("L", "mm", title="length of the welds")]
    centroid_x: Annotated[float, Figure("x_0", "mm", title="centroid from the joint's origin")]
    centroid_y: Annotated[float, Figure("y_0", "mm", title="centroid from the joint's origin")]
    polar: Annotated[float, Figure("J_p", "mm3", title="polar second moment")]
    throat: Annotated[float, Figure("a", "mm", title="throat")]
    turning: Annotated[float, Figure("k_u", "1/mm2", "(u_y * r_x - u_x * r_y) / J_p", TEXTBOOK, "from a turn")]
    per_Fx: Annotated[float, Figure("c_Fx", "MPa/N", "(u_x / L + y_0 * k_u) / a", TEXTBOOK, "stress per Fx")]
    per_Fy: Annotated[float, Figure("c_Fy", "MPa/N", "(u_y / L - x_0 * k_u) / a", TEXTBOOK, "stress per Fy")]
    per_Mz: Annotated[float, Figure("c_Mz", "MPa/(N mm)", "k_u / a", TEXTBOOK, "stress per Mz")]


@dataclass(frozen=True)
class StressAcrossWeld:
    """One projection of sigma_wf at one end of a line: the two forces across the weld over the throat.

    The ranges of PROJECTIONS such directions, each raised by 1 / cos(pi / (2 PROJECTIONS)), bound that of the
    vector sqrt(sigma_perp^2 + tau_perp^2) from above.
    """

    x: Annotated[float, Figure("r_x", "mm", title="line end from the centroid")]
    y: Annotated[float, Figure("r_y", "mm", title="line end from the centroid")]
    across_x: Annotated[float, Figure("v_x", "", title="direction across the weld in the plane")]
    across_y: Annotated[float, Figure("v_y", "", title="direction across the weld in the plane")]
    in_plane: Annotated[float, Figure("p", "", title="part of the direction in the plane, raised by the bound")]
    out_of_plane: Annotated[float, Figure("s", "", title="part of the direction out of the plane, raised likewise")]
    length: Annotated[float, Figure("L", "mm", title="length of the welds")]
    centroid_x: Annotated[float, Figure("x_0", "mm", title="centroid from the joint's origin")]
    centroid_y: Annotated[float, Figure("y_0", "mm", title="centroid from the joint's origin")]
    second_xx: Annotated[float, Figure("J_xx", "mm3", title="integral of x x about the centroid")]
    second_xy: Annotated[float, Figure("J_xy", "mm3", title="integral of x y about the centroid")]
    second_yy: Annotated[float, Figure("J_yy", "mm3", title="integral of y y about the centroid")]
    polar: Annotated[float, Figure("J_p", "mm3", title="polar second moment")]
    throat: Annotated[float, Figure("a", "mm", title="throat")]
    turning: Annotated[float, Figure("k_v", "1/mm2", "(v_y * r_x - v_x * r_y) / J_p", TEXTBOOK, "from a turn")]
    slope_x: Annotated[
        float,
        Figure("g_x", "1/mm2", "(J_yy * r_x - J_xy * r_y) / (J_xx * J_yy - J_xy ** 2)", TEXTBOOK, "from My"),
    ]
    slope_y: Annotated[
        float,
        Figure("g_y", "1/mm2", "(J_xx * r_y - J_xy * r_x) / (J_xx * J_yy - J_xy ** 2)", TEXTBOOK, "from Mx"),
    ]
    per_Fx: Annotated[float, Figure("c_Fx", "MPa/N", "p * (v_x / L + y_0 * k_v) / a", TEXTBOOK, "stress per Fx")]
    per_Fy: Annotated[float, Figure("c_Fy", "MPa/N", "p * (v_y / L - x_0 * k_v) / a", TEXTBOOK, "stress per Fy")]
    per_Fz: Annotated[
        float, Figure("c_Fz", "MPa/N", "s * (1 / L - y_0 * g_y - x_0 * g_x) / a", TEXTBOOK, "stress per Fz")
    ]
    per_Mx: Annotated[float, Figure("c_Mx", "MPa/(N mm)", "s * g_y / a", TEXTBOOK, "stress per Mx")]
    per_My: Annotated[float, Figure("c_My", "MPa/(N mm)", "-s * g_x / a", TEXTBOOK, "stress per My")]
    per_Mz: Annotated[float, Figure("c_Mz", "MPa/(N mm)", "p * k_v / a", TEXTBOOK, "stress per Mz")]


def stress_of_welds(
    lines, kind: str, *, throat: float | None = None, leg: float | None = None, place: str = ""
) -> Recipe:
    """Throat stress at every end of the weld lines of a joint.

    Parameters
    ----------
    lines : array, shape (k, 2, 2)
        Start and end of each straight weld line from the joint's origin, in the faying plane. [mm]
    kind : str
        "normal": sigma_wf = sqrt(sigma_perp^2 + tau_perp^2), for a crack from the root; "shear": tau_wf along the
        weld.
    throat, leg : float
        One of both; a leg is that of a fillet with two equal legs at a right angle. [mm]

    Returns
    -------
    Recipe
        A history for each end of each line, for "normal" in PROJECTIONS directions each.

    Raises
    ------
    InputError
        Throat and leg both or neither given, not above zero; lines without length or all on one straight line.

    Limits
    ------
    Welds of one throat, parts stiff against them, no contact between the parts. The normal stress is bounded from
    above by at most 2 %; it has no sign.

    Source
    ------
    Elastic line method (textbook statics); EN 1993-1-9:2005, 5(6) (from memory).

    Examples
    --------
    >>> sides = [[[-50, -100], [-50, 100]], [[50, -100], [50, 100]]]
    >>> stress_of_welds(sides, "shear", throat=5.0).stress_of([0, 200_000, 0, 0, 0, 0])
    array([100., 100.])
    """
    require_one_of(kind, KINDS, "stress in the throat", place=place)
    if (throat is None) == (leg is None):
        raise InputError(f"a weld needs one of throat and leg{where(place)}")
    working = []
    if leg is not None:
        size = require_positive(leg, "leg", unit="mm", place=place)
        working.append(ThroatOfLeg(size, size / math.sqrt(2)))
        throat = working[0].throat
    a = require_positive(throat, "throat", unit="mm", place=place)
    group = weld_group(lines)
    rows = throat_projections(line_forces(group), a)[KINDS.index(kind)]
    J = group.second_moments
    working.append(
        WeldLines(
            group.length, *map(float, group.centroid), float(J[0, 0]), float(J[0, 1]), float(J[1, 1]),
            group.polar_moment, a,
        )
    )  # fmt: skip
    names, parts = _across(group, a, rows) if kind == "normal" else _along(group, a, rows)
    words = "transverse stress of both directions" if kind == "normal" else "shear stress along the weld"
    return several(
        rows,
        tuple(names),
        f"{words}, in the throat of {a:.3g} mm at the ends of the weld lines, elastic line method",
        workings=tuple((part,) for part in parts),
        stress=kind,
        on="weld throat",
        working=tuple(working),
        signed=kind == "shear",
    )


def _ends(group: WeldGroup):
    """Name, place from the centroid and direction of each line end, in the order of `line_forces`."""
    for number, line in enumerate(group.lines, start=1):
        along = (line[1] - line[0]) / np.linalg.norm(line[1] - line[0])
        for x, y in line:
            yield f"weld line {number} at ({x:g}, {y:g}) mm", (x, y) - group.centroid, along


def _along(group: WeldGroup, a: float, rows):
    names, parts = [], []
    x_0, y_0 = map(float, group.centroid)
    for (name, (r_x, r_y), (u_x, u_y)), row in zip(_ends(group), rows, strict=True):
        k = (u_y * r_x - u_x * r_y) / group.polar_moment
        values = (r_x, r_y, u_x, u_y, group.length, x_0, y_0, group.polar_moment, a, k, row[0], row[1], row[5])
        names.append(name)
        parts.append(StressAlongWeld(*map(float, values)))
    return names, parts


def _across(group: WeldGroup, a: float, rows):
    names, parts = [], []
    J = group.second_moments
    det = J[0, 0] * J[1, 1] - J[0, 1] ** 2
    bound = math.cos(math.pi / (2 * PROJECTIONS))
    for name, (r_x, r_y), (u_x, u_y) in _ends(group):
        v_x, v_y = -u_y, u_x
        k = (v_y * r_x - v_x * r_y) / group.polar_moment
        g_x, g_y = (J[1, 1] * r_x - J[0, 1] * r_y) / det, (J[0, 0] * r_y - J[0, 1] * r_x) / det
        for number in range(PROJECTIONS):
            angle = number * math.pi / PROJECTIONS
            p, s = math.cos(angle) / bound, math.sin(angle) / bound
            row = rows[len(parts)]
            values = (
                r_x, r_y, v_x, v_y, p, s, group.length, *group.centroid, J[0, 0], J[0, 1], J[1, 1],
                group.polar_moment, a, k, g_x, g_y, *row,
            )  # fmt: skip
            names.append(f"{name}, {math.degrees(angle):g} deg out of the plane")
            parts.append(StressAcrossWeld(*map(float, values)))
    return names, parts
