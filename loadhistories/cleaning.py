"""A record made sound: its faults are found, and those treated that the user named a treatment for.

The order is fixed: time base, missing and stuck values, spikes, steps, drift, zero, noise gate. Clipping, a dead
channel and coarse sampling have no treatment: what was not recorded cannot be put back.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from loadhistories.clipping import STUCK, clipped_runs, is_dead, stuck_runs
from loadhistories.drift import drift_of, find_steps, rest_level, shift_at_rest
from loadhistories.faults import KINDS, Fault
from loadhistories.gaps import jitter, markers, missing_values, odd_steps, open_date, time_faults
from loadhistories.history import LoadHistory
from loadhistories.noise import FEWEST, noise_of
from loadhistories.raw import RawRecord, raw_of
from loadhistories.sampling import Sampling, sampling_of
from loadhistories.segments import Change, Segment, sound_rows
from loadhistories.spikes import LARGEST_SHARE, bridged, find_spikes
from loadhistories.treatments import ChannelTreatment, treated_channel
from loadhistories.validation import require_one_of


@dataclass(frozen=True)
class ChannelFindings:
    """What was measured of one channel, in its base unit.

    `rest` is its level in its quietest span, `noise` the standard deviation of its noise; `sampling` is None where
    nothing in it is larger than its noise.
    """

    name: str
    low: float
    high: float
    rest: float
    noise: float
    sampling: Sampling | None


@dataclass(frozen=True)
class Findings:
    """Faults of a record in the order in which they would be treated, and what was measured of each channel."""

    faults: tuple[Fault, ...]
    channels: tuple[ChannelFindings, ...]
    remarks: tuple[str, ...]

    def of(self, kind: str) -> tuple[Fault, ...]:
        """The faults of one kind."""
        return tuple(fault for fault in self.faults if fault.kind == kind)


@dataclass(frozen=True)
class Treatments:
    """What the user named; nothing unless it is named.

    Attributes
    ----------
    breaks : bool
        Rows before and after a break of the time are taken one after the other.
    stamps : bool
        Late stamps are taken as even.
    repeated : bool
        Rows that repeat the one before are left out.
    missing : bool
        Rows with a missing value are left out.
    bridge : float
        Up to so long a gap is closed by a line instead. [s]
    stuck : bool
        Rows in which a channel is stuck are left out.
    channels : mapping of str to ChannelTreatment
        Of each channel that has treatments of its own.
    """

    breaks: bool = False
    stamps: bool = False
    repeated: bool = False
    missing: bool = False
    bridge: float = 0.0
    stuck: bool = False
    channels: Mapping[str, ChannelTreatment] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Cleaned:
    """A record made sound.

    Attributes
    ----------
    history : LoadHistory
        What is counted.
    before : LoadHistory
        The same rows with their values as read: only what could not be counted is left out.
    segments : tuple of Segment
        Unbroken parts, in their order; they follow one another in `history` without a sample put between them.
    changes : tuple of Change
        Everything that was left out or changed.
    findings : Findings
        Of the record as it was read.
    untreated : tuple of Fault
        Faults that no treatment was named for.
    """

    history: LoadHistory
    before: LoadHistory
    segments: tuple[Segment, ...]
    changes: tuple[Change, ...]
    findings: Findings
    untreated: tuple[Fault, ...]


def find_faults(record: RawRecord | LoadHistory) -> Findings:
    """Everything that is wrong with a record or looks so; the record is not changed.

    Returns
    -------
    Findings
        No fault of a channel is looked for in fewer than 64 samples.

    Examples
    --------
    >>> values = np.sin(np.arange(400.0) / 10)[None, :]
    >>> values[0, 200] += 5.0
    >>> [fault.words for fault in find_faults(LoadHistory(("Fy",), ("N",), values, 0.1)).faults]
    ['spike of 1 sample, 5.005 N off the line between its neighbours']
    """
    raw = raw_of(record) if isinstance(record, LoadHistory) else record
    faults = time_faults(raw) + missing_values(raw) + markers(raw)
    marked = {(fault.channel, place) for fault in faults if fault.kind == "marker"
              for place in range(fault.first, fault.first + fault.samples)}  # fmt: skip
    channels = []
    for name, values in zip(raw.names, raw.values, strict=True):
        gone = np.isnan(values)
        gone[[place for channel, place in marked if channel == name]] = True
        places = np.flatnonzero(~gone)
        if not places.size:
            continue
        found, measured = _channel_faults(raw, name, values[places], places)
        faults += found
        channels.append(measured)
    order = sorted(faults, key=lambda fault: (KINDS.index(fault.kind), fault.channel, fault.first))
    return Findings(tuple(order), tuple(channels), tuple(text for text in _noticed(raw) if text))


def treat(record: RawRecord | LoadHistory, treatments: Treatments) -> Cleaned:
    """The record with the treatments that are named, in their fixed order.

    Raises
    ------
    InputError
        A break of the time, a gap or a repeated time is left that no treatment is named for; a treatment names an
        unknown channel or would replace more than a twentieth of it.
    """
    raw = raw_of(record) if isinstance(record, LoadHistory) else record
    for name in treatments.channels:
        require_one_of(name, raw.names, "channel", place=raw.path)
    findings = find_faults(raw)
    rows, segments, changes = sound_rows(raw, treatments)
    untouched = rows.values
    values, more = _treated(raw, treatments, untouched, segments)
    remarks = (*raw.remarks, *_said_of(segments, raw))
    before = LoadHistory(
        raw.names, raw.units, _kept(untouched), rows.step, raw.source, remarks, raw.stated_units
    )  # fmt: skip
    after = replace(before, values=_kept(values)) if more else before
    all_changes = (*changes, *more)
    return Cleaned(after, before, segments, all_changes, findings, _untreated(findings, treatments, all_changes))


def _noticed(raw: RawRecord) -> list[str]:
    """What is no fault but to be known: stamps that jitter, a date that could be another, strains and their unit."""
    strains = [
        f"column {name!r} is a strain or a plain number: its unit '{stated}' is read as {scale:g}"
        for name, unit, stated, scale in zip(raw.names, raw.units, raw.stated_units, raw.scales, strict=True)
        if unit == "" and stated
    ]
    return [jitter(raw), open_date(raw), *strains]


def _treated(raw: RawRecord, treatments: Treatments, untouched, segments) -> tuple[NDArray, tuple[Change, ...]]:
    values, changes = untouched, []
    for place, name in enumerate(raw.names):
        wanted = treatments.channels.get(name)
        if wanted is None:
            continue
        found, more = treated_channel(name, untouched[place], wanted, segments, raw)
        if more:
            values = np.array(values) if values is untouched else values
            values[place] = found
            changes += more
    return values, tuple(changes)


def _kept(values: NDArray[np.float64]) -> NDArray[np.float64]:
    if values.flags.writeable:
        values.flags.writeable = False
    return values


def _said_of(segments: tuple[Segment, ...], raw: RawRecord) -> tuple[str, ...]:
    if len(segments) < 2:
        return ()
    return (
        f"{len(segments)} segments, counted one after the other: what does not close in one goes on in the next, and "
        f"no sample is put between them; {raw.samples - sum(part.samples for part in segments)} of {raw.samples} rows "
        "are left out",
    )


def _untreated(findings: Findings, treatments: Treatments, changes: tuple[Change, ...]) -> tuple[Fault, ...]:
    """The faults that are still in the cleaned record."""
    done = {
        "repeated row": treatments.repeated, "uneven stamps": treatments.stamps, "break in time": treatments.breaks,
        "missing value": treatments.missing or treatments.bridge > 0.0, "stuck": treatments.stuck,
    }  # fmt: skip
    treated = {(change.treatment, change.channel) for change in changes}
    by_channel = {"spike": "spikes", "step": "steps", "drift": "drift"}
    return tuple(
        fault for fault in findings.faults
        if not done.get(fault.kind, False)
        and (by_channel.get(fault.kind), fault.channel) not in treated
    )  # fmt: skip


def _channel_faults(raw: RawRecord, name: str, values: NDArray[np.float64], places: NDArray[np.int64]):
    """Faults of one channel without its gaps, and what was measured of it."""
    spikes = find_spikes(values)
    if sum(spike.last - spike.first + 1 for spike in spikes) > max(LARGEST_SHARE * values.size, 5):
        spikes = []
    plain, noise = bridged(values, spikes), noise_of(values)
    broken = _broken(raw, places)
    sampling = sampling_of(plain, raw.step, noise, broken)
    measured = ChannelFindings(name, float(values.min()), float(values.max()), rest_level(plain), noise, sampling)

    def fault(kind, first, last, words, value=None, size=None):
        a, b = int(places[first]), int(places[last])
        return Fault(kind, name, a, b - a + 1, raw.time_of(a), raw.time_of(b), value, size, words)

    if values.size < FEWEST:
        return [], measured
    if is_dead(values):
        shown = raw.shown(name, float(values[0]))
        return [fault("dead", 0, values.size - 1, f"stands at {shown} throughout", float(values[0]))], measured
    found = _flat_faults(raw, name, values, fault)
    for spike in spikes:
        number = spike.last - spike.first + 1
        words = (
            f"spike of {number} sample{'s' if number > 1 else ''}, {raw.shown(name, abs(spike.size), 4)} off the "
            "line between its neighbours"
        )
        found.append(fault("spike", spike.first, spike.last, words, float(values[spike.peak]), spike.size))
    steps = [(at, rise) for at, rise in find_steps(plain, []) if at not in broken]
    return found + _slow_faults(raw, name, plain, steps, measured, fault), measured


def _flat_faults(raw: RawRecord, name: str, values: NDArray[np.float64], fault) -> list[Fault]:
    found = []
    for first, last in stuck_runs(values):
        words = f"stands at {raw.shown(name, values[first])} for {last - first + 1} samples"
        found.append(fault("stuck", first, last, words, float(values[first])))
    for first, last in clipped_runs(values):
        if last - first + 1 < STUCK:
            words = f"stands at its limit {raw.shown(name, values[first])} for {last - first + 1} samples: cut off"
            found.append(fault("clipped", first, last, words, float(values[first])))
    return found


def _broken(raw: RawRecord, places: NDArray[np.int64]) -> NDArray[np.int64]:
    """Which values do not follow the one before them, for a gap or a break of the time between them."""
    apart = np.diff(places) != 1
    if raw.times is not None:
        apart |= odd_steps(raw.times[places], raw.step)
    return np.flatnonzero(apart) + 1


def _slow_faults(raw: RawRecord, name: str, values, steps, measured: ChannelFindings, fault) -> list[Fault]:
    found, last = [], values.size - 1
    for at, rise in steps:
        words = (
            f"the level jumps by {raw.shown(name, rise, 4)} in one sample and stays: a zero shift, or a load that stays"
        )
        found.append(fault("step", at, at, words, float(values[at]), rise))
    drift, shift = drift_of(values, measured.noise), shift_at_rest(values, measured.noise)
    if not steps and drift is not None:
        words = (
            f"the level runs away by {raw.shown(name, drift.change, 4)} from start to end: drift, or a load that grows"
        )
        found.append(fault("drift", 0, last, words, None, drift.change))
    elif not steps and shift is not None:
        words = (
            f"at rest it ends {raw.shown(name, shift, 4)} from where it began: drift, a zero shift, or a load that "
            "stays"
        )
        found.append(fault("drift", 0, last, words, None, shift))
    sampling = measured.sampling
    if sampling is not None and sampling.coarse:
        words = (
            f"{sampling.samples_per_cycle:.3g} samples a cycle at {sampling.frequency:.3g} Hz, the highest damaging "
            f"frequency: peaks fall between samples, about {100 * sampling.missed_low:.2g} to "
            f"{100 * sampling.missed_high:.2g} % of the damage is missed (slopes 3 and 5)"
        )
        found.append(fault("coarse sampling", 0, last, words))
    return found
