"""The comparison on the terminal: 80 columns, words beside every number, the joint as given first."""

import textwrap

from cli.cautions import ONE_LINE
from cli.screen import utilisation_text
from cli.symbols import plain, plain_number
from cli.wrapping import WIDTH, wrapped
from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED

_COLOURS = {HOLDS: "32", FAILS: "1;31", NOT_JUDGED: "1;33"}
_COLUMNS = (
    ("", 3), ("way", 25), ("util.", 7), ("slip", 6), ("life", 8), ("mm", 6), ("hours", 7), ("cost", 7), ("state", 11),
)  # fmt: skip
_PRACTICE = (
    ("inspection", "inspect"), ("how_often", "how often"), ("access", "access"), ("place", "where"),
    ("weather", "weather"), ("position", "position"), ("coating", "coating"), ("reuse", "taken apart"),
    ("distortion", "distortion"),
)  # fmt: skip


def comparison_text(contract: dict, *, colour: bool) -> str:
    """The comparison as lines of at most 80 columns.

    Parameters
    ----------
    contract : dict
        As `griplife compare --json` prints it.
    colour : bool
        Whether states may be coloured; the words are the same without.
    """
    lines = wrapped(contract["title"])
    for joint in contract["joints"]:
        lines += ["", *_joint(joint, contract, colour)]
    lines += ["", *wrapped(ONE_LINE)]
    return "\n".join(lines) + "\n"


def _joint(joint: dict, contract: dict, colour: bool) -> list[str]:
    lines = wrapped(f"Joint: {joint['name']}")
    if joint["why_not"]:
        return lines + wrapped(f"not compared: {joint['why_not']}", "  ", "  ")
    options = sorted(joint["alternatives"], key=lambda item: item["rank"])
    lines += _heading()
    lines += _row("", joint["as_given"], colour)
    for item in options:
        lines += _row(str(item["rank"]), item, colour)
    lines += _how_ranked(contract)
    for item in options:
        lines += ["", *_option(item)]
    if joint["refused"]:
        lines += ["", "Nothing to propose:"]
        for item in joint["refused"]:
            lines += wrapped(f"{item['kind']}: {item['reason']}", "  ", "    ")
    return lines


def _heading() -> list[str]:
    return ["".join(name.ljust(width) for name, width in _COLUMNS).rstrip(), "-" * WIDTH]


def _row(rank: str, item: dict, colour: bool) -> list[str]:
    work = item["work"]
    cells = (
        rank, item["kind"], utilisation_text(item), utilisation_text(item, "slip_utilisation"),
        _years(item["life_years"]), plain_number(item["movement_mm"]), plain_number(work["hours"]),
        plain_number(work["cost"]), item["state"],
    )  # fmt: skip
    parts = [textwrap.wrap(plain(cell), width - 1) or [""] for cell, (_, width) in zip(cells, _COLUMNS, strict=True)]
    lines = []
    for place in range(max(map(len, parts))):
        texts = [part[place] if place < len(part) else "" for part in parts]
        lines.append("".join(text.ljust(width) for text, (_, width) in zip(texts, _COLUMNS, strict=True)).rstrip())
    state = item["state"]
    if colour and lines[0].endswith(state):
        lines[0] = f"{lines[0][: -len(state)]}\x1b[{_COLOURS[state]}m{state}\x1b[0m"
    return lines


def _years(value: float | None) -> str:
    return "-" if value is None else f"{plain_number(value)} a"


def _how_ranked(contract: dict) -> list[str]:
    rates, weights = contract["rates"], contract["weights"]
    order = "what holds everywhere first, then by margin, then by hours"
    if weights:
        shown = ", ".join(f"{name} {plain_number(value)}" for name, value in weights.items())
        order = f"what holds everywhere first, then by your weights ({shown})"
    by = "EXAMPLE RATES, nothing stands behind them: give yours with --rates" if rates["examples"] else rates["file"]
    texts = [
        f"Ranked: {order}.",
        f"Hours and cost [{rates['currency']}] by {by}.",
        "util.: largest of all checks and damages; slip: first bolt at the level asked for; life: the shortest of the "
        "details; mm: largest movement if it slips.",
    ]
    return [line for text in texts for line in wrapped(text, "  ", "  ")]


def _option(item: dict) -> list[str]:
    lines = wrapped(f"{item['rank']}. {item['kind']}: {item['title']}", "", "   ")
    against = [check for check in (*item["checks"], *item["details"]) if check["state"] != HOLDS]
    for check in against:
        name = check.get("title") or f"fatigue of {check['name']}"
        why = f" ({check['reason']})" if check["reason"] else ""
        lines += wrapped(f"{check['state']}: {name}, utilisation {utilisation_text(check)}{why}", "   ", "     ")
    lines += wrapped(f"takes {_quantities(item['quantities'])}", "   ", "     ")
    work = item["work"]
    shop, site = plain_number(work["shop_hours"]), plain_number(work["site_hours"])
    lines += wrapped(f"work {shop} h in the shop, {site} h on site", "   ", "     ")
    if item["preload_margin"] is not None:
        loss = plain_number(100 * max(item["preload_margin"], 0.0))
        lines += wrapped(f"bears a loss of preload of {loss} %", "   ", "     ")
    for text in item["still_to_show"]:
        lines += wrapped(f"still to show: {text}", "   ", "     ")
    for key, word in _PRACTICE:
        lines += wrapped(f"{word}: {item['practice'][key]}", "   ", "     ")
    refused = len(item["tried"]) - 1
    if refused > 0:
        last = item["tried"][-2]
        words = "1 step" if refused == 1 else f"{refused} steps"
        lines += wrapped(f"{words} before it, the last: {last['what']}: {last['reason']}", "   ", "     ")
    return lines


def _quantities(found: dict) -> str:
    parts = []
    for key, word in (("bolts", "bolts"), ("holes", "holes"), ("reamed_holes", "of them reamed"), ("dowels", "dowels"),
                      ("keys", "key")):  # fmt: skip
        if found[key]:
            parts.append(f"{found[key]} {word}")
    if found["drilled_mm2"]:
        parts.append(f"{plain_number(found['drilled_mm2'] / 100)} cm2 drilled")
    if found["prepared_mm2"]:
        parts.append(f"{plain_number(found['prepared_mm2'] * 1e-6)} m2 of faces prepared")
    if found["weld_length_mm"]:
        volume, mass = plain_number(found["weld_volume_mm3"] * 1e-3), plain_number(found["weld_mass_kg"])
        passes = f"{found['weld_passes']} pass{'es' if found['weld_passes'] != 1 else ''}"
        long = plain_number(found["weld_length_mm"] * 1e-3)
        parts.append(f"{long} m of weld, {volume} cm3 or {mass} kg of metal in {passes}")
    return ", ".join(parts)
