"""The table [joint.bolts] of a job file: bolt, pattern, holes, preload and faying surface."""

import math
from dataclasses import dataclass
from types import ModuleType

import numpy as np
from numpy.typing import NDArray

from cli.job_preload import read_preload
from cli.job_prying import read_prying
from cli.keys import REQUIRED, Keys, entry
from slip.bolts import Bolt
from slip.holes import Hole
from slip.joint import CONTACTS, FITS, HOLES, Grid, grid_positions
from slip.preload import PreloadLife, TighteningTorque
from slip.prying import PriedFlange

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
    preload_life: PreloadLife | None = None
    tightening: TighteningTorque | None = None
    fit: str = ""
    contact: str = ""
    resin_strength: float | None = None
    prying: float | None = None
    packing: float = 0.0
    flange: PriedFlange | None = None


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
    hole, slot_axis, fit = _hole(keys, rules, bolt)
    grid, positions = _positions(keys, assumptions)
    if positions is not None:
        _require_apart(keys, positions, hole, slot_axis)
    preload = read_preload(keys, rules, bolt, assumptions)
    surface, slip_factor = _surface(keys, rules, preload.force, assumptions)
    planes = keys.whole("planes", None)
    if "planes" not in keys:
        planes = 1
        assumptions.append("one faying surface per bolt (planes = 1), the fewest there can be")
    threads = keys.one_of("threads", THREADS, None)
    if "threads" not in keys:
        threads = THREADS[0]
        if fit != "fitted":
            assumptions.append("threads lie in the shear plane, where the bolt is weaker")
    if fit == "fitted" and threads == THREADS[0]:
        keys.note(
            f'fitted bolts bear with their shank; give threads = "{THREADS[1]}", or holes with clearance', "threads"
        )
    prying, flange = read_prying(keys, rules, bolt, hole)
    resin = keys.quantity("resin_strength", "MPa", None, above=0.0)
    if resin is not None and fit != "injection":
        keys.note('resin_strength is for injection bolts; give holes = "injection" or take it away', "resin_strength")
    contact = keys.one_of("contact", CONTACTS, "")
    if contact and rules is not None and "contact" not in rules.CLAUSES:
        keys.note("contact that makes up for tension is not offered for this standard; take contact away", "contact")
    packing = keys.quantity("packing", "mm", 0.0, least=0.0)
    keys.done()
    if len(keys.problems) > before or bolt is None or hole is None:
        return None, hole
    group = BoltGroup(
        positions=positions, grid=grid, size=bolt.size, grade=bolt.grade, preload=preload.force, holes=hole.kind,
        slot_axis=slot_axis, surface=surface, slip_factor=slip_factor, planes=planes,
        threads_in_plane=threads == THREADS[0], preload_life=preload.life, tightening=preload.tightening,
        fit=fit, resin_strength=resin, contact=contact, prying=prying, packing=packing,
        flange=flange,
    )  # fmt: skip
    return group, hole


def _bolt(keys: Keys, rules: ModuleType | None) -> Bolt | None:
    size = keys.text("size", like='"M20"')
    grade = keys.text("grade", like='"10.9"')
    if rules is None or size is None or grade is None:
        return None
    return keys.attempt(rules.bolt, size, grade, place=keys.place)


def _hole(keys: Keys, rules: ModuleType | None, bolt: Bolt | None) -> tuple[Hole | None, str, str]:
    """Hole, axis of the slot, and the fit where the bolt has no play in it."""
    kind = keys.one_of("holes", (*HOLES, *FITS))
    fit = kind if kind in FITS else ""
    if fit and rules is not None and f"{fit} bolts" not in rules.CLAUSES:
        keys.note(f'holes = "{fit}" is not offered for this standard; known: {", ".join(HOLES)}', "holes")
    kind = "normal" if fit else kind
    axis = keys.one_of("slot", AXES, None)
    slotted = kind is not None and kind.endswith("slot")
    if slotted and "slot" not in keys:
        keys.note(f'holes = "{kind}" needs the axis along which the slot is longer; give slot = "x" or slot = "y"')
    if kind is not None and not slotted and "slot" in keys:
        keys.note(f'slot is for slotted holes, got holes = "{kind}"; take slot away or name the slot in holes', "slot")
    if rules is None or bolt is None or kind is None:
        return None, "", fit
    return keys.attempt(rules.hole, bolt, kind, place=keys.at("holes")), (axis or "") if slotted else "", fit


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
    if not isinstance(value, list) or len(value) != 2:
        keys.problems.append(f'a point must be two lengths, as in ["-65 mm", "90 mm"]; got {value!r} ({place})')
        return None
    x, y = (keys.attempt(entry, item, "mm", name, place=place) for item, name in zip(value, "xy", strict=True))
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

