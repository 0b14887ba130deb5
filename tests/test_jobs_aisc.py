"""The worked job in US customary units, tests/jobs/aisc_fatigue.toml: a hanger judged by AISC 360-22, Appendix 3.

Worked by hand, all in ksi and kip, with 1 / 0.333 = 3.003003 and 1 / 0.167 = 5.988024:

The pull goes from 0 to 10 kip and back at each start, 40 times a day; from 0 to 4 kip and back when running, 400
times a day; 20 years of 365.25 days.
    n_1 = 40 * 365.25 * 20 = 292 200        n_2 = 400 * 365.25 * 20 = 2 922 000        n = 3 214 200

Plate at the weld ends, 4.1a, category E: C_f = 1.1, F_TH = 4.5 ksi; 0.6 ksi/kip give 6 ksi and 2.4 ksi. 6 > 4.5:
both do damage.
    N_1 = 1.1 (1000 / 6)^3.003003 = 5.17144e6           n_1 / N_1 = 0.0565027
    N_2 = 1.1 (1000 / 2.4)^3.003003 = 8.10263e7         n_2 / N_2 = 0.0360623
    D = 0.0925650                                       life 20 / D = 216.064 years
    F_SR = 1000 (1.1 / 3 214 200)^0.333 = 7.02957 ksi   f_e = 3.18240 ksi       u = 0.452717
    peak 0.6 * (15 + 10) = 15 ksi, limit 0.66 * 36 = 23.76 ksi                  u = 0.631313

Gusset at the toe, 5.7, category C: F_TH = 10 ksi; 0.8 ksi/kip give 8 ksi and 3.2 ksi, neither above it: D = 0.
    peak 0.8 * 25 = 20 ksi                                                      u = 0.841751

Gusset at the root, 5.7, category C'': R_FIL = (0.06 + 0.72 * 0.3125 / 0.5) / 0.5^0.167 = 0.51 / 0.890693 = 0.572588
    N_1 = 4.4 (572.588 / 8)^3.003003 = 1.63410e6        n_1 / N_1 = 0.178814
    N_2 = 4.4 (572.588 / 3.2)^3.003003 = 2.56032e7      n_2 / N_2 = 0.114126
    D = 0.292940, life 68.2733 years; F_SR = 572.588 (4.4 / n)^0.333 = 6.38641 ksi, f_e = 4.24321 ksi, u = 0.664412

Throat, category F: C_f = 1.5, F_TH = 8 ksi; 0.9 ksi/kip give 9 ksi and 3.6 ksi. 9 > 8.
    N_1 = 1.5 (100 / 9)^5.988024 = 2.74228e6            n_1 / N_1 = 0.106554
    N_2 = 1.5 (100 / 3.6)^5.988024 = 6.62196e8          n_2 / N_2 = 0.00441259
    D = 0.110966, life 180.235 years; F_SR = 100 (1.5 / n)^0.167 = 8.76448 ksi, f_e = 6.07118 ksi, u = 0.692703

Bolts, two of 7/8 in, 9 threads per inch, category G: A_t = pi/4 (0.875 - 0.9743 / 9)^2 = 0.461734 in2, given as
0.4617; pretensioned to 39 kip, only steel in the grip: 20 % of the pull with prying 1.1; the pull stands for Fz.
    0.2 * 1.1 * 10 / 2 / 0.4617 = 2.38250 ksi < F_TH = 7 ksi: D = 0
"""

from pathlib import Path

import pytest

from cli.assess import assess_file
from cli.note import note_html
from fatigue.standards import aisc360
from loadhistories.validation import InputError

JOB = Path(__file__).parent / "jobs" / "aisc_fatigue.toml"
KSI = 6.894757293168361
PLATE, TOE, ROOT, THROAT, BOLTS = range(5)


@pytest.fixture(scope="module")
def details():
    return assess_file(JOB)["joints"][0]["details"]


def checks_of(detail):
    return {check["id"].split(":", 2)[-1]: check for check in detail["checks"]}


@pytest.mark.parametrize(
    ("place", "parts", "damage", "life", "allowable", "effective", "utilisation"),
    [
        (PLATE, (0.0565027, 0.0360623), 0.0925650, 216.064, 7.02957, 3.18240, 0.452717),
        (ROOT, (0.178814, 0.114126), 0.292940, 68.2733, 6.38641, 4.24321, 0.664412),
        (THROAT, (0.106554, 0.00441259), 0.110966, 180.235, 8.76448, 6.07118, 0.692703),
    ],
)
def test_damage_life_and_ranges_are_those_worked_by_hand(
    details, place, parts, damage, life, allowable, effective, utilisation
):
    found = details[place]
    assert [part["damage"] for part in found["by_load"]] == pytest.approx(parts, rel=1e-5)
    assert [part["cycles"] for part in found["by_load"]] == pytest.approx([292_200, 2_922_000], rel=1e-9)
    assert (found["damage"], found["life_years"]) == pytest.approx((damage, life), rel=1e-5)
    check = checks_of(found)["allowable"]
    assert check["resistance"] / KSI == pytest.approx(allowable, rel=1e-5)
    assert check["demand"] / KSI == found["equivalent_range_MPa"] / KSI == pytest.approx(effective, rel=1e-5)
    assert check["utilisation"] == pytest.approx(utilisation, rel=1e-5)
    assert found["state"] == "holds"


