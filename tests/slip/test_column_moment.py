"""The moment that a stiff joint brings into its column, worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.validation import InputError
from slip.column_moment import Member, stiffness_of, supporting_column

BEAM, LENGTH = Member(8e7, 8000.0, "fixed"), Member(4e7, 4000.0, "fixed")
LOADS = {"fixed_end_moment": 96e6, "reaction": 120e3, "eccentricity": 150.0, "modulus": 2e5}


def test_a_rigid_joint_worked_by_hand():
    # k_b = 4 * 2e5 * 8e7 / 8000 = 8e9, each length of column 4 * 2e5 * 4e7 / 4000 = 8e9, both 1.6e10 N mm.
    # The pin brings 120 kN * 0.15 m = 18 kN m. The column turns by t, M_j + 18e6 = 1.6e10 t, and the beam gives
    # M_j = 96e6 - 8e9 t: t = 114e6 / 2.4e10 = 0.00475, M_j = 96e6 - 38e6 = 58e6, into the column 76e6.
    moment = supporting_column(BEAM, above=LENGTH, below=LENGTH, turn=0.0, **LOADS).moment
    assert (moment.beam, moment.column) == (8e9, 1.6e10)
    assert moment.pinned == pytest.approx(18e6)
    assert moment.joint == pytest.approx(58e6)
    assert moment.stiff == pytest.approx(76e6)
    assert (moment.into_above, moment.into_below) == pytest.approx((38e6, 38e6))


def test_a_joint_that_gives_worked_by_hand():
    # Stiffness of the joint 16 000 kN m/rad, turn 6.25e-11: the beam's end turns by t + M_j * 6.25e-11.
    # M_j = 96e6 - 8e9 (t + 6.25e-11 M_j), 1.5 M_j = 96e6 - 8e9 t, t = (M_j + 18e6) / 1.6e10: 2 M_j = 87e6.
    moment = supporting_column(BEAM, above=LENGTH, below=LENGTH, turn=6.25e-11, **LOADS).moment
    assert moment.joint == pytest.approx(43.5e6)
    assert moment.stiff == pytest.approx(61.5e6)


def test_the_column_shares_by_stiffness_and_only_where_it_is():
    # Above pinned at its other end: 3 * 2e5 * 4e7 / 4000 = 6e9 of 1.4e10.
    pinned = Member(4e7, 4000.0, "pinned")
    moment = supporting_column(BEAM, above=pinned, below=LENGTH, turn=0.0, **LOADS).moment
    assert moment.into_above / moment.stiff == pytest.approx(6 / 14)
    alone = supporting_column(BEAM, above=None, below=LENGTH, turn=0.0, **LOADS)
    assert alone.moment.into_above == 0.0
    assert alone.moment.into_below == alone.moment.stiff
    assert list(alone.members) == ["beam", "column below"]


@given(st.floats(1e5, 1e12))
def test_a_joint_that_hardly_resists_is_a_pin_and_one_that_hardly_gives_is_rigid(column):
    member = Member(column, 4000.0, "fixed")
    soft = supporting_column(BEAM, above=member, below=None, turn=1e6, **LOADS).moment
    assert soft.stiff == pytest.approx(soft.pinned, rel=1e-6)
    rigid, hard = (
        supporting_column(BEAM, above=member, below=None, turn=turn, **LOADS).moment for turn in (0.0, 1e-25)
    )
    assert hard.joint == pytest.approx(rigid.joint, rel=1e-9, abs=1.0)


def test_a_column_that_does_not_turn_takes_the_fixed_end_moment():
    stiff = Member(4e15, 4000.0, "fixed")
    moment = supporting_column(BEAM, above=stiff, below=stiff, turn=0.0, **LOADS).moment
    assert moment.joint == pytest.approx(96e6, rel=1e-6)


def test_what_is_no_member_is_refused():
    with pytest.raises(InputError, match="needs a length above or below"):
        supporting_column(BEAM, above=None, below=None, turn=0.0, **LOADS)
    with pytest.raises(InputError, match="far_end 'fixd' is unknown; did you mean 'fixed'"):
        stiffness_of(Member(8e7, 8000.0, "fixd"), 2e5)
    with pytest.raises(InputError, match="length must be above 0 mm, got 0"):
        stiffness_of(Member(8e7, 0.0, "fixed"), 2e5)
    with pytest.raises(InputError, match="turn of the joint"):
        supporting_column(BEAM, above=LENGTH, below=None, turn=-1.0, **LOADS)
