"""Second calculation of a job to EN 1993-1-9:2005 and EN 1993-1-8:2005, written from the clauses alone.

    python tests/recalculation/en1993.py tests/jobs/recalculated_en1993.toml

prints every number as JSON. It knows what that job holds and no more: preloaded bolts in rows and columns, plates of
steel to EN 10025-2, fillet welds, and fatigue details of Tables 8.1 and 8.5. Values of tables stand here with their
clause. The programs of the package are not used.
"""

import json
import math
import sys

import counting
import moving
import plates
import statics

GAMMA_M0, GAMMA_M2 = 1.0, 1.25  # EN 1993-1-1, 6.1; EN 1993-1-8, Table 2.1
GAMMA_M3, GAMMA_M3_SER = 1.25, 1.1  # EN 1993-1-8, Table 2.1
GAMMA_MF = {("safe life", "high"): 1.35}  # EN 1993-1-9, Table 3.1
SIZES = {"M24": {"d": 24.0, "A_s": 353.0, "hole": 26.0, "flats": 36.0}}  # ISO 898-1; EN 1090-2, Table 11; ISO 4032
GRADES = {"10.9": {"f_ub": 1000.0, "alpha_v": 0.5}}  # EN 1993-1-8, Tables 3.1 and 3.4, thread in the shear plane
SLIP_FACTORS = {"B": 0.4}  # EN 1090-2:2008, Table 18
STEELS = {  # EN 10025-2: up to 16 mm and up to 40 mm thick, yield strength and tensile strength
    "S355": ((16.0, 355.0, 470.0), (40.0, 345.0, 470.0)),
    "S275": ((16.0, 275.0, 410.0), (40.0, 265.0, 410.0)),
}
BETA_W = {"S355": 0.9}  # EN 1993-1-8, Table 4.1
CATEGORIES = {  # EN 1993-1-9, Tables 8.1 and 8.5: strength and slope; bolts in tension lose from 30 mm on
    "8.5-1-71": (71.0, 3), "8.5-8": (80.0, 5), "8.1-14": (50.0, 3),
}


def grip_checks(group, cases, bolt, both):
    """Category B, 3.4.1(1)b: grip in service by 3.9.1 (3.6) and 3.9.2 (3.8a)."""
    found = both[0]["found"]
    tension = found[3][2]
    resistance = bolt["mu"] * max(bolt["preload"] - 0.8 * max(tension, 0.0), 0.0) / GAMMA_M3_SER
    return {"slip-service": plates.check(
        math.hypot(*found[3][:2]), resistance, statics.figures_in_plane(group, found),
        statics.figures_across(group, found),
        {"k_s": 1.0, "n": 1.0, "mu": bolt["mu"], "F_p,C": bolt["preload"], "F_t,Ed,ser": tension,
         "gamma_M3,ser": GAMMA_M3_SER, "F_s,Rd,ser": resistance})}


def bolt_checks(group, cases, bolt):
    """Table 3.4: shear, tension and both together; 3.8 long joints, 3.6.1(12) packing."""
    long, packing = (group["rows"] - 1) * group["pitch"], 0.0
    beta_long = min(1.0, max(0.75, 1 - (long - 15 * bolt["d"]) / (200 * bolt["d"])))
    beta_packing = min(1.0, 9 * bolt["d"] / (8 * bolt["d"] + 3 * packing))
    shear = beta_long * beta_packing * bolt["alpha_v"] * bolt["f_ub"] * bolt["A_s"] / GAMMA_M2
    tension = 0.9 * bolt["f_ub"] * bolt["A_s"] / GAMMA_M2
    first = statics.worst(group, cases, lambda _, x, y, t: math.hypot(x, y))
    second = statics.worst(group, cases, lambda _, x, y, t: t)
    third = statics.worst(group, cases, lambda _, x, y, t: math.hypot(x, y) / shear + max(t, 0.0) / (1.4 * tension))
    return {
        "bolt-shear": plates.check(first[0], shear, statics.figures_in_plane(group, first), {
            "n": 1.0, "alpha_v": bolt["alpha_v"], "f_ub": bolt["f_ub"], "A": bolt["A_s"], "d": bolt["d"],
            "L_j": long, "beta_Lf": beta_long, "t_p": packing, "beta_p": beta_packing, "c_2": 1.0,
            "gamma_M2": GAMMA_M2, "F_v,Rd": shear}),
        "bolt-tension": plates.check(second[0], tension, statics.figures_across(group, second), {
            "k_2": 0.9, "f_ub": bolt["f_ub"], "A_s": bolt["A_s"], "gamma_M2": GAMMA_M2, "F_t,Rd": tension}),
        "bolt-shear-tension": plates.check(
            third[0], 1.0, statics.figures_in_plane(group, third), statics.figures_across(group, third),
            {"F_v,Rd": shear, "F_t,Rd": tension, "U": third[0]}),
    }


