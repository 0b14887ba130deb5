"""Grip by EN 1993-1-8:2005, 3.9: preload, slip resistance of one bolt, which level is checked."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table, row_of
from loadhistories.validation import (
    InputError,
    require_finite,
    require_not_negative,
    require_one_of,
    require_positive,
    where,
)
from slip.bolts import Bolt, require_planes
from slip.holes import DIRECTIONS
from slip.joint import HOLES, LEVELS, SLIP_RULES
from slip.standards.en1993.tables import PACKAGE, grade_row, partial_factor

PRELOAD_SHARE = 0.7
TENSION_SHARE = 0.8
CATEGORIES = {"service": "category B", "ultimate": "category C"}
_LEVELS_CHECKED = {"never": ("ultimate",), "not in service": ("service",), "allowed": ()}
_SLIP = "k_s * n * mu * max(F_pC - 0.8 * max({0}, 0), 0) / {1}"


@dataclass(frozen=True)
class SpecifiedPreload:
    """Preload of a bolt of class 8.8 or 10.9."""

    ultimate_strength: Annotated[float, Figure("f_ub", "MPa", title="ultimate strength of the bolt")]
    stress_area: Annotated[float, Figure("A_s", "mm2", title="stress area of the bolt")]
    preload: Annotated[
        float,
        Figure("F_p,C", "N", "0.7 * f_ub * A_s", "EN 1993-1-8:2005, 3.9.1(2), (3.7)", "specified preload"),
    ]


@dataclass(frozen=True)
class SlipAtUltimate:
    """Slip resistance of one bolt at ultimate level: category C."""

    hole_factor: Annotated[float, Figure("k_s", "", "", "EN 1993-1-8:2005, Table 3.6", "hole factor")]
    planes: Annotated[int, Figure("n", "", "", "EN 1993-1-8:2005, 3.9.1(1)", "number of friction planes")]
    slip_factor: Annotated[float, Figure("mu", "", "", "EN 1090-2:2008, Table 18", "slip factor")]
    preload: Annotated[float, Figure("F_p,C", "N", title="preload")]
    tension: Annotated[float, Figure("F_t,Ed", "N", title="tension of the bolt at ultimate level")]
    partial_factor: Annotated[float, Figure("gamma_M3", "", "", "EN 1993-1-8:2005, Table 2.1", "partial factor")]
    resistance: Annotated[
        float,
        Figure(
            "F_s,Rd", "N", _SLIP.format("F_tEd", "gamma_M3"),
            "EN 1993-1-8:2005, 3.9.1(1), (3.6); with tension 3.9.2(1), (3.8b)", "slip resistance at ultimate level",
        ),
    ]  # fmt: skip


@dataclass(frozen=True)
class SlipAtService:
    """Slip resistance of one bolt at service level: category B."""

    hole_factor: Annotated[float, Figure("k_s", "", "", "EN 1993-1-8:2005, Table 3.6", "hole factor")]
    planes: Annotated[int, Figure("n", "", "", "EN 1993-1-8:2005, 3.9.1(1)", "number of friction planes")]
    slip_factor: Annotated[float, Figure("mu", "", "", "EN 1090-2:2008, Table 18", "slip factor")]
    preload: Annotated[float, Figure("F_p,C", "N", title="preload")]
    tension: Annotated[float, Figure("F_t,Ed,ser", "N", title="tension of the bolt at service level")]
    partial_factor: Annotated[
        float, Figure("gamma_M3,ser", "", "", "EN 1993-1-8:2005, Table 2.1", "partial factor at service level")
    ]
    resistance: Annotated[
        float,
        Figure(
            "F_s,Rd,ser", "N", _SLIP.format("F_tEdser", "gamma_M3ser"),
            "EN 1993-1-8:2005, 3.9.1(1), (3.6); with tension 3.9.2(1), (3.8a)", "slip resistance at service level",
        ),
    ]  # fmt: skip


_RESULTS = {"service": SlipAtService, "ultimate": SlipAtUltimate}
_FACTORS = {"service": "gamma_M3,ser", "ultimate": "gamma_M3"}


def preload_working(bolt: Bolt, *, place: str = "") -> SpecifiedPreload:
    """Specified preload of a bolt, with its figures.

    Raises
    ------
    InputError
        The bolt's class is not made for preload.

    Source
    ------
    EN 1993-1-8:2005, 3.9.1(2), (3.7); EN 1090-2:2008, 8.5.1.
    """
    if not grade_row(bolt)["preloadable"]:
        grades = read_table(PACKAGE, "grades")
        fit = " or ".join(name for name in grades if grades[name]["preloadable"])
        raise InputError(f"bolt grade {bolt.grade} cannot be preloaded; use {fit}{where(place)}")
    preload = PRELOAD_SHARE * bolt.ultimate_strength * bolt.stress_area
    return SpecifiedPreload(bolt.ultimate_strength, bolt.stress_area, preload)


def specified_preload(bolt: Bolt, *, place: str = "") -> float:
    """Specified preload F_p,C of a bolt. [N]

    Raises, Source: as `preload_working`.

    Examples
    --------
    >>> from slip.standards.en1993.tables import bolt
    >>> specified_preload(bolt("M20", "10.9"))
    171500.0
    """
    return preload_working(bolt, place=place).preload


def hole_factor(kind: str, direction: str = "", *, place: str = "") -> float:
    """Factor k_s of the slip resistance. [-]

    Parameters
    ----------
    kind : str
        One of `slip.joint.HOLES`.
    direction : str
        "along" or "across": the load to the slot. A round hole has no direction: what is given is not used.

    Limits
    ------
    For a load that is neither along nor across, the smaller of both is the safe reading; the table has no third.

    Source
    ------
    EN 1993-1-8:2005, Table 3.6.

    Examples
    --------
    >>> hole_factor("long slot", "along")
    0.63
    """
    require_one_of(kind, HOLES, "holes", place=place)
    if kind.endswith("slot"):
        kind = f"{kind} {require_one_of(direction, DIRECTIONS, 'direction of the load to the slot', place=place)}"
    return float(row_of(PACKAGE, "hole_factors", kind, "holes", place=place)["factor"])


def grip_terms(*, slip_factor: float, planes: int, hole_factor: float, level: str) -> tuple[float, float]:
    """Terms of the grip of one bolt: factor and share of tension. [-]

    The grip at every instant is factor * (preload - share * max(tension, 0)), and not below 0.

    Source
    ------
    EN 1993-1-8:2005, 3.9.1(1), (3.6) and 3.9.2(1), (3.8a), (3.8b).

    Examples
    --------
    >>> grip_terms(slip_factor=0.4, planes=2, hole_factor=1.0, level="ultimate")
    (0.64, 0.8)
    """
    require_one_of(level, LEVELS, "level")
    slip_factor = require_positive(slip_factor, "slip factor")
    hole_factor = require_positive(hole_factor, "hole factor")
    return hole_factor * require_planes(planes) * slip_factor / partial_factor(_FACTORS[level]), TENSION_SHARE


def slip_resistance(
    *, preload: float, slip_factor: float, planes: int, hole_factor: float, level: str, tension: float = 0.0
) -> SlipAtService | SlipAtUltimate:
    """Slip resistance of one bolt, with its figures. [N]

    Parameters
    ----------
    preload : float
        Clamping force. [N]
    slip_factor : float
        Friction of the faying surfaces. [-]
    planes : int
        Friction planes.
    level : str
        "service" for category B, "ultimate" for category C.
    tension : float
        Tension of the bolt from the loads of that level; below zero it presses and is not counted. [N]

    Limits
    ------
    Contact elsewhere that makes up for the tension, 3.9.2(2), is counted by leaving that tension out.

    Source
    ------
    EN 1993-1-8:2005, 3.9.1(1), (3.6) and 3.9.2(1), (3.8a), (3.8b).

    Examples
    --------
    >>> slip_resistance(preload=171_500, slip_factor=0.4, planes=2, hole_factor=1.0, level="ultimate",
    ...                 tension=60_000).resistance
    79040.0
    """
    preload = require_not_negative(preload, "preload", unit="N")
    tension = require_finite(tension, "tension", unit="N")
    factor, share = grip_terms(slip_factor=slip_factor, planes=planes, hole_factor=hole_factor, level=level)
    return _RESULTS[level](
        hole_factor=hole_factor,
        planes=planes,
        slip_factor=slip_factor,
        preload=preload,
        tension=tension,
        partial_factor=partial_factor(_FACTORS[level]),
        resistance=factor * max(preload - share * max(tension, 0.0), 0.0),
    )


def levels_checked(slip_rule: str, *, place: str = "") -> tuple[str, ...]:
    """Levels at which a joint must not slip, by what is asked of it.

    Slip "never" asks for category C (ultimate level), "not in service" for category B (service level),
    "allowed" for none.

    Source
    ------
    EN 1993-1-8:2005, 3.4.1(1).

    Examples
    --------
    >>> levels_checked("never")
    ('ultimate',)
    """
    return _LEVELS_CHECKED[require_one_of(slip_rule, SLIP_RULES, "slip", place=place)]
