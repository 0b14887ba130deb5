"""The table of `griplife count`: cycles of one channel as text and as CSV."""

import io

import numpy as np
from numpy.typing import NDArray

from fatigue.cycles import CycleCount
from loadhistories.history import LoadHistory
from loadhistories.record import Record
from loadhistories.validation import InputError, require_one_of

MOST_ROWS = 40
_PRINTED = {"N": ("kN", 1e-3), "N mm": ("kN m", 1e-6)}


def one_channel(history: LoadHistory | Record, name: str | None) -> str:
    """The channel asked for, or the only one.

    Raises
    ------
    InputError
        No such channel, or several and none asked for.
    """
    if name is None and len(history.names) > 1:
        known = ", ".join(history.names)
        raise InputError(f"the record has {len(history.names)} channels; name one by --channel: {known}")
    return require_one_of(history.names[0] if name is None else name, history.names, "channel")


def cycle_table(history: LoadHistory | Record, name: str, counted: CycleCount, *, bins: int | None = None) -> str:
    """Range, mean and count of the cycles, the largest range first; at most MOST_ROWS rows unless binned.

    Parameters
    ----------
    bins : int or None
        Number of ranges of equal width, from 0 to the largest, into which the cycles are summed.
    """
    unit, scale = _printed_unit(history, name)
    lines = [
        f"{name}: {history.samples} samples, {history.step:g} s apart",
        f"rainflow to ASTM E1049-85: {_number(counted.counts.sum())} cycles",
        f"in them {max(len(counted.residue) - 1, 0)} half cycles of the residue, which does not close",
        "",
    ]
    if not len(counted.ranges):
        return "\n".join([*lines, "no cycle: the channel does not change"]) + "\n"
    unit_text = f" [{unit}]" if unit else ""
    if bins:
        lines.append(f"{'from range' + unit_text:>20} {'to range' + unit_text:>20} {'count':>14}")
        lines += [
            f"{low * scale:20.6g} {high * scale:20.6g} {_number(count):>14}"
            for low, high, count in _binned(counted, bins)
        ]
        return "\n".join(lines) + "\n"
    rows = _distinct(counted)
    lines.append(f"{'range' + unit_text:>20} {'mean' + unit_text:>20} {'count':>14}")
    lines += [f"{a * scale:20.6g} {b * scale:20.6g} {_number(count):>14}" for a, b, count in rows[:MOST_ROWS]]
    if len(rows) > MOST_ROWS:
        rest = rows[MOST_ROWS:]
        lines.append(
            f"and {_number(rest[:, 2].sum())} cycles of smaller ranges; --bins sums them up, --csv lists every one"
        )
    return "\n".join(lines) + "\n"


def cycles_csv(history: LoadHistory | Record, name: str, counted: CycleCount) -> str:
    """Every distinct cycle as CSV in full precision; the header carries the unit."""
    unit = _unit(history, name)
    tail = f"_{unit.replace(' ', '')}" if unit else ""
    text = io.StringIO()
    text.write(f"range{tail},mean{tail},count\n")
    for a, b, count in _distinct(counted):
        text.write(f"{float(a)!r},{float(b)!r},{float(count)!r}\n")
    return text.getvalue()


def _distinct(counted: CycleCount) -> NDArray[np.float64]:
    """Rows of range, mean and count; equal cycles joined, the largest range first."""
    pairs = np.stack([counted.ranges, counted.means], axis=1)
    rows, place = np.unique(pairs, axis=0, return_inverse=True)
    counts = np.bincount(place.ravel(), weights=counted.counts, minlength=len(rows))
    return np.column_stack([rows, counts])[::-1]


def _binned(counted: CycleCount, bins: int) -> list[tuple[float, float, float]]:
    counts, edges = np.histogram(
        counted.ranges, bins=bins, range=(0.0, float(counted.ranges.max())), weights=counted.counts
    )
    return list(zip(edges[-2::-1], edges[:0:-1], counts[::-1], strict=True))


def _unit(history: LoadHistory | Record, name: str) -> str:
    return history.units[history.names.index(name)] or ""


def _printed_unit(history: LoadHistory | Record, name: str) -> tuple[str, float]:
    unit = _unit(history, name)
    return _PRINTED.get(unit, (unit, 1.0))


def _number(count: float) -> str:
    return f"{count:.1f}".removesuffix(".0")
