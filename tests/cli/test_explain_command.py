"""`griplife explain`: checks, warnings, symbols, keys, rows and clauses from the program's own tables and results."""

import ast
import re
from pathlib import Path

import pytest

import cli
import fatigue
import slip
from cli.assess import assess_file
from cli.explaining import explained
from cli.result_classes import result_figures
from loadhistories.tables import read_table
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
WORDS = read_table("cli", "words").values()
CODES = {kind: {row["code"] for row in WORDS if row["kind"] == kind} for kind in ("check", "warning")}


def codes_in_the_sources():
    """Every code that a warning is made with: what yields (code, text, advice), or is given to Warning."""
    found = set()
    for package in (slip, fatigue, cli):
        for path in Path(package.__file__).parent.rglob("*.py"):
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Yield) and isinstance(node.value, ast.Tuple) and len(node.value.elts) == 3:
                    first = node.value.elts[0]
                elif isinstance(node, ast.Call) and getattr(node.func, "id", "") == "Warning" and node.args:
                    first = node.args[0]
                else:
                    continue
                if isinstance(first, ast.Constant) and re.fullmatch(r"[a-z]+(-[a-z]+)+", str(first.value)):
                    found.add(first.value)
    return found


def test_every_warning_that_a_table_or_the_sources_know_is_explained():
    from cli.table_files import tables_of

    known = {code for table in tables_of(kind="warnings") for code in table.rows}
    assert (known | codes_in_the_sources()) - CODES["warning"] == set()


@pytest.mark.parametrize("job", ["as4100_bracket", "aisc_fatigue", "as4100_fatigue", "curves_only", "en1993_bracket"])
def test_every_check_of_a_job_is_explained(job):
    for joint in assess_file(JOBS / f"{job}.toml")["joints"]:
        checks = [*joint["checks"], *(check for detail in joint["details"] for check in detail["checks"])]
        for check in checks:
            id = re.sub(r":\d+", "", check["id"])
            assert any(id == code or id.startswith(f"{code}-") for code in CODES["check"]), check["id"]


def test_a_check_is_explained_with_the_clause_of_every_standard():
    text = explained("slip-ultimate")
    assert text.startswith("check slip-ultimate\n")
    for clause in ("EN 1993-1-8:2005, 3.4.1(1)c, 3.9.1", "AISC 360-16, J3.8; 360-22, J3.9", "AS 4100:2020"):
        assert clause in text


def test_the_id_of_a_check_may_hold_the_number_of_a_detail():
    assert explained("fatigue:3:equivalent").startswith("check fatigue:equivalent\n")


def test_a_warning_is_explained_with_what_stands_behind_it():
    assert "EN 1993-1-8:2005, 2.6(1)" in explained("under-vibration")
    assert "common practice, no source" in explained("record-too-short")


@pytest.mark.parametrize("term", ["F_s,Rd", "F_sRd", "f_s,rd"])
def test_a_symbol_is_explained_with_unit_formula_and_clause(term):
    text = " ".join(explained(term).split())
    assert "slip resistance at ultimate level [N]; = k_s * n * mu *" in text
    assert "EN 1993-1-8:2005, 3.9.1(1), (3.6)" in text


def test_every_symbol_of_every_result_is_found():
    from cli.explaining import _entries, _folded

    known = {_folded(name) for entry in _entries() for name in entry.names}
    assert {item.figure.symbol for item in result_figures() if _folded(item.figure.symbol) not in known} == set()


def test_capitals_tell_a_symbol_from_a_class():
    assert explained("b").startswith("symbol b\n")
    assert explained("B").startswith("row of a table B\n")


def test_a_key_of_a_job_is_explained_with_its_tables_and_words():
    text = " ".join(explained("slip").split())
    assert "joint.slip:" in text and '"never", "not in service", "allowed"' in text
    assert explained("joint.bolts.pitch").startswith("key of a job pitch\n")


def test_a_clause_lists_what_stands_under_it():
    text = explained("3.9.1")
    assert "clause EN 1993-1-8:2005, 3.9.1(1)" in text
    assert "slip resistance at ultimate level" in " ".join(text.split())
    assert "3.9.2(1), (3.8a)\n" not in explained("Table 3.3")


def test_an_unknown_term_is_refused_with_near_ones():
    with pytest.raises(InputError, match=r"'slips-at-ultimatt' is no check.*did you mean 'slips-at-ultimate'"):
        explained("slips-at-ultimatt")


@pytest.mark.parametrize("term", ["slip-ultimate", "F_s,Rd", "thickness", "3.9.1", "M20", "8.5-3", "gamma_Mf"])
def test_an_explanation_fits_80_columns(griplife, term):
    shown = griplife("explain", term)
    assert shown.exit_code == 0 and shown.stderr == ""
    assert max(map(len, shown.stdout.splitlines())) <= 80
