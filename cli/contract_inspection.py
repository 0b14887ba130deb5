"""The contract of a detail's inspection: what is looked for, how long it grows, how often to look."""

from cli.contract_figures import figures_of
from fatigue.inspection_task import InspectionOutcome


def inspection_of(outcome: InspectionOutcome | None) -> dict:
    """What is known of the inspection of a detail; nothing where none is stated."""
    if outcome is None:
        return {}
    plan = outcome.plan
    if plan is None:
        return {"inspection": {"reason": outcome.check.reason, "remarks": [], "figures": []}}
    return {
        "inspection": {
            "method": plan.detection.method,
            "detectable_by": plan.detection.source,
            "detectable_depth_mm": plan.detectable_depth,
            "critical_depth_mm": plan.critical_depth,
            "critical_by": plan.critical_by,
            "years_to_critical": plan.time,
            "interval_years": plan.interval,
            "share": plan.share,
            "reason": plan.reason,
            "remarks": list(plan.remarks),
            "figures": figures_of((*plan.first, *plan.last, plan)),
            "growth": {"years": plan.years.tolist(), "depth_mm": _depths(plan.sizes)},
        }
    }


def _depths(sizes) -> list[float]:
    """Depth of the crack over the years; a surface crack has its half length beside it."""
    table = sizes if sizes.ndim == 1 else sizes[..., 0]
    return table.tolist()
