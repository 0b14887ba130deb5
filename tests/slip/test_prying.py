"""Prying of a flange on its bolts: by hand, against the modes of the T-stub, and through the engine."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from loadhistories.figures import FAILS, HOLDS, recomputed
from loadhistories.validation import InputError
from slip.assessment import assess
from slip.joint import BoltedJoint, Grid, grid_positions
from slip.prying import Flange, factor_at_strength, prying_force, settled
from slip.standards import aisc360, as4100, en1993
from slip.standards import standard as rules_of

PLATE = Flange(20.0, "S355", 345.0, 470.0, m=45.0, e=40.0, length=90.0)
FITTING = Flange(19.05, "A992", 345.0, 450.0, m=50.8, e=38.1, length=76.2)
M20 = en1993.bolt("M20", "10.9")


def tee(**changes):
    return en1993.prying(M20, Flange(**{**vars(PLATE), **changes}), hole_width=22.0)


def fitting(**changes):
    return aisc360.prying(aisc360.bolt("3/4 in", "A325"), Flange(**{**vars(FITTING), **changes}), hole_width=20.6375)


def joint_of(flange, **changes):
    grid = Grid(3, 2, 90.0, 130.0)
    given = {
        "name": "joint", "standard": "EN 1993", "size": "M20", "grade": "10.9", "preload": 171_500.0,
        "holes": "normal", "slot_axis": "", "surface": "B", "slip_factor": 0.4, "planes": 1, "threads_in_plane": True,
        "plates": (), "slip": "never", "because": "", "permanent": np.zeros(6), "grid": grid,
        "positions": grid_positions(grid), "flange": flange, "prying": factor_at_strength(flange),
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def block_of(**components):
    values = {key: np.asarray(value, dtype=float) for key, value in components.items()}
    return block_of_arrays("working", values, step=0.01, repeats=10.0)


def checks(joint, **loads):
    blocks = [block_of(**loads)]
    return {item.id: item for item in settled(assess(joint, blocks), blocks).checks}


def test_t_stub_of_en1993_worked_by_hand():
    """M_pl = 90 x 20^2 x 345 / 4 = 3.105 kNm; modes 2 x 3.105/0.045, (3.105 + 0.040 x 176.4)/0.085, 176.4 kN."""
    found = tee()
    assert found.moment == pytest.approx(3.105e6)
    assert (found.first, found.second) == pytest.approx((138_000.0, (3.105e6 + 40.0 * 176_400.0) / 85.0))
    assert found.resistance == found.second == pytest.approx(119_541.2, abs=0.1)


def test_effective_lengths_of_a_row_alone_in_a_long_flange():
    """EN 1993-1-8, Table 6.4: circular 2 pi m, other 4 m + 1.25 e; mode 1 takes the shorter, mode 2 the other."""
    found = tee(length=400.0, m=30.0, e=60.0)
    assert (found.first_length, found.second_length) == pytest.approx((2.0 * np.pi * 30.0, 195.0))
    assert tee(length=400.0, effective_length=150.0).second_length == 150.0


def test_a_bolt_that_stretches_far_is_not_pried_and_its_flange_carries_half_of_mode_1():
    """EN 1993-1-8, Table 6.2: longest bolt 8.8 x 45^3 x 245 / (90 x 20^3) = 272.9 mm."""
    short, long = tee(bolt_length=100.0), tee(bolt_length=300.0)
    assert short.longest == pytest.approx(8.8 * 45.0**3 * 245.0 / (90.0 * 20.0**3)) == pytest.approx(272.9, abs=0.1)
    assert short.pries and short.resistance == pytest.approx(tee().resistance)
    assert not long.pries and long.resistance == pytest.approx(69_000.0)
    assert factor_at_strength(long) == 1.0


def test_fitting_of_the_aisc_manual_worked_by_hand():
    """b' 1.625 in, a' 1.875 in, p 3 in, d' 13/16 in, t 3/4 in, 450 MPa, B 29.82 kip: t_c 1.049 in, T 23.1 kip."""
    found = fitting()
    phi_m = 0.9 * 76.2 * 19.05**2 * 450.0 / 4.0
    assert (found.lever, found.reach) == pytest.approx((1.625 * 25.4, 1.875 * 25.4))
    assert found.net == pytest.approx(1.0 - 0.8125 / 3.0)
    t_c = np.sqrt(4.0 * found.bolt_resistance * found.lever / (0.9 * 76.2 * 450.0))
    assert found.thickness_without == pytest.approx(t_c) == pytest.approx(1.049 * 25.4, abs=0.02)
    # The bolt is used up where its tension and q = (T b' - M) / a' come to B.
    by_equilibrium = (found.bolt_resistance * found.reach + phi_m) / (found.lever + found.reach)
    assert found.resistance == pytest.approx(by_equilibrium)
    assert found.resistance / aisc360.KIP == pytest.approx(23.06, abs=0.01)


def test_fitting_of_the_aisc_manual_so_thick_that_nothing_pries():
    found = fitting(thickness=28.0)
    assert found.share == 1.0 and found.alpha < 0.0
    assert factor_at_strength(found) == 1.0


