"""Rungs that weld: a fillet round the plate, groove welds of plates that stand, and welds beside the bolts."""

from collections.abc import Callable
from dataclasses import replace
from functools import partial

import numpy as np

from fatigue.welds import WeldGroup, weld_group
from loadhistories.blocks import COMPONENTS
from loadhistories.figures import HOLDS, Check, not_judged
from loadhistories.validation import InputError
from slip.alternatives.alternative import FILLET, FULL, PARTIAL, Alternative, Proposal, Situation, Tried, WeldPlan
from slip.alternatives.search import Candidate, first_that_does, nothing
from slip.alternatives.weld_details import lap_details, tee_details
from slip.alternatives.weld_sizing import WeldSizing, throat_curves
from slip.assessment import SlipOutcome, assess
from slip.groove_welds import factored, full_penetration, partial_penetration
from slip.joint import BoltedJoint
from slip.redesign import plate_size
from slip.sharing_with_welds import Sharing, share_with_welds
from slip.standards import standard
from slip.weld_instead import layouts, legs_of, plate_middle, weld_choice
from slip.welded import WeldedJoint, assess_welds

DEPTH_STEP = 2.0
WITH_BOLTS = ("grip", "no reversal", "pretension")
ON_BOLTS = ("tensile stress area", "shank", "net")
ACCESS = "access for welding and testing, distortion and re-alignment, repair of the coating"
OUT_OF_PLANE = ("Fz", "Mx", "My")
NO_PLATES = "no plates are given, so that the weld has no edges to follow"


def fillet_weld(situation: Situation, *, quality: str = "shop") -> Alternative:
    """The fillet weld with the least metal that does, along both sides of the first plate or all round it."""
    kind = "fillet weld" if quality == "shop" else f"fillet weld, {quality}"
    joint, factor = situation.joint, 1.0
    if quality == "site":
        factor = situation.wishes.get("site_weld_factor")
        if factor is None:
            return nothing(
                kind, f"{joint.standard} has no strength of its own for site welds as they are judged here, and no "
                "factor of your own is stated (site_weld_factor)",
            )  # fmt: skip
    if _why_not(joint):
        return nothing(kind, _why_not(joint))
    made_with, choice = weld_choice(joint)
    rules = standard(joint.standard)
    welds = {leg: _with_factor(rules.fillet_weld(leg=leg, **made_with), factor) for leg in legs_of(joint)}
    found, steps = [], []
    for group, words in layouts(joint, situation.axis):
        where = f"{words}{choice}{_site(quality, factor)}"
        leg, refused = _size(situation, group, welds, FILLET, partial(_fillet_title, where))
        steps += refused
        if leg is not None:
            plan = WeldPlan(
                FILLET, group.lines, welds[leg].throat, joint.plates[0].thickness, made_with, leg=leg, quality=quality,
                strength_factor=factor,
            )  # fmt: skip
            found.append((leg**2 * group.length, _lap(situation, plan, _fillet_title(where, leg))))
    found.sort(key=lambda item: item[0])
    return _searched(situation, kind, [item for _, item in found], steps, "the least weld metal that does")


def groove_weld(situation: Situation, kind: str) -> Alternative:
    """Plates that stand on the other part along both sides of the first plate, welded into a bevel or through.

    Limits
    ------
    The parts are drawn anew: plates as thick as the first one meet the other part along these lines on edge, and no
    plate lies between. Their stress is the force per length over the thickness.
    """
    joint, words = situation.joint, f"{kind} weld"
    if _why_not(joint):
        return nothing(words, _why_not(joint))
    made_with, choice = weld_choice(joint)
    thickness = joint.plates[0].thickness
    welds = _grooves(joint, kind, made_with, thickness)
    candidates, steps = [], []
    for group, where in layouts(joint, situation.axis):
        title = partial(_tee_title, thickness, _standing(where), choice, kind)
        size, refused = _size(situation, group, welds, kind, title)
        steps += refused
        if size is not None:
            depth = size if kind == PARTIAL else thickness
            plan = WeldPlan(kind, group.lines, welds[size].throat, thickness, made_with, depth=depth)
            candidates.append(_tee(situation, plan, title(size)))
    return _searched(situation, words, candidates, steps, "the shortest lines and the smallest weld that do")


