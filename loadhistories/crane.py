"""A bridge crane as the rail on one side feels it: its wheels, its weights, the place of its hook, its wheel loads."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from loadhistories.figures import Figure
from loadhistories.validation import InputError, require_finite, require_not_negative, require_positive, where

# Standard acceleration of fall for masses that are given in t or kg. [m/s2]
GRAVITY = 9.81
FATIGUE_CLAUSE = "EN 1991-3:2006, 2.12.1"
STATICS = "lever rule of the bridge on two rails (textbook statics)"

_OWN = Annotated[float, Figure("φ_fat,1", "", "", FATIGUE_CLAUSE, "dynamic factor for fatigue, own weight")]
_HOIST = Annotated[float, Figure("φ_fat,2", "", "", FATIGUE_CLAUSE, "dynamic factor for fatigue, hoist load")]


@dataclass(frozen=True)
class FatigueFactors:
    """Dynamic factors for fatigue from those for the strength of the structure."""

    own_static: Annotated[float, Figure("φ_1", "", title="dynamic factor of the crane's own weight")]
    hoist_static: Annotated[float, Figure("φ_2", "", title="dynamic factor of the hoist load")]
    own: Annotated[float, Figure("φ_fat,1", "", "(1 + φ_1) / 2", FATIGUE_CLAUSE, "for fatigue, own weight")]
    hoist: Annotated[float, Figure("φ_fat,2", "", "(1 + φ_2) / 2", FATIGUE_CLAUSE, "for fatigue, hoist load")]


@dataclass(frozen=True)
class WheelLoads:
    """Wheel loads on the rail looked at, the hook at one place of the bridge."""

    bridge: Annotated[float, Figure("W_B", "N", title="weight of the bridge without crab")]
    bridge_share: Annotated[float, Figure("s_B", "", title="share of it on this rail")]
    crab: Annotated[float, Figure("W_C", "N", title="weight of the crab")]
    hook_load: Annotated[float, Figure("W_H", "N", title="hook load")]
    span: Annotated[float, Figure("L_B", "mm", title="span of the bridge between the rails")]
    distance: Annotated[float, Figure("e", "mm", title="distance of the hook from this rail")]
    lever: Annotated[float, Figure("η", "", "(L_B - e) / L_B", STATICS, "share of crab and hook load on this rail")]
    own_factor: _OWN
    hoist_factor: _HOIST
    total: Annotated[
        float,
        Figure(
            "Q_S", "N", "φ_fat1 * (s_B * W_B + η * W_C) + φ_fat2 * η * W_H", FATIGUE_CLAUSE,
            "load of all wheels on this rail",
        ),
    ]  # fmt: skip
    largest_share: Annotated[float, Figure("r", "", title="share of the wheel that bears most")]
    largest: Annotated[float, Figure("Q_W", "N", "r * Q_S", "", "largest wheel load on this rail")]


@dataclass(frozen=True, eq=False)
class Crane:
    """A bridge crane; made by `crane`, which checks it.

    Attributes
    ----------
    rated_load, bridge, crab : float
        Largest hook load, weight of the bridge without crab, weight of the crab with its hook. [N]
    bridge_share : float
        Share of the bridge's weight on the rail looked at. [-]
    span : float
        Between the rails. [mm]
    approach : tuple of float
        Smallest distance of the hook from this rail and from the other. [mm]
    spacings : tuple of float
        Between neighbouring wheels on this rail; n - 1 of them for n wheels. [mm]
    shares : tuple of float
        Share of each wheel in the load on this rail; they add up to 1. [-]
    own_factor, hoist_factor : float
        Dynamic factors for fatigue on own weight and hoist load. [-]
    lateral_out, lateral_back : tuple of float
        Horizontal force across the rail at each wheel while it travels out and back; empty where not looked at. [N]
    """

    rated_load: float
    bridge: float
    crab: float
    bridge_share: float
    span: float
    approach: tuple[float, float]
    spacings: tuple[float, ...]
    shares: tuple[float, ...]
    own_factor: float
    hoist_factor: float
    lateral_out: tuple[float, ...] = ()
    lateral_back: tuple[float, ...] = ()

    @property
    def wheels(self) -> int:
        """On this rail."""
        return len(self.spacings) + 1

    @property
    def length(self) -> float:
        """From the first to the last wheel on this rail. [mm]"""
        return float(sum(self.spacings))

    @property
    def offsets(self) -> NDArray[np.float64]:
        """Place of each wheel less that of the crane's middle, shape (wheels,). [mm]"""
        return np.concatenate(([0.0], np.cumsum(self.spacings))) - self.length / 2.0

    def wheel_loads(self, hook_load: float, distance: float, *, place: str = "") -> WheelLoads:
        """Wheel loads for a hook load at a distance from this rail.

        Parameters
        ----------
        hook_load : float
            [N]
        distance : float
            Of the hook from the rail looked at. [mm]

        Raises
        ------
        InputError
            A hook load above the rated one, a hook nearer to a rail than the crab can go.
        """
        problems = []
        if not 0.0 <= require_finite(hook_load, "hook load", unit="N", place=place) <= self.rated_load:
            problems.append(
                f"hook load must lie from 0 to the rated load of {_kilonewtons(self.rated_load)}, "
                f"got {_kilonewtons(hook_load)}{where(place)}"
            )
        low, high = self.approach[0], self.span - self.approach[1]
        if not low <= require_finite(distance, "distance of the hook from the rail", unit="mm", place=place) <= high:
            problems.append(
                f"the hook can stand from {low / 1e3:g} m to {high / 1e3:g} m from this rail (approach of the crab), "
                f"got {distance / 1e3:g} m{where(place)}"
            )
        if problems:
            raise InputError(*problems)
        lever = (self.span - distance) / self.span
        own = self.bridge_share * self.bridge + lever * self.crab
        total = self.own_factor * own + self.hoist_factor * lever * hook_load
        largest = max(self.shares)
        return WheelLoads(
            self.bridge, self.bridge_share, self.crab, hook_load, self.span, distance, lever, self.own_factor,
            self.hoist_factor, total, largest, largest * total,
        )  # fmt: skip


