"""How far a slipped part goes: rigid-body travel of bolts within the clearance of their holes.

Geometry only; what drives the part and whether it slips at all is decided elsewhere. The solver of the
convex problem stands in `clearance.py`.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import ArrayLike, NDArray

from loadhistories.figures import Figure
from loadhistories.validation import InputError
from slip.clearance import Holes, extremes, farthest, pinned_rotation, straight_reach

GEOMETRY = "rigid-body geometry, first-order rotation"


@dataclass(frozen=True)
class Travel:
    """One extreme motion of the part from its start, in joint axes; the opposite motion is as large.

    `motion_x`, `motion_y` and `rotation` move every point r of the part by motion + rotation x r, so that
    `motion` is the displacement at the axes' origin.
    """

    point_x: Annotated[float, Figure("x", "mm", title="point, x")]
    point_y: Annotated[float, Figure("y", "mm", title="point, y")]
    direction_x: Annotated[float, Figure("n_x", title="direction of travel, x")]
    direction_y: Annotated[float, Figure("n_y", title="direction of travel, y")]
    motion_x: Annotated[float, Figure("u_x", "mm", clause=GEOMETRY, title="motion at the origin, x")]
    motion_y: Annotated[float, Figure("u_y", "mm", clause=GEOMETRY, title="motion at the origin, y")]
    rotation: Annotated[float, Figure("theta", "rad", clause=GEOMETRY, title="rotation at this extreme")]
    displacement: Annotated[
        float,
        Figure("d", "mm", "n_x * (u_x - theta * y) + n_y * (u_y + theta * x)", GEOMETRY, "travel of the point"),
    ]
    play: Annotated[
        float, Figure("d_play", "mm", "2 * d", GEOMETRY, "travel from one extreme to the opposite one")
    ]
    translation: Annotated[
        float, Figure("d_0", "mm", clause=GEOMETRY, title="travel in this direction without rotation")
    ]
    largest_rotation: Annotated[
        float, Figure("theta_max", "rad", clause=GEOMETRY, title="largest rotation of all motions")
    ]

    @property
    def direction(self) -> tuple[float, float]:
        """Unit vector along which `displacement` is measured."""
        return self.direction_x, self.direction_y

    @property
    def motion(self) -> tuple[float, float, float]:
        """Motion at the axes' origin, ux [mm], uy [mm], and rotation [rad]."""
        return self.motion_x, self.motion_y, self.rotation


def travel(
    positions: ArrayLike,
    clearances: ArrayLike,
    point: ArrayLike,
    direction: ArrayLike | None = None,
    *,
    slots: ArrayLike | None = None,
) -> Travel:
    """Largest displacement of a point of the part that the clearance of the holes allows. [mm]

    Parameters
    ----------
    positions : array, shape (n_bolts, 2)
        Bolt centres. [mm]
    clearances : float or array, shape (n_bolts,)
        How far the part may move at each bolt from its start, in any direction; 0 for a fitted bolt. From a
        bolt centred in both plates this is half of hole minus bolt diameter, summed over the two. [mm]
    point : array, shape (2,)
        The point whose travel matters. [mm]
    direction : array, shape (2,), optional
        Direction of the wanted displacement; without it the largest of all directions is found.
    slots : array, shape (n_bolts, 2), optional
        For slotted holes the vector by which the part may move further each way along the slot; 0, 0 for a
        round hole. The clearance is then the one across the slot. [mm]

    Returns
    -------
    Travel
        The extreme motion; exact to 1e-6 mm for the stated geometry.

    Raises
    ------
    InputError
        A value is not finite, a clearance is below 0, or all bolts stand at one point.

    Limits
    ------
    Rigid plates and bolts that stay upright. The rotation is of first order: at rotation theta it
    misjudges a lever by the share theta^2 / 2.

    Examples
    --------
    >>> travel([[0, -40], [0, 40]], 2.0, [400, 0], [0, 1]).largest_rotation
    0.05
    >>> travel([[-40, -60], [40, -60], [-40, 60], [40, 60]], 2.0, [400, 0]).displacement
    11.094
    """
    holes = _holes(positions, clearances, slots)
    place = _vector(point, "point")
    wanted = None if direction is None else _unit(direction)
    if np.any(holes.pinned):
        motion = _pinned_motion(holes)
    elif wanted is None:
        motion = farthest(holes, place)
    else:
        lever = holes.about_centre(place)
        motion = extremes(holes, np.array([[*wanted, wanted[1] * lever[0] - wanted[0] * lever[1]]]))[0]
    return _travel(holes, place, wanted, motion, _largest_rotation(holes))


