"""The loads of the note: where each comes from, its channels, how it was made or cleaned, how often it occurs."""

from cli.notes.model import Box, Heading, Section, bold, line, quiet, row, table
from cli.notes.working import working
from cli.symbols import MISSING, number, quantity

_ORDER_OF_CLEANING = (
    "Only treatments that the job names are made, always in this order: time base, missing and stuck values, spikes, "
    "steps, drift, zero, noise gate. The JSON lists every change with time, value before and after."
)
_SEGMENTS = (
    "segments, counted one after the other: what does not close in one goes on in the next, and no sample is put "
    "between them."
)
_SEQUENCE = (
    "The cycles that exist only between these loads are counted; each load is counted once at its place here, and "
    "its further repeats by itself."
)
_AXES = (
    "Axes: x and y lie in the faying plane, z is its outward normal; positive Fz pulls the plates apart. Components "
    "act at the joint's origin. Permanent load and load factors are added in the checks."
)


def load_section(contract: dict) -> Section:
    """Loads and their cycles."""
    blocks = []
    for load in contract["loads"]:
        blocks += [*_load(load), *_cleaning(load), *_duty(load), *_made(load)]
    blocks += [_sequence(item) for item in contract.get("sequences") or []]
    return Section("Loads and cycles", (*blocks, line(quiet(_AXES))))


def on_only(item: dict):
    """Which joint alone a load acts on, standing back; nothing where it acts on all."""
    return quiet(f" (on {item['joint']} only)") if item.get("joint") else None


def _load(load: dict) -> list:
    heading = Heading(tuple(run for run in (load["name"], on_only(load)) if run))
    rows, seen = [], set()
    for column in load["columns"]:
        component = column["component"]
        extreme = load["extremes"].get(component) if component not in seen else None
        seen.add(component)
        ends = [f"{number(extreme[end])} {extreme['unit']}" if extreme else None for end in ("low", "high")]
        rows.append(row(component, column["column"], column["unit"] or "as recorded", column["factor"], *ends))
    head = ("component", "channel", "unit", "factor and sign", "lowest", "highest")
    blocks = [heading, line(_said(load)), *table(head, rows, "lwllrr"), *working(load.get("figures"))]
    cycles = (load.get("made") or {}).get("cycles") or []
    if cycles:
        runs = ["Cycles counted in the design life under this load: "]
        for item in cycles:
            runs += [f"{number(item['cycles'], 7)} at {item['detail']} ", quiet(f"({item['joint']})"), ", "]
        blocks.append(line(*runs[:-1], "."))
    return [Box(tuple(blocks), "keep")]


def _said(load: dict) -> str:
    if load["step_s"] is None:
        origin = f"{load['history']}, which covers {number(load['span_s'])} s. {load['made']['summary']}."
    else:
        made = "a history that was made: " if load.get("made") else ""
        origin = (
            f"{number(load['samples'])} samples of {made}{load['history']}, one every {number(load['step_s'])} s, "
            f"span {number(load['span_s'])} s."
        )
    text = (
        f"{origin} Occurs {load['occurs']}: {number(load['repeats'])} repeats in the design life "
        f"({load['repeats_text']})."
    )
    if load.get("kind"):
        text += f" It brings {load['kind']}."
    if load.get("scale", 1.0) != 1.0:
        text += f" Every value is multiplied with {number(load['scale'])}."
    return text + (f" Represents: {load['represents']}." if load.get("represents") else "")


def _cleaning(load: dict) -> list:
    cleaning = load.get("cleaning")
    if not cleaning:
        return []
    blocks = [Heading((f"{load['name']}: cleaning of the record",), 4)]
    if cleaning["changed"]:
        rows = [_change(item) for item in cleaning["changed"]]
        head = ("treatment", "channel", "places", "samples", "largest change at", "from", "to")
        blocks += table(head, rows, "lwrrrrr")
    else:
        blocks.append(line("The named treatments changed nothing."))
    if len(cleaning["segments"]) > 1:
        blocks.append(line(f"{len(cleaning['segments'])} {_SEGMENTS}"))
    if cleaning["untreated"]:
        blocks.append(line(f"Left as they are: {cleaning['untreated_text']}."))
    return [Box((*blocks, line(quiet(_ORDER_OF_CLEANING))), "keep")]


def _change(item: dict):
    most = item["largest"]
    at = most["from_s"] if most.get("at_s") is None else most["at_s"]
    before, after = (
        MISSING if most[key] is None else quantity(most[key], most["unit"]) for key in ("before", "after")
    )
    channel = item["channel"] or "all (rows left out)"
    counts = number(item["places"]), number(item["samples"])
    return row(item["treatment"], channel, *counts, f"{number(at, 6)} s", before, after)


def _duty(load: dict) -> list:
    stated = load.get("stated_duty")
    if not stated:
        return []
    heading = Heading((f"{load['name']}: recorded against stated duty",), 4)
    return [Box((heading, line(f"{stated['text']}."), *working(stated.get("figures"))), "keep")]


def _made(load: dict) -> list:
    groups = (load.get("made") or {}).get("groups") or []
    return [
        Box((Heading((f"{load['name']}: {group['title']}",), 4), *working(group["figures"])), "keep")
        for group in groups
    ]


def _sequence(item: dict):
    order = ", then ".join(item["order"])
    text = f": {order}, {item['occurs']}: {number(item['repeats'])} repeats in the design life. {_SEQUENCE}"
    return line(bold(item["name"]), on_only(item), text)
