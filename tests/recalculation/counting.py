"""Second calculation, part one: the job file and its records, stress cycles and what they do.

Plain Python. Knows neither the programs that are checked nor numpy.
"""

import csv
import itertools
import math
import tomllib
from pathlib import Path

UNITS = {
    "N": 1.0, "kN": 1e3, "kip": 4448.2216152605, "mm": 1.0, "m": 1e3, "in": 25.4,
    "MPa": 1.0, "ksi": 4448.2216152605 / 25.4**2, "mm2": 1.0, "in2": 25.4**2,
}
COMPONENTS = ("Fx", "Fy", "Fz", "Mx", "My", "Mz")
SHOWN_IN = {"Fx": 1e3, "Fy": 1e3, "Fz": 1e3, "Mx": 1e6, "My": 1e6, "Mz": 1e6}  # kN and kN m
YEAR = 365.25 * 86400.0
RANGE_BINS, TABLE_BINS, PARTS_OF_RECORD = 20, 12, 40


def unit(text):
    """Size of a unit such as kN, kN m, MPa/kN or MPa/(kN m)."""
    above, _, below = text.partition("/")
    size = math.prod(UNITS[word] for word in above.split())
    return size / math.prod(UNITS[word] for word in below.strip("()").split()) if below else size


def quantity(text):
    """A quantity such as "12 kN" in N, mm and MPa; a bare number stays."""
    if isinstance(text, (int, float)):
        return float(text)
    number, _, rest = text.partition(" ")
    return float(number) * unit(rest)


def components(table):
    """The six components of a load table such as { Fy = "-20 kN" }. [N, N mm]"""
    return [quantity(table[name]) if name in table else 0.0 for name in COMPONENTS]


def read(path):
    """A job with its loads."""
    path = Path(path)
    job = tomllib.loads(path.read_text(encoding="utf-8"))
    years = float(job["design_life"].split()[0])
    return job, years, [load_of(path.parent, table, years) for table in job["load"]]


def load_of(folder, table, years):
    """A load: name, times, components of every instant, step, span and repeats."""
    with (folder / table["history"]).open(encoding="utf-8") as lines:
        head, *rows = csv.reader(lines)
    columns = {}
    for place, title in enumerate(head):
        name, _, of = title.partition(" [")
        columns[name] = (place, of.rstrip("]"))
    times = [float(row[0]) for row in rows]
    instants = []
    for row in rows:
        instant = [0.0] * 6
        for name, source in table["components"].items():
            place, of = columns[source["column"]]
            instant[COMPONENTS.index(name)] = float(row[place]) * UNITS[of] * quantity(source.get("factor", 1.0))
        instants.append(instant)
    step = (times[-1] - times[0]) / (len(times) - 1)
    load = {"name": table["name"], "times": times, "instants": instants, "step": step, "span": step * len(times),
            "given": list(table["components"])}
    return load | occurrence(table["occurs"], load["span"], years)


def occurrence(words, span, years):
    """Repeats of a record in the design life and their working: "16 h/day" or a plain number of times."""
    life = years * YEAR
    if words.endswith("h/day"):
        hours = float(words.split()[0])
        periods = life / YEAR * 365.25
        time = hours * 3600.0 * periods
        figures = {"T_L": life, "Y": YEAR, "n_Y": 365.25, "n_P": periods, "t_P": hours * 3600.0, "T": time,
                   "t_h": span, "n": time / span, "r": span / time}
        return {"repeats": time / span, "figures": figures}
    count = float(words)
    return {"repeats": count, "figures": {"T_L": life, "n": count, "t_h": span, "T": count * span}}


def shown_load(load):
    """What the contract shows of a load."""
    extremes, trace = {}, {}
    for name in load["given"]:
        place = COMPONENTS.index(name)
        values = [instant[place] / SHOWN_IN[name] for instant in load["instants"]]
        extremes[name] = {"low": min(values), "high": max(values)}
        trace[name] = {"low": values, "high": values}
    middles = [(place + 0.5) * load["step"] for place in range(len(load["times"]))]
    return {
        "samples": len(load["times"]), "step_s": load["step"], "span_s": load["span"], "repeats": load["repeats"],
        "scale": 1.0, "extremes": extremes, "trace": {"time_s": middles, "components": trace},
        "figures": load["figures"],
    }


def turning_points(values):
    """Places at which a history turns, its first and its last one among them."""
    places = []
    for place, value in enumerate(values):
        if places and value == values[places[-1]]:
            continue
        while len(places) > 1 and (value - values[places[-1]]) * (values[places[-1]] - values[places[-2]]) > 0:
            places.pop()
        places.append(place)
    return places


