"""The contract of cleaned records: what was found, what was done, and what is left."""

import csv
import io
from collections.abc import Sequence
from dataclasses import asdict

from cli.job_loads import LoadInput
from cli.record_warnings import faults_in_words
from loadhistories.faults import Fault
from loadhistories.segments import Change

LISTED = 1000


def cleaning_of(load: LoadInput) -> dict | None:
    """What was done to the record of a load; None where its job names no treatment.

    Changes beyond LISTED are left out from the small end; `changed` counts all of them.
    """
    cleaned = load.cleaned
    if cleaned is None:
        return None
    history = cleaned.history
    units = dict(zip(history.names, history.units, strict=True))
    largest = {id(change) for change in sorted(cleaned.changes, key=lambda change: -change.size)[:LISTED]}
    listed = [change for change in cleaned.changes if id(change) in largest]
    return {
        "segments": [
            {"from_s": part.time, "samples": part.samples, "span_s": part.samples * history.step}
            for part in cleaned.segments
        ],
        "changed": summary_of(cleaned.changes, units),
        "changes": [_change(change, units) for change in listed],
        "untreated_text": faults_in_words(cleaned.untreated),
        "untreated": [fault_of(fault, units) for fault in cleaned.untreated],
    }


def changes_csv(loads: Sequence[LoadInput]) -> str:
    """Every change of every cleaned record as CSV; values in base units, no text that a spreadsheet would run."""
    from cli.schedule_output import harmless

    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["load", "treatment", "channel", "from_s", "until_s", "samples", "at_s", "before", "after", "unit"])
    for load in loads:
        if load.cleaned is None:
            continue
        units = dict(zip(load.history.names, load.history.units, strict=True))
        for item in load.cleaned.changes:
            cells = [load.name, *_change(item, units).values()]
            writer.writerow([harmless(cell) if isinstance(cell, str) else _blank(cell) for cell in cells])
    return text.getvalue()


def summary_of(changes: tuple[Change, ...], units: dict) -> list[dict]:
    """For each treatment and channel: how many places and samples, and the largest change with its time."""
    found = {}
    for change in changes:
        found.setdefault((change.treatment, change.channel), []).append(change)
    rows = []
    for (treatment, channel), items in found.items():
        largest = max(items, key=lambda item: (item.size, item.samples))
        rows.append(
            {
                "treatment": treatment,
                "channel": channel or None,
                "places": len(items),
                "samples": sum(item.samples for item in items),
                "largest": _change(largest, units),
            }
        )
    return rows


def fault_of(fault: Fault, units: dict) -> dict:
    """A fault as plain values; numbers are in the base unit of the channel, of the time base in s."""
    plain = asdict(fault)
    plain.pop("until"), plain.pop("time")
    plain["channel"] = fault.channel or None
    return plain | {
        "from_s": fault.time,
        "until_s": fault.until,
        "unit": units.get(fault.channel, "s") or "",
    }


def _blank(value):
    return "" if value is None else repr(value) if isinstance(value, float) else value


def _change(change: Change, units: dict) -> dict:
    return {
        "treatment": change.treatment,
        "channel": change.channel or None,
        "from_s": change.time,
        "until_s": change.until,
        "samples": change.samples,
        "at_s": change.at,
        "before": change.before,
        "after": change.after,
        "unit": units.get(change.channel) or "",
    }


def columns_of(load: LoadInput) -> list[dict]:
    """The columns of a load as plain values."""
    return [
        {"component": item.component, "column": item.column, "unit": item.unit, "factor": item.factor}
        for item in load.columns
    ]


def gauges_of(load: LoadInput) -> tuple:
    """The working of every strain gauge of a load."""
    return tuple(item.gauge for item in load.columns if item.gauge is not None)


def with_damage_before(details: list[dict], before: tuple[float | None, ...]) -> list[dict]:
    """The details of a joint, each with its damage by the records as read; None where no record was cleaned."""
    filled = before or (None,) * len(details)
    return [item | {"damage_before_cleaning": damage} for item, damage in zip(details, filled, strict=True)]
