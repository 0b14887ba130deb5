"""Crane girders: what a wheel does to the web below the rail, and the verification by equivalent ranges (EN 1993-6).

The equivalent wheel load of a crane's duty comes from crane_duty.py.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from fatigue.crane_duty import SClass
from fatigue.standards import standard as rules_of
from loadhistories.figures import Check, Figure, judged
from loadhistories.tables import read_table, row_of
from loadhistories.validation import InputError, require_not_negative, require_positive, where

GIRDERS = "EN 1993-6:2007"
FATIGUE = "EN 1993-1-9:2005"
STANDARD = "EN 1993"
_PACKAGE = "fatigue.standards"


@dataclass(frozen=True)
class WheelPressure:
    """Local stress in the web below a wheel, at the underside of the top flange."""

    wheel_load: Annotated[float, Figure("F_z", "N", title="wheel load")]
    web_thickness: Annotated[float, Figure("t_w", "mm", title="thickness of the web")]
    inertia: Annotated[float, Figure("I_rf", "mm4", title="second moment of rail and effective flange, rail worn")]
    coefficient: Annotated[float, Figure("k_l", "", "", f"{GIRDERS}, Table 5.1", "coefficient by the rail's seat")]
    length: Annotated[
        float, Figure("l_eff", "mm", "k_l * (I_rf / t_w) ** (1 / 3)", f"{GIRDERS}, Table 5.1", "loaded length")
    ]
    pressure: Annotated[
        float, Figure("σ_oz", "MPa", "F_z / (l_eff * t_w)", f"{GIRDERS}, 5.7.1", "vertical pressure in the web")
    ]
    shear_share: Annotated[float, Figure("s_τ", "", "", f"{GIRDERS}, 5.7.2", "local shear over pressure")]
    shear: Annotated[
        float, Figure("τ_oxz", "MPa", "s_τ * σ_oz", f"{GIRDERS}, 5.7.2", "local shear on each side of the wheel")
    ]
    shear_range: Annotated[
        float, Figure("Δτ_oxz", "MPa", "2 * τ_oxz", f"{GIRDERS}, 5.7.2", "its range: a passing wheel turns its sign")
    ]


@dataclass(frozen=True)
class WebBending:
    """Bending of the web from a wheel beside its middle."""

    wheel_load: Annotated[float, Figure("F_z", "N", title="wheel load")]
    rail_width: Annotated[float, Figure("b_r", "mm", title="width of the rail head")]
    web_thickness: Annotated[float, Figure("t_w", "mm", title="thickness of the web")]
    rail_share: Annotated[float, Figure("s_e", "", "", f"{GIRDERS}, 5.7.3", "eccentricity over width of the rail head")]
    web_share: Annotated[float, Figure("s_t", "", "", f"{GIRDERS}, 5.7.3", "least eccentricity over web thickness")]
    eccentricity: Annotated[
        float, Figure("e_y", "mm", "max(s_e * b_r, s_t * t_w)", f"{GIRDERS}, 5.7.3", "eccentricity of the wheel")
    ]
    torque: Annotated[float, Figure("T_Ek", "N mm", "F_z * e_y", f"{GIRDERS}, 5.7.3", "torsional moment")]
    spacing: Annotated[float, Figure("a", "mm", title="spacing of transverse web stiffeners")]
    web_height: Annotated[float, Figure("h_w", "mm", title="clear height of the web between flanges")]
    flange_torsion: Annotated[float, Figure("I_t", "mm4", title="torsion constant of the flange, with a fixed rail")]
    hyperbolic: Annotated[
        float,
        Figure("k_h", "", title="sinh²(π h_w/a) / (sinh(2π h_w/a) − 2π h_w/a)", clause=f"{GIRDERS}, 5.7.3"),
    ]
    eta: Annotated[
        float,
        Figure("η", "", "sqrt(0.75 * a * t_w ** 3 / I_t * k_h)", f"{GIRDERS}, 5.7.3 (from memory)", "parameter"),
    ]
    tangent: Annotated[float, Figure("k_η", "", title="tanh η", clause=f"{GIRDERS}, 5.7.3")]
    stress: Annotated[
        float,
        Figure(
            "σ_T", "MPa", "6 * T_Ek / (a * t_w ** 2) * η * k_η", f"{GIRDERS}, 5.7.3 (from memory)",
            "bending stress of the web",
        ),
    ]  # fmt: skip


@dataclass(frozen=True)
class EquivalentDamage:
    """Equivalent ranges at 2e6 cycles against the strengths of a detail, normal and shear stress together."""

    gamma_Ff: Annotated[float, Figure("gamma_Ff", "", "", f"{FATIGUE}, 3(7)", "partial factor of the ranges")]
    gamma_Mf: Annotated[float, Figure("gamma_Mf", "", "", f"{FATIGUE}, Table 3.1", "partial factor of the strength")]
    normal_range: Annotated[float, Figure("Δσ_E,2", "MPa", title="equivalent range of normal stress, 2e6 cycles")]
    normal_strength: Annotated[float, Figure("Δσ_C", "MPa", "", f"{FATIGUE}, 7.1", "category, normal stress")]
    shear_range: Annotated[float, Figure("Δτ_E,2", "MPa", title="equivalent range of shear stress, 2e6 cycles")]
    shear_strength: Annotated[float, Figure("Δτ_C", "MPa", "", f"{FATIGUE}, 7.1", "category, shear stress")]
    normal: Annotated[
        float, Figure("D_σ", "", "(gamma_Ff * Δσ_E2 * gamma_Mf / Δσ_C) ** 3", f"{FATIGUE}, 8(3)", "normal stress")
    ]
    shear: Annotated[
        float, Figure("D_τ", "", "(gamma_Ff * Δτ_E2 * gamma_Mf / Δτ_C) ** 5", f"{FATIGUE}, 8(3)", "shear stress")
    ]
    damage: Annotated[float, Figure("D", "", "D_σ + D_τ", f"{FATIGUE}, 8(3)", "both together")]


@dataclass(frozen=True)
class CranesTogether:
    """Damage of several cranes on one runway."""

    single: Annotated[float, Figure("ΣD_i", "", title="sum of the damages of the single cranes")]
    together: Annotated[float, Figure("D_dup", "", title="damage of the cranes working together")]
    damage: Annotated[float, Figure("D", "", "ΣD_i + D_dup", f"{GIRDERS}, 9.4.2 (from memory)", "damage in all")]
    parts: tuple[EquivalentDamage, ...]


@dataclass(frozen=True)
class ExemptionHint:
    """Whether few heavy cycles may let a crane girder go without a fatigue assessment. A hint, never a pass."""

    cycles: Annotated[float, Figure("C", "", title="cycles with more than half of the full payload")]
    limit: Annotated[float, Figure("C_0", "", "", f"{GIRDERS}, 9.1(2)", "cycles up to which it may be left out")]
    may_be_exempt: bool
    text: str


def effective_flange_width(*, rail_foot: float, rail_height: float, flange_thickness: float, flange: float) -> float:
    """Width of the flange that works with the rail: b_fr + h_r + t_f, not above the flange. [mm]

    Source
    ------
    EN 1993-6:2007, Table 5.1 (from memory).
    """
    parts = {"rail foot": rail_foot, "rail height": rail_height, "flange thickness": flange_thickness}
    width = sum(require_positive(value, name, unit="mm") for name, value in parts.items())
    return min(width, require_positive(flange, "width of the flange", unit="mm"))


def wheel_pressure(
    wheel_load: float,
    *,
    seat: str,
    web_thickness: float,
    rail_and_flange: float | None = None,
    rail: float | None = None,
    flange: float | None = None,
    place: str = "",
) -> WheelPressure:
    """Vertical pressure and local shear in the web below a wheel.

    Parameters
    ----------
    wheel_load : float
        [N]
    seat : str
        "fixed": the rail is rigidly fixed to the flange; "not fixed"; "elastic pad": at least 6 mm thick.
    web_thickness : float
        [mm]
    rail_and_flange : float
        For "fixed": second moment of the section of rail and effective flange together. [mm4]
    rail, flange : float
        Otherwise: second moments of rail and of effective flange, each about its own axis. [mm4]

    Raises
    ------
    InputError
        Unknown seat, or second moments that do not go with it.

    Limits
    ------
    Top of the web, at the flange; the second moments are those of the worn rail. Adjacent wheels closer than the
    loaded length add their pressure: not covered.

    Examples
    --------
    >>> wheel_pressure(100e3, seat="fixed", web_thickness=10.0, rail_and_flange=4e6).length
    239.462
    """
    row = row_of(_PACKAGE, "en1993_6_rails", seat, "seat of the rail", place=place)
    one_section = seat == "fixed"
    together = {"rail_and_flange": rail_and_flange}
    apart = {"rail": rail, "flange": flange}
    needed, other = (together, apart) if one_section else (apart, together)
    if any(value is None for value in needed.values()) or any(value is not None for value in other.values()):
        raise InputError(
            f"a rail on the seat {seat!r} needs {' and '.join(needed)} and nothing else: {row['inertia']}{where(place)}"
        )
    inertia = sum(require_positive(v, f"second moment, {k}", unit="mm4", place=place) for k, v in needed.items())
    force = require_positive(wheel_load, "wheel load", unit="N", place=place)
    t_w = require_positive(web_thickness, "web thickness", unit="mm", place=place)
    length = row["coefficient"] * (inertia / t_w) ** (1.0 / 3.0)
    pressure, share = force / (length * t_w), _rule("local_shear_share")
    return WheelPressure(
        force, t_w, inertia, row["coefficient"], length, pressure, share, share * pressure, 2.0 * share * pressure
    )


def web_bending(
    wheel_load: float,
    *,
    rail_width: float,
    web_thickness: float,
    web_height: float,
    spacing: float,
    flange_torsion: float,
    place: str = "",
) -> WebBending:
    """Bending stress of the web from a wheel a quarter of the rail head beside the middle.

    Parameters
    ----------
    wheel_load : float
        [N]
    rail_width, web_thickness, web_height, spacing : float
        Width of the rail head; thickness and clear height of the web; spacing of transverse stiffeners. [mm]
    flange_torsion : float
        Torsion constant of the flange, with the rail where that is rigidly fixed. [mm4]

    Limits
    ------
    May be left out of a fatigue assessment for S0 to S3, see `needs_web_bending`.
    """
    force = require_positive(wheel_load, "wheel load", unit="N", place=place)
    sizes = {
        "width of the rail head": rail_width,
        "web thickness": web_thickness,
        "web height": web_height,
        "spacing of stiffeners": spacing,
    }
    b_r, t_w, h_w, a = (require_positive(value, name, unit="mm", place=place) for name, value in sizes.items())
    i_t = require_positive(flange_torsion, "torsion constant of the flange", unit="mm4", place=place)
    rail_share, web_share = _rule("eccentricity_share"), _rule("least_eccentricity_share")
    offset = max(rail_share * b_r, web_share * t_w)
    argument = np.pi * h_w / a
    if argument > 300.0:
        raise InputError(f"stiffeners {a:g} mm apart are too close for a web {h_w:g} mm high{where(place)}")
    hyperbolic = float(np.sinh(argument) ** 2 / (np.sinh(2.0 * argument) - 2.0 * argument))
    eta = float(np.sqrt(0.75 * a * t_w**3 / i_t * hyperbolic))
    tangent = float(np.tanh(eta))
    stress = 6.0 * force * offset / (a * t_w**2) * eta * tangent
    return WebBending(
        force, b_r, t_w, rail_share, web_share, offset, force * offset, a, h_w, i_t, hyperbolic, eta, tangent, stress
    )


def needs_web_bending(duty: SClass) -> bool:
    """Whether bending of the web from eccentric wheels counts in the fatigue assessment of this class."""
    return duty.index > _rule("last_class_without_web_bending")


def equivalent_damage(
    *,
    factors,
    normal_range: float,
    shear_range: float,
    normal_category: str | float,
    shear_category: str | float,
    place: str = "",
) -> EquivalentDamage:
    """Equivalent ranges of a detail against its categories.

    Parameters
    ----------
    factors : result of `partial_factors` of EN 1993
    normal_range, shear_range : float
        Equivalent ranges at 2e6 cycles: stress ranges under the equivalent wheel loads; 0 where there is none. [MPa]
    normal_category, shear_category : str or float
        Identifiers or numbers of categories of EN 1993.

    Examples
    --------
    >>> factors = rules_of("EN 1993").partial_factors("damage tolerant", "high")
    >>> equivalent_damage(
    ...     factors=factors, normal_range=50, shear_range=30, normal_category=71, shear_category=80
    ... ).damage
    0.54608
    """
    rules = rules_of(STANDARD)
    normal = rules.row_of(normal_category, stress="normal", place=place)
    shear = rules.row_of(shear_category, stress="shear", place=place)
    s = require_not_negative(normal_range, "equivalent range of normal stress", unit="MPa", place=place)
    t = require_not_negative(shear_range, "equivalent range of shear stress", unit="MPa", place=place)
    ratios = [
        factors.gamma_Ff * value * factors.gamma_Mf / row.category for value, row in ((s, normal), (t, shear))
    ]
    by_normal, by_shear = ratios[0] ** 3, ratios[1] ** 5
    return EquivalentDamage(
        factors.gamma_Ff, factors.gamma_Mf, s, normal.category, t, shear.category, by_normal, by_shear,
        by_normal + by_shear,
    )  # fmt: skip


def equivalent_check(id: str, name: str, result: EquivalentDamage, *, working: Sequence = ()) -> Check:
    """The check of normal and shear stress together by their equivalent ranges."""
    return judged(
        id, f"fatigue of {name} by equivalent ranges", demand=result.damage, resistance=1.0, unit="",
        clause=f"{FATIGUE}, 8(3), and {GIRDERS}, 9.4", working=(*working, result),
    )  # fmt: skip


def cranes_together(singles: Sequence[EquivalentDamage], together: EquivalentDamage) -> CranesTogether:
    """Damage of several cranes, each alone and all together.

    Parameters
    ----------
    singles : sequence of EquivalentDamage
        Of each crane alone, for the same detail.
    together : EquivalentDamage
        Of the cranes together; where nothing is known of it, with the class of
        `fatigue.crane_duty.class_of_cranes_together`.

    Raises
    ------
    InputError
        Fewer than two cranes.
    """
    if len(singles) < 2:
        raise InputError(f"several cranes are at least two, got {len(singles)}")
    alone = sum(item.damage for item in singles)
    return CranesTogether(alone, together.damage, alone + together.damage, (*singles, together))


def cranes_check(id: str, name: str, result: CranesTogether) -> Check:
    """The check of a detail under several cranes."""
    return judged(
        id, f"fatigue of {name} under several cranes", demand=result.damage, resistance=1.0, unit="",
        clause=f"{GIRDERS}, 9.4.2 (from memory)", working=(*result.parts, result),
    )  # fmt: skip


def exemption_hint(cycles: float) -> ExemptionHint:
    """Whether the count of heavy cycles hints at an exemption from the fatigue assessment.

    Parameters
    ----------
    cycles : float
        Cycles with more than half of the full payload, which is the largest lifted load and not crane plus load.
    """
    number, limit = require_not_negative(cycles, "cycles above half of the full payload"), _rule("exempt_cycles")
    if number <= limit:
        text = (
            f"{number:g} cycles above half of the full payload do not exceed {limit:g}: the code may waive the fatigue "
            "assessment. This is a hint only: the rule hides assumptions (steel grade not above S275 is the first), "
            "national choices differ, and lighter cycles and wheel passages are not in this count"
        )
    else:
        text = f"{number:g} cycles above half of the full payload exceed {limit:g}: fatigue has to be assessed"
    return ExemptionHint(number, limit, number <= limit, text)


def _rule(name: str) -> float:
    return float(read_table(_PACKAGE, "en1993_6_rules")[name]["value"])
