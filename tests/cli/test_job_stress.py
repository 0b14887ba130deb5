"""The key `stress` of a detail: every recipe as it stands in a job file, and what is refused in it."""

from pathlib import Path

import numpy as np
import pytest

from cli.assess import assess_file
from cli.job import read_job
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
TEXT = (JOBS / "bracket.toml").read_text(encoding="utf-8")
RECORD = (JOBS / "bracket.csv").read_bytes()
GIVEN = '{ Fy = "0.35 MPa/kN", Mz = "1.9 MPa/(kN m)" }'
SIDES = '[[["-80 mm", "-120 mm"], ["-80 mm", "120 mm"]], [["80 mm", "-120 mm"], ["80 mm", "120 mm"]]]'
I_BEAM = 'shape = "I", height = "200 mm", web_thickness = "10 mm", top_width = "100 mm", top_thickness = "10 mm"'
BOLTS = 'prying = "none", at = [["0 mm", "-50 mm"], ["0 mm", "50 mm"]], tensile_area = "245 mm2"'


def written(tmp_path, category, stress, *more, bolts=True, changes=()):
    text = TEXT.replace('"8.4-1a"', category).replace(GIVEN, stress) + "\n".join(more) + "\n"
    if not bolts:
        start, end = text.index('slip      = "never"'), text.index("[[joint.detail]]")
        text = text[:start] + text[end:]
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    (tmp_path / "bracket.csv").write_bytes(RECORD)
    (tmp_path / "bracket.toml").write_text(text, encoding="utf-8")
    return tmp_path / "bracket.toml"


@pytest.fixture
def detail_of(tmp_path):
    """The detail of the job with another category and stress."""

    def read(category, stress, *more, **how):
        return read_job(written(tmp_path, category, stress, *more, **how)).joints[0].details[0]

    return read


@pytest.fixture
def refusal_of(tmp_path):
    """What the job is refused for."""

    def read(category, stress, *more, **how):
        with pytest.raises(InputError) as refusal:
            read_job(written(tmp_path, category, stress, *more, **how))
        return "\n".join(refusal.value.problems)

    return read


def test_a_section_may_be_given_by_its_plates_and_stand_away_from_the_origin(detail_of):
    """A 3800, I 22.93e6: My of 1 Nmm at z = 100 gives 100 / 22.93e6; Fz 200 mm off in x turns by My = -200 Fz."""
    item = detail_of("71", f'{{ section = {{ normal = "x", up = "z", fibre = "+z", {I_BEAM} }} }}')
    per_My = 100 / 22_926_666.667
    assert item.coefficients == pytest.approx([1 / 3800, 0, 0, 0, per_My, 0])
    at = 'at = { x = "-200 mm", y = "0 mm", z = "0 mm" }'
    moved = detail_of("71", f'{{ section = {{ normal = "x", up = "z", fibre = "+z", {I_BEAM}, {at} }} }}')
    assert moved.coefficients == pytest.approx([1 / 3800, 0, -200 * per_My, 0, per_My, 0])


def test_all_corners_of_a_section_are_histories_of_one_detail(detail_of):
    item = detail_of("71", f'{{ section = {{ normal = "x", up = "z", fibre = "corners", {I_BEAM} }} }}')
    assert item.histories.shape == (4, 6)


def test_a_net_section_may_be_bent(detail_of):
    bar = 'force = "Fy", moment = "Mz", width = "200 mm", thickness = "10 mm", hole_diameter = "22 mm"'
    item = detail_of('"8.1-11"', f'{{ net_section = {{ {bar}, hole_offsets = ["-50 mm", "50 mm"] }} }}')
    assert item.histories[:, 5] == pytest.approx([100 / 5_548_920, -100 / 5_548_920])


def test_welds_are_given_by_their_lines_and_leg(detail_of):
    root = detail_of('"8.5-3"', f'{{ weld = {{ lines = {SIDES}, leg = "6 mm", kind = "normal" }} }}')
    assert (root.stress, root.recipe.on) == ("normal", "weld throat")
    shear = detail_of('"8.5-3t"', f'{{ weld = {{ lines = {SIDES}, throat = "5 mm", kind = "shear" }} }}')
    assert shear.histories[:, 1] == pytest.approx([1 / (480 * 5.0)] * len(shear.histories))


