"""The tables [[crane]] and [[joint.runway]] of a job file: cranes by their duty class, and what they pass."""

from collections.abc import Mapping
from dataclasses import replace

from cli.job_crane_values import quantities
from cli.job_inspection import read_found
from cli.keys import REQUIRED, Keys, entry
from fatigue.crane_duty import SClass, cycles_class, duty_class, dynamic_factors, s_class, spectrum_class
from fatigue.runway import STANDARD
from fatigue.standards import standard as rules_of
from fatigue.wheel_girder import GirderSection, girder_section
from fatigue.wheels import KINDS, Crane, FatigueFactors, RunwayPlace, Strength, Web, require_whole, strength_of
from loadhistories.girder import SYSTEMS, Girder, girder
from loadhistories.tables import recalled_rows
from loadhistories.validation import InputError

RECORDS = ("this crane", "other loads")
_SIZES = {"rail_width": "mm", "web_height": "mm", "spacing": "mm", "flange_torsion": "mm4"}
_INSTEAD = (
    "duty classes and equivalent ranges are the method of EN 1991-3 and EN 1993-6, and {standard} counts the stress "
    "cycles themselves: give the passages as a [[load]], made by [load.crane] or recorded, and a [[joint.detail]]"
)


def read_cranes(keys: Keys, standard: str | None) -> dict[str, Crane | None]:
    """Every crane of a job by its name; None for one in which something was refused.

    Parameters
    ----------
    keys : Keys
        The whole job file.
    standard : str or None
        As the job names it; None where it is unknown.

    Examples
    --------
    In a job file:

    [[crane]]
    name = "casting crane"
    class = { cycles = "U5", spectrum = "Q3" }        # or "S4"
    hoisting = "HC2"
    hoisting_speed = "6 m/min"
    own_factor = 1.1
    wheel_load = { crane = "40 kN", hoist = "60 kN" }
    """
    found: dict[str, Crane | None] = {}
    for table in keys.tables("crane"):
        if standard not in (None, STANDARD):
            table.note(_INSTEAD.format(standard=standard))
        name = table.text("name")
        with recalled_rows() as recalled:
            crane = _crane(table)
        if name is not None and name in found:
            table.note(f"a crane has the name {name!r} already; give each a name of its own", "name")
        if name is not None:
            found[name] = None if crane is None else replace(crane, recalled=recalled.lines)
    return found


def read_runway(
    keys: Keys, standard: str | None, cranes: dict[str, Crane | None], details: Mapping[str, bool]
) -> tuple[RunwayPlace, ...]:
    """Every table [[joint.runway]] of a joint; those in which something was refused are left out.

    Parameters
    ----------
    keys : Keys
        The table [[joint]].
    cranes : dict
        See `read_cranes`.
    details : mapping
        Names of the details of the joint, which may stand beside, and whether each states a random stress.
    """
    tables = keys.tables("runway")
    found = [_place(table, standard, cranes, details) for table in tables]
    names = [item.name for item in found if item is not None]
    for name in dict.fromkeys(name for name in names if names.count(name) > 1):
        keys.note(f"{names.count(name)} places of the runway have the name {name!r}; give each its own", "runway")
    return tuple(item for item in found if item is not None)


def _crane(keys: Keys) -> Crane | None:
    before = len(keys.problems)
    name = keys.text("name")
    duty, made = _duty(keys)
    factors = _factors(keys)
    parts = keys.table_of("wheel_load", required=True, like='{ crane = "40 kN", hoist = "60 kN" }')
    own = hoist = None
    if parts is not None:
        own, hoist = (parts.quantity(key, "N", least=0.0) for key in ("crane", "hoist"))
        parts.done()
    wheels = _places(keys, "wheels")
    heavy = keys.number("heavy_cycles", None, least=0.0)
    keys.done()
    if len(keys.problems) > before or None in (duty, factors, own, hoist):
        return None
    crane = Crane(name, duty, made, factors, own, hoist, wheels, heavy)
    return None if _made(keys, crane.load, duty) is None else crane


def _duty(keys: Keys) -> tuple[SClass | None, object | None]:
    """The S class and what made it, where the file gives cycles and spectrum instead."""
    if not isinstance(keys.raw("class", like='"S4", or { cycles = "U5", spectrum = "Q3" }'), dict):
        name = keys.text("class") if "class" in keys else None
        return (None if name is None else keys.attempt(s_class, name, place=keys.at("class"))), None
    inner = keys.table_of("class")
    cycles = _class(inner, "cycles", cycles_class, "U5")
    spectrum = _class(inner, "spectrum", spectrum_class, "Q3")
    inner.done()
    if cycles is None or spectrum is None:
        return None, None
    made = inner.attempt(duty_class, cycles, spectrum, place=inner.place)
    return (None, None) if made is None else (inner.attempt(s_class, made.name, place=inner.place), made)