def driven_travel(
    positions: ArrayLike,
    clearances: ArrayLike,
    point: ArrayLike,
    load: ArrayLike,
    *,
    slots: ArrayLike | None = None,
) -> Travel:
    """Displacement of a point when a load has driven the part as far as its holes allow. [mm]

    Without friction a constant load moves the part until its work is largest; the load reversed moves it by
    as much the other way, so that `play` is the travel under a load that reverses.

    Parameters
    ----------
    positions, clearances, point, slots
        As in `travel`.
    load : array, shape (3,)
        Fx, Fy and Mz at the axes' origin; only their proportion matters. [N, N, N mm]

    Returns
    -------
    Travel
        `direction` is that of the point's displacement.

    Raises
    ------
    InputError
        As in `travel`, or the load is zero.

    Limits
    ------
    As in `travel`. Friction that remains would stop the part earlier, never later. Where several motions
    let the load do the same work, one from their middle is given. The work is exact to 1e-10 of it, the place
    of the point only to about 1e-5 of the travel, as near the largest work the load hardly feels the place.

    Examples
    --------
    >>> driven_travel([[0, -40], [0, 40]], 2.0, [400, 0], [0, 0, 1e6]).displacement
    20.0
    """
    return driven_travels(positions, clearances, point, [load], slots=slots)[0]


def driven_travels(
    positions: ArrayLike,
    clearances: ArrayLike,
    point: ArrayLike,
    loads: Sequence[ArrayLike],
    *,
    slots: ArrayLike | None = None,
) -> tuple[Travel, ...]:
    """The same as `driven_travel` for several loads, shape (m, 3), in one go. [mm]"""
    holes = _holes(positions, clearances, slots)
    place = _vector(point, "point")
    x, y = holes.centre
    forces = [_driving(load) for load in loads]
    works = np.array([[force[0], force[1], force[2] - x * force[1] + y * force[0]] for force in forces])
    if np.any(holes.pinned):
        motion = _pinned_motion(holes)
        motions = [motion if motion @ work >= 0.0 else -motion for work in works]
    else:
        motions = extremes(holes, works) if len(works) else ()
    turn = _largest_rotation(holes)
    return tuple(_travel(holes, place, None, motion, turn) for motion in motions)


def _driving(load: ArrayLike) -> NDArray[np.float64]:
    force = _array(load, "load")
    if force.shape != (3,) or not np.all(np.isfinite(force)) or not np.any(force):
        raise InputError(f"load must be three finite numbers Fx, Fy, Mz, not all 0, got {load!r}")
    return force


def _travel(
    holes: Holes, point: NDArray, direction: NDArray | None, motion: NDArray, largest_rotation: float
) -> Travel:
    """The result of a motion given at the centre of the group; a given direction may turn it round."""
    lever = holes.about_centre(point)
    moved = motion[:2] + motion[2] * np.array([-lever[1], lever[0]])
    if direction is None:
        size = math.hypot(*moved)
        direction = moved / size if size > 0.0 else np.array([1.0, 0.0])
    elif direction @ moved < 0.0:
        motion = -motion
    centre, rotation = holes.centre, float(motion[2])
    along_x, along_y = float(motion[0] + rotation * centre[1]), float(motion[1] - rotation * centre[0])
    x, y = map(float, point)
    n_x, n_y = map(float, direction)
    displacement = n_x * (along_x - rotation * y) + n_y * (along_y + rotation * x)
    return Travel(
        point_x=x, point_y=y, direction_x=n_x, direction_y=n_y,
        motion_x=along_x, motion_y=along_y, rotation=rotation,
        displacement=displacement, play=2.0 * displacement,
        translation=straight_reach(holes, direction),
        largest_rotation=largest_rotation,
    )


