"""Keys, dowels, groove welds and the recipes that belong to them, as a job file states them."""

from pathlib import Path

import numpy as np
import pytest

from cli.assess import assess_file
from cli.job import read_job
from loadhistories.validation import InputError

JOB = Path(__file__).parents[1] / "jobs" / "compare_en1993.toml"
KEY = """
[joint.shear_key]
axis = "y"
width = "50 mm"
depth = "12 mm"
length = "24 mm"
steel = "S355"
weld = { leg = "12 mm", steel = "S355" }
"""
DOWELS = """
[joint.dowels]
at = [["-130 mm", "0 mm"], ["130 mm", "0 mm"]]
diameter = "25 mm"
steel = "S355"
clearance = "0.1 mm"
"""
DETAIL = """
[[joint.detail]]
name = "d"
category = "%s"
stress = { %s }
toe = "none: judged elsewhere"
"""
WELDS = """
[[joint.weld]]
lines = [[["-100 mm", "-90 mm"], ["-100 mm", "90 mm"]], [["100 mm", "-90 mm"], ["100 mm", "90 mm"]]]
quality = "shop"
%s
"""


def job(tmp_path, *added, without=()):
    text = JOB.read_text(encoding="utf-8")
    for part in without:
        begin = text.index(part)
        end = text.find("\n\n", begin)
        text = text[:begin] + (text[end:] if end > 0 else "")
    (tmp_path / "compare_en1993.csv").write_bytes(JOB.with_suffix(".csv").read_bytes())
    (tmp_path / "job.toml").write_text(text + "".join(added), encoding="utf-8")
    return tmp_path / "job.toml"


def refusal(tmp_path, *added, **further):
    with pytest.raises(InputError) as refused:
        read_job(job(tmp_path, *added, **further))
    return "\n".join(refused.value.problems)


def checks(path):
    (joint,) = assess_file(path)["joints"]
    return joint, {check["id"]: check for check in joint["checks"]}


def test_a_key_takes_the_force_along_its_axis_from_the_bolts(tmp_path):
    joint, found = checks(job(tmp_path, KEY))
    assert found["slip-ultimate"]["demand"] == 0.0
    assert found["key-shear"]["demand"] == pytest.approx(180e3)
    assert "Fy goes to the key whole" in " ".join(joint["assumptions"])


def test_dowels_take_all_that_acts_in_the_plane_and_leave_their_own_play(tmp_path):
    aligned = '\n[joint.alignment]\npoint = ["0 mm", "0 mm"]\ntolerance = "1 mm"\n'
    joint, found = checks(job(tmp_path, DOWELS, aligned))
    assert found["slip-ultimate"]["demand"] == 0.0
    assert found["dowel-shear"]["demand"] == pytest.approx(90e3)
    assert joint["movement"]["at_point_worst_mm"] == pytest.approx(0.2)


def test_the_permanent_load_goes_to_the_key_too(tmp_path):
    path = job(tmp_path, KEY)
    path.write_text(path.read_text(encoding="utf-8").replace("factors =", 'permanent = { Fy = "-10 kN" }\nfactors ='))
    given = read_job(path).joints[0]
    assert given.permanent[1] == -10e3 and not np.any(given.joint.permanent)
    assert checks(path)[1]["key-shear"]["demand"] == pytest.approx(180e3 + 13.5e3)


@pytest.mark.parametrize(
    ("category", "stress", "added"),
    [
        ("8.1-15f", "bolt_shear = {}", ""),
        ("8.1-15f", "dowel_shear = {}", DOWELS),
        ("8.5-3", 'key_weld = { kind = "normal" }', KEY),
        ("8.5-3t", 'key_weld = { kind = "shear" }', KEY),
        ("8.5-3t", 'key_weld = { kind = "normal", counts_as = "shear" }', KEY),
    ],
)
def test_recipes_of_what_bears_in_shear(tmp_path, category, stress, added):
    joint, _ = checks(job(tmp_path, added, DETAIL % (category, stress)))
    assert joint["details"][0]["damage"] > 0.0


@pytest.mark.parametrize(
    ("added", "words"),
    [
        ((KEY, DOWELS), "give shear_key or dowels, not both"),
        ((KEY.replace('"y"', '"z"'),), "axis 'z' is unknown"),
        ((KEY.replace('leg = "12 mm", ', ""),), "leg is missing"),
        ((DOWELS.replace('["130 mm", "0 mm"]', '["-130 mm", "0 mm"]'),), "two dowels stand at one place"),
        ((DOWELS.replace(', ["130 mm", "0 mm"]', ""),), "at must be a list of two dowels or more"),
        ((DETAIL % ("8.1-15f", "dowel_shear = {}"),), "dowel_shear is for joints with a table [joint.dowels]"),
        ((DETAIL % ("8.5-3", 'key_weld = { kind = "normal" }'),), "key_weld is for joints with a table"),
        ((DETAIL % ("8.1-15f", "bolt_shear = { kind = 1 }"),), "'kind' is no key here"),
    ],
)
def test_keys_and_dowels_that_cannot_be_are_refused(tmp_path, added, words):
    assert words in refusal(tmp_path, *added)


def test_plates_say_on_which_side_they_go_on(tmp_path):
    assert read_job(JOB).joints[0].joint.plates[0].reaches == "-y"
    path = job(tmp_path)
    path.write_text(path.read_text(encoding="utf-8").replace('"-y"', '"down"'), encoding="utf-8")
    with pytest.raises(InputError, match="reaches 'down' is unknown"):
        read_job(path)


SHARED = '\n[joint.sharing]\ncarried_by = "welds"\n'


@pytest.mark.parametrize(
    ("weld", "strength", "clause"),
    [
        ('kind = "partial penetration"\ndepth = "8 mm"\nsteel = "S355"', 5 * 241.204, "4.7.2"),
        ('kind = "full penetration"\nthickness = "16 mm"\nsteel = "S355"', 16 * 355 / 3**0.5, "4.7.1"),
        ('leg = "10 mm"\nsteel = "S355"\nstrength_factor = 0.5', 0.5 * 7 * 241.204, "4.5.3"),
    ],
)
def test_kinds_of_welds_and_a_factor_of_the_users_own(tmp_path, weld, strength, clause):
    _, found = checks(job(tmp_path, WELDS % weld, SHARED))
    assert found["weld-strength"]["resistance"] == pytest.approx(strength, rel=1e-5)
    assert clause in found["weld-strength"]["clause"]


@pytest.mark.parametrize(
    ("weld", "words"),
    [
        ('kind = "plug"\nleg = "6 mm"\nsteel = "S355"', "kind 'plug' is unknown"),
        ('kind = "partial penetration"\nsteel = "S355"', "depth is missing"),
        ('kind = "partial penetration"\ndepth = "2 mm"\nsteel = "S355"', "depth must be above the 3 mm"),
        ('kind = "full penetration"\nthickness = "16 mm"\nleg = "6 mm"\nsteel = "S355"', "'leg' is no key here"),
        ('leg = "6 mm"\nsteel = "S355"\nstrength_factor = 1.5', "strength factor must not be above 1, got 1.5"),
    ],
)
def test_welds_that_cannot_be_are_refused(tmp_path, weld, words):
    assert words in refusal(tmp_path, WELDS % weld, SHARED)
