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
    """Weld lines of one joint, all of one size and make.

    Attributes
    ----------
    lines : array, shape (k, 2, 2)
        Start and end of each straight line from the joint's origin. [mm]
    weld : result of the standard's `fillet_weld`
        With `.throat` in mm and `.strength` in N/mm.
    quality : str
        "shop" or "site".
    permanent : array, shape (6,)
        [N, N mm]
    """

    name: str
    standard: str
    lines: NDArray[np.float64]
    weld: Any
    quality: str
    permanent: NDArray[np.float64]
    factors: Factors = field(default_factory=Factors)


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
    """The welds of one joint under the whole of its load, at ultimate level."""

    joint: WeldedJoint
    check: Check
    force: ForceOnWeld

    @property
    def utilisation(self) -> float:
        """Largest force per length over the strength. [-]"""
        return self.force.size / self.joint.weld.strength


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
    Stiff parts; lines of one throat. The strength is that for a force along the weld: what a force across it may
    gain by its direction is left out. The size of the force per length is convex in the load, so that the outermost
    load points are enough.
    """
    group = weld_group(joint.lines)
    forces = line_forces(group)
    most, end, load, words = -1.0, 0, np.zeros(6), ""
    for name, case, table in _loads(joint, blocks):
        sizes = np.sqrt((np.einsum("pic,cm->pim", forces, table) ** 2).sum(axis=1))
        point, at = divmod(int(np.argmax(sizes)), sizes.shape[1])
        if sizes[point, at] > most:
            most, end, load, words = float(sizes[point, at]), point, table[:, at], f"{name}, {case}"
    force = _force(group, end, load)
    rules = standard(joint.standard)
    check = judged(
        "weld-strength", "strength of the welds, which carry the whole load", demand=force.size,
        resistance=joint.weld.strength, unit="N/mm", clause=rules.CLAUSES["fillet weld"],
        working=(force, joint.weld), at=f"line {end // 2 + 1}, {'start' if end % 2 == 0 else 'end'}, {words}",
    )  # fmt: skip
    return WeldOutcome(joint, check, force)


def _loads(joint: WeldedJoint, blocks: Sequence[LoadBlock]) -> Iterator[tuple[str, str, NDArray[np.float64]]]:
    permanent, factors = np.asarray(joint.permanent, dtype=float)[:, None], joint.factors
    cases = {UNFAVOURABLE: factors.permanent}
    if np.any(permanent):
        cases[FAVOURABLE] = factors.permanent_favourable
    for case, factor in cases.items():
        yield PERMANENT_ALONE, case, factor * permanent
        for block in blocks:
            for chunk in block.chunks():
                yield block.name, case, factor * permanent + factors.variable * chunk


def _force(group: WeldGroup, end: int, load: NDArray[np.float64]) -> ForceOnWeld:
    x0, y0 = map(float, group.centroid)
    r_x, r_y = map(float, group.lines.reshape(-1, 2)[end] - group.centroid)
    fx, fy, fz, mx, my, mz = map(float, load)
    mx, my, mz = mx - y0 * fz, my + x0 * fz, mz + y0 * fx - x0 * fy
    xx, xy, yy = (float(group.second_moments[i]) for i in ((0, 0), (0, 1), (1, 1)))
    spread = xx * yy - xy**2
    slope_x, slope_y = -(yy * my + xy * mx) / spread, (xx * mx + xy * my) / spread
    q_x = fx / group.length - mz * r_y / (xx + yy)
    q_y = fy / group.length + mz * r_x / (xx + yy)
    q_z = fz / group.length + slope_x * r_x + slope_y * r_y
    return ForceOnWeld(
        group.length, xx, xy, yy, r_x, r_y, fx, fy, fz, mx, my, mz, q_x, q_y, slope_x, slope_y, q_z,
        math.sqrt(q_x**2 + q_y**2 + q_z**2),
    )  # fmt: skip
