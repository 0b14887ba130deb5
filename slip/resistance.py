"""Slip resistance of one bolt from size, class, surface and hole: the front door to the rules of a standard."""

from collections.abc import Mapping

from loadhistories.validation import InputError, require_one_of
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
    surface : str, float or mapping
        Class of the faying surfaces, or their slip factor [-], or both statements of a job:
        {"slip_factor": 0.45, "by_test": True}.
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
    if isinstance(surface, Mapping):
        surface, by_test = _stated(surface)
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


def _stated(surface: Mapping) -> tuple[float, bool]:
    """Slip factor and whether it was found by test, from the form in which a job states them."""
    for key in surface:
        require_one_of(key, ("slip_factor", "by_test"), "statement of a surface")
    if "slip_factor" not in surface:
        raise InputError("a surface that is no class needs its slip_factor")
    return surface["slip_factor"], bool(surface.get("by_test", False))
