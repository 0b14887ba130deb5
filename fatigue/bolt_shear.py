"""Makes the recipe of the shear stress of bolt shanks or dowels: shared by the elastic method over all planes."""

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from fatigue.recipe import Recipe, component_vector, several
from fatigue.welds import PROJECTIONS
from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_positive, where

TEXTBOOK = "elastic method, textbook statics"


@dataclass(frozen=True)
class BoltShearStress:
    """One projection of the shear stress of one bolt, for a unit of each load component in the plane.

    The ranges of PROJECTIONS such directions, each raised by 1 / cos(pi / (2 PROJECTIONS)), bound that of the vector.
    """

    bolt: int
    direction_x: Annotated[float, Figure("p_x", "", title="direction in the plane, raised by the bound")]
    direction_y: Annotated[float, Figure("p_y", "", title="direction in the plane, raised by the bound")]
    x_per_Fx: Annotated[float, Figure("v_xx", "", title="force on the bolt along x per Fx")]
    y_per_Fy: Annotated[float, Figure("v_yy", "", title="force on the bolt along y per Fy")]
    x_per_Fy: Annotated[float, Figure("v_xy", "", title="force on the bolt along x per Fy")]
    y_per_Fx: Annotated[float, Figure("v_yx", "", title="force on the bolt along y per Fx")]
    x_per_Mz: Annotated[float, Figure("v_xM", "1/mm", title="force on the bolt along x per Mz")]
    y_per_Mz: Annotated[float, Figure("v_yM", "1/mm", title="force on the bolt along y per Mz")]
    planes: Annotated[int, Figure("n", title="shear planes")]
    area: Annotated[float, Figure("A", "mm2", title="area of the shank")]
    per_Fx: Annotated[float, Figure("c_Fx", "MPa/N", "(p_x * v_xx + p_y * v_yx) / (n * A)", TEXTBOOK, "stress per Fx")]
    per_Fy: Annotated[float, Figure("c_Fy", "MPa/N", "(p_x * v_xy + p_y * v_yy) / (n * A)", TEXTBOOK, "stress per Fy")]
    per_Mz: Annotated[
        float, Figure("c_Mz", "MPa/(N mm)", "(p_x * v_xM + p_y * v_yM) / (n * A)", TEXTBOOK, "stress per Mz")
    ]


def stress_of_bolt_shear(
    in_plane: ArrayLike, *, area: float, planes: int = 1, word: str = "bolt", place: str = ""
) -> Recipe:
    """Shear stress of every bolt of a group that bears, on its shank.

    Parameters
    ----------
    in_plane : array, shape (n_bolts, 2, 6)
        Force on each bolt along x and y per unit of each load component. [N/N, N/(N mm)]
    area : float
        Of a shank. [mm2]
    planes : int
    word : str
        What they are called.

    Returns
    -------
    Recipe
        PROJECTIONS histories for each bolt; the worst governs. The stress has no sign.

    Limits
    ------
    The thread outside the shear planes; no grip, every bolt bears alike. Bounded from above by at most 2 %.

    Examples
    --------
    >>> recipe = stress_of_bolt_shear([[[0.5, 0, 0, 0, 0, 0], [0, 0.5, 0, 0, 0, 0]]], area=314.0)
    >>> round(float(recipe.histories.max() * 314.0 / 0.5), 3)
    1.02
    """
    table = np.asarray(in_plane, dtype=np.float64)
    if table.ndim != 3 or table.shape[1:] != (2, 6) or not len(table):
        raise InputError(f"forces on the bolts must have shape (n_bolts, 2, 6), got {table.shape}{where(place)}")
    size = require_positive(area, "area of the shank", unit="mm2", place=place)
    rows, names, parts = [], [], []
    bound = math.cos(math.pi / (2 * PROJECTIONS))
    for bolt, ((xx, xy, *_, xm), (yx, yy, *_, ym)) in enumerate(table, start=1):
        for number in range(PROJECTIONS):
            angle = number * math.pi / PROJECTIONS
            p, q = math.cos(angle) / bound, math.sin(angle) / bound
            c = [(p * x + q * y) / (planes * size) for x, y in ((xx, yx), (xy, yy), (xm, ym))]
            forces = map(float, (xx, yy, xy, yx, xm, ym))
            parts.append(BoltShearStress(bolt, p, q, *forces, planes, size, *map(float, c)))
            rows.append(component_vector(dict(zip(("Fx", "Fy", "Mz"), c, strict=True))))
            names.append(f"{word} {bolt}, {math.degrees(angle):g} deg from x")
    return several(
        rows, tuple(names), f"shear of the {word}s on their shanks, elastic method, without grip",
        workings=tuple((part,) for part in parts), stress="shear", on="shank", signed=False,
    )  # fmt: skip
