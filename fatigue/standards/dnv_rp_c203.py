"""DNV-RP-C203: life curves in air; a curve only, without safety factors."""

from functools import cache

from fatigue import curves_only
from fatigue.catalogue import CatalogueRow
from fatigue.curves import LifeCurve
from loadhistories.tables import read_table, unconfirmed
from loadhistories.validation import InputError, require_one_of, where

EDITION = "DNV-RP-C203:2011"
NAMES = ("DNV-RP-C203",)
EDITIONS = {"DNV-RP-C203": EDITION}
CONDITIONS = ("stress",)
SIZES = ("thickness",)
CLAUSE = f"{EDITION}, Table 2-1"
REFERENCE_CYCLES = 1e7
_PACKAGE = "fatigue.standards"

condition_lost = curves_only.condition_lost
detail_damage = curves_only.detail_damage
checks = curves_only.checks


@cache
def catalogue() -> tuple[CatalogueRow, ...]:
    """Every curve in air, with its strength at 1e7 cycles."""
    return tuple(_row(key) for key in read_table(_PACKAGE, "dnv_rp_c203_curves"))


def row_of(category: str, *, stress: str | None = None, place: str = "") -> CatalogueRow:
    """The row of a curve: "B1" to "W3".

    Raises
    ------
    InputError
        No such curve; shear stress.

    Limits
    ------
    In air; mean less two standard deviations. The tubular curve T is not here.
    """
    key = require_one_of(category, read_table(_PACKAGE, "dnv_rp_c203_curves"), "DNV-RP-C203 curve", place=place)
    if stress is not None and require_one_of(stress, ("normal", "shear"), "stress", place=place) != "normal":
        raise InputError(f"curve {key} is for normal stress, got {stress!r}{where(place)}")
    return _row(key)


def row_of_strength(strength: float, *, place: str = "", **conditions) -> CatalogueRow:
    """Refused: the curves go by letters."""
    known = ", ".join(read_table(_PACKAGE, "dnv_rp_c203_curves"))
    raise InputError(f"DNV-RP-C203 goes by curves, not by strengths: give one of {known}{where(place)}")


def curve_of_row(row: CatalogueRow) -> LifeCurve:
    """Design curve of a row, without thickness effect; the second piece goes on where the first ends."""
    entry = read_table(_PACKAGE, "dnv_rp_c203_curves")[row.id]
    return LifeCurve(
        name=f"{EDITION}, curve {row.id} in air, slope {row.slope:g}, beyond {entry['knee_cycles']:g} cycles "
        f"{entry['second_slope']:g}",
        strength=row.category,
        reference=REFERENCE_CYCLES,
        slopes=(row.slope, float(entry["second_slope"])),
        knees=(float(entry["knee_cycles"]),),
        source=row.source,
    )


def size_effect(row: CatalogueRow, *, thickness: float | None = None, place: str = ""):
    """What the thickness does to the strength of a row; None where no thickness is given."""
    entry = read_table(_PACKAGE, "dnv_rp_c203_curves")[row.id]
    return curves_only.thickness_effect(
        thickness, reference=float(entry["reference_mm"]), exponent=entry["exponent"], missing="", place=place
    )


def _row(key: str) -> CatalogueRow:
    entry = read_table(_PACKAGE, "dnv_rp_c203_curves")[key]
    slope = float(entry["slope"])
    return CatalogueRow(
        id=key,
        table=CLAUSE,
        detail="",
        category=(10.0 ** entry["log10_a1"] / REFERENCE_CYCLES) ** (1.0 / slope),
        slope=slope,
        stress="normal",
        stress_on=entry["stress_on"],
        condition="curve given by its letter; its conditions are for the user to meet",
        source=entry["source"],
        unconfirmed=unconfirmed(entry),
        letter=key,
    )
