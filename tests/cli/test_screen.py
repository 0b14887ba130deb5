import re
import runpy
from pathlib import Path

import pytest

from cli.cautions import ONE_LINE
from cli.screen import summary

sample = runpy.run_path(str(Path(__file__).with_name("sample_contract.py")))
ESCAPE = re.compile(r"\x1b\[[\d;]*m")


@pytest.fixture
def shown():
    return summary(sample["contract"](), colour=False)


def one_line(text):
    return re.sub(r"\s+", " ", text)


def test_no_line_is_longer_than_80_columns(shown):
    assert max(map(len, shown.splitlines())) <= 80


def test_long_words_and_texts_are_wrapped_within_80_columns():
    contract = sample["contract"]()
    contract["title"] = "x" * 300
    joint = contract["joints"][0]
    joint["checks"][0]["title"] = "y" * 120
    joint["checks"][0]["clause"] = "a clause of many words, " * 6
    joint["details"][0] |= {"category": "71 of a long name", "life_text": "z" * 90, "life_years": None}
    joint["warnings"][0]["advice"] = ["w" * 200]
    made = summary(contract, colour=False)
    assert max(map(len, made.splitlines())) <= 80
    assert "x" * 300 in made.replace("\n", "")


def test_checks_stand_with_clause_utilisation_and_state(shown):
    assert re.search(r"slip at ultimate, bolt by bolt +EN 1993-1-8:2005, +1\.18 +fails", shown)
    assert re.search(r"net section of the end plate +EN 1993-1-8:2005, 3\.4\.2 +- +not judged", shown)


def test_details_stand_with_category_damage_life_and_state(shown):
    assert re.search(r"bracket web to end plate, weld +71 +0\.36 +69 years +holds", shown)
    assert "1 value is not yet confirmed in the source; the note and the JSON list them" in one_line(shown)


def test_the_shortest_life_is_told_from_further_sides(shown):
    assert (
        "Life, bracket web to end plate, weld toe: 69 years (stress -10 %: 103 years; stress +10 %: 47 years); "
        "53.9 % of the damage from 2 cycles, the first: start and stop, 61.27 s to 8.43 s of the next repeat; nine in "
        "ten of resampled records: 58.1 to 83.6 years (n = 200, seed 1)"
    ) in one_line(shown)
    assert (
        "Remaining life, bracket web to end plate, weld toe: 53 years from now on (damage of earlier duty 0.232)"
    ) in one_line(shown)


def test_a_life_without_few_cycles_and_interval_says_why():
    contract = sample["contract"]()
    outlook = contract["joints"][0]["details"][0]["outlook"]
    half = {"cycles": None, "share": 0.472, "text": "not from few cycles, the 100 most harmful make", "list": []}
    outlook |= {"half_of_damage": half, "interval": {"reason": "its record holds 7 cycles"}}
    words = one_line(summary(contract, colour=False))
    assert "half of the damage: not from few cycles, the 100 most harmful make 47.2 %; no interval, its record" in words
    outlook |= {"half_of_damage": None, "untimed": "too long", "interval": {"reason": "too long"}}
    assert "stress +10 %: 47 years); too long Remaining" in one_line(summary(contract, colour=False))


def test_slip_is_told_with_how_often_when_and_in_which_direction(shown):
    words = one_line(shown)
    assert "Slip, service: first bolt 0.64, whole joint 0.54: does not slip in the record" in words
    assert "slips 3 times in the record, two way, load factors included (without margin 4 times, 4.16 % of" in words
    assert "worst at bolt 4, start and stop, 12.34 s, towards 266 deg from x" in words


def test_slip_at_service_is_told_with_its_number_in_the_design_life():
    contract = sample["contract"]()
    changes = {"events": 1, "kind": "one-way", "times_without_margin": 7, "events_in_life": 1.0, "time_s": None}
    contract["joints"][0]["slip"]["levels"][0] |= changes
    words = one_line(summary(contract, colour=False))
    assert "slips once in the record, one way, once in the design life (without margin 7 times, 0 % of the" in words


def test_the_grip_at_less_preload_is_told_for_both_levels(shown):
    words = one_line(shown)
    assert "Preload: it begins to slip at 45.8 % at service level, 94.9 % at ultimate level" in words
    assert "first bolt at service level, preload at 100 %: 0.64, 90 %: 0.71, 80 %: 0.80, 70 %: 0.91" in words
    assert "first bolt at ultimate level, preload at 100 %: 1.32, 90 %: 1.47, 80 %: 1.65, 70 %: no grip" in words


def test_movement_warnings_alternatives_and_caution_are_told(shown):
    words = one_line(shown)
    move = "Movement if it slips: travel 2 mm, rotation 17.9 mrad, aligned point 7.62 mm, at most 9.53 mm, tolerance"
    assert move in words
    assert "slip is not allowed and the joint slips at the ultimate level [EN 1993-1-8:2005, 3.4.1(3)]" in words
    assert "- add bolts: 8 would do" in words
    assert re.search(r"more bolts: 8 bolts in 4 rows, pitch 90 mm +0\.92 +holds", shown)
    assert "fillet weld, still to show: weld procedure; category of the new detail; a value not yet confirmed" in words
    assert words.rstrip().endswith(f"Result: fails {ONE_LINE}")


def test_the_reason_of_what_was_not_judged_is_told(shown):
    assert "not judged, the width of the end plate across the load is not given" in one_line(shown)


def test_colour_changes_nothing_but_colour(shown):
    coloured = summary(sample["contract"](), colour=True)
    assert "\x1b[1;31mfails\x1b[0m" in coloured
    assert ESCAPE.sub("", coloured) == shown
    assert "\x1b" not in shown


def test_the_summary_goes_through_a_western_terminal():
    contract = sample["contract"]()
    contract["title"] = "Δσ ≤ 71 → \x1b[2Jγ_Mf"
    made = summary(contract, colour=False)
    made.encode("cp1252")
    assert made.startswith("Deltasigma <= 71 ->  [2Jgamma_Mf")


def test_a_joint_without_slip_movement_and_alternatives_is_summed_up():
    contract = sample["contract"]()
    contract["joints"][0] |= {"slip": None, "movement": None, "alternatives": [], "warnings": [], "details": []}
    made = summary(contract, colour=False)
    assert "Slip," not in made
    assert "Result: fails" in made


def test_the_kind_of_an_alternative_is_not_told_twice(shown):
    assert "fillet weld: fillet weld" not in shown
    assert re.search(r"^fillet weld 6 mm, 2 × 310 mm +- +not judged$", shown, re.MULTILINE)
