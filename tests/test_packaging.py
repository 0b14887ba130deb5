"""The installed packages hold the same modules and data as the tree: no ignored file drops out silently."""

from importlib.resources import files
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
KINDS = {".py", ".toml", ".csv", ".css", ".job", ".typ"}


@pytest.mark.parametrize("package", ["loadhistories", "fatigue", "slip", "cli"])
def test_the_installed_package_has_every_module_and_data_file_of_the_tree(package):
    installed, tree = Path(str(files(package))), ROOT / package
    wanted = {path.relative_to(tree) for path in tree.rglob("*") if path.suffix in KINDS}
    found = {path.relative_to(installed) for path in installed.rglob("*") if path.suffix in KINDS}
    assert len(wanted) > 5
    assert wanted == found
    for path in wanted:
        assert (tree / path).read_bytes() == (installed / path).read_bytes(), path
