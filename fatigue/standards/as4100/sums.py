"""AS 4100:2020, 11.8: the sums of a variable range, the constant range, and what else a detail's result shows."""

from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike

from fatigue.accumulation import BlockDamage, FewCycles, RangeShare
from fatigue.curves import LifeCurve
from fatigue.standards.as4100.tables import EDITION, rule
from loadhistories.figures import Figure
from loadhistories.validation import require_positive

_PHI = Annotated[float, Figure("phi", "", "", f"{EDITION}, 11.1.6", "capacity factor")]
_FACTOR = Annotated[float, Figure("beta_tf", "", "", f"{EDITION}, 11.1.7", "thickness factor")]
_CYCLES = Annotated[float, Figure("n", "", title="cycles in the design life, all blocks")]
_LARGEST = Annotated[float, Figure("f_max", "MPa", title="largest design stress range of all blocks")]
_BY_CURVE = Annotated[
    float, Figure("D_curve", "", "", f"{EDITION}, 11.6", "for comparison: sum of n_i / N_i by the life curve")
]
_EXEMPT_STRESS = Annotated[float, Figure("f_x", "MPa", "", f"{EDITION}, 11.4", "exempt range at phi = 1")]
_EXEMPT_RANGE = Annotated[
    float, Figure("f_x,d", "MPa", "phi * f_x", f"{EDITION}, 11.4", "range up to which no assessment is asked")
]
_EXEMPT_STRENGTH = Annotated[float, Figure("f_n", "MPa", "", f"{EDITION}, 11.4", "strength that exempts by cycles")]
_EXEMPT_CYCLES = Annotated[
    float | None,
    Figure("n_x", "", "2e6 * (phi * f_n / f_max) ** 3", f"{EDITION}, 11.4", "cycles below which none is asked"),
]
_LIFE_WANTED = Annotated[float, Figure("T", "year", title="design life")]
_LIFE = Annotated[float | None, Figure("L", "year", "T / D", f"{EDITION}, 11.8.2", "life at a sum of 1")]


@dataclass(frozen=True)
class StressLimits:
    """Largest range and largest stress in any cycle against the yield strength."""

    yield_strength: Annotated[float, Figure("f_y", "MPa", title="yield strength")]
    share: Annotated[float, Figure("k_s", "", title="yield stress of this kind over the yield strength")]
    ratio: Annotated[float, Figure("k_y", "", title="largest range over yield stress that is allowed")]
    range_limit: Annotated[float, Figure("f_lim", "MPa", "k_y * k_s * f_y", f"{EDITION}, 11.1.5", "range allowed")]
    largest_range: _LARGEST
    stress_limit: Annotated[float, Figure("f_y,s", "MPa", "k_s * f_y", f"{EDITION}, 11.1.5", "stress allowed")]
    largest_stress: Annotated[float, Figure("f_top", "MPa", title="largest stress, permanent load included")]


@dataclass(frozen=True)
class ConstantNormalRange:
    """A normal stress range that is the same in every cycle, against the strength at the number of cycles."""

    phi: _PHI
    constant_limit: Annotated[float, Figure("f_3,c", "MPa", title="corrected strength at 5e6 cycles")]
    cut_off: Annotated[float, Figure("f_5,c", "MPa", title="corrected strength at 1e8 cycles")]
    cycles: Annotated[float, Figure("n_sc", "", title="cycles in the design life")]
    strength: Annotated[
        float,
        Figure(
            "f_c", "MPa", "max(f_3c * (5e6 / n_sc) ** (1 / 3), f_3c * (5e6 / n_sc) ** (1 / 5), f_5c)",
            f"{EDITION}, 11.6.1", "corrected strength at so many cycles",
        ),
    ]  # fmt: skip
    design_strength: Annotated[float, Figure("f_c,d", "MPa", "phi * f_c", f"{EDITION}, 11.8.1", "design strength")]
    largest_range: _LARGEST


@dataclass(frozen=True)
class ConstantShearRange:
    """A shear stress range that is the same in every cycle, against the strength at the number of cycles."""

    phi: _PHI
    reference: Annotated[float, Figure("f_rs,c", "MPa", title="corrected strength at 2e6 cycles")]
    cut_off: Annotated[float, Figure("f_5s,c", "MPa", title="corrected strength at 1e8 cycles")]
    cycles: Annotated[float, Figure("n_sc", "", title="cycles in the design life")]
    strength: Annotated[
        float,
        Figure(
            "f_c", "MPa", "max(f_rsc * (2e6 / n_sc) ** (1 / 5), f_5sc)",
            f"{EDITION}, 11.6.2", "corrected strength at so many cycles",
        ),
    ]  # fmt: skip
    design_strength: Annotated[float, Figure("f_c,d", "MPa", "phi * f_c", f"{EDITION}, 11.8.1", "design strength")]
    largest_range: _LARGEST


