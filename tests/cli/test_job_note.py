"""The table [note] of a job: the title block, and when a note stops being marked as not checked."""

import re

import pytest

from cli.job_note import NoteHead, Signed, read_note
from cli.keys import Keys
from cli.notes.front import NOT_CHECKED_MARK, head_of, status_of

CHECKER = {"name": "C. Reader", "date": "2026-04-02"}


def read(table):
    problems = []
    keys = Keys({"note": table}, "job.toml", problems)
    return read_note(keys), problems


def contract(note, **further):
    standard = {"name": "EN 1993", "editions": {"joints": "EN 1993-1-8:2005"}}
    made = {"note": note, "state": "holds", "standard": standard, "design_life_years": 25.0, "griplife": "0"}
    return made | further


def test_a_job_without_the_table_has_no_title_block_of_its_own():
    problems = []
    assert read_note(Keys({}, "job.toml", problems)) is None
    assert problems == []


def test_the_title_block_is_read_with_dates_as_text_or_as_dates_of_toml():
    import datetime

    said = {"project": "Quarry line 2", "revision": "B", "date": datetime.date(2026, 3, 31), "author": "A. Maker"}
    head, problems = read(said | {"checker": CHECKER})
    assert problems == []
    assert head == NoteHead(
        project="Quarry line 2", revision="B", date="2026-03-31", author="A. Maker",
        checker=Signed("C. Reader", "2026-04-02"),
    )  # fmt: skip


@pytest.mark.parametrize(
    ("table", "refusal"),
    [
        ({"date": "31.3.2026"}, "as in date = \"2026-03-31\"; got '31.3.2026' (job.toml, note.date)"),
        ({"date": "20260331"}, "date must be a day"),
        ({"date": 20260331}, "date must be a day"),
        ({"checker": {"name": "C. Reader"}}, "date is missing"),
        ({"checker": {"date": "2026-04-02"}}, "name is missing"),
        ({"checker": "C. Reader"}, "checker must be a table"),
        ({"author": "c.  reader", "checker": CHECKER | {"name": "C. Reader"}}, "checker must be another person"),
        ({"date": "2026-05-01", "checker": CHECKER}, "checker.date 2026-04-02 lies before the date 2026-05-01"),
        ({"project": "x" * 201}, "project has 201 letters, at most 200 fit into the title block"),
        ({"revison": "B"}, "'revison' is no key here; did you mean 'revision'?"),
    ],
)
def test_a_title_block_that_cannot_be_is_refused(table, refusal):
    head, problems = read(table)
    assert head is None or "is no key here" in refusal
    assert any(refusal in problem for problem in problems), problems


def test_a_note_is_not_checked_until_the_job_names_a_checker_and_a_date():
    for note in (None, {"author": "A. Maker", "checker": None}):
        assert status_of(contract(note)) == NOT_CHECKED_MARK
    assert status_of(contract({"checker": CHECKER})) == "CHECKED BY C. Reader, 2026-04-02 — AS STATED IN THE JOB"


def test_a_run_with_changed_keys_was_checked_by_nobody():
    changed = contract({"checker": CHECKER}, changes=[{"key": "joint.bolts.size", "text": '"M24"'}])
    assert status_of(changed) == NOT_CHECKED_MARK
    assert "C. Reader" not in str(head_of(changed))


def test_signatures_stay_blank_whoever_is_named():
    signed = head_of(contract({"author": "A. Maker", "date": "2026-03-31", "checker": CHECKER}))[2]
    assert [row.cells[2] for row in signed.rows] == [()] * 3
    assert [re.sub(r"[()',]", "", str(row.cells[1])) for row in signed.rows] == ["A. Maker", "C. Reader", ""]
