"""The tables of AS 4100:2020 as objects: bolts, holes, faying surfaces, capacity factors, usual load factors."""

from dataclasses import replace

from loadhistories.tables import read_table, row_of, unconfirmed
from slip.bolts import Bolt, bolt_of
from slip.holes import Hole, hole_by_clearance
from slip.joint import usual_factors
from slip.surfaces import Surface, surface_of

PACKAGE = "slip.standards.as4100"
SIZES = ("slip.standards", "metric_bolts")
EDITION = "AS 4100:2020"
LOAD_FACTORS = usual_factors(PACKAGE)


def bolt(size: str, grade: str, *, place: str = "") -> Bolt:
    """A bolt of AS 4100:2020, Table 9.2.1; its source names that of its core area too.

    Examples
    --------
    >>> bolt("M20", "8.8").ultimate_strength
    830.0
    """
    found = bolt_of(size, grade, sizes=SIZES, grades=(PACKAGE, "grades"), place=place)
    core = row_of(PACKAGE, "core_areas", size, "bolt size", place=place)
    return replace(
        found,
        source=f"{found.source}; core area: {core['source']}",
        unconfirmed=found.unconfirmed or unconfirmed(core),
    )


def core_area(bolt: Bolt) -> float:
    """Area of a bolt across the root of its thread. [mm2]

    Source
    ------
    AS 1275.

    Examples
    --------
    >>> core_area(bolt("M20", "8.8"))
    225.0
    """
    return float(row_of(PACKAGE, "core_areas", bolt.size, "bolt size")["core_area_mm2"])


def surface(given: str | float, *, by_test: bool = False, place: str = "") -> Surface:
    """A faying surface: "clean as-rolled", or its slip factor."""
    return surface_of(given, classes=(PACKAGE, "surfaces"), by_test=by_test, place=place)


def slip_factor(given: str | float, *, by_test: bool = False, place: str = "") -> float:
    """Slip factor of a faying surface by name or number. [-]

    Raises
    ------
    InputError
        Unknown name; not above 0; above that of clean as-rolled steel without a test.

    Source
    ------
    AS 4100:2020, 9.2.3.2.

    Examples
    --------
    >>> slip_factor("clean as-rolled")
    0.35
    """
    return surface(given, by_test=by_test, place=place).slip_factor


def hole(bolt: Bolt, kind: str, *, place: str = "") -> Hole:
    """The hole of a bolt with the largest clearances that are allowed.

    Source
    ------
    AS/NZS 5131, before it AS 4100:1998, 14.3.5.2 (from memory).

    Examples
    --------
    >>> hole(bolt("M24", "8.8"), "oversize").width
    32.0
    """
    return hole_by_clearance(bolt, kind, clearances=(PACKAGE, "holes"), place=place)


def capacity_factor(name: str) -> float:
    """Capacity factor: "slip", "bolt", "ply bearing", "member in tension", "block shear", "weld SP", "weld GP". [-]"""
    return float(read_table(PACKAGE, "capacity_factors")[name]["value"])
