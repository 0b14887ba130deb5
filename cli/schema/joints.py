"""Schema of the joints of a job: bolts, plates, welds, keys and dowels, alignment, place; and of frames."""

from cli.job_bolts import AXES, MOST_BOLTS, THREADS
from cli.job_place import STIFFNESS
from cli.job_welds import CARRIERS
from cli.schema.cranes import runway
from cli.schema.details import detail, weld_lines
from cli.schema.parts import (
    Node,
    boolean,
    choice,
    either,
    list_of,
    number,
    point,
    quantity,
    table,
    tables,
    text,
    texts,
    whole,
)
from cli.table_files import tables_of
from loadhistories.blocks import COMPONENTS
from loadhistories.tables import read_table
from slip.column_moment import far_ends
from slip.groove_welds import KINDS
from slip.joint import CONTACTS, FITS, HOLES, REACHES, SIDES, SLIP_RULES
from slip.preload import METHODS, SURFACES
from slip.sharing_with_welds import TIGHTENINGS
from slip.tolerances import classes
from slip.trade import ACCESS, POSITIONS, THROUGH_THICKNESS
from slip.trade import KINDS as PLACES
from slip.welded import QUALITIES


def joint() -> Node:
    """One [[joint]]."""
    permanent = {
        name: quantity("N" if name[0] == "F" else "N mm", name, "-14 kN" if name[0] == "F" else "-4.48 kN m")
        for name in COMPONENTS
    }
    factors = {
        "permanent": number("On permanent load", 1.35, above=0.0),
        "permanent_favourable": number("On permanent load that helps", 1.0, above=0.0),
        "variable": number("On variable load", 1.5, above=0.0),
    }
    keys = {
        "name": text("Name of the joint", "end plate to column flange"),
        "slip": choice(SLIP_RULES, "never: grip at ultimate level; not in service: at service level; allowed"),
        "because": text("Why it must not slip, or may", "the drive is aligned with a shaft"),
        "permanent": table("Permanent load at the middle of the bolts", permanent),
        "factors": table("Load factors at ultimate level; those of the standard if left out", factors),
        "bolts": bolts(),
        "plates": tables(_plate(), required=True),
        "alignment": _alignment(),
        "weld": tables(_weld(), required=True),
        "sharing": _sharing(),
        "shear_key": _shear_key(),
        "dowels": _dowels(),
        "detail": tables(detail(), required=True),
        "runway": tables(runway(), required=True),
        "place": _place(),
        "column": _column(),
    }
    says = "One joint, with bolts, welds or both, or with details alone"
    return table(says, keys, required=("name",), apart=("shear_key", "dowels"))


def frame() -> Node:
    """One [[frame]]."""
    member = table("One member of the frame", {
        "name": text("Name of the member", "diagonal"),
        "unit_force": number("Its force for a load of 1 at the point", -0.8),
        "slip": quantity("mm", "Slip of both its ends together", "4 mm"),
        "joints": texts("Names of the joints that slip", "upper gusset", "lower gusset"),
    }, required=("name", "unit_force"), one_of=(("slip",), ("joints",)))  # fmt: skip
    keys = {
        "name": text("Name of the point", "tip of the frame"),
        "tolerance": quantity("mm", "How far it may move by slip of its joints", "10 mm"),
        "member": tables(member, required=True),
    }
    return table("What the slips of several joints add up to at one point", keys, required=("name", "member"))


def bolts() -> Node:
    """[joint.bolts]."""
    sizes_known = [key for table_ in _named("*bolts*") for key in table_.rows]
    grades = [name for table_ in _named("grades") for key, row in table_.rows.items() for name in (key, *_also(row))]
    surfaces = [key for table_ in _named("surfaces") for key in table_.rows]
    keys = {
        "size": choice(dict.fromkeys(sizes_known), "Size of the bolts; which there are depends on the standard"),
        "grade": choice(dict.fromkeys(grades), "Grade of the bolts; which there are depends on the standard"),
        "preload": _preload(),
        "rows": whole("Bolts along y", 3),
        "columns": whole("Bolts along x", 2),
        "pitch": quantity("mm", "Distance of the rows", "90 mm"),
        "gauge": quantity("mm", "Distance of the columns", "130 mm"),
        "at": list_of(point("x and y of a bolt"), "Places of all bolts, instead of rows and columns", most=MOST_BOLTS),
        "holes": choice((*HOLES, *FITS), "Holes, or bolts without play in theirs"),
        "slot": choice(AXES, "Axis along which a slot is longer"),
        "surface": either(
            "Class of the faying surfaces by the standard, or their slip factor",
            choice(dict.fromkeys(surfaces), "Class; which there are depends on the standard"),
            table("Slip factor of your own", {
                "slip_factor": number("Slip factor", 0.4, above=0.0),
                "by_test": boolean("It was found by test, and may then exceed every class"),
            }, required=("slip_factor",)),
        ),
        "planes": whole("Faying surfaces that each bolt passes", 1),
        "threads": choice(THREADS, "Where the threads lie"),
        "packing": quantity("mm", "Thickness of the packing, the thicker one of two", "6 mm"),
        "prying": _prying(),
        "contact": choice(CONTACTS, "Contact on the compression side makes up for tension from moments"),
        "resin_strength": quantity("MPa", "Bearing strength of the resin of injection bolts, by test", "130 MPa"),
    }  # fmt: skip
    return table("Bolts of the joint", keys, required=("size", "grade", "preload", "holes"),
                 one_of=(("rows", "columns", "pitch", "gauge"), ("at",)))  # fmt: skip