def test_a_hot_spot_is_given_by_the_stress_at_its_points(detail_of):
    points = 'points = "0.4 t, 1.0 t", stress = [{ Fy = "1 MPa/kN" }, { Fy = "0.8 MPa/kN" }]'
    item = detail_of('"B.1-5"', f"{{ hot_spot = {{ {points} }} }}")
    assert item.coefficients == pytest.approx([0, (1.67 - 0.67 * 0.8) * 1e-3, 0, 0, 0, 0])


def test_bolts_in_tension_take_their_group_area_and_preload_from_the_joint(detail_of):
    item = detail_of('"8.1-14"', '{ bolt_tension = { prying = 1.2, share = 0.25 } }', 'diameter = "20 mm"')
    assert item.histories[:, 2] == pytest.approx([1.2 * 0.25 / 6 / 245] * 6)
    assert item.recipe.highest == pytest.approx(0.25 * 171_500 / 245)
    by_ratio = detail_of('"8.1-14"', '{ bolt_tension = { prying = 1.2, stiffness_ratio = 3 } }', 'diameter = "20 mm"')
    assert by_ratio.histories == pytest.approx(item.histories)


def test_bolts_in_tension_may_be_given_where_the_joint_has_none(detail_of):
    bolts = f'{BOLTS}, share = 0.25, preload = "172 kN"'
    item = detail_of('"8.1-14"', f"{{ bolt_tension = {{ {bolts} }} }}", 'diameter = "20 mm"', bolts=False)
    assert item.histories[:, 2] == pytest.approx([0.25 * 0.5 / 245] * 2)
    item = detail_of(
        '"8.1-14"', f'{{ bolt_tension = {{ {BOLTS}, preload = "none" }} }}', 'diameter = "20 mm"', bolts=False
    )
    assert item.histories[:, 2] == pytest.approx([0.5 / 245] * 2)


def test_a_statement_on_the_root_is_kept_and_listed(tmp_path):
    path = written(tmp_path, '"8.5-1-71"', GIVEN, 'root = "none: full penetration"')
    (joint,) = read_job(path).joints
    assert joint.details[0].root == "none: full penetration"
    assert any("no crack from the root, none: full penetration" in line for line in joint.assumptions)


@pytest.mark.parametrize(
    ("category", "stress", "wording"),
    [
        ("71", f'{{ section = {{ normal = "x", up = "z", fibre = "+y", {I_BEAM} }} }}', "fibre '+y' is unknown"),
        ("71", '{ section = { normal = "x", shape = "I", up = "z", fibre = "+z" } }', "height is missing"),
        ("71", f'{{ section = {{ normal = "x", up = "z", {I_BEAM}, fibre = "+z", depth = "2 mm" }} }}',
         "'depth' is no key here"),
        ("71", f'{{ section = {{ normal = "x", up = "z", fibre = "+z", {I_BEAM}, at = {{ x = "1 mm" }} }} }}',
         "at is the section's centroid from the joint's origin: give x, y and z"),
        ("71", f'{{ weld = {{ lines = {SIDES}, leg = "6 mm", kind = "shear" }} }}',
         "category 71 is no shear stress class"),
        ('"8.5-3"', f'{{ weld = {{ lines = {SIDES}, leg = "6 mm" }} }}', "kind is missing"),
        ('"8.5-3"', '{ weld = { lines = ["0 mm"], leg = "6 mm", kind = "normal" } }', "lines must be a list of weld"),
        ('"8.5-3"', f'{{ weld = {{ lines = {SIDES}, kind = "normal" }} }}', "a weld needs one of throat and leg"),
        ('"8.4-1a"', '{ hot_spot = { points = "0.4 t, 1.0 t", stress = [{ Fy = "1 MPa/kN" }, { Fy = "1 MPa/kN" }] } }',
         "category 8.4-1a is for nominal stress, its recipe gives hot-spot stress"),
        ('"B.1-4"', GIVEN, "category B.1-4 is for hot-spot stress, its recipe gives nominal stress"),
        ('"B.1-4"', '{ hot_spot = { points = "0.4 t, 1.0 t", stress = [{ Fy = "1 MPa/kN" }] } }',
         "need the stress at 2 points, got 1"),
        ('"8.1-14"', "{ bolt_tension = { share = 0.25 } }", "prying is missing"),
        ('"8.1-14"', "{ bolt_tension = { prying = 0.8, share = 0.25 } }", "prying must not be below 1"),
        ('"8.1-14"', '{ bolt_tension = { prying = "none" } }', "a preloaded bolt takes only part of an outer force"),
        ('"8.1-14"', '{ bolt_tension = { prying = "none", share = "standard" } }', "gives no share of the force"),
        ('"8.1-14"', '{ bolt_tension = { prying = "none", share = 0.2, stiffness_ratio = 3 } }', "not both"),
        ('"8.1-14"', '{ bolt_tension = { prying = "none", share = 0.2, preload = "1 kN" } }',
         "preload is that of [joint.bolts]; take it away here"),
        ('"8.1-9"', '{ net_section = { force = "Fy", width = "90 mm", thickness = "9 mm", hole_diameter = "22 mm", '
         'moment = "Mz" } }', "hole_offsets is missing"),
        ("71", f'{{ on = "gross", weld = {{ lines = {SIDES}, leg = "6 mm", kind = "normal" }} }}',
         "on is not for weld, which says it by itself"),
    ],
)  # fmt: skip
def test_refused_stress_says_what_would_do(refusal_of, category, stress, wording):
    more = ('diameter = "20 mm"',) if "8.1-14" in category else ()
    assert wording in refusal_of(category, stress, *more)


