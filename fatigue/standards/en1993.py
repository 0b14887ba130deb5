"""EN 1993-1-9:2005: categories and curves; how a detail is verified.

Numbers stand in the tables beside this module, size effects, partial factors and the interaction of stresses in the
modules beside it; the damage itself is summed in `fatigue.damage`.
"""

from dataclasses import replace
from functools import cache

from fatigue.accumulation import beyond_curve
from fatigue.catalogue import CatalogueRow, catalogue_row
from fatigue.curves import LifeCurve
from fatigue.damage import NormalDamage, ShearDamage
from fatigue.damage import detail_damage as _detail_damage
from fatigue.detail import Detail
from fatigue.standards import en1993_factors, en1993_interaction, en1993_sizes
from loadhistories.figures import Check, judged, not_judged
from loadhistories.tables import read_table, unconfirmed
from loadhistories.validation import InputError, require_one_of, require_positive, where

EDITION = "EN 1993-1-9:2005"
NAMES = ("EN 1993",)
EDITIONS = {"EN 1993": EDITION}
CONDITIONS = ("stress", "starred")
STARRED = ("limit at 1e7",)
SIZES, size_effect = en1993_sizes.SIZES, en1993_sizes.size_effect
BASIS, OWN_FACTORS = en1993_factors.BASIS, en1993_factors.OWN_FACTORS
partial_factors, deviation = en1993_factors.partial_factors, en1993_factors.deviation
point_checks = en1993_interaction.point_checks
CLAUSE = f"{EDITION}, 8(4), A.5"
TABLES = ("8.1", "8.2", "8.3", "8.4", "8.5", "8.10", "B.1")
UNWELDED = "8.1"
WELD_THROAT = {"normal": "8.5-3", "shear": "8.5-3t", "clause": f"{EDITION}, Table 8.5, detail 3, and 8(3)"}
_PACKAGE = "fatigue.standards"
WELD_TOES = (_PACKAGE, "en1993_weld_toes")
FITTED_BOLTS = {"shank": "8.1-15f", "one side": "8.1-12", "two sides": "8.1-9"}


@cache
def rows() -> dict[str, CatalogueRow]:
    """Every row of Tables 8.1 to 8.5, 8.10 and B.1 by its identifier."""
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
                welded=row.get("welded", table != UNWELDED),
                see=tuple(row.get("see", ())),
                also=tuple(row.get("also", ())),
            )
    return found


def catalogue() -> tuple[CatalogueRow, ...]:
    """Every row of Tables 8.1 to 8.5, 8.10 and B.1."""
    return tuple(rows().values())


def row_of(
    category: str | float, *, stress: str | None = None, starred: str | None = None, place: str = ""
) -> CatalogueRow:
    """The row of an identifier, or one made of a category number.

    Parameters
    ----------
    category : str or float
    stress : str
        "normal" or "shear", for a number.
    starred : str
        "limit at 1e7": a row with a star is taken one class higher, its knee at 1e7 cycles.

    Raises
    ------
    InputError
        No such category, one without a class of its own, or one of the other kind of stress; a row without a
        star is to be raised.
    """
    if isinstance(category, str) and category.strip().endswith("*"):
        star = category.strip(" *")
        raise InputError(
            f"category {category!r}: give {star}, or the identifier of its row; the higher class that 7.1(3) lets a "
            f'starred row take is had by its identifier with starred = "{STARRED[0]}"{where(place)}'
        )
    if isinstance(category, str) and not category.strip().isdigit():
        row = catalogue_row(rows(), category, edition=EDITION, place=place)
        if stress is not None and require_one_of(stress, ("normal", "shear"), "stress", place=place) != row.stress:
            raise InputError(f"category {category} is for {row.stress} stress, got {stress!r}{where(place)}")
        return row if starred is None else _raised(row, starred, place)
    if starred is not None:
        raise InputError(f"starred goes with the identifier of a starred row, not with a number{where(place)}")
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


def row_of_strength(
    strength: float, *, stress: str | None = None, starred: str | None = None, place: str = ""
) -> CatalogueRow:
    """A row made of a strength at 2e6 cycles that no class of the standard stands for. [MPa]"""
    if starred is not None:
        raise InputError(f"starred goes with the identifier of a starred row, not with a strength{where(place)}")
    number = require_positive(strength, "strength", unit="MPa", place=place)
    return _plain_row(f"strength {number:g} MPa", number, stress or "normal", "strength given by the user", place)


