"""Injection bolts: whether the resin round the bolts carries their force."""

from collections.abc import Iterator

from loadhistories.figures import Check, judged, not_judged
from slip.bolts import Bolt
from slip.joint import BoltedJoint
from slip.standards import standard
from slip.working import bolt_force, place


def resin_checks(joint: BoltedJoint, bolt: Bolt, worst) -> Iterator[Check]:
    """Bearing of injection bolts on their resin at ultimate level; none where the bolts are preloaded as well.

    Limits
    ------
    Preloaded injection bolts are judged by their grip alone, without what the resin adds to it.
    """
    if joint.fit != "injection" or joint.preloaded:
        return
    rules, at = standard(joint.standard), worst["shear"]
    name, title, clause = "resin", "bearing of the resin round the bolts", rules.CLAUSES["injection bolts"]
    if joint.resin_strength is None:
        reason = "the bearing strength of the resin, found by test, is not given"
        yield not_judged(name, title, reason=reason, clause=clause)
        return
    if joint.planes != 2 or len(joint.plates) != 3:
        reason = "the resin is judged in double laps whose three plates are given"
        yield not_judged(name, title, reason=reason, clause=clause)
        return
    first, middle, last = (plate.thickness for plate in joint.plates)
    found = rules.resin_bearing(bolt, middle=middle, outer=min(first, last), strength=joint.resin_strength)
    yield judged(
        name, title, demand=at.value, resistance=found.resistance, unit="N", clause=clause,
        working=(bolt_force(joint, at).shear, found), at=place(at),
    )  # fmt: skip
