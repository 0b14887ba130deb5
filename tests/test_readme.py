"""The README tells the truth: what it prints of the demo, the commands it names, and its job file."""

import re
import tomllib
from importlib.resources import as_file, files
from pathlib import Path

import pytest

from cli.assess import assess_file
from cli.main import COMMANDS
from cli.screen import summary

README = (Path(__file__).parent.parent / "README.md").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def contract():
    with as_file(files("loadhistories.samples")) as samples:
        return assess_file(samples / "drive_bracket.toml")


def test_what_the_demo_prints_stands_in_the_readme(contract):
    block = README.split("<!-- demo -->")[1].split("<!-- /demo -->")[0]
    assert block.strip().removeprefix("```").removesuffix("```").strip() == summary(contract, colour=False).strip()


def test_the_demo_holds_in_fatigue_and_service_slips_at_ultimate_and_warns(contract):
    (joint,) = contract["joints"]
    states = {check["id"]: check["state"] for check in joint["checks"]}
    assert all(detail["state"] == "holds" for detail in joint["details"])
    assert (states["slip-service"], states["slip-ultimate"]) == ("holds", "fails")
    assert contract["state"] == "fails"
    codes = {warning["code"] for warning in joint["warnings"]}
    assert {"slips-at-ultimate", "movement-beyond-tolerance", "bearing-after-slip", "record-too-short"} <= codes
    assert {item["kind"]: item["state"] for item in joint["alternatives"]} == {
        "more bolts": "holds", "friction class": "holds", "fillet weld": "holds",
    }  # fmt: skip


def test_what_the_readme_says_of_the_demo_is_what_was_found(contract):
    (joint,) = contract["joints"]
    (ultimate,) = (level for level in joint["slip"]["levels"] if level["level"] == "ultimate")
    assert "without\nmargin three times in one start" in README and ultimate["times_without_margin"] == 3
    assert joint["slip"]["events"] == 1
    assert joint["movement"]["at_point_worst_mm"] == pytest.approx(15, abs=0.5)
    titles = " ".join(item["title"] for item in joint["alternatives"])
    assert "8 bolts instead of 6" in titles and "8 mm fillet weld all round" in titles


def test_every_command_that_the_readme_shows_exists():
    shown = set(re.findall(r"^(?:.*\.venv/bin/)?griplife (\w+)", README, flags=re.MULTILINE))
    shown |= set(re.findall(r"\.venv/bin/griplife (\w+)", README))
    assert shown == set(COMMANDS)


def test_the_job_of_the_readme_is_assessed_as_it_stands(tmp_path):
    block = re.search(r"```toml\n(.*?)```", README, flags=re.DOTALL).group(1)
    assert tomllib.loads(block)["standard"] == "EN 1993"
    (tmp_path / "job.toml").write_text(block, encoding="utf-8")
    record = files("loadhistories.samples").joinpath("drive_bracket_running.csv")
    (tmp_path / "drive_bracket_running.csv").write_bytes(record.read_bytes())
    assert assess_file(tmp_path / "job.toml")["state"] in ("holds", "fails")
