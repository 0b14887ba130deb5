"""Distances of the holes that the fatigue category of a bolted plate asks for."""

from collections.abc import Sequence

from fatigue.detail import Detail
from loadhistories.figures import Check, judged
from slip.assessment import SlipOutcome
from slip.standards import standard
from slip.surroundings import spacing


def fatigue_distance_checks(outcome: SlipOutcome, details: Sequence[Detail]) -> tuple[Check, ...]:
    """Whether the holes of every plate stand far enough apart for the categories of the details. [mm]

    One check a plate, of the distance with the least room; none where no detail has a category that asks for it.
    """
    joint, rules = outcome.joint, standard(outcome.joint.standard)
    asking = getattr(rules, "SPACED_DETAILS", ())
    found = [item for item in details if item.category in asking]
    return tuple(_of_plate(outcome, plate, rules, found) for plate in joint.plates) if found else ()


def _of_plate(outcome: SlipOutcome, plate, rules, details: Sequence[Detail]) -> Check:
    pitch, gauge = spacing(outcome.joint.positions, outcome.load_axis, outcome.hole.width)
    given = {"end": plate.end_distance, "edge": plate.edge_distance, "pitch": pitch, "gauge": gauge}
    every = [rules.fatigue_distance(outcome.bolt, key, value) for key, value in given.items() if value is not None]
    worst = max(every, key=lambda item: item.least / item.given)
    which = [key for key, value in given.items() if value is not None][every.index(worst)]
    names = ", ".join(dict.fromkeys(item.category for item in details))
    return judged(
        f"fatigue-distances-{plate.name}", f"{which} of the holes of the {plate.name} for category {names}",
        demand=worst.least, resistance=worst.given, unit="mm", clause=rules.CLAUSES["fatigue spacing"],
        working=(worst,),
    )  # fmt: skip
