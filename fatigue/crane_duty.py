"""The duty of a crane as an S class, its dynamic factors for fatigue, and one equivalent wheel load (EN 1991-3).

Where a real history of passages is at hand, it is counted like any other instead.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from loadhistories.crane import fatigue_factor
from loadhistories.figures import Figure
from loadhistories.tables import read_table, row_of, unconfirmed
from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive, where

ACTIONS = "EN 1991-3:2006"
SLOPES = {"normal": 3, "shear": 5}
OWN_WEIGHT_FACTOR = (0.9, 1.1)
_PACKAGE = "fatigue.standards"


@dataclass(frozen=True)
class SClass:
    """Class of the stress history that a crane's duty makes, and its equivalent factors.

    The factors are those that the standard prints, rounded; the closed forms beside them differ by up to 0.3 %.
    """

    name: str
    index: Annotated[float, Figure("i", "", title="number of the S class")]
    normal: Annotated[float, Figure("λ_σ", "", "", f"{ACTIONS}, Table 2.12", "equivalent factor for normal stress")]
    shear: Annotated[float, Figure("λ_τ", "", "", f"{ACTIONS}, Table 2.12", "equivalent factor for shear stress")]
    normal_exact: Annotated[
        float, Figure("λ_σ,exact", "", "2 ** ((i - 7) / 3)", f"{ACTIONS}, Table 2.12", "its closed form")
    ]
    shear_exact: Annotated[
        float, Figure("λ_τ,exact", "", "2 ** ((i - 7) / 5)", f"{ACTIONS}, Table 2.12", "its closed form")
    ]
    source: str
    unconfirmed: bool


@dataclass(frozen=True)
class DutyClass:
    """S class from the classes of working cycles and of the load spectrum."""

    cycles_class: Annotated[float, Figure("u", "", title="number of the U class")]
    spectrum_class: Annotated[float, Figure("q", "", title="number of the Q class")]
    index: Annotated[
        float, Figure("i", "", "max(0, u + q - 5)", f"{ACTIONS}, Table 2.11 (from memory)", "number of the S class")
    ]

    @property
    def name(self) -> str:
        """Such as "S4"."""
        return f"S{self.index:.0f}"


@dataclass(frozen=True)
class DynamicFactors:
    """Dynamic factors of a crane and, from them, those for fatigue."""

    own: Annotated[float, Figure("φ_1", "", "", f"{ACTIONS}, Table 2.4", "factor of the crane's own weight")]
    smallest: Annotated[float, Figure("φ_2,min", "", "", f"{ACTIONS}, Table 2.5", "smallest factor of the hoist load")]
    rise: Annotated[float, Figure("β_2", "s/m", "", f"{ACTIONS}, Table 2.5", "its rise with the hoisting speed")]
    speed: Annotated[float, Figure("v_h", "mm/s", title="steady hoisting speed")]
    hoist: Annotated[
        float, Figure("φ_2", "", "φ_2min + β_2 * v_h / 1000", f"{ACTIONS}, Table 2.4", "factor of the hoist load")
    ]
    own_fatigue: Annotated[
        float, Figure("φ_fat,1", "", "(1 + φ_1) / 2", f"{ACTIONS}, 2.12.1", "fatigue factor of the own weight")
    ]
    hoist_fatigue: Annotated[
        float, Figure("φ_fat,2", "", "(1 + φ_2) / 2", f"{ACTIONS}, 2.12.1", "fatigue factor of the hoist load")
    ]
    unconfirmed: bool


@dataclass(frozen=True)
class EquivalentWheelLoad:
    """The constant wheel load that does in 2e6 cycles the damage of the crane's duty."""

    own: Annotated[float, Figure("Q_C", "N", title="largest wheel load from the crane and crab themselves")]
    hoist: Annotated[float, Figure("Q_H", "N", title="largest wheel load from the hoist load")]
    own_factor: Annotated[float, Figure("φ_fat,1", "", "", f"{ACTIONS}, 2.12.1", "fatigue factor of the own weight")]
    hoist_factor: Annotated[float, Figure("φ_fat,2", "", "", f"{ACTIONS}, 2.12.1", "fatigue factor of the hoist load")]
    normal_factor: Annotated[float, Figure("λ_σ", "", "", f"{ACTIONS}, Table 2.12", "equivalent factor, normal stress")]
    shear_factor: Annotated[float, Figure("λ_τ", "", "", f"{ACTIONS}, Table 2.12", "equivalent factor, shear stress")]
    normal: Annotated[
        float,
        Figure(
            "Q_e,σ", "N", "λ_σ * (φ_fat1 * Q_C + φ_fat2 * Q_H)", f"{ACTIONS}, 2.12.1, eq. (2.16)",
            "equivalent wheel load for normal stress",
        ),
    ]  # fmt: skip
    shear: Annotated[
        float,
        Figure(
            "Q_e,τ", "N", "λ_τ * (φ_fat1 * Q_C + φ_fat2 * Q_H)", f"{ACTIONS}, 2.12.1, eq. (2.16)",
            "equivalent wheel load for shear stress",
        ),
    ]  # fmt: skip


