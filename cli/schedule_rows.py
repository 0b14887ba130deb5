"""Rows of the table of a schedule: one for each joint and frame of a job, from its contract; the worst comes first."""

import math
from collections.abc import Iterable, Iterator

from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED, worst_state

COLUMNS = (
    "joint", "state", "governing", "utilisation", "clause", "slip_rule", "first_bolt_service", "first_bolt_ultimate",
    "preload_at_slip_share", "slips_in_life", "movement_mm", "tolerance_mm", "worst_detail", "damage", "life_years",
    "warnings", "would_do_instead", "reason",
)  # fmt: skip
_ORDER = {FAILS: 0, NOT_JUDGED: 1, HOLDS: 2}


def rows_of(contract: dict) -> list[dict]:
    """A row for each joint, and for each frame that has a tolerance."""
    rows = [_joint_row(joint) for joint in contract["joints"]]
    return rows + [_frame_row(frame) for frame in contract["frames"] if frame["state"] is not None]


def refused_row(reason: str) -> dict:
    """The row of a job that could not be judged."""
    return dict.fromkeys(COLUMNS) | {"state": NOT_JUDGED, "reason": reason}


def worst_first(rows: Iterable[dict]) -> list[dict]:
    """The rows in the order of their states and utilisations; rows alike stay in the order given."""
    return sorted(rows, key=lambda row: (_ORDER[row["state"]], -_size(row["state"], row["utilisation"])))


def state_of(rows: Iterable[dict]) -> str:
    """The state of all rows together."""
    return worst_state(row["state"] for row in rows)


def _joint_row(joint: dict) -> dict:
    checks = [*joint["checks"], *_of_details(joint["details"])]
    governing = governing_of(checks) or {}
    slip, movement = joint.get("slip") or {}, joint.get("movement") or {}
    levels = {level["level"]: level for level in slip.get("levels") or []}
    service, ultimate = levels.get("service") or {}, levels.get("ultimate") or {}
    at_point = movement.get("at_point_worst_mm")
    worst = max(joint["details"], key=lambda item: -1.0 if _damage(item) is None else _damage(item), default={})
    open_points = [f"{item['title']}: {item['reason']}" for item in checks if item["state"] != HOLDS and item["reason"]]
    holding = [item["title"] for item in joint["alternatives"] if item["state"] == HOLDS]
    return dict.fromkeys(COLUMNS) | {
        "joint": joint["name"],
        "state": joint["state"],
        "governing": governing.get("title"),
        "utilisation": governing.get("utilisation"),
        "clause": governing.get("clause"),
        "slip_rule": joint["slip_rule"],
        "first_bolt_service": service.get("utilisation"),
        "first_bolt_ultimate": ultimate.get("utilisation"),
        "preload_at_slip_share": service.get("preload_at_slip_share"),
        "slips_in_life": service.get("events_in_life"),
        "movement_mm": movement.get("travel_mm") if at_point is None else at_point,
        "tolerance_mm": movement.get("tolerance_mm"),
        "worst_detail": worst.get("name"),
        "damage": _damage(worst) if worst else None,
        "life_years": (worst.get("random") or {}).get("life_years_together") or worst.get("life_years"),
        "warnings": "; ".join(dict.fromkeys(item["code"] for item in joint["warnings"])) or None,
        "would_do_instead": holding[0] if holding else None,
        "reason": "; ".join(open_points) or None,
    }


def governing_of(checks: list[dict]) -> dict | None:
    """The check that decides: the worst that fails, else the first not judged, else the one used most."""
    states = [item["state"] for item in checks]
    for state in (FAILS, NOT_JUDGED, HOLDS):
        if state in states:
            those = [item for item in checks if item["state"] == state]
            return those[0] if state == NOT_JUDGED else max(those, key=lambda item: _size(state, item["utilisation"]))
    return None


def _of_details(details: list[dict]) -> Iterator[dict]:
    """The checks of the details of a joint; a detail stands for the check of its own damage."""
    for detail in details:
        damage, *others = detail.get("checks") or [detail]
        yield {
            "title": f"fatigue: {detail['name']}", "state": damage["state"], "clause": detail["clause"],
            "utilisation": detail["utilisation"], "reason": damage.get("reason") or "",
        }  # fmt: skip
        yield from others


def _frame_row(frame: dict) -> dict:
    return dict.fromkeys(COLUMNS) | {
        "joint": frame["name"],
        "state": frame["state"],
        "governing": "movement by slip of the joints of the frame",
        "utilisation": frame.get("utilisation"),
        "clause": frame.get("clause") or None,
        "movement_mm": frame["deflection_mm"],
        "tolerance_mm": frame["tolerance_mm"],
        "reason": frame.get("reason") or None,
    }


def _damage(detail: dict) -> float | None:
    together = (detail.get("random") or {}).get("damage_together")
    return detail.get("damage") if together is None else together


def _size(state: str, utilisation: float | None) -> float:
    """A utilisation to sort by; a failure without a number has nothing left to resist."""
    if utilisation is None:
        return math.inf if state == FAILS else 0.0
    return utilisation
