"""Grip by AS 4100:2020, 9.2.3: least tension at installation, slip capacity of one bolt, which level is checked."""

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
from slip.standards.as4100.tables import EDITION, PACKAGE, capacity_factor

CATEGORIES = {
    "service": "friction type at the serviceability limit state",
    "ultimate": "friction type, asked for by the job beyond the serviceability limit state that the clause knows",
}
_LEVELS_CHECKED = {"never": ("service", "ultimate"), "not in service": ("service",), "allowed": ()}


@dataclass(frozen=True)
class LeastTension:
    """Tension that a bolt of grade 8.8 has at least when it is installed."""

    preload: Annotated[
        float,
        Figure("N_ti", "N", "", "AS/NZS 5131 (AS 4100:1998, Table 15.2.2.2)", "least tension at installation"),
    ]


@dataclass(frozen=True)
class SlipCapacity:
    """Slip capacity of one bolt of friction type.

    The interaction V / (φ V_sf) + N / (φ N_ti) <= 1 with V_sf = μ n_ei N_ti k_h, solved for V: the shear at which
    it is used up is φ μ n_ei k_h (N_ti - N / φ). The sum itself is the share of N_ti at which the bolt begins to slip.
    """

    slip_factor: Annotated[float, Figure("mu", "", "", f"{EDITION}, 9.2.3.2", "slip factor")]
    interfaces: Annotated[int, Figure("n_ei", "", "", f"{EDITION}, 9.2.3.1", "number of effective interfaces")]
    preload: Annotated[float, Figure("N_ti", "N", title="tension at installation")]
    hole_factor: Annotated[float, Figure("k_h", "", "", f"{EDITION}, 9.2.3.1", "hole factor")]
    capacity: Annotated[
        float, Figure("V_sf", "N", "mu * n_ei * N_ti * k_h", f"{EDITION}, 9.2.3.1", "nominal slip capacity")
    ]
    capacity_factor: Annotated[float, Figure("phi", "", "", f"{EDITION}, 3.5.5, 9.2.3.1", "capacity factor")]
    shear_capacity: Annotated[
        float, Figure("φV_sf", "N", "phi * V_sf", f"{EDITION}, 9.2.3.1", "slip capacity without tension")
    ]
    tension: Annotated[float, Figure("N_t,sf", "N", title="tension of the bolt at this level")]
    tension_capacity: Annotated[
        float, Figure("φN_tf", "N", "phi * N_ti", f"{EDITION}, 9.2.3.3", "tension that leaves no grip")
    ]
    resistance: Annotated[
        float,
        Figure(
            "V_sf,d", "N", "phi * mu * n_ei * k_h * max(N_ti - max(N_tsf, 0) / phi, 0)",
            f"{EDITION}, 9.2.3.1; with tension 9.2.3.3", "shear that the linear interaction leaves to the bolt",
        ),
    ]  # fmt: skip


def preload_working(bolt: Bolt, *, place: str = "") -> LeastTension:
    """Least tension of a bolt at installation, with its figures.

    Raises
    ------
    InputError
        The bolt's grade is not made for preload, or no least tension is known here for its grade or size.

    Source
    ------
    AS/NZS 5131, before it AS 4100:1998, Table 15.2.2.2.
    """
    grades = read_table(PACKAGE, "grades")
    if not grades[bolt.grade]["preloadable"]:
        fit = " or ".join(name for name in grades if grades[name]["preloadable"])
        raise InputError(
            f"bolt grade {bolt.grade} cannot be preloaded here: no least tension at installation is known for it; "
            f"use {fit}{where(place)}"
        )
    row = row_of(PACKAGE, "preloads", bolt.size, "size of a preloaded bolt", place=place)
    return LeastTension(1000.0 * row["tension_kN"])


def specified_preload(bolt: Bolt, *, place: str = "") -> float:
    """Least tension N_ti of a bolt at installation. [N]

    Raises, Source: as `preload_working`.

    Examples
    --------
    >>> from slip.standards.as4100.tables import bolt
    >>> specified_preload(bolt("M20", "8.8"))
    145000.0
    """
    return preload_working(bolt, place=place).preload


