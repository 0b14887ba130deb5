import tomllib
from pathlib import Path

import pytest

from fatigue.catalogue import catalogue, find_details
from fatigue.curves import life_curve
from fatigue.standards import en1993
from loadhistories.figures import recomputed
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "fatigue_en1993.toml").read_text())["case"]
SIZES = {"thickness": 20.0, "thicker": 20.0, "eccentricity": 0.0, "diameter": 20.0}


def test_partial_factors_are_those_of_en_1993_1_9_table_3_1():
    for concept, by_consequence in CASES["partial_factors"]["expected"].items():
        for consequence, value in by_consequence.items():
            factors = en1993.partial_factors(concept.replace("_", " "), consequence)
            assert (factors.gamma_Mf, factors.gamma_Ff) == (value, 1.0)
            assert factors.unconfirmed


@pytest.mark.parametrize("name", ["thick_transverse_butt_weld", "eccentric_splice"])
def test_size_factors_are_those_of_en_1993_1_9_table_8_3(name):
    case = CASES[name]
    sizes = {key: value for key, value in case["inputs"].items() if key != "category"}
    effect = en1993.size_effect(en1993.row_of(case["inputs"]["category"]), **sizes)
    assert effect.factor == pytest.approx(case["expected"]["factor"], rel=case["tolerance_rel"])
    for figure, stored, computed in recomputed(effect):
        assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


def test_size_factor_of_a_thick_bolt_is_that_of_en_1993_1_9_table_8_1():
    effect = en1993.size_effect(en1993.row_of("8.1-14"), diameter=36)
    assert effect.factor == pytest.approx((30 / 36) ** 0.25, rel=1e-12)
    assert all(computed == pytest.approx(stored) for _, stored, computed in recomputed(effect))


def test_every_row_has_a_curve_or_names_the_rows_to_use():
    for row in catalogue("EN 1993"):
        if row.category is None:
            assert row.see, row.id
            with pytest.raises(InputError, match="has no category of its own"):
                life_curve("EN 1993", row.id, **SIZES)
        else:
            curve = life_curve("EN 1993", row.id, **SIZES)
            assert curve.strength == pytest.approx(row.category), row.id
            assert curve.slopes[0] == row.slope, row.id


def test_every_category_is_a_class_of_its_curve():
    forms = en1993.read_table("fatigue.standards", "en1993_curves")
    for row in catalogue("EN 1993"):
        classes = {value for form in forms.values() if form["stress"] == row.stress for value in form["classes_MPa"]}
        assert row.category is None or row.category in classes, row.id


def test_rows_referred_to_exist():
    known = {row.id for row in catalogue("EN 1993")}
    for row in catalogue("EN 1993"):
        assert set(row.see) | set(row.also) <= known, row.id


def test_identifiers_begin_with_their_table_and_every_table_is_there():
    rows = catalogue("EN 1993")
    assert {row.table for row in rows} == {"8.1", "8.2", "8.3", "8.4", "8.5", "8.10", "B.1"}
    assert all(row.id.startswith(f"{row.table}-") for row in rows)


@pytest.mark.parametrize(
    ("identifier", "category", "stress"),
    [
        ("8.1-8", 112, "normal"),
        ("8.1-10", 90, "normal"),
        ("8.1-13", 50, "normal"),
        ("8.1-15", 100, "shear"),
        ("8.2-5", 100, "normal"),
        ("8.3-5", 90, "normal"),
        ("8.4-1a", 80, "normal"),
        ("8.4-1d", 56, "normal"),
        ("8.4-5", 40, "normal"),
        ("8.5-1-80", 80, "normal"),
        ("8.5-3", 36, "normal"),
        ("8.5-8", 80, "shear"),
    ],
)
def test_known_categories_of_en_1993_1_9_tables_8_1_to_8_5(identifier, category, stress):
    row = en1993.row_of(identifier)
    assert (row.category, row.stress) == (category, stress)


def test_only_preloaded_rows_rely_on_grip_and_only_clearance_rows_on_no_reversal():
    rows = catalogue("EN 1993")
    assert [row.id for row in rows if row.relies_on == "grip"] == ["8.1-8", "8.1-10"]
    assert [row.id for row in rows if row.relies_on == "no reversal"] == ["8.1-13", "8.1-15"]


def test_rows_read_in_a_copy_are_not_marked_as_recalled():
    confirmed = [row.id for row in catalogue("EN 1993") if not row.unconfirmed]
    assert confirmed == [f"8.3-{number}" for number in range(3, 12)]


def test_details_are_found_by_all_their_words_in_any_order_and_case():
    found = find_details("EN 1993", "TOE cruciform 71")
    assert [row.id for row in found] == ["8.5-1-71"]
    assert find_details("EN 1993", "") == catalogue("EN 1993")
    assert find_details("EN 1993", "no such thing") == ()


@pytest.mark.parametrize(
    ("concept", "consequence", "wording"),
    [
        ("safe", "high", r"concept 'safe' is unknown; .*known: damage tolerant, safe life"),
        ("safe life", "medium", r"consequence of failure 'medium' is unknown; known: low, high"),
    ],
)
def test_refused_concept_and_consequence_name_the_known_ones(concept, consequence, wording):
    with pytest.raises(InputError, match=wording):
        en1993.partial_factors(concept, consequence)
