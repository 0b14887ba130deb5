"""Detail: a place that may crack, with its category, its life curve and the recipe of its stress."""

from dataclasses import dataclass

from numpy.typing import NDArray

from fatigue.catalogue import CatalogueRow
from fatigue.curves import LifeCurve
from fatigue.recipe import SECTIONS, Recipe
from fatigue.standards import standard as rules_of
from loadhistories.validation import InputError, require_one_of, require_positive, where

FREE_OF_WELDING_STRESS = ("", "non-welded", "stress-relieved")


@dataclass(frozen=True, eq=False)
class Detail:
    """One place to be judged.

    Attributes
    ----------
    row : CatalogueRow
        Category with its conditions; made for the purpose where a number or a strength was given.
    curve : LifeCurve
        Characteristic curve; its strength holds the size effect, not the partial factor.
    recipe : Recipe
        What makes the stress.
    size_effect : result with `.factor`, or None
        None where the category has no size effect.
    yield_strength : float or None
        [MPa]; None: the largest range cannot be compared with it.
    free_of_welding_stress : str
        "non-welded" or "stress-relieved": compression counts in part only; "": it counts in full.
    """

    name: str
    standard: str
    row: CatalogueRow
    curve: LifeCurve
    recipe: Recipe
    size_effect: object | None = None
    yield_strength: float | None = None
    free_of_welding_stress: str = ""

    @property
    def category(self) -> str:
        """Identifier or number of the category, or the strength that stands for it."""
        return self.row.id

    @property
    def strength(self) -> float:
        """Category strength without size effect. [MPa]"""
        return self.row.category

    @property
    def size_factor(self) -> float:
        """Factor of the size effect, 1 where there is none. [-]"""
        return 1.0 if self.size_effect is None else self.size_effect.factor

    @property
    def stress(self) -> str:
        """ "normal" or "shear"."""
        return self.row.stress

    @property
    def coefficients(self) -> NDArray:
        """Stress per load component, shape (6,). [MPa/N, MPa/(N mm)]"""
        return self.recipe.coefficients

    @property
    def relies_on(self) -> str:
        """What must hold for the category to stand: "grip", "no reversal", or ""."""
        return self.row.relies_on

    @property
    def unconfirmed(self) -> bool:
        """Whether the category was recalled and not read in the standard."""
        return self.row.unconfirmed

    @property
    def source(self) -> str:
        """Where the category comes from."""
        return self.row.source


def detail(
    name: str,
    *,
    standard: str,
    recipe: Recipe,
    category: str | float | None = None,
    strength: float | None = None,
    stress: str | None = None,
    yield_strength: float | None = None,
    free_of_welding_stress: str = "",
    place: str = "",
    **sizes: float,
) -> Detail:
    """A detail of a standard, with everything that its category asks for.

    Parameters
    ----------
    name : str
        As the user calls the place.
    standard : str
        "EN 1993".
    recipe : Recipe
        See `fatigue.stress`.
    category, strength : str or float, float
        One of both: identifier or number of a category, or a strength at the reference cycles [MPa].
    stress : str
        "normal" or "shear", for a category number or a strength; left out, the recipe says, or it is normal.
    yield_strength : float
        [MPa]
    free_of_welding_stress : str
        "non-welded" or "stress-relieved" where the compression part of a range is to count in part only.
    **sizes
        `thickness`, `diameter` and so on, as the category's size effect needs. [mm]

    Raises
    ------
    InputError
        Category and strength both or neither given; category unknown; a size missing; recipe and category
        of different stress or section; a welded row called non-welded.
    """
    rules = rules_of(standard, place=place)
    if (category is None) == (strength is None):
        raise InputError(f"detail {name!r} needs one of category and strength{where(place)}")
    for key in sizes:
        require_one_of(key, rules.SIZES, "size", place=place)
    if strength is not None:
        row = rules.row_of_strength(strength, stress=stress or recipe.stress or None, place=place)
    else:
        row = rules.row_of(category, stress=stress or _of_number(category, recipe), place=place)
    _require_fitting(name, row, recipe, place)
    _require_free(name, row, free_of_welding_stress, place)
    if yield_strength is not None:
        yield_strength = require_positive(yield_strength, "yield strength", unit="MPa", place=place)
    effect = rules.size_effect(row, **sizes, place=place)
    curve = rules.curve_of_row(row)
    if effect is not None:
        curve = curve.scaled(effect.factor, "size factor")
    return Detail(name, standard, row, curve, recipe, effect, yield_strength, free_of_welding_stress)


def _of_number(category: str | float, recipe: Recipe) -> str | None:
    """The kind of stress that a bare number takes from its recipe."""
    by_number = not isinstance(category, str) or category.strip().isdigit()
    return recipe.stress if by_number and recipe.stress else None


def _require_fitting(name: str, row: CatalogueRow, recipe: Recipe, place: str) -> None:
    if recipe.stress and recipe.stress != row.stress:
        raise InputError(
            f"detail {name!r}: category {row.id} is for {row.stress} stress, its recipe gives {recipe.stress} "
            f"stress ({recipe.text}){where(place)}"
        )
    if recipe.on and row.stress_on in SECTIONS and recipe.on != row.stress_on:
        raise InputError(
            f"detail {name!r}: category {row.id} is for stress on the {row.stress_on} section, its recipe gives "
            f"stress on the {recipe.on} section{where(place)}"
        )


def _require_free(name: str, row: CatalogueRow, statement: str, place: str) -> None:
    require_one_of(statement, FREE_OF_WELDING_STRESS, "free_of_welding_stress", place=place)
    if statement and row.stress != "normal":
        raise InputError(
            f"detail {name!r}: shear stress has no compression part; leave {statement!r} out{where(place)}"
        )
    if statement == "non-welded" and row.welded:
        raise InputError(
            f"detail {name!r}: category {row.id} is a welded detail; only 'stress-relieved' lets its compression "
            f"count in part{where(place)}"
        )
    if statement == "stress-relieved" and row.welded is False:
        raise InputError(f"detail {name!r}: category {row.id} is not welded; say 'non-welded'{where(place)}")
