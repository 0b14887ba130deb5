"""Sizes weld lines: the smallest size with which their strength and the fatigue of their throat hold."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any

import numpy as np

from fatigue.curves import LifeCurve, life_curve
from fatigue.cycles import CycleCounter
from fatigue.gate import without_small_cycles
from fatigue.standards import standard as fatigue_standard
from fatigue.welds import PROJECTIONS, WeldGroup, line_forces, throat_projections
from loadhistories.blocks import LoadBlock
from loadhistories.figures import HOLDS, Check, Figure, judged
from loadhistories.products import product
from slip.groove_welds import FILLET, clause_of
from slip.joint import BoltedJoint


@dataclass(frozen=True)
class ThroatDamage:
    """Fatigue of the throat at the worst end of a weld line, normal and shear stress together."""

    leg: Annotated[float, Figure("z", "mm", title="leg of the fillet weld, or depth of the bevel")]
    throat: Annotated[float, Figure("a", "mm", title="throat")]
    normal_damage: Annotated[float, Figure("D_sigma", title="damage by the transverse throat stress")]
    shear_damage: Annotated[float, Figure("D_tau", title="damage by the throat stress along the weld")]
    damage: Annotated[float, Figure("D", "", "D_sigma + D_tau", title="both together")]


@dataclass(frozen=True)
class WeldStrength:
    """Largest force per length of the weld against its strength."""

    length: Annotated[float, Figure("L_w", "mm", title="length of the weld lines together")]
    demand: Annotated[float, Figure("F_w,Ed", "N/mm", title="largest force per length, elastic line method")]


class WeldSizing:
    """Strength and throat of one group of weld lines, by the size of the weld.

    The force per length is alike for every size, so that strength asks for one by itself and a stress is inversely
    proportional to the throat. Sizes that fail at the line end with the largest throat stress alone are passed over
    before all stresses are counted, and those are counted without the cycles that harm no throat of at least that size.

    Parameters
    ----------
    curves : mapping
        Design curves by kind of stress, from `throat_curves`; None: the throat is no place that cracks.
    welds : mapping of float to result of the standard
        By size, ascending, each with `.throat` and `.strength`.
    kind : str
        Of the welds, as in `slip.groove_welds`.
    """

    def __init__(
        self,
        joint: BoltedJoint,
        blocks: Sequence[LoadBlock],
        extremes: Sequence[LoadBlock],
        group: WeldGroup,
        curves: Mapping[str, LifeCurve] | None,
        welds: Mapping[float, Any],
        *,
        kind: str = FILLET,
    ):
        self._joint, self._group, self.welds, self._kind = joint, group, welds, kind
        forces = line_forces(group)
        self._largest = _largest(joint, extremes, forces)
        self._curves = curves
        self._throats = None if curves is None else _ThroatStresses(blocks, extremes, forces, curves)
        self._checks: dict[float, tuple[Check, ...]] = {}

    def objection(self, size: float) -> str:
        """Why a size does not do, "" where it does."""
        weld = self.welds[size]
        if weld.strength < self._largest:
            return f"strength used {self._largest / weld.strength:.3g}"
        if self._throats is not None and self._throats.largest_fails(weld.throat):
            return "fatigue of the throat at the line end with the largest stress"
        failing = [check for check in self.checks(size) if check.state != HOLDS]
        return "; ".join(f"{check.title}, used {check.utilisation:.3g}" for check in failing)

    def checks(self, size: float) -> tuple[Check, ...]:
        """Strength, and fatigue of the throat, of a size."""
        if size not in self._checks:
            found = [self._strength(size)]
            if self._throats is not None:
                weld = self.welds[size]
                spectra = self._throats.spectra(weld.throat)
                found.append(_throat(self._joint, size, weld.throat, spectra, self._curves))
            self._checks[size] = tuple(found)
        return self._checks[size]

    def _strength(self, size: float) -> Check:
        weld = self.welds[size]
        return judged(
            "weld-strength", "strength of the weld", demand=self._largest, resistance=weld.strength, unit="N/mm",
            clause=clause_of(self._joint.standard, self._kind),
            working=(WeldStrength(self._group.length, self._largest), weld),
        )  # fmt: skip


def throat_curves(joint: BoltedJoint, basis: Mapping[str, str]) -> dict[str, LifeCurve]:
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


class _ThroatStresses:
    """Ranges and counts in the life of every projection and line force, over a throat of 1 mm."""

    def __init__(self, blocks, extremes, forces, curves: Mapping[str, LifeCurve]):
        transverse, along = throat_projections(forces, throat=1.0)
        self._blocks, self._curves, self._split = blocks, curves, len(transverse)
        self._rows = np.concatenate([transverse, along])
        self._harmless = np.full(len(self._rows), _harmless(curves["shear"]))
        self._harmless[: self._split] = _harmless(curves["normal"])
        self._spreads = [_spread(self._rows, few) for few in extremes]
        self._coarse: dict[int, tuple] = {}
        self._counted: tuple[float, list] | None = None

    def largest_fails(self, throat: float) -> bool:
        """Whether the line end with the largest normal or shear stress breaks the throat by itself."""
        curves = {kind: curve.factored(1.0 / throat) for kind, curve in self._curves.items()}
        spread, points = np.max(self._spreads, axis=0), self._split // PROJECTIONS
        across, along = spread[: self._split].reshape(points, PROJECTIONS), spread[self._split :]
        for point in {int(np.argmax(across.max(axis=1))), int(np.argmax(along))}:
            normal = point * PROJECTIONS + int(np.argmax(across[point]))
            rows = {"normal": normal, "shear": self._split + point}
            for row in rows.values():
                if row not in self._coarse:
                    self._coarse[row] = self._count([row], throat)[0]
            if sum(_damage(curves[kind], self._coarse[row]) for kind, row in rows.items()) > 1.0:
                return True
        return False

    def spectra(self, throat: float) -> list:
        """Of every row, without cycles that harm no throat of at least this one."""
        if self._counted is None or self._counted[0] > throat:
            self._counted = throat, self._count(range(len(self._rows)), throat)
        return self._counted[1]

    def _count(self, rows: Sequence[int], throat: float) -> list:
        chosen = np.asarray(rows)
        spectra: list[list] = [[(np.zeros(0), np.zeros(0))] for _ in chosen]
        smallest = self._harmless[chosen] * throat
        for block, spread in zip(self._blocks, self._spreads, strict=True):
            if block.counted is not None:
                for place, row in enumerate(chosen):
                    cycles = block.counted.along(self._rows[row])
                    spectra[place].append((cycles.ranges, cycles.counts * block.repeats))
                continue
            live = np.flatnonzero(spread[chosen] >= smallest)
            counters = [CycleCounter() for _ in live]
            for chunk in block.chunks() if len(live) else ():
                stresses = product(self._rows[chosen[live]], chunk)
                for counter, values, least in zip(counters, stresses, smallest[live], strict=True):
                    counter.feed(without_small_cycles(values, least))
            for row, counter in zip(live, counters, strict=True):
                whole = counter.count().repeated(block.repeats)
                spectra[row].append((whole.ranges, whole.counts))
        return [tuple(np.concatenate(part) for part in zip(*spectrum, strict=True)) for spectrum in spectra]


def _spread(rows, block: LoadBlock):
    """Highest less lowest value of each row over a block."""
    ends = [(part.min(axis=1), part.max(axis=1)) for part in (product(rows, chunk) for chunk in block.chunks())]
    return np.max([high for _, high in ends], axis=0) - np.min([low for low, _ in ends], axis=0)


def _harmless(curve: LifeCurve) -> float:
    """Range below which no cycle does damage, whatever the others are; 0 where there is none. [MPa]"""
    return 0.0 if curve.threshold else curve.cut_off_strength or 0.0


def _size(forces, loads) -> float:
    """Largest resultant force per length at any line end. [N/mm]"""
    vectors = np.einsum("pic,cm->pim", forces, loads)
    return float(np.sqrt((vectors**2).sum(axis=1)).max())


def _throat(joint: BoltedJoint, leg: float, throat: float, spectra, curves) -> Check:
    # A force per length over the throat is the stress, so that the strength times the throat is that per length.
    per_length = {kind: curve.factored(1.0 / throat) for kind, curve in curves.items()}
    points = len(spectra) // (PROJECTIONS + 1)
    split = points * PROJECTIONS
    normal = np.array([_damage(per_length["normal"], spectrum) for spectrum in spectra[:split]])
    shear = np.array([_damage(per_length["shear"], spectrum) for spectrum in spectra[split:]])
    normal = normal.reshape(points, PROJECTIONS).max(axis=1)
    worst = int(np.argmax(normal + shear))
    result = ThroatDamage(leg, throat, float(normal[worst]), float(shear[worst]), float(normal[worst] + shear[worst]))
    return judged(
        "weld-throat", "fatigue of the weld throat, root crack", demand=result.damage, resistance=1.0, unit="",
        clause=fatigue_standard(joint.standard).WELD_THROAT["clause"], working=(result,),
    )  # fmt: skip


def _damage(curve: LifeCurve, spectrum) -> float:
    return curve.damage(*spectrum) if len(spectrum[0]) else 0.0
