"""LoadBlock: one kind of working as the joint feels it, six components at every instant, and its repeats.

Axes: x and y lie in the faying plane, z is its outward normal; +Fz pulls the plates apart. Forces in N,
moments in N mm, both at the joint's origin.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from loadhistories.counted import CountedCycles
from loadhistories.history import LoadHistory
from loadhistories.record import Record
from loadhistories.units import BASE_UNITS, base_unit_of, dimension_of, measure, unit_scale
from loadhistories.validation import InputError, require_finite, require_one_of, require_positive, where

COMPONENTS = ("Fx", "Fy", "Fz", "Mx", "My", "Mz")


@dataclass(frozen=True)
class Term:
    """One channel's share in a component: channel times factor.

    Attributes
    ----------
    column : str
        Name of the channel.
    factor : float or str
        A number, or a quantity that turns the channel's unit into the component's: a lever such as "0.32 m"
        makes a moment of a force. Its sign turns the direction.
    unit : str
        Of the channel, where its record states none.
    """

    column: str
    factor: float | str = 1.0
    unit: str = ""


@dataclass(frozen=True)
class LoadBlock:
    """A load history in joint components.

    Attributes
    ----------
    name : str
        As the user calls this kind of working.
    samples : int
        Number of instants.
    step : float
        Time between instants. [s]
    repeats : float
        How often the history occurs within the design life. [-]
    chunks : callable
        `chunks()` walks the history from its start and yields arrays of shape (6, m), float64, in the order
        of COMPONENTS; it can be called again. A chunk is not to be changed.
    stored : int
        Size of the file it is read from, 0 if it is held in memory. [bytes]
    counted : CountedLoad or None
        The cycles of a load that was counted elsewhere; its instants are then the ends of these cycles, of which
        neither order nor time is known.
    """

    name: str
    samples: int
    step: float
    repeats: float
    chunks: Callable[[], Iterator[NDArray[np.float64]]]
    stored: int = 0
    counted: "CountedLoad | None" = None

    @property
    def timed(self) -> bool:
        """Whether order and time of its instants mean anything."""
        return self.counted is None

    @property
    def span(self) -> float:
        """Time that the history stands for: each sample for one step. [s]"""
        return self.samples * self.step

    def scaled(self, factor: float) -> "LoadBlock":
        """The block with every value multiplied."""

        def chunks() -> Iterator[NDArray[np.float64]]:
            for chunk in self.chunks():
                yield factor * chunk

        counted = None if self.counted is None else self.counted.scaled(factor)
        return self if factor == 1.0 else replace(self, chunks=chunks, counted=counted)


@dataclass(frozen=True, eq=False)
class CountedLoad:
    """Counted cycles of one channel, and what a unit of it makes of each component, shape (6,). [N, N mm]"""

    cycles: CountedCycles
    components: NDArray[np.float64]

    def scaled(self, factor: float) -> "CountedLoad":
        """With every component multiplied."""
        return replace(self, components=factor * self.components)

    def along(self, row: NDArray[np.float64]) -> CountedCycles:
        """The cycles of what is `row @ components`, such as a stress."""
        return self.cycles.scaled(float(np.asarray(row) @ self.components))


def block_of_cycles(
    name: str, cycles: CountedCycles, history: LoadHistory, mapping: Mapping[str, Sequence["Term"]], *,
    repeats: float, place: str = "",
) -> LoadBlock:  # fmt: skip
    """A block of counted cycles; `history` is that of their ends, as `CountedCycles.history` gives it.

    Raises
    ------
    InputError
        As `block_of_history`.
    """
    block = block_of_history(name, history, mapping, repeats=repeats, place=place)
    unit = LoadHistory(history.names, history.units, np.ones((1, 3)), 1.0, None, (), history.stated_units)
    (ones,) = block_of_history(name, unit, mapping, repeats=repeats, place=place).chunks()
    return replace(block, counted=CountedLoad(cycles, ones[:, 0]))


def block_of_arrays(
    name: str, components: dict[str, NDArray[np.float64]], *, step: float, repeats: float, chunk: int = 65_536
) -> LoadBlock:
    """A block held in memory; a component that is not named is zero.

    Parameters
    ----------
    components : dict of str to array, shape (n,)
        Any of COMPONENTS, in N and N mm, all of one length.
    """
    (length,) = {np.size(values) for values in components.values()}
    table = np.zeros((len(COMPONENTS), length))
    for key, values in components.items():
        table[COMPONENTS.index(key)] = values

    def chunks() -> Iterator[NDArray[np.float64]]:
        for start in range(0, length, chunk):
            yield table[:, start : start + chunk]

    return LoadBlock(name, length, step, repeats, chunks)


def block_of_history(
    name: str, record: Record | LoadHistory, mapping: Mapping[str, Sequence[Term]], *, repeats: float, place: str = ""
) -> LoadBlock:
    """A block whose components are sums of a record's channels; a component that is not named is zero.

    Parameters
    ----------
    record : Record or LoadHistory
        A Record is walked anew by every `chunks()` and never held whole.
    mapping : dict of str to sequence of Term
        Any of COMPONENTS.
    repeats : float
        How often the record occurs within the design life. [-]
    place : str
        Where the mapping stands, for the refusal.

    Raises
    ------
    InputError
        Every term that cannot be judged: an unknown column or component, a column without unit or with two, a
        factor that does not turn the column's unit into the component's.
    """
    require_positive(repeats, "repeats", place=place)
    problems, terms = [], []
    for component, shares in mapping.items():
        for term in shares:
            try:
                require_one_of(component, COMPONENTS, "component", place=place)
                terms.append((COMPONENTS.index(component), term.column, _factor(term, component, record, place)))
            except InputError as refusal:
                problems += refusal.problems
    if problems:
        raise InputError(*problems)
    if not terms:
        raise InputError(f"no component is named; known: {', '.join(COMPONENTS)}{where(place)}")
    columns = tuple(dict.fromkeys(column for _, column, _ in terms))
    wanted = [(row, columns.index(column), factor) for row, column, factor in terms]

    def chunks() -> Iterator[NDArray[np.float64]]:
        for _, values in record.chunks(columns):
            table = np.zeros((len(COMPONENTS), values.shape[1]))
            filled = set()
            for row, column, factor in wanted:
                if row in filled:
                    table[row] += factor * values[column]
                else:
                    np.multiply(values[column], factor, out=table[row])
                    filled.add(row)
            yield table

    stored = record.stamp[0] if isinstance(record, Record) else 0
    return LoadBlock(name, record.samples, record.step, repeats, chunks, stored)


def _factor(term: Term, component: str, record: Record | LoadHistory, place: str) -> float:
    """What a channel's stored values are multiplied with to stand in N or N mm."""
    wanted = "N" if component[0] == "F" else "N mm"
    require_one_of(term.column, record.names, "column", place=place)
    base, scale = _unit_of(term, component, record, place)
    if isinstance(term.factor, str):
        factor, turns = measure(term.factor, f"factor of column {term.column!r}", place)
    else:
        factor, turns = require_finite(term.factor, f"factor of column {term.column!r}", place=place), dimension_of("")
    reached = tuple(a + b for a, b in zip(dimension_of(base), turns, strict=True))
    if reached != dimension_of(wanted):
        raise InputError(_misfit(term, component, base, wanted) + where(place))
    if factor == 0.0:
        raise InputError(f"factor of column {term.column!r} must not be 0: leave {component} out instead{where(place)}")
    return factor * scale


