"""Lines of a terminal's width: everything printed fits 80 columns."""

import textwrap

from cli.symbols import plain

WIDTH = 80


def wrapped(text: str, first: str = "", later: str = "") -> list[str]:
    """A text as lines that fit, harmless for the terminal; `first` and `later` are what they begin with.

    Examples
    --------
    >>> wrapped("grip holds", "  - ", "    ")
    ['  - grip holds']
    """
    return textwrap.wrap(plain(text), WIDTH, initial_indent=first, subsequent_indent=later) or [first.rstrip()]
