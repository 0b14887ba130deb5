"""The tables of AISC 360 as objects: bolts, holes, faying surfaces, factors; kip, in and ksi become N, mm and MPa."""

import math

from loadhistories.tables import read_table, row_of, unconfirmed
from loadhistories.validation import InputError, require_one_of, where
from slip.bolts import Bolt
from slip.holes import Hole
from slip.joint import HOLES, usual_factors
from slip.surfaces import Surface, surface_of

PACKAGE = "slip.standards.aisc360"
METRIC_SIZES = ("slip.standards", "metric_bolts")
INCH = 25.4
KIP = 4448.2216152605
KSI = KIP / INCH**2
METHODS = ("LRFD", "ASD")
LOAD_FACTORS = usual_factors(PACKAGE)


def clause(older: str, newer: str = "") -> str:
    """A clause of both editions, 360-16 first; the same in both where one is given.

    Examples
    --------
    >>> clause("J3.8", "J3.9")
    'AISC 360-16, J3.8; 360-22, J3.9'
    """
    return f"AISC 360-16, {older}; 360-22, {newer}" if newer else f"AISC 360-16 and 360-22, {older}"


def sizes() -> tuple[str, ...]:
    """Sizes of the bolts: inch, then metric."""
    return (*read_table(PACKAGE, "bolts_inch"), *read_table(PACKAGE, "pretensions_metric"))


def size_row(table: str, size: str, *, place: str = "") -> tuple[dict, float, str]:
    """Row of a bolt size in a table kept in inches and in metric units, mm to a unit of its lengths, and that unit."""
    require_one_of(size, sizes(), "bolt size", place=place)
    inch = size in read_table(PACKAGE, "bolts_inch")
    row = read_table(PACKAGE, f"{table}_{'inch' if inch else 'metric'}")[size]
    return (row, INCH, "in") if inch else (row, 1.0, "mm")


def bolt(size: str, grade: str, *, place: str = "") -> Bolt:
    """A bolt by its size, inch or metric, and its grade or the name of its strength group.

    Limits
    ------
    Metric bolts take the nominal stresses in ksi too; those printed in MPa differ by less than 0.2 %.

    Source
    ------
    AISC 360-16 and 360-22, Tables J3.1, J3.2.

    Examples
    --------
    >>> bolt("3/4 in", "A325").diameter
    19.05
    """
    strength = _grade_row(grade, place)
    diameter, stress_area, shank_area, sources = _dimensions(size, place)
    rows = [strength, *sources]
    if strength["preloadable"]:
        rows.append(size_row("pretensions", size)[0])
    return Bolt(
        size=size,
        grade=grade,
        diameter=diameter,
        stress_area=stress_area,
        shank_area=shank_area,
        yield_strength=KSI * strength["yield_ksi"],
        ultimate_strength=KSI * strength["ultimate_ksi"],
        source="; ".join(row["source"] for row in rows),
        unconfirmed=any(unconfirmed(row) for row in rows),
    )


def strength_group(grade: str, *, place: str = "") -> str:
    """The grade under which the tables hold a grade or strength group.

    Examples
    --------
    >>> strength_group("Group 120")
    'A325'
    """
    if isinstance(grade, (int, float)):
        raise InputError(f'grade must be a text such as "A325", got the number {grade}{where(place)}')
    names = {name: key for key, row in read_table(PACKAGE, "grades").items() for name in (key, *row["also"])}
    return names[require_one_of(grade, names, "bolt grade", place=place)]


def grade_row(bolt: Bolt) -> dict:
    """What the table of grades says of this bolt's grade."""
    return _grade_row(bolt.grade, "")


def pretension(bolt: Bolt) -> float:
    """Minimum pretension of a bolt, of a grade that has one. [N]"""
    row, _, unit = size_row("pretensions", bolt.size)
    group = strength_group(bolt.grade)
    return KIP * row[f"{group}_kip"] if unit == "in" else 1000.0 * row[f"{group}_kN"]


