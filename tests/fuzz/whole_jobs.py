"""Whole jobs by chance that an engineer could have written: joints, details, records and loads of every standard."""

from hypothesis import strategies as st

STANDARDS = ("EN 1993", "AS 4100", "AISC 360-16", "AISC 360-22")
BOLTS = {
    "EN 1993": (("M12", "M16", "M20", "M24", "M30"), ("8.8", "10.9"), ("A", "B", "C", "D")),
    "AS 4100": (("M16", "M20", "M24", "M30"), ("8.8",), ("clean as-rolled", {"slip_factor": 0.25})),
    "AISC 360-16": (("M16", "M20", "M24", "3/4 in", "7/8 in", "1 in"), ("A325", "Group B"), ("A", "B")),
    "AISC 360-22": (("M16", "M20", "M24", "3/4 in", "7/8 in", "1 in"), ("A325", "Group 150"), ("A", "B")),
}
STEELS = ("S235", "S355", {"name": "grade 250", "yield_strength": "250 MPa", "ultimate_strength": "410 MPa"})
CATEGORIES = {
    "EN 1993": ("8.5-1-71", "8.1-10", {"strength": "71 MPa", "stress": "normal"}),
    "AS 4100": (36, 80, 112, "11.5.1(4)-32", {"strength": "71 MPa", "stress": "normal"}),
    "AISC 360-16": ("E", "C", "B", "F", "4.1a"),
    "AISC 360-22": ("E", "C", "B", "F", "4.1a"),
}
RECORD = "record.csv"
_OWN = (
    {"curves": "IIW", "class": "FAT 71", "second_slope": 5, "gamma_M": 1.25},
    {"curves": "BS 7608", "class": "F", "edition": "2014", "design_fatigue_factor": 2},
)


def _sizes(low: float, high: float, unit: str):
    return st.floats(low, high, allow_nan=False).map(lambda value: f"{value:.6g} {unit}")


def _histories():
    points = st.lists(st.floats(-1.0, 1.0, allow_nan=False, width=32), min_size=3, max_size=30)
    return points.filter(lambda values: max(values) - min(values) > 1e-3)


@st.composite
def jobs(draw) -> tuple[dict, str]:
    """A job, and the text of the record that it names."""
    standard = draw(st.sampled_from(STANDARDS))
    history = draw(_histories())
    lines = [f"{number / 10},{value:.6g},{-0.5 * value:.6g}" for number, value in enumerate(history)]
    kinds = draw(st.lists(st.sampled_from(("record", "record", "crane", "machine")), min_size=1, max_size=2))
    job = {
        "title": "made by chance",
        "standard": standard,
        "design_life": draw(st.sampled_from(("1 year", "25 year", "50 year", "200 year"))),
        "load": [draw(_load(kind, number)) for number, kind in enumerate(kinds, start=1)],
        "joint": [draw(_joint(standard))],
    }
    return job, "Time (s),A (kN),B (kN)\n" + "\n".join(lines) + "\n"


@st.composite
def _load(draw, kind: str, number: int) -> dict:
    load = {"name": f"{kind} {number}"}
    if kind == "record":
        components = draw(st.lists(st.sampled_from(("Fx", "Fy", "Fz", "Mx", "My", "Mz")), min_size=1, unique=True))
        occurs = draw(st.sampled_from(("16 h/day", "40/day", "1/year", "1000", "24 h/day")))
        load |= {"history": RECORD, "occurs": occurs}
        load["components"] = {name: draw(_term(name)) for name in components}
        if draw(st.booleans()):
            load["clean"] = draw(st.sampled_from(({"zero": "level at rest"}, {"gate": "0.1 kN"}, {"repeated": "drop"})))
    elif kind == "crane":
        load |= {"components": {"Fy": {"column": "Reaction", "sign": "-"}}, "crane": draw(_crane())}
    else:
        load |= {"components": {"Fy": {"column": "Vertical"}}, "machine": draw(_machine())}
    return load


@st.composite
def _term(draw, component: str) -> dict:
    factor = draw(st.floats(0.5, 300.0).map(lambda value: f"{value:.4g}"))
    return {"column": draw(st.sampled_from("AB")), "factor": factor if component[0] == "F" else f"{factor} mm"}


