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
- `WELD_TOES`: package and name of the table of categories of the toes of a weld that is proposed instead of bolts;
- `checks(number, detail, result) -> tuple[Check, ...]`; `CLAUSE`, that of the damage check.

A standard without `BASIS` and `partial_factors` gives curves only: it judges no job by itself, and a detail on one of
its curves brings a safety of its own, see `fatigue.curves_only`. A module without `NAMES` belongs to one beside it.

The modules may offer

- `category_without_grip(row, *, reverses) -> str or None`: the category on the net section for a row that relies on
  grip, once the joint slips;
- `preload_missing(detail, *, slips, preloaded) -> str`: why the detail cannot be judged with bolts that are not, or not
  known to be, preloaded, or "";
- `OWN_FACTORS`: factors that the user may set in place of the recommended ones, with the ground `because`, through
  `partial_factors`; `deviation(factors) -> str` then says so;
- `FITTED_BOLTS`: the categories of fitted bolts' shanks and of plates at them, on one side or on two;
- `point_checks(number, name, normal, shear) -> tuple[Check, ...]`: normal and shear stress together at one point;
- `bolt_tension_share(*, prying, place) -> result with .share`: the share of an outer force that a preloaded bolt takes.
"""

from types import ModuleType

from loadhistories.discovery import Discovery
from loadhistories.validation import require_one_of

_KNOWN = Discovery(__name__, __path__)


def names() -> tuple[str, ...]:
    """Names of the standards that are known here."""
    return _KNOWN.names()


def judging() -> tuple[str, ...]:
    """Names of the standards that judge a job by themselves."""
    return tuple(name for name in names() if not curves_only(name))


def curves_only(name: str) -> bool:
    """Whether a standard gives curves without a safety of its own."""
    return not _KNOWN.offers(name, "BASIS")


def standard(name: str, *, place: str = "") -> ModuleType:
    """The module of a standard; raises InputError with the known names if there is none."""
    return _KNOWN.module(require_one_of(name, names(), "standard", place=place))


def edition(name: str) -> str:
    """The edition of a standard as the note prints it."""
    return standard(name).EDITIONS[name]
