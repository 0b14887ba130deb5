"""The pictures of the note as inline SVG: joint to scale, history with slip limit, spectrum on the life curve.

Each picture is told apart by line style and marker as well as by colour, carries a title and a description,
and its ids begin with the `key` given, so that several stand on one page. Same input, same bytes.
"""

import io
import math
import xml.etree.ElementTree as ElementTree

from cli.movement_drawing import draw_movement, driven_way, movement_words
from cli.symbols import power_of_ten

_SVG = "http://www.w3.org/2000/svg"
_XLINK = "http://www.w3.org/1999/xlink"
_SETTINGS = {
    "svg.fonttype": "none",
    "text.parse_math": False,
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 9.0,
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.linewidth": 0.8,
    "axes.grid": True,
    "axes.axisbelow": True,
    "grid.color": "#dddddd",
    "grid.linewidth": 0.6,
    "legend.frameon": False,
    "path.simplify": False,
}
# Dark to light, so that the order survives a grey print; each goes with its own line style.
_STROKES = (("#003f6b", "-"), ("#b3500f", "--"), ("#5f9e8f", "-."))
_LEVELS = {"service": ("#003f6b", "-", 1.0), "ultimate": ("#c2571a", "--", 1.3)}


def joint_sketch(joint: dict, *, key: str) -> str:
    """The joint in its faying plane to scale: outlines, holes, numbered bolts, force on each, aligned point."""
    geometry = joint["geometry"]
    bolts, alignment = geometry["bolts"], geometry.get("alignment")
    low_x, high_x, low_y, high_y = _extent(geometry)
    reach = max(high_x - low_x, high_y - low_y)
    height = min(5.2, max(3.0, 5.6 * (high_y - low_y) / (high_x - low_x)))

    def draw(figure):
        axes = figure.add_subplot()
        axes.set_aspect("equal")
        axes.grid(False)
        _draw_outlines(axes, geometry)
        axes.axhline(0, color="#999999", linewidth=0.6, linestyle=(0, (8, 3, 1, 3)), zorder=0)
        axes.axvline(0, color="#999999", linewidth=0.6, linestyle=(0, (8, 3, 1, 3)), zorder=0)
        for bolt in bolts:
            _draw_bolt(axes, bolt, geometry)
        _draw_forces(axes, bolts, reach)
        if alignment:
            _draw_alignment(axes, alignment)
        axes.set(xlim=(low_x, high_x), ylim=(low_y, high_y), xlabel="x [mm]", ylabel="y [mm]")

    words = f"{len(bolts)} bolts in the faying plane with the in-plane force on each at the governing instant"
    if alignment:
        words += ", and the point whose place matters"
    return _svg(draw, (6.9, height), key=key, title=f"Sketch of the joint {joint['name']}", words=words)


def history_plot(load: dict, joint: dict | None, *, key: str) -> str:
    """Load components over time as an envelope; below it the utilisation of the first bolt to slip."""
    trace = load["trace"]
    per_unit: dict[str, list] = {}
    for name, band in trace["components"].items():
        per_unit.setdefault(band["unit"], []).append((name, band))
    levels = _traces_of(joint, load["name"])
    divisor, unit = _time_scale(trace["time_s"])
    rows = len(per_unit) + bool(levels)
    if not rows:
        return ""

    def draw(figure):
        shares = [1.0] * len(per_unit) + [1.5] * bool(levels)
        panels = figure.subplots(rows, 1, sharex=True, squeeze=False, height_ratios=shares)[:, 0]
        for axes, (force_unit, bands) in zip(panels, per_unit.items(), strict=False):
            _draw_bands(axes, [t / divisor for t in trace["time_s"]], bands, force_unit)
        if levels:
            _draw_utilisation(panels[-1], levels, load["name"], divisor)
        panels[-1].set_xlabel(f"time [{unit}]")

    words = f"{', '.join(trace['components'])} over time"
    if levels:
        words += "; utilisation of the first bolt to slip at each load level with the slip limit at 1.0"
    return _svg(draw, (7.2, 1.35 * rows + 0.9), key=key, title=f"History of {load['name']}", words=words)


