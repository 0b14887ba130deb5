"""Schema of cranes: as a load history, by their duty class, and the places of a runway."""

from cli.job_crane_duty import ROW_KEYS
from cli.job_runway import RECORDS
from cli.schema.details import sizes
from cli.schema.parts import (
    NUMBER,
    Node,
    any_text,
    choice,
    either,
    list_of,
    number,
    pattern,
    quantities,
    quantity,
    table,
    tables,
    text,
    texts,
    whole,
)
from fatigue.inspection import CRACK
from fatigue.runway import STANDARD
from fatigue.standards import standard as rules_of
from loadhistories.crane_class import SPECTRA
from loadhistories.crane_passages import RETURNS
from loadhistories.girder import SYSTEMS
from loadhistories.tables import read_table

_FATIGUE = "fatigue.standards"


def crane_load() -> Node:
    """[load.crane]: the duty of a crane, made into histories."""
    keys = {
        **_crane_keys(),
        "travel_speed": quantity("mm/s", "Of the crane along the runway", "60 m/min"),
        "girder": _girder(),
        "second": _second(),
        "duty": _duty(),
        "class": _duty_class(),
    }
    return table(
        "Duty of a crane; every working cycle becomes a history at a section of its girder and at a bracket",
        keys,
        required=(
            "rated_load", "bridge", "crab", "span", "approach", "wheel_spacings", "travel_speed", "factors", "girder",
        ),
        one_of=(("duty",), ("class",)),
    )  # fmt: skip


def crane() -> Node:
    """One [[crane]]: by its duty class."""
    keys = {
        "name": text("Name of the crane", "casting crane"),
        "class": either(
            "Class of its duty by EN 1991-3",
            choice(read_table(_FATIGUE, "en1991_3_classes"), "S class"),
            table("Cycles and load spectrum, from which the S class follows", {
                "cycles": _class("U", "Class of working cycles, or their number", 2e5),
                "spectrum": _class("Q", "Class of the load spectrum, or its factor", 0.25),
            }, required=("cycles", "spectrum")),
        ),
        "hoisting": choice(read_table(_FATIGUE, "en1991_3_hoisting"), "Hoisting class"),
        "hoisting_speed": quantity("mm/s", "Steady hoisting speed", "6 m/min"),
        "own_factor": number("Dynamic factor on the crane's own weight, phi_1", 1.1),
        "fatigue_factors": table("Dynamic factors for fatigue, in place of a hoisting class", {
            "own": number("On the crane's own weight", 1.05, least=0.95),
            "hoist": number("On the hoist load", 1.07, least=0.95),
        }, required=("own", "hoist")),
        "wheel_load": table("Parts of the largest characteristic wheel load", {
            "crane": quantity("N", "Of the crane itself", "50 kN"),
            "hoist": quantity("N", "Of the hoist load", "100 kN"),
        }, required=("crane", "hoist")),
        "wheels": quantities("mm", "Places of the wheels on one rail", "0 m", "3.2 m"),
        "heavy_cycles": number("Lifts above half of the full payload, told but never a pass", 9000, least=0.0),
    }  # fmt: skip
    return table("A crane by its duty class (EN 1991-3)", keys, required=("name", "class", "wheel_load"),
                 one_of=(("hoisting",), ("fatigue_factors",)))  # fmt: skip


def runway() -> Node:
    """One [[joint.runway]]: a place that cranes pass."""
    category = either("", text("Identifier of the catalogue", "8.10-2"), number("Strength at 2e6 cycles [MPa]", 80))
    keys = {
        "name": text("Name of the place", "web below the rail"),
        "cranes": texts("Names of the cranes that pass it", "casting crane"),
        "category": category | {"description": "Category of normal stress"},
        "shear_category": category | {"description": "Category of shear stress"},
        **sizes(*rules_of(STANDARD).SIZES),
        "stress_cycles": number("Cycles here in one working cycle of the crane", 2, above=0.0),
        "web": _web(),
        "girder": table("Girder in which the place lies, for its bending and shear", {
            "span": quantity("mm", "Length of a girder of one span", "12 m"),
            "spans": quantities("mm", "Lengths of several spans", "12 m", "12 m"),
            "system": choice(SYSTEMS, "Whether several spans are one beam"),
            "second_moment": quantities("mm4", "Of each of several spans", "8e8 mm4", "5e8 mm4"),
            "at": quantity("mm", "Place from the support", "3 m"),
            "modulus": quantity("mm3", "Section modulus, for bending of a flange", "4200 cm3"),
            "shear_area": quantity("mm2", "Shear area of the web", "7000 mm2"),
        }, required=("at",), one_of=(("span",), ("spans", "system", "second_moment"))),
        "stress": table("Range of your own for a unit wheel load", {
            kind: either(
                f"Range of {kind} stress",
                quantity("MPa/N", "One for all cranes", "0.5 MPa/kN"),
                quantities("MPa/N", "One for each crane", "0.5 MPa/kN"),
            )
            for kind in ("normal", "shear")
        }),
        "apart": quantity("mm", "Distance of several cranes on the girder", "2 m"),
        "beside": text("A detail of this joint whose counted damage stands beside", "web, passages counted"),
        "records": choice(RECORDS, "What was counted there"),
        "crack": choice(CRACK, "Whether a crack was found"),
    }  # fmt: skip
    return table("A place of a runway, by equivalent ranges (EN 1993-6)", keys,
                 required=("name", "cranes", "stress_cycles"))  # fmt: skip


