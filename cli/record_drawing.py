"""Draws a record as it was read: each channel over time, and where its faults are."""

_INK, _FAINT, _FAULT = "#003f6b", "#7da3c0", "#b3301f"
# A shape for each kind, so that a grey print tells them apart.
_MARKERS = {
    "spike": ("v", "spike"), "marker": ("x", "marker of a missing value"), "missing value": ("|", "missing"),
    "step": (">", "step"), "clipped": ("_", "cut off"), "stuck": ("s", "stuck"),
    "break in time": ("D", "break in time"), "repeated row": ("d", "repeated row"),
    "uneven stamps": ("d", "uneven stamps"),
}  # fmt: skip
MOST_PANELS = 8
MOST_MARKS = 300


def panels_of(seen: dict) -> list[dict]:
    """The channels that are drawn: the first MOST_PANELS."""
    return seen["channels"][:MOST_PANELS]


def draw_record(figure, seen: dict) -> None:
    """Fill a figure with a panel for each channel."""
    channels, trace = panels_of(seen), seen["trace"]
    divisor, unit = _time_unit(seen["span_s"])
    panels = figure.subplots(len(channels), 1, sharex=True, squeeze=False)[:, 0]
    times = [time / divisor for time in trace["time_s"]]
    for axes, channel in zip(panels, channels, strict=True):
        band = trace["channels"][channel["name"]]
        low, high = _numbers(band["low"]), _numbers(band["high"])
        axes.fill_between(times, low, high, color=_FAINT, linewidth=0)
        axes.plot(times, high, color=_INK, linewidth=0.7)
        axes.plot(times, low, color=_INK, linewidth=0.7)
        _draw_faults(axes, seen, channel, divisor)
        axes.set_ylabel(_label(channel), fontsize=8)
        axes.margins(x=0.01)
    panels[-1].set_xlabel(f"time [{unit}]")
    named = {}
    for axes in panels:
        for handle, label in zip(*axes.get_legend_handles_labels(), strict=True):
            named.setdefault(label, handle)
    if named:
        figure.legend(named.values(), named.keys(), loc="outside lower center", ncols=4)


def record_words(seen: dict) -> str:
    """What the picture shows, for those who cannot see it."""
    names = ", ".join(channel["name"] for channel in panels_of(seen))
    number = len(seen["faults"])
    faults = "no fault was found" if not number else f"{number} fault{'s' if number > 1 else ''} marked"
    left = len(seen["channels"]) - len(panels_of(seen))
    return f"{names} over time, {faults}" + (f"; {left} more channels are not drawn" if left else "")


def _draw_faults(axes, seen: dict, channel: dict, divisor: float) -> None:
    drawn: set[str] = set()
    bottom, top = axes.get_ylim()
    for fault in [item for item in seen["faults"] if item["channel"] in (channel["name"], None)][:MOST_MARKS]:
        kind = fault["kind"]
        if kind not in _MARKERS:
            continue
        shape, label = _MARKERS[kind]
        height = bottom if fault["value"] is None or fault["channel"] is None else _in_file_unit(fault, channel)
        axes.plot(
            [fault["from_s"] / divisor], [height], marker=shape, markersize=7, linestyle="none", color=_FAULT,
            markerfacecolor="none", markeredgewidth=1.4, clip_on=False, zorder=5,
            label="" if kind in drawn else label,
        )  # fmt: skip
        drawn.add(kind)
        if fault["until_s"] > fault["from_s"] and kind in ("missing value", "stuck", "clipped"):
            axes.axvspan(fault["from_s"] / divisor, fault["until_s"] / divisor, color=_FAULT, alpha=0.15, linewidth=0)
    axes.set_ylim(bottom, top)


def _in_file_unit(fault: dict, channel: dict) -> float:
    return fault["value"] / channel["scale"]


def _label(channel: dict) -> str:
    name = channel["name"] if len(channel["name"]) <= 24 else channel["name"][:21] + "..."
    return f"{name} [{channel['unit']}]" if channel["unit"] else f"{name} [no unit]"


def _numbers(values: list) -> list[float]:
    return [float("nan") if value is None else value for value in values]


def _time_unit(span: float) -> tuple[float, str]:
    if span <= 900:
        return 1.0, "s"
    return (60.0, "min") if span <= 3 * 3600 else (3600.0, "h")
