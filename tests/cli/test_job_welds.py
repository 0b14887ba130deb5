"""Welds, welds beside bolts, and tolerances by class in a job file: read, assessed, refused."""

import json

import pytest

from cli.assess import assess_file
from cli.job import read_job
from loadhistories.validation import InputError

RECORD = "t [s],V [kN]\n0,0\n0.1,-80\n0.2,60\n0.3,-120\n0.4,0\n"
HEAD = """
title = "bracket"
standard = "EN 1993"
design_life = "10 year"
[[load]]
name = "working"
history = "r.csv"
occurs = "10/day"
[load.components]
Fy = { column = "V" }
[[joint]]
name = "bracket"
"""
WELD = """
[[joint.weld]]
lines = [[["-105 mm", "-90 mm"], ["-105 mm", "90 mm"]], [["105 mm", "-90 mm"], ["105 mm", "90 mm"]]]
leg = "5 mm"
steel = "S355"
quality = "site"
"""
BOLTS = """
slip = "never"
[joint.bolts]
size = "M20"
grade = "10.9"
preload = "full"
rows = 2
columns = 2
pitch = "90 mm"
gauge = "130 mm"
holes = "normal"
surface = "B"
[[joint.plates]]
name = "end plate"
thickness = "20 mm"
steel = "S355"
end_distance = "45 mm"
edge_distance = "40 mm"
"""
TOGETHER = 'sharing = { carried_by = "bolts and welds", tightened_after_welding = true }\n'
ALONE = 'sharing = { carried_by = "welds" }\n'


@pytest.fixture
def job(tmp_path):
    def written(text):
        (tmp_path / "r.csv").write_text(RECORD, encoding="utf-8")
        (tmp_path / "job.toml").write_text(text, encoding="utf-8")
        return tmp_path / "job.toml"

    return written


def joint_in(path):
    contract = assess_file(path)
    json.dumps(contract, allow_nan=False)
    return contract["joints"][0]


def check(joint, name):
    return next(item for item in joint["checks"] if item["id"] == name)


def test_a_joint_of_welds_alone_is_judged_for_strength(job):
    """Hand calculation: 1.5 * 120 kN over 360 mm is 500 N/mm; a 3.5 mm throat in S355 holds 844.2 N/mm."""
    joint = joint_in(job(HEAD + WELD))
    found = check(joint, "weld-strength")
    assert found["demand"] == pytest.approx(500.0)
    assert found["utilisation"] == pytest.approx(500.0 / 844.22, rel=1e-4)
    assert (joint["state"], joint["slip"], joint["movement"]) == ("holds", None, None)


def test_bolts_and_welds_that_share_are_judged_together(job):
    """Hand calculation: 4 x 0.4 x 171.5 / 1.25 = 219.5 kN and 360 x 0.8442 = 303.9 kN: 180 / 523.4 = 0.344."""
    joint = joint_in(job(HEAD + TOGETHER + BOLTS + WELD))
    assert check(joint, "bolts-with-welds")["utilisation"] == pytest.approx(180 / (219.52 + 303.92), rel=1e-4)
    assert "bolts-with-welds" in {item["code"] for item in joint["warnings"]}
    assert any("share the load by EN 1993-1-8:2005, 3.9.3(1)" in text for text in joint["assumptions"])


def test_without_the_statement_on_tightening_nothing_is_shared(job):
    stated = TOGETHER.replace(", tightened_after_welding = true", "")
    joint = joint_in(job(HEAD + stated + BOLTS + WELD))
    found = check(joint, "bolts-with-welds")
    assert found["state"] == "not judged" and "final tightening" in found["reason"]
    assert check(joint, "slip-ultimate")["utilisation"] == pytest.approx(180 / 219.52, rel=1e-4)


def test_welds_that_carry_everything_leave_the_bolts_out(job):
    joint = joint_in(job(HEAD + ALONE + BOLTS + WELD))
    assert [item["id"] for item in joint["checks"]] == ["weld-strength"]
    assert any("the bolts carry nothing" in text and "2.4(3)" in text for text in joint["assumptions"])


def test_welds_of_unlike_size_and_quality_are_each_judged_by_their_own(job):
    """Hand calculation: 2 x 180 mm of a 3.5 mm throat and 210 mm of 7 mm take 1.5 x 120 kN along y by their areas."""
    across = '''
[[joint.weld]]
lines = [[["-105 mm", "0 mm"], ["105 mm", "0 mm"]]]
leg = "10 mm"
steel = "S355"
quality = "shop"
'''
    path = job(HEAD + WELD + across)
    welded = read_job(path).joints[0].welded
    assert [weld.throat for weld in welded.each] == [3.5, 3.5, 7.0]
    assert welded.quality == "site and shop"
    found = check(joint_in(path), "weld-strength")
    throat = 7.0 if "line 3" in found["at"] else 3.5
    assert found["demand"] == pytest.approx(throat * 1.5 * 120e3 / (3.5 * 360.0 + 7.0 * 210.0))


