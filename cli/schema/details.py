"""Schema of the fatigue details of a joint: category, stress, inspection, random stress."""

import fatigue.standards
from cli.component_units import stress_unit
from cli.job_inspection import SHAPES as CRACKS
from cli.job_shear_stress import SHEAR_FORMS
from cli.job_stress import FORCES as FORCE_NAMES
from cli.job_stress import FORMS, MOMENTS
from cli.schema.parts import (
    Node,
    choice,
    either,
    list_of,
    number,
    point,
    quantities,
    quantity,
    table,
    tables,
    text,
    whole,
)
from fatigue.detail import FREE_OF_WELDING_STRESS
from fatigue.growth_laws import CONDITIONS
from fatigue.hotspot import schemes
from fatigue.inspection import CRACK
from fatigue.recipe import AXES, KINDS, SECTIONS
from fatigue.sections import OPTIONAL_SIZES, SHAPES, SIZES
from loadhistories.blocks import COMPONENTS
from loadhistories.tables import read_table


def detail() -> Node:
    """One [[joint.detail]]."""
    keys = {
        "name": text("Name of the detail", "bracket web to end plate, weld toe"),
        "category": _category(),
        "stress": _stress(),
        "net_section": _net_section("Net section by which a detail that relies on grip is judged once the joint slips"),
        "root": text("Why no crack starts from the root", "none: full penetration"),
        "toe": text("Why no crack starts from the toe", "none: ground flush"),
        "point": text("Details of one point are judged together", "weld root"),
        "site": point("x and y at which the drawing marks it"),
        **sizes(*dict.fromkeys(name for rules in _standards() for name in rules.SIZES)),
        "yield_strength": quantity("MPa", "Of the part", "355 MPa"),
        "free_of_welding_stress": choice(FREE_OF_WELDING_STRESS[1:], "Compression then counts less"),
        "starred": choice(_starred(), "Categories printed with a star"),
        "crack": choice(CRACK, "A detail in which a crack was found has no life"),
        "inspection": _inspection(),
        "psd": table("Random stress beside the recorded loads", {
            "file": text("Its one-sided density, columns Frequency [Hz],Density [MPa2/Hz]", "density.csv"),
            "occurs": text("How long it acts", "16 h/day"),
        }, required=("file", "occurs")),
    }  # fmt: skip
    return table("A place that may crack", keys, required=("name", "category", "stress"))


def sizes(*names: str) -> dict[str, Node]:
    """Sizes on which categories depend."""
    says = {
        "thickness": ("Of the part", "32 mm"),
        "diameter": ("Of a bolt or tube", "36 mm"),
        "thicker": ("Thickness of the thicker part of a splice", "20 mm"),
        "eccentricity": ("Of the two parts of a splice", "2 mm"),
        "root_face": ("Length of the root that is not welded", "10 mm"),
        "leg": ("Of the fillet welds", "8 mm"),
    }
    return {name: quantity("mm", *says.get(name, (name.replace("_", " "), "20 mm"))) for name in names}


def weld_lines() -> Node:
    """Weld lines, each a start and an end."""
    line = list_of(point("x and y of an end"), "Start and end of one line", least=2, most=2)
    return list_of(line, "Lines of the weld", least=1) | {"examples": [
        [[["-50 mm", "-100 mm"], ["-50 mm", "100 mm"]], [["50 mm", "-100 mm"], ["50 mm", "100 mm"]]],
    ]}  # fmt: skip


def _standards() -> list:
    return [fatigue.standards.standard(name) for name in fatigue.standards.names()]


def _starred() -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for rules in _standards() for word in getattr(rules, "STARRED", ())))