def _class(keys: Keys, key: str, of_number, like: str) -> str | None:
    """A class by its name, or the class of a number."""
    if isinstance(keys.raw(key, like=f'"{like}", or a number'), str) or key not in keys:
        return keys.table.get(key)
    value = keys.number(key, above=0.0)
    return None if value is None else keys.attempt(of_number, value, place=keys.at(key))


def _factors(keys: Keys):
    """Dynamic factors by the hoisting class, or those for fatigue as given."""
    own = keys.table_of("fatigue_factors")
    by_class = "hoisting" in keys
    if by_class == ("fatigue_factors" in keys):
        keys.note("a crane needs one of hoisting (with hoisting_speed and own_factor) and fatigue_factors")
    need = REQUIRED if by_class else None
    name = keys.text("hoisting", None, like='"HC2"')
    speed = keys.quantity("hoisting_speed", "mm/s", need, least=0.0)
    factor = keys.number("own_factor", need)
    if own is not None:
        for key in ("hoisting_speed", "own_factor"):
            if key in keys and not by_class:
                keys.note(f"{key} goes with hoisting, not with fatigue_factors; take it away", key)
        given = [own.number(key, least=0.95) for key in ("own", "hoist")]
        own.done()
        return None if None in given else FatigueFactors(*given)
    if None in (name, speed, factor):
        return None
    return keys.attempt(dynamic_factors, name, hoisting_speed=speed, own=factor, place=keys.place)


def _places(keys: Keys, key: str) -> tuple[float, ...]:
    """A list of lengths, () where it is absent or was refused."""
    given = keys.texts(key, None, like='["0 m", "3.2 m"]') or []
    found = tuple(keys.attempt(entry, item, "mm", key, place=keys.at(key)) for item in given)
    if None in found:
        return ()
    if len(set(found)) < len(found):
        keys.note(f"{key} has two wheels at one place", key)
    return found


def _place(keys: Keys, standard, cranes: dict[str, Crane | None], details: Mapping[str, bool]) -> RunwayPlace | None:
    before = len(keys.problems)
    if standard not in (None, STANDARD):
        keys.note(_INSTEAD.format(standard=standard))
    name, names = keys.text("name"), keys.texts("cranes", like='["casting crane"]') or []
    for item in names:
        if item not in cranes:
            known = ", ".join(cranes) or "none, add a block [[crane]]"
            keys.note(f"crane {item!r} is unknown; known: {known}", "cranes")
    if len(set(names)) < len(names):
        keys.note("cranes names one crane twice; give each [[crane]] once", "cranes")
    passing = tuple(cranes.get(item) for item in names)
    strengths, cycles = _strengths(keys), keys.number("stress_cycles", above=0.0)
    web, beam, unit = _web(keys), _girder(keys), _unit(keys, len(names))
    apart = keys.quantity("apart", "mm", None, above=0.0)
    beside, records = _beside(keys, details)
    cracked = read_found(keys) == "found"
    keys.done()
    if len(keys.problems) > before or not passing or None in passing or standard is None:
        return None
    given = RunwayPlace(
        name, passing, strengths, cycles, web, beam, unit, apart, beside, records != RECORDS[1], cracked
    )
    return keys.attempt(require_whole, given, place=keys.place)


def _strengths(keys: Keys) -> dict[str, Strength]:
    """The strength of each kind of stress that has a category; sizes go with that for normal stress."""
    sizes = {
        size: value
        for size in rules_of(STANDARD).SIZES
        if (value := keys.quantity(size, "mm", None, **({"least": 0.0} if size == "eccentricity" else {"above": 0.0})))
        is not None
    }
    found = {}
    for key, kind in zip(("category", "shear_category"), KINDS, strict=True):
        given = keys.raw(key, None)
        if given is None:
            continue
        if isinstance(given, bool) or not isinstance(given, (str, int, float)):
            keys.note(f'{key} must be an identifier or a number, as in {key} = "8.10-2"; got {given!r}', key)
            continue
        strength = keys.attempt(strength_of, given, kind, place=keys.at(key), **(sizes if kind == "normal" else {}))
        if strength is not None:
            found[kind] = strength
    if not {"category", "shear_category"} & set(keys.table):
        keys.note("a place of a runway needs category for normal stress, shear_category, or both")
    return found


