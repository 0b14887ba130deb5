"""Plates after slip: their sections, blocks of bolts torn out of them, punching by heads, distances of the holes."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from loadhistories.figures import Check, Figure, judged, not_judged
from slip.bearing_checks import hole_in
from slip.bolts import Bolt
from slip.events import Combination
from slip.holes import Hole
from slip.joint import BoltedJoint, Plate
from slip.peaks import Peak, PeakWalk
from slip.plate_sections import SIGNS, Section, deducted, section_of
from slip.standards import standard
from slip.surroundings import DIGITS, spacing
from slip.working import bolt_force, place

AXES = ("x", "y")
NEGLIGIBLE = 1e-6
GEOMETRY = "geometry"


@dataclass(frozen=True)
class BlockForce:
    """Force that pulls a block of bolts towards the end of a plate."""

    share: Annotated[float, Figure("c_s", "", "", GEOMETRY, "share of the joint's load that this plate takes")]
    load: Annotated[float, Figure("V_Ed", "N", title="load of the joint along the axis of the end distances")]
    force: Annotated[float, Figure("F_Ed", "N", "c_s * V_Ed", "textbook statics", "force on the block")]


@dataclass(frozen=True)
class PlateShear:
    """Shear of a plate beside its bolts at most: all of the load that it takes."""

    share: Annotated[float, Figure("c_s", "", "", GEOMETRY, "share of the joint's load that this plate takes")]
    load: Annotated[float, Figure("V_s", "N", title="load of the joint along the section")]
    force: Annotated[float, Figure("V_Ed", "N", "c_s * V_s", "textbook statics", "shear of the section at most")]


@dataclass(frozen=True)
class BlockFaces:
    """Faces along which a block of bolts tears out: one across the force, one or two along it."""

    thickness: Annotated[float, Figure("t", "mm", title="plate thickness")]
    across: Annotated[float, Figure("w", "mm", "", GEOMETRY, "width of the face across the force")]
    holes_across: Annotated[float, Figure("k_t", "", "", GEOMETRY, "holes in that face")]
    hole_across: Annotated[float, Figure("d_0,t", "mm", title="extent of a hole across the force")]
    faces: Annotated[int, Figure("k_v", "", "", GEOMETRY, "number of faces along the force")]
    end_distance: Annotated[float, Figure("e_1", "mm", title="end distance")]
    length: Annotated[float, Figure("L_b", "mm", title="distance between the first and the last bolt along the force")]
    rows: Annotated[int, Figure("n_r", title="bolts one behind the other")]
    hole_along: Annotated[float, Figure("d_0,v", "mm", title="extent of a hole along the force")]
    net_tension_area: Annotated[
        float, Figure("A_nt", "mm2", "t * (w - k_t * d_0t)", GEOMETRY, "net area in tension")
    ]
    net_shear_area: Annotated[
        float,
        Figure("A_nv", "mm2", "k_v * t * (e_1 + L_b - (n_r - 0.5) * d_0v)", GEOMETRY, "net area in shear"),
    ]
    gross_shear_area: Annotated[
        float, Figure("A_gv", "mm2", "k_v * t * (e_1 + L_b)", GEOMETRY, "gross area in shear")
    ]


@dataclass(frozen=True)
class HeadDiameter:
    """Mean diameter of a hexagonal head or nut."""

    across_flats: Annotated[float, Figure("s", "mm", title="width across flats of head and nut")]
    mean: Annotated[
        float,
        Figure(
            "d_m", "mm", "s * (1 + 2 / sqrt(3)) / 2", "geometry of the hexagon",
            "mean of the widths across flats and across corners",
        ),
    ]  # fmt: skip


@dataclass(frozen=True, eq=False)
class PlateForces:
    """Largest loads of the joint for its plates, from the rows of a walk that begin at `first`.

    The first three rows are the load along x, along y and the moment about the centroid of the bolts; those of the
    sections follow.
    """

    walk: PeakWalk
    first: int
    combinations: Sequence[Combination]
    all_forces: Callable
    sections: tuple[Section, ...]

    def largest(self, row: int) -> Peak:
        """The largest load of one row in either sense at ultimate level."""
        peaks = [self.walk.peak(self.first + row, sense, self.combinations) for sense in (1, -1)]
        return max(peaks, key=lambda peak: peak.value)


def plate_checks(
    joint: BoltedJoint, bolt: Bolt, hole: Hole, number: int, share: float, *, axis: str, worst, forces: PlateForces
) -> Iterator[Check]:
    """Sections, shear, block tearing, punching and distances of one plate of the joint.

    Parameters
    ----------
    number : int
        Of the plate, from 0.
    share : float
        Of the joint's load that it takes. [-]
    """
    plate = joint.plates[number]
    hole = hole_in(joint, bolt, hole, plate)
    yield from _sections(joint, plate, number, share, axis, forces)
    yield from _shear(joint, plate, number, share, axis, forces)
    yield from _block(joint, plate, deducted(joint, hole), share, axis, forces)
    yield from _punching(joint, bolt, plate, number, worst)
    yield _distances(joint, hole, plate, axis)


def blocks(
    joint: BoltedJoint, hole: Hole, plate: Plate, axis: str, *, eccentric: bool
) -> tuple[tuple[BlockFaces, bool], ...]:
    """Blocks that can tear out of a plate, each with whether the tension on its face is uneven.

    Between the outer lines of bolts; for two lines also both strips beside them; for one line, and under an
    eccentric load, the part from the bolts to one edge.

    Parameters
    ----------
    axis : str
        Along which the load pulls towards the end.

    Limits
    ------
    Bolts in full rows and columns, see `in_rows`.
    """
    along = AXES.index(axis)
    lines = [_lines(joint.positions[:, number]) for number in (along, 1 - along)]
    width = float(np.ptp(joint.positions[:, 1 - along]))
    beyond = hole.length if hole.slotted and joint.slot_axis != axis else hole.width
    extent = hole.length if hole.slotted and joint.slot_axis == axis else hole.width
    count, edge = len(lines[1]), plate.edge_distance

    def faces(across: float, holes: float, number: int) -> BlockFaces:
        length, rows, t = float(np.ptp(joint.positions[:, along])), len(lines[0]), plate.thickness
        path = plate.end_distance + length
        return BlockFaces(
            t, across, holes, beyond, number, plate.end_distance, length, rows, extent,
            t * (across - holes * beyond), number * t * (path - (rows - 0.5) * extent), number * t * path,
        )  # fmt: skip

    found = [(faces(width, count - 1.0, 2), eccentric)] if count > 1 else []
    if count == 2:
        found.append((faces(2.0 * edge, 1.0, 2), eccentric))
    if count == 1 or eccentric:
        found.append((faces(width + edge, count - 0.5, 1), True))
    return tuple(found)


def in_rows(positions) -> bool:
    """Whether the bolts fill every crossing of their rows and columns."""
    return len(positions) == len(_lines(positions[:, 0])) * len(_lines(positions[:, 1]))


def _lines(coordinates) -> list[float]:
    return sorted(set(np.round(coordinates, DIGITS).tolist()))


def _block(joint, plate: Plate, hole, share, axis, forces: PlateForces) -> Iterator[Check]:
    rules = standard(joint.standard)
    tearing = getattr(rules, "plate_block_tearing", None)
    peak = forces.largest(AXES.index(axis))
    if tearing is None or peak.value <= 0.0:
        return
    name, title = f"block-{plate.name}", f"block tearing of the {plate.name}"
    clause = rules.CLAUSES["block tearing"]
    if not in_rows(joint.positions):
        reason = "the bolts do not stand in full rows and columns; judge the lines along which the plate can tear"
        yield not_judged(name, title, reason=reason, clause=clause)
        return
    found = []
    for faces, uneven in blocks(joint, hole, plate, axis, eccentric=_eccentric(joint, axis, forces, peak.value)):
        areas = {key: getattr(faces, key) for key in ("net_tension_area", "net_shear_area", "gross_shear_area")}
        if min(areas.values()) <= 0.0:
            yield not_judged(name, title, reason="no plate is left between holes and edges", clause=clause)
            return
        found.append((tearing(plate, **areas, eccentric=uneven), faces))
    result, faces = min(found, key=lambda item: item[0].resistance)
    force = BlockForce(share, peak.value, share * peak.value)
    yield judged(
        name, title, demand=force.force, resistance=result.resistance, unit="N", clause=clause,
        working=(force, faces, result), at=_when(peak),
    )  # fmt: skip


def _eccentric(joint, axis, forces: PlateForces, load: float) -> bool:
    """Whether the load ever passes beside the centroid of the bolts or across the axis."""
    reach = 1.0 + float(np.ptp(joint.positions, axis=0).max())
    cross, moment = forces.largest(1 - AXES.index(axis)).value, forces.largest(2).value
    return cross > NEGLIGIBLE * load or moment > NEGLIGIBLE * load * reach


def _sections(joint, plate: Plate, number: int, share, axis, forces: PlateForces) -> Iterator[Check]:
    rules = standard(joint.standard)
    for row, section in enumerate(forces.sections):
        if section.plate != number or section.axis != axis:
            continue
        name, title = f"{section.kind}-section-{plate.name}", f"{section.kind} section of the {plate.name}"
        judge = getattr(rules, "plate_section", None)
        if judge is None:
            reason = "sections of plates are not judged by this standard here"
            yield not_judged(name, title, reason=reason, clause=rules.EDITIONS[joint.standard])
            continue
        peaks = [forces.largest(3 + len(SIGNS) * row + sign) for sign in range(len(SIGNS))]
        peak = max(peaks, key=lambda item: item.value)
        force = section_of(joint, section, share, peak, forces.all_forces)
        grips = "ultimate" in rules.levels_checked(joint.slip)
        result, clause = judge(plate, kind=section.kind, area=section.area, grips_at_ultimate=grips)
        yield judged(
            name, title, demand=force.equivalent, resistance=result.resistance, unit="N", clause=clause,
            working=(section.working, force, result), at=_when(peak),
        )  # fmt: skip


def _shear(joint, plate: Plate, number: int, share, axis, forces: PlateForces) -> Iterator[Check]:
    """Shear of the sections beside the bolts along the load, as if the plate passed all of its load on through them."""
    judge = getattr(standard(joint.standard), "plate_shear", None)
    peak = forces.largest(AXES.index(axis))
    for section in forces.sections:
        if judge is None or section.plate != number or section.axis == axis or peak.value <= 0.0:
            continue
        found = judge(plate, kind=section.kind, area=section.area)
        if found is None:
            continue
        result, clause = found
        force = PlateShear(share, peak.value, share * peak.value)
        yield judged(
            f"{section.kind}-shear-{plate.name}", f"{section.kind} section of the {plate.name} in shear along {axis}",
            demand=force.force, resistance=result.resistance, unit="N", clause=clause,
            working=(section.working, force, result), at=_when(peak),
        )  # fmt: skip


def _punching(joint, bolt: Bolt, plate: Plate, number: int, worst) -> Iterator[Check]:
    rules, at = standard(joint.standard), worst["tension"]
    flats = getattr(rules, "width_across_flats", None)
    middle = joint.planes == 2 and len(joint.plates) == 3 and number == 1
    if flats is None or at.value <= 0.0 or middle:
        return
    width = flats(bolt)
    head = HeadDiameter(width, width * (1.0 + 2.0 / np.sqrt(3.0)) / 2.0)
    found = rules.punching(
        head_diameter=head.mean, thickness=plate.thickness, ultimate_strength=plate.ultimate_strength
    )
    yield judged(
        f"punching-{plate.name}", f"punching of the {plate.name} by head or nut", demand=at.value,
        resistance=found.resistance, unit="N", clause=rules.CLAUSES["punching"],
        working=(*bolt_force(joint, at).working[1:], head, found), at=place(at),
    )  # fmt: skip


def _distances(joint: BoltedJoint, hole: Hole, plate: Plate, axis: str) -> Check:
    pitch, gauge = spacing(joint.positions, axis, hole.width)
    found = standard(joint.standard).distance_checks(
        hole, thickness=min(item.thickness for item in joint.plates), end_distance=plate.end_distance,
        edge_distance=plate.edge_distance, pitch=pitch, gauge=gauge, exposed=False,
    )  # fmt: skip
    worst = max(found, key=lambda check: check.utilisation)
    return replace(worst, id=f"distances-{plate.name}", title=f"hole distances of the {plate.name}: {worst.title}")


def _when(peak: Peak) -> str:
    when = "" if peak.time is None else f", {peak.time:.2f} s"
    return f"{peak.load}{when}, {peak.combination}"
