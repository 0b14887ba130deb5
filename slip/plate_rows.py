"""Follows all that is linear in the load through the blocks of a joint: what bearing and plates are judged by."""

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from slip.bearing_checks import BearingForces, hole_in
from slip.bolts import Bolt
from slip.events import Combination, Instant
from slip.holes import Hole
from slip.joint import BoltedJoint
from slip.peaks import PeakWalk
from slip.plate_checks import PlateForces
from slip.plate_sections import deducted, moment_row, sections
from slip.surroundings import followed


class PlateRows:
    """What bearing and plates need of the bolt forces: rows to follow, and the largest forces of a level at the end.

    Parameters
    ----------
    in_plane : array, shape (n_bolts, 2, 6)
    axial : array, shape (n_bolts, 6)
        Forces of the bolts per unit load component.
    outermost : array
        Numbers of the bolts at the corners of the group, one of which has the largest tension.

    Attributes
    ----------
    rows : array, shape (n, 6)
        Forces per unit load component, for a `PeakWalk`.
    """

    def __init__(self, joint: BoltedJoint, bolt: Bolt, hole: Hole, *, in_plane, axial, outermost: NDArray[np.int64]):
        holes = [hole_in(joint, bolt, hole, plate) for plate in joint.plates]
        widths = sorted({item.width for item in holes})
        self._items = tuple(sorted({item for width in widths for item in followed(joint.positions, width)}))
        self._sections = sections(joint, [deducted(joint, item) for item in holes])
        self._outermost = outermost
        self.rows = np.concatenate(
            [
                np.array([in_plane[item.bolt, item.axis] for item in self._items]).reshape(-1, 6),
                axial[outermost],
                [*np.eye(6)[:2], moment_row(joint.positions)],
                *(section.rows for section in self._sections),
            ]
        )

    def follow(self, walk: PeakWalk, first: int) -> None:
        """Take the values from a walk that holds these rows from the number `first` on."""
        self._walk, self._first = walk, first

    def bearing(self, combinations: Sequence[Combination], all_forces: Callable) -> BearingForces:
        """The largest components of the bolt forces over the combinations of a level."""
        return BearingForces(self._items, self._walk, self._first, combinations, all_forces)

    def plates(self, combinations: Sequence[Combination], all_forces: Callable) -> PlateForces:
        """The largest loads of the plates over the combinations of a level."""
        first = self._first + len(self._items) + len(self._outermost)
        return PlateForces(self._walk, first, combinations, all_forces, self._sections)

    def pull(self, combinations: Sequence[Combination], all_forces: Callable) -> Instant:
        """The largest tension of a bolt over the combinations of a level."""
        peaks = [
            (self._walk.peak(self._first + len(self._items) + row, 1, combinations), int(bolt))
            for row, bolt in enumerate(self._outermost)
        ]
        peak, bolt = max(peaks, key=lambda item: item[0].value)
        return peak.instant(bolt, all_forces)