def _category() -> Node:
    only = [name for name in fatigue.standards.names() if fatigue.standards.curves_only(name)]
    conditions = dict.fromkeys(name for source in only for name in fatigue.standards.standard(source).CONDITIONS)
    curves = {
        "curves": choice(only, "Source of the curve"),
        "class": either("Class of the curve", text("Name", "FAT 71"), number("Number", 71)),
        "gamma_M": number("Partial factor of the strength, yours", 1.25, above=0.0),
        "design_fatigue_factor": number("Factor on the damage, yours", 3.0, above=0.0),
        **{name: either(f"Condition of the curve: {name.replace('_', ' ')}", text("Text", "normal"),
                        number("Number", 5)) for name in conditions},
    }  # fmt: skip
    strength = {
        "strength": quantity("MPa", "Strength at the reference cycles", "71 MPa"),
        "stress": choice(KINDS, "Kind of stress"),
    }
    return either(
        "Category of the detail: see griplife details",
        text("Identifier of the catalogue", "8.5-1-71"),
        number("Strength at the reference cycles [MPa]", 71),
        table("Strength of your own", strength, required=("strength",)),
        table("Curve of a source without safety of its own", curves, required=("curves", "class")),
    )


def _stress() -> Node:
    keys = {
        **{name: _per_component(name) for name in COMPONENTS},
        "kind": choice(KINDS, "Of the stress that the components make"),
        "on": choice(SECTIONS, "Section that the stress is taken on"),
        "section": _section(),
        "shear": table("Shear stress of an area", {
            "force": choice(FORCE_NAMES, "Force that makes it"),
            "area": quantity("mm2", "Shear area", "1600 mm2"),
        }, required=("force", "area")),
        "net_section": _net_section("A flat bar less its holes, pulled, or pulled and bent"),
        "weld": table("Throat of a weld group", {
            "lines": weld_lines(),
            "kind": choice(KINDS, "Across the throat, or along it"),
            "leg": quantity("mm", "Of the weld", "6 mm"),
            "throat": quantity("mm", "Of the weld, instead of its leg", "4 mm"),
            "counts_as": choice(KINDS, "Kind of stress of the category"),
        }, required=("lines", "kind")),
        "hot_spot": table("Surface stress extrapolated to the weld toe", {
            "points": choice(schemes(), "Where the surface stress is read"),
            "stress": tables(
                table("Stress at one point", {name: _per_component(name) for name in COMPONENTS}), required=True
            ),
        }, required=("points", "stress")),
        "bolt_tension": _bolt_tension(),
        **{form: _shear_form(form) for form in SHEAR_FORMS},
    }  # fmt: skip
    return table("What makes the stress: exactly one recipe", keys, one_of=(COMPONENTS, *((form,) for form in FORMS)))


def _per_component(name: str) -> Node:
    example = "0.35 MPa/kN" if name[0] == "F" else "1.9 MPa/(kN m)"
    return quantity(stress_unit(name), f"Stress for a unit of {name}", example)


def _shear_form(form: str) -> Node:
    says = {
        "bolt_shear": "Shear of bolts that bear",
        "dowel_shear": "Shear of the dowels",
        "key_weld": "Weld at the foot of the key",
    }
    keys = {
        "kind": choice(KINDS, "Across the throat, or along it"),
        "counts_as": choice(KINDS, "Kind of stress of the category"),
    }
    return table(says[form], keys if form == "key_weld" else {})


def _section() -> Node:
    of_shape = [name for part in (SIZES, OPTIONAL_SIZES) for names in part.values() for name in names]
    keys = {
        "normal": choice(AXES, "Axis along the member"),
        "at": _by_axis("mm", "Centroid of the section from the joint's origin", "150 mm"),
        "shape": choice(SHAPES, "Shape of the section, instead of its values"),
        "up": choice(AXES, "Axis along the height of the shape"),
        "fibre": text("Fibre that is looked at", "+z", "corners"),
        **{name: quantity("mm", name.replace("_", " "), "20 mm") for name in dict.fromkeys(of_shape)},
        "area": quantity("mm2", "Of the section", "52 cm2"),
        "modulus": _by_axis("mm3", "Section moduli about the axes", "310 cm3"),
        "second_moment": _by_axis("mm4", "Second moments of area about the axes", "4e6 mm4"),
    }
    keys["point"] = _by_axis("mm", "Place of the fibre from the centroid", "100 mm")
    groups = (("shape", "up", "fibre"), ("area", "modulus", "second_moment", "point"))
    return table("A section by its values or its shape", keys, required=("normal",), one_of=groups)


