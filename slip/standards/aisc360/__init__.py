"""AISC 360-16 and 360-22, J3, with the RCSC Specification: bolts, grip, strength without grip, fillet welds."""

from slip.standards.aisc360.distances import DISTANCES_ASSUMED, EDGE, distance_checks
from slip.standards.aisc360.grip import (
    CATEGORIES,
    SLIP,
    WITH_TENSION,
    MinimumPretension,
    SlipResistance,
    grip_terms,
    hole_factor,
    levels_checked,
    preload_working,
    slip_resistance,
    specified_preload,
)
from slip.standards.aisc360.grip import filler_factor as slip_filler_factor
from slip.standards.aisc360.plate_bearing import CLAUSE as BEARING
from slip.standards.aisc360.plate_bearing import Bearing, bearing, resultant_bearing
from slip.standards.aisc360.plate_shear import plate_shear
from slip.standards.aisc360.plates import (
    BLOCK,
    block_tearing,
    deducted_hole,
    gross_section,
    net_section,
    plate_block_tearing,
    plate_section,
    punching,
)
from slip.standards.aisc360.prying import prying
from slip.standards.aisc360.shear import (
    COMBINED,
    STRENGTH,
    bolt_shear,
    bolt_tension,
    combined_utilisation,
    reduced_tension,
    shear_with_tension,
)
from slip.standards.aisc360.shear import filler_factor as shear_filler_factor
from slip.standards.aisc360.tables import (
    INCH,
    KIP,
    KSI,
    LOAD_FACTORS,
    bolt,
    clause,
    hole,
    resistance_factor,
    slip_factor,
    surface,
)
from slip.standards.aisc360.welds import CLAUSE as WELD
from slip.standards.aisc360.welds import fillet_weld, fillet_weld_group, least_leg, long_weld_factor, weld_choice

NAMES = ("AISC 360-16", "AISC 360-22")
EDITIONS = {
    "AISC 360-16": "ANSI/AISC 360-16, J2 and J3, LRFD",
    "AISC 360-22": "ANSI/AISC 360-22, J2 and J3, LRFD",
}
CLAUSES = {
    "slip at service": f"unfactored loads, beside the clause; resistance of {SLIP}",
    "slip at ultimate": SLIP,
    "slip with tension": WITH_TENSION,
    "bolt shear": STRENGTH,
    "bolt tension": STRENGTH,
    "shear with tension": COMBINED,
    "bearing": BEARING,
    "net section": clause("J4.1(b)"),
    "block tearing": BLOCK,
    "distances": EDGE,
    "fillet weld": WELD,
    "prying": "AISC Manual, 15th ed., Part 9, prying action, from memory; AISC 360, J3.6 and J3.9",
}

__all__ = [
    "CATEGORIES",
    "CLAUSES",
    "DISTANCES_ASSUMED",
    "EDITIONS",
    "INCH",
    "KIP",
    "KSI",
    "LOAD_FACTORS",
    "NAMES",
    "Bearing",
    "MinimumPretension",
    "SlipResistance",
    "bearing",
    "block_tearing",
    "bolt",
    "bolt_shear",
    "bolt_tension",
    "clause",
    "combined_utilisation",
    "deducted_hole",
    "distance_checks",
    "fillet_weld",
    "fillet_weld_group",
    "grip_terms",
    "gross_section",
    "hole",
    "hole_factor",
    "least_leg",
    "levels_checked",
    "long_weld_factor",
    "net_section",
    "plate_block_tearing",
    "plate_section",
    "plate_shear",
    "preload_working",
    "prying",
    "punching",
    "reduced_tension",
    "resistance_factor",
    "resultant_bearing",
    "shear_filler_factor",
    "shear_with_tension",
    "slip_factor",
    "slip_filler_factor",
    "slip_resistance",
    "specified_preload",
    "surface",
    "weld_choice",
]
