"""Strain of a gauge as force or moment: stress by the modulus, times an area or a section modulus.

What an amplifier shows is the true strain times the gauge factor over the one it was set to, times the number of
arms of the bridge that work, unless the logger took that into account.
"""

from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.validation import require_positive

BRIDGES = {
    "quarter": 1.0,
    "half, bending": 2.0,
    "full, bending": 4.0,
}
SOURCE = "Hooke's law; strain gauge practice, no source"

_MODULUS = Annotated[float, Figure("E", "MPa", title="modulus of elasticity, given by the user")]
_GAUGE = Annotated[float, Figure("k", title="gauge factor of the strain gauge")]
_SET = Annotated[float, Figure("k_set", title="gauge factor that the amplifier was set to")]
_ARMS = Annotated[float, Figure("n_B", title="bridge factor: strain shown over strain of one gauge")]
_STRESS = Annotated[
    float, Figure("sigma_1", "MPa", "E * k_set / (k * n_B)", SOURCE, "stress for a strain of 1 as recorded")
]


@dataclass(frozen=True)
class StrainForce:
    """Force for a recorded strain of 1."""

    modulus: _MODULUS
    gauge_factor: _GAUGE
    set_to: _SET
    bridge: _ARMS
    stress: _STRESS
    area: Annotated[float, Figure("A", "mm2", title="area that the stress acts on")]
    factor: Annotated[float, Figure("F_1", "N", "sigma_1 * A", SOURCE, "force for a strain of 1 as recorded")]


@dataclass(frozen=True)
class StrainMoment:
    """Moment for a recorded strain of 1."""

    modulus: _MODULUS
    gauge_factor: _GAUGE
    set_to: _SET
    bridge: _ARMS
    stress: _STRESS
    section_modulus: Annotated[float, Figure("W", "mm3", title="section modulus at the gauge")]
    factor: Annotated[float, Figure("M_1", "N mm", "sigma_1 * W", SOURCE, "moment for a strain of 1 as recorded")]


def stress_per_strain(modulus: float, *, gauge_factor: float, set_to: float, bridge: float = 1.0) -> float:
    """Stress for a recorded strain of 1. [MPa]

    Examples
    --------
    >>> stress_per_strain(210_000.0, gauge_factor=2.1, set_to=2.0)
    200000.0
    """
    given = {"E": modulus, "gauge_factor": gauge_factor, "set_to": set_to, "bridge": bridge}
    for name, value in given.items():
        require_positive(value, name, unit="MPa" if name == "E" else "")
    return modulus * set_to / (gauge_factor * bridge)


def strain_force(modulus: float, *, gauge_factor: float, set_to: float, bridge: float, area: float) -> StrainForce:
    """Force that a uniform strain makes over an area. [N for a strain of 1]"""
    stress = stress_per_strain(modulus, gauge_factor=gauge_factor, set_to=set_to, bridge=bridge)
    return StrainForce(modulus, gauge_factor, set_to, bridge, stress, area, stress * area)


def strain_moment(
    modulus: float, *, gauge_factor: float, set_to: float, bridge: float, section_modulus: float
) -> StrainMoment:
    """Moment that makes a strain at the outer fibre. [N mm for a strain of 1]"""
    stress = stress_per_strain(modulus, gauge_factor=gauge_factor, set_to=set_to, bridge=bridge)
    return StrainMoment(modulus, gauge_factor, set_to, bridge, stress, section_modulus, stress * section_modulus)
