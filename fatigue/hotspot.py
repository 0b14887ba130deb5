"""Makes the recipe of hot-spot stress: surface stress at two or three points in front of the toe, carried on to it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

from fatigue.recipe import HOT_SPOT, Recipe, component_vector
from loadhistories.blocks import COMPONENTS
from loadhistories.figures import Figure
from loadhistories.tables import read_table, row_of
from loadhistories.validation import InputError, require_finite, require_one_of, where

CLAUSE = "IIW Recommendations 2016, 2.2.3.4"
_PACKAGE, _TABLE = "fatigue", "hotspot_schemes"


@dataclass(frozen=True)
class FromTwoPoints:
    """Stress at the toe for a unit of one load component, from two points."""

    component: str
    first_weight: Annotated[float, Figure("w_1", "", "", CLAUSE, "weight of the first point")]
    second_weight: Annotated[float, Figure("w_2", "", "", CLAUSE, "weight of the second point")]
    first: Annotated[float, Figure("c_1", "", title="stress per load at the first point")]
    second: Annotated[float, Figure("c_2", "", title="stress per load at the second point")]
    at_toe: Annotated[float, Figure("c_hs", "", "w_1 * c_1 + w_2 * c_2", CLAUSE, "stress per load at the toe")]


@dataclass(frozen=True)
class FromThreePoints:
    """Stress at the toe for a unit of one load component, from three points."""

    component: str
    first_weight: Annotated[float, Figure("w_1", "", "", CLAUSE, "weight of the first point")]
    second_weight: Annotated[float, Figure("w_2", "", "", CLAUSE, "weight of the second point")]
    third_weight: Annotated[float, Figure("w_3", "", "", CLAUSE, "weight of the third point")]
    first: Annotated[float, Figure("c_1", "", title="stress per load at the first point")]
    second: Annotated[float, Figure("c_2", "", title="stress per load at the second point")]
    third: Annotated[float, Figure("c_3", "", title="stress per load at the third point")]
    at_toe: Annotated[
        float, Figure("c_hs", "", "w_1 * c_1 + w_2 * c_2 + w_3 * c_3", CLAUSE, "stress per load at the toe")
    ]


def schemes() -> tuple[str, ...]:
    """Read-out points that are known, such as "0.4 t, 1.0 t"."""
    return tuple(read_table(_PACKAGE, _TABLE))


def stress_of_hot_spot(points: str, stresses: Sequence[Mapping[str, float]], *, place: str = "") -> Recipe:
    """Hot-spot stress at a weld toe from the surface stress at its read-out points.

    Parameters
    ----------
    points : str
        One of `schemes()`: distances from the toe, nearest first; t is the thickness of the plate.
    stresses : sequence of dict of component to float
        At each point the surface stress across the weld per unit of each load component: the same components at
        every point. [MPa/N, MPa/(N mm)]

    Returns
    -------
    Recipe
        On "hot spot"; only a category for hot-spot stress takes it.

    Raises
    ------
    InputError
        Unknown points; a point too many or too few; points with different components; nothing but zeros.

    Limits
    ------
    The mesh must be the one that the scheme is made for; misalignment belongs in the model or in the stresses.

    Source
    ------
    IIW Recommendations for fatigue design of welded joints and components, 2016, 2.2.3.4 (from memory).

    Examples
    --------
    >>> toe = stress_of_hot_spot("0.4 t, 1.0 t", [{"Fy": 1.0e-3}, {"Fy": 0.8e-3}])
    >>> toe.stress_of([0, 100_000, 0, 0, 0, 0])
    113.4
    """
    row = row_of(_PACKAGE, _TABLE, points, "read-out points", place=place)
    weights = [float(value) for value in row["weights"]]
    if len(stresses) != len(weights):
        raise InputError(
            f"read-out points {points!r} need the stress at {len(weights)} points, got {len(stresses)}{where(place)}"
        )
    first = list(stresses[0])
    for number, given in enumerate(stresses, start=1):
        if set(given) != set(first):
            raise InputError(
                f"read-out point {number} has {', '.join(given) or 'no component'}, the first has "
                f"{', '.join(first) or 'none'}; give the same components at every point{where(place)}"
            )
    parts = [_carried_on(name, weights, [given[name] for given in stresses], place) for name in first]
    values = {part.component: part.at_toe for part in parts}
    if not any(values.values()):
        raise InputError(f"hot-spot stress is 0 for every load: no load would strain the toe{where(place)}")
    text = f"hot-spot stress from {', '.join(row['points'])} ({row['toe']})"
    return Recipe(component_vector(values), text, "normal", HOT_SPOT, tuple(parts))


def _carried_on(name: str, weights: list[float], given: list[float], place: str):
    require_one_of(name, COMPONENTS, "load component", place=place)
    values = [require_finite(value, f"stress per {name}", place=place) for value in given]
    at_toe = sum(weight * value for weight, value in zip(weights, values, strict=True))
    kind = FromTwoPoints if len(weights) == 2 else FromThreePoints
    return kind(name, *weights, *values, at_toe)
