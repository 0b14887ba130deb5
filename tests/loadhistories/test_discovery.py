"""Modules are found by what their sources say, and nothing is imported to find them."""

import importlib
import subprocess
import sys

import pytest

from fatigue import standards as of_fatigue
from loadhistories.discovery import Discovery
from slip import standards as of_slip


@pytest.mark.parametrize("rooms", [of_fatigue, of_slip])
def test_what_the_source_says_is_what_the_module_has(rooms):
    for name in rooms.names():
        module = rooms.standard(name)
        assert name in module.NAMES
        assert name in module.EDITIONS
        assert rooms._KNOWN.offers(name, "BASIS") == hasattr(module, "BASIS")


def test_a_module_beside_another_one_is_found_by_being_there(tmp_path, monkeypatch):
    folder = tmp_path / "trial_rules"
    folder.mkdir()
    (folder / "__init__.py").write_text("")
    (folder / "first.py").write_text('NAMES = ("One", "Two")\nimport math as BASIS\n')
    (folder / "second.py").write_text('raise RuntimeError("imported")\nNAMES = ("Three",)\ndef bolt(): pass\n')
    (folder / "beside.py").write_text("x = 1\n")
    monkeypatch.syspath_prepend(tmp_path)
    package = importlib.import_module("trial_rules")
    known = Discovery("trial_rules", package.__path__)
    assert known.names() == ("One", "Three", "Two")
    assert known.offers("One", "BASIS") and not known.offers("One", "bolt")
    assert known.module("Two").NAMES == ("One", "Two")
    sys.modules.pop("trial_rules.first")


def test_only_the_standard_asked_for_is_imported():
    code = (
        "import sys\nfrom slip.standards import names, standard\nfrom fatigue import standards\n"
        "names(), standards.judging(), standard('EN 1993'), standards.standard('EN 1993')\n"
        "print(*sorted({x.split('.')[2].split('_')[0] for x in sys.modules if '.standards.' in x}))"
    )
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout.split() == ["en1993"]
