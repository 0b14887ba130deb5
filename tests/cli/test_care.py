"""The place of a joint, the rules of the trade that follow from it, and the plan of inspection and care."""

import csv
import io
import shutil
from pathlib import Path

import pytest

from cli.assess import assess_file, assess_job
from cli.care import COLUMNS, care_csv
from cli.job import read_job
from cli.job_changes import change_of
from cli.note import note_html
from cli.screen import summary
from loadhistories.tables import read_table
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
PLACE = """
[joint.place]
kind = "column base"
access = "hidden"
position = "overhead"
coating = "zinc, then paint"
pulled_across = "end plate"
through_thickness = "Z25"
main_inspection = "2 year"

[joint.column]
beam = { second_moment = "8e7 mm4", length = "8 m", far_end = "fixed" }
above = { second_moment = "4e7 mm4", length = "4 m", far_end = "fixed" }
below = { second_moment = "4e7 mm4", length = "4 m", far_end = "fixed" }
fixed_end_moment = "96 kN m"
reaction = "120 kN"
eccentricity = "150 mm"
connection = "rigid"
modulus = "200 GPa"

[joint.alignment]
"""
WELDED = """
title = "bracket on a flange"
standard = "EN 1993"
design_life = "25 year"
[[load]]
name = "working"
history = "bracket.csv"
occurs = "16 h/day"
[load.components]
Fz = { column = "Vertical", unit = "kN" }
[[joint]]
name = "bracket"
permanent = { Fz = "-1000 kN" }
[joint.place]
kind = "fin plate"
[[joint.weld]]
lines = [[["-60 mm", "-50 mm"], ["-60 mm", "50 mm"]], [["60 mm", "-50 mm"], ["60 mm", "50 mm"]]]
leg = "8 mm"
steel = "S355"
quality = "site"
"""


@pytest.fixture
def folder(tmp_path, monkeypatch):
    for name in ("bracket.toml", "bracket.csv"):
        shutil.copy(JOBS / name, tmp_path / name)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def assessed(folder):
    """The contract of the bracket with a text put in and with keys changed."""

    def found(*settings, place=""):
        text = (JOBS / "bracket.toml").read_text(encoding="utf-8")
        if place:
            assert "\n[joint.alignment]\n" in text
            text = text.replace("\n[joint.alignment]\n", place)
        (folder / "bracket.toml").write_text(text, encoding="utf-8")
        return assess_job(read_job("bracket.toml", [change_of(item) for item in settings]))

    return found


def codes(contract):
    return {item["code"]: item for item in contract["joints"][0]["warnings"]}


def care(contract):
    return {item["code"]: item for item in contract["joints"][0]["care_plan"]}


def test_nothing_is_warned_of_that_nobody_spoke_of(assessed):
    trade = set(read_table("slip", "trade")) - {"first-service-check"}
    assert not trade & set(codes(assessed()))


def test_a_hidden_column_base_near_a_coating_is_warned_of_with_what_stands_behind(assessed):
    found = codes(assessed("joint.bolts.rows=3", "joint.bolts.columns=1", place=PLACE))
    assert {"hidden-joint", "column-base-bolts", "stiff-joint-on-column", "lamellar-tearing"} <= set(found)
    assert "here it has 3" in found["column-base-bolts"]["text"]
    assert "29 CFR 1926.755(a)(1) (from memory)" in found["column-base-bolts"]["clause"]
    assert found["lamellar-tearing"]["clause"] == "EN 1993-1-10:2005, 3, with grades by EN 10164"
    assert "end plate is pulled across its thickness" in found["lamellar-tearing"]["text"]
    assert "grade Z25, as stated" in found["lamellar-tearing"]["text"]
    assert found["hidden-joint"]["clause"] == "common practice, no source"


def test_the_moment_in_the_column_is_that_of_the_hand_calculation(assessed):
    # 76 kN m against 18 kN m: worked by hand in tests/slip/test_column_moment.py.
    contract = assessed(place=PLACE)
    (joint,) = contract["joints"]
    assert joint["column"]["stiff_Nmm"] == pytest.approx(76e6)
    assert joint["column"]["pinned_Nmm"] == pytest.approx(18e6)
    text = codes(contract)["stiff-joint-on-column"]["text"]
    assert "brings 76 kN m into the supporting column (38 kN m above and 38 kN m below), against 18 kN m" in text
    page = note_html(contract)
    assert "Moment in the supporting column" in page
    assert "no check of this note counts it" in page
    softer = PLACE.replace('connection = "rigid"', "connection_stiffness_kNm_per_rad = 16000")
    assert assessed(place=softer)["joints"][0]["column"]["stiff_Nmm"] == pytest.approx(61.5e6)


