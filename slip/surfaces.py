"""Faying surfaces: the slip factor by class of the standard, or as a number."""

from dataclasses import dataclass

from loadhistories.tables import read_table, row_of, unconfirmed
from loadhistories.validation import InputError, require_positive, where


@dataclass(frozen=True)
class Surface:
    """A faying surface: class of the standard ("" for a number given), slip factor, what it is and a caution."""

    name: str
    slip_factor: float
    description: str
    source: str
    unconfirmed: bool
    remark: str = ""


def surface_of(given: str | float, *, classes: tuple[str, str], by_test: bool = False, place: str = "") -> Surface:
    """The faying surface of a class or of a slip factor.

    Parameters
    ----------
    given : str or float
        Class of the standard, or the slip factor itself. [-]
    classes : (package, table)
        Where the classes of the standard stand.
    by_test : bool
        The number was found by test: only then may it exceed every class.

    Raises
    ------
    InputError
        Unknown class; a factor not above 0, above 1, or above every class without a test.

    Examples
    --------
    >>> surface_of("B", classes=("slip.standards.en1993", "surfaces")).slip_factor
    0.4
    """
    if isinstance(given, str):
        row = row_of(*classes, given, "surface", place=place)
        return Surface(
            given, float(row["slip_factor"]), row["surface"], row["source"], unconfirmed(row), row.get("remark", "")
        )
    factor = require_positive(given, "slip factor", place=place)
    rows = read_table(*classes)
    best = max(rows, key=lambda name: rows[name]["slip_factor"])
    highest = rows[best]["slip_factor"]
    if factor > 1.0 or (factor > highest and not by_test):
        raise InputError(
            f"slip factor must not be above {1.0 if by_test else highest:g}, got {factor:g}"
            + ("" if by_test else f"; class {best} is the best of the standard, a higher one must be found by test")
            + where(place)
        )
    return Surface("", factor, "found by test" if by_test else "slip factor given", "given by the user", False)
