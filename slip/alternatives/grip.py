"""Rungs that raise the grip of the bolts as they are: friction class, second plane, holes that do not lower it."""

from collections.abc import Iterator
from dataclasses import replace

from loadhistories.tables import read_table
from slip.alternatives.alternative import Alternative, Proposal, Situation
from slip.alternatives.bolts import preloadable
from slip.alternatives.pried import pried_again
from slip.alternatives.search import Candidate, first_that_does, nothing
from slip.joint import BoltedJoint
from slip.standards import standard

BARE = "the faying surfaces as the class asks, bare at assembly"


def better_surface(situation: Situation) -> Alternative:
    """The first friction class with a higher slip factor that does; bolts without preload are preloaded for it."""
    return first_that_does(
        situation, "friction class", _surfaces(situation.joint),
        none="there is no friction class with a higher slip factor", why="the lowest slip factor that does",
    )  # fmt: skip


def second_plane(situation: Situation) -> Alternative:
    """A further plate on the other side, so that each bolt grips and is sheared in two planes."""
    joint, kind = situation.joint, "second plane"
    if joint.planes != 1:
        return nothing(kind, f"the bolts have {joint.planes} planes already")
    if len(joint.plates) != 2:
        return nothing(kind, "which plate would lie in the middle is known only where both plates are given")
    outer, middle = joint.plates
    further = replace(outer, name=f"further {outer.name}")
    changed = _with_longer_bolts(replace(joint, planes=2, plates=(outer, middle, further)), outer.thickness)
    show = (
        f"a further {outer.name} behind the {middle.name}, connected to the part like the first: each takes half",
        "longer bolts; room behind for plate and tightening",
    )
    title = f"the {middle.name} between two plates like the {outer.name}: two planes instead of one"
    return first_that_does(situation, kind, [Candidate(title, Proposal(changed), show)])


def normal_holes(situation: Situation) -> Alternative:
    """Normal holes instead of oversize or slotted ones."""
    joint, kind = situation.joint, "normal holes"
    if joint.fit or (joint.holes == "normal" and not any(plate.holes for plate in joint.plates)):
        return nothing(kind, f"the holes are {joint.holes_in_words} already")
    plates = tuple(replace(plate, holes="") for plate in joint.plates)
    changed = pried_again(replace(joint, holes="normal", slot_axis="", plates=plates))
    show = ("fit-up without the room that the larger holes gave: holes drilled together, or through a template",)
    title = f"normal holes instead of {joint.holes}" if joint.holes != "normal" else "normal holes in every plate"
    return first_that_does(situation, kind, [Candidate(title, Proposal(changed), show)])


def _with_longer_bolts(joint: BoltedJoint, more: float) -> BoltedJoint:
    """The joint with bolts that stretch over so much more, where their length counts in prying. [mm]"""
    if joint.flange is None or joint.flange.given.bolt_length is None:
        return joint
    given = replace(joint.flange.given, bolt_length=joint.flange.given.bolt_length + more)
    return pried_again(replace(joint, flange=replace(joint.flange, given=given)))


def _surfaces(joint: BoltedJoint) -> Iterator[Candidate]:
    rules = standard(joint.standard)
    if joint.preloaded:
        preload, words = joint.preload, ""
    else:
        bolt = rules.bolt(joint.size, joint.grade)
        if joint.fit or not preloadable(rules, bolt):
            return
        preload, words = rules.specified_preload(bolt), "preloaded bolts, "
    classes = [rules.surface(name) for name in read_table(rules.__name__, "surfaces")]
    for item in sorted(classes, key=lambda item: item.slip_factor):
        if item.slip_factor > (joint.slip_factor if joint.preloaded else 0.0):
            changed = replace(joint, preload=preload, surface=item.name, slip_factor=item.slip_factor)
            title = f"{words}friction class {item.name}, slip factor {item.slip_factor:g}: {item.description}"
            yield Candidate(title, Proposal(changed), (BARE,))
