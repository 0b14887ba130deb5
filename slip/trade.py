"""Rules of the trade about how and where a joint is made, over what the user says of its place."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.blocks import LoadBlock
from slip.column_moment import SupportingColumn
from slip.groove_welds import FactoredWeld
from slip.joint import BoltedJoint
from slip.preload_advice import LOOK_AFTER, SIGNS
from slip.welded import WeldedJoint

Finding = tuple[str, str, tuple[str, ...]]
KINDS = ("column base", "fin plate", "other")
ACCESS = ("open", "hidden")
POSITIONS = ("flat", "horizontal", "vertical", "overhead")
SHAKING = ("vibration", "impact")
THROUGH_THICKNESS = ("none", "Z15", "Z25", "Z35")
FEWEST_AT_BASE = 4
NEGLIGIBLE = 1e-9


@dataclass(frozen=True)
class Place:
    """Where and as what a joint stands, as far as the user says; "" where nothing was said.

    Attributes
    ----------
    kind : str
        "fin plate" is the joint between plate and beam.
    access : str
        "open" or "hidden": whether it can be looked at once it is in use.
    position : str
        In which its welds are made, or would be.
    coating : str
        What is there already, in the user's words.
    pulled_across : str
        Name of the part that the load pulls across its thickness.
    through_thickness : str
        Grade of that part against tearing between its layers; "none" where it has none.
    main_inspection : float or None
        Time from one main inspection to the next. [year]
    """

    kind: str = ""
    access: str = ""
    position: str = ""
    coating: str = ""
    pulled_across: str = ""
    through_thickness: str = ""
    main_inspection: float | None = None

    @property
    def hidden(self) -> bool:
        """Whether it cannot be looked at once it is in use."""
        return self.access == "hidden"


NOWHERE = Place()


@dataclass(frozen=True, eq=False)
class Setting:
    """What the rules look at beside the findings: the place, the column, the welds, what pulls at them, the concept.

    `pull` is the largest force out of the plane and the largest moment about an axis in it. [N, N mm]
    `concept` is the one of the fatigue assessment, "" where the standard knows none.
    """

    place: Place = NOWHERE
    column: SupportingColumn | None = None
    welds: WeldedJoint | None = None
    pull: tuple[float, float] = (0.0, 0.0)
    concept: str = ""


UNSAID = Setting()


def largest_pull(blocks: Sequence[LoadBlock], permanent: NDArray[np.float64]) -> tuple[float, float]:
    """Largest force that pulls a joint off its support, and largest moment about an axis in its plane. [N, N mm]"""
    force, moment = max(float(permanent[2]), 0.0), float(np.abs(permanent[3:5]).max())
    for block in blocks:
        for chunk in block.chunks():
            both = chunk[2:5] + permanent[2:5, None]
            force = max(force, float(both[0].max()))
            moment = max(moment, float(np.abs(both[1:]).max()))
    return force, moment


def site_weld(findings) -> Iterator[Finding]:
    """Welds made on site, which count lower than those of the shop."""
    welds = findings.setting.welds
    if welds is None or "site" not in welds.quality:
        return
    made = welds.each or (welds.weld,)
    factors = sorted({weld.factor for weld in made if isinstance(weld, FactoredWeld)})
    counted = (
        f"here their strength is counted with {' and '.join(f'{factor:g}' for factor in factors)}"
        if factors
        else "here their strength is counted in full, as the standard makes no difference"
    )
    yield (
        "site-weld",
        f"welds made on site count lower than those of the shop (fit-up, weather, position, testing): {counted}",
        ("weld in the shop and bolt on site", "strength_factor on the weld, where your own rules count it lower"),
    )


def overhead(findings) -> Iterator[Finding]:
    """Welds made overhead, or a weld that is looked at instead of bolts and would be."""
    if findings.setting.place.position != "overhead" or not _any_weld(findings):
        return
    yield (
        "overhead-weld",
        f"{_which(findings)} made overhead: small runs, more starts, undercut and lack of fusion more likely, and a "
        "toe that seldom reaches the quality that the category presumes",
        ("turn the part, or move the weld to where it is made flat", "a welder tested overhead, and every weld tested"),
    )


def near_coating(findings) -> Iterator[Finding]:
    """A weld near a coating that is there already."""
    coating = findings.setting.place.coating
    if not coating or not _any_weld(findings):
        return
    yield (
        "weld-near-coating",
        f"{_which(findings)} made near a coating that is there already ({coating}): it burns, spoils the weld with gas "
        "and its fumes are harmful; what is burnt, also at the back, is open to corrosion",
        ("take the coating off around the weld, weld, test, and repair it to its full thickness",),
    )


def first_service(findings) -> Iterator[Finding]:
    """Preloaded bolts, whose preload falls most in their first days."""
    outcome = findings.slip
    if outcome is None or not outcome.levels:
        return
    service = outcome.levels["service"]
    if not service.slips and service.preload_share > LOOK_AFTER:
        # The warning of the margin asks for the same, and more.
        return
    yield (
        "first-service-check",
        "bolts lose most of their preload in the first days, and an error in tightening shows first: check them after "
        "the first service period",
        (f"{SIGNS}; the care plan says when and what is accepted",),
    )


def hidden(findings) -> Iterator[Finding]:
    """A joint that nobody can look at."""
    setting = findings.setting
    if not setting.place.hidden:
        return
    if setting.concept == "damage tolerant":
        yield (
            "hidden-damage-tolerant",
            "the fatigue strength is that of a damage tolerant design, which rests on inspection, but the joint is "
            "hidden and cannot be inspected",
            ('fatigue = { concept = "safe life" }', "an opening through which it can be looked at"),
        )
    yield (
        "hidden-joint",
        "the joint is hidden: neither loose bolts nor cracks are seen in time, and no interval of inspection helps",
        ("an opening, or a joint elsewhere", "margin in life and in preload that needs no look at it"),
    )


def column_base(findings) -> Iterator[Finding]:
    """A column base that does not stand by itself while it is erected."""
    outcome = findings.slip
    if findings.setting.place.kind != "column base" or outcome is None:
        return
    joint = outcome.joint
    if joint.bolts >= FEWEST_AT_BASE and not _in_one_line(joint):
        return
    found = "all bolts stand in one line" if joint.bolts >= FEWEST_AT_BASE else f"it has {joint.bolts}"
    yield (
        "column-base-bolts",
        f"a column base has four bolts that stand apart both ways, so that the column is stable while it is erected; "
        f"here {found}",
        ("four bolts at least, two by two", "guys or props until the frame stands, by a written procedure"),
    )


def stiff_joint(findings) -> Iterator[Finding]:
    """The moment that a stiff joint brings into the column."""
    column = findings.setting.column
    if column is None:
        return
    moment = column.moment
    parts = [
        f"{value / 1e6:.3g} kN m {where}"
        for value, part, where in (
            (moment.into_above, column.above, "above"), (moment.into_below, column.below, "below"),
        )
        if part is not None
    ]
    yield (
        "stiff-joint-on-column",
        f"the stiff joint brings {moment.stiff / 1e6:.3g} kN m into the supporting column ({' and '.join(parts)}), "
        f"against {moment.pinned / 1e6:.3g} kN m if it were a pin; {moment.joint / 1e6:.3g} kN m of it are the moment "
        "of the joint itself",
        ("design column, its splices and its base for it", "or a joint that turns: a fin plate or cleats with bolts"),
    )


def fin_plate(findings) -> Iterator[Finding]:
    """A fin plate that is welded to its beam and cannot turn."""
    if findings.setting.place.kind != "fin plate" or not findings.welded:
        return
    yield (
        "fin-plate-welded",
        "a fin plate that is welded to its beam does not turn as a bolted one does within its holes: it brings a "
        "moment into the support, and each turn of the beam's end works at its welds",
        ("bolts in normal holes between plate and beam", "or design joint, plate and column for the moment, with "
         "[joint.column]"),
    )  # fmt: skip


def lamellar_tearing(findings) -> Iterator[Finding]:
    """A plate that is pulled across its thickness."""
    setting = findings.setting
    place, (force, moment) = setting.place, setting.pull
    pulled = setting.welds is not None and (force > NEGLIGIBLE or moment > NEGLIGIBLE)
    if not place.pulled_across and not pulled:
        return
    what = place.pulled_across or "the part that the welds stand on"
    loads = ((force, 1e3, "kN"), (moment, 1e6, "kN m"))
    by = " and ".join(f"{value / scale:.3g} {unit}" for value, scale, unit in loads if value > NEGLIGIBLE)
    grades = {"": "nothing is said of its grade", "none": "its steel has no grade for that"}
    grade = grades.get(place.through_thickness, f"its steel is of grade {place.through_thickness}, as stated")
    yield (
        "lamellar-tearing",
        f"{what} is pulled across its thickness{f' (up to {by}, unfactored)' if by else ''}, and welds that shrink "
        f"pull as well: rolled steel may tear there between its layers; {grade}",
        ("steel with proved properties through its thickness, tested by ultrasound at the place",
         "smaller welds, balanced and with preheat, or a detail that passes through the plate"),
    )  # fmt: skip


TRADE = (
    hidden, stiff_joint, column_base, fin_plate, lamellar_tearing, site_weld, overhead, near_coating, first_service,
)  # fmt: skip


def _any_weld(findings) -> bool:
    return findings.welded or findings.weld_proposed


def _which(findings) -> str:
    return "welds" if findings.welded else "a weld instead of the bolts would be"


def _in_one_line(joint: BoltedJoint) -> bool:
    spread = joint.positions - joint.positions.mean(axis=0)
    return int(np.linalg.matrix_rank(spread, tol=1e-6 * max(float(np.abs(spread).max()), 1.0))) < 2
