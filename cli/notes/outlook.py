"""Sensitivity and inspection in the note: what if stress or preload were other, and when to look again."""

from cli.notes.details import years
from cli.notes.front import nothing
from cli.notes.model import Heading, Section, bold, bullets, facts, line, quiet, row, table
from cli.notes.working import working
from cli.symbols import number, quantity, utilisation


def inspection_section(contract: dict) -> Section:
    """The plan: what to look at, when first, how often, how; and how each interval came about."""
    blocks = []
    for joint in contract["joints"]:
        found = [*_care(joint), *(block for detail in joint["details"] for block in _inspection(detail))]
        blocks += [Heading((joint["name"],)), *found] if found else []
    return Section("Inspection and care plan", tuple(blocks or nothing("No inspection is stated in the job.")))


def sensitivity_section(contract: dict) -> Section:
    """How the outcome changes with stress, record and preload."""
    blocks = []
    for joint in contract["joints"]:
        found = [*_lives(joint), *_intervals(joint), *_preload(joint)]
        blocks += [Heading((joint["name"],)), *found] if found else []
    return Section("Sensitivity", tuple(blocks or nothing("Nothing was varied.")))


def _care(joint: dict) -> list:
    rows = []
    for item in joint.get("care_plan") or []:
        rows.append(row(*(item[key] for key in ("what", "first", "interval", "method", "acceptance"))))
        rows.append(row(None, quiet(f"Decided by: {item['because']}. Rule: {item['standing']}."), style="whole"))
    return table(("what", "first", "then", "how", "accepted"), rows, "wwwww", may_break=True)


def _inspection(detail: dict) -> list:
    found = detail.get("inspection")
    if not found:
        return []
    blocks = [Heading((f"Inspection: {detail['name']}",), 4)]
    if found.get("interval_years"):
        depths = number(found["detectable_depth_mm"]), number(found["critical_depth_mm"])
        blocks.append(
            line(
                f"A crack {depths[0]} mm deep, found by {found['method']} ({found['detectable_by']}), grows to "
                f"{depths[1]} mm ({found['critical_by']}) in {number(found['years_to_critical'])} years. Look again "
                "within ", bold(f"{number(found['interval_years'])} years"),
                f", {number(found['share'])} of that time as chosen by the user.",
            )
        )  # fmt: skip
    elif found.get("reason"):
        blocks.append(line(bold("No interval:"), f" {found['reason']}"))
    return [*blocks, *working(found.get("figures")), *bullets(found.get("remarks"))]


def _lives(joint: dict) -> list:
    rows = []
    for detail in joint["details"]:
        others = (detail.get("outlook") or {}).get("other_stress") or []
        if others:
            rows.append(row(detail["name"], "100 %", number(detail["damage"]), years(detail)))
        for other in others:
            share = f"{number(100 * other['stress_factor'])} %"
            known = other["life_years"] is not None
            life = f"{number(other['life_years'])} years" if known else other["text"]
            rows.append(row(detail["name"], share, number(other["damage"]), life))
    return table(("detail", "stress", "damage", "life"), rows, "wrrl", caption="Life at other stress", may_break=True)


def _intervals(joint: dict) -> list:
    blocks = []
    for detail in joint["details"]:
        outlook = detail.get("outlook") or {}
        interval = outlook.get("interval")
        if not interval:
            continue
        if interval["reason"]:
            if interval["reason"] != outlook.get("untimed"):
                text = f"How far the life depends on the loads that were counted: not judged; {interval['reason']}."
                blocks.append(line(quiet(f"{detail['name']}: {text}")))
            continue
        low, high = number(interval["low_years"]), interval["high_years"]
        width = f"above {low} years" if high is None else f"between {low} and {number(high)} years"
        text = (
            f"{detail['name']}: records put together anew from {number(interval['spans'])} spans of those recorded, "
            f"{number(interval['resamples'])} times (random numbers from seed {number(interval['seed'])}): nine in "
            f"ten give a life {width}. What the records never held is in none of them."
        )
        blocks += [line(text), *working(interval["figures"])]
    return blocks


def _preload(joint: dict) -> list:
    slip = joint.get("slip") or {}
    preloads = slip.get("preload") or []
    if not preloads:
        return []
    rows = [
        row(
            item["title"], f"{number(100 * item['share'], 3)} %", quantity(item["preload_N"], "N"),
            *(_grip(item[level]) for level in ("service", "ultimate")),
        )
        for item in preloads
    ]  # fmt: skip
    shares = [(level["level"], level.get("preload_at_slip_share")) for level in slip["levels"]]
    begins = " and".join(
        f" {number(100 * share, 3)} % of the specified one at {name} level" for name, share in shares if share
    )
    caption = "Utilisation in grip of the first bolt to slip, the largest under all loads; it slips above 1"
    head = ("preload", "share", "force", "service level", "ultimate level")
    said = f"The first bolt begins to slip at{begins}. " if begins else ""
    return [
        Heading(("If preload is lost",), 4),
        *table(head, rows, "wrrrr", caption=caption),
        line(f"{said}The checks take the specified preload; the other rows are for information."),
        *_preload_life(slip.get("preload_life")),
    ]


def _grip(at: dict) -> str:
    return "no grip" if at["utilisation"] is None else utilisation(at["utilisation"])


def _preload_life(life: dict | None) -> list:
    if not life:
        return []
    rows = [row("from", source) for source in life["sources"]]
    rows += [row("" if place else "tightening", text) for place, text in enumerate(life.get("tightening") or [])]
    caption = f"Preload of a bolt, tightened by {life['method']}, {life['surface']}"
    return [Heading((caption,), 4), *working(life["figures"]), *facts(rows)]

