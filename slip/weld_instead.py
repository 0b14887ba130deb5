"""The fillet weld that would do instead of the bolts: lines, leg, strength and fatigue of its throat."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np

from fatigue.curves import LifeCurve, life_curve
from fatigue.cycles import CycleCounter
from fatigue.gate import without_small_cycles
from fatigue.standards import standard as fatigue_standard
from fatigue.welds import PROJECTIONS, WeldGroup, line_forces, throat_projections, weld_group
from loadhistories.blocks import LoadBlock
from loadhistories.figures import HOLDS, Check, Figure, judged, not_judged
from loadhistories.products import product
from loadhistories.validation import InputError
from slip.joint import BoltedJoint
from slip.redesign import Alternative, plate_size
from slip.standards import standard

LEGS = (5.0, 6.0, 8.0, 10.0, 12.0, 15.0)
STILL_TO_SHOW = (
    "the toes of this weld in both plates, each as a detail of its own",
    "access for welding and testing, distortion and re-alignment, repair of the coating",
)


@dataclass(frozen=True)
class ThroatDamage:
    """Fatigue of the throat at the worst end of a weld line, normal and shear stress together."""

    leg: Annotated[float, Figure("z", "mm", title="leg of the fillet weld")]
    throat: Annotated[float, Figure("a", "mm", title="throat")]
    normal_damage: Annotated[float, Figure("D_sigma", title="damage by the transverse throat stress")]
    shear_damage: Annotated[float, Figure("D_tau", title="damage by the throat stress along the weld")]
    damage: Annotated[float, Figure("D", "", "D_sigma + D_tau", title="both together")]


@dataclass(frozen=True)
class WeldStrength:
    """Largest force per length of the weld against its strength."""

    length: Annotated[float, Figure("L_w", "mm", title="length of the weld lines together")]
    demand: Annotated[float, Figure("F_w,Ed", "N/mm", title="largest force per length, elastic line method")]


def fillet_weld_instead(
    joint: BoltedJoint,
    blocks: Sequence[LoadBlock],
    *,
    extremes: Sequence[LoadBlock],
    axis: str,
    basis: Mapping[str, str],
) -> Alternative:
    """The fillet weld with which strength and throat hold: along both sides of the first plate, or all round it.

    Of each layout the smallest leg is taken, of both layouts the one with less weld metal.

    Limits
    ------
    Welds along the edges of the plate as the bolts and their distances give it. Toe cracks are not judged.
    """
    if not joint.plates:
        return _cannot("no plates are given, so that the weld has no edges to follow")
    width, height = plate_size(joint, axis)
    curves = _curves(joint, basis)
    try:
        tries = [
            (group, *_sized(joint, blocks, extremes, group, words, curves))
            for group, words in _layouts(joint, width, height)
        ]
    except InputError as error:
        return _cannot(str(error))
    holding = [item for item in tries if item[2].state == HOLDS]
    return min(holding, key=lambda item: item[1] ** 2 * item[0].length)[2] if holding else tries[-1][2]


def _cannot(reason: str) -> Alternative:
    check = not_judged("weld", "fillet weld", reason=reason, clause="")
    return Alternative("fillet weld", "fillet weld", (check,))


def _layouts(joint: BoltedJoint, width: float, height: float):
    """Weld lines along both upright sides, then all round, with their words."""
    x, y = joint.positions.min(axis=0) + np.ptp(joint.positions, axis=0) / 2
    left, right, low, high = x - width / 2, x + width / 2, y - height / 2, y + height / 2
    sides = [[[left, low], [left, high]], [[right, low], [right, high]]]
    ends = [[[left, low], [right, low]], [[left, high], [right, high]]]
    name = joint.plates[0].name
    yield weld_group(sides), f"along both sides of the {name}, 2 x {height:g} mm"
    yield weld_group(sides + ends), f"all round the {name}, 2 x {height:g} mm and 2 x {width:g} mm"


def _sized(
    joint: BoltedJoint, blocks: Sequence[LoadBlock], extremes: Sequence[LoadBlock], group: WeldGroup, words: str, curves
) -> tuple[float, Alternative]:
    forces = line_forces(group)
    thicknesses = [plate.thickness for plate in joint.plates]
    least = min(standard(joint.standard).least_leg(max(thicknesses)), min(thicknesses))
    legs = [leg for leg in LEGS if least <= leg <= min(thicknesses)] or [LEGS[0]]
    made_with, choice = _weld_choice(joint)
    welds = [standard(joint.standard).fillet_weld(leg=leg, **made_with) for leg in legs]
    largest = _largest(joint, extremes, forces)
    spectra = _spectra(blocks, extremes, forces, curves, welds[0].throat)
    for leg, weld in zip(legs, welds, strict=True):
        checks = (
            _strength(joint, weld, group.length, largest),
            _throat(joint, leg, weld.throat, spectra, curves),
        )
        alternative = Alternative("fillet weld", f"{leg:g} mm fillet weld {words}{choice}", checks, STILL_TO_SHOW)
        if alternative.state == HOLDS:
            return leg, alternative
    return leg, Alternative("fillet weld", f"{alternative.title}; does not hold", alternative.checks, STILL_TO_SHOW)


def _curves(joint: BoltedJoint, basis: Mapping[str, str]) -> dict[str, LifeCurve]:
    """Design curves of the throat by kind of stress."""
    rules = fatigue_standard(joint.standard)
    gamma = rules.partial_factors(**basis).gamma_Mf
    return {kind: life_curve(joint.standard, rules.WELD_THROAT[kind], gamma_Mf=gamma) for kind in ("normal", "shear")}


def _largest(joint: BoltedJoint, extremes: Sequence[LoadBlock], forces) -> float:
    """Largest force per length at ultimate level. [N/mm]"""
    factors = joint.factors
    combinations = {(factors.permanent, factors.variable), (factors.permanent_favourable, factors.variable)}
    permanent = np.asarray(joint.permanent, dtype=float)[:, None]
    return max(
        _size(forces, factors.permanent * permanent),
        *(
            _size(forces, fixed * permanent + variable * chunk)
            for block in extremes
            for chunk in block.chunks()
            for fixed, variable in combinations
        ),
    )


def _spectra(blocks: Sequence[LoadBlock], extremes: Sequence[LoadBlock], forces, curves, thinnest: float):
    """Ranges and counts in the life of every projection and line force over the throat of 1 mm.

    Cycles that are too small to harm even the thinnest throat are left out.
    """
    transverse, along = throat_projections(forces, throat=1.0)
    rows = np.concatenate([transverse, along])
    harmless = np.full(len(rows), _harmless(curves["shear"]) * thinnest)
    harmless[: len(transverse)] = _harmless(curves["normal"]) * thinnest
    spectra: list[list] = [[(np.zeros(0), np.zeros(0))] for _ in rows]
    for block, few in zip(blocks, extremes, strict=True):
        ends = [(part.min(axis=1), part.max(axis=1)) for part in (product(rows, chunk) for chunk in few.chunks())]
        spread = np.max([high for _, high in ends], axis=0) - np.min([low for low, _ in ends], axis=0)
        live = np.flatnonzero(spread >= harmless)
        counters = [CycleCounter() for _ in live]
        for chunk in block.chunks() if len(live) else ():
            for counter, values, smallest in zip(counters, product(rows[live], chunk), harmless[live], strict=True):
                counter.feed(without_small_cycles(values, smallest))
        for row, counter in zip(live, counters, strict=True):
            whole = counter.count().repeated(block.repeats)
            spectra[row].append((whole.ranges, whole.counts))
    return [tuple(np.concatenate(part) for part in zip(*spectrum, strict=True)) for spectrum in spectra]


def _harmless(curve: LifeCurve) -> float:
    """Range below which no cycle does damage, whatever the others are; 0 where there is none. [MPa]"""
    return 0.0 if curve.threshold else curve.cut_off_strength or 0.0


def _size(forces, loads) -> float:
    """Largest resultant force per length at any line end. [N/mm]"""
    vectors = np.einsum("pic,cm->pim", forces, loads)
    return float(np.sqrt((vectors**2).sum(axis=1)).max())


def _weld_choice(joint: BoltedJoint) -> tuple[dict, str]:
    """What the weld is made with, by the weakest plate, and the same in words."""
    made_with, words = standard(joint.standard).weld_choice(min(joint.plates, key=lambda item: item.ultimate_strength))
    return made_with, f", {words}" if words else ""


def _strength(joint: BoltedJoint, weld, length: float, largest: float) -> Check:
    return judged(
        "weld-strength", "strength of the weld", demand=largest, resistance=weld.strength, unit="N/mm",
        clause=standard(joint.standard).CLAUSES["fillet weld"], working=(WeldStrength(length, largest), weld),
    )  # fmt: skip


def _throat(joint: BoltedJoint, leg: float, throat: float, spectra, curves) -> Check:
    # A force per length over the throat is the stress, so that the strength times the throat is that per length.
    per_length = {kind: curve.factored(1.0 / throat) for kind, curve in curves.items()}
    points = len(spectra) // (PROJECTIONS + 1)
    split = points * PROJECTIONS
    normal = np.array([per_length["normal"].damage(*spectrum) for spectrum in spectra[:split]])
    shear = np.array([per_length["shear"].damage(*spectrum) for spectrum in spectra[split:]])
    normal = normal.reshape(points, PROJECTIONS).max(axis=1)
    worst = int(np.argmax(normal + shear))
    result = ThroatDamage(leg, throat, float(normal[worst]), float(shear[worst]), float(normal[worst] + shear[worst]))
    return judged(
        "weld-throat", "fatigue of the weld throat, root crack", demand=result.damage, resistance=1.0, unit="",
        clause=fatigue_standard(joint.standard).WELD_THROAT["clause"], working=(result,),
    )  # fmt: skip
