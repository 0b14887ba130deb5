"""Loads and lengths of absurd size: the answer is right or refused, never no number and never `holds` without one."""

import json
import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cli.assess import assess_job
from cli.job import read_job
from loadhistories.validation import InputError

JOB = """
title = "Bracket under loads of any size"
standard = "{standard}"
design_life = "20 year"
{basis}

[[load]]
name = "work"
history = "record.csv"
occurs = "{occurs}"
[load.components]
Fx = {{ column = "Sway" }}
Fy = {{ column = "Vertical" }}
Fz = {{ column = "Pull" }}
Mz = {{ column = "Vertical", factor = "{lever:r} mm" }}
Mx = {{ column = "Vertical", factor = "{tilt:r} mm" }}

[[joint]]
name = "bracket"
slip = "allowed"
because = "nothing is aligned"
permanent = {{ Fy = "{permanent:r} kN" }}

[joint.bolts]
size = "M20"
grade = "{grade}"
preload = "full"
rows = 3
columns = 2
pitch = "{pitch:r} mm"
gauge = "{gauge:r} mm"
holes = "normal"
surface = "{surface}"

[[joint.plates]]
name = "plate"
thickness = "{thickness:r} mm"
steel = {{ name = "stated", yield_strength = "300 MPa", ultimate_strength = "430 MPa" }}
end_distance = "{end:r} mm"
edge_distance = "{edge:r} mm"

[joint.alignment]
point = ["0 mm", "{point:r} mm"]
tolerance = "1 mm"

[[joint.detail]]
name = "toe"
category = {{ strength = "71 MPa", stress = "normal" }}
stress = {{ Fy = "2 MPa/kN", Fx = "1 MPa/kN" }}
"""
BASES = {
    "EN 1993": ('fatigue = { concept = "safe life", consequence = "high" }', "10.9", "B"),
    "AS 4100": ('fatigue = { load_path = "not redundant", inspection = "regular", loading = "not highly irregular" }',
                "8.8", "clean as-rolled"),
    "AISC 360-22": ('fatigue = { equations = "US" }', "A325", "A"),
}
SHEAR, PULL = "bolt-shear", "bolt-tension"
RECORD = ((0, 0, 0), (-60, 8, 20), (-10, -5, 3), (-45, 3, 15), (20, 6, -4), (-30, 0, 8))
LENGTHS = {"lever": 200.0, "tilt": -40.0, "pitch": 80.0, "gauge": 120.0, "end": 50.0, "edge": 45.0, "point": 400.0,
           "thickness": 15.0}
STATES = {"holds", "fails", "not judged"}


def assessed(folder, standard, load=1.0, length=1.0, occurs="100000", permanent=-10.0):
    """The contract of the job with loads and lengths scaled, None where it is refused."""
    basis, grade, surface = BASES[standard]
    words = JOB
    for name in (*LENGTHS, "permanent"):
        words = words.replace(f"{{{name}:r}}", f"{{{name}!r}}")
    text = words.format(
        standard=standard, basis=basis, grade=grade, surface=surface, occurs=occurs, permanent=permanent * load,
        **{key: value * length for key, value in LENGTHS.items()},
    )
    rows = "".join(f"{0.5 * i},{','.join(repr(float(v) * load) for v in row)}\n" for i, row in enumerate(RECORD))
    (folder / "record.csv").write_text("Time [s],Vertical [kN],Sway [kN],Pull [kN]\n" + rows, encoding="utf-8")
    (folder / "job.toml").write_text(text, encoding="utf-8")
    try:
        return assess_job(read_job(folder / "job.toml"))
    except InputError:
        return None


def require_sound(contract):
    """No number that is none; every state known; what holds has its number."""
    json.dumps(contract, allow_nan=False)
    for joint in contract["joints"]:
        assert joint["state"] in STATES
        checks = [*joint["checks"], *(check for detail in joint["details"] for check in detail["checks"])]
        for check in checks:
            assert check["state"] in STATES
            if check["state"] == "holds":
                assert check["utilisation"] is not None and check["utilisation"] <= 1.0
                assert check["demand"] is not None and check["resistance"] > 0.0
        for detail in joint["details"]:
            if detail["state"] == "holds":
                assert detail["damage"] is not None and detail["damage"] <= 1.0
        if joint["state"] == "holds":
            assert {item["state"] for item in [*checks, *joint["details"]]} == {"holds"}


def checks_of(contract):
    return {check["id"]: check for check in contract["joints"][0]["checks"]}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("extreme")


@pytest.fixture(scope="module")
def usual(folder):
    return {standard: assessed(folder, standard) for standard in BASES}


@settings(max_examples=14)
@example(standard="EN 1993", power=-12.0)
@example(standard="EN 1993", power=12.0)
@example(standard="AS 4100", power=12.0)
@example(standard="AISC 360-22", power=-12.0)
@given(standard=st.sampled_from(sorted(BASES)), power=st.floats(-12.0, 12.0))
def test_loads_of_any_size_scale_forces_and_ranges_or_are_refused(folder, usual, standard, power):
    size = 10.0**power
    contract = assessed(folder, standard, load=size)
    assert usual[standard] is not None
    if contract is None:
        return
    require_sound(contract)
    now, before = checks_of(contract), checks_of(usual[standard])
    for name in (SHEAR, PULL):
        assert now[name]["demand"] == pytest.approx(size * before[name]["demand"], rel=1e-9)
        assert now[name]["resistance"] == pytest.approx(before[name]["resistance"], rel=1e-12)
    detail, other = contract["joints"][0]["details"][0], usual[standard]["joints"][0]["details"][0]
    if detail["damage"] is not None:
        assert detail["largest_range_MPa"] == pytest.approx(size * other["largest_range_MPa"], rel=1e-9)
        assert (detail["damage"] >= other["damage"]) == (size >= 1.0) or detail["damage"] == other["damage"] == 0.0


@settings(max_examples=14)
@example(standard="EN 1993", power=-6.0)
@example(standard="EN 1993", power=6.0)
@example(standard="AS 4100", power=-9.0)
@example(standard="AISC 360-22", power=9.0)
@given(standard=st.sampled_from(sorted(BASES)), power=st.floats(-9.0, 9.0))
def test_lengths_of_any_size_leave_the_bolt_forces_or_are_refused(folder, usual, standard, power):
    """Levers and spacings grow alike, so that the elastic method gives every bolt the same force."""
    contract = assessed(folder, standard, length=10.0**power)
    if contract is None:
        return
    require_sound(contract)
    now, before = checks_of(contract), checks_of(usual[standard])
    for name in (SHEAR, PULL):
        assert now[name]["demand"] == pytest.approx(before[name]["demand"], rel=1e-9)


@settings(max_examples=10)
@given(standard=st.sampled_from(sorted(BASES)), load=st.floats(-12.0, 12.0), length=st.floats(-9.0, 9.0),
       times=st.floats(0.0, 15.0))
def test_loads_lengths_and_repeats_of_any_size_together_are_judged_soundly_or_refused(
    folder, standard, load, length, times
):
    contract = assessed(folder, standard, load=10.0**load, length=10.0**length, occurs=f"{10.0**times:.6g}")
    if contract is not None:
        require_sound(contract)


def test_the_usual_size_is_judged_in_every_standard(usual):
    for standard, contract in usual.items():
        assert contract is not None, standard
        require_sound(contract)
        assert math.isfinite(contract["joints"][0]["details"][0]["damage"])
