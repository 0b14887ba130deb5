"""Draws a joint in its faying plane to scale: outlines, holes, numbered bolts, forces, aligned point, crack sites."""

import math
from string import ascii_uppercase

from cli.movement_drawing import stadium

_FORCE, _INK, _SITE = "#b3301f", "#003f6b", "#7a4a00"
_PLATE_STYLES = ("-", "--", "-.", ":")
_ONE_ARROW = 1e-3


def draw_joint(figure, joint: dict) -> None:
    """Fill a figure with the joint."""
    geometry = joint["geometry"]
    left, right, low, high = _extent(joint)
    axes = figure.add_subplot()
    axes.set_aspect("equal")
    axes.grid(False)
    _draw_outlines(axes, geometry)
    for draw in (axes.axhline, axes.axvline):
        draw(0, color="#999999", linewidth=0.6, linestyle=(0, (8, 3, 1, 3)), zorder=0)
    for bolt in geometry["bolts"]:
        _draw_bolt(axes, bolt, geometry)
    _draw_forces(axes, geometry["bolts"], max(right - left, high - low))
    for letter, _, place in sites_of(joint):
        _draw_site(axes, letter, place)
    if geometry.get("alignment"):
        _draw_alignment(axes, geometry["alignment"], right)
    axes.set(xlim=(left, right), ylim=(low, high), xlabel="x [mm]", ylabel="y [mm]")


def joint_size(joint: dict) -> tuple[float, float]:
    """Width and height of the drawing. [inch]"""
    left, right, low, high = _extent(joint)
    return 6.9, min(5.2, max(3.0, 5.6 * (high - low) / (right - left)))


def joint_words(joint: dict) -> str:
    """What the drawing shows, for those who cannot see it."""
    geometry = joint["geometry"]
    bolts = f"{len(geometry['bolts'])} bolts in the faying plane"
    words = f"{bolts} with the in-plane force on each at the governing instant"
    sites = [f"{letter} {item['name']}" for letter, item, _ in sites_of(joint)]
    if sites:
        words += f", places that may crack: {', '.join(sites)}"
    return words + (", and the point whose place matters" if geometry.get("alignment") else "")


def outlined(geometry: dict) -> list[dict]:
    """The plates whose outline is known."""
    return [plate for plate in geometry["plates"] if plate.get("width_mm") and plate.get("height_mm")]


def sites_of(joint: dict) -> list[tuple[str, dict, tuple[float, float]]]:
    """Letter, detail and place of every detail whose place is stated."""
    stated = [item for item in joint.get("details") or [] if item.get("site")]
    return [
        (_letters(number), item, (item["site"]["x_mm"], item["site"]["y_mm"])) for number, item in enumerate(stated)
    ]


def _letters(number: int) -> str:
    more, last = divmod(number, len(ascii_uppercase))
    return ascii_uppercase[last] + (str(more) if more else "")


def _extent(joint: dict) -> tuple[float, float, float, float]:
    """Limits of the drawing: everything to be drawn and a margin around it. [mm]"""
    geometry = joint["geometry"]
    places = [(0.0, 0.0), *((bolt["x_mm"], bolt["y_mm"]) for bolt in geometry["bolts"])]
    places += [place for _, _, place in sites_of(joint)]
    places += [corner for plate in outlined(geometry) for corner in _corners(plate, geometry)]
    if geometry.get("alignment"):
        places.append((geometry["alignment"]["x_mm"], geometry["alignment"]["y_mm"]))
    (left, right), (low, high) = ((min(values), max(values)) for values in zip(*places, strict=True))
    margin = 3.0 * geometry["hole_mm"] + 0.06 * max(right - left, high - low)
    return left - margin, right + margin, low - margin, high + margin


