"""Makes the recipe of a detail's stress: from coefficients, a section, a shear area or a net section.

Section axes are the joint's; the section's outward normal is the positive axis that the recipe names.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.recipe import AXES, KINDS, Recipe, component_vector, require_section
from loadhistories.blocks import COMPONENTS
from loadhistories.figures import Figure
from loadhistories.validation import (
    InputError,
    require_finite,
    require_not_negative,
    require_one_of,
    require_positive,
    where,
)


@dataclass(frozen=True)
class PerComponent:
    """Stress for a unit of each load component, as given."""

    Fx: Annotated[float | None, Figure("c_Fx", "MPa/N")] = None
    Fy: Annotated[float | None, Figure("c_Fy", "MPa/N")] = None
    Fz: Annotated[float | None, Figure("c_Fz", "MPa/N")] = None
    Mx: Annotated[float | None, Figure("c_Mx", "MPa/(N mm)")] = None
    My: Annotated[float | None, Figure("c_My", "MPa/(N mm)")] = None
    Mz: Annotated[float | None, Figure("c_Mz", "MPa/(N mm)")] = None


@dataclass(frozen=True)
class AxialForce:
    """Axial stress of a section."""

    area: Annotated[float, Figure("A", "mm2", title="area of the section")]
    per_force: Annotated[float, Figure("c_N", "MPa/N", "1 / A", title="stress per axial force")]


@dataclass(frozen=True)
class BendingByModulus:
    """Bending stress about one axis, from a section modulus."""

    axis: str
    modulus: Annotated[float, Figure("W", "mm3", title="modulus; above zero where a positive moment pulls")]
    per_moment: Annotated[float, Figure("c_M", "MPa/(N mm)", "1 / W", title="stress per moment")]


@dataclass(frozen=True)
class BendingAtPoint:
    """Bending stress about one axis, from second moment and place of the point."""

    axis: str
    second_moment: Annotated[float, Figure("I", "mm4", title="second moment of area")]
    distance: Annotated[float, Figure("e", "mm", title="distance; above zero where a positive moment pulls")]
    per_moment: Annotated[float, Figure("c_M", "MPa/(N mm)", "e / I", title="stress per moment")]


@dataclass(frozen=True)
class ShearForce:
    """Mean shear stress over a shear area."""

    area: Annotated[float, Figure("A_v", "mm2", title="shear area")]
    per_force: Annotated[float, Figure("c_V", "MPa/N", "1 / A_v", title="stress per shear force")]


@dataclass(frozen=True)
class NetSection:
    """Axial stress of a flat bar at a row of holes."""

    width: Annotated[float, Figure("b", "mm", title="width")]
    thickness: Annotated[float, Figure("t", "mm", title="thickness")]
    holes: Annotated[float, Figure("n", "", title="holes in the row across the force")]
    hole_diameter: Annotated[float, Figure("d_0", "mm", title="diameter of a hole")]
    net_area: Annotated[float, Figure("A_net", "mm2", "(b - n * d_0) * t", title="net area")]
    per_force: Annotated[float, Figure("c_N", "MPa/N", "1 / A_net", title="stress per force")]


def stress_per_component(
    coefficients: Mapping[str, float], *, stress: str = "", on: str = "", place: str = ""
) -> Recipe:
    """Recipe from stress per unit of load, as from a frame or element model.

    Parameters
    ----------
    coefficients : dict of component to float
        Any of Fx Fy Fz [MPa/N] and Mx My Mz [MPa/(N mm)].
    stress, on : str
        Kind of stress and its section, where the user says so.

    Raises
    ------
    InputError
        No component, an unknown one, a value that is not finite, or nothing but zeros.

    Examples
    --------
    >>> stress_per_component({"Fy": 0.00035}).stress_of([0, 100_000, 0, 0, 0, 0])
    35.0
    """
    if not coefficients:
        raise InputError(f"stress needs a coefficient for at least one of {', '.join(COMPONENTS)}{where(place)}")
    values = {}
    for name, value in coefficients.items():
        require_one_of(name, COMPONENTS, "load component", place=place)
        values[name] = require_finite(value, f"stress per {name}", place=place)
    if not any(values.values()):
        raise InputError(f"stress coefficients are all 0: no load would strain the detail{where(place)}")
    if stress:
        require_one_of(stress, KINDS, "stress", place=place)
    require_section(on, place)
    return Recipe(component_vector(values), "stress per unit load, as given", stress, on, (PerComponent(**values),))


def stress_of_section(
    normal: str,
    *,
    area: float | None = None,
    moduli: Mapping[str, float] | None = None,
    second_moments: Mapping[str, float] | None = None,
    point: Mapping[str, float] | None = None,
    on: str = "",
    place: str = "",
) -> Recipe:
    """Normal stress at a point of a section: axial force and bending about the two axes in it.

    With normal x: sigma = Fx/A + My z/I_y - Mz y/I_z, and the same in the cyclic order x, y, z for the others.

    Parameters
    ----------
    normal : str
        "x", "y" or "z": the axis the section stands across; a positive force along it pulls.
    area : float
        Area; left out, the axial force makes no stress. [mm2]
    moduli : dict of axis to float
        Section modulus about an axis; its sign is that of the stress from a positive moment. [mm3]
    second_moments, point : dict of axis to float
        Instead of moduli: second moment about an axis [mm4], coordinates of the point from the centroid [mm].

    Returns
    -------
    Recipe
        An axis that is not named bends the section without stress at the point.

    Raises
    ------
    InputError
        Nothing given, both ways given, an area or second moment not above zero, an axis not in the section.

    Limits
    ------
    Elastic, plane sections, principal axes along the joint's, moments as they act at the joint's origin.

    Source
    ------
    Beam theory, common practice, no source.

    Examples
    --------
    >>> stress_of_section("x", area=2000.0, moduli={"y": -50_000.0}).coefficients[[0, 4]]
    array([ 5.e-04, -2.e-05])
    """
    require_one_of(normal, AXES, "section normal", place=place)
    require_section(on, place)
    if moduli and (second_moments or point):
        raise InputError(f"give either moduli or second moments with a point, not both{where(place)}")
    if bool(second_moments) != bool(point):
        raise InputError(f"second moments and the point's coordinates go together{where(place)}")
    if area is None and not moduli and not second_moments:
        raise InputError(f"section needs an area, moduli, or second moments with a point{where(place)}")
    values, working = {}, []
    if area is not None:
        size = require_positive(area, "area", unit="mm2", place=place)
        working.append(AxialForce(size, 1.0 / size))
        values[f"F{normal}"] = 1.0 / size
    bending = _by_moduli(normal, moduli, place) if moduli else _at_point(normal, second_moments, point, place)
    for part in bending:
        working.append(part)
        values[f"M{part.axis}"] = part.per_moment
    if not any(values.values()):
        raise InputError(f"the point lies on the axes of bending and no area is given: no stress{where(place)}")
    text = f"normal stress of the section across {normal}"
    return Recipe(component_vector(values), text, "normal", on, tuple(working))


def stress_of_shear_area(force: str, area: float, *, on: str = "", place: str = "") -> Recipe:
    """Mean shear stress of one force component over a shear area.

    Parameters
    ----------
    force : str
        "Fx", "Fy" or "Fz".
    area : float
        Shear area, of all shanks, throats or webs that share the force. [mm2]

    Examples
    --------
    >>> stress_of_shear_area("Fy", 1000.0).stress_of([0, 50_000, 0, 0, 0, 0])
    50.0
    """
    require_one_of(force, COMPONENTS[:3], "force", place=place)
    require_section(on, place)
    size = require_positive(area, "shear area", unit="mm2", place=place)
    part = ShearForce(size, 1.0 / size)
    text = f"mean shear stress of {force} over the shear area"
    return Recipe(component_vector({force: part.per_force}), text, "shear", on, (part,))


def stress_of_net_section(
    force: str, *, width: float, thickness: float, holes: int, hole_diameter: float, place: str = ""
) -> Recipe:
    """Normal stress of one force component on a flat bar less its holes.

    Parameters
    ----------
    force : str
        "Fx", "Fy" or "Fz"; positive pulls the bar.
    width, thickness, hole_diameter : float
        [mm]
    holes : int
        Holes in the row across the force.

    Raises
    ------
    InputError
        A size is not above zero, or the holes leave nothing.

    Limits
    ------
    Holes in one straight row; no eccentricity.

    Source
    ------
    EN 1993-1-9:2005, Table 8.1 (nominal stress on the net cross-section; from memory).

    Examples
    --------
    >>> bar = stress_of_net_section("Fx", width=200, thickness=10, holes=2, hole_diameter=22)
    >>> bar.stress_of([156e3, 0, 0, 0, 0, 0])
    100.0
    """
    require_one_of(force, COMPONENTS[:3], "force", place=place)
    b = require_positive(width, "width", unit="mm", place=place)
    t = require_positive(thickness, "thickness", unit="mm", place=place)
    n = require_positive(holes, "holes across the force", place=place)
    d_0 = require_positive(hole_diameter, "hole diameter", unit="mm", place=place)
    if n != int(n):
        raise InputError(f"holes across the force must be a whole number, got {n:g}{where(place)}")
    net_area = (b - n * d_0) * t
    if net_area <= 0.0:
        raise InputError(
            f"{n:g} holes of {d_0:g} mm leave nothing of a width of {b:g} mm; "
            f"give more width or fewer holes{where(place)}"
        )
    part = NetSection(b, t, n, d_0, net_area, 1.0 / net_area)
    return Recipe(component_vector({force: part.per_force}), f"{force} on the net section", "normal", "net", (part,))


def reduced_ranges(ranges: ArrayLike, means: ArrayLike, *, share: float) -> NDArray[np.float64]:
    """Ranges with only `share` of their compression part counted. [MPa]

    Parameters
    ----------
    ranges, means : array, shape (m,)
        Range and mean of each cycle; the mean must hold the permanent stress. [MPa]
    share : float
        Part of the compression that counts, 0 to 1. [-]

    Limits
    ------
    Only for details that carry no stress locked in from welding.

    Examples
    --------
    >>> reduced_ranges([160.0, 80.0, 50.0], [-20.0, -60.0, 30.0], share=0.6)
    array([120.,  48.,  50.])
    """
    if require_not_negative(share, "share of compression") > 1.0:
        raise InputError(f"share of compression must not be above 1, got {share:g}")
    ranges, means = np.asarray(ranges, dtype=np.float64), np.asarray(means, dtype=np.float64)
    upper, lower = means + ranges / 2.0, means - ranges / 2.0
    tension = np.maximum(upper, 0.0) - np.maximum(lower, 0.0)
    compression = np.minimum(upper, 0.0) - np.minimum(lower, 0.0)
    return tension + share * compression


def _by_moduli(normal: str, moduli: Mapping[str, float], place: str) -> list[BendingByModulus]:
    parts = []
    for axis, value in moduli.items():
        _require_in_section(axis, normal, "modulus", place)
        modulus = require_finite(value, f"modulus about {axis}", unit="mm3", place=place)
        if modulus == 0.0:
            raise InputError(f"modulus about {axis} must not be 0 mm3{where(place)}")
        parts.append(BendingByModulus(axis, modulus, 1.0 / modulus))
    return parts


def _at_point(
    normal: str, second_moments: Mapping[str, float] | None, point: Mapping[str, float] | None, place: str
) -> list[BendingAtPoint]:
    if not second_moments or not point:
        return []
    first = AXES[(AXES.index(normal) + 1) % 3]
    second = AXES[(AXES.index(normal) + 2) % 3]
    for axis in point:
        _require_in_section(axis, normal, "coordinate", place)
    parts = []
    for axis, value in second_moments.items():
        _require_in_section(axis, normal, "second moment", place)
        other, sign = (second, 1.0) if axis == first else (first, -1.0)
        if other not in point:
            raise InputError(f"bending about {axis} needs the point's coordinate {other}{where(place)}")
        inertia = require_positive(value, f"second moment about {axis}", unit="mm4", place=place)
        distance = sign * require_finite(point[other], f"coordinate {other}", unit="mm", place=place)
        parts.append(BendingAtPoint(axis, inertia, distance, distance / inertia))
    return parts


def _require_in_section(axis: str, normal: str, what: str, place: str) -> None:
    known = tuple(name for name in AXES if name != normal)
    require_one_of(axis, known, f"axis of the {what} in a section across {normal}:", place=place)
