"""What `griplife look` shows of a record: how it was understood, what is wrong with it, and what would do."""

import textwrap
from pathlib import Path

import numpy as np

from cli.contract_cleaning import fault_of
from cli.suggestion import suggestion
from cli.symbols import plain, plain_number
from cli.version import version
from cli.wrapping import WIDTH, wrapped
from loadhistories.cleaning import Findings, find_faults
from loadhistories.raw import RawRecord, read_raw
from loadhistories.sampling import ENOUGH

FIRST_ROWS = 5
BINS = 1200
LISTED = 40
SHOWN = 3

_COLUMNS = (20, 9, 11, 11, 11, 10, 8)
_HEAD = ("channel", "unit", "lowest", "highest", "at rest", "noise", "samples")
_SECOND = ("", "", "", "", "", "", "a cycle")


def look_at(path: str | Path, **dialect) -> dict:
    """Everything that is shown of a record, as plain values; numbers are in the unit that the file states.

    Returns
    -------
    dict
        `faults` are in base units, as in an assessment; `trace` holds the smallest and the largest value in equal
        spans of time.
    """
    raw = read_raw(path, cut_short=True, **dialect)
    findings = find_faults(raw)
    units = dict(zip(raw.names, raw.units, strict=True))
    source = raw.source
    return {
        "griplife": version(),
        "path": str(path),
        "sha256": source.sha256 if source else None,
        "bytes": source.size if source else Path(path).stat().st_size,
        "understood_as": raw.understood_as,
        "first_row": {"counted_in": raw.row_word, "number": int(raw.lines[0])},
        "start": raw.start or None,
        "rows": raw.samples,
        "whole": raw.whole,
        "step_s": raw.step,
        "rate_Hz": 1.0 / raw.step,
        "span_s": raw.time_of(raw.samples - 1) + raw.step,
        "channels": [_channel(raw, findings, place) for place in range(len(raw.names))],
        "first_rows": [_row(raw, sample) for sample in range(min(FIRST_ROWS, raw.samples))],
        "remarks": [*raw.remarks, *findings.remarks],
        "faults": [fault_of(fault, units) for fault in findings.faults],
        "suggestion": suggestion(findings, raw),
        "trace": _trace(raw),
    }


def look_text(seen: dict) -> str:
    """The look as lines of at most 80 columns."""
    lines = _wrapped(_path_text(seen))
    lines += _wrapped(f"{seen['understood_as']}; first row in {seen['first_row']['counted_in']} "
                      f"{seen['first_row']['number']}", "Read as: ", "  ")  # fmt: skip
    begin = f", from {seen['start']}" if seen["start"] else ""
    more = "" if seen["whole"] else " (the first ones; the file holds more)"
    lines += _wrapped(
        f"{seen['rows']} rows{more}, one every {seen['step_s']:.6g} s ({seen['rate_Hz']:.6g} Hz), "
        f"{seen['span_s']:.6g} s{begin}"
    )
    lines += ["", *_table(seen), "", "First rows as read:", *_first_rows(seen)]
    if seen["remarks"]:
        lines += [""]
        for text in seen["remarks"]:
            lines += _wrapped(text, "Noticed: ", "  ")
    lines += ["", *_fault_lines(seen)]
    if seen["suggestion"]:
        lines += ["", "To paste behind the [[load]] of this record, as far as these are faults:", ""]
        lines += [plain(line) for line in seen["suggestion"].splitlines()]
    return "\n".join(lines) + "\n"


def _path_text(seen: dict) -> str:
    digest = f", SHA-256 {seen['sha256'][:16]}…" if seen["sha256"] else ""
    return f"{seen['path']}: {seen['bytes']} bytes{digest}"


def _channel(raw: RawRecord, findings: Findings, place: int) -> dict:
    name, scale = raw.names[place], raw.scales[place]
    found = next((item for item in findings.channels if item.name == name), None)
    sampling = found.sampling if found else None
    return {
        "name": name,
        "unit": raw.stated_units[place],
        "base_unit": raw.units[place],
        "scale": scale,
        "lowest": found.low / scale if found else None,
        "highest": found.high / scale if found else None,
        "at_rest": found.rest / scale if found else None,
        "noise": found.noise / scale if found else None,
        "samples_per_cycle": sampling.samples_per_cycle if sampling else None,
        "damaging_frequency_Hz": sampling.frequency if sampling else None,
        "missed_share": [sampling.missed_low, sampling.missed_high] if sampling else None,
        "sampling_enough": None if sampling is None else sampling.samples_per_cycle >= ENOUGH,
    }


