"""The joint as a whole at its limit: about which point it turns, and what every bolt then carries.

In friction every bolt holds with its whole grip against the motion; in bearing each by its deformation. Which
bolt slips first is the elastic method's question and stands in `sharing.py`.
"""

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_one_of
from slip.mechanism import Group, bearing_law, in_bearing, in_friction

LAWS = ("bearing", "friction")
METHOD = "instantaneous centre"

_NO_GRIP = 1e-9
"""Share of the largest grip below which a bolt counts as not gripping, on the safe side."""


@dataclass(frozen=True, eq=False)
class CentreResult:
    """A bolt group at the largest multiple of a load that it carries.

    `forces`, shape (n_bolts, 2), is what each bolt then carries [N]; together they equal `load_factor` times the
    load. The centre is None where the part moves straight on. `coefficient` and `moment_coefficient` are given
    where all bolts have one strength.
    """

    law: str
    forces: NDArray[np.float64]
    force_x: Annotated[float, Figure("F_x", "N", title="force, x")]
    force_y: Annotated[float, Figure("F_y", "N", title="force, y")]
    moment: Annotated[float, Figure("M_z", "N mm", title="moment at the origin")]
    resultant: Annotated[float, Figure("P", "N", "hypot(F_x, F_y)", title="resultant force")]
    strength: Annotated[float | None, Figure("R", "N", title="strength of one bolt")]
    load_factor: Annotated[float, Figure("psi", clause=METHOD, title="load factor of the whole group")]
    centre_x: Annotated[float | None, Figure("x_c", "mm", clause=METHOD, title="instantaneous centre, x")]
    centre_y: Annotated[float | None, Figure("y_c", "mm", clause=METHOD, title="instantaneous centre, y")]
    coefficient: Annotated[float | None, Figure("C", "", "psi * P / R", METHOD, "bolts that count")]
    moment_coefficient: Annotated[
        float | None, Figure("C_M", "mm", "psi * abs(M_z) / R", METHOD, "moment over the strength of one bolt")
    ]
    residual: Annotated[
        float, Figure("r", clause=METHOD, title="largest force or moment out of balance, as a share of the load")
    ]

    @property
    def centre(self) -> tuple[float, float] | None:
        """Instantaneous centre in the axes of the positions [mm], None for a straight motion."""
        return None if self.centre_x is None else (self.centre_x, self.centre_y)


def centre_forces(
    positions: ArrayLike, load: ArrayLike, *, law: str = "bearing", strength: ArrayLike = 1.0
) -> CentreResult:
    """Largest multiple of an in-plane load that a bolt group carries about its instantaneous centre.

    Parameters
    ----------
    positions : array, shape (n_bolts, 2)
        Bolt centres. [mm]
    load : array, shape (3,)
        Fx, Fy and Mz at the origin of the positions. [N, N, N mm]
    law : str
        "bearing": R = R_ult (1 - exp(-mu delta))^lambda, with the farthest bolt at the largest deformation of the
        law; "friction": every bolt at its grip.
    strength : float or array, shape (n_bolts,)
        R_ult or grip of each bolt; with the default all results are in strengths of one bolt. [N]

    Returns
    -------
    CentreResult
        Load factor, centre, and the force of every bolt; balanced to 1e-9 of the load for strengths of one order.

    Raises
    ------
    InputError
        A value is not finite, a strength is not above 0, the load is zero, or it has a moment about the one point
        at which all bolts stand.

    Limits
    ------
    Rigid plates. The law of bearing is a fit to one bolt; it gives 0.98 R_ult at its end, so that a load through
    the centroid counts 0.98 per bolt, where printed tables end in 1. For a friction joint the friction law is an
    upper bound that the first slip of the most loaded bolt comes before.

    Source
    ------
    AISC Steel Construction Manual, Part 7, instantaneous centre of rotation method. (from memory)

    Examples
    --------
    >>> centre_forces([[0, -38.1], [0, 38.1]], [0, -1, -76.2]).coefficient
    0.878
    >>> centre_forces([[0, -38.1], [0, 38.1]], [0, -1, -76.2], law="friction").coefficient
    0.894
    """
    require_one_of(law, LAWS, "law")
    places, force = _places(positions), _load(load)
    strengths = _per_bolt(strength, len(places), "strength")
    if np.any(strengths <= 0.0):
        bolt = int(np.argmin(strengths))
        raise InputError(f"strength[{bolt}] must be above 0 N, got {strengths[bolt]:g} N")
    if not np.any(force):
        raise InputError("load must not be zero: any multiple of it is carried")
    group = Group(places, force)
    if group.at_one_point:
        if group.turns:
            raise InputError(
                f"a bolt does not hold a moment about it: all {len(places)} positions lie at "
                f"{places[0, 0]:g}, {places[0, 1]:g} mm and the load's moment about them is {group.moment:g} N mm"
            )
        end = bearing_law(1.0)[0] if law == "bearing" else 1.0
        motion, forces = group.load, end * strengths[:, None] * group.load[:2]
    else:
        motion, forces = (in_bearing if law == "bearing" else in_friction)(group, strengths)
    return _result(law, group, strengths, motion, forces)


