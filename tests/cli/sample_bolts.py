"""The bolts of the contract made by hand: where they stand, their checks, how they slip."""

import math

PRELOAD = 171_500.0
SLIP_RESISTANCE = 0.4 * PRELOAD / 1.25


def figure(symbol, title, value, unit="", formula="", clause="") -> dict:
    """One line of a working."""
    return {
        "symbol": symbol, "title": title, "value": value, "unit": unit, "formula": formula, "clause": clause,
    }  # fmt: skip


def geometry() -> dict:
    """Six bolts in three rows with the forces of the governing instant."""
    places = [(-65.0, -90.0), (65.0, -90.0), (-65.0, 0.0), (65.0, 0.0), (-65.0, 90.0), (65.0, 90.0)]
    return {
        "bolts": [
            {
                "number": number,
                "x_mm": x,
                "y_mm": y,
                "shear_x_N": 310.0 * y,
                "shear_y_N": -26_431.0 - 307.0 * x,
                "tension_N": max(0.0, 91.7 * y),
            }
            for number, (x, y) in enumerate(places, start=1)
        ],
        "hole_mm": 22.0,
        "slot_mm": 22.0,
        "slot_axis": "",
        "hole_factor": 1.0,
        "load_axis": "y",
        "at": "start and stop, permanent unfavourable, 12.34 s",
        "bolt_mm": 20.0,
        "size": "M20",
        "grade": "10.9",
        "preload_N": PRELOAD,
        "surface": "B",
        "slip_factor": 0.4,
        "planes": 1,
        "holes": "normal",
        "plates": [
            {
                "name": "end plate",
                "thickness_mm": 20.0,
                "steel": "S355",
                "yield_strength_MPa": 345.0,
                "ultimate_strength_MPa": 470.0,
                "width_mm": 210.0,
                "height_mm": 270.0,
                "end_distance_mm": 45.0,
                "edge_distance_mm": 40.0,
            },
            {
                "name": "column flange",
                "thickness_mm": 24.0,
                "steel": "S355",
                "yield_strength_MPa": 345.0,
                "ultimate_strength_MPa": 470.0,
                "width_mm": None,
                "height_mm": None,
                "end_distance_mm": 120.0,
                "edge_distance_mm": 85.0,
            },
        ],
        "alignment": {"x_mm": 0.0, "y_mm": 420.0, "tolerance_mm": 1.0},
    }


def checks() -> list:
    """Four checks: one that holds, one that fails, one without a judgement, one of bearing."""
    grip = [
        figure("A_s", "stress area of the bolt", 245.0, "mm2"),
        figure("f_ub", "ultimate strength of the bolt", 1000.0, "MPa"),
        figure("F_p,C", "preload", PRELOAD, "N", "0.7 * f_ub * A_s", "EN 1993-1-8:2005, 3.9.1(2)"),
        figure("k_s", "hole factor", 1.0, "", "", "EN 1993-1-8:2005, Table 3.6"),
        figure("n", "friction planes", 1.0),
        figure("mu", "slip factor", 0.4, "", "", "EN 1993-1-8:2005, Table 3.7"),
        figure("gamma_M3", "partial factor", 1.25, "", "", "EN 1993-1-8:2005, 2.2(2)"),
        figure("F_t,Ed", "tension in the bolt", 8253.0, "N"),
        figure(
            "F_s,Rd", "slip resistance", 0.4 * (PRELOAD - 0.8 * 8253.0) / 1.25, "N",
            "k_s * n * mu * (F_pC - 0.8 * F_tEd) / gamma_M3", "EN 1993-1-8:2005, 3.9.2(1), eq. (3.8b)",
        ),
    ]  # fmt: skip
    resistance = grip[-1]["value"]
    bearing = [
        figure("d", "diameter", 20.0, "mm"),
        figure("t", "thickness", 20.0, "mm"),
        figure("f_u", "ultimate strength", 470.0, "MPa"),
        figure("e_1", "end distance", 45.0, "mm"),
        figure("d_0", "hole", 22.0, "mm"),
        figure("alpha_b", "bearing factor", min(45 / 66, 1000 / 470, 1), "", "min(e_1 / (3 * d_0), f_ub / f_u, 1)"),
        figure("f_ub", "ultimate strength of the bolt", 1000.0, "MPa"),
        figure("k_1", "edge factor", 2.5),
        figure("gamma_M2", "partial factor", 1.25),
        figure(
            "F_b,Rd", "bearing resistance", 2.5 * (45 / 66) * 470 * 20 * 20 / 1.25, "N",
            "k_1 * alpha_b * f_u * d * t / gamma_M2", "EN 1993-1-8:2005, Table 3.4",
        ),
    ]  # fmt: skip
    strength = bearing[-1]["value"]
    return [
        {
            "id": "slip-service", "title": "slip at service, bolt by bolt", "state": "holds", "demand": 43_120.0,
            "resistance": resistance, "unit": "N", "utilisation": 43_120.0 / resistance,
            "clause": "EN 1993-1-8:2005, 3.4.1(2), category B", "reason": "",
            "at": "bolt 4, start and stop, 12.34 s", "figures": grip,
        },
        {
            "id": "slip-ultimate", "title": "slip at ultimate, bolt by bolt", "state": "fails", "demand": 62_310.0,
            "resistance": resistance, "unit": "N", "utilisation": 62_310.0 / resistance,
            "clause": "EN 1993-1-8:2005, 3.4.1(3), category C", "reason": "",
            "at": "bolt 4, start and stop, 12.34 s", "figures": grip,
        },
        {
            "id": "bearing", "title": "bearing of the end plate", "state": "holds", "demand": 62_310.0,
            "resistance": strength, "unit": "N", "utilisation": 62_310.0 / strength,
            "clause": "EN 1993-1-8:2005, Table 3.4", "reason": "", "at": "bolt 4", "figures": bearing,
        },
        {
            "id": "net-section", "title": "net section of the end plate", "state": "not judged", "demand": None,
            "resistance": None, "unit": "", "utilisation": None, "clause": "EN 1993-1-8:2005, 3.4.2",
            "reason": "the width of the end plate across the load is not given", "at": "", "figures": [],
        },
    ]  # fmt: skip


