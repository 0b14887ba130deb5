"""What was recalled and not read in its source is listed for every joint, whatever made it."""

from importlib.resources import files
from pathlib import Path

import pytest

from cli.assess import assess_file
from cli.note import note_html, note_markdown
from cli.screen import summary
from fatigue.assessment import StressWalk
from loadhistories.tables import read_table

JOBS = Path(__file__).parents[1] / "jobs"


def listed(path):
    return assess_file(path)["joints"][0]["unconfirmed"]


def test_rows_that_the_checks_of_a_joint_used_are_listed_with_their_sources():
    found = "\n".join(listed(JOBS / "en1993_bracket.toml"))
    for words in ("S355: EN 10025-2, from memory", "10.9: EN 1993-1-8:2005", "end, edge, pitch, gauge: EN 1993-1-9"):
        assert words in found
    assert "category of stiffener: EN 1993-1-9:2005, Table 8.4, detail 7 (from memory)" in found
    assert "rule: EN 1993-1-8:2005, 3.8(1), (3.5), from memory: long joint" in found


@pytest.mark.parametrize(
    ("job", "factor"),
    [("aisc_bracket.toml", "block shear: AISC 360-16 and"), ("as4100_bracket.toml", "ply bearing: AS 4100")],
)
def test_resistance_and_capacity_factors_are_among_them(job, factor):
    assert any(text.startswith(factor) for text in listed(JOBS / job))


def test_what_only_an_alternative_looks_up_is_not_listed():
    """The alternatives of the sample try other friction classes and a weld."""
    contract = assess_file(files("loadhistories.samples").joinpath("drive_bracket.toml"))
    joint = contract["joints"][0]
    assert joint["alternatives"]
    assert not any("weld" in text.split(":")[0] and "S355" in text for text in joint["unconfirmed"])


def test_a_job_lists_the_same_whatever_was_assessed_before():
    first = listed(JOBS / "aisc_bracket.toml")
    listed(JOBS / "curves_only.toml")
    assert listed(JOBS / "aisc_bracket.toml") == first
    assert len(set(first)) == len(first)


def test_the_note_lists_each_of_them_once():
    contract = assess_file(JOBS / "as4100_fatigue.toml")
    page = note_html(contract)
    text = "exempt strength MPa, exempt cycles: AS 4100:2020, 11.4 (from memory)"
    assert sum(text in joint["unconfirmed"] for joint in contract["joints"]) == 2
    assert page.count(text) == 1


def written(folder, name, *pairs):
    """A job of tests/jobs with texts of it changed, in another folder beside its record."""
    text = (JOBS / f"{name}.toml").read_text(encoding="utf-8")
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    for record in JOBS.glob(f"{name}*.csv"):
        (folder / record.name).write_bytes(record.read_bytes())
    path = folder / "job.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_recalled_hoisting_class_and_duty_of_a_crane_load_are_told_with_the_job(tmp_path):
    text = (JOBS / "crane_bracket.toml").read_text(encoding="utf-8")
    head, rows = text[: text.index("[[load.crane.duty]]")], text[text.index("[[joint]]") :]
    factors = next(line for line in head.splitlines() if line.startswith("factors"))
    head = head.replace(factors, 'factors = { hoisting_class = "HC2", hoisting_speed = "6 m/min", phi_1 = 1.1 }')
    words = '[load.crane.class]\ncycles = "U4"\nspectrum = "Q2"\nloads = "alike"\ncrab = "2 m"\nfrom = "1.5 m"\n'
    (tmp_path / "job.toml").write_text(f'{head}{words}to = "10.5 m"\n\n{rows}', encoding="utf-8")
    contract = assess_file(tmp_path / "job.toml")
    found = "\n".join(contract["unconfirmed"])
    for words in ("HC2: EN 1991-3:2006, Tables 2.4", "U4: EN 1991-3:2006, Table 2.11", "Q2: EN 1991-3:2006, Table"):
        assert words in found
    assert all(text in note_markdown(contract) for text in contract["unconfirmed"])
    number = len(contract["unconfirmed"])
    screen = " ".join(summary(contract, colour=False).split())
    assert f"{number} values of the loads are not yet confirmed in the source" in screen


def test_a_recalled_balance_grade_of_a_machine_is_told_with_the_job(tmp_path):
    mass, lever = 'mass         = "40 kg"', 'eccentricity = "50 mm"'
    pairs = ((mass, 'grade = "G 6.3"'), (lever, 'rotor_mass = "317 kg"'))
    contract = assess_file(written(tmp_path, "machine_support", *pairs))
    assert contract["unconfirmed"][0] == "G 6.3: ISO 21940-11:2016, Table 1, from memory"
    assert any(text.startswith("rule: ISO 21940-11:2016, from memory") for text in contract["unconfirmed"])
    text = " ".join(summary(contract, colour=False).split())
    assert "3 values of the loads are not yet confirmed in the source" in text


@pytest.mark.parametrize(
    ("job", "told"),
    [
        ("as4100_bracket", "permanent, permanent favourable, variable"),
        ("aisc_bracket", "permanent favourable: ASCE/SEI 7, 2.3.1, combination 5, from memory"),
    ],
)
def test_usual_load_factors_are_told_where_the_job_states_none(tmp_path, job, told):
    names = [text.split(":")[0] for text in listed(JOBS / f"{job}.toml")]
    usual = "permanent favourable"
    assert usual in names and (told.split(":")[0] == usual or {"permanent", "variable"} <= set(names))
    factors = "factors = { permanent = 1.2, permanent_favourable = 0.9, variable = 1.5 }\n[joint.bolts]"
    stated = listed(written(tmp_path, job, ("[joint.bolts]", factors)))
    assert not {"permanent", usual, "variable"} & {text.split(":")[0] for text in stated}


def test_the_rule_of_prying_is_told(tmp_path):
    steel = '{ name = "A992", yield_strength = "50 ksi", ultimate_strength = "65 ksi" }'
    flange = f'{{ flange_thickness = "0.9 in", m = "2 in", e = "1.6 in", length = "3 in", steel = {steel} }}'
    pull = ('because = "the load turns round"', 'because = "it"\npermanent = { Fz = "20 kip" }')
    found = listed(written(tmp_path, "compare_aisc", ("planes = 1\n", f"planes = 1\nprying = {flange}\n"), pull))
    rule = "rule: AISC Manual, 15th ed., Part 9, prying action, from memory: "
    assert any(text.startswith(rule) for text in found)


def test_a_recalled_row_looked_up_in_a_thread_of_a_long_record_is_told(monkeypatch):
    """Every feed of a chunk looks up a row; beyond SHARED_FROM samples each feed runs in a thread of its own."""
    feed = StressWalk.feed

    def looking_up(walk, chunk):
        assert read_table("loadhistories", "balance_grades")["G 6.3"]["speed_mm_per_s"] == 6.3
        feed(walk, chunk)

    monkeypatch.setattr(StressWalk, "feed", looking_up)
    alone = listed(JOBS / "en1993_bracket.toml")
    monkeypatch.setattr("cli.assess.SHARED_FROM", 0)
    assert listed(JOBS / "en1993_bracket.toml") == alone
    assert [text for text in alone if text.startswith("G 6.3: ISO 21940-11:2016")]


def test_a_second_job_is_told_of_the_same_recalled_category_as_the_first():
    first = listed(JOBS / "aisc_fatigue.toml")
    assert listed(JOBS / "aisc_fatigue.toml") == first
