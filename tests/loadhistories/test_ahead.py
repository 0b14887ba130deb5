import itertools
import subprocess
import sys
import threading

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories import InputError
from loadhistories.ahead import read_ahead

LONG_ENOUGH = 20.0


class Source:
    """Counts without end, and tells what was asked of it."""

    def __init__(self, fails_at=None, fault=None):
        self.made, self.closed, self.threads = 0, False, set()
        self.fails_at, self.fault = fails_at, fault
        self.reached = {number: threading.Event() for number in range(20)}

    def chunks(self):
        try:
            for number in itertools.count():
                if number == self.fails_at:
                    raise self.fault
                self.threads.add(threading.current_thread())
                self.made = number + 1
                if number in self.reached:
                    self.reached[number].set()
                yield number
        finally:
            self.closed = True


@pytest.fixture(autouse=True)
def no_thread_stays_behind():
    before = set(threading.enumerate())
    yield
    assert set(threading.enumerate()) == before


@given(st.lists(st.integers(), max_size=30), st.integers(1, 5))
def test_the_chunks_come_in_their_order_whatever_the_depth(chunks, depth):
    assert list(read_ahead(iter(chunks), depth)) == chunks
    assert list(read_ahead(chunks, depth=depth)) == chunks


def test_nothing_starts_before_the_first_chunk_is_asked_for():
    source = Source()
    walk = read_ahead(source.chunks())
    assert source.made == 0
    assert next(walk) == 0
    assert source.made == 1
    walk.close()


def test_chunks_are_made_while_the_caller_holds_the_last_one():
    source = Source()
    walk = read_ahead(source.chunks(), depth=2)
    assert list(itertools.islice(walk, 3)) == [0, 1, 2]
    assert source.reached[4].wait(LONG_ENOUGH)
    walk.close()
    assert threading.current_thread() in source.threads
    assert len(source.threads) == 2


@pytest.mark.parametrize("depth", [1, 2, 5])
def test_no_more_than_the_depth_lies_ready(depth):
    source = Source()
    walk = read_ahead(source.chunks(), depth)
    for taken in range(1, 12):
        next(walk)
        assert source.made <= taken + depth
    assert source.reached[10 + depth].wait(LONG_ENOUGH)
    assert source.made == 11 + depth
    walk.close()


@pytest.mark.parametrize("count", [0, 1, 2])
def test_a_short_source_is_read_in_the_thread_of_the_caller(count):
    source = Source()
    walk = read_ahead(itertools.islice(source.chunks(), count))
    for _ in range(count):
        next(walk)
        assert threading.active_count() == 1 + len(_foreign_threads())
    assert source.threads <= {threading.current_thread()}


def _foreign_threads():
    return [thread for thread in threading.enumerate() if thread is not threading.current_thread()]


@pytest.mark.parametrize("taken", [0, 1, 2, 3, 10])
def test_an_endless_source_that_is_left_early_is_closed_and_its_thread_gone(taken):
    source = Source()
    walk = read_ahead(source.chunks())
    assert list(itertools.islice(walk, taken)) == list(range(taken))
    walk.close()
    assert source.closed == (taken > 0)
    assert source.made <= taken + 2
    assert not _threads_ahead()


def _threads_ahead():
    return [thread for thread in threading.enumerate() if thread.name.startswith("reading-ahead")]


@pytest.mark.parametrize("place", [0, 1, 2, 3, 7])
@pytest.mark.parametrize("fault", [InputError("row 7 is ragged"), KeyboardInterrupt(), MemoryError()])
def test_a_refusal_of_the_source_comes_at_its_place(place, fault):
    source, taken = Source(fails_at=place, fault=fault), []
    with pytest.raises(type(fault)) as raised:
        for number in read_ahead(source.chunks()):
            taken.append(number)
    assert raised.value is fault
    assert taken == list(range(place))
    assert source.closed
    assert not _threads_ahead()


@pytest.mark.parametrize("stop", [KeyboardInterrupt, ZeroDivisionError])
def test_an_interrupt_of_the_caller_leaves_no_thread(stop):
    source = Source()
    with pytest.raises(stop):
        _walk_and_fail(source, stop)
    assert source.closed
    assert not _threads_ahead()


def _walk_and_fail(source, stop):
    walk = read_ahead(source.chunks())
    try:
        for number in walk:
            if number == 5:
                raise stop
    finally:
        walk.close()


def test_a_walk_that_is_left_open_does_not_keep_the_process_alive():
    program = (
        "import itertools\n"
        "from loadhistories.ahead import read_ahead\n"
        "walk = read_ahead(itertools.count())\n"
        "print([next(walk) for _ in range(5)], flush=True)\n"
        "raise KeyboardInterrupt\n"
    )
    ended = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, timeout=LONG_ENOUGH)
    assert ended.stdout == "[0, 1, 2, 3, 4]\n"
    assert ended.stderr.rstrip().endswith("KeyboardInterrupt")


@pytest.mark.parametrize("depth", [0, -1, 1.5, "2"])
def test_a_depth_that_is_no_count_is_refused(depth):
    with pytest.raises(InputError, match=rf"depth must be a whole number of at least 1, got {depth!r}"):
        read_ahead([], depth)
