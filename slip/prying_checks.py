"""The flange and the bolts in tension that hold it: what prying leaves of both at ultimate level."""

from collections.abc import Iterator

from loadhistories.figures import Check, judged
from slip.joint import BoltedJoint
from slip.prying import prying_force
from slip.standards import standard
from slip.working import bolt_force, place


def prying_checks(joint: BoltedJoint, worst) -> Iterator[Check]:
    """Tension of one bolt, without prying, against what bolt and flange carry together; none without a flange.

    Limits
    ------
    Each bolt with the flange that belongs to it; the bolt of the largest tension is looked at.
    """
    at = worst["tension"]
    if joint.flange is None or at.value <= 0.0:
        return
    force = prying_force(joint.flange, at.value / joint.prying_factor)
    yield judged(
        "prying", "flange in bending and bolt with prying", demand=force.tension,
        resistance=joint.flange.resistance, unit="N", clause=standard(joint.standard).CLAUSES["prying"],
        working=(*bolt_force(joint, at).working[1:], joint.flange, force), at=place(at),
    )  # fmt: skip
