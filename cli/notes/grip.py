"""Slip in the note: checks, the history with its limit, slips one by one, lost preload, movement, strength after it."""

from cli import plots
from cli.notes.joints import check_box, picture
from cli.notes.model import Heading, Row, State, Table, facts, line, quiet, row, table
from cli.symbols import MISSING, number, quantity, utilisation

_DIRECTIONS = (
    "Directions are measured from the x axis towards the y axis. A group that has slid one way stays there until it "
    "is pushed back: a further push the same way is no further slip. One-way slip seats the group once; two-way slip "
    "works it back and forth, as seen along the direction of its first slip. The ultimate level includes the load "
    "factors; no load of that size occurs as often as the record does, so no number of slips in the design life is "
    "given for it."
)
_HISTORY = (
    "smallest and largest value of each load component in every interval of time; below, the largest utilisation in "
    "grip of the first bolt to slip, and where it slips."
)
_MOVES = (
    ("travel of the joint", "travel_mm", "mm"),
    ("rotation", "rotation_mrad", "mrad"),
    ("movement of the aligned point, bolts in the middle of their holes", "at_point_mm", "mm"),
    ("its movement from one extreme to the other", "at_point_worst_mm", "mm"),
    ("tolerance", "tolerance_mm", "mm"),
)


def grip_checks(joint: dict) -> list:
    """The checks of grip."""
    found = [check_box(check) for check in joint["checks"] if _kind(check) == "grip"]
    return [Heading(("Checks of the joint: grip",)), *found] if found else []


def strength_checks(joint: dict) -> list:
    """What holds without grip, and every other check of the joint."""
    found = [check_box(check) for check in joint["checks"] if _kind(check) == "strength"]
    title = "Strength after slip, and further checks" if joint.get("slip") else "Checks of the joint"
    return [Heading((title,)), *found] if found else []


def histories(contract: dict, joint: dict, key: str) -> list:
    """The load histories with the slip limit and the slips."""
    found = []
    for place, load in enumerate(contract["loads"], start=1):
        if load.get("trace") and load.get("joint") in (None, joint["name"]):
            svg = plots.history_plot(load, joint, key=f"{key}-history{place}")
            found += picture(svg, f"{load['name']}: {_HISTORY}")
    return [Heading(("History with the slip limit",)), *found] if found else []


def slips(joint: dict) -> list:
    """How often, when, in which direction it slips, at both levels."""
    slip = joint.get("slip") or {}
    levels = slip.get("levels") or []
    if not levels:
        return []
    head = [("level",), *(_level_name(level) for level in levels)]
    rows = [row(name, *(tell(level) for level in levels)) for name, tell in _LEVEL_ROWS]
    summary = Table(tuple(head), tuple(rows), "h" + "w" * len(levels), kind="facts")
    blocks = [Heading(("Slip through the record",)), summary, line(quiet(_DIRECTIONS + _reversal(slip)))]
    for level in levels:
        if level["events"]:
            blocks += [*_by_load(level), *_one_by_one(level)]
    return blocks


def movement(joint: dict, key: str) -> list:
    """How far the part can move, and where the load drives it."""
    move = joint.get("movement")
    if not move:
        return []
    rows = [
        row(name, f"{number(move[field])} {unit}") for name, field, unit in _MOVES if move.get(field) is not None
    ]
    if move.get("turn_tolerance_mrad") is not None:
        turn = f"{number(move['turn_tolerance_mrad'])} mrad"
        rows.append(row("tolerance of the turn, from one extreme to the other", turn))
    if move.get("tolerance_basis"):
        rows.append(row("tolerance from", move["tolerance_basis"]))
    rows.append(row("state", (State(move["state"]), f" {move.get('text') or ''}")))
    rows.append(row("basis", f"{move.get('clause') or ''} {move.get('basis') or ''}".strip()))
    blocks = [Heading(("Movement if it slips",)), *facts(rows), *_driven(move)]
    if (joint.get("geometry") or {}).get("bolts"):
        point = _point(move) if move.get("point") else "the aligned point"
        caption = (
            f"Left: the part before and after to scale, and the path of {point}. Right: the same, the motion "
            "magnified; each circle is how far the part may move at that bolt."
        )
        blocks += picture(plots.movement_plot(joint, key=f"{key}-movement"), caption)
    return blocks + [check_box(check) for check in joint["checks"] if _kind(check) == "movement"]


def _kind(check: dict) -> str:
    """Where a check stands: by what its id begins with."""
    name = check["id"]
    return "grip" if name.startswith("slip") else "movement" if name.startswith("movement") else "strength"


