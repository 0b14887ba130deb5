"""Rungs that do without grip: fitted bolts and injection bolts."""

from dataclasses import replace

import fatigue.standards
from slip.alternatives.alternative import Alternative, OwnDetail, Proposal, Situation
from slip.alternatives.pried import pried_again
from slip.alternatives.search import Candidate, first_that_does, nothing
from slip.standards import standard

NET = "net"


def fitted_bolts(situation: Situation) -> Alternative:
    """The same bolts fitted into reamed holes: they bear at once, so that nothing moves and no grip is asked for.

    They bring the fatigue of their shanks in shear; plates that relied on grip are judged on their net section, where
    that is given, else they stay not judged.
    """
    joint, kind = situation.joint, "fitted bolts"
    offered = _offered(situation, "fitted bolts")
    if offered:
        return nothing(kind, offered)
    if joint.fit == "fitted":
        return nothing(kind, "the bolts are fitted already")
    curves = fatigue.standards.standard(joint.standard)
    plates = tuple(replace(plate, holes="") for plate in joint.plates)
    changed = pried_again(replace(
        joint, fit="fitted", preload=0.0, holes="normal", slot_axis="", plates=plates, threads_in_plane=False,
        preload_life=None, tightening=None, surface="", slip_factor=0.0,
    ))  # fmt: skip
    own = OwnDetail("shanks of the fitted bolts in shear", curves.FITTED_BOLTS["shank"], "bolt shear")
    category = curves.FITTED_BOLTS["one side" if joint.planes == 1 else "two sides"]
    on_net = {
        number: category for number, item in enumerate(situation.details)
        if item.relies_on == "grip" and item.net is not None
    }  # fmt: skip
    show = [
        "holes reamed together with the parts in place, their fit as the standard asks, bolts with the thread outside "
        "the shear planes",
        "no play is left only as far as every bolt bears: tolerance of the fit",
    ]
    bare = [item.name for item in situation.details if item.relies_on == "grip" and item.net is None]
    if bare:
        show.append(f"the net section at {' and '.join(bare)} with category {category}")
    title = f"{joint.bolts} fitted bolts {joint.size} {joint.grade} in reamed holes, without preload"
    proposal = Proposal(changed, own=(own,), on_net_section=on_net)
    return first_that_does(situation, kind, [Candidate(title, proposal, tuple(show))])


def injection_bolts(situation: Situation) -> Alternative:
    """The same bolts without preload, their holes filled with resin, whose bearing strength is found by test."""
    joint, kind = situation.joint, "injection bolts"
    offered = _offered(situation, "injection bolts")
    if offered:
        return nothing(kind, offered)
    if joint.fit == "injection":
        return nothing(kind, "the bolts are injected already")
    strength = joint.resin_strength or situation.wishes.get("resin_strength")
    plates = tuple(replace(plate, holes="") for plate in joint.plates)
    changed = pried_again(replace(
        joint, fit="injection", preload=0.0, holes="normal", slot_axis="", plates=plates, resin_strength=strength,
        preload_life=None, tightening=None, surface="", slip_factor=0.0,
    ))  # fmt: skip
    show = (
        "creep of the resin under load of long duration, by test", "a resin, and a procedure to inject it and prove it",
        "the plates on their net section, category of injection bolts without preload",
    )  # fmt: skip
    title = f"{joint.bolts} injection bolts {joint.size} {joint.grade}, without preload"
    return first_that_does(situation, kind, [Candidate(title, Proposal(changed), show)])


def _offered(situation: Situation, word: str) -> str:
    """Why bolts of that kind are not offered, or ""."""
    name = situation.joint.standard
    if word not in standard(name).CLAUSES:
        return f"no rule for {word} is known here by {name}"
    return ""
