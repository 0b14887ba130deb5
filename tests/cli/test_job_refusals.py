"""What a job file must not say: each refusal names the place, the value and what would do."""

import json
import tomllib
from pathlib import Path

import pytest

from cli.job import read_job
from loadhistories.validation import InputError

JOBS = Path(__file__).parent.parent / "jobs"
TEXT = (JOBS / "bracket.toml").read_text(encoding="utf-8")
RECORD = (JOBS / "bracket.csv").read_bytes()
GRID = 'rows = 3\ncolumns = 2\npitch = "90 mm"\ngauge = "130 mm"'
DETAIL = '[[joint.detail]]\nname = "second"\ncategory = 71\nstress = { Fy = "1 MPa/kN" }\n'


@pytest.fixture
def problems(tmp_path):
    """The problems of the job with pieces of it replaced."""

    def of(*changes, record=RECORD):
        text = TEXT
        for old, new in changes:
            assert old in text, old
            text = text.replace(old, new, 1)
        if record is not None:
            (tmp_path / "bracket.csv").write_bytes(record)
        (tmp_path / "bracket.toml").write_text(text, encoding="utf-8")
        with pytest.raises(InputError) as refusal:
            read_job(tmp_path / "bracket.toml")
        return refusal.value.problems

    return of


REFUSALS = [
    # the file and its head
    ('title       = "Transfer', 'titel       = "Transfer',
     "'titel' is no key here; did you mean 'title'?", "titel"),
    ('standard    = "EN 1993"', 'standard = "EN 1993-1-9"',
     "standard 'EN 1993-1-9' is unknown; did you mean 'EN 1993'?", "standard"),
    ('"25 year"', "25", "design_life must be a quantity with its unit", "design_life"),
    ('"25 year"', '"25 kN"', "design_life must be a time", "design_life"),
    ('"25 year"', '"0 year"', "design_life must be above 0 s; got '0 year'", "design_life"),
    ('"25 year"', '"25 year"\nfatigue = { concept = "safe" }',
     "known: safe life, damage tolerant", "fatigue.concept"),
    # loads
    ('"16 h/day"', '"16 h/dy"', "16 h/dy", "load[1].occurs"),
    ('"16 h/day"', '"25 h/day"', "25 h/day", "load[1].occurs"),
    ('history = "bracket.csv"', 'histroy = "bracket.csv"', "history is missing", "load[1].history"),
    ('history = "bracket.csv"', 'history = "braket.csv"', "braket.csv", ""),
    ('history = "bracket.csv"', 'history = "."', "", ""),
    ('column = "Vertical"', 'column = "Vertikal"', "did you mean 'Vertical'?", ""),
    ('Fy = { column = "Vertical", unit = "kN" }', 'Fy = { column = "Vertical" }', "Vertical", "load[1].components"),
    ('Fy = { column = "Vertical", unit = "kN" }', 'Fy = { column = "Sideways", unit = "N" }',
     "Sideways", "load[1].components"),
    ('Fy = { column = "Vertical", unit = "kN" }', 'Fy = { column = "Strain" }', "Strain", "load[1].components"),
    ('Fy = { column = "Vertical", unit = "kN" }', "Fy = { }",
     "column is missing", "load[1].components.Fy.column"),
    ('Fy = { column = "Vertical", unit = "kN" }', 'Fv = { column = "Vertical" }',
     "'Fv' is no key here", "load[1].components.Fv"),
    ('unit = "kN" }\nMz', 'unit = "kn" }\nMz', "kn", "load[1].components"),
    ('unit = "kN" }\nMz', 'unit = "kN", sign = "minus" }\nMz',
     "sign must be \"+\" or \"-\", got 'minus'", "load[1].components.Fy.sign"),
    ('factor = "0.32 m"', "factor = 0", "factor must not be 0", "load[1].components.Mz.factor"),
    ('factor = "0.32 m"', "factor = nan", "factor must be finite, got nan", "load[1].components.Mz.factor"),
    ('factor = "0.32 m"', 'factor = "0.32 kN"', "mend the factor", "load[1].components"),
    (', factor = "0.32 m"', "", "Mz", "load[1].components"),
    ("[load.components]", '[load.file]\nrate = "fast"\n[load.components]', "rate", ""),
    ("[load.components]", "[load.file]\ndelimter = \";\"\n[load.components]",
     "did you mean 'delimiter'?", "load[1].file.delimter"),
    ('"16 h/day"', '"16 h/day"\njoint = "flange"',
     "joint 'flange' is unknown; known: end plate to column flange", "load[1].joint"),
    # joint
    ('slip      = "never"', 'slip = "no"', "known: never, not in service, allowed", "joint[1].slip"),
    ('Fy = "-14 kN"', 'Fy = "-14"', "Fy has no unit", "joint[1].permanent.Fy"),
    ('Fy = "-14 kN"', 'Fy = "-14 kNm"', "Fy must be a force", "joint[1].permanent.Fy"),
    ('Fy = "-14 kN"', 'Fy = "nan kN"', "Fy must be finite, got 'nan kN'", "joint[1].permanent.Fy"),
    ("permanent = 1.35", "permanent = -1.35",
     "permanent must be above 0; got -1.35", "joint[1].factors.permanent"),
    ("permanent = 1.35", "permanent = 1.35, permanent_favourable = 2",
     "permanent_favourable 2 is above permanent 1.35", "joint[1].factors"),
    # bolts
    ('size = "M20"', 'size = "M21"', "bolt size 'M21' is unknown", "joint[1].bolts"),
    ('grade = "10.9"', 'grade = "10.8"',
     "bolt grade '10.8' is unknown; did you mean '10.9'?", "joint[1].bolts"),
    ('grade = "10.9"', "grade = 10.9", "grade must be text", "joint[1].bolts.grade"),
    ('grade = "10.9"', 'grade = "5.6"', "preload", "joint[1].bolts.preload"),
    ('preload = "full"', 'preload = "fully"',
     "preload must be a number with its unit", "joint[1].bolts.preload"),
    ('preload = "full"', 'preload = "180 kN"',
     "preload must not be above the 171.5 kN", "joint[1].bolts.preload"),
    ('preload = "full"', 'preload = "-1 kN"',
     "preload must be above 0 N; got '-1 kN'", "joint[1].bolts.preload"),
    ('preload = "full"\n', "", "preload is missing", "joint[1].bolts.preload"),
    ("rows = 3", "rows = 0", "rows must be at least 1; got 0", "joint[1].bolts.rows"),
    ("rows = 3", "rows = 600", "1000 bolts at most, got 600 rows of 2", "joint[1].bolts"),
    ('pitch = "90 mm"\n', "", "pitch is missing", "joint[1].bolts.pitch"),
    ('pitch = "90 mm"', 'pitch = "0 mm"', "pitch must be above 0 mm; got '0 mm'", "joint[1].bolts.pitch"),
    ('pitch = "90 mm"', 'pitch = "20 mm"',
     "the holes of bolts 1 and 3 run into each other: 20 mm between centres, hole 22 mm", "joint[1].bolts"),
    ('gauge = "130 mm"', 'gauge = "130 mm"\nat = []',
     "give the bolts by at or by rows and columns, not both", "joint[1].bolts.at"),
    (GRID, "at = []", "at must be a list of 1 to 1000 points", "joint[1].bolts.at"),
    (GRID, 'at = [["0 mm"]]', "a point must be two lengths", "joint[1].bolts.at[1]"),
    (GRID, 'at = [["0 mm", 9]]', "y must be a quantity with its unit", "joint[1].bolts.at[1]"),
    (GRID, 'at = [["0 mm", "0 mm"], ["9 cm", "0 mm"], ["0 mm", "0 cm"]]',
     "bolts 1 and 3 stand at one place, x 0 mm, y 0 mm", "joint[1].bolts.at"),
    ('holes = "normal"', 'holes = "slot"',
     "known: normal, oversize, short slot, long slot", "joint[1].bolts.holes"),
    ('holes = "normal"', 'holes = "short slot"', 'give slot = "x" or slot = "y"', "joint[1].bolts"),
    ('holes = "normal"', 'holes = "normal"\nslot = "x"',
     'slot is for slotted holes, got holes = "normal"', "joint[1].bolts.slot"),
    ('surface = "B"', 'surface = "E"', "surface 'E' is unknown; known: A, B, C, D", "joint[1].bolts.surface"),
    ('surface = "B"', "surface = 0.4", "surface must be a class such as \"B\"", "joint[1].bolts.surface"),
    ('surface = "B"', "surface = { slip_factor = 0.7 }",
     "a higher one must be found by test", "joint[1].bolts.surface"),
    ('surface = "B"\n', "", "preloaded bolts grip by it", "joint[1].bolts.surface"),
    ("planes = 1", "planes = 1.5", "planes must be a whole number", "joint[1].bolts.planes"),
    ("planes = 1", 'planes = 1\nthreads = "in"',
     "known: in shear plane, not in shear plane", "joint[1].bolts.threads"),
    # plates and alignment
    ('thickness = "20 mm"', 'thickness = "-20 mm"',
     "thickness must be above 0 mm; got '-20 mm'", "joint[1].plates[1].thickness"),
    ('thickness = "20 mm"', 'thickness = "20 kN"',
     "thickness must be a length", "joint[1].plates[1].thickness"),
    ('steel = "S355"', 'steel = "S356"',
     "steel 'S356' is unknown; did you mean 'S355", "joint[1].plates[1].steel"),
    ('steel = "S355"', 'steel = { yield_strength = "355 MPa" }',
     "ultimate_strength is missing", "joint[1].plates[1].steel.ultimate_strength"),
    ('end_distance = "45 mm"', 'end_distance = "11 mm"',
     "end_distance 11 mm lies within the hole", "joint[1].plates[1].end_distance"),
    ('edge_distance = "40 mm"', 'edge_distance = "5 mm"',
     "edge_distance 5 mm lies within the hole", "joint[1].plates[1].edge_distance"),
    ('["0 mm", "420 mm"]', '"420 mm"', "a point must be two lengths", "joint[1].alignment.point"),
    ('tolerance = "1 mm"', 'tolerance = "0 mm"',
     "tolerance must be above 0 mm", "joint[1].alignment.tolerance"),
    # details
    ('category = "8.4-1a"', 'category = "8.4-1z"', "category '8.4-1z' is unknown", "joint[1].detail[1]"),
    ('category = "8.4-1a"', "category = 70", "70", "joint[1].detail[1]"),
    ('category = "8.4-1a"', "category = true",
     "category must be an identifier, a number or", "joint[1].detail[1].category"),
    ('Fy = "0.35 MPa/kN"', 'Fy = "0.35 MPa"',
     "Fy must be a stress per force", "joint[1].detail[1].stress.Fy"),
    ('Fy = "0.35 MPa/kN"', 'Fw = "0.35 MPa/kN"', "'Fw' is no key here", "joint[1].detail[1].stress.Fw"),
    ('Fy = "0.35 MPa/kN", Mz = "1.9 MPa/(kN m)"', "",
     "stress needs load components as in", "joint[1].detail[1].stress"),
    ('Fy = "0.35 MPa/kN"', 'shear = { force = "Fy", area = "1 cm2" }',
     "stress has 2 recipes, shear and load components; give one", "joint[1].detail[1].stress"),
    ('name = "bracket web to end plate, weld toe"', 'name = "second"',
     "2 details have the name 'second'", "joint[1].detail"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "words", "place"), REFUSALS, ids=[f"{row[1][:40]}" for row in REFUSALS])
