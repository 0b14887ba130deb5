"""Inspection of a detail that may hold a crack: the size it must not reach, and how often to look for it.

For a detail in which a crack was found there is no life and no interval here, only what to do.
"""

import math
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from fatigue.cracks import EdgeIntensity, PlainIntensity, SurfaceIntensity
from fatigue.growth import Crack, YearlySpectrum, grow
from fatigue.growth_laws import GrowthLaw
from loadhistories.figures import Check, Figure, judged, not_judged
from loadhistories.validation import InputError, require_not_negative, require_one_of, require_positive, where

CLAUSE = "crack growth by fracture mechanics; share of the time chosen by the user"
SIMPLIFIED_SHARE = "1 / sqrt(2), as the simplified level of BS 7910 takes (from memory)"
CRACK = ("none", "found")
BRITTLE = "brittle fracture"
COLLAPSE = "yielding of the section that is left"


@dataclass(frozen=True)
class Failure:
    """What makes a crack too large, beside the plate's dimensions.

    Attributes
    ----------
    highest_stress : float
        Highest tensile stress at the place of the crack, permanent load included. [MPa]
    residual_stress : float
        Stress locked in by welding; the yield strength for a part as welded, 0 for one free of it. [MPa]
    toughness : float or None
        Fracture toughness at the lowest temperature of use; None: not known. [N/mm^1.5]
    toughness_share : float or None
        Share of it that may be used, as it leaves room for yielding at the tip (1 / sqrt 2 is common). [-]
    yield_strength : float or None
        [MPa]; None: yielding of the section that is left is not looked at.
    """

    highest_stress: float
    residual_stress: float
    toughness: float | None = None
    toughness_share: float | None = None
    yield_strength: float | None = None

    def __post_init__(self):
        require_positive(self.highest_stress, "highest stress", unit="MPa")
        require_not_negative(self.residual_stress, "residual stress", unit="MPa")
        if (self.toughness is None) != (self.toughness_share is None):
            raise InputError(f"give toughness and toughness_share together; a share is {SIMPLIFIED_SHARE}")
        if self.toughness is not None:
            require_positive(self.toughness, "toughness", unit="N/mm^1.5")
            if require_positive(self.toughness_share, "toughness_share") > 1.0:
                raise InputError(f"toughness_share must not be above 1, got {self.toughness_share:g}")
        if self.yield_strength is not None:
            require_positive(self.yield_strength, "yield strength", unit="MPa")


@dataclass(frozen=True)
class Detection:
    """The smallest crack that an inspection finds for certain enough; the user's figure, none is built in.

    Attributes
    ----------
    method : str
        Such as "magnetic particles, paint removed".
    size : tuple of float
        Depth, and half length where the crack's shape has one. [mm]
    source : str
        On what the size rests, such as a trial or a procedure.
    """

    method: str
    size: tuple[float, ...]
    source: str

    def __post_init__(self):
        for name, text in (("method", self.method), ("source", self.source)):
            if not text.strip():
                raise InputError(f"the detectable size needs its {name}: none is built in")
        for value in self.size:
            require_positive(value, "detectable size", unit="mm")


@dataclass(frozen=True)
class Fracture:
    """Highest stress intensity at one tip of a crack, against the toughness."""

    highest_stress: Annotated[float, Figure("σ_max", "MPa", title="highest stress")]
    residual_stress: Annotated[float, Figure("σ_res", "MPa", title="stress locked in by welding")]
    depth: Annotated[float, Figure("a", "mm", title="depth of the crack")]
    per_stress: Annotated[float, Figure("K_1", "mm^0.5", title="stress intensity per unit of stress")]
    plain_factor: Annotated[float, Figure("Y_m", "", title="shape factor without weld toe, for the locked-in stress")]
    intensity: Annotated[
        float,
        Figure("K_max", "N/mm^1.5", "σ_max * K_1 + σ_res * Y_m * sqrt(pi * a)", title="highest stress intensity"),
    ]
    toughness: Annotated[float | None, Figure("K_mat", "N/mm^1.5", title="fracture toughness")]
    toughness_share: Annotated[float | None, Figure("s_K", "", title="share of the toughness that is used")]
    limit: Annotated[float | None, Figure("K_lim", "N/mm^1.5", "s_K * K_mat", title="highest one allowed")]


