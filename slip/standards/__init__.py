"""Finds the standards by which joints are judged: each a module or package here with its tables beside it.

A standard offers every name of INTERFACE. What they mean:

- `NAMES`: its public names; `EDITIONS`: name -> edition as printed; `CLAUSES`: check -> clause;
  `CATEGORIES`: level -> what the standard calls a joint checked at it;
- `bolt(size, grade) -> Bolt`; `specified_preload(bolt) -> N`, `preload_working(bolt)` with its figures;
- `surface(class or number, by_test=False) -> Surface`, `slip_factor(...)` its number;
- `hole(bolt, kind) -> Hole`; `hole_factor(kind, direction)`, direction "along" or "across" of the load to the slot;
- `grip_terms(slip_factor=, planes=, hole_factor=, level=) -> (factor, tension_share)`: the grip of a bolt is
  factor * (preload - tension_share * max(tension, 0)), and not below 0;
- `slip_resistance(...)`: the same for one bolt, with its figures; `levels_checked(slip_rule)`: required levels;
- `bolt_shear(bolt, ...)`, `bolt_tension(bolt)`, `shear_with_tension(...)`, `combined_utilisation(...)` for arrays;
- `bearing(bolt, hole, plate, ...)`, `punching(...)`, `block_tearing(...)`, `net_section(...)`;
- `distance_checks(hole, ...) -> tuple[Check, ...]`; `fillet_weld(...)` with `.strength` in N/mm.

Every result is a frozen dataclass with Figures.
"""

import pkgutil
from functools import cache
from importlib import import_module
from types import ModuleType

from loadhistories.validation import require_one_of

INTERFACE = (
    "NAMES", "EDITIONS", "CLAUSES", "CATEGORIES",
    "bolt", "specified_preload", "preload_working", "surface", "slip_factor", "hole", "hole_factor",
    "grip_terms", "slip_resistance", "levels_checked",
    "bolt_shear", "bolt_tension", "shear_with_tension", "combined_utilisation",
    "bearing", "punching", "block_tearing", "net_section", "distance_checks", "fillet_weld",
)  # fmt: skip


@cache
def _modules() -> dict[str, ModuleType]:
    found = [import_module(f"{__name__}.{item.name}") for item in pkgutil.iter_modules(__path__)]
    return {name: module for module in found for name in module.NAMES}


def names() -> tuple[str, ...]:
    """Names of the standards that are known here."""
    return tuple(sorted(_modules()))


def standard(name: str, *, place: str = "") -> ModuleType:
    """The module of a standard; raises InputError with the known names if there is none."""
    return _modules()[require_one_of(name, names(), "standard", place=place)]


def edition(name: str) -> str:
    """The edition of a standard as the note prints it."""
    return standard(name).EDITIONS[name]
