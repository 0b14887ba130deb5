"""Recipe: how the six load components make the nominal stress at a detail, in MPa per N and per N mm.

A recipe is constant; the stress history is its coefficients times the load history. A positive stress pulls.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loadhistories.blocks import COMPONENTS
from loadhistories.validation import require_one_of

AXES = ("x", "y", "z")
KINDS = ("normal", "shear")
SECTIONS = ("gross", "net", "weld throat", "tensile stress area", "shank")


@dataclass(frozen=True, eq=False)
class Recipe:
    """What makes the stress at a detail.

    Attributes
    ----------
    coefficients : array, shape (6,)
        Stress per component in the order Fx Fy Fz Mx My Mz. [MPa/N, MPa/(N mm)]
    text : str
        The recipe in words, for the note.
    stress : str
        "normal" or "shear"; "" where the recipe does not say.
    on : str
        Section that the stress is taken on ("gross", "net", "weld throat"); "" where the recipe does not say.
    working : tuple
        Results that show how the coefficients came about.
    """

    coefficients: NDArray[np.float64]
    text: str
    stress: str = ""
    on: str = ""
    working: tuple = ()

    def stress_of(self, loads: ArrayLike) -> float | NDArray[np.float64]:
        """Stress under loads of shape (6,) or (6, n). [MPa]"""
        stress = self.coefficients @ np.asarray(loads, dtype=np.float64)
        return stress if np.ndim(stress) else float(stress)


def component_vector(values: Mapping[str, float]) -> NDArray[np.float64]:
    """Values by component as a vector in the order of COMPONENTS, zero where none is given; not to be changed."""
    vector = np.array([values.get(name, 0.0) for name in COMPONENTS])
    vector.setflags(write=False)
    return vector


def require_section(on: str, place: str) -> None:
    """Raise InputError unless `on` is "" or one of SECTIONS."""
    if on:
        require_one_of(on, SECTIONS, "section of the stress", place=place)
