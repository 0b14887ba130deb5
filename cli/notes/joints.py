"""A joint in the note: bolts, plates and drawing; and the block that every check is shown in."""

from cli import plots
from cli.notes.model import Bar, Box, Heading, Picture, Section, State, bold, facts, line, quiet, row, table
from cli.notes.working import working
from cli.plots import words_of
from cli.symbols import number, quantity, utilisation

_LONG_TABLE = 24


def joint_section(joint: dict, key: str) -> Section:
    """What the joint is: its data, its drawing, its place."""
    blocks = [_headline(joint)]
    if (joint.get("geometry") or {}).get("bolts"):
        blocks += _geometry(joint, key)
    return Section(f"Joint: {joint['name']}", (*blocks, *_place(joint), *_column(joint)))


def check_box(check: dict) -> Box:
    """A check as a block: what, clause, working, demand against resistance, utilisation, state."""
    at = f" · governing: {check['at']}" if check.get("at") else ""
    heading = Heading((check["title"], " ", State(check["state"])), 4)
    blocks = [heading, line(quiet(f"{check['clause']}{at}"), role="clause")]
    blocks += working(check["figures"])
    if check.get("reason"):
        blocks.append(line(bold("Reason:"), f" {check['reason']}"))
    against = None
    if check.get("demand") is not None and check.get("resistance") is not None:
        unit = check["unit"]
        against = f"demand {quantity(check['demand'], unit)}, resistance {quantity(check['resistance'], unit)}"
    return Box((*blocks, verdict(check.get("utilisation"), check["state"], before=against)))


def verdict(value: float | None, state: str | None, *, before: str | None = None, name: str = "utilisation"):
    """The line that a block ends with."""
    runs = [f"{before} " if before else None, f"{name} ", bold(utilisation(value)), " ", Bar(value), " "]
    return line(*runs, State(state) if state else None, role="verdict")


def picture(svg: str, caption: str) -> list[Picture]:
    """A drawing with its caption, or nothing where there is nothing to draw."""
    return [Picture(svg, words_of(svg), caption)] if svg else []


def _headline(joint: dict):
    rule = f"Slip: {joint['slip_rule']}" if joint.get("slip_rule") else "No bolts"
    because = f"; reason: {joint['because']}" if joint.get("because") else ""
    return line(State(joint["state"]), f" {rule}{because}.", role="verdict")


def _geometry(joint: dict, key: str) -> list:
    geometry = joint["geometry"]
    plate = " Plate outlines are drawn centred on the bolts." if plots.outlined(geometry) else ""
    at = f" ({geometry['at']})" if geometry.get("at") else ""
    sites = plots.sites_of(joint)
    crack = " Lettered diamonds: places that may crack, as listed under the drawing." if sites else ""
    caption = (
        "Faying plane to scale, bolts numbered; arrows: in-plane force on each bolt at the governing instant, "
        f"ultimate level{at}.{plate}{crack}"
    )
    rows = [
        row(
            number(bolt["number"]), number(bolt["x_mm"]), number(bolt["y_mm"]), quantity(bolt["shear_x_N"], "N"),
            quantity(bolt["shear_y_N"], "N"), quantity(bolt["tension_N"], "N"),
        )
        for bolt in geometry["bolts"]
    ]  # fmt: skip
    head = ("bolt", "x [mm]", "y [mm]", "shear along x", "shear along y", "tension")
    return [
        *facts([row(*item) for item in _data(geometry)]),
        *picture(plots.joint_sketch(joint, key=f"{key}-sketch"), caption),
        *_sites(joint),
        *table(
            head, rows, "rrrrrr", caption="Forces on the bolts at the governing instant, ultimate level",
            may_break=len(rows) > _LONG_TABLE,
        ),
    ]  # fmt: skip


def _sites(joint: dict) -> list:
    """The letters of the drawing, and the details that stand at no stated place."""
    shown = plots.sites_of(joint)
    if not shown:
        return []
    rows = [
        row(letter, detail["name"], f"{number(x)} mm", f"{number(y)} mm") for letter, detail, (x, y) in shown
    ]
    others = [detail["name"] for detail in joint["details"] if not detail.get("site")]
    found = table(("mark", "detail", "x", "y"), rows, "llrr", caption="Places that may crack")
    return found + [line(quiet(f"Without a stated place: {'; '.join(others)}."))] * bool(others)


