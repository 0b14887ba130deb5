"""The job crane_bracket.toml, all numbers worked by hand.

Hook 2 m from the rail of a bridge of 20 m: 0.9 of crab and load on this rail; phi_fat = 1.05 and 1.1.
  full, out:   1.05 (60 + 18) + 1.1 x 90 = 180.9 kN on two wheels, 90.45 kN each
  half, out:   hook in the middle: 1.05 (60 + 10) + 1.1 x 25 = 101 kN, 50.5 kN each
  back, empty: hook in the middle: 1.05 x 70 = 73.5 kN, 36.75 kN each
Bracket 2 between two simple spans of 6 m, wheels 3 m apart: influence 1.5 as long as the bracket lies between the
wheels, 0.5 at both ends of the way. The bracket feels two cycles a working cycle: from 0.5 x 36.75 = 18.375 kN
  full: to 1.5 x 90.45 = 135.675 kN, a range of 117.3 kN; and to 1.5 x 36.75 = 55.125 kN, a range of 36.75 kN
  half: to 1.5 x 50.5 = 75.75 kN, a range of 57.375 kN; and 36.75 kN.
20 and 40 lifts a day in 20 years of 365.25 days: 146 100 and 292 200 lifts.
"""

from pathlib import Path

import pytest

from cli.assess import assess_file
from cli.note import note_html
from cli.screen import summary

JOB = Path(__file__).parent / "jobs" / "crane_bracket.toml"


@pytest.fixture(scope="module")
def contract():
    return assess_file(JOB)


def figures(load, title):
    group = next(group for group in load["made"]["groups"] if group["title"] == title)
    return {item["symbol"]: item["value"] for item in group["figures"]}


def test_wheel_loads_out_and_back(contract):
    full, half = contract["loads"]
    out, back = "wheel loads of the crane on the way out", "wheel loads of the crane on the way back"
    assert figures(full, out)["Q_W"] == pytest.approx(90_450)
    assert figures(half, out)["Q_W"] == pytest.approx(50_500)
    assert figures(full, back)["Q_W"] == figures(half, back)["Q_W"] == pytest.approx(36_750)


def test_the_bracket_feels_half_to_one_and_a_half_wheel_loads(contract):
    full, half = contract["loads"]
    assert (full["extremes"]["Fy"]["low"], full["extremes"]["Fy"]["high"]) == pytest.approx((-135.675, -18.375))
    assert (half["extremes"]["Fy"]["low"], half["extremes"]["Fy"]["high"]) == pytest.approx((-75.75, -18.375))
    assert full["extremes"]["Mx"]["high"] == pytest.approx(135.675 * 0.25)


def test_the_ledger_goes_from_lifts_to_wheel_passages_to_cycles(contract):
    """Between 1.5 and 10.5 m the first wheel rolls over the section at 3 m, the second starts on it."""
    full = {item["symbol"]: item["value"] for item in contract["loads"][0]["figures"]}
    assert (full["N_L"], full["n_C"], full["N_P"], full["N_W"]) == pytest.approx((146_100, 146_100, 292_200, 292_200))
    assert contract["loads"][0]["made"]["cycles"] == [
        {"joint": "bracket plate", "detail": "bracket root", "cycles": pytest.approx(292_200)}
    ]
    lines = " ".join(summary(contract, colour=False).split())
    assert (
        "crane: 438300 lifts in the design life, 876600 passages and 876600 wheel passages of the section at 3 m; "
        "876600 cycles counted at bracket root"
    ) in lines


def test_damage_of_the_bracket(contract):
    """0.4 MPa/kN: 46.92, 22.95 and 14.7 MPa. Category 71 / 1.15 = 61.739: knee 0.737 x 61.739 = 45.49 MPa, cut-off
    0.549 x 45.49 = 24.98 MPa; 2e6 (61.739 / 46.92)^3 = 4.5565e6 cycles; 146 100 / 4.5565e6 = 0.03206."""
    (detail,) = contract["joints"][0]["details"]
    assert detail["largest_range_MPa"] == pytest.approx(46.92)
    assert detail["damage"] == pytest.approx(0.03206, abs=1e-5)
    assert [part["damage"] > 0.0 for part in detail["by_load"]] == [True, False]


def test_grip_at_ultimate_level_takes_the_largest_reaction(contract):
    """Fy = 1.35 x 10 + 1.5 x 135.675 = 217.0 kN on 8 bolts: 27.13 kN each."""
    check = next(item for item in contract["joints"][0]["checks"] if item["id"] == "slip-ultimate")
    assert check["demand"] == pytest.approx((1.35 * 10 + 1.5 * 135.675) * 1e3 / 8, abs=1)


def test_inputs_and_assumptions_say_how_the_history_was_made(contract):
    made = [item for item in contract["inputs"] if item["what"] == "made history"]
    assert [item["load"] for item in made] == ["crane: full", "crane: half"]
    assert "100 kN lifted 2 m from this rail, carried from 1.5 m to 10.5 m, back empty" in made[0]["path"]
    assert len({item["sha256"] for item in made}) == 2
    assert "crane: forces along the rail (braking, buffers) are not included" in contract["assumptions"]
    note = note_html(contract)
    assert "wheel loads of the crane on the way out" in note
    assert "Cycles counted in the design life under this load" in note


def test_the_same_job_gives_the_same_hash(contract):
    again = assess_file(JOB)
    assert [item["sha256"] for item in again["inputs"]] == [item["sha256"] for item in contract["inputs"]]
