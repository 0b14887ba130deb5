"""EN 1993-1-8:2005 with EN 1090-2: bolts, grip, strength without grip, fillet welds."""

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
from slip.standards.en1993.plate_bearing import Bearing, bearing, distance_checks
from slip.standards.en1993.plates import block_tearing, net_section, net_section_rupture, punching
from slip.standards.en1993.shear import (
    bolt_shear,
    bolt_tension,
    combined_utilisation,
    long_joint_factor,
    packing_factor,
    shear_with_tension,
)
from slip.standards.en1993.tables import bolt, hole, partial_factor, slip_factor, surface
from slip.standards.en1993.welds import directional_weld, fillet_weld, long_weld_factor

NAMES = ("EN 1993",)
EDITIONS = {"EN 1993": "EN 1993-1-8:2005, EN 1090-2:2008+A1:2011"}
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
}

__all__ = [
    "CATEGORIES",
    "CLAUSES",
    "EDITIONS",
    "NAMES",
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
    "fillet_weld",
    "grip_terms",
    "hole",
    "hole_factor",
    "levels_checked",
    "long_joint_factor",
    "long_weld_factor",
    "net_section",
    "net_section_rupture",
    "packing_factor",
    "partial_factor",
    "preload_working",
    "punching",
    "shear_with_tension",
    "slip_factor",
    "slip_resistance",
    "specified_preload",
    "surface",
]
