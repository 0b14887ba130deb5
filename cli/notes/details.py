"""Fatigue in the note: every detail with category, cycles, damage, life and pictures; earlier duty; crane runways."""

from cli import plots
from cli.notes.joints import check_box, picture, verdict
from cli.notes.model import Box, Heading, State, bold, bullets, facts, line, quiet, row, table
from cli.notes.working import working
from cli.symbols import MISSING, number, quantity, utilisation

_SPECTRUM = (
    "Bands of stress range at their cycles in the design life, beside the design life curve (partial factor "
    "included); right: share of the damage."
)
_ALONG = (
    "Damage along each load that does damage, summed over the design life; a cycle counts at the instant that closes "
    "it, one that runs on into the next repeat at that instant of the repeat."
)
_MAP = (
    "Stress ranges and means of the cycles in the design life: the larger the circle, the more cycles (by powers of "
    "ten); the darker, the larger the share of the damage; a cross marks the largest share."
)


def fatigue(joint: dict, key: str) -> list:
    """Every detail as a block, and what the joint has served before."""
    if not joint["details"]:
        return []
    boxes = [_detail(detail, f"{key}-detail{place}") for place, detail in enumerate(joint["details"], start=1)]
    return [Heading(("Fatigue",)), *_past(joint), *boxes]


def runway(joint: dict) -> list:
    """Places of a crane runway that are judged by duty classes."""
    places = joint.get("runway") or []
    return [Heading(("Crane runway by duty classes",)), *map(_place, places)] if places else []


def years(detail: dict) -> str:
    """The life of a detail in years or in words."""
    if detail.get("life_years") is not None:
        return f"{number(detail['life_years'])} years"
    return detail.get("life_text") or MISSING


def _past(joint: dict) -> list:
    rows = [row(duty["name"], number(duty["served_years"]), duty["basis"]) for duty in joint.get("past") or []]
    return table(("duty", "years", "stands on"), rows, "lrw", caption="Earlier duty")


def _detail(item: dict, key: str) -> Box:
    blocks = [Heading((item["name"], " ", State(item["state"])), 4), line(quiet(item["clause"]), role="clause")]
    blocks += facts([row(*pair) for pair in _said(item)])
    blocks += [*working(item["figures"]), *_by_load(item), *_by_range(item)]
    blocks += picture(plots.spectrum_plot(item, key=f"{key}-spectrum"), _SPECTRUM)
    blocks += picture(plots.range_mean_plot(item, key=f"{key}-map"), _MAP)
    blocks += _half(item)
    outlook = item.get("outlook") or {}
    if outlook.get("untimed"):
        blocks.append(line(quiet(f"When the damage is done: not looked for; {outlook['untimed']}.")))
    blocks += picture(plots.damage_plot(item, key=f"{key}-damage"), _ALONG)
    blocks += bullets(item.get("remarks"))
    if item.get("reason"):
        blocks.append(line(bold("Reason:"), f" {item['reason']}"))
    damage, *others = item.get("checks") or [item]
    closing = verdict(item.get("utilisation"), damage["state"], before=f"damage {utilisation(item.get('damage'))},")
    return Box((*blocks, closing, *map(check_box, others)))


def _said(item: dict):
    """Names and values of the table of a detail."""
    catalogue = f" (catalogue {item['catalogue']})" if item.get("catalogue") else ""
    open_ = " — value not yet confirmed in its source" if item.get("unconfirmed") else ""
    on = f" on {item['stress_on']}" if item.get("stress_on") else ""
    yield "category", f"{item['category']}{catalogue}{open_}; {item['stress']} stress{on}"
    if item.get("condition"):
        yield "holds for", item["condition"]
    if item.get("source"):
        yield "source of the category", item["source"]
    yield "stress from loads", item.get("recipe") or MISSING
    yield "cycles in the design life", number(item.get("cycles_per_life"))
    yield "largest range", quantity(item.get("largest_range_MPa"), "MPa")
    if item.get("equivalent_range_MPa") is not None:
        yield "equivalent constant range", quantity(item["equivalent_range_MPa"], "MPa")
    yield "life", years(item)
    if item.get("damage_before_cleaning") is not None:
        both = number(item["damage_before_cleaning"]), number(item["damage"])
        yield "damage before and after cleaning", f"{both[0]} with the records as read, {both[1]} with them cleaned"
    if item.get("random"):
        yield "with the random stress", _random(item["random"])
    past = item.get("past")
    if past:
        for duty in past["duty"]:
            yield f"damage of earlier duty: {duty['name']}", number(duty["damage"])
        left = f"{number(past['remaining_years'])} years " if past["remaining_years"] else ""
        yield "remaining life", f"{left}{past['remaining_text']}"


