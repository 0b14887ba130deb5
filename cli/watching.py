"""Watches files until one of them changes."""

import time
from collections.abc import Callable, Iterable
from pathlib import Path

EVERY = 0.5

State = dict[Path, tuple[int, int] | None]


def state_of(files: Iterable[Path]) -> State:
    """Time of change [ns] and size of each file, None for one that is not there."""
    return {path: _stamp(path) for path in files}


def next_change(before: State, *, wait: Callable[[], None] = lambda: time.sleep(EVERY)) -> State:
    """The state of the files once some differ from `before` and all stand still: an editor may write in steps.

    Parameters
    ----------
    wait : callable
        Lets the time between two looks pass.
    """
    last = None
    while True:
        now = state_of(before)
        if now != before and now == last:
            return now
        last = now
        wait()


def _stamp(path: Path) -> tuple[int, int] | None:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size
