"""A whole assessment in the shape of the JSON contract, made by hand: the note and the summary are tested on it."""

import math

PRELOAD = 171_500.0
SLIP_RESISTANCE = 0.4 * PRELOAD / 1.25


def contract() -> dict:
    """One joint of six bolts that holds at service, slips at ultimate, and two details. A fresh copy each time."""
    return {
        "griplife": "0.1.0",
        "title": "Transfer tower: drive bracket at column C4",
        "state": "fails",
        "design_life_years": 25.0,
        "standard": {
            "name": "EN 1993",
            "editions": {
                "fatigue": "EN 1993-1-9:2005",
                "joints": "EN 1993-1-8:2005",
                "execution": "EN 1090-2:2008",
            },
        },
        "fatigue_basis": {
            "concept": "safe life",
            "consequence": "high",
            "choices": {"concept": "safe life", "consequence": "high"},
            "figures": [
                {"symbol": "gamma_Ff", "title": "factor on load", "value": 1.0, "unit": "", "formula": "",
                 "clause": ""},
                {"symbol": "gamma_Mf", "title": "factor on strength", "value": 1.35, "unit": "", "formula": "",
                 "clause": "EN 1993-1-9:2005, Table 3.1"},
            ],
            "gamma_Mf": 1.35,
            "gamma_Ff": 1.0,
            "clause": "EN 1993-1-9:2005, Table 3.1",
        },
        "inputs": [
            {"what": "job", "path": "bracket.toml", "sha256": "3f" * 32, "bytes": 2183, "remarks": []},
            {
                "what": "history",
                "path": "/measurements/transfer tower/campaign of week 14/drive/drive_bracket_channel_set_2.csv",
                "sha256": "a7" * 32,
                "bytes": 1_743_210,
                "remarks": ["delimiter ';' found", "decimal comma found", "12 header lines passed over"],
                "load": "loaded running",
                "understood_as": "text with ; between columns and a decimal comma",
            },
        ],
        "loads": [load("loaded running", 16.0), load("start and stop", 1.0)],
        "assumptions": ["every load block repeats unchanged over the design life"],
        "cautions": ["This is an aid for a competent engineer.", "The standard itself comes first."],
        "joints": [joint()],
    }


def load(name: str, scale: float) -> dict:
    """A load of two components with a trace of 300 bins."""
    time = [0.5 * i for i in range(300)]
    force = [-18.0 - 2.0 * scale * math.sin(0.21 * t) * math.exp(-0.01 * t) for t in time]
    return {
        "name": name,
        "history": "drive_bracket_channel_set_2.csv",
        "joint": None,
        "occurs": "16 h/day",
        "samples": 15_000,
        "step_s": 0.01,
        "span_s": 150.0,
        "repeats": 3_506_400.0,
        "repeats_text": "16 h/day over 25 years, a record of 150 s",
        "columns": [
            {"component": "Fy", "column": "Vertical", "unit": "kN", "factor": "1"},
            {"component": "Mz", "column": "Vertical", "unit": "kN", "factor": "0.32 m"},
        ],
        "extremes": {
            "Fy": {"low": min(force) - 1.5, "high": max(force) + 1.5, "unit": "kN"},
            "Mz": {"low": 0.32 * min(force), "high": 0.32 * max(force), "unit": "kN m"},
        },
        "figures": [figure("r", "repeats in the design life", 3_506_400.0)],
        "trace": {
            "time_s": time,
            "components": {
                "Fy": {"unit": "kN", "low": [f - 1.5 for f in force], "high": [f + 1.5 for f in force]},
                "Mz": {"unit": "kN m", "low": [0.32 * f for f in force], "high": [0.32 * f for f in force]},
            },
        },
    }


