import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.wheel_girder import (
    GirderSection,
    girder_section,
    girder_stress,
    moment_extremes,
    shear_extremes,
    train_of,
)
from loadhistories.figures import recomputed
from loadhistories.girder import girder
from loadhistories.validation import InputError

PAIR = [(0.0, 1.0), (2_000.0, 1.0)]


def section(span, at, modulus=None, shear_area=None):
    """A section of a simple span."""
    return GirderSection(girder([span], system="simple spans"), at, modulus, shear_area)


def row(*spans, at, system="continuous", **more):
    """A section of a girder of several spans."""
    return girder_section(girder(spans, system=system, **more), at, modulus=1.0, shear_area=1.0)


def moment_range(given, train):
    low, high = moment_extremes(given, [train])
    return high - low


def shear_range(given, train):
    low, high = shear_extremes(given, [train])
    return high - low


def looked_at(given, train, ordinate, *, step=5.0):
    """Largest and smallest sum over the train as it is rolled along in small steps."""
    lead = max(place for place, _ in train)
    offsets = np.arange(-lead - step, given.girder.length + step, step) + 0.123
    sums = np.array([sum(load * ordinate(offset + place) for place, load in train) for offset in offsets])
    return sums.max() - min(sums.min(), 0.0)


def test_two_equal_loads_give_the_classic_largest_moment_under_the_first():
    """P (L - a/2)^2 / (2 L), a quarter of the distance beside midspan: textbook of statics, from memory."""
    span, apart = 10_000.0, 2_000.0
    found = moment_range(section(span, span / 2 - apart / 4, 1.0), PAIR)
    assert found == pytest.approx((span - apart / 2) ** 2 / (2 * span), rel=1e-12)


def test_one_load_gives_pab_over_l_and_a_shear_that_turns_its_sign():
    beam = section(12_000.0, 3_000.0, 1.0, 1.0)
    assert moment_range(beam, [(0.0, 4.0)]) == pytest.approx(4 * 3_000 * 9_000 / 12_000)
    assert shear_range(beam, [(0.0, 4.0)]) == pytest.approx(4.0)


def test_two_loads_shear_the_section_by_hand():
    """Section at a quarter of 12 m, loads 2 m apart: 9/12 + 7/12 ahead of it, 3/12 + 1/12 behind it."""
    beam = section(12_000.0, 3_000.0, None, 1.0)
    assert shear_range(beam, PAIR) == pytest.approx(16 / 12 + 4 / 12)


def test_at_a_support_the_shear_is_the_reaction():
    """1 over the support, 10/12 of the other: it never turns its sign."""
    assert shear_range(section(12_000.0, 0.0, None, 1.0), PAIR) == pytest.approx(1 + 10 / 12)
    assert shear_range(section(12_000.0, 12_000.0, None, 1.0), PAIR) == pytest.approx(1 + 10 / 12)


@given(
    st.floats(0.05, 0.95), st.lists(st.floats(0.0, 9_000.0), min_size=1, max_size=4, unique=True),
    st.lists(st.floats(0.1, 5.0), min_size=4, max_size=4),
)  # fmt: skip
def test_no_place_of_the_train_gives_more_than_the_range(share, places, loads):
    span = 6_000.0
    at = share * span
    beam, train = section(span, at, 1.0, 1.0), list(zip(places, loads, strict=False))

    def bending(place):
        return 0.0 if not 0 <= place <= span else min(place * (span - at), at * (span - place)) / span

    def shear(place):
        return 0.0 if not 0 <= place <= span else ((span - place) / span if place > at else -place / span)

    for found, ordinate in ((moment_range, bending), (shear_range, shear)):
        stepped, exact = looked_at(beam, train, ordinate, step=20.0), found(beam, train)
        assert stepped <= exact + 1e-9 * max(exact, 1.0)
        assert stepped >= exact - sum(loads) * 20.0 * 4 - 1e-9


def test_a_range_grows_with_the_load_and_is_the_same_from_the_other_side():
    beam, mirrored = section(10_000.0, 3_000.0, 1.0, 1.0), section(10_000.0, 7_000.0, 1.0, 1.0)
    train = [(0.0, 1.0), (1_500.0, 3.0), (4_000.0, 2.0)]
    turned = [(4_000.0 - place, load) for place, load in train]
    for found in (moment_range, shear_range):
        assert found(mirrored, turned) == pytest.approx(found(beam, train))
        assert found(beam, [(p, 3 * load) for p, load in train]) == pytest.approx(3 * found(beam, train))


def test_cranes_stand_one_behind_the_other_with_the_distance_between_their_nearest_wheels():
    trains = [[(0.0, 4.0), (3_000.0, 4.0)], [(500.0, 1.0), (2_500.0, 1.0)]]
    assert train_of(trains, apart=1_000.0) == [
        (0.0, 4.0), (3_000.0, 4.0), (4_000.0, 1.0), (6_000.0, 1.0),
    ]  # fmt: skip


