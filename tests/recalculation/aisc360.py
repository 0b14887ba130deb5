"""Second calculation of a job to AISC 360-22, chapter J and Appendix 3, by LRFD, written from the clauses alone.

    python tests/recalculation/aisc360.py tests/jobs/recalculated_aisc360.toml

prints every number as JSON. It knows what that job holds and no more: pretensioned bolts in rows and columns, plates
with stated strengths, fillet welds, fatigue details of normal and of shear stress. Values of tables stand here with
their clause. The programs of the package are not used.
"""

import json
import math
import sys

import counting
import moving
import plates
import statics

KSI, KIP, INCH = counting.UNITS["ksi"], counting.UNITS["kip"], 25.4
FACTORS = (1.2, 0.9, 1.6)  # ASCE/SEI 7, 2.3.1: dead adverse and favourable, live
SIZES = {"1 in": {"d": INCH, "hole": 1.125 * INCH, "edge": 1.25 * INCH}}  # Tables J3.3 and J3.4
GRADES = {"A490": {"F_nt": 113 * KSI, "F_nv": 68 * KSI, "T_b": 64 * KIP}}  # Tables J3.2, J3.1 (1 in)
SLIP_FACTORS = {"B": 0.5}  # J3.9
MULTIPLIER = 1.13  # D_u, J3.9
ELECTRODES = {"E70XX": 70 * KSI}
NORMAL, SHEAR = (1000 * KSI, 0.333), (100 * KSI, 0.167)  # Appendix 3.3, (A-3-1) and (A-3-2)
CATEGORIES = {"5.7-toe": (4.4, 10 * KSI, NORMAL), "F": (1.5, 8 * KSI, SHEAR)}  # Table: C and F


def grip_checks(group, bolt, both):
    """J3.9 with the tension of J3.10, every load once and with load factors."""
    found = {}
    for level, name in zip(both, ("slip-service", "slip-ultimate"), strict=True):
        worst = level["found"]
        tension, mu, clamp = worst[3][2], bolt["mu"], bolt["T_b"]
        nominal = mu * MULTIPLIER * clamp
        left = max(1 - max(tension, 0.0) / (MULTIPLIER * clamp), 0.0)
        found[name] = plates.check(
            math.hypot(*worst[3][:2]), nominal * left, statics.figures_in_plane(group, worst),
            statics.figures_across(group, worst),
            {"mu": mu, "D_u": MULTIPLIER, "h_f": 1.0, "T_b": clamp, "n_s": 1.0, "R_n": nominal, "phi": 1.0,
             "c_T": 1.0, "T_u": tension, "k_sc": left, "φR_n": nominal * left})
    return found


def bolt_checks(group, cases, bolt):
    """J3.7 shear and tension, J3.8 both: the tension strength beside the shear."""
    area, lap = math.pi * bolt["d"] ** 2 / 4, (group["rows"] - 1) * group["pitch"]
    shear, tension = 0.75 * bolt["F_nv"] * area, 0.75 * bolt["F_nt"] * area

    def beside(force):
        return max(tension * min(1.0, 1.3 - force / shear), 0.0)

    first = statics.worst(group, cases, lambda _, x, y, t: math.hypot(x, y))
    second = statics.worst(group, cases, lambda _, x, y, t: t)
    third = statics.worst(group, cases, lambda _, x, y, t: max(t, 0.0) / beside(math.hypot(x, y)))
    force = math.hypot(*third[3][:2])
    return {
        "bolt-shear": plates.check(first[0], shear, statics.figures_in_plane(group, first), {
            "n": 1.0, "F_nv": bolt["F_nv"], "A_b": area, "l_j": lap, "c_l": 1.0, "t_f": 0.0, "c_f": 1.0,
            "R_nv": bolt["F_nv"] * area, "phi": 0.75, "φR_nv": shear}),
        "bolt-tension": plates.check(second[0], tension, statics.figures_across(group, second), {
            "F_nt": bolt["F_nt"], "A_b": area, "R_nt": bolt["F_nt"] * area, "phi": 0.75, "φR_nt": tension}),
        "bolt-shear-tension": plates.check(
            third[0], 1.0, statics.figures_in_plane(group, third), statics.figures_across(group, third),
            {"V_u": force, "φR_nv": shear, "T_u": third[3][2], "φR_nt": tension, "φR_nt,v": beside(force),
             "U": third[0]}),
    }


