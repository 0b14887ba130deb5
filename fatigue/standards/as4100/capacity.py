"""AS 4100:2020, 11.1.6: the capacity factor by the reference design condition, or one of the user's own below it."""

from dataclasses import dataclass
from typing import Annotated

from fatigue.standards.as4100.tables import EDITION, PACKAGE
from loadhistories.figures import Figure
from loadhistories.tables import read_table
from loadhistories.validation import InputError, require_one_of, require_positive, where

BASIS = {
    "load_path": {
        "not redundant": "the detail is taken to lie on a load path without redundancy, the stricter choice",
        "redundant": "",
    },
    "inspection": {
        "not regular": "the detail is taken to be out of reach of regular inspection, the stricter choice",
        "regular": "",
    },
    "loading": {
        "highly irregular": "the load is taken to be highly irregular, the stricter choice",
        "not highly irregular": "",
    },
}
OWN_FACTORS = ("capacity_factor",)


@dataclass(frozen=True)
class CapacityFactor:
    """Capacity factor for the conditions of a detail.

    Attributes
    ----------
    without_number : tuple of str
        Conditions that are not met and for which the clause asks a reduction without naming a number.
    """

    load_path: str
    inspection: str
    loading: str
    by_load_path: Annotated[float, Figure("phi_1", "", title="capacity factor at most, by the load path")]
    by_inspection: Annotated[float, Figure("phi_2", "", title="capacity factor at most, by inspection")]
    by_loading: Annotated[float, Figure("phi_3", "", title="capacity factor at most, by the loading")]
    phi: Annotated[float, Figure("phi", "", "min(phi_1, phi_2, phi_3)", f"{EDITION}, 11.1.6", "capacity factor")]
    without_number: tuple[str, ...]

    @property
    def gamma_Mf(self) -> float:
        """Divisor of the strength that does the same as the capacity factor."""
        return 1.0 / self.phi


@dataclass(frozen=True)
class GivenCapacityFactor:
    """Capacity factor as the user gives it, not above what the conditions of a detail allow."""

    load_path: str
    inspection: str
    loading: str
    phi: Annotated[float, Figure("phi", "", "", f"{EDITION}, 11.1.6: as given", "capacity factor, given by the user")]
    most: Annotated[float, Figure("phi_max", "", "", f"{EDITION}, 11.1.6", "taken in its place if none is given")]
    because: str
    without_number: tuple[str, ...] = ()

    @property
    def gamma_Mf(self) -> float:
        """Divisor of the strength that does the same as the capacity factor."""
        return 1.0 / self.phi


def partial_factors(
    load_path: str,
    inspection: str,
    loading: str,
    *,
    capacity_factor: float | None = None,
    because: str = "",
    place: str = "",
) -> CapacityFactor | GivenCapacityFactor:
    """Capacity factor by the reference design condition: each condition that is not met lowers it.

    Parameters
    ----------
    load_path, inspection, loading : str
        One of the values of BASIS each.
    capacity_factor : float
        In place of that of the conditions: where the clause asks for a reduction and names no number, any number
        below 1 that the load path allows; else no larger one.
    because : str
        The ground for it; needed with capacity_factor.

    Raises
    ------
    InputError
        A value of a condition is unknown; capacity_factor is larger than the clause allows, or without its ground.

    Limits
    ------
    That the stress history is estimated by conventional means, the fourth condition, holds of a counted record.
    Where the clause asks for a reduction without a number, that for a path without redundancy is taken.

    Source
    ------
    AS 4100:2020, 11.1.6 (from memory).

    Examples
    --------
    >>> partial_factors("redundant", "regular", "not highly irregular").phi
    1.0
    """
    given = {"load_path": load_path, "inspection": inspection, "loading": loading}
    for name, choice in given.items():
        require_one_of(choice, tuple(BASIS[name]), name.replace("_", " "), place=place)
    table = read_table(PACKAGE, "factors")
    most = {name: table[f"{name}, {choice}"]["capacity_factor"] for name, choice in given.items()}
    unnumbered = tuple(f"{name} {given[name]}" for name in ("inspection", "loading") if most[name] < 1.0)
    usual = min(most.values())
    if capacity_factor is None:
        return CapacityFactor(*given.values(), *most.values(), usual, unnumbered)
    own = require_positive(capacity_factor, "capacity_factor", place=place)
    if own > most["load_path"] or (unnumbered and own >= 1.0):
        bound = f"at most {most['load_path']:g}" if most["load_path"] < 1.0 or not unnumbered else "below 1"
        raise InputError(
            f"capacity_factor must be {bound} where {', '.join(f'{k} is {v}' for k, v in given.items())} "
            f"({EDITION}, 11.1.6), got {own:g}{where(place)}"
        )
    if not because.strip():
        raise InputError(
            f"capacity_factor {own:g} in place of {usual:g} needs its ground: give because = \"...\"{where(place)}"
        )
    return GivenCapacityFactor(*given.values(), own, usual, because)


def deviation(factors: CapacityFactor | GivenCapacityFactor) -> str:
    """How the factor differs from that of the conditions, in words; "" where it does not."""
    if isinstance(factors, CapacityFactor):
        return ""
    return (
        f"capacity factor {factors.phi:g} in place of the {factors.most:g} taken by {EDITION}, 11.1.6; given by the "
        f"user: {factors.because}"
    )
