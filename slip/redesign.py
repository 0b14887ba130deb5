"""Alternatives for a joint that slips where it must not: sized, and each judged again by the same engines."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from loadhistories.blocks import LoadBlock
from loadhistories.figures import FAILS, HOLDS, Check, not_judged
from loadhistories.tables import read_table
from slip.alternatives.alternative import Alternative, Tried
from slip.alternatives.pried import along_web
from slip.assessment import SlipOutcome, assess
from slip.joint import BoltedJoint, grid_positions
from slip.standards import standard

MOST_ROWS_ADDED = 9


def more_bolts(joint: BoltedJoint, blocks: Sequence[LoadBlock]) -> Alternative:
    """The fewest rows of the same pitch with which every check holds."""
    if joint.grid is None:
        reason = "bolt positions are given singly; give rows, columns, pitch and gauge to have rows added"
        return Alternative("more bolts", "more bolts", (_cannot(joint, reason),))
    if not joint.grid.pitch:
        reason = "one row has no pitch for further rows; give one"
        return Alternative("more bolts", "more bolts", (_cannot(joint, reason),))
    if joint.flange is not None and along_web(joint) != "pitch":
        reason = "rows are not known to run along the web of the flange, so that further ones would be another flange"
        return Alternative("more bolts", "more bolts", (_cannot(joint, reason),))
    outcome = grid = None
    tried = []
    for added in range(1, MOST_ROWS_ADDED + 1):
        grid = replace(joint.grid, rows=joint.grid.rows + added)
        outcome = assess(replace(joint, grid=grid, positions=grid_positions(grid)), blocks)
        tried.append(_step(f"{grid.rows} rows of {grid.columns}", outcome))
        if outcome.state == HOLDS:
            break
    title = (
        f"{grid.rows} rows of {grid.columns} at the same pitch: {grid.rows * grid.columns} bolts "
        f"instead of {joint.bolts}"
    )
    longer = (grid.rows - joint.grid.rows) * grid.pitch
    return Alternative(
        "more bolts",
        title if outcome.state == HOLDS else f"{title} do not hold either",
        outcome.checks,
        (f"plates longer by {longer:g} mm, with the stresses and details that go with them",),
        tuple(tried),
    )


def better_surface(joint: BoltedJoint, blocks: Sequence[LoadBlock]) -> Iterator[Alternative]:
    """The first friction class with a higher slip factor with which every check holds, or the best one if none."""
    rules = standard(joint.standard)
    classes = [rules.surface(name) for name in read_table(rules.__name__, "surfaces")]
    better = sorted((item for item in classes if item.slip_factor > joint.slip_factor), key=lambda c: c.slip_factor)
    outcome = found = None
    tried = []
    for found in better:
        outcome = assess(replace(joint, surface=found.name, slip_factor=found.slip_factor), blocks)
        tried.append(_step(f"friction class {found.name}", outcome))
        if outcome.state == HOLDS:
            break
    if found is None:
        return
    title = f"friction class {found.name}, slip factor {found.slip_factor:g}: {found.description}"
    yield Alternative(
        "friction class",
        title if outcome.state == HOLDS else f"{title}; does not hold alone",
        outcome.checks,
        ("the faying surfaces as the class asks, bare at assembly",),
        tuple(tried),
    )


def alternatives(
    joint: BoltedJoint,
    blocks: Sequence[LoadBlock],
    *,
    extremes: Sequence[LoadBlock] | None = None,
    axis: str,
    basis: Mapping[str, str],
) -> tuple[Alternative, ...]:
    """Bolts, surface and weld that would do instead, in the order of the redesign.

    Parameters
    ----------
    extremes : sequence of LoadBlock, optional
        For each block one with its outermost load points, which are enough for grip and strength; left out, the
        blocks themselves are taken.
    axis : str
        Along which the end distances of the plates run.
    basis : mapping
        Choices of the fatigue assessment, for the weld's own life.
    """
    from slip.weld_instead import fillet_weld_instead

    outer = blocks if extremes is None else extremes
    found = [more_bolts(joint, outer)]
    if joint.preloaded:
        found += better_surface(joint, outer)
    found.append(fillet_weld_instead(joint, blocks, extremes=outer, axis=axis, basis=basis))
    return tuple(found)


def plate_size(joint: BoltedJoint, axis: str) -> tuple[float, float]:
    """Width and height that the first plate has by its bolts and distances. [mm]"""
    plate = joint.plates[0]
    across, along = (plate.edge_distance, plate.end_distance)
    x, y = (across, along) if axis == "y" else (along, across)
    extent = np.ptp(joint.positions, axis=0)
    return float(extent[0] + 2 * x), float(extent[1] + 2 * y)


def _step(what: str, outcome: SlipOutcome) -> Tried:
    """One step of a search, and why it was kept or refused."""
    failing = [check for check in outcome.checks if check.state == FAILS]
    if not failing:
        reason = "kept: grip and strength hold" if outcome.state == HOLDS else "not all is judged"
        return Tried(what, outcome.state, reason)
    worst = max(failing, key=lambda check: check.utilisation or np.inf)
    used = "" if worst.utilisation is None else f" {worst.utilisation:.3g}"
    return Tried(what, FAILS, f"{worst.title}{used}")


def _cannot(joint: BoltedJoint, reason: str) -> Check:
    return not_judged("alternative", "alternative", reason=reason, clause="")
