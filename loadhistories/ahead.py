"""Reading ahead: the next chunks are made ready in a second thread while the caller works on the last one."""

from collections import deque
from collections.abc import Iterable, Iterator
from typing import TypeVar

from loadhistories.validation import InputError

Chunk = TypeVar("Chunk")

_END = object()


def read_ahead(chunks: Iterable[Chunk], depth: int = 2) -> Iterator[Chunk]:
    """The same chunks in the same order, up to `depth` of them made ready before they are asked for.

    Nothing starts before the first chunk is asked for, and the first two are read in the caller's thread: a source
    of a single chunk never starts one. A refusal of the source is raised at its place. However the walk ends, the
    thread is gone and the source closed before the caller goes on.

    Parameters
    ----------
    chunks : iterable
        Walked by one thread at a time.
    depth : int
        How many chunks may lie ready; with the one the caller works on, that bounds the memory.

    Raises
    ------
    InputError
        `depth` is not a whole number of at least 1.

    Examples
    --------
    >>> list(read_ahead(iter([1, 2, 3, 4])))
    [1, 2, 3, 4]
    """
    if not isinstance(depth, int) or depth < 1:
        raise InputError(f"depth must be a whole number of at least 1, got {depth!r}")
    return _ahead(chunks, depth)


def _ahead(chunks: Iterable[Chunk], depth: int) -> Iterator[Chunk]:
    source = iter(chunks)
    try:
        for _ in range(2):
            if (chunk := next(source, _END)) is _END:
                return
            yield chunk
        yield from _in_second_thread(source, depth)
    finally:
        close = getattr(source, "close", None)
        if close is not None:
            close()


def _in_second_thread(source: Iterator[Chunk], depth: int) -> Iterator[Chunk]:
    from concurrent.futures import ThreadPoolExecutor

    # Each task reads one chunk and ends: a thread that is never waited for cannot keep the process alive.
    worker = ThreadPoolExecutor(1, thread_name_prefix="reading-ahead")
    try:
        ready = deque(worker.submit(next, source, _END) for _ in range(depth))
        while (chunk := ready.popleft().result()) is not _END:
            ready.append(worker.submit(next, source, _END))
            yield chunk
    finally:
        worker.shutdown(wait=True, cancel_futures=True)