def _by_axis(unit: str, says: str, example: str) -> Node:
    return table(says, {axis: quantity(unit, axis, example) for axis in AXES})


def _net_section(says: str) -> Node:
    keys = {
        "force": choice(FORCE_NAMES, "Force along the bar"),
        "width": quantity("mm", "Of the bar", "210 mm"),
        "thickness": quantity("mm", "Of the bar", "20 mm"),
        "hole_diameter": quantity("mm", "Of a hole", "22 mm"),
        "holes": whole("Holes in the section", 2),
        "moment": choice(MOMENTS, "Moment that bends the bar in its plane"),
        "hole_offsets": quantities("mm", "Places of the holes from the middle", "-65 mm", "65 mm"),
    }
    required = ("force", "width", "thickness", "hole_diameter")
    return table(says, keys, required=required, one_of=(("holes",), ("moment", "hole_offsets")))


def _bolt_tension() -> Node:
    keys = {
        "prying": either(
            "Bolt force with prying over that without",
            choice(("none", "joint"), "None, or that of the bolts"), number("Factor", 1.2, least=1.0),
        ),
        "share": either(
            "Share of the force that a preloaded bolt takes",
            choice(("standard",), "As the standard says"), number("Share", 0.25, above=0.0),
        ),
        "stiffness_ratio": number("Stiffness of the plates over that of the bolt, from which the share follows", 3.0,
                                  above=0.0),
        "at": list_of(point("x and y of one bolt"), "Place of every bolt, where the joint has none of its own"),
        "tensile_area": quantity("mm2", "Of one bolt", "245 mm2"),
        "preload": either("Of one bolt", choice(("none",), "None"), quantity("N", "Force", "170 kN")),
    }  # fmt: skip
    return table("The bolts themselves in tension", keys, required=("prying",))


def _inspection() -> Node:
    keys = {
        "crack": choice(CRACKS, "Shape of the crack"),
        "thickness": quantity("mm", "Of the part", "20 mm"),
        "width": quantity("mm", "Of the part", "300 mm"),
        "bending_share": number("Share of bending in the stress", 0.3, least=0.0),
        "toe": quantity("mm", "Reach of the weld at whose toe it starts", "40 mm"),
        "law": choice(read_table("fatigue", "growth_constants"), "Law of crack growth"),
        "condition": choice(CONDITIONS, "Of the part"),
        "stress_ratio": number("Highest ratio of lowest to highest stress", 0.1),
        "method": text("How the crack is looked for", "magnetic particles"),
        "source": text("Where the detectable size comes from", "trial on a sample"),
        "depth": quantity("mm", "Depth that is found", "2 mm"),
        "length": quantity("mm", "Length that is found", "10 mm"),
        "highest_stress": quantity("MPa", "Highest stress", "150 MPa"),
        "residual_stress": quantity("MPa", "Locked in by welding", "355 MPa"),
        "toughness_MPa_sqrt_m": number("Fracture toughness", 120, above=0.0),
        "toughness_share": number("Share of it that may be used", 0.7, above=0.0),
        "yield_strength": quantity("MPa", "Of the part", "355 MPa"),
        "share": number("Share of the time of growth that lies between two inspections", 0.5, above=0.0),
        "planned": quantity("s", "Time between two inspections that is planned", "2 year"),
    }
    required = (
        "crack", "width", "bending_share", "law", "condition", "method", "source", "depth", "highest_stress",
        "residual_stress", "share",
    )  # fmt: skip
    return table("Longest time between two inspections, from crack growth", keys, required=required)