def bearing_of(bolt, plate):
    """Table 3.4, bearing: alpha_d by the end or by the next bolt, k_1 by the edge and by the spacing across."""

    def strength(end, pitch, edge, across):
        hole, figures = bolt["hole"], {}
        if end is not None:
            figures |= {"e_1": end, "alpha_d,end": end / (3 * hole)}
        if pitch is not None:
            figures |= {"p_1": pitch, "alpha_d,inner": pitch / (3 * hole) - 0.25}
        if edge is not None:
            figures |= {"e_2": edge, "k_1,edge": min(2.8 * edge / hole - 1.7, 2.5)}
        figures |= {"p_2": across, "k_1,inner": min(1.4 * across / hole - 1.7, 2.5)}
        alpha_d = min(figures[key] for key in ("alpha_d,end", "alpha_d,inner") if key in figures)
        k_1 = min(figures[key] for key in ("k_1,edge", "k_1,inner") if key in figures)
        alpha_b = min(alpha_d, bolt["f_ub"] / plate["fu"], 1.0)
        resistance = k_1 * alpha_b * plate["fu"] * bolt["d"] * plate["t"] / GAMMA_M2
        return resistance, figures | {
            "d_0": hole, "alpha_d": alpha_d, "k_1": k_1, "f_ub": bolt["f_ub"], "f_u": plate["fu"],
            "alpha_b": alpha_b, "d": bolt["d"], "t": plate["t"], "h_cs": 0.0, "c_h": 1.0, "c_1": 2.5,
            "gamma_M2": GAMMA_M2, "F_b,Rd": resistance}

    return strength


def section_checks(group, cases, bolt, plate):
    """EN 1993-1-1, 6.2.3(2) and 6.2.6(2); shear of the net section with f_u, Steel Buildings in Europe, MS 5."""
    hole, t, root = bolt["hole"], plate["t"], math.sqrt(3)
    columns = [(j - (group["columns"] - 1) / 2) * group["gauge"] for j in range(group["columns"])]
    rows = [(i - (group["rows"] - 1) / 2) * group["pitch"] for i in range(group["rows"])]
    found = {}
    demand, figures = plates.section_demand(group, cases, plate["width"], t, [], hole)
    strength = figures["A"] * plate["fy"] / GAMMA_M0
    found["gross-section"] = plates.check(demand, strength, figures, {
        "f_y": plate["fy"], "gamma_M0": GAMMA_M0, "N_pl,Rd": strength})
    demand, figures = plates.section_demand(group, cases, plate["width"], t, columns, hole)
    strength = 0.9 * figures["A"] * plate["fu"] / GAMMA_M2
    found["net-section"] = plates.check(demand, strength, figures, {
        "A_net": figures["A"], "f_u": plate["fu"], "gamma_M2": GAMMA_M2, "N_u,Rd": strength})
    demand, figures = plates.shear_demand(cases, plate["height"], t, [], hole)
    strength = figures["A"] * plate["fy"] / (root * GAMMA_M0)
    found["gross-shear"] = plates.check(demand, strength, figures, {
        "A_v": figures["A"], "f_y": plate["fy"], "gamma_M0": GAMMA_M0, "V_pl,Rd": strength})
    demand, figures = plates.shear_demand(cases, plate["height"], t, rows, hole)
    strength = figures["A"] * plate["fu"] / (root * GAMMA_M2)
    found["net-shear"] = plates.check(demand, strength, figures, {
        "A_v,net": figures["A"], "f_u": plate["fu"], "gamma_M2": GAMMA_M2, "V_net,Rd": strength})
    return found


