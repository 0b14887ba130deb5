"""Second calculation, part two: force on every bolt, grip and slips. Plain statics."""

import math

from counting import components, quantity

GOLDEN = (math.sqrt(5) - 1) / 2


def group_of(job_joint):
    """Bolts numbered row by row from below, each row from the left. [mm]"""
    bolts = job_joint["bolts"]
    rows, columns = bolts["rows"], bolts["columns"]
    pitch, gauge = quantity(bolts["pitch"]), quantity(bolts["gauge"])
    places = [((j - (columns - 1) / 2) * gauge, (i - (rows - 1) / 2) * pitch)
              for i in range(rows) for j in range(columns)]
    return {"places": places, "rows": rows, "columns": columns, "pitch": pitch, "gauge": gauge,
            "Sxx": sum(x * x for x, _ in places), "Syy": sum(y * y for _, y in places)}


def cases_of(loads, permanent, combinations):
    """All load cases of a level: (name, time, components); the permanent load alone stands first. [N, N mm]"""
    found = [(None, None, [g * p for p in permanent]) for g, _ in combinations]
    for load in loads:
        for place, instant in enumerate(load["instants"]):
            for g, q in combinations:
                both = [g * p + q * v for p, v in zip(permanent, instant, strict=True)]
                found.append((load["name"], place * load["step"], both))
    return found


def levels(loads, joint, factors):
    """Load cases at service level (every load once) and at ultimate level (permanent adverse, and favourable)."""
    permanent = components(joint["permanent"])
    adverse, favourable, variable = factors
    return (
        cases_of(loads, permanent, [(1.0, 1.0)]),
        cases_of(loads, permanent, [(adverse, variable), (favourable, variable)]),
    )


def bolt_force(group, place, load):
    """Force on a bolt along x and y by the elastic method, and tension by the linear one. [N]"""
    (x, y), n, polar = place, len(group["places"]), group["Sxx"] + group["Syy"]
    fx, fy, fz, mx, my, mz = load
    return (fx / n - mz * y / polar, fy / n + mz * x / polar, fz / n - my * x / group["Sxx"] + mx * y / group["Syy"])


def worst(group, cases, measure):
    """The largest measure(bolt number, fx, fy, tension) and where: (value, number, case, forces)."""
    best = None
    for case in cases:
        for number, place in enumerate(group["places"], 1):
            forces = bolt_force(group, place, case[2])
            value = measure(number, *forces)
            if best is None or value > best[0] * (1 + 1e-12):
                best = (value, number, case, forces)
    return best


def figures_in_plane(group, found):
    """What the note prints of the shear of a bolt."""
    _, number, (_, _, load), (fx, fy, _) = found
    x, y = group["places"][number - 1]
    return {"V_x": load[0], "V_y": load[1], "M_z": load[5], "n_b": len(group["places"]),
            "I_p": group["Sxx"] + group["Syy"], "x": x, "y": y, "F_x,Ed": fx, "F_y,Ed": fy,
            "F_v,Ed": math.hypot(fx, fy)}


def figures_across(group, found):
    """What the note prints of the tension of a bolt."""
    _, number, (_, _, load), (_, _, tension) = found
    x, y = group["places"][number - 1]
    return {"N_z": load[2], "M_x": load[3], "M_y": load[4], "n_b": len(group["places"]), "S_xx": group["Sxx"],
            "S_yy": group["Syy"], "S_xy": 0.0, "x": x, "y": y, "g_x": -load[4] / group["Sxx"],
            "g_y": load[3] / group["Syy"], "c_pry": 1.0, "F_t,Ed": tension}


def smallest_on(function, low, high):
    """The smallest value of a function with one valley, by golden sections: (value, place)."""
    a, b = low, high
    c, d = b - GOLDEN * (b - a), a + GOLDEN * (b - a)
    at_c, at_d = function(c), function(d)
    for _ in range(120):
        if at_c <= at_d:
            b, d, at_d = d, c, at_c
            c = b - GOLDEN * (b - a)
            at_c = function(c)
        else:
            a, c, at_c = c, d, at_d
            d = a + GOLDEN * (b - a)
            at_d = function(d)
    return min((at_c, c), (at_d, d))


def group_utilisation(group, load, grips):
    """Load over the load at which all bolts slide together, the least friction work for a work of 1.

    A motion is a shift along the in-plane force, one across it and a rotation; upper bound theorem of plasticity.
    """
    force, moment = math.hypot(load[0], load[1]), load[5]
    along = (load[0] / force, load[1] / force)
    reach = max(math.hypot(*place) for place in group["places"])

    def friction(rotation, across):
        shift = (1.0 - moment * rotation) / force  # the load does a work of 1
        ux, uy = shift * along[0] - across * along[1], shift * along[1] + across * along[0]
        return sum(grip * math.hypot(ux - rotation * y, uy + rotation * x)
                   for grip, (x, y) in zip(grips, group["places"], strict=True))

    def least_across(rotation):
        far = 3.0 * (abs(1.0 - moment * rotation) / force + reach * abs(rotation))
        return smallest_on(lambda across: friction(rotation, across), -far, far)[0]

    widest = 4.0 / (abs(moment) + force * reach / 10)
    return 1.0 / smallest_on(least_across, -widest, widest)[0]