def test_one_load_on_two_equal_spans_gives_the_printed_coefficients():
    """13/64 L at midspan of the loaded span, L/(6 sqrt 3) over the support: tables of continuous beams, from memory."""
    low, high = moment_extremes(row(10.0, 10.0, at=5.0), [[(0.0, 1.0)]])
    hogging = 10 / (6 * np.sqrt(3))
    assert (low, high) == pytest.approx((-hogging / 2, 10 * 13 / 64))
    assert moment_extremes(row(10.0, 10.0, at=10.0), [[(0.0, 1.0)]]) == (pytest.approx(-hogging), 0.0)


def test_two_cranes_stand_in_two_spans_where_that_hogs_most():
    """Each at its own worst place, 0.577 L from the outer supports: twice the moment of one."""
    cranes = [[(0.0, 1.0)], [(0.0, 1.0)]]
    low, high = moment_extremes(row(10.0, 10.0, at=10.0), cranes, apart=1.0)
    assert (low, high) == (pytest.approx(-2 * 10 / (6 * np.sqrt(3))), 0.0)


def test_spans_in_a_row_without_continuity_are_one_simple_span_each():
    both, alone = row(12.0, 8.0, at=15.0, system="simple spans"), section(8.0, 3.0, 1.0, 1.0)
    for extremes in (moment_extremes, shear_extremes):
        assert extremes(both, [PAIR]) == pytest.approx(extremes(alone, [PAIR]))


def test_the_shear_over_an_inner_support_is_the_larger_of_both_sides():
    """Spans of 12 and 6, simple: one load has a range of 1 on either side, two loads 2 apart 1 + 10/12 on the long."""
    for spans, at in (((12.0, 6.0), 12.0), ((6.0, 12.0), 6.0)):
        beam = GirderSection(girder(spans, system="simple spans"), at, shear_area=1.0)
        low, high = shear_extremes(beam, [[(0.0, 1.0), (2.0, 1.0)]])
        assert high - low == pytest.approx(1 + 10 / 12)
        assert max(-low, high) == pytest.approx(1 + 10 / 12)


@given(
    st.lists(st.floats(2.0, 9.0), min_size=1, max_size=3), st.floats(0.01, 0.99), st.floats(0.5, 4.0),
    st.lists(st.floats(0.1, 5.0), min_size=2, max_size=2), st.floats(0.0, 30.0),
)  # fmt: skip
def test_no_distance_of_two_cranes_gives_more_than_the_extremes(spans, share, apart, loads, more):
    given_ = row(*spans, at=share * sum(spans))
    cranes = [[(0.0, loads[0]), (1.5, loads[0])], [(0.0, loads[1])]]
    # One place of both cranes after another, this far apart.
    places = np.linspace(-40.0, sum(spans) + 1.0, 400)
    for extremes, line in ((moment_extremes, given_.girder.moment), (shear_extremes, given_.girder.shear)):
        low, high = extremes(given_, cranes, apart=apart)
        ordinate = line(given_.at).after
        sums = loads[0] * (ordinate(places) + ordinate(places + 1.5))
        sums = sums + loads[1] * ordinate(places + 1.5 + apart + more)
        assert low - 1e-9 <= sums.min() and sums.max() <= high + 1e-9


def test_the_stiffer_of_two_spans_draws_the_moment():
    """Over the support M = -P a (L^2 - a^2) / (2 L (L + L I1/I2)): the loaded span is half as stiff as the other."""
    places = np.linspace(0.0, 10.0, 2001)
    by_hand = places * (100.0 - places**2) / (2 * 10.0 * (10.0 + 5.0))
    found = row(10.0, 10.0, at=10.0, modulus=1.0, second_moments=[1.0, 2.0])
    line = found.girder.moment(10.0)
    assert line.before(places) == pytest.approx(-by_hand, abs=1e-12)
    assert moment_extremes(found, [[(0.0, 1.0)]])[0] == pytest.approx(-by_hand.max(), rel=1e-5)


def test_the_working_shows_how_the_stress_comes_about():
    beam = section(12_000.0, 6_000.0, 4e6, 7e3)
    for kind, expected in (("normal", 1e4 * 6_000 * (0.5 + 1 / 3) / 4e6), ("shear", 1e4 * (0.5 + 1 / 3) * 2 / 7e3)):
        parts, stress = girder_stress(beam, kind, [[(0.0, 1e4), (2_000.0, 1e4)]], apart=None, load=1e4)
        assert stress == pytest.approx(expected)
        assert len(parts) == 2
        for part in parts:
            assert all(again == pytest.approx(stored) for _, stored, again in recomputed(part))


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"at": 13_000.0, "modulus": 1.0}, "at must lie from 0 mm to the span of 12000 mm, got 13000 mm"),
        ({"at": 6_000.0}, "girder needs modulus, shear_area, or both"),
        ({"at": 0.0, "modulus": 1.0}, "a support of a simple span has no bending moment"),
    ],
)
def test_refused_girders_say_why(values, words):
    with pytest.raises(InputError, match=words):
        girder_section(girder([12_000.0], system="simple spans"), values.pop("at"), **values)


def test_the_end_of_a_continuous_girder_has_no_bending_moment():
    with pytest.raises(InputError, match=r"an end support has no bending moment.*\(here\)"):
        girder_section(girder([6.0, 6.0], system="continuous"), 12.0, modulus=1.0, place="here")
