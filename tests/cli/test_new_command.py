"""`griplife new`: every kind of joint for every standard assesses as it stands."""

import re
import tomllib

import jsonschema
import pytest

from cli.assess import assess_file
from cli.new_job import kinds, new_files, standards
from cli.schema.job import job_schema
from fatigue.standards import judging


@pytest.mark.parametrize("standard", standards())
@pytest.mark.parametrize("kind", kinds())
def test_a_new_job_assesses_as_it_stands_and_follows_the_schema(tmp_path, kind, standard):
    contents = new_files(kind, standard)
    for name, content in contents.items():
        (tmp_path / name).write_bytes(content)
    job = next(iter(contents))
    assert list(jsonschema.Draft7Validator(job_schema()).iter_errors(tomllib.loads(contents[job].decode()))) == []
    contract = assess_file(tmp_path / job)
    assert contract["standard"]["name"] == standard
    assert contract["state"] in ("holds", "fails")
    (joint,) = contract["joints"]
    states = {item["state"] for item in (*joint["checks"], *joint["details"])}
    assert states <= {"holds", "fails"} and joint["details"] and joint["checks"]
    codes = {warning["code"] for warning in joint["warnings"]}
    assert not codes & {"record-faults", "root-not-judged", "toe-not-judged", "weld-without-fatigue"}


def test_there_is_a_job_for_every_standard_that_judges_jobs():
    assert set(standards()) == set(judging())


@pytest.mark.parametrize("kind", kinds())
def test_a_new_job_explains_itself_in_comments(kind):
    text = next(iter(new_files(kind, "EN 1993").values())).decode()
    assert text.count("#") >= 10
    assert max(map(len, text.splitlines())) <= 160
    assert "$" not in text


def test_without_a_kind_the_kinds_are_listed(griplife):
    shown = griplife("new")
    assert shown.exit_code == 0
    assert [kind for kind in kinds() if not re.search(rf"^{kind} ", shown.stdout, re.MULTILINE)] == []
    assert max(map(len, shown.stdout.splitlines())) <= 80


def test_files_are_written_into_a_folder_and_named_on_standard_error(griplife, tmp_path):
    shown = griplife("new", "drive-bracket", tmp_path / "job", "--standard", "AS 4100")
    assert (shown.exit_code, shown.stdout) == (0, "")
    assert sorted(path.name for path in (tmp_path / "job").iterdir()) == ["drive_bracket.csv", "drive_bracket.toml"]
    assert "drive_bracket.toml" in shown.stderr and "griplife assess" in shown.stderr
    assert griplife("assess", tmp_path / "job" / "drive_bracket.toml").exit_code in (0, 1)


def test_nothing_is_overwritten_without_force(griplife, tmp_path):
    (tmp_path / "machine_support.toml").write_text("mine", encoding="utf-8")
    refused = griplife("new", "machine-support", tmp_path)
    assert refused.exit_code == 2 and "use --force to overwrite it" in refused.stderr
    assert (tmp_path / "machine_support.toml").read_text(encoding="utf-8") == "mine"
    assert griplife("new", "machine-support", tmp_path, "--force", "-q").exit_code == 0
    assert (tmp_path / "machine_support.toml").read_text(encoding="utf-8") != "mine"


def test_an_unknown_kind_and_standard_are_refused_together_with_the_nearest(griplife, tmp_path):
    refused = griplife("new", "drive-braket", tmp_path, "--standard", "EN 1994")
    assert refused.exit_code == 2
    assert "kind of joint 'drive-braket' is unknown; did you mean 'drive-bracket'?" in refused.stderr
    assert "standard 'EN 1994' is unknown; did you mean 'EN 1993'?" in refused.stderr
