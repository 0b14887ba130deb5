"""Clauses that the standards give for their checks, as their modules state them."""

from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True)
class StandardClause:
    """What one standard states for one check or rule."""

    standards: tuple[str, ...]
    what: str
    clause: str


@cache
def standard_clauses() -> tuple[StandardClause, ...]:
    """Every clause of every standard."""
    found = []
    for module in _modules():
        names = tuple(module.NAMES)
        for what, clause in getattr(module, "CLAUSES", {}).items():
            found.append(StandardClause(names, what, clause))
        if isinstance(getattr(module, "CLAUSE", None), str):
            found.append(StandardClause(names, "fatigue damage", module.CLAUSE))
    return tuple(found)


@cache
def _homes() -> dict[str, tuple[str, ...]]:
    return {module.__name__: tuple(module.NAMES) for module in _modules()}


def standards_of_module(name: str) -> tuple[str, ...]:
    """Standards of a module, by the module or package of a standard that it is in or stands beside; () for none."""
    fitting = [home for home in _homes() if name == home or name.startswith((f"{home}.", f"{home}_"))]
    return _homes()[max(fitting, key=len)] if fitting else ()


def _modules() -> list:
    import fatigue.standards
    import slip.standards

    found = {}
    for room in (slip.standards, fatigue.standards):
        for name in room.names():
            module = room.standard(name)
            found[module.__name__] = module
    return list(found.values())
