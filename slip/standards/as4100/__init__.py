"""AS 4100:2020, section 9, with AS/NZS 5131: bolts, grip, strength without grip, fillet welds."""

from slip.standards.as4100.distances import DISTANCES_ASSUMED, distance_checks
from slip.standards.as4100.grip import (
    CATEGORIES,
    LeastTension,
    SlipCapacity,
    grip_terms,
    hole_factor,
    levels_checked,
    preload_working,
    slip_resistance,
    specified_preload,
)
from slip.standards.as4100.plate_shear import plate_shear
from slip.standards.as4100.plates import (
    Bearing,
    bearing,
    block_tearing,
    net_section,
    plate_block_tearing,
    plate_section,
    punching,
    resultant_bearing,
)
from slip.standards.as4100.shear import (
    bolt_shear,
    bolt_tension,
    combined_utilisation,
    filler_factor,
    shear_with_tension,
)
from slip.standards.as4100.shear import lap_factor as bolted_lap_factor
from slip.standards.as4100.tables import (
    EDITION,
    LOAD_FACTORS,
    bolt,
    capacity_factor,
    core_area,
    hole,
    slip_factor,
    surface,
)
from slip.standards.as4100.welds import fillet_weld, least_leg, weld_choice
from slip.standards.as4100.welds import lap_factor as welded_lap_factor

NAMES = ("AS 4100",)
EDITIONS = {"AS 4100": f"{EDITION}, AS/NZS 5131:2016"}
CLAUSES = {
    "slip at service": f"{EDITION}, 9.2.3.1, 9.2.3.3",
    "slip at ultimate": f"asked for by the job, beyond the clause; capacity of {EDITION}, 9.2.3.1, 9.2.3.3",
    "slip with tension": f"{EDITION}, 9.2.3.3",
    "bolt shear": f"{EDITION}, 9.2.2.1",
    "bolt tension": f"{EDITION}, 9.2.2.2",
    "shear with tension": f"{EDITION}, 9.2.2.3",
    "bearing": f"{EDITION}, 9.2.2.4",
    "net section": f"{EDITION}, 7.2",
    "block tearing": f"{EDITION}, 9.1.9",
    "distances": f"{EDITION}, 9.5",
    "fillet weld": f"{EDITION}, 9.6.3.10",
}

__all__ = [
    "CATEGORIES",
    "CLAUSES",
    "DISTANCES_ASSUMED",
    "EDITION",
    "EDITIONS",
    "LOAD_FACTORS",
    "NAMES",
    "Bearing",
    "LeastTension",
    "SlipCapacity",
    "bearing",
    "block_tearing",
    "bolt",
    "bolt_shear",
    "bolt_tension",
    "bolted_lap_factor",
    "capacity_factor",
    "combined_utilisation",
    "core_area",
    "distance_checks",
    "filler_factor",
    "fillet_weld",
    "grip_terms",
    "hole",
    "hole_factor",
    "least_leg",
    "levels_checked",
    "net_section",
    "plate_block_tearing",
    "plate_section",
    "plate_shear",
    "preload_working",
    "punching",
    "resultant_bearing",
    "shear_with_tension",
    "slip_factor",
    "slip_resistance",
    "specified_preload",
    "surface",
    "weld_choice",
    "welded_lap_factor",
]