def s_class(name: str, *, place: str = "") -> SClass:
    """An S class with its equivalent factors.

    Raises
    ------
    InputError
        No such class.

    Examples
    --------
    >>> s_class("S4").normal
    0.5
    """
    row = row_of(_PACKAGE, "en1991_3_classes", name, "S class", place=place)
    exact = {kind: 2.0 ** ((row["index"] - 7) / slope) for kind, slope in SLOPES.items()}
    return SClass(
        name, float(row["index"]), row["factor_normal"], row["factor_shear"], exact["normal"], exact["shear"],
        row["source"], unconfirmed(row),
    )  # fmt: skip


def duty_class(cycles_class: str, spectrum_class: str, *, place: str = "") -> DutyClass:
    """S class from a class of working cycles ("U0" to "U9") and one of the load spectrum ("Q0" to "Q5").

    Examples
    --------
    >>> duty_class("U4", "Q4").name
    'S3'
    """
    u, q = (_duty_row(letter, name, place)["index"] for letter, name in (("U", cycles_class), ("Q", spectrum_class)))
    return DutyClass(float(u), float(q), float(max(0, u + q - 5)))


def cycles_class(cycles: float, *, place: str = "") -> str:
    """Class "U0" to "U9" of a number of working cycles in the life."""
    return _class_of("U", require_positive(cycles, "working cycles", place=place), "working cycles", place)


def spectrum_class(factor: float, *, place: str = "") -> str:
    """Class "Q0" to "Q5" of a load spectrum factor."""
    return _class_of("Q", require_positive(factor, "load spectrum factor", place=place), "load spectrum factor", place)


def load_spectrum_factor(loads: ArrayLike, counts: ArrayLike, *, safe_working_load: float) -> float:
    """Load spectrum factor kQ: mean of the cubes of the lifted loads over the safe working load. [-]

    Parameters
    ----------
    loads, counts : array, shape (m,)
        Lifted loads [N] and how often each is lifted.
    safe_working_load : float
        Largest load that the crane may lift. [N]

    Raises
    ------
    InputError
        Shapes differ, a negative value, no lift, or a load above the safe working load.
    """
    largest = require_positive(safe_working_load, "safe working load", unit="N")
    given, numbers = np.asarray(loads, np.float64), np.asarray(counts, np.float64)
    if given.ndim != 1 or given.shape != numbers.shape:
        raise InputError(f"loads and counts must have one shape (m,), got {given.shape} and {numbers.shape}")
    if not (np.isfinite(given) & (given >= 0.0)).all() or not (np.isfinite(numbers) & (numbers >= 0.0)).all():
        raise InputError("lifted loads and their counts must be finite and not below 0")
    if numbers.sum() == 0.0:
        raise InputError("a load spectrum needs at least one lift: every count is 0")
    if (given > largest).any():
        raise InputError(f"lifted load {given.max():g} N is above the safe working load of {largest:g} N")
    return float((numbers * (given / largest) ** 3).sum() / numbers.sum())


