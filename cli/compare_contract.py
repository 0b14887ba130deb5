"""The comparison as plain values with their units; `--json` prints it, the tables are made from it."""

import math

from cli.cautions import CAUTIONS
from cli.compare import Compared
from cli.compare_ranking import LONGEST_LIFE, ranked
from cli.compare_rates import OwnRates
from cli.contract import check_of
from cli.contract_figures import figures_of
from cli.job import Job
from cli.version import version
from loadhistories.figures import HOLDS
from loadhistories.tables import read_table
from slip.alternatives.alternative import Alternative, Proposal, Situation
from slip.alternatives.quantities import Quantities, quantities
from slip.alternatives.work import SHOP, SITE, work_items

AS_GIVEN = "as given"


def comparison_of(job: Job, found: tuple[Compared, ...], own: OwnRates, weights: dict[str, float] | None) -> dict:
    """The comparison of a job: for each joint the joint as given and every rung of the ladder."""
    joints = [_joint(item, own, weights, job.design_life_years) for item in found]
    return {
        "griplife": version(),
        "title": job.title,
        "standard": {"name": job.standard},
        "design_life_years": job.design_life_years,
        "inputs": [{"what": "job", "path": str(job.path), "sha256": job.sha256}],
        "rates": {"file": own.name, "examples": own.examples, "currency": own.rates.currency},
        "choices": dict(own.wishes),
        "weights": weights,
        "joints": joints,
        "cautions": list(CAUTIONS),
    }


def best_of(joint: dict) -> dict | None:
    """The alternative that stands first and holds; None where none does."""
    holding = [item for item in joint["alternatives"] if item["state"] == HOLDS]
    return min(holding, key=lambda item: item["rank"]) if holding else None


def _joint(item: Compared, own: OwnRates, weights, design_life: float) -> dict:
    base = {"name": item.given.name, "state": item.contract["state"], "why_not": item.why_not}
    if item.situation is None:
        return base | {"as_given": None, "alternatives": [], "refused": []}
    proposal = Proposal(item.situation.joint)
    given = _shown(AS_GIVEN, "the joint as the job has it", item.contract, item.situation, proposal, own, design_life)
    given |= {"still_to_show": [], "tried": []}
    offered = [rung for rung in item.alternatives if rung.proposal is not None]
    options = [_alternative(rung, item.situation, own, design_life) for rung in offered]
    refused = [
        {"kind": rung.kind, "reason": rung.checks[0].reason, "tried": _tried(rung)}
        for rung in item.alternatives if rung.proposal is None
    ]  # fmt: skip
    return base | {"as_given": given, "alternatives": ranked(options, weights), "refused": refused}


def _alternative(rung: Alternative, situation: Situation, own: OwnRates, design_life: float) -> dict:
    shown = _shown(rung.kind, rung.title, rung.judged.result, situation, rung.proposal, own, design_life)
    return shown | {
        "state": rung.state,
        "checks": [*shown["checks"], *(check_of(check) for check in rung.unjudged)],
        "still_to_show": list(rung.still_to_show),
        "tried": _tried(rung),
    }


def _tried(rung: Alternative) -> list[dict]:
    return [{"what": step.what, "state": step.state, "reason": step.reason} for step in rung.tried]


def _shown(
    kind: str, title: str, contract: dict, situation: Situation, proposal: Proposal, own: OwnRates, design_life: float
) -> dict:
    taken = quantities(situation, proposal)
    items = work_items(proposal, taken, own.rates)
    hours = {place: sum(item.hours for item in items if item.place == place) for place in (SHOP, SITE)}
    cost = sum(item.cost for item in items)
    used = [item["utilisation"] for item in (*contract["checks"], *contract["details"])]
    largest = max((value for value in used if value is not None), default=None)
    lives = [item["life_years"] for item in contract["details"] if item.get("life_years")]
    slip, moves = contract["slip"], contract["movement"]
    return {
        "kind": kind,
        "title": title,
        "state": contract["state"],
        "utilisation": largest,
        "strength_utilisation": _largest(contract["checks"], slip=False),
        "slip_utilisation": slip["first_bolt_utilisation"] if slip else None,
        "preload_margin": _margin(slip["preload_at_slip_share"] if slip else None),
        "life_years": min(lives, default=None),
        "movement_mm": _moved(moves, proposal),
        "movement_text": moves["text"] if moves else "nothing slips: welded",
        "checks": contract["checks"],
        "details": contract["details"],
        "quantities": _quantities(taken),
        "work": {
            "items": [dict(vars(item)) for item in items],
            "shop_hours": hours[SHOP],
            "site_hours": hours[SITE],
            "hours": hours[SHOP] + hours[SITE],
            "cost": cost,
            "currency": own.rates.currency,
            "examples": own.examples,
        },
        "practice": dict(read_table("slip.alternatives", "practice")[kind]),
        "criteria": {
            "margin": _margin(largest),
            "preload_margin": _margin(slip["preload_at_slip_share"] if slip else None),
            "life": min(min(lives, default=math.inf) / design_life, LONGEST_LIFE) if contract["details"] else None,
            "movement": _moved(moves, proposal),
            "hours": hours[SHOP] + hours[SITE],
            "cost": cost,
        },
    }


def _largest(checks: list[dict], *, slip: bool) -> float | None:
    used = [item["utilisation"] for item in checks if item["id"].startswith("slip-") == slip
            and not item["id"].startswith(("movement", "fatigue"))]  # fmt: skip
    return max((value for value in used if value is not None), default=None)


def _margin(value: float | None) -> float | None:
    return None if value is None else 1.0 - value


def _moved(moves: dict | None, proposal: Proposal) -> float | None:
    """How far the aligned point, or the part, moves if it slips; nothing where it is welded."""
    if moves is None:
        return 0.0 if proposal.joint is None else None
    return moves["at_point_worst_mm"] if moves.get("at_point_worst_mm") is not None else moves["travel_mm"]


def _quantities(found: Quantities) -> dict:
    holes, faces, metal = found.holes, found.faces, found.metal
    return {
        "bolts": holes.bolts if holes else 0,
        "holes": holes.holes if holes else 0,
        "drilled_mm2": holes.drilled if holes else 0.0,
        "prepared_mm2": faces.area if faces else 0.0,
        "reamed_holes": found.reamed_holes,
        "dowels": found.dowels,
        "keys": found.keys,
        "weld_length_mm": metal.length if metal else 0.0,
        "weld_volume_mm3": metal.volume if metal else 0.0,
        "weld_mass_kg": metal.mass if metal else 0.0,
        "weld_passes": metal.passes if metal else 0,
        "figures": figures_of(found.working),
    }
