"""The front door to the strength of a bolt."""

import pytest

from loadhistories.figures import recomputed
from loadhistories.validation import InputError
from slip import bolt_strength


def test_shear_is_proportional_to_the_planes_and_tension_does_not_change():
    one, two = (bolt_strength("EN 1993", size="M24", grade="10.9", planes=planes) for planes in (1, 2))
    assert two.shear == pytest.approx(2 * one.shear) and two.tension == one.tension


def test_threads_out_of_the_plane_never_weaken_the_bolt():
    for grade in ("4.6", "8.8", "10.9"):
        inside, outside = (
            bolt_strength("EN 1993", size="M16", grade=grade, threads_in_plane=way) for way in (True, False)
        )
        assert outside.shear > inside.shear


def test_m12_in_a_normal_hole_of_en_1090_2_keeps_its_whole_shear():
    unknown = bolt_strength("EN 1993", size="M12", grade="8.8")
    assert bolt_strength("EN 1993", size="M12", grade="8.8", hole_clearance=1.0).shear == pytest.approx(
        unknown.shear / 0.85
    )


def test_working_gives_both_numbers_again():
    found = bolt_strength("EN 1993", size="M20", grade="8.8", planes=2)
    assert [result.resistance for result in found.working] == [found.shear, found.tension]
    for result in found.working:
        for figure, stored, computed in recomputed(result):
            assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"size": "20"}, r"bolt size '20' is unknown"),
        ({"grade": "12.9"}, r"bolt grade '12\.9' is unknown; did you mean '10\.9'"),
        ({"planes": 1.5}, r"planes must be a whole number from 1, got 1\.5"),
        ({"hole_clearance": -1.0}, r"hole clearance must not be below 0 mm, got -1"),
    ],
)
def test_what_cannot_be_judged_is_refused(changes, message):
    with pytest.raises(InputError, match=message):
        bolt_strength("EN 1993", **{"size": "M20", "grade": "8.8", **changes})
