import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from loadhistories import InputError
from loadhistories.extremes import CROWDED, LoadHull

SAMPLE = st.integers(0, 2**32 - 1)


def hull_of(history, chunk=65_536):
    hull = LoadHull()
    for start in range(0, history.shape[1], chunk):
        hull.feed(history[:, start : start + chunk])
    return hull


def is_subset(points, history):
    fed = {column.tobytes() for column in np.ascontiguousarray(history.T)}
    return all(column.tobytes() in fed for column in np.ascontiguousarray(points.T))


def convex_measures(history, rng):
    """Convex and quasi-convex measures of the load that a joint is judged by, at the scale of the history."""
    size = np.abs(history).max(axis=1)
    scale = np.where(size > 0.0, size, 1.0)[:, None]
    shear, lines = rng.normal(size=(2, 6)), rng.normal(size=(7, 6))
    offset, pull = rng.normal(size=(2, 1)), rng.normal(size=6)
    preload = 0.8 * np.abs(pull).sum() + 1.0

    def tension(loads):
        return np.maximum(pull @ (loads / scale), 0.0)

    def force(loads):
        return np.linalg.norm(shear @ (loads / scale) + offset, axis=0)

    yield from (lambda loads, row=row: np.abs(loads[row] / scale[row]) for row in range(6))
    yield force
    yield tension
    yield lambda loads: np.max(lines @ (loads / scale), axis=0)
    yield lambda loads: force(loads) / 3.0 + tension(loads) / 1.4
    yield lambda loads: force(loads) ** 2 + tension(loads) ** 2
    yield lambda loads: force(loads) / (0.4 * (preload - 0.8 * tension(loads)))


def assert_same_maxima(points, history, seed, rounds=6):
    for round_ in range(rounds):
        for measure in convex_measures(history, np.random.default_rng([seed % 2**32, round_])):
            assert measure(points).max() == pytest.approx(measure(history).max(), rel=1e-12, abs=1e-13)
    assert np.array_equal(points.min(axis=1), history.min(axis=1))
    assert np.array_equal(points.max(axis=1), history.max(axis=1))