def test_four_bolts_in_one_line_do_not_hold_a_column_upright(assessed):
    line = codes(assessed("joint.bolts.rows=4", "joint.bolts.columns=1", place=PLACE))
    assert "all bolts stand in one line" in line["column-base-bolts"]["text"]
    square = codes(assessed("joint.bolts.rows=2", "joint.bolts.columns=2", place=PLACE))
    assert "column-base-bolts" not in square


def test_a_weld_that_is_only_proposed_is_warned_of_where_it_would_be_made(assessed):
    holds = codes(assessed(place=PLACE))
    slips = codes(assessed("joint.bolts.size=M12", "joint.bolts.surface=D", place=PLACE))
    assert not {"overhead-weld", "weld-near-coating"} & set(holds)
    assert slips["overhead-weld"]["text"].startswith("a weld instead of the bolts would be made overhead")
    assert "(zinc, then paint)" in slips["weld-near-coating"]["text"]


def test_a_hidden_joint_of_a_damage_tolerant_design_contradicts_itself(assessed):
    place = PLACE
    safe = codes(assessed(place=place))
    tolerant = codes(assessed('fatigue={ concept = "damage tolerant", consequence = "high" }', place=place))
    assert "hidden-damage-tolerant" not in safe
    assert tolerant["hidden-damage-tolerant"]["clause"] == "EN 1993-1-9:2005, 3 (from memory)"


def test_welds_of_the_site_and_a_plate_that_they_pull_are_warned_of(folder):
    (folder / "welded.toml").write_text(WELDED, encoding="utf-8")
    found = codes(assess_file("welded.toml"))
    assert "counted in full, as the standard makes no difference" in found["site-weld"]["text"]
    assert "fin-plate-welded" in found
    assert "lamellar-tearing" not in found
    (folder / "welded.toml").write_text(WELDED.replace("-1000 kN", "10 kN"), encoding="utf-8")
    pulled = codes(assess_file("welded.toml"))
    said = "the part that the welds stand on is pulled across its thickness (up to"
    assert said in pulled["lamellar-tearing"]["text"]
    (folder / "welded.toml").write_text(WELDED.replace('quality = "site"', 'quality = "shop"'), encoding="utf-8")
    assert "site-weld" not in codes(assess_file("welded.toml"))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"column base"', '"column bse"', "kind 'column bse' is unknown; did you mean 'column base'"),
        ('"hidden"', '"shut"', "access 'shut' is unknown"),
        ('pulled_across = "end plate"', 'pulled_across = "flange"', "'flange' is no plate of this joint"),
        ('far_end = "fixed"', 'far_end = "held"', "far_end 'held' is unknown"),
        ('connection = "rigid"\n', "", 'give either connection = "rigid" or connection_stiffness_kNm_per_rad'),
        ('reaction = "120 kN"', "reaction = 120", "reaction"),
        ("eccentricity", "excentricity", "'excentricity' is no key here; did you mean 'eccentricity'"),
    ],
)
def test_what_cannot_be_meant_of_the_place_is_refused(assessed, old, new, said):
    assert old in PLACE
    with pytest.raises(InputError, match=said.replace("(", r"\(")):
        assessed(place=PLACE.replace(old, new))


def test_the_less_margin_of_preload_the_sooner_the_bolts_are_looked_at(assessed):
    share = {}
    for preload, code in (("full", "preload-ample"), ("85 kN", "preload-look-after"), ("74 kN", "preload-closely")):
        contract = assessed(f"joint.bolts.preload={preload}", "joint.slip=not in service")
        share[code] = contract["joints"][0]["slip"]["levels"][0]["preload_at_slip_share"]
        assert code in care(contract), (preload, share, list(care(contract)))
    assert share["preload-ample"] <= 0.7 < share["preload-look-after"] <= 0.85 < share["preload-closely"] < 1.0


def test_what_is_accepted_of_the_preload_is_where_the_joint_begins_to_slip(assessed):
    contract = assessed()
    (joint,) = contract["joints"]
    service, ultimate = joint["slip"]["levels"]
    least = max(service["preload_at_slip_share"], ultimate["preload_at_slip_share"])
    row = care(contract)["preload-ample"]
    assert f"no bolt below {100 * least:.3g} % of the specified one ({least * 171.5:.4g} kN)" in row["acceptance"]
    assert f"{100 * service['preload_at_slip_share']:.3g} % at service level" in row["because"]


def test_a_joint_that_slips_in_service_is_not_kept_by_inspection(assessed):
    row = care(assessed("joint.bolts.size=M12", "joint.bolts.surface=D", "joint.slip=not in service"))["preload-slips"]
    assert row["interval_years"] is None
    assert "does not stop a joint that slips" in row["method"]
    assert "at service level not even the full preload is enough" in row["acceptance"]


