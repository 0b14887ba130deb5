"""Holes: their size and the room they leave a bolt. Which clearances apply, the standard says."""

from dataclasses import dataclass, replace

from loadhistories.tables import row_of, unconfirmed
from loadhistories.validation import require_one_of
from slip.bolts import Bolt
from slip.joint import HOLES

DIRECTIONS = ("along", "across")


@dataclass(frozen=True)
class Hole:
    """One hole. Lengths in mm.

    Attributes
    ----------
    width, length : float
        Across and along the slot; alike for a round hole.
    clearance : float
        Width over bolt diameter.
    slot_clearance : float
        Length over bolt diameter; alike `clearance` for a round hole.
    """

    kind: str
    width: float
    length: float
    clearance: float
    slot_clearance: float
    source: str
    unconfirmed: bool

    @property
    def slotted(self) -> bool:
        """Whether the hole is longer than wide."""
        return self.length > self.width


def hole_by_clearance(bolt: Bolt, kind: str, *, clearances: tuple[str, str], place: str = "") -> Hole:
    """The hole of a bolt from a table of clearances.

    Parameters
    ----------
    kind : str
        One of `slip.joint.HOLES`.
    clearances : (package, table)
        Rows by bolt size with normal_mm, oversize_mm, short_slot_mm, long_slot_mm over the bolt diameter.

    Raises
    ------
    InputError
        Unknown kind, or no row for the bolt's size.
    """
    require_one_of(kind, HOLES, "holes", place=place)
    row = row_of(*clearances, bolt.size, "bolt size", place=place)
    across = float(row["oversize_mm" if kind == "oversize" else "normal_mm"])
    along = float(row[f"{kind.replace(' ', '_')}_mm"])
    return Hole(
        kind, bolt.diameter + across, bolt.diameter + along, across, along, row["source"], unconfirmed(row)
    )


def without_play(hole: Hole, bolt: Bolt) -> Hole:
    """The hole of a fitted bolt, as wide as the bolt.

    Limits
    ------
    The small play of the fit itself, H11 against h13 or closer, is not counted.

    Examples
    --------
    >>> from slip.standards.en1993 import bolt, hole
    >>> m20 = bolt("M20", "8.8")
    >>> without_play(hole(m20, "normal"), m20).width
    20.0
    """
    return replace(
        hole, kind="fitted", width=bolt.diameter, length=bolt.diameter, clearance=0.0, slot_clearance=0.0,
        source="fitted bolt",
    )  # fmt: skip


def split_direction(holes: str, *, place: str = "") -> tuple[str, str]:
    """Kind and direction of "short slot along" and the like; a round hole has the direction "".

    Raises
    ------
    InputError
        Unknown words, or a slot without the direction of the load to it.

    Examples
    --------
    >>> split_direction("long slot across")
    ('long slot', 'across')
    """
    known = [
        text
        for kind in HOLES
        for text in ([f"{kind} {way}" for way in DIRECTIONS] if kind.endswith("slot") else [kind])
    ]
    require_one_of(holes, known, "holes (a slot needs the direction of the load to it)", place=place)
    kind, _, way = holes.rpartition(" ")
    return (kind, way) if way in DIRECTIONS else (holes, "")
