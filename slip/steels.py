"""Structural steels: yield and ultimate strength of a plate by name and thickness."""

from dataclasses import dataclass

from loadhistories.tables import row_of, unconfirmed
from loadhistories.validation import InputError, require_positive, where

THINNEST = 3.0


@dataclass(frozen=True)
class Steel:
    """Strength of one steel at one thickness. Thickness in mm, strengths in MPa."""

    name: str
    thickness: float
    yield_strength: float
    ultimate_strength: float
    source: str
    unconfirmed: bool


def steel(name: str, thickness: float, *, place: str = "") -> Steel:
    """Strength of a plate by its steel and thickness. [MPa]

    Parameters
    ----------
    name : str
        As in the product standards: "S235", "S355", "S460M".
    thickness : float
        Of the plate. [mm]

    Raises
    ------
    InputError
        The steel is not in the table, or the table has no strength for this thickness.

    Limits
    ------
    From 3 mm to the last band of the table; no strength is read between or beyond bands.

    Source
    ------
    Per row: EN 10025-2, -3, -4.

    Examples
    --------
    >>> steel("S355", 20.0).yield_strength
    345.0
    """
    row = _row(name, place)
    thickness = require_positive(thickness, "thickness", unit="mm", place=place)
    for limit, low, high in zip(row["up_to_mm"], row["yield_MPa"], row["ultimate_MPa"], strict=True):
        if THINNEST <= thickness <= limit:
            return Steel(name, thickness, float(low), float(high), row["source"], unconfirmed(row))
    raise InputError(
        f"{name} has strengths here from {THINNEST:g} to {row['up_to_mm'][-1]:g} mm, got {thickness:g} mm; give the "
        f"yield and the ultimate strength instead ({row['source']}){where(place)}"
    )


def ultimate_strength(name: str, thickness: float | None = None, *, place: str = "") -> float:
    """Ultimate strength of a steel, without a thickness where it is the same at all of them. [MPa]

    Raises
    ------
    InputError
        As `steel`, or the strength depends on a thickness that is not given.

    Examples
    --------
    >>> ultimate_strength("S355")
    470.0
    """
    if thickness is not None:
        return steel(name, thickness, place=place).ultimate_strength
    found = sorted(set(_row(name, place)["ultimate_MPa"]))
    if len(found) > 1:
        raise InputError(
            f"{name} has an ultimate strength of {found[0]:g} to {found[-1]:g} MPa: give the thickness{where(place)}"
        )
    return float(found[0])


def _row(name: str, place: str) -> dict:
    return row_of("slip.standards", "steels", name, "steel", place=place)
