"""Finds every data table of the packages, and says of what kind it is and which standards it belongs to."""

from collections.abc import Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from importlib.resources import files

from loadhistories.tables import read_table, unconfirmed
from loadhistories.validation import require_one_of

PACKAGES = ("loadhistories", "fatigue", "slip", "cli")
OTHER = "other"


@dataclass(frozen=True)
class TableFile:
    """One data table.

    Attributes
    ----------
    package, name : str
        As `loadhistories.tables.read_table` takes them.
    kind : str
        Key of the table `table_kinds`.
    standards : tuple of str
        Those it belongs to; () where it serves all.
    """

    package: str
    name: str
    title: str
    columns: tuple[str, ...]
    kind: str
    standards: tuple[str, ...]

    @property
    def rows(self) -> dict[str, dict]:
        """Its rows by their keys."""
        return dict(read_table(self.package, self.name).items())

    @property
    def unconfirmed(self) -> dict[str, dict]:
        """The rows that were recalled and not read in their source."""
        return {key: row for key, row in self.rows.items() if unconfirmed(row)}

    def serves(self, standard: str) -> bool:
        """Whether it belongs to a standard, or to all."""
        return not self.standards or standard in self.standards


@cache
def kinds() -> dict[str, dict]:
    """The kinds of tables by their name, the one in which a wrong value would hurt most first."""
    return dict(read_table(__package__, "table_kinds").items())


@cache
def table_files() -> tuple[TableFile, ...]:
    """Every table, by kind in the order of `kinds` and then by name."""
    found = [_table(package, name, head) for package, name, head in _walked()]
    order = list(kinds())
    return tuple(sorted(found, key=lambda item: (order.index(item.kind), item.standards, item.name)))


def tables_of(*, kind: str = "", standard: str = "") -> tuple[TableFile, ...]:
    """The tables of a kind and of a standard; "" for any.

    Raises
    ------
    InputError
        Unknown kind or standard.
    """
    if kind:
        require_one_of(kind, kinds(), "kind of table")
    if standard:
        require_one_of(standard, known_standards(), "standard")
    return tuple(
        item for item in table_files() if kind in ("", item.kind) and (not standard or item.serves(standard))
    )


def known_standards() -> tuple[str, ...]:
    """Names of the standards of every room."""
    return tuple(sorted({name for names in _homes().values() for name in names}))


def _walked() -> Iterator[tuple[str, str, dict]]:
    """Package, name and head of each table file; files without columns are none."""
    import tomllib

    folders = [(package, files(package)) for package in PACKAGES]
    while folders:
        package, folder = folders.pop(0)
        for item in sorted(folder.iterdir(), key=lambda entry: entry.name):
            if item.is_dir() and item.joinpath("__init__.py").is_file():
                folders.append((f"{package}.{item.name}", item))
            elif item.name.endswith(".toml"):
                head = tomllib.loads(item.read_text(encoding="utf-8"))
                if "columns" in head:
                    yield package, item.name.removesuffix(".toml"), head


def _table(package: str, name: str, head: dict) -> TableFile:
    fitting = (kind for kind, row in kinds().items() if any(fnmatchcase(name, pattern) for pattern in row["tables"]))
    kind = next(fitting, OTHER)
    standards = tuple(kinds()[kind].get("standards", ())) or _standards_of(package, name)
    columns = (*head["columns"], *head.get("optional", ()))
    return TableFile(package, name, head["title"], columns, kind, standards)


def _standards_of(package: str, name: str) -> tuple[str, ...]:
    """By the module that it stands beside: its package, or a module whose name its own begins with."""
    homes = _homes()
    if package in homes:
        return homes[package]
    beside = [home for home in homes if home.rpartition(".")[0] == package and name.startswith(home.rpartition(".")[2])]
    return homes[max(beside, key=len)] if beside else ()


@cache
def _homes() -> dict[str, tuple[str, ...]]:
    """Public names of the standards by their module."""
    import fatigue.standards
    import slip.standards

    found: dict[str, list[str]] = {}
    for room in (fatigue.standards, slip.standards):
        for name in room.names():
            found.setdefault(room.standard(name).__name__, []).append(name)
    return {module: tuple(names) for module, names in found.items()}