def block_check(group, cases, bolt, plate):
    """3.10.2(3), (3.10): a moment makes the load eccentric, so half of the tension face counts."""
    force = max(abs(case[2][1]) for case in cases)

    def strength(block):
        return 0.5 * plate["fu"] * block[0] / GAMMA_M2 + plate["fy"] * block[1] / (math.sqrt(3) * GAMMA_M0)

    block = min(plates.blocks_of(group, plate, bolt["hole"]), key=strength)
    return plates.check(force, strength(block), block[3], {
        "V_Ed": force, "F_Ed": force, "c_nt": 0.5, "f_y": plate["fy"], "f_u": plate["fu"], "gamma_M0": GAMMA_M0,
        "gamma_M2": GAMMA_M2, "V_eff,Rd": strength(block)})


def punching_check(group, cases, bolt, plate):
    """Table 3.4, punching shear: d_m is the mean over flats and corners of the hexagon."""
    found = statics.worst(group, cases, lambda _, x, y, t: t)
    mean = bolt["flats"] * (1 + 2 / math.sqrt(3)) / 2
    strength = 0.6 * math.pi * mean * plate["t"] * plate["fu"] / GAMMA_M2
    return plates.check(found[0], strength, statics.figures_across(group, found), {
        "s": bolt["flats"], "d_m": mean, "t_p": plate["t"], "f_u": plate["fu"], "gamma_M2": GAMMA_M2,
        "B_p,Rd": strength})


def distance_check(group, bolt, plate, thinnest):
    """Table 3.3, steel not exposed: the distance that comes nearest to its limit."""
    hole = bolt["hole"]
    widest = min(14 * thinnest, 200.0)
    pairs = [(1.2 * hole, plate["end"]), (1.2 * hole, plate["edge"]), (2.2 * hole, group["pitch"]),
             (2.4 * hole, group["gauge"]), (group["pitch"], widest), (group["gauge"], widest)]
    return plates.check(*max(pairs, key=lambda pair: pair[0] / pair[1]), {
        "d_0": hole, "t": thinnest, "c_e1": 1.2, "c_e2": 1.2, "c_p1": 2.2, "c_p2": 2.4, "e_1,min": 1.2 * hole,
        "e_2,min": 1.2 * hole, "p_1,min": 2.2 * hole, "p_2,min": 2.4 * hole, "e_max": 4 * thinnest + 40,
        "p_max": widest})


