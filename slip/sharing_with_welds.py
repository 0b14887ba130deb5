"""Bolts that share the load with welds: what the standard asks before they may, and the strength of both together."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Annotated

import numpy as np

from loadhistories.blocks import LoadBlock
from loadhistories.figures import Check, Figure, judged, not_judged
from loadhistories.tables import read_table
from slip.assessment import SlipOutcome, assess
from slip.standards import standard
from slip.welded import WeldedJoint, WeldOutcome

TIGHTENINGS = ("turn-of-nut", "other")
LARGEST_ANGLE = 1e-6


@dataclass(frozen=True)
class Sharing:
    """What the user states of a joint in which bolts and welds carry together; None where nothing is said."""

    tightened_after_welding: bool | None = None
    unloaded_until_finished: bool | None = None
    tightening: str | None = None


@dataclass(frozen=True)
class SharedLoad:
    """Shares of the load at which bolts and welds are used alike: each part alone is in balance with its share."""

    bolts_alone: Annotated[float, Figure("U_b", title="use of the grip of the first bolt, were the bolts alone")]
    bolt_factor: Annotated[float, Figure("k_b", title="factor on the grip in a joint that shares with welds")]
    welds_alone: Annotated[float, Figure("U_w", title="use of the welds, were they alone")]
    bolt_share: Annotated[
        float, Figure("alpha_b", "", "U_w / (U_b / k_b + U_w)", "statics: strengths add", "share of the bolts")
    ]
    weld_share: Annotated[float, Figure("alpha_w", "", "1 - alpha_b", "statics: strengths add", "share of the welds")]
    together: Annotated[
        float, Figure("U_bw", "", "alpha_b * U_b / k_b", "statics: strengths add", "use of both together")
    ]


@dataclass(frozen=True, eq=False)
class SharedOutcome:
    """The bolts, with their share where they may share, the checks of the welds and what was taken for granted."""

    slip: SlipOutcome
    checks: tuple[Check, ...]
    shared: bool
    clause: str
    assumptions: tuple[str, ...]


def rule_of(name: str) -> dict:
    """The row of a standard on joints with bolts and welds, from its table `weld_sharing.toml`."""
    return read_table(standard(name).__name__, "weld_sharing")["sharing"]


def share_with_welds(
    outcome: SlipOutcome, welds: WeldOutcome, stated: Sharing, blocks: Sequence[LoadBlock]
) -> SharedOutcome:
    """Let bolts and welds share the load where the standard allows it; else say why that is not judged.

    Where they share, grip and movement of the outcome are those of the bolts under their share. What holds after a
    slip stays judged with the bolts under the whole load, the safe side.

    Parameters
    ----------
    outcome : SlipOutcome
        The bolts under the whole load.
    blocks : sequence of LoadBlock
        The loads, whole.

    Limits
    ------
    Shear only. The largest use of the bolts and that of the welds are added even where they fall on unlike instants.
    """
    rule = rule_of(outcome.joint.standard)
    clause = rule["clause"]
    alone = _shares(outcome, welds, rule) if outcome.levels else None
    against = (*_against(outcome, welds.joint, stated, rule), *_too_weak(alone, stated, rule))
    if outcome.levels and alone is None:
        against += ("there is no load in the plane to share, or no grip that is left",)
    if against:
        check = not_judged(
            "bolts-with-welds", "bolts and welds sharing the load", reason="; ".join(against), clause=clause
        )
        return SharedOutcome(outcome, (check, welds.check), False, clause, ())
    check = judged(
        "bolts-with-welds", "grip of the bolts and strength of the welds together, ultimate level",
        demand=alone.together, resistance=1.0, unit="", clause=clause,
        working=(*welds.check.working, alone), at=welds.check.at,
    )  # fmt: skip
    again = assess(
        replace(outcome.joint, permanent=alone.bolt_share * np.asarray(outcome.joint.permanent)),
        [_scaled(block, alone.bolt_share) for block in blocks],
    )
    grip = tuple(item for item in again.checks if item.id.startswith("slip-"))
    rest = tuple(item for item in outcome.checks if not item.id.startswith("slip-"))
    text = (
        f"bolts and welds share the load by {clause}: the bolts take {alone.bolt_share:.3g} of it, the welds the rest; "
        "grip is that of the bolts under their share, their strength after slip is judged under the whole load"
    )
    return SharedOutcome(
        replace(outcome, checks=(*grip, *rest), levels=again.levels), (check,), True, clause, (text,)
    )


def _shares(outcome: SlipOutcome, welds: WeldOutcome, rule: dict) -> SharedLoad | None:
    bolts, factor = outcome.levels["ultimate"].instant.value, float(rule.get("bolt_factor", 1.0))
    both = bolts / factor + welds.utilisation
    if not np.isfinite(both) or both <= 0.0:
        return None
    share = welds.utilisation / both
    return SharedLoad(bolts, factor, welds.utilisation, share, 1.0 - share, share * bolts / factor)


def _against(outcome: SlipOutcome, welds: WeldedJoint, stated: Sharing, rule: dict) -> Iterator[str]:
    """What the standard asks and the joint does not have, each in words."""
    joint = outcome.joint
    if not rule["allowed"]:
        yield rule["why_not"]
        return
    if not joint.preloaded:
        yield "the bolts are not preloaded"
    if "ultimate" not in standard(joint.standard).levels_checked(joint.slip):
        yield f"slip is {joint.slip!r}; a joint that must not slip at ultimate level is asked for"
    if rule.get("grades") and joint.grade not in rule["grades"]:
        yield f"bolts of grade {joint.grade}; grades {' and '.join(rule['grades'])} may share"
    for key, words in (
        ("tightened_after_welding", "final tightening of the bolts after the welding is done"),
        ("unloaded_until_finished", "no load before bolts and welds are both finished"),
    ):
        if rule.get(key) and not getattr(stated, key):
            said = "is denied" if getattr(stated, key) is False else "is not stated"
            yield f"{words} {said} ({key} = true)"
    if rule.get("longitudinal") and not _longitudinal(welds, outcome.load_axis):
        yield f"welds that run along the load may share, along {outcome.load_axis} here; others may not"
    if rule.get("normal_holes") and {joint.holes, *(plate.holes or "normal" for plate in joint.plates)} != {"normal"}:
        yield "only bolts in normal holes are judged with welds"
    if outcome.worst["tension"].value > 0.0:
        yield "the load pulls at the bolts as well; only shear is judged as shared"


def _too_weak(alone: SharedLoad | None, stated: Sharing, rule: dict) -> Iterator[str]:
    """Shares of the required strength below which the standard does not let the parts be added."""
    if alone is None:
        return
    if rule.get("least_bolt_share") and alone.bolts_alone * rule["least_bolt_share"] > alone.bolt_factor:
        yield f"the bolts alone carry less than {rule['least_bolt_share']:g} of the load"
    if "least_weld_share" not in rule:
        return
    if stated.tightening is None:
        yield "how the bolts are tightened is not stated (tightening)"
        return
    least = rule["least_weld_share_turn_of_nut" if stated.tightening == "turn-of-nut" else "least_weld_share"]
    if alone.welds_alone * least > 1.0:
        yield f"the welds alone carry less than {least:g} of the load"


def _longitudinal(welds: WeldedJoint, axis: str) -> bool:
    spans = np.abs(welds.lines[:, 1] - welds.lines[:, 0])
    across, along = (spans[:, 1], spans[:, 0]) if axis == "x" else (spans[:, 0], spans[:, 1])
    return bool(np.all(across <= LARGEST_ANGLE * along))


def _scaled(block: LoadBlock, share: float) -> LoadBlock:
    return replace(block, chunks=lambda: (share * chunk for chunk in block.chunks()))
