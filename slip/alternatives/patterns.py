"""Rungs that change the pattern: more bolts, and the same bolts farther apart where a moment loads them."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from loadhistories.blocks import COMPONENTS
from loadhistories.validation import InputError
from slip.alternatives.alternative import Alternative, Proposal, Situation
from slip.alternatives.pried import with_pattern
from slip.alternatives.search import Candidate, first_that_does, nothing
from slip.joint import BoltedJoint, Grid, Plate, grid_positions

ROWS_ADDED, COLUMNS_ADDED, MOST_TIMES = 9, 2, 3
STEP, STEPS = 10.0, 15
SINGLY = "bolt positions are given singly; give rows, columns, pitch and gauge to have the pattern changed"


def more_bolts(situation: Situation) -> Alternative:
    """The pattern with the fewest bolts that does: more rows or columns, the plates as they are before longer ones.

    Rows and columns come in at the same distance, which makes the plates longer or wider, or within the extent of the
    present pattern. A plate whose width or height is given keeps it: its distances to the edge become smaller.
    """
    joint = situation.joint
    if joint.grid is None:
        return nothing("more bolts", SINGLY)
    why = "the fewest bolts, and of these the least growth of the plates"
    return first_that_does(situation, "more bolts", _more(joint, situation.axis), why=why)


def longer_pattern(situation: Situation) -> Alternative:
    """The same bolts at a larger pitch, in steps of 10 mm, where a moment in the plane loads them."""
    joint, kind = situation.joint, "longer pattern"
    if joint.grid is None:
        return nothing(kind, SINGLY)
    if joint.grid.rows < 2 and joint.grid.columns < 2:
        return nothing(kind, "one bolt has no pattern")
    if not _turned(situation):
        return nothing(kind, "no moment turns the bolts, so that their distance changes nothing")
    return first_that_does(situation, kind, _longer(joint, situation.axis), why="the smallest pitch that does")


def _more(joint: BoltedJoint, axis: str) -> Iterator[Candidate]:
    old, found = joint.grid, []
    for rows in range(old.rows, old.rows + ROWS_ADDED + 1):
        for columns in range(old.columns, old.columns + COLUMNS_ADDED + 1):
            if old.rows * old.columns < rows * columns <= MOST_TIMES * old.rows * old.columns + old.columns:
                found += _grids(old, rows, columns)
    found.sort(key=lambda grid: (grid.rows * grid.columns, _growth(old, grid), grid.columns))
    titled = [
        (grid, f"{grid.rows} rows of {grid.columns}, {_distances(grid)}: {grid.rows * grid.columns} bolts instead of "
         f"{joint.bolts}") for grid in found
    ]  # fmt: skip
    yield from _candidates(joint, axis, titled)


def _grids(old: Grid, rows: int, columns: int) -> list[Grid]:
    """Patterns of so many rows and columns: at the same distances, and within the same extent."""
    pitches, gauges = {old.pitch}, {old.gauge}
    if rows > old.rows > 1:
        pitches.add(old.pitch * (old.rows - 1) / (rows - 1))
    if columns > old.columns > 1:
        gauges.add(old.gauge * (old.columns - 1) / (columns - 1))
    known = (rows == 1 or old.pitch > 0.0) and (columns == 1 or old.gauge > 0.0)
    return [Grid(rows, columns, pitch, gauge) for pitch in pitches for gauge in gauges] if known else []


def _longer(joint: BoltedJoint, axis: str) -> Iterator[Candidate]:
    old, titled = joint.grid, []
    for number in range(1, STEPS + 1):
        for name, several in (("pitch", old.rows > 1), ("gauge", old.columns > 1)):
            if several:
                before = getattr(old, name)
                after = before + STEP * number
                titled.append((replace(old, **{name: after}), f"{name} {after:g} mm instead of {before:g} mm"))
    yield from _candidates(joint, axis, titled)


def _candidates(joint: BoltedJoint, axis: str, titled: Iterable[tuple[Grid, str]]) -> Iterator[Candidate]:
    """Each pattern as a candidate; of those that a flange rules out the first, for each reason."""
    refused: dict[str, str] = {}
    for grid, title in titled:
        try:
            yield _candidate(joint, grid, axis, title)
        except InputError as refusal:
            refused.setdefault("; ".join(refusal.problems), title)
    for reason, title in refused.items():
        yield Candidate(title, Proposal(None), refused=reason)


def _candidate(joint: BoltedJoint, grid: Grid, axis: str, title: str) -> Candidate:
    growth = (
        (grid.columns - 1) * grid.gauge - (joint.grid.columns - 1) * joint.grid.gauge,
        (grid.rows - 1) * grid.pitch - (joint.grid.rows - 1) * joint.grid.pitch,
    )
    plates = tuple(_kept(plate, growth, axis) for plate in joint.plates)
    show = []
    for grown, word, given in zip(growth, ("wider", "longer"), ("width", "height"), strict=True):
        free = [plate.name for plate in joint.plates if getattr(plate, given) is None]
        if grown > 1e-9 and (free or not joint.plates):
            which = " and ".join(free) or "plates"
            show.append(f"{which} {word} by {grown:g} mm, with the stresses and details that go with it")
    changed = with_pattern(joint, grid, positions=grid_positions(grid), plates=plates)
    return Candidate(title, Proposal(changed), tuple(show))


def _kept(plate: Plate, growth: tuple[float, float], axis: str) -> Plate:
    """The plate with its distances where it keeps its width or height: what the pattern gains goes off them."""
    names = ("end_distance", "edge_distance") if axis == "x" else ("edge_distance", "end_distance")
    changes = {}
    for grown, name, given in zip(growth, names, ("width", "height"), strict=True):
        if getattr(plate, given) is not None and grown > 0.0:
            changes[name] = max(getattr(plate, name) - grown / 2, 1e-6)
    return replace(plate, **changes) if changes else plate


def _growth(old: Grid, new: Grid) -> float:
    return (new.rows - 1) * new.pitch + (new.columns - 1) * new.gauge - (
        (old.rows - 1) * old.pitch + (old.columns - 1) * old.gauge
    )


def _distances(grid: Grid) -> str:
    parts = [f"pitch {grid.pitch:.4g} mm"] if grid.rows > 1 else []
    parts += [f"gauge {grid.gauge:.4g} mm"] if grid.columns > 1 else []
    return ", ".join(parts)


def _turned(situation: Situation) -> bool:
    row = COMPONENTS.index("Mz")
    peaks = [np.abs(chunk[row]).max() for block in situation.extremes for chunk in block.chunks()]
    return bool(situation.joint.permanent[row] or max(peaks, default=0.0) > 0.0)