def surface(given: str | float, *, by_test: bool = False, place: str = "") -> Surface:
    """A faying surface by its class, "A" or "B", or by its slip factor."""
    return surface_of(given, classes=(PACKAGE, "surfaces"), by_test=by_test, place=place)


def slip_factor(given: str | float, *, by_test: bool = False, place: str = "") -> float:
    """Mean slip coefficient of a faying surface by class or number. [-]

    Raises
    ------
    InputError
        Unknown class; not above 0; above class B without a test.

    Limits
    ------
    Classes of 2010 on; in 360-05 class A has 0.35.

    Source
    ------
    AISC 360-16, J3.8; 360-22, J3.9.

    Examples
    --------
    >>> slip_factor("A")
    0.3
    """
    return surface(given, by_test=by_test, place=place).slip_factor


def hole(bolt: Bolt, kind: str, *, place: str = "") -> Hole:
    """The hole of a bolt.

    Limits
    ------
    Of 2016 on: standard holes for bolts of 1 in and over were 1/16 in smaller before.

    Source
    ------
    AISC 360-16 and 360-22, Tables J3.3 and J3.3M.

    Examples
    --------
    >>> hole(bolt("M24", "A325"), "normal").width
    27.0
    >>> hole(bolt("1 in", "A325"), "normal").clearance
    3.175
    """
    require_one_of(kind, HOLES, "holes", place=place)
    row, scale, unit = size_row("holes", bolt.size, place=place)
    width = scale * row[f"{'oversize' if kind == 'oversize' else 'normal'}_{unit}"]
    length = scale * row[f"{kind.replace(' ', '_')}_{unit}"]
    return Hole(
        kind, width, length, width - bolt.diameter, length - bolt.diameter, row["source"], unconfirmed(row)
    )


def size_of_hole(hole: Hole) -> str:
    """Size of the bolt that a hole of these tables is for."""
    diameter = hole.width - hole.clearance
    for size in sizes():
        if math.isclose(_dimensions(size, "")[0], diameter, rel_tol=1e-9):
            return size
    raise InputError(f"no bolt of the tables has a diameter of {diameter:g} mm; known: {', '.join(sizes())}")


def resistance_factor(name: str, method: str = "LRFD") -> float:
    """Factor on a nominal strength: phi of LRFD, 1 / Omega of ASD. [-]

    Parameters
    ----------
    name : str
        "bolt", "bearing", "rupture", "block shear", "fillet weld".

    Examples
    --------
    >>> resistance_factor("bolt"), resistance_factor("bolt", "ASD")
    (0.75, 0.5)
    """
    return factor_of(read_table(PACKAGE, "resistance_factors")[name], method)


def factor_of(row: dict, method: str) -> float:
    """The factor of a row with `phi` and `omega` by one of METHODS. [-]"""
    require_one_of(method, METHODS, "method")
    return float(row["phi"]) if method == "LRFD" else 1.0 / float(row["omega"])


def _grade_row(grade: str, place: str) -> dict:
    return read_table(PACKAGE, "grades")[strength_group(grade, place=place)]


def _dimensions(size: str, place: str) -> tuple[float, float, float, tuple[dict, ...]]:
    """Diameter, stress area and nominal area of a bolt in mm and mm2, and the rows that say so."""
    require_one_of(size, sizes(), "bolt size", place=place)
    inch = read_table(PACKAGE, "bolts_inch")
    if size in inch:
        row = inch[size]
        diameter = INCH * row["diameter_in"]
        return diameter, INCH**2 * row["stress_area_in2"], math.pi / 4.0 * diameter**2, (row,)
    row = row_of(*METRIC_SIZES, size, "bolt size", place=place)
    diameter = float(row["diameter_mm"])
    return diameter, float(row["stress_area_mm2"]), math.pi / 4.0 * diameter**2, (row,)
