"""A crane girder on supports, simple or continuous, and the influence lines of what a unit load on it causes.

Beam theory without shear deformation, supports that do not settle. Places in mm from the first support.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from loadhistories.cubics import Cubic
from loadhistories.validation import InputError, require_finite, require_one_of, require_positive, where

SYSTEMS = ("simple spans", "continuous")


@dataclass(frozen=True, eq=False)
class Girder:
    """Spans in a row; a load moves along them.

    Attributes
    ----------
    spans : tuple of float
        [mm]
    system : str
        "simple spans", each on its own two supports, or "continuous".
    stiffness : tuple of float or None
        E I of each span; None where it is not known, taken as the same in all spans. [N mm2]

    Limits
    ------
    No cantilevers, no springs, no shear deformation. Slope is that of the deflection, downward counted positive,
    along the girder; a moment is positive with tension below, a reaction positive where the girder presses down.
    """

    spans: tuple[float, ...]
    system: str
    stiffness: tuple[float, ...] | None = None

    @cached_property
    def supports(self) -> NDArray[np.float64]:
        """Places of the supports, shape (n + 1,). [mm]"""
        return np.concatenate(([0.0], np.cumsum(self.spans)))

    @property
    def length(self) -> float:
        """Of all spans. [mm]"""
        return float(self.supports[-1])

    def span_at(self, section: float) -> float:
        """Length of the span that holds a section; at an inner support of the one behind it. [mm]"""
        return self._section(section, "")[2]

    def moment(self, section: float, *, place: str = "") -> Cubic:
        """Bending moment at a section for a unit load. [N mm / N]"""
        span, t, length = self._section(section, place)
        ends = self._ends(1.0 - t / length, t / length, span)
        return self._split(ends, span, t, [0.0, 1.0 - t / length], [t * (1.0 - t / length), -t / length])

    def shear(self, section: float, *, place: str = "") -> Cubic:
        """Shear force at a section for a unit load: reactions left of it less the loads left of it. [N / N]

        At an inner support it is that of the span to the right.
        """
        span, t, length = self._section(section, place)
        ends = self._ends(-1.0 / length, 1.0 / length, span)
        return self._split(ends, span, t, [0.0, -1.0 / length], [1.0 - t / length, -1.0 / length])

    def reaction(self, support: int, *, place: str = "") -> Cubic:
        """Force on a support, counted from 1, for a unit load. [N / N]"""
        number = self._support(support, place)
        total = np.zeros((len(self.spans), 4))
        if number > 0:
            length = self.spans[number - 1]
            total += self._ends(1.0 / length, -1.0 / length, number - 1)
            total[number - 1, 1] += 1.0 / length
        if number < len(self.spans):
            length = self.spans[number]
            total += self._ends(-1.0 / length, 1.0 / length, number)
            total[number, :2] += 1.0, -1.0 / length
        return Cubic(self.supports, total)

    def rotation(self, support: int, side: str = "", *, place: str = "") -> Cubic:
        """Slope of the girder at a support, counted from 1, for a unit load. [rad / N]

        Parameters
        ----------
        side : str
            "left" or "right" of the support: the girder that ends or begins there. An end support has one side, and
            so has each support of a continuous girder; it may be left out there.
        """
        number = self._support(support, place)
        if self.stiffness is None:
            raise InputError(f"rotation at a support needs the stiffness of the girder, E and I{where(place)}")
        left = number == len(self.spans) or (side == "left" and number > 0)
        span = number - 1 if left else number
        length, stiffness = self.spans[span], self.stiffness[span]
        if left:
            total = -self._ends(length / 6.0, length / 3.0, span)
            total[span] -= np.array([0.0, length**2, 0.0, -1.0]) / (6.0 * length)
        else:
            total = self._ends(length / 3.0, length / 6.0, span)
            total[span] += np.array([0.0, 2.0 * length**2, -3.0 * length, 1.0]) / (6.0 * length)
        return Cubic(self.supports, total / stiffness)

    def under_wheel(self, section: float, width: float, *, place: str = "") -> Cubic:
        """What a section feels of a unit load near by: 1 above it, falling to 0 at half of `width` aside. [N / N]"""
        self._section(section, place)
        half = width / 2.0
        breaks = np.array([section - half, section, section + half])
        return Cubic(breaks, np.array([[0.0, 1.0 / half, 0.0, 0.0], [1.0, -1.0 / half, 0.0, 0.0]]))

    def _section(self, section: float, place: str) -> tuple[int, float, float]:
        """Number of the span that holds a section, its distance from the span's start, and the span's length."""
        if not 0.0 <= require_finite(section, "section", place=place) <= self.length:
            reach = f"from 0 to {self.length / 1e3:g} m"
            raise InputError(f"section must lie on the girder, {reach}, got {section / 1e3:g} m{where(place)}")
        span = min(int(np.searchsorted(self.supports, section, side="right")) - 1, len(self.spans) - 1)
        return span, float(section - self.supports[span]), self.spans[span]

    def _support(self, support: int, place: str) -> int:
        if not 1 <= support <= len(self.spans) + 1:
            raise InputError(
                f"support must be one of 1 to {len(self.spans) + 1}, counted along the girder, got {support}"
                f"{where(place)}"
            )
        return support - 1

    @cached_property
    def _support_moments(self) -> NDArray[np.float64]:
        """Moment at each support over the place of a unit load in each span, shape (supports, spans, 4)."""
        n = len(self.spans)
        found = np.zeros((n + 1, n, 4))
        if self.system == "simple spans" or n == 1:
            return found
        lengths = np.array(self.spans)
        soft = lengths / np.array(self.stiffness or np.ones(n))
        matrix = np.diag(2.0 * (soft[:-1] + soft[1:])) + np.diag(soft[1:-1], 1) + np.diag(soft[1:-1], -1)
        loads = np.zeros((n - 1, n, 4))
        for span, length in enumerate(lengths):
            share = soft[span] / length**2
            if span > 0:
                loads[span - 1, span] = -share * np.array([0.0, 2.0 * length**2, -3.0 * length, 1.0])
            if span < n - 1:
                loads[span, span] = -share * np.array([0.0, length**2, 0.0, -1.0])
        found[1:n] = np.linalg.solve(matrix, loads.reshape(n - 1, -1)).reshape(n - 1, n, 4)
        return found

    def _ends(self, left: float, right: float, span: int) -> NDArray[np.float64]:
        """Share of the support moments at both ends of a span, shape (spans, 4)."""
        return left * self._support_moments[span] + right * self._support_moments[span + 1]

    def _split(self, ends, span: int, t: float, before: list[float], behind: list[float]) -> Cubic:
        """The line with its own span cut at the section, and the two straight parts of a simple beam added.

        `before` and `behind` hold value and slope at the start of the span and just behind the section.
        """
        c0, c1, c2, c3 = ends[span]
        first = np.array([c0 + before[0], c1 + before[1], c2, c3])
        at_section = c0 + t * (c1 + t * (c2 + t * c3))
        slope = c1 + t * (2.0 * c2 + 3.0 * t * c3)
        second = np.array([at_section + behind[0], slope + behind[1], c2 + 3.0 * t * c3, c3])
        pieces = [first] * (t > 0.0) + [second] * (t < self.spans[span])
        inside = 0.0 < t < self.spans[span]
        breaks = np.insert(self.supports, span + 1, self.supports[span] + t) if inside else self.supports
        return Cubic(breaks, np.array([*ends[:span], *pieces, *ends[span + 1 :]]))


def girder(
    spans: Sequence[float],
    *,
    system: str,
    modulus: float | None = None,
    second_moments: Sequence[float] | None = None,
    place: str = "",
) -> Girder:
    """A girder whose data were checked.

    Parameters
    ----------
    spans : sequence of float
        [mm]
    system : str
        One of SYSTEMS.
    modulus : float, optional
        Modulus of elasticity. [MPa]
    second_moments : sequence of float, optional
        Of the girder's section, one for all spans or one for each. [mm4]

    Raises
    ------
    InputError
        With every datum that cannot be used.

    Examples
    --------
    >>> beam = girder([6000.0, 6000.0], system="continuous")
    >>> round(float(beam.moment(6000.0).after(3000.0)), 3)
    -562.5
    """
    problems = []

    def keep(check, *given, **named):
        try:
            check(*given, **named, place=place)
        except InputError as refusal:
            problems.extend(refusal.problems)

    if not len(spans):
        problems.append(f"a girder needs at least one span{where(place)}")
    for number, span in enumerate(spans, start=1):
        keep(require_positive, span, f"span {number}", unit="mm")
    keep(require_one_of, system, SYSTEMS, "system")
    moduli = [] if second_moments is None else list(second_moments)
    if (modulus is None) != (second_moments is None):
        problems.append(f"modulus and second_moment go together; give both or none{where(place)}")
    if modulus is not None:
        keep(require_positive, modulus, "modulus", unit="MPa")
    for value in moduli:
        keep(require_positive, value, "second_moment", unit="mm4")
    if len(moduli) not in (0, 1, len(spans)):
        problems.append(
            f"second_moment must be one for all or one for each of {len(spans)} spans, got {len(moduli)}{where(place)}"
        )
    if problems:
        raise InputError(*problems)
    moduli = moduli * len(spans) if len(moduli) == 1 else moduli
    stiffness = tuple(modulus * value for value in moduli) if moduli else None
    return Girder(tuple(float(span) for span in spans), system, stiffness)
