"""The summary on the terminal: 80 columns, words beside every colour, letters that any terminal has."""

import textwrap

from cli.cautions import ONE_LINE
from cli.screen_cleaning import cleaning_lines, damage_lines
from cli.screen_made import made_lines
from cli.symbols import plain, plain_number, utilisation
from cli.wrapping import wrapped
from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED

_COLOURS = {HOLDS: "32", FAILS: "1;31", NOT_JUDGED: "1;33"}
_CHECK_COLUMNS = (33, 26, 7, 11)
_DETAIL_COLUMNS = (31, 9, 8, 17, 11)
_OPTION_COLUMNS = (60, 7, 11)


def summary(contract: dict, *, colour: bool) -> str:
    """The outcome of an assessment as lines of at most 80 columns.

    Parameters
    ----------
    contract : dict
        An assessment as `griplife assess --json` prints it.
    colour : bool
        Whether states may be coloured; the words are the same without.
    """
    standard = contract["standard"]
    editions = ", ".join(standard["editions"].values())
    lines = wrapped(contract["title"])
    lines += wrapped(
        f"{standard['name']} ({editions}), design life {plain_number(contract['design_life_years'], 4)} years"
    )
    loads = contract.get("loads") or []
    for name, text in (*made_lines(loads), *cleaning_lines(loads)):
        lines += wrapped(text, f"{name}: ", "  ")
    for item in contract.get("sequences") or []:
        lines += wrapped(f"{', then '.join(item['order'])}, {item['occurs']}", f"{item['name']}: ", "  ")
    lines += [line for text in _unconfirmed(contract, " of the loads") for line in wrapped(text)]
    for item in contract.get("inputs") or []:
        lines += [line for text in item["remarks"] if item["what"] == "job" for line in wrapped(text)]
    for joint in contract["joints"]:
        on_it = [load for load in loads if load.get("joint") in (None, joint["name"])]
        made = any(load.get("made") and not load["made"].get("recorded") for load in on_it)
        lines += ["", *_joint_lines(joint, colour, "one run of every load" if made else "the record")]
    lines += [line for frame in contract.get("frames") or [] for line in ("", *_frame_lines(frame, colour))]
    lines += ["", f"Result: {_painted(contract['state'], colour)}", *wrapped(ONE_LINE)]
    return "\n".join(lines) + "\n"


def _joint_lines(joint: dict, colour: bool, walked: str) -> list[str]:
    because = f"; reason: {joint['because']}" if joint.get("because") else ""
    rule = f"slip: {joint['slip_rule']}{because}" if joint.get("slip_rule") else "no bolts"
    lines = wrapped(f"Joint: {joint['name']} ({rule})")
    if joint["checks"]:
        rows = [(item["title"], item["clause"], utilisation_text(item), item["state"]) for item in joint["checks"]]
        lines += _table(("check", "clause", "util.", "state"), rows, _CHECK_COLUMNS, colour)
    if joint["details"]:
        rows = [
            (item["name"], item["category"], utilisation_text(*_damage(item)), _life(item), item["state"])
            for item in joint["details"]
        ]
        lines += ["", *_table(("fatigue detail", "category", "damage", "life", "state"), rows, _DETAIL_COLUMNS, colour)]
    for name, text in damage_lines(joint["details"]):
        lines += wrapped(text, f"{name}: ", "  ")
    lines += _life_lines(joint["details"])
    lines += _runway_lines(joint.get("runway") or [])
    lines += _reasons(joint)
    lines += _slip_lines(joint.get("slip") or {}, walked)
    lines += _movement_lines(joint.get("movement"), colour)
    for warning in joint["warnings"]:
        lines += ["", *wrapped(f"{warning['text']} [{warning['clause']}]", "Warning: ", "  ")]
        for advice in warning["advice"]:
            lines += wrapped(advice, "  - ", "    ")
    return lines + _option_lines(joint["alternatives"], colour) + _care_lines(joint.get("care_plan") or [])


def _care_lines(items: list[dict]) -> list[str]:
    """When each thing is looked at first and then, and what is accepted."""
    lines = []
    for item in items:
        then = item["interval"] if item["interval"] == item["first"] else f"{item['first']}; then {item['interval']}"
        closed = "" if item["possible"] else " (hidden: not until it is opened)"
        lines += wrapped(f"{item['what']}: {then}{closed}; accepted: {item['acceptance']}", "Care, ", "  ")
    return [""] * bool(lines) + lines


