"""A whole assessment in the shape of the JSON contract, made by hand: the note and the summary are tested on it.

Its bolts and its details stand in files of their own.
"""

import math
import runpy
from pathlib import Path

_PARTS = [runpy.run_path(str(Path(__file__).with_name(f"sample_{name}.py"))) for name in ("bolts", "details")]
figure, geometry, checks, slip = (_PARTS[0][name] for name in ("figure", "geometry", "checks", "slip"))
weld_toe, plate_at_holes = (_PARTS[1][name] for name in ("weld_toe", "plate_at_holes"))


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
