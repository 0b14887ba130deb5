"""LifeCurve: stress range against cycles, straight pieces in log-log, for any standard.

What a category means and which pieces it has stands with the standards, not here.
"""

import math
from dataclasses import dataclass, replace
from types import ModuleType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fatigue.catalogue import CatalogueRow
from fatigue.standards import standard as rules_of
from loadhistories.validation import InputError, require_one_of, require_positive

FIRST_PLOTTED, LAST_PLOTTED = 1e4, 1e9


@dataclass(frozen=True)
class LifeCurve:
    """Cycles to failure for a stress range, in straight log-log pieces with an optional cut-off.

    Attributes
    ----------
    name : str
        Standard, category, kind of stress, and every factor that the strength already holds.
    strength : float
        Stress range at `reference` cycles. [MPa]
    reference : float
        Cycles at which `strength` stands.
    slopes : tuple of float
        Exponent m of each piece, from few cycles to many.
    knees : tuple of float
        Cycles at which one piece ends and the next begins; one fewer than slopes.
    cut_off : float or None
        Cycles at which the curve turns level: lower ranges do no damage. None: every range does damage.
    source : str
        Where slopes, knees and cut-off come from.
    threshold : bool
        Whether the cut-off holds only while no range exceeds it; once one does, every range does damage.

    Limits
    ------
    Strengths at the knees and at the cut-off follow from the closed form (such as (2/5)^(1/3) of the strength
    at 2e6 cycles), never from the three-digit factors that standards print beside it (0.737).
    """

    name: str
    strength: float
    reference: float
    slopes: tuple[float, ...]
    knees: tuple[float, ...] = ()
    cut_off: float | None = None
    source: str = ""
    threshold: bool = False

    def strength_at(self, cycles: float) -> float:
        """Stress range of the inclined pieces that fails after `cycles`, with no regard to the cut-off. [MPa]"""
        piece = sum(knee < cycles for knee in self.knees)
        anchor_cycles, anchor_strength = self._anchor(piece)
        return anchor_strength * (anchor_cycles / cycles) ** (1.0 / self.slopes[piece])

    @property
    def knee_strengths(self) -> tuple[float, ...]:
        """Stress range at each knee. [MPa]"""
        return tuple(self.strength_at(knee) for knee in self.knees)

    @property
    def cut_off_strength(self) -> float | None:
        """Stress range below which there is no damage, None where the curve has no cut-off. [MPa]"""
        return None if self.cut_off is None else self.strength_at(self.cut_off)

    def cycles_to_failure(self, stress_range: ArrayLike) -> float | NDArray[np.float64]:
        """Cycles that a constant stress range lasts; inf below the cut-off.

        Parameters
        ----------
        stress_range : float or array
            Full stress range, not its amplitude. [MPa]

        Returns
        -------
        float or array, shape of `stress_range`

        Raises
        ------
        InputError
            A range is negative or not finite.
        """
        ranges = _checked(stress_range, "stress range")
        piece = np.zeros(ranges.shape, dtype=int)
        for knee_strength in self.knee_strengths:
            piece += ranges < knee_strength
        anchors = np.array([self._anchor(index) for index in range(len(self.slopes))])
        with np.errstate(divide="ignore", over="ignore"):
            cycles = anchors[piece, 0] * (anchors[piece, 1] / ranges) ** np.array(self.slopes)[piece]
        if self.cut_off is not None:
            endless = ranges <= self.cut_off_strength if self.threshold else ranges < self.cut_off_strength
            cycles = np.where(endless, math.inf, cycles)
        return float(cycles) if np.ndim(stress_range) == 0 else cycles

    def damage(self, ranges: ArrayLike, counts: ArrayLike) -> float:
        """Sum of n_i / N_i over the ranges (linear accumulation). [-]

        Parameters
        ----------
        ranges, counts : array, shape (m,)
            Stress ranges [MPa] and how often each occurs; halves and other fractions are fine.

        Raises
        ------
        InputError
            Shapes differ, or a value is negative or not finite.
        """
        return float(np.sum(self.damage_of_each(ranges, counts)))

    def damage_of_each(self, ranges: ArrayLike, counts: ArrayLike) -> NDArray[np.float64]:
        """n_i / N_i of each range; see `damage`."""
        ranges, counts = _checked(ranges, "stress range"), _checked(counts, "count of cycles")
        if ranges.shape != counts.shape:
            raise InputError(
                f"ranges and counts must have one shape, got {ranges.shape} and {counts.shape}"
            )
        above = self.threshold and np.any(ranges[counts > 0.0] > self.cut_off_strength)
        curve = self.without_cut_off() if above else self
        return counts / curve.cycles_to_failure(np.atleast_1d(ranges))

    def without_cut_off(self) -> "LifeCurve":
        """The curve on whose inclined pieces every range does damage."""
        return replace(self, cut_off=None, threshold=False)

    def factored(self, gamma_Mf: float) -> "LifeCurve":
        """The design curve: every strength divided by the partial factor."""
        gamma = require_positive(gamma_Mf, "gamma_Mf")
        return replace(self, name=f"{self.name}, gamma_Mf {gamma:g}", strength=self.strength / gamma)

    def scaled(self, factor: float, why: str) -> "LifeCurve":
        """The curve with every strength multiplied by `factor` (a size effect), which its name then states."""
        number = require_positive(factor, why)
        return replace(self, name=f"{self.name}, {why} {number:.4g}", strength=self.strength * number)

    def points(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Corners of the curve from 1e4 to 1e9 cycles, for plotting: cycles and stress ranges [MPa]."""
        last = LAST_PLOTTED if self.cut_off is None else min(self.cut_off, LAST_PLOTTED)
        inner = [knee for knee in self.knees if FIRST_PLOTTED < knee < last]
        cycles = [FIRST_PLOTTED, *inner, last]
        ranges = [self.strength_at(number) for number in cycles]
        if last < LAST_PLOTTED:
            cycles.append(LAST_PLOTTED)
            ranges.append(ranges[-1])
        return np.array(cycles), np.array(ranges)

    def _anchor(self, piece: int) -> tuple[float, float]:
        """A point that lies on the piece: the reference point, or the knee towards it."""
        home = sum(knee < self.reference for knee in self.knees)
        cycles, strength = self.reference, self.strength
        for index in range(home, piece):
            strength *= (cycles / self.knees[index]) ** (1.0 / self.slopes[index])
            cycles = self.knees[index]
        for index in range(home, piece, -1):
            strength *= (cycles / self.knees[index - 1]) ** (1.0 / self.slopes[index])
            cycles = self.knees[index - 1]
        return cycles, strength


def life_curve(standard: str, category: str | float, **conditions) -> LifeCurve:
    """Life curve of a category of a standard.

    Parameters
    ----------
    standard : str
        "EN 1993"; see `fatigue.standards.names()`.
    category : str or float
        An identifier of the standard's catalogue ("8.4-1a") or a category number (71).
    **conditions
        What the standard knows beside the category. For EN 1993: `stress` "normal" or "shear" (a bare number
        is a normal stress unless said), `thickness` and `diameter` [mm] for the size effect of a row that has
        one (a bare number takes the effect of the size that is given), `thicker` and `eccentricity` [mm] of an
        eccentric splice, `starred` "limit at 1e7" (a starred row one class higher), `gamma_Mf` (left out: the
        characteristic curve). IIW: `second_slope` 5 or 22, `stress`, `thickness` and `thickness_rule`; BS 7608:
        `edition` 1993 or 2014, `deviations` (left out: 2), `thickness`; DNV-RP-C203: `thickness`.

    Returns
    -------
    LifeCurve

    Raises
    ------
    InputError
        Unknown standard, category or condition; a row without a category of its own; a size that the size
        effect needs is missing.

    Examples
    --------
    >>> life_curve("EN 1993", 71).cycles_to_failure(100.0)
    715822.0
    >>> life_curve("EN 1993", "8.5-9").cycles_to_failure([160.0, 30.0])
    array([62500.,    inf])
    """
    rules = rules_of(standard)
    row_conditions, sizes, gamma_Mf = _sorted_out(conditions, rules, standard)
    return _with_factors(rules, rules.row_of(category, **row_conditions), sizes, gamma_Mf)


def curve_of_strength(standard: str, strength: float, **conditions) -> LifeCurve:
    """Life curve of the standard's form through a strength of the user's own at the standard's reference cycles.

    Parameters
    ----------
    strength : float
        Stress range at the reference cycles (EN 1993: 2e6). [MPa]
    **conditions
        As for `life_curve`.

    Examples
    --------
    >>> curve_of_strength("EN 1993", 70.0, stress="normal").cycles_to_failure(70.0)
    2000000.0
    """
    rules = rules_of(standard)
    row_conditions, sizes, gamma_Mf = _sorted_out(conditions, rules, standard)
    return _with_factors(rules, rules.row_of_strength(strength, **row_conditions), sizes, gamma_Mf)


def _sorted_out(conditions: dict, rules: ModuleType, standard: str) -> tuple[dict, dict, float | None]:
    """The conditions that choose the row, those that give a size, and the partial factor."""
    known = (*rules.CONDITIONS, *rules.SIZES, "gamma_Mf")
    for name in conditions:
        require_one_of(name, known, f"condition of {standard}")
    chosen = {name: value for name, value in conditions.items() if name in rules.CONDITIONS}
    sizes = {name: value for name, value in conditions.items() if name in rules.SIZES}
    return chosen, sizes, conditions.get("gamma_Mf")


def _with_factors(rules: ModuleType, row: CatalogueRow, sizes: dict, gamma_Mf: float | None) -> LifeCurve:
    curve = rules.curve_of_row(row)
    effect = rules.size_effect(row, **sizes)
    if effect is not None:
        curve = curve.scaled(effect.factor, "size factor")
    return curve if gamma_Mf is None else curve.factored(gamma_Mf)


def _checked(values: ArrayLike, name: str) -> NDArray[np.float64]:
    """`values` as float64; the first bad one is named with its place."""
    array = np.asarray(values)
    if array.dtype.kind not in "fiu" and array.size:
        raise InputError(f"{name} must be a number, got {values!r}")
    array = array.astype(np.float64)
    bad = np.flatnonzero(~(np.isfinite(array) & (array >= 0.0)))
    if bad.size:
        place = f" (number {bad[0]})" if array.ndim else ""
        raise InputError(f"{name} must be finite and not below 0, got {array.flat[bad[0]]:g}{place}")
    return array
