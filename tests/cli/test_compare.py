"""`griplife compare`: each alternative is a job of its own with the same numbers; ranking, rates, files, refusals."""

import json
import tomllib
from io import StringIO
from itertools import count
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from cli.assess import assess_file
from cli.compare import compare_job, steps_of, walked_again
from cli.compare_contract import best_of, comparison_of
from cli.compare_files import file_name, job_files
from cli.compare_ranking import ranked, read_weights
from cli.compare_rates import read_rates, sample_text
from cli.compare_toml import toml_text
from cli.job import read_job
from cli.main import main
from cli.progress import Progress
from loadhistories.validation import InputError
from slip.alternatives.ladder import RUNGS

JOBS = Path(__file__).parents[1] / "jobs"
STANDARDS = ("en1993", "as4100", "aisc")


def run(*arguments):
    return CliRunner().invoke(main, ["compare", *map(str, arguments)])


def compared(path, rates=None):
    job, own = read_job(path), read_rates(rates)
    found = compare_job(job, own)
    return job, found, comparison_of(job, found, own, None)


@pytest.mark.parametrize("name", STANDARDS)
def test_each_alternative_written_as_a_job_of_its_own_gives_the_same_numbers(name, tmp_path):
    job, found, contract = compared(JOBS / f"compare_{name}.toml")
    for path, content in job_files(job, found, tmp_path).items():
        path.write_bytes(content)
    told = {item["kind"]: item for item in contract["joints"][0]["alternatives"]}
    holding = 0
    for rung in found[0].alternatives:
        if rung.proposal is None:
            continue
        (joint,) = assess_file(tmp_path / file_name(found[0], rung, several=False))["joints"]
        mine = told[rung.kind]
        assert {check["id"]: check["utilisation"] for check in joint["checks"]} == {
            check["id"]: check["utilisation"] for check in mine["checks"] if check["id"] not in open_ids(rung)
        }
        assert [(item["name"], item["damage"]) for item in joint["details"]] == [
            (item["name"], item["damage"]) for item in mine["details"]
        ]
        if mine["state"] == "holds":
            holding += 1
            assert joint["state"] == "holds"
    assert holding >= 5


class Terminal(StringIO):
    def isatty(self):
        return True


def test_on_a_terminal_the_comparison_shows_how_far_it_is_and_leaves_no_line(monkeypatch):
    monkeypatch.setenv("TERM", "xterm")
    job, terminal, clock = read_job(JOBS / "compare_en1993.toml"), Terminal(), count(0.0, 0.7)
    bar = Progress(steps_of(job), "comparing", counted="steps", stream=terminal, clock=lambda: next(clock))
    compare_job(job, read_rates(None), progress=bar)
    drawn = terminal.getvalue()
    assert f"of {1 + len(RUNGS)} steps" in drawn and "comparing 100%" in drawn
    assert drawn.endswith("\r") and drawn.rsplit("\r", 2)[1].strip() == ""


def test_a_long_record_is_told_to_be_walked_by_each_candidate(monkeypatch, tmp_path):
    assert walked_again(read_job(JOBS / "compare_en1993.toml")) == 0
    monkeypatch.setattr("cli.compare.LONG", 1)
    done = run(JOBS / "compare_en1993.toml", "--json", tmp_path / "all.json")
    samples = read_job(JOBS / "compare_en1993.toml").loads[0].block.samples
    said = f"each candidate that passes for grip and strength walks all {samples:,} samples again"
    assert said in done.stderr
    quiet = run(JOBS / "compare_en1993.toml", "-q")
    assert quiet.stderr == ""


def open_ids(rung):
    return {check.id for check in rung.unjudged}


def test_every_rung_of_the_ladder_is_offered_or_says_why_not():
    joint = compared(JOBS / "compare_en1993.toml")[2]["joints"][0]
    offered = [item["kind"] for item in joint["alternatives"]]
    assert sorted([*offered, *(item["kind"] for item in joint["refused"])]) == sorted(RUNGS)
    assert all(item["reason"] for item in joint["refused"])
    assert all(item["tried"] and item["practice"]["inspection"] for item in joint["alternatives"])


