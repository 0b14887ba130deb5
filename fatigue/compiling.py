"""Plain functions handed to numba and kept compiled; says on stderr when something has to be compiled."""

import sys
import threading
from collections.abc import Callable
from functools import cache, wraps


def compiled(function: Callable, signature, *, fastmath: bool | set[str] = False) -> Callable:
    """The function compiled for one signature, or read from its cache; it runs without the interpreter's lock.

    Limits
    ------
    Where no folder for the cache can be written, it is compiled anew in every process.
    """
    from numba import njit
    from numba.core import event

    class Notice(event.Listener):
        def on_start(self, event):
            _say_compiling()

        def on_end(self, event):
            pass

    options = {"nogil": True, "fastmath": fastmath, "error_model": "numpy"}
    try:
        dispatcher = njit(cache=True, **options)(function)
    except RuntimeError:  # no folder for the cache
        dispatcher = njit(**options)(function)
    with event.install_listener("numba:compile", Notice()):
        dispatcher.compile(signature)
    dispatcher.disable_compile()
    return dispatcher


def once(make: Callable) -> Callable:
    """`make()` is called once, also where several threads ask for it at a time; the others wait for its result."""
    lock, made = threading.Lock(), cache(make)

    @wraps(make)
    def given():
        with lock:
            return made()

    return given


@cache
def _say_compiling() -> None:
    print("compiling the loops for long histories (kept for the next run)", file=sys.stderr)