def test_the_refusal_names_what_is_wrong_and_where(problems, old, new, words, place):
    extra = [(TEXT, TEXT + DETAIL)] if "second" in new else []
    found = problems(*extra, (old, new))
    assert any(words in line for line in found), found
    if place:
        assert any(words in line and f"bracket.toml, {place}" in line for line in found), found


def test_every_problem_of_a_file_is_told_at_once(problems):
    found = problems(
        ('design_life = "25 year"', 'design_life = "25"'),
        ('column = "Vertical"', 'column = "Vertikal"'),
        ('size = "M20"', 'size = "M21"'),
        ('thickness = "20 mm"', 'thickness = "-20 mm"'),
        ('surface = "B"', 'surfce = "B"'),
        ('category = "8.4-1a"', 'category = "9.9"'),
        record=RECORD.replace(b"-31.0", b""),
    )
    text = "\n".join(found)
    for words in ("design_life has no unit", "M21", "-20 mm", "'surfce' is no key here", "9.9", "bracket.csv"):
        assert words in text
    assert len(found) >= 6


@pytest.mark.parametrize(
    ("record", "words"),
    [
        (None, "bracket.csv"),
        (b"", "bracket.csv"),
        (b"Time [s],Vertical [kN]\n", "bracket.csv"),
        (b"once upon a time\nthere was a record\nof words\n", "bracket.csv"),
        (RECORD.replace(b"-31.0", b"nan"), "line 4"),
        (RECORD.replace(b"-31.0", b"high"), "line 4"),
    ],
)
def test_a_record_that_is_none_is_refused(problems, record, words):
    assert any(words in line for line in problems(record=record))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "title is missing"),
        (b"title = ", "bracket.toml is no valid TOML"),
        (b"title = 'a'\ntitle = 'b'\n", "line 2"),
        (b"title = '\xff'", "bracket.toml must be text in UTF-8, line 1 is not"),
        (b"a = " + b"[" * 5000, "bracket.toml is no valid TOML"),
        (b"a = " + b"9" * 5000, "bracket.toml is no valid TOML"),
        (b"load = 3\njoint = [1]\n", "each begun with [[load]], got a whole number"),
        (b"load = []\njoint = []\n", "load is empty"),
    ],
)
def test_a_file_that_is_no_job_is_refused(tmp_path, content, words):
    (tmp_path / "bracket.toml").write_bytes(content)
    with pytest.raises(InputError) as refusal:
        read_job(tmp_path / "bracket.toml")
    assert words in "\n".join(refusal.value.problems)