def _frame_lines(frame: dict, colour: bool) -> list[str]:
    """How far a point of a frame moves by the slips of its joints."""
    allowed, state = "", "for information"
    if frame["state"] is not None:
        state = frame["state"]
    if frame["tolerance_mm"] is not None:
        allowed = f", tolerance {plain_number(frame['tolerance_mm'])} mm"
    how_far = "moves" if frame["deflection_mm"] is None else f"moves {plain_number(frame['deflection_mm'])} mm"
    text = f"{frame['name']} {how_far} by slip of its joints{allowed}: {state}"
    lines = wrapped(text, "Frame: ", "  ")
    return [_repainted(line, state, colour) if frame["state"] is not None else line for line in lines]


def _option_lines(options: list[dict], colour: bool) -> list[str]:
    if not options:
        return []
    rows = [(option_heading(item), utilisation_text(item), item["state"]) for item in options]
    lines = ["", *_table(("what would do instead", "util.", "state"), rows, _OPTION_COLUMNS, colour)]
    for item in options:
        open_points = list(item.get("still_to_show") or [])
        if item.get("unconfirmed"):
            open_points.append("a value not yet confirmed in its source")
        if open_points:
            lines += wrapped(f"{item['kind']}, still to show: {'; '.join(open_points)}", "  ", "    ")
    return lines


def _damage(detail: dict) -> tuple[dict, str]:
    """Where the damage of a detail stands, that of a random stress included."""
    return (detail["random"], "damage_together") if detail.get("random") else (detail, "damage")


def utilisation_text(item: dict, key: str = "utilisation") -> str:
    """A utilisation or damage for the terminal, "-" for none."""
    return plain(utilisation(item[key])) if item.get(key) is not None else "-"


def option_heading(option: dict) -> str:
    """Kind and title of an alternative, the kind only where the title does not begin with it."""
    kind, title = option["kind"], option["title"]
    return title if title.startswith(kind) else f"{kind}: {title}"


def _life(detail: dict) -> str:
    if detail.get("random"):
        years = detail["random"]["life_years_together"]
        return detail["random"]["life_text_together"] if years is None else f"{plain_number(years)} years"
    if detail.get("life_years") is None:
        return detail.get("life_text") or detail.get("text") or "-"
    return f"{plain_number(detail['life_years'])} years"


def _life_lines(details: list[dict]) -> list[str]:
    """The life that is shortest, from further sides; what is left of each detail that has served before."""
    lines = []
    damaged = [item for item in details if item.get("outlook") and item.get("damage")]
    if damaged:
        worst = max(damaged, key=lambda item: item["damage"])
        lines += wrapped(f"{worst['name']}: {_life_text(worst)}", "Life, ", "  ")
    for item in details:
        if item.get("past"):
            served = sum(duty["damage"] for duty in item["past"]["duty"])
            years, words = item["past"]["remaining_years"], item["past"]["remaining_text"]
            left = f"{plain_number(years)} years {words}" if years else words
            text = f"{item['name']}: {left} (damage of earlier duty {plain_number(served)})"
            lines += wrapped(text, "Remaining life, ", "  ")
    return [""] * bool(lines) + lines


def _runway_lines(places: list[dict]) -> list[str]:
    """Each place of a runway: its classes, both roads, and the count of heavy cycles."""
    lines = []
    for item in places:
        classes = [f"{crane['name']} {crane['class']}" for crane in item["cranes"]]
        if item["together"]:
            classes.append(f"together {item['together']['class']}")
        text = f"{item['name']}: {', '.join(classes) or item['state']}"
        if item["damage"] is not None:
            text += f"; damage by class {plain_number(item['damage'])}"
        if item["beside"]:
            counted = plain_number(item["beside"]["damage_counted"])
            kind = "the same cranes" if item["beside"]["same_cranes"] else "other loads"
            text += f", counted at {item['beside']['detail']} {counted} ({kind})"
        lines += wrapped(f"{text}; {item['exemption']['text']}", "Runway, ", "  ")
    return [""] * bool(lines) + lines


