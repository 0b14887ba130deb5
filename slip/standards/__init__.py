"""Finds the standards by which joints are judged: each a module or package here with its tables beside it.

A standard offers every name of INTERFACE. What they mean:

- `NAMES`: its public names; `EDITIONS`: name -> edition as printed; `CLAUSES`: check -> clause;
  `CATEGORIES`: level -> what the standard calls a joint checked at it; `LOAD_FACTORS`: its usual `slip.joint.Factors`,
  from its table `load_factors.toml`;
- `bolt(size, grade) -> Bolt`; `specified_preload(bolt) -> N`, `preload_working(bolt)` with its figures;
- `surface(class or number, by_test=False) -> Surface`, `slip_factor(...)` its number;
- `hole(bolt, kind) -> Hole`; `hole_factor(kind, direction)`, direction "along" or "across" of the load to the slot;
- `grip_terms(slip_factor=, planes=, hole_factor=, level=) -> (factor, tension_share)`: the grip of a bolt is
  factor * (preload - tension_share * max(tension, 0)), and not below 0;
- `slip_resistance(...)`: the same for one bolt, with its figures; `levels_checked(slip_rule)`: required levels;
- `bolt_shear(bolt, ...)`, `bolt_tension(bolt)`, `shear_with_tension(...)`, `combined_utilisation(...)` for arrays;
- `bearing(bolt, hole, plate, ...)` for one component of the force, `resultant_bearing(bolt, hole, plate)` for the
  whole force, None where the standard judges the components alone; `punching(...)`, `block_tearing(...)`,
  `net_section(...)`;
- `distance_checks(hole, ...) -> tuple[Check, ...]`; `DISTANCES_ASSUMED`: what they take for granted, a sentence;
- `fillet_weld(...)` with `.throat` in mm and `.strength` in N/mm; `weld_choice(plate) -> (keywords, words)`: what a
  weld that is proposed instead of the bolts is made with, as keywords of `fillet_weld`, and in words for its title;
  `least_leg(thickness)`: its smallest leg by the thickest part joined, in mm.

A standard may also offer, each left out where it has no such rule here:

- `plate_block_tearing(plate, net_tension_area=, net_shear_area=, gross_shear_area=, eccentric=)`: one plate of a joint;
- `plate_section(plate, kind=, area=, grips_at_ultimate=) -> (result, clause)`, kind "gross" or "net";
- `prying(bolt, flange, hole_width=) -> slip.prying.PriedFlange` and `CLAUSES["prying"]`: flanges that pry on bolts;
- `plate_shear(plate, kind=, area=) -> (result, clause)`, kind "gross" or "net"; None for one it has no rule for;
- `deducted_hole(hole) -> Hole`: the hole as it is deducted from net areas, where that is more than the hole;
- `width_across_flats(bolt)` of head and nut in mm: the plates are then judged for `punching(...)`; `HEADS_ASSUMED`:
  what that takes for granted, a sentence;
- `CLAUSES["fitted bolts"]`: bolts without play may be used;
- `CLAUSES["injection bolts"]`, `CLAUSES["creep of the resin"]` and
  `resin_bearing(bolt, middle=, outer=, strength=)`: bolts may be set in resin;
- a table `tightening.toml`: steps of the tightening methods, for `slip.tightening`;
- `CLAUSES["contact"]`: contact on the compression side may make up for the tension from moments;
- `SPACED_DETAILS`, `CLAUSES["fatigue spacing"]` and `fatigue_distance(bolt, "end"|"edge"|"pitch"|"gauge", mm)` with
  `.least` and `.given`: categories of the fatigue standard that ask for distances of their own.

Every result is a frozen dataclass with Figures.
"""

from types import ModuleType

from loadhistories.discovery import Discovery
from loadhistories.validation import require_one_of

INTERFACE = (
    "NAMES", "EDITIONS", "CLAUSES", "CATEGORIES", "LOAD_FACTORS",
    "bolt", "specified_preload", "preload_working", "surface", "slip_factor", "hole", "hole_factor",
    "grip_terms", "slip_resistance", "levels_checked",
    "bolt_shear", "bolt_tension", "shear_with_tension", "combined_utilisation",
    "bearing", "resultant_bearing", "punching", "block_tearing", "net_section",
    "distance_checks", "DISTANCES_ASSUMED", "fillet_weld", "weld_choice", "least_leg",
)  # fmt: skip


_KNOWN = Discovery(__name__, __path__)


def names() -> tuple[str, ...]:
    """Names of the standards that are known here."""
    return _KNOWN.names()


def standard(name: str, *, place: str = "") -> ModuleType:
    """The module of a standard; raises InputError with the known names if there is none."""
    return _KNOWN.module(require_one_of(name, names(), "standard", place=place))


def edition(name: str) -> str:
    """The edition of a standard as the note prints it."""
    return standard(name).EDITIONS[name]
