"""The table [load.machine]: a machine's data sheet becomes histories of running and of starting and stopping."""

import math
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from cli.job_exciters import EXCITERS, Exciters, read_exciters
from cli.keys import Keys
from cli.made_loads import Made, MadeLoad
from loadhistories.datasheet import turns, turns_or_rest
from loadhistories.exciters import DIRECTIONS
from loadhistories.machine import (
    CHANNELS,
    TORQUE,
    Machine,
    beats,
    crossed,
    passages,
    ramp,
    running_history,
    start_stop_history,
)
from loadhistories.occurrence import TimeInLife, TimePerPeriod, repeats
from loadhistories.speedlaw import SpeedLaw, speed_table
from loadhistories.support import NEAR, NEAREST_UNDAMPED, Support, support, support_response

RUNNING, STARTS = "running", "start and stop"
_SUPPORT_LIKE = '{ frequency = "4 Hz", damping = "3 %" }'
_TABLE_LIKE = '[["0 s", "0 rpm"], ["4 s", "970 rpm"]]'


@dataclass
class _Sheet:
    """What a table [load.machine] says, while it is read."""

    turns: Fraction | None
    runs: str | None
    starts: str | None
    supports: tuple[Support | None, Support | None]
    exciters: Exciters
    start: SpeedLaw | None
    stop: SpeedLaw | None
    loads: dict[str, dict[str, float]]
    length: float | None
    assumptions: list[str] = field(default_factory=list)


def made_by_machine(table: Keys, load: Keys, folder: Path, design_life: float | None) -> list[MadeLoad] | None:
    """The histories of one table: running, where anything changes then, and start and stop.

    Examples
    --------
    In a job file:

    [load.machine]
    speed = "970 rpm"
    runs = "16 h/day"
    starts = "4/day"
    start_time = "5 s"
    stop_time = "20 s"
    support = { frequency = "4 Hz", damping = "3 %" }
    unbalance = { mass = "40 kg", eccentricity = "25 mm" }
    """
    before = len(table.problems)
    if "occurs" in load:
        load.raw("occurs")
        load.note("occurs goes with a record; a machine states runs and starts in its own table", "occurs")
    sheet = _read(table)
    table.done()
    _require_whole(table, sheet)
    if len(table.problems) > before or design_life is None:
        return None
    machine = Machine(
        sheet.supports, sheet.exciters.harmonics, sheet.exciters.strokes, sheet.start, sheet.stop, **sheet.loads
    )
    _require_off_resonance(table, machine)
    return _histories(table, sheet, machine, design_life) if len(table.problems) == before else None


def _read(table: Keys) -> _Sheet:
    speed = _turns(table, "speed") if "speed" in table else table.raw("speed", None)
    runs, starts = table.text("runs", like='"16 h/day"'), table.text("starts", like='"4/day"')
    supports = _supports(table)
    assumptions: list[str] = []
    exciters = read_exciters(table, speed, assumptions)
    start, stop = _law(table, "start", speed, rising=True), _law(table, "stop", speed, rising=False)
    loads = {key: _constant(table, key) for key in ("running", "starting", "stopping")}
    length = table.quantity("length", "s", None, above=0.0)
    return _Sheet(speed, runs, starts, supports, exciters, start, stop, loads, length, assumptions)


def _turns(keys: Keys, key: str) -> Fraction | None:
    return keys.attempt(turns, keys.raw(key, like='"1480 rpm"'), key, keys.at(key)) if key in keys else None


def _supports(table: Keys) -> tuple[Support | None, Support | None]:
    """Support in each of DIRECTIONS; None is rigid, which the file has to say."""
    given = table.raw("support", like=f'{_SUPPORT_LIKE}, or "rigid"')
    if given is None or given == "rigid":
        return None, None
    if isinstance(given, str):
        table.note(f'support must be a table such as {_SUPPORT_LIKE}, or "rigid", got {given!r}', "support")
        return None, None
    inner = table.table_of("support", like=_SUPPORT_LIKE)
    if inner is None:
        return None, None
    if not any(name in inner for name in DIRECTIONS):
        both = _support(inner)
        return both, both
    found = []
    for name in DIRECTIONS:
        if inner.raw(name, like=f'{_SUPPORT_LIKE}, or "rigid"') in (None, "rigid"):
            found.append(None)
            continue
        one = inner.table_of(name, like=_SUPPORT_LIKE)
        found.append(None if one is None else _support(one))
    inner.done()
    return found[0], found[1]