def test_the_command_prints_a_table_of_80_columns_and_writes_jobs(tmp_path):
    done = run(JOBS / "compare_en1993.toml", "--write", tmp_path / "jobs")
    assert done.exit_code == 0
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert "EXAMPLE RATES, nothing stands behind them" in " ".join(done.stdout.split())
    assert "1  full penetration weld" in done.stdout and "Nothing to propose:" in done.stdout
    names = {path.name for path in (tmp_path / "jobs").iterdir()}
    assert {"more_bolts.toml", "shear_key.toml", "fillet_weld.toml"} <= names
    again = run(JOBS / "compare_en1993.toml", "--write", tmp_path / "jobs", "-q")
    assert again.exit_code == 2 and "exists already" in again.stderr


def test_json_holds_everything_with_units_in_the_keys():
    done = run(JOBS / "compare_aisc.toml", "--json", "-", "-q")
    contract = json.loads(done.stdout)
    option = contract["joints"][0]["alternatives"][0]
    assert {"state", "utilisation", "preload_margin", "quantities", "work", "practice", "tried", "rank"} <= set(option)
    assert contract["rates"] == {"file": "example rates", "examples": True, "currency": "EUR"}


def test_a_joint_without_an_alternative_that_holds_ends_with_1(tmp_path):
    text = (JOBS / "compare_en1993.csv").read_text(encoding="utf-8").replace("-120", "-90000")
    (tmp_path / "compare_en1993.csv").write_text(text, encoding="utf-8")
    (tmp_path / "job.toml").write_bytes((JOBS / "compare_en1993.toml").read_bytes())
    done = run(tmp_path / "job.toml", "-q")
    assert done.exit_code == 1 and " holds" not in done.stdout.split("Ranked")[0]


def test_a_joint_without_bolts_says_that_there_is_nothing_to_vary(tmp_path):
    assert run(JOBS / "curves_only.toml", "-q").stdout.count("not compared: it has no bolts that carry") == 1


def test_a_written_job_holds_one_joint_and_what_acts_on_it(tmp_path):
    job = tomllib.loads((JOBS / "compare_en1993.toml").read_text(encoding="utf-8"))
    first = job["joint"][0]
    job["joint"] = [first, {**first, "name": "other"}]
    job["load"] = [{**job["load"][0], "joint": first["name"]}, {**job["load"][0], "name": "x", "joint": "other"}]
    (tmp_path / "compare_en1993.csv").write_bytes((JOBS / "compare_en1993.csv").read_bytes())
    (tmp_path / "job.toml").write_text(toml_text(job), encoding="utf-8")
    job, found, _ = compared(tmp_path / "job.toml")
    contents = job_files(job, found, tmp_path / "out")
    written = tomllib.loads(contents[tmp_path / "out" / "other-more_bolts.toml"].decode())
    assert [item["name"] for item in written["joint"]] == ["other"]
    assert [(item["name"], item["history"]) for item in written["load"]] == [("x", "../compare_en1993.csv")]


def test_own_rates_and_choices_are_taken(tmp_path):
    rates = sample_text().replace("site = 85", "site = 0").replace("# [choices]", "[choices]")
    rates = rates.replace("# resin_strength", "resin_strength").replace("# site_weld_factor", "site_weld_factor")
    (tmp_path / "mine.toml").write_text(rates, encoding="utf-8")
    _, _, contract = compared(JOBS / "compare_en1993.toml", str(tmp_path / "mine.toml"))
    joint = contract["joints"][0]
    assert contract["rates"]["examples"] is False and contract["choices"]["site_weld_factor"] == 0.9
    site = next(item for item in joint["alternatives"] if item["kind"] == "fillet weld, site")
    shop = next(item for item in joint["alternatives"] if item["kind"] == "fillet weld")
    strength = {item["kind"]: item["strength_utilisation"] for item in (site, shop)}
    assert strength["fillet weld, site"] == pytest.approx(strength["fillet weld"] / 0.9)
    resin = next(item for item in joint["alternatives"] if item["kind"] == "injection bolts")
    assert "double laps" in " ".join(check["reason"] for check in resin["checks"])


