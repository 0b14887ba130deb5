"""Groove welds of plates that stand on another part, and welds made on site: strength per length by the standard."""

from collections.abc import Mapping
from dataclasses import dataclass
from inspect import signature
from typing import Annotated, Any

import numpy as np

from loadhistories.figures import Figure
from loadhistories.tables import read_table
from loadhistories.validation import InputError, require_positive, where
from slip.standards import standard

FILLET, PARTIAL, FULL = "fillet", "partial penetration", "full penetration"
KINDS = (FILLET, PARTIAL, FULL)


@dataclass(frozen=True)
class FullPenetration:
    """A weld through the whole thickness: as strong as the plate, in any direction as in shear."""

    throat: Annotated[float, Figure("t", "mm", title="thickness of the plate that is welded through")]
    yield_strength: Annotated[float, Figure("f_y", "MPa", title="yield strength of the weaker part")]
    factor: Annotated[float, Figure("k_v", "", title="shear over normal strength, by the clause of the check")]
    phi: Annotated[float, Figure("phi", "", title="resistance factor, or one over the partial factor")]
    strength: Annotated[float, Figure("F_w,Rd", "N/mm", "phi * k_v * f_y * t", title="strength of the weld per length")]


@dataclass(frozen=True)
class PartialPenetration:
    """A weld into a bevel, judged as a fillet weld of its throat."""

    depth: Annotated[float, Figure("s", "mm", title="depth of the bevel")]
    loss: Annotated[float, Figure("d_s", "mm", title="depth that is not counted")]
    throat: Annotated[float, Figure("a", "mm", "s - d_s", title="throat")]
    per_throat: Annotated[float, Figure("f_w", "MPa", title="strength of a fillet weld over its throat")]
    strength: Annotated[float, Figure("F_w,Rd", "N/mm", "f_w * a", title="strength of the weld per length")]


@dataclass(frozen=True)
class FactoredWeld:
    """A weld whose strength the user lowers, such as one made on site."""

    throat: Annotated[float, Figure("a", "mm", title="throat")]
    whole: Annotated[float, Figure("F_w", "N/mm", title="strength of the weld by the standard")]
    factor: Annotated[float, Figure("k_site", "", title="factor on the strength, as given")]
    strength: Annotated[float, Figure("F_w,site", "N/mm", "k_site * F_w", title="strength that is counted")]


def full_penetration(name: str, *, thickness: float, yield_strength: float) -> FullPenetration:
    """Strength of a full penetration weld per length, with its figures. [N/mm]

    Parameters
    ----------
    name : str
        Of the standard.
    thickness : float
        Of the plate that is welded through. [mm]
    yield_strength : float
        Of the weaker part. [MPa]

    Limits
    ------
    The strength in shear is taken in every direction: on the safe side for a force across the weld.

    Source
    ------
    The standard's table `groove_welds.toml`.

    Examples
    --------
    >>> full_penetration("EN 1993", thickness=20.0, yield_strength=345.0).strength
    3983.7
    """
    row = read_table(standard(name).__name__, "groove_welds")[FULL]
    t = require_positive(thickness, "thickness", unit="mm")
    f_y = require_positive(yield_strength, "yield strength", unit="MPa")
    return FullPenetration(t, f_y, row["factor"], row["phi"], row["phi"] * row["factor"] * f_y * t)


def partial_penetration(name: str, *, depth: float, place: str = "", **made_with: Any) -> PartialPenetration:
    """Strength of a partial penetration weld per length, with its figures. [N/mm]

    Parameters
    ----------
    depth : float
        Of the bevel. [mm]
    **made_with
        As for the standard's `fillet_weld`, without its size.

    Raises
    ------
    InputError
        Nothing is left of the bevel, or what the fillet weld refuses.

    Source
    ------
    The standard's table `groove_welds.toml`.

    Examples
    --------
    >>> partial_penetration("EN 1993", depth=12.0, steel="S355").strength
    2170.8
    """
    rules = standard(name)
    loss = float(read_table(rules.__name__, "groove_welds")[PARTIAL]["loss_mm"])
    throat = require_positive(depth, "depth", unit="mm", place=place) - loss
    if throat <= 0.0:
        raise InputError(f"depth must be above the {loss:g} mm that are not counted, got {depth:g}{where(place)}")
    by_throat = "throat" in signature(rules.fillet_weld).parameters
    size: Mapping[str, float] = {"throat": throat} if by_throat else {"leg": float(np.sqrt(2.0)) * throat}
    like = rules.fillet_weld(**size, **made_with, place=place)
    per_throat = like.strength / like.throat
    return PartialPenetration(depth, loss, throat, per_throat, per_throat * throat)


def factored(weld: Any, factor: float) -> FactoredWeld:
    """A weld with its strength times a factor of the user's own, from above 0 up to 1."""
    k = require_positive(factor, "strength factor")
    if k > 1.0:
        raise InputError(f"strength factor must not be above 1, got {k:g}")
    return FactoredWeld(weld.throat, weld.strength, k, k * weld.strength)


def clause_of(name: str, kind: str) -> str:
    """Clause behind the strength of a weld of one of KINDS."""
    rules = standard(name)
    if kind == FILLET:
        return rules.CLAUSES["fillet weld"]
    return read_table(rules.__name__, "groove_welds")[kind]["clause"]