def _support(keys: Keys) -> Support | None:
    frequency = keys.quantity("frequency", "1/s", above=0.0)
    damping = keys.raw("damping", like='"3 %"')
    if isinstance(damping, str):
        damping = keys.quantity("damping", "", least=0.0)
    elif damping is not None:
        damping = keys.number("damping", least=0.0)
    keys.done()
    if frequency is None or damping is None:
        return None
    return keys.attempt(support, frequency, damping, place=keys.place)


def _law(table: Keys, which: str, speed: Fraction | None, *, rising: bool) -> SpeedLaw | None:
    """Start or stop: `start_time` for an even change, or a table of times and speeds under `start`."""
    time = table.quantity(f"{which}_time", "s", None, above=0.0)
    rows = table.raw(which, None)
    if rows is None:
        return None if time is None else ramp(time, rising=rising, place=table.at(f"{which}_time"))
    if f"{which}_time" in table:
        table.note(f"{which} and {which}_time are both given; give one of them", which)
    if not isinstance(rows, list) or not all(isinstance(row, list) and len(row) == 2 for row in rows):
        table.note(f"{which} must be a table of times and speeds, as in {which} = {_TABLE_LIKE}", which)
        return None
    from loadhistories.units import quantity

    place, read = table.at(which), []
    for instant, value in rows:
        read.append((
            table.attempt(quantity, instant, "s", "time", place), table.attempt(turns_or_rest, value, "speed", place)
        ))  # fmt: skip
    if speed is None or any(None in row for row in read):
        return None
    points = [(instant, float(value)) for instant, value in read]
    return table.attempt(speed_table, points, float(speed), rising=rising, place=place)


def _constant(table: Keys, key: str) -> dict[str, float]:
    inner = table.table_of(key, like='{ Torque = "2 kN m" }')
    if inner is None:
        return {}
    units = {name: "N mm" if name == TORQUE else "N" for name in CHANNELS}
    found = {name: inner.quantity(name, unit, None) for name, unit in units.items()}
    inner.done()
    return {name: value for name, value in found.items() if value is not None}


def _require_whole(table: Keys, sheet: _Sheet) -> None:
    """Refuse a sheet in which something acts of which the file does not say enough."""
    exciters, loads = sheet.exciters, [value for each in sheet.loads.values() for value in each.values()]
    if not exciters.given and not loads:
        table.note(f"nothing acts on the machine: give {', '.join(EXCITERS)}, or a load under running")
    turning = exciters.turning or any(loads)
    if turning and "speed" not in table:
        table.note('speed is missing; give it as in speed = "1480 rpm"', "speed")
    for which in ("start", "stop"):
        if turning and which not in table and f"{which}_time" not in table:
            met = _met(sheet)
            table.note(f'{which}_time is missing; give it as in {which}_time = "6 s"{met}', f"{which}_time")
        if exciters.given and not turning and (which in table or f"{which}_time" in table):
            key = which if which in table else f"{which}_time"
            table.note(f"{key} goes with something that turns; strokes begin and end at their full rate", key)


def _met(sheet: _Sheet) -> str:
    """The resonance that makes the time of a start or stop matter, or ""."""
    for name, frequency, item in crossed(Machine(sheet.supports, sheet.exciters.harmonics)):
        return (
            f": on its way it passes the natural frequency of {frequency:g} Hz ({name.lower()}), below the "
            f"{item.frequency:.4g} Hz of its force, and the peak there depends on it"
        )
    return ""


def _require_off_resonance(table: Keys, machine: Machine) -> None:
    for name, on, item in _pairs(machine):
        if on.damping == 0.0 and abs(item.frequency / on.frequency - 1.0) < NEAREST_UNDAMPED:
            table.note(
                f"{item.title} of {item.frequency:.4g} Hz runs at the natural frequency of {on.frequency:g} Hz "
                f"({name.lower()}) without damping: the force on the support has no bound; give a damping ratio "
                "above 0",
                "support",
            )


def _pairs(machine: Machine):
    """Direction, support and harmonic, wherever a harmonic meets a support that is not rigid."""
    for row, name in enumerate(DIRECTIONS):
        for item in machine.harmonics:
            if machine.supports[row] is not None and item.weights[row]:
                yield name, machine.supports[row], item


