"""CatalogueRow: one constructional detail of a standard's tables, and browsing them."""

from dataclasses import dataclass

from fatigue.standards import standard as rules_of
from loadhistories.validation import InputError, nearest


@dataclass(frozen=True)
class CatalogueRow:
    """One row of the tables of details.

    Attributes
    ----------
    category : float or None
        Strength at the reference cycles [MPa]; None where the row only refers to others (`see`).
    stress, stress_on : str
        "normal" or "shear", and the section that the nominal stress is taken on.
    size_effect : str
        Size that lowers the strength: "thickness", "diameter", "eccentric splice", or "".
    relies_on : str
        What must be true of the joint for the category to stand: "grip", "no reversal", or "".
    crack : str
        Where the crack starts, where the row says so.
    starred : bool
        Printed with a star: the category was set one class below its test strength at 2e6 cycles.
    welded : bool or None
        Whether welding left stress in the detail; None where the row does not tell.
    see, also : tuple of str
        Rows to use instead; rows to be checked beside this one.
    letter : str
        The category as its standard names it, where that is no strength: "E'"; else "".
    equations : str
        Which printing of the standard's equations the category follows, where there are several; else "".
    curve : LifeCurve or None
        Where conditions beside the category shape the curve: the one that they make; else None.
    """

    id: str
    table: str
    detail: str
    category: float | None
    slope: float
    stress: str
    stress_on: str
    condition: str
    source: str
    unconfirmed: bool
    size_effect: str = ""
    relies_on: str = ""
    crack: str = ""
    starred: bool = False
    welded: bool | None = None
    see: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    letter: str = ""
    equations: str = ""
    curve: object | None = None


def catalogue(standard: str) -> tuple[CatalogueRow, ...]:
    """Every row of a standard's tables of details, in their order."""
    return rules_of(standard).catalogue()


def find_details(standard: str, words: str = "") -> tuple[CatalogueRow, ...]:
    """Rows in which every one of `words` occurs, in any order and case; all rows for no words.

    Searched are identifier, table, category, kind of stress, section, condition, crack and what a row relies on.

    Examples
    --------
    >>> [row.id for row in find_details("EN 1993", "preloaded symmetric")]
    ['8.1-8', '8.1-13']
    """
    wanted = words.casefold().split()
    return tuple(row for row in catalogue(standard) if all(word in _text(row) for word in wanted))


def catalogue_row(rows: dict[str, CatalogueRow], identifier: str, *, edition: str, place: str = "") -> CatalogueRow:
    """The row of an identifier that has a category of its own.

    Raises
    ------
    InputError
        No such row (with near ones), or a row that only refers to others (with those).
    """
    at = f" ({place})" if place else ""
    if identifier not in rows:
        raise InputError(_unknown(rows, identifier, edition) + at)
    row = rows[identifier]
    if row.category is None:
        use = f"; use one of {', '.join(row.see)}" if row.see else ""
        raise InputError(f"detail {row.id!r} has no category of its own: {row.condition}{use}{at}")
    return row


def _unknown(rows: dict[str, CatalogueRow], identifier: str, edition: str) -> str:
    family = [name for name in rows if name.startswith(f"{identifier}-") or _stem(name) == _stem(identifier)]
    guess = nearest(identifier, rows)
    if family:
        hint = f"; known of this kind: {', '.join(family)}"
    elif guess:
        hint = f"; did you mean {guess!r}?"
    else:
        hint = f"; known tables: {', '.join(dict.fromkeys(row.table for row in rows.values()))}"
    return f"category {identifier!r} is unknown in {edition}{hint}"


def _stem(identifier: str) -> str:
    """Table and detail number without what follows: "8.5-1-80" and "8.5-1b" give "8.5-1"."""
    table, _, rest = identifier.partition("-")
    digits = rest[: len(rest) - len(rest.lstrip("0123456789"))]
    return f"{table}-{digits}" if digits else identifier


def _text(row: CatalogueRow) -> str:
    category = row.letter or ("" if row.category is None else f"{row.category:g}")
    parts = (row.id, row.table, category, row.stress, row.stress_on, row.condition, row.crack, row.relies_on)
    return " ".join(parts).casefold()