def bolts_with_welds(situation: Situation) -> Alternative:
    """Longitudinal fillet welds beside the bolts, where the standard lets both share the load.

    Bolts that share with welds must not slip at ultimate level, whatever else is asked of the joint.
    """
    joint, kind = replace(situation.joint, slip="never"), "bolts and welds sharing"
    if _why_not(joint):
        return nothing(kind, _why_not(joint))
    made_with, choice = weld_choice(joint)
    rules, candidates, steps = standard(joint.standard), [], []
    group = weld_group(_along(joint, situation.axis))
    outcome = assess(joint, situation.extremes)
    for leg in legs_of(joint):
        weld = rules.fillet_weld(leg=leg, **made_with)
        reason = _together(situation, outcome, group, weld)
        if reason:
            steps.append(Tried(f"{leg:g} mm fillet welds along {situation.axis} beside the bolts", "refused", reason))
            continue
        plan = WeldPlan(FILLET, group.lines, weld.throat, joint.plates[0].thickness, made_with, leg=leg)
        own, open_points = _lap_judged(situation, plan)
        show = ("welded first, bolts tightened in full after it, no load before both are finished", ACCESS)
        title = f"{leg:g} mm fillet welds along {situation.axis} beside the bolts, 2 x {group.length / 2:g} mm{choice}"
        candidates.append(Candidate(title, Proposal(joint, weld=plan, shared=True, own=own), show, open_points))
    return _searched(situation, kind, candidates, steps, "the smallest leg that does")


def _together(situation: Situation, outcome: SlipOutcome, group: WeldGroup, weld) -> str:
    """Why bolts and welds may not share, or do not hold together; "" where they do."""
    joint = outcome.joint
    welded = WeldedJoint(joint.name, joint.standard, group.lines, weld, "shop", joint.permanent, joint.factors)
    stated = Sharing(tightened_after_welding=True, unloaded_until_finished=True, tightening="other")
    shared = share_with_welds(outcome, assess_welds(welded, situation.extremes), stated, situation.extremes)
    failing = [check for check in (*shared.checks, *shared.slip.checks) if check.state != HOLDS]
    return "; ".join(check.reason or f"{check.title} {check.utilisation:.3g}" for check in failing[:1])


def _why_not(joint: BoltedJoint) -> str:
    """Why no weld along the edges of the first plate can do, or ""."""
    if not joint.plates:
        return NO_PLATES
    if joint.planes != 1:
        return f"the bolts join plates in {joint.planes} planes; a weld of the first plate alone would leave the others"
    return ""


def with_bolts(situation: Situation) -> tuple[int, ...]:
    """Numbers of the details that go when the bolts go: at their holes, on their shanks and threads."""
    return tuple(
        number for number, item in enumerate(situation.details)
        if item.relies_on in WITH_BOLTS or item.row.stress_on in ON_BOLTS or item.recipe.on in ON_BOLTS
    )  # fmt: skip


def _lap(situation: Situation, plan: WeldPlan, title: str) -> Candidate:
    own, open_points = _lap_judged(situation, plan)
    gone = with_bolts(situation)
    show = (_left_out(situation, gone), "the toe in the part below, with that part's own stress; section of the plate "
            "at the weld", ACCESS)  # fmt: skip
    return Candidate(title, Proposal(None, plan, dropped=gone, own=own), tuple(filter(None, show)), open_points)


def _tee(situation: Situation, plan: WeldPlan, title: str) -> Candidate:
    gone = with_bolts(situation)
    own = tee_details(situation.joint, plan)
    show = (
        _left_out(situation, gone), "the parts drawn anew: their plates meet the other part on edge, none lies between",
        "the other part's own stress at the toes; strength across its thickness (lamellar tearing)", ACCESS,
    )  # fmt: skip
    return Candidate(title, Proposal(None, plan, dropped=gone, own=own), tuple(filter(None, show)))


