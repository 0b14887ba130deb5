"""The lines on the terminal for records that were cleaned: what was done, and what it did to the damage."""

from cli.symbols import plain_number, utilisation

_PRINTED = {"N": (1e-3, "kN"), "N mm": (1e-6, "kN m")}


def cleaning_lines(loads: list[dict]) -> list[tuple[str, str]]:
    """Name and text of each load whose record was cleaned, as an assessment gives them."""
    found = []
    for load in loads:
        cleaning = load.get("cleaning")
        if cleaning is None:
            continue
        parts = [_changed(item) for item in cleaning["changed"]] or ["nothing was changed"]
        if len(cleaning["segments"]) > 1:
            parts.append(f"{len(cleaning['segments'])} segments counted one after the other")
        if cleaning["untreated"]:
            parts.append(f"{len(cleaning['untreated'])} faults left as they are")
        found.append((f"Cleaning, {load['name']}", "; ".join(parts)))
    return found


def damage_lines(details: list[dict]) -> list[tuple[str, str]]:
    """Name of each detail whose damage changed by cleaning, and both damages."""
    return [
        (f"Cleaning, {item['name']}", f"damage {_both(item)} of the record as read")
        for item in details
        if item.get("damage_before_cleaning") is not None and item.get("damage") is not None
    ]


def _both(item: dict) -> str:
    return f"{utilisation(item['damage'])}, against {utilisation(item['damage_before_cleaning'])}"


def _changed(item: dict) -> str:
    """One treatment of one channel, with the largest change."""
    channel = f" of {item['channel']}" if item["channel"] else ""
    largest, samples = item["largest"], _counted(item["samples"], "sample")
    places = "" if item["places"] == 1 else f" at {item['places']} places"
    if largest["after"] is None or largest["before"] is None:
        verb = "left out" if largest["after"] is None else "bridged"
        return f"{item['treatment']}{channel}: {samples} {verb}{places}"
    scale, unit = _PRINTED.get(largest["unit"], (1.0, largest["unit"]))
    before, after = (f"{plain_number(largest[key] * scale, 4)} {unit}".strip() for key in ("before", "after"))
    when = f", {plain_number(largest['at_s'], 6)} s"
    return f"{item['treatment']}{channel}: {samples} changed{places}, most from {before} to {after}{when}"


def _counted(number: int, word: str) -> str:
    return f"1 {word}" if number == 1 else f"{number} {word}s"
