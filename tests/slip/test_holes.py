"""Holes of EN 1090-2 and the words for slot directions."""

import pytest

from loadhistories.tables import read_table
from loadhistories.validation import InputError
from slip import standards
from slip.holes import split_direction

EN = standards.standard("EN 1993")


@pytest.mark.parametrize(
    ("size", "normal", "oversize", "short", "long"),
    [
        ("M12", 13, 15, 16, 30),
        ("M16", 18, 20, 22, 40),
        ("M20", 22, 24, 26, 50),
        ("M22", 24, 26, 28, 55),
        ("M24", 26, 30, 32, 60),
        ("M27", 30, 35, 37, 67.5),
        ("M30", 33, 38, 40, 75),
    ],
)
def test_holes_of_en_1090_2_table_11(size, normal, oversize, short, long):
    bolt = EN.bolt(size, "8.8")
    found = {kind: EN.hole(bolt, kind) for kind in ("normal", "oversize", "short slot", "long slot")}
    assert [hole.length for hole in found.values()] == [normal, oversize, short, long]
    assert [hole.width for hole in found.values()] == [normal, oversize, normal, normal]
    assert [hole.slotted for hole in found.values()] == [False, False, True, True]


def test_clearances_are_hole_less_bolt_and_long_slots_take_one_and_a_half_diameters():
    for size in read_table("slip.standards", "metric_bolts"):
        bolt = EN.bolt(size, "8.8")
        hole = EN.hole(bolt, "long slot")
        assert hole.clearance == hole.width - bolt.diameter
        assert hole.slot_clearance == hole.length - bolt.diameter == 1.5 * bolt.diameter


def test_an_unknown_hole_is_refused():
    with pytest.raises(InputError, match=r"holes 'large' is unknown; known: normal, oversize, short slot, long slot"):
        EN.hole(EN.bolt("M20", "8.8"), "large")


def test_a_slot_is_split_into_kind_and_direction_of_the_load():
    assert split_direction("normal") == ("normal", "")
    assert split_direction("short slot along") == ("short slot", "along")
    assert split_direction("long slot across") == ("long slot", "across")


@pytest.mark.parametrize("holes", ["short slot", "long slot"])
def test_a_slot_without_direction_is_refused_asking_for_it(holes):
    with pytest.raises(InputError, match=rf"holes \(a slot needs .* '{holes}' is unknown; .*{holes} across"):
        split_direction(holes)
