"""Strength of a fillet weld per length: the front door to the rules of a standard."""

from slip import standards


def fillet_strength(
    standard: str,
    *,
    leg: float,
    steel: str | None = None,
    thickness: float | None = None,
    electrode: str | None = None,
    quality: str | None = None,
    angle: float = 0.0,
):
    """Design strength of an equal-leg fillet weld per length, with its figures. [N/mm]

    Parameters
    ----------
    standard : str
        As `slip.standards.names()` lists them.
    leg : float
        Leg of the weld. [mm]
    steel : str
        Of the weaker part joined.
    thickness : float
        Of that part, where its strength depends on it. [mm]
    electrode, quality : str
        Where the standard's rule goes by them; refused where it does not.
    angle : float
        Between the force and the weld's axis, 0 to pi/2. [rad]

    Returns
    -------
    frozen dataclass
        `.strength` in N/mm; the other fields are its working.

    Raises
    ------
    InputError
        Something that the standard's rule needs is missing, is unknown to it, or is not used by it.

    Source
    ------
    The standard's clause stands with each figure of the result.

    Examples
    --------
    >>> fillet_strength("EN 1993", leg=6.0, steel="S355").strength
    1013.06
    """
    rules = standards.standard(standard)
    return rules.fillet_weld(
        leg=leg, steel=steel, thickness=thickness, electrode=electrode, quality=quality, angle=angle
    )
