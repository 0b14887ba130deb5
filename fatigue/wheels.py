"""Wheels of cranes at a place of a runway: the range of stress under equivalent wheel loads (EN 1991-3, EN 1993-6).

What the ranges do to the place is judged in wheel_damage.py; counted passages are judged like any other history.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated

from fatigue.catalogue import CatalogueRow
from fatigue.crane_duty import (
    SLOPES,
    DutyClass,
    DynamicFactors,
    EquivalentWheelLoad,
    SClass,
    equivalent_wheel_load,
)
from fatigue.curves import LifeCurve
from fatigue.recipe import HOT_SPOT
from fatigue.runway import (
    FATIGUE,
    GIRDERS,
    STANDARD,
    WebBending,
    WheelPressure,
    needs_web_bending,
    web_bending,
    wheel_pressure,
)
from fatigue.standards import standard as rules_of
from fatigue.wheel_girder import GirderSection, girder_stress
from loadhistories.figures import Figure
from loadhistories.validation import InputError, where

KINDS = ("normal", "shear")
UNDER_WHEEL, THROAT = "web, vertical", "weld throat"


@dataclass(frozen=True)
class FatigueFactors:
    """Dynamic factors for fatigue as the user states them."""

    own_fatigue: Annotated[float, Figure("φ_fat,1", "", title="fatigue factor of the own weight, as given")]
    hoist_fatigue: Annotated[float, Figure("φ_fat,2", "", title="fatigue factor of the hoist load, as given")]
    unconfirmed: bool = False


@dataclass(frozen=True)
class Crane:
    """A crane by its duty class.

    Attributes
    ----------
    made : DutyClass or None
        What made the class, where it was not given.
    own, hoist : float
        Parts of the largest characteristic wheel load: crane with crab, and hoist load. [N]
    wheels : tuple of float
        Places of its wheels on one rail, each with that load [mm]; () where they are not stated.
    heavy_cycles : float or None
        Lifts in the design life with more than half of the full payload.
    recalled : tuple of str
        Rows of tables that made it and were recalled, not read in their source.
    """

    name: str
    duty: SClass
    made: DutyClass | None
    factors: DynamicFactors | FatigueFactors
    own: float
    hoist: float
    wheels: tuple[float, ...] = ()
    heavy_cycles: float | None = None
    recalled: tuple[str, ...] = ()

    def load(self, duty: SClass) -> EquivalentWheelLoad:
        """Its equivalent wheel load for its own class, or another."""
        return equivalent_wheel_load(self.own, self.hoist, factors=self.factors, duty=duty)


@dataclass(frozen=True)
class UnitStress:
    """Range of stress under the equivalent wheel load, from that under a unit load."""

    load: Annotated[float, Figure("Q_e", "N", title="equivalent wheel load for this kind of stress")]
    unit_stress: Annotated[float, Figure("c_w", "MPa/N", title="range of stress for a unit wheel load")]
    range: Annotated[float, Figure("ΔS_g", "MPa", "c_w * Q_e", "", "range as the crane passes")]


@dataclass(frozen=True)
class SumOfRanges:
    """Ranges of several cranes that act together, where only the range of each is known."""

    range: Annotated[float, Figure("ΔS_g,sum", "MPa", title="sum of the ranges of the cranes: an upper bound")]


@dataclass(frozen=True)
class WebRange:
    """Range of vertical stress in the face of the web, as a wheel comes and goes."""

    pressure: Annotated[float, Figure("σ_oz", "MPa", title="vertical pressure under the equivalent wheel load")]
    bending: Annotated[float, Figure("σ_T", "MPa", title="bending of the web, 0 where it may be left out")]
    range: Annotated[
        float, Figure("ΔS_w", "MPa", "σ_oz + σ_T", f"{GIRDERS}, 9.3.3 (from memory)", "range in the face of the web")
    ]


@dataclass(frozen=True)
class ThroatRange:
    """The same in the two throats of a weld between web and flange; a couple of the throats takes the bending."""

    pressure: Annotated[float, Figure("σ_oz", "MPa", title="vertical pressure under the equivalent wheel load")]
    bending: Annotated[float, Figure("σ_T", "MPa", title="bending of the web, 0 where it may be left out")]
    web_thickness: Annotated[float, Figure("t_w", "mm", title="thickness of the web, lever arm of the throats")]
    throat: Annotated[float, Figure("a_w", "mm", title="throat of each of the two welds")]
    range: Annotated[
        float, Figure("ΔS_w", "MPa", "t_w / (2 * a_w) * (σ_oz + σ_T / 3)", "statics of a couple", "range in a throat")
    ]


@dataclass(frozen=True)
class ShearSum:
    """Local shear beside a wheel and the shear of the girder under the same wheels."""

    local: Annotated[float, Figure("Δτ_oxz", "MPa", title="range of local shear")]
    girder: Annotated[float, Figure("Δτ_g", "MPa", title="range of shear of the girder")]
    range: Annotated[
        float, Figure("ΔS_w", "MPa", "Δτ_oxz + Δτ_g", f"{GIRDERS}, 5.7.2(2) (from memory)", "range of shear in the web")
    ]


@dataclass(frozen=True)
class Strength:
    """A category with its characteristic curve, size effect included."""

    row: CatalogueRow
    curve: LifeCurve
    size_effect: object | None = None


@dataclass(frozen=True)
class Web:
    """The web below the rail.

    Attributes
    ----------
    inertias : mapping
        As `wheel_pressure` takes them. [mm4]
    bending : mapping or None
        `rail_width`, `web_height`, `spacing` [mm] and `flange_torsion` [mm4], for wheels beside its middle.
    throat : float or None
        Of each of two welds between web and flange, where these are judged. [mm]
    """

    thickness: float
    seat: str
    inertias: Mapping[str, float]
    bending: Mapping[str, float] | None = None
    throat: float | None = None

    def pressure(self, force: float) -> WheelPressure:
        """Pressure and local shear under a wheel load. [N]"""
        return wheel_pressure(force, seat=self.seat, web_thickness=self.thickness, **self.inertias)

    def bent(self, force: float) -> WebBending | None:
        """Bending of the web under a wheel load [N], where its sizes are stated."""
        return None if self.bending is None else web_bending(force, web_thickness=self.thickness, **self.bending)


@dataclass(frozen=True)
class RunwayPlace:
    """A place of a runway that is judged by equivalent ranges.

    Attributes
    ----------
    strengths : mapping
        `Strength` by kind of stress, one or both.
    cycles : float
        Stress cycles here in one working cycle of a crane. [-]
    unit : mapping
        By kind of stress the range for a unit wheel load of each crane. [MPa/N]
    apart : float or None
        Least distance between the nearest wheels of two cranes, which stand on a girder in the order of `cranes`. [mm]
    beside : str
        The detail of the joint whose counted damage stands beside, or "".
    same_crane : bool
        Whether the loads counted there are those of these cranes; otherwise the damages add.
    """

    name: str
    cranes: tuple[Crane, ...]
    strengths: Mapping[str, Strength]
    cycles: float
    web: Web | None = None
    girder: GirderSection | None = None
    unit: Mapping[str, Sequence[float]] | None = None
    apart: float | None = None
    beside: str = ""
    same_crane: bool = True
    crack_found: bool = False


def strength_of(category: str | float, kind: str, *, place: str = "", **sizes: float) -> Strength:
    """The strength of a category of EN 1993 for which the equivalent factors hold.

    Raises
    ------
    InputError
        Unknown category, one for the other kind of stress, for hot-spot stress, or that counts on grip or on loads
        without reversal; a slope for which the factors do not hold; a size missing.
    """
    rules = rules_of(STANDARD)
    row = rules.row_of(category, stress=kind, place=place)
    if row.slope != SLOPES[kind]:
        raise InputError(
            f"category {row.id} has a slope of {row.slope:g}; the equivalent factors for {kind} stress hold for "
            f"{SLOPES[kind]} only: judge it as a [[joint.detail]] by a history{where(place)}"
        )
    if row.stress_on == HOT_SPOT or row.relies_on:
        why = "is for hot-spot stress" if row.stress_on == HOT_SPOT else f"counts on {row.relies_on} of the joint"
        raise InputError(f"category {row.id} {why}: judge it as a [[joint.detail]] by a history{where(place)}")
    effect, curve = rules.size_effect(row, **sizes, place=place), rules.curve_of_row(row)
    return Strength(row, curve if effect is None else curve.scaled(effect.factor, "size factor"), effect)


def require_whole(given: RunwayPlace, *, place: str = "") -> RunwayPlace:
    """The place, with everything that its cranes and categories ask for.

    Raises
    ------
    InputError
        Stress missing for a category, or stated twice; bending of the web or the throat missing; wheels so close
        that their pressures run together; places of wheels or distance of cranes missing for a girder.
    """
    problems = [*_of_web(given), *_of_girder(given), *_of_stress(given)]
    if problems:
        raise InputError(*(f"{problem}{where(place)}" for problem in problems))
    return given


def stress_ranges(given: RunwayPlace, kind: str, cranes: Sequence[Crane], duty: SClass) -> tuple[tuple, float]:
    """Range of stress at a place under the equivalent wheel loads of cranes that act together, or of one. [MPa]

    Parameters
    ----------
    duty : SClass
        Of the crane, or of the cranes together.

    Returns
    -------
    tuple, float
        The results that lead to it, and the range.

    Limits
    ------
    Wheels closer together than the loaded length are not covered. Compression counts in full. Under the rail the
    heaviest wheel counts, as wheels of two cranes do not stand over one place.
    """
    loads = [getattr(crane.load(duty), kind) for crane in cranes]
    parts, outer = _of_whole_girder(given, kind, cranes, loads)
    if given.web is None:
        return parts, outer
    pressure = given.web.pressure(max(loads))
    if kind == "shear":
        total = ShearSum(pressure.shear_range, outer, pressure.shear_range + outer)
        return (*parts, pressure, total), total.range
    bent = given.web.bent(max(loads))
    bending = 0.0 if bent is None else bent.stress
    if given.web.throat is None:
        found = WebRange(pressure.pressure, bending, pressure.pressure + bending)
    else:
        t_w, throat = given.web.thickness, given.web.throat
        range_ = t_w / (2.0 * throat) * (pressure.pressure + bending / 3.0)
        found = ThroatRange(pressure.pressure, bending, t_w, throat, range_)
    return tuple(part for part in (pressure, bent, found) if part is not None), found.range


def _of_whole_girder(given: RunwayPlace, kind: str, cranes: Sequence[Crane], loads: Sequence[float]):
    """Stress of the girder as a whole under passing wheels; none where nothing is stated of it."""
    if given.girder is not None and given.girder.resists(kind):
        trains = [[(place, load) for place in crane.wheels] for crane, load in zip(cranes, loads, strict=True)]
        only = loads[0] if len(loads) == 1 else None
        return girder_stress(given.girder, kind, trains, apart=given.apart, load=only)
    if given.unit is None or kind not in given.unit:
        return (), 0.0
    by_crane = dict(zip((crane.name for crane in given.cranes), given.unit[kind], strict=True))
    units = [by_crane[crane.name] for crane in cranes]
    parts = tuple(UnitStress(force, unit, unit * force) for force, unit in zip(loads, units, strict=True))
    total = sum(part.range for part in parts)
    return (parts if len(parts) == 1 else (*parts, SumOfRanges(total))), total


def _of_web(given: RunwayPlace):
    web, normal = given.web, given.strengths.get("normal")
    on = normal.row.stress_on if normal is not None else ""
    if web is None:
        if on == UNDER_WHEEL and given.unit is None:
            yield f"category {normal.row.id} is for pressure under a wheel: give web = {{ thickness = …, seat = … }}"
        return
    if (web.throat is None) == (on == THROAT):
        yield (
            f"category {normal.row.id} is for the throats: give throat in web" if on == THROAT
            else "throat goes with a category for the throat of a weld; take it out of web, or give such a category"
        )  # fmt: skip
    if on not in ("", UNDER_WHEEL, THROAT):
        yield f"category {normal.row.id} is for stress on {on}, not for pressure under a wheel: take web away"
    heavy = [crane for crane in given.cranes if needs_web_bending(crane.duty)]
    if normal is not None and heavy and web.bending is None:
        yield (
            f"class {heavy[0].duty.name} of crane {heavy[0].name!r} asks for bending of the web from eccentric wheels "
            f"({GIRDERS}, 9.3.3): give bending with rail_width, web_height, spacing and flange_torsion"
        )
    if normal is None and web.bending is not None:
        yield "bending of the web does nothing to shear stress: take bending away, or give category"
    length = web.pressure(1.0).length
    for crane in given.cranes:
        places = sorted(crane.wheels)
        nearest = min((b - a for a, b in pairwise(places)), default=length)
        if nearest < length:
            yield (
                f"wheels of crane {crane.name!r} are {nearest:g} mm apart and spread over {length:.4g} mm each: their "
                "pressures run together, which is not covered; give stress = { normal = … } found with both"
            )


def _of_girder(given: RunwayPlace):
    if given.girder is None:
        return
    for crane in given.cranes:
        if not crane.wheels:
            yield f'a girder needs the wheels of crane {crane.name!r}: give wheels = ["0 m", "3.2 m"] with the crane'
    if len(given.cranes) > 1 and given.apart is None:
        yield "several cranes on a girder need apart, the least distance between their nearest wheels"


def _of_stress(given: RunwayPlace):
    unit = given.unit or {}
    for kind, strength in given.strengths.items():
        girder = given.girder is not None and given.girder.resists(kind)
        web = given.web is not None
        if girder and kind in unit:
            yield f"the {kind} stress of the girder is stated twice, by girder and by stress: give one"
        if kind == "normal" and web and (girder or kind in unit):
            yield (
                "the pressure under a wheel is vertical, the stress of the girder along it: each has its category, so "
                "give two blocks [[joint.runway]]"
            )
        if kind == "normal" and not (web or girder or kind in unit):
            yield f"nothing makes stress for category {strength.row.id}: give web, girder with modulus, or stress"
        if kind == "shear" and not (girder or kind in unit):
            more = ', which adds to the local shear; none is shear = "0 MPa/kN"' if web else ""
            yield f"shear_category needs the shear of the girder{more}: give girder with shear_area, or stress"
    for kind in KINDS:
        stated = kind in unit or (given.girder is not None and given.girder.resists(kind))
        if stated and kind not in given.strengths:
            key = "category" if kind == "normal" else "shear_category"
            yield f"{kind} stress is stated without a category: give {key}, or take the stress away"


def clause_of_ranges() -> str:
    """Where the check of equivalent ranges stands."""
    return f"{FATIGUE}, 8(2), and {GIRDERS}, 9.4 (from memory)"