def bearing_of(bolt, plate):
    """J3.11a, deformation at service load a concern: 2.4 d t F_u and 1.2 l_c t F_u."""

    def strength(end, pitch, edge, across):
        hole, figures = bolt["hole"], {}
        if end is not None:
            figures |= {"L_e": end, "l_c,e": end - hole / 2}
        if pitch is not None:
            figures |= {"s": pitch, "l_c,s": pitch - hole}
        clear = min(figures[key] for key in ("l_c,e", "l_c,s") if key in figures)
        bear, tear = 2.4 * bolt["d"] * plate["t"] * plate["fu"], 1.2 * clear * plate["t"] * plate["fu"]
        return 0.75 * min(bear, tear), figures | {
            "l_h": hole, "d": bolt["d"], "t": plate["t"], "F_u": plate["fu"], "c_b": 2.4, "R_n,b": bear, "c_t": 1.2,
            "l_c": clear, "R_n,t": tear, "phi": 0.75, "φR_n": 0.75 * min(bear, tear)}

    return strength


def whole_bearing(group, cases, bolt, plate):
    """J3.11a for the whole force of a bolt."""
    found = statics.worst(group, cases, lambda _, x, y, t: math.hypot(x, y))
    nominal = 2.4 * bolt["d"] * plate["t"] * plate["fu"]
    return plates.check(found[0], 0.75 * nominal, statics.figures_in_plane(group, found), {
        "d": bolt["d"], "t": plate["t"], "F_u": plate["fu"], "c_b": 2.4, "R_n,b": nominal, "phi": 0.75,
        "φR_n,b": 0.75 * nominal})


def section_checks(group, cases, bolt, plate):
    """J4.1 and J4.2; holes 1/16 in larger in net sections by B4.3b."""
    hole, found = bolt["hole"] + INCH / 16, {}
    columns = [(j - (group["columns"] - 1) / 2) * group["gauge"] for j in range(group["columns"])]
    rows = [(i - (group["rows"] - 1) / 2) * group["pitch"] for i in range(group["rows"])]
    demand, figures = plates.section_demand(group, cases, plate["width"], plate["t"], [], hole)
    nominal = figures["A"] * plate["fy"]
    found["gross-section"] = plates.check(demand, 0.9 * nominal, figures, {
        "A_g": figures["A"], "F_y": plate["fy"], "R_n": nominal, "phi": 0.9, "φR_n": 0.9 * nominal})
    demand, figures = plates.section_demand(group, cases, plate["width"], plate["t"], columns, hole)
    nominal = figures["A"] * plate["fu"]
    found["net-section"] = plates.check(demand, 0.75 * nominal, figures, {
        "A_n": figures["A"], "U_sl": 1.0, "A_e": figures["A"], "F_u": plate["fu"], "R_n": nominal, "phi": 0.75,
        "φR_n": 0.75 * nominal})
    demand, figures = plates.shear_demand(cases, plate["height"], plate["t"], [], hole)
    nominal = 0.6 * plate["fy"] * figures["A"]
    found["gross-shear"] = plates.check(demand, nominal, figures, {
        "A_gv": figures["A"], "F_y": plate["fy"], "R_n": nominal, "phi": 1.0, "φR_n": nominal})
    demand, figures = plates.shear_demand(cases, plate["height"], plate["t"], rows, hole)
    nominal = 0.6 * plate["fu"] * figures["A"]
    found["net-shear"] = plates.check(demand, 0.75 * nominal, figures, {
        "A_nv": figures["A"], "F_u": plate["fu"], "R_n": nominal, "phi": 0.75, "φR_n": 0.75 * nominal})
    return found


