"""The contract of a detail's life: at other stress, along the record, by which cycles, how sure, and what is left."""

from cli.contract_figures import figures_of
from cli.outlook import DetailLife
from fatigue.outlook import Outlook
from fatigue.resampling import NoInterval
from fatigue.timeline import LISTED_FROM, HalfOfDamage
from loadhistories.occurrence import YEAR

LISTED = 10


def life_of(item: DetailLife) -> dict:
    """What is known of the life of a detail beside its damage."""
    found = {}
    if item.outlook is not None:
        found["outlook"] = _outlook(item.outlook)
    found["range_mean"] = [
        {
            "range_from_MPa": cell.range_from,
            "range_to_MPa": cell.range_to,
            "mean_from_MPa": cell.mean_from,
            "mean_to_MPa": cell.mean_to,
            "cycles": cell.cycles,
            "share": cell.share,
        }
        for cell in item.cells
    ]
    if item.remaining is not None:
        found["past"] = {
            "duty": [{"name": name, "damage": damage} for name, damage in item.past],
            "remaining_years": item.remaining.remaining,
            "remaining_text": item.remaining.text,
        }
    return found


def past_of(duty) -> list[dict]:
    """The earlier duty of a joint and what stands for it."""
    return [
        {
            "name": item.name,
            "served_years": item.served / YEAR,
            "basis": item.because or "; ".join(f"{load.origin}: {load.per_life}" for load in item.loads),
        }
        for item in duty
    ]


def _outlook(outlook: Outlook) -> dict:
    return {
        "other_stress": [
            {"stress_factor": item.stress_factor, "damage": item.damage, "life_years": item.life, "text": item.text}
            for item in outlook.scaled
        ],
        "half_of_damage": None if outlook.half is None else _half(outlook.half),
        "along_record": [
            {
                "load": curve.load,
                "time_s": list(curve.times),
                "damage": list(curve.damage),
                "left_open": curve.left_open,
            }
            for curve in outlook.curves
        ],
        "untimed": outlook.untimed,
        "interval": _interval(outlook.interval),
    }


def _half(half: HalfOfDamage) -> dict:
    return {
        "cycles": len(half.cycles) or None,
        "share": half.share,
        "text": "" if half.cycles else f"not from few cycles, the {LISTED_FROM} most harmful make",
        "list": [
            {
                "load": item.load,
                "from_s": item.first_time,
                "to_s": item.second_time,
                "next_repeat": item.second_time < item.first_time,
                "range_MPa": item.range,
                "mean_MPa": item.mean,
                "times": item.times,
                "share": item.share,
            }
            for item in half.cycles[:LISTED]
        ],
    }


def _interval(interval) -> dict:
    if isinstance(interval, NoInterval):
        return {"reason": interval.reason}
    return {
        "reason": "",
        "low_years": interval.low,
        "high_years": interval.high,
        "resamples": interval.resamples,
        "spans": interval.spans,
        "seed": interval.seed,
        "figures": figures_of((interval,)),
    }
