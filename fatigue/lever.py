"""Moves a recipe to a section that stands away from the joint's origin: forces there turn about it as well."""

from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from fatigue.recipe import Recipe
from loadhistories.figures import Figure
from loadhistories.validation import require_finite


@dataclass(frozen=True)
class MovedSection:
    """Stress per force of a section whose centroid stands away from the origin, where the loads act.

    The moments at the section are those at the origin less the moments of the forces about it, M - r x F.
    """

    r_x: Annotated[float, Figure("r_x", "mm", title="centroid of the section from the joint's origin")]
    r_y: Annotated[float, Figure("r_y", "mm", title="centroid of the section from the joint's origin")]
    r_z: Annotated[float, Figure("r_z", "mm", title="centroid of the section from the joint's origin")]
    direct_x: Annotated[float, Figure("c_Nx", "MPa/N", title="stress per Fx acting in the section itself")]
    direct_y: Annotated[float, Figure("c_Ny", "MPa/N", title="stress per Fy acting in the section itself")]
    direct_z: Annotated[float, Figure("c_Nz", "MPa/N", title="stress per Fz acting in the section itself")]
    per_Mx: Annotated[float, Figure("c_Mx", "MPa/(N mm)", title="stress per Mx")]
    per_My: Annotated[float, Figure("c_My", "MPa/(N mm)", title="stress per My")]
    per_Mz: Annotated[float, Figure("c_Mz", "MPa/(N mm)", title="stress per Mz")]
    per_Fx: Annotated[float, Figure("c_Fx", "MPa/N", "c_Nx - r_z * c_My + r_y * c_Mz", title="stress per Fx")]
    per_Fy: Annotated[float, Figure("c_Fy", "MPa/N", "c_Ny - r_x * c_Mz + r_z * c_Mx", title="stress per Fy")]
    per_Fz: Annotated[float, Figure("c_Fz", "MPa/N", "c_Nz - r_y * c_Mx + r_x * c_My", title="stress per Fz")]


def standing_at(recipe: Recipe, point, *, place: str = "") -> Recipe:
    """The recipe of a section whose centroid is `point`, for loads that act at the joint's origin.

    Parameters
    ----------
    recipe : Recipe
        For loads acting at the centroid of the section.
    point : array, shape (3,)
        Centroid from the joint's origin, x, y, z. [mm]

    Raises
    ------
    InputError
        A coordinate is not finite.

    Source
    ------
    Statics of a rigid part: M at the section = M - r x F.

    Examples
    --------
    >>> from fatigue.stress import stress_of_section
    >>> root = stress_of_section("z", moduli={"x": 100_000.0})
    >>> standing_at(root, (0.0, 0.0, -400.0)).stress_of([0, 1000, 0, 0, 0, 0])
    -4.0
    """
    r = np.array([require_finite(value, f"coordinate {axis}", unit="mm", place=place)
                  for axis, value in zip("xyz", point, strict=True)])  # fmt: skip
    parts = [_moved(row, r) for row in recipe.histories]
    table = np.array([[p.per_Fx, p.per_Fy, p.per_Fz, p.per_Mx, p.per_My, p.per_Mz] for p in parts])
    text = f"{recipe.text}, centroid at ({r[0]:g}, {r[1]:g}, {r[2]:g}) mm"
    if recipe.coefficients.ndim == 1:
        table = table[0]
        table.setflags(write=False)
        return replace(recipe, coefficients=table, text=text, working=(*recipe.working, parts[0]))
    table.setflags(write=False)
    workings = recipe.workings or ((),) * len(parts)
    own = tuple((*work, part) for work, part in zip(workings, parts, strict=True))
    return replace(recipe, coefficients=table, text=text, workings=own)


def _moved(row: NDArray[np.float64], r: NDArray[np.float64]) -> MovedSection:
    forces, moments = row[:3], row[3:]
    # m . (r x F) = F . (m x r)
    moved = forces - np.cross(moments, r)
    return MovedSection(*map(float, (*r, *forces, *moments, *moved)))
