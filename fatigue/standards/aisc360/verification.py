"""AISC 360, Appendix 3: how a detail is verified, and when its category does not stand."""

from fatigue.accumulation import beyond_curve
from fatigue.catalogue import CatalogueRow
from fatigue.detail import Detail
from fatigue.standards.aisc360.bolts import prying_of, too_much_prying
from fatigue.standards.aisc360.categories import BOLT, BOTH, EQUATIONS, TABLE, rule
from fatigue.standards.aisc360.damage import AllRangesBelow, FiniteLife, StandardDeviations
from loadhistories.figures import Check, judged, not_judged
from loadhistories.validation import require_one_of

EDITIONS = {name: f"ANSI/{name}, Appendix 3" for name in ("AISC 360-16", "AISC 360-22")}
CONDITIONS = ("stress", "equations")
BASIS = {
    "equations": {
        "US": "the range equations are those printed in US customary units (A-3-1), not the rounded SI ones (A-3-1M)",
        "SI": "",
    }
}
CLAUSE = f"{BOTH}.3"
BOLTED = ("2.1", "2.2", "2.3")
NO_PRELOAD = (
    "bolts that are not pretensioned under cyclic shear are outside the Specification (ANSI/AISC 360-22, Commentary on "
    "Appendix 3; taken to hold for 360-16 as well)"
)
WELD_THROAT = {"normal": "8.2", "shear": "8.2", "clause": f"{BOTH}, Table {TABLE}, 8.2: shear on the throat"}
WELD_TOES = ("fatigue.standards.aisc360", "weld_toes")


def partial_factors(equations: str, *, place: str = "") -> StandardDeviations:
    """What the safety of the strength rests on, and the printing of the equations that is used.

    Parameters
    ----------
    equations : str
        "US" (1000 ksi) or "SI" (6900 MPa): the damage by one differs from that by the other by about 1 %.

    Examples
    --------
    >>> partial_factors("US").deviations
    2.0
    """
    require_one_of(equations, EQUATIONS, "equations", place=place)
    return StandardDeviations(equations, rule("deviations"), rule("no_partial_factor"))


def condition_lost(detail: Detail, *, slips: bool | None, reverses: bool | None) -> str:
    """Why the detail's category does not stand in this joint, or "" where it does."""
    if detail.row.relies_on == "grip" and slips is not False:
        told = (
            "the joint slips under its fatigue loads, so that force passes by bearing and the plate may crack at the "
            "edge of a hole; make the joint grip, or take the net section with 2.2 (pretensioned bolts)"
            if slips
            else "whether the joint slips under its fatigue loads is not known"
        )
        return f"{detail.row.id} counts on a slip-critical joint ({_edition(detail)}, Table {TABLE}, 2.1): {told}"
    if detail.row.letter == BOLT:
        prying = prying_of(detail.recipe)
        return "" if prying is None else too_much_prying(prying)
    return ""


def preload_missing(detail: Detail, *, slips: bool | None, preloaded: bool | None) -> str:
    """Why a bolted lap cannot be judged for want of pretension, or "" where it can."""
    if detail.row.id not in BOLTED or preloaded:
        return ""
    if preloaded is False:
        return f"{detail.row.id} in a joint without preload: {NO_PRELOAD}; pretension the bolts"
    if detail.row.relies_on == "grip" and slips:
        return (
            f"{detail.row.id}: the joint slips under its fatigue loads, and whether its bolts are pretensioned is not "
            f"known; {NO_PRELOAD}"
        )
    return ""


def category_without_grip(row: CatalogueRow, *, reverses: bool | None) -> str | None:
    """The row for a slip-critical lap that slips: pretensioned bolts, stress on the net section, any reversal."""
    return "2.2" if row.relies_on == "grip" else None


def checks(number: int, detail: Detail, result: AllRangesBelow | FiniteLife) -> tuple[Check, ...]:
    """Damage against 1, the range against the allowable one, and the peak stress where the yield strength is known."""
    working = tuple(part for part in (*detail.recipe.working, result.root) if part is not None)
    edition = _edition(detail)
    found = [_of_damage(number, detail, result, working)]
    if result.demand is not None:
        found.append(
            judged(
                f"fatigue:{number}:allowable",
                f"{_kind(result)} range at {detail.name}",
                demand=result.demand,
                resistance=result.allowable_range,
                unit="MPa",
                clause=f"{edition}, 3.3",
                working=(*working, result),
            )
        )
    if result.limit is not None:
        found.append(
            judged(
                f"fatigue:{number}:peak",
                f"peak stress at {detail.name}",
                demand=result.limit.peak,
                resistance=result.limit.limit,
                unit="MPa",
                clause=f"{edition}, 3.1",
                working=(result.limit,),
            )
        )
    return tuple(found)


def _of_damage(number: int, detail: Detail, result: AllRangesBelow | FiniteLife, working: tuple) -> Check:
    clause = f"{_edition(detail)}, 3.3; damage summed: common practice, no source"
    beyond = beyond_curve(result)
    title = f"fatigue of {detail.name}"
    if beyond:
        return not_judged(f"fatigue:{number}", title, reason=beyond, clause=clause, working=(*working, result))
    return judged(
        f"fatigue:{number}",
        title,
        demand=result.damage,
        resistance=rule("allowed_damage"),
        unit="",
        clause=clause,
        working=(*working, *result.blocks, result),
    )


def _kind(result: AllRangesBelow | FiniteLife) -> str:
    return "largest" if isinstance(result, AllRangesBelow) else "effective"


def _edition(detail: Detail) -> str:
    return EDITIONS[detail.standard]
