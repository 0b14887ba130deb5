"""A column that holds a strain: as force or moment by what the user states, and refused without it."""

import numpy as np
import pytest

from cli.assess import assess_file
from cli.job import read_job
from loadhistories import InputError

JOB = """
title = "A strain gauge"
standard = "EN 1993"
design_life = "25 year"
[[load]]
name = "running"
history = "record.csv"
occurs = "40/day"
[load.components]
%s
[[joint]]
name = "bracket"
[[joint.detail]]
name = "weld toe"
category = { strength = "71 MPa", stress = "normal" }
stress = { Fy = "0.5 MPa/kN", Mz = "1 MPa/(kN m)" }
"""
GAUGE = 'strain = { E = "210 GPa", gauge_factor = 2.1, set_to = 2.0 }'
STRAINS = (0.0, 105.0, -52.5, 210.0)


@pytest.fixture
def read(tmp_path):
    """Reads a job whose only load has these components and a record of strains in this unit."""

    def from_components(components, unit="um/m", scale=1.0):
        rows = "\n".join(f"{0.01 * i:.2f},{value * scale}" for i, value in enumerate(STRAINS))
        (tmp_path / "record.csv").write_text(f"Time [s],SG 1 [{unit}]\n{rows}\n", encoding="utf-8")
        (tmp_path / "job.toml").write_text(JOB % components, encoding="utf-8")
        return read_job(tmp_path / "job.toml")

    return from_components


def component(job, row):
    return np.concatenate(list(job.loads[0].block.chunks()), axis=1)[row]


# By hand: 105 um/m shown is 100 um/m in the steel (2.0 / 2.1), 21 MPa; over 120 cm2 252 kN, with 48 cm3 1.008 kN m.
@pytest.mark.parametrize(("unit", "scale"), [("um/m", 1.0), ("um\\m", 1.0), ("µε", 1.0), ("mm/m", 1e-3), ("%", 1e-4)])
def test_a_strain_becomes_a_force_by_hand_whatever_its_unit(read, unit, scale):
    job = read(f'Fy = {{ column = "SG 1", {GAUGE}, factor = "120 cm2" }}', unit, scale)
    np.testing.assert_allclose(component(job, 1), [0.0, 252e3, -126e3, 504e3], rtol=1e-12)


def test_a_strain_becomes_a_moment_by_hand(read):
    job = read(f'Mz = {{ column = "SG 1", {GAUGE}, factor = "48 cm3", sign = "-" }}')
    np.testing.assert_allclose(component(job, 5), [0.0, -1.008e6, 0.504e6, -2.016e6], rtol=1e-12)


@pytest.mark.parametrize(("bridge", "share"), [('"quarter"', 1.0), ('"half, bending"', 0.5), ("4.0", 0.25)])
def test_a_bridge_of_several_arms_shows_more_strain_than_there_is(read, bridge, share):
    gauge = GAUGE.replace("2.0 }", f"2.0, bridge = {bridge} }}")
    job = read(f'Fy = {{ column = "SG 1", {gauge}, factor = "120 cm2" }}')
    assert component(job, 1)[1] == pytest.approx(252e3 * share)


def test_the_working_of_the_gauge_stands_in_the_contract(read, tmp_path):
    read(f'Fy = {{ column = "SG 1", {GAUGE}, factor = "120 cm2" }}')
    (load,) = assess_file(tmp_path / "job.toml")["loads"]
    figures = {figure["symbol"]: figure["value"] for figure in load["figures"]}
    assert (figures["E"], figures["k"], figures["k_set"], figures["A"]) == (210e3, 2.1, 2.0, 12e3)
    assert figures["sigma_1"] == pytest.approx(200e3)
    assert load["columns"][0]["factor"] == "120 cm2 with E = 210 GPa, gauge factor 2.1 set to 2"


@pytest.mark.parametrize(
    ("column", "wording"),
    [
        ('column = "SG 1"', r"column 'SG 1' is a plain number and Fy is a force: .* of a gauge strain ="),
        (f'column = "SG 1", {GAUGE}', r"factor is missing; give it as in factor = \"120 cm2\", the area"),
        (f'column = "SG 1", {GAUGE}, factor = "48 cm3"', r"factor must be an area such as"),
        (f'column = "SG 1", {GAUGE}, factor = "0 cm2"', r"factor must be above 0 mm2"),
        ('column = "SG 1", strain = { gauge_factor = 2.1, set_to = 2.0 }, factor = "1 cm2"', r"E is missing"),
        ('column = "SG 1", strain = { E = "210 GPa", set_to = 2.0 }, factor = "1 cm2"', r"gauge_factor is missing"),
        ('column = "SG 1", strain = { E = "210 GPa", gauge_factor = 2.0 }, factor = "1 cm2"', r"set_to is missing"),
        ('column = "SG 1", strain = { E = 210, gauge_factor = 2, set_to = 2 }, factor = "1 m2"', r"E must be a"),
        (f'column = "SG 1", {GAUGE[:-2]}, bridge = "full" }}, factor = "1 cm2"', r"bridge 'full' is unknown; "),
    ],
)
def test_a_strain_without_what_it_needs_is_refused(read, column, wording):
    with pytest.raises(InputError, match=wording):
        read(f"Fy = {{ {column} }}")


def test_a_force_is_no_strain(read):
    with pytest.raises(InputError, match=r"column 'SG 1' is a force with the factor"):
        read(f'Fy = {{ column = "SG 1", {GAUGE}, factor = "120 cm2" }}', "kN")
