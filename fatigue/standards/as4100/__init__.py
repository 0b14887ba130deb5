"""AS 4100:2020, section 11: detail categories, curves, capacity factor, and how a detail is verified."""

from fatigue.standards.as4100.capacity import (
    BASIS,
    OWN_FACTORS,
    CapacityFactor,
    GivenCapacityFactor,
    deviation,
    partial_factors,
)
from fatigue.standards.as4100.sums import (
    BothSums,
    ConstantNormalRange,
    ConstantShearRange,
    NormalSum,
    ShearSum,
    StressLimits,
    exempt_cycles,
    exempt_range,
    together,
    variable_range_cycles,
)
from fatigue.standards.as4100.tables import (
    EDITION,
    ThicknessFactor,
    catalogue,
    curve_of_row,
    row_of,
    row_of_strength,
    size_effect,
)
from fatigue.standards.as4100.verification import (
    CLAUSE,
    category_without_grip,
    checks,
    condition_lost,
    detail_damage,
    point_checks,
)

NAMES = ("AS 4100",)
EDITIONS = {"AS 4100": EDITION}
CONDITIONS = ("stress",)
SIZES = ("thickness",)
WELD_THROAT = {
    "normal": "11.5.1(4)-30b",
    "shear": "11.5.1(4)-32",
    "clause": f"{EDITION}, Table 11.5.1(4), details 30 and 32, and 11.8.2(c)",
}
WELD_TOES = ("fatigue.standards.as4100", "weld_toes")

__all__ = [
    "BASIS",
    "CLAUSE",
    "CONDITIONS",
    "EDITION",
    "EDITIONS",
    "NAMES",
    "OWN_FACTORS",
    "SIZES",
    "WELD_THROAT",
    "WELD_TOES",
    "BothSums",
    "CapacityFactor",
    "ConstantNormalRange",
    "ConstantShearRange",
    "GivenCapacityFactor",
    "NormalSum",
    "ShearSum",
    "StressLimits",
    "ThicknessFactor",
    "catalogue",
    "category_without_grip",
    "checks",
    "condition_lost",
    "curve_of_row",
    "detail_damage",
    "deviation",
    "exempt_cycles",
    "exempt_range",
    "partial_factors",
    "point_checks",
    "row_of",
    "row_of_strength",
    "size_effect",
    "together",
    "variable_range_cycles",
]
