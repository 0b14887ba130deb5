"""The front door to the slip resistance."""

import pytest

from loadhistories.validation import InputError
from slip import slip_resistance

M20 = {"size": "M20", "grade": "10.9", "surface": "A"}


def test_a_textbook_m20_10_9_on_class_a_grips_68_6_kn_per_plane():
    assert slip_resistance("EN 1993", **M20).resistance == pytest.approx(68_600.0)
    assert slip_resistance("EN 1993", **M20, planes=2).resistance == pytest.approx(137_200.0)


def test_the_result_holds_its_working():
    found = slip_resistance("EN 1993", **M20, holes="short slot across", tension=50_000.0)
    assert (found.hole_factor, found.planes, found.slip_factor, found.tension) == (0.85, 1, 0.5, 50_000.0)
    assert found.preload == pytest.approx(171_500.0)


def test_pressure_on_the_bolt_adds_no_grip():
    assert slip_resistance("EN 1993", **M20, tension=-9e4) .resistance == slip_resistance("EN 1993", **M20).resistance


def test_a_factor_by_test_may_exceed_class_a():
    told = {**M20, "surface": 0.6}
    assert slip_resistance("EN 1993", **told, by_test=True).resistance == pytest.approx(0.6 * 171_500 / 1.25)
    with pytest.raises(InputError, match=r"slip factor must not be above 0\.5, got 0\.6"):
        slip_resistance("EN 1993", **told)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"holes": "short slot"}, r"a slot needs the direction of the load to it"),
        ({"planes": 0}, r"planes must be a whole number from 1, got 0"),
        ({"tension": float("nan")}, r"tension must be finite, got nan N"),
        ({"level": "fatigue"}, r"level 'fatigue' is unknown; known: service, ultimate"),
        ({"grade": "5.6"}, r"bolt grade 5\.6 cannot be preloaded; use 8\.8 or 10\.9"),
        ({"surface": "E"}, r"surface 'E' is unknown; known: A, B, C, D"),
    ],
)
def test_what_cannot_be_judged_is_refused(changes, message):
    with pytest.raises(InputError, match=message):
        slip_resistance("EN 1993", **{**M20, **changes})


def test_a_surface_may_be_stated_as_in_a_job():
    given = {"size": "M20", "grade": "10.9"}
    by_number = slip_resistance("EN 1993", surface=0.35, **given).resistance
    assert slip_resistance("EN 1993", surface={"slip_factor": 0.35}, **given).resistance == by_number
    tested = slip_resistance("EN 1993", surface={"slip_factor": 0.55, "by_test": True}, **given)
    assert tested.slip_factor == 0.55
    with pytest.raises(InputError, match="statement of a surface 'slip_facto' is unknown"):
        slip_resistance("EN 1993", surface={"slip_facto": 0.35}, **given)
