"""Bolts: sizes and classes of the tables as one object. Which tables apply, the standard says."""

import operator
from dataclasses import dataclass

from loadhistories.tables import row_of, unconfirmed
from loadhistories.validation import InputError, where


@dataclass(frozen=True)
class Bolt:
    """One bolt. Lengths in mm, areas in mm2, strengths in MPa.

    `unconfirmed` tells that a value was recalled and not read in its source.
    """

    size: str
    grade: str
    diameter: float
    stress_area: float
    shank_area: float
    yield_strength: float
    ultimate_strength: float
    source: str
    unconfirmed: bool


def bolt_of(size: str, grade: str, *, sizes: tuple[str, str], grades: tuple[str, str], place: str = "") -> Bolt:
    """The bolt of a size and a class.

    Parameters
    ----------
    sizes, grades : (package, table)
        Where the sizes and the classes of the standard stand.

    Raises
    ------
    InputError
        The size or the class is not in the tables.

    Examples
    --------
    >>> bolt_of("M20", "10.9", sizes=("slip.standards", "metric_bolts"),
    ...         grades=("slip.standards.en1993", "grades")).stress_area
    245.0
    """
    if isinstance(grade, (int, float)):
        raise InputError(f'grade must be a text such as "{grade}", got the number {grade}{where(place)}')
    dimensions = row_of(*sizes, size, "bolt size", place=place)
    strength = row_of(*grades, grade, "bolt grade", place=place)
    return Bolt(
        size=size,
        grade=grade,
        diameter=float(dimensions["diameter_mm"]),
        stress_area=float(dimensions["stress_area_mm2"]),
        shank_area=float(dimensions["shank_area_mm2"]),
        yield_strength=float(strength["yield_MPa"]),
        ultimate_strength=float(strength["ultimate_MPa"]),
        source=f"{dimensions['source']}; {strength['source']}",
        unconfirmed=unconfirmed(dimensions) or unconfirmed(strength),
    )


def require_planes(planes: int, *, place: str = "") -> int:
    """Return the number of shear or friction planes; raise InputError unless it is a whole number from 1."""
    try:
        number = operator.index(planes)
    except TypeError:
        number = 0
    if number < 1 or isinstance(planes, bool):
        raise InputError(f"planes must be a whole number from 1, got {planes!r}{where(place)}")
    return number
