"""The line that tells how far a long walk has come."""

import io
import itertools
import re

import numpy as np
import pytest

from cli.progress import BETWEEN_DRAWINGS, PATIENCE, Progress


class Terminal(io.StringIO):
    """A stream that says it is a terminal, and keeps a list of what was written."""

    def __init__(self, is_terminal=True):
        super().__init__()
        self.is_terminal = is_terminal
        self.pieces = []

    def isatty(self):
        return self.is_terminal

    def write(self, text):
        self.pieces.append(text)
        return super().write(text)

    @property
    def lines(self):
        """What was drawn, without what wiped it."""
        return [piece.strip("\r") for piece in self.pieces if piece.strip()]

    @property
    def left(self):
        """What stands on the line at the end, as a terminal shows it."""
        shown, at = [], 0
        for letter in self.getvalue():
            if letter == "\r":
                at = 0
            else:
                shown[at : at + 1] = [letter]
                at += 1
        return "".join(shown).rstrip()


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self):
        self.now = 100.0

    def __call__(self):
        return self.now


@pytest.fixture(autouse=True)
def terminal_of_100_columns(monkeypatch):
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "100")


def walked(chunks, seconds, *, terminal=None, samples=None, stop=None, **options):
    """Walks so many chunks of 1000 samples, each in so many seconds; the terminal afterwards."""
    terminal, clock = terminal or Terminal(), Clock()
    progress = Progress(samples or 1000 * chunks, "reading", stream=terminal, clock=clock, **options)
    for number, chunk in enumerate(progress.over(np.zeros((6, 1000)) for _ in range(chunks))):
        assert chunk.shape == (6, 1000)
        clock.now += seconds
        if number == stop:
            raise KeyboardInterrupt
    return terminal


def test_the_line_tells_share_amount_rate_and_time_left():
    terminal = walked(10, 2.0, stored=500_000_000)
    assert terminal.lines[2] == (
        "reading  30% [=========                     ] 150 of 500 MB, 25 MB/s, 14 s left"
    )
    assert terminal.lines[-1].startswith("reading 100% [==============================] 500 of 500 MB")
    assert terminal.lines[-1].endswith(", 0 s left")


def test_without_a_file_the_line_tells_samples():
    assert "3 of 10 thousand samples, 0.5 thousand samples/s, 14 s left" in walked(10, 2.0).lines[2]


@pytest.mark.parametrize(("seconds", "left"), [(2.0, "18 s"), (20.0, "3 min 00 s"), (1000.0, "2 h 30 min")])
def test_the_time_left_is_told_like_a_clock(seconds, left):
    assert walked(10, seconds).lines[0].endswith(f", {left} left")


def test_the_line_is_gone_when_the_walk_ends():
    terminal = walked(10, 2.0)
    assert terminal.lines
    assert terminal.left == ""


def test_the_line_is_gone_when_the_walk_is_broken_off():
    terminal = Terminal()
    with pytest.raises(KeyboardInterrupt):
        walked(10, 2.0, terminal=terminal, stop=5)
    assert len(terminal.lines) == 5
    assert terminal.left == ""


def test_the_line_is_gone_before_a_refusal_of_the_source_is_seen():
    terminal, clock = Terminal(), Clock()

    def chunks():
        yield np.zeros(1000)
        clock.now += 5.0
        yield np.zeros(1000)
        clock.now += 5.0
        raise ValueError("ragged")

    with pytest.raises(ValueError, match="ragged"):
        for _ in Progress(9000, "reading", stream=terminal, clock=clock).over(chunks()):
            pass
    assert terminal.lines
    assert terminal.left == ""


def test_nothing_is_drawn_within_the_first_second():
    assert walked(10, PATIENCE / 10).pieces == []
    assert len(walked(11, PATIENCE / 10 + 1e-9).lines) == 2


def test_the_line_is_drawn_at_most_ten_times_a_second():
    terminal = walked(5000, 0.001)
    assert 30 <= len(terminal.lines) <= 4.0 / BETWEEN_DRAWINGS + 1


@pytest.mark.parametrize("options", [{"quiet": True}, {"terminal": Terminal(is_terminal=False)}])
def test_nothing_is_drawn_in_a_pipe_or_when_asked_to_be_quiet(options):
    assert walked(10, 2.0, **options).pieces == []


def test_nothing_is_drawn_on_a_terminal_that_cannot_go_back(monkeypatch):
    monkeypatch.setenv("TERM", "dumb")
    assert walked(10, 2.0).pieces == []


@pytest.mark.parametrize("columns", [5, 20, 40, 60, 80, 100, 300])
def test_the_line_is_plain_and_never_wraps(monkeypatch, columns):
    monkeypatch.setenv("COLUMNS", str(columns))
    terminal = walked(10, 2.0, stored=500_000_000)
    for line in terminal.lines:
        assert len(line) < columns
        assert re.fullmatch("[ -~]*", line)
    assert terminal.left == ""


def test_a_shorter_line_leaves_nothing_of_the_longer_one_before(monkeypatch):
    monkeypatch.setenv("COLUMNS", "300")
    terminal = walked(130, 100.0)
    texts = [line.rstrip() for line in terminal.lines]
    assert any(len(after) < len(before) for before, after in itertools.pairwise(texts))
    assert all(len(after) >= len(before) for before, after in zip(texts, terminal.lines[1:], strict=False))


def test_several_walks_add_up_to_one_share():
    terminal, clock = Terminal(), Clock()
    progress = Progress(4000, "reading", stream=terminal, clock=clock)
    for _ in range(2):
        for _ in progress.over([np.zeros((6, 1000))] * 2):
            clock.now += 3.0
        assert terminal.left == ""
    assert [line[8:12].strip() for line in terminal.lines] == ["25%", "50%", "75%", "100%"]


def test_more_samples_than_were_announced_stay_at_the_whole():
    assert walked(10, 2.0, samples=5000).lines[-1].startswith("reading 100% [")


def test_a_source_is_closed_with_the_walk():
    closed = []

    def chunks():
        try:
            while True:
                yield np.zeros(3)
        finally:
            closed.append(True)

    walk = Progress(9, "reading", stream=Terminal()).over(chunks())
    next(walk)
    walk.close()
    assert closed == [True]


def test_items_are_counted_one_by_one_in_the_word_that_is_given():
    terminal, clock = Terminal(), Clock()
    progress = Progress(4, "assessing", counted="jobs", stream=terminal, clock=clock)
    for _ in progress.each(range(4)):
        clock.now += 3.0
    assert [" of 4 jobs, 0.333 jobs/s" in line for line in terminal.lines] == [True] * 4
    assert terminal.left == ""


def test_walks_within_a_step_keep_the_line_alive_and_count_nothing():
    terminal, clock = Terminal(), Clock()
    progress = Progress(4, "comparing", counted="steps", stream=terminal, clock=clock)
    for step in progress.each(range(4)):
        for chunk in progress.within(np.zeros((6, 1000)) for _ in range(3)):
            assert chunk.shape == (6, 1000)
            clock.now += 1.0
            if step == 1:
                break
        clock.now += 1.0
    assert terminal.lines[0].startswith("comparing   0% [") and "left" not in terminal.lines[0]
    assert terminal.lines[-1].startswith("comparing 100%") and terminal.left == ""
    assert "2 of 4 steps" in "".join(terminal.lines)
