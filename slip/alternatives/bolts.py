"""Rungs that change the bolts: larger ones, and a grade with more preload."""

from collections.abc import Iterator
from dataclasses import replace
from importlib.resources import files

from loadhistories.tables import read_table
from loadhistories.validation import InputError
from slip.alternatives.alternative import Alternative, Proposal, Situation
from slip.alternatives.pried import pried_again
from slip.alternatives.search import Candidate, first_that_does
from slip.bolts import Bolt
from slip.joint import BoltedJoint
from slip.standards import standard

LARGER = 5


def larger_bolts(situation: Situation) -> Alternative:
    """The next larger size of the same grade with which every check holds."""
    return first_that_does(
        situation, "larger bolts", _larger(situation.joint), none="there is no larger bolt in the tables",
        why="the smallest size that does",
    )  # fmt: skip


def higher_grade(situation: Situation) -> Alternative:
    """The next grade with more preload, or more strength where bolts are not preloaded."""
    return first_that_does(
        situation, "higher grade", _stronger(situation.joint),
        none="there is no stronger grade in the tables that can be preloaded", why="the lowest grade that does",
    )  # fmt: skip


def with_bolt(joint: BoltedJoint, bolt: Bolt) -> BoltedJoint:
    """The joint with another bolt, preloaded in full where it is preloaded now.

    Raises
    ------
    InputError
        The standard specifies no preload for that bolt, or the flange that pries on it leaves no room for it.
    """
    preload = standard(joint.standard).specified_preload(bolt) if joint.preloaded else 0.0
    return pried_again(replace(joint, size=bolt.size, grade=bolt.grade, preload=preload))


def sizes_like(joint: BoltedJoint) -> tuple[str, ...]:
    """Sizes of the table that holds the joint's bolts, by their diameter, as far as its standard knows them."""
    rules = standard(joint.standard)
    tables = [("slip.standards", "metric_bolts"), (rules.__name__, "bolts_inch")]
    there = [name for name in tables if files(name[0]).joinpath(f"{name[1]}.toml").is_file()]
    names = next(list(read_table(*name)) for name in there if joint.size in read_table(*name))
    known = [bolt for bolt in (_known(rules, size, joint.grade) for size in names) if bolt is not None]
    return tuple(bolt.size for bolt in sorted(known, key=lambda bolt: bolt.diameter))


def _larger(joint: BoltedJoint) -> Iterator[Candidate]:
    rules = standard(joint.standard)
    names = sizes_like(joint)
    for size in names[names.index(joint.size) + 1 :][:LARGER]:
        bolt = rules.bolt(size, joint.grade)
        if preloadable(rules, bolt) or not joint.preloaded:
            yield _with(joint, bolt, f"{size} {joint.grade} instead of {joint.size}")


def _stronger(joint: BoltedJoint) -> Iterator[Candidate]:
    rules = standard(joint.standard)
    now = rules.bolt(joint.size, joint.grade)
    found = []
    for grade in read_table(rules.__name__, "grades"):
        bolt = _known(rules, joint.size, grade)
        if bolt is None or (joint.preloaded and not preloadable(rules, bolt)):
            continue
        more = rules.specified_preload(bolt) > joint.preload if joint.preloaded else False
        if more or (not joint.preloaded and bolt.ultimate_strength > now.ultimate_strength):
            found.append(bolt)
    for bolt in sorted(found, key=lambda item: item.ultimate_strength):
        yield _with(joint, bolt, f"{bolt.size} {bolt.grade} instead of {joint.grade}")


def _with(joint: BoltedJoint, bolt: Bolt, title: str) -> Candidate:
    try:
        return Candidate(title, Proposal(with_bolt(joint, bolt)))
    except InputError as refusal:
        return Candidate(title, Proposal(None), refused="; ".join(refusal.problems))


def _known(rules, size: str, grade: str) -> Bolt | None:
    try:
        bolt = rules.bolt(size, grade)
        rules.hole(bolt, "normal")
    except InputError:
        return None
    return bolt


def preloadable(rules, bolt: Bolt) -> bool:
    """Whether the standard specifies a preload for a bolt."""
    try:
        rules.specified_preload(bolt)
    except InputError:
        return False
    return True
