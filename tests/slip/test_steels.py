"""Strength of plates by steel and thickness."""

import pytest

from loadhistories.tables import read_table
from loadhistories.validation import InputError
from slip.steels import steel, ultimate_strength

STEELS = read_table("slip.standards", "steels")


def test_s355_by_thickness_as_in_en_10025_2():
    found = [steel("S355", thickness).yield_strength for thickness in (3, 16, 16.1, 40, 41, 63, 80, 100)]
    assert found == [355, 355, 345, 345, 335, 335, 325, 315]


@pytest.mark.parametrize("name", STEELS)
def test_a_steel_is_named_after_its_highest_yield_strength_and_never_gains_with_thickness(name):
    row = STEELS[name]
    assert row["yield_MPa"][0] == int(name[1:4])
    for key in ("yield_MPa", "ultimate_MPa"):
        assert row[key] == sorted(row[key], reverse=True)
    assert row["up_to_mm"] == sorted(set(row["up_to_mm"]))
    assert all(low < high for low, high in zip(row["yield_MPa"], row["ultimate_MPa"], strict=True))


@pytest.mark.parametrize("name", STEELS)
def test_each_band_reaches_up_to_and_including_its_thickness(name):
    row = STEELS[name]
    for limit, expected in zip(row["up_to_mm"], row["yield_MPa"], strict=True):
        assert steel(name, limit).yield_strength == expected


def test_ultimate_strength_without_thickness_where_it_does_not_depend_on_it():
    assert [ultimate_strength(name) for name in ("S235", "S275", "S355", "S420", "S460")] == [360, 410, 470, 520, 540]
    assert ultimate_strength("S460M", 50.0) == 530


@pytest.mark.parametrize(
    ("name", "thickness", "message"),
    [
        ("S355", 101.0, r"S355 has strengths here from 3 to 100 mm, got 101 mm; give the yield and the ultimate"),
        ("S355", 2.5, r"S355 has strengths here from 3 to 100 mm, got 2\.5 mm"),
        ("S460", 50.0, r"above it name S460N or S460M"),
        ("S356", 10.0, r"steel 'S356' is unknown; did you mean 'S355'\?"),
        ("S355", -10.0, r"thickness must be above 0 mm, got -10"),
        ("S355", float("nan"), r"thickness must be finite, got nan mm"),
    ],
)
def test_a_plate_that_the_table_does_not_know_is_refused(name, thickness, message):
    with pytest.raises(InputError, match=message):
        steel(name, thickness)


def test_ultimate_strength_that_depends_on_the_thickness_asks_for_it():
    with pytest.raises(InputError, match=r"S460M has an ultimate strength of 500 to 540 MPa: give the thickness"):
        ultimate_strength("S460M")