def _life_text(detail: dict) -> str:
    outlook = detail["outlook"]
    lives = {round(100 * item["stress_factor"] - 100): item for item in outlook["other_stress"]}
    others = "; ".join(f"stress {percent:+d} %: {_life(lives[percent])}" for percent in (-10, 10) if percent in lives)
    parts = [f"{_life(detail)} ({others})", _half_text(outlook), _interval_text(outlook)]
    return "; ".join(part for part in parts if part)


def _half_text(outlook: dict) -> str:
    half = outlook.get("half_of_damage")
    if not half:
        return outlook.get("untimed") or ""
    if not half["list"]:
        return f"half of the damage: {half['text']} {plain_number(100 * half['share'])} %"
    number, first = half["cycles"], half["list"][0]
    until = " of the next repeat" if first["next_repeat"] else ""
    when = f"{first['load']}, {plain_number(first['from_s'], 6)} s to {plain_number(first['to_s'], 6)} s{until}"
    share = f"{plain_number(100 * half['share'])} % of the damage"
    return f"{share} from 1 cycle: {when}" if number == 1 else f"{share} from {number} cycles, the first: {when}"


def _interval_text(outlook: dict) -> str:
    interval = outlook["interval"]
    if interval["reason"]:
        return "" if interval["reason"] == outlook.get("untimed") else f"no interval, {interval['reason']}"
    low, high = plain_number(interval["low_years"]), interval.get("high_years")
    width = f"above {low} years" if high is None else f"{low} to {plain_number(high)} years"
    drawn = f"n = {plain_number(interval['resamples'])}, seed {plain_number(interval['seed'])}"
    return f"nine in ten of resampled records: {width} ({drawn})"


def _reasons(joint: dict) -> list[str]:
    """Why something was not judged or failed without a number, and which values are not yet confirmed."""
    lines = []
    others = [check for detail in joint["details"] for check in (detail.get("checks") or [])[1:]]
    lines += [
        line
        for check in others
        if check["state"] != HOLDS
        for line in wrapped(f"{check['title']}: utilisation {utilisation_text(check)}, {check['state']}", "  ", "    ")
    ]
    for item in [*joint["checks"], *joint["details"], *others]:
        if item.get("reason"):
            name = item.get("title") or item["name"]
            lines += wrapped(f"{name}: {item['state']}, {item['reason']}", "  ", "    ")
    lines += [line for text in _unconfirmed(joint, "") for line in wrapped(text, "  ", "    ")]
    return [""] * bool(lines) + lines


def _unconfirmed(part: dict, of: str) -> list[str]:
    """How many values of a joint, or of the loads, were not read in their source."""
    recalled = len(part.get("unconfirmed") or [])
    words = f"1 value{of} is" if recalled == 1 else f"{recalled} values{of} are"
    return [f"{words} not yet confirmed in the source; the note and the JSON list them"] if recalled else []


def _slip_lines(slip: dict, walked: str) -> list[str]:
    lines = []
    for level in slip.get("levels") or []:
        said = f"first bolt {utilisation_text(level)}, whole joint {utilisation_text(level, 'joint_utilisation')}"
        text = f"{said}: {_whether_it_slips(level, walked)}"
        if not level["required"]:
            text += " (for information)"
        lines += wrapped(text, f"Slip, {level['level']}: ", "  ")
    lines += _preload_lines(slip) if slip else []
    return [""] * bool(lines) + lines


def _whether_it_slips(level: dict, walked: str) -> str:
    if level.get("uncounted"):
        loads = " and ".join(level["uncounted"])
        return f"slips under {loads}, {level['kind'].replace('-', ' ')}; of counted cycles it is not known how often"
    return _slips(level, walked) if level["events"] else f"does not slip in {walked}"


def _times(number: float) -> str:
    return "once" if number == 1 else f"{plain_number(number)} times"


def _preload_lines(slip: dict) -> list[str]:
    """At which preload the first bolt begins to slip, and how far it is used at less than the specified one."""
    rows = slip["preload"]
    shares = [(level["level"], level.get("preload_at_slip_share")) for level in slip["levels"]]
    begins = ", ".join(f"{plain_number(100 * share, 3)} % at {name} level" for name, share in shares if share)
    lines = wrapped(f"it begins to slip at {begins}" if begins else "nothing loads its grip", "Preload: ", "  ")
    for name, _ in shares:
        used = [f"{_preload_share(row)}: {_at_preload(row[name])}" for row in rows]
        lines += wrapped(f"first bolt at {name} level, preload at {', '.join(used)}", "  ", "    ")
    return lines


