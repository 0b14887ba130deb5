"""Finds the standards by which fatigue is judged: each a module of this package with its tables beside it.

A standard's module offers

- `NAMES`: its public names; `EDITIONS`: name -> edition as printed;
- `CONDITIONS`, `SIZES`: the keywords that its rows and its size effects know;
- `catalogue() -> tuple[CatalogueRow, ...]`;
- `row_of(category, **conditions)`, `row_of_strength(strength, **conditions) -> CatalogueRow`;
- `curve_of_row(row) -> LifeCurve`, characteristic and without size effect;
- `size_effect(row, **sizes) -> result with .factor`, or None where the row has no size effect;
- `BASIS`: what the user chooses for the safety of the strength: key -> its values, the strictest first, each with the
  sentence that says so where it is assumed; `partial_factors(**basis) -> result with Figures`;
- `condition_lost(detail, *, slips, reverses) -> str`: why the detail cannot be judged as it is, or "";
- `detail_damage(detail, counts, *, blocks, factors, design_life, permanent_stress) -> result`, see `fatigue.damage`;
- `WELD_THROAT`: the categories of a fillet weld's throat by kind of stress, and their clause;
- `checks(number, detail, result) -> tuple[Check, ...]`; `CLAUSE`, that of the damage check.
"""

import pkgutil
from functools import cache
from importlib import import_module
from types import ModuleType

from loadhistories.validation import require_one_of


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
