"""What griplife rests on: packages whose licences may go with MIT, and no network while it works."""

import importlib.util
import os
import subprocess
import sys
from email.message import Message
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
# Ends the process with 99 as soon as anything asks for a connection or a name.
BLOCKED = """
import os, sys
def no_network(event, arguments):
    if event in ("socket.connect", "socket.getaddrinfo", "socket.gethostbyname", "socket.sendto", "socket.bind",
                 "urllib.Request", "ftplib.connect", "http.client.connect"):
        os.write(2, f"network: {event} {arguments!r}".encode())
        os._exit(99)
sys.addaudithook(no_network)
from cli.main import main
main()
"""


@pytest.fixture(scope="module")
def licences():
    spec = importlib.util.spec_from_file_location("licences", ROOT / ".ci" / "licences.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_every_package_that_is_needed_has_a_licence_that_may_go_with_mit(licences):
    packages = licences.needed()
    assert sum(package is not None for package in packages.values()) > 20
    assert not licences.objections(packages)


def test_without_extras_nothing_under_a_copyleft_licence_is_needed(licences):
    packages = licences.needed(())
    assert {"numpy", "scipy", "llvmlite", "pyarrow", "matplotlib"} <= set(packages)
    told = {word for package in packages.values() if package is not None for word in licences.licence_of(package)}
    assert not [word for word in told if "GPL" in word or "MPL" in word]


@pytest.mark.parametrize(
    ("field", "text", "allowed"),
    [
        ("License-Expression", "GPL-3.0-or-later", False),
        ("License-Expression", "MIT AND GPL-2.0-only", False),
        ("License-Expression", "BSD-3-Clause OR MIT", True),
        ("Classifier", "License :: OSI Approved :: GNU Affero General Public License v3", False),
        ("Classifier", "License :: OSI Approved :: GNU General Public License v3 (GPLv3)", False),
        ("Classifier", "License :: OSI Approved :: MIT License", True),
        ("License", "Proprietary", False),
        ("License", "our own words", False),
        ("Summary", "says nothing of a licence", False),
    ],
)
def test_a_licence_that_may_not_go_with_mit_is_objected_to(licences, field, text, allowed):
    class Package:
        version = "1.0"
        files = ()
        metadata = Message()

    Package.metadata[field] = text
    assert bool(licences.objections({"other": Package})) is not allowed


@pytest.mark.parametrize(
    "arguments",
    [
        ("demo",),
        ("assess", "bracket.toml", "--note", "note.html", "--json", "result.json", "--verify"),
        ("count", "bracket.csv", "--channel", "Vertical"),
        ("look", "bracket.csv", "--plot", "record.svg"),
        ("compare", "compare_en1993.toml", "--write", "ways"),
    ],
    ids=lambda arguments: arguments[0],
)
def test_nothing_asks_for_the_network(tmp_path, arguments):
    for name in ("bracket.toml", "bracket.csv", "compare_en1993.toml", "compare_en1993.csv"):
        (tmp_path / name).write_bytes((ROOT / "tests" / "jobs" / name).read_bytes())
    run = blocked(tmp_path, BLOCKED, *arguments)
    assert run.returncode in (0, 1), run.stderr
    assert "network" not in run.stderr


def test_the_guard_of_the_network_sees_a_connection(tmp_path):
    asks = "import socket\nsocket.create_connection(('127.0.0.1', 9))"
    run = blocked(tmp_path, BLOCKED.replace("from cli.main import main\nmain()", asks))
    assert run.returncode == 99
    assert "network: socket." in run.stderr


def blocked(folder, code, *arguments):
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "MPLCONFIGDIR": str(folder / "matplotlib")}
    command = [sys.executable, "-c", code, *arguments]
    return subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, timeout=300)
