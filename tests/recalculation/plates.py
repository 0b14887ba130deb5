"""Second calculation, part four: plates, weld lines and what the contract lists of the joint. Plain statics."""

import itertools
import math

from counting import quantity
from statics import bolt_force, figures_in_plane, worst


def section(width, thickness, holes, hole):
    """Area and elastic modulus of a plate's section, holes (their places from its middle) taken out."""
    area = thickness * (width - len(holes) * hole)
    inertia = thickness * (width**3 - len(holes) * hole**3) / 12 - thickness * hole * sum(place**2 for place in holes)
    return area, inertia / (width / 2)


def section_demand(group, cases, width, thickness, holes, hole):
    """Plate across its load: axial force with bending at an outer row, as a force of the same largest stress."""
    area, modulus = section(width, thickness, holes, hole)
    arm = (group["rows"] - 1) * group["pitch"] / 2

    def force(load):
        return abs(load[1]) + (abs(load[5]) + abs(load[0]) * arm) * area / modulus

    load = max((case[2] for case in cases), key=force)
    return force(load), {"b": width, "t": thickness, "d_s": len(holes) * hole, "A": area, "W": modulus, "c_s": 1.0,
                         "N": load[1], "V": load[0], "M_c": load[5], "h": arm, "e_s": 0.0,
                         "M_s": abs(load[5]) + abs(load[0]) * arm, "N_Ed": force(load)}


def shear_demand(cases, width, thickness, holes, hole):
    """Plate beside its bolts, in shear along y."""
    area, modulus = section(width, thickness, holes, hole)
    force = max(abs(case[2][1]) for case in cases)
    return force, {"b": width, "t": thickness, "d_s": len(holes) * hole, "A": area, "W": modulus, "c_s": 1.0,
                   "V_s": force, "V_Ed": force}


def blocks_of(group, plate, hole):
    """The ways in which all bolts may tear out along y: between, beside, and at one side of the columns."""
    length, rows = (group["rows"] - 1) * group["pitch"], group["rows"]
    across = (group["columns"] - 1) * group["gauge"]
    for width, holes, faces in (
        (across, group["columns"] - 1.0, 2), (across + plate["edge"], group["columns"] - 0.5, 1),
        (2 * plate["edge"], 1.0, 2),
    ):
        tension = plate["t"] * (width - holes * hole)
        gross = faces * plate["t"] * (plate["end"] + length)
        net = faces * plate["t"] * (plate["end"] + length - (rows - 0.5) * hole)
        yield tension, net, gross, {
            "c_s": 1.0, "t": plate["t"], "w": width, "k_t": holes, "d_0,t": hole, "k_v": faces, "e_1": plate["end"],
            "L_b": length, "n_r": rows, "d_0,v": hole, "A_nt": tension, "A_nv": net, "A_gv": gross,
        }


def plate_of(table):
    """A plate of the job. [mm]"""
    steel = table["steel"]
    found = {"name": table["name"], "t": quantity(table["thickness"]), "end": quantity(table["end_distance"]),
             "edge": quantity(table["edge_distance"]), "side": -1.0 if table["belongs_to"] == "part" else 1.0}
    found |= {key: quantity(table[key]) for key in ("width", "height") if key in table}
    if isinstance(steel, dict):
        found |= {"fy": quantity(steel["yield_strength"]), "fu": quantity(steel["ultimate_strength"])}
    return found


def surroundings(group, number, axis, sense, plate):
    """What stands around a bolt that is pressed along an axis: (to the end, next bolt, to the edge, spacing across).

    None where it does not apply: a bolt has an end or a next bolt before it, and an edge where none is on that side.
    """
    column, row = (number - 1) % group["columns"], (number - 1) // group["columns"]
    along, across = (row, column) if axis == "y" else (column, row)
    numbers = (group["rows"], group["columns"]) if axis == "y" else (group["columns"], group["rows"])
    steps = (group["pitch"], group["gauge"]) if axis == "y" else (group["gauge"], group["pitch"])
    ends = (plate["end"], plate["edge"]) if axis == "y" else (plate["edge"], plate["end"])
    last = along == (numbers[0] - 1 if sense > 0 else 0)
    outer = across in (0, numbers[1] - 1)
    return (ends[0] if last else None, None if last else steps[0], ends[1] if outer else None, steps[1])