def rainflow(values):
    """Cycles by ASTM E1049-85, 5.4.4 (three points, range Y beside range X): (range, mean) and how often each."""
    found, left = {}, []

    def count(first, second, number):
        key = (abs(first - second), (first + second) / 2)
        found[key] = found.get(key, 0.0) + number

    for place in turning_points(values):
        left.append(values[place])
        while len(left) >= 3 and abs(left[-1] - left[-2]) >= abs(left[-2] - left[-3]):
            if len(left) == 3:
                count(left[0], left[1], 0.5)
                left.pop(0)
            else:
                count(left[-3], left[-2], 1.0)
                del left[-3:-1]
    for first, second in itertools.pairwise(left):
        count(first, second, 0.5)
    return found


def repeated_cycles(values, repeats):
    """Cycles of a history that follows itself so many times.

    It is really repeated as often as is short; each repeat after the third adds the same, which is made sure of here.
    """
    if repeats <= 50_000 and repeats == int(repeats):
        really = rainflow(values * int(repeats))
        if repeats <= 6:
            return really
    three, four, six = (rainflow(values * times) for times in (3, 4, 6))
    each = {key: four[key] - three.get(key, 0.0) for key in four}
    found = {key: three.get(key, 0.0) + (repeats - 3) * each[key] for key in four}
    for key in six:
        if abs(six[key] - three.get(key, 0.0) - 3 * each[key]) > 1e-9:
            raise ArithmeticError("a further repeat does not add what the one before did")
    if repeats <= 50_000 and repeats == int(repeats):
        for key in really:
            if abs(really[key] - found[key]) > 1e-9 * really[key]:
                raise ArithmeticError("the history really repeated holds other cycles")
    return found


def timed_cycles(load, values):
    """Cycles with their samples by four points: those that close (n times), those over the seam (n - 1), halves.

    Each is (first, second, closing, how often); samples of the next repeat count on.
    """

    def close(places, at):
        left, closed = [], []
        for place in places:
            left.append(place)
            while len(left) >= 4:
                a, b, c, d = (at(item) for item in left[-4:])
                if not abs(b - c) <= min(abs(a - b), abs(c - d)):
                    break
                closed.append((left[-3], left[-2], left[-1]))
                del left[-3:-1]
        return closed, left

    samples, repeats = len(values), load["repeats"]
    own, left = close(turning_points(values), lambda place: values[place])
    twice = left + [place + samples for place in left]
    series = [values[place % samples] for place in twice]
    seam, last = close([twice[item] for item in turning_points(series)], lambda place: values[place % samples])
    halves = list(itertools.pairwise(last))
    return (
        [(*item, repeats) for item in own] + [(*item, repeats - 1) for item in seam]
        + [(first, second, None, 0.5) for first, second in halves]
    )


def history(load, coefficients):
    """Stress of every instant. [MPa]"""
    return [sum(c * f for c, f in zip(coefficients, instant, strict=True)) for instant in load["instants"]]


def fatigue(loads, coefficients, years, damage_of, *, sum_of=None):
    """What a detail's cycles do: all that is shown of a detail and does not depend on the standard.

    `damage_of(range)` is the damage of one cycle; `sum_of(cycles)` the standard's own sum where it is another one.
    """
    blocks = []
    for load in loads:
        values = history(load, coefficients)
        cycles = repeated_cycles(values, load["repeats"])
        blocks.append({"load": load, "values": values, "cycles": cycles,
                       "n": sum(cycles.values()), "largest": max(key[0] for key in cycles),
                       "D": sum(number * damage_of(key[0]) for key, number in cycles.items())})
    every = [(key[0], key[1], number) for block in blocks for key, number in block["cycles"].items()]
    total = sum(block["D"] for block in blocks)
    found = {"n": sum(block["n"] for block in blocks), "largest": max(block["largest"] for block in blocks),
             "D": total if sum_of is None else sum_of(every), "blocks": blocks, "every": every}
    shown = {
        "cycles_per_life": found["n"], "largest_range_MPa": found["largest"], "damage": found["D"],
        "share_by_range": by_range(every, damage_of, found["largest"]),
        "range_mean": by_range_and_mean(every, damage_of, found["largest"]),
        "by_load": [{"damage": block["D"], "cycles": block["n"], "repeats": block["load"]["repeats"],
                     "largest_range_MPa": block["largest"]} for block in blocks],
    }
    if found["D"]:
        shown["life_years"] = years / found["D"]
    shown["outlook"] = {
        "along_record": [along_record(block, damage_of) for block in blocks if block["D"]],
        "other_stress": other_stress(every, damage_of, sum_of, years),
        "half_of_damage": half_of_damage(blocks, damage_of, total) if total else {"share": 0.0},
    }
    found["shown"] = shown
    found["figures"] = [
        {"r": block["load"]["repeats"], "n": block["n"], "Δ_max": block["largest"], "D_block": block["D"]}
        for block in blocks
    ]
    return found


