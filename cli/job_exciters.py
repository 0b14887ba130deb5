"""What moves in a machine of a job file: the tables unbalance, reciprocating and stroke of [load.machine]."""

import math
from dataclasses import dataclass, field
from fractions import Fraction

from cli.keys import Keys
from loadhistories.datasheet import mass, stroke_rate, turns
from loadhistories.exciters import DIRECTIONS, SHAPES, Harmonic, Strokes, along_line, rotating, strokes
from loadhistories.tables import row_of, unconfirmed
from loadhistories.unbalance import (
    CrankForces,
    UnbalanceResult,
    angular_speed,
    crank_forces,
    force_unbalance,
    grade_unbalance,
    mass_unbalance,
)

EXCITERS = ("unbalance", "reciprocating", "stroke")
MOTIONS = ("circular", "linear")
_LIKE = {
    "unbalance": '{ mass = "40 kg", eccentricity = "25 mm" }',
    "reciprocating": '{ mass = "60 kg", crank_radius = "150 mm", rod_length = "600 mm", along = "Vertical" }',
    "stroke": '{ force = "80 kN", duration = "0.05 s", rate = "30/min", shape = "half-sine", along = "Vertical" }',
}


@dataclass
class Exciters:
    """Everything that moves in one machine, with words for each.

    `given` says whether the file names any, `turning` whether one turns.
    """

    harmonics: tuple[Harmonic, ...] = ()
    strokes: tuple[Strokes, ...] = ()
    working: list[UnbalanceResult | CrankForces] = field(default_factory=list)
    described: list[str] = field(default_factory=list)
    given: bool = False
    turning: bool = False


def read_exciters(table: Keys, speed: Fraction | None, assumptions: list[str]) -> Exciters:
    """The exciters of a table [load.machine]; those in which something was refused are left out.

    Parameters
    ----------
    speed : Fraction or None
        Of the machine, for those that state none of their own; None where it states none or it was refused. [1/s]
    assumptions : list of str
        Takes what the file leaves open.
    """
    found = Exciters()
    readers = {"unbalance": _unbalance, "reciprocating": _reciprocating, "stroke": _stroke}
    for kind in EXCITERS:
        inner = _tables(table, kind)
        found.given |= bool(inner)
        found.turning |= bool(inner) and kind != "stroke"
        for number, keys in enumerate(inner, start=1):
            title = keys.text("name", kind if len(inner) == 1 else f"{kind} {number}")
            readers[kind](keys, title or kind, speed, found, assumptions)
            keys.done()
    _assume_phases(found, assumptions)
    return found


def _tables(table: Keys, kind: str) -> list[Keys]:
    """One table, or an array of them."""
    if isinstance(table.raw(kind, None), list):
        return table.tables(kind)
    inner = table.table_of(kind, like=_LIKE[kind])
    return [] if inner is None else [inner]


def _unbalance(keys: Keys, title: str, speed: Fraction | None, found: Exciters, assumptions: list[str]) -> None:
    own, phase = _own_speed(keys, speed), _angle(keys, "phase", 0.0)
    motion = keys.one_of("motion", MOTIONS, "circular")
    line = _line(keys) if motion == "linear" else None
    if motion == "circular":
        for key in ("along", "inclination"):
            if key in keys:
                keys.raw(key)
                keys.note(f'{key} goes with motion = "linear": a turning force acts in both directions', key)
    result = _result(keys, title, own, assumptions)
    if own is None or phase is None or result is None or motion is None or (motion == "linear" and line is None):
        return
    if motion == "circular":
        found.harmonics += rotating(title, own, result.unbalance, phase=phase)
    else:
        found.harmonics += along_line(title, own, [(1, result.unbalance)], inclination=line, phase=phase)
    found.working.append(result)
    found.described.append(f"{title} of {result.unbalance:.4g} kg mm at {float(own) * 60:.6g} rpm{_tilted(line)}")


def _result(keys: Keys, title: str, own: Fraction | None, assumptions: list[str]) -> UnbalanceResult | None:
    """The unbalance by one of its three ways."""
    ways = {"mass": "mass and eccentricity", "force": "force and at", "grade": "grade and rotor_mass"}
    chosen = [key for key in ways if key in keys]
    companions = {"mass": ("eccentricity",), "force": ("at",), "grade": ("rotor_mass", "factor")}
    every = [*ways, *(key for keys_of in companions.values() for key in keys_of)]
    if len(chosen) != 1:
        for key in every:
            keys.raw(key, None)
        keys.note(f"an unbalance is given by one of {'; '.join(ways.values())}, got {' and '.join(chosen) or 'none'}")
        return None
    way, rate = chosen[0], angular_speed(float(own)) if own is not None else None
    if way == "mass":
        given = _mass(keys, "mass"), keys.quantity("eccentricity", "mm", above=0.0)
        return None if None in given or rate is None else mass_unbalance(*given, rate, title=title)
    if way == "force":
        force, at = keys.quantity("force", "N", above=0.0), _turns(keys, "at")
        if None in (force, at, rate):
            return None
        return force_unbalance(force, angular_speed(float(at)), rate, title=title)
    return _graded(keys, title, rate, assumptions)


