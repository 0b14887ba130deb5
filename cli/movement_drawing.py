"""Draws where the load drives a slipped part: before and after, to scale and magnified, and the path of the point."""

import math

_BEFORE, _AFTER, _BACK = "#777777", "#003f6b", "#b3500f"
_MAGNIFIED = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
_ARC = 24


def driven_way(joint: dict) -> dict | None:
    """The driven travel that is drawn: that of the level asked for, else the first there is."""
    ways = (joint.get("movement") or {}).get("driven") or []
    asked = (joint.get("slip") or {}).get("level")
    return next((way for way in ways if way["level"] == asked), ways[0] if ways else None)


def draw_movement(figure, joint: dict, way: dict):
    """Fill a figure with two panels: to scale on the left, the motion magnified on the right."""
    part = _part(joint)
    factor = _magnification(joint, way, part)
    for axes, times in zip(figure.subplots(1, 2), (1, factor), strict=True):
        axes.set_aspect("equal")
        axes.grid(False)
        _draw_holes(axes, joint, times)
        _draw_part(axes, part, None, 1, _BEFORE, ":", "before")
        if way["back"] is not None:
            _draw_part(axes, part, way["back"], times, _BACK, "--", "pushed back")
        _draw_part(axes, part, way["forward"], times, _AFTER, "-", "driven forward")
        point = joint["movement"]["point"]
        _draw_path(axes, (point["x_mm"], point["y_mm"]), way, times, 7)
        if times > 1:
            for bolt in joint["geometry"]["bolts"]:
                _draw_path(axes, (bolt["x_mm"], bolt["y_mm"]), way, times, 3)
        axes.set_title("to scale" if times == 1 and axes is figure.axes[0] else f"motion {times} times", fontsize=9)
        axes.set(xlabel="x [mm]")
        axes.margins(0.08)
    figure.axes[0].set_ylabel("y [mm]")
    handles, labels = figure.axes[1].get_legend_handles_labels()
    figure.legend(handles, labels, loc="outside lower center", ncols=len(labels))


def movement_words(joint: dict, way: dict) -> str:
    """What the picture shows, for those who cannot see it."""
    point = "the aligned point" if joint["movement"]["point"]["aligned"] else "the middle of the bolts"
    back = f" and {way['back_mm']:.3g} mm back" if way["back_mm"] is not None else "; nothing pushes it back"
    return (
        f"the part before and after it slips under the worst load of the {way['level']} level, to scale and magnified; "
        f"{point} moves {way['forward_mm']:.3g} mm forward{back}"
    )


def _part(joint: dict) -> list[list[tuple[float, float]]]:
    """Lines of the part: outline of the first plate, and a line from its middle to the point."""
    geometry, point = joint["geometry"], joint["movement"]["point"]
    xs, ys = [bolt["x_mm"] for bolt in geometry["bolts"]], [bolt["y_mm"] for bolt in geometry["bolts"]]
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    plate = next((item for item in geometry["plates"] if item.get("width_mm") and item.get("height_mm")), None)
    margin = 2 * geometry["hole_mm"]
    width = plate["width_mm"] if plate else max(xs) - min(xs) + 2 * margin
    height = plate["height_mm"] if plate else max(ys) - min(ys) + 2 * margin
    left, right, low, high = x - width / 2, x + width / 2, y - height / 2, y + height / 2
    outline = [(left, low), (right, low), (right, high), (left, high), (left, low)]
    return [outline, [(x, y), (point["x_mm"], point["y_mm"])]]


def _moved(place: tuple[float, float], motion: dict | None, times: float) -> tuple[float, float]:
    if motion is None:
        return place
    turn = motion["rotation_mrad"] / 1e3
    return (
        place[0] + times * (motion["x_mm"] - turn * place[1]),
        place[1] + times * (motion["y_mm"] + turn * place[0]),
    )


def _magnification(joint: dict, way: dict, part) -> int:
    """Largest round number at which the motion stays a sixth of the part and the circles of play stand apart."""
    movement, places = joint["movement"], [place for line in part for place in line]
    extent = max(max(p[axis] for p in places) - min(p[axis] for p in places) for axis in (0, 1))
    bolts = [(bolt["x_mm"], bolt["y_mm"]) for bolt in joint["geometry"]["bolts"]]
    gap = min(math.dist(a, b) for a in bolts for b in bolts if a != b)
    motions = [item for item in (way["forward"], way["back"]) if item is not None]
    farthest = max(math.dist(place, _moved(place, item, 1)) for place in places for item in motions)
    most = 0.4 * gap / (movement["play_mm"] + (movement["slot_play_mm"] or 0.0))
    if farthest > 0.0:
        most = min(most, extent / 5 / farthest)
    return max([step for step in _MAGNIFIED if step <= most], default=1)


def _draw_holes(axes, joint: dict, times: float):
    """To scale the holes; magnified a circle of the play at each bolt, drawn out along a slot."""
    geometry, movement = joint["geometry"], joint["movement"]
    round_, longer = geometry["hole_mm"] / 2, (geometry["slot_mm"] - geometry["hole_mm"]) / 2
    label = "holes"
    if times > 1:
        round_, longer = times * movement["play_mm"], times * (movement["slot_play_mm"] or 0.0)
        label = "play of each bolt"
    for bolt in geometry["bolts"]:
        centre = (bolt["x_mm"], bolt["y_mm"])
        shape = stadium(centre, round_, longer, geometry.get("slot_axis"))
        axes.plot(*zip(*shape, strict=True), color="black", linewidth=0.8, label=label, zorder=2)
        if times == 1:
            shank = stadium(centre, geometry["bolt_mm"] / 2, 0.0, None)
            axes.fill(*zip(*shank, strict=True), color="#c8c8c8", linewidth=0, zorder=1)
        label = ""


def stadium(centre: tuple[float, float], radius: float, longer: float, axis: str | None) -> list[tuple[float, float]]:
    """Outline of a circle that is drawn out by `longer` both ways along an axis."""
    along = (longer, 0.0) if axis == "x" else (0.0, longer)
    points = []
    for step in range(2 * _ARC + 1):
        angle = math.pi * step / _ARC
        x, y = math.cos(angle), math.sin(angle)
        side = math.copysign(1.0, x if axis == "x" else y)
        points.append((centre[0] + radius * x + side * along[0], centre[1] + radius * y + side * along[1]))
    return [*points, points[0]]


def _draw_part(axes, part, motion: dict | None, times: float, colour: str, style: str, label: str):
    for line in part:
        ends = [_moved(place, motion, times) for place in line]
        axes.plot(*zip(*ends, strict=True), color=colour, linestyle=style, linewidth=1.3, label=label, zorder=3)
        label = ""


def _draw_path(axes, start: tuple[float, float], way: dict, times: float, size: float):
    """The way of a place of the part from its start, and where it ends."""
    axes.plot(*start, marker="o", color=_BEFORE, markersize=0.7 * size, markerfacecolor="white", linestyle="none",
              zorder=5)  # fmt: skip
    for motion, colour, marker in ((way["back"], _BACK, "s"), (way["forward"], _AFTER, "P")):
        if motion is None:
            continue
        end = _moved(start, motion, times)
        axes.plot(*zip(start, end, strict=True), color=colour, linewidth=0.3 * size, zorder=4)
        axes.plot(*end, marker=marker, color=colour, markersize=size, linestyle="none", zorder=6)
