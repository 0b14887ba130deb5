"""The table [joint.bolts] of a job file: bolt, pattern, holes, preload and faying surface."""

import math
from dataclasses import dataclass
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from cli.keys import REQUIRED, Keys
from slip.bolts import Bolt
from slip.holes import Hole
from slip.joint import HOLES, Grid, grid_positions

MOST_BOLTS = 1000
THREADS = ("in shear plane", "not in shear plane")
AXES = ("x", "y")


@dataclass(frozen=True)
class BoltGroup:
    """What the table says, in N and mm; the fields are those of BoltedJoint."""

    positions: NDArray[np.float64]
    grid: Grid | None
    size: str
    grade: str
    preload: float
    holes: str
    slot_axis: str
    surface: str
    slip_factor: float
    planes: int
    threads_in_plane: bool


def read_bolts(keys: Keys, rules: ModuleType | None, assumptions: list[str]) -> tuple[BoltGroup | None, Hole | None]:
    """The bolts of a joint, and their hole as soon as it is known; None where something was refused.

    Parameters
    ----------
    rules : module or None
        The standard of the slip engine; None where the job names none that is known.
    assumptions : list of str
        Takes what the file left to us.
    """
    before = len(keys.problems)
    bolt = _bolt(keys, rules)
    hole, slot_axis = _hole(keys, rules, bolt)
    grid, positions = _positions(keys, assumptions)
    if positions is not None:
        _require_apart(keys, positions, hole, slot_axis)
    preload = _preload(keys, rules, bolt, assumptions)
    surface, slip_factor = _surface(keys, rules, preload, assumptions)
    planes = keys.whole("planes", None)
    if "planes" not in keys:
        planes = 1
        assumptions.append("one faying surface per bolt (planes = 1), the fewest there can be")
    threads = keys.one_of("threads", THREADS, None)
    if "threads" not in keys:
        threads = THREADS[0]
        assumptions.append("threads lie in the shear plane, where the bolt is weaker")
    keys.done()
    if len(keys.problems) > before or bolt is None or hole is None:
        return None, hole
    group = BoltGroup(
        positions=positions, grid=grid, size=bolt.size, grade=bolt.grade, preload=preload, holes=hole.kind,
        slot_axis=slot_axis, surface=surface, slip_factor=slip_factor, planes=planes,
        threads_in_plane=threads == THREADS[0],
    )  # fmt: skip
    return group, hole


def _bolt(keys: Keys, rules: ModuleType | None) -> Bolt | None:
    size = keys.text("size", like='"M20"')
    grade = keys.text("grade", like='"10.9"')
    if rules is None or size is None or grade is None:
        return None
    return keys.attempt(rules.bolt, size, grade, place=keys.place)


def _hole(keys: Keys, rules: ModuleType | None, bolt: Bolt | None) -> tuple[Hole | None, str]:
    kind = keys.one_of("holes", HOLES)
    axis = keys.one_of("slot", AXES, None)
    slotted = kind is not None and kind.endswith("slot")
    if slotted and "slot" not in keys:
        keys.note(f'holes = "{kind}" needs the axis along which the slot is longer; give slot = "x" or slot = "y"')
    if kind is not None and not slotted and "slot" in keys:
        keys.note(f'slot is for slotted holes, got holes = "{kind}"; take slot away or name the slot in holes', "slot")
    if rules is None or bolt is None or kind is None:
        return None, ""
    return keys.attempt(rules.hole, bolt, kind, place=keys.at("holes")), (axis or "") if slotted else ""


def _positions(keys: Keys, assumptions: list[str]) -> tuple[Grid | None, NDArray[np.float64] | None]:
    grid_keys = [key for key in ("rows", "columns", "pitch", "gauge") if key in keys]
    if "at" in keys:
        if grid_keys:
            keys.note(f"give the bolts by at or by rows and columns, not both; got at and {', '.join(grid_keys)}", "at")
        for key in grid_keys:
            keys.raw(key)
        return None, _listed_positions(keys)
    rows, columns = keys.whole("rows"), keys.whole("columns")
    pitch, gauge = (
        keys.quantity(key, "mm", 0.0 if number in (1, None) else REQUIRED, above=0.0)
        for key, number in (("pitch", rows), ("gauge", columns))
    )
    keys.raw("at", None)
    if None in (rows, columns, pitch, gauge):
        return None, None
    if rows * columns > MOST_BOLTS:
        keys.note(f"a joint may have {MOST_BOLTS} bolts at most, got {rows} rows of {columns}")
        return None, None
    assumptions.append("the pattern of bolts is centred on the joint's origin, rows along y and columns along x")
    grid = Grid(rows, columns, pitch, gauge)
    return grid, grid_positions(grid)


