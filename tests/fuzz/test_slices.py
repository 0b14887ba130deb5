"""A short slice of what `tests/fuzz/run.py` sends by hand: the same mutants at every run."""

import json
from collections import Counter

import doors
import mutants
import numpy as np
import pytest
import run
import seeds
import whole_jobs
from hypothesis import HealthCheck, given, settings
from outcomes import REFUSED, Finding, bounded, require_sound

SEED = 20240229


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return doors.made_folder(tmp_path_factory.mktemp("doors"))


def test_the_sound_jobs_are_assessed_but_for_two_that_the_readme_shows_without_their_records(folder):
    refused = [name for name, job in mutants.sound_jobs().items() if doors.job_of_values(folder, job) == REFUSED]
    assert len(refused) <= 2, refused


def test_mutants_of_sound_jobs_give_a_sound_result_or_a_refusal(folder):
    made = mutants.Mutants(mutants.sound_jobs(), SEED)
    with np.errstate(over="raise", invalid="raise", divide="raise"):
        outcomes = Counter(doors.job_of_values(folder, made.next(), notes=number % 10 == 0) for number in range(60))
    assert outcomes[REFUSED] > 10
    assert sum(outcomes.values()) - outcomes[REFUSED] > 10


@pytest.mark.parametrize("name", ["toml", *run.TABLES, *(f"record{ending}" for ending in run.RECORDS)])
def test_mutants_of_bytes_are_read_or_refused_at_every_door(folder, name):
    door, held = run.door_of(name, folder)
    made = seeds.ByteMutants(held, SEED)
    outcomes = Counter(door(made.next()) for _ in range(40))
    assert outcomes[REFUSED] > 0
    assert any(door(content) != REFUSED for content in held), "no sound input is read"


@settings(max_examples=12, suppress_health_check=list(HealthCheck))
@given(whole_jobs.jobs())
def test_whole_jobs_by_chance_give_a_sound_result_or_a_refusal(tmp_path_factory, made):
    job, record = made
    place = tmp_path_factory.mktemp("whole")
    (place / whole_jobs.RECORD).write_text(record, encoding="utf-8")
    doors.job_of_values(place, job)


@pytest.mark.parametrize("key", ["thickness", "steel", "end_distance"])
@pytest.mark.parametrize("name", ["bracket.toml", "as4100_bracket.toml", "aisc_bracket.toml"])
def test_a_plate_that_lacks_what_a_rule_asks_for_never_holds(folder, name, key):
    job = mutants.sound_jobs()[name]
    assert doors.job_of_values(folder, job) == "holds"
    del job["joint"][0]["plates"][0][key]
    assert doors.job_of_values(folder, job) in (REFUSED, "not judged", "fails")


def test_the_judge_of_outcomes_sees_what_must_not_be():
    check = {"title": "grip", "state": "holds", "utilisation": 0.5, "reason": ""}
    joint = {"name": "a", "state": "holds", "checks": [check], "details": []}
    require_sound({"state": "holds", "joints": [joint]})
    bad = (
        {"checks": []}, {"checks": [check | {"utilisation": None}]}, {"checks": [check | {"utilisation": 1.5}]},
        {"checks": [check | {"state": "not judged", "reason": ""}]},
        {"checks": [check | {"utilisation": float("nan")}]},
        {"details": [{"name": "toe", "state": "holds", "damage": None}]}, {"state": "fails"},
        {"details": [{"name": "toe", "state": "holds", "damage": 2.0}]},
    )  # fmt: skip
    for changed in bad:
        with pytest.raises(Finding):
            require_sound({"state": "holds", "joints": [joint | changed]})
    with pytest.raises(ValueError, match="Out of range float"):
        json.dumps({"a": float("nan")}, allow_nan=False)


def test_what_takes_too_long_is_a_finding():
    with pytest.raises(Finding, match=r"took more than 0\.05 s"), bounded(0.05):
        while True:
            pass
