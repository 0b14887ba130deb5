"""The job aisc_bracket.toml through the command: slip-critical inch bolts and one detail, all in kip, in and ksi.

Worked by hand. Bolts of 7/8 in A325 at x = -2.75 and 2.75 in, y = -3, 0 and 3 in: I_p = 6 x 2.75^2 + 4 x 3^2 = 81.375
in2. Largest load at 0.5 s: -8 kip along y and -96 kip in, 6 kip across the plane; -3 kip along y is permanent.
A_b = pi / 4 x 0.875^2 = 0.601320 in2, T_b = 39 kip, class A 0.30, D_u 1.13, standard holes of 15/16 in, phi 1.00.
"""

import json
import math
from pathlib import Path

import pytest
from click.testing import CliRunner

from cli.assess import assess_file
from cli.main import main
from cli.note import note_html

JOB = Path(__file__).parent / "jobs" / "aisc_bracket.toml"
KIP, INCH = 4448.2216152605, 25.4
AREA = math.pi / 4 * 0.875**2


@pytest.fixture(scope="module")
def contract():
    return assess_file(JOB)


@pytest.fixture(scope="module")
def joint(contract):
    return contract["joints"][0]


def check(joint, name):
    return next(item for item in joint["checks"] if item["id"] == name)


def corner_bolt(force, moment):
    """Shear of a bolt at x = 2.75, y = 3 in from the centre of the group, along x, along y and together. [kip]"""
    x, y = moment * 3 / 81.375, force / 6 + moment * 2.75 / 81.375
    return x, y, math.hypot(x, y)


FACTORED = corner_bolt(1.2 * 3 + 1.6 * 8, 1.6 * 96)


def changed(tmp_path, *replacements):
    """The assessment of the job with some of its text replaced."""
    text = JOB.read_text(encoding="utf-8")
    for old, new in replacements:
        assert text.count(old) == 1
        text = text.replace(old, new)
    (tmp_path / JOB.name).write_text(text, encoding="utf-8")
    (tmp_path / "aisc_bracket.csv").write_bytes(JOB.with_suffix(".csv").read_bytes())
    return assess_file(tmp_path / JOB.name)


def test_the_job_runs_and_every_check_holds():
    done = CliRunner().invoke(main, ["assess", str(JOB)])
    assert done.exit_code == 0, done.output
    assert "360-22, J3.9" in done.output and "Result: holds" in done.output


@pytest.mark.parametrize("edition", ["AISC 360-16", "AISC 360-22"])
def test_the_contract_is_plain_json_and_names_the_edition(tmp_path, edition):
    found = changed(tmp_path, ("AISC 360-22", edition))
    assert json.loads(json.dumps(found, allow_nan=False))["standard"] == {
        "name": edition,
        "editions": {"fatigue": f"ANSI/{edition}, Appendix 3", "joints": f"ANSI/{edition}, J2 and J3, LRFD"},
    }
    assert check(found["joints"][0], "slip-ultimate")["clause"] == "AISC 360-16, J3.8; 360-22, J3.9"


def test_grip_under_factored_loads(joint):
    """V = 1.2 x 3 + 1.6 x 8 = 16.4 kip, M = 153.6 kip in: 9.7395 kip; T_u = 1.6 x 6 / 6 = 1.6 kip.

    R_n = 0.30 x 1.13 x 1.0 x 39 x 1 = 13.221 kip; k_sc = 1 - 1.6 / (1.13 x 39) = 0.963694; 12.741 kip.
    """
    found = check(joint, "slip-ultimate")
    shown = {figure["symbol"]: figure["value"] for figure in found["figures"]}
    assert FACTORED[2] == pytest.approx(9.7395, abs=1e-4)
    assert found["demand"] / KIP == pytest.approx(9.7395, abs=1e-4)
    assert found["resistance"] / KIP == pytest.approx(12.741)
    assert found["title"] == "grip at ultimate level, slip-critical, under factored loads"
    assert (shown["k_sc"], shown["R_n"] / KIP) == pytest.approx((0.963694, 13.221), abs=1e-6)
    assert joint["slip"]["level"] == "ultimate"
    assert joint["slip"]["preload_at_slip_share"] == pytest.approx(9.7395 / 13.221 + 1.6 / (1.13 * 39), abs=1e-5)


def test_grip_under_unfactored_loads_is_shown_beside_it(joint):
    """V = 11 kip, M = 96 kip in: 6.1893 kip; T = 1 kip leaves 13.221 - 0.3 = 12.921 kip."""
    found = check(joint, "slip-service")
    assert corner_bolt(11, 96)[2] == pytest.approx(6.1893, abs=1e-4)
    assert (found["demand"] / KIP, found["resistance"] / KIP) == pytest.approx((6.1893, 12.921), abs=1e-4)
    assert found["clause"].startswith("unfactored loads, beside the clause")


def test_bolts_in_shear_and_tension(joint):
    """0.75 x 54 x 0.60132 = 24.3535 kip; 0.75 x 90 x 0.60132 = 40.5891 kip; V / 24.3535 = 0.39992.

    40.5891 x (1.3 - 0.39992) = 36.5335 kip are left for the tension: 1.6 / 36.5335 = 0.043795.
    """
    shear, tension, both = (check(joint, name) for name in ("bolt-shear", "bolt-tension", "bolt-shear-tension"))
    assert [shear["demand"] / KIP, shear["resistance"] / KIP] == pytest.approx([9.7395, 24.3535], abs=1e-4)
    assert [tension["demand"] / KIP, tension["resistance"] / KIP] == pytest.approx([1.6, 40.5891], abs=1e-4)
    assert both["utilisation"] == pytest.approx(0.043795, abs=1e-6)


