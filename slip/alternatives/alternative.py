"""What an alternative is: a proposal of another joint, what was found of it, and the steps of the search for it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from loadhistories.figures import HOLDS, Check, worst_state
from slip.groove_welds import FILLET, FULL, PARTIAL
from slip.joint import BoltedJoint
from slip.shear_parts import ShearParts

__all__ = [
    "FILLET", "FULL", "PARTIAL", "Alternative", "Judged", "OwnDetail", "Proposal", "Situation", "Tried", "WeldPlan",
]  # fmt: skip


@dataclass(frozen=True)
class Tried:
    """One step of a search: what was looked at, how it came out, and why it was kept or refused."""

    what: str
    state: str
    reason: str


@dataclass(frozen=True, eq=False)
class WeldPlan:
    """Weld lines of one size that would do instead of bolts, or beside them. Lengths in mm.

    Attributes
    ----------
    kind : str
        FILLET, PARTIAL or FULL.
    lines : array, shape (k, 2, 2)
    leg : float
        Of a fillet; 0 for the others.
    depth : float
        Of the bevel of a groove weld; 0 for a fillet.
    throat : float
        That carries, and is judged for fatigue.
    thickness : float
        Of the plate that is welded.
    made_with : mapping
        What the standard's weld is made with, as its keywords say it.
    quality : str
        "shop" or "site".
    strength_factor : float
        On the strength of a weld made on site, by the user's own rule; 1 where there is none. [-]
    """

    kind: str
    lines: NDArray[np.float64]
    throat: float
    thickness: float
    made_with: Mapping[str, Any]
    leg: float = 0.0
    depth: float = 0.0
    quality: str = "shop"
    strength_factor: float = 1.0

    @property
    def length(self) -> float:
        """Length of all lines. [mm]"""
        return float(np.hypot(*(self.lines[:, 1] - self.lines[:, 0]).T).sum())


@dataclass(frozen=True)
class OwnDetail:
    """A place that may crack which an alternative brings with it.

    Attributes
    ----------
    recipe : str
        "weld throat across", "weld throat along", "plate at the weld", "components", "bolt shear" or "key weld".
    values : mapping
        Stress by load component, for "components". [MPa/N, MPa/(N mm)]
    sizes : mapping
        What the category's size effect asks for. [mm]
    statements : mapping
        `root` or `toe` with the reason why no such crack is to be judged.
    """

    name: str
    category: str
    recipe: str
    values: Mapping[str, float] = field(default_factory=dict)
    sizes: Mapping[str, float] = field(default_factory=dict)
    statements: Mapping[str, str] = field(default_factory=dict)
    point: str = ""


@dataclass(frozen=True, eq=False)
class Proposal:
    """A joint to be made otherwise.

    Attributes
    ----------
    joint : BoltedJoint or None
        The bolts as they then are; None where welds do without.
    shared : bool
        Whether bolts and welds carry together.
    dropped : tuple of int
        Numbers, from 0, of the details that go with the bolts.
    on_net_section : mapping of int to str
        Details that are judged on their net section with another category.
    own : tuple of OwnDetail
    parts : ShearParts or None
        Keys or dowels that take shear from the bolts.
    """

    joint: BoltedJoint | None
    weld: WeldPlan | None = None
    shared: bool = False
    dropped: tuple[int, ...] = ()
    on_net_section: Mapping[int, str] = field(default_factory=dict)
    own: tuple[OwnDetail, ...] = ()
    parts: ShearParts | None = None


@dataclass(frozen=True, eq=False)
class Judged:
    """What was found of a proposal.

    Attributes
    ----------
    against : tuple of str
        What does not hold, in words.
    beyond : bool
        Whether all that does not hold is a detail which does not hold in the joint as given either, and which no
        change of its bolts can mend.
    result : object
        All results, as the caller wants them back.
    """

    state: str
    utilisation: float | None
    checks: tuple[Check, ...]
    against: tuple[str, ...]
    beyond: bool
    result: Any = None

    @property
    def does(self) -> bool:
        """Whether the proposal mends all that it can mend."""
        return self.state == HOLDS or self.beyond


@dataclass(frozen=True, eq=False)
class Situation:
    """The joint that is to be made otherwise, with its loads and with who judges a proposal.

    Attributes
    ----------
    blocks, extremes : sequence of LoadBlock
        The loads, and for each block its outermost load points.
    axis : str
        Along which the end distances run.
    basis : mapping
        Choices of the fatigue assessment.
    details : tuple of Detail
        Of the joint as given.
    judge : callable
        `judge(proposal) -> Judged`; raises InputError for a proposal that cannot be made.
    wishes : mapping
        The user's own numbers: "resin_strength" [MPa], "site_weld_factor" [-].
    """

    joint: BoltedJoint
    blocks: Sequence[LoadBlock]
    extremes: Sequence[LoadBlock]
    axis: str
    basis: Mapping[str, str]
    details: tuple
    judge: Callable[[Proposal], Judged]
    wishes: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Alternative:
    """One other way to make the joint; `still_to_show` lists what was not judged of it.

    `proposal` and `judged` are None where the alternative was sized without being judged as a joint of its own, or
    where there was nothing to propose.
    """

    kind: str
    title: str
    checks: tuple[Check, ...]
    still_to_show: tuple[str, ...] = ()
    tried: tuple[Tried, ...] = ()
    proposal: Proposal | None = None
    judged: Judged | None = None
    unjudged: tuple[Check, ...] = ()

    @property
    def state(self) -> str:
        """State of the checks that were made, and of what could not be judged."""
        if self.judged:
            return worst_state([self.judged.state, *(check.state for check in self.unjudged)])
        return worst_state(check.state for check in self.checks)

    @property
    def utilisation(self) -> float | None:
        """Largest utilisation of the checks that were made, None where none has one."""
        if self.judged:
            return self.judged.utilisation
        return max((check.utilisation for check in self.checks if check.utilisation is not None), default=None)