def block_check(group, cases, bolt, plate):
    """J4.3, (J4-5): tension uneven under a moment, U_bs 0.5."""
    force = max(abs(case[2][1]) for case in cases)

    def nominal(block):
        tension, net, gross, _ = block
        return min(0.6 * plate["fu"] * net, 0.6 * plate["fy"] * gross) + 0.5 * plate["fu"] * tension

    block = min(plates.blocks_of(group, plate, bolt["hole"] + INCH / 16), key=nominal)
    return plates.check(force, 0.75 * nominal(block), block[3], {
        "V_Ed": force, "F_Ed": force, "F_u": plate["fu"], "F_y": plate["fy"], "U_bs": 0.5, "R_n": nominal(block),
        "phi": 0.75, "φR_n": 0.75 * nominal(block)})


def distance_check(group, bolt, plate, thinnest):
    """J3.4, J3.5 with Table J3.4, J3.6: smallest and largest distances, painted steel."""
    apart, aside = min(24 * thinnest, 12 * INCH), min(12 * thinnest, 6 * INCH)
    least = max(8 / 3 * bolt["d"], bolt["hole"] + bolt["d"])
    pairs = [(least, group["pitch"]), (least, group["gauge"]), (bolt["edge"], plate["end"]),
             (bolt["edge"], plate["edge"]), (group["pitch"], apart), (group["gauge"], apart), (plate["end"], aside),
             (plate["edge"], aside)]
    return plates.check(*max(pairs, key=lambda pair: pair[0] / pair[1]), {
        "d": bolt["d"], "l_h": bolt["hole"], "t": thinnest, "L_0": bolt["edge"], "C_2": 0.0, "c_s": 24.0,
        "s_lim": 12 * INCH, "s_min": least, "L_e,min": bolt["edge"], "s_max": apart, "L_e,max": aside})


def bolted(joint, loads):
    """Everything of the joint with bolts but its fatigue."""
    cases = statics.levels(loads, joint, FACTORS)
    group, given = statics.group_of(joint), joint["bolts"]
    bolt = SIZES[given["size"]] | GRADES[given["grade"]] | {"mu": SLIP_FACTORS[given["surface"]]}
    rules = [(bolt["mu"] * MULTIPLIER, bolt["T_b"], 1 / MULTIPLIER)] * 2
    slip, both = statics.slip_shown(group, loads, *cases, rules, required=1)
    strong = cases[1]
    checks = grip_checks(group, bolt, both) | bolt_checks(group, strong, bolt)
    listed = [plates.plate_of(table) for table in joint["plates"]]
    thinnest = min(plate["t"] for plate in listed)
    for plate in listed:
        name = plate["name"]
        for axis in ("y", "x"):
            checks[f"bearing-{name}-{axis}"] = plates.bearing(group, strong, plate, axis, bearing_of(bolt, plate))
        checks[f"bearing-{name}"] = whole_bearing(group, strong, bolt, plate)
        if "width" in plate:
            checks |= {f"{key}-{name}": item for key, item in section_checks(group, strong, bolt, plate).items()}
        checks[f"block-{name}"] = block_check(group, strong, bolt, plate)
        checks[f"distances-{name}"] = distance_check(group, bolt, plate, thinnest)
    slipped = any(level["shown"]["utilisation"] > 1 for level in both)
    movement = moving.movement_shown(group, bolt["hole"] - bolt["d"], joint["alignment"], both, cases, slipped=slipped,
                                     level=0)
    sizes = {"hole_mm": bolt["hole"], "slot_mm": bolt["hole"], "bolt_mm": bolt["d"], "preload_N": bolt["T_b"],
             "slip_factor": bolt["mu"], "hole_factor": 1.0}
    geometry = plates.geometry_shown(group, both[1]["found"][2][2], listed, sizes, joint["alignment"])
    return {"checks": checks, "slip": slip, "movement": movement, "geometry": geometry}


