"""Draws the cycles of a detail by range and mean: how many by the size of a circle, their damage by its darkness."""

import math

from cli.symbols import power_of_ten

_SMALLEST, _LARGEST = 3.0, 15.0
# Light to dark in one colour, so that a grey print keeps the order; each with the share of damage it begins at.
_TONES = ((0.0, "#ffffff"), (1e-6, "#dfe7ee"), (0.01, "#a9c0d3"), (0.1, "#5d86a8"), (0.3, "#003f6b"))
_NAMES = ("no damage", "below 1 %", "1 to 10 %", "10 to 30 %", "above 30 %")


def draw_range_mean(figure, detail: dict) -> None:
    """Fill a figure with the map."""
    cells = detail["range_mean"]
    axes = figure.add_subplot()
    powers = [math.log10(cell["cycles"]) for cell in cells]
    low, high = math.floor(min(powers)), math.ceil(max(powers))
    for tone in range(len(_TONES)):
        for cell, power in zip(cells, powers, strict=True):
            if _tone(cell) == tone:
                axes.plot(
                    *_middle(cell), marker="o", markersize=_size(power, low, high), color="#1d2733",
                    markerfacecolor=_TONES[tone][1], markeredgewidth=0.8, linestyle="none", zorder=2 + tone,
                )  # fmt: skip
        axes.plot([], [], marker="s", markersize=8, color="#1d2733", markerfacecolor=_TONES[tone][1],
                  markeredgewidth=0.8, linestyle="none", label=_NAMES[tone])  # fmt: skip
    worst = max(cells, key=lambda cell: cell["share"])
    if worst["share"] > 0.0:
        cross = {"marker": "x", "color": "#b3301f", "markeredgewidth": 1.6, "linestyle": "none", "zorder": 9}
        axes.plot(*_middle(worst), markersize=18, **cross)
        axes.plot([], [], markersize=8, label=f"largest: {100 * worst['share']:.3g} %", **cross)
    figure.legend(*axes.get_legend_handles_labels(), loc="outside right upper", title="share of damage")
    steps = _steps(low, high)
    look = {"marker": "o", "color": "#1d2733", "markerfacecolor": "white", "linestyle": "none"}
    circles = [axes.plot([], [], markersize=_size(power, low, high), **look)[0] for power in steps]
    figure.legend(circles, map(power_of_ten, steps), loc="outside right lower", title="cycles")
    axes.set(xlabel="mean stress [MPa]", ylabel="stress range [MPa]")
    axes.set_ylim(bottom=0.0, top=1.08 * max(cell["range_to_MPa"] for cell in cells))
    axes.margins(x=0.08)


def range_mean_words(detail: dict) -> str:
    """What the map shows, for those who cannot see it."""
    cells = detail["range_mean"]
    worst = max(cells, key=lambda cell: cell["share"])
    words = f"{len(cells)} cells of range and mean with their cycles in the design life"
    if worst["share"] <= 0.0:
        return f"{words}; none does damage"
    limits = [f"{worst[key]:.3g}" for key in ("range_from_MPa", "range_to_MPa", "mean_from_MPa", "mean_to_MPa")]
    return (
        f"{words}; the largest share of the damage, {100 * worst['share']:.3g} %, lies at ranges of {limits[0]} to "
        f"{limits[1]} MPa and means of {limits[2]} to {limits[3]} MPa"
    )


def _tone(cell: dict) -> int:
    return max(number for number, (least, _) in enumerate(_TONES) if cell["share"] >= least)


def _middle(cell: dict) -> tuple[float, float]:
    return (cell["mean_from_MPa"] + cell["mean_to_MPa"]) / 2, (cell["range_from_MPa"] + cell["range_to_MPa"]) / 2


def _size(power: float, low: int, high: int) -> float:
    return _SMALLEST + (_LARGEST - _SMALLEST) * (power - low) / max(high - low, 1)


def _steps(low: int, high: int) -> list[int]:
    """At most four powers of ten from the fewest to the most cycles."""
    step = max(1, math.ceil((high - low) / 3))
    return sorted({low, *range(low, high + 1, step), high}) if (high - low) % step else list(range(low, high + 1, step))
