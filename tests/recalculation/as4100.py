"""Second calculation of a job to AS 4100:2020, sections 9 and 11, written from the clauses alone.

    python tests/recalculation/as4100.py tests/jobs/recalculated_as4100.toml

prints every number as JSON. It knows what that job holds and no more: preloaded bolts in rows and columns, plates with
stated strengths, fillet welds, fatigue details of normal and of shear stress. Values of tables stand here with their
clause. The programs of the package are not used.
"""

import json
import math
import sys

import counting
import moving
import plates
import statics

PHI_BOLT, PHI_PLY, PHI_SLIP, PHI_BLOCK = 0.8, 0.9, 0.7, 0.75  # Table 3.4; 3.5.5
FACTORS = (1.2, 0.9, 1.5)  # AS/NZS 1170.0, 4.2.2: permanent adverse and favourable, imposed
SIZES = {"M24": {"d": 24.0, "A_c": 324.0, "A_s": 353.0, "A_o": 452.0, "hole": 26.0, "N_ti": 210e3}}  # 15.2.2, 14.3.5
GRADES = {"8.8": 830.0}  # AS/NZS 1252: tensile strength
SLIP_FACTORS = {"clean as-rolled": 0.35}  # 9.2.3.2
PHI_WELD = {"SP": 0.8}  # Table 3.4
ELECTRODES = {"E49XX": 490.0}  # Table 9.6.3.10(1)
CATEGORIES = {71: (71.0, "normal"), "11.5.1(4)-32": (80.0, "shear")}  # 11.5.1
CAPACITY = {"not redundant": 0.7, "regular": 1.0, "not highly irregular": 1.0}  # 11.1.6


def grip_check(group, bolt, both):
    """9.2.3.1 and the linear interaction with tension of 9.2.3.3."""
    found = both[0]["found"]
    tension, mu, installed = found[3][2], bolt["mu"], bolt["N_ti"]
    resistance = PHI_SLIP * mu * max(installed - max(tension, 0.0) / PHI_SLIP, 0.0)
    return plates.check(
        math.hypot(*found[3][:2]), resistance, statics.figures_in_plane(group, found),
        statics.figures_across(group, found),
        {"mu": mu, "n_ei": 1.0, "N_ti": installed, "k_h": 1.0, "V_sf": mu * installed, "phi": PHI_SLIP,
         "φV_sf": PHI_SLIP * mu * installed, "N_t,sf": tension, "φN_tf": PHI_SLIP * installed,
         "V_sf,d": resistance})


def bolt_checks(group, cases, bolt):
    """9.2.2.1 shear with the long lap of Table 9.2.2.1, 9.2.2.2 tension, 9.2.2.3 both."""
    lap = (group["rows"] - 1) * group["pitch"]
    long = min(1.0, max(0.75, 1.075 - lap / 4000))
    nominal = 0.62 * bolt["f_uf"] * long * bolt["A_c"]
    pull = bolt["A_s"] * bolt["f_uf"]
    shear, tension = PHI_BOLT * nominal, PHI_BOLT * pull
    first = statics.worst(group, cases, lambda _, x, y, t: math.hypot(x, y))
    second = statics.worst(group, cases, lambda _, x, y, t: t)
    third = statics.worst(group, cases, lambda _, x, y, t:
                          (math.hypot(x, y) / shear) ** 2 + (max(t, 0.0) / tension) ** 2)
    return {
        "bolt-shear": plates.check(first[0], shear, statics.figures_in_plane(group, first), {
            "f_uf": bolt["f_uf"], "n_n": 1.0, "A_c": bolt["A_c"], "n_x": 0.0, "A_o": bolt["A_o"], "l_j": lap,
            "k_r": long, "t_fl": 0.0, "k_fl": 1.0, "V_f": nominal, "phi": PHI_BOLT, "φV_f": shear}),
        "bolt-tension": plates.check(second[0], tension, statics.figures_across(group, second), {
            "A_s": bolt["A_s"], "f_uf": bolt["f_uf"], "N_tf": pull, "phi": PHI_BOLT, "φN_tf": tension}),
        "bolt-shear-tension": plates.check(
            third[0], 1.0, statics.figures_in_plane(group, third), statics.figures_across(group, third),
            {"V_f,d": math.hypot(*third[3][:2]), "φV_f": shear, "N_tf,d": third[3][2], "φN_tf": tension,
             "U": third[0]}),
    }


