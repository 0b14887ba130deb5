"""`griplife schedule`: one table of many jobs; what is refused, kept, judged anew, and harmless in a spreadsheet."""

import io
import json
import shutil
import sys
from pathlib import Path

import openpyxl
import pytest

from cli.assess import assess_file
from cli.processes import worked_here
from cli.schedule import read_schedule
from cli.schedule_judge import judge
from cli.schedule_output import harmless, table_csv, table_xlsx
from cli.schedule_rows import COLUMNS, governing_of, rows_of, worst_first
from cli.schedule_run import judged, prepare, table_of, taken
from cli.schedule_state import Kept
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
ROWS = "name,joint.bolts.size,joint.bolts.surface\nas drawn,,\nsmall,M12,D\nbad,M99,\nlarge,M24,\n"


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder with a job, a table that varies it, and the working folder at that."""
    for name in ("bracket.toml", "bracket.csv"):
        shutil.copy(JOBS / name, tmp_path / name)
    (tmp_path / "rows.csv").write_text(ROWS, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def here(tasks):
    """Judges tasks in this process."""
    yield from enumerate(map(judge, tasks))


def table(*arguments, kept=None, worked=here):
    prepared = prepare(read_schedule(*arguments))
    kept = kept or Kept(None)
    outcomes = taken(prepared.tasks, kept)
    left = {key: task for key, task in prepared.tasks.items() if key not in outcomes}
    outcomes |= dict(judged(left, kept, worked))
    return table_of(prepared, outcomes)


def test_the_worst_joint_comes_first_and_a_refused_job_is_a_row_of_its_own(griplife, folder):
    shown = griplife("schedule", "rows.csv", "--base", "bracket.toml", "--json", "-", "--processes", "2", "-q")
    found = json.loads(shown.stdout)
    assert shown.exit_code == 1, shown.stderr
    assert shown.stderr == ""
    assert [(row["name"], row["state"]) for row in found["rows"]] == [
        ("small", "fails"), ("bad", "not judged"), ("large", "holds"), ("as drawn", "holds"),
    ]  # fmt: skip
    assert found["rows"][0]["changes"] == {"joint.bolts.size": "M12", "joint.bolts.surface": "D"}
    assert "size 'M99' is unknown" in found["rows"][1]["reason"]
    assert str(folder) not in shown.stdout


def test_a_row_says_what_an_assessment_of_the_changed_job_says(folder):
    text = (folder / "bracket.toml").read_text(encoding="utf-8")
    (folder / "written.toml").write_text(text.replace('"M20"', '"M24"'), encoding="utf-8")
    (expected,) = rows_of(assess_file("written.toml"))
    (found,) = (row for row in table("rows.csv", "bracket.toml")["rows"] if row["name"] == "large")
    assert {key: found[key] for key in COLUMNS} == expected
    contract = assess_file("written.toml")
    service, ultimate = contract["joints"][0]["slip"]["levels"]
    assert expected["first_bolt_service"] == service["utilisation"]
    assert expected["first_bolt_ultimate"] == ultimate["utilisation"]
    assert expected["damage"] == contract["joints"][0]["details"][0]["damage"]


def test_every_job_of_a_folder_is_a_job_whatever_the_others_are(griplife, folder):
    (folder / "broken.toml").write_text("title = \n", encoding="utf-8")
    shutil.copy(JOBS / "as4100_fatigue.toml", folder)
    shutil.copy(JOBS / "as4100_fatigue.csv", folder)
    shown = griplife("schedule", ".", "--csv", "out.csv", "--xlsx", "out.xlsx", "--json", "out.json")
    found = json.loads((folder / "out.json").read_text(encoding="utf-8"))
    assert shown.exit_code == 1
    assert {row["job"] for row in found["rows"]} == {"broken.toml", "bracket.toml", "as4100_fatigue.toml"}
    assert len([row for row in found["rows"] if row["job"] == "as4100_fatigue.toml"]) == 2
    assert found["rows"][0]["reason"].startswith("refused: broken.toml is no valid TOML")
    assert "3 jobs: of 4 rows 3 hold, 0 fail, 1 not judged" in shown.stdout
    assert len((folder / "out.csv").read_text(encoding="utf-8").splitlines()) == 5
    sheet = openpyxl.load_workbook(folder / "out.xlsx").active
    assert [cell.value for cell in sheet[1]][:4] == ["place", "name", "job", "joint"]
    assert sheet.max_row == 5
    holding = griplife("schedule", "bracket.toml", "-q")
    assert holding.exit_code == 0, holding.stdout


def test_a_second_run_takes_what_is_finished_and_judges_only_what_has_changed(folder):
    kept = Kept(folder / "kept")
    asked = []

    def counted(tasks):
        asked.append(len(tasks))
        return here(tasks)

    first = table("rows.csv", "bracket.toml", kept=kept, worked=counted)
    again = table("rows.csv", "bracket.toml", kept=kept, worked=counted)
    (folder / "rows.csv").write_text(ROWS.replace("M24", "M27"), encoding="utf-8")
    other = table("rows.csv", "bracket.toml", kept=kept, worked=counted)
    with (folder / "bracket.csv").open("a", encoding="utf-8") as record:
        record.write("\n")
    table("rows.csv", "bracket.toml", kept=kept, worked=counted)
    assert asked == [4, 0, 1, 4]
    assert table_csv(first) == table_csv(again) != table_csv(other)


def test_half_written_and_foreign_files_among_the_finished_ones_are_no_result(folder):
    kept = Kept(folder / "kept")
    whole = table("rows.csv", "bracket.toml", kept=kept)
    first, second, *_ = sorted((folder / "kept").glob("*.json"))
    first.write_text(first.read_text(encoding="utf-8")[:40], encoding="utf-8")
    shutil.copy(first.with_name(sorted(p.name for p in (folder / "kept").glob("*.json"))[2]), second)
    assert table("rows.csv", "bracket.toml", kept=kept) == whole


def test_a_file_that_changes_while_it_is_judged_gives_no_result(folder):
    kept = Kept(folder / "kept")

    def disturbed(tasks):
        with (folder / "bracket.csv").open("a", encoding="utf-8") as record:
            record.write("\n")
        return here(tasks)

    found = table("bracket.toml", kept=kept, worked=disturbed)
    assert "bracket.csv changed while the schedule ran" in found["rows"][0]["reason"]
    assert not list((folder / "kept").glob("*.json"))


def test_a_process_that_dies_takes_only_its_own_job_with_it(folder, monkeypatch):
    # The processes look for this module where the test process looks; the installed packages come first.
    monkeypatch.setattr(sys, "path", [*sys.path, str(Path(__file__).parents[2])])
    found = list(worked_here(_dies_of_two, [1, 2, 3, 4, 5], processes=2))
    outcomes = dict(found)
    assert sorted(outcomes) == [0, 1, 2, 3, 4]
    assert "ended by signal 9" in outcomes[1]["ended"]
    assert "ZeroDivisionError" in outcomes[2]["fault"]
    assert [outcomes[number] for number in (0, 3, 4)] == [{"rows": [1]}, {"rows": [4]}, {"rows": [5]}]


def _dies_of_two(task):
    import os
    import signal

    if task == 2:
        os.kill(os.getpid(), signal.SIGKILL)
    if task == 3:
        raise ZeroDivisionError("a fault on purpose")
    return {"rows": [task]}


def test_texts_that_a_spreadsheet_would_compute_are_harmless(folder):
    for text in ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1"):
        assert harmless(text) == "'" + text
    (folder / "rows.csv").write_text('name,joint.because\n"=cmd|x",-2+3\n', encoding="utf-8")
    found = table("rows.csv", "bracket.toml")
    assert found["rows"][0]["name"] == "=cmd|x"
    assert table_csv(found).decode("utf-8").splitlines()[1].startswith("1,'=cmd|x,bracket.toml,'-2+3,")
    sheet = openpyxl.load_workbook(io.BytesIO(table_xlsx(found))).active
    assert [sheet["B2"].value, sheet["D2"].value] == ["'=cmd|x", "'-2+3"]
    assert not [cell for row in sheet for cell in row if cell.data_type == "f"]
    assert table_xlsx(found) == table_xlsx(found)


def test_rows_may_name_a_job_each(folder):
    shutil.copy(JOBS / "as4100_fatigue.toml", folder)
    shutil.copy(JOBS / "as4100_fatigue.csv", folder)
    (folder / "rows.csv").write_text("job,title\nbracket.toml,first\nas4100_fatigue.toml,\n,x\n", encoding="utf-8")
    found = table("rows.csv")
    assert {row["name"]: row["job"] for row in found["rows"]} == {
        "row 2": "bracket.toml", "row 3": "as4100_fatigue.toml", "row 4": "",
    }  # fmt: skip
    (open_row,) = (row for row in found["rows"] if row["name"] == "row 4")
    assert "no job is named (rows.csv, row 4, column 'job')" in open_row["reason"]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("none",), "none is not there"),
        (("rows.csv",), "give --base JOB.toml, or a column 'job'"),
        (("bracket.toml", "--base", "bracket.toml"), "a base job goes with a table of jobs"),
        (("rows.csv", "--base", "none.toml"), "none.toml is not there"),
        (("empty",), "holds no job"),
        (("bracket.toml", "--csv", "-", "--json", "-"), "only one of --csv and --json"),
        (("bracket.toml", "--xlsx", "-"), "a workbook goes to a file"),
        (("bracket.toml", "--scheduler", "nowhere://10.0.0.5:1"), "no Dask scheduler answers at nowhere://10.0.0.5:1"),
        (("bracket.toml", "--shared-files"), "goes with --scheduler"),
        (("bracket.toml", "--csv", "bracket.csv", "--force"), "is one of the inputs"),
        (("bracket.toml", "--csv", "rows.csv"), "exists already"),
    ],
)
def test_a_call_that_cannot_be_meant_is_refused(griplife, folder, arguments, said):
    (folder / "empty").mkdir()
    shown = griplife("schedule", *arguments)
    assert shown.exit_code == 2
    assert said in " ".join(shown.stderr.split())


def test_a_wrong_column_is_refused_before_anything_is_judged(folder):
    (folder / "rows.csv").write_text("name,joint bolts size\na,M20\n", encoding="utf-8")
    with pytest.raises(InputError, match="'joint bolts size' names no key of a job"):
        read_schedule("rows.csv", "bracket.toml")


def test_failures_without_a_number_come_before_all_others():
    rows = [
        {"state": "holds", "utilisation": 0.9}, {"state": "not judged", "utilisation": None},
        {"state": "fails", "utilisation": 1.2}, {"state": "fails", "utilisation": None},
        {"state": "holds", "utilisation": 0.95},
    ]  # fmt: skip
    assert [rows.index(row) for row in worst_first(rows)] == [3, 2, 1, 4, 0]
    assert governing_of(rows) is rows[3]
    assert governing_of([]) is None