def _listed_positions(keys: Keys) -> NDArray[np.float64] | None:
    listed = keys.raw("at")
    if not isinstance(listed, list) or not 0 < len(listed) <= MOST_BOLTS:
        keys.note(f'at must be a list of 1 to {MOST_BOLTS} points, as in [["-65 mm", "0 mm"], ["65 mm", "0 mm"]]', "at")
        return None
    points = [read_point(keys, item, f"{keys.at('at')}[{number}]") for number, item in enumerate(listed, start=1)]
    return None if None in points else np.array(points)


def read_point(keys: Keys, value, place: str) -> tuple[float, float] | None:
    """A pair of lengths as x and y in mm."""
    from loadhistories.units import quantity

    if not isinstance(value, list) or len(value) != 2:
        keys.problems.append(f'a point must be two lengths, as in ["-65 mm", "90 mm"]; got {value!r} ({place})')
        return None
    x, y = (keys.attempt(quantity, item, "mm", name, place=place) for item, name in zip(value, "xy", strict=True))
    return None if x is None or y is None else (x, y)


def _require_apart(keys: Keys, positions: NDArray[np.float64], hole: Hole | None, slot_axis: str) -> None:
    """Refuse bolts at one place and holes that run into each other, naming the nearest pair."""
    first, second = np.triu_indices(len(positions), k=1)
    gaps = np.abs(positions[first] - positions[second])
    distance = np.hypot(gaps[:, 0], gaps[:, 1])
    coincident = np.flatnonzero(distance == 0.0)
    for pair in coincident[:5]:
        x, y = positions[first[pair]]
        keys.note(f"bolts {first[pair] + 1} and {second[pair] + 1} stand at one place, x {x:g} mm, y {y:g} mm", "at")
    if hole is None or coincident.size or not distance.size:
        return
    if hole.slotted and slot_axis:
        along = AXES.index(slot_axis)
        free = np.maximum(gaps[:, along] - (hole.length - hole.width), 0.0)
        distance = np.hypot(free, gaps[:, 1 - along])
    nearest = int(np.argmin(distance))
    if distance[nearest] <= hole.width:
        gap = math.hypot(*gaps[nearest])
        keys.note(
            f"the holes of bolts {first[nearest] + 1} and {second[nearest] + 1} run into each other: "
            f"{gap:g} mm between centres, hole {_hole_size(hole)}; place them farther apart"
        )


def _hole_size(hole: Hole) -> str:
    return f"{hole.width:g} mm by {hole.length:g} mm" if hole.slotted else f"{hole.width:g} mm"


def _preload(keys: Keys, rules: ModuleType | None, bolt: Bolt | None, assumptions: list[str]) -> float | None:
    given = keys.raw("preload", like='"full", "none" or a force such as "150 kN"')
    if given is None:
        return None
    if given == "none":
        return 0.0
    force = None if given == "full" else keys.quantity("preload", "N", above=0.0)
    if rules is None or bolt is None or (force is None and given != "full"):
        return force
    specified = keys.attempt(rules.specified_preload, bolt, place=keys.at("preload"))
    if specified is None or given == "full":
        return specified
    if force > specified:
        keys.note(
            f"preload must not be above the {specified / 1000:g} kN that the standard specifies for {bolt.size} "
            f'{bolt.grade}, got {given!r}; give "full" or a smaller force', "preload",
        )  # fmt: skip
        return None
    if force < specified:
        assumptions.append(
            f"preload {force / 1000:g} kN as given, below the {specified / 1000:g} kN specified for "
            f"{bolt.size} {bolt.grade}"
        )
    return force


def _surface(keys: Keys, rules: ModuleType | None, preload: float | None, assumptions) -> tuple[str, float]:
    given = keys.raw("surface", None)
    if given is None:
        if preload is not None and preload > 0.0:
            keys.note('surface is missing: preloaded bolts grip by it; give a class such as surface = "B", or '
                      "surface = { slip_factor = 0.40 }", "surface")  # fmt: skip
        return "", 0.0
    number, by_test = given, False
    if isinstance(given, dict):
        inner = keys.table_of("surface")
        number, by_test = inner.number("slip_factor", above=0.0), inner.boolean("by_test", False)
        inner.done()
    elif not isinstance(given, str):
        keys.note(f'surface must be a class such as "B" or {{ slip_factor = 0.40 }}, got {given!r}', "surface")
        return "", 0.0
    if rules is None or number is None or by_test is None:
        return "", 0.0
    surface = keys.attempt(rules.slip_factor, number, by_test=by_test, place=keys.at("surface"))
    if surface is None:
        return "", 0.0
    factor = float(getattr(surface, "slip_factor", surface))
    if isinstance(given, dict):
        assumptions.append(f"slip factor {factor:g} as given, {'found by test' if by_test else 'not by class'}")
    return (given if isinstance(given, str) else ""), factor