def bearing_of(bolt, plate):
    """9.2.2.4: bearing, and tear-out with a_e from the edge of the hole plus half a bolt."""

    def strength(end, pitch, edge, across):
        hole, d, figures = bolt["hole"], bolt["d"], {}
        if end is not None:
            figures |= {"a_1": end, "a_e,1": end - hole / 2 + d / 2}
        if pitch is not None:
            figures |= {"s_p": pitch, "a_e,2": pitch - hole + d / 2}
        clear = min(figures[key] for key in ("a_e,1", "a_e,2") if key in figures)
        bear, tear = 3.2 * d * plate["t"] * plate["fu"], clear * plate["t"] * plate["fu"]
        return PHI_PLY * min(bear, tear), figures | {
            "l_h": hole, "d_f": d, "t_p": plate["t"], "f_up": plate["fu"], "V_b,1": bear, "a_e": clear,
            "V_b,2": tear, "phi": PHI_PLY, "φV_b": PHI_PLY * min(bear, tear)}

    return strength


def whole_bearing(group, cases, bolt, plate):
    """9.2.2.4(1) for the whole force of a bolt."""
    found = statics.worst(group, cases, lambda _, x, y, t: math.hypot(x, y))
    nominal = 3.2 * bolt["d"] * plate["t"] * plate["fu"]
    return plates.check(found[0], PHI_PLY * nominal, statics.figures_in_plane(group, found), {
        "d_f": bolt["d"], "t_p": plate["t"], "f_up": plate["fu"], "V_b,1": nominal, "phi": PHI_PLY,
        "φV_b,1": PHI_PLY * nominal})


def section_checks(group, cases, bolt, plate):
    """7.2: yielding, and rupture with 0.85 k_t; 5.11.3 and 5.11.4: shear of a rectangle."""
    columns = [(j - (group["columns"] - 1) / 2) * group["gauge"] for j in range(group["columns"])]
    found = {}
    demand, figures = plates.section_demand(group, cases, plate["width"], plate["t"], [], bolt["hole"])
    nominal = figures["A"] * plate["fy"]
    found["gross-section"] = plates.check(demand, PHI_PLY * nominal, figures, {
        "A_g": figures["A"], "f_y": plate["fy"], "N_t": nominal, "phi": PHI_PLY, "φN_t": PHI_PLY * nominal})
    demand, figures = plates.section_demand(group, cases, plate["width"], plate["t"], columns, bolt["hole"])
    nominal = 0.85 * figures["A"] * plate["fu"]
    found["net-section"] = plates.check(demand, PHI_PLY * nominal, figures, {
        "A_n": figures["A"], "f_u": plate["fu"], "k_t": 1.0, "N_t": nominal, "phi": PHI_PLY,
        "φN_t": PHI_PLY * nominal})
    demand, figures = plates.shear_demand(cases, plate["height"], plate["t"], [], bolt["hole"])
    even = 0.6 * plate["fy"] * figures["A"]
    nominal = min(2 / (0.9 + 1.5), 1.0) * even
    found["gross-shear"] = plates.check(demand, PHI_PLY * nominal, figures, {
        "A_w": figures["A"], "f_y": plate["fy"], "V_u": even, "r_v": 1.5, "V_v": nominal, "phi": PHI_PLY,
        "φV_v": PHI_PLY * nominal})
    return found


def block_check(group, cases, bolt, plate):
    """9.1.9: tension uneven under a moment, k_bs 0.5."""
    force = max(abs(case[2][1]) for case in cases)

    def nominal(block):
        tension, net, gross, _ = block
        return min(0.6 * plate["fu"] * net, 0.6 * plate["fy"] * gross) + 0.5 * plate["fu"] * tension

    block = min(plates.blocks_of(group, plate, bolt["hole"]), key=nominal)
    return plates.check(force, PHI_BLOCK * nominal(block), block[3], {
        "V_Ed": force, "F_Ed": force, "f_uc": plate["fu"], "f_yc": plate["fy"], "k_bs": 0.5, "R_bs": nominal(block),
        "phi": PHI_BLOCK, "φR_bs": PHI_BLOCK * nominal(block)})