def _web() -> Node:
    keys = {
        "thickness": quantity("mm", "Of the web", "10 mm"),
        "seat": choice(read_table(_FATIGUE, "en1993_6_rails"), "How the rail sits on the flange"),
        "rail_and_flange": quantity("mm4", "Second moment of rail and flange as one section", "4e6 mm4"),
        "rail": quantity("mm4", "Second moment of the rail alone", "2e6 mm4"),
        "flange": quantity("mm4", "Second moment of the flange alone", "1e5 mm4"),
        "throat": quantity("mm", "Throat of two welds below the flange", "5 mm"),
        "bending": table("Bending of the web by wheels beside its middle", {
            "rail_width": quantity("mm", "Width of the rail head", "65 mm"),
            "web_height": quantity("mm", "Height of the web", "600 mm"),
            "spacing": quantity("mm", "Distance of the stiffeners", "2 m"),
            "flange_torsion": quantity("mm4", "Torsion constant of the flange, rail included", "8e5 mm4"),
        }, required=("rail_width", "web_height", "spacing", "flange_torsion")),
    }  # fmt: skip
    return table("Pressure and local shear under a wheel", keys, required=("thickness", "seat"))


def _weight(says: str, example: str) -> Node:
    """A force, or a mass in t or kg."""
    return either(says, quantity("N", f"{says}, as a force", example), pattern(
        rf"^\s*{NUMBER}\s*(t|kg)\s*$", f"{says}, as a mass with 9.81 m/s2", "12 t"
    ))  # fmt: skip


def _crane_keys() -> dict[str, Node]:
    return {
        "rated_load": _weight("Largest load on the hook", "100 kN"),
        "bridge": _weight("Bridge without crab", "120 kN"),
        "crab": _weight("Crab", "20 kN"),
        "bridge_share": number("Share of the bridge on this rail", 0.5, least=0.0),
        "span": quantity("mm", "From rail to rail", "20 m"),
        "approach": quantities("mm", "Nearest place of the hook to this rail and to the other", "1 m", "1.2 m"),
        "wheel_spacings": quantities("mm", "Distances of the wheels on this rail, one less than wheels", "3 m"),
        "wheel_shares": list_of(number("Share", 0.5), "Share of each wheel on this rail, together 1") | {
            "examples": [[0.5, 0.5]]
        },
        "factors": _factors(),
        "lateral": table("Forces across the rail, one for every wheel or a list", {
            way: either(f"On the way {way}", quantity("N", "For every wheel", "4 kN"),
                        quantities("N", "One for each wheel", "4 kN", "-4 kN"))
            for way in ("out", "back")
        }, required=("out", "back")),
    }  # fmt: skip


def _factors() -> Node:
    keys = {
        "phi_1": number("Dynamic factor on own weight, for strength", 1.1, above=0.0),
        "phi_2": number("Dynamic factor on the hoist load, for strength", 1.13, above=0.0),
        "own": number("Dynamic factor on own weight, for fatigue", 1.05, above=0.0),
        "hoist": number("Dynamic factor on the hoist load, for fatigue", 1.07, above=0.0),
        "hoisting_class": choice(read_table(_FATIGUE, "en1991_3_hoisting"), "Hoisting class, with phi_1"),
        "hoisting_speed": quantity("mm/s", "Steady hoisting speed", "6 m/min"),
    }
    groups = (("phi_2",), ("own", "hoist"), ("hoisting_class", "hoisting_speed"))
    return table("Dynamic factors: for strength, or for fatigue, or by hoisting class", keys, one_of=groups)


