"""AISC 360, Appendix 3.3: reduction of the range for a crack from the root of a transverse weld."""

from dataclasses import dataclass
from typing import Annotated

from fatigue.catalogue import CatalogueRow
from fatigue.standards.aisc360.categories import BOTH, PACKAGE, constants_of_row
from loadhistories.figures import Figure
from loadhistories.tables import read_table
from loadhistories.validation import InputError, require_not_negative, require_positive, where

SIZES = ("thickness", "root_face", "leg")


@dataclass(frozen=True)
class PartialPenetration:
    """R_PJP: range for a root crack of a partial penetration weld over that of category C."""

    thickness: Annotated[float, Figure("t_p", "mm", title="thickness of the tension plate")]
    root_face: Annotated[float, Figure("a_2", "mm", title="length of the root face that is not welded, 2a")]
    leg: Annotated[float, Figure("w", "mm", title="leg of the fillet that reinforces the groove weld")]
    constant: Annotated[float, Figure("c_0", "", title="constant of the equation")]
    per_root_face: Annotated[float, Figure("c_a", "", title="constant of the equation")]
    per_leg: Annotated[float, Figure("c_w", "", title="constant of the equation")]
    exponent: Annotated[float, Figure("q", "", title="exponent of the equation")]
    unit: Annotated[float, Figure("t_1", "mm", title="unit of thickness in the equation")]
    factor: Annotated[
        float,
        Figure(
            "R_PJP",
            "",
            "min(1, (c_0 - c_a * a_2 / t_p + c_w * w / t_p) / (t_p / t_1) ** q)",
            f"{BOTH}.3, eq. (A-3-4)",
            "reduction for a crack from the root",
        ),
    ]


@dataclass(frozen=True)
class FilletPair:
    """R_FIL: range for a root crack of a pair of transverse fillet welds over that of category C."""

    thickness: Annotated[float, Figure("t_p", "mm", title="thickness of the tension plate")]
    leg: Annotated[float, Figure("w", "mm", title="leg of the fillet welds")]
    constant: Annotated[float, Figure("c_0", "", title="constant of the equation")]
    per_leg: Annotated[float, Figure("c_w", "", title="constant of the equation")]
    exponent: Annotated[float, Figure("q", "", title="exponent of the equation")]
    unit: Annotated[float, Figure("t_1", "mm", title="unit of thickness in the equation")]
    factor: Annotated[
        float,
        Figure(
            "R_FIL",
            "",
            "min(1, (c_0 + c_w * w / t_p) / (t_p / t_1) ** q)",
            f"{BOTH}.3, eq. (A-3-6) (from memory)",
            "reduction for a crack from the root",
        ),
    ]


def size_effect(
    row: CatalogueRow, *, thickness=None, root_face=None, leg=None, place: str = ""
) -> PartialPenetration | FilletPair | None:
    """Reduction for a crack from the root (categories C' and C''); None for every other category.

    Parameters
    ----------
    thickness : float
        Of the tension plate. [mm]
    root_face : float
        2a, the part of the thickness that is not welded; for partial penetration only. [mm]
    leg : float
        Of the fillet welds; of the reinforcing fillet for partial penetration, none if left out. [mm]

    Raises
    ------
    InputError
        A size that the equation needs is missing, a size not above zero, a root face beyond the thickness, or
        nothing left of the range.

    Source
    ------
    AISC 360-16 and 360-22, Appendix 3.3, eq. (A-3-4) (read in a copy), (A-3-6) (from memory).
    """
    kind = constants_of_row(row).root
    if not kind:
        return None
    given = {"thickness": thickness, "root_face": root_face, "leg": leg}
    needed = ("thickness", "root_face") if kind == "partial penetration" else ("thickness", "leg")
    for name in needed:
        if given[name] is None:
            raise InputError(
                f"category {row.letter} depends on the weld ({BOTH}.3): give its {name}, such as "
                f'{name} = "0.5 in"{where(place)}'
            )
    t_p = require_positive(thickness, "thickness", unit="mm", place=place)
    w = require_not_negative(0.0 if leg is None else leg, "leg", unit="mm", place=place)
    terms = read_table(PACKAGE, "roots")[f"{kind}, {row.equations}"]
    slenderness = (t_p / terms["unit_mm"]) ** terms["exponent"]
    if kind == "fillet":
        require_positive(w, "leg", unit="mm", place=place)
        factor = min(1.0, (terms["constant"] + terms["leg"] * w / t_p) / slenderness)
        return FilletPair(t_p, w, terms["constant"], terms["leg"], terms["exponent"], terms["unit_mm"], factor)
    gap = require_positive(root_face, "root_face", unit="mm", place=place)
    if gap > t_p:
        raise InputError(f"root_face must not be above the thickness of {t_p:g} mm, got {gap:g} mm{where(place)}")
    left = terms["constant"] - terms["root_face"] * gap / t_p + terms["leg"] * w / t_p
    factor = min(1.0, left / slenderness)
    return PartialPenetration(
        t_p, gap, w, terms["constant"], terms["root_face"], terms["leg"], terms["exponent"], terms["unit_mm"], factor
    )


def again(row: CatalogueRow, effect: PartialPenetration | FilletPair | None):
    """The same reduction by the printing of the equations that `row` follows."""
    if effect is None:
        return None
    sizes = {"thickness": effect.thickness, "leg": effect.leg}
    if isinstance(effect, PartialPenetration):
        sizes["root_face"] = effect.root_face
    return size_effect(row, **sizes)
