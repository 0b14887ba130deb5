"""Detail: a place that may crack, with its category, its life curve and the recipe of its stress."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fatigue.catalogue import CatalogueRow
from fatigue.curves import LifeCurve
from fatigue.recipe import HOT_SPOT, SECTIONS, Recipe
from fatigue.standards import curves_only
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
    net : Recipe or None
        Stress on the net section, for a category that falls away with the grip of the joint.
    root, toe : str
        Why no crack from the root, or the toe, is to be judged here ("none: full penetration"); "": nothing said.
    point : str
        Name of the place, where the details of a joint are at several; details with the same name are at one place,
        and a normal and a shear stress there act together.
    safety : result or None
        Factors of this detail alone, where its standard gives curves only; None: those of the job.
    inspection : InspectionTask or None
        What is stated of its inspection; see `fatigue.inspection_task`.
    random : RandomTask or None
        What is stated of a random stress at it; see `fatigue.random_stress`.
    crack_found : bool
        Whether a crack was found: the detail then has no life by stress cycles.
    site : (float, float) or None
        Where it lies in the joint's axes, for the drawing; no number depends on it. [mm]
    """

    name: str
    standard: str
    row: CatalogueRow
    curve: LifeCurve
    recipe: Recipe
    size_effect: object | None = None
    yield_strength: float | None = None
    free_of_welding_stress: str = ""
    net: Recipe | None = None
    root: str = ""
    toe: str = ""
    point: str = ""
    safety: object | None = None
    crack_found: bool = False
    inspection: object | None = None
    random: object | None = None
    site: tuple[float, float] | None = None

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
        """Stress per load component, shape (6,), or (k, 6) of several histories. [MPa/N, MPa/(N mm)]"""
        return self.recipe.coefficients

    @property
    def histories(self) -> NDArray:
        """Coefficients of every history to be counted, shape (k, 6): those of the recipe, then of the net section."""
        parts = [self.recipe, *([self.net] if self.net is not None else [])]
        return np.concatenate([part.histories for part in parts])

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
    net: Recipe | None = None,
    root: str = "",
    toe: str = "",
    point: str = "",
    conditions: Mapping | None = None,
    safety: object | None = None,
    crack_found: bool = False,
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
    net : Recipe
        Stress on the net section, for a category that relies on grip: used where the joint slips.
    root, toe : str
        "none: …" with the reason why no crack from there is to be judged.
    point : str
        Name of the place.
    conditions : mapping
        What the standard knows beside the category and the kind of stress; see `fatigue.curves.life_curve`.
    safety : result
        Factors of this detail; needed where the standard gives curves only, and only there.
    crack_found : bool
        Whether a crack was found here.
    **sizes
        `thickness`, `diameter` and so on, as the category's size effect needs. [mm]

    Raises
    ------
    InputError
        Category and strength both or neither given; category unknown; a size missing; recipe and category
        of different stress or section, or one of both for hot-spot stress and the other not; a welded row called
        non-welded; a net section for a category that does not rely on grip; a statement without a reason;
        factors of its own missing, or not wanted.
    """
    rules = rules_of(standard, place=place)
    if (category is None) == (strength is None):
        raise InputError(f"detail {name!r} needs one of category and strength{where(place)}")
    for key in sizes:
        require_one_of(key, rules.SIZES, "size", place=place)
    _require_safety(name, standard, safety, place)
    given = dict(conditions or {})
    for key in given:
        require_one_of(key, rules.CONDITIONS, f"condition of {standard}", place=place)
    if strength is not None:
        row = rules.row_of_strength(strength, stress=stress or recipe.stress or None, **given, place=place)
    else:
        row = rules.row_of(category, stress=stress or _of_number(category, recipe), **given, place=place)
    _require_one_basis(name, row, recipe, strength is not None, place)
    _require_fitting(name, row, recipe, place)
    _require_free(name, row, recipe, free_of_welding_stress, place)
    _require_net(name, row, net, place)
    for key, statement in (("root", root), ("toe", toe)):
        _require_reason(name, key, statement, place)
    if yield_strength is not None:
        yield_strength = require_positive(yield_strength, "yield strength", unit="MPa", place=place)
    effect = rules.size_effect(row, **sizes, place=place)
    curve = rules.curve_of_row(row)
    if effect is not None:
        curve = curve.scaled(effect.factor, "size factor")
    return Detail(
        name, standard, row, curve, recipe, effect, yield_strength, free_of_welding_stress, net, root, toe,
        point, safety, crack_found,
    )  # fmt: skip


def _require_safety(name: str, standard: str, safety: object | None, place: str) -> None:
    only = curves_only(standard)
    if only and safety is None:
        raise InputError(
            f"detail {name!r}: {standard} gives a curve without safety: give gamma_M or design_fatigue_factor with "
            f"it{where(place)}"
        )
    if not only and safety is not None:
        raise InputError(f"detail {name!r}: {standard} has its own safety factors; take those given away{where(place)}")


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


def _require_one_basis(name: str, row: CatalogueRow, recipe: Recipe, by_strength: bool, place: str) -> None:
    """Hot-spot stress goes with hot-spot categories only; a strength of the user's own may stand for one."""
    if row.stress_on == HOT_SPOT and recipe.on != HOT_SPOT:
        raise InputError(
            f"detail {name!r}: category {row.id} is for hot-spot stress, its recipe gives nominal stress "
            f'({recipe.text}); take a hot-spot recipe, or say on = "{HOT_SPOT}" where the coefficients are that '
            f"stress{where(place)}"
        )
    if recipe.on == HOT_SPOT and row.stress_on != HOT_SPOT and not by_strength:
        raise InputError(
            f"detail {name!r}: category {row.id} is for nominal stress, its recipe gives hot-spot stress, which "
            "holds the rise at the weld already; take a category for hot-spot stress, or a strength of your own"
            f"{where(place)}"
        )


def _require_net(name: str, row: CatalogueRow, net: Recipe | None, place: str) -> None:
    if net is None:
        return
    if row.relies_on != "grip":
        raise InputError(
            f"detail {name!r}: category {row.id} does not rely on grip, so that no second, net section is needed; "
            f"take net_section away{where(place)}"
        )
    if (net.stress, net.on) != ("normal", "net"):
        raise InputError(f"detail {name!r}: net_section must give normal stress on the net section{where(place)}")


def _require_reason(name: str, key: str, statement: str, place: str) -> None:
    word, _, reason = statement.partition(":")
    if statement and (word.strip() != "none" or not reason.strip()):
        raise InputError(
            f'detail {name!r}: {key} must be "none: …" with the reason why no such crack is to be judged, as in '
            f'{key} = "none: full penetration"; got {statement!r}{where(place)}'
        )


def _require_free(name: str, row: CatalogueRow, recipe: Recipe, statement: str, place: str) -> None:
    require_one_of(statement, FREE_OF_WELDING_STRESS, "free_of_welding_stress", place=place)
    if statement and not recipe.signed:
        raise InputError(
            f"detail {name!r}: its stress is the size of a vector and does not tell pull from push; leave "
            f"{statement!r} out{where(place)}"
        )
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