def joint() -> dict:
    """The joint with everything the contract knows of."""
    return {
        "name": "end plate to column flange",
        "state": "fails",
        "slip_rule": "never",
        "because": "drive alignment",
        "geometry": geometry(),
        "checks": checks(),
        "slip": slip(),
        "movement": {
            "state": "fails",
            "travel_mm": 2.0,
            "rotation_mrad": 17.913,
            "at_point_mm": 7.6243,
            "tolerance_mm": 1.0,
            "at_point_worst_mm": 9.5321,
            "basis": "rigid plates and bolts, clearance of 2 mm",
            "text": "the aligned point may move 7.6 mm if the joint slips from one bearing side to the other",
        },
        "details": [weld_toe(), plate_at_holes()],
        "past": [{"name": "first drive", "served_years": 11.5, "basis": "drive_1998.csv: 12 h/day over 11.5 years"}],
        "warnings": [
            {
                "code": "slips-at-ultimate",
                "text": "slip is not allowed and the joint slips at the ultimate level",
                "clause": "EN 1993-1-8:2005, 3.4.1(3)",
                "advice": ["add bolts: 8 would do", "weld the end plate: see the alternatives"],
            }
        ],
        "alternatives": [
            {
                "kind": "more bolts",
                "title": "8 bolts in 4 rows, pitch 90 mm",
                "state": "holds",
                "utilisation": 0.9234,
                "checks": [
                    {"title": "slip at ultimate", "state": "holds", "utilisation": 0.9234, "clause": "3.9.1"},
                    {"title": "bolt shear", "state": "holds", "utilisation": 0.5377, "clause": "Table 3.4"},
                ],
                "still_to_show": ["room for the further row on the column flange"],
                "unconfirmed": False,
            },
            {
                "kind": "fillet weld",
                "title": "fillet weld 6 mm, 2 × 310 mm",
                "state": "not judged",
                "utilisation": None,
                "checks": [],
                "still_to_show": ["weld procedure", "category of the new detail"],
                "unconfirmed": True,
            },
        ],
        "assumptions": ["threads in the shear plane"],
        "unconfirmed": ["hole: EN 1090-2:2008, table 11 (from memory)"],
    }


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


def figure(symbol, title, value, unit="", formula="", clause="") -> dict:
    """One line of a working."""
    return {
        "symbol": symbol, "title": title, "value": value, "unit": unit, "formula": formula, "clause": clause,
    }  # fmt: skip


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


def detail(name: str, **changes) -> dict:
    """A detail with a spectrum of four bands."""
    category = float(changes.get("category", "71"))
    limit = category * (2 / 5) ** (1 / 3) / 1.35
    bands = [(10.0, 20.0, 4.1e7, 0.0), (20.0, 30.0, 6.3e6, 0.0512)]
    bands += [(30.0, 40.0, 8.2e5, 0.2107), (40.0, 50.0, 1.1e5, 0.1004)]
    damage = sum(band[3] for band in bands)
    made = {
        "name": name,
        "category": "71",
        "catalogue": "8.5-1-71",
        "state": "holds",
        "reason": "",
        "clause": "EN 1993-1-9:2005, Table 8.5",
        "source": "EN 1993-1-9:2005, Table 8.5, detail 1",
        "unconfirmed": False,
        "stress": "normal",
        "stress_on": "gross section",
        "recipe": "0.35 MPa/kN of Fy + 1.9 MPa/(kN m) of Mz",
        "condition": "crossing plate, attachment up to 50 mm long",
        "remarks": ["the largest range stands below the cut-off in most cycles"],
        "cycles_per_life": 4.82e7,
        "largest_range_MPa": 48.731,
        "equivalent_range_MPa": 22.614,
        "damage": damage,
        "life_years": 25.0 / damage,
        "life_text": "69 years",
        "utilisation": damage,
        "share_by_range": [
            {"from_MPa": low, "to_MPa": high, "cycles": cycles, "damage": part, "share": part / damage}
            for low, high, cycles, part in bands
        ],
        "by_load": [
            {"load": "loaded running", "damage": 0.1127, "cycles": 4.79e7, "repeats": 3.51e6},
            {"load": "start and stop", "damage": damage - 0.1127, "cycles": 3.1e5, "largest_range_MPa": 47.6},
        ],
        "curve": {
            "cycles": [1e4, 2e6, 5e6, 1e8],
            "range_MPa": [category * 200 ** (1 / 3) / 1.35, category / 1.35, limit, limit * (5 / 100) ** 0.2],
        },
        "figures": [
            figure("Delta_sigma_C", "category", category, "MPa", "", "EN 1993-1-9:2005, Table 8.5"),
            figure("gamma_Mf", "partial factor", 1.35, "", "", "EN 1993-1-9:2005, Table 3.1"),
            figure("Delta_sigma_C,d", "design category", category / 1.35, "MPa", "Delta_sigma_C / gamma_Mf"),
            figure("D", "damage in the design life", damage, "", "", "EN 1993-1-9:2005, Annex A, A.5"),
        ],
    }
    made |= changes
    made["checks"] = [
        {
            "id": "fatigue:1", "title": f"fatigue of {name}", "state": made["state"], "demand": made["damage"],
            "resistance": 1.0, "unit": "", "utilisation": made["damage"], "clause": made["clause"], "reason": "",
            "at": "", "figures": [],
        },
        {
            "id": "range:1", "title": f"largest range at {name}", "state": "holds", "demand": 48.731,
            "resistance": 1.5 * 345.0, "unit": "MPa", "utilisation": 48.731 / (1.5 * 345.0),
            "clause": "EN 1993-1-9:2005, 8(1)", "reason": "", "at": "",
            "figures": [
                figure("f_y", "yield strength", 345.0, "MPa"),
                figure("Δσ_lim", "largest range allowed", 1.5 * 345.0, "MPa", "1.5 * f_y"),
            ],
        },
    ]  # fmt: skip
    return made


