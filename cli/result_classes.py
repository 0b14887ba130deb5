"""Walks the result classes of the packages: every dataclass with Figures, the symbols it prints and their clauses."""

import dataclasses
import importlib
import pkgutil
import typing
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from loadhistories.figures import Figure

ROOMS = ("loadhistories", "fatigue", "slip")


@dataclass(frozen=True)
class ResultFigure:
    """One figure of a result class: the class's name in words, its module, and what it is."""

    module: str
    class_name: str
    what: str
    figure: Figure


@cache
def result_figures() -> tuple[ResultFigure, ...]:
    """Every figure of every result class, in the order of the modules; each class once."""
    found = []
    for kind in _classes():
        hints = typing.get_type_hints(kind, include_extras=True)
        what = (kind.__doc__ or "").strip().splitlines()[0] if kind.__doc__ else ""
        for field in dataclasses.fields(kind):
            for mark in getattr(hints[field.name], "__metadata__", ()):
                if isinstance(mark, Figure):
                    found.append(ResultFigure(kind.__module__, kind.__qualname__, what, mark))
    return tuple(found)


def _classes() -> Iterator[type]:
    seen: set[type] = set()
    for module in _modules():
        for value in vars(module).values():
            own = isinstance(value, type) and value.__module__ == module.__name__
            if own and dataclasses.is_dataclass(value) and value not in seen:
                seen.add(value)
                yield value


def _modules() -> Iterator:
    for room in ROOMS:
        package = importlib.import_module(room)
        for item in pkgutil.walk_packages(package.__path__, f"{room}."):
            yield importlib.import_module(item.name)