def dynamic_factors(hoisting_class: str, *, hoisting_speed: float, own: float, place: str = "") -> DynamicFactors:
    """Dynamic factors for static design and for fatigue.

    Parameters
    ----------
    hoisting_class : str
        "HC1" to "HC4".
    hoisting_speed : float
        Steady hoisting speed. [mm/s]
    own : float
        phi_1, between 0.9 and 1.1; for fatigue the upper value is common. [-]

    Examples
    --------
    >>> dynamic_factors("HC2", hoisting_speed=100.0, own=1.1).hoist_fatigue
    1.067
    """
    row = row_of(_PACKAGE, "en1991_3_hoisting", hoisting_class, "hoisting class", place=place)
    speed = require_not_negative(hoisting_speed, "hoisting speed", unit="mm/s", place=place)
    low, high = OWN_WEIGHT_FACTOR
    if not low <= require_finite(own, "phi_1", place=place) <= high:
        raise InputError(f"phi_1 must lie from {low} to {high}, got {own:g} ({ACTIONS}, Table 2.4){where(place)}")
    hoist = row["smallest"] + row["rise_s_per_m"] * speed / 1000.0
    return DynamicFactors(
        own, row["smallest"], row["rise_s_per_m"], speed, hoist, fatigue_factor(own), fatigue_factor(hoist),
        unconfirmed(row),
    )  # fmt: skip


def equivalent_wheel_load(own: float, hoist: float, *, factors: DynamicFactors, duty: SClass) -> EquivalentWheelLoad:
    """Damage-equivalent wheel load at 2e6 cycles.

    Parameters
    ----------
    own, hoist : float
        Parts of the largest characteristic wheel load: crane with crab, and hoist load. [N]

    Limits
    ------
    One crane. The class holds for the crane's working cycles; a detail that feels each wheel, or each passage,
    feels more cycles than that (see `wheel_passages`).
    """
    q_c = require_not_negative(own, "wheel load from the crane itself", unit="N")
    q_h = require_not_negative(hoist, "wheel load from the hoist load", unit="N")
    if q_c + q_h == 0.0:
        raise InputError("the wheel load is 0 N: give the part of the crane, of the hoist load, or both")
    load = factors.own_fatigue * q_c + factors.hoist_fatigue * q_h
    return EquivalentWheelLoad(
        q_c, q_h, factors.own_fatigue, factors.hoist_fatigue, duty.normal, duty.shear, duty.normal * load,
        duty.shear * load,
    )  # fmt: skip


def class_of_cranes_together(classes: Sequence[str], *, place: str = "") -> str:
    """S class of cranes that work together where nothing is known of it: below the lowest of theirs, not below S0.

    Examples
    --------
    >>> class_of_cranes_together(["S6", "S4"])
    'S2'
    """
    if len(classes) < 2:
        raise InputError(f"cranes working together are at least two, got {len(classes)}{where(place)}")
    lowest = min(s_class(name, place=place).index for name in classes)
    rule = "two_crane_drop" if len(classes) == 2 else "more_crane_drop"
    drop = read_table(_PACKAGE, "en1993_6_rules")[rule]["value"]
    return f"S{max(0.0, lowest - drop):.0f}"


def wheel_passages(working_cycles: float, *, passages: float, wheels: float) -> float:
    """Cycles of local stress under the rail: every wheel on this side counts at every passage. [-]

    Parameters
    ----------
    working_cycles : float
        Lifts in the time looked at.
    passages : float
        Passages of the place in one working cycle, such as 2 for there and back.
    wheels : float
        Wheels of the crane on this side.

    Source
    ------
    common practice, no source
    """
    lifts = require_positive(working_cycles, "working cycles")
    return lifts * require_positive(passages, "passages in a working cycle") * require_positive(wheels, "wheels")


def _duty_row(letter: str, name: str, place: str) -> dict:
    rows = read_table(_PACKAGE, "en1991_3_duty")
    known = [key for key in rows if key.startswith(letter)]
    if name not in known:
        raise InputError(f"class {name!r} is unknown; known: {', '.join(known)}{where(place)}")
    return rows[name]


def _class_of(letter: str, value: float, what: str, place: str) -> str:
    rows = {key: row for key, row in read_table(_PACKAGE, "en1991_3_duty").items() if key.startswith(letter)}
    for name, row in rows.items():
        if value <= row["upper_bound"]:
            return name
    last = next(reversed(rows))
    raise InputError(
        f"{what} {value:g} is above the highest class {last}, {rows[last]['upper_bound']:g}, of {ACTIONS}{where(place)}"
    )
