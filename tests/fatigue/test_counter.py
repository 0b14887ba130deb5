"""Histories fed in pieces, side by side and on several threads: always the bits of the whole."""

from itertools import chain

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fatigue import channel, counter
from fatigue.cycles import Bins, CycleCount, CycleCounter, count_cycles
from fatigue.kernel import compiled_kernel, plain_kernel
from loadhistories.validation import InputError


class Cube:
    """A life curve of slope 3 through range 1 at one cycle."""

    def damage(self, ranges, counts):
        return float((counts * ranges**3).sum())


def bits(count: CycleCount) -> list[bytes]:
    return [array.tobytes() for array in (count.ranges, count.means, count.counts, count.residue)]


def histories(length: int) -> dict[str, np.ndarray]:
    rng = np.random.default_rng(11)
    steps = np.arange(length)
    return {
        "random": rng.normal(size=length),
        "tied": rng.integers(-2, 3, length).astype(float),
        "plateaus": np.repeat(rng.normal(size=length), rng.integers(1, 200, length))[:length],
        "walk": np.cumsum(rng.normal(size=length)),
        "late": np.where(steps < length // 2, 1.5, rng.normal(size=length)),
        "constant": np.full(length, -4.0),
        "dolls": np.where(steps % 2, 1.0, -1.0) * np.minimum(steps, steps[::-1]),
    }


@pytest.fixture
def small_blocks(monkeypatch):
    """Blocks of some hundred samples, so that short histories have many."""
    monkeypatch.setattr(channel, "BLOCK", 256)


@pytest.fixture
def threads(small_blocks, monkeypatch):
    """The compiled kernel and three threads for any history."""
    monkeypatch.setattr(counter, "COMPILED_FROM", 0)
    monkeypatch.setattr(counter, "SHARED_FROM", 0)
    monkeypatch.setattr(counter, "_processors", lambda: 3)
    monkeypatch.setattr(counter, "kernel_for", lambda samples: compiled_kernel())


@pytest.mark.parametrize("name", histories(0))
@pytest.mark.parametrize("size", [1, 7, 255, 256, 257, 1000, 5000])
def test_pieces_of_any_size_give_the_bits_of_the_whole(small_blocks, name, size):
    history = histories(4000)[name]
    fed = CycleCounter()
    for start in range(0, len(history), size):
        fed.feed(history[start : start + size])
    assert bits(fed.count()) == bits(count_cycles(history))


@given(st.lists(st.lists(st.integers(-3, 3).map(float), max_size=12), max_size=8))
@settings(deadline=None)
def test_pieces_of_any_sizes_give_the_bits_of_the_whole(pieces):
    fed = CycleCounter()
    for piece in pieces:
        fed.feed(piece)
    assert bits(fed.count()) == bits(count_cycles(list(chain(*pieces))))


@pytest.mark.parametrize("name", histories(0))
def test_several_threads_and_compiled_code_give_the_bits_of_plain_python(threads, monkeypatch, name):
    history = histories(40_000)[name]
    shared = count_cycles(history)
    monkeypatch.setattr(counter, "_processors", lambda: 1)
    monkeypatch.setattr(counter, "kernel_for", lambda samples: plain_kernel())
    assert bits(count_cycles(history)) == bits(shared)


@pytest.mark.parametrize("size", [100, 256, 3000])
def test_channels_side_by_side_are_counted_as_each_alone(threads, size):
    table = np.array(list(histories(9000).values()))
    fed = CycleCounter(len(table))
    for start in range(0, table.shape[1], size):
        fed.feed(table[:, start : start + size])
    for row, count in zip(table, fed.counts(), strict=True):
        assert bits(count) == bits(count_cycles(row))
        assert count.samples == 9000


def test_damage_sums_have_the_same_bits_for_any_pieces_and_threads(threads, monkeypatch):
    history = histories(40_000)["random"]
    shared = count_cycles(history, keep="damage", curves=[Cube()]).damage()
    monkeypatch.setattr(counter, "_processors", lambda: 1)
    fed = CycleCounter(keep="damage", curves=[Cube()])
    for start in range(0, len(history), 777):
        fed.feed(history[start : start + 777])
    assert fed.count().damage().tobytes() == shared.tobytes()
    whole = count_cycles(history)
    assert shared[0] == pytest.approx(Cube().damage(whole.ranges, whole.counts), rel=1e-12)


def test_histograms_have_the_same_numbers_for_any_pieces_and_threads(threads, monkeypatch):
    history = histories(40_000)["random"]
    bins = Bins(0.25, 0.5)
    shared = count_cycles(history, keep="histogram", bins=bins)
    monkeypatch.setattr(counter, "_processors", lambda: 1)
    fed = CycleCounter(keep="histogram", bins=bins)
    for start in range(0, len(history), 777):
        fed.feed(history[start : start + 777])
    assert bits(fed.count()) == bits(shared)


def test_a_count_taken_in_between_does_not_disturb_the_counter():
    history = histories(900)["walk"]
    fed = CycleCounter()
    for end in range(0, 900, 90):
        fed.feed(history[end : end + 90])
        assert bits(fed.count()) == bits(count_cycles(history[: end + 90]))


def test_each_channel_may_have_curves_of_its_own():
    class Sum:
        def damage(self, ranges, counts):
            return float((counts * ranges).sum())

    fed = CycleCounter(2, keep="damage", curves=[[Cube()], [Sum(), Cube()]])
    fed.feed([[0.0, 2.0, 0.0], [0.0, 3.0, 0.0]])
    assert [count.damage().tolist() for count in fed.counts()] == [[8.0], [3.0, 27.0]]
    with pytest.raises(InputError, match="3 channels need as many sequences of curves, got 2"):
        CycleCounter(3, keep="damage", curves=[[Cube()], [Cube()]])


def test_rows_of_a_table_that_are_not_contiguous_are_counted_all_the_same(threads):
    table = np.random.default_rng(2).normal(size=(4000, 3))
    fed = CycleCounter(3)
    fed.feed(table.T)
    assert [bits(count) for count in fed.counts()] == [bits(count_cycles(row.copy())) for row in table.T]


def test_an_array_that_must_not_be_written_is_counted_and_stays_as_it_is(threads):
    history = histories(3000)["random"]
    before = history.tobytes()
    expected = bits(count_cycles(history.copy()))
    history.flags.writeable = False
    assert bits(count_cycles(history)) == expected
    assert history.tobytes() == before


@pytest.mark.parametrize("wrong", [np.nan, np.inf, -np.inf])
@pytest.mark.parametrize("place", [0, 3, 255, 256, 3000, 8999])
def test_a_refused_value_is_named_with_channel_and_index_since_the_first_piece(threads, wrong, place):
    table = np.sin(np.arange(18_000.0)).reshape(2, 9000)
    table[1, place] = wrong
    fed = CycleCounter(2)
    with pytest.raises(InputError, match=f"values of channel 1 must be finite .* got {wrong:g} at index {place};"):
        for start in range(0, 9000, 500):
            fed.feed(table[:, start : start + 500])
    with pytest.raises(InputError, match=f"values must be finite .* got {wrong:g} at index {place};"):
        count_cycles(table[1])


def test_a_refused_shape_is_named_with_the_one_wanted():
    with pytest.raises(InputError, match=r"values must have shape \(2, m\), got \(3, 4\)"):
        CycleCounter(2).feed(np.zeros((3, 4)))
    with pytest.raises(InputError, match=r"values must have shape \(2, m\), got \(4,\)"):
        CycleCounter(2).feed(np.zeros(4))
    with pytest.raises(InputError, match=r"the counter has 2 channels; take \.counts\(\)"):
        CycleCounter(2).count()
    with pytest.raises(InputError, match="number of channels must be a whole number, not below 0, got -1"):
        CycleCounter(-1)
    with pytest.raises(InputError, match=r"number of channels must be a whole number, not below 0, got 1\.5"):
        CycleCounter(1.5)


def test_no_channels_have_no_counts():
    fed = CycleCounter(0)
    fed.feed(np.zeros((0, 5)))
    assert fed.counts() == ()
