"""Changes to a job before it is read: which key is meant, what the text stands for, and what is told of it."""

import json
import shutil
from pathlib import Path

import pytest

from cli.job import read_job
from cli.job_changes import Change, change_of, changed
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
TABLE = {
    "title": "two joints",
    "joint": [
        {"name": "end plate", "bolts": {"size": "M20", "rows": 3, "surface": "B"}, "point": ["0 mm", "420 mm"]},
        {"name": "foot", "bolts": {"size": "M16"}},
    ],
    "fatigue": {"gamma": 1.35},
}


def value(key, given):
    table, (made,) = changed(TABLE, [Change(key, given)])
    return made.value, table


def refusal(key, given="1"):
    with pytest.raises(InputError) as error:
        changed(TABLE, [Change(key, given, "--set")])
    return str(error.value)


@pytest.mark.parametrize(
    ("key", "given", "found"),
    [
        ("joint[1].bolts.size", "M24", "M24"),
        ("joint[1].bolts.size", '"M24"', "M24"),
        ("joint[1].bolts.rows", "4", 4),
        ("joint[1].bolts.rows", 4.0, 4),
        ("joint[1].bolts.surface", "{ slip_factor = 0.4 }", {"slip_factor": 0.4}),
        ("joint[1].bolts.size", "24", "24"),
        ("joint[1].bolts.size", 24.0, "24"),
        ("joint[1].point", '["0 mm", "1 mm"]', ["0 mm", "1 mm"]),
        ("joint[1].bolts.packing", "6 mm", "6 mm"),
        ("joint[1].bolts.packing", "2026-11-25", "2026-11-25"),
        ("fatigue.gamma", "inf", "inf"),
        ("fatigue.gamma", "1.15", 1.15),
        ("fatigue.gamma", 2.0, 2.0),
        ("title", "a = 1\nb = 2", "a = 1\nb = 2"),
    ],
)
def test_a_text_stands_for_the_kind_of_value_that_the_job_has_there(key, given, found):
    got, _ = value(key, given)
    assert got == found
    assert type(got) is type(found)


def test_a_table_of_several_is_chosen_by_number_or_name_and_the_others_stay():
    for key in ("joint[2].bolts.size", "joint[foot].bolts.size"):
        _, table = value(key, "M24")
        assert [joint["bolts"]["size"] for joint in table["joint"]] == ["M20", "M24"]
    assert TABLE["joint"][1]["bolts"]["size"] == "M16"


def test_one_entry_of_a_list_is_changed():
    _, table = value("joint[1].point[2]", "400 mm")
    assert table["joint"][0]["point"] == ["0 mm", "400 mm"]


def test_a_table_that_is_not_there_is_made():
    _, table = value("joint[1].place.access", "hidden")
    assert table["joint"][0]["place"] == {"access": "hidden"}


def test_what_cannot_be_meant_is_refused_with_what_would_do():
    said = "the job has 2 tables joint; say which, as in joint[1] or joint[end plate] (--set)"
    assert said in refusal("joint.bolts.size")
    assert "there is no [3]; known: 1 to 2, end plate, foot" in refusal("joint[3].name")
    assert "there is no [foott]; did you mean 'foot'?" in refusal("joint[foott].name")
    assert "title is a value" in refusal("title.text")
    assert "names no key of a job" in refusal("joint..size")
    assert "names no key of a job" in refusal("joint[1].")
    assert "joint is a list" in refusal("joint[1]")
    with pytest.raises(InputError, match="is changed 2 times; change it once"):
        changed(TABLE, [Change("title", "a"), Change("title", "b")])
    for text in ("joint.bolts.size", "=M24", "joint.bolts.size="):
        with pytest.raises(InputError, match="a change is written as key=value"):
            change_of(text)


def test_a_changed_job_is_read_as_if_the_file_said_so(tmp_path):
    text = (JOBS / "bracket.toml").read_text(encoding="utf-8")
    shutil.copy(JOBS / "bracket.csv", tmp_path)
    (tmp_path / "a.toml").write_text(text.replace('"M20"', '"M24"').replace('"90 mm"', '"100 mm"'), "utf-8")
    (tmp_path / "b.toml").write_text(text, "utf-8")
    written = read_job(tmp_path / "a.toml")
    varied = read_job(
        tmp_path / "b.toml", [Change("joint.bolts.size", "M24"), Change("joint.bolts.pitch", "100 mm")]
    )
    (a,), (b,) = written.joints, varied.joints
    assert (a.joint.size, a.joint.preload) == (b.joint.size, b.joint.preload)
    assert (a.joint.positions == b.joint.positions).all()
    assert [item.was for item in varied.changes] == ["M20", "90 mm"]


def test_set_changes_the_job_and_every_result_tells_it(griplife, tmp_path, monkeypatch):
    for name in ("bracket.toml", "bracket.csv"):
        shutil.copy(JOBS / name, tmp_path / name)
    monkeypatch.chdir(tmp_path)
    shown = griplife("assess", "bracket.toml", "--set", "joint.bolts.size=M24", "--json", "-")
    contract = json.loads(shown.stdout)
    words = 'changed for this run: joint.bolts.size = "M24", in the job "M20"'
    assert contract["joints"][0]["geometry"]["size"] == "M24"
    assert contract["inputs"][0]["remarks"] == [words]
    again = griplife("assess", "bracket.toml", "--set", "joint.bolts.size=M24", "--note", "note.html")
    assert words in " ".join(again.stdout.split())
    assert "changed for this run: joint.bolts.size" in (tmp_path / "note.html").read_text(encoding="utf-8")


def test_a_refused_value_is_named_with_its_place_in_the_job(griplife, tmp_path, monkeypatch):
    for name in ("bracket.toml", "bracket.csv"):
        shutil.copy(JOBS / name, tmp_path / name)
    monkeypatch.chdir(tmp_path)
    shown = griplife("assess", "bracket.toml", "--set", "joint.bolts.sise=M24")
    assert shown.exit_code == 2
    assert "'sise' is no key here; known: size" in shown.stderr
