"""Alternatives for a joint that slips where it must not: sized, and each judged again by the same engines."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from loadhistories.blocks import LoadBlock
from loadhistories.figures import HOLDS, Check, not_judged, worst_state
from loadhistories.tables import read_table
from slip.assessment import assess
from slip.joint import BoltedJoint, grid_positions
from slip.standards import standard

MOST_ROWS_ADDED = 9


@dataclass(frozen=True)
class Alternative:
    """One other way to make the joint; `still_to_show` lists what was not judged of it."""

    kind: str
    title: str
    checks: tuple[Check, ...]
    still_to_show: tuple[str, ...] = ()

    @property
    def state(self) -> str:
        """State of the checks that were made."""
        return worst_state(check.state for check in self.checks)

    @property
    def utilisation(self) -> float | None:
        """Largest utilisation of the checks that were made, None where none has one."""
        return max((check.utilisation for check in self.checks if check.utilisation is not None), default=None)


def more_bolts(joint: BoltedJoint, blocks: Sequence[LoadBlock]) -> Alternative:
    """The fewest rows of the same pitch with which every check holds."""
    if joint.grid is None:
        reason = "bolt positions are given singly; give rows, columns, pitch and gauge to have rows added"
        return Alternative("more bolts", "more bolts", (_cannot(joint, reason),))
    outcome = grid = None
    for added in range(1, MOST_ROWS_ADDED + 1):
        grid = replace(joint.grid, rows=joint.grid.rows + added)
        outcome = assess(replace(joint, grid=grid, positions=grid_positions(grid)), blocks)
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
    )


def better_surface(joint: BoltedJoint, blocks: Sequence[LoadBlock]) -> Iterator[Alternative]:
    """The first friction class with a higher slip factor with which every check holds, or the best one if none."""
    rules = standard(joint.standard)
    classes = [rules.surface(name) for name in read_table(rules.__name__, "surfaces")]
    better = sorted((item for item in classes if item.slip_factor > joint.slip_factor), key=lambda c: c.slip_factor)
    outcome = found = None
    for found in better:
        outcome = assess(replace(joint, surface=found.name, slip_factor=found.slip_factor), blocks)
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


def _cannot(joint: BoltedJoint, reason: str) -> Check:
    return not_judged("alternative", "alternative", reason=reason, clause="")
