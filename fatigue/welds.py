"""Weld groups: straight weld lines in the joint's plane and the force on each millimetre of them.

The weld is treated as a line of unit strength, stiff parts between (the elastic line method); what a force
per length means as a stress in the throat is said by `throat_projections`.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.validation import InputError, require_positive

PROJECTIONS = 8


@dataclass(frozen=True)
class WeldGroup:
    """Weld lines and their properties as lines of unit thickness.

    Attributes
    ----------
    lines : array, shape (k, 2, 2)
        Start and end of each line from the joint's origin. [mm]
    length : float
        Total length. [mm]
    centroid : array, shape (2,)
        [mm]
    second_moments : array, shape (2, 2)
        Integrals of x x, x y, y y about the centroid. [mm3]
    """

    lines: NDArray[np.float64]
    length: float
    centroid: NDArray[np.float64]
    second_moments: NDArray[np.float64]

    @property
    def polar_moment(self) -> float:
        """Second polar moment about the centroid. [mm3]"""
        return float(np.trace(self.second_moments))


def weld_group(lines) -> WeldGroup:
    """Properties of weld lines.

    Parameters
    ----------
    lines : array, shape (k, 2, 2)
        Start and end of each straight line. [mm]

    Raises
    ------
    InputError
        A coordinate is not finite or a line has no length.

    Source
    ------
    Integrals of a straight line, elastic line method (textbook statics).

    Examples
    --------
    >>> group = weld_group([[[0, 0], [0, 200]], [[0, 0], [100, 0]], [[0, 200], [100, 200]]])
    >>> float(group.centroid[0]), round(group.polar_moment)
    (25.0, 3083333)
    """
    table = np.asarray(lines, dtype=float)
    if table.ndim != 3 or table.shape[1:] != (2, 2) or not len(table):
        raise InputError(f"weld lines must be pairs of points, shape (k, 2, 2), got shape {table.shape}")
    if not np.isfinite(table).all():
        raise InputError("weld lines must have finite coordinates")
    spans = table[:, 1] - table[:, 0]
    lengths = np.hypot(spans[:, 0], spans[:, 1])
    for number, length in enumerate(lengths, start=1):
        require_positive(float(length), f"length of weld line {number}", unit="mm")
    total = float(lengths.sum())
    middles = table.mean(axis=1)
    centroid = lengths @ middles / total
    arms = middles - centroid
    own = np.einsum("k,ki,kj->ij", lengths / 12, spans, spans)
    moments = np.einsum("k,ki,kj->ij", lengths, arms, arms) + own
    return WeldGroup(table, total, centroid, moments)


def line_forces(group: WeldGroup) -> NDArray[np.float64]:
    """Force per length at both ends of each line for unit load components. [N/mm per N or N mm]

    Returns
    -------
    array, shape (2 k, 3, 6)
        For each end: along the line, across it in the plane, normal to the plane; columns in the order
        Fx Fy Fz Mx My Mz, acting at the joint's origin. Linear along a line, so the ends hold the extremes.

    Raises
    ------
    InputError
        All lines lie on one straight line, which carries no moment about itself.

    Source
    ------
    Elastic line method (textbook statics): q = F / L + M r / I.
    """
    inertia = group.second_moments
    if np.linalg.eigvalsh(inertia)[0] <= 1e-9 * np.trace(inertia):
        raise InputError("weld lines that all lie on one straight line carry no moment about it; add a second line")
    ends = group.lines.reshape(-1, 2)
    spans = np.repeat(group.lines[:, 1] - group.lines[:, 0], 2, axis=0)
    along = spans / np.linalg.norm(spans, axis=1, keepdims=True)
    across = np.stack([-along[:, 1], along[:, 0]], axis=1)
    x0, y0 = group.centroid
    about_centroid = np.eye(6)
    about_centroid[3, 2], about_centroid[4, 2] = -y0, x0
    about_centroid[5, 0], about_centroid[5, 1] = y0, -x0
    forces = np.zeros((len(ends), 3, 6))
    solve = np.linalg.inv(inertia)
    for row, (end, a, b) in enumerate(zip(ends, along, across, strict=True)):
        rx, ry = end - group.centroid
        plane = np.zeros((2, 6))
        plane[0, 0] = plane[1, 1] = 1 / group.length
        plane[:, 5] = np.array([-ry, rx]) / group.polar_moment
        normal = np.zeros(6)
        normal[2] = 1 / group.length
        gradient = np.array([rx, ry]) @ solve
        normal[3], normal[4] = gradient[1], -gradient[0]
        forces[row, 0], forces[row, 1], forces[row, 2] = a @ plane, b @ plane, normal
    return forces @ about_centroid


def throat_projections(forces: NDArray[np.float64], throat: float) -> tuple[NDArray, NDArray]:
    """Throat stresses per unit load component: transverse (in several directions) and along the weld. [MPa]

    The transverse stress is the vector of the two forces across the weld over the throat,
    sigma_wf = sqrt(sigma_perp^2 + tau_perp^2). Its range over a history is taken from the ranges of its
    projections on PROJECTIONS directions, divided by cos(pi / (2 PROJECTIONS)), which bounds it from above by
    at most 2 %.

    Parameters
    ----------
    forces : array, shape (points, 3, 6)
        From `line_forces`.
    throat : float
        [mm]

    Returns
    -------
    transverse : array, shape (points * PROJECTIONS, 6)
    along : array, shape (points, 6)

    Source
    ------
    EN 1993-1-9:2005, 5(6): throat stresses sigma_wf and tau_wf (clause from memory).
    """
    require_positive(throat, "throat", unit="mm")
    angles = np.arange(PROJECTIONS) * math.pi / PROJECTIONS
    bound = math.cos(math.pi / (2 * PROJECTIONS))
    directions = np.stack([np.cos(angles), np.sin(angles)], axis=1) / bound
    transverse = np.einsum("di,pic->pdc", directions, forces[:, 1:, :]) / throat
    return transverse.reshape(-1, 6), forces[:, 0, :] / throat
