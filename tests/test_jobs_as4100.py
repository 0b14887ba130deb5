"""A whole job to AS 4100:2020, section 11, against numbers worked by hand.

Record: 0, 80, 35, 70, 50, 62.5, 0 kN. By the rainflow rule one event has one cycle each of 80, 35 and 12.5 kN.
Twenty events a day over 25 years of 365.25 days are 20 x 9131.25 = 182 625 events.
Capacity factor 0.7: the load path is not redundant, the other conditions of 11.1.6 are met.
"""

import json
from pathlib import Path

import pytest

JOB = Path(__file__).parent / "jobs" / "as4100_fatigue.toml"
EVENTS = 182_625


@pytest.fixture(scope="module")
def contract():
    from cli.assess import assess_file

    return assess_file(JOB)


def details(contract):
    return {detail["name"]: detail for joint in contract["joints"] for detail in joint["details"]}


def figures(detail):
    return {figure["symbol"]: figure["value"] for figure in detail["figures"]}


def test_the_job_holds_and_names_its_edition_and_its_capacity_factor(contract):
    assert contract["state"] == "holds"
    assert contract["standard"]["editions"]["fatigue"] == "AS 4100:2020"
    assert contract["fatigue_basis"]["phi"] == 0.7
    assert contract["fatigue_basis"]["choices"]["load_path"] == "not redundant"
    assert contract["fatigue_basis"]["clause"] == "AS 4100:2020, 11.1.6"


def test_toe_of_a_stiffener_in_a_thick_plate_worked_by_hand(contract):
    """1 MPa/kN makes ranges of 80, 35 and 12.5 MPa; category 80 in a plate of 32 mm.

    beta_tf = (25/32)^0.25 = 0.781250^0.25 = 0.940151;  f_rn,c = 0.940151 x 80 = 75.2121 MPa
    f_3,c = 0.4^(1/3) f_rn,c = 0.736806 x 75.2121 = 55.4168;  0.7 f_3,c = 38.7917 MPa
    f_5,c = 0.05^(1/5) f_3,c = 0.549280 x 55.4168 = 30.4393;  0.7 f_5,c = 21.3075 MPa
    80 MPa lies above 38.79: 182 625 / 5e6 x (80 / 38.7917)^3 = 0.036525 x 8.77109 = 0.320364
    35 MPa lies between:     182 625 / 5e6 x (35 / 38.7917)^5 = 0.036525 x 0.597924 = 0.021839
    12.5 MPa lies below 21.31: nothing.  Sum 0.342203; life 25 / 0.342203 = 73.06 years
    Largest range 80 against 1.5 x 300; largest stress 80 + 40 permanent against 300 MPa.
    """
    toe = details(contract)["stiffener across the flange, weld toe"]
    shown = figures(toe)
    assert shown["beta_tf"] == pytest.approx(0.940151, rel=1e-5)
    assert shown["f_rn,c"] == pytest.approx(75.2121, rel=1e-5)
    assert (shown["f_3,d"], shown["f_5,d"]) == pytest.approx((38.7917, 21.3075), rel=1e-5)
    assert (shown["D_3"], shown["D_5"]) == pytest.approx((0.320364, 0.021839), rel=1e-5)
    assert toe["damage"] == pytest.approx(0.342203, rel=1e-5)
    assert shown["D_curve"] == pytest.approx(toe["damage"], rel=1e-12)
    assert toe["life_years"] == pytest.approx(73.06, rel=1e-4)
    assert toe["cycles_per_life"] == pytest.approx(3 * EVENTS)
    # 11.4: 26 x 0.7 = 18.2 MPa; 2e6 (36 x 0.7 / 80)^3 = 2e6 x 0.315^3 = 62 512 cycles
    assert (shown["f_x,d"], shown["n_x"]) == pytest.approx((18.2, 62_511.75))
    assert not any("11.4" in remark for remark in toe["remarks"])
    _, largest, top = toe["checks"]
    assert (largest["demand"], largest["resistance"]) == pytest.approx((80.0, 450.0))
    assert (top["demand"], top["resistance"]) == pytest.approx((120.0, 300.0))


def test_shear_of_a_fillet_weld_worked_by_hand(contract):
    """1600 mm2 make ranges of 50, 21.875 and 7.8125 MPa; category 80 in shear, slope 5.

    0.7 x 80 = 56 MPa;  cut-off 0.02^(1/5) x 56 = 0.457305 x 56 = 25.609 MPa: only 50 MPa counts
    182 625 / 2e6 x (50 / 56)^5 = 0.0913125 x 0.567427 = 0.0518132;  life 25 / 0.051813 = 482.5 years
    """
    weld = details(contract)["fillet weld along the hanger"]
    assert weld["largest_range_MPa"] == pytest.approx(50.0)
    assert figures(weld)["f_5s,d"] == pytest.approx(25.609, rel=1e-4)
    assert weld["damage"] == pytest.approx(0.0518132, rel=1e-5)
    assert weld["life_years"] == pytest.approx(482.5, rel=1e-3)