def _lap_judged(situation: Situation, plan: WeldPlan) -> tuple[tuple, tuple[Check, ...]]:
    """Details of a weld round the plate, and what cannot be judged of it."""
    joint, plate = situation.joint, situation.joint.plates[0]
    pulling = [name for name in OUT_OF_PLANE if _changes(situation, name)]
    size = plate_size(joint, situation.axis)
    if plate.reaches and not pulling:
        return lap_details(joint, plan, plate_middle(joint), size), ()
    reason = f'on which side the {plate.name} goes on beyond its weld is not said: reaches = "+x" (or -x, +y, -y)'
    if pulling:
        reason = (
            f"{' and '.join(pulling)} change and bend the plate at its weld: give the stress at the toe as a detail of "
            "its own, from a plate bending model"
        )
    check = not_judged("weld-toe", f"toe of the weld in the {plate.name}", reason=reason, clause="")
    return lap_details(joint, plan, None, size), (check,)


def _changes(situation: Situation, name: str) -> bool:
    row = COMPONENTS.index(name)
    ends = [(chunk[row].min(), chunk[row].max()) for block in situation.extremes for chunk in block.chunks()]
    return bool(max(high for _, high in ends) > min(low for low, _ in ends))


def _left_out(situation: Situation, gone: tuple[int, ...]) -> str:
    names = [situation.details[number].name for number in gone]
    return f"left out with the bolts: {'; '.join(names)}" if names else ""


def _fillet_title(where: str, leg: float) -> str:
    return f"{leg:g} mm fillet weld {where}"


def _tee_title(thickness: float, where: str, choice: str, kind: str, size: float) -> str:
    how = f"bevelled {size:g} mm deep" if kind == PARTIAL else "welded through"
    return f"plates of {thickness:g} mm standing on the other part {where}, {how}{choice}"


def _size(situation: Situation, group: WeldGroup, welds: dict, kind: str, title: Callable[[float], str]):
    """The smallest size whose strength and throat hold, or None, and what was tried before it."""
    curves = None if kind == FULL else throat_curves(situation.joint, situation.basis)
    try:
        sizing = WeldSizing(situation.joint, situation.blocks, situation.extremes, group, curves, welds, kind=kind)
    except InputError as refusal:
        return None, [Tried(title(min(welds)), "refused", "; ".join(refusal.problems))]
    refused = []
    for size in welds:
        reason = sizing.objection(size)
        if not reason:
            return size, refused
        refused.append(Tried(title(size), "fails", reason))
    return None, refused


def _searched(situation: Situation, kind: str, candidates: list[Candidate], steps: list[Tried], why: str):
    if not candidates:
        return nothing(kind, f"no size does: {steps[-1].reason}" if steps else "no size fits the plates", tuple(steps))
    found = first_that_does(situation, kind, candidates, why=why)
    return replace(found, tried=(*steps, *found.tried))


def _grooves(joint: BoltedJoint, kind: str, made_with: dict, thickness: float) -> dict:
    if kind == FULL:
        weakest = min(plate.yield_strength for plate in joint.plates)
        return {thickness: full_penetration(joint.standard, thickness=thickness, yield_strength=weakest)}
    depths = np.arange(np.ceil(thickness / 2 / DEPTH_STEP) * DEPTH_STEP, thickness + 1e-9, DEPTH_STEP)
    found = {}
    for depth in map(float, depths):
        try:
            found[depth] = partial_penetration(joint.standard, depth=depth, **made_with)
        except InputError:
            continue
    if not found:
        raise InputError(f"a plate of {thickness:g} mm is too thin for a bevel whose throat counts")
    return found


def _along(joint: BoltedJoint, axis: str) -> list:
    (x, y), (width, height) = plate_middle(joint), plate_size(joint, axis)
    a, b = width / 2, height / 2
    if axis == "y":
        return [[[x - a, y - b], [x - a, y + b]], [[x + a, y - b], [x + a, y + b]]]
    return [[[x - a, y - b], [x + a, y - b]], [[x - a, y + b], [x + a, y + b]]]


def _with_factor(weld, factor: float):
    return weld if factor == 1.0 else factored(weld, factor)


def _site(quality: str, factor: float) -> str:
    if quality == "shop":
        return ""
    return f", made on site, strength times {factor:g}"


def _standing(where: str) -> str:
    words = where.replace("all round the", "along all edges of the present")
    return words.replace("sides of the", "sides of the present")


