"""Distances of holes that the bolted details of EN 1993-1-9:2005, Table 8.1, ask for."""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table
from loadhistories.validation import require_positive
from slip.bolts import Bolt
from slip.standards.en1993.tables import PACKAGE

SPACED_DETAILS = ("8.1-8", "8.1-9", "8.1-10", "8.1-11", "8.1-12", "8.1-13")
_TABLE = "EN 1993-1-9:2005, Table 8.1, from memory"


@dataclass(frozen=True)
class FatigueDistance:
    """One distance of the holes against the smallest with which the detail stands."""

    diameter: Annotated[float, Figure("d", "mm", title="bolt diameter")]
    multiple: Annotated[float, Figure("c_f", "", "", _TABLE, "smallest distance over the bolt diameter")]
    least: Annotated[float, Figure("s_min", "mm", "c_f * d", _TABLE, "smallest distance")]
    given: Annotated[float, Figure("s", "mm", title="distance of the holes")]


def fatigue_distance(bolt: Bolt, which: str, given: float) -> FatigueDistance:
    """One distance of the holes against what details 8 to 13 ask for, with its figures. [mm]

    Parameters
    ----------
    which : str
        "end", "edge", "pitch" or "gauge".

    Source
    ------
    EN 1993-1-9:2005, Table 8.1, details 8 to 13, from memory.

    Examples
    --------
    >>> from slip.standards.en1993.tables import bolt
    >>> fatigue_distance(bolt("M20", "10.9"), "pitch", 90.0).least
    50.0
    """
    given = require_positive(given, which, unit="mm")
    multiple = float(read_table(PACKAGE, "fatigue_distances")[which]["bolt_diameters"])
    return FatigueDistance(bolt.diameter, multiple, multiple * bolt.diameter, given)
