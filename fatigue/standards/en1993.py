"""EN 1993-1-9:2005: categories, curves, size effects and partial factors; how a detail is verified.

Numbers stand in the tables beside this module; the damage itself is summed in `fatigue.damage`.
"""

from dataclasses import dataclass
from functools import cache
from typing import Annotated

from fatigue.catalogue import CatalogueRow, catalogue_row
from fatigue.curves import LifeCurve
from fatigue.damage import NormalDamage, ShearDamage
from fatigue.damage import detail_damage as _detail_damage
from fatigue.detail import Detail
from loadhistories.figures import Check, Figure, judged
from loadhistories.tables import read_table, unconfirmed
from loadhistories.tables import row_of as table_row
from loadhistories.validation import InputError, require_not_negative, require_one_of, require_positive, where

EDITION = "EN 1993-1-9:2005"
NAMES = ("EN 1993",)
EDITIONS = {"EN 1993": EDITION}
CONDITIONS = ("stress",)
SIZES = ("thickness", "diameter", "thicker", "eccentricity")
CLAUSE = f"{EDITION}, 8(4), A.5"
TABLES = ("8.1", "8.2", "8.3", "8.4", "8.5")
UNWELDED = "8.1"
BASIS = {
    "concept": {
        "safe life": "fatigue is judged for a safe life without reliance on inspection, the stricter concept",
        "damage tolerant": "",
    },
    "consequence": {"high": "failure by fatigue has high consequence, the stricter choice", "low": ""},
}
WELD_THROAT = {"normal": "8.5-3", "shear": "8.5-3t", "clause": f"{EDITION}, Table 8.5, detail 3, and 8(3)"}
_PACKAGE = "fatigue.standards"


@dataclass(frozen=True)
class ThicknessEffect:
    """Strength of a thick plate over that of a thin one."""

    size: Annotated[float, Figure("t", "mm", title="thickness")]
    reference: Annotated[float, Figure("t_0", "mm", title="thickness without effect")]
    exponent: Annotated[float, Figure("a", "", title="exponent of the size effect")]
    factor: Annotated[float, Figure("k_s", "", "min(1, (t_0 / t) ** a)", f"{EDITION}, 7.2.2")]


@dataclass(frozen=True)
class DiameterEffect:
    """Strength of a thick bolt over that of a thin one."""

    size: Annotated[float, Figure("d", "mm", title="diameter")]
    reference: Annotated[float, Figure("d_0", "mm", title="diameter without effect")]
    exponent: Annotated[float, Figure("a", "", title="exponent of the size effect")]
    factor: Annotated[float, Figure("k_s", "", "min(1, (d_0 / d) ** a)", f"{EDITION}, 7.2.2, Table 8.1")]


@dataclass(frozen=True)
class EccentricSplice:
    """Strength of a splice of unequal plates over that of equal ones in line."""

    size: Annotated[float, Figure("t_1", "mm", title="thickness of the thinner plate")]
    thicker: Annotated[float, Figure("t_2", "mm", title="thickness of the thicker plate")]
    eccentricity: Annotated[float, Figure("e", "mm", title="offset of the centre lines")]
    reference: Annotated[float, Figure("t_0", "mm", title="thickness without effect")]
    exponent: Annotated[float, Figure("a", "", title="exponent of the size effect")]
    factor: Annotated[
        float,
        Figure(
            "k_s",
            "",
            "min(1, (t_0 / t_1) ** a) / (1 + 6 * e / t_1 * t_1 ** 1.5 / (t_1 ** 1.5 + t_2 ** 1.5))",
            f"{EDITION}, Table 8.3, detail 17",
        ),
    ]


@dataclass(frozen=True)
class PartialFactors:
    """Partial factors of the fatigue verification."""

    concept: str
    consequence: str
    gamma_Ff: Annotated[float, Figure("gamma_Ff", "", title="partial factor of the stress ranges")]
    gamma_Mf: Annotated[float, Figure("gamma_Mf", "", "", f"{EDITION}, Table 3.1", "partial factor of strength")]
    source: str
    unconfirmed: bool


@cache
def rows() -> dict[str, CatalogueRow]:
    """Every row of Tables 8.1 to 8.5 by its identifier."""
    found = {}
    for table in TABLES:
        for key, row in read_table(_PACKAGE, f"en1993_details_{table.replace('.', '_')}").items():
            found[key] = CatalogueRow(
                id=key,
                table=row["table"],
                detail=row["detail"],
                category=float(row["category_MPa"]) if "category_MPa" in row else None,
                slope=float(row["slope"]),
                stress=row["stress"],
                stress_on=row["stress_on"],
                condition=row["condition"],
                source=row["source"],
                unconfirmed=unconfirmed(row),
                size_effect=row.get("size_effect", ""),
                relies_on=row.get("relies_on", ""),
                crack=row.get("crack", ""),
                starred=row.get("starred", False),
                welded=table != UNWELDED,
                see=tuple(row.get("see", ())),
                also=tuple(row.get("also", ())),
            )
    return found


