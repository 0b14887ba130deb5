"""AISC 360, Appendix 3.4: bolts in cyclic tension; net tensile area, the share of a pretensioned bolt, prying."""

import math
from dataclasses import dataclass
from typing import Annotated

from fatigue.recipe import Recipe
from fatigue.standards.aisc360.categories import BOLT, BOTH, rule
from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_finite, require_positive, where

INCH = 25.4


@dataclass(frozen=True)
class NetTensileArea:
    """Net tensile area of a threaded bolt or rod."""

    diameter: Annotated[float, Figure("d_b", "mm", title="nominal diameter")]
    pitch: Annotated[float, Figure("P", "mm", title="pitch of the thread: 1 / threads per unit of length")]
    depth: Annotated[float, Figure("c_P", "", title="constant of the thread")]
    area: Annotated[
        float, Figure("A_t", "mm2", "pi / 4 * (d_b - c_P * P) ** 2", f"{BOTH}.4, eq. (A-3-7)", "net tensile area")
    ]


@dataclass(frozen=True)
class BoltShare:
    """Part of the applied cyclic load that a pretensioned bolt takes, without an analysis of stiffness."""

    share: Annotated[
        float,
        Figure(
            "phi",
            "",
            "",
            f"{BOTH}.4",
            "share of the applied cyclic load, for bolts at the minimum pretension with only steel in their grip",
        ),
    ]
    prying_limit: Annotated[
        float,
        Figure("q_lim", "", "", "RCSC Specification 2009, 5.5 (from memory)", "prying over applied load, at most"),
    ]


def net_tensile_area(
    diameter: float, *, pitch: float | None = None, threads_per_inch: float | None = None, place: str = ""
) -> NetTensileArea:
    """Net tensile area of a bolt. [mm2]

    Parameters
    ----------
    diameter : float
        Nominal. [mm]
    pitch, threads_per_inch : float
        One of both: pitch of a metric thread [mm], or threads per inch of an inch thread.

    Returns
    -------
    NetTensileArea

    Raises
    ------
    InputError
        Both or neither thread given, a value not above zero, or a thread deeper than the bolt.

    Source
    ------
    AISC LRFD Specification 1999, eq. (A-K3.5), (A-K3.6M) = AISC 360-16, eq. (A-3-7), (A-3-7M) (read in a copy).

    Examples
    --------
    >>> round(net_tensile_area(20.0, pitch=2.5).area, 2)
    244.79
    """
    if (pitch is None) == (threads_per_inch is None):
        raise InputError(f"a bolt's thread needs one of pitch and threads_per_inch{where(place)}")
    d_b = require_positive(diameter, "bolt diameter", unit="mm", place=place)
    if pitch is not None:
        P, depth = require_positive(pitch, "pitch", unit="mm", place=place), rule("thread_by_pitch")
    else:
        P = INCH / require_positive(threads_per_inch, "threads per inch", place=place)
        depth = rule("thread_per_inch")
    if depth * P >= d_b:
        raise InputError(f"a thread of pitch {P:g} mm leaves nothing of a bolt of {d_b:g} mm{where(place)}")
    return NetTensileArea(d_b, P, depth, math.pi / 4.0 * (d_b - depth * P) ** 2)


def bolt_tension_share(*, prying: float, place: str = "") -> BoltShare:
    """Share of the applied cyclic load, prying included, that a pretensioned bolt is judged for: 20 %.

    Parameters
    ----------
    prying : float
        Force with prying over force without, at least 1. [-]

    Raises
    ------
    InputError
        More prying than category G allows.

    Limits
    ------
    For bolts at the minimum pretension of the Specification and nothing but steel in the grip; else the bolt takes
    all. Of the cyclic load: older editions read as 20 % of dead, live and other loads together (from memory). The
    static model of prying gives no estimate good enough for fatigue, so prying must be small.

    Source
    ------
    AISC 360-22, Appendix 3.2, 3.4 and commentary (read in a copy); limit of prying: RCSC Specification 2009, 5.5
    (from memory).

    Examples
    --------
    >>> bolt_tension_share(prying=1.1).share
    0.2
    """
    q = require_finite(prying, "prying", place=place)
    if q < 1.0:
        raise InputError(f"prying must not be below 1, which stands for none, got {q:g}{where(place)}")
    if too_much := too_much_prying(q):
        raise InputError(f"{too_much}{where(place)}")
    return BoltShare(rule("pretensioned_share"), rule("prying_limit"))


def too_much_prying(factor: float) -> str:
    """Why bolts cannot be judged with so much prying, or "" where it is small; force with over force without."""
    limit = rule("prying_limit")
    if factor - 1.0 <= limit * (1.0 + 1e-9):
        return ""
    return (
        f"prying adds {factor - 1.0:.0%} to the applied load; category {BOLT} holds only where it is small ({BOTH}.4), "
        f"here up to {limit:.0%} (RCSC Specification 2009, 5.5, from memory): stiffen the parts, set the bolts closer"
    )


def prying_of(recipe: Recipe) -> float | None:
    """Force with prying over force without that a recipe's working states, None where it states none."""
    parts = [*recipe.working, *(part for work in recipe.workings for part in work)]
    return max((part.prying for part in parts if hasattr(part, "prying")), default=None)
