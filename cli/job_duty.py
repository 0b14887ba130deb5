"""The keys of a recorded load that carry it from record to life: scale, represents and stated_duty."""

from cli.keys import Keys
from fatigue.stated_duty import PERIODS, StatedDuty, stated_duty
from loadhistories.history import LoadHistory
from loadhistories.occurrence import Occurrence
from loadhistories.record import Record
from loadhistories.units import BASE_UNITS, base_unit_of, unit_scale
from slip.advice import Warning

DUTY = "stated_duty"
_LIKE = '{ channel = "Vertical", cycles = 120, per = "day", above = "50 kN", tolerance = "20 %" }'
_REPRESENTS = '"the heaviest grab, 10 % above the recorded one"'


def read_scale(keys: Keys) -> tuple[float, str] | None:
    """`scale` and `represents` of a load: 1 and "" where the file has none, None where something was refused."""
    scale, represents = keys.number("scale", 1.0, above=0.0), keys.text("represents", "", like=_REPRESENTS)
    if "scale" in keys and "represents" not in keys:
        keys.note(f"scale needs represents: say what the scaled record stands for, as in represents = {_REPRESENTS}",
                  "scale")  # fmt: skip
        return None
    return None if None in (scale, represents) else (scale, represents)


def duty_channels(load: Keys) -> list[str]:
    """Columns of the record that a stated duty asks for."""
    table = load.table.get(DUTY)
    name = table.get("channel") if isinstance(table, dict) else None
    return [name] if isinstance(name, str) else []


def read_duty(
    keys: Keys,
    history: LoadHistory | Record | None,
    occurrence: Occurrence | None,
    *,
    scale: float,
    design_life: float | None,
) -> StatedDuty | None:
    """The comparison of a record with the duty stated for it; None where none is stated or something was refused."""
    inner = keys.table_of(DUTY, like=_LIKE)
    if inner is None:
        return None
    channel, unit = inner.text("channel"), inner.text("unit", "")
    cycles, per = inner.number("cycles", above=0.0), inner.one_of("per", tuple(PERIODS))
    inner.raw("above", like='"50 kN"')
    tolerance = inner.quantity("tolerance", "", least=0.0)
    inner.done()
    if None in (channel, unit, cycles, per, tolerance, history, occurrence, design_life) or "above" not in inner:
        return None
    if channel not in history.names:
        inner.note(f"column {channel!r} is unknown; known: {', '.join(history.names)}", "channel")
        return None
    base, factor = _unit(inner, channel, unit, history)
    smallest = None if base is None else inner.quantity("above", base, least=0.0)
    if smallest is None:
        return None
    return inner.attempt(
        stated_duty,
        (scale * factor * values[0] for _, values in history.chunks((channel,))),
        occurrence,
        channel=channel,
        stated=cycles,
        per=per,
        smallest=smallest,
        threshold=inner.text("above"),
        tolerance=tolerance,
        design_life=design_life,
    )


def _unit(keys: Keys, channel: str, unit: str, history: LoadHistory | Record) -> tuple[str | None, float]:
    """Base unit of a channel, and what its stored values are multiplied with to stand in it."""
    stored = history.units[history.names.index(channel)]
    if stored in BASE_UNITS:
        if unit:
            keys.note(f"column {channel!r} states its unit in the record: take unit away", "unit")
            return None, 1.0
        return stored, 1.0
    if not unit:
        keys.note(f'column {channel!r} states no unit that is known: give it, as in unit = "kN"', "unit")
        return None, 1.0
    base = keys.attempt(base_unit_of, unit, "unit", keys.at("unit"))
    return base, 1.0 if base is None else unit_scale(unit, base)


def duty_warnings(loads) -> tuple[Warning, ...]:
    """A warning for each load whose record does not hold the duty that is stated."""
    return tuple(
        Warning(
            "recorded-duty",
            f"{load.name}: {load.duty.text}",
            "comparison with the user's statement",
            (
                "record longer, or the missing kind of working as a block of its own",
                "or correct occurs, or the statement, and say why",
            ),
        )
        for load in loads
        if load.duty is not None and not load.duty.agrees
    )
