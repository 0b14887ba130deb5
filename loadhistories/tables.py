"""Reads the data tables (TOML) of the packages; refuses a row without source or with an unknown key."""

import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files

from loadhistories.validation import require_one_of

FROM_MEMORY = "from memory"
_ENTRIES = {"title", "columns", "optional", "catalogue", "row"}


class Recalled:
    """Recalled rows that were looked up, in their order: keys by the source that they share."""

    def __init__(self) -> None:
        self._keys: dict[str, dict[str, None]] = {}

    def note(self, key: str, source: str) -> None:
        """Keep a row."""
        self._keys.setdefault(source, {})[key.replace("_", " ")] = None

    @property
    def lines(self) -> tuple[str, ...]:
        """One line for each source, with the rows that stand on it."""
        return tuple(f"{', '.join(keys)}: {source}" for source, keys in self._keys.items())


_OPEN: ContextVar[Recalled | None] = ContextVar("recalled rows being noted", default=None)


class _Rows(dict):
    """Rows of one table; a recalled row that is looked up by its key is noted while `recalled_rows` is open."""

    def __getitem__(self, key: str) -> dict:
        row, noted = super().__getitem__(key), _OPEN.get()
        if noted is not None and unconfirmed(row):
            noted.note(key, row["source"])
        return row

    def get(self, key: str, default=None):
        """The row of a key, looked up like any other, or the default where there is none."""
        return default if super().get(key) is None else self[key]


@contextmanager
def recalled_rows(noted: Recalled | None = None) -> Iterator[Recalled]:
    """The recalled rows that are looked up by their keys while it is open, in this thread; `noted` takes them if given.

    Rows of a catalogue are left out: what is made of them carries the mark itself. What an inner one notes, an outer
    one does not.
    """
    noted = Recalled() if noted is None else noted
    before = _OPEN.set(noted)
    try:
        yield noted
    finally:
        _OPEN.reset(before)


@cache
def read_table(package: str, name: str) -> dict[str, dict]:
    """Rows of `<package>/<name>.toml` by their key.

    A table file states `columns` (the keys a row must have), may state `optional`, and holds its rows as
    `[row.<key>]`. Every row has a `source`. A `catalogue` is a table whose rows are made into objects all at once.

    Raises
    ------
    LookupError
        The file breaks one of these rules: a fault of ours, not of the user.
    """
    data = tomllib.loads(files(package).joinpath(f"{name}.toml").read_text(encoding="utf-8"))
    place = f"{package}/{name}.toml"
    if set(data) - _ENTRIES:
        raise LookupError(f"{place}: unknown entry {sorted(set(data) - _ENTRIES)}")
    wanted, extra = set(data["columns"]), set(data.get("optional", ()))
    for key, row in data["row"].items():
        if not str(row.get("source", "")).strip():
            raise LookupError(f"{place}: row {key!r} has no source")
        missing, unknown = wanted - set(row), set(row) - wanted - extra - {"source"}
        if missing or unknown:
            raise LookupError(f"{place}: row {key!r} lacks {sorted(missing)}, has unknown {sorted(unknown)}")
    return data["row"] if data.get("catalogue") else _Rows(data["row"])


def row_of(package: str, name: str, key: str, what: str, *, place: str = "") -> dict:
    """One row of a table; raises InputError with the known keys if there is none of that name."""
    rows = read_table(package, name)
    return rows[require_one_of(key, rows, what, place=place)]


def unconfirmed(row: dict) -> bool:
    """Whether a row says of itself that its value was recalled and not read in its source."""
    return FROM_MEMORY in row["source"].casefold()