def _histories(table: Keys, sheet: _Sheet, machine: Machine, design_life: float) -> list[MadeLoad] | None:
    before = len(table.problems)
    running = None
    if machine.rates:
        running = table.attempt(running_history, machine, length=sheet.length, place=table.at("length"))
    started = table.attempt(start_stop_history, machine, place=table.place)
    runs = _occurrence(table, "runs", sheet.runs, design_life, running, hours=True)
    starts = _occurrence(table, "starts", sheet.starts, design_life, started, hours=False)
    if len(table.problems) > before:
        return None
    assumptions = (*sheet.assumptions, *_assumed(sheet, machine))
    found = passages(machine, running, started)
    what = _what(sheet, machine)
    groups = _groups(sheet, machine)
    made = []
    if running is not None:
        how = f"{what}; running"
        made.append(MadeLoad(RUNNING, running, runs, Made(how, _running_words(running), assumptions, groups=groups)))
    how = f"{what}; one start and stop"
    peak = tuple((item.direction.lower(), (item,)) for item in found)
    made.append(
        MadeLoad(STARTS, started, starts, Made(how, _started_words(sheet, machine, started), assumptions, groups=peak))
    )
    return made


def _occurrence(table: Keys, key: str, text: str, design_life: float, history, *, hours: bool):
    span = history.span if history is not None else 1.0
    found = table.attempt(repeats, text, design_life=design_life, span=span, place=table.at(key))
    if found is not None and isinstance(found, TimePerPeriod | TimeInLife) != hours:
        wanted = 'a time, as in "16 h/day"' if hours else 'a number of times, as in "4/day"'
        table.note(f"{key} must be {wanted}, got {text!r}", key)
    return found


def _assumed(sheet: _Sheet, machine: Machine) -> list[str]:
    found = []
    rigid = [name.lower() for name, on in zip(DIRECTIONS, machine.supports, strict=True) if on is None]
    if rigid and sheet.exciters.given:
        found.append(f"rigid support ({' and '.join(rigid)}), as stated: no force is amplified or held back there")
    if any(on is not None for on in machine.supports):
        found.append("support: one degree of freedom in each direction, linear, without rocking")
    for name, on, item in _pairs(machine):
        ratio = item.frequency / on.frequency
        if NEAR < ratio < 1.0 / NEAR:
            found.append(
                f"{item.title} runs at {ratio:.3g} times the natural frequency ({name.lower()}): a small error of "
                "frequency or damping changes the force much"
            )
    if crossed(machine):
        found.append("every start begins at the same angle of the shafts (phase); the peak depends on it a little")
    if len({item.turns for item in machine.harmonics}) > 1:
        found.append("all shafts start and stop together, each in the same share of its speed")
    if any(sheet.loads.values()):
        found.append("constant loads of running, start and stop act in full at once, without an overshoot of their own")
    found.append("the time of starts and stops comes on top of the hours run")
    return found


def _groups(sheet: _Sheet, machine: Machine) -> tuple:
    """The working of each exciter and of each force on each direction of the support, with its heading."""
    groups = [(result.title, (result,)) for result in sheet.exciters.working]
    for name, on, item in _pairs(machine):
        force = abs(item.weights[DIRECTIONS.index(name)]) * item.amplitude
        result = support_response(force, item.frequency, on, direction=name, source=item.title)
        order = f", order {item.order}" if item.order > 1 else ""
        groups.append((f"{item.title}{order}, {name.lower()}", (result,)))
    return (*groups, *((beat.title, (beat,)) for beat in beats(machine)))


def _what(sheet: _Sheet, machine: Machine) -> str:
    parts = [f"at {float(sheet.turns) * 60:.6g} rpm"] if sheet.turns is not None else []
    parts += sheet.exciters.described
    for name, on in zip(DIRECTIONS, machine.supports, strict=True):
        if on is None:
            parts.append(f"{name.lower()} support rigid")
        else:
            parts.append(f"{name.lower()} support {on.frequency:g} Hz, damping {100 * on.damping:g} %")
    return "machine " + ", ".join(parts)


def _running_words(history) -> str:
    return f"made for steady running: {_largest(history)}"


def _started_words(sheet: _Sheet, machine: Machine, history) -> str:
    passed = sorted({frequency for _, frequency, _ in crossed(machine)})
    through = f" through {' and '.join(f'{value:g} Hz' for value in passed)}" if passed else ""
    return f"made for one start and stop{through}: {_largest(history)}"


def _largest(history) -> str:
    words = []
    for name, row in zip(history.names, history.values, strict=True):
        size = float(abs(row).max())
        unit, scale = ("kN m", 1e-6) if name == TORQUE else ("kN", 1e-3)
        if size > 0.0 and math.isfinite(size):
            words.append(f"{name} up to {size * scale:.4g} {unit}")
    return ", ".join(words) or "no force"