def friction_limit(positions: ArrayLike, grips: ArrayLike, load: ArrayLike) -> float:
    """Multiple of an in-plane load at which the joint as a whole slides; infinite for no load.

    Parameters
    ----------
    positions : array, shape (n_bolts, 2)
        Bolt centres. [mm]
    grips : float or array, shape (n_bolts,)
        Friction that each bolt provides, 0 where none is left. [N]
    load : array, shape (3,)
        Fx, Fy and Mz at the origin of the positions. [N, N, N mm]

    Returns
    -------
    float
        0 where nothing grips, or where all that grips stands at one point and the load turns about it.

    Raises
    ------
    InputError
        A value is not finite, or a grip is below 0.

    Limits
    ------
    Rigid plates. The torsion that a single clamped spot can hold is left out, and so is a grip below 1e-9 of the
    largest.

    Examples
    --------
    >>> friction_limit([[0, -80], [0, 0], [0, 80]], 100.0, [0, 0, 1000])
    16.0
    """
    places, force = _places(positions), _load(load)
    limits = _per_bolt(grips, len(places), "grips")
    if np.any(limits < 0.0):
        bolt = int(np.argmin(limits))
        raise InputError(f"grips[{bolt}] must not be below 0 N, got {limits[bolt]:g} N")
    if not np.any(force):
        return math.inf
    if not np.any(limits):
        return 0.0
    holding = limits > _NO_GRIP * np.max(limits)
    group = Group(places[holding], force)
    if group.at_one_point:
        return 0.0 if group.turns else float(np.sum(limits)) / group.size
    _, forces = in_friction(group, limits[holding])
    return float(group.load @ group.total(forces)) / group.size


def _result(law: str, group: Group, strengths: NDArray, motion: NDArray, forces: NDArray) -> CentreResult:
    total = group.total(forces)
    factor = float(group.load @ total) / group.size
    turning = motion[2] / group.length
    straight = abs(motion[2]) <= 1e-9 * math.hypot(*motion[:2])
    centre = None if straight else group.middle + np.array([-motion[1], motion[0]]) / turning
    alike = bool(np.all(strengths == strengths[0]))
    force_x, force_y, moment = map(float, group.given)
    resultant, one = math.hypot(force_x, force_y), float(strengths[0])
    return CentreResult(
        law=law, forces=forces, force_x=force_x, force_y=force_y, moment=moment, resultant=resultant,
        strength=one if alike else None,
        load_factor=factor,
        centre_x=None if centre is None else float(centre[0]),
        centre_y=None if centre is None else float(centre[1]),
        coefficient=factor * resultant / one if alike and resultant > 0.0 else None,
        moment_coefficient=factor * abs(moment) / one if alike and resultant == 0.0 else None,
        residual=float(np.max(np.abs(total - factor * group.size * group.load))) / (factor * group.size),
    )


def _places(positions: ArrayLike) -> NDArray[np.float64]:
    places = _numbers(positions, "positions")
    if places.ndim != 2 or places.shape[1:] != (2,) or len(places) == 0:
        raise InputError(f"positions must be pairs x, y of one bolt or more, got an array of shape {places.shape}")
    return places


def _load(load: ArrayLike) -> NDArray[np.float64]:
    force = _numbers(load, "load")
    if force.shape != (3,):
        raise InputError(f"load must be the three numbers Fx, Fy, Mz, got shape {force.shape}")
    return force


def _per_bolt(values: ArrayLike, count: int, name: str) -> NDArray[np.float64]:
    given = _numbers(values, name)
    if given.shape not in ((), (count,)):
        raise InputError(f"{name} must be one number or one per bolt ({count}), got shape {given.shape}")
    return np.array(np.broadcast_to(given, count))


def _numbers(values: ArrayLike, name: str) -> NDArray[np.float64]:
    try:
        numbers = np.asarray(values, dtype=np.float64)
    except (TypeError, ValueError):
        raise InputError(f"{name} must hold numbers only and be of one shape, got {values!r}") from None
    if not np.all(np.isfinite(numbers)):
        raise InputError(f"{name} must be finite, got {numbers.tolist()}")
    return numbers