def bolted(joint, loads):
    """Everything of the joint with bolts but its fatigue."""
    factors = joint["factors"]
    cases = statics.levels(loads, joint, (factors["permanent"], factors["permanent_favourable"], factors["variable"]))
    group, given = statics.group_of(joint), joint["bolts"]
    bolt = SIZES[given["size"]] | GRADES[given["grade"]] | {"mu": SLIP_FACTORS[given["surface"]]}
    bolt["preload"] = 0.7 * bolt["f_ub"] * bolt["A_s"]  # 3.9.1(2), (3.7)
    rules = [(bolt["mu"] / gamma, bolt["preload"], 0.8) for gamma in (GAMMA_M3_SER, GAMMA_M3)]
    slip, both = statics.slip_shown(group, loads, *cases, rules, required=0)
    strong = cases[1]
    checks = grip_checks(group, cases[0], bolt, both) | bolt_checks(group, strong, bolt)
    listed = []
    for table in joint["plates"]:
        plate = plates.plate_of(table)
        _, plate["fy"], plate["fu"] = next(row for row in STEELS[table["steel"]] if plate["t"] <= row[0])
        listed.append(plate)
    thinnest = min(plate["t"] for plate in listed)
    for plate in listed:
        for axis in ("y", "x"):
            checks[f"bearing-{plate['name']}-{axis}"] = plates.bearing(
                group, strong, plate, axis, bearing_of(bolt, plate))
        if "width" in plate:
            checks |= {f"{key}-{plate['name']}": item
                       for key, item in section_checks(group, strong, bolt, plate).items()}
        checks[f"block-{plate['name']}"] = block_check(group, strong, bolt, plate)
        checks[f"punching-{plate['name']}"] = punching_check(group, strong, bolt, plate)
        checks[f"distances-{plate['name']}"] = distance_check(group, bolt, plate, thinnest)
    slipped = any(level["shown"]["utilisation"] > 1 for level in both)
    movement = moving.movement_shown(group, bolt["hole"] - bolt["d"], joint["alignment"], both, cases, slipped=slipped,
                                     level=0)
    sizes = {"hole_mm": bolt["hole"], "slot_mm": bolt["hole"], "bolt_mm": bolt["d"], "preload_N": bolt["preload"],
             "slip_factor": bolt["mu"], "hole_factor": 1.0}
    geometry = plates.geometry_shown(group, both[1]["found"][2][2], listed, sizes, joint["alignment"])
    return group, bolt, {"checks": checks, "slip": slip, "movement": movement, "geometry": geometry}


def welded(joint, loads):
    """4.5.3.3, the simplified method: throat 0.7 of the leg."""
    factors = joint["factors"]
    _, cases = statics.levels(loads, joint, (
        factors["permanent"], factors["permanent_favourable"], factors["variable"]))
    weld = joint["weld"][0]
    demand, figures = plates.weld_lines(joint, cases)
    throat, strength, beta = 0.7 * counting.quantity(weld["leg"]), STEELS[weld["steel"]][0][2], BETA_W[weld["steel"]]
    resistance = throat * strength / (math.sqrt(3) * beta * GAMMA_M2)
    return {"checks": {"weld-strength": plates.check(demand, resistance, figures, {
        "a": throat, "f_u": strength, "beta_w": beta, "gamma_M2": GAMMA_M2, "L_j": 0.0, "beta_Lw": 1.0,
        "F_w,Rd": resistance, "phi": 0.0, "c_phi": 1.0, "K": 1.0, "F_w,phi,Rd": resistance})}}


def stress_of(detail, group, bolt):
    """Stress of a detail per load component, one list for each place that may govern: (coefficients, figures)."""
    stress = detail["stress"]
    if "bolt_tension" not in stress:
        found = [counting.quantity(stress[name]) if name in stress else 0.0 for name in counting.COMPONENTS]
        return [(found, {f"c_{name}": counting.quantity(stress[name]) for name in stress})]
    prying, share = stress["bolt_tension"]["prying"], stress["bolt_tension"]["share"]
    places = []
    for x, y in group["places"]:
        per = (1 / len(group["places"]), y / group["Syy"], -x / group["Sxx"])  # Fz, Mx, My
        c_z, c_x, c_y = (prying * share * item / bolt["A_s"] for item in per)
        places.append(([0.0, 0.0, c_z, c_x, c_y, 0.0], {
            "F_p": bolt["preload"], "phi": share, "A_s": bolt["A_s"], "σ_o": share * bolt["preload"] / bolt["A_s"],
            "n_Fz": per[0], "n_Mx": per[1], "n_My": per[2], "q": prying, "c_Fz": c_z, "c_Mx": c_x, "c_My": c_y}))
    return places


