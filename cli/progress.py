"""Progress of a long walk on a terminal: share, amount, rate and time left on one line that wipes itself."""

import os
import shutil
import sys
import time
from collections.abc import Callable, Iterable, Iterator

from numpy.typing import NDArray

PATIENCE = 1.0
BETWEEN_DRAWINGS = 0.1

_WIDEST_BAR = 30
_NARROWEST_BAR = 8


class Progress:
    """Tells on a terminal how far a walk over samples has come, once it takes longer than PATIENCE seconds.

    Parameters
    ----------
    samples : int
        Of all walks together that will be passed through `over`.
    label : str
        What is being done.
    stored : int
        Size of the files they are read from; 0 shows samples instead. [bytes]
    counted : str
        What the walk counts where no size is stored.
    quiet : bool
        Draw nothing.
    stream : text stream, optional
        Standard error unless given. Nothing is drawn where it is no terminal, or one that cannot go back in a line.
    clock : callable
        Seconds that only go forward.
    """

    def __init__(
        self, samples: int, label: str, *, stored: int = 0, counted: str = "samples", quiet: bool = False, stream=None,
        clock: Callable[[], float] = time.monotonic,
    ):  # fmt: skip
        self._samples = samples
        self._label = label
        self._stored = stored
        self._counted = counted
        self._stream = sys.stderr if stream is None else stream
        self._shown = not quiet and samples > 0 and _can_draw(self._stream)
        self._clock = clock
        self._began: float | None = None
        self._drawn_at = float("-inf")
        self._drawn = 0
        self._done = 0

    def over(self, chunks: Iterable[NDArray]) -> Iterator[NDArray]:
        """The chunks, unchanged; samples are counted along their last axis once the caller is done with them.

        The line is gone again when the walk ends, however it ends.
        """
        if self._began is None:
            self._began = self._clock()
        try:
            for chunk in chunks:
                yield chunk
                self._done += chunk.shape[-1]
                self._draw()
        finally:
            self._wipe()

    def each(self, items: Iterable) -> Iterator:
        """The items, unchanged, each counted as one once the caller is done with it; the line goes as with `over`."""
        if self._began is None:
            self._began = self._clock()
        try:
            for item in items:
                yield item
                self._done += 1
                self._draw()
        finally:
            self._wipe()

    def within(self, chunks: Iterable[NDArray]) -> Iterator[NDArray]:
        """The chunks of a walk inside one of the items of `each`, unchanged and not counted; the line stays alive."""
        for chunk in chunks:
            yield chunk
            self._draw()

    def _draw(self) -> None:
        if not self._shown:
            return
        now = self._clock()
        if now - self._began <= PATIENCE or now - self._drawn_at < BETWEEN_DRAWINGS:
            return
        line = self._line(now - self._began)
        self._stream.write("\r" + line.ljust(self._drawn))
        self._stream.flush()
        self._drawn_at, self._drawn = now, len(line)

    def _line(self, elapsed: float) -> str:
        """The line, narrower than the terminal so that it never wraps; what does not fit is left out from the end."""
        room = shutil.get_terminal_size().columns - 1
        share = min(self._done / self._samples, 1.0)
        front = f"{self._label} {share:4.0%}"
        left = f", {_duration(elapsed * (1.0 - share) / share)} left" if share else ""
        back = self._amounts(elapsed) + left
        width = min(_WIDEST_BAR, room - len(front) - len(back) - 4)
        if width >= _NARROWEST_BAR:
            filled = int(share * width)
            return f"{front} [{'=' * filled}{' ' * (width - filled)}] {back}"
        return f"{front} {back}"[: max(room, 0)]

    def _amounts(self, elapsed: float) -> str:
        """How much of how much, and how fast."""
        done, whole, unit = self._done, self._samples, self._counted
        if self._stored:
            done, whole, unit = self._stored * min(done / whole, 1.0), self._stored, "B"
        scale, prefix = next((scale, prefix) for scale, prefix in _SIZES if whole >= scale)
        name = f"{prefix[0]}{unit}" if self._stored else f"{prefix[1]}{unit}"
        return f"{done / scale:.4g} of {whole / scale:.4g} {name}, {done / scale / elapsed:.3g} {name}/s"

    def _wipe(self) -> None:
        if self._drawn:
            self._stream.write("\r" + " " * self._drawn + "\r")
            self._stream.flush()
            self._drawn = 0


_SIZES = ((1e9, ("G", "billion ")), (1e6, ("M", "million ")), (1e3, ("k", "thousand ")), (1.0, ("", "")))


def _can_draw(stream) -> bool:
    return stream.isatty() and os.environ.get("TERM") != "dumb"


def _duration(seconds: float) -> str:
    """A time left in the words of a clock: "7 s", "3 min 20 s", "2 h 05 min"."""
    whole = int(seconds + 0.5)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60:02d} s"
    return f"{whole // 3600} h {whole % 3600 // 60:02d} min"