def catalogue() -> tuple[CatalogueRow, ...]:
    """Every row of Tables 8.1 to 8.5."""
    return tuple(rows().values())


def row_of(category: str | float, *, stress: str | None = None, place: str = "") -> CatalogueRow:
    """The row of an identifier, or one made of a category number.

    Raises
    ------
    InputError
        No such category, one without a class of its own, or one of the other kind of stress.
    """
    if isinstance(category, str) and category.strip().endswith("*"):
        star = category.strip(" *")
        raise InputError(
            f"category {category!r}: give {star}; the higher class that 7.1(3) lets a starred detail take "
            f"is not used{where(place)}"
        )
    if isinstance(category, str) and not category.strip().isdigit():
        row = catalogue_row(rows(), category, edition=EDITION, place=place)
        if stress is not None and require_one_of(stress, ("normal", "shear"), "stress", place=place) != row.stress:
            raise InputError(f"category {category} is for {row.stress} stress, got {stress!r}{where(place)}")
        return row
    number = require_positive(_number(category), "category", unit="MPa", place=place)
    kind = stress or "normal"
    classes = _form(kind, None, place)["classes_MPa"]
    if number not in classes:
        near = min(classes, key=lambda value: abs(value - number))
        raise InputError(
            f"category {number:g} is no {kind} stress class of {EDITION}; nearest is {near}; known: "
            f"{', '.join(map(str, classes))}; a strength of your own is given as strength{where(place)}"
        )
    return _plain_row(f"{number:g}", number, kind, "category given by its number", place)


def row_of_strength(strength: float, *, stress: str | None = None, place: str = "") -> CatalogueRow:
    """A row made of a strength at 2e6 cycles that no class of the standard stands for. [MPa]"""
    number = require_positive(strength, "strength", unit="MPa", place=place)
    return _plain_row(f"strength {number:g} MPa", number, stress or "normal", "strength given by the user", place)


def curve_of_row(row: CatalogueRow) -> LifeCurve:
    """Characteristic curve of a row, without size effect."""
    form = _form(row.stress, row.slope)
    return LifeCurve(
        name=f"{EDITION}, {'category ' if row.table or row.id.isdigit() else ''}{row.id}, {row.stress} stress",
        strength=row.category,
        reference=form["reference_cycles"],
        slopes=tuple(map(float, form["slopes"])),
        knees=tuple(map(float, form["knees_cycles"])),
        cut_off=form.get("cut_off_cycles"),
        source=form["source"],
    )


def size_effect(
    row: CatalogueRow, *, thickness=None, diameter=None, thicker=None, eccentricity=None, place: str = ""
) -> ThicknessEffect | DiameterEffect | EccentricSplice | None:
    """What the size of the detail does to its strength, None where the row knows no size effect.

    A row made of a bare number takes the effect of the size that is given with it.

    Raises
    ------
    InputError
        A size that the row's effect needs is missing, or a size is not above zero.
    """
    given = {"thickness": thickness, "diameter": diameter, "thicker": thicker, "eccentricity": eccentricity}
    sizes = {name: _size(name, value, place) for name, value in given.items() if value is not None}
    kind = row.size_effect
    if not row.table and not kind:
        kind = next((name for name in ("thickness", "diameter") if name in sizes), "")
    if not kind:
        return None
    constants = table_row(_PACKAGE, "en1993_size", kind, "size effect")
    reference, exponent = float(constants["reference_mm"]), constants["exponent"]
    if kind == "eccentric splice":
        t_1, t_2, e = (_needed(name, sizes, row, place) for name in ("thickness", "thicker", "eccentricity"))
        if t_2 < t_1:
            raise InputError(f"thicker plate must not be below {t_1:g} mm, got {t_2:g} mm{where(place)}")
        offset = 1.0 + 6.0 * e / t_1 * t_1**1.5 / (t_1**1.5 + t_2**1.5)
        factor = min(1.0, (reference / t_1) ** exponent) / offset
        return EccentricSplice(t_1, t_2, e, reference, exponent, factor)
    size = _needed(kind, sizes, row, place)
    effect = ThicknessEffect if kind == "thickness" else DiameterEffect
    return effect(size, reference, exponent, min(1.0, (reference / size) ** exponent))