def fatigue(number, detail, loads, years, gamma, group, bolt):
    """EN 1993-1-9, 7.1, 8 and annex A: two slopes and cut-off for normal, one slope and cut-off for shear stress."""
    strength, slope = CATEGORIES[detail["category"]]
    size, sized = 1.0, {}
    if "diameter" in detail:  # 7.2.2, Table 8.1
        sized = {"d": counting.quantity(detail["diameter"]), "d_0": 30.0, "a": 0.25}
        size = min(1.0, (30.0 / sized["d"]) ** 0.25)
    design, sign = size * strength / gamma, "Δσ" if slope == 3 else "Δτ"
    knee = design * (2e6 / 5e6) ** (1 / 3)
    cut = knee * (5e6 / 1e8) ** (1 / 5) if slope == 3 else design * (2e6 / 1e8) ** (1 / 5)

    def damage_of(value):
        if value < cut:
            return 0.0
        if slope == 3:
            return (value / knee) ** (3 if value >= knee else 5) / 5e6
        return (value / design) ** 5 / 2e6

    found, recipe = max(
        ((counting.fatigue(loads, coefficients, years, damage_of), figures)
         for coefficients, figures in stress_of(detail, group, bolt)), key=lambda item: item[0]["D"])
    damage = found["D"]
    equivalent = design * damage ** (1 / slope)
    figures = {"gamma_Ff": 1.0, "gamma_Mf": gamma, f"{sign}_C": strength, "k_s": size, "m_1": slope,
               f"{sign}_C,d": design, f"{sign}_L,d": cut, "n": found["n"], f"{sign}_max": found["largest"],
               "D": damage, f"{sign}_E,2": equivalent, "u": equivalent / design, "T": years, "L": years / damage}
    if slope == 3:
        figures |= {"N_D": 5e6, f"{sign}_D,d": knee}
    shown, name = found["shown"], f"fatigue:{number}"
    checks = {name: plates.check(damage, 1.0, recipe, sized, *found["figures"], figures),
              f"{name}:equivalent": plates.check(equivalent, design)}
    if "yield_strength" in detail:
        limit = 1.5 * counting.quantity(detail["yield_strength"])  # 8(1)
        checks[f"{name}:range"] = plates.check(found["largest"], limit, {
            "f_y": limit / 1.5, "k_y": 1.5, f"{sign}_lim": limit, f"{sign}_max": found["largest"]})
    places = [1e4, 5e6, 1e8, 1e9] if slope == 3 else [1e4, 1e8, 1e9]
    ranges = [(knee * (5e6 / n) ** (1 / 3) if n <= 5e6 else cut) if slope == 3
              else (design * (2e6 / n) ** (1 / 5) if n <= 1e8 else cut) for n in places]
    return shown | {"utilisation": damage, "stress_utilisation": equivalent / design,
                    "equivalent_range_MPa": equivalent, "checks": checks,
                    "curve": {"cycles": places, "range_MPa": ranges},
                    "figures": plates.check(1.0, 1.0, recipe, figures)["figures"]}


def main(path):
    """Every number of the job."""
    job, years, loads = counting.read(path)
    bracket, lug = job["joint"]
    gamma = GAMMA_MF[job["fatigue"]["concept"], job["fatigue"]["consequence"]]
    group, bolt, first = bolted(bracket, loads)
    first["details"] = [fatigue(number, detail, loads, years, gamma, group, bolt)
                        for number, detail in enumerate(bracket["detail"], 1)]
    factors = {"gamma_Ff": 1.0, "gamma_Mf": gamma}
    return {"design_life_years": years, "fatigue_basis": factors | {"figures": factors},
            "loads": [counting.shown_load(load) for load in loads], "joints": [first, welded(lug, loads)]}


if __name__ == "__main__":
    print(json.dumps(main(sys.argv[1]), ensure_ascii=False))
