"""Finds the modules of a package by what their sources say, and imports only those that are asked for."""

import ast
import pkgutil
from functools import cached_property
from importlib import import_module
from importlib.util import find_spec
from types import ModuleType

NAMES = "NAMES"


class Discovery:
    """The modules of a package that give themselves public names, in a tuple `NAMES` of texts at their top.

    Parameters
    ----------
    package : str
        Full name of the package.
    paths : sequence of str
        Its `__path__`.
    """

    def __init__(self, package: str, paths):
        self._package = package
        self._paths = paths

    @cached_property
    def _found(self) -> dict[str, tuple[str, frozenset[str]]]:
        """Public name -> module that has it, and the names that stand at the module's top."""
        found = {}
        for item in pkgutil.iter_modules(self._paths):
            module = f"{self._package}.{item.name}"
            public, defined = _names(module)
            found |= dict.fromkeys(public, (module, defined))
        return found

    def names(self) -> tuple[str, ...]:
        """Public names, sorted."""
        return tuple(sorted(self._found))

    def offers(self, name: str, attribute: str) -> bool:
        """Whether the module of a public name defines or imports something at its top."""
        return attribute in self._found[name][1]

    def module(self, name: str) -> ModuleType:
        """The module of a public name."""
        return import_module(self._found[name][0])


def _names(module: str) -> tuple[tuple[str, ...], frozenset[str]]:
    """The public names that a module gives itself, and all that stands at its top."""
    public: tuple[str, ...] = ()
    defined: set[str] = set()
    for item in ast.parse(find_spec(module).loader.get_source(module)).body:
        if isinstance(item, ast.Assign | ast.AnnAssign):
            targets = item.targets if isinstance(item, ast.Assign) else [item.target]
            assigned = {node.id for target in targets for node in ast.walk(target) if isinstance(node, ast.Name)}
            defined |= assigned
            if NAMES in assigned:
                public = tuple(ast.literal_eval(item.value))
        elif isinstance(item, ast.ImportFrom | ast.Import):
            defined |= {alias.asname or alias.name for alias in item.names}
        elif isinstance(item, ast.FunctionDef | ast.ClassDef):
            defined.add(item.name)
    return public, frozenset(defined)