def partial_factors(concept: str, consequence: str, *, place: str = "") -> PartialFactors:
    """Recommended partial factors for an assessment concept and a consequence of failure.

    Parameters
    ----------
    concept : str
        "damage tolerant" or "safe life".
    consequence : str
        "low" or "high".

    Limits
    ------
    A national annex may set other values.

    Examples
    --------
    >>> partial_factors("safe life", "high").gamma_Mf
    1.35
    """
    table = read_table(_PACKAGE, "en1993_factors")
    require_one_of(concept, tuple(dict.fromkeys(r["concept"] for r in table.values())), "concept", place=place)
    known = tuple(dict.fromkeys(r["consequence"] for r in table.values()))
    require_one_of(consequence, known, "consequence of failure", place=place)
    row = table[f"{concept}, {consequence}"]
    return PartialFactors(concept, consequence, row["gamma_Ff"], row["gamma_Mf"], row["source"], unconfirmed(row))


def condition_lost(detail: Detail, *, slips: bool | None, reverses: bool | None) -> str:
    """Why the detail's category does not stand in this joint, or "" where it does."""
    if detail.row.relies_on == "grip" and slips is not False:
        told = (
            "the joint slips under its fatigue loads, so the plate no longer keeps this category on its gross section; "
            "make the joint grip, or take the net section with a category for bolts that bear (8.1-9, 8.1-12 fitted "
            "bolts, 8.1-13 normal bolts without load reversal)"
            if slips
            else "whether the joint slips under its fatigue loads is not known"
        )
        return f"category {detail.row.id} counts on preloaded bolts that grip ({EDITION}, Table 8.1): {told}"
    if detail.row.relies_on == "no reversal" and reverses is not False:
        told = (
            "the load on the detail reverses; Table 8.1 has no category for normal bolts in clearance holes under "
            "reversed load: use preloaded bolts that grip, or fitted bolts"
            if reverses
            else "whether the load on the detail reverses is not known"
        )
        return f"category {detail.row.id} is for loads without reversal ({EDITION}, Table 8.1): {told}"
    return ""


def detail_damage(
    detail: Detail, counts, *, blocks, factors: PartialFactors, design_life: float, permanent_stress: float
) -> NormalDamage | ShearDamage:
    """Damage of a detail over all blocks; see `fatigue.damage.detail_damage`."""
    return _detail_damage(
        detail,
        counts,
        blocks=blocks,
        factors=factors,
        design_life=design_life,
        permanent_stress=permanent_stress,
        compression_share=_rule("compression_share"),
        range_limit=_rule("range_limit"),
    )


def checks(number: int, detail: Detail, result: NormalDamage | ShearDamage) -> tuple[Check, ...]:
    """Damage against its limit, and the largest range against the yield strength where that is known."""
    working = tuple(part for part in (*detail.recipe.working, detail.size_effect) if part is not None)
    found = [
        judged(
            f"fatigue:{number}",
            f"fatigue of {detail.name}",
            demand=result.damage,
            resistance=_rule("allowed_damage"),
            unit="",
            clause=CLAUSE,
            working=(*working, *result.blocks, result),
        )
    ]
    if result.limit is not None:
        found.append(
            judged(
                f"fatigue:{number}:range",
                f"largest stress range at {detail.name}",
                demand=result.limit.largest_range,
                resistance=result.limit.limit,
                unit="MPa",
                clause=f"{EDITION}, 8(1)",
                working=(result.limit,),
            )
        )
    return tuple(found)


def _rule(name: str) -> float:
    return float(read_table(_PACKAGE, "en1993_rules")[name]["value"])


def _form(stress: str, slope: float | None, place: str = "") -> dict:
    """The form of the curve for a kind of stress; the slope tells studs from other shear."""
    forms = read_table(_PACKAGE, "en1993_curves").values()
    require_one_of(stress, tuple(dict.fromkeys(form["stress"] for form in forms)), "stress", place=place)
    return next(
        form for form in forms if form["stress"] == stress and (slope is None or form["slopes"][0] == slope)
    )


def _plain_row(name: str, strength: float, stress: str, condition: str, place: str) -> CatalogueRow:
    form = _form(stress, None, place)
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


def _number(category) -> float:
    return float(category) if isinstance(category, str) else category


def _size(name: str, value: float, place: str) -> float:
    if name == "eccentricity":
        return require_not_negative(value, name, unit="mm", place=place)
    return require_positive(value, name, unit="mm", place=place)


def _needed(name: str, sizes: dict, row: CatalogueRow, place: str) -> float:
    if name not in sizes:
        raise InputError(
            f"category {row.id} depends on size ({EDITION}, 7.2.2): give its {name}, such as "
            f'{name} = "20 mm"{where(place)}'
        )
    return sizes[name]
