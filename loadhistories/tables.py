"""Reads the data tables (TOML) of the packages; refuses a row without source or with an unknown key."""

import tomllib
from functools import cache
from importlib.resources import files

from loadhistories.validation import require_one_of

FROM_MEMORY = "from memory"


@cache
def read_table(package: str, name: str) -> dict[str, dict]:
    """Rows of `<package>/<name>.toml` by their key.

    A table file states `columns` (the keys a row must have), may state `optional`, and holds its rows as
    `[row.<key>]`. Every row has a `source`.

    Raises
    ------
    LookupError
        The file breaks one of these rules: a fault of ours, not of the user.
    """
    data = tomllib.loads(files(package).joinpath(f"{name}.toml").read_text(encoding="utf-8"))
    place = f"{package}/{name}.toml"
    if set(data) - {"title", "columns", "optional", "row"}:
        raise LookupError(f"{place}: unknown entry {sorted(set(data) - {'title', 'columns', 'optional', 'row'})}")
    wanted, extra = set(data["columns"]), set(data.get("optional", ()))
    for key, row in data["row"].items():
        if not str(row.get("source", "")).strip():
            raise LookupError(f"{place}: row {key!r} has no source")
        missing, unknown = wanted - set(row), set(row) - wanted - extra - {"source"}
        if missing or unknown:
            raise LookupError(f"{place}: row {key!r} lacks {sorted(missing)}, has unknown {sorted(unknown)}")
    return data["row"]


def row_of(package: str, name: str, key: str, what: str, *, place: str = "") -> dict:
    """One row of a table; raises InputError with the known keys if there is none of that name."""
    rows = read_table(package, name)
    return rows[require_one_of(key, rows, what, place=place)]


def unconfirmed(row: dict) -> bool:
    """Whether a row says of itself that its value was recalled and not read in its source."""
    return FROM_MEMORY in row["source"].casefold()