def hole_factor(kind: str, direction: str = "", *, place: str = "") -> float:
    """Factor k_h of the slip capacity. [-]

    Parameters
    ----------
    kind : str
        One of `slip.joint.HOLES`.
    direction : str
        "along" or "across": the load to the slot. The factor is the same in both; a slot without one is refused
        all the same, so that the call means the same by every standard.

    Source
    ------
    AS 4100:2020, 9.2.3.1.

    Examples
    --------
    >>> hole_factor("long slot", "along")
    0.7
    """
    require_one_of(kind, HOLES, "holes", place=place)
    if kind.endswith("slot"):
        require_one_of(direction, DIRECTIONS, "direction of the load to the slot", place=place)
    return float(row_of(PACKAGE, "hole_factors", kind, "holes", place=place)["factor"])


def grip_terms(*, slip_factor: float, planes: int, hole_factor: float, level: str) -> tuple[float, float]:
    """Terms of the grip of one bolt: factor and share of tension. [-]

    The grip at every instant is factor * (preload - share * max(tension, 0)), and not below 0. The linear
    interaction V / (φ μ n_ei k_h N_ti) + N / (φ N_ti) <= 1 is of this form: factor φ μ n_ei k_h, share 1 / φ.

    Source
    ------
    AS 4100:2020, 9.2.3.1 and 9.2.3.3.

    Examples
    --------
    >>> grip_terms(slip_factor=0.35, planes=2, hole_factor=1.0, level="service")
    (0.49, 1.428571)
    """
    require_one_of(level, LEVELS, "level")
    slip_factor = require_positive(slip_factor, "slip factor")
    hole_factor = require_positive(hole_factor, "hole factor")
    phi = capacity_factor("slip")
    return phi * slip_factor * require_planes(planes) * hole_factor, 1.0 / phi


def slip_resistance(
    *, preload: float, slip_factor: float, planes: int, hole_factor: float, level: str, tension: float = 0.0
) -> SlipCapacity:
    """Slip capacity of one bolt, with its figures. [N]

    Parameters
    ----------
    preload : float
        Tension at installation. [N]
    slip_factor : float
        Friction of the faying surfaces. [-]
    planes : int
        Effective interfaces.
    level : str
        "service" is what the clause is for; "ultimate" asks for the same capacity under the loads of the strength
        limit state.
    tension : float
        Tension of the bolt from the loads of that level; below zero it presses and is not counted. [N]

    Limits
    ------
    The tension is that in the bolt, prying included.

    Source
    ------
    AS 4100:2020, 9.2.3.1 and 9.2.3.3.

    Examples
    --------
    >>> slip_resistance(preload=145_000, slip_factor=0.35, planes=1, hole_factor=1.0, level="service",
    ...                 tension=40_000).resistance
    21525.0
    """
    preload = require_not_negative(preload, "preload", unit="N")
    tension = require_finite(tension, "tension", unit="N")
    factor, share = grip_terms(slip_factor=slip_factor, planes=planes, hole_factor=hole_factor, level=level)
    phi, capacity = capacity_factor("slip"), slip_factor * planes * preload * hole_factor
    return SlipCapacity(
        slip_factor=slip_factor,
        interfaces=planes,
        preload=preload,
        hole_factor=hole_factor,
        capacity=capacity,
        capacity_factor=phi,
        shear_capacity=phi * capacity,
        tension=tension,
        tension_capacity=phi * preload,
        resistance=factor * max(preload - share * max(tension, 0.0), 0.0),
    )


def levels_checked(slip_rule: str, *, place: str = "") -> tuple[str, ...]:
    """Levels at which a joint must not slip, by what is asked of it.

    The clause limits slip at the serviceability limit state: "not in service" asks for that. "never" asks for more
    than the clause does: the same capacity also under the loads of the strength limit state. "allowed" asks for none.

    Source
    ------
    AS 4100:2020, 9.1.6 and 9.2.3.1, from memory.

    Examples
    --------
    >>> levels_checked("not in service"), levels_checked("never")
    (('service',), ('service', 'ultimate'))
    """
    return _LEVELS_CHECKED[require_one_of(slip_rule, SLIP_RULES, "slip", place=place)]