@dataclass(frozen=True)
class NormalSum:
    """Sum of 11.8.2 for normal stress, and the life that follows from it.

    The equivalent range is ours, not of the clause: the constant range that makes the same sum in 2e6 cycles on
    the first slope.
    """

    phi: _PHI
    category: Annotated[float, Figure("f_rn", "MPa", "", f"{EDITION}, 11.5.1", "category: strength at 2e6 cycles")]
    size_factor: _FACTOR
    strength: Annotated[
        float, Figure("f_rn,c", "MPa", "beta_tf * f_rn", f"{EDITION}, 11.1.7", "corrected strength at 2e6 cycles")
    ]
    constant_limit: Annotated[
        float, Figure("f_3,c", "MPa", "(2 / 5) ** (1 / 3) * f_rnc", f"{EDITION}, 11.6.1", "at 5e6 cycles")
    ]
    cut_off: Annotated[
        float, Figure("f_5,c", "MPa", "(5 / 100) ** (1 / 5) * f_3c", f"{EDITION}, 11.6.1", "cut-off, at 1e8 cycles")
    ]
    design_constant_limit: Annotated[
        float, Figure("f_3,d", "MPa", "phi * f_3c", f"{EDITION}, 11.8.2", "range from which the cubic sum counts")
    ]
    design_cut_off: Annotated[
        float, Figure("f_5,d", "MPa", "phi * f_5c", f"{EDITION}, 11.8.2", "range from which the fifth-power sum counts")
    ]
    cycles: _CYCLES
    largest_range: _LARGEST
    exempt_stress: _EXEMPT_STRESS
    exempt_range: _EXEMPT_RANGE
    exempt_strength: _EXEMPT_STRENGTH
    exempt_cycles: _EXEMPT_CYCLES
    cubic_cycles: Annotated[
        float, Figure("n_3", "", title="cycles of f3,d for the ranges from there up: sum of n_i (f_i / f3,d)^3")
    ]
    fifth_cycles: Annotated[
        float, Figure("n_5", "", title="cycles of f3,d for those down to f5,d: sum of n_j (f_j / f3,d)^5")
    ]
    cubic_sum: Annotated[float, Figure("D_3", "", "n_3 / 5e6", f"{EDITION}, 11.8.2", "cubic sum")]
    fifth_sum: Annotated[float, Figure("D_5", "", "n_5 / 5e6", f"{EDITION}, 11.8.2", "fifth-power sum")]
    damage: Annotated[float, Figure("D", "", "D_3 + D_5", f"{EDITION}, 11.8.2", "sum for the design life")]
    by_curve: _BY_CURVE
    few_cycles_damage: FewCycles
    equivalent_range: Annotated[
        float, Figure("f_E,2", "MPa", "phi * f_rnc * D ** (1 / 3)", "", "constant range of the same sum in 2e6 cycles")
    ]
    stress_utilisation: Annotated[
        float, Figure("u", "", "f_E2 / (phi * f_rnc)", "", "that range over the design strength")
    ]
    design_life: _LIFE_WANTED
    life: _LIFE
    life_text: str
    blocks: tuple[BlockDamage, ...]
    share_by_range: tuple[RangeShare, ...]
    curve: LifeCurve
    constant: ConstantNormalRange | None
    limit: StressLimits | None
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class ShearSum:
    """Sum of 11.8.2 for shear stress, and the life that follows from it; equivalent range as for normal stress."""

    phi: _PHI
    category: Annotated[float, Figure("f_rs", "MPa", "", f"{EDITION}, 11.5.1", "category: strength at 2e6 cycles")]
    size_factor: _FACTOR
    strength: Annotated[
        float, Figure("f_rs,c", "MPa", "beta_tf * f_rs", f"{EDITION}, 11.1.7", "corrected strength at 2e6 cycles")
    ]
    cut_off: Annotated[
        float, Figure("f_5s,c", "MPa", "(2 / 100) ** (1 / 5) * f_rsc", f"{EDITION}, 11.6.2", "cut-off, at 1e8 cycles")
    ]
    design_cut_off: Annotated[
        float, Figure("f_5s,d", "MPa", "phi * f_5sc", f"{EDITION}, 11.8.2", "range from which the sum counts")
    ]
    cycles: _CYCLES
    largest_range: _LARGEST
    exempt_stress: _EXEMPT_STRESS
    exempt_range: _EXEMPT_RANGE
    exempt_strength: _EXEMPT_STRENGTH
    exempt_cycles: _EXEMPT_CYCLES
    fifth_cycles: Annotated[
        float, Figure("n_5", "", title="cycles of φ f_rs,c for the ranges from f5s,d up: sum of n_k (f_k / φ f_rs,c)^5")
    ]
    damage: Annotated[float, Figure("D", "", "n_5 / 2e6", f"{EDITION}, 11.8.2", "sum for the design life")]
    by_curve: _BY_CURVE
    few_cycles_damage: FewCycles
    equivalent_range: Annotated[
        float, Figure("f_E,2", "MPa", "phi * f_rsc * D ** (1 / 5)", "", "constant range of the same sum in 2e6 cycles")
    ]
    stress_utilisation: Annotated[
        float, Figure("u", "", "f_E2 / (phi * f_rsc)", "", "that range over the design strength")
    ]
    design_life: _LIFE_WANTED
    life: _LIFE
    life_text: str
    blocks: tuple[BlockDamage, ...]
    share_by_range: tuple[RangeShare, ...]
    curve: LifeCurve
    constant: ConstantShearRange | None
    limit: StressLimits | None
    remarks: tuple[str, ...]


