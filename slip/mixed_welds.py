"""Welds of unlike size or make in one joint: stress over the throats of all lines, strength of each line by itself."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from fatigue.welds import WeldGroup, line_forces, weld_group
from loadhistories.blocks import LoadBlock
from loadhistories.figures import Figure, judged
from slip.standards import standard
from slip.welded import LINE_METHOD, WeldedJoint, WeldOutcome, at_end, worst_end


@dataclass(frozen=True)
class ForceOnMixedWeld:
    """Force per length at one end of a weld line; loads about the centroid of the throats of all lines."""

    area: Annotated[float, Figure("A_w", "mm2", title="sum of length times throat of all lines")]
    second_xx: Annotated[float, Figure("J_xx", "mm4", title="integral of x x over the throats")]
    second_xy: Annotated[float, Figure("J_xy", "mm4", title="integral of x y over the throats")]
    second_yy: Annotated[float, Figure("J_yy", "mm4", title="integral of y y over the throats")]
    x: Annotated[float, Figure("r_x", "mm", title="place of the line end from the centroid")]
    y: Annotated[float, Figure("r_y", "mm", title="place of the line end from the centroid")]
    force_x: Annotated[float, Figure("V_x", "N", title="load of the joint along x")]
    force_y: Annotated[float, Figure("V_y", "N", title="load of the joint along y")]
    force_z: Annotated[float, Figure("N_z", "N", title="load of the joint out of the plane")]
    moment_x: Annotated[float, Figure("M_x", "N mm", title="moment about the x axis through the centroid")]
    moment_y: Annotated[float, Figure("M_y", "N mm", title="moment about the y axis through the centroid")]
    moment_z: Annotated[float, Figure("M_z", "N mm", title="moment in the plane about the centroid")]
    along_x: Annotated[
        float, Figure("t_x", "MPa", "V_x / A_w - M_z * r_y / (J_xx + J_yy)", LINE_METHOD, "stress along x")
    ]
    along_y: Annotated[
        float, Figure("t_y", "MPa", "V_y / A_w + M_z * r_x / (J_xx + J_yy)", LINE_METHOD, "stress along y")
    ]
    slope_x: Annotated[
        float,
        Figure("g_x", "N/mm3", "-(J_yy * M_y + J_xy * M_x) / (J_xx * J_yy - J_xy ** 2)", LINE_METHOD, "rise along x"),
    ]
    slope_y: Annotated[
        float,
        Figure("g_y", "N/mm3", "(J_xx * M_x + J_xy * M_y) / (J_xx * J_yy - J_xy ** 2)", LINE_METHOD, "rise along y"),
    ]
    normal: Annotated[
        float, Figure("t_z", "MPa", "N_z / A_w + g_x * r_x + g_y * r_y", LINE_METHOD, "stress out of the plane")
    ]
    throat: Annotated[float, Figure("a", "mm", title="throat of this line")]
    size: Annotated[
        float,
        Figure("F_w,Ed", "N/mm", "a * sqrt(t_x ** 2 + t_y ** 2 + t_z ** 2)", LINE_METHOD, "force per length"),
    ]


def throat_group(lines: NDArray[np.float64], throats: NDArray[np.float64]) -> WeldGroup:
    """Properties of weld lines as strips as wide as their throats: `length` in mm2, `second_moments` in mm4.

    Examples
    --------
    >>> group = throat_group(np.array([[[0, 0], [0, 200]], [[100, 0], [100, 200]]], dtype=float), np.array([4.0, 8.0]))
    >>> group.length, round(float(group.centroid[0]), 3)
    (2400.0, 66.667)
    """
    table = weld_group(lines).lines
    spans = table[:, 1] - table[:, 0]
    areas = np.hypot(spans[:, 0], spans[:, 1]) * throats
    middles = table.mean(axis=1)
    centroid = areas @ middles / areas.sum()
    arms = middles - centroid
    moments = np.einsum("k,ki,kj->ij", areas, arms, arms) + np.einsum("k,ki,kj->ij", areas / 12.0, spans, spans)
    return WeldGroup(table, float(areas.sum()), centroid, moments)


def assess_mixed_welds(joint: WeldedJoint, blocks: Sequence[LoadBlock]) -> WeldOutcome:
    """Judge welds of unlike throats, each line by its own strength; see `slip.welded.assess_welds`.

    Limits
    ------
    Stiff parts; the stress is linear over all throats, as in one section, so that a line's force per length goes by
    its throat. No strength is shifted from one line to another.

    Source
    ------
    Elastic line method with the throats as widths (textbook statics).
    """
    throats = np.array([weld.throat for weld in joint.each])
    strengths = np.repeat([weld.strength for weld in joint.each], 2)
    group = throat_group(joint.lines, throats)
    forces = line_forces(group) * np.repeat(throats, 2)[:, None, None]
    end, load, place = worst_end(joint, blocks, forces, strengths)
    weld = joint.each[end // 2]
    force = _force(group, end, load, weld.throat)
    check = judged(
        "weld-strength", "strength of the welds, which carry the whole load", demand=force.size,
        resistance=weld.strength, unit="N/mm", clause=joint.clause or standard(joint.standard).CLAUSES["fillet weld"],
        working=(force, weld), at=place,
    )  # fmt: skip
    return WeldOutcome(joint, check, force)


def _force(group: WeldGroup, end: int, load: NDArray[np.float64], throat: float) -> ForceOnMixedWeld:
    *values, stress = at_end(group, end, load)
    return ForceOnMixedWeld(*values, throat, throat * stress)
