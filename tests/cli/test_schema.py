"""`griplife schema`: it takes every job that the reader takes, knows its keys, units and words, and no others."""

import json
import re
import tomllib
from importlib.resources import files
from pathlib import Path

import jsonschema
import pytest

from cli.job import read_job
from cli.keys import Keys
from cli.schema.job import job_schema, key_descriptions, schema_text
from cli.schema.parts import quantity_pattern
from loadhistories.units import BASE_UNITS, quantity
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
EVERY_JOB = [*sorted(JOBS.glob("*.toml")), Path(str(files("loadhistories.samples") / "drive_bracket.toml"))]
# Keys that are read only beside others.
TOGETHER = """
title = "treatments for all channels, a groove weld with a steel of its own"
standard = "EN 1993"
design_life = "25 year"
[[load]]
name = "coming"
history = "record.csv"
occurs = "1/day"
components = { Fy = { column = "Vertical" } }
[load.clean]
spikes = { window = "1 s", above = "50 kN" }
drift = { method = "running median", window = "60 s" }
[[past]]
name = "earlier"
served = "1 year"
history = "record.csv"
occurs = "1/day"
components = { Fy = { column = "Load" } }
[past.clean]
spikes = { window = "2 s", above = "50 kN" }
drift = { method = "running median", window = "60 s" }
[[joint]]
name = "welded"
[[joint.weld]]
kind = "full penetration"
thickness = "20 mm"
steel = { name = "mild", yield_strength = "235 MPa", ultimate_strength = "360 MPa" }
"""
PARTS = ("load", "past", "joint")
RECORD = "Time [s],Vertical [kN],Load [kN],Reaction [kN]\n" + "".join(
    f"{row / 10},{row % 7},{row % 5},{row % 3}\n" for row in range(200)
)
SPELLINGS = {
    "N": ("12 kN", "-3e3 N", "2 kip", ".5 MN"),
    "mm": ("90 mm", "2.5 in", "1 m", "3 ft"),
    "MPa": ("355 MPa", "50 ksi", "210 GPa", "345 N/mm2", "3 N/mm^2"),
    "s": ("25 year", "0.05 s", "16 h", "2 weeks"),
    "rad": ("90 deg", "1 rad", "3°"),
    "N mm": ("12 kNm", "12 kN m", "3 kip*ft", "4 kip in", "2 N·m"),
    "mm2": ("1200 mm2", "52 cm2", "0.4617 in2", "3 mm²"),
    "mm3": ("310 cm3", "48e3 mm3"),
    "mm4": ("2.4e6 mm4", "9 m^4"),
    "N/mm": ("3 kN/m",),
    "MPa/N": ("0.35 MPa/kN", "0.6 ksi/kip"),
    "MPa/(N mm)": ("1.9 MPa/(kN m)", "2 MPa/kNm"),
    "1/mm": ("2 1/m",),
    "1/s": ("3 Hz", "2 1/s"),
    "mm/s": ("60 m/min", "0.8 m/s"),
    "": ("20 %", "0.2"),
}


class Asked:
    """Every key that the readers ask for, by the path of its table, with how they ask for it."""

    def __init__(self, monkeypatch):
        self.keys, self.units, self.words = set(), set(), {}
        raw, of_quantity, one_of = Keys.raw, Keys.quantity, Keys.one_of

        def note_raw(table, key, *args, **named):
            self.keys.add((path_of(table), key))
            return raw(table, key, *args, **named)

        def note_quantity(table, key, unit, *args, **named):
            self.units.add((path_of(table), key, unit))
            return of_quantity(table, key, unit, *args, **named)

        def note_words(table, key, known, *args, **named):
            self.words.setdefault((path_of(table), key), set()).update(known)
            return one_of(table, key, known, *args, **named)

        monkeypatch.setattr(Keys, "raw", note_raw)
        monkeypatch.setattr(Keys, "quantity", note_quantity)
        monkeypatch.setattr(Keys, "one_of", note_words)


def path_of(table):
    """Steps from the top of the file to a table, numbers left out."""
    rest = table.place.removeprefix(table.file).removeprefix(", ")
    return tuple(step.strip("'") for step in re.findall(r"'[^']*'|[^.\[\]]+(?=$|\.|\[)", re.sub(r"\[\d+\]", "", rest)))


def forms(node):
    """The node and what it may also be."""
    yield node
    for inner in node.get("anyOf", ()):
        yield from forms(inner)
    if isinstance(node.get("items"), dict):
        yield from forms(node["items"])


def at(path, key):
    """What the schema knows of a key in the table of a path; [] for an unknown one."""
    nodes = [job_schema()]
    for step in (*path, key):
        found = []
        for node in (form for outer in nodes for form in forms(outer)):
            if step in node.get("properties", {}):
                found.append(node["properties"][step])
            elif isinstance(node.get("additionalProperties"), dict):
                found.append(node["additionalProperties"])
        nodes = found
    return nodes


def samples(node):
    """Values that the schema takes, so many that every form of every piece of it occurs in one of them."""
    if "enum" in node:
        return list(node["enum"])[:5]
    if "anyOf" in node:
        return [value for form in node["anyOf"] for value in samples(form)]
    if node.get("type") == "object":
        return samples_of_table(node)
    if node.get("type") == "array" and node["items"].get("type") in ("object",):
        return [[value] for value in samples(node["items"])]
    if "examples" in node:
        return list(node["examples"])
    if node.get("type") == "array":
        return [[samples(node["items"])[0]] * max(node.get("minItems", 1), 1)]
    return [True] if node.get("type") == "boolean" else [1]


