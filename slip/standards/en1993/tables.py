"""The tables of EN 1993-1-8:2005 and EN 1090-2 as objects: bolts, holes, faying surfaces, partial factors."""

from loadhistories.tables import read_table
from slip.bolts import Bolt, bolt_of
from slip.holes import Hole, hole_by_clearance
from slip.surfaces import Surface, surface_of

PACKAGE = "slip.standards.en1993"
SIZES = ("slip.standards", "metric_bolts")


def bolt(size: str, grade: str, *, place: str = "") -> Bolt:
    """A bolt of EN 1993-1-8:2005, Table 3.1.

    Examples
    --------
    >>> bolt("M20", "10.9").ultimate_strength
    1000.0
    """
    return bolt_of(size, grade, sizes=SIZES, grades=(PACKAGE, "grades"), place=place)


def grade_row(bolt: Bolt) -> dict:
    """What the table of bolt classes says of this bolt's class."""
    return read_table(PACKAGE, "grades")[bolt.grade]


def surface(given: str | float, *, by_test: bool = False, place: str = "") -> Surface:
    """A faying surface by its class in EN 1090-2:2008, Table 18, or by its slip factor."""
    return surface_of(given, classes=(PACKAGE, "surfaces"), by_test=by_test, place=place)


def slip_factor(given: str | float, *, by_test: bool = False, place: str = "") -> float:
    """Slip factor of a faying surface by class or number. [-]

    Raises
    ------
    InputError
        Unknown class; not above 0; above class A without a test.

    Source
    ------
    EN 1090-2:2008+A1:2011, Table 18.

    Examples
    --------
    >>> slip_factor("B")
    0.4
    """
    return surface(given, by_test=by_test, place=place).slip_factor


def hole(bolt: Bolt, kind: str, *, place: str = "") -> Hole:
    """The hole of a bolt with the clearances of EN 1090-2, Table 11.

    Examples
    --------
    >>> hole(bolt("M24", "8.8"), "oversize").width
    30.0
    """
    return hole_by_clearance(bolt, kind, clearances=(PACKAGE, "holes"), place=place)


def partial_factor(name: str) -> float:
    """Recommended value of a partial factor: "gamma_M0", "gamma_M2", "gamma_M3", "gamma_M3,ser". [-]"""
    return float(read_table(PACKAGE, "partial_factors")[name]["value"])