def spectrum_plot(detail: dict, *, key: str) -> str:
    """Cycles per life of every band of ranges beside the design life curve, and each band's share of damage."""
    bands = [band for band in detail.get("share_by_range") or [] if band["cycles"] > 0 and band["to_MPa"] > 0]
    curve = detail.get("curve") or {"cycles": [], "range_MPa": []}
    ranges = [value for value in curve["range_MPa"] if value > 0] + [band["to_MPa"] for band in bands]
    if not ranges:
        return ""
    floor = 0.6 * min(ranges)

    def draw(figure):
        left, right = figure.subplots(1, 2, sharey=True, width_ratios=[3.2, 1.0])
        _draw_curve(left, detail, curve, bands, floor)
        _draw_shares(right, bands, floor)

    words = (
        f"{len(bands)} bands of stress range with their cycles in the design life, "
        f"beside the design curve of category {detail['category']}; on the right the share of the damage of each"
    )
    return _svg(draw, (7.2, 3.5), key=key, title=f"Stress ranges of {detail['name']}", words=words)


def damage_plot(detail: dict, *, key: str) -> str:
    """Damage along the record of each load that does damage."""
    curves = (detail.get("outlook") or {}).get("along_record") or []
    if not curves:
        return ""

    def draw(figure):
        panels = figure.subplots(1, len(curves), sharey=True, squeeze=False)[0]
        for axes, curve in zip(panels, curves, strict=True):
            divisor, unit = _time_scale(curve["time_s"])
            times = [t / divisor for t in curve["time_s"]]
            axes.plot(times, curve["damage"], color="#003f6b", linewidth=1.4)
            axes.fill_between(times, curve["damage"], color="#003f6b", alpha=0.15, linewidth=0)
            axes.set(xlabel=f"time [{unit}]", title=curve["load"])
            axes.margins(x=0.01)
        panels[0].set_ylim(bottom=0)
        panels[0].set_ylabel("damage in the design life [-]")

    words = f"damage summed along the record of {', '.join(curve['load'] for curve in curves)}"
    return _svg(draw, (7.2, 2.3), key=key, title=f"Damage over time of {detail['name']}", words=words)


def movement_plot(joint: dict, *, key: str) -> str:
    """The part before and after it slips, to scale and magnified, with the path of the point; "" without motion."""
    way = driven_way(joint)
    if way is None:
        return ""
    title, words = f"Movement of {joint['name']}", movement_words(joint, way)
    return _svg(lambda figure: draw_movement(figure, joint, way), (7.2, 4.4), key=key, title=title, words=words)


def _extent(geometry: dict) -> tuple[float, float, float, float]:
    """Limits of the sketch: everything to be drawn and a margin around it. [mm]"""
    xs, ys = [0.0], [0.0]
    for bolt in geometry["bolts"]:
        xs.append(bolt["x_mm"])
        ys.append(bolt["y_mm"])
    middle = _middle(geometry["bolts"])
    for plate in _outlined(geometry):
        xs += [middle[0] - plate["width_mm"] / 2, middle[0] + plate["width_mm"] / 2]
        ys += [middle[1] - plate["height_mm"] / 2, middle[1] + plate["height_mm"] / 2]
    if geometry.get("alignment"):
        xs.append(geometry["alignment"]["x_mm"])
        ys.append(geometry["alignment"]["y_mm"])
    margin = 3.0 * geometry["hole_mm"] + 0.06 * max(max(xs) - min(xs), max(ys) - min(ys))
    return min(xs) - margin, max(xs) + margin, min(ys) - margin, max(ys) + margin


def _middle(bolts: list) -> tuple[float, float]:
    xs, ys = [bolt["x_mm"] for bolt in bolts], [bolt["y_mm"] for bolt in bolts]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _outlined(geometry: dict) -> list:
    return [plate for plate in geometry["plates"] if plate.get("width_mm") and plate.get("height_mm")]


def _draw_outlines(axes, geometry: dict):
    from matplotlib.patches import Rectangle

    middle = _middle(geometry["bolts"])
    for plate, style in zip(_outlined(geometry), ("-", "--", "-.", ":") * 4, strict=False):
        corner = (middle[0] - plate["width_mm"] / 2, middle[1] - plate["height_mm"] / 2)
        face = "#f1f1f1" if style == "-" else "none"
        axes.add_patch(
            Rectangle(
                corner, plate["width_mm"], plate["height_mm"], facecolor=face, edgecolor="#444444", linestyle=style,
                linewidth=1.0, zorder=0.5,
            )
        )  # fmt: skip


def _draw_bolt(axes, bolt: dict, geometry: dict):
    from matplotlib.patches import Circle

    centre = (bolt["x_mm"], bolt["y_mm"])
    axes.add_patch(_hole(centre, geometry))
    axes.add_patch(Circle(centre, geometry["bolt_mm"] / 2, facecolor="#c8c8c8", edgecolor="none", zorder=2.1))
    offset = 0.62 * geometry["hole_mm"]
    axes.annotate(
        str(bolt["number"]), (centre[0] + offset, centre[1] + offset), ha="left", va="bottom", weight="bold", zorder=5
    )


