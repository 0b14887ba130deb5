"""Makes the recipe of the tensile stress of bolts: shared by the linear method, raised by prying, eased by preload."""

from dataclasses import dataclass
from types import ModuleType
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from fatigue.recipe import Recipe, component_vector, several
from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive, where

PRACTICE = "elastic joint, common practice, no source"


@dataclass(frozen=True)
class StiffnessShare:
    """Share of an outer force that a preloaded bolt takes while its joint stays closed."""

    ratio: Annotated[float, Figure("c", "", title="stiffness of the clamped parts over that of the bolt")]
    share: Annotated[float, Figure("phi", "", "1 / (1 + c)", PRACTICE, "share of the force that the bolt takes")]


@dataclass(frozen=True)
class OpeningStress:
    """Stress at which the force on a bolt with prying reaches its preload: beyond, the plates part."""

    preload: Annotated[float, Figure("F_p", "N", title="preload of a bolt")]
    share: Annotated[float, Figure("phi", "", title="share of the force that the bolt takes")]
    area: Annotated[float, Figure("A_s", "mm2", title="tensile stress area")]
    stress: Annotated[float, Figure("σ_o", "MPa", "phi * F_p / A_s", PRACTICE, "share of the stress at opening")]


@dataclass(frozen=True)
class BoltTension:
    """Tensile stress of one bolt for a unit of each load component that pulls at it."""

    bolt: int
    force_per_Fz: Annotated[float, Figure("n_Fz", "", title="force on the bolt per Fz, linear method")]
    force_per_Mx: Annotated[float, Figure("n_Mx", "1/mm", title="force on the bolt per Mx")]
    force_per_My: Annotated[float, Figure("n_My", "1/mm", title="force on the bolt per My")]
    prying: Annotated[float, Figure("q", "", title="force with prying over force without, as given")]
    share: Annotated[float, Figure("phi", "", title="share of the force that the bolt takes")]
    area: Annotated[float, Figure("A_s", "mm2", title="tensile stress area")]
    per_Fz: Annotated[float, Figure("c_Fz", "MPa/N", "q * phi * n_Fz / A_s", PRACTICE, "stress per Fz")]
    per_Mx: Annotated[float, Figure("c_Mx", "MPa/(N mm)", "q * phi * n_Mx / A_s", PRACTICE, "stress per Mx")]
    per_My: Annotated[float, Figure("c_My", "MPa/(N mm)", "q * phi * n_My / A_s", PRACTICE, "stress per My")]


def stress_of_bolt_tension(
    axial: ArrayLike,
    *,
    area: float,
    prying: float,
    share: float | StiffnessShare | None = None,
    preload: float = 0.0,
    place: str = "",
) -> Recipe:
    """Tensile stress of every bolt of a group on its tensile stress area.

    Parameters
    ----------
    axial : array, shape (n_bolts, 6)
        Tension of each bolt per unit of each load component, by the linear method. [N/N, N/(N mm)]
    area : float
        Tensile stress area of a bolt. [mm2]
    prying : float
        Force with prying over force without, at least 1; 1 says that there is none.
    share : float, StiffnessShare or result with `.share`
        Part of an outer force that a preloaded bolt takes while the plates stay together, above 0, at most 1.
        Left out only where there is no preload: the bolt then takes all.
    preload : float
        Of each bolt, 0 where it has none. [N]

    Returns
    -------
    Recipe
        A history for each bolt. With a share below 1 it stands while no bolt, prying included, is pulled beyond
        its preload.

    Raises
    ------
    InputError
        Prying below 1; no share though there is a preload; a share though there is none; share out of range.

    Limits
    ------
    No bending of the bolt. A bolt without preload is counted with its compression too, which it does not feel:
    on the safe side. A force equal to the preload is the limit though plates with a share phi part at
    1 / (1 - phi) of it: on the safe side. Loss of preload is for the user to take off.

    Source
    ------
    Elastic joint, common practice, no source.

    Examples
    --------
    >>> pair = stress_of_bolt_tension([[0, 0, 0.5, 0, 0, 0]] * 2, area=245.0, prying=1.0, share=0.25, preload=172e3)
    >>> pair.stress_of([0, 0, 98_000, 0, 0, 0])
    50.0
    """
    table = np.asarray(axial, dtype=np.float64)
    if table.ndim != 2 or table.shape[1] != 6 or not len(table):
        raise InputError(f"forces on the bolts must have shape (n_bolts, 6), got {table.shape}{where(place)}")
    size = require_positive(area, "tensile stress area", unit="mm2", place=place)
    q = require_finite(prying, "prying", place=place)
    if q < 1.0:
        raise InputError(f"prying must not be below 1, which stands for none, got {q:g}{where(place)}")
    force = require_not_negative(preload, "preload", unit="N", place=place)
    phi = _share(share, force, place)
    working = [] if share is None or isinstance(share, (int, float)) else [share]
    highest, beyond = None, ""
    if phi < 1.0:
        limit = OpeningStress(force, phi, size, phi * force / size)
        working.append(limit)
        highest = limit.stress
        beyond = (
            f"the load with prying pulls at a bolt with more than its preload of {force / 1e3:.4g} kN: the plates "
            "part, the bolt then takes the whole range, and its share no longer stands; give more preload, more "
            "bolts, or count the bolts as not preloaded (share = 1)"
        )
    parts = [_bolt(number, row, q, phi, size) for number, row in enumerate(table, start=1)]
    rows = [component_vector({"Fz": part.per_Fz, "Mx": part.per_Mx, "My": part.per_My}) for part in parts]
    if not np.any(rows):
        raise InputError(f"no load pulls at the bolts: there is no tensile stress{where(place)}")
    return several(
        rows,
        tuple(f"bolt {part.bolt}" for part in parts),
        _text(q, phi, force),
        workings=tuple((part,) for part in parts),
        stress="normal",
        on="tensile stress area",
        working=tuple(working),
        highest=highest,
        beyond=beyond,
    )


