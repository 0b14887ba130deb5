import tomllib
from pathlib import Path

import numpy as np
import pytest

from fatigue.assessment import StressWalk, assess_details
from fatigue.catalogue import catalogue, find_details
from fatigue.curves import life_curve
from fatigue.detail import detail
from fatigue.standards import as4100
from fatigue.standards import standard as rules_of
from fatigue.stress import stress_of_net_section, stress_of_shear_area, stress_per_component
from loadhistories.blocks import block_of_arrays
from loadhistories.tables import read_table
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_as4100.toml").read_text())["case"]
YEAR = 31_557_600.0
REFERENCE = {"load_path": "redundant", "inspection": "regular", "loading": "not highly irregular"}
LOOSE = REFERENCE | {"load_path": "not redundant"}
PLATE = stress_per_component({"Fy": 1.0})


def plain(category=80, recipe=PLATE, **given_):
    return detail("edge", standard="AS 4100", recipe=recipe, category=category, **given_)


def outcomes(item, history, *, slips=None, repeats=1.0, basis=LOOSE, permanent=0.0):
    block = block_of_arrays("working", {"Fy": np.asarray(history, dtype=float)}, step=1.0, repeats=repeats)
    walk = StressWalk([item])
    for chunk in block.chunks():
        walk.feed(chunk)
    return assess_details(
        [item], [walk.counts()], blocks=[("working", repeats)], standard="AS 4100", basis=basis,
        design_life=25 * YEAR, slips=slips, permanent=[0.0, permanent, 0.0, 0.0, 0.0, 0.0],
    )[0]  # fmt: skip


def test_a_plate_with_bolts_of_friction_type_needs_grip():
    gross = plain("11.5.1(1)-3-gross", recipe=stress_per_component({"Fy": 1.0}, stress="normal", on="gross"))
    assert outcomes(gross, [0, 50, 0], slips=False).state == "holds"
    unknown = outcomes(gross, [0, 50, 0], slips=None)
    assert unknown.state == "not judged"
    assert "whether the joint slips under its fatigue loads is not known" in unknown.reason
    assert "take the net section with 11.5.1(1)-3-net" in outcomes(gross, [0, 50, 0], slips=True).reason


def test_a_slipping_joint_leaves_its_plate_the_net_section_unless_the_load_reverses():
    gross = as4100.row_of("11.5.1(1)-3-gross")
    assert as4100.category_without_grip(gross, reverses=False) == "11.5.1(1)-3-net"
    assert as4100.category_without_grip(gross, reverses=True) is None
    assert as4100.category_without_grip(gross, reverses=None) is None
    assert as4100.category_without_grip(as4100.row_of("11.5.1(1)-4"), reverses=False) is None


def test_a_slipping_joint_with_a_known_net_section_is_judged_on_it():
    net = stress_of_net_section("Fy", width=100.0, thickness=10.0, holes=1, hole_diameter=22.0)
    gross = plain("11.5.1(1)-3-gross", recipe=stress_per_component({"Fy": 1e-3}, stress="normal", on="gross"), net=net)
    outcome = outcomes(gross, [0, 50e3, 0], slips=True, repeats=1e5)
    assert outcome.detail.category == "11.5.1(1)-3-net"
    # 50 kN on (100 - 22) 10 mm2 is 64.10 MPa, 1e5 times against 98 MPa at 2e6
    assert outcome.result.damage == pytest.approx(1e5 / 5e6 * (64.1026 / (0.7 * 140 * 0.4 ** (1 / 3))) ** 5, rel=1e-5)


def test_bolts_in_shear_are_for_loads_without_reversal():
    bolt = plain("11.5.1(1)-8", recipe=stress_of_shear_area("Fy", 245.0))
    assert outcomes(bolt, [0, 10e3, 0]).state == "holds"
    assert "the load on the detail reverses" in outcomes(bolt, [-10e3, 10e3, -10e3]).reason
    assert outcomes(bolt, [-10e3, 10e3, -10e3], permanent=11e3).state == "holds"


def test_bolts_in_tension_have_category_36_where_en_1993_has_50():
    wanted = CASES["bolts_in_tension"]["expected"]
    row = as4100.row_of("11.5.1(1)-9")
    assert (row.category, row.stress_on) == (wanted["AS_4100"], "tensile stress area")
    assert rules_of("EN 1993").row_of("8.1-14").category == wanted["EN_1993"]


def test_every_row_is_a_class_of_its_curve_has_its_slope_and_is_marked_as_recalled():
    forms = read_table("fatigue.standards.as4100", "curves")
    for row in catalogue("AS 4100"):
        assert row.category in forms[row.stress]["classes_MPa"], row.id
        assert as4100.curve_of_row(row).slopes[0] == row.slope, row.id
        assert row.id.startswith(f"{row.table}-"), row.id
        assert row.unconfirmed, row.id


def test_rows_referred_to_exist_and_a_toe_names_its_throat():
    known = {row.id: row for row in catalogue("AS 4100")}
    for row in known.values():
        assert set(row.also) <= set(known), row.id
    assert "11.5.1(4)-30b" in known["11.5.1(4)-30a"].also
    assert as4100.WELD_THROAT["normal"] in known
    assert known[as4100.WELD_THROAT["shear"]].stress == "shear"


def test_details_are_found_by_words():
    assert [row.id for row in find_details("AS 4100", "cruciform throat")] == ["11.5.1(4)-30b"]


@pytest.mark.parametrize(
    ("asked", "wording"),
    [
        ({"category": 85}, r"category 85 is no normal stress category of AS 4100:2020; nearest is 80; known: 36, 40"),
        ({"category": 71, "stress": "shear"}, r"category 71 is no shear stress category of .*; nearest is 80"),
        ({"category": "11.5.1(4)-25"}, r"known of this kind: 11\.5\.1\(4\)-25a, 11\.5\.1\(4\)-25b, 11\.5\.1\(4\)-25c"),
        ({"category": "8.4-1a"}, r"category '8\.4-1a' is unknown in AS 4100:2020"),
        ({"category": "11.5.1(4)-32", "stress": "normal"}, r"is for shear stress, got 'normal'"),
        ({"category": 80, "diameter": 20.0}, r"condition of AS 4100 'diameter' is unknown"),
        ({"category": 80, "thickness": -1.0}, r"thickness must be above 0 mm, got -1"),
    ],
)
def test_refused_categories_name_what_would_do(asked, wording):
    with pytest.raises(InputError, match=wording):
        life_curve("AS 4100", asked.pop("category"), **asked)


def test_refused_choice_of_a_condition_names_the_known_ones():
    with pytest.raises(InputError, match=r"load path 'single' is unknown; known: not redundant, redundant"):
        as4100.partial_factors(**(REFERENCE | {"load_path": "single"}))


def test_a_strength_of_the_users_own_takes_the_form_of_the_curve():
    item = detail("own", standard="AS 4100", recipe=PLATE, strength=75.0, stress="normal")
    assert item.curve.cycles_to_failure(75.0) == pytest.approx(2e6)
    assert item.unconfirmed
