"""EN 1993-1-9:2005, normal and shear stress at one point: the sum of their damages and of their ratios."""

from dataclasses import dataclass
from typing import Annotated

from fatigue.damage import NormalDamage, ShearDamage
from loadhistories.figures import Check, Figure, judged

EDITION = "EN 1993-1-9:2005"
ALLOWED = 1.0


@dataclass(frozen=True)
class PointDamage:
    """Damage at a point by normal and by shear stress."""

    normal_damage: Annotated[float, Figure("D_σ", "", title="damage by the normal stress")]
    shear_damage: Annotated[float, Figure("D_τ", "", title="damage by the shear stress")]
    damage: Annotated[float, Figure("D_p", "", "D_σ + D_τ", f"{EDITION}, 8(4), A.5", "damage of the point")]


@dataclass(frozen=True)
class PointRatio:
    """Equivalent ranges of normal and of shear stress at a point against their strengths."""

    gamma_Ff: Annotated[float, Figure("gamma_Ff", "", title="partial factor of the stress ranges")]
    normal_range: Annotated[float, Figure("Δσ_E,2", "MPa", title="equivalent range of the normal stress")]
    normal_strength: Annotated[float, Figure("Δσ_C,d", "MPa", title="its design strength")]
    shear_range: Annotated[float, Figure("Δτ_E,2", "MPa", title="equivalent range of the shear stress")]
    shear_strength: Annotated[float, Figure("Δτ_C,d", "MPa", title="its design strength")]
    ratio: Annotated[
        float,
        Figure(
            "u_p",
            "",
            "(gamma_Ff * Δσ_E2 / Δσ_Cd) ** 3 + (gamma_Ff * Δτ_E2 / Δτ_Cd) ** 5",
            f"{EDITION}, 8(3)",
            "sum of the ratios of the point",
        ),
    ]


def point_checks(number: int, name: str, normal: NormalDamage, shear: ShearDamage) -> tuple[Check, ...]:
    """A point under normal and shear stress: by damage, and by the equivalent ranges at 2e6 cycles.

    Parameters
    ----------
    number : int
        Of the point, for the names of the checks.
    name : str
        As the user calls the point.

    Source
    ------
    EN 1993-1-9:2005, 8(3), 8(4), A.5 (from memory).
    """
    total = PointDamage(normal.damage, shear.damage, normal.damage + shear.damage)
    terms = (normal.gamma_Ff * normal.equivalent_range / normal.design_strength) ** 3
    terms += (shear.gamma_Ff * shear.equivalent_range / shear.design_strength) ** 5
    ratio = PointRatio(
        normal.gamma_Ff,
        normal.equivalent_range,
        normal.design_strength,
        shear.equivalent_range,
        shear.design_strength,
        terms,
    )
    title = f"normal and shear stress together at {name}"
    parts = (("", "damage", total.damage, f"{EDITION}, 8(4), A.5", total),)
    parts += ((":equivalent", "equivalent ranges", terms, f"{EDITION}, 8(3)", ratio),)
    return tuple(
        judged(
            f"fatigue:point:{number}{key}",
            f"{title}, {words}",
            demand=value,
            resistance=ALLOWED,
            unit="",
            clause=clause,
            working=(shown,),
        )
        for key, words, value, clause, shown in parts
    )
