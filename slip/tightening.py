"""How bolts are tightened by the method of a joint: torques of the steps, part turns, and a torque not to be passed."""

from dataclasses import dataclass
from fractions import Fraction
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table
from loadhistories.validation import InputError
from slip.joint import BoltedJoint
from slip.standards import standard

TABLE = "tightening"


@dataclass(frozen=True)
class TorqueSteps:
    """Torques of the steps of tightening; the last is None where a turn of the nut follows the first."""

    reference: Annotated[float, Figure("M_r", "N mm", title="torque at the specified preload")]
    first_share: Annotated[float, Figure("k_1", title="first step over that torque")]
    first: Annotated[float, Figure("M_1", "N mm", "k_1 * M_r", title="torque of the first step")]
    final_share: Annotated[float | None, Figure("k_2", title="last step over that torque")]
    final: Annotated[float | None, Figure("M_2", "N mm", "k_2 * M_r", title="torque of the last step")]


@dataclass(frozen=True)
class TorqueCeiling:
    """Torque that well lubricated bolts do not need; more of it tells of threads that gall."""

    share: Annotated[float, Figure("k_c", title="torque over tension times diameter, at most")]
    tension: Annotated[float, Figure("P", "N", title="specified preload")]
    diameter: Annotated[float, Figure("d", "mm", title="diameter of the bolt")]
    ceiling: Annotated[float, Figure("M_max", "N mm", "k_c * P * d", title="torque not to be passed at that tension")]


@dataclass(frozen=True)
class Tightening:
    """What is known of the tightening of a joint: results to print, sentences, and where they come from."""

    results: tuple[TorqueSteps | TorqueCeiling, ...]
    sentences: tuple[str, ...]
    source: str


def tightening_of(joint: BoltedJoint) -> Tightening | None:
    """How the bolts of a joint are tightened by its method; None where its standard says nothing of it here.

    Limits
    ------
    Bolts whose torque factor is not given have no torques.
    """
    rules, life = standard(joint.standard), joint.preload_life
    row = None if life is None else read_table(rules.__name__, TABLE).get(life.method)
    if row is None:
        return None
    results = []
    if joint.tightening is not None and "first" in row:
        results.append(torque_steps(joint.tightening.torque, first=row["first"], final=row.get("final")))
    if "ceiling" in row:
        bolt = rules.bolt(joint.size, joint.grade)
        results.append(torque_ceiling(row["ceiling"], joint.preload, bolt.diameter))
    sentences = [_turns(row)] if "turns" in row else []
    return Tightening(tuple(results), (*sentences, row["remark"]), row["source"])


def torque_steps(reference: float, *, first: float, final: float | None = None) -> TorqueSteps:
    """Torques of the steps by their shares of the torque at the specified preload. [N mm]

    Examples
    --------
    >>> torque_steps(447_200.0, first=0.75, final=1.10).final
    491920.0
    """
    return TorqueSteps(reference, first, first * reference, final, None if final is None else final * reference)


def torque_ceiling(share: float, tension: float, diameter: float) -> TorqueCeiling:
    """Torque that is not to be passed at a tension. [N mm]

    Raises
    ------
    InputError
        A tension that is not above 0.

    Examples
    --------
    >>> torque_ceiling(0.25, 218_000.0, 22.225).ceiling
    1211262.5
    """
    if tension <= 0.0:
        raise InputError(f"tension must be above 0 N, got {tension:g}")
    return TorqueCeiling(share, tension, diameter, share * tension * diameter)


def _turns(row: dict) -> str:
    parts = [
        f"{Fraction(turn).limit_denominator(12)} up to {limit} d"
        for limit, turn in zip(row["up_to_d"], row["turns"], strict=True)
    ]
    return f"part of a turn by the {row['by']}: {', '.join(parts)}"