def _data(geometry: dict):
    """Names and values of the table of the joint."""
    preload = f"preload {quantity(geometry['preload_N'], 'N')} each" if geometry.get("preload_N") else "not preloaded"
    yield "bolts", f"{len(geometry['bolts'])} × {geometry['size']}, grade {geometry['grade']}, {preload}"
    yield "holes", _holes(geometry)
    grip = "no grip is counted on"
    if geometry.get("slip_factor") is not None:
        grip = f"{geometry['surface']}, slip factor {number(geometry['slip_factor'])}"
    planes = geometry["planes"]
    yield "faying surface", f"{grip}; {planes} plane{'s' if planes != 1 else ''}"
    stated = _stated(geometry)
    if stated:
        yield "stated", "; ".join(stated)
    for plate in geometry["plates"]:
        yield _plate(plate)
    if geometry.get("load_axis"):
        axis = geometry["load_axis"]
        yield "end distances", f"lie along {axis}, the axis of the larger force; edge distances across it"
    alignment = geometry.get("alignment")
    if alignment:
        place = f"x {number(alignment['x_mm'])} mm, y {number(alignment['y_mm'])} mm"
        yield "aligned point", f"{place}; may move {number(alignment['tolerance_mm'])} mm"


def _holes(geometry: dict) -> str:
    size = f"{number(geometry['hole_mm'])}"
    if geometry.get("slot_axis"):
        size += f" × {number(geometry['slot_mm'])} mm, slots along {geometry['slot_axis']},"
    else:
        size += " mm"
    factor = ""
    if geometry.get("hole_factor") is not None:
        factor = f"; hole factor {number(geometry['hole_factor'])}"
    return f"{geometry['holes']}, {size} for bolts of {number(geometry['bolt_mm'])} mm{factor}"


def _stated(geometry: dict) -> list[str]:
    found = []
    prying = geometry.get("prying")
    if prying:
        found.append("no prying" if prying == 1 else f"bolt tension times {number(prying)} for prying")
    if geometry.get("packing_mm"):
        found.append(f"packing of {number(geometry['packing_mm'])} mm")
    return found


def _plate(plate: dict) -> tuple[str, str]:
    name = f"plate of the {plate['belongs_to']}" if plate.get("belongs_to") else "plate"
    text = f"{plate['name']}: {number(plate['thickness_mm'])} mm, {plate['steel']}"
    if plate.get("yield_strength_MPa"):
        strengths = number(plate["yield_strength_MPa"]), number(plate["ultimate_strength_MPa"])
        text += f" (yield {strengths[0]} MPa, ultimate {strengths[1]} MPa)"
    end, edge = number(plate["end_distance_mm"]), number(plate["edge_distance_mm"])
    text += f"; end distance {end} mm, edge distance {edge} mm"
    if plate.get("width_mm") and plate.get("height_mm"):
        text += f"; outline {number(plate['width_mm'])} × {number(plate['height_mm'])} mm"
    return name, text


def _place(joint: dict) -> list:
    place = joint.get("place") or {}
    rows = [
        row(key.replace("_", " "), value if isinstance(value, str) else number(value)) for key, value in place.items()
    ]
    return [Heading(("Place of the joint",)), *facts(rows)] if rows else []


def _column(joint: dict) -> list:
    """The moment that a stiff joint brings into the column that bears it."""
    column = joint.get("column")
    if not column:
        return []
    blocks = [Heading(("Moment in the supporting column",))]
    for group in (*column["members"], {"name": "moment in the column", "figures": column["figures"]}):
        blocks += [Heading((group["name"],), 4), *working(group["figures"])]
    stiff, pinned = quantity(column["stiff_Nmm"], "N mm"), quantity(column["pinned_Nmm"], "N mm")
    return [
        *blocks,
        line(
            "The stiff joint brings ", bold(stiff), f" into the column, against {pinned} if it were a pin. For "
            "information; no check of this note counts it.",
        ),
    ]  # fmt: skip
