"""Working cycles of a crane on a girder as load histories: every passage, with its peaks where they exactly are.

One working cycle takes up a load at one place, travels with it, sets it down, and travels back; both ways stand in
one history, so that the ranges from the loaded to the empty way are in it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loadhistories.crane import Crane, WheelLoads
from loadhistories.cubics import SAME, Cubic, under_wheels
from loadhistories.girder import Girder
from loadhistories.history import LoadHistory
from loadhistories.validation import InputError, require_one_of, require_positive, where

RETURNS = ("empty", "loaded")
# Even instants of one way; those of the peaks come on top.
INSTANTS = 200
MADE = (
    "instants stand at every peak; taking up and setting down the load last one instant each, and the crab moves "
    "while the crane stands"
)


@dataclass(frozen=True)
class Handling:
    """What one crane does in a working cycle.

    Attributes
    ----------
    hook_load : float
        [N]
    out, back : float
        Distance of the hook from the rail looked at on the way out and on the way back. [mm]
    """

    hook_load: float
    out: float
    back: float


@dataclass(frozen=True)
class Partner:
    """A second crane that travels beside the first, as near as it can.

    Attributes
    ----------
    gap : float
        Smallest distance between the neighbouring wheels of both. [mm]
    beyond : bool
        Whether it stands on the side of the higher places.
    """

    crane: Crane
    handling: Handling
    gap: float
    beyond: bool


@dataclass(frozen=True, eq=False)
class Places:
    """Where on a girder the crane is felt.

    Attributes
    ----------
    runway : tuple of float
        From where to where the wheels can go, measured from the girder's first support. [mm]
    section : float or None
        Gives bending moment, shear and wheel load. [mm]
    support : int or None
        Number of a support; gives reaction and rotation.
    wheel_width : float
        Over which the load of one wheel is felt at the section. [mm]
    """

    girder: Girder
    runway: tuple[float, float]
    section: float | None
    support: int | None
    wheel_width: float

    @property
    def place(self) -> float:
        """Where passages are counted: the section, else the support. [mm]"""
        return self.section if self.section is not None else float(self.girder.supports[self.support - 1])

    @property
    def title(self) -> str:
        """In words."""
        if self.section is not None:
            return f"the section at {self.section / 1e3:g} m"
        return f"support {self.support}"

    def lines(self) -> dict[str, tuple[str, Cubic]]:
        """Influence lines by the name of their channel, each with the unit of the channel."""
        found: dict[str, tuple[str, Cubic]] = {}
        girder, section, support = self.girder, self.section, self.support
        if section is not None:
            found["Moment"] = ("N mm", girder.moment(section))
            found["Shear"] = ("N", girder.shear(section))
            found["Wheel load"] = ("N", girder.under_wheel(section, self.wheel_width))
        if support is not None:
            found["Reaction"] = ("N", girder.reaction(support))
        if support is not None and girder.stiffness is not None:
            ends = girder.system == "continuous" or support in (1, len(girder.spans) + 1)
            for side in ("",) if ends else ("left", "right"):
                found[f"Rotation {side}".strip()] = ("rad", girder.rotation(support, side))
        return found


@dataclass(frozen=True, eq=False)
class WorkingCycle:
    """One working cycle on the girder: its history, and what it is made of.

    Attributes
    ----------
    places : array, shape (n,)
        Of the crane's middle at every instant. [mm]
    loaded, empty : WheelLoads
        Of the (first) crane on the way out and on the way back.
    time : float
        Of travel. [s]
    """

    history: LoadHistory
    places: NDArray[np.float64]
    loaded: WheelLoads
    empty: WheelLoads
    time: float
    wheels_out: int
    wheels_back: int
    passages_out: int
    passages_back: int


@dataclass(frozen=True, eq=False)
class _Train:
    """Wheels with their forces down and across."""

    offsets: NDArray[np.float64]
    down: NDArray[np.float64]
    across: NDArray[np.float64]


def working_cycle(
    crane: Crane,
    handling: Handling,
    places: Places,
    *,
    start: float,
    end: float,
    speed: float,
    returns: str = "empty",
    partner: Partner | None = None,
    place: str = "",
) -> WorkingCycle:
    """The history of one working cycle at the places that are looked at.

    Parameters
    ----------
    start, end : float
        Place of the crane's middle where the load is taken up and set down, from the girder's first support. [mm]
    speed : float
        Of travel; it sets the time base and nothing else. [mm/s]
    returns : str
        "empty", or "loaded" where it takes a load of the same size back.
    partner : Partner, optional
        A second crane that does the same beside it.

    Raises
    ------
    InputError
        A wheel beyond the end of the runway, a hook load or a place of the crab that the crane does not allow.
    """
    require_positive(speed, "travel speed", unit="mm/s", place=place)
    require_one_of(returns, RETURNS, "returns", place=place)
    pairs = [(crane, handling, 0.0)]
    if partner is not None:
        shift = crane.length / 2.0 + partner.gap + partner.crane.length / 2.0
        pairs.append((partner.crane, partner.handling, shift if partner.beyond else -shift))
    _require_possible(pairs, places.runway, start, end, place)
    steps = _steps(pairs, start, end, returns)
    channels = _channels(places, steps)
    distance = abs(end - start)
    step = distance / speed / INSTANTS if distance else 1.0
    walked = [_walked(channels, *one) for one in steps]
    values = _steady(np.concatenate([part for _, part in walked], axis=1))
    names, units = tuple(item.name for item in channels), tuple(item.unit for item in channels)
    history = LoadHistory(names, units, values, step, remarks=(MADE,))
    rolled = _rolled(steps[0][0].offsets, places.place, start, end)
    return WorkingCycle(
        history,
        np.concatenate([part for part, _ in walked]),
        crane.wheel_loads(handling.hook_load, handling.out),
        crane.wheel_loads(handling.hook_load if returns == "loaded" else 0.0, handling.back),
        2.0 * distance / speed, rolled, rolled, min(rolled, 1), min(rolled, 1),
    )  # fmt: skip


def _require_possible(pairs, runway: tuple[float, float], start: float, end: float, place: str) -> None:
    problems: list[str] = []
    for number, (crane, handling, shift) in enumerate(pairs):
        whose = "the second crane" if number else "the crane"
        for load, distance in dict.fromkeys(((handling.hook_load, handling.out), (0.0, handling.back))):
            try:
                crane.wheel_loads(load, distance, place=place)
            except InputError as refusal:
                problems += refusal.problems
        for name, middle in (("from", start), ("to", end)):
            wheels = middle + shift + crane.offsets
            for wheel, at in enumerate(wheels, start=1):
                if not runway[0] - SAME <= at <= runway[1] + SAME:
                    limit = runway[0] if at < runway[0] else runway[1]
                    problems.append(
                        f"with '{name}' {middle / 1e3:g} m, wheel {wheel} of {whose} would stand at {at / 1e3:g} m, "
                        f"beyond the end of the runway at {limit / 1e3:g} m: change '{name}', or state the runway if "
                        f"its rail goes on{where(place)}"
                    )
    if problems:
        raise InputError(*dict.fromkeys(problems))


def _steps(pairs, start: float, end: float, returns: str) -> list[tuple[_Train, float, float]]:
    """The working cycle as moves of the wheels with their loads, from place to place; standing is a move by nothing."""
    carried = 1.0 if returns == "loaded" else 0.0
    empty_out, empty_back = _train(pairs, 0.0, "out"), _train(pairs, 0.0, "back")
    loaded_out, homeward = _train(pairs, 1.0, "out"), _train(pairs, carried, "back")
    return [
        (empty_back, start, start),
        (empty_out, start, start),
        (loaded_out, start, start),
        (_train(pairs, 1.0, "out", moving=True), start, end),
        (loaded_out, end, end),
        (empty_out, end, end),
        (empty_back, end, end),
        (homeward, end, end),
        (_train(pairs, carried, "back", moving=True), end, start),
        (homeward, start, start),
    ]


def _train(pairs, hook_share: float, way: str, *, moving: bool = False) -> _Train:
    offsets, down, across = [], [], []
    for crane, handling, shift in pairs:
        distance = handling.out if way == "out" else handling.back
        total = crane.wheel_loads(hook_share * handling.hook_load, distance).total
        offsets.append(crane.offsets + shift)
        down.append(np.array(crane.shares) * total)
        lateral = crane.lateral_out if way == "out" else crane.lateral_back
        across.append(np.array(lateral) if lateral and moving else np.zeros(crane.wheels))
    return _Train(np.concatenate(offsets), np.concatenate(down), np.concatenate(across))


@dataclass(frozen=True, eq=False)
class _Channel:
    """One channel: its influence line, and whether the forces down or across make it."""

    name: str
    unit: str
    line: Cubic
    across: bool


def _channels(places: Places, steps: list[tuple[_Train, float, float]]) -> list[_Channel]:
    lines = places.lines()
    found = [_Channel(name, unit, line, False) for name, (unit, line) in lines.items()]
    if any(train.across.any() for train, _, _ in steps):
        found += [
            _Channel(f"Lateral {name.lower()}", *lines[name], True)
            for name in ("Moment", "Shear", "Reaction")
            if name in lines
        ]
    return found


def _walked(
    channels: list[_Channel], train: _Train, start: float, end: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Places of the crane's middle and values of the channels there, shapes (n,) and (channels, n)."""
    moved = [under_wheels(item.line, train.offsets, train.across if item.across else train.down) for item in channels]
    low, high = min(start, end), max(start, end)
    peaks = np.concatenate([part for line in moved for part in (line.breaks, line.turning_places())])
    peaks = np.unique(np.concatenate((peaks[(peaks > low - SAME) & (peaks < high + SAME)], [low, high])))
    places = np.sort(np.concatenate((peaks, _even(peaks, low, high))))
    before = np.array([line.before(places) for line in moved])
    after = np.array([line.after(places) for line in moved])
    jumps = np.any(np.abs(after - before) > 1e-12 * np.abs(before).max(axis=1, keepdims=True), axis=0)
    order = np.repeat(np.arange(len(places)), np.where(jumps, 2, 1))
    second = np.concatenate(([False], order[1:] == order[:-1]))
    values = np.where(second, after[:, order], before[:, order])
    at = places[order]
    return (at, values) if start <= end else (at[::-1], values[:, ::-1])


def _steady(values: NDArray[np.float64]) -> NDArray[np.float64]:
    """The channels without what rounding makes of a constant value: no cycle of that size is counted."""
    largest = np.abs(values).max(axis=1, keepdims=True)
    changed = np.abs(np.diff(values, axis=1, prepend=np.inf)) > 1e-12 * largest
    last = np.maximum.accumulate(np.where(changed, np.arange(values.shape[1]), 0), axis=1)
    return np.take_along_axis(values, last, axis=1)


def _even(peaks: NDArray[np.float64], low: float, high: float) -> NDArray[np.float64]:
    """Evenly spaced places between, without those that a peak stands near to."""
    if high <= low:
        return np.zeros(0)
    grid = np.linspace(low, high, INSTANTS + 1)[1:-1]
    right = np.searchsorted(peaks, grid)
    near = np.minimum(grid - peaks[right - 1], peaks[right] - grid)
    return grid[near > (high - low) / INSTANTS / 2.0]


def _rolled(offsets: NDArray[np.float64], place: float, start: float, end: float) -> int:
    """How many wheels roll over a place on a way; one that stops on it does not."""
    low, high = offsets + min(start, end), offsets + max(start, end)
    return int(((low < place - SAME) & (high > place + SAME)).sum())
