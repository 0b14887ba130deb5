"""Cone programs in few variables, many of the same shape side by side: the mathematics behind `clearance.py` and
`mechanism.py`; nothing here knows a joint.

    max load.x   with   room s = limit - slope x   and   s_0 >= |s_1| in every cone

The force z of each cone, another such cone, keeps the load in balance where its room is used up. The interior-point
method scales both to the same vector (Nesterov and Todd), looks ahead to the boundary (Mehrotra) and then steps
towards the centre as far as that look has shown to be needed.
"""

import numpy as np
from numpy.typing import NDArray

GAP = 1e-10
"""Work that the solution may fall short of the largest, scaled."""

REST = 1e-8
"""Load that the forces may leave unbalanced, scaled: a matter of rounding in the forces, not in the motion."""

_STEPS = 100
_REFLECT = np.array([1.0, -1.0, -1.0])


def solve_cones(slope: NDArray, limit: NDArray, loads: NDArray, x: NDArray, z: NDArray) -> tuple[NDArray, NDArray]:
    """For each row of `loads` the variables that do the most work, and the forces that hold them.

    Parameters
    ----------
    slope, limit : array, shape (cones, 3, variables) and (cones, 3)
        The cones, of the order of 1.
    loads : array, shape (m, variables)
        Loads, none zero, of the order of 1.
    x, z : array, shape (m, variables) and (m, cones, 3)
        Start: variables that leave room in every cone, and forces within theirs.

    Returns
    -------
    tuple of array
        Variables, strictly within all cones, and forces, in the shapes of the start.

    Limits
    ------
    A solution exists, and no direction of the variables is without effect on every cone.

    Source
    ------
    Y. E. Nesterov and M. J. Todd, Primal-dual interior-point methods for self-scaled cones, SIAM Journal on
    Optimization 8 (1998); S. Mehrotra, On the implementation of a primal-dual interior point method, the same
    journal 2 (1992). (from memory)
    """
    found_x, found_z, left = np.zeros_like(x), np.zeros_like(z), np.arange(len(loads))
    for _ in range(_STEPS):
        s = limit - _applied(slope, x)
        rest = loads - _gathered(slope, z)
        gap = np.sum(s * z, axis=(1, 2))
        solved = (gap <= GAP) & (np.max(np.abs(rest), axis=1) <= REST)
        found_x[left[solved]], found_z[left[solved]] = x[solved], z[solved]
        if np.all(solved):
            return found_x, found_z
        left, loads, x, z, s, rest, gap = (a[~solved] for a in (left, loads, x, z, s, rest, gap))
        step_x, step_z = _step(slope, s, z, rest, gap)
        share = 0.99 * _share((s, z), (-_applied(slope, step_x), step_z))
        x, z = x + share[:, None] * step_x, z + share[:, None, None] * step_z
    raise RuntimeError(f"the cone program was not solved in {_STEPS} steps: gap {np.max(gap):g}")


def _step(slope: NDArray, s: NDArray, z: NDArray, rest: NDArray, gap: NDArray) -> tuple[NDArray, NDArray]:
    """Step of variables and forces: the look ahead, then the step centred and corrected by it."""
    scaling, inverse = _scalings(s, z)
    shared = _times(scaling, z)
    tilted = (inverse @ slope).reshape(len(s), -1, slope.shape[2])
    turned, root = tilted.transpose(0, 2, 1), np.linalg.qr(tilted, mode="r")

    def against(pull: NDArray) -> NDArray:
        return np.linalg.solve(root, np.linalg.solve(root.transpose(0, 2, 1), pull))

    def solve(wanted: NDArray) -> tuple[NDArray, NDArray, NDArray]:
        step = against(rest[:, :, None] - turned @ wanted.reshape(len(s), -1, 1))
        room = (tilted @ step).reshape(s.shape)
        return step[:, :, 0], wanted + room, -room

    _, force, room = solve(-shared)
    share = _share((shared, shared), (force, room))
    centre = (1.0 - share) ** 3 * gap / len(slope)
    wanted = -_product(shared, shared) - _product(room, force)
    wanted[:, :, 0] += centre[:, None]
    step, force, _ = solve(_divided(wanted, shared))
    step_z = _times(inverse, force)
    missed = against((rest - _gathered(slope, step_z))[:, :, None])
    return step + missed[:, :, 0], step_z + _times(inverse, (tilted @ missed).reshape(s.shape))


def _scalings(s: NDArray, z: NDArray) -> tuple[NDArray, NDArray]:
    """The symmetric matrices W and W^-1 with W z = W^-1 s."""
    size_s, size_z = np.sqrt(_size(s)), np.sqrt(_size(z))
    unit_s, unit_z = s / size_s[..., None], z / size_z[..., None]
    turn = np.sqrt((1.0 + np.sum(unit_s * unit_z, axis=2)) / 2.0)
    middle = (unit_s + _REFLECT * unit_z) / (2.0 * turn[..., None])
    stretch = np.sqrt(size_s / size_z)[..., None, None]
    matrix = middle[..., :, None] * middle[..., None, :] / (1.0 + middle[..., 0])[..., None, None]
    matrix[..., 0, :] = matrix[..., :, 0] = middle
    matrix[..., 1, 1] += 1.0
    matrix[..., 2, 2] += 1.0
    return matrix * stretch, matrix * (_REFLECT[:, None] * _REFLECT) / stretch


def _share(start: tuple[NDArray, NDArray], step: tuple[NDArray, NDArray]) -> NDArray[np.float64]:
    """The share, up to 1, of both steps that the tightest of all cones allows, shape (m,)."""
    s, ds = np.concatenate(start, axis=1), np.concatenate(step, axis=1)
    square = np.sum(ds * ds * _REFLECT, axis=2)
    half = np.sum(s * ds * _REFLECT, axis=2)
    size = _size(s)
    below = np.sqrt(np.maximum(half * half - square * size, 0.0)) - half
    meets = (below > size) & ((square < 0.0) | (half < 0.0))
    return np.min(np.where(meets, size / np.where(meets, below, 1.0), 1.0), axis=1)


def _size(s: NDArray) -> NDArray[np.float64]:
    across = np.hypot(s[..., 1], s[..., 2])
    return (s[..., 0] - across) * (s[..., 0] + across)


def _product(a: NDArray, b: NDArray) -> NDArray[np.float64]:
    result = a[..., :1] * b + b[..., :1] * a
    result[..., 0] = np.sum(a * b, axis=-1)
    return result


def _divided(a: NDArray, b: NDArray) -> NDArray[np.float64]:
    """The vector whose product with b is a."""
    first = np.sum(a * b * _REFLECT, axis=-1) / _size(b)
    result = (a - first[..., None] * b) / b[..., :1]
    result[..., 0] = first
    return result


def _times(matrix: NDArray, vector: NDArray) -> NDArray[np.float64]:
    return (matrix @ vector[..., None])[..., 0]


def _applied(slope: NDArray, x: NDArray) -> NDArray[np.float64]:
    return (x @ slope.reshape(-1, slope.shape[2]).T).reshape(len(x), *slope.shape[:2])


def _gathered(slope: NDArray, z: NDArray) -> NDArray[np.float64]:
    """Load that the forces carry."""
    return z.reshape(len(z), -1) @ slope.reshape(-1, slope.shape[2])