def _random(found: dict) -> str:
    life = found["life_text_together"]
    if found["life_years_together"] is not None:
        life = f"{number(found['life_years_together'])} years"
    return f"damage {number(found['damage_together'])} ({number(found['damage'])} of it random), life {life}"


def _by_load(item: dict) -> list:
    rows = [
        row(
            part["load"], number(part.get("repeats")), number(part["cycles"]),
            quantity(part.get("largest_range_MPa"), "MPa"), number(part["damage"]),
        )
        for part in item.get("by_load") or []
    ]  # fmt: skip
    head = ("load", "repeats in the design life", "cycles in the design life", "largest range", "damage")
    return table(head, rows, "lrrrr", caption="Damage by load")


def _by_range(item: dict) -> list:
    rows = [
        row(
            number(band["from_MPa"]), number(band["to_MPa"]), number(band["cycles"]), number(band["damage"]),
            f"{number(100 * band['share'], 3)} %",
        )
        for band in item.get("share_by_range") or []
    ]  # fmt: skip
    head = ("from [MPa]", "to [MPa]", "cycles in the design life", "damage", "share")
    return table(head, rows, "rrrrr", caption="Damage by stress range", may_break=True)


def _half(item: dict) -> list:
    half = (item.get("outlook") or {}).get("half_of_damage")
    if not half:
        return []
    share = f"{number(100 * half['share'], 3)} %"
    if not half["list"]:
        told = half["text"] and half["share"]
        return [line(quiet(f"Half of the damage: {half['text']} {share}."))] if told else []
    several = half["cycles"] != 1
    first = f"; the first {len(half['list'])}" if half["cycles"] > len(half["list"]) else ""
    caption = (
        f"{half['cycles']} cycle{'s' if several else ''} of the loads make{'' if several else 's'} {share} of the "
        f"damage{first}"
    )
    head = ("load", "from", "to", "range", "mean", "times in the design life", "share")
    return table(head, [_cycle(cycle) for cycle in half["list"]], "lrrrrrr", caption=caption, may_break=True)


def _cycle(cycle: dict):
    until = f"{number(cycle['to_s'], 6)} s" + (" of the next repeat" if cycle["next_repeat"] else "")
    stresses = quantity(cycle["range_MPa"], "MPa"), quantity(cycle["mean_MPa"], "MPa")
    share = f"{number(100 * cycle['share'], 3)} %"
    return row(cycle["load"], f"{number(cycle['from_s'], 6)} s", until, *stresses, number(cycle["times"]), share)


def _place(item: dict) -> Box:
    said = [row(f"category, {kind} stress", name) for kind, name in item["categories"].items()]
    said.append(row("stress cycles in a working cycle", number(item["stress_cycles"])))
    blocks = [
        Heading((item["name"], " ", State(item["state"])), 4),
        line(quiet(f"{item['clause']}; the workings stand with the checks of the joint."), role="clause"),
        *facts(said), *_cranes(item), *_beside(item),
    ]  # fmt: skip
    exemption = item["exemption"]
    blocks.append(line(f"Heavy cycles ({exemption['clause']}): {exemption['text']}."))
    return Box((*blocks, *working(exemption["figures"]), *bullets(item["remarks"])))


def _cranes(item: dict) -> list:
    rows = [_crane(crane["name"], crane) for crane in item["cranes"]]
    if rows and item["together"]:
        rows += [_crane("acting together", item["together"])]
        rows += [row("in all", None, None, None, number(item["damage"]))]
    head = ("cranes", "class", "equivalent range, normal", "equivalent range, shear", "damage")
    return table(head, rows, "llrrr")


def _crane(name: str, crane: dict):
    ranges = [quantity(crane["equivalent_ranges_MPa"].get(kind), "MPa") for kind in ("normal", "shear")]
    return row(name, crane["class"], *ranges, number(crane["damage"]))


def _beside(item: dict) -> list:
    beside = item["beside"]
    if not beside:
        return []
    others = "" if beside["same_cranes"] else ": the counted loads are others, so their damage adds"
    rows = [
        row("duty classes and equivalent ranges", number(beside["damage_by_class"])),
        row(f"cycles counted at {beside['detail']}", number(beside["damage_counted"])),
    ]
    caption = f"Two roads side by side{others}"
    return [*table(("road", "damage"), rows, "lr", caption=caption), *working(beside.get("figures"))]
