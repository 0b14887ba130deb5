"""The tables [[joint.detail]] of a job file: category, sizes and statements; the stress is read in `cli.job_stress`."""

from dataclasses import replace

import fatigue.standards
from cli.job_bolts import read_point
from cli.job_category import read_category
from cli.job_inspection import read_found, read_inspection
from cli.job_random import Densities
from cli.job_stress import read_net_section, read_stress
from cli.keys import Keys
from fatigue.detail import FREE_OF_WELDING_STRESS, Detail, detail
from fatigue.random_stress import with_random
from fatigue.recipe import Recipe
from slip.joint import BoltedJoint
from slip.shear_parts import ShearParts


def read_details(
    keys: Keys, standard: str | None, assumptions: list[str], joint: BoltedJoint | None = None,
    densities: Densities | None = None, parts: ShearParts | None = None,
) -> tuple[Detail, ...]:
    """Every detail of a joint; those in which something was refused are left out.

    Parameters
    ----------
    keys : Keys
        The table [[joint]] that holds them.
    standard : str or None
        As the job names it; None where it is unknown.
    assumptions : list of str
        Takes what the file left to us.
    joint : BoltedJoint or None
        The bolts among which the details lie.
    densities : Densities or None
        Reads the random stress; None: no detail has any.
    parts : ShearParts or None
        A key or dowels beside the bolts.
    """
    tables = keys.tables("detail")
    found = [_detail(table, standard, assumptions, joint, "bolts" in keys, densities, parts) for table in tables]
    names = [item.name for item in found if item is not None]
    for name in dict.fromkeys(name for name in names if names.count(name) > 1):
        keys.note(f"{names.count(name)} details have the name {name!r}; give each a name of its own", "detail")
    return tuple(item for item in found if item is not None)


def _detail(
    keys: Keys, standard: str | None, assumptions: list[str], joint: BoltedJoint | None, bolted: bool,
    densities: Densities | None, parts: ShearParts | None,
) -> Detail | None:
    before = len(keys.problems)
    name = keys.text("name")
    choice = read_category(keys, standard)
    recipe = read_stress(keys, standard, joint, bolted, parts)
    net = _net(keys, joint)
    beside = {key: keys.text(key, "", like='"none: full penetration"') for key in ("root", "toe")}
    point = keys.text("point", "", like='"weld root"')
    sizes = {}
    curves = choice.get("standard", standard)
    for size in fatigue.standards.standard(curves).SIZES if curves else ():
        value = keys.quantity(size, "mm", None, **({"least": 0.0} if size == "eccentricity" else {"above": 0.0}))
        if value is not None:
            sizes[size] = value
    yield_strength = keys.quantity("yield_strength", "MPa", None, above=0.0)
    free = keys.one_of("free_of_welding_stress", FREE_OF_WELDING_STRESS[1:], "")
    cracked = read_found(keys) == "found"
    place = keys.raw("site", None)
    site = None if place is None else read_point(keys, place, keys.at("site"))
    inspection = read_inspection(keys)
    random = densities.read(keys) if densities is not None else None
    if "inspection" in keys and "psd" in keys:
        keys.note(
            "the growth of a crack is found from the recorded loads alone, which would make the time between "
            "inspections too long beside a random stress: give inspection or psd, not both", "inspection",
        )  # fmt: skip
    keys.done()
    if len(keys.problems) > before or standard is None or recipe is None:
        return None
    assumptions.extend(f"detail {name!r}: no crack from the {key}, {text}" for key, text in beside.items() if text)
    if "strength" in choice:
        assumptions.append(f"detail {name!r}: strength {choice['strength']:g} MPa as given, not by a category")
    found = keys.attempt(
        detail, name, recipe=recipe, point=point, yield_strength=yield_strength, free_of_welding_stress=free,
        net=net, crack_found=cracked, place=keys.place, **({"standard": standard} | choice), **sizes, **beside,
    )  # fmt: skip
    if found is not None:
        found = replace(found, inspection=inspection, site=site)
    if found is not None and random is not None:
        assumptions.append(
            f"detail {name!r}: its random stress acts at other times than the recorded loads; their damages add"
        )
        found = keys.attempt(with_random, found, random, place=f"{keys.place}.psd")
    return found


def _net(keys: Keys, joint: BoltedJoint | None) -> Recipe | None:
    """The net section that the detail is left with where the joint slips."""
    inner = keys.table_of("net_section")
    if inner is None:
        return None
    if joint is not None and joint.holes != "normal":
        inner.note(
            f"a net section for a joint that slips is judged with bolts in normal holes, the holes here are "
            f"{joint.holes!r}: take net_section away; the detail then stands only while the joint grips"
        )
    return read_net_section(inner)
