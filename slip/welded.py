"""A welded joint: force per length by the elastic line method at ultimate level against the strength of the weld."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Annotated, Any

import numpy as np
from numpy.typing import NDArray

from fatigue.welds import WeldGroup, line_forces, weld_group
from loadhistories.blocks import LoadBlock
from loadhistories.figures import Check, Figure, judged
from slip.events import PERMANENT_ALONE
from slip.joint import Factors
from slip.standards import standard

QUALITIES = ("shop", "site")
LINE_METHOD = "elastic line method, stiff parts (textbook statics)"
UNFAVOURABLE, FAVOURABLE = "permanent load unfavourable", "permanent load favourable"


@dataclass(frozen=True, eq=False)
class WeldedJoint:
    """Weld lines of one joint.

    Attributes
    ----------
    lines : array, shape (k, 2, 2)
        Start and end of each straight line from the joint's origin. [mm]
    weld : result of the standard's `fillet_weld`
        With `.throat` in mm and `.strength` in N/mm; that of the first line where they differ.
    quality : str
        "shop" or "site".
    permanent : array, shape (6,)
        [N, N mm]
    clause : str
        Behind the strength; "": that of fillet welds.
    each : tuple
        The weld of every line where they are not all alike, else empty.
    """

    name: str
    standard: str
    lines: NDArray[np.float64]
    weld: Any
    quality: str
    permanent: NDArray[np.float64]
    factors: Factors = field(default_factory=Factors)
    clause: str = ""
    each: tuple[Any, ...] = ()


@dataclass(frozen=True)
class ForceOnWeld:
    """Force per length at one end of a weld line; loads about the centroid of the lines."""

    length: Annotated[float, Figure("L_w", "mm", title="length of the weld lines together")]
    second_xx: Annotated[float, Figure("J_xx", "mm3", title="integral of x x about the centroid")]
    second_xy: Annotated[float, Figure("J_xy", "mm3", title="integral of x y about the centroid")]
    second_yy: Annotated[float, Figure("J_yy", "mm3", title="integral of y y about the centroid")]
    x: Annotated[float, Figure("r_x", "mm", title="place of the line end from the centroid")]
    y: Annotated[float, Figure("r_y", "mm", title="place of the line end from the centroid")]
    force_x: Annotated[float, Figure("V_x", "N", title="load of the joint along x")]
    force_y: Annotated[float, Figure("V_y", "N", title="load of the joint along y")]
    force_z: Annotated[float, Figure("N_z", "N", title="load of the joint out of the plane")]
    moment_x: Annotated[float, Figure("M_x", "N mm", title="moment about the x axis through the centroid")]
    moment_y: Annotated[float, Figure("M_y", "N mm", title="moment about the y axis through the centroid")]
    moment_z: Annotated[float, Figure("M_z", "N mm", title="moment in the plane about the centroid")]
    along_x: Annotated[
        float,
        Figure("q_x", "N/mm", "V_x / L_w - M_z * r_y / (J_xx + J_yy)", LINE_METHOD, "force per length along x"),
    ]
    along_y: Annotated[
        float,
        Figure("q_y", "N/mm", "V_y / L_w + M_z * r_x / (J_xx + J_yy)", LINE_METHOD, "force per length along y"),
    ]
    slope_x: Annotated[
        float,
        Figure("g_x", "N/mm2", "-(J_yy * M_y + J_xy * M_x) / (J_xx * J_yy - J_xy ** 2)", LINE_METHOD, "rise along x"),
    ]
    slope_y: Annotated[
        float,
        Figure("g_y", "N/mm2", "(J_xx * M_x + J_xy * M_y) / (J_xx * J_yy - J_xy ** 2)", LINE_METHOD, "rise along y"),
    ]
    normal: Annotated[
        float,
        Figure("q_z", "N/mm", "N_z / L_w + g_x * r_x + g_y * r_y", LINE_METHOD, "force per length out of the plane"),
    ]
    size: Annotated[
        float, Figure("F_w,Ed", "N/mm", "sqrt(q_x ** 2 + q_y ** 2 + q_z ** 2)", LINE_METHOD, "force per length")
    ]


@dataclass(frozen=True, eq=False)
class WeldOutcome:
    """The welds of one joint under the whole of its load, at ultimate level.

    `force` is a ForceOnWeld, or a `slip.mixed_welds.ForceOnMixedWeld` where the welds are not alike; `.size` in N/mm.
    """

    joint: WeldedJoint
    check: Check
    force: Any

    @property
    def utilisation(self) -> float:
        """Largest force per length over the strength. [-]"""
        return self.force.size / self.check.resistance


def assess_welds(joint: WeldedJoint, blocks: Sequence[LoadBlock]) -> WeldOutcome:
    """Judge the strength of the welds as if nothing else carried the load.

    Parameters
    ----------
    blocks : sequence of LoadBlock
        The loads, or their outermost load points. [N, N mm]

    Raises
    ------
    InputError
        All lines lie on one straight line.

    Limits
    ------
    Stiff parts; lines of unlike throats as in `slip.mixed_welds`. The strength is that for a force along the weld:
    what a force across it may gain by its direction is left out. The size of the force per length is convex in the
    load, so that the outermost load points are enough.
    """
    if joint.each:
        from slip.mixed_welds import assess_mixed_welds

        return assess_mixed_welds(joint, blocks)
    group = weld_group(joint.lines)
    forces = line_forces(group)
    end, load, place = worst_end(joint, blocks, forces, np.ones(len(forces)))
    force = ForceOnWeld(*at_end(group, end, load))
    rules = standard(joint.standard)
    check = judged(
        "weld-strength", "strength of the welds, which carry the whole load", demand=force.size,
        resistance=joint.weld.strength, unit="N/mm", clause=joint.clause or rules.CLAUSES["fillet weld"],
        working=(force, joint.weld), at=place,
    )  # fmt: skip
    return WeldOutcome(joint, check, force)


def loads_of(joint: WeldedJoint, blocks: Sequence[LoadBlock]) -> Iterator[tuple[str, str, NDArray[np.float64]]]:
    """Name of the load, combination and design loads, shape (6, m), one after the other. [N, N mm]"""
    permanent, factors = np.asarray(joint.permanent, dtype=float)[:, None], joint.factors
    cases = {UNFAVOURABLE: factors.permanent}
    if np.any(permanent):
        cases[FAVOURABLE] = factors.permanent_favourable
    for case, factor in cases.items():
        yield PERMANENT_ALONE, case, factor * permanent
        for block in blocks:
            for chunk in block.chunks():
                yield block.name, case, factor * permanent + factors.variable * chunk


def to_centroid(group: WeldGroup, load: NDArray[np.float64]) -> tuple[float, ...]:
    """A load at the joint's origin, shape (6,), about the centroid of the lines. [N, N mm]"""
    x0, y0 = map(float, group.centroid)
    fx, fy, fz, mx, my, mz = map(float, load)
    return fx, fy, fz, mx - y0 * fz, my + x0 * fz, mz + y0 * fx - x0 * fy


