"""Keys: every problem of a table is kept with its place, and reading goes on."""

import math

import pytest

from cli.keys import Keys
from loadhistories.validation import InputError


def table(values):
    return Keys(values, "bracket.toml", [])


def problem_of(keys):
    assert len(keys.problems) == 1
    return keys.problems[0]


def test_values_of_every_kind_are_returned_and_nothing_is_noted():
    keys = table(
        {
            "name": "plate", "rule": "never", "size": "20 mm", "factor": 1.35, "rows": 3, "by_test": True,
            "inner": {"size": "2 m"}, "load": [{"name": "a"}, {"name": "b"}],
        }
    )  # fmt: skip
    assert keys.text("name") == "plate"
    assert keys.one_of("rule", ("never", "allowed")) == "never"
    assert keys.quantity("size", "mm", above=0.0) == 20.0
    assert keys.number("factor") == 1.35
    assert keys.whole("rows") == 3
    assert keys.boolean("by_test") is True
    assert keys.table_of("inner").quantity("size", "mm") == 2000.0
    assert [inner.text("name") for inner in keys.tables("load")] == ["a", "b"]
    keys.done()
    assert keys.problems == []


def test_an_absent_key_gives_its_default():
    keys = table({})
    found = [
        keys.text("a", "x"), keys.one_of("b", ("p",), "p"), keys.quantity("c", "mm", 2.0), keys.number("d", 3.0),
        keys.whole("e", 4), keys.boolean("f", False), keys.table_of("g"), keys.tables("h"),
    ]  # fmt: skip
    assert found == ["x", "p", 2.0, 3.0, 4, False, None, []]
    assert keys.problems == []


@pytest.mark.parametrize(
    ("read", "words"),
    [
        (lambda keys: keys.text("title"), 'title is missing; give it as in title = "…" (bracket.toml, title)'),
        (lambda keys: keys.quantity("pitch", "mm"), 'pitch is missing; give it as in pitch = "20 mm"'),
        (lambda keys: keys.one_of("slip", ("never", "allowed")), 'as in slip = "never" or "allowed"'),
        (lambda keys: keys.whole("rows"), "rows is missing; give it as in rows = 2"),
        (lambda keys: keys.tables("load", required=True), "give it as in load = a block that begins with [[load]]"),
        (lambda keys: keys.table_of("components", required=True), "components is missing"),
    ],
)
def test_a_missing_key_is_named_with_an_example(read, words):
    keys = table({})
    read(keys)
    assert words in problem_of(keys)


@pytest.mark.parametrize(
    ("value", "read", "words"),
    [
        (3, lambda keys: keys.text("key"), "key must be text, as in key = \"…\"; got 3 (bracket.toml, key)"),
        ("  ", lambda keys: keys.text("key"), "key must not be blank"),
        ("nver", lambda keys: keys.one_of("key", ("never", "allowed")), "did you mean 'never'?; known: never, allowed"),
        ([1], lambda keys: keys.one_of("key", ("never",)), "key [1] is unknown"),
        ("20", lambda keys: keys.quantity("key", "mm"), "(bracket.toml, key)"),
        (20, lambda keys: keys.quantity("key", "mm"), "(bracket.toml, key)"),
        ("20 kN", lambda keys: keys.quantity("key", "mm"), "'20 kN'"),
        ("-20 mm", lambda keys: keys.quantity("key", "mm", above=0.0), "key must be above 0 mm; got '-20 mm'"),
        ("-1 mm", lambda keys: keys.quantity("key", "mm", least=0.0), "key must not be below 0 mm; got '-1 mm'"),
        ("1e16 mm", lambda keys: keys.quantity("key", "mm"), "key must not be beyond 1e+15 mm"),
        (1e300, lambda keys: keys.number("key"), "key must not be beyond 1e+15"),
        ("1e-10 mm", lambda keys: keys.quantity("key", "mm", above=0.0), "key must be above 1e-09 mm"),
        (math.nan, lambda keys: keys.number("key"), "key must be finite, got nan"),
        ("1.5", lambda keys: keys.number("key"), "key must be a number, got '1.5'"),
        (True, lambda keys: keys.number("key"), "key must be a number, got True"),
        (0, lambda keys: keys.number("key", above=0.0), "key must be above 0; got 0"),
        (0, lambda keys: keys.whole("key"), "key must be at least 1; got 0"),
        (2.0, lambda keys: keys.whole("key"), "key must be a whole number, as in key = 2; got 2.0"),
        (True, lambda keys: keys.whole("key"), "key must be a whole number, as in key = 2; got true"),
        ("yes", lambda keys: keys.boolean("key"), "key must be true or false, as in key = true; got 'yes'"),
        (3, lambda keys: keys.table_of("key"), "key must be a table, as in key = { … }; got 3"),
        ({"a": 1}, lambda keys: keys.tables("key"), "each begun with [[key]], got a table"),
        ([1], lambda keys: keys.tables("key"), "each begun with [[key]], got a list"),
        ([], lambda keys: keys.tables("key", required=True), "key is empty; give at least one block"),
        ("a" * 100, lambda keys: keys.boolean("key"), "aaa... (bracket.toml, key)"),
    ],
)
def test_a_wrong_value_is_refused_with_its_place_and_gives_nothing(value, read, words):
    keys = table({"key": value})
    assert read(keys) in (None, [])
    assert words in problem_of(keys)


def test_an_unknown_key_is_refused_with_the_nearest_one_not_yet_given():
    keys = table({"pich": "90 mm", "rows": 2, "pitch": "90 mm", "guage": "1 mm"})
    for key in ("rows", "pitch", "gauge"):
        keys.raw(key, None)
    keys.done()
    assert keys.problems == [
        "'pich' is no key here; known: rows, pitch, gauge (bracket.toml, pich)",
        "'guage' is no key here; did you mean 'gauge'? known: rows, pitch, gauge (bracket.toml, guage)",
    ]


def test_a_place_tells_file_table_number_and_key():
    keys = table({"joint": [{"bolts": {}}, {"bolts": {"odd key": 1}}]})
    second = keys.tables("joint")[1].table_of("bolts")
    assert second.at("pitch") == "bracket.toml, joint[2].bolts.pitch"
    assert second.at("odd key") == "bracket.toml, joint[2].bolts.'odd key'"


def test_the_problems_of_a_refusing_function_are_kept():
    keys = table({})

    def refuses():
        raise InputError("first", "second")

    assert keys.attempt(refuses) is None
    assert keys.problems == ["first", "second"]
