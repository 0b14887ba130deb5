"""EN 1993-1-8:2005 with EN 1090-2: bolts, grip, strength without grip, fillet welds."""

from slip.joint import usual_factors
from slip.standards.en1993.fatigue_distances import SPACED_DETAILS, fatigue_distance
from slip.standards.en1993.grip import (
    CATEGORIES,
    SlipAtService,
    SlipAtUltimate,
    SpecifiedPreload,
    grip_terms,
    hole_factor,
    levels_checked,
    preload_working,
    slip_resistance,
    specified_preload,
)
from slip.standards.en1993.plate_bearing import DISTANCES_ASSUMED, Bearing, bearing, distance_checks, resultant_bearing
from slip.standards.en1993.plate_shear import plate_shear
from slip.standards.en1993.plates import (
    HEADS_ASSUMED,
    block_tearing,
    net_section,
    net_section_rupture,
    plate_block_tearing,
    plate_section,
    punching,
    width_across_flats,
)
from slip.standards.en1993.prying import prying
from slip.standards.en1993.resin import resin_bearing
from slip.standards.en1993.shear import (
    bolt_shear,
    bolt_tension,
    combined_utilisation,
    long_joint_factor,
    packing_factor,
    shear_with_tension,
)
from slip.standards.en1993.tables import bolt, hole, partial_factor, slip_factor, surface
from slip.standards.en1993.welds import directional_weld, fillet_weld, least_leg, long_weld_factor, weld_choice

NAMES = ("EN 1993",)
EDITIONS = {"EN 1993": "EN 1993-1-8:2005, EN 1090-2:2008+A1:2011"}
LOAD_FACTORS = usual_factors(__name__)
CLAUSES = {
    "slip at service": "EN 1993-1-8:2005, 3.4.1(1)b, 3.9.1",
    "slip at ultimate": "EN 1993-1-8:2005, 3.4.1(1)c, 3.9.1",
    "slip with tension": "EN 1993-1-8:2005, 3.9.2",
    "bolt shear": "EN 1993-1-8:2005, Table 3.4",
    "bolt tension": "EN 1993-1-8:2005, Table 3.4",
    "shear with tension": "EN 1993-1-8:2005, Table 3.4",
    "bearing": "EN 1993-1-8:2005, Table 3.4",
    "punching": "EN 1993-1-8:2005, Table 3.4",
    "net section": "EN 1993-1-8:2005, 3.4.1(1)c",
    "block tearing": "EN 1993-1-8:2005, 3.10.2",
    "distances": "EN 1993-1-8:2005, Table 3.3",
    "fillet weld": "EN 1993-1-8:2005, 4.5.3",
    "prying": "EN 1993-1-8:2005, 6.2.4, Table 6.2, from memory",
    "contact": "EN 1993-1-8:2005, 3.9.2(2)",
    "injection bolts": "EN 1993-1-8:2005, 3.6.2, from memory",
    "creep of the resin": "EN 1993-1-8:2005, 3.6.2.2(5), and EN 1090-2:2008, Annex K, from memory",
    "fitted bolts": "EN 1993-1-8:2005, 2.6(2), 3.6.1(6), (7), from memory",
    "fatigue spacing": "EN 1993-1-9:2005, Table 8.1, details 8 to 13, from memory",
}

__all__ = [
    "CATEGORIES",
    "CLAUSES",
    "DISTANCES_ASSUMED",
    "EDITIONS",
    "HEADS_ASSUMED",
    "LOAD_FACTORS",
    "NAMES",
    "SPACED_DETAILS",
    "Bearing",
    "SlipAtService",
    "SlipAtUltimate",
    "SpecifiedPreload",
    "bearing",
    "block_tearing",
    "bolt",
    "bolt_shear",
    "bolt_tension",
    "combined_utilisation",
    "directional_weld",
    "distance_checks",
    "fatigue_distance",
    "fillet_weld",
    "grip_terms",
    "hole",
    "hole_factor",
    "least_leg",
    "levels_checked",
    "long_joint_factor",
    "long_weld_factor",
    "net_section",
    "net_section_rupture",
    "packing_factor",
    "partial_factor",
    "plate_block_tearing",
    "plate_section",
    "plate_shear",
    "preload_working",
    "prying",
    "punching",
    "resin_bearing",
    "resultant_bearing",
    "shear_with_tension",
    "slip_factor",
    "slip_resistance",
    "specified_preload",
    "surface",
    "weld_choice",
    "width_across_flats",
]
