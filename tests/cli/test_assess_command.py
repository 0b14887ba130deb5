"""`griplife assess` and `griplife demo`: results, files and exit codes."""

import json
import shutil
from pathlib import Path

import pytest

JOBS = Path(__file__).parent.parent / "jobs"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder of its own with the job and its record, and the working folder at that."""
    for name in ("bracket.toml", "bracket.csv"):
        shutil.copy(JOBS / name, tmp_path / name)
    monkeypatch.chdir(tmp_path)
    return tmp_path


@pytest.fixture
def assess(griplife, folder):
    """Assesses the job in the folder."""
    return lambda *arguments: griplife("assess", "bracket.toml", *arguments)


def names_in(folder):
    return sorted(path.name for path in folder.iterdir())


def test_the_summary_is_printed_and_the_exit_code_tells_the_state(assess, folder):
    shown = assess("--json", "result.json")
    state = json.loads((folder / "result.json").read_text(encoding="utf-8"))["state"]
    assert shown.exit_code == (0 if state == "holds" else 1)
    assert "Transfer tower: drive bracket at column C4" in shown.stdout
    assert "\x1b" not in shown.stdout
    assert shown.stderr == "griplife: wrote result.json\n"


def test_json_on_standard_output_is_the_contract_and_nothing_else(assess, folder):
    shown = assess("--json", "-")
    contract = json.loads(shown.stdout)
    assert shown.exit_code in (0, 1)
    assert contract["joints"][0]["name"] == "end plate to column flange"
    assert shown.stderr == ""
    assert names_in(folder) == ["bracket.csv", "bracket.toml"]


def test_a_joint_that_holds_exits_with_0(assess, folder):
    text = (folder / "bracket.toml").read_text(encoding="utf-8")
    start, end = text.index("slip "), text.index("[[joint.detail]]")
    (folder / "bracket.toml").write_text(
        (text[:start] + text[end:]).replace('"0.35 MPa/kN"', '"1e-6 MPa/kN"').replace('"1.9 MPa', '"1e-6 MPa'), "utf-8"
    )
    shown = assess()
    assert shown.exit_code == 0, shown.stderr


def test_a_joint_that_slips_although_it_must_not_exits_with_1(assess, folder):
    text = (folder / "bracket.toml").read_text(encoding="utf-8")
    (folder / "bracket.toml").write_text(text.replace('Fy = "-14 kN"', 'Fy = "-900 kN"'), "utf-8")
    assert assess().exit_code == 1


def test_the_note_is_written_as_one_page(assess, folder):
    shown = assess("--note", "note.html", "--json", "result.json")
    assert shown.exit_code in (0, 1)
    assert names_in(folder) == ["bracket.csv", "bracket.toml", "note.html", "result.json"]
    assert (folder / "note.html").read_text(encoding="utf-8").lower().startswith("<!doctype html>")


def test_a_refused_job_writes_nothing_and_tells_every_problem(assess, folder):
    text = (folder / "bracket.toml").read_text(encoding="utf-8")
    bad = text.replace('"M20"', '"M21"').replace('"20 mm"', '"20"').replace('surface = "B"', 'surfce = "B"')
    (folder / "bracket.toml").write_text(bad, encoding="utf-8")
    (folder / "bracket.csv").write_text("once upon a time\n", encoding="utf-8")
    shown = assess("--json", "result.json", "--note", "note.html")
    assert shown.exit_code == 2
    assert shown.stdout == ""
    assert names_in(folder) == ["bracket.csv", "bracket.toml"]
    told = ("is refused, ", " problems:", "M21", "thickness has no unit", "'surfce' is no key here", "bracket.csv")
    assert [words for words in told if words not in shown.stderr] == []


def test_one_bolt_under_a_moment_is_refused(assess, folder):
    text = (folder / "bracket.toml").read_text(encoding="utf-8")
    one = text.replace("rows = 3", "rows = 1").replace("columns = 2", "columns = 1")
    (folder / "bracket.toml").write_text(one, encoding="utf-8")
    shown = assess("--json", "result.json")
    assert shown.exit_code == 2
    assert "one bolt cannot resist a moment: Mz about it" in shown.stderr
    assert names_in(folder) == ["bracket.csv", "bracket.toml"]


def test_targets_are_looked_at_before_any_work(assess, folder):
    (folder / "bracket.toml").write_text("this is no job", encoding="utf-8")
    (folder / "old.json").write_text("old", encoding="utf-8")
    shown = assess("--json", "old.json", "--note", "nowhere/note.html")
    assert shown.exit_code == 2
    assert "old.json exists already" in shown.stderr
    assert "nowhere/note.html cannot be written: there is no folder" in shown.stderr
    assert (folder / "old.json").read_text(encoding="utf-8") == "old"


@pytest.mark.parametrize("target", ["bracket.toml", "bracket.csv"])
def test_an_input_is_never_overwritten(assess, folder, target):
    before = (folder / target).read_bytes()
    shown = assess("--json", target, "--force")
    assert shown.exit_code == 2
    assert f"{target} is one of the inputs" in shown.stderr
    assert (folder / target).read_bytes() == before


def test_force_overwrites_earlier_results(assess):
    assert assess("--json", "result.json").exit_code in (0, 1)
    assert assess("--json", "result.json").exit_code == 2
    assert assess("--json", "result.json", "--force").exit_code in (0, 1)


def test_quiet_prints_the_result_and_no_message(assess):
    shown = assess("-q", "--verify", "--json", "result.json")
    assert shown.exit_code in (0, 1)
    assert shown.stderr == ""
    assert shown.stdout


def test_verify_counts_again_and_says_so(assess):
    shown = assess("--verify")
    # -10, -31, -9.5 and -12 kN turn the history: three half cycles.
    assert "verified: an independent count of 1 stress history found the same 1.5 cycles" in shown.stderr


def test_verify_stops_at_a_count_that_differs(assess, folder, monkeypatch):
    import cli.verifying
    from fatigue.cycles import count_cycles

    monkeypatch.setattr(cli.verifying, "count_cycles", lambda values: count_cycles([0.0, 1.0, 0.0]))
    shown = assess("--verify", "--json", "result.json")
    assert shown.exit_code == 70
    assert "CountMismatch" in shown.stderr
    assert "result.json" not in names_in(folder)


def test_the_note_does_not_go_to_standard_output(assess):
    shown = assess("--note", "-")
    assert shown.exit_code == 2
    assert "the note goes to a file" in shown.stderr


def test_the_demo_writes_its_job_and_results_and_exits_with_0(griplife, tmp_path):
    place = tmp_path / "new" / "demo"
    shown = griplife("demo", place)
    assert shown.exit_code == 0, shown.stderr
    assert {"drive_bracket.toml", "note.html", "result.json"} <= set(names_in(place))
    contract = json.loads((place / "result.json").read_text(encoding="utf-8"))
    assert contract["state"] == "fails"
    assert "this joint fails on purpose" in shown.stderr
    again = griplife("demo", place)
    assert again.exit_code == 2
    assert "exists already; use --force" in again.stderr


def test_a_demo_folder_that_cannot_be_made_is_refused(griplife, tmp_path):
    (tmp_path / "file").write_text("")
    shown = griplife("demo", tmp_path / "file")
    assert shown.exit_code == 2
    assert "cannot be made" in shown.stderr