def distance_check(group, bolt, plate, thinnest):
    """9.5: spacing 2.5 d_f, edge 1.75 d_f (sheared or hand flame cut), and the largest of both."""
    d = bolt["d"]
    apart, aside = min(15 * thinnest, 200.0), min(12 * thinnest, 150.0)
    pairs = [(2.5 * d, group["pitch"]), (2.5 * d, group["gauge"]), (1.75 * d, plate["end"]), (1.75 * d, plate["edge"]),
             (group["pitch"], apart), (group["gauge"], apart), (plate["end"], aside), (plate["edge"], aside)]
    return plates.check(*max(pairs, key=lambda pair: pair[0] / pair[1]), {
        "d_f": d, "t_p": thinnest, "c_s": 2.5, "c_e": 1.75, "s_min": 2.5 * d, "a_min": 1.75 * d, "s_max": apart,
        "a_max": aside})


def bolted(joint, loads):
    """Everything of the joint with bolts but its fatigue."""
    cases = statics.levels(loads, joint, FACTORS)
    group, given = statics.group_of(joint), joint["bolts"]
    bolt = SIZES[given["size"]] | {"f_uf": GRADES[given["grade"]], "mu": SLIP_FACTORS[given["surface"]]}
    rules = [(PHI_SLIP * bolt["mu"], bolt["N_ti"], 1 / PHI_SLIP)] * 2
    slip, both = statics.slip_shown(group, loads, *cases, rules, required=0)
    strong = cases[1]
    checks = {"slip-service": grip_check(group, bolt, both)} | bolt_checks(group, strong, bolt)
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
    sizes = {"hole_mm": bolt["hole"], "slot_mm": bolt["hole"], "bolt_mm": bolt["d"], "preload_N": bolt["N_ti"],
             "slip_factor": bolt["mu"], "hole_factor": 1.0}
    geometry = plates.geometry_shown(group, both[1]["found"][2][2], listed, sizes, joint["alignment"])
    return {"checks": checks, "slip": slip, "movement": movement, "geometry": geometry}


def welded(joint, loads):
    """9.6.3.10: fillet weld, throat of equal legs, welds of 1.7 m at most."""
    _, cases = statics.levels(loads, joint, FACTORS)
    weld = joint["weld"][0]
    demand, figures = plates.weld_lines(joint, cases)
    leg, metal, phi = counting.quantity(weld["leg"]), ELECTRODES[weld["electrode"]], PHI_WELD[weld["class"]]
    throat = leg / math.sqrt(2)
    nominal = 0.6 * metal * throat
    return {"checks": {"weld-strength": plates.check(demand, phi * nominal, figures, {
        "t_w": leg, "t_t": throat, "f_uw": metal, "l_w": 0.0, "k_r": 1.0, "v_w": nominal, "phi": phi,
        "φv_w": phi * nominal})}}


def stress_of(detail):
    """Stress per load component, and what the note prints of it."""
    stress = detail["stress"]
    if "shear" in stress:
        area = counting.quantity(stress["shear"]["area"])
        return ([1 / area if name == stress["shear"]["force"] else 0.0 for name in counting.COMPONENTS],
                {"A_v": area, "c_V": 1 / area})
    return ([counting.quantity(stress[name]) if name in stress else 0.0 for name in counting.COMPONENTS],
            {f"c_{name}": counting.quantity(stress[name]) for name in stress})


def sums(every, design, cut, kind):
    """11.8.2: cycles of the design strength that do the same, of the cubic and of the fifth-power part."""
    if kind == "shear":
        return 0.0, sum(number * (size / design) ** 5 for size, _, number in every if size >= cut)
    return (sum(number * (size / design) ** 3 for size, _, number in every if size >= design),
            sum(number * (size / design) ** 5 for size, _, number in every if cut <= size < design))