def _hole(centre: tuple[float, float], geometry: dict):
    """The outline of a hole, round or slotted along the axis of its slot."""
    from matplotlib.patches import FancyBboxPatch

    width = geometry["hole_mm"]
    length, axis = geometry.get("slot_mm") or width, geometry.get("slot_axis")
    across, along = (length, width) if axis == "x" else (width, length if axis == "y" else width)
    shape = f"round,pad=0,rounding_size={width / 2:.6f}"
    corner = (centre[0] - across / 2, centre[1] - along / 2)
    return FancyBboxPatch(corner, across, along, boxstyle=shape, facecolor="white", edgecolor="black", zorder=2)


def _draw_forces(axes, bolts: list, reach: float):
    """Arrows of the in-plane forces, the largest a sixth of the sketch long, and a key that gives their scale."""
    sizes = [math.hypot(bolt["shear_x_N"], bolt["shear_y_N"]) for bolt in bolts]
    largest = max(sizes)
    if largest <= 0:
        return
    scale = reach / 6 / largest
    for bolt, size in zip(bolts, sizes, strict=True):
        if size < 1e-3 * largest:
            continue
        start = (bolt["x_mm"], bolt["y_mm"])
        end = (start[0] + scale * bolt["shear_x_N"], start[1] + scale * bolt["shear_y_N"])
        axes.annotate(
            "", end, start, zorder=4,
            arrowprops={"arrowstyle": "-|>", "color": "#b3301f", "linewidth": 1.6, "shrinkA": 0, "shrinkB": 0},
        )  # fmt: skip
    axes.set_title(f"longest arrow: {largest / 1000:.4g} kN on a bolt", loc="left", fontsize=9)


def _draw_alignment(axes, alignment: dict):
    place = (alignment["x_mm"], alignment["y_mm"])
    axes.plot(*place, marker="P", markersize=9, color="#003f6b", linestyle="none", zorder=5)
    text = f"aligned point, tolerance {alignment['tolerance_mm']:.4g} mm"
    axes.annotate(text, place, xytext=(8, 0), textcoords="offset points", va="center", zorder=5)


def _traces_of(joint: dict | None, load: str) -> list:
    """(level, trace of this load) of every level that has one."""
    levels = ((joint or {}).get("slip") or {}).get("levels") or []
    return [(level, trace) for level in levels for trace in level.get("traces") or [] if trace["load"] == load]


def _time_scale(times: list) -> tuple[float, str]:
    span = times[-1] - times[0] if times else 0.0
    if span <= 900:
        return 1.0, "s"
    return (60.0, "min") if span <= 3 * 3600 else (3600.0, "h")


def _draw_bands(axes, times: list, bands: list, unit: str):
    for (name, band), (colour, style) in zip(bands, _STROKES * 2, strict=False):
        axes.fill_between(times, band["low"], band["high"], color=colour, alpha=0.25, linewidth=0)
        axes.plot(times, band["high"], color=colour, linestyle=style, linewidth=0.9, label=name)
        axes.plot(times, band["low"], color=colour, linestyle=style, linewidth=0.9)
    axes.set_ylabel(f"{'moment' if unit.endswith(' m') else 'force'} [{unit}]")
    axes.margins(x=0.01)
    axes.legend(loc="upper left", bbox_to_anchor=(1.0, 1.0), borderaxespad=0.2)


def _draw_utilisation(axes, levels: list, load: str, divisor: float):
    highest = 1.0
    for level, trace in levels:
        colour, style, width = _LEVELS[level["level"]]
        times = [t / divisor for t in trace["time_s"]]
        values = [math.nan if value is None else value for value in trace["utilisation"]]
        axes.plot(times, values, color=colour, linestyle=style, linewidth=width, label=level["level"])
        highest = max([highest, *(value for value in trace["utilisation"] if value is not None)])
        events = [event for event in level.get("event_list") or [] if event["load"] == load]
        if events:
            starts = [event["start_s"] / divisor for event in events]
            marker, name = ("v", "slips, ultimate") if level["level"] == "ultimate" else ("s", "slips, service")
            peaks = [max(event.get("utilisation") or highest, 1.0) for event in events]
            highest = max([highest, *peaks])
            axes.plot(starts, peaks, linestyle="none", marker=marker, markersize=6, color="black",
                      markerfacecolor="white", label=name, zorder=6)  # fmt: skip
    axes.axhline(1.0, color="black", linewidth=2.0, label="slip limit", zorder=1.5)
    axes.set_ylim(0, 1.15 * highest)
    axes.margins(x=0.01)
    axes.set_ylabel("utilisation [-]")
    axes.legend(loc="upper left", bbox_to_anchor=(1.0, 1.0), borderaxespad=0.2)