def samples_of_table(node):
    children = {key: samples(inner) for key, inner in node["properties"].items()}
    if isinstance(node["additionalProperties"], dict):
        own = samples(node["additionalProperties"])
        return [{"Vertical": value} for value in own]
    groups = [[part["required"][0] for part in group["anyOf"]] for group in node.get("oneOf", [])] or [[]]
    apart = node.get("not", {}).get("required", [])
    groups = [[*group, key] for group in groups for key in apart] or groups
    exclusive = {key for group in groups for key in group}
    found = []
    for group in groups:
        taken = {key: values for key, values in children.items() if key not in exclusive or key in group}
        for number in range(max(map(len, taken.values()), default=1)):
            found.append({key: values[number % len(values)] for key, values in taken.items()})
    return found


def job_text(value):
    """A table as inline TOML."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{json.dumps(key)} = {job_text(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(job_text, value)) + "]"
    return json.dumps(value, ensure_ascii=False)


@pytest.fixture(scope="module")
def asked(tmp_path_factory):
    """What the readers ask for in jobs made of everything that the schema holds."""
    folder = tmp_path_factory.mktemp("jobs")
    (folder / "record.csv").write_text(RECORD, encoding="utf-8")
    with pytest.MonkeyPatch.context() as monkeypatch:
        noted = Asked(monkeypatch)
        for number, job in enumerate(whole_jobs()):
            path = folder / f"job{number}.toml"
            path.write_text("\n".join(f"{key} = {job_text(value)}" for key, value in job.items()), encoding="utf-8")
            with pytest.raises(InputError):
                read_job(path)
    return noted


def whole_jobs():
    schema = job_schema()
    for standard in schema["properties"]["standard"]["enum"]:
        for job in samples(schema)[:: 1 if standard == "EN 1993" else 3]:
            yield job | {"standard": standard}
            # Without what keeps the rest from being read: a layout that is not the record's, bolts that are refused.
            if standard == "EN 1993":
                yield job | {part: [without(item, "file", "bolts") for item in job[part]] for part in PARTS}


    yield tomllib.loads(TOGETHER)


def without(table, *keys):
    return {key: value for key, value in table.items() if key not in keys}


def by_key(pairs):
    return sorted(f"{'.'.join(path)}: {key}" for path, key in pairs)


def test_every_job_that_is_assessed_here_follows_the_schema():
    validator = jsonschema.Draft7Validator(json.loads(schema_text()))
    for path in EVERY_JOB:
        problems = [f"{list(error.absolute_path)}: {error.message[:200]}" for error in validator.iter_errors(
            tomllib.loads(path.read_text(encoding="utf-8"))
        )]  # fmt: skip
        assert problems == [], path.name


def test_the_schema_is_sound_of_draft_7_and_small_enough_for_an_editor():
    jsonschema.Draft7Validator.check_schema(json.loads(schema_text()))
    assert len(schema_text()) < 400_000


def test_every_key_that_a_reader_asks_for_stands_in_the_schema(asked):
    assert by_key((path, key) for path, key in asked.keys if not at(path, key)) == []


def test_every_key_of_the_schema_is_asked_for_by_a_reader(asked):
    known = {tuple(path.split(".")) for path, _ in key_descriptions()}
    asked_for = {(*path, key) for path, key in asked.keys}
    asked_for |= {tuple(step for step in path if step != "Vertical") for path in asked_for}
    assert sorted(".".join(path) for path in known - asked_for) == []


def test_a_quantity_of_a_reader_has_the_same_kind_of_unit_in_the_schema(asked):
    wrong = []
    for path, key, unit in asked.units:
        patterns = {form.get("pattern") for node in at(path, key) for form in forms(node)}
        if quantity_pattern(unit) not in patterns:
            wrong.append((path, f"{key} [{unit}]"))
    assert by_key(wrong) == []


def test_the_words_of_a_reader_are_the_words_of_the_schema(asked):
    wrong = []
    for (path, key), words in asked.words.items():
        known = {word for node in at(path, key) for form in forms(node) for word in form.get("enum", ())}
        if not words <= known:
            wrong.append((path, f"{key}: {sorted(words - known)}"))
    assert by_key(wrong) == []


def test_a_key_that_no_reader_knows_is_refused_by_the_schema_too():
    job = tomllib.loads((JOBS / "bracket.toml").read_text(encoding="utf-8"))
    job["joint"][0]["bolts"]["pich"] = "90 mm"
    (error,) = jsonschema.Draft7Validator(json.loads(schema_text())).iter_errors(job)
    assert "'pich'" in error.message


@pytest.mark.parametrize("unit", BASE_UNITS)
def test_the_pattern_of_a_unit_takes_its_spellings_and_none_of_another_kind(unit):
    for other, spellings in SPELLINGS.items():
        for text in spellings:
            assert quantity(text, other, "value") is not None
            taken = re.match(quantity_pattern(unit), text) is not None
            assert taken == (other == unit), (unit, text)


def test_the_command_prints_the_schema_and_writes_it_to_a_file(griplife, tmp_path):
    shown = griplife("schema")
    assert shown.exit_code == 0
    assert json.loads(shown.stdout) == json.loads(schema_text())
    written = griplife("schema", str(tmp_path / "job.schema.json"))
    assert (written.exit_code, written.stdout) == (0, "")
    assert (tmp_path / "job.schema.json").read_text(encoding="utf-8") == schema_text()
    assert griplife("schema", str(tmp_path / "job.schema.json")).exit_code == 2