@pytest.mark.parametrize(("place", "largest", "threshold"), [(TOE, 8.0, 10.0), (BOLTS, 2.38250, 7.0)])
def test_ranges_below_the_threshold_do_no_damage(details, place, largest, threshold):
    found = details[place]
    assert (found["damage"], found["life_years"]) == (0.0, None)
    assert "threshold" in found["life_text"]
    check = checks_of(found)["allowable"]
    assert (check["demand"] / KSI, check["resistance"] / KSI) == pytest.approx((largest, threshold), rel=1e-6)


def test_peak_stress_is_that_worked_by_hand(details):
    found = {place: checks_of(details[place]).get("peak") for place in range(5)}
    assert found[PLATE]["utilisation"] == pytest.approx(15 / 23.76, rel=1e-6)
    assert found[TOE]["utilisation"] == found[ROOT]["utilisation"] == pytest.approx(20 / 23.76, rel=1e-6)
    assert found[THROAT] is found[BOLTS] is None


def test_the_reduction_for_the_root_is_printed_with_its_formula(details):
    figures = {figure["symbol"]: figure for figure in details[ROOT]["checks"][0]["figures"]}
    assert figures["R_FIL"]["value"] == figures["R"]["value"] == pytest.approx(0.572588, rel=1e-6)
    assert "(A-3-6)" in figures["R_FIL"]["clause"]


def test_the_area_of_the_bolts_is_that_worked_by_hand():
    area = aisc360.net_tensile_area(0.875 * 25.4, threads_per_inch=9).area / 25.4**2
    assert area == pytest.approx(0.461734, rel=1e-5)


def test_state_edition_and_basis_are_told():
    found = assess_file(JOB)
    assert found["state"] == "holds"
    assert found["standard"]["editions"]["fatigue"] == "ANSI/AISC 360-22, Appendix 3"
    assert found["fatigue_basis"]["choices"] == {"equations": "US"}
    titles = [figure["title"] for figure in found["fatigue_basis"]["figures"]]
    assert "no partial factor: the curves are mean minus two standard deviations" in titles


def test_the_note_prints_the_clauses_and_the_working():
    note = note_html(assess_file(JOB))
    for text in ("ANSI/AISC 360-22, Appendix 3, 3.3", "eq. (A-3-6)", "20 % of", "150 °C (300 °F)"):
        assert text.replace("20 % of", "20% of") in note, text
    assert "EN 1993" not in note


def with_changes(tmp_path, *changes):
    text = JOB.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    for record in JOB.parent.glob("aisc_fatigue*.csv"):
        (tmp_path / record.name).write_bytes(record.read_bytes())
    path = tmp_path / "job.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_si_printing_of_the_equations_takes_6900_mpa_690_mpa_and_its_own_reduction(tmp_path, details):
    metric = assess_file(with_changes(tmp_path, ('equations = "US"', 'equations = "SI"')))
    ratios = [theirs["damage"] / ours["damage"] for theirs, ours in zip(
        metric["joints"][0]["details"], details, strict=True) if ours["damage"]]  # fmt: skip
    root = (0.103 + 1.24 * 0.625) / 12.7**0.167
    assert ratios == pytest.approx(
        [
            (1000 * KSI / 6900) ** (1 / 0.333),
            (572.588 * KSI / (6900 * root)) ** (1 / 0.333),
            (100 * KSI / 690) ** (1 / 0.167),
        ],
        rel=1e-5,
    )


def test_the_same_job_in_si_units_gives_the_same_damage(tmp_path, details):
    factor = KSI / 4.4482216152605
    path = with_changes(
        tmp_path,
        *((f'"{value} ksi/kip"', f'"{value * factor:.12g} MPa/kN"') for value in (0.6, 0.8, 0.9)),
        ('"0.5 in"', '"12.7 mm"'),
        ('"0.3125 in"', '"7.9375 mm"'),
    )
    found = assess_file(path)["joints"][0]["details"]
    assert [item["damage"] for item in found] == pytest.approx([item["damage"] for item in details], rel=1e-9)


def test_the_older_edition_is_told_apart_in_every_clause(tmp_path):
    found = assess_file(with_changes(tmp_path, ('"AISC 360-22"', '"AISC 360-16"')))
    clauses = [check["clause"] for detail in found["joints"][0]["details"] for check in detail["checks"]]
    assert all("AISC 360-16" in clause and "AISC 360-22" not in clause for clause in clauses)


def test_which_printing_is_used_is_listed_as_assumed_where_the_job_does_not_say(tmp_path):
    found = assess_file(with_changes(tmp_path, ('fatigue     = { equations = "US" }\n', "")))
    assert any("US customary units (A-3-1)" in text for text in found["assumptions"])


def test_a_root_without_its_leg_is_refused_with_its_place(tmp_path):
    path = with_changes(tmp_path, ('leg            = "0.3125 in"\n', ""))
    with pytest.raises(InputError, match=r"category C'' depends on the weld .*leg = .*detail\[3\]"):
        assess_file(path)