def _web(keys: Keys) -> Web | None:
    inner = keys.table_of("web")
    if inner is None:
        return None
    before = len(inner.problems)
    thickness, seat = inner.quantity("thickness", "mm", above=0.0), inner.text("seat", like='"fixed"')
    inertias = {
        key: value
        for key in ("rail_and_flange", "rail", "flange")
        if (value := inner.quantity(key, "mm4", None, above=0.0)) is not None
    }
    throat = inner.quantity("throat", "mm", None, above=0.0)
    table, bending = inner.table_of("bending"), None
    if table is not None:
        bending = {key: table.quantity(key, unit, above=0.0) for key, unit in _SIZES.items()}
        table.done()
    inner.done()
    if len(inner.problems) > before:
        return None
    web = Web(thickness, seat, inertias, bending, throat)
    tried = (_made(inner, web.pressure, 1.0), bending is None or _made(inner, web.bent, 1.0))
    return None if None in tried else web


def _girder(keys: Keys) -> GirderSection | None:
    inner = keys.table_of("girder")
    if inner is None:
        return None
    beam = _spans(inner)
    at = inner.quantity("at", "mm", least=0.0)
    modulus = inner.quantity("modulus", "mm3", None, above=0.0)
    area = inner.quantity("shear_area", "mm2", None, above=0.0)
    inner.done()
    if beam is None or at is None:
        return None
    return inner.attempt(girder_section, beam, at, modulus=modulus, shear_area=area, place=inner.place)


def _spans(keys: Keys) -> Girder | None:
    """The girder of one `span`, or of `spans` in a row with their `system`."""
    if ("span" in keys) == ("spans" in keys):
        keys.note('a girder needs one of span = "12 m" and spans = ["12 m", "12 m"]')
    spans = quantities(keys, "spans", "mm", None, like='["12 m", "12 m"]')
    row = "spans" in keys
    one = keys.quantity("span", "mm", None, above=0.0)
    system = keys.one_of("system", SYSTEMS, REQUIRED if row else SYSTEMS[0])
    moments = quantities(keys, "second_moment", "mm4", None, like='["8e8 mm4", "5e8 mm4"], one for each span')
    for key in ("system", "second_moment"):
        if key in keys and not row:
            keys.note(f"{key} goes with spans in a row; take it away, or give spans", key)
    lengths = spans if row else one if one is None else [one]
    if lengths is None or system is None or (moments is None and "second_moment" in keys):
        return None
    # Forces depend on the ratio of the stiffnesses alone, so any modulus of elasticity does.
    elastic = None if moments is None else 1.0
    return keys.attempt(girder, lengths, system=system, modulus=elastic, second_moments=moments, place=keys.place)


def _unit(keys: Keys, cranes: int) -> dict[str, tuple[float, ...]] | None:
    """Range of each kind of stress for a unit wheel load, one for all cranes or one for each."""
    inner = keys.table_of("stress")
    if inner is None:
        return None
    found = {}
    for kind in KINDS:
        given = inner.raw(kind, None)
        if not isinstance(given, list):
            value = inner.quantity(kind, "MPa/N", None, least=0.0)
            values = () if value is None else (value,) * cranes
        else:
            values = tuple(inner.attempt(entry, item, "MPa/N", kind, place=inner.at(kind)) for item in given)
            if len(values) != cranes:
                inner.note(f"{kind} has {len(values)} values for {cranes} cranes; give one for each in order", kind)
            if None not in values and min(values, default=0.0) < 0.0:
                inner.note(f"{kind} must not be below 0 MPa/N: it is a range", kind)
        if values and None not in values:
            found[kind] = values
    if not set(KINDS) & set(inner.table):
        inner.note('stress needs normal, shear, or both, as in stress = { normal = "0.5 MPa/kN" }')
    inner.done()
    return found


def _beside(keys: Keys, details: Mapping[str, bool]) -> tuple[str, str | None]:
    """The detail whose counted damage stands beside, and what was counted there."""
    beside = keys.text("beside", "", like='"name of a detail"')
    records = keys.one_of("records", RECORDS, REQUIRED if "beside" in keys else None)
    if "records" in keys and "beside" not in keys:
        keys.note("records goes with beside: name the detail whose loads were counted, or take it away", "records")
    if beside and beside not in details:
        known = ", ".join(details) or "none"
        keys.note(f"detail {beside!r} is not in this joint; known: {known}", "beside")
    if details.get(beside):
        keys.note(
            f"detail {beside!r} states a psd, and the damage of a random stress is not compared with, nor added to, "
            "that of cranes by their classes: name a detail without psd", "beside",
        )  # fmt: skip
    return beside or "", records


def _made(keys: Keys, function, *values):
    """What the call makes of the values; what it refuses is noted with the place of the table."""
    try:
        return function(*values)
    except InputError as refusal:
        for problem in refusal.problems:
            keys.note(problem)
        return None
