"""Searches a rung of the ladder: candidates in a fixed order, the first that does is taken, each step is told."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED, Check, not_judged
from loadhistories.validation import InputError
from slip.alternatives.alternative import Alternative, Judged, Proposal, Situation, Tried
from slip.assessment import assess
from slip.shear_parts import relieved, shear_part_checks

MOST_CANDIDATES = 60
REFUSED = "refused"


@dataclass(frozen=True, eq=False)
class Candidate:
    """A proposal with its title and what remains to be shown of it; `refused` says why it cannot be looked at."""

    title: str
    proposal: Proposal
    still_to_show: tuple[str, ...] = ()
    unjudged: tuple[Check, ...] = ()
    refused: str = ""


def first_that_does(
    situation: Situation, kind: str, candidates: Iterable[Candidate], *, none: str = "", why: str = ""
) -> Alternative:
    """The first candidate that does, else the one that came nearest, failing; with every step.

    Parameters
    ----------
    none : str
        Why there is nothing to propose, for a rung without candidates.
    why : str
        What stands behind the order of the candidates, told with the one that is kept.

    Limits
    ------
    At most MOST_CANDIDATES are looked at.
    """
    tried: list[Tried] = []
    nearest: tuple[float, Candidate, Judged] | None = None
    for number, item in enumerate(candidates):
        if number == MOST_CANDIDATES:
            tried.append(Tried("further ones", NOT_JUDGED, f"the search ends after {MOST_CANDIDATES}"))
            break
        if item.refused:
            tried.append(Tried(item.title, REFUSED, item.refused))
            continue
        try:
            reason, rank = _early(situation, item.proposal)
            judged = None if reason else situation.judge(item.proposal)
        except InputError as refusal:
            tried.append(Tried(item.title, REFUSED, "; ".join(refusal.problems)))
            continue
        if judged is not None and judged.does:
            found = _alternative(kind, item.title, item, judged, tried)
            kept = Tried(item.title, found.state, f"kept: {_kept(item, judged)}{f'; {why}' if why else ''}")
            return replace(found, tried=(*tried, kept))
        tried.append(Tried(item.title, FAILS if reason else judged.state, reason or "; ".join(judged.against)))
        rank = judged.utilisation or rank if judged is not None else rank
        if nearest is None or rank < nearest[0]:
            nearest = rank, item, judged
    if nearest is None:
        return nothing(kind, none or "; ".join(dict.fromkeys(step.reason for step in tried)), tuple(tried))
    _, item, judged = nearest
    judged = judged or situation.judge(item.proposal)
    return _alternative(kind, f"{item.title}; does not do", item, judged, tried)


def _alternative(kind: str, title: str, item: Candidate, judged: Judged, tried: list[Tried]) -> Alternative:
    return Alternative(
        kind, title, (*judged.checks, *item.unjudged), item.still_to_show, tuple(tried), item.proposal, judged,
        item.unjudged,
    )  # fmt: skip


def _kept(item: Candidate, judged: Judged) -> str:
    if judged.state != HOLDS:
        return "all that it can mend holds"
    if item.unjudged:
        return f"all that is judged holds; not judged: {'; '.join(check.title for check in item.unjudged)}"
    return "every check holds"


def nothing(kind: str, reason: str, tried: tuple[Tried, ...] = ()) -> Alternative:
    """A rung that has nothing to propose, with the reason."""
    check = not_judged("alternative", kind, reason=reason, clause="")
    return Alternative(kind, kind, (check,), tried=tried or (Tried(kind, REFUSED, reason),))


def worst_of(checks: Iterable[Check]) -> str:
    """The check that stands worst, in words."""
    failing = [check for check in checks if check.state == FAILS]
    worst = max(failing, key=lambda check: check.utilisation or float("inf"))
    used = "" if worst.utilisation is None else f" {worst.utilisation:.3g}"
    return f"{worst.title}{used}"


def _early(situation: Situation, proposal: Proposal) -> tuple[str, float]:
    """What fails of bolts that carry alone, before anything else is judged, "" where nothing does; largest use."""
    if proposal.joint is None or proposal.weld is not None:
        return "", float("inf")
    left = [relieved(proposal.parts, block) for block in situation.extremes]
    checks = assess(proposal.joint, left).checks
    if proposal.parts is not None:
        checks += shear_part_checks(proposal.parts, proposal.joint, situation.extremes, situation.joint.permanent)
    used = max((check.utilisation for check in checks if check.utilisation is not None), default=float("inf"))
    return (worst_of(checks) if any(check.state == FAILS for check in checks) else ""), used