def _girder() -> Node:
    keys = {
        "spans": quantities("mm", "Lengths of the spans", "6 m", "6 m"),
        "system": choice(SYSTEMS, "Whether the spans are one beam"),
        "modulus": quantity("MPa", "Modulus of elasticity, for the rotation", "210 GPa"),
        "second_moment": either(
            "Second moment of area, for the rotation", quantity("mm4", "Of all spans", "1e9 mm4"),
            quantities("mm4", "One for each span", "1e9 mm4", "1e9 mm4"),
        ),
        "section": quantity("mm", "Section that is looked at, from the first support", "2.4 m"),
        "bracket": whole("Support that is looked at, from 1", 2),
        "wheel_width": quantity("mm", "Width over which a single wheel is felt", "0.5 m"),
        "runway": quantities("mm", "Where the wheels must stay", "0 m", "12 m"),
    }  # fmt: skip
    return table("Girder that the crane runs on, and what is looked at", keys, required=("spans", "system"))


def _second() -> Node:
    keys = {
        **_crane_keys(),
        "gap": quantity("mm", "From its nearest wheel to that of the first crane", "2 m"),
        "side": choice(("beyond", "before"), "On which side of the first crane it runs"),
    }
    required = ("rated_load", "bridge", "crab", "span", "approach", "wheel_spacings", "factors", "gap", "side")
    return table("A second crane beside the first, for a share of its lifts", keys, required=required)


def _way_keys() -> dict[str, Node]:
    return {
        "crab": quantity("mm", "Hook from this rail on the way out", "4 m"),
        "crab_back": quantity("mm", "Hook from this rail on the way back", "10 m"),
        "from": quantity("mm", "Middle of the crane at the start", "1.5 m"),
        "to": quantity("mm", "Middle of the crane at the end", "10.5 m"),
        "returns": choice(RETURNS, "Whether the load is taken back"),
    }


def _duty() -> Node:
    row = table("One kind of lift", {
        "name": text("Name of the row", "full"),
        "hook_load": _weight("Load on the hook", "80 kN"),
        **_way_keys(),
        "lifts": text("How many, as in 40/day, 9000/year or 200000", "40/day"),
        "together": number("Share of the lifts that the second crane makes beside", 0.1, least=0.0),
        "second_crane": table("What the second crane does then", {
            "hook_load": _weight("Load on its hook", "50 kN"),
            "crab": quantity("mm", "Its hook from this rail", "3 m"),
            "crab_back": quantity("mm", "On the way back", "3 m"),
        }, required=("hook_load", "crab")),
    }, required=("hook_load", "crab", "from", "to", "lifts"))  # fmt: skip
    heads = {key: text(f"Column of {key}", key.capitalize()) for key in ROW_KEYS}
    units = {key: text(f"Unit of {key}", "m") for key in ROW_KEYS}
    by_file = table("Rows from a table beside the job file", {
        "file": text("Its name", "duty.csv"),
        "columns": table("Which column holds what", heads, required=("hook_load", "crab", "from", "to", "lifts")),
        "units": table("Units of the columns", units),
        "lifts_per": choice(("life", "year", "week", "day"), "What the number of lifts is of"),
        "delimiter": any_text("Between cells", ","),
        "decimal": choice((".", ","), "Decimal mark"),
    }, required=("file", "columns", "lifts_per"))  # fmt: skip
    return either("A row for each kind of lift", tables(row, required=True), by_file)


def _duty_class() -> Node:
    keys = {
        "cycles": _class("U", "Class of working cycles, or lifts in the life", 2e5),
        "spectrum": _class("Q", "Class of the load spectrum, or its factor", 0.25),
        "loads": choice(SPECTRA, "How the spectrum is made up"),
        **_way_keys(),
    }
    required = ("cycles", "spectrum", "loads", "crab", "from", "to")
    return table("Rows from a class of working cycles and of the load spectrum", keys, required=required)


def _class(letter: str, says: str, example: float) -> Node:
    """A class of a letter by its name, or a number."""
    names = [key for key in read_table(_FATIGUE, "en1991_3_duty") if key.startswith(letter)]
    return either(says, choice(names, says), number(says, example, above=0.0))
