"""Tolerances by class: values of the table, what grows with the span, which item governs, refusals."""

import pytest

from loadhistories.validation import InputError
from slip.tolerances import class_tolerance, classes


@pytest.mark.parametrize(
    ("name", "span", "tolerance"),
    [
        ("crane rail 1", 16.0, 3.0), ("crane rail 1", 20.0, 4.0), ("crane rail 1", 60.0, 10.0),
        ("crane rail 2", 10.0, 5.0), ("crane rail 2", 24.0, 7.0), ("crane rail 2", 80.0, 15.0),
        ("crane rail 3", 16.0, 8.0), ("crane rail 3", 32.0, 12.0), ("crane rail 3", 90.0, 20.0),
    ],
)  # fmt: skip
def test_span_of_crane_rails_by_iso_12488_1_as_tabulated_by_a_national_user(name, span, tolerance):
    assert class_tolerance(name, items=["span"], span=1000.0 * span).tolerance == pytest.approx(tolerance)


def test_height_across_grows_from_nothing_up_to_its_most():
    """ISO 12488-1: 0.5 mm per m of span and at most 5 mm in class 1, twice that in class 2."""
    assert class_tolerance("crane rail 1", items=["height across"], span=8000.0).tolerance == pytest.approx(4.0)
    assert class_tolerance("crane rail 1", items=["height across"], span=30_000.0).tolerance == pytest.approx(5.0)
    assert class_tolerance("crane rail 2", items=["height across"], span=8000.0).tolerance == pytest.approx(8.0)


def test_the_tightest_item_of_a_class_governs_and_is_named():
    found = class_tolerance("crane rail 2", span=20_000.0)
    assert found.text == "crane rail 2, straightness over 2 m: 1 mm"
    assert class_tolerance("crane rail 2", items=["height", "span"], span=20_000.0).item == "span"


def test_couplings_limit_the_angle_as_well_and_are_common_practice():
    """0.07 mm on 100 mm is 0.7 mrad."""
    found = class_tolerance("coupling 1500 rpm acceptable")
    assert (found.tolerance, found.turn) == (pytest.approx(0.09), pytest.approx(0.7e-3))
    assert "common practice" in found.source
    assert class_tolerance("crane rail 1", items=["height"]).turn is None


def refusal(*given, **more):
    with pytest.raises(InputError) as caught:
        class_tolerance(*given, **more)
    return str(caught.value)


def test_refusals_name_what_is_known():
    text = refusal("crane rail 4")
    assert "class 'crane rail 4' is unknown; did you mean 'crane rail 3'?; known: crane rail 1" in text
    text = refusal("crane rail 3", items=["height across"], span=20_000.0)
    assert "item 'height across' is unknown; did you mean 'height'?; known: span, straightness" in text
    assert "span and height across of 'crane rail 1' go by the span" in refusal("crane rail 1")
    assert "span is not used by height of" in refusal("crane rail 1", items=["height"], span=20_000.0)


@pytest.mark.parametrize("name", [name for name in classes() if name.startswith("crane rail")])
def test_all_items_together_are_no_wider_than_any_one_of_them(name):
    every = class_tolerance(name, span=25_000.0).tolerance
    assert every <= class_tolerance(name, items=["span"], span=25_000.0).tolerance
    assert every <= class_tolerance(name, items=["height"]).tolerance
