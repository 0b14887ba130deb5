"""The tables [[joint]] of a job file: bolted joint, plates, permanent load, factors, alignment."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from cli.component_units import component_unit
from cli.job_alignment import read_alignment
from cli.job_bolts import BoltGroup, read_bolts
from cli.job_details import read_details
from cli.job_place import read_column, read_place
from cli.job_random import Densities
from cli.job_runway import read_runway
from cli.job_shear_parts import read_shear_parts
from cli.job_steel import read_steel
from cli.job_welds import read_sharing, read_welds
from cli.keys import Keys
from fatigue.detail import Detail
from fatigue.wheels import Crane, RunwayPlace
from loadhistories.blocks import COMPONENTS
from loadhistories.tables import read_table, recalled_rows
from loadhistories.validation import InputError
from slip.column_moment import SupportingColumn
from slip.holes import Hole
from slip.joint import HOLES, REACHES, SIDES, SLIP_RULES, BoltedJoint, Factors, Plate
from slip.sharing_with_welds import Sharing, rule_of
from slip.shear_parts import ShearParts, relieved_of
from slip.trade import NOWHERE, Place
from slip.welded import WeldedJoint

_OF_BOLTS = ("slip", "because", "plates", "alignment")


@dataclass(frozen=True, eq=False)
class JointInput:
    """One joint of a job.

    Attributes
    ----------
    joint : BoltedJoint or None
        None where the joint has no bolts, or bolts that carry nothing beside its welds.
    details : tuple of Detail
        What may crack at it.
    permanent : array, shape (6,)
        Permanent load in the order of COMPONENTS. [N, N mm]
    assumptions : tuple of str
        What the file left to us, or stated below what the standard asks.
    welded : WeldedJoint or None
        The welds whose strength is judged.
    sharing : Sharing or None
        Where bolts and welds are to carry together: what the user states of it.
    runway : tuple of RunwayPlace
        What cranes pass, judged by their duty classes.
    recalled : tuple of str
        Rows of tables that were looked up for it and were recalled, not read in their source.
    parts : ShearParts or None
        A key or dowels that take shear from the bolts; `joint` then holds what is left to these of the permanent load.
    table : dict
        The table [[joint]] as the file has it.
    place : Place
        Where and as what it stands, as far as the user says.
    column : SupportingColumn or None
        What carries a stiff joint.
    again : callable
        `again(table)` reads another table of this joint as this one was read; raises InputError.
    """

    name: str
    joint: BoltedJoint | None
    details: tuple[Detail, ...]
    permanent: NDArray[np.float64]
    assumptions: tuple[str, ...]
    welded: WeldedJoint | None = None
    sharing: Sharing | None = None
    runway: tuple[RunwayPlace, ...] = ()
    recalled: tuple[str, ...] = ()
    parts: ShearParts | None = None
    table: dict = field(default_factory=dict)
    again: "Callable[[dict], JointInput] | None" = None
    place: Place = NOWHERE
    column: SupportingColumn | None = None


def read_joint(
    keys: Keys, standard: str | None, rules: ModuleType | None, densities: Densities, cranes: dict[str, Crane | None]
) -> JointInput | None:
    """One table [[joint]]; None where something in it was refused.

    Parameters
    ----------
    standard : str or None
        As the job names it; None where it is unknown.
    rules : module or None
        Its module in the slip engine.
    densities : Densities
        Reads the random stress of details.
    cranes : dict
        Those of the job by name; None where one was refused.
    """
    with recalled_rows() as recalled:
        found = _joint(keys, standard, rules, densities, cranes)

    def again(table: dict) -> JointInput:
        problems: list[str] = []
        other = read_joint(Keys(table, keys.place, problems, file=keys.file), standard, rules, densities, cranes)
        if other is None or problems:
            raise InputError(*problems)
        return other

    return None if found is None else replace(found, recalled=recalled.lines, table=keys.table, again=again)


def _joint(keys: Keys, standard, rules, densities: Densities, cranes: dict[str, Crane | None]) -> JointInput | None:
    before = len(keys.problems)
    assumptions: list[str] = []
    name = keys.text("name")
    permanent = _permanent(keys, assumptions)
    bolts = keys.table_of("bolts")
    joint = None
    factors = _factors(keys, rules, assumptions) if "bolts" in keys or "weld" in keys else _no_factors(keys)
    welded = read_welds(keys, name, standard, rules, permanent, factors)
    if bolts is not None:
        joint = _bolted(keys, bolts, name, standard, rules, permanent, factors, assumptions)
    elif "bolts" not in keys:
        for key in _OF_BOLTS:
            keys.raw(key, None)
            if key in keys:
                keys.note(f"{key} is for bolted joints; add a table [joint.bolts] or take {key} away", key)
    parts = read_shear_parts(keys, standard, rules, joint)
    if parts is not None and joint is not None:
        joint = replace(joint, permanent=relieved_of(parts, permanent))
        taken = "the load " + ", ".join(parts.taken)
        assumptions.append(f"{taken} goes to {parts.words} whole: what the bolts would carry of it is not counted")
    details = read_details(keys, standard, assumptions, joint, densities, parts)
    runway = read_runway(keys, standard, cranes, _psd_by_name(keys))
    carrier, stated = read_sharing(keys, "bolts" in keys and "weld" in keys)
    if not {"bolts", "weld", "detail", "runway"} & set(keys.table):
        keys.note("a joint needs bolts, welds or details; add a table [joint.bolts], a block [[joint.weld]], a "
                  "block [[joint.detail]] or a block [[joint.runway]]")  # fmt: skip
    place = read_place(keys, [] if joint is None else [plate.name for plate in joint.plates])
    column = read_column(keys, assumptions)
    keys.done()
    if len(keys.problems) > before or name is None:
        return None
    if carrier == "welds" and rules is not None:
        joint = None
        clause = rule_of(standard)["welds_alone_clause"]
        assumptions.append(f"the bolts carry nothing: the welds are judged for the whole load ({clause})")
    if welded is not None:
        assumptions.append(
            f"{welded.quality} welds made as the strength presumes; what their strength gains by the direction of "
            "the force is left out"
        )
    sharing = stated if carrier == "bolts and welds" else None
    return JointInput(
        name, joint, details, permanent, tuple(assumptions), welded, sharing, runway, parts=parts, place=place,
        column=column,
    )  # fmt: skip


def _psd_by_name(keys: Keys) -> dict[str, bool]:
    """The names of the details as they stand in the file, and whether each states a random stress."""
    tables = keys.table.get("detail")
    listed = [table for table in tables if isinstance(table, dict)] if isinstance(tables, list) else []
    return {table["name"]: "psd" in table for table in listed if isinstance(table.get("name"), str)}


def _bolted(keys, bolts, name, standard, rules, permanent, factors, assumptions) -> BoltedJoint | None:
    slip = keys.one_of("slip", SLIP_RULES)
    because = keys.text("because", "")
    group, hole = read_bolts(bolts, rules, assumptions)
    plates = _plates(keys, hole, group, rules)
    alignment = read_alignment(keys)
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


def _no_factors(keys: Keys) -> Factors:
    """The usual factors, for a joint that has no use for any: such a key is refused."""
    keys.raw("factors", None)
    if "factors" in keys:
        keys.note("factors is for joints with bolts or welds; add them or take factors away", "factors")
    return Factors()


def _factors(keys: Keys, rules: ModuleType | None, assumptions: list[str]) -> Factors:
    inner = keys.table_of("factors")
    given = {}
    words = {"permanent": "permanent", "permanent_favourable": "favourable permanent", "variable": "variable"}
    for name, word in words.items():
        if inner is None or name not in inner:
            given[name] = _usual_factor(rules, name)
            assumptions.append(f"factor {given[name]:g} on {word} load at ultimate level")
        value = None if inner is None else inner.number(name, None, above=0.0)
        given.setdefault(name, getattr(Factors(), name) if value is None else value)
    if inner is not None:
        inner.done()
        if given["permanent_favourable"] > given["permanent"]:
            inner.note(
                f"permanent_favourable {given['permanent_favourable']:g} is above permanent {given['permanent']:g}; "
                "the smaller factor is for load that helps"
            )
    return Factors(**given)


def _usual_factor(rules: ModuleType | None, name: str) -> float:
    """A load factor that the job does not state, looked up so that a recalled one is told."""
    if rules is None:
        return getattr(Factors(), name)
    return float(read_table(rules.__name__, "load_factors")[name]["value"])


def _plates(keys: Keys, hole: Hole | None, group: BoltGroup | None, rules) -> list[Plate | None]:
    return [_plate(table, hole, group, rules) for table in keys.tables("plates", required=True)]


def _plate(keys: Keys, hole: Hole | None, group: BoltGroup | None, rules) -> Plate | None:
    name = keys.text("name")
    kind = keys.one_of("holes", HOLES, "")
    if kind and group is not None and hole is not None:
        hole = _own_hole(keys, kind, hole, group, rules)
    thickness = keys.quantity("thickness", "mm", above=0.0)
    end = keys.quantity("end_distance", "mm", above=0.0)
    edge = keys.quantity("edge_distance", "mm", above=0.0)
    for key, distance in (("end_distance", end), ("edge_distance", edge)):
        if hole is not None and distance is not None and distance <= hole.width / 2:
            keys.note(
                f"{key} {distance:g} mm lies within the hole, whose edge is {hole.width / 2:g} mm from its centre; "
                "give the distance from the hole's centre to the edge of the plate", key,
            )  # fmt: skip
    strength = read_steel(keys, thickness)
    width, height = _extents(keys, hole, group)
    side, reaches = keys.one_of("belongs_to", SIDES, ""), keys.one_of("reaches", REACHES, "")
    keys.done()
    if None in (name, thickness, end, edge, strength, side, reaches):
        return None
    return Plate(name, thickness, *strength, end, edge, kind or "", width, height, side, reaches)


def _extents(keys: Keys, hole: Hole | None, group: BoltGroup | None) -> tuple[float | None, float | None]:
    """Width and height of a plate, where its sections are to be judged."""
    found = [keys.quantity(key, "mm", None, above=0.0) for key in ("width", "height")]
    if hole is None or group is None:
        return found[0], found[1]
    for key, given, spread in zip(("width", "height"), found, np.ptp(group.positions, axis=0), strict=True):
        if given is not None and given <= spread + hole.width:
            keys.note(
                f"{key} {given:g} mm does not reach beyond the holes, which take up {spread + hole.width:g} mm; give "
                "the whole extent of the plate", key,
            )  # fmt: skip
    return found[0], found[1]


def _own_hole(keys: Keys, kind: str, hole: Hole, group: BoltGroup, rules: ModuleType) -> Hole:
    """The hole of a plate that differs from those of the joint."""
    if kind.endswith("slot") and not group.slot_axis:
        keys.note('a slot in one plate needs its axis; give holes as a slot and slot = "x" or "y" in [joint.bolts], '
                  "and the other plates their own holes", "holes")  # fmt: skip
        return hole
    bolt = rules.bolt(group.size, group.grade)
    return keys.attempt(rules.hole, bolt, kind, place=keys.at("holes")) or hole
