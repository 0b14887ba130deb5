"""EN 1993-1-9:2005, size effects: thick plates, thick bolts, eccentric splices."""

from dataclasses import dataclass
from typing import Annotated

from fatigue.catalogue import CatalogueRow
from loadhistories.figures import Figure
from loadhistories.tables import row_of as table_row
from loadhistories.validation import InputError, require_not_negative, require_positive, where

EDITION = "EN 1993-1-9:2005"
SIZES = ("thickness", "diameter", "thicker", "eccentricity")
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