def _corners(plate: dict, geometry: dict) -> list[tuple[float, float]]:
    """Corners of a plate, which is drawn centred on the bolts."""
    xs, ys = ([bolt[key] for bolt in geometry["bolts"]] for key in ("x_mm", "y_mm"))
    x, y = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2
    across, along = plate["width_mm"] / 2, plate["height_mm"] / 2
    return [(x + i * across, y + j * along) for i, j in ((-1, -1), (1, -1), (1, 1), (-1, 1), (-1, -1))]


def _draw_outlines(axes, geometry: dict) -> None:
    for place, plate in enumerate(outlined(geometry)):
        outline = list(zip(*_corners(plate, geometry), strict=True))
        style = _PLATE_STYLES[place % len(_PLATE_STYLES)]
        if place == 0:
            axes.fill(*outline, color="#f1f1f1", linewidth=0, zorder=0.4)
        axes.plot(*outline, color="#444444", linestyle=style, linewidth=1.0, zorder=0.5)


def _draw_bolt(axes, bolt: dict, geometry: dict) -> None:
    centre, hole = (bolt["x_mm"], bolt["y_mm"]), geometry["hole_mm"]
    axis = geometry.get("slot_axis") or None
    longer = ((geometry.get("slot_mm") or hole) - hole) / 2 if axis else 0.0
    outline = list(zip(*stadium(centre, hole / 2, longer, axis), strict=True))
    axes.fill(*outline, color="white", linewidth=0, zorder=2)
    axes.plot(*outline, color="black", linewidth=1.0, zorder=2.2)
    shank = stadium(centre, geometry["bolt_mm"] / 2, 0.0, None)
    axes.fill(*zip(*shank, strict=True), color="#c8c8c8", linewidth=0, zorder=2.1)
    offset = 0.62 * hole
    axes.annotate(
        str(bolt["number"]), (centre[0] + offset, centre[1] + offset), ha="left", va="bottom", weight="bold", zorder=5
    )


def _draw_forces(axes, bolts: list, reach: float) -> None:
    """Arrows of the in-plane forces, the largest a sixth of the drawing long, and a title that gives their scale."""
    sizes = [math.hypot(bolt["shear_x_N"], bolt["shear_y_N"]) for bolt in bolts]
    largest = max(sizes)
    if largest <= 0:
        return
    scale = reach / 6 / largest
    for bolt, size in zip(bolts, sizes, strict=True):
        if size < _ONE_ARROW * largest:
            continue
        start = (bolt["x_mm"], bolt["y_mm"])
        end = (start[0] + scale * bolt["shear_x_N"], start[1] + scale * bolt["shear_y_N"])
        axes.annotate(
            "", end, start, zorder=4,
            arrowprops={"arrowstyle": "-|>", "color": _FORCE, "linewidth": 1.6, "shrinkA": 0, "shrinkB": 0},
        )  # fmt: skip
    axes.set_title(f"longest arrow: {largest / 1000:.4g} kN on a bolt", loc="left", fontsize=9)


def _draw_site(axes, letter: str, place: tuple[float, float]) -> None:
    axes.plot(*place, marker="D", markersize=11, color=_SITE, markerfacecolor="white", markeredgewidth=1.6,
              linestyle="none", zorder=6)  # fmt: skip
    axes.annotate(letter, place, ha="center", va="center_baseline", color="black", fontsize=7, weight="bold", zorder=7)


def _draw_alignment(axes, alignment: dict, right: float) -> None:
    place = (alignment["x_mm"], alignment["y_mm"])
    axes.plot(*place, marker="P", markersize=9, color=_INK, linestyle="none", zorder=5)
    text = f"aligned point, tolerance {alignment['tolerance_mm']:.4g} mm"
    # Past the middle of the drawing the words stand on the left, so that they are not cut off.
    side = -1 if place[0] > 0.4 * right else 1
    axes.annotate(
        text, place, xytext=(8 * side, 0), textcoords="offset points", va="center",
        ha="right" if side < 0 else "left", zorder=5,
    )  # fmt: skip
