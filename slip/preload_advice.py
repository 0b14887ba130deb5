"""Warnings about preload: what its loss does to the grip, when to look after it, and slip that shakes nuts loose."""

from collections.abc import Iterator

from slip.assessment import SlipOutcome
from slip.joint import LEVELS
from slip.sliding import TWO_WAY

# Share of the specified preload at which a joint begins to slip: above, its preload is to be looked after; above
# the second, closely. Common practice, no source: after 30 % of loss hardly any joint is left to itself.
LOOK_AFTER, CLOSELY = 0.7, 0.85
SIGNS = "look for rust dust and cracked paint at the plies and for match marks that have turned: signs of slip"


def preload_warnings(findings) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Code, text and advice of each warning; none for bolts without preload."""
    outcome: SlipOutcome | None = findings.slip
    if outcome is None or not outcome.levels:
        return
    yield from _loosening(outcome)
    yield from _after_losses(outcome)
    yield from _margin(outcome)


def _loosening(outcome: SlipOutcome) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    service = outcome.levels["service"]
    if service.kind != TWO_WAY:
        return
    often = "how often is not known"
    if service.events_in_life is not None:
        often = f"{service.events_in_life:.3g} times in the life"
    yield (
        "transverse-slip-loosens",
        f"the plates slide back and forth under unfactored loads, {often}: "
        "sideways slip under a cyclic load is what turns nuts loose, as the threads and the face under the head "
        "slide with it; preload falls, and grip with it",
        (
            "grip with margin at service level: high preload, close holes, larger bolts",
            "a spring washer does not hold a nut that is slid back and forth; nuts locked against each other may",
        ),
    )


def _after_losses(outcome: SlipOutcome) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    life = outcome.joint.preload_life
    if life is None:
        return
    for name in LEVELS:
        level = outcome.levels[name]
        if level.slips or not (level.required or name == "service") or level.preload_share <= life.left:
            continue
        yield (
            "slips-after-losses",
            f"after the stated losses {100 * life.left:.3g} % of the specified preload is left, but at {name} level "
            f"the first bolt begins to slip at {100 * level.preload_share:.3g} %",
            ("tighten again after the early losses, or have a better surface, less coating or more bolts",),
        )


def _margin(outcome: SlipOutcome) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    service = outcome.levels["service"]
    share = service.preload_share
    if service.slips or share <= LOOK_AFTER:
        return
    again = "check the preload a day to a few days after tightening, then at the first outage"
    often = "then every year where the plant shakes" if share > CLOSELY else "then at each main inspection"
    yield (
        "preload-margin",
        f"under unfactored loads the first bolt begins to slip as soon as the preload falls to {100 * share:.3g} % of "
        f"the specified one: it bears a loss of {100 * (1 - share):.3g} %",
        (f"{again}, {often}; tighten again what has lost preload, and find out why", SIGNS),
    )
