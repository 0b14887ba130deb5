"""The key `stress` of a detail in a job file: exactly one recipe of what makes the stress there."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

import fatigue.standards
from cli.component_units import stress_unit
from cli.job_bolts import read_point
from cli.job_shear_stress import SHEAR_FORMS, read_shear_stress
from cli.keys import Keys, entry
from fatigue.bolt_stress import share_of_standard, share_of_stiffness, stress_of_bolt_tension
from fatigue.hotspot import schemes, stress_of_hot_spot
from fatigue.lever import standing_at
from fatigue.net_bending import stress_of_bent_net_section
from fatigue.recipe import AXES, KINDS, SECTIONS, Recipe
from fatigue.section_stress import stress_of_shape
from fatigue.sections import OPTIONAL_SIZES, SHAPES, SIZES
from fatigue.stress import stress_of_net_section, stress_of_section, stress_of_shear_area, stress_per_component
from fatigue.weld_stress import stress_of_welds
from loadhistories.blocks import COMPONENTS
from slip.joint import BoltedJoint
from slip.sharing import sharing_matrices
from slip.shear_parts import ShearParts
from slip.standards import standard as slip_rules

FORCES, MOMENTS = COMPONENTS[:3], COMPONENTS[3:]
STRESS_LIKE = '{ Fy = "0.35 MPa/kN" }'
FORMS = ("section", "shear", "net_section", "weld", "hot_spot", "bolt_tension", *SHEAR_FORMS)
# These say by themselves on which section their stress stands.
_SAYS_ITS_SECTION = ("net_section", "weld", "hot_spot", "bolt_tension", *SHEAR_FORMS)


def read_stress(
    keys: Keys, standard: str | None, joint: BoltedJoint | None, bolted: bool, parts: ShearParts | None = None
) -> Recipe | None:
    """The recipe of one detail, or None where it was refused.

    Parameters
    ----------
    keys : Keys
        The table [[joint.detail]].
    standard : str or None
        As the job names it.
    joint : BoltedJoint or None
        The bolts around the detail, for their tension; None where the joint has none, or where they were refused.
    bolted : bool
        Whether the joint has bolts.
    parts : ShearParts or None
        The key or dowels beside them.
    """
    inner = keys.table_of("stress", required=True, like=STRESS_LIKE)
    if inner is None:
        return None
    given = [form for form in FORMS if form in inner]
    if any(component in inner for component in COMPONENTS):
        given.append("load components")
    if len(given) > 1:
        inner.note(f"stress has {len(given)} recipes, {' and '.join(given)}; give one")
    if not given and not set(inner.table) - {"on", "kind"}:
        inner.note(f"stress needs load components as in {STRESS_LIKE}, or one of {', '.join(FORMS)}")
    before = len(inner.problems)
    for form in FORMS:
        inner.raw(form, None)
    values = _components(inner)
    kind, on = inner.one_of("kind", KINDS, ""), inner.one_of("on", SECTIONS, "")
    inner.done()
    if len(given) != 1 or len(inner.problems) > before:
        return None
    if given[0] not in FORMS:
        return inner.attempt(stress_per_component, values, stress=kind or "", on=on or "", place=inner.place)
    if kind:
        inner.note(f"kind goes with load components only; {given[0]} is of one kind, or says it within", "kind")
    if on and given[0] in _SAYS_ITS_SECTION:
        inner.note(f"on is not for {given[0]}, which says it by itself; take on away", "on")
    part = inner.table_of(given[0])
    if part is None:
        return None
    match given[0]:
        case "section":
            return _section(part, on)
        case "shear":
            return _shear(part, on)
        case "net_section":
            return read_net_section(part)
        case "weld":
            return _weld(part)
        case "hot_spot":
            return _hot_spot(part)
    if given[0] in SHEAR_FORMS:
        return read_shear_stress(given[0], part, joint, parts)
    return None if joint is None and bolted else _bolt_tension(part, standard, joint)


def read_net_section(keys: Keys) -> Recipe | None:
    """A flat bar less its holes: pulled, or pulled and bent in its plane where `moment` is given."""
    force = keys.one_of("force", FORCES)
    sizes = {name: keys.quantity(name, "mm", above=0.0) for name in ("width", "thickness", "hole_diameter")}
    if "moment" not in keys and "hole_offsets" not in keys:
        holes = keys.whole("holes")
        for key in ("moment", "hole_offsets"):
            keys.raw(key, None)
        keys.done()
        if force is None or holes is None or None in sizes.values():
            return None
        return keys.attempt(stress_of_net_section, force, holes=holes, place=keys.place, **sizes)
    moment, offsets = keys.one_of("moment", MOMENTS), _lengths(keys, "hole_offsets")
    keys.done()
    if force is None or moment is None or offsets is None or None in sizes.values():
        return None
    return keys.attempt(
        stress_of_bent_net_section, force, moment, hole_offsets=offsets, place=keys.place, **sizes
    )


def _components(keys: Keys) -> dict[str, float]:
    values = {name: keys.quantity(name, stress_unit(name), None) for name in COMPONENTS}
    return {name: value for name, value in values.items() if value is not None}


def _section(keys: Keys, on: str) -> Recipe | None:
    before = len(keys.problems)
    normal = keys.one_of("normal", AXES)
    at = _by_axis(keys, "at", "mm")
    if at is not None and len(at) < len(AXES):
        keys.note('at is the section\'s centroid from the joint\'s origin: give x, y and z, as in at = { x = "0 mm", '
                  'y = "0 mm", z = "150 mm" }', "at")  # fmt: skip
    make, given = _shape(keys) if "shape" in keys else _by_values(keys)
    keys.done()
    if len(keys.problems) > before:
        return None
    recipe = keys.attempt(make, normal, on=on, place=keys.place, **given)
    if recipe is None or at is None:
        return recipe
    return keys.attempt(standing_at, recipe, [at[axis] for axis in AXES], place=keys.at("at"))


def _shape(keys: Keys):
    shape = keys.one_of("shape", SHAPES)
    given = {"shape": shape, "up": keys.one_of("up", AXES), "fibre": keys.text("fibre", like='"+z" or "corners"')}
    for name in SIZES.get(shape, ()):
        given[name] = keys.quantity(name, "mm", above=0.0)
    for name in OPTIONAL_SIZES.get(shape, ()):
        if name in keys:
            given[name] = keys.quantity(name, "mm", above=0.0)
        else:
            keys.raw(name, None)
    return stress_of_shape, given


def _by_values(keys: Keys):
    keys.raw("shape", None)
    return stress_of_section, {
        "area": keys.quantity("area", "mm2", None, above=0.0),
        "moduli": _by_axis(keys, "modulus", "mm3"),
        "second_moments": _by_axis(keys, "second_moment", "mm4"),
        "point": _by_axis(keys, "point", "mm"),
    }


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


def _weld(keys: Keys) -> Recipe | None:
    before = len(keys.problems)
    lines, kind = read_lines(keys), keys.one_of("kind", KINDS)
    sizes = {name: keys.quantity(name, "mm", None, above=0.0) for name in ("throat", "leg")}
    counts_as = keys.one_of("counts_as", KINDS, kind or "")
    keys.done()
    if len(keys.problems) > before:
        return None
    recipe = keys.attempt(stress_of_welds, lines, kind, place=keys.place, **sizes)
    return recipe if recipe is None or counts_as == kind else replace(recipe, stress=counts_as)


def read_lines(keys: Keys) -> NDArray[np.float64] | None:
    """The weld lines under `lines`, shape (k, 2, 2), or None where they were refused. [mm]"""
    like = '[[["-50 mm", "-100 mm"], ["-50 mm", "100 mm"]], [["50 mm", "-100 mm"], ["50 mm", "100 mm"]]]'
    listed = keys.raw("lines", like=like)
    if listed is None:
        return None
    if not isinstance(listed, list) or not listed or any(not isinstance(x, list) or len(x) != 2 for x in listed):
        keys.note(f"lines must be a list of weld lines, each a start and an end, as in lines = {like}", "lines")
        return None
    ends = [
        [read_point(keys, end, f"{keys.at('lines')}[{number}]") for end in line]
        for number, line in enumerate(listed, start=1)
    ]
    return None if any(None in line for line in ends) else np.array(ends)


def _hot_spot(keys: Keys) -> Recipe | None:
    before = len(keys.problems)
    points = keys.one_of("points", schemes())
    stresses = []
    for table in keys.tables("stress", required=True):
        stresses.append(_components(table))
        table.done()
    keys.done()
    if len(keys.problems) > before:
        return None
    return keys.attempt(stress_of_hot_spot, points, stresses, place=keys.place)


def _bolt_tension(keys: Keys, standard: str | None, joint: BoltedJoint | None) -> Recipe | None:
    before = len(keys.problems)
    prying = _prying(keys, joint)
    share = _share(keys, standard, prying)
    positions, area, preload = _bolts_of_their_own(keys) if joint is None else _bolts_of(keys, joint)
    keys.done()
    if len(keys.problems) > before:
        return None
    matrices = keys.attempt(sharing_matrices, positions)
    if matrices is None:
        return None
    return keys.attempt(
        stress_of_bolt_tension, matrices[1], area=area, prying=prying, share=share, preload=preload, place=keys.place
    )


def _prying(keys: Keys, joint: BoltedJoint | None) -> float | None:
    """Factor of prying: that of the joint's bolts where the file refers to it, and no other where they state one."""
    given = keys.table.get("prying")
    if given == "joint":
        keys.raw("prying")
        if joint is None or joint.prying is None:
            keys.note('prying = "joint" needs the key prying in [joint.bolts]', "prying")
            return None
        return joint.prying
    stated = None if joint is None or joint.flange is not None else joint.prying
    value = 1.0 if given == "none" else given
    if stated is not None and isinstance(value, int | float) and value != stated:
        keys.note(
            f'prying {value:g} of the detail differs from {stated:g} of the bolts; give prying = "joint"', "prying"
        )
    if given == "none":
        keys.raw("prying")
        return 1.0
    if "prying" not in keys:
        keys.raw("prying", like='"none", or the force with prying over that without, such as 1.2')
        return None
    return keys.number("prying", least=1.0)


