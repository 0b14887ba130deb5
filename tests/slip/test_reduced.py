"""Utilisation at other preloads: the true maximum of the whole record, at whatever instant it lies."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from slip.assessment import assess
from slip.joint import BoltedJoint, Grid, grid_positions
from slip.preload import WHAT_IF
from slip.reduced import ReducedPreloads, grip_utilisation

PRELOAD, FACTOR, TENSION_SHARE = 100e3, 0.4, 0.8
SHARES = (1.0, 0.9, 0.8, 0.7, 1.1)
POINTS = st.lists(st.tuples(st.floats(0, 50e3), st.floats(-60e3, 110e3)), min_size=1, max_size=60)


def utilisation(size, tension, share):
    return grip_utilisation(
        np.asarray(size), np.asarray(tension), factor=FACTOR, preload=share * PRELOAD, tension_share=TENSION_SHARE
    )


def fed(sizes, tensions, chunk):
    """Two bolts under the same forces, the second under half of them; chunks start at the instant of their place."""
    walk = ReducedPreloads(PRELOAD, FACTOR, TENSION_SHARE, SHARES)
    size = np.array([sizes, 0.5 * np.asarray(sizes)])
    tension = np.array([tensions, 0.5 * np.asarray(tensions)])
    for start in range(0, len(sizes), chunk):
        part = slice(start, start + chunk)
        walk.feed(
            utilisation(size[:, part], tension[:, part], 1.0), size[:, part], tension[:, part],
            lambda bolt, at, start=start: ("record", "once", float(start + at), bolt),
        )  # fmt: skip
    return walk.outcome(), size, tension


@given(POINTS, st.integers(1, 60))
def test_the_largest_utilisation_at_every_share_is_that_of_a_plain_look_at_all_instants(points, chunk):
    rows, size, tension = fed(*map(list, zip(*points, strict=True)), chunk)
    for row in rows:
        table = utilisation(size, tension, row.share)
        assert row.utilisation == table.max()
        assert table[row.bolt, int(row.time)] == table.max()


def test_another_instant_governs_at_a_smaller_preload():
    """Hand calculation: 30 kN without tension: 0.75, at 70 % 1.071; 20 kN with 40 kN of tension: 0.735, 1.316."""
    rows, _, _ = fed([30e3, 20e3], [0.0, 40e3], 1)
    found = {row.share: (row.utilisation, row.time) for row in rows}
    assert found[1.0] == (pytest.approx(0.75), 0.0)
    assert found[0.7] == (pytest.approx(20 / (0.4 * (70 - 32))), 1.0)


def test_without_tension_the_utilisation_grows_as_the_preload_falls():
    rows, _, _ = fed([10e3, 30e3], [-5e3, 0.0], 2)
    for row in rows:
        assert row.utilisation == pytest.approx(0.75 / row.share)


def test_a_tension_that_takes_all_that_is_left_leaves_no_grip():
    rows, _, _ = fed([0.0], [90e3], 1)
    found = {row.share: row.utilisation for row in rows}
    assert found[0.8] == 0.0 and found[0.7] == np.inf


def joint_of(preload):
    return BoltedJoint(
        name="joint", standard="EN 1993", positions=grid_positions(Grid(3, 2, 90.0, 130.0)), size="M20", grade="10.9",
        preload=preload, holes="normal", slot_axis="", surface="B", slip_factor=0.4, planes=1, threads_in_plane=True,
        plates=(), slip="never", because="", permanent=np.array([0, -20e3, 15e3, 0, 0, 0]),
    )  # fmt: skip


def test_a_joint_at_a_share_of_its_preload_is_used_like_a_joint_with_that_preload():
    random = np.random.default_rng(3)
    loads = {"Fy": 60e3, "Fx": 20e3, "Fz": 90e3, "Mz": 5e6, "Mx": 6e6}
    block = block_of_arrays(
        "working", {key: size * random.normal(size=2000) for key, size in loads.items()}, step=0.01, repeats=10.0
    )
    levels = assess(joint_of(171_500.0), [block]).levels
    for place, share in enumerate(WHAT_IF):
        other = assess(joint_of(share * 171_500.0), [block]).levels
        for name, level in levels.items():
            row, instant = level.reduced[place], other[name].instant
            assert row.share == share
            assert row.utilisation == pytest.approx(instant.value, rel=1e-12)
            assert (row.bolt, row.time, row.combination) == (instant.bolt, instant.time, instant.combination)


def test_the_first_bolt_is_used_up_at_the_share_of_preload_at_which_it_begins_to_slip():
    block = block_of_arrays("working", {"Fy": np.array([-250e3, -200e3])}, step=0.01, repeats=10.0)
    level = assess(joint_of(171_500.0), [block]).levels["service"]
    at_slip = assess(joint_of(level.preload_share * 171_500.0), [block]).levels["service"]
    assert at_slip.instant.value == pytest.approx(1.0)
