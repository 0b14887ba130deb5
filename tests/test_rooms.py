"""The rule of the rooms: who may import whom, and which module alone may import a package."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
ROOMS = ("loadhistories", "fatigue", "slip", "cli")
MAY_IMPORT = {
    "loadhistories": {"loadhistories"},
    "fatigue": {"fatigue", "loadhistories"},
    "slip": {"slip", "fatigue", "loadhistories"},
    "cli": {"cli", "slip", "fatigue", "loadhistories"},
}
KEPT_TO = {
    "pint": ("loadhistories/units.py",),
    "click": ("cli/main.py", "cli/commands/"),
    "matplotlib": ("cli/plots.py",),
    "rainflow": ("fatigue/cycles.py",),
    "typst": ("cli/notes/pdf.py",),
    "distributed": ("cli/cluster.py",),
    "xlsxwriter": ("cli/schedule_output.py",),
}


def modules():
    return sorted(path for room in ROOMS for path in (ROOT / room).rglob("*.py"))


def imported(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (name.name.split(".")[0] for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield (node.module or "").split(".")[0]


@pytest.mark.parametrize("path", modules(), ids=lambda path: str(path.relative_to(ROOT)))
def test_a_module_imports_only_from_its_own_room_and_those_before_it(path):
    room = path.relative_to(ROOT).parts[0]
    assert set(imported(path)) & set(ROOMS) <= MAY_IMPORT[room]


@pytest.mark.parametrize("package", KEPT_TO)
def test_a_package_is_imported_in_its_one_place_only(package):
    users = {str(path.relative_to(ROOT)) for path in modules() if package in imported(path)}
    assert users, f"nothing imports {package}"
    assert all(user.startswith(KEPT_TO[package]) for user in users), users


def test_no_module_is_longer_than_400_lines():
    long = {str(path): n for path in modules() if (n := len(path.read_text(encoding="utf-8").splitlines())) > 400}
    assert not long


def test_no_test_folder_is_a_package():
    assert not list((ROOT / "tests").rglob("__init__.py"))