@dataclass(frozen=True)
class InspectionPlan:
    """How often to look for a crack, from its growth between the detectable and the critical size."""

    law: GrowthLaw
    detection: Detection
    detectable_depth: Annotated[float, Figure("a_d", "mm", title="detectable depth")]
    detectable_half_length: Annotated[float | None, Figure("c_d", "mm", title="detectable half length")]
    critical_depth: Annotated[float | None, Figure("a_c", "mm", title="critical depth")]
    critical_half_length: Annotated[float | None, Figure("c_c", "mm", title="half length at the critical depth")]
    critical_by: str
    cycles: Annotated[float, Figure("n_y", "1/year", title="cycles in a year")]
    growing_cycles: Annotated[
        float, Figure("n_g", "1/year", title="cycles in a year that grow a crack of the detectable size")
    ]
    time: Annotated[float | None, Figure("T_g", "year", title="time from detectable to critical size")]
    share: Annotated[float, Figure("s", "", title="share of this time between two inspections, chosen by the user")]
    interval: Annotated[float | None, Figure("T_i", "year", "s * T_g", title="longest time between inspections")]
    first: tuple[PlainIntensity | EdgeIntensity | SurfaceIntensity, ...]
    last: tuple[Fracture, ...]
    years: NDArray[np.float64]
    sizes: NDArray[np.float64]
    reason: str
    remarks: tuple[str, ...]


def inspection_plan(
    crack: Crack,
    law: GrowthLaw,
    spectrum: YearlySpectrum,
    *,
    detection: Detection,
    failure: Failure,
    share: float,
    found: str,
    place: str = "",
) -> InspectionPlan:
    """Longest time between inspections that look for a crack of this shape.

    Parameters
    ----------
    crack : shape of `fatigue.cracks`
    law, spectrum
        See `fatigue.growth_laws` and `fatigue.growth`.
    detection : Detection
        Smallest crack that is found for certain enough.
    failure : Failure
    share : float
        Of the time from detectable to critical size, below 1; there is no default. [-]
    found : str
        "none", or "found" where a crack was found in the detail already.

    Returns
    -------
    InspectionPlan
        Without a time where the crack stops growing; `reason` then says so.

    Raises
    ------
    InputError
        A crack was found; nothing that ends the crack is known; the detectable size is already critical.

    Limits
    ------
    Linear elastic, in air, cycles mixed evenly through the year, no corrosion, no retardation.
    """
    refuse_cracked("this detail", found, place=place)
    if require_positive(share, "share of the time between inspections", place=place) >= 1.0:
        raise InputError(f"share of the time between inspections must be below 1, got {share:g}{where(place)}")
    if len(detection.size) != len(crack.sizes):
        raise InputError(f"detectable size must have {' and '.join(crack.sizes)}, got {detection.size}{where(place)}")
    ends = _ends(crack, failure)
    if not ends:
        raise InputError(
            f"nothing ends this crack: give toughness, or a shape with the plate's dimensions{where(place)}"
        )
    for name, reached in ends:
        if reached(*detection.size) >= 1.0:
            raise InputError(
                f"a crack of the detectable size, {_size(detection.size)}, is at its end already ({name}): inspection "
                f"by {detection.method} cannot protect this detail; use a finer method, a tougher steel or a lower "
                f"stress{where(place)}"
            )
    path = grow(crack, law, spectrum, start=detection.size, ends=ends)
    return _plan(crack, law, spectrum, detection, failure, share, path)


def inspection_check(id: str, name: str, plan: InspectionPlan, *, planned: float) -> Check:
    """The interval that is planned against the longest one.

    Parameters
    ----------
    planned : float
        Time between inspections that the user plans. [year]
    """
    years = require_positive(planned, "planned time between inspections", unit="year")
    tips = [part for tip in plan.first for part in (*tip.toe, tip)]
    title, working = f"time between inspections of {name}", (*tips, plan.law, *plan.last, plan)
    if plan.interval is None:
        return not_judged(id, title, reason=plan.reason, clause=CLAUSE, working=working)
    return judged(
        id, title, demand=years, resistance=plan.interval, unit="year", clause=CLAUSE, working=working,
        at=plan.critical_by,
    )  # fmt: skip


def cracked_words(name: str) -> str:
    """Why a detail in which a crack was found gets no life, and what to do."""
    return (
        f"a crack was found in {name}: no life, remaining life or inspection interval is stated for a cracked part. "
        "Make the place safe: unload or prop it and keep people away; find both ends of the crack with a method that "
        "shows them; look at every like detail; find the cause; let an engineer with experience in fracture decide on "
        "use, repair and its inspection. After a repair, judge the repaired detail with a category of its own"
    )


def refuse_cracked(name: str, found: str, *, place: str = "") -> None:
    """Raise InputError where a crack was found in the detail. `found`: "none" or "found"."""
    if require_one_of(found, CRACK, "crack", place=place) == "found":
        raise InputError(f"{cracked_words(name)}{where(place)}")


def cracked_check(id: str, name: str) -> Check:
    """The check of a detail in which a crack was found: not judged, with what to do."""
    return not_judged(id, f"fatigue of {name}", reason=cracked_words(name), clause="common practice, no source")