def test_plate_in_bearing_and_tear_out(joint):
    """End 1.5 - 15/32 = 1.03125 in: 0.75 x 1.2 x 1.03125 x 0.5 x 65 = 30.1641 kip; edge 1.28125 in: 37.4766 kip.

    Whole force 0.75 x 2.4 x 0.875 x 0.5 x 65 = 51.1875 kip.
    """
    x, y, both = FACTORED
    for key, expected in {"-y": (y, 30.1641), "-x": (x, 37.4766), "": (both, 51.1875)}.items():
        found = check(joint, f"bearing-end plate{key}")
        assert (found["demand"] / KIP, found["resistance"] / KIP) == pytest.approx(expected, abs=1e-4)


def test_sections_of_the_plate(joint):
    """Gross 9 x 0.5 = 4.5 in2, W = 6.75 in3: 16.4 + 153.6 x 4.5 / 6.75 = 118.8 kip of 0.9 x 50 x 4.5 = 202.5 kip.

    Net of two holes of 15/16 + 1/16 = 1 in: 3.5 in2, I = 0.5 (9^3 - 2 - 24 x 2.75^2) / 12 = 22.72917 in4,
    W = 5.050926 in3: 16.4 + 153.6 x 3.5 / 5.050926 = 122.8359 kip of 0.75 x 65 x 3.5 = 170.625 kip.
    """
    for name, expected in {"gross": (118.8, 202.5), "net": (122.8359, 170.625)}.items():
        found = check(joint, f"{name}-section-end plate")
        assert (found["demand"] / KIP, found["resistance"] / KIP) == pytest.approx(expected, abs=1e-3)


def test_block_shear_of_the_plate(joint):
    """With the moment the tension is uneven, U_bs = 0.5; the block between one edge and all bolts is the weakest.

    A_nt = 0.5 (5.5 + 1.75 - 1.5 x 1) = 2.875 in2, A_nv = 0.5 (1.5 + 6 - 2.5 x 1) = 2.5 in2, A_gv = 3.75 in2:
    0.75 (min(0.6 x 65 x 2.5, 0.6 x 50 x 3.75) + 0.5 x 65 x 2.875) = 0.75 (97.5 + 93.4375) = 143.2031 kip.
    """
    found = check(joint, "block-end plate")
    assert (found["demand"] / KIP, found["resistance"] / KIP) == pytest.approx((16.4, 143.2031), abs=1e-3)


def test_distances_of_the_holes(joint):
    """2-2/3 x 0.875 = 2.3333 in of 3 in governs before 1.125 in of 1.5 in to the end."""
    found = check(joint, "distances-end plate")
    assert (found["demand"] / INCH, found["resistance"] / INCH) == pytest.approx((2.333333, 3.0))
    assert found["title"].endswith("smallest pitch distance of the holes")


def test_fatigue_of_the_detail(joint):
    """Ranges of 8 and 4 kip make 12 and 6 ksi, 60/day in 25 years: 547 875 each; category C, threshold 10 ksi.

    12 > 10: both do damage. N = 4.4 (1000 / 12)^3.003003 = 2.5803e6 and 4.4 (1000 / 6)^3.003003 = 2.0686e7.
    """
    (found,) = joint["details"]
    cycles = [4.4 * (1000 / ksi) ** (1 / 0.333) for ksi in (12, 6)]
    assert cycles == pytest.approx([2.5803e6, 2.0686e7], rel=1e-4)
    damage = sum(547_875 / n for n in cycles)
    assert damage == pytest.approx(0.23882, abs=1e-5)
    assert found["damage"] == pytest.approx(damage)
    assert found["life_years"] == pytest.approx(25 / damage)


def test_load_factors_that_are_not_given_are_told(joint):
    told = " ".join(joint["assumptions"])
    assert "factor 1.2 on permanent load" in told
    assert "factor 0.9 on favourable permanent load" in told
    assert "factor 1.6 on variable load" in told
    assert "the steel is painted or not exposed to weather" in told


def test_the_note_shows_the_working(contract):
    page = note_html(contract)
    assert "360-22, J3.10" in page and "bearing and tear-out strength" in page
    assert "EN 1993" not in page


def test_a_joint_that_slips_is_warned_of_with_its_clause_and_gets_alternatives(tmp_path):
    """Long slots take phi to 0.70: 0.70 x 12.741 = 8.9187 kip for 9.7395 kip; a B surface or a weld would do."""
    found = changed(tmp_path, ('holes   = "normal"', 'holes   = "long slot"\nslot = "x"'))["joints"][0]
    assert check(found, "slip-ultimate")["resistance"] / KIP == pytest.approx(8.9187)
    assert found["state"] == "fails"
    clauses = {warning["code"]: warning["clause"] for warning in found["warnings"]}
    assert clauses["slips-at-ultimate"] == "AISC 360-16, J3.8; 360-22, J3.9; RCSC Specification, 4.3"
    assert clauses["bearing-after-slip"] == "AISC 360-16, J3.8; 360-22, J3.9"
    titles = [item["title"] for item in found["alternatives"]]
    assert any(title.startswith("friction class B, slip factor 0.5") for title in titles)
    weld = next(item for item in found["alternatives"] if item["kind"] == "fillet weld")
    assert "E70XX" in weld["title"] and weld["state"] == "holds"


def test_a_metric_joint_in_newtons_is_judged_too(tmp_path):
    """M22 A325: T_b = 176 kN; 0.30 x 1.13 x 176 = 59.664 kN, less 0.30 x 1.6 kip = 2.13515 kN."""
    found = changed(tmp_path, ('"7/8 in"', '"M22"'))["joints"][0]
    assert check(found, "slip-ultimate")["resistance"] == pytest.approx(59_664 - 0.3 * 1.6 * KIP)
