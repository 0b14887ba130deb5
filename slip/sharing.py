"""Sharing of the load among the bolts of a group: in the faying plane and along the bolts.

Axes and signs: x and y lie in the faying plane, z is its outward normal. Forces on the bolts are those that the
part puts on them, so that they add up to the load. Axial forces are tension above zero; a moment Mx above zero
pulls the bolts at larger y, a moment My above zero those at smaller x (right-hand rule, M = r x F).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loadhistories.validation import InputError, require_one_of, where

METHODS = ("elastic", "centre")
SAME_PLACE = 1e-6
NO_LEVER = 1e-9
NO_MOMENT = 1e-9


@dataclass(frozen=True, eq=False)
class BoltForces:
    """Force on every bolt. [N]

    Attributes
    ----------
    in_plane : array, shape (..., n_bolts, 2)
        Components along x and y.
    axial : array, shape (..., n_bolts)
        Tension above zero; below zero the plates are pressed together there.
    """

    in_plane: NDArray[np.float64]
    axial: NDArray[np.float64]

    @property
    def shear(self) -> NDArray[np.float64]:
        """Size of the in-plane force of every bolt, shape (..., n_bolts). [N]"""
        return np.hypot(self.in_plane[..., 0], self.in_plane[..., 1])


def share_forces(positions: ArrayLike, loads: ArrayLike, method: str = "elastic") -> BoltForces:
    """Force on every bolt of a group. [N]

    Parameters
    ----------
    positions : array, shape (n_bolts, 2)
        Bolt centres. [mm]
    loads : array, shape (..., 6)
        Fx, Fy, Fz, Mx, My, Mz at the origin of the positions. [N, N mm]
    method : str
        "elastic": in-plane force in proportion to the distance from the centroid. "centre": about the
        instantaneous centre at which the group as a whole gives way.

    Returns
    -------
    BoltForces
        In-plane and axial force of every bolt; the axial ones by the linear method in either case.

    Raises
    ------
    InputError
        No bolts, two bolts at one place, a value that is not finite, a moment that the group cannot resist (one
        bolt; bolts on one line under a moment about it).

    Limits
    ------
    Bolts of one size and a stiff part. Pressed contact outside the bolts is not counted: where axial forces are
    below zero, the tension of the others is that of the linear method without contact. No prying.

    Source
    ------
    Elastic: statics, EN 1993-1-8:2005, 3.12(3).

    Examples
    --------
    >>> forces = share_forces([[0, -40], [0, 40]], [0, 8000, 2000, 40_000, 0, 0])
    >>> forces.in_plane.tolist()
    [[0.0, 4000.0], [0.0, 4000.0]]
    >>> forces.axial.tolist()
    [500.0, 1500.0]
    """
    require_one_of(method, METHODS, "method")
    places = require_positions(positions)
    loads = _require_loads(loads)
    require_resisted(places, loads)
    shear, axial = sharing_matrices(places)
    in_plane = _about_centre(places, loads) if method == "centre" else np.einsum("nkc,...c->...nk", shear, loads)
    return BoltForces(in_plane, loads @ axial.T)


def sharing_matrices(positions: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Matrices that turn loads into bolt forces by the elastic and the linear method.

    For a history of shape (6, m): in-plane forces are `shear @ history`, shape (n_bolts, 2, m), and axial
    forces `axial @ history`, shape (n_bolts, m). What no bolt can resist is to be refused by `require_resisted`.

    Parameters
    ----------
    positions : array, shape (n_bolts, 2)
        Bolt centres from the point at which the loads act. [mm]

    Returns
    -------
    shear : array, shape (n_bolts, 2, 6)
    axial : array, shape (n_bolts, 6)

    Raises
    ------
    InputError
        No bolts, two bolts at one place, a position that is not finite.

    Source
    ------
    Statics: V = F/n + Mz r/sum(r^2) about the centroid; N = Fz/n and linear in x and y, so that sum(N) = Fz,
    sum(N y) = Mx and -sum(N x) = My.

    Examples
    --------
    >>> shear, axial = sharing_matrices([[-50, 0], [50, 0]])
    >>> axial[:, 4].tolist()
    [0.01, -0.01]
    """
    places = require_positions(positions)
    count, centroid = len(places), places.mean(axis=0)
    arms = places - centroid
    to_centroid = _transfer(centroid)
    shear = np.zeros((count, 2, 6))
    shear[:, 0, 0] = shear[:, 1, 1] = 1.0 / count
    polar = float(np.sum(arms**2))
    if count > 1:
        shear[:, 0, 5] = -arms[:, 1] / polar
        shear[:, 1, 5] = arms[:, 0] / polar
    axial = np.zeros((count, 6))
    axial[:, 2] = 1.0 / count
    for principal, second_moment in _principal_arms(arms):
        along = arms @ principal
        axial[:, 3] += along * principal[1] / second_moment
        axial[:, 4] -= along * principal[0] / second_moment
    return shear @ to_centroid, axial @ to_centroid


