"""Unbalance: mass times eccentricity that turns in a machine, by mass, by force at a speed or by balance grade.

Reciprocating masses of a crank drive stand here too: they are unbalances of the first and the second order.
"""

import math
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import row_of
from loadhistories.validation import InputError, require_positive, where

GRADE_CLAUSE = "ISO 21940-11:2016, Table 1, from memory"
CRANK_SOURCE = "crank drive, series up to the second order"
CENTRIFUGAL = "centrifugal force"

# Shortest rod, in crank radii, for which the series may end with the second order; the fourth is then 1 % of the first.
SHORTEST_ROD = 3.0

_SPEED = Annotated[float, Figure("Omega", "rad/s", title="angular speed")]


@dataclass(frozen=True)
class MassUnbalance:
    """An unbalance by its mass and eccentricity."""

    title: str
    mass: Annotated[float, Figure("m_u", "kg", title="unbalanced mass")]
    eccentricity: Annotated[float, Figure("e_u", "mm", title="eccentricity")]
    unbalance: Annotated[float, Figure("U", "kg mm", "m_u * e_u", title="unbalance")]
    speed: _SPEED
    force: Annotated[float, Figure("F_U", "N", "U * Omega**2 / 1000", CENTRIFUGAL, "force when running")]


@dataclass(frozen=True)
class ForceUnbalance:
    """An unbalance by the force that it makes at a stated speed."""

    title: str
    stated_force: Annotated[float, Figure("F_s", "N", title="force stated")]
    stated_speed: Annotated[float, Figure("Omega_s", "rad/s", title="angular speed at which it is stated")]
    unbalance: Annotated[float, Figure("U", "kg mm", "1000 * F_s / Omega_s**2", CENTRIFUGAL, "unbalance")]
    speed: _SPEED
    force: Annotated[float, Figure("F_U", "N", "U * Omega**2 / 1000", CENTRIFUGAL, "force when running")]


@dataclass(frozen=True)
class GradeUnbalance:
    """The unbalance that balancing to a grade leaves in a rotor, times a factor for what comes after."""

    title: str
    grade: Annotated[float, Figure("G", "mm/s", clause=GRADE_CLAUSE, title="balance quality grade, e times Omega")]
    speed: _SPEED
    eccentricity: Annotated[float, Figure("e_per", "mm", "G / Omega", "ISO 21940-11:2016, from memory", "eccentricity")]
    rotor_mass: Annotated[float, Figure("m", "kg", title="mass of the rotor")]
    factor: Annotated[float, Figure("k_w", "", title="factor for wear and build-up since balancing")]
    unbalance: Annotated[float, Figure("U", "kg mm", "k_w * m * e_per", title="unbalance")]
    force: Annotated[float, Figure("F_U", "N", "U * Omega**2 / 1000", CENTRIFUGAL, "force when running")]


@dataclass(frozen=True)
class CrankForces:
    """Free forces of the masses that go to and fro with a crank drive."""

    title: str
    mass: Annotated[float, Figure("m_r", "kg", title="mass going to and fro")]
    radius: Annotated[float, Figure("r_c", "mm", title="crank radius")]
    rod: Annotated[float, Figure("l_r", "mm", title="length of the connecting rod")]
    ratio: Annotated[float, Figure("lambda_c", "", "r_c / l_r", title="crank ratio")]
    speed: _SPEED
    primary: Annotated[float, Figure("F_1", "N", "m_r * r_c * Omega**2 / 1000", CRANK_SOURCE, "first order")]
    secondary: Annotated[float, Figure("F_2", "N", "lambda_c * F_1", CRANK_SOURCE, "second order")]

    @property
    def unbalance(self) -> float:
        """Of the first order; that of the second is `ratio` times as large. [kg mm]"""
        return self.mass * self.radius


UnbalanceResult = MassUnbalance | ForceUnbalance | GradeUnbalance