def curve_of_row(row: CatalogueRow) -> LifeCurve:
    """Characteristic curve of a row, without size effect."""
    if row.curve is not None:
        return row.curve
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


def category_without_grip(row: CatalogueRow, *, reverses: bool | None) -> str | None:
    """The category on the net section that is left to a row that relies on grip once the joint slips.

    None where the row does not rely on grip, or the load on it reverses or is not known not to: Table 8.1 has no
    category for bolts in clearance holes then.

    Source
    ------
    EN 1993-1-9:2005, Table 8.1, details 8, 10 and 13 (from memory).
    """
    return "8.1-13" if row.relies_on == "grip" and reverses is False else None


def condition_lost(detail: Detail, *, slips: bool | None, reverses: bool | None) -> str:
    """Why the detail's category does not stand in this joint, or "" where it does."""
    if detail.row.relies_on == "grip" and slips and detail.net is not None and reverses:
        return (
            f"category {detail.row.id} counts on preloaded bolts that grip, the joint slips under its fatigue loads, "
            f"and the load on the detail reverses: {EDITION}, Table 8.1, detail 13 has a category on the net section "
            "only without reversal; make the joint grip, or use fitted bolts"
        )
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
    detail: Detail, counts, *, blocks, factors, design_life: float, permanent_stress: float
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
    """Damage against its limit; beside it the equivalent range at 2e6 cycles against the strength, which says the
    same; and the largest range against the yield strength where that is known.
    """
    name, title = f"fatigue:{number}", f"fatigue of {detail.name}"
    working = tuple(part for part in (*detail.recipe.working, detail.size_effect) if part is not None)
    working, allowed = (*working, *result.blocks, result), _rule("allowed_damage")
    reason = beyond_curve(result)
    if reason and result.damage - result.few_cycles_damage <= allowed:
        found = [not_judged(name, title, reason=reason, clause=CLAUSE, working=working)]
    else:
        found = [
            judged(name, title, demand=result.damage, resistance=allowed, unit="", clause=CLAUSE, working=working),
            judged(
                f"{name}:equivalent",
                f"equivalent stress range at {detail.name}, beside the damage, which governs",
                demand=result.gamma_Ff * result.equivalent_range,
                resistance=result.design_strength,
                unit="MPa",
                clause=f"{EDITION}, 8(2)",
            ),
        ]
    if result.limit is not None:
        found.append(
            judged(
                f"{name}:range",
                f"largest stress range at {detail.name}",
                demand=result.limit.largest_range,
                resistance=result.limit.limit,
                unit="MPa",
                clause=f"{EDITION}, 8(1)",
                working=(result.limit,),
            )
        )
    return tuple(found)


def _raised(row: CatalogueRow, starred: str, place: str) -> CatalogueRow:
    """A starred row one class higher, with the limit for constant amplitude at 1e7 cycles."""
    require_one_of(starred, STARRED, "starred", place=place)
    if not row.starred:
        raise InputError(f"category {row.id} has no star in {EDITION}: leave starred out{where(place)}")
    higher = min(value for value in _form(row.stress, row.slope)["classes_MPa"] if value > row.category)
    rule = read_table(_PACKAGE, "en1993_rules")["starred_knee_cycles"]
    raised = replace(
        row,
        category=float(higher),
        condition=f"{row.condition}; {row.category:g}* taken as {higher} with the limit for constant amplitude at 1e7 "
        "cycles",
        source=f"{row.source}; {rule['source']}",
    )
    curve = curve_of_row(raised)
    return replace(raised, curve=replace(curve, name=f"{curve.name}, limit at 1e7", knees=(float(rule["value"]),)))


def _rule(name: str) -> float:
    return float(read_table(_PACKAGE, "en1993_rules")[name]["value"])


def _form(stress: str, slope: float | None, place: str = "") -> dict:
    """The form of the curve for a kind of stress; the slope tells studs from other shear."""
    forms = read_table(_PACKAGE, "en1993_curves")
    require_one_of(stress, tuple(dict.fromkeys(form["stress"] for form in forms.values())), "stress", place=place)
    fitting = [
        key for key, form in forms.items() if form["stress"] == stress and (slope is None or form["slopes"][0] == slope)
    ]
    return forms[fitting[0]]


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