def bearing(group, cases, plate, axis, strength_of):
    """The bolt that uses a plate most by its force along an axis; `strength_of(surroundings)` gives (R, figures)."""
    place = 0 if axis == "x" else 1

    def strength(number, force):
        return strength_of(*surroundings(group, number, axis, plate["side"] * force, plate))

    found = worst(group, cases, lambda number, *forces:
                  abs(forces[place]) / strength(number, forces[place])[0] if forces[place] else 0.0)
    force = found[3][place]
    resistance, figures = strength(found[1], force)
    return check(abs(force), resistance, figures_in_plane(group, found) | figures)


def check(demand, resistance, *figures):
    """One check as the contract holds it."""
    merged = {}
    for table in figures:
        for symbol, value in table.items():
            merged.setdefault(symbol, [])
            merged[symbol] += value if isinstance(value, list) else [value]
    return {"demand": demand, "resistance": resistance, "utilisation": demand / resistance, "figures": merged}


def weld_lines(joint, cases):
    """The end of a weld line with the largest force per length, by the elastic line method; all of one throat."""
    lines = [[[quantity(value) for value in end] for end in line] for line in joint["weld"][0]["lines"]]
    lengths = [math.dist(*line) for line in lines]
    total = sum(lengths)

    def integral(a, b):  # of the product of two coordinates along the lines, about the middle they share
        return sum(length * (p[a] * p[b] + q[a] * q[b] + (p[a] + q[a]) * (p[b] + q[b])) / 6
                   for (p, q), length in zip(lines, lengths, strict=True))

    xx, xy, yy = integral(0, 0), integral(0, 1), integral(1, 1)
    best = None
    for _, _, (fx, fy, fz, mx, my, mz) in cases:
        for x, y in itertools.chain.from_iterable(lines):
            gx, gy = -my / xx, mx / yy  # the lines stand evenly about both axes
            qx, qy, qz = fx / total - mz * y / (xx + yy), fy / total + mz * x / (xx + yy), fz / total + gx * x + gy * y
            force = math.sqrt(qx**2 + qy**2 + qz**2)
            if best is None or force > best[0] * (1 + 1e-12):
                best = (force, {"L_w": total, "J_xx": xx, "J_xy": xy, "J_yy": yy, "r_x": x, "r_y": y, "V_x": fx,
                                "V_y": fy, "M_z": mz, "N_z": fz, "M_x": mx, "M_y": my, "q_x": qx, "q_y": qy,
                                "g_x": gx, "g_y": gy, "q_z": qz, "F_w,Ed": force})
    return best


def geometry_shown(group, forces_of, plates, sizes, alignment):
    """Bolts, plates and the aligned point as the contract lists them, with the forces at the governing instant."""
    bolts = [{"number": number, "x_mm": place[0], "y_mm": place[1], "shear_x_N": forces[0], "shear_y_N": forces[1],
              "tension_N": forces[2]}
             for number, (place, forces) in enumerate(
                 ((place, bolt_force(group, place, forces_of)) for place in group["places"]), 1)]
    listed = [{"thickness_mm": plate["t"], "yield_strength_MPa": plate["fy"], "ultimate_strength_MPa": plate["fu"],
               "end_distance_mm": plate["end"], "edge_distance_mm": plate["edge"]}
              | {f"{key}_mm": plate[key] for key in ("width", "height") if key in plate} for plate in plates]
    x, y = (quantity(value) for value in alignment["point"])
    return sizes | {"packing_mm": 0.0, "planes": 1, "bolts": bolts, "plates": listed,
                    "alignment": {"x_mm": x, "y_mm": y, "tolerance_mm": quantity(alignment["tolerance"])}}
