"""Faying surfaces by class and by number."""

import pytest

from loadhistories.validation import InputError
from slip.surfaces import surface_of

CLASSES = ("slip.standards.en1993", "surfaces")


def test_slip_factors_of_en_1090_2_2008_table_18():
    found = [surface_of(name, classes=CLASSES).slip_factor for name in "ABCD"]
    assert found == [0.5, 0.4, 0.3, 0.2]


def test_a_class_tells_what_the_surface_is_and_its_caution():
    found = surface_of("B", classes=CLASSES)
    assert "alkali-zinc silicate" in found.description and "0.20" in found.remark and not found.unconfirmed


def test_a_number_up_to_the_best_class_is_taken_as_it_is():
    assert surface_of(0.35, classes=CLASSES).slip_factor == 0.35
    assert surface_of(0.5, classes=CLASSES).slip_factor == 0.5


def test_a_number_above_every_class_is_taken_only_by_test():
    with pytest.raises(InputError, match=r"slip factor must not be above 0\.5, got 0\.55; class A is the best"):
        surface_of(0.55, classes=CLASSES)
    assert surface_of(0.55, classes=CLASSES, by_test=True).description == "found by test"


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ("D1", r"surface 'D1' is unknown; did you mean 'D'\?; known: A, B, C, D"),
        (0.0, r"slip factor must be above 0, got 0"),
        (-0.3, r"slip factor must be above 0, got -0\.3"),
        (float("nan"), r"slip factor must be finite, got nan"),
        (True, r"slip factor must be a number, got True"),
        (1.2, r"slip factor must not be above 1, got 1\.2"),
    ],
)
def test_a_surface_that_cannot_be_is_refused(given, message):
    with pytest.raises(InputError, match=message):
        surface_of(given, classes=CLASSES, by_test=True)