def _largest_rotation(holes: Holes) -> float:
    if np.any(holes.pinned):
        return float(_pinned_motion(holes)[2])
    return float(extremes(holes, np.array([[0.0, 0.0, 1.0]]))[0, 2])


def _pinned_motion(holes: Holes) -> NDArray[np.float64]:
    """Largest motion about the bolts without clearance: a rotation about one, none about more."""
    pin = holes.levers[np.argmax(holes.pinned)]
    rotation = pinned_rotation(holes, pin)
    return rotation * np.array([pin[1], -pin[0], 1.0])


def _holes(positions: ArrayLike, clearances: ArrayLike, slots: ArrayLike | None) -> Holes:
    places = _array(positions, "positions")
    if places.ndim != 2 or places.shape[1:] != (2,) or len(places) == 0:
        raise InputError(f"positions must be pairs x, y of one bolt or more, got an array of shape {places.shape}")
    given = _array(clearances, "clearances")
    if given.shape not in ((), (len(places),)):
        raise InputError(f"clearances must be one number or one per bolt ({len(places)}), got shape {given.shape}")
    longer = np.zeros_like(places) if slots is None else _array(slots, "slots")
    if longer.shape != places.shape:
        raise InputError(f"slots must be a vector per bolt, shape {places.shape}, got shape {longer.shape}")
    sizes = np.array(np.broadcast_to(given, len(places)))
    problems = [text for bolt in range(len(places)) for text in _faults(bolt, places, sizes, longer)]
    if problems:
        raise InputError(*problems)
    if np.all(np.ptp(places, axis=0) == 0.0):
        raise InputError(
            f"a bolt does not stop the part from turning about it: all {len(places)} positions lie at "
            f"{places[0, 0]:g}, {places[0, 1]:g} mm; give two or more apart from each other"
        )
    return Holes(places, sizes, longer)


def _faults(bolt: int, places: NDArray, sizes: NDArray, slots: NDArray) -> list[str]:
    """What is wrong with one bolt's numbers."""
    found, size = [], sizes[bolt]
    if not np.all(np.isfinite(places[bolt])):
        found.append(f"positions[{bolt}] must be finite, got {places[bolt, 0]:g}, {places[bolt, 1]:g} mm")
    if not (np.isfinite(size) and size >= 0.0):
        found.append(f"clearances[{bolt}] must be finite and not below 0 mm, got {size:g} mm")
    if not np.all(np.isfinite(slots[bolt])):
        found.append(f"slots[{bolt}] must be finite, got {slots[bolt, 0]:g}, {slots[bolt, 1]:g} mm")
    elif np.any(slots[bolt]) and size == 0.0:
        found.append(f"clearances[{bolt}] must be above 0 mm across a slotted hole, got 0 mm")
    return found


def _array(values: ArrayLike, name: str) -> NDArray[np.float64]:
    try:
        return np.asarray(values, dtype=np.float64)
    except (TypeError, ValueError):
        raise InputError(f"{name} must hold numbers only and be of one shape, got {values!r}") from None


def _vector(values: ArrayLike, name: str) -> NDArray[np.float64]:
    vector = _array(values, name)
    if vector.shape != (2,) or not np.all(np.isfinite(vector)):
        raise InputError(f"{name} must be two finite numbers x, y, got {values!r}")
    return vector


def _unit(direction: ArrayLike) -> NDArray[np.float64]:
    vector = _vector(direction, "direction")
    size = math.hypot(*vector)
    if size == 0.0:
        raise InputError("direction must have a length above 0, got 0, 0")
    return vector / size