def _preload_share(row: dict) -> str:
    after = f" ({row['title']})" if row["after_losses"] else ""
    return f"{plain_number(100 * row['share'], 3)} %{after}"


def _at_preload(item: dict) -> str:
    return "no grip" if item["utilisation"] is None else utilisation_text(item)


def _slips(level: dict, walked: str) -> str:
    """How often, when and in which direction; the ultimate level is no load that occurs, so has no number in a life."""
    in_life = level.get("events_in_life")
    life = ", load factors included" if in_life is None else f", {_times(in_life)} in the design life"
    when = "" if level.get("time_s") is None else f", {plain_number(level['time_s'], 6)} s"
    without = f"without margin {_times(level['times_without_margin'])}, {plain_number(100 * level['share_of_time'])} %"
    kind = level["kind"].replace("-", " ")
    return (
        f"slips {_times(level['events'])} in {walked}, {kind}{life} ({without} of the time), worst at "
        f"bolt {level['bolt']}, {level['load']}{when}, towards {plain_number(level['direction_deg'])} deg from x"
    )


def _movement_lines(movement: dict | None, colour: bool) -> list[str]:
    if not movement:
        return []
    parts = []
    for key, words, unit in (
        ("travel_mm", "travel", "mm"),
        ("rotation_mrad", "rotation", "mrad"),
        ("at_point_mm", "aligned point", "mm"),
        ("at_point_worst_mm", "at most", "mm"),
        ("tolerance_mm", "tolerance", "mm"),
    ):
        if movement.get(key) is not None:
            parts.append(f"{words} {plain_number(movement[key])} {unit}")
    if movement.get("travel_mm") is None and movement.get("text"):
        parts.insert(0, movement["text"])
    words = ", ".join(parts)
    lines = wrapped(f"{words}: {movement['state']}", "Movement if it slips: ", "  ")
    lines = [_repainted(line, movement["state"], colour) for line in lines]
    levels: dict[str, list[str]] = {}
    aligned = movement.get("tolerance_mm") is not None
    for way in (movement.get("driven") or []) if aligned else []:
        levels.setdefault(_driven(way), []).append(way["level"])
    for text, names in levels.items():
        lines += wrapped(f"driven at {' and '.join(names)} level {text}", "  ", "    ")
    return lines


def _driven(way: dict) -> str:
    """Where the load of the worst instant of one level drives the part."""
    back = "" if way["back_mm"] is None else f", {plain_number(way['back_mm'])} mm back"
    start = f"{plain_number(way['worst_start_mm'])} mm from the worst start"
    return f"{plain_number(way['forward_mm'])} mm{back}, {start}; {way['text']}"


def _table(head: tuple, rows: list[tuple], widths: tuple, colour: bool) -> list[str]:
    """Columns of the given widths, the last one the state; longer texts go on in the next line."""
    lines = _row_lines(head, widths)
    lines.append("-" * sum(widths))
    for row in rows:
        first, *others = _row_lines(row, widths)
        lines += [_repainted(first, row[-1], colour), *others]
    return lines


def _row_lines(cells: tuple, widths: tuple) -> list[str]:
    """One row, over as many lines as its longest cell needs."""
    parts = [textwrap.wrap(plain(cell), width - 1) or [""] for cell, width in zip(cells, widths, strict=True)]
    lines = []
    for place in range(max(map(len, parts))):
        texts = [part[place] if place < len(part) else "" for part in parts]
        lines.append("".join(text.ljust(width) for text, width in zip(texts, widths, strict=True)).rstrip())
    return lines


def _painted(state: str, colour: bool) -> str:
    return f"\x1b[{_COLOURS[state]}m{state}\x1b[0m" if colour else state


def _repainted(line: str, state: str, colour: bool) -> str:
    """The line with the state at its end coloured; a line that does not end in it stays as it is."""
    if not colour or not line.endswith(state):
        return line
    return line[: -len(state)] + _painted(state, colour)