def test_a_job_file_that_is_not_there_or_a_folder_is_refused(tmp_path):
    with pytest.raises(InputError, match=r"none\.toml is not there; give the path of a job file"):
        read_job(tmp_path / "none.toml")
    with pytest.raises(InputError, match=r"is a folder; give the job file in it"):
        read_job(tmp_path)


def test_joints_and_loads_of_one_name_are_refused(problems):
    second = '[[joint]]\nname = "end plate to column flange"\n' + DETAIL
    found = problems((TEXT, TEXT + second))
    assert any("joint 2 has the name 'end plate to column flange' of joint 1" in line for line in found)


def test_a_joint_that_no_load_acts_on_is_refused(problems):
    second = '[[joint]]\nname = "b"\n' + DETAIL
    found = problems((TEXT, TEXT + second), ('"16 h/day"', '"16 h/day"\njoint = "b"'))
    assert any("no load acts on joint 'end plate to column flange'" in line for line in found)


def test_a_joint_without_bolts_and_details_is_refused(problems):
    found = problems((TEXT[TEXT.index("slip ") :], ""))
    assert any("a joint needs bolts, welds or details" in line for line in found)


def test_what_belongs_to_bolts_is_refused_without_them(problems):
    start, end = TEXT.index("[joint.bolts]"), TEXT.index("[[joint.plates]]")
    found = problems((TEXT[start:end], ""))
    for key in ("slip", "because", "plates", "alignment"):
        assert any(f"{key} is for bolted joints" in line for line in found)
    assert any("factors is for joints with bolts or welds" in line for line in found)


