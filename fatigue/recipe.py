"""Recipe: how the six load components make the stress at a detail, in MPa per N and per N mm.

A recipe is constant; the stress history is its coefficients times the load history. A positive stress pulls.
A recipe may have several histories, such as one for each bolt: each is judged, and the worst governs.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loadhistories.blocks import COMPONENTS
from loadhistories.validation import require_one_of

AXES = ("x", "y", "z")
KINDS = ("normal", "shear")
HOT_SPOT = "hot spot"
ALIKE = 1e-12
SECTIONS = ("gross", "net", "weld throat", "tensile stress area", "shank", HOT_SPOT)


@dataclass(frozen=True, eq=False)
class Recipe:
    """What makes the stress at a detail.

    Attributes
    ----------
    coefficients : array, shape (6,) or (k, 6)
        Stress per component in the order Fx Fy Fz Mx My Mz; a row for each of several histories.
        [MPa/N, MPa/(N mm)]
    text : str
        The recipe in words, for the note.
    stress : str
        "normal" or "shear"; "" where the recipe does not say.
    on : str
        Section that the stress is taken on ("gross", "net", "weld throat"); "" where the recipe does not say.
    working : tuple
        Results that show how the coefficients came about.
    names, workings : tuple of str, tuple of tuple
        Of several histories: what each is called, and the results that belong to it alone.
    signed : bool
        Whether the stress tells pull from push; a stress that is the size of a vector does not.
    highest : float or None
        Stress, with that of the permanent load, up to which the recipe stands; `beyond` says why no higher. [MPa]
    """

    coefficients: NDArray[np.float64]
    text: str
    stress: str = ""
    on: str = ""
    working: tuple = ()
    names: tuple[str, ...] = ()
    workings: tuple[tuple, ...] = ()
    signed: bool = True
    highest: float | None = None
    beyond: str = ""

    @property
    def histories(self) -> NDArray[np.float64]:
        """The coefficients, a row for each history, shape (k, 6)."""
        return np.atleast_2d(self.coefficients)

    def only(self, number: int) -> "Recipe":
        """The recipe of one of its histories, counted from 0."""
        if self.coefficients.ndim == 1:
            return self
        own = self.workings[number] if self.workings else ()
        return replace(
            self,
            coefficients=self.coefficients[number],
            text=f"{self.text}; {self.names[number]}" if self.names else self.text,
            working=(*self.working, *own),
            names=(),
            workings=(),
        )

    def stress_of(self, loads: ArrayLike) -> float | NDArray[np.float64]:
        """Stress under loads of shape (6,) or (6, n); of several histories a row each. [MPa]"""
        stress = self.coefficients @ np.asarray(loads, dtype=np.float64)
        return stress if np.ndim(stress) else float(stress)


def several(
    histories: ArrayLike, names: tuple[str, ...], text: str, *, workings: tuple[tuple, ...] = (), **further
) -> Recipe:
    """A recipe of several histories, those that are alike, or alike but for the sign, taken once; one is a plain one.

    Parameters
    ----------
    histories : array, shape (k, 6)
        Coefficients of each.
    names, workings : tuple
        As in `Recipe`, in the order of the histories.
    **further
        Other fields of the recipe. A signed stress, and one that has a highest value, keeps both signs.
    """
    table = np.asarray(histories, dtype=np.float64)
    either_sign = not further.get("signed", True)
    kept: list[int] = []
    largest = np.abs(table).max(axis=0)
    scale = np.where(largest > 0.0, largest, 1.0)
    for number, row in enumerate(table):
        known = table[kept]
        same = (np.abs(known - row) <= ALIKE * scale).all(axis=1)
        if either_sign:
            same |= (np.abs(known + row) <= ALIKE * scale).all(axis=1)
        if row.any() and not same.any():
            kept.append(number)
    chosen = table[kept].copy()
    chosen.setflags(write=False)
    recipe = Recipe(
        chosen,
        text,
        names=tuple(names[k] for k in kept),
        workings=tuple(workings[k] for k in kept) if workings else (),
        **further,
    )
    return recipe.only(0) if len(kept) == 1 else recipe


def component_vector(values: Mapping[str, float]) -> NDArray[np.float64]:
    """Values by component as a vector in the order of COMPONENTS, zero where none is given; not to be changed."""
    vector = np.array([values.get(name, 0.0) for name in COMPONENTS])
    vector.setflags(write=False)
    return vector


def require_section(on: str, place: str) -> None:
    """Raise InputError unless `on` is "" or one of SECTIONS."""
    if on:
        require_one_of(on, SECTIONS, "section of the stress", place=place)
