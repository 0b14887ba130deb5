"""The compiled loop against the plain measures: the same outcome to the bit, for any forces and any pieces."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from slip import assessment
from slip.assessment import JointWalk
from slip.joint import BoltedJoint, Factors, Grid, grid_positions
from slip.kernel import TILE, compiled_follow, follow
from slip.measures import forces_of, outer_lines, strength_measure
from slip.peaks import ordered_product
from slip.reduced import grip_utilisation
from slip.standards import standard

STANDARDS = {
    "EN 1993": ("M20", "10.9", "B"),
    "AS 4100": ("M20", "8.8", "as-rolled"),
    "AISC 360-22": ("M20", "A325", "A"),
}
PRELOADS = {"EN 1993": 171_500.0, "AS 4100": 145_000.0, "AISC 360-22": 142_000.0}
LOADS = {"Fx": 60e3, "Fy": 90e3, "Fz": 120e3, "Mx": 6e6, "My": 3e6, "Mz": 9e6}


def joint_of(name="EN 1993", *, slip_factor=0.4, permanent=(0, -20e3, 15e3, 0, 0, 0), contact=False):
    size, grade, surface = STANDARDS[name]
    return BoltedJoint(
        name="joint", standard=name, positions=grid_positions(Grid(3, 2, 90.0, 130.0)), size=size, grade=grade,
        preload=PRELOADS[name], holes="normal", slot_axis="", surface=surface,
        slip_factor=slip_factor, planes=1, threads_in_plane=True, plates=(), slip="never", because="",
        permanent=np.array(permanent, dtype=float), factors=Factors(), contact=contact,
    )  # fmt: skip


def outcome(joint, loads, chunk, monkeypatch, compiled_from):
    monkeypatch.setattr(assessment, "COMPILED_FROM", compiled_from)
    block = block_of_arrays("working", loads, step=0.01, repeats=10.0, chunk=chunk)
    walk = JointWalk(joint)
    for _ in range(2):
        walk.begin(block)
        for part in block.chunks():
            walk.feed(part)
        walk.end()
    return walk.outcome()


def shown(outcome):
    """All that the walks kept, as text with every bit."""
    instants = [
        (key, x.value, x.load, x.combination, x.time, x.bolt, x.shear, x.tension) for key, x in outcome.worst.items()
    ]
    levels = [
        (name, x.instant.value, x.preload_share, x.reduced, [vars(block) for block in x.blocks])
        for name, x in outcome.levels.items()
    ]
    with np.printoptions(floatmode="unique", threshold=10**6):
        return repr((instants, levels, outcome.reversal, outcome.load_axis))


@pytest.mark.parametrize("name", STANDARDS)
@pytest.mark.parametrize("size", [0.3, 1.0, 3.0])
def test_long_and_short_histories_are_followed_to_the_same_bits(name, size, monkeypatch):
    random = np.random.default_rng(7)
    phase = np.arange(30_000) / 20 * 2 * np.pi
    loads = {
        key: size * reach * (np.sin(phase + 2 * k) * (1 + 0.3 * np.sin(phase / 300)) + 0.1 * random.normal(size=30_000))
        for k, (key, reach) in enumerate(LOADS.items())
    }
    plain = shown(outcome(joint_of(name), loads, 30_000, monkeypatch, 10**9))
    for chunk in (30_000, 7001):
        assert shown(outcome(joint_of(name), loads, chunk, monkeypatch, 0)) == plain


def test_a_joint_whose_contact_carries_the_moments_is_followed_to_the_same_bits(monkeypatch):
    random = np.random.default_rng(8)
    loads = {key: reach * random.normal(size=5000) for key, reach in LOADS.items()}
    plain, quick = (outcome(joint_of(contact=True), loads, 999, monkeypatch, start) for start in (10**9, 0))
    assert shown(quick) == shown(plain)


@settings(max_examples=20)
@given(st.integers(1, 3 * TILE), st.integers(0, 2**32 - 1), st.floats(-3, 1))
def test_the_compiled_loop_gives_the_bits_of_the_plain_one_and_of_the_measures(length, seed, power):
    random = np.random.default_rng(seed)
    loads, rows = 10.0 ** (5 + power) * random.normal(size=(6, length)), random.normal(size=(5, 6)) * 0.2
    places, fixed = np.array([[0, 1, 2], [3, 1, 4]]), 1e4 * random.normal(size=(2, 3))
    parts, level_of = np.array([[1.0, 1.0], [1.35, 1.5], [1.0, 1.5]]), np.array([0, 1, 1])
    grips = np.array([[0.45, 172e3, 0.8], [0.36, 172e3, 0.8]])
    bounds, bounds_of = np.abs(random.normal(size=(4, 2))) / 1e5, np.array([0, 0, 1, 1])
    found = []
    for loop in (follow, compiled_follow()):
        with np.errstate(divide="ignore"):
            ratio, most = np.zeros((2, length)), np.zeros((-(-length // TILE), 4))
            low, high = np.full(5, np.inf), np.full(5, -np.inf)
            loop(loads, rows, places, fixed, parts, level_of, grips, bounds, bounds_of, ratio, most, low, high)
        found.append([values.tobytes() for values in (ratio, most, low, high)])
    assert found[0] == found[1]
    table = ordered_product(rows, loads)
    assert (low.tolist(), high.tolist()) == (table.min(axis=1).tolist(), table.max(axis=1).tolist())
    expected = np.zeros((2, length))
    for (still, moving), level in zip(parts, level_of, strict=True):
        acting = moving * table[places] + still * fixed[..., None]
        forces = forces_of(acting[:, :2], acting[:, 2])
        factor, preload, share = grips[level]
        used = grip_utilisation(forces.size, forces.tension, factor=factor, preload=preload, tension_share=share)
        np.maximum(expected[level], used.max(axis=0), out=expected[level])
    assert ratio.tobytes() == expected.tobytes()


@pytest.mark.parametrize("name", STANDARDS)
@given(value=st.floats(0.01, 5.0), sizes=st.lists(st.tuples(st.floats(0, 1e6), st.floats(-1e6, 1e6)), min_size=1))
def test_within_its_lines_a_measure_does_not_pass_the_value(name, value, sizes):
    rules = standard(name)

    def used(size, tension):
        return rules.combined_utilisation(size, tension, shear_resistance=94e3, tension_resistance=141e3)

    measure = strength_measure(used, shear=94e3, tension=141e3)
    size, tension = np.array(sizes).T
    reach = (np.stack([size, np.maximum(tension, 0.0)], axis=1) @ measure.within(value).T).max(axis=1)
    inside = reach <= 1.0 - 1e-9
    found = measure(forces_of(np.stack([size, 0 * size])[None], tension[None]))[0]
    assert (found[inside] <= value).all()


@pytest.mark.parametrize("name", STANDARDS)
def test_the_lines_of_a_curved_measure_lie_close_to_it(name):
    """Otherwise long histories would be looked at more often than needed."""
    rules = standard(name)

    def used(size, tension):
        return rules.combined_utilisation(size, tension, shear_resistance=94e3, tension_resistance=141e3)

    found = strength_measure(used, shear=94e3, tension=141e3).within(1.0)
    angles = np.linspace(0.1, 1.4, 50)
    ray = np.stack([94e3 * np.cos(angles), 141e3 * np.sin(angles)], axis=1)
    reach = 1.0 / (ray @ found.T).max(axis=1)
    assert (used(*(ray * reach[:, None]).T) > 0.93).all()


LINES = st.lists(st.tuples(st.floats(0, 1e3), st.floats(0, 1e3)), min_size=1, max_size=12)


@given(LINES, st.tuples(st.floats(0, 1e6), st.floats(0, 1e6)))
def test_no_line_is_passed_where_no_outer_line_is(lines, state):
    lines, state = np.array(lines), np.array(state)
    kept = outer_lines(lines)
    assert {tuple(line) for line in kept.tolist()} <= {tuple(line) for line in lines.tolist()}
    assert (kept @ state).max() == pytest.approx((lines @ state).max(), rel=1e-12)
