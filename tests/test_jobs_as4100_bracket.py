"""The job as4100_bracket.toml through the command: bolts of friction type and one detail, all numbers worked by hand.

Bolts at x = -70 and 70, y = -90, 0 and 90 mm: I_p = 6 x 70^2 + 4 x 90^2 = 61 800 mm2. Largest load at 0.5 s: -40 kN
along y and -12 kN m, 30 kN across the plane; -12 kN along y is permanent. M24 8.8: A_c 324, A_s 353 mm2, N_ti 210 kN.
"""

import json
import math
from pathlib import Path

import pytest
from click.testing import CliRunner

from cli.assess import assess_file
from cli.main import main
from cli.note import note_html

JOB = Path(__file__).parent / "jobs" / "as4100_bracket.toml"


@pytest.fixture(scope="module")
def contract():
    return assess_file(JOB)


@pytest.fixture(scope="module")
def joint(contract):
    return contract["joints"][0]


def check(joint, name):
    return next(item for item in joint["checks"] if item["id"] == name)


def corner_bolt(force, moment):
    """Shear of a bolt at x = 70, y = 90 from the centre of the group, along x, along y and together. [kN]"""
    x, y = moment * 90 / 61_800, force / 6 + moment * 70 / 61_800
    return x, y, math.hypot(x, y)


def test_the_job_runs_and_every_check_holds():
    done = CliRunner().invoke(main, ["assess", str(JOB)])
    assert done.exit_code == 0
    assert "AS 4100:2020, 9.2.3.1" in done.output and "Result: holds" in done.output


def test_the_contract_is_plain_json_and_names_both_editions(contract):
    assert json.loads(json.dumps(contract, allow_nan=False))["standard"] == {
        "name": "AS 4100",
        "editions": {"fatigue": "AS 4100:2020", "joints": "AS 4100:2020, AS/NZS 5131:2016"},
    }


def test_grip_in_service(joint):
    """V = 52 kN, M = 12 kN m: 28.30 kN; N = 5 kN: 0.7 x 0.35 x (210 - 5 / 0.7) = 49.70 kN are left."""
    found = check(joint, "slip-service")
    assert corner_bolt(52, 12_000)[2] == pytest.approx(28.2995, abs=1e-4)
    assert found["demand"] == pytest.approx(28_299.5, abs=0.1)
    assert found["resistance"] == pytest.approx(49_700.0)
    assert joint["slip"]["preload_at_slip_share"] == pytest.approx(28.2995 / 51.45 + 5 / 147, abs=1e-5)
    assert (joint["slip"]["level"], joint["slip"]["events"]) == ("service", 0)


def test_grip_at_ultimate_level_is_shown_for_information(joint):
    """V = 1.2 x 12 + 1.5 x 40 = 74.4 kN, M = 18 kN m: 41.98 kN of 0.245 x (210 - 7.5 / 0.7) = 48.825 kN."""
    level = joint["slip"]["levels"][1]
    assert (level["level"], level["required"]) == ("ultimate", False)
    assert level["utilisation"] == pytest.approx(41.9789 / 48.825, abs=1e-5)


def test_bolts_in_shear_and_tension(joint):
    """0.8 x 0.62 x 830 x 324 = 133.4 kN; 0.8 x 353 x 830 = 234.4 kN; 0.3147^2 + 0.0320^2 = 0.1001."""
    shear, tension, both = (check(joint, name) for name in ("bolt-shear", "bolt-tension", "bolt-shear-tension"))
    assert [shear["demand"], shear["resistance"]] == pytest.approx([41_978.9, 133_384.3], abs=0.1)
    assert [tension["demand"], tension["resistance"]] == pytest.approx([7_500.0, 234_392.0])
    assert both["utilisation"] == pytest.approx(0.10007, abs=1e-5)


def test_plate_in_bearing_and_tear_out(joint):
    """Along y a_e = 45 - 13 + 12 = 44 mm: 272.4 kN; along x 50 - 13 + 12 = 49 mm: 303.4 kN; whole force 475.5 kN."""
    x, y, both = corner_bolt(74.4, 18_000)
    expected = {"-y": (y, 0.9 * 44 * 16 * 430), "-x": (x, 0.9 * 49 * 16 * 430), "": (both, 0.9 * 3.2 * 24 * 16 * 430)}
    for key, (demand, resistance) in expected.items():
        found = check(joint, f"bearing-end plate{key}")
        assert found["demand"] == pytest.approx(1000 * demand)
        assert found["resistance"] == pytest.approx(resistance)


def test_distances_of_the_holes(joint):
    """Smallest end distance 1.75 x 24 = 42 mm of 45 mm governs."""
    found = check(joint, "distances-end plate")
    assert (found["demand"], found["resistance"]) == (42.0, 45.0)
    assert found["title"].endswith("smallest end distance of the holes")


def test_fatigue_of_the_detail(joint):
    """One range of 80 and one of 40 MPa, 60/day in 25 years: 547 875 each; design strength 0.7 x 80 = 56 MPa.

    80 MPa: 2e6 (56 / 80)^3 = 686 000 cycles; 40 MPa: below 56 (2 / 5)^(1/3) = 41.261 MPa, 5e6 (41.261 / 40)^5.
    """
    (found,) = joint["details"]
    knee = 56 * (2 / 5) ** (1 / 3)
    damage = 547_875 / 686_000 + 547_875 / (5e6 * (knee / 40) ** 5)
    assert found["damage"] == pytest.approx(damage)
    assert damage == pytest.approx(0.8925, abs=1e-4)
    assert found["life_years"] == pytest.approx(25 / damage)


def test_load_factors_that_are_not_given_are_told(joint):
    told = " ".join(joint["assumptions"])
    assert "factor 1.2 on permanent load" in told
    assert "factor 0.9 on favourable permanent load" in told
    assert "factor 1.5 on variable load" in told


def test_the_note_shows_the_working(contract):
    page = note_html(contract)
    assert "AS 4100:2020, 9.2.3.3" in page and "capacity of the ply" in page


def slipping(tmp_path):
    """The same joint with its load four times as large, never to slip."""
    text = JOB.read_text(encoding="utf-8").replace('slip      = "not in service"', 'slip      = "never"')
    rows = JOB.with_suffix(".csv").read_text(encoding="utf-8").splitlines()
    scaled = []
    for time, *values in (row.split(",") for row in rows[1:]):
        scaled.append(",".join([time, *(f"{4 * float(value):g}" for value in values)]))
    (tmp_path / "as4100_bracket.csv").write_text("\n".join([rows[0], *scaled]) + "\n", encoding="utf-8")
    (tmp_path / "job.toml").write_text(text, encoding="utf-8")
    return assess_file(tmp_path / "job.toml")["joints"][0]


def test_a_joint_that_slips_is_warned_of_by_clause_and_offered_other_ways(tmp_path):
    found = slipping(tmp_path)
    clauses = {item["code"]: item["clause"] for item in found["warnings"]}
    assert clauses["slips-in-service"] == "AS 4100:2020, 9.1.6 and 9.2.3.1"
    assert clauses["slips-at-ultimate"].startswith("demand of this job")
    assert {"slip-service", "slip-ultimate"} <= {item["id"] for item in found["checks"] if item["state"] == "fails"}
    weld = next(item for item in found["alternatives"] if item["kind"] == "fillet weld")
    assert "E48XX, quality SP" in weld["title"]
