"""Tolerances of alignment by class: what a crane rail or a shaft line may be off its place, and which item governs."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

from loadhistories.figures import Figure
from loadhistories.tables import read_table
from loadhistories.validation import InputError, require_one_of, require_positive, where

METRE = 1000.0


@dataclass(frozen=True)
class ItemTolerance:
    """Tolerance of one item of a class; `turn` only where the class limits an angle too."""

    name: str
    item: str
    source: str
    base: Annotated[float, Figure("u_1", "mm", title="tolerance of the item, without what grows with the span")]
    per_length: Annotated[float, Figure("k_S", "mm/m", title="what grows with the span")]
    above: Annotated[float, Figure("S_1", "m", title="span above which it grows")]
    span: Annotated[float, Figure("S", "m", title="span; 0 where the item does not go by it")]
    most: Annotated[float, Figure("u_max", "mm", title="never more than this")]
    tolerance: Annotated[
        float, Figure("u_tol", "mm", "min(u_max, u_1 + k_S * max(0, S - S_1))", title="tolerance of the point")
    ]
    turn: Annotated[float | None, Figure("theta_tol", "rad", title="tolerance of the angle")]

    @property
    def text(self) -> str:
        """Class, item and value in words."""
        return f"{self.name}, {self.item}: {self.tolerance:g} mm"


def classes() -> tuple[str, ...]:
    """Names of the classes that are known here."""
    return tuple(dict.fromkeys(row["class"] for row in read_table("slip", "tolerances").values()))


def class_tolerance(
    name: str, *, items: Sequence[str] | None = None, span: float | None = None, place: str = ""
) -> ItemTolerance:
    """The tightest of the items of a class. [mm, rad]

    Parameters
    ----------
    name : str
        One of `classes()`.
    items : sequence of str, optional
        The items that matter; left out, all that the table holds of the class.
    span : float, optional
        Span of the crane, where an item goes by it. [mm]

    Raises
    ------
    InputError
        An unknown class or item, a span that is missing, or one that no item uses.

    Limits
    ------
    Tolerances of construction: building takes its part of them, and so does elastic deflection, which they do not
    cover; the whole is set against the movement by slip.

    Source
    ------
    The row's own, in `tolerances.toml`.

    Examples
    --------
    >>> class_tolerance("crane rail 1", items=["span", "straightness"], span=20_000.0).tolerance
    4.0
    """
    known = {row["item"]: row for row in _rows(require_one_of(name, classes(), "class", place=place))}
    wanted = list(known) if items is None else [require_one_of(item, known, "item", place=place) for item in items]
    if not wanted:
        raise InputError(f"items must name one item or more of {name!r}; known: {', '.join(known)}{where(place)}")
    by_span = [item for item in wanted if "per_metre_mm" in known[item]]
    if by_span and span is None:
        raise InputError(f"{' and '.join(by_span)} of {name!r} go by the span; give span, or items without them"
                         + where(place))  # fmt: skip
    if not by_span and span is not None:
        raise InputError(f"span is not used by {', '.join(wanted)} of {name!r}; take it away{where(place)}")
    length = 0.0 if span is None else require_positive(span, "span", unit="mm", place=place) / METRE
    return min((_item(known[item], length) for item in wanted), key=lambda found: found.tolerance)


def _rows(name: str) -> list[dict]:
    return [row for row in read_table("slip", "tolerances").values() if row["class"] == name]


def _item(row: dict, span: float) -> ItemTolerance:
    base, slope, above = float(row["tolerance_mm"]), float(row.get("per_metre_mm", 0)), float(row.get("above_m", 0))
    length = span if slope else 0.0
    most = float(row.get("most_mm", base))
    turn = row.get("turn_mm_per_100mm")
    return ItemTolerance(
        row["class"], row["item"], row["source"], base, slope, above, length, most,
        min(most, base + slope * max(0.0, length - above)), None if turn is None else turn / 100.0,
    )  # fmt: skip