def critical_depth(toughness: float, *, factor: float, highest_stress: float) -> float:
    """Depth at which K = Y sigma sqrt(pi a) reaches the toughness, for a constant shape factor. [mm]

    Parameters
    ----------
    toughness : float
        [N/mm^1.5]
    factor : float
        Shape factor Y. [-]
    highest_stress : float
        [MPa]

    Examples
    --------
    >>> critical_depth(3162.2776602, factor=1.0, highest_stress=500.0)
    12.7323954
    """
    k = require_positive(toughness, "toughness", unit="N/mm^1.5")
    y = require_positive(factor, "shape factor")
    return (k / (y * require_positive(highest_stress, "highest stress", unit="MPa"))) ** 2 / math.pi


def toughness_in_millimetres(toughness: float) -> float:
    """A stress intensity in MPa m^0.5 as one in N/mm^1.5.

    Examples
    --------
    >>> toughness_in_millimetres(100.0)
    3162.27766
    """
    return require_positive(toughness, "toughness", unit="MPa m^0.5") * math.sqrt(1000.0)


def fractures(crack: Crack, failure: Failure, size: tuple[float, ...]) -> tuple[Fracture, ...]:
    """Highest stress intensity at each tip of a crack of this size."""
    limit = None if failure.toughness is None else failure.toughness_share * failure.toughness
    found = []
    for tip in crack.intensities(*size):
        residual = failure.residual_stress * tip.plain_factor * math.sqrt(math.pi * tip.depth)
        highest = failure.highest_stress * tip.per_stress + residual
        given = (failure.highest_stress, failure.residual_stress, tip.depth, tip.per_stress, tip.plain_factor)
        found.append(Fracture(*given, highest, failure.toughness, failure.toughness_share, limit))
    return tuple(found)


def _ends(crack: Crack, failure: Failure) -> list:
    """Everything that ends the crack, each with a function that reaches 1 there."""
    ends = list(crack.ends())
    if failure.toughness is not None:
        ends.append((BRITTLE, lambda *size: max(f.intensity / f.limit for f in fractures(crack, failure, size))))
    if failure.yield_strength is not None:
        stress_over_yield = failure.highest_stress / failure.yield_strength
        if stress_over_yield >= 1.0:
            raise InputError(
                f"the highest stress, {failure.highest_stress:g} MPa, is not below the yield strength, "
                f"{failure.yield_strength:g} MPa"
            )
        if crack.ends():
            ends.append((COLLAPSE, lambda *size: stress_over_yield * crack.reference_stress(*size)))
    return ends


def _plan(crack, law, spectrum, detection, failure, share, path) -> InspectionPlan:
    first = crack.intensities(*detection.size)
    growing = max(float(spectrum.per_year[law.rate(tip.per_stress * spectrum.ranges) > 0.0].sum()) for tip in first)
    arrested = not path.end
    last = tuple(map(float, path.sizes[-1]))
    time = None if arrested else float(path.years[-1])
    reason = ""
    if arrested:
        reason = (
            f"no range of the spectrum grows a crack of {_size(last)}: its stress intensity stays below the threshold, "
            "so no interval follows from growth; an interval from common practice is for the user to set"
        )
    second = len(crack.sizes) > 1
    return InspectionPlan(
        law, detection, detection.size[0], detection.size[1] if second else None,
        None if arrested else last[0], last[1] if second and not arrested else None,
        path.end, float(spectrum.per_year.sum()), growing, time, share, None if time is None else share * time,
        first, () if arrested else fractures(crack, failure, last), path.years, path.sizes, reason,
        _remarks(law, detection, failure, path.end),
    )  # fmt: skip


def _remarks(law: GrowthLaw, detection: Detection, failure: Failure, end: str) -> tuple[str, ...]:
    found = [
        f"the detectable size is a figure of the user's for {detection.method} ({detection.source}); no probability of "
        "detection is built in",
        "a crack just below the detectable size may be there from the start: the first interval counts from the start "
        "of use, or from the last inspection by this method",
    ]
    if failure.toughness is None:
        found.append("no toughness was given: brittle fracture of a smaller crack is not excluded")
    if end and end not in (BRITTLE, COLLAPSE):
        found.append(f"growth is followed to the {end}" if end.startswith("end") else f"growth is followed to a {end}")
    if law.unconfirmed:
        found.append(f"growth constants and threshold from memory: confirm against your copy ({law.source})")
    return tuple(found)


def _size(size: tuple[float, ...]) -> str:
    deep = f"{size[0]:.3g} mm depth"
    return deep if len(size) == 1 else f"{deep} and {2.0 * size[1]:.3g} mm length"