def steel() -> Node:
    """The key `steel`: a name, or strengths."""
    own = table("Strengths of your own", {
        "name": text("Name of the steel", "A572 grade 50"),
        "yield_strength": quantity("MPa", "Yield strength", "345 MPa"),
        "ultimate_strength": quantity("MPa", "Ultimate strength", "470 MPa"),
    }, required=("yield_strength", "ultimate_strength"))  # fmt: skip
    return either("Steel by its name, or its strengths", _name_of_steel(), own)


def _name_of_steel() -> Node:
    return choice(read_table("slip.standards", "steels"), "Steel by its name")


def _named(name: str):
    from fnmatch import fnmatchcase

    return [item for item in tables_of() if fnmatchcase(item.name, name) and item.package.startswith("slip.standards")]


def _also(row: dict) -> list[str]:
    return row.get("also", [])


def _preload() -> Node:
    force = quantity("N", "Force, up to the full one", "150 kN")
    keys = {
        "specified": either("Specified preload", choice(("full",), "As the standard specifies"), force),
        "method": choice(METHODS, "How the bolts are tightened"),
        "surface": choice(SURFACES, "Of the plates, for the loss soon after tightening"),
        "installed": quantity("", "Preload as installed over the specified one, as measured", "100 %"),
        "scatter": quantity("", "Of the method, as measured", "8 %"),
        "seating": quantity("", "Loss by seating, as measured", "5 %"),
        "coating_creep": quantity("", "Loss by creep of a coating, by test", "10 %"),
        "later_loss": quantity("", "Loss later on", "10 %"),
        "torque_factor": number("Torque over preload and diameter", 0.14, above=0.0),
    }
    life = table("Preload with its tightening and losses", keys, required=("specified", "method", "surface"))
    return either("Preload of the bolts", choice(("full", "none"), "As the standard specifies, or none"), force, life)


def _prying() -> Node:
    flange = table("Flange that pries, judged as a T-stub", {
        "flange_thickness": quantity("mm", "Of the flange", "20 mm"),
        "m": quantity("mm", "From the bolt to the web", "45 mm"),
        "e": quantity("mm", "From the bolt to the edge of the flange", "40 mm"),
        "length": quantity("mm", "Of flange that belongs to one bolt", "90 mm"),
        "effective_length": quantity("mm", "Of the yield lines, where you know it", "90 mm"),
        "bolt_length": quantity("mm", "That stretches", "60 mm"),
        "steel": steel(),
    }, required=("flange_thickness", "m", "e", "length", "steel"))  # fmt: skip
    factor = number("Bolt tension with prying over that without", 1.2, least=1.0)
    return either("Prying of the flange on the bolts", choice(("none",), "There is none"), factor, flange)


def _plate() -> Node:
    keys = {
        "name": text("Name of the plate", "end plate"),
        "thickness": quantity("mm", "Of the plate", "20 mm"),
        "steel": steel(),
        "end_distance": quantity("mm", "From a hole's centre to the end, along the load", "45 mm"),
        "edge_distance": quantity("mm", "From a hole's centre to the edge, across the load", "40 mm"),
        "holes": choice(HOLES, "Its own holes, where they differ from those of the joint"),
        "width": quantity("mm", "Its extent along x; its sections are then judged", "210 mm"),
        "height": quantity("mm", "Its extent along y; its sections are then judged", "270 mm"),
        "belongs_to": choice(SIDES, "Only bolts pushed towards its end bear there"),
        "reaches": choice(REACHES, "Side on which the plate goes on, for the toe of a weld instead of bolts"),
    }
    required = ("name", "thickness", "steel", "end_distance", "edge_distance")
    return table("One plate that the bolts pass", keys, required=required)