def worst_end(
    joint: WeldedJoint, blocks: Sequence[LoadBlock], forces: NDArray[np.float64], strengths: NDArray[np.float64]
) -> tuple[int, NDArray[np.float64], str]:
    """Number of the end of a line that is used most, the load there, shape (6,), and where it is, in words.

    Parameters
    ----------
    forces : array, shape (ends, 3, 6)
        Force per length at each end for a unit of each component.
    strengths : array, shape (ends,)
        [N/mm]
    """
    most, end, load, words = -1.0, 0, np.zeros(6), ""
    for name, case, table in loads_of(joint, blocks):
        sizes = np.sqrt((np.einsum("pic,cm->pim", forces, table) ** 2).sum(axis=1)) / strengths[:, None]
        point, at = divmod(int(np.argmax(sizes)), sizes.shape[1])
        if sizes[point, at] > most:
            most, end, load, words = float(sizes[point, at]), point, table[:, at], f"{name}, {case}"
    return end, load, f"line {end // 2 + 1}, {'start' if end % 2 == 0 else 'end'}, {words}"


def at_end(group: WeldGroup, end: int, load: NDArray[np.float64]) -> tuple[float, ...]:
    """The values of the elastic line method at one end of a line, in the order of the fields of `ForceOnWeld`."""
    r_x, r_y = map(float, group.lines.reshape(-1, 2)[end] - group.centroid)
    fx, fy, fz, mx, my, mz = to_centroid(group, load)
    xx, xy, yy = (float(group.second_moments[i]) for i in ((0, 0), (0, 1), (1, 1)))
    spread = xx * yy - xy**2
    slope_x, slope_y = -(yy * my + xy * mx) / spread, (xx * mx + xy * my) / spread
    q_x = fx / group.length - mz * r_y / (xx + yy)
    q_y = fy / group.length + mz * r_x / (xx + yy)
    q_z = fz / group.length + slope_x * r_x + slope_y * r_y
    return (
        group.length, xx, xy, yy, r_x, r_y, fx, fy, fz, mx, my, mz, q_x, q_y, slope_x, slope_y, q_z,
        math.sqrt(q_x**2 + q_y**2 + q_z**2),
    )  # fmt: skip