def welded(joint, loads):
    """J2.4 with Table J2.5, no gain from the direction of the force."""
    _, cases = statics.levels(loads, joint, FACTORS)
    weld = joint["weld"][0]
    demand, figures = plates.weld_lines(joint, cases)
    leg, metal = counting.quantity(weld["leg"]), ELECTRODES[weld["electrode"]]
    throat, stress = leg / math.sqrt(2), 0.6 * metal
    return {"checks": {"weld-strength": plates.check(demand, 0.75 * stress * throat, figures, {
        "w": leg, "a": throat, "F_EXX": metal, "theta": 0.0, "s_theta": 0.0, "k_ds": 1.0, "F_nw": stress, "l": 0.0,
        "beta": 1.0, "R_n": stress * throat, "phi": 0.75, "φR_n": 0.75 * stress * throat})}}


def fatigue(number, detail, loads, years):
    """Appendix 3.3: no damage while no range exceeds the threshold; once one does, every range is summed."""
    constant, threshold, (factor, exponent) = CATEGORIES[detail["category"]]
    stress = {name: detail["stress"][name] for name in counting.COMPONENTS if name in detail["stress"]}
    coefficients = [counting.quantity(stress.get(name, 0.0)) for name in counting.COMPONENTS]
    recipe = {f"c_{name}": counting.quantity(value) for name, value in stress.items()}
    peaks = [counting.history(load, coefficients) for load in loads]
    largest = max(max(values) - min(values) for values in peaks)

    def total(every):
        if max(size for size, _, _ in every) <= threshold:
            return 0.0
        return sum(count * (size / factor) ** (1 / exponent) / constant for size, _, count in every)

    def damage_of(size):
        return (size / factor) ** (1 / exponent) / constant if largest > threshold else 0.0

    found = counting.fatigue(loads, coefficients, years, damage_of, sum_of=total)
    damage, cycles = found["D"], found["n"]
    figures = {"C_f": constant, "F_TH": threshold, "n_SR": cycles, "f_max": found["largest"], "D": damage, "T": years}
    effective = (sum(count * size ** (1 / exponent) for size, _, count in found["every"]) / cycles) ** exponent
    if damage:
        allowed = factor * (constant / cycles) ** exponent
        demand = effective
        figures |= {"K": factor, "p": exponent, "R": 1.0, "F_SR": allowed, "f_e": effective, "L": years / damage}
    else:
        allowed, demand = threshold, found["largest"]
        figures |= {"F_SR": threshold}
    figures["u"] = demand / allowed
    name, shown = f"fatigue:{number}", found["shown"]
    checks = {name: plates.check(damage, 1.0, recipe, *found["figures"], figures),
              f"{name}:allowable": plates.check(demand, allowed, recipe, figures)}
    places = [1e4, 1e9] if damage else [1e4, constant * (factor / threshold) ** (1 / exponent), 1e9]
    ranges = [factor * (constant / n) ** exponent if damage or n < 1e9 else threshold for n in places]
    return shown | {"utilisation": damage, "stress_utilisation": demand / allowed, "equivalent_range_MPa": effective,
                    "checks": checks, "curve": {"cycles": places, "range_MPa": ranges},
                    "figures": plates.check(1.0, 1.0, recipe, figures)["figures"]}


def main(path):
    """Every number of the job."""
    job, years, loads = counting.read(path)
    bracket, lug = job["joint"]
    first = bolted(bracket, loads)
    first["details"] = [fatigue(number, detail, loads, years) for number, detail in enumerate(bracket["detail"], 1)]
    basis = {"s": 2.0, "gamma": 1.0}  # curves at the mean less two standard deviations, no partial factor
    return {"design_life_years": years, "fatigue_basis": basis | {"figures": basis},
            "loads": [counting.shown_load(load) for load in loads], "joints": [first, welded(lug, loads)]}


if __name__ == "__main__":
    print(json.dumps(main(sys.argv[1]), ensure_ascii=False))