def fatigue_factor(static: float) -> float:
    """Dynamic factor for fatigue from the one for strength. [-]

    Source
    ------
    EN 1991-3:2006, 2.12.1, as a published article on the fatigue of a crane runway beam quotes it.
    """
    return (1.0 + static) / 2.0


def fatigue_factors(own: float, hoist: float, *, place: str = "") -> FatigueFactors:
    """Dynamic factors for fatigue, from phi_1 of the own weight and phi_2 of the hoist load; see `fatigue_factor`.

    Examples
    --------
    >>> fatigue_factors(1.1, 1.134).hoist
    1.067
    """
    first, second = require_positive(own, "phi_1", place=place), require_positive(hoist, "phi_2", place=place)
    return FatigueFactors(first, second, fatigue_factor(first), fatigue_factor(second))


def crane(
    *,
    rated_load: float,
    bridge: float,
    crab: float,
    span: float,
    approach: Sequence[float],
    spacings: Sequence[float],
    own_factor: float,
    hoist_factor: float,
    bridge_share: float = 0.5,
    shares: Sequence[float] | None = None,
    lateral_out: Sequence[float] = (),
    lateral_back: Sequence[float] = (),
    place: str = "",
) -> Crane:
    """A crane whose data were checked; see `Crane`. Without `shares` each wheel bears the same.

    Raises
    ------
    InputError
        With every datum that cannot be used.
    """
    wheels = len(spacings) + 1
    shares = [1.0 / wheels] * wheels if shares is None else list(shares)
    problems: list[str] = []
    keep = _Keeper(problems, place)
    keep(require_positive, rated_load, "rated_load", unit="N")
    keep(require_not_negative, bridge, "bridge", unit="N")
    keep(require_not_negative, crab, "crab", unit="N")
    keep(require_positive, span, "span of the bridge", unit="mm")
    keep(require_positive, own_factor, "dynamic factor of the own weight")
    keep(require_positive, hoist_factor, "dynamic factor of the hoist load")
    for number, spacing in enumerate(spacings, start=1):
        keep(require_positive, spacing, f"wheel spacing {number}", unit="mm")
    for value, rail in zip(approach, ("this", "the other"), strict=False):
        keep(require_not_negative, value, f"approach to {rail} rail", unit="mm")
    keep(_require_approach, approach, span)
    keep(_require_share, bridge_share)
    keep(_require_shares, shares, wheels)
    for forces, name in ((lateral_out, "out"), (lateral_back, "back")):
        keep(_require_for_each_wheel, forces, wheels, name)
    if problems:
        raise InputError(*problems)
    return Crane(
        rated_load, bridge, crab, bridge_share, span, (approach[0], approach[1]), tuple(spacings), tuple(shares),
        own_factor, hoist_factor, tuple(lateral_out), tuple(lateral_back),
    )  # fmt: skip


class _Keeper:
    """Runs a check and keeps what it refuses."""

    def __init__(self, problems: list[str], place: str):
        self._problems, self._place = problems, place

    def __call__(self, check, *given, **named) -> None:
        try:
            check(*given, **named, place=self._place)
        except InputError as refusal:
            self._problems.extend(refusal.problems)


def _require_approach(approach: Sequence[float], span: float, *, place: str) -> None:
    if len(approach) != 2:
        rails = "to this rail and to the other"
        raise InputError(f"approach must be two distances, {rails}, got {len(approach)}{where(place)}")
    if sum(approach) > span:
        raise InputError(
            f"approaches of {approach[0] / 1e3:g} m and {approach[1] / 1e3:g} m leave the hook no way on a bridge of "
            f"{span / 1e3:g} m{where(place)}"
        )


def _require_share(share: float, *, place: str) -> None:
    if not 0.0 <= require_finite(share, "bridge_share", place=place) <= 1.0:
        raise InputError(f"bridge_share must lie from 0 to 1, got {share:g}{where(place)}")


def _require_shares(shares: Sequence[float], wheels: int, *, place: str) -> None:
    if len(shares) != wheels:
        raise InputError(
            f"wheel_shares must be one for each of the {wheels} wheels that the spacings make, got {len(shares)}"
            f"{where(place)}"
        )
    for number, share in enumerate(shares, start=1):
        require_not_negative(share, f"share of wheel {number}", place=place)
    if abs(sum(shares) - 1.0) > 1e-6:
        raise InputError(f"wheel_shares must add up to 1, got {sum(shares):g}{where(place)}")


def _require_for_each_wheel(forces: Sequence[float], wheels: int, name: str, *, place: str) -> None:
    if len(forces) not in (0, wheels):
        wanted = f"one force for each of {wheels} wheels"
        raise InputError(f"lateral {name} must be {wanted}, got {len(forces)}{where(place)}")
    for force in forces:
        require_finite(force, f"lateral {name}", unit="N", place=place)


def _kilonewtons(force: float) -> str:
    return f"{force / 1e3:g} kN"