def _level_name(level: dict) -> tuple:
    name = f"{level['level']} level"
    return (name,) if level["required"] else (f"{name} ", quiet("(for information)"))


def _preload_share(level: dict) -> str:
    share = level.get("preload_at_slip_share")
    return MISSING if share is None else f"{number(100 * share, 3)} % of the stated one"


def _instant(level: dict) -> str:
    combination = f" ({level['combination']})" if level.get("combination") else ""
    time = "" if level.get("time_s") is None else f", {number(level['time_s'], 6)} s"
    towards = number(level["direction_deg"])
    return f"bolt {level['bolt']}, {level['load']}{combination}{time}, towards {towards}°"


def _force(level: dict) -> str:
    forces = [quantity(level[key], "N") for key in ("demand_N", "resistance_N", "tension_N")]
    return f"{forces[0]} of {forces[1]}, tension {forces[2]}"


def _events(level: dict) -> str:
    if level.get("uncounted"):
        names = ", ".join(level["uncounted"])
        text = f"{level['kind']}, not known how often: {names} is given as counted cycles without times"
    else:
        text = number(level["events"])
    if level["events"]:
        text += f", {level['kind']}"
        text += f", {number(level['reversals'])} of them back against the one before" if level["reversals"] else ""
    return text


def _without_margin(level: dict) -> str:
    if level.get("uncounted"):
        return "not known"
    share = number(100 * level["share_of_time"], 3)
    instants = f"({number(level['instants'])} instants, {share} % of the time)"
    return f"{number(level['times_without_margin'])} {instants}"


_LEVEL_ROWS = (
    ("utilisation of the first bolt to slip", lambda level: utilisation(level["utilisation"])),
    ("utilisation of the whole joint", lambda level: utilisation(level["joint_utilisation"])),
    ("preload at which it slips", _preload_share),
    ("governing instant", _instant),
    ("force and grip at that instant", _force),
    ("slips in one run of every load", _events),
    ("times without margin", _without_margin),
    ("slips in the design life",
     lambda level: "not known" if level.get("uncounted") else number(level["events_in_life"])),
    ("longest time without margin", lambda level: f"{number(level['longest_s'])} s" if level["events"] else MISSING),
)  # fmt: skip


def _reversal(slip: dict) -> str:
    found = slip.get("reversal")
    if not found:
        return ""
    reverses = "reverses" if found["reversed"] else "does not reverse"
    ways = quantity(found["forward_N"], "N"), quantity(found["back_N"], "N")
    line_ = f"along the line at {number(found['direction_deg'])}° bolt {found['bolt']}"
    return f" The in-plane force {reverses}: {line_} takes up to {ways[0]} one way and {ways[1]} the other."


def _by_load(level: dict) -> list:
    rows = [
        row(
            part["load"], number(part["events"]), part["kind"], number(part["instants"]),
            number(part["events_in_life"]), f"{number(part['longest_s'])} s",
        )
        for part in level["by_load"]
    ]  # fmt: skip
    head = ("load", "slips", "kind", "instants", "in the design life", "longest")
    return table(head, rows, "lrlrrr", caption=f"Slips at the {level['level']} level, by load")


def _one_by_one(level: dict) -> list:
    listed = level["event_list"]
    rows = [
        row(
            event["load"], f"{number(event['start_s'], 6)} s", f"{number(event['duration_s'])} s",
            number(event["bolt"]), f"{number(event['direction_deg'])}°", event["way"],
            utilisation(event["utilisation"]),
        )
        for event in listed
    ]  # fmt: skip
    first = f" (the first {len(listed)} of {number(level['events'])})" if level["events"] > len(listed) else ""
    head = ("load", "start", "lasts", "bolt", "direction", "way", "utilisation")
    caption = f"Slips at the {level['level']} level, one by one{first}"
    return table(head, rows, "lrrrrlr", caption=caption, may_break=True)


def _point(move: dict) -> str:
    return "the aligned point" if move["point"]["aligned"] else "the middle of the bolts"


def _driven(move: dict) -> list:
    rows = [_driven_row(way) for way in move.get("driven") or []]
    head = ("level", "load", "forward [mm]", "back [mm]", "from the worst start [mm]", "what follows")
    caption = f"Where the load drives {_point(move)}, as soon as nothing grips" if rows else ""
    return table(head, rows, "llrrrw", caption=caption)


def _driven_row(way: dict) -> Row:
    when = "" if way["time_s"] is None else f", {number(way['time_s'], 6)} s"
    moves = [number(way[key]) for key in ("forward_mm", "back_mm", "worst_start_mm")]
    return row(way["level"], f"{way['load']}{when}", *moves, way["text"])