@dataclass(frozen=True)
class BothSums:
    """Normal and shear stress at one point: their sums are added."""

    normal: Annotated[float, Figure("D_n", "", title="sum of the normal stress")]
    shear: Annotated[float, Figure("D_s", "", title="sum of the shear stress")]
    damage: Annotated[float, Figure("D_p", "", "D_n + D_s", f"{EDITION}, 11.8.2(c)", "normal and shear together")]


def variable_range_cycles(curve: LifeCurve, ranges: ArrayLike, counts: ArrayLike) -> tuple[float, float]:
    """Cycles of the curve's reference strength that the ranges stand for, in the cubic and the fifth-power sum. [-]

    Parameters
    ----------
    curve : LifeCurve
        Corrected strength times the capacity factor. Its reference for the sums is phi f_3c at 5e6 cycles for
        normal stress, phi f_rsc at 2e6 cycles for shear stress, which has no cubic sum.
    ranges, counts : array, shape (m,)
        Design stress ranges [MPa] and how often each occurs.

    Source
    ------
    AS 4100:2020, 11.8.2 (from memory).

    Examples
    --------
    >>> from fatigue.curves import life_curve
    >>> design = life_curve("AS 4100", 80).scaled(0.7, "capacity factor")
    >>> cubic, fifth = variable_range_cycles(design, [80, 45, 30], [1e5, 4e5, 2e6])
    >>> (cubic + fifth) / 5e6
    0.330826
    """
    ranges, counts = np.asarray(ranges, dtype=np.float64), np.asarray(counts, dtype=np.float64)
    reference = curve.knee_strengths[0] if curve.knees else curve.strength
    cubic = (ranges >= reference) & bool(curve.knees)
    fifth = (ranges >= curve.cut_off_strength) & ~cubic
    relative = ranges / reference
    return float(counts[cubic] @ relative[cubic] ** 3), float(counts[fifth] @ relative[fifth] ** 5)


def exempt_range(phi: float) -> float:
    """Design stress range up to which no assessment is asked for any number of cycles. [MPa]

    Source
    ------
    AS 4100:2020, 11.4 (from memory; recalled as 26 or 27 MPa, the lower is used).

    Examples
    --------
    >>> exempt_range(0.7)
    18.2
    """
    return require_positive(phi, "capacity factor") * rule("exempt_range_MPa")


def exempt_cycles(phi: float, stress_range: float) -> float:
    """Number of cycles of a design stress range up to which no assessment is asked.

    Source
    ------
    AS 4100:2020, 11.4 (from memory).

    Examples
    --------
    >>> exempt_cycles(1.0, 50.0)
    746496.0
    """
    strength = require_positive(phi, "capacity factor") * rule("exempt_strength_MPa")
    return rule("exempt_cycles") * (strength / require_positive(stress_range, "stress range", unit="MPa")) ** 3


def together(normal: NormalSum, shear: ShearSum) -> BothSums:
    """The sum of normal and shear stress at one point."""
    return BothSums(normal.damage, shear.damage, normal.damage + shear.damage)
