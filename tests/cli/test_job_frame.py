"""Frames in a job file: slips given, slips of the joints of the job, refusals."""

import pytest

from cli.assess import assess_file
from cli.note import note_html, utilisation_rows
from cli.screen import summary
from loadhistories.validation import InputError

RECORD = "t [s],V [kN]\n0,0\n0.1,-80\n0.2,300\n0.3,-300\n0.4,0\n"
JOB = """
title = "truss"
standard = "EN 1993"
design_life = "10 year"
[[load]]
name = "working"
history = "r.csv"
occurs = "10/day"
[load.components]
Fy = { column = "V" }
[[joint]]
name = "gusset"
slip = "allowed"
[joint.bolts]
size = "M20"
grade = "8.8"
preload = "PRELOAD"
rows = 3
columns = 2
pitch = "90 mm"
gauge = "130 mm"
holes = "normal"
surface = "A"
[[joint.plates]]
name = "gusset plate"
thickness = "20 mm"
steel = "S355"
end_distance = "45 mm"
edge_distance = "40 mm"
[[frame]]
name = "ridge"
tolerance = "TOLERANCE"
[[frame.member]]
name = "tie"
unit_force = 2.5
joints = ["gusset", "gusset"]
[[frame.member]]
name = "post"
unit_force = -0.5
slip = "3 mm"
"""


@pytest.fixture
def job(tmp_path):
    def written(preload="none", tolerance="20 mm", *changes):
        text = JOB.replace("PRELOAD", preload).replace("TOLERANCE", tolerance)
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new)
        (tmp_path / "r.csv").write_text(RECORD, encoding="utf-8")
        (tmp_path / "job.toml").write_text(text, encoding="utf-8")
        return tmp_path / "job.toml"

    return written


def test_joints_that_slip_add_their_travel_from_the_worst_start(job):
    """Hand calculation: two joints with 2 mm of play move 4 mm each: 2.5 * 8 + 0.5 * 3 = 21.5 mm, above 20 mm."""
    contract = assess_file(job())
    (frame,) = contract["frames"]
    assert frame["deflection_mm"] == pytest.approx(21.5)
    assert [member["slip_mm"] for member in frame["members"]] == [pytest.approx(8.0), 3.0]
    assert (frame["state"], contract["state"]) == ("fails", "fails")


def test_joints_that_grip_add_nothing(job):
    (frame,) = assess_file(job("full", "20 mm", ('"V" }', '"V", factor = 0.1 }')))["frames"]
    assert frame["deflection_mm"] == pytest.approx(1.5)
    assert frame["state"] == "holds"


def test_a_frame_without_tolerance_is_told_for_information(job):
    contract = assess_file(job("none", "20 mm", ('tolerance = "20 mm"\n', "")))
    assert contract["frames"][0]["state"] is None
    assert "Frame: ridge moves 21.5 mm by slip of its joints: for information" in summary(contract, colour=False)


def test_the_summary_and_the_note_show_the_frame(job):
    contract = assess_file(job())
    words = " ".join(summary(contract, colour=False).split())
    assert "ridge moves 21.5 mm by slip of its joints, tolerance 20 mm: fails" in words
    page = note_html(contract)
    assert "ridge: movement by slip of the joints of its members" in page


def test_the_frame_stands_in_the_table_of_all_checks_of_the_note(job):
    rows = utilisation_rows(assess_file(job()))
    (row,) = [row for row in rows if row["what"] == "movement by slip of the joints of its members"]
    assert (row["joint"], row["state"]) == ("ridge", "fails")
    assert row["utilisation"] == pytest.approx(21.5 / 20.0)
    for_information = assess_file(job("none", "20 mm", ('tolerance = "20 mm"\n', "")))
    assert not any(row["joint"] == "ridge" for row in utilisation_rows(for_information))


def test_a_frame_with_a_joint_in_resin_is_not_judged(job):
    """The clearance of the holes is filled: no travel of 4 mm a joint, and none of 0 either."""
    contract = assess_file(job("none", "20 mm", ('holes = "normal"', 'holes = "injection"')))
    (frame,) = contract["frames"]
    assert (frame["state"], frame["deflection_mm"]) == ("not judged", None)
    assert [member["slip_mm"] for member in frame["members"]] == [None, 3.0]
    words = " ".join(summary(contract, colour=False).split())
    assert "ridge moves by slip of its joints, tolerance 20 mm: not judged" in words
    assert "the movement of a joint in resin is not known without a test" in note_html(contract)


@pytest.mark.parametrize(
    ("changes", "wording"),
    [
        (('["gusset", "gusset"]', '["knee"]'), "no bolted joint is called 'knee'; known: gusset"),
        (('slip = "3 mm"', ""), "a member needs its slip"),
        (('slip = "3 mm"', 'slip = "3 mm"\njoints = ["gusset"]'), "a member needs its slip"),
        (("unit_force = 2.5\n", ""), "unit_force is missing"),
        (('slip = "3 mm"', 'slip = "-3 mm"'), "slip must not be below 0 mm"),
    ],
)
def test_what_makes_no_frame_is_refused_by_name(job, changes, wording):
    with pytest.raises(InputError, match=wording):
        assess_file(job("none", "20 mm", changes))