def _graded(keys: Keys, title: str, rate: float | None, assumptions: list[str]) -> UnbalanceResult | None:
    grade, rotor = keys.text("grade", like='"G 6.3"'), _mass(keys, "rotor_mass")
    factor = keys.number("factor", 1.0, above=0.0)
    row = None
    if grade is not None:
        row = keys.attempt(
            row_of, "loadhistories", "balance_grades", " ".join(grade.split()), "balance grade", place=keys.at("grade")
        )
    if None in (row, rotor, factor, rate):
        return None
    if "factor" not in keys:
        assumptions.append(f"{title}: as balanced to {grade}; wear and build-up since then are not in it (factor)")
    if unconfirmed(row):
        assumptions.append(f"{title}: value of {grade}: {row['source']}")
    return grade_unbalance(grade, rotor, rate, factor=factor, title=title, place=keys.at("grade"))


def _reciprocating(keys: Keys, title: str, speed: Fraction | None, found: Exciters, assumptions: list[str]) -> None:
    own, phase, line = _own_speed(keys, speed), _angle(keys, "phase", 0.0), _line(keys)
    given = (
        _mass(keys, "mass"),
        keys.quantity("crank_radius", "mm", above=0.0),
        keys.quantity("rod_length", "mm", above=0.0),
    )
    if None in (own, phase, line, *given):
        return
    result = keys.attempt(crank_forces, *given, angular_speed(float(own)), title=title, place=keys.place)
    if result is None:
        return
    orders = [(1, result.unbalance), (2, result.ratio * result.unbalance)]
    found.harmonics += along_line(title, own, orders, inclination=line, phase=phase)
    found.working.append(result)
    found.described.append(
        f"{title} of {result.mass:g} kg at {float(own) * 60:.6g} rpm, crank ratio {result.ratio:.4g}{_tilted(line)}"
    )
    assumptions.append(f"{title}: free forces of the first and second order; gas forces stay within the machine")


def _stroke(keys: Keys, title: str, speed: Fraction | None, found: Exciters, assumptions: list[str]) -> None:
    force, duration = keys.quantity("force", "N"), keys.quantity("duration", "s", above=0.0)
    text = keys.raw("rate", like='"30/min"')
    rate = None if text is None else keys.attempt(stroke_rate, text, "rate", keys.at("rate"))
    shape, line = keys.one_of("shape", SHAPES), _line(keys)
    rise = keys.quantity("rise", "s", above=0.0) if shape == "trapezoid" else 0.0
    if shape != "trapezoid" and "rise" in keys:
        keys.raw("rise")
        keys.note('rise goes with shape = "trapezoid"', "rise")
    if None in (force, duration, rate, shape, line, rise):
        return
    item = keys.attempt(
        strokes, title, rate, force, duration, shape=shape, rise=rise, inclination=line, place=keys.place
    )
    if item is None:
        return
    found.strokes += (item,)
    found.described.append(
        f"{title} of {force / 1000:.4g} kN for {duration:g} s, {float(rate) * 60:.6g} a minute{_tilted(line)}"
    )


def _own_speed(keys: Keys, speed: Fraction | None) -> Fraction | None:
    return _turns(keys, "speed") if "speed" in keys else keys.raw("speed", speed)


def _turns(keys: Keys, key: str) -> Fraction | None:
    given = keys.raw(key, like='"1480 rpm"')
    return None if given is None else keys.attempt(turns, given, key, keys.at(key))


def _mass(keys: Keys, key: str) -> float | None:
    given = keys.raw(key, like='"40 kg"')
    return None if given is None else keys.attempt(mass, given, key, keys.at(key))


def _angle(keys: Keys, key: str, default: float | None = None) -> float | None:
    return keys.quantity(key, "rad", default) if default is not None else keys.quantity(key, "rad")


def _line(keys: Keys) -> float | None:
    """Inclination of the line of a force to the horizontal, by `along` or `inclination`. [rad]"""
    if "inclination" in keys:
        if "along" in keys:
            keys.raw("along")
            keys.note("along and inclination are both given; give one of them", "along")
        return _angle(keys, "inclination")
    along = keys.one_of("along", DIRECTIONS)
    return None if along is None else (0.5 * math.pi if along == "Vertical" else 0.0)


def _tilted(line: float | None) -> str:
    return "" if line is None else f" at {math.degrees(line):g} deg from the horizontal"


def _assume_phases(found: Exciters, assumptions: list[str]) -> None:
    """Shafts of one speed keep their phases for ever, which then decide how far their forces add."""
    speeds = [item.turns for item in found.harmonics if item.order == 1]
    if len(speeds) > len(set(speeds)):
        assumptions.append(
            "exciters of one speed keep the phases stated for them, 0 where none is: they then add up in full"
        )
