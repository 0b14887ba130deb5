"""AS 4100:2020, section 11: detail categories, life curves, thickness factor and single numbers, from the tables."""

from dataclasses import dataclass
from functools import cache
from typing import Annotated

from fatigue.catalogue import CatalogueRow, catalogue_row
from fatigue.curves import LifeCurve
from loadhistories.figures import Figure
from loadhistories.tables import read_table, unconfirmed
from loadhistories.validation import InputError, require_one_of, require_positive, where

EDITION = "AS 4100:2020"
PACKAGE = "fatigue.standards.as4100"
UNWELDED = "11.5.1(1)"


@dataclass(frozen=True)
class ThicknessFactor:
    """Strength of a transverse weld in a thick plate over that in a thin one."""

    thickness: Annotated[float, Figure("t_p", "mm", title="thickness of the plate")]
    reference: Annotated[float, Figure("t_0", "mm", title="thickness without effect")]
    exponent: Annotated[float, Figure("a", "", title="exponent of the thickness factor")]
    factor: Annotated[
        float, Figure("beta_tf", "", "min(1, (t_0 / t_p) ** a)", f"{EDITION}, 11.1.7", "thickness factor")
    ]


@cache
def rows() -> dict[str, CatalogueRow]:
    """Every row of Tables 11.5.1(1) to 11.5.1(4) by its identifier."""
    return {
        key: CatalogueRow(
            id=key,
            table=row["table"],
            detail=row["detail"],
            category=float(row["category_MPa"]),
            slope=float(row["slope"]),
            stress=row["stress"],
            stress_on=row["stress_on"],
            condition=row["condition"],
            source=row["source"],
            unconfirmed=unconfirmed(row),
            size_effect=row.get("size_effect", ""),
            relies_on=row.get("relies_on", ""),
            crack=row.get("crack", ""),
            welded=row["table"] != UNWELDED,
            also=tuple(row.get("also", ())),
        )
        for key, row in read_table(PACKAGE, "details").items()
    }


def catalogue() -> tuple[CatalogueRow, ...]:
    """Every row of Tables 11.5.1(1) to 11.5.1(4)."""
    return tuple(rows().values())


def row_of(category: str | float, *, stress: str | None = None, place: str = "") -> CatalogueRow:
    """The row of an identifier, or one made of a category number.

    Raises
    ------
    InputError
        No such category, or one of the other kind of stress.
    """
    if isinstance(category, str) and not category.strip().isdigit():
        row = catalogue_row(rows(), category, edition=EDITION, place=place)
        if stress is not None and require_one_of(stress, ("normal", "shear"), "stress", place=place) != row.stress:
            raise InputError(f"category {category} is for {row.stress} stress, got {stress!r}{where(place)}")
        return row
    number = float(category) if isinstance(category, str) else category
    number = require_positive(number, "category", unit="MPa", place=place)
    kind = stress or "normal"
    classes = curve_form(kind, place)["classes_MPa"]
    if number not in classes:
        near = min(classes, key=lambda value: abs(value - number))
        raise InputError(
            f"category {number:g} is no {kind} stress category of {EDITION}; nearest is {near}; known: "
            f"{', '.join(map(str, classes))}; a strength of your own is given as strength{where(place)}"
        )
    return _plain_row(f"{number:g}", number, kind, "category given by its number", place)


def row_of_strength(strength: float, *, stress: str | None = None, place: str = "") -> CatalogueRow:
    """A row made of a strength at 2e6 cycles that no category of the standard stands for. [MPa]"""
    number = require_positive(strength, "strength", unit="MPa", place=place)
    return _plain_row(f"strength {number:g} MPa", number, stress or "normal", "strength given by the user", place)


def curve_of_row(row: CatalogueRow) -> LifeCurve:
    """Curve of the uncorrected strength of a row: without thickness factor, without capacity factor.

    Source
    ------
    AS 4100:2020, 11.6 (from memory): f_f^3 n = f_rn^3 2e6 up to 5e6 cycles, f_f^5 n = f_5^5 1e8 up to 1e8; in
    shear f_f^5 n = f_rs^5 2e6 up to 1e8.
    """
    form = curve_form(row.stress)
    return LifeCurve(
        name=f"{EDITION}, {'category ' if row.table or row.id.isdigit() else ''}{row.id}, {row.stress} stress",
        strength=row.category,
        reference=form["reference_cycles"],
        slopes=tuple(map(float, form["slopes"])),
        knees=tuple(map(float, form["knees_cycles"])),
        cut_off=form["cut_off_cycles"],
        source=form["source"],
    )


def size_effect(row: CatalogueRow, *, thickness: float | None = None, place: str = "") -> ThicknessFactor | None:
    """Thickness factor of a transverse weld, None where the row has none.

    A row made of a bare number takes the factor if a thickness is given with it.

    Raises
    ------
    InputError
        The row needs a thickness and none is given, or it is not above zero.
    """
    if thickness is not None:
        thickness = require_positive(thickness, "thickness", unit="mm", place=place)
    if row.table and not row.size_effect:
        return None
    if thickness is None:
        if not row.size_effect:
            return None
        raise InputError(
            f"category {row.id} depends on size ({EDITION}, 11.1.7): give its thickness, such as "
            f'thickness = "20 mm"{where(place)}'
        )
    constants = read_table(PACKAGE, "size")["thickness"]
    reference, exponent = float(constants["reference_mm"]), constants["exponent"]
    return ThicknessFactor(thickness, reference, exponent, min(1.0, (reference / thickness) ** exponent))


def rule(name: str) -> float:
    """A single number of section 11."""
    return float(read_table(PACKAGE, "rules")[name]["value"])


def curve_form(stress: str, place: str = "") -> dict:
    """The row that tells the form of the curve for a kind of stress."""
    forms = read_table(PACKAGE, "curves")
    return forms[require_one_of(stress, tuple(forms), "stress", place=place)]


def _plain_row(name: str, strength: float, stress: str, condition: str, place: str) -> CatalogueRow:
    form = curve_form(stress, place)
    return CatalogueRow(
        id=name,
        table="",
        detail="",
        category=strength,
        slope=float(form["slopes"][0]),
        stress=stress,
        stress_on="",
        condition=f"{condition}; the conditions of its row are for the user to meet",
        source=f"{condition}; curve: {form['source']}",
        unconfirmed=unconfirmed(form),
    )