def _draw_curve(axes, detail: dict, curve: dict, bands: list, floor: float):
    points = [(n, s) for n, s in zip(curve["cycles"], curve["range_MPa"], strict=True) if n > 0 and s > 0]
    axes.set_xscale("log")
    axes.set_yscale("log")
    if points:
        axes.plot(*zip(*points, strict=True), color="black", linewidth=1.8, label="design life curve")
    for index, band in enumerate(bands):
        low = max(band["from_MPa"], floor)
        axes.plot(
            [band["cycles"], band["cycles"]], [low, band["to_MPa"]], color="#b3500f", linewidth=2.4,
            solid_capstyle="butt", label="" if index else "cycles in the design life",
        )  # fmt: skip
    whole = [(band["cycles"], band["to_MPa"]) for band in bands]
    if whole:
        axes.plot(*zip(*whole, strict=True), linestyle="none", marker="o", markersize=3.5, color="#b3500f",
                  markerfacecolor="white")  # fmt: skip
    equal = detail.get("equivalent_range_MPa")
    if equal:
        axes.axhline(equal, color="#003f6b", linewidth=1.2, linestyle="-.", label="equivalent range")
    axes.set(xlabel="cycles [-]", ylabel="stress range [MPa]")
    _plain_ticks(axes)
    axes.legend(loc="lower left" if not bands else "upper right")


def _draw_shares(axes, bands: list, floor: float):
    for band in bands:
        low = max(band["from_MPa"], floor)
        if band["to_MPa"] > low:
            axes.barh(
                low, 100 * band["share"], height=band["to_MPa"] - low, align="edge", facecolor="#e8c4a8",
                edgecolor="#7a3608", linewidth=0.8,
            )  # fmt: skip
    axes.set_xlim(left=0, right=None if any(band["share"] > 0 for band in bands) else 100)
    axes.set_xlabel("share of damage [%]")
    axes.tick_params(labelleft=False)


def _plain_ticks(axes):
    """Ranges as plain numbers (1, 2, 5, 10 …): the reader looks for 63 MPa, not for a power of ten."""
    from matplotlib.ticker import FuncFormatter, LogLocator, NullFormatter

    axes.yaxis.set_major_locator(LogLocator(base=10, subs=(1.0, 2.0, 5.0)))
    axes.yaxis.set_major_formatter(FuncFormatter(lambda value, _: f"{value:g}"))
    axes.yaxis.set_minor_formatter(NullFormatter())
    axes.xaxis.set_major_formatter(FuncFormatter(lambda value, _: power_of_ten(round(math.log10(value)))))


def _svg(draw, size: tuple[float, float], *, key: str, title: str, words: str) -> str:
    """Let `draw` fill a figure of `size` inches and return it as an SVG element for the page."""
    import matplotlib
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure

    with matplotlib.rc_context({**_SETTINGS, "svg.hashsalt": key}):
        figure = Figure(figsize=size, layout="constrained")
        FigureCanvasSVG(figure)
        draw(figure)
        raw = io.BytesIO()
        figure.savefig(raw, format="svg", metadata={"Date": None})
    return _inline(raw.getvalue(), key=key, title=title, words=words)


def _inline(raw: bytes, *, key: str, title: str, words: str) -> str:
    """The SVG without metadata, with its own ids and a text for those who cannot see it."""
    ElementTree.register_namespace("", _SVG)
    ElementTree.register_namespace("xlink", _XLINK)
    root = ElementTree.fromstring(raw)
    for child in list(root):
        if child.tag == f"{{{_SVG}}}metadata":
            root.remove(child)
    for element in root.iter():
        for name, value in element.attrib.items():
            if name == "id":
                element.set(name, f"{key}-{value}")
            elif name == f"{{{_XLINK}}}href":
                element.set(name, value.replace("#", f"#{key}-", 1))
            elif "url(#" in value:
                element.set(name, value.replace("url(#", f"url(#{key}-"))
    root.attrib = {name: root.attrib[name] for name in ("width", "height", "viewBox")}
    root.attrib.update({"role": "img", "aria-labelledby": f"{key}-title {key}-words", "class": "plot"})
    for place, (tag, text) in enumerate((("title", title), ("desc", words))):
        label = ElementTree.Element(f"{{{_SVG}}}{tag}", {"id": f"{key}-{'words' if place else 'title'}"})
        label.text = text
        root.insert(place, label)
    return ElementTree.tostring(root, encoding="unicode")
