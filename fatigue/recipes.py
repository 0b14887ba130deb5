"""The one recipe of a detail's stress, whichever of the ways to it is given."""

from collections.abc import Mapping

from fatigue.bolt_stress import stress_of_bolt_tension
from fatigue.hotspot import stress_of_hot_spot
from fatigue.net_bending import stress_of_bent_net_section
from fatigue.recipe import Recipe
from fatigue.section_stress import stress_of_shape
from fatigue.stress import stress_of_net_section, stress_of_section, stress_of_shear_area, stress_per_component
from fatigue.weld_stress import stress_of_welds
from loadhistories.validation import InputError, require_one_of, where

WAYS = {
    "per_component": stress_per_component,
    "section": stress_of_section,
    "shape": stress_of_shape,
    "shear_area": stress_of_shear_area,
    "net_section": stress_of_net_section,
    "bent_net_section": stress_of_bent_net_section,
    "weld": stress_of_welds,
    "hot_spot": stress_of_hot_spot,
    "bolt_tension": stress_of_bolt_tension,
}


def stress_recipe(*, place: str = "", **ways: Mapping | None) -> Recipe:
    """The one recipe that is given.

    Parameters
    ----------
    **ways : mapping
        One of WAYS, with the arguments of its own function by name; for `per_component` the stress per component.

    Raises
    ------
    InputError
        No recipe, more than one, or an unknown one.

    Examples
    --------
    >>> stress_recipe(shear_area={"force": "Fy", "area": 1000.0}).text
    'mean shear stress of Fy over the shear area'
    """
    for name in ways:
        require_one_of(name, WAYS, "recipe", place=place)
    chosen = {name: ways[name] for name in WAYS if ways.get(name) is not None}
    if len(chosen) != 1:
        found = f"got {' and '.join(chosen)}" if chosen else "got none"
        raise InputError(f"stress needs exactly one recipe of {', '.join(WAYS)}; {found}{where(place)}")
    ((name, given),) = chosen.items()
    if name == "per_component" and "coefficients" not in given:
        given = {"coefficients": given}
    return WAYS[name](**given, place=place)