def unresisted(positions: ArrayLike) -> list[tuple[str, NDArray[np.float64]]]:
    """Moments that the group cannot resist: what each is, and the row that gives it from the six loads. [N mm]

    Empty for three or more bolts that are not on one line.
    """
    places = require_positions(positions)
    centroid = places.mean(axis=0)
    arms, to_centroid = places - centroid, _transfer(centroid)
    if len(places) == 1:
        names = ("Mx", "My", "Mz")
        return [
            (f"one bolt cannot resist a moment: {name} about it", to_centroid[3 + axis])
            for axis, name in enumerate(names)
        ]
    axes = [principal for principal, _ in _principal_arms(arms)]
    if len(axes) == 2:
        return []
    x, y = axes[0]
    text = "bolts on one line cannot resist a moment about that line"
    return [(text, x * to_centroid[3] + y * to_centroid[4])]


def require_resisted(positions: ArrayLike, loads: ArrayLike, *, place: str = "") -> None:
    """Refuse loads with a moment that the group of bolts cannot resist.

    Parameters
    ----------
    loads : array, shape (..., 6)
        [N, N mm]

    Raises
    ------
    InputError
        Naming the moment and its largest value.
    """
    places, table = require_positions(positions), _require_loads(loads).reshape(-1, 6)
    reach = 1.0 + float(np.abs(places).max())
    for text, row in unresisted(places):
        moment = table @ row
        round_off = NO_MOMENT * (np.abs(table[:, :3]).sum(axis=1) * reach + np.abs(table[:, 3:]).sum(axis=1))
        if np.any(np.abs(moment) > round_off):
            worst = moment[np.argmax(np.abs(moment))]
            raise InputError(f"{text}, got {worst:g} N mm; add bolts beside it or take the moment off{where(place)}")


def require_positions(positions: ArrayLike, *, place: str = "") -> NDArray[np.float64]:
    """Bolt positions as an array of shape (n_bolts, 2).

    Raises
    ------
    InputError
        No bolts, another shape, a value that is not finite, two bolts at one place (both are named, from 1).
    """
    try:
        places = np.asarray(positions, dtype=np.float64)
    except (TypeError, ValueError):
        raise InputError(f"positions must be pairs of numbers x, y in mm{where(place)}") from None
    if places.size == 0:
        raise InputError(f"a joint needs at least one bolt, got none{where(place)}")
    if places.ndim != 2 or places.shape[1] != 2:
        raise InputError(f"positions must have the shape (bolts, 2), got {places.shape}{where(place)}")
    for number, (x, y) in enumerate(places, start=1):
        if not np.isfinite([x, y]).all():
            raise InputError(f"position of bolt {number} must be finite, got ({x:g}, {y:g}) mm{where(place)}")
    for first in range(len(places) - 1):
        gaps = np.hypot(*(places[first + 1 :] - places[first]).T)
        if gaps.min() <= SAME_PLACE:
            second = first + 1 + int(np.argmin(gaps))
            x, y = places[first]
            raise InputError(
                f"bolts {first + 1} and {second + 1} are at one place, ({x:g}, {y:g}) mm; move or remove one"
                f"{where(place)}"
            )
    return places


def _require_loads(loads: ArrayLike) -> NDArray[np.float64]:
    try:
        table = np.asarray(loads, dtype=np.float64)
    except (TypeError, ValueError):
        raise InputError("loads must be the six numbers Fx, Fy, Fz, Mx, My, Mz in N and N mm") from None
    if table.ndim == 0 or table.shape[-1] != 6:
        raise InputError(f"loads must end in the six components Fx, Fy, Fz, Mx, My, Mz; got the shape {table.shape}")
    if not np.isfinite(table).all():
        raise InputError("loads must be finite, got NaN or inf among them")
    return table


def _transfer(centroid: NDArray[np.float64]) -> NDArray[np.float64]:
    """Turns loads at the origin into loads at the centroid, shape (6, 6)."""
    x, y = centroid
    matrix = np.eye(6)
    matrix[3, 2] = -y
    matrix[4, 2] = x
    matrix[5, 0] = y
    matrix[5, 1] = -x
    return matrix


def _principal_arms(arms: NDArray[np.float64]) -> list[tuple[NDArray[np.float64], float]]:
    """Principal directions of the group and its second moment along each, without those of no extent."""
    if len(arms) == 1:
        return []
    _, extents, directions = np.linalg.svd(arms, full_matrices=False)
    return [
        (direction, float(extent**2))
        for direction, extent in zip(directions, extents, strict=True)
        if extent > NO_LEVER * extents[0]
    ]


def _about_centre(positions: NDArray[np.float64], loads: NDArray[np.float64]) -> NDArray[np.float64]:
    """In-plane forces in the ratio in which the group carries its largest load, scaled to the given one."""
    from slip.centre import centre_forces

    table = loads.reshape(-1, 6)
    forces = np.zeros((len(table), len(positions), 2))
    for number, load in enumerate(table[:, [0, 1, 5]]):
        if np.any(load):
            found = centre_forces(positions, load)
            forces[number] = found.forces / found.load_factor
    return forces.reshape(*loads.shape[:-1], len(positions), 2)
