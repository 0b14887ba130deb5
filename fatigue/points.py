"""Places where a normal and a shear stress act together; what they do to each other is the standard's to say."""

from collections.abc import Iterator, Sequence

from fatigue.assessment import DetailOutcome
from fatigue.random_stress import point_with_random
from fatigue.standards import standard as rules_of
from loadhistories.figures import Check, not_judged


def judge_points(outcomes: Sequence[DetailOutcome]) -> tuple[Check, ...]:
    """Checks of every normal stress with every shear stress at the same named place, once each is judged by itself.

    Cracks from the toe and from the root of a weld are told apart where the categories say which is which: a normal
    stress of the one is not combined with a shear stress of the other.

    Parameters
    ----------
    outcomes : sequence of DetailOutcome
        Of one joint; the details name their place by `point`.

    Returns
    -------
    tuple of Check
        None where no place has both. Not judged where one of the two is not, or no rule for the two is known here.
    """
    found: list[Check] = []
    for number, (normal, shear) in enumerate(_pairs(outcomes), start=1):
        reason = _not_together(normal, shear)
        rules = rules_of(normal.detail.standard)
        name = f"{normal.detail.point} ({normal.detail.name} and {shear.detail.name})"
        if reason:
            found.append(
                not_judged(
                    f"fatigue:point:{number}",
                    f"normal and shear stress together at {name}",
                    reason=reason,
                    clause=rules.CLAUSE,
                )
            )
        else:
            found += rules.point_checks(number, name, normal.result, shear.result)
            found += _with_random(number, name, normal, shear)
    return tuple(found)


def _with_random(number: int, name: str, normal: DetailOutcome, shear: DetailOutcome) -> Iterator[Check]:
    """The check of the damage of a point with the random stress at it; none where there is no such stress."""
    stated = [item for item in (normal, shear) if (item.instead_of or item.detail).random is not None]
    if not stated:
        return
    id, title = f"fatigue:point:{number}:random", f"normal and shear stress together at {name}, random stress included"
    open_ones = [check for item in stated for check in item.checks if check.id.startswith("random:") and check.reason]
    if open_ones:
        yield not_judged(id, title, reason=open_ones[0].reason, clause=open_ones[0].clause)
    else:
        yield point_with_random(id, title, normal, shear)


def _pairs(outcomes: Sequence[DetailOutcome]) -> Iterator[tuple[DetailOutcome, DetailOutcome]]:
    for normal in outcomes:
        for shear in outcomes:
            one, other = normal.detail, shear.detail
            cracks = {one.row.crack, other.row.crack} - {""}
            if (
                one.point
                and one.point == other.point
                and (one.stress, other.stress) == ("normal", "shear")
                and len(cracks) < 2
            ):
                yield normal, shear


def _not_together(normal: DetailOutcome, shear: DetailOutcome) -> str:
    """Why the two cannot be judged together, or ""."""
    alone = [item.detail.name for item in (normal, shear) if item.check.utilisation is None]
    if alone:
        return f"not judged by itself: {' and '.join(alone)}"
    names = sorted({normal.detail.standard, shear.detail.standard})
    if len(names) > 1 or not hasattr(rules_of(names[0]), "point_checks"):
        return f"no rule of {' with '.join(names)} for normal and shear stress together is known here"
    return ""
