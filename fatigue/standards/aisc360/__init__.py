"""AISC 360-16 and 360-22, Appendix 3: stress categories A to G, their curves, thresholds and bolts in tension.

The two editions share the range equation 1000 (C_f / n)^0.333 ksi; that of 2010, (C_f 10^8 / n)^0.333, is not used.
"""

from fatigue.standards.aisc360.bolts import bolt_tension_share, net_tensile_area
from fatigue.standards.aisc360.categories import catalogue, curve_of_row, row_of, row_of_strength
from fatigue.standards.aisc360.damage import detail_damage
from fatigue.standards.aisc360.roots import SIZES, size_effect
from fatigue.standards.aisc360.verification import (
    BASIS,
    CLAUSE,
    CONDITIONS,
    EDITIONS,
    WELD_THROAT,
    WELD_TOES,
    category_without_grip,
    checks,
    condition_lost,
    partial_factors,
    preload_missing,
)

NAMES = ("AISC 360-16", "AISC 360-22")

__all__ = [
    "BASIS",
    "CLAUSE",
    "CONDITIONS",
    "EDITIONS",
    "NAMES",
    "SIZES",
    "WELD_THROAT",
    "WELD_TOES",
    "bolt_tension_share",
    "catalogue",
    "category_without_grip",
    "checks",
    "condition_lost",
    "curve_of_row",
    "detail_damage",
    "net_tensile_area",
    "partial_factors",
    "preload_missing",
    "row_of",
    "row_of_strength",
    "size_effect",
]
