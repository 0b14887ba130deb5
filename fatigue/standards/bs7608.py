"""BS 7608: life curves of the classes B to W; a curve only, without safety factors."""

from dataclasses import replace
from functools import cache

from fatigue import curves_only
from fatigue.catalogue import CatalogueRow
from fatigue.curves import LifeCurve
from loadhistories.tables import read_table, unconfirmed
from loadhistories.validation import InputError, require_not_negative, require_one_of, where

NAMES = ("BS 7608",)
EDITIONS = {"BS 7608": "BS 7608:1993 or BS 7608:2014, as each detail says"}
CONDITIONS = ("stress", "edition", "deviations")
SIZES = ("thickness",)
CLAUSE = "BS 7608:1993, Table 14, or BS 7608:2014, Table 18"
REFERENCE_CYCLES = 1e7
USUAL_DEVIATIONS = 2.0
STEEPER = 2.0
_PACKAGE = "fatigue.standards"

condition_lost = curves_only.condition_lost
detail_damage = curves_only.detail_damage
checks = curves_only.checks


@cache
def catalogue() -> tuple[CatalogueRow, ...]:
    """Every class, with its strength at 1e7 cycles two standard deviations below the mean."""
    return tuple(_row(key, USUAL_DEVIATIONS) for key in read_table(_PACKAGE, "bs7608_classes"))


def row_of(
    category: str,
    *,
    stress: str | None = None,
    edition: str | int | None = None,
    deviations: float = USUAL_DEVIATIONS,
    place: str = "",
) -> CatalogueRow:
    """The row of a class with its curve.

    Parameters
    ----------
    category : str
        "B", "C", "D", "E", "F", "F2", "G" or "W".
    edition : str or int
        1993: beyond 1e7 cycles the slope is two steeper; 2014: beyond 5e7 cycles. They differ in thickness, too.
    deviations : float
        Standard deviations below the mean curve; the name of the curve says how many. [-]

    Raises
    ------
    InputError
        No such class; edition missing or unknown; deviations below zero; shear stress.

    Limits
    ------
    For variable amplitude: no range is without damage. Under constant amplitude that is on the safe side.
    """
    key = require_one_of(category, read_table(_PACKAGE, "bs7608_classes"), "BS 7608 class", place=place)
    if stress is not None and require_one_of(stress, ("normal", "shear"), "stress", place=place) != "normal":
        raise InputError(f"class {key} is for normal stress, got {stress!r}{where(place)}")
    if edition is None:
        raise InputError(
            f"class {key} needs edition: 1993 (steeper from 1e7 cycles on) or 2014 (from 5e7 cycles on){where(place)}"
        )
    editions = read_table(_PACKAGE, "bs7608_editions")
    rule = editions[require_one_of(str(edition), editions, "edition", place=place)]
    number = require_not_negative(deviations, "deviations", place=place)
    row = _row(key, number)
    curve = LifeCurve(
        name=f"{rule['table']}, class {key}, mean less {number:g} standard deviations, slope {row.slope:g}, beyond "
        f"{rule['knee_cycles']:g} cycles {row.slope + STEEPER:g}",
        strength=row.category,
        reference=REFERENCE_CYCLES,
        slopes=(row.slope, row.slope + STEEPER),
        knees=(float(rule["knee_cycles"]),),
        source=f"{row.source}; {rule['source']}",
    )
    return replace(row, table=rule["table"], size_effect=str(edition), curve=curve)


def row_of_strength(strength: float, *, place: str = "", **conditions) -> CatalogueRow:
    """Refused: the curves go by classes."""
    raise InputError(f"BS 7608 goes by classes, not by strengths: give one of {_known()}{where(place)}")


def curve_of_row(row: CatalogueRow) -> LifeCurve:
    """Curve of a row, without thickness effect."""
    if row.curve is None:
        raise InputError(f"class {row.id} needs edition: 1993 or 2014")
    return row.curve


def size_effect(row: CatalogueRow, *, thickness: float | None = None, place: str = ""):
    """What the thickness does to the strength of a row; None where no thickness is given."""
    rule = read_table(_PACKAGE, "bs7608_editions")[row.size_effect]
    return curves_only.thickness_effect(
        thickness, reference=float(rule["reference_mm"]), exponent=rule["exponent"], missing="", place=place
    )


def _row(key: str, deviations: float) -> CatalogueRow:
    entry = read_table(_PACKAGE, "bs7608_classes")[key]
    slope = float(entry["slope"])
    log_C = entry["log10_C0"] - deviations * entry["deviation"]
    return CatalogueRow(
        id=key,
        table=CLAUSE,
        detail="",
        category=(10.0**log_C / REFERENCE_CYCLES) ** (1.0 / slope),
        slope=slope,
        stress="normal",
        stress_on=entry["stress_on"],
        condition="class given by its letter; its conditions are for the user to meet",
        source=entry["source"],
        unconfirmed=unconfirmed(entry),
        letter=key,
    )


def _known() -> str:
    return ", ".join(read_table(_PACKAGE, "bs7608_classes"))
