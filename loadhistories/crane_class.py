"""What a crane's class leaves open, its single lifts, filled by one of two simple spectra with the class's factor."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_positive, where

SPECTRA = ("alike", "full or empty")
DEFINITION = "definition of the load spectrum factor: mean cube of hook load over rated load"

_CYCLES = Annotated[float, Figure("C", "", title="working cycles in the life, upper bound where a class is given")]
_FACTOR = Annotated[float, Figure("k_Q", "", title="load spectrum factor, upper bound where a class is given")]


@dataclass(frozen=True)
class LiftsAlike:
    """All lifts have one hook load."""

    cycles: _CYCLES
    factor: _FACTOR
    rated_load: Annotated[float, Figure("W_R", "N", title="rated load")]
    hook_load: Annotated[float, Figure("W_E", "N", "k_Q ** (1 / 3) * W_R", DEFINITION, "hook load of every lift")]

    @property
    def rows(self) -> tuple[tuple[str, float, float], ...]:
        """Name, hook load [N] and number of each kind of lift; the rated load once, so that its extremes are met."""
        if self.factor == 1.0:
            return (("rated load", self.rated_load, self.cycles),)
        return (("lifts alike", self.hook_load, self.cycles), ("rated load once", self.rated_load, 1.0))


@dataclass(frozen=True)
class FullOrEmpty:
    """A lift has the rated load or none."""

    cycles: _CYCLES
    factor: _FACTOR
    rated_load: Annotated[float, Figure("W_R", "N", title="rated load")]
    full: Annotated[float, Figure("C_F", "", "k_Q * C", DEFINITION, "lifts with the rated load")]
    without: Annotated[float, Figure("C_0", "", "C - C_F", "", "working cycles without load")]

    @property
    def rows(self) -> tuple[tuple[str, float, float], ...]:
        """Name, hook load [N] and number of each kind of lift."""
        found = (("rated load", self.rated_load, self.full), ("without load", 0.0, self.without))
        return found if self.without > 0.0 else found[:1]


def lifts_of_class(
    spectrum: str, *, cycles: float, factor: float, rated_load: float, place: str = ""
) -> LiftsAlike | FullOrEmpty:
    """The lifts of a class as one of two simple spectra.

    Parameters
    ----------
    spectrum : str
        "alike" or "full or empty".
    cycles : float
        In the life. [-]
    factor : float
        Load spectrum factor, above 0 and up to 1. [-]
    rated_load : float
        [N]

    Limits
    ------
    Both have the same mean cube of the hook load. With the crane's own weight in every range, lifts that are alike do
    more damage at a slope of 3; lifts that are full or empty do more at a slope of 5.

    Examples
    --------
    >>> lifts_of_class("alike", cycles=1e5, factor=0.125, rated_load=100e3).hook_load
    50000.0
    """
    require_positive(cycles, "cycles", place=place)
    if not 0.0 < factor <= 1.0:
        raise InputError(f"load spectrum factor must lie above 0 and up to 1, got {factor:g}{where(place)}")
    if spectrum == "alike":
        return LiftsAlike(cycles, factor, rated_load, factor ** (1.0 / 3.0) * rated_load)
    return FullOrEmpty(cycles, factor, rated_load, factor * cycles, cycles - factor * cycles)