def test_slots_that_run_into_each_other_are_refused_although_their_centres_are_apart(problems):
    found = problems(('holes = "normal"', 'holes = "long slot"\nslot = "y"'), ('pitch = "90 mm"', 'pitch = "45 mm"'))
    words = "the holes of bolts 1 and 3 run into each other: 45 mm between centres, hole 22 mm by"
    assert any(words in line for line in found)


NUMBERS = (0, -1, 3, 1e308, float("nan"), True)
TEXTS = ("", "x", "-3 mm", "1e-300 kN", "5 kN", "a\0b")
JUNK = (*NUMBERS, *TEXTS, [], {}, [[]], [{}], ["0 mm", "0 mm"])


def inline(value):
    """A value as TOML writes it on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {inline(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(inline, value)) + "]"
    return json.dumps(value).lower() if isinstance(value, float) else json.dumps(value)


def leaves(value, path=()):
    """The path of every value in the job, tables and lists among them."""
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in items:
        yield (*path, key)
        yield from leaves(item, (*path, key))


@pytest.mark.parametrize("path", list(leaves(tomllib.loads(TEXT))), ids=lambda path: ".".join(map(str, path)))
def test_any_value_in_any_place_is_read_or_refused_and_never_a_fault(tmp_path, path):
    (tmp_path / "bracket.csv").write_bytes(RECORD)
    for junk in JUNK:
        job = tomllib.loads(TEXT)
        inner = job
        for key in path[:-1]:
            inner = inner[key]
        inner[path[-1]] = junk
        text = "\n".join(f"{key} = {inline(value)}" for key, value in job.items())
        (tmp_path / "bracket.toml").write_text(text, encoding="utf-8")
        try:
            read_job(tmp_path / "bracket.toml")
        except InputError as refusal:
            assert all(problem.strip() for problem in refusal.problems)