NET = 'net_section = { force = "Fy", width = "200 mm", thickness = "10 mm", holes = 2, hole_diameter = "22 mm" }'


def test_a_net_section_is_kept_beside_the_gross_one(detail_of):
    item = detail_of('"8.1-10"', '{ Fy = "0.5 MPa/kN" }', NET)
    assert item.histories[:, 1] == pytest.approx([5e-4, 1 / 1560])


def test_a_net_section_in_oversize_holes_is_refused(refusal_of):
    told = refusal_of('"8.1-10"', '{ Fy = "0.5 MPa/kN" }', NET, changes=[('holes = "normal"', 'holes = "oversize"')])
    assert "a net section for a joint that slips is judged with bolts in normal holes" in told


def test_a_joint_that_slips_has_its_plate_judged_on_the_net_section_and_says_so(tmp_path):
    more = [('preload = "full"', 'preload = "none"'), ('slip      = "never"', 'slip = "allowed"')]
    contract = assess_file(written(tmp_path, '"8.1-10"', '{ Fy = "0.5 MPa/kN" }', NET, changes=more))
    (joint,) = contract["joints"]
    (item,) = joint["details"]
    assert (item["catalogue"], item["category"]) == ("8.1-13", "50")
    assert item["largest_range_MPa"] == pytest.approx(21_500 / 1560, rel=0.01)
    assert any("judged on the net section with category 8.1-13" in line for line in item["remarks"])
    (warning,) = [item for item in joint["warnings"] if item["code"] == "gross-section-lost"]
    assert "it is judged on the net section with category 8.1-13 instead" in warning["text"]


def test_a_root_that_nobody_judges_is_warned_of_until_it_is_judged(tmp_path):
    toe = assess_file(written(tmp_path, '"8.5-1-71"', GIVEN))["joints"][0]["warnings"]
    told = [item["text"] for item in toe if item["code"] == "root-not-judged"]
    assert len(told) == 2
    assert "no detail of this joint has category 8.5-3" in told[0]
    roots = [
        f'[[joint.detail]]\nname = "root {kind}"\ncategory = "{category}"\n'
        f'stress = {{ weld = {{ lines = {SIDES}, leg = "6 mm", kind = "{kind}" }} }}\n'
        for kind, category in (("normal", "8.5-3"), ("shear", "8.5-3t"))
    ]
    both = assess_file(written(tmp_path, '"8.5-1-71"', GIVEN, *roots))["joints"][0]
    assert "root-not-judged" not in {item["code"] for item in both["warnings"]}
    assert np.isfinite([item["damage"] for item in both["details"]]).all()
    assert any("stress histories governs: weld line" in line for line in both["details"][1]["remarks"])
