"""Other ways to make a joint that slips where it must not: designed, and judged by the same engines."""

from slip.alternatives.alternative import Alternative, Judged, OwnDetail, Proposal, Situation, Tried, WeldPlan

__all__ = ["Alternative", "Judged", "OwnDetail", "Proposal", "Situation", "Tried", "WeldPlan"]
