"""The fillet weld that would do instead of the bolts: lines, leg, strength and fatigue of its throat."""

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from fatigue.welds import WeldGroup, weld_group
from loadhistories.blocks import LoadBlock
from loadhistories.figures import FAILS, HOLDS, not_judged
from loadhistories.validation import InputError
from slip.alternatives.alternative import Alternative, Tried
from slip.alternatives.weld_sizing import WeldSizing, throat_curves
from slip.joint import BoltedJoint
from slip.redesign import plate_size
from slip.standards import standard

LEGS = (5.0, 6.0, 8.0, 10.0, 12.0, 15.0)
STILL_TO_SHOW = (
    "the toes of this weld in both plates, each as a detail of its own",
    "access for welding and testing, distortion and re-alignment, repair of the coating",
)


def fillet_weld_instead(
    joint: BoltedJoint,
    blocks: Sequence[LoadBlock],
    *,
    extremes: Sequence[LoadBlock],
    axis: str,
    basis: Mapping[str, str],
) -> Alternative:
    """The fillet weld with which strength and throat hold: along both sides of the first plate, or all round it.

    Of all legs and both layouts that hold the one with the least weld metal is taken.

    Limits
    ------
    Welds along the edges of the plate as the bolts and their distances give it. Toe cracks are not judged.
    """
    if not joint.plates:
        return _cannot("no plates are given, so that the weld has no edges to follow")
    try:
        made_with, choice = weld_choice(joint)
        rules, curves = standard(joint.standard), throat_curves(joint, basis)
        welds = {leg: rules.fillet_weld(leg=leg, **made_with) for leg in legs_of(joint)}
        ways = [
            (WeldSizing(joint, blocks, extremes, group, curves, welds), group.length, words)
            for group, words in layouts(joint, axis)
        ]
        return _lightest(ways, choice)
    except InputError as error:
        return _cannot(str(error))


def _lightest(ways: list[tuple[WeldSizing, float, str]], choice: str) -> Alternative:
    """The first leg and layout that holds, in the order of their weld metal."""
    order = sorted((leg**2 * way[1], number, leg) for number, way in enumerate(ways) for leg in way[0].welds)
    tried = []
    for _, number, leg in order:
        sizing, _, words = ways[number]
        reason = sizing.objection(leg)
        what = f"{leg:g} mm {words}"
        tried.append(Tried(what, FAILS if reason else HOLDS, reason or "kept: strength and throat hold, least metal"))
        if not reason:
            title = f"{leg:g} mm fillet weld {words}{choice}"
            return Alternative("fillet weld", title, sizing.checks(leg), STILL_TO_SHOW, tuple(tried))
    sizing, _, words = ways[-1]
    leg = max(sizing.welds)
    title = f"{leg:g} mm fillet weld {words}{choice}; does not hold"
    return Alternative("fillet weld", title, sizing.checks(leg), STILL_TO_SHOW, tuple(tried))


def layouts(joint: BoltedJoint, axis: str) -> Iterator[tuple[WeldGroup, str]]:
    """Weld lines along both upright sides of the first plate, then all round it, with their words."""
    width, height = plate_size(joint, axis)
    x, y = plate_middle(joint)
    left, right, low, high = x - width / 2, x + width / 2, y - height / 2, y + height / 2
    sides = [[[left, low], [left, high]], [[right, low], [right, high]]]
    ends = [[[left, low], [right, low]], [[left, high], [right, high]]]
    name = joint.plates[0].name
    yield weld_group(sides), f"along both sides of the {name}, 2 x {height:g} mm"
    yield weld_group(sides + ends), f"all round the {name}, 2 x {height:g} mm and 2 x {width:g} mm"


def plate_middle(joint: BoltedJoint) -> tuple[float, float]:
    """Middle of the first plate, that of the extent of the bolts. [mm]"""
    x, y = joint.positions.min(axis=0) + np.ptp(joint.positions, axis=0) / 2
    return float(x), float(y)


def legs_of(joint: BoltedJoint) -> list[float]:
    """Legs that the plates allow, from the smallest. [mm]"""
    thicknesses = [plate.thickness for plate in joint.plates]
    least = min(standard(joint.standard).least_leg(max(thicknesses)), min(thicknesses))
    return [leg for leg in LEGS if least <= leg <= min(thicknesses)] or [LEGS[0]]


def weld_choice(joint: BoltedJoint) -> tuple[dict, str]:
    """What the weld is made with, by the weakest plate, and the same in words."""
    made_with, words = standard(joint.standard).weld_choice(min(joint.plates, key=lambda item: item.ultimate_strength))
    return made_with, f", {words}" if words else ""


def _cannot(reason: str) -> Alternative:
    check = not_judged("weld", "fillet weld", reason=reason, clause="")
    return Alternative("fillet weld", "fillet weld", (check,))