def share_of_stiffness(ratio: float, *, place: str = "") -> StiffnessShare:
    """Share of an outer force that a preloaded bolt takes, from the stiffness of the parts over that of the bolt. [-]

    Source
    ------
    Elastic joint, common practice, no source.

    Examples
    --------
    >>> share_of_stiffness(3.0).share
    0.25
    """
    c = require_positive(ratio, "stiffness ratio", place=place)
    return StiffnessShare(c, 1.0 / (1.0 + c))


def share_of_standard(rules: ModuleType, *, prying: float, place: str = ""):
    """The share that the standard itself lets a preloaded bolt take; a result with `.share`.

    Raises
    ------
    InputError
        The standard states none, or not for so much prying.
    """
    offered = getattr(rules, "bolt_tension_share", None)
    if offered is None:
        names = " and ".join(dict.fromkeys(rules.EDITIONS.values()))
        raise InputError(
            f"{names} gives no share of the force that a preloaded bolt takes; give share as a number, or the "
            f"stiffness_ratio of the parts over the bolt{where(place)}"
        )
    return offered(prying=prying, place=place)


def _share(share, preload: float, place: str) -> float:
    if share is None:
        if preload > 0.0:
            raise InputError(
                "a preloaded bolt takes only part of an outer force: give its share as a number, by stiffness_ratio, "
                f"or share = 1 for all of it{where(place)}"
            )
        return 1.0
    phi = require_positive(getattr(share, "share", share), "share of the force", place=place)
    if phi > 1.0:
        raise InputError(f"share of the force must not be above 1, got {phi:g}{where(place)}")
    if phi < 1.0 and preload == 0.0:
        raise InputError(
            f"a bolt without preload takes the whole force, got a share of {phi:g}; take share away{where(place)}"
        )
    return phi


def _bolt(number: int, row, q: float, phi: float, area: float) -> BoltTension:
    n_Fz, n_Mx, n_My = (float(value) for value in row[2:5])
    factor = q * phi / area
    return BoltTension(number, n_Fz, n_Mx, n_My, q, phi, area, factor * n_Fz, factor * n_Mx, factor * n_My)


def _text(q: float, phi: float, preload: float) -> str:
    pried = "no prying, as stated" if q == 1.0 else f"prying factor {q:g} as given"
    if preload == 0.0:
        return f"tension of the bolts, linear method, not preloaded, {pried}"
    return f"tension of the bolts, linear method, {pried}, share {phi:.4g} of the force while the plates stay together"
