"""Earlier duty and cracks in a job: what is read, what is refused, and what comes out by hand."""

import pytest

from cli.assess import assess_file
from cli.job import read_job
from cli.note import note_html
from cli.screen import summary
from loadhistories.validation import InputError

# One wave of 100 MPa range a second, ten of them: on category 71 / 1.35 = 52.593 MPa it lasts 2e6 (52.593 / 100)^3.
ENDURANCE = 2e6 * (71 / 1.35 / 100) ** 3
WAVE = [0.0, 50.0, 0.0, -50.0]
JOB = """
title = "served before"
standard = "EN 1993"
design_life = "10 year"
fatigue = {{ concept = "safe life", consequence = "high" }}
[[load]]
name = "running"
history = "record.csv"
occurs = "1000"
[load.components]
Fy = {{ column = "Force", unit = "kN" }}
{past}
[[joint]]
name = "bracket"
[[joint.detail]]
name = "toe"
category = 71
{crack}
stress = {{ Fy = "1 MPa/kN" }}
"""
RECORDED = """
[[past]]
name = "first machine"
served = "12 year"
history = "record.csv"
occurs = "2000"
[past.components]
Fy = { column = "Force", unit = "kN" }
"""
GIVEN = """
[[past]]
name = "before the records"
served = "5 year"
damage = { toe = 0.02 }
because = "assessment of 2012"
"""


@pytest.fixture
def job(tmp_path):
    rows = [f"{0.25 * place},{value}" for place, value in enumerate(WAVE * 10)]
    (tmp_path / "record.csv").write_text("Time [s],Force\n" + "\n".join(rows) + "\n", encoding="utf-8")

    def write(past="", crack=""):
        path = tmp_path / "job.toml"
        path.write_text(JOB.format(past=past, crack=crack), encoding="utf-8")
        return path

    return write


def toe_of(contract):
    return contract["joints"][0]["details"][0]


def test_remaining_life_with_recorded_and_given_earlier_duty_by_hand(job):
    contract = assess_file(job(RECORDED + GIVEN))
    toe = toe_of(contract)
    to_come, before = 10 * 1000 / ENDURANCE, 10 * 2000 / ENDURANCE
    assert toe["damage"] == pytest.approx(to_come, rel=1e-3)
    assert [duty["name"] for duty in toe["past"]["duty"]] == ["first machine", "before the records"]
    assert [duty["damage"] for duty in toe["past"]["duty"]] == pytest.approx([before, 0.02], rel=1e-3)
    remaining = (1 - before - 0.02) / (to_come / 10)
    assert toe["past"]["remaining_years"] == pytest.approx(remaining, rel=1e-3)
    check = toe["checks"][-1]
    assert check["id"] == "fatigue:1:past" and check["state"] == "holds"
    assert check["utilisation"] == pytest.approx(to_come + before + 0.02, rel=1e-3)
    assert contract["state"] == "holds"
    (joint,) = contract["joints"]
    assert [(duty["name"], duty["served_years"]) for duty in joint["past"]] == [
        ("first machine", pytest.approx(12.0)), ("before the records", pytest.approx(5.0)),
    ]  # fmt: skip
    assert f"Remaining life, toe: {remaining:.3g} years from now on" in summary(contract, colour=False)
    assert "damage of earlier duty: first machine" in note_html(contract)


def test_a_detail_that_holds_alone_fails_with_its_earlier_duty(job):
    contract = assess_file(job(GIVEN.replace("0.02", "0.98")))
    toe = toe_of(contract)
    assert toe["damage"] < 1 and toe["checks"][0]["state"] == "holds"
    assert toe["checks"][-1]["state"] == "fails"
    assert toe["state"] == contract["state"] == "fails"


def test_earlier_duty_changes_no_number_of_the_duty_to_come(job):
    alone, after = (toe_of(assess_file(job(past))) for past in ("", RECORDED))
    assert "past" not in alone
    for key in ("damage", "life_years", "cycles_per_life", "outlook"):
        assert after[key] == alone[key]


def test_a_detail_with_a_crack_has_no_life_and_is_told_what_to_do(job):
    contract = assess_file(job(GIVEN, crack='crack = "found"'))
    toe = toe_of(contract)
    assert toe["state"] == contract["state"] == "not judged"
    assert toe["life_years"] is None and toe["damage"] is None and "past" not in toe and "outlook" not in toe
    assert "make the place safe, size the crack by inspection" in toe["reason"]


def test_records_of_earlier_duty_are_among_the_inputs(job):
    assert {path.name for path in read_job(job(RECORDED)).files} == {"job.toml", "record.csv"}


@pytest.mark.parametrize(
    ("past", "words"),
    [
        (RECORDED.replace('served = "12 year"\n', ""), r"served is missing"),
        (RECORDED.replace("12 year", "0 year"), r"served must be above 0 s"),
        (RECORDED.replace('"2000"', '"40 years of it"'), r"occurs"),
        (RECORDED + 'because = "x"\n', r"'because' is no key here"),
        (GIVEN.replace('because = "assessment of 2012"', ""), r"because is missing"),
        (GIVEN.replace("toe = 0.02", "toe = -0.02"), r"toe must not be below 0"),
        (GIVEN.replace("toe = 0.02", "tow = 0.02"), r"damage of detail 'toe' is missing; give it, 0 where earlier"),
        (GIVEN.replace("toe = 0.02", "toe = 0.02, root = 0"), r"'root' is no detail here; known: toe"),
        (GIVEN.replace("toe = 0.02", ""), r"damage is empty"),
        (GIVEN + 'history = "record.csv"\n', r"history and damage are both given; give one of them"),
        (GIVEN + 'joint = "other"\n', r"joint 'other' is unknown; known: bracket"),
        (GIVEN + GIVEN, r"past 2 has the name 'before the records' of past 1"),
        (GIVEN + 'frequency = 2\n', r"'frequency' is no key here"),
    ],
)
def test_earlier_duty_that_cannot_be_judged_is_refused(job, past, words):
    with pytest.raises(InputError, match=words):
        read_job(job(past))


def test_because_beside_a_record_is_refused(job):
    past = RECORDED.replace('served = "12 year"', 'served = "12 year"\nbecause = "x"')
    with pytest.raises(InputError, match="because goes with a given damage"):
        read_job(job(past))


def test_another_word_for_a_crack_is_refused(job):
    with pytest.raises(InputError, match=r"crack 'yes' is unknown; known: none, found"):
        read_job(job(crack='crack = "yes"'))