def test_main_inspections_of_the_user_give_the_interval_and_a_hidden_joint_has_none_that_can_be_done(assessed):
    row = care(assessed(place=PLACE))["crack-safe-life"]
    assert (row["interval"], row["interval_years"]) == ("each main inspection, every 2 years", 2.0)
    assert row["possible"] is False
    assert "hidden: this cannot be done until it is opened" in row["method"]
    plain = care(assessed())["crack-safe-life"]
    assert (plain["interval"], plain["interval_years"], plain["possible"]) == ("each main inspection", None, True)


def test_the_care_plan_is_on_the_screen_in_the_note_and_in_its_file(griplife, assessed, folder):
    contract = assessed(place=PLACE)
    shown = griplife("assess", "bracket.toml", "--care-plan", "plan.csv")
    rows = list(csv.DictReader((folder / "plan.csv").read_text(encoding="utf-8").splitlines()))
    assert shown.exit_code == 0, shown.stderr
    assert [row["what"] for row in rows] == [item["what"] for item in contract["joints"][0]["care_plan"]]
    assert tuple(rows[0]) == COLUMNS
    assert rows[0]["possible"] == "no, hidden"
    assert "Care, preload of the bolts: 1 to 5 days after tightening" in summary(contract, colour=False)
    page = note_html(contract)
    assert "Inspection and care plan" in page
    assert all(item["acceptance"] in page.replace("&#39;", "'") for item in contract["joints"][0]["care_plan"])
    printed = griplife("assess", "bracket.toml", "--care-plan", "-")
    assert list(csv.DictReader(io.StringIO(printed.stdout))) == rows
    assert griplife("assess", "bracket.toml", "--care-plan", "-", "--json", "-").exit_code == 2


def test_texts_of_the_job_are_harmless_in_the_file(assessed):
    contract = assessed("joint.name==1+1")
    assert care_csv(contract).decode("utf-8").splitlines()[1].startswith("'=1+1,")


INSPECTION = (
    'joint.detail.inspection={ crack = "surface", thickness = "20 mm", width = "300 mm", bending_share = 0.3, '
    'law = "simplified", condition = "as welded", method = "magnetic particles", source = "trial on a sample", '
    'depth = "2 mm", length = "10 mm", highest_stress = "150 MPa", residual_stress = "100 MPa", '
    'toughness_MPa_sqrt_m = 120, toughness_share = 0.7, share = 0.5PLANNED }'
)


def test_a_crack_is_looked_for_as_often_as_its_growth_asks_or_the_user_plans(assessed):
    stress = "joint.detail.stress={ Fy = \"2 MPa/kN\" }"
    (joint,) = assessed(INSPECTION.replace("PLANNED", ""), stress)["joints"]
    inspection = joint["details"][0]["inspection"]
    row = next(item for item in joint["care_plan"] if item["code"] == "crack-planned")
    assert row["interval_years"] == inspection["interval_years"]
    assert row["method"] == "magnetic particles"
    assert "one 2 mm deep is counted on to be found (trial on a sample)" in row["acceptance"]
    half = 0.5 * inspection["interval_years"] * 365.25
    (joint,) = assessed(INSPECTION.replace("PLANNED", f', planned = "{half} day"'), stress)["joints"]
    row = next(item for item in joint["care_plan"] if item["code"] == "crack-planned")
    assert row["interval_years"] == pytest.approx(half / 365.25)
    double = 4.0 * half
    (joint,) = assessed(INSPECTION.replace("PLANNED", f', planned = "{double} day"'), stress)["joints"]
    row = next(item for item in joint["care_plan"] if item["code"] == "crack-planned")
    assert row["interval_years"] == inspection["interval_years"]
    assert "are too long" in row["because"]


def test_bolts_without_preload_cracked_details_and_slip_that_is_allowed_have_rows_of_their_own(assessed):
    loose = care(assessed("joint.bolts.preload=none", "joint.slip=allowed"))
    assert "a spanner on every nut" in loose["tightness"]["method"]
    shaken = care(assessed("joint.bolts.preload=none", "joint.slip=allowed", "load.kind=vibration"))
    assert shaken["tightness-shaken"]["interval"] == "every year"
    cracked = care(assessed("joint.detail.crack=found"))
    assert (cracked["crack-found"]["first"], cracked["crack-found"]["acceptance"]) == ("now", "nothing")
    sliding = assessed("joint.bolts.size=M12", "joint.bolts.surface=D", "joint.slip=allowed")
    rows = care(sliding)
    assert rows["preload-slip-allowed"]["interval_years"] == 1.0
    assert "the play of the holes" in rows["slip-signs"]["acceptance"]
    times = sliding["joints"][0]["slip"]["levels"][0]["events_in_life"]
    assert f"{times:.3g} times in the life" in rows["slip-signs"]["because"]