def _alignment() -> Node:
    keys = {
        "point": point("x and y of the point whose place matters"),
        "tolerance": quantity("mm", "How far it may be off", "1 mm"),
        "turn": table("How far the part may turn", {
            "offset": quantity("mm", "Offset", "0.05 mm"),
            "over": quantity("mm", "Over this length", "100 mm"),
        }, required=("offset", "over")),
        "class": choice(classes(), "Class of tolerance, instead of one of your own"),
        "items": texts("Items of the class that count; all if left out", "span"),
        "span": quantity("mm", "Of the crane rails, where the class asks for it", "20 m"),
    }  # fmt: skip
    limits = (("tolerance",), ("class",))
    return table("A point that has to stay in its place", keys, required=("point",), one_of=limits)


def _weld() -> Node:
    keys = {
        "name": text("Name of the weld", "top"),
        "lines": weld_lines(),
        "kind": choice(KINDS, "Fillet if left out"),
        "quality": choice(QUALITIES, "Where it is made"),
        "leg": quantity("mm", "Of a fillet weld", "6 mm"),
        "throat": quantity("mm", "Of a fillet weld, instead of its leg", "4 mm"),
        "depth": quantity("mm", "Of a partial penetration weld, from the drawing", "8 mm"),
        "thickness": quantity("mm", "Of the part joined", "20 mm"),
        "steel": steel(),
        "electrode": text("Filler metal as the standard names it", "E70XX"),
        "class": text("Quality of the weld as the standard names it", "SP"),
        "strength_factor": number("Factor of your own on its strength", 0.9, above=0.0),
    }
    return table("Welds of one size and make", keys, required=("lines", "quality"))


def _sharing() -> Node:
    keys = {
        "carried_by": choice(CARRIERS, "Who carries the load"),
        "tightened_after_welding": boolean("The bolts get their last tightening after welding"),
        "unloaded_until_finished": boolean("Nothing is loaded until both are finished"),
        "tightening": choice(TIGHTENINGS, "How the bolts are tightened"),
    }
    return table("Bolts and welds in one joint", keys, required=("carried_by",))


def _shear_key() -> Node:
    keys = {
        "axis": choice(AXES, "Along which it takes the load"),
        "width": quantity("mm", "Across the load", "120 mm"),
        "depth": quantity("mm", "Into its pocket", "30 mm"),
        "length": quantity("mm", "Along the load", "40 mm"),
        "clearance": quantity("mm", "In its pocket", "0.2 mm"),
        "steel": steel(),
        "weld": table("Fillet weld round its foot", {
            "leg": quantity("mm", "Of the weld", "8 mm"),
            "thickness": quantity("mm", "Of the part joined", "20 mm"),
            "steel": _name_of_steel(),
            "electrode": text("Filler metal as the standard names it", "E70XX"),
            "class": text("Quality as the standard names it", "SP"),
        }, required=("leg",)),
    }  # fmt: skip
    return table("A key that takes shear from the bolts", keys,
                 required=("axis", "width", "depth", "length", "steel", "weld"))  # fmt: skip


def _dowels() -> Node:
    keys = {
        "at": list_of(point("x and y of one dowel"), "Place of every dowel", least=2),
        "diameter": quantity("mm", "Of a dowel", "30 mm"),
        "clearance": quantity("mm", "In its hole", "0.05 mm"),
        "steel": steel(),
    }
    return table("Dowels that take shear from the bolts", keys, required=("at", "diameter", "steel"))


def _place() -> Node:
    keys = {
        "kind": choice(PLACES, "What the joint is"),
        "access": choice(ACCESS, "Whether it can be looked at"),
        "position": choice(POSITIONS, "In which a weld is made"),
        "through_thickness": choice(THROUGH_THICKNESS, "Class of the plate that is pulled across its thickness"),
        "coating": text("That is there already", "zinc, then paint"),
        "pulled_across": text("Plate that a weld pulls across its thickness", "column flange"),
        "main_inspection": quantity("s", "Time from one main inspection to the next", "5 year"),
    }
    return table("Where and as what the joint stands", keys)


def _column() -> Node:
    member = table("One member", {
        "second_moment": quantity("mm4", "Second moment of area", "8e7 mm4"),
        "length": quantity("mm", "Length", "8 m"),
        "far_end": choice(far_ends(), "What its other end does"),
    }, required=("second_moment", "length", "far_end"))  # fmt: skip
    keys = {
        "beam": member,
        "above": member,
        "below": member,
        "fixed_end_moment": quantity("N mm", "Of the beam at this end, were it held", "96 kN m"),
        "reaction": quantity("N", "Of the beam", "120 kN"),
        "eccentricity": quantity("mm", "From the column's axis to where the reaction is handed over", "150 mm"),
        "modulus": quantity("MPa", "Modulus of elasticity", "210 GPa"),
        "connection": choice(("rigid",), "The joint itself does not turn"),
        STIFFNESS: number("How stiff the joint is", 16000, above=0.0),
    }
    return table("Column that carries a stiff joint", keys,
                 required=("beam", "fixed_end_moment", "reaction", "eccentricity"),
                 one_of=(("connection",), (STIFFNESS,)))  # fmt: skip