def weld_toe() -> dict:
    """A detail that holds."""
    toe = detail("bracket web to end plate, weld toe")
    return toe | {"outlook": outlook(toe["damage"]), "past": served()}


def outlook(damage: float) -> dict:
    """The life from further sides: two large cycles make half of the damage, the interval is that of a short record."""
    lives = ((0.9, 0.2437, 102.6), (0.95, 0.2971, 84.15), (1.05, 0.4423, 56.52), (1.1, 0.5318, 47.01))
    return {
        "other_stress": [
            {"stress_factor": factor, "damage": found, "life_years": years, "text": f"{years:.3g} years"}
            for factor, found, years in lives
        ],
        "half_of_damage": {
            "cycles": 2,
            "share": 0.5391,
            "text": "",
            "list": [
                {"load": "start and stop", "from_s": 61.27, "to_s": 8.43, "next_repeat": True, "range_MPa": 48.731,
                 "mean_MPa": -7.219, "times": 365_249.0, "share": 0.3318},
                {"load": "loaded running", "from_s": 31.08, "to_s": 32.19, "next_repeat": False, "range_MPa": 41.386,
                 "mean_MPa": 3.127, "times": 3_506_400.0, "share": 0.2073},
            ],
        },
        "along_record": [
            {"load": "loaded running", "time_s": [0.0, 75.0, 150.0], "damage": [0.0, 0.0713, 0.1127],
             "left_open": 0.0},
            {"load": "start and stop", "time_s": [0.0, 75.0, 150.0], "damage": [0.0, 0.0, damage - 0.1127],
             "left_open": 0.0},
        ],
        "untimed": "",
        "interval": {
            "reason": "", "low_years": 58.13, "high_years": 83.62, "resamples": 200, "spans": 40, "seed": 1,
            "figures": [
                figure("T", "design life", 25.0, "year"),
                figure("D_95", "damage that 5 % of them exceed", 0.43007, ""),
                figure("L_5", "life that 5 % of them fall short of", 25.0 / 0.43007, "year", "T / D_95"),
            ],
        },
    }  # fmt: skip


def served() -> dict:
    """What earlier duty has used up, and what is left."""
    return {
        "duty": [{"name": "first drive", "damage": 0.2319}],
        "remaining_years": 52.96,
        "remaining_text": "from now on",
    }


def plate_at_holes() -> dict:
    """A detail without damage, of unconfirmed category."""
    return detail(
        "end plate at the bolt holes",
        category="112",
        catalogue="",
        unconfirmed=True,
        largest_range_MPa=12.381,
        equivalent_range_MPa=None,
        damage=0.0,
        utilisation=0.0,
        life_years=None,
        life_text="no damage: every range lies below the cut-off",
        share_by_range=[{"from_MPa": 0.0, "to_MPa": 10.0, "cycles": 5.2e7, "damage": 0.0, "share": 0.0}],
        by_load=[{"load": "loaded running", "damage": 0.0, "cycles": 5.2e7}],
    )
