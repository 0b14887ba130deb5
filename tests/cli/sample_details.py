"""The fatigue details of the contract made by hand."""

import runpy
from pathlib import Path

figure = runpy.run_path(str(Path(__file__).with_name("sample_bolts.py")))["figure"]


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
