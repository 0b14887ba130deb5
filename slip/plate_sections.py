"""Cross-section of a plate through its bolts: net area, bending in its own plane, the force that stands for both."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from loadhistories.figures import Figure
from slip.holes import Hole
from slip.joint import BoltedJoint
from slip.peaks import Peak
from slip.standards import standard

AXES = ("x", "y")
SECTIONS = ("gross", "net")
SIGNS = ((1, 1), (1, -1), (-1, 1), (-1, -1))
GEOMETRY = "geometry"
STATICS = "largest stress of a stiff section (textbook statics)"


@dataclass(frozen=True)
class SectionArea:
    """Gross or net section of a plate across the load; every hole is deducted as if all stood in one row."""

    width: Annotated[float, Figure("b", "mm", title="width of the plate")]
    thickness: Annotated[float, Figure("t", "mm", title="plate thickness")]
    deducted: Annotated[float, Figure("d_s", "mm", "", GEOMETRY, "width of the holes, none of the gross section")]
    area: Annotated[float, Figure("A", "mm2", "t * (b - d_s)", GEOMETRY, "area of the section")]
    modulus: Annotated[float, Figure("W", "mm3", "", GEOMETRY, "elastic modulus about the section's own centroid")]


@dataclass(frozen=True)
class SectionForce:
    """Force on a section of the plate through an outer row of bolts, with its bending in the plate's own plane."""

    share: Annotated[float, Figure("c_s", "", "", GEOMETRY, "share of the joint's load that this plate takes")]
    normal: Annotated[float, Figure("N", "N", title="load of the joint along the plate")]
    cross: Annotated[float, Figure("V", "N", title="load of the joint across the plate")]
    moment: Annotated[float, Figure("M_c", "N mm", title="moment about the centroid of the bolts")]
    lever: Annotated[float, Figure("h", "mm", "", GEOMETRY, "from the centroid of the bolts to the farther outer row")]
    offset: Annotated[float, Figure("e_s", "mm", "", GEOMETRY, "between the centroids of bolts and section")]
    area: Annotated[float, Figure("A", "mm2", title="area of the section")]
    modulus: Annotated[float, Figure("W", "mm3", title="elastic modulus of the section")]
    bending: Annotated[
        float, Figure("M_s", "N mm", "abs(M_c) + abs(V) * h + abs(N) * e_s", STATICS, "bending of the section at most")
    ]
    equivalent: Annotated[
        float,
        Figure("N_Ed", "N", "c_s * (abs(N) + M_s * A / W)", STATICS, "force of the same largest stress over the area"),
    ]


@dataclass(frozen=True, eq=False)
class Section:
    """One section of one plate for a load along `axis`; `rows` give its force per unit load component.

    The largest of the rows, each in either sense, is the equivalent force of the whole joint's load.
    """

    plate: int
    axis: str
    kind: str
    working: SectionArea
    lever: float
    offset: float
    rows: NDArray[np.float64]

    @property
    def area(self) -> float:
        """[mm2]"""
        return self.working.area


def sections(joint: BoltedJoint, holes: Sequence[Hole]) -> tuple[Section, ...]:
    """Sections of the plates whose width across the load is given, for a load along x and along y.

    Parameters
    ----------
    holes : sequence of Hole
        One of each plate.

    Limits
    ------
    Plates centred on the bolts. Bending outside the bolts grows with the distance from them and belongs to the
    member. Shear of a section is judged apart and not counted beside it.
    """
    found = []
    for number, plate in enumerate(joint.plates):
        for axis, width in (("y", plate.width), ("x", plate.height)):
            if width is not None:
                found += [_section(joint, holes[number], number, axis, width, kind) for kind in SECTIONS]
    return tuple(found)


def deducted(joint: BoltedJoint, hole: Hole) -> Hole:
    """The hole as it is deducted from net areas: as it is, unless the standard deducts more."""
    more = getattr(standard(joint.standard), "deducted_hole", None)
    return hole if more is None else more(hole)


def section_of(joint: BoltedJoint, section: Section, share: float, peak: Peak, all_forces: Callable) -> SectionForce:
    """The force on a section at the instant of a peak, with its figures."""
    along = AXES.index(section.axis)
    shears, _ = all_forces(peak.components)
    arms = joint.positions - joint.positions.mean(axis=0)
    moment = float((arms[:, 0] * shears[:, 1] - arms[:, 1] * shears[:, 0]).sum())
    normal, cross = (float(shears[:, number].sum()) for number in (along, 1 - along))
    area, modulus = section.working.area, section.working.modulus
    bending = abs(moment) + abs(cross) * section.lever + abs(normal) * section.offset
    equivalent = share * (abs(normal) + bending * area / modulus)
    return SectionForce(
        share, normal, cross, moment, section.lever, section.offset, area, modulus, bending, equivalent
    )


def moment_row(positions: NDArray[np.float64]) -> NDArray[np.float64]:
    """Moment about the centroid of the bolts per unit load component at the origin, shape (6,)."""
    x, y = positions.mean(axis=0)
    return np.array([y, -x, 0.0, 0.0, 0.0, 1.0])


def _section(joint: BoltedJoint, hole: Hole, number: int, axis: str, width: float, kind: str) -> Section:
    along = AXES.index(axis)
    arms = joint.positions - joint.positions.mean(axis=0)
    middle = float(arms[:, 1 - along].max() + arms[:, 1 - along].min()) / 2.0
    beyond = hole.length if hole.slotted and joint.slot_axis != axis else hole.width
    centres = arms[:, 1 - along] - middle
    strips = _strips(width, [] if kind == "gross" else centres, beyond)
    area, centre, modulus = _properties(strips)
    t = joint.plates[number].thickness
    lever, offset = float(np.abs(arms[:, along]).max()), abs(middle + centre)
    load = np.eye(6)
    about = moment_row(joint.positions)
    bent = area / modulus
    rows = [
        load[along] * (1.0 + bent * offset) + bent * (first * about + second * lever * load[1 - along])
        for first, second in SIGNS
    ]
    working = SectionArea(width, t, width - area, t * area, t * modulus)
    return Section(number, axis, kind, working, lever, offset, np.array(rows))


def _strips(width: float, centres, hole: float) -> list[tuple[float, float]]:
    """What is left of a width after all holes, as stretches from the middle. [mm]"""
    left, strips = -width / 2.0, []
    for centre in sorted(centres):
        if centre - hole / 2.0 > left:
            strips.append((left, centre - hole / 2.0))
        left = max(left, centre + hole / 2.0)
    if left < width / 2.0:
        strips.append((left, width / 2.0))
    return strips


def _properties(strips: list[tuple[float, float]]) -> tuple[float, float, float]:
    """Area, centre and elastic modulus of stretches of unit thickness. [mm, mm, mm2]"""
    low, high = np.array(strips).T
    area = float((high - low).sum())
    centre = float((high**2 - low**2).sum() / 2.0 / area)
    second = float(((high - centre) ** 3 - (low - centre) ** 3).sum() / 3.0)
    return area, centre, second / max(high.max() - centre, centre - low.min())