def fatigue(number, detail, loads, permanent, years, phi):
    """Section 11: 11.1.5, 11.1.7, 11.4, 11.6 and 11.8.2."""
    strength, kind = CATEGORIES[detail["category"]]
    coefficients, recipe = stress_of(detail)
    thick = {}
    if "thickness" in detail:
        plate = counting.quantity(detail["thickness"])
        thick = {"t_p": plate, "t_0": 25.0, "a": 0.25}
        factor = min(1.0, (25.0 / plate) ** 0.25)
    else:
        factor = 1.0
    corrected = factor * strength
    if kind == "normal":
        three = (2 / 5) ** (1 / 3) * corrected
        five = (5 / 100) ** (1 / 5) * three
        design, base = phi * three, 5e6
        own = {"f_rn": strength, "f_rn,c": corrected, "f_3,c": three, "f_5,c": five, "f_3,d": design,
               "f_5,d": phi * five}
    else:
        five = (2 / 100) ** (1 / 5) * corrected
        design, base = phi * corrected, 2e6
        own = {"f_rs": strength, "f_rs,c": corrected, "f_5s,c": five, "f_5s,d": phi * five}

    def total(every):
        return sum(sums(every, design, phi * five, kind)) / base

    found = counting.fatigue(loads, coefficients, years, lambda size: total([(size, 0.0, 1.0)]), sum_of=total)
    cubic, fifth = sums(found["every"], design, phi * five, kind)
    damage, largest = found["D"], found["largest"]
    equivalent = phi * corrected * damage ** (1 / 3 if kind == "normal" else 1 / 5)
    if kind == "normal":
        own |= {"n_3": cubic, "n_5": fifth, "D_3": cubic / base, "D_5": fifth / base}
    else:
        own |= {"n_5": fifth}
    figures = own | {
        "phi": phi, "beta_tf": factor, "n": found["n"], "f_max": largest, "f_x": 26.0, "f_x,d": phi * 26.0,
        "f_n": 36.0, "n_x": 2e6 * (phi * 36.0 / largest) ** 3, "D": damage, "D_curve": damage, "f_E,2": equivalent,
        "u": equivalent / (phi * corrected), "T": years, "L": years / damage}
    name, shown = f"fatigue:{number}", found["shown"]
    checks = {name: plates.check(damage, 1.0, recipe, thick, *found["figures"], figures)}
    if "yield_strength" in detail:
        strong = counting.quantity(detail["yield_strength"])
        steady = sum(c * f for c, f in zip(coefficients, permanent, strict=True))
        top = max(abs(steady + value) for load in loads for value in (*counting.history(load, coefficients), 0.0))
        limits = {"f_y": strong, "k_s": 1.0, "k_y": 1.5, "f_lim": 1.5 * strong, "f_max": largest, "f_y,s": strong,
                  "f_top": top}
        checks[f"{name}:range"] = plates.check(largest, 1.5 * strong, limits)
        checks[f"{name}:stress"] = plates.check(top, strong, limits)
    places = [1e4, 5e6, 1e8, 1e9] if kind == "normal" else [1e4, 1e8, 1e9]
    ranges = [(design * (base / n) ** (1 / 3) if kind == "normal" else design * (base / n) ** (1 / 5))
              if n <= (5e6 if kind == "normal" else 1e8) else phi * five for n in places]
    return shown | {"utilisation": damage, "stress_utilisation": equivalent / (phi * corrected),
                    "equivalent_range_MPa": equivalent, "checks": checks,
                    "curve": {"cycles": places, "range_MPa": ranges},
                    "figures": plates.check(1.0, 1.0, recipe, figures)["figures"]}


def main(path):
    """Every number of the job."""
    job, years, loads = counting.read(path)
    bracket, lug = job["joint"]
    factors = [CAPACITY[job["fatigue"][key]] for key in ("load_path", "inspection", "loading")]
    named = {f"phi_{place}": value for place, value in enumerate(factors, 1)} | {"phi": min(factors)}
    first = bolted(bracket, loads)
    permanent = counting.components(bracket["permanent"])
    first["details"] = [fatigue(number, detail, loads, permanent, years, min(factors))
                        for number, detail in enumerate(bracket["detail"], 1)]
    return {"design_life_years": years, "fatigue_basis": named | {"figures": named},
            "loads": [counting.shown_load(load) for load in loads], "joints": [first, welded(lug, loads)]}


if __name__ == "__main__":
    print(json.dumps(main(sys.argv[1]), ensure_ascii=False))
