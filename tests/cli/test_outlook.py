"""The second walk over the records: what it finds in a whole job, and what is said where it is not done."""

from importlib.resources import files

import pytest

import cli.outlook
from cli.assess import assess_file

DEMO = files("loadhistories.samples").joinpath("drive_bracket.toml")


def details():
    (joint,) = assess_file(str(DEMO))["joints"]
    return joint["details"]


@pytest.fixture(scope="module")
def found():
    return details()


def test_along_the_record_the_damage_of_each_load_adds_up_to_that_of_the_detail(found):
    for item in found:
        curves = item["outlook"]["along_record"]
        assert sum(curve["damage"][-1] + curve["left_open"] for curve in curves) == pytest.approx(item["damage"])
        by_load = {part["load"]: part["damage"] for part in item["by_load"]}
        for curve in curves:
            assert curve["damage"][-1] + curve["left_open"] == pytest.approx(by_load[curve["load"]])
            assert curve["damage"] == sorted(curve["damage"])


def test_the_worst_cycle_of_the_demo_runs_from_the_stop_to_the_next_start(found):
    (cycle,) = found[0]["outlook"]["half_of_damage"]["list"]
    assert cycle["load"] == "start and stop" and cycle["next_repeat"]
    assert cycle["range_MPa"] == pytest.approx(found[0]["largest_range_MPa"])


def test_the_demo_recorded_one_event_so_it_has_no_interval(found):
    assert "recorded as one event" in found[0]["outlook"]["interval"]["reason"]


@pytest.mark.parametrize(
    ("limit", "words"),
    [("MOST_SAMPLES", "too long for a second walk"), ("MOST_POINTS", "more than 10 turning points do damage")],
)
def test_where_a_record_is_too_long_the_rest_stays_and_the_reason_is_given(found, monkeypatch, limit, words):
    monkeypatch.setattr(cli.outlook, limit, 10)
    for item, whole in zip(details(), found, strict=True):
        outlook = item["outlook"]
        assert outlook["other_stress"] == whole["outlook"]["other_stress"]
        if limit == "MOST_SAMPLES":
            assert words in outlook["untimed"] and outlook["half_of_damage"] is None
    assert words in details()[0]["outlook"]["untimed"]


def test_a_load_without_damage_is_not_walked_again(found):
    assert [curve["load"] for curve in found[0]["outlook"]["along_record"]] == ["start and stop"]
