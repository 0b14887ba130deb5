"""Toe and root: the categories that a standard wants judged beside a detail, and which of them nobody judges."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fatigue.catalogue import CatalogueRow
from fatigue.detail import Detail
from fatigue.standards import standard as rules_of

FROM_TOE = ("toe",)


@dataclass(frozen=True)
class Unjudged:
    """Rows of which one ought to be judged beside a detail and none is: they are alternatives of each other.

    `key` is "toe" or "root": the statement that would say why it need not be.
    """

    detail: Detail
    rows: tuple[CatalogueRow, ...]
    key: str


def unjudged_beside(details: Sequence[Detail]) -> tuple[Unjudged, ...]:
    """What the catalogue wants judged beside the details of one joint and is neither judged nor stated away.

    Parameters
    ----------
    details : sequence of Detail
        All of the joint, as the user gave them.

    Returns
    -------
    tuple of Unjudged
        In the order of the details; rows that are missing at several details once.

    Limits
    ------
    A row that refers to others is met by one row of each kind: rows of the same table, number and kind of stress,
    such as the lengths of an attachment, are alternatives. All details of a joint are taken to be at one place.
    """
    found, told = [], set()
    there = {item.category for item in details}
    for item in details:
        for rows in _groups(item):
            key = "toe" if all(row.crack in FROM_TOE for row in rows) else "root"
            stated = item.toe if key == "toe" else item.root
            if there.isdisjoint(row.id for row in rows) and not stated and rows[0].id not in told:
                told.add(rows[0].id)
                found.append(Unjudged(item, rows, key))
    return tuple(found)


def _groups(item: Detail) -> Iterable[tuple[CatalogueRow, ...]]:
    known = {row.id: row for row in rules_of(item.standard).catalogue()} if item.row.also else {}
    groups: dict[tuple, list[CatalogueRow]] = {}
    for name in item.row.also:
        row = known[name]
        groups.setdefault((row.table, row.detail, row.stress), []).append(row)
    return [tuple(rows) for rows in groups.values()]

