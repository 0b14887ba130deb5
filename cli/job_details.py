"""The tables [[joint.detail]] of a job file: category, and what makes the stress at the detail."""

import fatigue.standards
from cli.component_units import stress_unit
from cli.keys import Keys
from fatigue.detail import FREE_OF_WELDING_STRESS, Detail, detail
from fatigue.recipe import AXES, KINDS, SECTIONS, Recipe
from fatigue.stress import (
    stress_of_net_section,
    stress_of_section,
    stress_of_shear_area,
    stress_per_component,
)
from loadhistories.blocks import COMPONENTS

FORCES = COMPONENTS[:3]
_STRESS_LIKE = '{ Fy = "0.35 MPa/kN" }'


def read_details(keys: Keys, standard: str | None, assumptions: list[str]) -> tuple[Detail, ...]:
    """Every detail of a joint; those in which something was refused are left out.

    Parameters
    ----------
    keys : Keys
        The table [[joint]] that holds them.
    standard : str or None
        As the job names it; None where it is unknown.
    assumptions : list of str
        Takes what the file left to us.
    """
    found = [_detail(table, standard, assumptions) for table in keys.tables("detail")]
    names = [item.name for item in found if item is not None]
    for name in dict.fromkeys(name for name in names if names.count(name) > 1):
        keys.note(f"{names.count(name)} details have the name {name!r}; give each a name of its own", "detail")
    return tuple(item for item in found if item is not None)


def _detail(keys: Keys, standard: str | None, assumptions: list[str]) -> Detail | None:
    before = len(keys.problems)
    name = keys.text("name")
    choice = _category(keys)
    recipe = _stress(keys)
    sizes = {}
    for size in fatigue.standards.standard(standard).SIZES if standard else ():
        value = keys.quantity(size, "mm", None, **({"least": 0.0} if size == "eccentricity" else {"above": 0.0}))
        if value is not None:
            sizes[size] = value
    yield_strength = keys.quantity("yield_strength", "MPa", None, above=0.0)
    free = keys.one_of("free_of_welding_stress", FREE_OF_WELDING_STRESS[1:], "")
    keys.done()
    if len(keys.problems) > before or standard is None:
        return None
    if "strength" in choice:
        assumptions.append(f"detail {name!r}: strength {choice['strength']:g} MPa as given, not by a category")
    return keys.attempt(
        detail, name, standard=standard, recipe=recipe, yield_strength=yield_strength, free_of_welding_stress=free,
        place=keys.place, **choice, **sizes,
    )  # fmt: skip


def _category(keys: Keys) -> dict:
    given = keys.raw("category", like='"8.4-1a", 71 or { strength = "71 MPa" }')
    if isinstance(given, dict):
        inner = keys.table_of("category")
        strength, stress = inner.quantity("strength", "MPa", above=0.0), inner.one_of("stress", KINDS, None)
        inner.done()
        return {"strength": strength, "stress": stress}
    if given is not None and (isinstance(given, bool) or not isinstance(given, (str, int, float))):
        keys.note(f'category must be an identifier, a number or {{ strength = "71 MPa" }}; got {given!r}', "category")
    return {"category": given}


def _stress(keys: Keys) -> Recipe | None:
    inner = keys.table_of("stress", required=True, like=_STRESS_LIKE)
    if inner is None:
        return None
    forms = {"section": _section, "shear": _shear, "net_section": _net_section}
    given = [form for form in forms if form in inner]
    if any(component in inner for component in COMPONENTS):
        given.append("load components")
    if len(given) > 1:
        inner.note(f"stress has {len(given)} recipes, {' and '.join(given)}; give one")
    if not given and not set(inner.table) - {"on", "kind"}:
        inner.note(f"stress needs load components as in {_STRESS_LIKE}, or one of {', '.join(forms)}")
    before = len(inner.problems)
    for form in forms:
        inner.raw(form, None)
    values = {name: inner.quantity(name, stress_unit(name), None) for name in COMPONENTS}
    kind, on = inner.one_of("kind", KINDS, ""), inner.one_of("on", SECTIONS, "")
    inner.done()
    if len(given) != 1 or len(inner.problems) > before:
        return None
    if given[0] in forms:
        if kind:
            inner.note(f"kind goes with load components only; {given[0]} is of one kind", "kind")
        part = inner.table_of(given[0])
        return None if part is None else forms[given[0]](part, on)
    given_values = {name: value for name, value in values.items() if value is not None}
    return inner.attempt(stress_per_component, given_values, stress=kind or "", on=on or "", place=inner.place)


def _section(keys: Keys, on: str) -> Recipe | None:
    before = len(keys.problems)
    normal = keys.one_of("normal", AXES)
    area = keys.quantity("area", "mm2", None, above=0.0)
    by_axis = {
        "moduli": _by_axis(keys, "modulus", "mm3"),
        "second_moments": _by_axis(keys, "second_moment", "mm4"),
        "point": _by_axis(keys, "point", "mm"),
    }
    keys.done()
    if len(keys.problems) > before:
        return None
    return keys.attempt(stress_of_section, normal, area=area, on=on, place=keys.place, **by_axis)


def _by_axis(keys: Keys, key: str, unit: str) -> dict[str, float] | None:
    inner = keys.table_of(key)
    if inner is None:
        return None
    values = {axis: inner.quantity(axis, unit, None) for axis in AXES}
    inner.done()
    return {axis: value for axis, value in values.items() if value is not None}


def _shear(keys: Keys, on: str) -> Recipe | None:
    force, area = keys.one_of("force", FORCES), keys.quantity("area", "mm2", above=0.0)
    keys.done()
    if force is None or area is None:
        return None
    return keys.attempt(stress_of_shear_area, force, area, on=on, place=keys.place)


def _net_section(keys: Keys, on: str) -> Recipe | None:
    if on:
        keys.note("on is not for a net section, which says it by itself; take on away")
    force, holes = keys.one_of("force", FORCES), keys.whole("holes")
    sizes = {name: keys.quantity(name, "mm", above=0.0) for name in ("width", "thickness", "hole_diameter")}
    keys.done()
    if force is None or holes is None or None in sizes.values():
        return None
    return keys.attempt(stress_of_net_section, force, holes=holes, place=keys.place, **sizes)