def test_fitting_of_the_aisc_manual_so_thin_that_it_gives_way_first():
    found = fitting(thickness=10.0)
    assert found.alpha > 1.0
    assert found.resistance == pytest.approx(found.flange_resistance)
    assert found.resistance < found.bolt_resistance


@given(
    st.sampled_from([tee, fitting]), st.floats(6.0, 40.0), st.floats(25.0, 120.0), st.floats(25.0, 120.0),
    st.floats(0.01, 1.0),
)  # fmt: skip
def test_the_factor_at_strength_covers_every_smaller_tension(make, thickness, m, e, share):
    flange = make(thickness=thickness, m=m, e=e, length=110.0)
    limit = factor_at_strength(flange)
    pull = share * flange.resistance
    found = prying_force(flange, pull)
    assert 1.0 <= found.factor <= limit * (1.0 + 1e-12)
    assert found.force <= flange.bolt_resistance * (1.0 + 1e-12)


@given(st.sampled_from([tee, fitting]), st.floats(6.0, 40.0), st.floats(30.0, 90.0))
def test_flange_and_bolt_are_used_up_together_with_the_bolt_or_by_the_flange(make, thickness, m):
    flange = make(thickness=thickness, m=m, length=110.0)
    by_bolt = prying_force(flange, flange.resistance).force == pytest.approx(flange.bolt_resistance)
    assert by_bolt or flange.resistance == pytest.approx(flange.flange_resistance)


def test_prying_force_of_the_worst_instant_by_hand_goes_into_every_check_of_the_bolts():
    """320 kN over 6 bolts, 1.5 times, 80 kN: Q = (80 x 45 - 3105) / 40 = 12.375 kN."""
    found = checks(joint_of(tee()), Fy=[0.0, -60e3], Fz=[0.0, 320e3])
    assert found["bolt-tension"].demand == pytest.approx(92_375.0)
    force = found["prying"].working[-1]
    assert (force.tension, force.prying) == pytest.approx((80e3, 12_375.0))
    assert (found["prying"].demand, found["prying"].resistance) == pytest.approx((80e3, tee().resistance))
    assert found["slip-ultimate"].resistance == pytest.approx(0.4 * (171_500 - 0.8 * 92_375.0) / 1.25)
    for item in found.values():
        for result in item.working:
            for figure, stored, computed in recomputed(result):
                assert computed == pytest.approx(stored, rel=1e-9), figure.symbol


def test_a_flange_without_a_factor_counts_with_that_at_strength():
    flange = tee()
    joint = joint_of(flange, prying=None)
    assert joint.prying_factor == factor_at_strength(flange) > 1.0
    plain = {item.id: item for item in assess(joint, [block_of(Fy=[-60e3], Fz=[120e3])]).checks}
    assert plain["bolt-tension"].demand == pytest.approx(30e3 * factor_at_strength(flange))


def test_small_tension_does_not_pry():
    found = checks(joint_of(tee()), Fy=[0.0, -60e3], Fz=[0.0, 120e3])
    assert found["bolt-tension"].demand == pytest.approx(30e3)
    assert found["prying"].working[-1].prying == 0.0


def test_bolt_and_flange_fail_together_beyond_the_t_stub():
    """F_T,Rd 119.5 kN a bolt: 6 x 119.5 / 1.5 = 478 kN."""
    below, above = (checks(joint_of(tee()), Fz=[0.0, pull]) for pull in (477e3, 479e3))
    assert (below["prying"].state, below["bolt-tension"].state) == (HOLDS, HOLDS)
    assert (above["prying"].state, above["bolt-tension"].state) == (FAILS, FAILS)


def test_a_joint_that_is_only_pressed_has_no_prying():
    assert "prying" not in checks(joint_of(tee()), Fy=[-60e3], Fz=[-100e3])


def test_what_was_found_of_prying_is_told():
    blocks = [block_of(Fy=[-60e3], Fz=[320e3])]
    outcome = settled(assess(joint_of(tee()), blocks), blocks)
    assert "bolt tension times 1.155 for prying, the factor of the largest tension" in outcome.assumptions[0]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"m": 9.0}, "m 9 mm leaves no flange beside a bolt of 20 mm"),
        ({"e": 10.0}, "e 10 mm leaves no flange beside a bolt of 20 mm"),
        ({"length": 20.0}, "length 20 mm of the flange is no longer than the bolt is thick"),
        ({"thickness": -1.0}, "flange_thickness must be above 0 mm"),
    ],
)
def test_flanges_that_cannot_be_are_refused(changes, message):
    with pytest.raises(InputError, match=message):
        tee(**changes)


def test_a_fitting_of_the_aisc_manual_is_refused_where_its_hole_takes_it_up_or_a_bolt_length_is_given():
    with pytest.raises(InputError, match="bolt_length has no place in the rule of AISC"):
        fitting(bolt_length=100.0)
    with pytest.raises(InputError, match="taken up by its hole"):
        fitting(effective_length=20.0, length=76.2)


def test_as4100_has_no_rule_of_its_own_for_prying():
    assert not hasattr(as4100, "prying") and hasattr(rules_of("AISC 360-22"), "prying")
