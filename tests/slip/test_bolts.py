"""Bolts as the tables give them."""

import math
import tomllib
from pathlib import Path

import pytest

from loadhistories.tables import read_table
from loadhistories.validation import InputError
from slip.bolts import bolt_of, require_planes

SIZES, GRADES = ("slip.standards", "metric_bolts"), ("slip.standards.en1993", "grades")
STRESS_AREA = tomllib.loads(
    (Path(__file__).parents[1] / "published" / "en1993_joints.toml").read_text(encoding="utf-8")
)["case"]["stress-area"]


def bolt(size, grade):
    return bolt_of(size, grade, sizes=SIZES, grades=GRADES)


def test_stress_areas_are_those_published_for_iso_898_1():
    given, areas = STRESS_AREA["inputs"], STRESS_AREA["expected"]["As_mm2"]
    for diameter, area in zip(given["d_mm"], areas, strict=True):
        assert bolt(f"M{diameter}", "8.8").stress_area == area


@pytest.mark.parametrize("size", read_table(*SIZES))
def test_areas_follow_from_diameter_and_pitch_as_in_iso_898_1(size):
    row = read_table(*SIZES)[size]
    d, p = row["diameter_mm"], row["pitch_mm"]
    assert size == f"M{d}"
    assert row["stress_area_mm2"] == pytest.approx(math.pi / 4 * (d - 0.9382 * p) ** 2, abs=0.6)
    assert row["shank_area_mm2"] == pytest.approx(math.pi / 4 * d**2, abs=0.6)


@pytest.mark.parametrize("grade", read_table(*GRADES))
def test_strengths_follow_from_the_name_of_the_class(grade):
    hundreds, tenths = grade.split(".")
    found = bolt("M20", grade)
    assert found.ultimate_strength == 100 * int(hundreds)
    assert found.yield_strength == pytest.approx(found.ultimate_strength * int(tenths) / 10)


def test_a_recalled_row_marks_the_bolt_as_unconfirmed():
    assert bolt("M36", "8.8").unconfirmed and bolt("M20", "5.6").unconfirmed
    assert not bolt("M20", "8.8").unconfirmed


@pytest.mark.parametrize(
    ("size", "grade", "message"),
    [
        ("M21", "8.8", r"bolt size 'M21' is unknown; did you mean 'M2\d'\?; known: M12, M16"),
        ("M20", "8.9", r"bolt grade '8\.9' is unknown; did you mean '8\.8'\?; known: 4\.6"),
        ("M20", 8.8, r'grade must be a text such as "8\.8", got the number 8\.8'),
    ],
)
def test_an_unknown_bolt_is_refused_with_the_known_ones(size, grade, message):
    with pytest.raises(InputError, match=message):
        bolt(size, grade)


@pytest.mark.parametrize("planes", [0, -1, 1.5, "2", True, None, float("nan")])
def test_planes_that_are_not_a_whole_number_from_1_are_refused(planes):
    with pytest.raises(InputError, match=r"planes must be a whole number from 1, got"):
        require_planes(planes)
