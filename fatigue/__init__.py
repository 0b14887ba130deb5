"""Stress ranges in, damage out: cycles, life curves, details, damage and life."""

from fatigue.assessment import DetailOutcome, StressWalk, assess_details
from fatigue.catalogue import CatalogueRow, find_details
from fatigue.curves import LifeCurve, curve_of_strength, life_curve
from fatigue.cycles import CycleCount, CycleCounter, count_cycles
from fatigue.detail import Detail
from fatigue.recipe import Recipe
from fatigue.recipes import stress_recipe

__all__ = [
    "CatalogueRow",
    "CycleCount",
    "CycleCounter",
    "Detail",
    "DetailOutcome",
    "LifeCurve",
    "Recipe",
    "StressWalk",
    "assess_details",
    "count_cycles",
    "curve_of_strength",
    "find_details",
    "life_curve",
    "stress_recipe",
]