def _misfit(term: Term, component: str, base: str, wanted: str) -> str:
    kind, needed = BASE_UNITS[base][0], BASE_UNITS[wanted][0]
    given = f" with the factor {term.factor!r}" if isinstance(term.factor, str) else ""
    remedy = {
        ("N", "N mm"): 'give a lever, such as factor = "0.32 m"',
        ("", "N"): 'give the force for a strain of 1, such as factor = "250 MN", or of a gauge strain = { E = …, '
        'gauge_factor = …, set_to = … } and the area as factor',
        ("", "N mm"): 'of a gauge give strain = { E = …, gauge_factor = …, set_to = … } and the section modulus as '
        'factor',
    }.get((base, wanted), f"give a column in {'kN' if wanted == 'N' else 'kNm'}") if not given else "mend the factor"
    return f"column {term.column!r} is {kind}{given} and {component} is {needed}: {remedy}"


def _unit_of(term: Term, component: str, record: Record | LoadHistory, place: str) -> tuple[str, float]:
    """Base unit of a channel, and the factor from its stored values to it."""
    index = record.names.index(term.column)
    stored, stated = record.units[index], record.stated_units[index]
    what = f"unit of column {term.column!r}"
    if not term.unit:
        if stored is None:
            raise InputError(f'column {term.column!r} states no unit: add unit = "kN" to {component}{where(place)}')
        return (stored, 1.0) if stored in BASE_UNITS else (base_unit_of(stored, what, place), 1.0)
    base = base_unit_of(term.unit, what, place)
    scale = unit_scale(term.unit, base)
    if stored is None or (stored not in BASE_UNITS and stored.casefold() == term.unit.casefold()):
        return base, scale
    if stored in BASE_UNITS and stored == base and unit_scale(stated, base) == scale:
        return base, 1.0
    raise InputError(f"column {term.column!r} is in {stated!r} by its record, but {term.unit!r} is given{where(place)}")