def _row(raw: RawRecord, sample: int) -> dict:
    values = raw.values[:, sample] / np.array(raw.scales)
    return {
        "line": int(raw.lines[sample]),
        "time_s": raw.time_of(sample),
        "values": [None if np.isnan(value) else float(value) for value in values],
    }


def _trace(raw: RawRecord) -> dict:
    """Smallest and largest value of each channel in equal numbers of rows; None where all of them are missing."""
    edges = np.linspace(0, raw.samples, min(BINS, raw.samples) + 1).astype(int)
    starts = edges[:-1]
    low = np.fmin.reduceat(raw.values, starts, axis=1) / np.array(raw.scales)[:, None]
    high = np.fmax.reduceat(raw.values, starts, axis=1) / np.array(raw.scales)[:, None]
    times = [raw.time_of(int(start)) for start in starts]
    return {
        "time_s": times,
        "channels": {
            name: {"low": _or_none(low[k]), "high": _or_none(high[k])} for k, name in enumerate(raw.names)
        },
    }  # fmt: skip


def _or_none(values) -> list:
    return [None if np.isnan(value) else float(value) for value in values]


def _table(seen: dict) -> list[str]:
    lines = [_cells(_HEAD).rstrip(), _cells(_SECOND).rstrip(), "-" * sum(_COLUMNS)]
    for item in seen["channels"]:
        numbers = [_number(item[key]) for key in ("lowest", "highest", "at_rest")]
        rest = [_number(item["noise"], 2), _number(item["samples_per_cycle"], 3)]
        unit = plain(_visible(item["unit"] or "none"))[: _COLUMNS[1] - 1]
        name = textwrap.wrap(plain(_visible(item["name"])), _COLUMNS[0] - 1) or ["(blank)"]
        lines.append(_cells((name[0], unit, *numbers, *rest)).rstrip())
        lines += name[1:]
    return lines


def _cells(texts) -> str:
    left = "".join(text.ljust(width) for text, width in zip(texts[:2], _COLUMNS[:2], strict=True))
    return left + "".join(text.rjust(width) for text, width in zip(texts[2:], _COLUMNS[2:], strict=True))


def _first_rows(seen: dict) -> list[str]:
    lines = []
    for row in seen["first_rows"]:
        values = "  ".join("-" if value is None else f"{value:.6g}" for value in row["values"])
        text = f"  {seen['first_row']['counted_in']} {row['line']}: {row['time_s']:.6g} s  {values}"
        lines.append(text if len(text) <= WIDTH else text[: WIDTH - 4] + " ...")
    return lines


def _fault_lines(seen: dict) -> list[str]:
    faults = seen["faults"]
    if not faults:
        return ["No fault was found."]
    lines = [f"Faults found: {len(faults)}"]
    groups: dict[tuple[str, str], list[dict]] = {}
    for fault in faults:
        groups.setdefault((fault["kind"], fault["channel"] or "time"), []).append(fault)
    for (_, channel), items in list(groups.items())[:LISTED]:
        for fault in items[:SHOWN]:
            when = f"{fault['from_s']:.6g} s"
            if fault["until_s"] > fault["from_s"]:
                when += f" to {fault['until_s']:.6g} s"
            lines += _wrapped(f"{channel}, {when}: {fault['words']}", "  - ", "    ")
        if len(items) > SHOWN:
            lines += _wrapped(f"{channel}: {len(items) - SHOWN} more like these; --json lists all", "    ", "    ")
    if len(groups) > LISTED:
        lines.append(f"  and more at {len(groups) - LISTED} other places; --json lists all")
    return lines


def _number(value: float | None, digits: int = 5) -> str:
    return "-" if value is None else plain_number(value, digits)


def _visible(text: str) -> str:
    """A text of the file without what a terminal would take as a command."""
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def _wrapped(text: str, first: str = "", later: str = "") -> list[str]:
    return wrapped(_visible(text), first, later)
