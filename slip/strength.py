"""Strength of one bolt that no longer grips: the front door to the rules of a standard."""

from dataclasses import dataclass

from slip import standards


@dataclass(frozen=True)
class BoltStrength:
    """Design strength of one bolt: shear over all its planes, and tension. [N]

    `working` holds the results from which both come.
    """

    shear: float
    tension: float
    working: tuple


def bolt_strength(
    standard: str,
    *,
    size: str,
    grade: str,
    threads_in_plane: bool = True,
    planes: int = 1,
    hole_clearance: float | None = None,
) -> BoltStrength:
    """Design strength of one bolt in shear and in tension. [N]

    Parameters
    ----------
    standard : str
        As `slip.standards.names()` lists them.
    size, grade : str
        Of the bolt: "M20", "8.8".
    threads_in_plane : bool
        Whether the thread lies in the shear planes.
    planes : int
        Shear planes.
    hole_clearance : float or None
        Hole over bolt diameter. None where it is not known: where the standard distinguishes, the smaller
        strength is given (EN 1993: M12 and M14, 3.6.1(5)). [mm]

    Raises
    ------
    InputError
        A word or number that the standard does not know.

    Limits
    ------
    The bolt alone; bearing, punching, long joints and packing are judged with the plates.

    Source
    ------
    The standard's clause stands with each figure of `working`.

    Examples
    --------
    >>> found = bolt_strength("EN 1993", size="M20", grade="8.8")
    >>> found.shear, found.tension
    (94080.0, 141120.0)
    """
    rules = standards.standard(standard)
    bolt = rules.bolt(size, grade)
    shear = rules.bolt_shear(bolt, planes, threads_in_plane, hole_clearance=hole_clearance)
    tension = rules.bolt_tension(bolt)
    return BoltStrength(shear.resistance, tension.resistance, (shear, tension))
