"""The table [load.clean] of a job file: which treatments a record gets, read against the record as it was written."""

import re
from pathlib import Path

from cli.keys import Keys
from loadhistories.cleaning import Cleaned, Treatments, treat
from loadhistories.raw import RawRecord, read_raw
from loadhistories.treatments import ChannelTreatment, DriftTreatment, SpikeTreatment
from loadhistories.units import BASE_UNITS, base_unit_of, quantity, unit_scale
from loadhistories.validation import InputError, where

DRIFTS = ("running median", "line")

_DEVIATIONS = re.compile(r"\s*(\d+\.?\d*)\s*times\s+the\s+median\s+deviation\s*")
_NOISES = re.compile(r"\s*(\d+\.?\d*)\s*times\s+the\s+noise\s*")
_SPIKES_LIKE = '{ window = "0.1 s", above = "8 times the median deviation" }'
_VALUES = ("spikes", "steps", "drift", "zero", "gate")


def read_cleaned(keys: Keys, path: Path, columns: list[str], dialect: dict) -> Cleaned | None:
    """The record of a load, made sound as its table `clean` says; None where something was refused.

    Parameters
    ----------
    keys : Keys
        The table `clean`.
    columns : list of str
        The channels that the loads of this record name.
    """
    before = len(keys.problems)
    try:
        raw = read_raw(path, columns=columns or None, **dialect)
    except InputError as refusal:
        for problem in refusal.problems:
            keys.note(problem)
        return None
    treatments = _treatments(keys, raw)
    if len(keys.problems) > before:
        return None
    return keys.attempt(treat, raw, treatments)


def _treatments(keys: Keys, raw: RawRecord) -> Treatments:
    breaks = keys.one_of("breaks", ("join",), "")
    stamps = keys.one_of("stamps", ("even",), "")
    repeated = keys.one_of("repeated", ("drop",), "")
    stuck = keys.one_of("stuck", ("cut",), "")
    cut, bridge = _missing(keys)
    tables = _channel_tables(keys, raw)
    channels = {}
    for name in raw.names:
        own = tables.get(name)
        found = {key: _value(keys if own is None or key not in own else own, key, raw, name) for key in _VALUES}
        treatment = ChannelTreatment(**{key: value for part in found.values() for key, value in part.items()})
        if treatment != ChannelTreatment():
            channels[name] = treatment
        if own is not None:
            own.done()
    for key in _VALUES:
        keys.raw(key, None)
    keys.done()
    return Treatments(
        bool(breaks), bool(stamps), bool(repeated), cut, bridge or 0.0, bool(stuck), channels
    )  # fmt: skip


def _missing(keys: Keys) -> tuple[bool, float]:
    """Whether rows with missing values are left out, and up to how long a gap is bridged. [s]"""
    given = keys.raw("missing", "")
    if isinstance(given, dict):
        inner = keys.table_of("missing")
        bridge = inner.quantity("bridge", "s", above=0.0)
        cut = inner.boolean("cut", False)
        inner.done()
        return bool(cut), bridge or 0.0
    if given not in ("", "cut"):
        keys.note(
            f'missing must be "cut" or {{ bridge = "0.03 s", cut = true }}, got {given!r}', "missing"
        )
    return given == "cut", 0.0


def _channel_tables(keys: Keys, raw: RawRecord) -> dict[str, Keys]:
    """The tables of channels that are treated otherwise than the rest."""
    inner = keys.table_of("channel", like='{ "Vertical" = { spikes = "none" } }')
    if inner is None:
        return {}
    found = {}
    for name in inner.table:
        table = inner.table_of(name)
        if name not in raw.names:
            inner.note(f"channel {name!r} is not used by a load; known: {', '.join(raw.names)}", name)
        elif table is not None:
            found[name] = table
    return found


def _value(keys: Keys, key: str, raw: RawRecord, name: str) -> dict:
    """The fields of ChannelTreatment that one key sets for one channel."""
    given = keys.raw(key, None)
    if given is None or given == "none":
        return {}
    read = {"spikes": _spikes, "steps": _steps, "drift": _drift, "zero": _zero, "gate": _gate}[key]
    return read(keys, raw, name) or {}


def _spikes(keys: Keys, raw: RawRecord, name: str) -> dict | None:
    inner = keys.table_of("spikes", like=_SPIKES_LIKE)
    if inner is None:
        return None
    window, above = inner.quantity("window", "s", above=0.0), inner.text("above", like='"50 kN"')
    inner.done()
    if window is None or above is None:
        return None
    multiple = _DEVIATIONS.fullmatch(above)
    if multiple:
        if not float(multiple[1]) > 0.0:
            return inner.note(f"above must be more than 0 times the median deviation, got {above!r}", "above")
        return {"spikes": SpikeTreatment(window, times=float(multiple[1]))}
    limit = _of_channel(inner, "above", above, raw, name)
    return None if limit is None else {"spikes": SpikeTreatment(window, above=limit)}


def _steps(keys: Keys, raw: RawRecord, name: str) -> dict | None:
    texts = keys.texts("steps", like='["123.4 s"]')
    times = [keys.attempt(quantity, text, "s", "step", keys.at("steps")) for text in texts or ()]
    return None if None in times else {"steps": tuple(times)}


def _drift(keys: Keys, raw: RawRecord, name: str) -> dict | None:
    inner = keys.table_of("drift", like='{ method = "running median", window = "600 s" }')
    if inner is None:
        return None
    method = inner.one_of("method", DRIFTS)
    window = inner.quantity("window", "s", above=0.0) if method == "running median" else 0.0
    inner.done()
    return None if method is None or window is None else {"drift": DriftTreatment(window)}


def _zero(keys: Keys, raw: RawRecord, name: str) -> dict | None:
    text = keys.text("zero", like='"-0.3 kN" or "level at rest"')
    if text is None:
        return None
    if text == "level at rest":
        return {"zero_at_rest": True}
    value = _of_channel(keys, "zero", text, raw, name)
    return None if value is None else {"zero": value}


def _gate(keys: Keys, raw: RawRecord, name: str) -> dict | None:
    text = keys.text("gate", like='"6 times the noise" or "0.5 kN"')
    if text is None:
        return None
    multiple = _NOISES.fullmatch(text)
    if multiple:
        return {"gate_times": float(multiple[1])}
    value = _of_channel(keys, "gate", text, raw, name)
    if value is not None and value <= 0.0:
        return keys.note(f"gate must be above 0, got {text!r}", "gate")
    return None if value is None else {"gate": value}


def _of_channel(keys: Keys, key: str, text: str, raw: RawRecord, name: str) -> float | None:
    """A quantity in the base unit of a channel, or in the words of its file where the unit is none of ours."""
    unit, stated = raw.units[raw.names.index(name)], raw.stated_units[raw.names.index(name)]
    try:
        if unit in BASE_UNITS:
            return quantity(text, unit, key, keys.at(key))
        number, _, given = text.strip().partition(" ")
        if unit is None and given:
            # The record states no unit: its values are taken in the unit that the component states.
            base = base_unit_of(given, key, keys.at(key))
            return quantity(text, base, key, keys.at(key)) / unit_scale(given, base)
        if given.strip().casefold() == (unit or "").casefold():
            return float(number)
    except InputError as refusal:
        keys.problems.extend(refusal.problems)
        return None
    except ValueError:
        pass
    wanted = f"in {stated!r}" if stated else "a plain number, as the record states no unit"
    keys.note(f"{key} of column {name!r} must be {wanted}, got {text!r}{where('')}", key)
    return None
