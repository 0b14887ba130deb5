"""The lines on the terminal for loads whose history was made: what it comes to, and the cycles at the details."""

from cli.symbols import plain_number


def made_lines(loads: list[dict]) -> list[tuple[str, str]]:
    """Name and text of each [[load]] that was made and has something to say.

    Parameters
    ----------
    loads : list of dict
        As an assessment gives them; the histories of one [[load]] stand one after another.
    """
    found: dict[str, list[dict]] = {}
    for load in loads:
        if load.get("made"):
            found.setdefault(load["made"]["load"], []).append(load)
    lines = []
    for name, parts in found.items():
        text = "; ".join(part["made"]["summary"] for part in parts if part["made"]["summary"])
        if text:
            lines.append((name, "; ".join((text, *_cycles(parts)))))
    return lines


def _cycles(parts: list[dict]) -> list[str]:
    total: dict[str, float] = {}
    for part in parts:
        for item in part["made"].get("cycles") or []:
            total[item["detail"]] = total.get(item["detail"], 0.0) + item["cycles"]
    return [f"{plain_number(cycles, 7)} cycles counted at {detail}" for detail, cycles in total.items()]
