"""Slip resistance of one bolt from size, class, surface and hole: the front door to the rules of a standard."""

from slip import standards
from slip.holes import split_direction


def slip_resistance(
    standard: str,
    *,
    size: str,
    grade: str,
    surface: str | float,
    holes: str = "normal",
    planes: int = 1,
    tension: float = 0.0,
    level: str = "ultimate",
    by_test: bool = False,
):
    """Slip resistance of one bolt with its specified preload, with its figures. [N]

    Parameters
    ----------
    standard : str
        As `slip.standards.names()` lists them.
    size, grade : str
        Of the bolt: "M20", "10.9".
    surface : str or float
        Class of the faying surfaces, or their slip factor. [-]
    holes : str
        "normal", "oversize", "short slot along", "short slot across", "long slot along", "long slot across": the
        load to the slot.
    planes : int
        Friction planes.
    tension : float
        Tension of the bolt from the loads of that level. [N]
    level : str
        "service" or "ultimate".
    by_test : bool
        The slip factor was found by test and may exceed every class.

    Returns
    -------
    frozen dataclass
        `.resistance` is the slip resistance [N]; the other fields are its working.

    Raises
    ------
    InputError
        A word or number that the standard does not know, or a bolt that is not made for preload.

    Source
    ------
    The standard's clause stands with each figure of the result.

    Examples
    --------
    >>> slip_resistance("EN 1993", size="M20", grade="10.9", surface="A").resistance
    68600.0
    """
    rules = standards.standard(standard)
    bolt = rules.bolt(size, grade)
    kind, direction = split_direction(holes)
    return rules.slip_resistance(
        preload=rules.specified_preload(bolt),
        slip_factor=rules.slip_factor(surface, by_test=by_test),
        planes=planes,
        hole_factor=rules.hole_factor(kind, direction),
        level=level,
        tension=tension,
    )