@st.composite
def _crane(draw) -> dict:
    lifts = [
        {"hook_load": draw(_sizes(1, 60, "kN")), "crab": draw(_sizes(1, 10, "m")), "from": "2 m", "to": "9 m",
         "lifts": draw(st.sampled_from(("4/day", "100/day", "1/week")))}
        for _ in range(draw(st.integers(1, 2)))
    ]  # fmt: skip
    system = draw(st.sampled_from(("continuous", "simple spans")))
    return {
        "rated_load": "80 kN", "bridge": draw(_sizes(10, 100, "kN")), "crab": draw(_sizes(5, 30, "kN")), "span": "14 m",
        "approach": ["1 m", "1 m"], "wheel_spacings": ["3 m"], "travel_speed": "60 m/min",
        "factors": {"own": 1.1, "hoist": 1.2}, "duty": lifts,
        "girder": {"spans": ["6 m", "6 m"], "system": system, "bracket": 2},
    }  # fmt: skip


@st.composite
def _machine(draw) -> dict:
    support = {"frequency": draw(_sizes(2, 12, "Hz")), "damping": draw(_sizes(1, 10, "%"))}
    return {
        "speed": draw(st.sampled_from(("300 rpm", "600 rpm"))), "runs": "16 h/day", "starts": "2/day",
        "start_time": "5 s", "stop_time": "8 s", "support": draw(st.sampled_from((support, "rigid"))),
        "unbalance": {"mass": draw(_sizes(1, 40, "kg")), "eccentricity": draw(_sizes(1, 50, "mm"))},
    }  # fmt: skip


@st.composite
def _joint(draw, standard: str) -> dict:
    names = ("web toe", "flange", "end plate")
    joint = {
        "name": "a joint",
        "slip": draw(st.sampled_from(("never", "not in service", "allowed"))),
        "because": "alignment",
        "permanent": {"Fy": draw(_sizes(-20, 20, "kN"))},
        "factors": {"permanent": 1.35, "variable": 1.5},
        "bolts": draw(_bolts(standard)),
        "plates": [draw(_plate(standard, name)) for name in ("part", "support")],
        "detail": [draw(_detail(standard, name)) for name in names[: draw(st.integers(0, 3))]],
    }
    if draw(st.booleans()):
        joint["alignment"] = {"point": [draw(_sizes(-900, 900, "mm")), "420 mm"], "tolerance": "1 mm"}
    return {key: value for key, value in joint.items() if value != []}


@st.composite
def _bolts(draw, standard: str) -> dict:
    sizes, grades, surfaces = BOLTS[standard]
    kinds = ("normal", "normal", "oversize", "short slot", "long slot")
    bolts = {
        "size": draw(st.sampled_from(sizes)), "grade": draw(st.sampled_from(grades)),
        "preload": draw(st.sampled_from(("full", "full", "none", "50 kN"))), "rows": draw(st.integers(1, 4)),
        "columns": draw(st.integers(1, 3)), "pitch": draw(_sizes(70, 150, "mm")), "gauge": draw(_sizes(70, 150, "mm")),
        "holes": draw(st.sampled_from(kinds)), "surface": draw(st.sampled_from(surfaces)),
        "planes": draw(st.integers(1, 2)), "threads": draw(st.sampled_from(("in shear plane", "not in shear plane"))),
    }  # fmt: skip
    if "slot" in bolts["holes"]:
        bolts["slot"] = draw(st.sampled_from("xy"))
    return bolts


@st.composite
def _plate(draw, standard: str, name: str) -> dict:
    return {
        "name": name, "thickness": draw(_sizes(6, 40, "mm")), "steel": draw(st.sampled_from(STEELS)),
        "end_distance": draw(_sizes(35, 90, "mm")), "edge_distance": draw(_sizes(35, 90, "mm")),
    }  # fmt: skip


@st.composite
def _detail(draw, standard: str, name: str) -> dict:
    weld = {"lines": [[["-50 mm", "0 mm"], ["50 mm", "0 mm"]], [["-50 mm", "90 mm"], ["50 mm", "90 mm"]]],
            "leg": draw(_sizes(4, 12, "mm")), "kind": "normal"}  # fmt: skip
    recipes = (
        {"Fy": draw(_sizes(0.01, 2, "MPa/kN")), "Mz": draw(_sizes(0.1, 9, "MPa/(kN m)"))},
        {"section": {"normal": "x", "area": draw(_sizes(5, 90, "cm2")), "modulus": {"y": "310 cm3", "z": "90 cm3"}}},
        {"weld": weld},
    )
    return {
        "name": name,
        "category": draw(st.sampled_from((*CATEGORIES[standard], *_OWN))),
        "stress": draw(st.sampled_from(recipes)),
    }
