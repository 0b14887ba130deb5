"""IIW recommendations (2008): life curves of the FAT classes for nominal stress; curves only, no safety factors."""

from dataclasses import replace
from functools import cache

from fatigue import curves_only
from fatigue.catalogue import CatalogueRow
from fatigue.curves import LifeCurve
from loadhistories.tables import read_table, unconfirmed
from loadhistories.tables import row_of as table_row
from loadhistories.validation import InputError, require_one_of, require_positive, where

EDITION = "IIW-1823-07 (2008)"
NAMES = ("IIW",)
EDITIONS = {"IIW": EDITION}
CONDITIONS = ("stress", "second_slope", "thickness_rule")
SIZES = ("thickness",)
CLAUSE = f"{EDITION}, 3.2"
REFERENCE_CYCLES = 2e6
REFERENCE_THICKNESS = 25.0
_PACKAGE = "fatigue.standards"

condition_lost = curves_only.condition_lost
detail_damage = curves_only.detail_damage
checks = curves_only.checks


@cache
def catalogue() -> tuple[CatalogueRow, ...]:
    """Every FAT class; each curve needs a second slope beside it."""
    return tuple(_row(key) for key in read_table(_PACKAGE, "iiw_classes"))


def row_of(
    category: str | float,
    *,
    stress: str | None = None,
    second_slope: float | None = None,
    thickness_rule: str = "",
    place: str = "",
) -> CatalogueRow:
    """The row of a FAT class with its curve.

    Parameters
    ----------
    category : str or float
        "FAT 71" or 71.
    stress : str
        "normal" (left out: this) or "shear", of which some classes have the same number.
    second_slope : float
        5 or 22, beyond the knee: with 5 small ranges do damage (variable amplitude), 22 is for constant amplitude.
    thickness_rule : str
        Which exponent a plate above 25 mm takes; see the table.

    Raises
    ------
    InputError
        No such class; second slope missing or another one; thickness rule unknown.

    Limits
    ------
    The effective thickness of a joint with a small attachment is for the user to find.
    """
    name = str(category).strip().removeprefix("FAT").strip()
    kind = require_one_of(stress or "normal", ("normal", "shear"), "stress", place=place)
    shear = " shear" if kind == "shear" and not name.endswith("shear") else ""
    classes = read_table(_PACKAGE, "iiw_classes")
    key = require_one_of(f"FAT {name}{shear}", classes, "FAT class", place=place)
    if stress is not None and classes[key]["stress"] != stress:
        raise InputError(f"class {key} is for {classes[key]['stress']} stress, got {stress!r}{where(place)}")
    return _with_conditions(_row(key), second_slope, thickness_rule, place)


def row_of_strength(
    strength: float,
    *,
    stress: str | None = None,
    second_slope: float | None = None,
    thickness_rule: str = "",
    place: str = "",
) -> CatalogueRow:
    """A row made of a strength at 2e6 cycles that no class stands for. [MPa]"""
    number = require_positive(strength, "strength", unit="MPa", place=place)
    like = "FAT 100 shear" if stress == "shear" else "FAT 100"
    row = replace(
        _row(like),
        id=f"strength {number:g} MPa",
        category=number,
        condition="strength given by the user; its conditions are for the user to meet",
    )
    return _with_conditions(row, second_slope, thickness_rule, place)


def curve_of_row(row: CatalogueRow) -> LifeCurve:
    """Characteristic curve of a row, without thickness effect."""
    if row.curve is None:
        raise InputError(_slope_missing(row.id))
    return row.curve


def size_effect(row: CatalogueRow, *, thickness: float | None = None, place: str = ""):
    """What the thickness does to the strength of a row; None where no thickness is given."""
    rules = read_table(_PACKAGE, "iiw_thickness")
    return curves_only.thickness_effect(
        thickness,
        reference=REFERENCE_THICKNESS,
        exponent=rules[row.size_effect]["exponent"] if row.size_effect else None,
        missing=f"give thickness_rule, one of {', '.join(map(repr, rules))} ({EDITION}, 3.5.2)",
        place=place,
    )


def _row(key: str) -> CatalogueRow:
    entry = read_table(_PACKAGE, "iiw_classes")[key]
    return CatalogueRow(
        id=key,
        table=CLAUSE,
        detail="",
        category=float(entry["strength_MPa"]),
        slope=float(entry["slope"]),
        stress=entry["stress"],
        stress_on="nominal",
        condition="class given by its number; its conditions are for the user to meet",
        source=entry["source"],
        unconfirmed=unconfirmed(entry),
    )


def _with_conditions(
    row: CatalogueRow, second_slope: float | None, thickness_rule: str, place: str
) -> CatalogueRow:
    if second_slope is None:
        raise InputError(f"{_slope_missing(row.id)}{where(place)}")
    slopes = read_table(_PACKAGE, "iiw_second_slopes")
    text = f"{second_slope:g}" if isinstance(second_slope, (int, float)) else str(second_slope)
    slope = table_row(_PACKAGE, "iiw_second_slopes", require_one_of(text, slopes, "second_slope", place=place), "slope")
    if thickness_rule:
        require_one_of(thickness_rule, read_table(_PACKAGE, "iiw_thickness"), "thickness_rule", place=place)
    like = "FAT 100 shear" if row.stress == "shear" else "FAT 100"
    entry = read_table(_PACKAGE, "iiw_classes").get(row.id) or read_table(_PACKAGE, "iiw_classes")[like]
    curve = LifeCurve(
        name=f"{EDITION}, {row.id}, slope {entry['slope']:g}, beyond {entry['knee_cycles']:g} cycles "
        f"{slope['slope']:g} ({slope['meaning']})",
        strength=row.category,
        reference=REFERENCE_CYCLES,
        slopes=(float(entry["slope"]), float(slope["slope"])),
        knees=(float(entry["knee_cycles"]),),
        source=f"{entry['source']}; {slope['source']}",
    )
    return replace(row, curve=curve, size_effect=thickness_rule)


def _slope_missing(name: str) -> str:
    return (
        f"class {name} needs second_slope: 5 where amplitudes vary, so that ranges below the knee do damage, or 22 "
        "where every cycle has one range"
    )
