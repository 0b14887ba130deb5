"""Cracks: their shape in a plate, and the stress intensity at their tips for a unit of stress.

How they grow stands in growth.py, when they are too large and when to look for them in inspection.py.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from fatigue.crack_toe import ToeFactor, WeldToe, toe_factor
from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_finite, require_positive

NEWMAN_RAJU = "Newman and Raju, Engineering Fracture Mechanics 15 (1981), surface crack in a plate"
EDGE = "Tada, Paris and Irwin, The Stress Analysis of Cracks Handbook, single edge crack (from memory)"
FREE_EDGE = 1.12
DEEPEST_EDGE_CRACK = 0.6
WIDEST_SURFACE_CRACK = 0.5
ROUNDEST = 1.0 + 1e-6
BEYOND = "end of the range of the stress intensity"

# Name of what ends a crack, and a function of its sizes that reaches 1 from below there.
End = tuple[str, Callable[..., float]]


@dataclass(frozen=True)
class PlainIntensity:
    """Stress intensity of a crack whose shape factor the user gives."""

    depth: Annotated[float, Figure("a", "mm", title="depth of the crack")]
    factor: Annotated[float, Figure("Y", "", title="shape factor, given")]
    per_stress: Annotated[
        float, Figure("K_1", "mm^0.5", "Y * sqrt(pi * a)", title="stress intensity per unit of stress")
    ]
    toe: tuple[ToeFactor, ...] = ()

    @property
    def plain_factor(self) -> float:
        """Shape factor for a uniform stress that no weld toe raises. [-]"""
        return self.factor


@dataclass(frozen=True)
class EdgeIntensity:
    """Stress intensity of a crack that runs from an edge or face over the whole of the other dimension."""

    depth: Annotated[float, Figure("a", "mm", title="depth of the crack")]
    ratio: Annotated[float, Figure("α", "", title="depth over width in its direction; 0: half plane")]
    bending_share: Annotated[float, Figure("Ω", "", title="share of bending in the stress at the face")]
    membrane: Annotated[
        float, Figure("Y_m", "", "1.12 - 0.231 * α + 10.55 * α ** 2 - 21.72 * α ** 3 + 30.39 * α ** 4", EDGE)
    ]
    bending: Annotated[
        float, Figure("Y_b", "", "1.12 - 1.39 * α + 7.32 * α ** 2 - 13.1 * α ** 3 + 14 * α ** 4", EDGE)
    ]
    toe_membrane: Annotated[float, Figure("M_k,m", "", title="factor of the weld toe, membrane; 1 without a weld")]
    toe_bending: Annotated[float, Figure("M_k,b", "", title="factor of the weld toe, bending; 1 without a weld")]
    per_stress: Annotated[
        float,
        Figure(
            "K_1",
            "mm^0.5",
            "((1 - Ω) * M_km * Y_m + Ω * M_kb * Y_b) * sqrt(pi * a)",
            title="stress intensity per unit of stress",
        ),
    ]
    toe: tuple[ToeFactor, ...] = ()

    @property
    def plain_factor(self) -> float:
        """Shape factor for a uniform stress that no weld toe raises. [-]"""
        return self.membrane


@dataclass(frozen=True)
class SurfaceIntensity:
    """Stress intensity at one point of a semi-elliptical surface crack."""

    depth: Annotated[float, Figure("a", "mm", title="depth of the crack")]
    half_length: Annotated[float, Figure("c", "mm", title="half of its length at the surface")]
    thickness: Annotated[float, Figure("t", "mm", title="thickness of the plate")]
    sine: Annotated[float, Figure("s_φ", "", title="sine of the place: 1 deepest point, 0 at the surface")]
    bending_share: Annotated[float, Figure("Ω", "", title="share of bending in the stress at the surface")]
    shape: Annotated[float, Figure("Q", "", "1 + 1.464 * (a / c) ** 1.65", NEWMAN_RAJU)]
    first: Annotated[float, Figure("M_1", "", "1.13 - 0.09 * a / c", NEWMAN_RAJU)]
    second: Annotated[float, Figure("M_2", "", "0.89 / (0.2 + a / c) - 0.54", NEWMAN_RAJU)]
    third: Annotated[float, Figure("M_3", "", "0.5 - 1 / (0.65 + a / c) + 14 * (1 - a / c) ** 24", NEWMAN_RAJU)]
    front: Annotated[float, Figure("g", "", "1 + (0.1 + 0.35 * (a / t) ** 2) * (1 - s_φ) ** 2", NEWMAN_RAJU)]
    angle: Annotated[float, Figure("f_φ", "", "((a / c) ** 2 * (1 - s_φ ** 2) + s_φ ** 2) ** (1 / 4)", NEWMAN_RAJU)]
    width: Annotated[float, Figure("f_w", "", "", NEWMAN_RAJU, "finite width: sqrt(1 / cos(π c / W · sqrt(a / t)))")]
    membrane: Annotated[
        float,
        Figure(
            "Y_m", "", "(M_1 + M_2 * (a / t) ** 2 + M_3 * (a / t) ** 4) * g * f_φ * f_w / sqrt(Q)", NEWMAN_RAJU
        ),
    ]
    exponent: Annotated[float, Figure("p", "", "0.2 + a / c + 0.6 * a / t", NEWMAN_RAJU)]
    bending_surface: Annotated[float, Figure("H_1", "", "1 - 0.34 * a / t - 0.11 * (a / c) * (a / t)", NEWMAN_RAJU)]
    bending_deepest: Annotated[
        float,
        Figure(
            "H_2",
            "",
            "1 - (1.22 + 0.12 * a / c) * (a / t) "
            "+ (0.55 - 1.05 * (a / c) ** 0.75 + 0.47 * (a / c) ** 1.5) * (a / t) ** 2",
            NEWMAN_RAJU,
        ),
    ]
    bending: Annotated[float, Figure("Y_b", "", "(H_1 + (H_2 - H_1) * s_φ ** p) * Y_m", NEWMAN_RAJU)]
    toe_membrane: Annotated[float, Figure("M_k,m", "", title="factor of the weld toe, membrane; 1 without a weld")]
    toe_bending: Annotated[float, Figure("M_k,b", "", title="factor of the weld toe, bending; 1 without a weld")]
    per_stress: Annotated[
        float,
        Figure(
            "K_1",
            "mm^0.5",
            "((1 - Ω) * M_km * Y_m + Ω * M_kb * Y_b) * sqrt(pi * a)",
            title="stress intensity per unit of stress",
        ),
    ]
    toe: tuple[ToeFactor, ...] = ()

    @property
    def plain_factor(self) -> float:
        """Shape factor for a uniform stress that no weld toe raises. [-]"""
        return self.membrane


@dataclass(frozen=True)
class PlainCrack:
    """A crack of one size with a constant shape factor of the user's: K = Y sigma sqrt(pi a).

    Attributes
    ----------
    factor : float
        Shape factor Y. [-]
    """

    factor: float
    sizes = ("depth",)

    def __post_init__(self):
        require_positive(self.factor, "shape factor")

    def intensities(self, depth: float) -> tuple[PlainIntensity, ...]:
        """Stress intensity per unit of stress at the tip."""
        return (PlainIntensity(depth, self.factor, self.factor * math.sqrt(math.pi * depth)),)

    def reference_stress(self, depth: float) -> float | None:
        """None: the plate around the crack is not known."""
        return None

    def ends(self) -> tuple[End, ...]:
        """No dimension ends the crack."""
        return ()


@dataclass(frozen=True)
class EdgeCrack:
    """A crack from an edge, or from a face over the whole width, of uniform depth.

    Attributes
    ----------
    width : float
        Size of the plate in the direction in which the crack deepens; inf: a half plane. [mm]
    bending_share : float
        Share of bending in the stress at the face where the crack starts, 0 to 1; 0 for a half plane. [-]
    toe : WeldToe or None
        The weld whose toe the crack starts from.

    Limits
    ------
    Up to 0.6 of the width. The ends of the plate may bend freely, which is on the safe side.
    """

    width: float
    bending_share: float
    toe: WeldToe | None = None
    sizes = ("depth",)

    def __post_init__(self):
        _require_width(self.width)
        _require_share(self.bending_share)
        if math.isinf(self.width) and (self.bending_share or self.toe is not None):
            raise InputError("bending and the factor of a weld toe need the plate's width in the crack's direction")

    def intensities(self, depth: float) -> tuple[EdgeIntensity, ...]:
        """Stress intensity per unit of stress at the tip."""
        r = depth / self.width
        membrane = FREE_EDGE - 0.231 * r + 10.55 * r**2 - 21.72 * r**3 + 30.39 * r**4
        bending = FREE_EDGE - 1.39 * r + 7.32 * r**2 - 13.1 * r**3 + 14.0 * r**4
        toe, mk_m, mk_b = _toe(self.toe, depth, self.width)
        per_stress = _per_stress(depth, self.bending_share, membrane * mk_m, bending * mk_b)
        return (EdgeIntensity(depth, r, self.bending_share, membrane, bending, mk_m, mk_b, per_stress, toe),)

    def reference_stress(self, depth: float) -> float | None:
        """Stress over the section that is left, per unit of stress; None for a half plane. [-]"""
        if math.isinf(self.width):
            return None
        return collapse_share(min(depth / self.width, 1.0), self.bending_share, free_to_bend=True)

    def ends(self) -> tuple[End, ...]:
        """What ends the crack or the range of its formulas; see `End`."""
        if math.isinf(self.width):
            return ()
        return ((f"{BEYOND}, by depth", lambda depth: depth / (DEEPEST_EDGE_CRACK * self.width)),)


@dataclass(frozen=True)
class SurfaceCrack:
    """A semi-elliptical crack in the face of a plate, at a weld toe or without a weld.

    Attributes
    ----------
    thickness, width : float
        Of the plate; a width of inf stands for a wide plate. [mm]
    bending_share : float
        Share of bending in the stress at the face, 0 to 1. [-]
    toe : WeldToe or None
        The weld whose toe the crack starts from.

    Limits
    ------
    Not deeper than half as long (a <= c), a < t, c below a quarter of the width; below a / c = 0.2 also
    a / t < 1.25 (a / c + 0.6).
    """

    thickness: float
    width: float
    bending_share: float
    toe: WeldToe | None = None
    sizes = ("depth", "half length")

    def __post_init__(self):
        require_positive(self.thickness, "thickness", unit="mm")
        _require_width(self.width)
        _require_share(self.bending_share)

    def intensities(self, depth: float, half_length: float) -> tuple[SurfaceIntensity, ...]:
        """Stress intensity per unit of stress at the deepest point, then at the surface."""
        return (
            surface_intensity(self, depth, half_length, sine=1.0),
            surface_intensity(self, depth, half_length, sine=0.0),
        )

    def reference_stress(self, depth: float, half_length: float) -> float:
        """Stress over the section around the crack that is left, per unit of stress. [-]"""
        if self.width >= 2.0 * (half_length + self.thickness):
            lost = depth / self.thickness / (1.0 + self.thickness / half_length)
        else:
            lost = 2.0 * depth * half_length / (self.thickness * self.width)
        return collapse_share(min(lost, 1.0), self.bending_share)

    def ends(self) -> tuple[End, ...]:
        """What ends the crack or the range of its formulas; see `End`."""
        t, longest = self.thickness, WIDEST_SURFACE_CRACK * self.width / 2.0
        return (
            ("crack through the plate", lambda depth, half_length: depth / t),
            (f"{BEYOND}, by length", lambda depth, half_length: half_length / longest),
            (f"{BEYOND}, flat crack", lambda depth, half_length: depth / t / (1.25 * (depth / half_length + 0.6))),
            (f"{BEYOND}, round crack", lambda depth, half_length: depth / half_length / ROUNDEST),
        )


def surface_intensity(crack: SurfaceCrack, depth: float, half_length: float, *, sine: float) -> SurfaceIntensity:
    """Stress intensity at a point of a semi-elliptical surface crack, for a unit of stress.

    Parameters
    ----------
    depth, half_length : float
        Of the crack, depth not above half length. [mm]
    sine : float
        Sine of the place on the front: 1 at the deepest point, 0 at the surface. [-]

    Source
    ------
    Newman and Raju (1981); the membrane part was read again in the JCSS Probabilistic Model Code, bending from
    memory. Where a text prints sqrt(c / a) at the surface it contradicts its own angle function; sqrt(a / c) is
    used.
    """
    a, c, t = depth, half_length, crack.thickness
    slim, deep = a / c, a / t
    shape = 1.0 + 1.464 * slim**1.65
    first, second = 1.13 - 0.09 * slim, 0.89 / (0.2 + slim) - 0.54
    third = 0.5 - 1.0 / (0.65 + slim) + 14.0 * (1.0 - slim) ** 24
    front = 1.0 + (0.1 + 0.35 * deep**2) * (1.0 - sine) ** 2
    angle = (slim**2 * (1.0 - sine**2) + sine**2) ** 0.25
    width = _finite_width(c, crack.width, deep)
    membrane = (first + second * deep**2 + third * deep**4) * front * angle * width / math.sqrt(shape)
    exponent = 0.2 + slim + 0.6 * deep
    surface = 1.0 - 0.34 * deep - 0.11 * slim * deep
    deepest = (
        1.0 - (1.22 + 0.12 * slim) * deep + (0.55 - 1.05 * slim**0.75 + 0.47 * slim**1.5) * deep**2
    )
    bending = (surface + (deepest - surface) * sine**exponent) * membrane
    toe, mk_m, mk_b = _toe(crack.toe, depth if sine > 0.0 else None, t)
    per_stress = _per_stress(a, crack.bending_share, membrane * mk_m, bending * mk_b)
    return SurfaceIntensity(
        a, c, t, sine, crack.bending_share, shape, first, second, third, front, angle, width, membrane,
        exponent, surface, deepest, bending, mk_m, mk_b, per_stress, toe,
    )  # fmt: skip


def collapse_share(lost: float, bending_share: float, *, free_to_bend: bool = False) -> float:
    """Reference stress over the stress at the face, for a section of which the crack takes the share `lost`. [-]

    Parameters
    ----------
    free_to_bend : bool
        Whether the plate may bend about the middle of the section that is left, as one with a long crack can.

    Source
    ------
    BS 7910, annex on reference stress (from memory): [P_b + sqrt(P_b^2 + 9 P_m^2 (1 - a)^2)] / (3 (1 - a)^2), with
    3 P_m a added to P_b where the plate is free to bend.
    """
    left = 1.0 - lost
    if left <= 0.0:
        return math.inf
    membrane = 1.0 - bending_share
    bending = bending_share + (3.0 * membrane * lost if free_to_bend else 0.0)
    return (bending + math.hypot(bending, 3.0 * membrane * left)) / (3.0 * left**2)


def _per_stress(depth: float, bending_share: float, membrane: float, bending: float) -> float:
    return ((1.0 - bending_share) * membrane + bending_share * bending) * math.sqrt(math.pi * depth)


def _finite_width(half_length: float, width: float, deep: float) -> float:
    angle = math.pi * half_length / width * math.sqrt(deep)
    if angle >= math.pi / 2.0:
        raise InputError(f"a crack of half length {half_length:g} mm does not fit a plate {width:g} mm wide")
    return math.sqrt(1.0 / math.cos(angle))


def _toe(toe: WeldToe | None, depth: float | None, thickness: float) -> tuple[tuple[ToeFactor, ...], float, float]:
    if toe is None:
        return (), 1.0, 1.0
    found = tuple(toe_factor(toe, load, depth=depth, thickness=thickness) for load in ("membrane", "bending"))
    return found, found[0].factor, found[1].factor


def _require_width(width: float) -> None:
    if width != math.inf:
        require_positive(width, "width", unit="mm")


def _require_share(share: float) -> None:
    if not 0.0 <= require_finite(share, "share of bending") <= 1.0:
        raise InputError(f"share of bending must lie from 0 to 1, got {share:g}")