def test_constant_range_of_a_cut_edge_worked_by_hand(contract):
    """Three cycles of 20 kN in each of 200 000 events are 600 000 cycles of 40 MPa; category 100.

    11.8.1: f_c = 100 (2e6 / 6e5)^(1/3) = 149.380; 0.7 f_c = 104.566;  40 / 104.566 = 0.38253
    11.8.2: 0.7 f_3,c = 0.7 x 73.6806 = 51.5764 > 40:  6e5 / 5e6 x (40 / 51.5764)^5 = 0.12 x 0.280571 = 0.033669
    11.7 would ask for no further assessment: no range is above 51.58 MPa.
    Largest stress: -10 kN and -5 kN permanent at 2 MPa/kN are 30 MPa.
    """
    edge = details(contract)["cut edge of the bracket"]
    assert edge["damage"] == pytest.approx(0.033669, rel=1e-4)
    assert edge["cycles_per_life"] == pytest.approx(600_000)
    by_id = {check["id"]: check for check in edge["checks"]}
    assert by_id["fatigue:1:constant"]["utilisation"] == pytest.approx(0.38253, rel=1e-4)
    assert by_id["fatigue:1:constant"]["resistance"] == pytest.approx(104.566, rel=1e-4)
    assert by_id["fatigue:1:stress"]["demand"] == pytest.approx(30.0)
    assert any("11.7" in remark and "51.58 MPa" in remark for remark in edge["remarks"])


def test_the_note_prints_the_sums_with_their_clause(contract):
    from cli.note import note_html

    page = note_html(json.loads(json.dumps(contract)))
    assert "AS 4100:2020, 11.8.2" in page
    assert "cubic sum" in page
    assert "11.1.6" in page
    assert "EN 1993" not in page


def test_the_listing_of_details_shows_the_catalogue():
    from cli.catalogue import catalogue_text

    text = catalogue_text("AS 4100")
    assert text.startswith("AS 4100:2020: 34 details\n")
    assert max(map(len, text.splitlines())) <= 80
    assert "m: recalled, not read in the standard" in text


def changed(tmp_path, *replacements):
    """The assessment of the job with some of its text replaced."""
    from cli.assess import assess_file

    text = JOB.read_text(encoding="utf-8")
    for old, new in replacements:
        assert text.count(old) == 1
        text = text.replace(old, new)
    (tmp_path / JOB.name).write_text(text, encoding="utf-8")
    record = JOB.with_suffix(".csv")
    (tmp_path / record.name).write_bytes(record.read_bytes())
    return assess_file(tmp_path / JOB.name)


def test_without_a_choice_the_strictest_condition_is_taken_and_stated(tmp_path):
    text = JOB.read_text(encoding="utf-8")
    found = changed(tmp_path, (text[text.index("[fatigue]") : text.index("[[load]]")], ""))
    assert found["fatigue_basis"]["phi"] == 0.7
    assert sum("the stricter choice" in text for text in found["assumptions"]) == 3
    assert any("names no number" in remark for remark in details(found)["cut edge of the bracket"]["remarks"])


def test_a_capacity_factor_of_the_users_own_is_used_and_listed_as_a_deviation(tmp_path):
    """Shear has slope 5: the sum of 0.0518132 at 0.7 is 0.0518132 x (0.7 / 0.5)^5 = 0.278664 at 0.5, where 21.875 MPa
    comes above the cut-off of 0.457305 x 40 = 18.292 MPa and adds 182 625 / 2e6 x (21.875 / 40)^5 = 0.004467.
    """
    own = 'load_path  = "not redundant"\ncapacity_factor = 0.5\nbecause = "one hanger for the whole bin"'
    found = changed(tmp_path, ('load_path  = "not redundant"', own))
    assert any("capacity factor 0.5 in place of the 0.7" in text for text in found["assumptions"])
    weld = details(found)["fillet weld along the hanger"]
    assert weld["damage"] == pytest.approx(0.278664 + 0.004467, rel=1e-4)


def test_normal_and_shear_stress_at_one_place_are_added(tmp_path):
    """0.342203 and 0.0518132 are 0.394016."""
    place = [
        (f'"{name}"', f'"{name}"\npoint = "hanger foot"')
        for name in ("stiffener across the flange, weld toe", "fillet weld along the hanger")
    ]
    # a crack from the toe and one from the root are two places: the stiffener becomes a category without either
    found = changed(tmp_path, *place, ('"11.5.1(4)-28a"', '"11.5.1(3)-21"'))
    (check,) = found["joints"][0]["checks"]
    assert (check["id"], check["clause"]) == ("fatigue:point:1", "AS 4100:2020, 11.8.2(c)")
    assert check["demand"] == pytest.approx(0.394016, rel=1e-5)