def bin_of(value, low, width, bins, *, upper):
    """Bin of a value; one on an edge belongs to the bin below it where `upper`, else to that above it."""
    share = (value - low) / width
    near = round(share)
    on_edge = near - 1 if upper else near
    return min(max(on_edge if abs(share - near) < 1e-9 else math.floor(share), 0), bins - 1)


def by_range(every, damage_of, largest):
    """Cycles and damage in steps of range; empty steps are left out."""
    width, total = largest / RANGE_BINS, sum(number * damage_of(size) for size, _, number in every)
    bins = {}
    for size, _, number in every:
        item = bins.setdefault(bin_of(size, 0.0, width, RANGE_BINS, upper=True), [0.0, 0.0])
        item[0] += number
        item[1] += number * damage_of(size)
    return [
        {"from_MPa": place * width, "to_MPa": (place + 1) * width, "cycles": bins[place][0], "damage": bins[place][1],
         "share": bins[place][1] / total if total else 0.0}
        for place in sorted(bins)
    ]


def by_range_and_mean(every, damage_of, largest):
    """Cycles and share of the damage in steps of range and mean."""
    low, high = min(item[1] for item in every), max(item[1] for item in every)
    width, step = largest / TABLE_BINS, (high - low) / TABLE_BINS
    total, bins = sum(number * damage_of(size) for size, _, number in every), {}
    for size, mean, number in every:
        place = (bin_of(size, 0.0, width, TABLE_BINS, upper=True), bin_of(mean, low, step, TABLE_BINS, upper=False))
        item = bins.setdefault(place, [0.0, 0.0])
        item[0] += number
        item[1] += number * damage_of(size)
    return [
        {"range_from_MPa": i * width, "range_to_MPa": (i + 1) * width, "mean_from_MPa": low + j * step,
         "mean_to_MPa": low + (j + 1) * step, "cycles": bins[i, j][0],
         "share": bins[i, j][1] / total if total else 0.0}
        for i, j in sorted(bins)
    ]


def other_stress(every, damage_of, sum_of, years):
    """Damage and life at other stress."""
    found = []
    for factor in (0.9, 0.95, 1.05, 1.1):
        scaled = [(size * factor, mean * factor, number) for size, mean, number in every]
        damage = sum_of(scaled) if sum_of else sum(number * damage_of(size) for size, _, number in scaled)
        item = {"stress_factor": factor, "damage": damage}
        found.append(item | {"life_years": years / damage} if damage else item)
    return found


def half_of_damage(blocks, damage_of, total):
    """The fewest cycles of the records that make half of the damage."""
    listed = []
    for block in blocks:
        samples, step, values = len(block["values"]), block["load"]["step"], block["values"]
        for first, second, closing, times in timed_cycles(block["load"], values):
            size = abs(values[first % samples] - values[second % samples])
            if closing is not None and damage_of(size):
                mean = (values[first % samples] + values[second % samples]) / 2
                listed.append({"from_s": first % samples * step, "to_s": second % samples * step, "range_MPa": size,
                               "mean_MPa": mean, "times": times, "share": times * damage_of(size) / total})
    listed.sort(key=lambda item: -item["share"])
    share, taken = 0.0, []
    while share < 0.5:
        taken.append(listed[len(taken)])
        share += taken[-1]["share"]
    return {"cycles": len(taken), "share": share, "list": taken}


def along_record(block, damage_of):
    """Damage of the cycles closed until each of some times, and of what stays open at the end of all."""
    load, values = block["load"], block["values"]
    samples, closed, left_open = len(values), [], 0.0
    for first, second, closing, times in timed_cycles(load, values):
        damage = times * damage_of(abs(values[first % samples] - values[second % samples]))
        if closing is None:
            left_open += damage
        else:
            closed.append((closing % samples * load["step"], damage))
    times = [load["span"] * part / PARTS_OF_RECORD for part in range(PARTS_OF_RECORD + 1)]
    sums = [sum(damage for at, damage in closed if at < time - 1e-9) for time in times]
    return {"time_s": times, "damage": sums, "left_open": left_open}
