"""Every module that refuses something is shown refusing it, with its wording: the cases stand in tests/refusals."""

import importlib
import os
import shutil
import sys
import tomllib
from pathlib import Path

import pytest

from cli.job import read_job
from cli.job_changes import change_of
from loadhistories.validation import InputError

HERE = Path(__file__).parent.parent
JOBS, ROOT = HERE / "jobs", HERE.parent
ROOMS = ("loadhistories", "fatigue", "slip", "cli")


def cases(names):
    files = sorted((HERE / "refusals").glob(names))
    return [case for file in files for case in tomllib.loads(file.read_text(encoding="utf-8"))["case"]]


SHOWN = [case for names in ("jobs_*.toml", "commands.toml", "calls.toml") for case in cases(names)]
ELSEWHERE = cases("elsewhere.toml")


@pytest.fixture
def refused_by(monkeypatch):
    """Modules that made a refusal, with its text."""
    made = []
    begin = InputError.__init__

    def noted(self, *problems):
        begin(self, *problems)
        made.append((sys._getframe(1).f_globals["__name__"], str(self)))

    monkeypatch.setattr(InputError, "__init__", noted)
    return made


def prepared(case, folder):
    """The files of a case, beside the records of the jobs."""
    for path in JOBS.iterdir():
        shutil.copy(path, folder / path.name)
    for name, text in case.get("files", {}).items():
        (folder / name).write_text(text, encoding="utf-8")
    for name, content in case.get("bytes", {}).items():
        (folder / name).write_bytes(bytes.fromhex(content))
    for name, table in case.get("tables", {}).items():
        import pyarrow
        import pyarrow.parquet

        pyarrow.parquet.write_table(pyarrow.table(table), folder / name)


def of_job(case, folder):
    path = folder / f"{case['job']}.toml"
    text = path.read_text(encoding="utf-8")
    for old, new in case.get("replace", []):
        assert old in text, old
        text = text.replace(old, new, 1)
    path.write_text(text + case.get("add", ""), encoding="utf-8")
    with pytest.raises(InputError) as refusal:
        read_job(path, [change_of(change) for change in case.get("set", [])])
    return str(refusal.value)


def of_call(case):
    module, _, name = case["call"].partition(":")
    with pytest.raises(InputError) as refusal:
        result = getattr(importlib.import_module(module), name)(*case.get("args", []), **case.get("named", {}))
        method, *args = case["then"]
        getattr(result, method)(*args)
    return str(refusal.value)


def label(case):
    return case["in"]


@pytest.mark.parametrize("case", SHOWN, ids=label)
def test_a_refusal_says_what_it_is_about_and_what_would_do(case, tmp_path, monkeypatch, griplife, refused_by):
    prepared(case, tmp_path)
    monkeypatch.chdir(tmp_path)
    if "job" in case:
        said = of_job(case, tmp_path)
    elif "command" in case:
        shown = griplife(*case["command"])
        assert shown.exit_code in (1, 2)
        said = shown.stdout + shown.stderr
    else:
        said = of_call(case)
    said = " ".join(said.replace(f"{tmp_path}{os.sep}", "").split())
    assert " ".join(case["says"].split()) in said
    texts = [text.replace(f"{tmp_path}{os.sep}", "") for module, text in refused_by if module == case["in"]]
    assert any(case["says"] in text for text in texts), sorted({module for module, _ in refused_by})


@pytest.mark.parametrize("case", [case for case in ELSEWHERE if "test" in case], ids=label)
def test_a_refusal_that_needs_more_than_a_table_is_shown_by_the_test_it_names(case):
    assert case["says"] in (ROOT / case["test"]).read_text(encoding="utf-8")


def test_every_module_that_refuses_is_in_the_table_once():
    refusing = set()
    for room in ROOMS:
        for path in (ROOT / room).rglob("*.py"):
            if "InputError(" in path.read_text(encoding="utf-8") and path.name != "validation.py":
                parts = path.relative_to(ROOT).with_suffix("").parts
                refusing.add(".".join(part for part in parts if part != "__init__"))
    listed = [case["in"] for case in (*SHOWN, *ELSEWHERE) if case["in"] != "loadhistories.validation"]
    assert sorted(listed) == sorted(refusing)
    assert all(case.get("why", "").strip() or "test" in case for case in ELSEWHERE)