def narrow_band(length, rng):
    """Noise of about 20 samples a cycle."""
    spectrum = np.zeros(length // 2 + 1, dtype=complex)
    band = slice(length // 22, length // 18)
    width = len(spectrum[band])
    spectrum[band] = rng.normal(size=width) + 1j * rng.normal(size=width)
    signal = np.fft.irfft(spectrum, length)
    return signal / signal.std()


@st.composite
def histories(draw):
    """Load points of rank 0 to 6: noise, steps, ties, points on a line or a face, of any size."""
    rng = np.random.default_rng(draw(SAMPLE))
    rank, length = draw(st.integers(0, 6)), draw(st.integers(1, 300))
    base = rng.normal(size=(rank, length))
    shapes = ["noise", "quantised", "few levels", "clipped", "sines", "corners", "repeated", "spike"]
    match draw(st.sampled_from(shapes)):
        case "quantised":
            base = np.round(base * 4)
        case "few levels":
            base = rng.integers(0, 2, size=(rank, length)).astype(float)
        case "clipped":
            base = np.clip(base, -0.7, 0.7)
        case "sines":
            base = np.sin(np.outer(np.arange(rank) // 2 + 1, np.arange(length)) * 0.7 + np.arange(rank)[:, None] % 2)
        case "corners":
            base = np.sign(base) * (1.0 + 1e-13 * rng.normal(size=base.shape))
        case "repeated":
            base = np.tile(base[:, : length // 7 + 1], 7)[:, :length]
        case "spike":
            base *= np.where(np.arange(length) == length - 1, 1e6, 1.0)
    rows = rng.permutation(6)
    table = np.zeros((6, length))
    table[rows[:rank]] = base
    if 0 < rank < 6 and draw(st.booleans()):
        table[rows[rank]] = 0.32 * table[rows[0]]
    if draw(st.booleans()):
        table += rng.normal(size=(6, 1)) * 10.0 ** draw(st.integers(0, 3))
    return table * 10.0 ** rng.integers(-6, 10, size=(6, 1))


@settings(deadline=None, max_examples=100)
@given(histories(), st.integers(1, 500), SAMPLE)
def test_every_convex_measure_has_the_same_maximum_on_the_points_as_on_the_history(history, chunk, seed):
    points = hull_of(history, chunk).points()
    assert is_subset(points, history)
    assert len(np.unique(points, axis=1).T) == len(points.T)
    assert_same_maxima(points, history, seed)


@settings(deadline=None, max_examples=25)
@given(histories(), st.integers(1, 30), SAMPLE)
def test_points_asked_for_between_chunks_change_nothing(history, parts, seed):
    hull = LoadHull()
    for part in np.array_split(history, parts, axis=1):
        hull.feed(part)
        if part.shape[1]:
            hull.points()
    assert is_subset(hull.points(), history)
    assert_same_maxima(hull.points(), history, seed)


@settings(deadline=None, max_examples=12)
@given(SAMPLE, st.integers(1, 6), st.sampled_from([2000, 9000, 20_000]), st.sampled_from([0, 1, 8]))
@example(3, 2, 2000, 1)
def test_long_histories_judged_by_the_inner_hull_keep_their_maxima(seed, rank, chunk, levels):
    rng = np.random.default_rng(seed)
    history = np.zeros((6, 30_000))
    history[:rank] = rng.normal(size=(rank, 30_000)) * 10.0 ** rng.integers(-6, 10, size=(rank, 1))
    if levels:
        scale = np.abs(history).max(axis=1, keepdims=True)
        history = np.round(history / np.where(scale > 0.0, scale, 1.0) * levels * 4) / 4 * scale
    points = hull_of(history, chunk).points()
    assert is_subset(points, history)
    assert_same_maxima(points, history, seed, rounds=2)


def test_proportional_components_leave_two_ends():
    force = 1e4 * narrow_band(200_000, np.random.default_rng(5)) + 3e5
    history = np.array([0 * force, force, 0 * force, 0 * force, 0 * force, 0.32 * force])
    points = hull_of(history).points()
    assert sorted(points[1]) == [force.min(), force.max()]


def test_corners_of_a_square_are_found_among_points_on_its_edges_and_inside():
    rng = np.random.default_rng(2)
    x, y = rng.uniform(-1, 1, size=(2, 20_000))
    side = rng.integers(0, 4, size=20_000)
    x, y = np.where(side == 0, 1.0, x), np.where(side == 1, -1.0, y)
    x[[7, 70, 700, 7000]], y[[7, 70, 700, 7000]] = [1, 1, -1, -1], [1, -1, 1, -1]
    history = np.zeros((6, 20_000))
    history[0], history[2] = x * 2e3, y * 7e5
    points = hull_of(history, 1500).points()
    corners = {(2e3, 7e5), (2e3, -7e5), (-2e3, 7e5), (-2e3, -7e5)}
    assert corners <= set(zip(points[0], points[2], strict=True))
    assert points.shape[1] < 50, f"{points.shape[1]} points kept"


def test_a_component_that_wakes_up_late_is_judged_from_then_on():
    rng = np.random.default_rng(8)
    history = np.zeros((6, 40_000))
    history[1] = 1e5 * rng.normal(size=40_000)
    history[3, 30_000:] = 1e-3 * rng.normal(size=10_000)
    history[4, 39_000:] = 1e8 * rng.normal(size=1000)
    points = hull_of(history, 5000).points()
    assert_same_maxima(points, history, 8)
    assert points.shape[1] < 500, f"{points.shape[1]} points kept"


def test_a_proportion_that_ends_late_is_seen():
    force = np.sin(np.arange(30_000) * 0.01) * 1e4
    history = np.array([force, 2.0 * force, 0 * force, 0 * force, 0 * force, 0.32 * force])
    history[5, 29_000] *= 1.0 + 1e-6
    history[1, 29_500] = 0.0
    points = hull_of(history, 5000).points()
    kept = {column.tobytes() for column in np.ascontiguousarray(points.T)}
    assert history[:, 29_000].tobytes() in kept and history[:, 29_500].tobytes() in kept
    assert points.shape[1] < 100, f"{points.shape[1]} points kept"


@pytest.mark.parametrize(("rank", "most"), [(2, 200), (4, 4000)])
def test_few_points_are_kept_of_a_million_instants_of_narrow_band_noise(rank, most):
    rng = np.random.default_rng(rank)
    history = np.zeros((6, 1_000_000))
    for row in range(rank):
        history[row] = 10.0 ** (2 * row) * narrow_band(1_000_000, rng)
    history[5] = 0.32 * history[1]
    hull = hull_of(history)
    points = hull.points()
    assert points.shape[1] < most, f"{points.shape[1]} of 1 000 000 points kept"
    assert not hull.crowded
    assert_same_maxima(points, history, rank, rounds=1)


def test_a_turning_load_that_repeats_itself_keeps_one_turn():
    turn = np.arange(720) / 720 * 2 * np.pi
    once = np.array([np.cos(turn), np.sin(turn), 0.3 * np.cos(2 * turn), 0.1 * np.sin(3 * turn), 0 * turn, 0 * turn])
    history = np.tile(once * 1e4, 60)
    hull = hull_of(history, 10_000)
    points = hull.points()
    assert is_subset(points, once * 1e4)
    assert points.shape[1] <= 720
    assert_same_maxima(points, history, 1)


def test_more_corners_than_can_be_thinned_are_all_kept_and_said_so():
    rng = np.random.default_rng(4)
    ball = rng.normal(size=(6, CROWDED + 20_000))
    ball /= np.linalg.norm(ball, axis=0)
    hull = hull_of(ball, 60_000)
    points = hull.points()
    assert hull.crowded
    assert points.shape[1] == ball.shape[1]
    assert_same_maxima(points, ball, 4, rounds=1)


def test_a_constant_history_leaves_one_point_and_no_instants_none():
    assert LoadHull().points().shape == (6, 0)
    constant = np.outer([1.0, 0.0, -3e9, 1e-6, 0.0, 2.0], np.ones(9000))
    np.testing.assert_array_equal(hull_of(constant, 700).points(), constant[:, :1])


def test_the_fed_chunk_is_not_held_or_changed():
    chunk = np.random.default_rng(1).normal(size=(6, 500))
    before = chunk.copy()
    hull = LoadHull()
    hull.feed(chunk)
    np.testing.assert_array_equal(chunk, before)
    chunk[:] = 1e9
    assert is_subset(hull.points(), before)


@pytest.mark.parametrize("value", [np.nan, np.inf, -np.inf])
def test_a_value_that_is_not_finite_is_refused_with_its_component(value):
    chunk = np.zeros((6, 10))
    chunk[3, 7] = value
    with pytest.raises(InputError, match=r"load points must be finite, but Mx has a value that is not"):
        LoadHull().feed(chunk)


def test_a_chunk_of_another_shape_is_refused():
    with pytest.raises(InputError, match=r"load points must have the shape \(6, m\), got \(10, 6\)"):
        LoadHull().feed(np.zeros((10, 6)))
