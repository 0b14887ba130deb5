"""The contract of what was recalled and not read in its source: rows, categories and formulas of a joint or a job."""

from collections.abc import Iterator

from fatigue.random_vibration import DIRLIK, RICE
from loadhistories.figures import figure_values
from loadhistories.tables import FROM_MEMORY

# What an alternative or a warning rests on is not what the outcome rests on.
_ASIDE = ("warnings", "alternatives", "care_plan")


def unconfirmed_of_job(job, plain: dict) -> list[str]:
    """What to compare with the source that stands with no joint: loads that were made, sequences, frames, factors.

    Parameters
    ----------
    plain : dict
        The contract of the job without that of its joints.
    """
    return list(dict.fromkeys([*job.recalled, *_rules(_figures(plain), set())]))


def unconfirmed_of(result, checks, looked_up, plain: dict) -> list[str]:
    """What to compare with the source before the outcome of a joint is relied on, in words, each once.

    Parameters
    ----------
    result : JointResult
    checks : sequence of Check
        All of the joint, those of its details included.
    looked_up : iterable of str
        Rows looked up besides those that the result holds.
    plain : dict
        The contract of the joint, whose figures may stand on recalled clauses besides those of the checks.
    """
    found = [*result.given.recalled, *result.recalled, *looked_up]
    cranes = {crane.name: crane for place in result.given.runway for crane in place.cranes}
    found += [text for crane in cranes.values() for text in crane.recalled]
    found += [f"category of {name}: {source}" for name, source in _categories(result)]
    shaken = [detail for detail in result.given.details if detail.random is not None]
    found += [f"random stress at {detail.name}: {text}" for detail in shaken for text in (DIRLIK, RICE)]
    life = result.outcome.joint.preload_life if result.outcome is not None else None
    for source in life.sources if life is not None else ():
        if FROM_MEMORY in source.casefold() and not any(source in text for text in found):
            found.append(f"preload: {source}")
    told: set[str] = set()
    return list(dict.fromkeys([*found, *_rules(_clauses(checks), told), *_rules(_figures(plain), told)]))


def _categories(result) -> Iterator[tuple[str, str]]:
    for item in result.details:
        if item.detail.unconfirmed:
            yield item.detail.name, item.detail.source
    for place in result.given.runway:
        for strength in place.strengths.values():
            if strength.row.unconfirmed:
                yield place.name, strength.row.source


def _clauses(checks) -> Iterator[tuple[str, str]]:
    """Title and clause of every check and of every figure of its working."""
    for check in checks:
        yield check.title, check.clause
        for part in check.working:
            yield from ((item.figure.title or item.figure.symbol, item.figure.clause) for item in figure_values(part))


def _figures(plain) -> Iterator[tuple[str, str]]:
    """Title and clause of every figure in a contract, however deep."""
    if isinstance(plain, list):
        for item in plain:
            yield from _figures(item)
    elif isinstance(plain, dict) and "symbol" in plain:
        yield plain.get("title") or plain["symbol"], plain.get("clause") or ""
    elif isinstance(plain, dict):
        for key, item in plain.items():
            if key not in _ASIDE:
                yield from _figures(item)


def _rules(clauses, told: set[str]) -> Iterator[str]:
    """Formulas and rules whose clause is recalled, by their clause; each clause once."""
    for title, clause in clauses:
        if FROM_MEMORY in clause.casefold() and clause not in told:
            told.add(clause)
            yield f"rule: {clause}: {title}"