@pytest.mark.parametrize(
    ("text", "wording"),
    [
        (HEAD + BOLTS + WELD, r"sharing is missing; give it as in sharing = \{ carried_by = \"welds\" \}"),
        (HEAD + ALONE + WELD, "sharing is for a joint with bolts and welds"),
        (HEAD + TOGETHER.replace('"bolts and welds"', '"bolts"') + BOLTS + WELD, "carried_by 'bolts' is unknown"),
        (HEAD + TOGETHER.replace('"bolts and welds"', '"welds"') + BOLTS + WELD, "the bolts carry nothing; take"),
        (HEAD + WELD.replace('leg = "5 mm"\n', ""), "a weld needs its leg"),
        (HEAD + WELD.replace('"site"', '"good"'), "quality 'good' is unknown"),
        (HEAD + WELD + 'class = "SP"\n', "quality 'SP' has no place in EN 1993-1-8"),
        (HEAD + WELD.replace('[["105 mm", "-90 mm"]', '[["-105 mm", "100 mm"]').replace('["105 mm", "90 mm"]',
         '["-105 mm", "150 mm"]'), "all lie on one straight line"),
        (HEAD, "a joint needs bolts, welds or details"),
    ],
)  # fmt: skip
def test_what_cannot_be_judged_is_refused_by_name(job, text, wording):
    with pytest.raises(InputError, match=wording):
        read_job(job(text))


def test_as_4100_takes_class_and_electrode_of_a_weld(job):
    text = (HEAD + WELD).replace('"EN 1993"', '"AS 4100"')
    text = text.replace('steel = "S355"', 'electrode = "E48XX"\nclass = "SP"')
    weld = read_job(job(text)).joints[0].welded.weld
    assert weld.electrode == "E48XX" and weld.quality == "SP"


ALIGNED = """
[joint.alignment]
point = ["0 mm", "420 mm"]
"""


def test_an_alignment_by_class_takes_the_tightest_of_the_items_named(job):
    text = HEAD + BOLTS + ALIGNED + 'class = "crane rail 1"\nitems = ["span", "straightness"]\nspan = "20 m"\n'
    aligned = read_job(job(text)).joints[0].joint.alignment
    assert aligned.tolerance == pytest.approx(4.0)
    assert aligned.basis == "tolerance of crane rail 1, span" and "ISO 12488-1" in aligned.source
    assert "ISO 12488-1" in joint_in(job(text))["movement"]["tolerance_basis"]


def test_a_turn_may_be_given_beside_an_own_tolerance(job):
    text = HEAD + BOLTS + ALIGNED + 'tolerance = "1 mm"\nturn = { offset = "0.05 mm", over = "100 mm" }\n'
    assert read_job(job(text)).joints[0].joint.alignment.turn == pytest.approx(0.5e-3)
    assert joint_in(job(text))["movement"]["turn_tolerance_mrad"] == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("keys", "wording"),
    [
        ("", "alignment needs tolerance"),
        ('class = "crane rail 1"\n', "go by the span; give span"),
        ('class = "crane rail 9"\nspan = "20 m"\n', "class 'crane rail 9' is unknown"),
        ('class = "crane rail 1"\ntolerance = "1 mm"\n', "tolerance stands against class"),
        ('tolerance = "1 mm"\nspan = "20 m"\n', "span goes with a class of tolerance"),
    ],
)
def test_an_alignment_that_says_too_little_or_too_much_is_refused(job, keys, wording):
    with pytest.raises(InputError, match=wording):
        read_job(job(HEAD + BOLTS + ALIGNED + keys))


def test_a_plate_with_its_own_holes_is_felt_in_play_and_grip(job):
    wide = joint_in(job(HEAD + BOLTS + 'holes = "oversize"\n' + ALIGNED + 'tolerance = "1 mm"\n'))
    plain = joint_in(job(HEAD + BOLTS + ALIGNED + 'tolerance = "1 mm"\n'))
    assert (wide["movement"]["travel_mm"], plain["movement"]["travel_mm"]) == (pytest.approx(3.0), pytest.approx(2.0))
    ratio = check(wide, "slip-service")["utilisation"] / check(plain, "slip-service")["utilisation"]
    assert ratio == pytest.approx(1 / 0.85)


def test_a_slot_in_one_plate_without_an_axis_is_refused(job):
    with pytest.raises(InputError, match="a slot in one plate needs its axis"):
        read_job(job(HEAD + BOLTS + 'holes = "short slot"\n'))


def test_the_kind_of_a_load_is_one_of_the_known_words(job):
    with pytest.raises(InputError, match="kind 'shaking' is unknown"):
        read_job(job((HEAD + BOLTS).replace('occurs = "10/day"', 'occurs = "10/day"\nkind = "shaking"')))
    text = (HEAD + BOLTS).replace('occurs = "10/day"', 'occurs = "10/day"\nkind = "vibration"')
    assert read_job(job(text)).loads[0].kind == "vibration"


def test_an_unknown_standard_is_told_together_with_what_else_is_wrong(job):
    text = (HEAD + ALONE + BOLTS + WELD).replace('"EN 1993"', '"EN 1994"').replace('quality = "site"', 'quality = "x"')
    with pytest.raises(InputError) as refused:
        read_job(job(text))
    assert "standard 'EN 1994' is unknown" in str(refused.value) and "quality 'x' is unknown" in str(refused.value)


def test_an_unknown_standard_alone_is_refused_and_no_fault_of_ours(job):
    with pytest.raises(InputError, match="standard 'EN 1994' is unknown"):
        read_job(job((HEAD + ALONE + BOLTS + WELD).replace('"EN 1993"', '"EN 1994"')))