def test_sample_rates_are_marked_as_examples_and_read_back(tmp_path):
    done = run("--sample-rates")
    assert done.exit_code == 0 and done.stdout.startswith("# EXAMPLES ONLY")
    (tmp_path / "rates.toml").write_text(done.stdout, encoding="utf-8")
    assert read_rates(str(tmp_path / "rates.toml")).rates == read_rates(None).rates


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("hole           = 0.10", "hole = -1"), "must not be below 0"),
        (("hole           = 0.10", "hoel = 1"), "did you mean 'hole'"),
        (('currency = "EUR"', ""), "currency is missing"),
        (("shop = 60", ""), "shop is missing"),
    ],
)
def test_rates_that_cannot_be_are_refused(tmp_path, change, words):
    (tmp_path / "rates.toml").write_text(sample_text().replace(*change, 1), encoding="utf-8")
    with pytest.raises(InputError) as refusal:
        read_rates(str(tmp_path / "rates.toml"))
    assert words in str(refusal.value)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("margn=1", "did you mean 'margin'"),
        ("margin=x", "weight of margin must be a number"),
        ("margin=-1", "must not be below 0"),
        ("margin=1,margin=2", "margin has two weights"),
        ("hours=0", "needs a weight above 0"),
        ("margin=nan", "weight of margin must be a number"),
    ],
)
def test_weights_that_cannot_be_are_refused(text, words):
    with pytest.raises(InputError) as refusal:
        read_weights(text)
    assert words in str(refusal.value)


def option(state, margin, hours, cost=0.0):
    criteria = {"margin": margin, "hours": hours, "cost": cost, "life": None, "movement": 0.0, "preload_margin": None}
    return {"state": state, "criteria": criteria}


def ranks(options, weights=None):
    return [item["rank"] for item in ranked(options, weights)]


def test_by_default_what_holds_comes_first_then_margin_then_hours():
    options = [option("fails", 0.9, 1), option("holds", 0.1, 1), option("holds", 0.3, 9), option("holds", 0.3, 2)]
    assert ranks([*options, option("not judged", None, 0)]) == [5, 3, 2, 1, 4]


def test_weights_decide_among_those_that_hold():
    options = [option("holds", 0.5, 10), option("holds", 0.1, 1)]
    assert ranks(options, {"margin": 1.0}) == [1, 2]
    assert ranks(options, {"margin": 1.0, "hours": 3.0}) == [2, 1]


states = st.sampled_from(["holds", "fails", "not judged"])
numbers = st.floats(-5, 5)


@given(
    st.lists(st.builds(option, states, st.one_of(st.none(), numbers), numbers, numbers), min_size=1, max_size=8),
    st.dictionaries(st.sampled_from(["margin", "hours", "cost", "life"]), st.floats(0.1, 9), min_size=1),
)
def test_no_score_brings_what_fails_before_what_holds(options, weights):
    found = sorted(ranked(options, weights), key=lambda item: item["rank"])
    assert [item["rank"] for item in found] == list(range(1, len(options) + 1))
    order = ["holds", "not judged", "fails"]
    assert [item["state"] for item in found] == sorted((item["state"] for item in options), key=order.index)


def test_the_best_is_the_first_that_holds():
    joint = {"alternatives": ranked([option("fails", 0.9, 1), option("holds", 0.1, 1)], None)}
    assert best_of(joint)["criteria"]["margin"] == 0.1
    assert best_of({"alternatives": []}) is None


plain = st.one_of(st.text(), st.booleans(), st.integers(-(2**60), 2**60), st.floats(allow_nan=False))
keys = st.text(min_size=1, max_size=6)
values = st.recursive(
    plain, lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(keys, inner, max_size=6)), max_leaves=12
)


@given(st.dictionaries(keys, values, max_size=5))
def test_what_is_written_as_toml_is_read_back(document):
    assert tomllib.loads(toml_text(document)) == document
