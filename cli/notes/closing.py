"""End of the note: every utilisation, warnings and deviations, alternatives, inspection, assumptions, cautions."""

import math

from cli.notes.front import nothing
from cli.notes.joints import verdict
from cli.notes.model import (
    Bar,
    Box,
    Heading,
    Row,
    Section,
    State,
    bold,
    bullets,
    cells,
    line,
    quiet,
    row,
    table,
)
from cli.screen import option_heading
from cli.symbols import number, quantity, utilisation
from loadhistories.figures import FAILS, NOT_JUDGED


def utilisation_rows(contract: dict) -> list[dict]:
    """Every check and detail of every joint in one list; `governing` marks the one that decides."""
    rows = []
    for joint in contract["joints"]:
        for check in joint["checks"]:
            rows.append({**_row(joint, check), "what": check["title"], "at": check.get("at") or ""})
        for detail in joint["details"]:
            damage, *others = detail.get("checks") or [detail]
            found = {**_row(joint, detail), "state": damage["state"], "clause": damage["clause"]}
            rows.append({**found, "what": f"fatigue: {detail['name']}", "at": "damage"})
            for check in others:
                rows.append({**_row(joint, check), "what": check["title"], "at": check.get("at") or ""})
    for frame in contract.get("frames") or []:
        if frame["state"] is not None:
            what = "movement by slip of the joints of its members"
            rows.append({**_row(frame, frame), "what": what, "at": frame.get("at") or ""})
    decisive = max(rows, key=_severity, default=None)
    for item in rows:
        item["governing"] = item is decisive and item["state"] != NOT_JUDGED
    return rows


def frame_boxes(contract: dict) -> list[Box]:
    """Frames whose point moves when the joints of their members slip."""
    return [_frame(frame) for frame in contract.get("frames") or []]


def closing_sections(contract: dict, rows: list[dict]) -> list[Section]:
    """All parts after the joints up to alternatives."""
    return [
        Section("Utilisation of every check", tuple(_utilisations(rows))),
        Section("Warnings and deviations", tuple(_warnings(contract) + _deviations(contract))),
        Section("Alternatives", tuple(_alternatives(contract))),
    ]


def last_sections(contract: dict) -> list[Section]:
    """Assumptions and cautions."""
    texts = [*contract["assumptions"]]
    texts += [f"{joint['name']}: {text}" for joint in contract["joints"] for text in joint["assumptions"]]
    return [
        Section("Assumptions", tuple(bullets(texts, numbered=True) or nothing("None."))),
        Section("Cautions", tuple(bullets(contract["cautions"], numbered=True))),
    ]


def _row(joint: dict, item: dict) -> dict:
    return {
        "joint": joint["name"],
        "clause": item["clause"],
        "utilisation": item.get("utilisation"),
        "state": item["state"],
    }


def _severity(item: dict) -> tuple[bool, float]:
    """A failure before all else, one without a number (nothing left to resist) before any number."""
    fails = item["state"] == FAILS
    none = math.inf if fails else -math.inf
    return fails, none if item["utilisation"] is None else item["utilisation"]


def _utilisations(rows: list[dict]) -> list:
    shown, joint = [], None
    for item in rows:
        if item["joint"] != joint:
            joint = item["joint"]
            shown.append(Row(cells(joint), "group"))
        at = quiet(f" ({item['at']})") if item["at"] else None
        what = tuple(run for run in (item["what"], at) if run)
        mark = "► governing" if item["governing"] else None
        value = item["utilisation"]
        style = "governing" if item["governing"] else ""
        shown.append(
            row(mark, what, item["clause"], utilisation(value), (Bar(value),), (State(item["state"]),), style=style)
        )
    head = ("governing", "check", "clause", "utilisation", "limit at 1", "state")
    return table(head, shown, "swwrss", may_break=True) or nothing("Nothing was checked.")


def _warnings(contract: dict) -> list:
    boxes = []
    for joint in contract["joints"]:
        for warning in joint["warnings"]:
            said = line(bold(f"{joint['name']}: {warning['text']}"), " ", quiet(f"({warning['clause']})"))
            boxes.append(Box((said, *bullets(warning["advice"])), "warning"))
    return boxes or nothing("No warnings.")


def _deviations(contract: dict) -> list:
    """What departs from the job file or from the recommended values of the standard."""
    found = [text for item in contract["inputs"] if item["what"] == "job" for text in item["remarks"]]
    basis = contract.get("fatigue_basis") or {}
    choices = basis.get("choices") or {}
    own = [f"{key.replace('_', ' ')} = {number(value)}" for key, value in choices.items() if isinstance(value, float)]
    if own:
        because = choices.get("because")
        found.append(f"fatigue: {', '.join(own)} in place of the recommended value{f': {because}' if because else ''}")
    if not found:
        return [line("Deviations from the job file and from recommended factors: none.")]
    return [line(bold("Deviations:")), *bullets(found)]


def _alternatives(contract: dict) -> list:
    blocks = []
    for joint in contract["joints"]:
        boxes = [_alternative(joint, option) for option in joint["alternatives"]]
        blocks += [Heading((joint["name"],)), *boxes] if boxes else []
    return blocks or nothing("None was sized.")


def _alternative(joint: dict, option: dict) -> Box:
    open_ = "; uses a value not yet confirmed in its source" if option.get("unconfirmed") else ""
    rows = []
    for check in option["checks"]:
        reason = quiet(f" ({check['reason']})") if check.get("reason") else None
        what = tuple(run for run in (check["title"], reason) if run)
        rows.append(row(what, check["clause"], utilisation(check["utilisation"]), (State(check["state"]),)))
    blocks = [
        Heading((option_heading(option), " ", State(option["state"])), 4),
        line(quiet(f"instead, for {joint['name']}{open_}"), role="clause"),
        *table(("check made again", "clause", "utilisation", "state"), rows, "wwrs", may_break=True),
    ]
    tried = option.get("tried") or []
    if len(tried) > 1:
        steps = "; ".join(f"{step['what']} ({step['state']}: {step['reason']})" for step in tried)
        blocks.append(line(quiet(f"Looked at in this order: {steps}.")))
    if option["still_to_show"]:
        blocks.append(line(bold("Still to show:"), f" {'; '.join(option['still_to_show'])}"))
    closing = verdict(option["utilisation"], option["state"], name="largest utilisation")
    return Box((*blocks, closing))


def _frame(frame: dict) -> Box:
    state = State(frame["state"]) if frame["state"] else None
    title = f"{frame['name']}: movement by slip of the joints of its members "
    rows = [
        row(
            member["name"], ", ".join(member["joints"]) or "slip as given", number(member["unit_force"]),
            quantity(member["slip_mm"], "mm"), quantity(member["share_mm"], "mm"),
        )
        for member in frame["members"]
    ]  # fmt: skip
    rows.append(row("sum", None, None, None, (bold(quantity(frame["deflection_mm"], "mm")),)))
    basis = frame["clause"] or "virtual work of a frame with hinged joints (textbook statics); no tolerance is given"
    blocks = [
        Heading(tuple(run for run in (title, state) if run)),
        *table(("member", "joints", "N₁", "slip s", "|N₁| × s"), rows, "lwrrr"),
        line(quiet(f"{basis}. {frame['basis']}.")),
    ]
    if frame["state"]:
        tolerance = f"tolerance {quantity(frame['tolerance_mm'], 'mm')},"
        blocks.append(verdict(frame["utilisation"], frame["state"], before=tolerance))
    return Box(tuple(blocks))