def _share(keys: Keys, standard: str | None, prying: float | None):
    """What the file says of the share: a number, a result, or None where it says nothing."""
    ratio = keys.number("stiffness_ratio", None, above=0.0)
    if ratio is not None and "share" in keys:
        keys.note("give the share of the force or the stiffness_ratio that makes it, not both", "share")
    if keys.table.get("share") == "standard":
        keys.raw("share")
        if standard is None or prying is None:
            return None
        rules = fatigue.standards.standard(standard)
        return keys.attempt(share_of_standard, rules, prying=prying, place=keys.at("share"))
    share = keys.number("share", None, above=0.0)
    return share if ratio is None else keys.attempt(share_of_stiffness, ratio, place=keys.at("stiffness_ratio"))


def _bolts_of(keys: Keys, joint: BoltedJoint):
    for key in ("at", "tensile_area", "preload"):
        keys.raw(key, None)
        if key in keys:
            keys.note(f"{key} is that of [joint.bolts]; take it away here", key)
    return joint.positions, slip_rules(joint.standard).bolt(joint.size, joint.grade).stress_area, joint.preload


def _bolts_of_their_own(keys: Keys):
    like = '[["-65 mm", "0 mm"], ["65 mm", "0 mm"]]'
    listed = keys.raw("at", like=like)
    positions = None
    if isinstance(listed, list) and listed:
        points = [read_point(keys, item, f"{keys.at('at')}[{number}]") for number, item in enumerate(listed, start=1)]
        positions = None if None in points else np.array(points)
    elif listed is not None:
        keys.note(f"at must be a list of points, as in at = {like}", "at")
    area = keys.quantity("tensile_area", "mm2", above=0.0)
    if keys.table.get("preload") == "none":
        keys.raw("preload")
        return positions, area, 0.0
    return positions, area, keys.quantity("preload", "N", above=0.0)


def _lengths(keys: Keys, key: str) -> list[float] | None:
    listed = keys.raw(key, like='["-50 mm", "50 mm"]')
    if listed is None:
        return None
    if not isinstance(listed, list) or not listed:
        keys.note(f'{key} must be a list of lengths, as in {key} = ["-50 mm", "50 mm"]', key)
        return None
    found = [keys.attempt(entry, item, "mm", key, place=f"{keys.at(key)}[{n}]") for n, item in enumerate(listed, 1)]
    return None if None in found else found
