"""The pictures of the note as inline SVG: joint to scale, history with slip limit, spectrum on the life curve.

Each picture is told apart by line style and marker as well as by colour, carries a title and a description,
and its ids begin with the `key` given, so that several stand on one page. Same input, same bytes.
"""

import io
import math
import warnings
import xml.etree.ElementTree as ElementTree
from pathlib import Path

from cli.joint_drawing import draw_joint, joint_size, joint_words, outlined, sites_of
from cli.movement_drawing import draw_movement, driven_way, movement_words
from cli.range_mean_drawing import draw_range_mean, range_mean_words
from cli.record_drawing import draw_record, panels_of, record_words
from cli.symbols import power_of_ten

__all__ = [
    "damage_plot", "font_folder", "history_plot", "joint_sketch", "movement_plot", "outlined", "range_mean_plot",
    "record_plot", "sites_of", "spectrum_plot", "words_of",
]  # fmt: skip

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
    """The joint in its faying plane to scale: outlines, holes, bolts with their forces, places that may crack."""
    title = f"Sketch of the joint {joint['name']}"
    return _svg(lambda figure: draw_joint(figure, joint), joint_size(joint), key=key, title=title,
                words=joint_words(joint))  # fmt: skip


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
    """Damage along the history of each load that does damage."""
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

    words = f"damage summed along the history of {', '.join(curve['load'] for curve in curves)}"
    return _svg(draw, (7.2, 2.3), key=key, title=f"Damage over time of {detail['name']}", words=words)


def range_mean_plot(detail: dict, *, key: str) -> str:
    """Cycles by range and mean, with their share of the damage; "" where no means are known."""
    if not detail.get("range_mean"):
        return ""
    title, words = f"Ranges and means of {detail['name']}", range_mean_words(detail)
    return _svg(lambda figure: draw_range_mean(figure, detail), (7.2, 3.3), key=key, title=title, words=words)


def movement_plot(joint: dict, *, key: str) -> str:
    """The part before and after it slips, to scale and magnified, with the path of the point; "" without motion."""
    way = driven_way(joint)
    if way is None:
        return ""
    title, words = f"Movement of {joint['name']}", movement_words(joint, way)
    return _svg(lambda figure: draw_movement(figure, joint, way), (7.2, 4.4), key=key, title=title, words=words)


def record_plot(seen: dict, *, key: str) -> str:
    """A record as it was read, channel by channel, with its faults."""
    height = 1.4 * len(panels_of(seen)) + 1.0
    title, words = f"Record {seen['path']}", record_words(seen)
    return _svg(lambda figure: draw_record(figure, seen), (7.2, height), key=key, title=title, words=words)


def font_folder() -> str:
    """Where the fonts lie that the pictures are drawn with."""
    from matplotlib import get_data_path

    return str(Path(get_data_path(), "fonts", "ttf"))


def words_of(svg: str) -> str:
    """What a picture shows in words: its title and description."""
    root = ElementTree.fromstring(svg)
    found = [root.findtext(f"{{{_SVG}}}{tag}", "") for tag in ("title", "desc")]
    return ": ".join(text for text in found if text)


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

    with matplotlib.rc_context({**_SETTINGS, "svg.hashsalt": key}), warnings.catch_warnings():
        # A letter that the font lacks is drawn by that of the reader.
        warnings.filterwarnings("ignore", "Glyph .* missing from font")
        figure = Figure(figsize=size, layout="constrained")
        canvas = FigureCanvasSVG(figure)
        draw(figure)
        raw = io.BytesIO()
        # Not `savefig`, which lays the figure out and draws it once more before.
        canvas.print_svg(raw, metadata={"Date": None})
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