def slip() -> dict:
    """Both levels; three events at ultimate."""
    time = [0.5 * i for i in range(300)]
    swing = [0.55 + 0.4 * abs(math.sin(0.21 * t)) * math.exp(-0.01 * t) for t in time]
    events = [
        {"load": "start and stop", "start_s": start, "duration_s": 2.04, "bolt": 4, "direction_deg": direction,
         "way": way, "utilisation": peak}
        for start, direction, way, peak in (
            (6.52, 266.5, "forward", 1.3217), (21.47, 88.9, "back", 1.2318), (36.43, 266.2, "forward", 1.1011),
        )
    ]  # fmt: skip
    levels = []
    for name, factor, found in (("service", 0.7, []), ("ultimate", 1.45, events)):
        levels.append(
            {
                "level": name,
                "required": True,
                "utilisation": 0.9123 * factor,
                "joint_utilisation": 0.7654 * factor,
                "preload_at_slip_share": 0.6543 * factor,
                "bolt": 4,
                "load": "start and stop",
                "combination": "permanent unfavourable",
                "time_s": 12.34,
                "direction_deg": 266.5,
                "demand_N": 59_512.0 * factor,
                "resistance_N": 52_767.0,
                "tension_N": 8253.0,
                "events": len(found),
                "kind": "two-way" if found else "none",
                "reversals": 2 if found else 0,
                "times_without_margin": 4 if found else 0,
                "instants": 204 * len(found),
                "share_of_time": 0.01387 * len(found),
                "events_in_life": None if found else 0.0,
                "longest_s": 2.04 if found else 0.0,
                "by_load": [
                    {
                        "load": "start and stop",
                        "events": len(found),
                        "kind": "two-way" if found else "none",
                        "reversals": 2 if found else 0,
                        "times_without_margin": 4 if found else 0,
                        "instants": 204 * len(found),
                        "events_in_life": None if found else 0.0,
                        "longest_s": 2.04 if found else 0.0,
                    }
                ],
                "event_list": found,
                "traces": [
                    {"load": load_name, "time_s": time, "utilisation": [factor * size * value for value in swing]}
                    for load_name, size in (("loaded running", 0.6), ("start and stop", 1.0))
                ],
            }
        )
    return {
        "level": "ultimate",
        "events": 3,
        "kind": "two-way",
        "first_bolt_utilisation": 1.3228,
        "joint_utilisation": 1.1098,
        "preload_at_slip_share": 0.9487,
        "reversal": {
            "reversed": True,
            "bolt": 4,
            "direction_deg": 267.3,
            "forward_N": 41_220.0,
            "back_N": 12_870.0,
        },
        "preload": [preload_row(share) for share in (1.0, 0.9, 0.8, 0.7)],
        "preload_life": None,
        "levels": levels,
    }


def preload_row(share: float) -> dict:
    """The first bolt at a share of the specified preload; at 70 % no grip is left at ultimate level."""
    at = {"bolt": 4, "load": "start and stop", "combination": "permanent unfavourable", "time_s": 12.34}
    ultimate = None if share == 0.7 else 1.3228 / share
    return {
        "title": f"{100 * share:g} % of the specified preload", "share": share, "preload_N": share * PRELOAD,
        "after_losses": False, "service": {"utilisation": 0.6386 / share, "grips": True, **at},
        "ultimate": {"utilisation": ultimate, "grips": False, **at},
    }  # fmt: skip
