"""The contract of the places of a runway: damage by the duty classes, the exemption count, and both roads."""

from cli.contract_figures import figures_of
from fatigue.runway import FATIGUE, GIRDERS
from fatigue.wheel_damage import CraneDamage, RunwayOutcome
from loadhistories.figures import worst_state

EXEMPT_CLAUSE = f"{GIRDERS}, 9.1(2)"


def runway_of(outcome: RunwayOutcome) -> dict:
    """A place of a runway; its checks stand with those of the joint."""
    place, exempt = outcome.place, outcome.exemption
    # None is judged where a crack was found.
    cranes = zip(place.cranes, outcome.cranes, strict=bool(outcome.cranes))
    together = None if outcome.together is None else _damage(outcome.together)
    return {
        "name": place.name,
        "state": worst_state(check.state for check in outcome.checks),
        "clause": f"{FATIGUE}, 8, and {GIRDERS}, 9.3, 9.4",
        "categories": {kind: strength.row.id for kind, strength in place.strengths.items()},
        "stress_cycles": place.cycles,
        "cranes": [{"name": crane.name} | _damage(item) for crane, item in cranes],
        "together": together,
        "damage": outcome.damage,
        "exemption": {
            "clause": EXEMPT_CLAUSE,
            "heavy_cycles": None if exempt is None else exempt.cycles,
            "limit": None if exempt is None else exempt.limit,
            "may_be_exempt": None if exempt is None else exempt.may_be_exempt,
            "text": _not_stated(outcome) if exempt is None else exempt.text,
            "figures": [] if exempt is None else figures_of((exempt,)),
        },
        "beside": _beside(outcome),
        "remarks": list(outcome.remarks),
    }


def _damage(item: CraneDamage) -> dict:
    return {
        "class": item.duty.name,
        "damage": item.damage,
        "equivalent_ranges_MPa": {kind: found.range for kind, found in item.ranges.items()},
    }


def _beside(outcome: RunwayOutcome) -> dict | None:
    if outcome.roads is None:
        return None
    return {
        "detail": outcome.place.beside,
        "same_cranes": outcome.place.same_crane,
        "damage_by_class": outcome.roads.by_class,
        "damage_counted": outcome.roads.counted,
        "class_over_counted": outcome.roads.ratio,
        "equivalent_range_counted_MPa": outcome.counted_range,
        "figures": figures_of((outcome.roads,)),
    }


def _not_stated(outcome: RunwayOutcome) -> str:
    silent = [crane.name for crane in outcome.place.cranes if crane.heavy_cycles is None]
    return (
        "whether few heavy cycles might exempt the runway from a fatigue assessment was not looked at: heavy_cycles "
        f"is not stated for {', '.join(silent)}; fatigue was assessed"
    )
