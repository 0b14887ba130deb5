"""The tables [[joint]] of a job file: bolted joint, plates, permanent load, factors, alignment."""

from dataclasses import dataclass
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from cli.component_units import component_unit
from cli.job_bolts import read_bolts, read_point
from cli.job_details import read_details
from cli.keys import Keys
from fatigue.detail import Detail
from loadhistories.blocks import COMPONENTS
from slip.holes import Hole
from slip.joint import SLIP_RULES, Alignment, BoltedJoint, Factors, Plate
from slip.steels import steel

_OF_BOLTS = ("slip", "because", "factors", "plates", "alignment")


@dataclass(frozen=True, eq=False)
class JointInput:
    """One joint of a job.

    Attributes
    ----------
    joint : BoltedJoint or None
        None where the joint has details only.
    details : tuple of Detail
        What may crack at it.
    permanent : array, shape (6,)
        Permanent load in the order of COMPONENTS. [N, N mm]
    assumptions : tuple of str
        What the file left to us, or stated below what the standard asks.
    """

    name: str
    joint: BoltedJoint | None
    details: tuple[Detail, ...]
    permanent: NDArray[np.float64]
    assumptions: tuple[str, ...]


def read_joint(keys: Keys, standard: str | None, rules: ModuleType | None) -> JointInput | None:
    """One table [[joint]]; None where something in it was refused.

    Parameters
    ----------
    standard : str or None
        As the job names it; None where it is unknown.
    rules : module or None
        Its module in the slip engine.
    """
    before = len(keys.problems)
    assumptions: list[str] = []
    name = keys.text("name")
    permanent = _permanent(keys, assumptions)
    bolts = keys.table_of("bolts")
    joint = None
    if bolts is not None:
        joint = _bolted(keys, bolts, name, standard, rules, permanent, assumptions)
    elif "bolts" not in keys:
        for key in _OF_BOLTS:
            keys.raw(key, None)
            if key in keys:
                keys.note(f"{key} is for bolted joints; add a table [joint.bolts] or take {key} away", key)
    details = read_details(keys, standard, assumptions)
    if "bolts" not in keys and "detail" not in keys:
        keys.note("a joint needs bolts or details; add a table [joint.bolts] or a block [[joint.detail]]")
    keys.done()
    if len(keys.problems) > before or name is None:
        return None
    return JointInput(name, joint, details, permanent, tuple(assumptions))


def _bolted(keys, bolts, name, standard, rules, permanent, assumptions) -> BoltedJoint | None:
    slip = keys.one_of("slip", SLIP_RULES)
    because = keys.text("because", "")
    group, hole = read_bolts(bolts, rules, assumptions)
    factors = _factors(keys, assumptions)
    plates = _plates(keys, hole)
    alignment = _alignment(keys)
    if group is None or slip is None or standard is None or None in plates:
        return None
    if len(plates) < group.planes + 1:
        assumptions.append(
            f"{len(plates)} of the {group.planes + 1} plates of the joint given; the others are taken to be no weaker"
        )
    return BoltedJoint(
        name=name or "", standard=standard, plates=tuple(plates), slip=slip, because=because or "",
        permanent=permanent, factors=factors, alignment=alignment, **vars(group),
    )  # fmt: skip


def _permanent(keys: Keys, assumptions: list[str]) -> NDArray[np.float64]:
    values = np.zeros(len(COMPONENTS))
    inner = keys.table_of("permanent")
    if inner is None:
        if "permanent" not in keys:
            assumptions.append("no permanent load: none is given")
        return values
    for number, component in enumerate(COMPONENTS):
        values[number] = inner.quantity(component, component_unit(component), 0.0) or 0.0
    inner.done()
    return values


def _factors(keys: Keys, assumptions: list[str]) -> Factors:
    usual = Factors()
    inner = keys.table_of("factors")
    given = {}
    words = {"permanent": "permanent", "permanent_favourable": "favourable permanent", "variable": "variable"}
    for name, word in words.items():
        default = getattr(usual, name)
        value = default if inner is None else inner.number(name, default, above=0.0)
        if inner is None or name not in inner:
            assumptions.append(f"factor {default:g} on {word} load at ultimate level")
        given[name] = default if value is None else value
    if inner is not None:
        inner.done()
        if given["permanent_favourable"] > given["permanent"]:
            inner.note(
                f"permanent_favourable {given['permanent_favourable']:g} is above permanent {given['permanent']:g}; "
                "the smaller factor is for load that helps"
            )
    return Factors(**given)


def _plates(keys: Keys, hole: Hole | None) -> list[Plate | None]:
    return [_plate(table, hole) for table in keys.tables("plates", required=True)]


def _plate(keys: Keys, hole: Hole | None) -> Plate | None:
    name = keys.text("name")
    thickness = keys.quantity("thickness", "mm", above=0.0)
    end = keys.quantity("end_distance", "mm", above=0.0)
    edge = keys.quantity("edge_distance", "mm", above=0.0)
    for key, distance in (("end_distance", end), ("edge_distance", edge)):
        if hole is not None and distance is not None and distance <= hole.width / 2:
            keys.note(
                f"{key} {distance:g} mm lies within the hole, whose edge is {hole.width / 2:g} mm from its centre; "
                "give the distance from the hole's centre to the edge of the plate", key,
            )  # fmt: skip
    strength = _steel(keys, thickness)
    keys.done()
    if None in (name, thickness, end, edge, strength):
        return None
    return Plate(name, thickness, *strength, end, edge)


def _steel(keys: Keys, thickness: float | None) -> tuple[str, float, float] | None:
    if isinstance(keys.table.get("steel"), dict):
        inner = keys.table_of("steel")
        name = inner.text("name", "steel of given strength")
        low = inner.quantity("yield_strength", "MPa", above=0.0)
        high = inner.quantity("ultimate_strength", "MPa", above=0.0)
        inner.done()
        if low is not None and high is not None and high < low:
            inner.note(f"ultimate_strength {high:g} MPa is below yield_strength {low:g} MPa")
        return None if None in (name, low, high) else (name, low, high)
    name = keys.text("steel", like='"S355", or { yield_strength = "345 MPa", ultimate_strength = "470 MPa" }')
    if name is None or thickness is None:
        return None
    found = keys.attempt(steel, name, thickness, place=keys.at("steel"))
    return None if found is None else (name, found.yield_strength, found.ultimate_strength)


def _alignment(keys: Keys) -> Alignment | None:
    inner = keys.table_of("alignment")
    if inner is None:
        return None
    given = inner.raw("point", like='["0 mm", "420 mm"]')
    point = None if given is None else read_point(inner, given, inner.at("point"))
    tolerance = inner.quantity("tolerance", "mm", above=0.0)
    inner.done()
    return None if point is None or tolerance is None else Alignment(point, tolerance)
