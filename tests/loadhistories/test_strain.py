import pytest

from loadhistories import InputError
from loadhistories.strain import strain_force, strain_moment, stress_per_strain


def test_stress_of_a_strain_by_hand():
    # 210 GPa times 100 um/m is 21 MPa; set to 2.0 where the gauge has 2.1, the amplifier shows 1.05 of the strain.
    assert 100e-6 * stress_per_strain(210e3, gauge_factor=2.0, set_to=2.0) == pytest.approx(21.0)
    assert 105e-6 * stress_per_strain(210e3, gauge_factor=2.1, set_to=2.0) == pytest.approx(21.0)
    assert 400e-6 * stress_per_strain(210e3, gauge_factor=2.0, set_to=2.0, bridge=4.0) == pytest.approx(21.0)


def test_force_and_moment_of_a_strain_by_hand():
    gauge = {"gauge_factor": 2.0, "set_to": 2.0, "bridge": 1.0}
    assert 100e-6 * strain_force(210e3, **gauge, area=12_000.0).factor == pytest.approx(252_000.0)
    assert 100e-6 * strain_moment(210e3, **gauge, section_modulus=48_000.0).factor == pytest.approx(1_008_000.0)


@pytest.mark.parametrize("name", ["gauge_factor", "set_to", "bridge"])
def test_factors_that_cannot_be_are_refused(name):
    facts = {"gauge_factor": 2.0, "set_to": 2.0, "bridge": 1.0, name: 0.0}
    with pytest.raises(InputError, match=f"{name} must be above 0, got 0"):
        stress_per_strain(210e3, **facts)