def mass_unbalance(mass: float, eccentricity: float, speed: float, *, title: str = "unbalance") -> MassUnbalance:
    """An unbalance by mass [kg] and eccentricity [mm], at an angular speed [rad/s].

    Examples
    --------
    >>> mass_unbalance(2.0, 50.0, 100.0).force
    1000.0
    """
    require_positive(mass, "unbalanced mass", unit="kg")
    require_positive(eccentricity, "eccentricity", unit="mm")
    _require_turning(speed)
    product = mass * eccentricity
    return MassUnbalance(title, mass, eccentricity, product, speed, product * speed**2 / 1000.0)


def force_unbalance(
    force: float, at_speed: float, speed: float, *, title: str = "unbalance"
) -> ForceUnbalance:
    """An unbalance by the force [N] that it makes at one angular speed [rad/s], running at another.

    Examples
    --------
    >>> force_unbalance(1000.0, 100.0, 200.0).force
    4000.0
    """
    require_positive(force, "force of the unbalance", unit="N")
    _require_turning(at_speed)
    _require_turning(speed)
    product = 1000.0 * force / at_speed**2
    return ForceUnbalance(title, force, at_speed, product, speed, product * speed**2 / 1000.0)


def grade_unbalance(
    grade: str, rotor_mass: float, speed: float, *, factor: float = 1.0, title: str = "unbalance", place: str = ""
) -> GradeUnbalance:
    """The unbalance that a balance grade leaves in a rotor at its running speed.

    Parameters
    ----------
    grade : str
        A row of balance_grades.toml, as in "G 6.3".
    rotor_mass : float
        [kg]
    speed : float
        Running speed. [rad/s]
    factor : float
        On the unbalance, for wear and build-up since it was balanced. [-]

    Source
    ------
    ISO 21940-11:2016, from memory.

    Examples
    --------
    >>> round(grade_unbalance("G 6.3", 1000.0, 100.0).force, 6)
    630.0
    """
    row = row_of("loadhistories", "balance_grades", " ".join(str(grade).split()), "balance grade", place=place)
    require_positive(rotor_mass, "mass of the rotor", unit="kg", place=place)
    require_positive(factor, "factor on the unbalance", place=place)
    _require_turning(speed)
    remaining = float(row["speed_mm_per_s"])
    eccentricity = remaining / speed
    product = factor * rotor_mass * eccentricity
    return GradeUnbalance(
        title, remaining, speed, eccentricity, rotor_mass, factor, product, product * speed**2 / 1000.0
    )


def crank_forces(
    mass: float, radius: float, rod: float, speed: float, *, title: str = "crank drive", place: str = ""
) -> CrankForces:
    """Free forces of the first and second order of one crank drive.

    Parameters
    ----------
    mass : float
        Going to and fro: piston, crosshead and the upper part of the rod. [kg]
    radius, rod : float
        Crank radius and length of the connecting rod. [mm]
    speed : float
        [rad/s]

    Limits
    ------
    Gas forces are not in it: they act between cylinder and bearing and leave the machine only as the torque's
    reaction. Counterweights are a rotating unbalance of their own.

    Examples
    --------
    >>> forces = crank_forces(100.0, 200.0, 800.0, 50.0)
    >>> forces.primary, forces.secondary
    (50000.0, 12500.0)
    """
    require_positive(mass, "mass going to and fro", unit="kg", place=place)
    require_positive(radius, "crank radius", unit="mm", place=place)
    require_positive(rod, "length of the connecting rod", unit="mm", place=place)
    _require_turning(speed)
    if rod < SHORTEST_ROD * radius:
        raise InputError(
            f"length of the connecting rod must be at least {SHORTEST_ROD:g} times the crank radius for the orders "
            f"one and two to be enough, got {rod:g} mm and {radius:g} mm{where(place)}"
        )
    first = mass * radius * speed**2 / 1000.0
    return CrankForces(title, mass, radius, rod, radius / rod, speed, first, radius / rod * first)


def angular_speed(turns: float) -> float:
    """Angular speed [rad/s] of so many turns a second."""
    return 2.0 * math.pi * turns


def _require_turning(speed: float) -> None:
    require_positive(speed, "angular speed", unit="rad/s")
