"""Grip by AISC 360: minimum pretension, slip resistance of one bolt, which level is checked."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table, row_of
from loadhistories.validation import InputError, require_finite, require_one_of, require_positive, where
from slip.bolts import Bolt, require_planes
from slip.holes import DIRECTIONS
from slip.joint import HOLES, LEVELS, SLIP_RULES
from slip.standards.aisc360.tables import METHODS, PACKAGE, clause, factor_of, grade_row, pretension

SLIP = clause("J3.8", "J3.9")
WITH_TENSION = clause("J3.9", "J3.10")
CATEGORIES = {"service": "slip-critical, under unfactored loads", "ultimate": "slip-critical, under factored loads"}
TENSION_MULTIPLIER = {"LRFD": 1.0, "ASD": 1.5}
_LEVELS_CHECKED = {"never": ("ultimate",), "not in service": ("ultimate",), "allowed": ()}


@dataclass(frozen=True)
class MinimumPretension:
    """Pretension that a high-strength bolt has at least when it is installed."""

    preload: Annotated[
        float, Figure("T_b", "N", "", clause("Tables J3.1 and J3.1M"), "minimum pretension of the bolt")
    ]


@dataclass(frozen=True)
class SlipResistance:
    """Available slip resistance of one bolt.

    The clause reduces the group by k_sc = 1 - T_u / (D_u T_b n_b); here each bolt by its own tension, n_b = 1.
    Solved for the pretension the resistance is phi mu D_u h_f n_s (T_b - T_u / D_u).
    """

    slip_factor: Annotated[float, Figure("mu", "", "", SLIP, "mean slip coefficient")]
    mean_over_minimum: Annotated[
        float, Figure("D_u", "", "", SLIP, "mean installed over specified minimum pretension")
    ]
    filler_factor: Annotated[
        float, Figure("h_f", "", "", SLIP, "1 for no filler or one between the parts, 0.85 for two or more")
    ]
    preload: Annotated[float, Figure("T_b", "N", title="pretension of the bolt")]
    planes: Annotated[int, Figure("n_s", "", "", SLIP, "number of slip planes")]
    nominal: Annotated[float, Figure("R_n", "N", "mu * D_u * h_f * T_b * n_s", SLIP, "nominal slip resistance")]
    hole_factor: Annotated[
        float, Figure("phi", "", "", SLIP, "resistance factor of the kind of hole; by ASD 1 / Omega")
    ]
    tension_multiplier: Annotated[
        float, Figure("c_T", "", "", f"{WITH_TENSION}, (J3-5a), (J3-5b)", "1 by LRFD, 1.5 by ASD")
    ]
    tension: Annotated[float, Figure("T_u", "N", title="tension of the bolt at this level")]
    tension_factor: Annotated[
        float,
        Figure(
            "k_sc", "", "max(1 - c_T * max(T_u, 0) / (D_u * T_b), 0)", f"{WITH_TENSION}, (J3-5a), (J3-5b)",
            "what the tension leaves of the grip of this bolt",
        ),
    ]  # fmt: skip
    resistance: Annotated[
        float,
        Figure("φR_n", "N", "phi * R_n * k_sc", f"{SLIP}; with tension {WITH_TENSION}", "available slip resistance"),
    ]


def preload_working(bolt: Bolt, *, place: str = "") -> MinimumPretension:
    """Minimum pretension of a bolt, with its figures.

    Raises
    ------
    InputError
        The bolt's grade is not made for pretension.

    Source
    ------
    AISC 360-16 and 360-22, Tables J3.1 and J3.1M.
    """
    if not grade_row(bolt)["preloadable"]:
        grades = read_table(PACKAGE, "grades")
        fit = " or ".join(name for name in grades if grades[name]["preloadable"])
        raise InputError(f"bolt grade {bolt.grade} cannot be pretensioned; use {fit}{where(place)}")
    return MinimumPretension(pretension(bolt))


def specified_preload(bolt: Bolt, *, place: str = "") -> float:
    """Minimum pretension T_b of a bolt. [N]

    Raises, Source: as `preload_working`.

    Examples
    --------
    >>> from slip.standards.aisc360.tables import KIP, bolt
    >>> specified_preload(bolt("3/4 in", "A325")) / KIP
    28.0
    """
    return preload_working(bolt, place=place).preload


def hole_factor(kind: str, direction: str = "", *, method: str = "LRFD", place: str = "") -> float:
    """Resistance factor of slip by the kind of hole. [-]

    Parameters
    ----------
    kind : str
        One of `slip.joint.HOLES`.
    direction : str
        "along" or "across": the load to the slot. A round hole has no direction: what is given is not used.
    method : str
        "LRFD" for phi, "ASD" for 1 / Omega.

    Limits
    ------
    For a load that is neither along nor across, the smaller of both is the safe reading.

    Source
    ------
    AISC 360-16, J3.8; 360-22, J3.9.

    Examples
    --------
    >>> hole_factor("short slot", "across"), hole_factor("short slot", "along")
    (1.0, 0.85)
    """
    require_one_of(kind, HOLES, "holes", place=place)
    if kind.endswith("slot"):
        kind = f"{kind} {require_one_of(direction, DIRECTIONS, 'direction of the load to the slot', place=place)}"
    return factor_of(row_of(PACKAGE, "hole_factors", kind, "holes", place=place), method)


def filler_factor(fillers: int = 0) -> float:
    """Factor h_f of the slip resistance by the number of fillers between the parts. [-]

    Raises
    ------
    InputError
        Not a whole number from 0.

    Source
    ------
    AISC 360-16, J3.8; 360-22, J3.9, from memory.

    Examples
    --------
    >>> filler_factor(1), filler_factor(2)
    (1.0, 0.85)
    """
    if isinstance(fillers, bool) or not isinstance(fillers, int) or fillers < 0:
        raise InputError(f"fillers must be a whole number from 0, got {fillers!r}")
    return _multiplier("two or more fillers") if fillers > 1 else 1.0


def grip_terms(
    *, slip_factor: float, planes: int, hole_factor: float, level: str, fillers: int = 0, method: str = "LRFD"
) -> tuple[float, float]:
    """Terms of the grip of one bolt: factor and share of tension. [-]

    The grip at every instant is factor * (preload - share * max(tension, 0)), and not below 0. The clause is of this
    form: phi mu D_u h_f n_s T_b (1 - T_u / (D_u T_b)) has the factor phi mu D_u h_f n_s and the share 1 / D_u.

    Source
    ------
    AISC 360-16, J3.8 and J3.9; 360-22, J3.9 and J3.10.

    Examples
    --------
    >>> grip_terms(slip_factor=0.5, planes=1, hole_factor=1.0, level="ultimate")
    (0.565, 0.884956)
    """
    require_one_of(level, LEVELS, "level")
    require_one_of(method, METHODS, "method")
    slip_factor = require_positive(slip_factor, "slip factor")
    hole_factor = require_positive(hole_factor, "resistance factor of the hole")
    mean = _multiplier("mean over minimum pretension")
    factor = hole_factor * slip_factor * mean * filler_factor(fillers) * require_planes(planes)
    return factor, TENSION_MULTIPLIER[method] / mean


def slip_resistance(
    *,
    preload: float,
    slip_factor: float,
    planes: int,
    hole_factor: float,
    level: str,
    tension: float = 0.0,
    fillers: int = 0,
    method: str = "LRFD",
) -> SlipResistance:
    """Available slip resistance of one bolt, with its figures. [N]

    Parameters
    ----------
    preload : float
        Pretension. [N]
    slip_factor : float
        Mean slip coefficient of the faying surfaces. [-]
    planes : int
        Slip planes.
    hole_factor : float
        Resistance factor of the hole, from `hole_factor` by the same method. [-]
    level : str
        "ultimate" is what the clause is for, loads with their LRFD factors; "service" asks for the same resistance
        under unfactored loads.
    tension : float
        Tension of the bolt from the loads of that level; below zero it presses and is not counted. [N]
    fillers : int
        Fillers between the connected parts.
    method : str
        "LRFD", or "ASD" with loads of ASD.

    Limits
    ------
    Each bolt by its own tension; the clause spreads the tension over the n_b bolts that carry it.

    Source
    ------
    AISC 360-16, J3.8 and J3.9; 360-22, J3.9 and J3.10.

    Examples
    --------
    >>> slip_resistance(preload=124_550, slip_factor=0.3, planes=1, hole_factor=1.0, level="ultimate").resistance
    42222.45
    """
    preload = require_positive(preload, "pretension", unit="N")
    tension = require_finite(tension, "tension", unit="N")
    terms = {"slip_factor": slip_factor, "planes": planes, "hole_factor": hole_factor, "level": level}
    factor, share = grip_terms(**terms, fillers=fillers, method=method)
    mean = _multiplier("mean over minimum pretension")
    multiplier, h_f = TENSION_MULTIPLIER[method], filler_factor(fillers)
    return SlipResistance(
        slip_factor=slip_factor,
        mean_over_minimum=mean,
        filler_factor=h_f,
        preload=preload,
        planes=planes,
        nominal=slip_factor * mean * h_f * preload * planes,
        hole_factor=hole_factor,
        tension_multiplier=multiplier,
        tension=tension,
        tension_factor=max(1.0 - multiplier * max(tension, 0.0) / (mean * preload), 0.0),
        resistance=factor * max(preload - share * max(tension, 0.0), 0.0),
    )


def levels_checked(slip_rule: str, *, place: str = "") -> tuple[str, ...]:
    """Levels at which a joint must not slip, by what is asked of it.

    Since 2010 the Specification knows one slip-critical joint, with one check under the factored loads: "never" and
    "not in service" ask for the same, "allowed" for none.

    Source
    ------
    AISC 360-16, J3.8; 360-22, J3.9; B3.1 for the loads (from memory).

    Examples
    --------
    >>> levels_checked("not in service")
    ('ultimate',)
    """
    return _LEVELS_CHECKED[require_one_of(slip_rule, SLIP_RULES, "slip", place=place)]


def _multiplier(name: str) -> float:
    return float(read_table(PACKAGE, "slip_multipliers")[name]["value"])