def slip_level(group, cases, loads, rule):
    """Grip at one level. `rule` gives factor, preload and the share of the tension that lowers the clamping."""
    factor, preload, share = rule

    def grip(tension, at=1.0):
        return factor * max(at * preload - share * max(tension, 0.0), 0.0)

    def used(fx, fy, tension, at=1.0):
        left = grip(tension, at)
        return math.hypot(fx, fy) / left if left else math.inf

    found = worst(group, cases, lambda _, *forces: used(*forces))
    value, number, (_, time, load), (fx, fy, tension) = found
    grips = [grip(bolt_force(group, place, load)[2]) for place in group["places"]]
    at_slip = worst(group, cases, lambda _, x, y, t: (math.hypot(x, y) / factor + share * max(t, 0.0)) / preload)[0]
    shown = {"utilisation": value, "joint_utilisation": group_utilisation(group, load, grips),
             "preload_at_slip_share": at_slip, "bolt": number, "time_s": time,
             "direction_deg": math.degrees(math.atan2(fy, fx)), "demand_N": math.hypot(fx, fy),
             "resistance_N": grip(tension), "tension_N": tension}
    traces = {}
    for name, at, case in cases:
        if name is not None:
            largest = max(used(*bolt_force(group, place, case)) for place in group["places"])
            trace = traces.setdefault(name, {})
            trace[at] = max(trace.get(at, 0.0), largest)
    shown["traces"] = [
        {"time_s": [at + load["step"] / 2 for at in traces[load["name"]]],
         "utilisation": list(traces[load["name"]].values())} for load in loads
    ]
    shares = []
    for at in (1.0, 0.9, 0.8, 0.7):
        lower = worst(group, cases, lambda _, *forces, at=at: used(*forces, at))
        shares.append({"utilisation": lower[0], "bolt": lower[1], "time_s": lower[2][1]})
    return {"found": found, "shown": shown, "shares": shares, "used": used}


def slips(group, cases, loads, level):
    """When it slips: unbroken times without margin, and slips of a group that stays where it was pushed last."""
    line, events, by_load, without = None, [], [], 0.0
    for load in loads:
        pushes, spells, last = [], [], None
        for place in range(len(load["times"])):
            here = [case for case in cases if case[0] == load["name"] and case[1] == place * load["step"]]
            value, number, case, (fx, fy, _) = worst(group, here, lambda _, *forces: level["used"](*forces))
            if value <= 1.0:
                continue
            net = (case[2][0], case[2][1], case[2][5] / math.sqrt(group["Sxx"] + group["Syy"]))
            line = line or net
            way = sum(a * b for a, b in zip(line, net, strict=True)) > 0
            if last != place - 1:
                spells.append(0)
            spells[-1] += 1
            if last != place - 1 or pushes[-1]["way"] != way:
                pushes.append({"way": way, "start_s": place * load["step"], "instants": 0, "peak": (0.0,)})
            pushes[-1]["instants"] += 1
            pushes[-1]["peak"] = max(pushes[-1]["peak"], (value, number, math.degrees(math.atan2(fy, fx))))
            last = place
        new = [push for place, push in enumerate(pushes) if place == 0 or push["way"] != pushes[place - 1]["way"]]
        by_load.append({
            "events": len(new), "reversals": max(len(new) - 1, 0), "times_without_margin": len(spells),
            "instants": sum(spells), "longest_s": max(spells, default=0) * load["step"],
        })
        without += by_load[-1]["instants"] * load["step"] * load["repeats"]
        events += [{"start_s": push["start_s"], "duration_s": push["instants"] * load["step"],
                    "bolt": push["peak"][1], "direction_deg": push["peak"][2], "utilisation": push["peak"][0]}
                   for push in new]
    found = {key: sum(item[key] for item in by_load) for key in by_load[0]}
    found["longest_s"] = max(item["longest_s"] for item in by_load)
    total = sum(load["repeats"] * load["span"] for load in loads)
    return found | {"share_of_time": without / total, "by_load": by_load, "event_list": events}


def reversal(group, cases):
    """The bolt and the line, of four through the plane, on which the smaller of two opposite forces is largest."""
    best = None
    for number, place in enumerate(group["places"], 1):
        for degrees in (0.0, 45.0, 90.0, 135.0):
            cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
            along = [fx * cos + fy * sin for fx, fy, _ in (bolt_force(group, place, case[2]) for case in cases[1:])]
            forward, back = max(*along, 0.0), max(*(-value for value in along), 0.0)
            if best is None or min(forward, back) > best[0] * (1 + 1e-12):
                best = (min(forward, back), {"bolt": number, "direction_deg": degrees, "forward_N": forward,
                                             "back_N": back})
    return best[1]


def slip_shown(group, loads, service, ultimate, rules, required):
    """The slip part of the contract; `required` tells which level is asked for."""
    both = []
    for cases, rule in ((service, rules[0]), (ultimate, rules[1])):
        level = slip_level(group, cases, loads, rule)
        level["shown"] |= slips(group, cases, loads, level)
        both.append(level)
    if not both[0]["shown"]["events"]:
        both[0]["shown"]["events_in_life"] = 0.0
        for item in both[0]["shown"]["by_load"]:
            item["events_in_life"] = 0.0
    asked = both[required]["shown"]
    preloads = [{"share": share, "preload_N": share * rules[0][1], "service": one, "ultimate": two}
                for share, one, two in zip((1.0, 0.9, 0.8, 0.7), both[0]["shares"], both[1]["shares"], strict=True)]
    shown = {"events": asked["events"], "first_bolt_utilisation": asked["utilisation"],
             "joint_utilisation": asked["joint_utilisation"], "preload_at_slip_share": asked["preload_at_slip_share"],
             "reversal": reversal(group, service), "preload": preloads, "levels": [item["shown"] for item in both]}
    return shown, both
