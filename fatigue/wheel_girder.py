"""Girder under passing wheels: ranges of bending moment and shear at a section, and their stress."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Annotated

import numpy as np

from loadhistories.cubics import SAME, Cubic, under_wheels
from loadhistories.figures import Figure
from loadhistories.girder import Girder
from loadhistories.validation import InputError, where

STATICS = "theory of beams, influence lines"
# A wheel and its load. [mm, N]
Train = Sequence[tuple[float, float]]
# Values below this share of the largest are what rounding makes of 0.
ROUNDING = 1e-12


@dataclass(frozen=True)
class GirderSection:
    """A section of a girder.

    Attributes
    ----------
    girder : Girder
    at : float
        From the first support. [mm]
    modulus : float or None
        Elastic section modulus at the fibre looked at. [mm3]
    shear_area : float or None
        Shear force over shear stress at the point looked at. [mm2]
    """

    girder: Girder
    at: float
    modulus: float | None = None
    shear_area: float | None = None

    @property
    def title(self) -> str:
        """In words."""
        spans = " + ".join(f"{span / 1e3:g}" for span in self.girder.spans)
        system = f" ({self.girder.system})" if len(self.girder.spans) > 1 else ""
        return f"section at {self.at / 1e3:g} m of a girder of {spans} m{system}"

    @property
    def over_support(self) -> bool:
        """Whether it stands over an inner support, where the shear has two values."""
        return bool(self.at in self.girder.supports[1:-1])

    def resists(self, kind: str) -> bool:
        """Whether the section is stated for "normal" or "shear" stress."""
        return (self.modulus if kind == "normal" else self.shear_area) is not None


@dataclass(frozen=True)
class MomentRange:
    """Bending moment as a crane passes."""

    load: Annotated[float, Figure("Q_e", "N", title="equivalent wheel load for normal stress")]
    span: Annotated[float, Figure("L", "mm", title="span of the girder that holds the section")]
    at: Annotated[float, Figure("x", "mm", title="section, from the first support of the girder")]
    high: Annotated[float, Figure("k_M,max", "mm", "", STATICS, "largest moment for unit loads on all wheels")]
    low: Annotated[float, Figure("k_M,min", "mm", "", STATICS, "smallest moment for unit loads on all wheels")]
    moment: Annotated[float, Figure("ΔM", "N mm", "(k_Mmax - k_Mmin) * Q_e", STATICS, "range of bending moment")]


@dataclass(frozen=True)
class ForceRange:
    """Shear force as a crane passes."""

    load: Annotated[float, Figure("Q_e", "N", title="equivalent wheel load for shear stress")]
    span: Annotated[float, Figure("L", "mm", title="span of the girder that holds the section")]
    at: Annotated[float, Figure("x", "mm", title="section, from the first support of the girder")]
    high: Annotated[float, Figure("k_V,max", "", "", STATICS, "largest shear for unit loads on all wheels")]
    low: Annotated[float, Figure("k_V,min", "", "", STATICS, "smallest shear for unit loads on all wheels")]
    force: Annotated[float, Figure("ΔV", "N", "(k_Vmax - k_Vmin) * Q_e", STATICS, "range of shear force")]


@dataclass(frozen=True)
class BendingStress:
    """Stress of a range of bending moment."""

    moment: Annotated[float, Figure("ΔM", "N mm", title="range of bending moment as the wheels pass")]
    modulus: Annotated[float, Figure("W", "mm3", title="section modulus")]
    range: Annotated[float, Figure("ΔS_g", "MPa", "ΔM / W", "theory of beams", "range of bending stress")]


@dataclass(frozen=True)
class ShearStress:
    """Stress of a range of shear force."""

    force: Annotated[float, Figure("ΔV", "N", title="range of shear force as the wheels pass")]
    area: Annotated[float, Figure("A_v", "mm2", title="shear force over shear stress at the point")]
    range: Annotated[float, Figure("ΔS_g", "MPa", "ΔV / A_v", "theory of beams", "range of shear stress")]


def girder_section(
    girder: Girder, at: float, *, modulus: float | None = None, shear_area: float | None = None, place: str = ""
) -> GirderSection:
    """A section of a girder, its data checked.

    Parameters
    ----------
    girder : Girder
    at : float
        From the first support. [mm]
    modulus : float, optional
        Elastic section modulus at the fibre looked at. [mm3]
    shear_area : float, optional
        Shear force over shear stress at the point looked at. [mm2]

    Raises
    ------
    InputError
        The section does not lie on the girder, nothing is stated of it, or it never has a bending moment.
    """
    near = girder.supports[np.abs(girder.supports - at) <= SAME]
    at = float(near[0]) if near.size else at
    if not 0.0 <= at <= girder.length:
        end = "span of" if len(girder.spans) == 1 else "end of the spans at"
        raise InputError(f"at must lie from 0 mm to the {end} {girder.length:g} mm, got {at:g} mm{where(place)}")
    if modulus is None and shear_area is None:
        raise InputError(f"girder needs modulus, shear_area, or both{where(place)}")
    if modulus is not None and not girder.moment(at).coefficients.any():
        simple = girder.system == "simple spans" or len(girder.spans) == 1
        which = "a support of a simple span" if simple else "an end support"
        raise InputError(f"{which} has no bending moment: take modulus away{where(place)}")
    return GirderSection(girder, at, modulus, shear_area)


def train_of(trains: Sequence[Train], *, apart: float | None = None) -> list[tuple[float, float]]:
    """Wheels of cranes one right behind the other, `apart` between the nearest wheels of two. [mm, N]"""
    found, start = [], 0.0
    for train in trains:
        places = [place for place, _ in train]
        found += [(start + place - min(places), load) for place, load in train]
        start += max(places) - min(places) + (apart or 0.0)
    return found


def moment_extremes(given: GirderSection, trains: Sequence[Train], *, apart: float | None = None) -> tuple:
    """Smallest and largest bending moment at the section as cranes pass over the girder. [N mm]

    Parameters
    ----------
    trains : sequence of Train
        The wheels of each crane, the cranes in their order from the first support on.
    apart : float, optional
        Least distance between the nearest wheels of two cranes; they may stand farther from each other. [mm]

    Examples
    --------
    Two loads of 1 N, 2 m apart, on 10 m: at midspan 2.5 m of the one, 1.5 m of the other.

    >>> from loadhistories.girder import girder
    >>> middle = GirderSection(girder([10_000], system="simple spans"), 5_000, modulus=1.0)
    >>> moment_extremes(middle, [[(0.0, 1.0), (2_000.0, 1.0)]])
    (0.0, 4000.0)
    """
    return _extremes(given.girder.moment(given.at), trains, apart)


def shear_extremes(given: GirderSection, trains: Sequence[Train], *, apart: float | None = None) -> tuple:
    """Smallest and largest shear force at the section as cranes pass over the girder. [N]

    Over an inner support it is that on the side where its range is larger. Parameters as `moment_extremes`.

    Examples
    --------
    One load of 1 N at midspan: from -0.5 N to 0.5 N.

    >>> from loadhistories.girder import girder
    >>> middle = GirderSection(girder([10_000], system="simple spans"), 5_000, shear_area=1.0)
    >>> shear_extremes(middle, [[(0.0, 1.0)]])
    (-0.5, 0.5)
    """
    right = given.girder.shear(given.at)
    sides = [_extremes(right, trains, apart)]
    if given.over_support:
        reaction = given.girder.reaction(int(given.girder.supports.searchsorted(given.at)) + 1)
        sides.append(_extremes(Cubic(right.breaks, right.coefficients - reaction.coefficients), trains, apart))
    return max(sides, key=lambda pair: pair[1] - pair[0])


def girder_stress(
    given: GirderSection, kind: str, trains: Sequence[Train], *, apart: float | None, load: float | None
) -> tuple[tuple, float]:
    """The results that lead to the range of stress at the section, and the range. [MPa]

    Parameters
    ----------
    kind : str
        "normal" or "shear".
    trains, apart
        As `moment_extremes`.
    load : float or None
        The load of every wheel, where it is one [N]; None for several cranes.
    """
    extremes = moment_extremes if kind == "normal" else shear_extremes
    low, high = extremes(given, trains, apart=apart)
    change = high - low
    if kind == "normal":
        found, shown = BendingStress(change, given.modulus, change / given.modulus), MomentRange
    else:
        found, shown = ShearStress(change, given.shear_area, change / given.shear_area), ForceRange
    if load is None:
        return (found,), found.range
    span = given.girder.span_at(given.at)
    return (shown(load, span, given.at, high / load, low / load, change), found), found.range


def _extremes(line: Cubic, trains: Sequence[Train], apart: float | None) -> tuple[float, float]:
    """Smallest and largest value of all cranes, at any distance of at least `apart`; 0 while none is on the girder.

    Cranes are at their extreme either one right behind the other, or so far from each other that each is at an
    extreme of its own: every split of the row into such groups is looked at.
    """
    low = high = 0.0
    for split in product((False, True), repeat=len(trains) - 1):
        cuts = [0, *(number for number, cut in enumerate(split, start=1) if cut), len(trains)]
        groups = [train_of(trains[first:last], apart=apart) for first, last in pairwise(cuts)]
        peaks = [_peaks(line, group) for group in groups]
        lengths = [max(place for place, _ in group) + (apart or 0.0) for group in groups]
        high = max(high, _largest(peaks, lengths, 1.0))
        low = min(low, -_largest(peaks, lengths, -1.0))
    noise = ROUNDING * max(high, -low)
    return (0.0 if -low <= noise else low), (0.0 if high <= noise else high)


def _peaks(line: Cubic, group: Train) -> list[tuple[float, float]]:
    """Where the first wheel of a group can stand at an extreme and what the group makes there; off the girder first."""
    sum_ = under_wheels(line, [place for place, _ in group], [load for _, load in group])
    places = np.concatenate((sum_.breaks, sum_.turning_places()))
    values = [*zip(places, sum_.before(places), strict=True), *zip(places, sum_.after(places), strict=True)]
    return [(-np.inf, 0.0), *sorted((float(at), float(value)) for at, value in values), (np.inf, 0.0)]


def _largest(peaks: Sequence[list[tuple[float, float]]], lengths: Sequence[float], sign: float) -> float:
    """Largest sum of one peak of each group, each group beyond the one before it; of the negatives for sign -1."""
    best = [(-np.inf, 0.0)]
    for found, length in zip(peaks, [0.0, *lengths], strict=False):
        best = [
            (at, sign * value + max(sum_ for before, sum_ in best if before + length <= at))
            for at, value in found
        ]  # fmt: skip
    return max(sum_ for _, sum_ in best)
