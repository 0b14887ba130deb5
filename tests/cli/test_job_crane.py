"""The table [load.crane] of a job: what is read, what comes out by hand, and what is refused."""

from pathlib import Path

import pytest

from cli.assess import assess_file
from cli.job import read_job
from cli.screen import summary
from loadhistories.validation import InputError

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
HEAD = """
title = "runway"
standard = "EN 1993"
design_life = "10 year"
fatigue = { concept = "safe life", consequence = "high" }
"""
LOAD = """
[[load]]
name = "crane"
[load.components]
Fy = { column = "COLUMN" }
[load.crane]
rated_load = "10 t"
bridge = "8 t"
crab = "20 kN"
span = "20 m"
approach = ["1 m", "1 m"]
wheel_spacings = ["3 m"]
travel_speed = "60 m/min"
factors = { own = 1.0, hoist = 1.0 }
"""
GIRDER = """
[load.crane.girder]
spans = ["6 m", "6 m"]
system = "simple spans"
runway = ["-20 m", "30 m"]
section = "3 m"
"""
ROW = """
[[load.crane.duty]]
hook_load = "5 t"
crab = "5 m"
from = "-10 m"
to = "20 m"
lifts = "100000"
"""
CLASS = """
[load.crane.class]
cycles = "U4"
spectrum = "Q2"
loads = "alike"
crab = "5 m"
from = "-10 m"
to = "20 m"
"""
SECOND = """
[load.crane.second]
rated_load = "100 kN"
bridge = "40 kN"
crab = "0 kN"
span = "20 m"
approach = ["1 m", "1 m"]
wheel_spacings = []
factors = { own = 1.0, hoist = 1.0 }
gap = "1 m"
side = "before"
"""
JOINT = """
[[joint]]
name = "web"
[[joint.detail]]
name = "toe"
category = 71
stress = { Fy = "1 MPa/kN" }
"""
DUTY_CSV = "Load;Crab;From;To;Number\n5,0;5;-10;20;10000\n2,5;5;-10;20;20000\n"
FROM_FILE = """
[load.crane.duty]
file = "duty.csv"
delimiter = ";"
decimal = ","
columns = { hook_load = "Load", crab = "Crab", from = "From", to = "To", lifts = "Number" }
units = { hook_load = "t", crab = "m", from = "m", to = "m" }
lifts_per = "year"
"""


def write(folder, *parts, column="Wheel load"):
    path = folder / "job.toml"
    path.write_text("".join((HEAD, *parts, JOINT)).replace("COLUMN", column), encoding="utf-8")
    return path


def problems(folder, *parts, **more):
    with pytest.raises(InputError) as refusal:
        read_job(write(folder, *parts, **more))
    return refusal.value.problems


def wheel(hook, distance=5.0, bridge=8 * 9.81, crab=20.0):
    """Two wheels on this rail of a bridge of 20 m. [kN]"""
    return (bridge / 2 + (20 - distance) / 20 * (crab + hook)) / 2


def test_masses_count_with_the_acceleration_of_fall_and_every_wheel_is_a_cycle(tmp_path):
    """5 t at 9.81 m/s2 5 m from the rail: 45.51 kN a wheel; four wheel passages a lift, two of them loaded."""
    contract = assess_file(write(tmp_path, LOAD, GIRDER, ROW))
    (load,) = contract["loads"]
    assert load["extremes"]["Fy"]["high"] == pytest.approx(wheel(5 * 9.81))
    assert load["made"]["cycles"][0]["cycles"] == pytest.approx(400_000)
    loaded, empty = (71 / 1.35 / range_ for range_ in (wheel(5 * 9.81), wheel(0.0)))
    (detail,) = contract["joints"][0]["details"]
    # Category 71 / 1.35: knee at 38.76 MPa, cut-off at 21.28; the empty wheel at 27.12 lies between: slope 5.
    knee = 71 / 1.35 * (2 / 5) ** (1 / 3)
    assert wheel(0.0) < knee < wheel(5 * 9.81)
    expected = 2e5 / (2e6 * loaded**3) + 2e5 / (5e6 * (knee / wheel(0.0)) ** 5)
    assert empty > 1.0
    assert detail["damage"] == pytest.approx(expected, rel=1e-6)


def test_rows_of_a_table_beside_the_job_file(tmp_path):
    (tmp_path / "duty.csv").write_text(DUTY_CSV, encoding="utf-8")
    path = write(tmp_path, LOAD, GIRDER, FROM_FILE)
    job = read_job(path)
    assert [(load.name, load.block.repeats) for load in job.loads] == [
        ("crane: row 1", pytest.approx(1e5)), ("crane: row 2", pytest.approx(2e5))
    ]  # fmt: skip
    assert tmp_path / "duty.csv" in job.files
    inputs = [item["what"] for item in assess_file(path)["inputs"]]
    assert inputs == ["job", "table", "made history", "made history"]


def test_a_class_is_lifts_alike_with_its_upper_bounds_and_the_rated_load_once(tmp_path):
    """U4: 250 000; Q2: 0.125, whose cube root is 0.5: 5 t of 10 t."""
    contract = assess_file(write(tmp_path, LOAD, GIRDER, CLASS))
    alike, once = contract["loads"]
    assert (alike["repeats"], once["repeats"]) == (250_000, 1)
    assert alike["extremes"]["Fy"]["high"] == pytest.approx(wheel(5 * 9.81))
    assert once["extremes"]["Fy"]["high"] == pytest.approx(wheel(10 * 9.81))
    assert any("U4 is taken with its upper bound 250000" in text for text in contract["assumptions"])


def test_a_class_of_lifts_full_or_empty(tmp_path):
    full, without = read_job(write(tmp_path, LOAD, GIRDER, CLASS.replace('"alike"', '"full or empty"'))).loads
    assert (full.block.repeats, without.block.repeats) == pytest.approx((31_250, 218_750))


def test_a_share_of_the_lifts_beside_a_second_crane(tmp_path):
    together = ROW + 'together = 0.1\nsecond_crane = { hook_load = "0 kN", crab = "10 m" }\n'
    contract = assess_file(write(tmp_path, LOAD, SECOND, GIRDER, together))
    alone, beside = contract["loads"]
    assert (alone["repeats"], beside["repeats"]) == pytest.approx((90_000, 10_000))
    # One wheel of 20 kN 1 m before the first of two: three wheel passages each way.
    assert beside["made"]["cycles"][0]["cycles"] == pytest.approx(6 * 10_000)
    assert beside["name"] == "crane: row 1 with the second crane"
    assert any("passages of the second crane alone are not in this load" in text for text in contract["assumptions"])


def test_factors_of_a_hoisting_class(tmp_path):
    """HC2 at 6 m/min: phi_2 = 1.10 + 0.34 x 0.1 = 1.134; phi_fat 1.05 and 1.067 (values of the class from memory)."""
    factors = '{ hoisting_class = "HC2", hoisting_speed = "6 m/min", phi_1 = 1.1 }'
    contract = assess_file(write(tmp_path, LOAD.replace("{ own = 1.0, hoist = 1.0 }", factors), GIRDER, ROW))
    values = {item["symbol"]: item["value"] for item in contract["loads"][0]["made"]["groups"][0]["figures"]}
    assert (values["φ_fat,1"], values["φ_fat,2"]) == pytest.approx((1.05, 1.067))


def test_earlier_duty_of_a_crane_counts_as_well(tmp_path):
    past = (LOAD + GIRDER + ROW).replace("[load", "[past").replace("load]]", "past]]").replace('"crane"', '"old duty"')
    past = past.replace("[[past]]\n", '[[past]]\nserved = "10 year"\n', 1)
    contract = assess_file(write(tmp_path, LOAD, GIRDER, ROW, past.replace("[[load", "[[past")))
    (detail,) = contract["joints"][0]["details"]
    (duty,) = detail["past"]["duty"]
    assert duty == {"name": "old duty", "damage": pytest.approx(detail["damage"])}
    assert contract["joints"][0]["past"][0]["basis"].startswith("working cycle of a crane")


def test_rows_in_a_sequence_are_counted_from_the_peak_of_one_to_the_low_of_another(tmp_path):
    """Bracket between simple spans: a row of 45.51 kN wheels that never leaves it, then one that begins off it."""
    girder = GIRDER.replace('section = "3 m"', "bracket = 2")
    near = ROW.replace('"-10 m"', '"1.5 m"').replace('"20 m"', '"10.5 m"')
    light = ROW.replace('"5 t"', '"1 t"')
    sequence = '\n[[sequence]]\nname = "both"\norder = ["crane: row 1", "crane: row 2"]\noccurs = "100000"\n'
    apart = assess_file(write(tmp_path, LOAD, girder, near, light, column="Reaction"))
    follow = assess_file(write(tmp_path, LOAD, girder, near, light, sequence, column="Reaction"))
    (alone,), (joined,) = (item["joints"][0]["details"] for item in (apart, follow))
    assert alone["largest_range_MPa"] == pytest.approx(1.5 * wheel(5 * 9.81) - 0.5 * wheel(0.0))
    assert joined["largest_range_MPa"] == pytest.approx(1.5 * wheel(5 * 9.81))
    assert any("every row of the duty is counted by itself" in text for text in apart["assumptions"])


def test_the_terminal_says_what_the_duty_comes_to(tmp_path):
    text = " ".join(summary(assess_file(write(tmp_path, LOAD, GIRDER, ROW)), colour=False).split())
    assert (
        "crane: 100000 lifts in the design life, 200000 passages and 400000 wheel passages of the section at 3 m; "
        "400000 cycles counted at toe"
    ) in text


def test_every_problem_of_a_crane_table_is_named_at_once(tmp_path):
    load = LOAD.replace('rated_load = "10 t"\n', "").replace('"60 m/min"', '"60 m"')
    load = load.replace("hoist = 1.0", "host = 1.0")
    girder = GIRDER.replace('"simple spans"', '"fixed"')
    row = ROW.replace('"100000"', '"16 h/day"').replace('crab = "5 m"\n', "")
    found = problems(tmp_path, load, girder, row)
    places = [text.rpartition("(job.toml, ")[2].rstrip(")") for text in found]
    assert places == [
        "load[1].crane.rated_load", "load[1].crane.factors.hoist", "load[1].crane.factors.host",
        "load[1].crane.travel_speed", "load[1].crane.girder.system", "load[1].crane.duty[1].lifts",
        "load[1].crane.duty[1].crab",
    ]  # fmt: skip
    assert found[0].startswith('rated_load is missing; give it as in rated_load = "80 kN", or "8 t"')
    assert "lifts must be a number of times" in found[5]


@pytest.mark.parametrize(
    ("old", "new", "wording"),
    [
        ('hook_load = "5 t"', 'hook_load = "12 t"', "must lie from 0 to the rated load of 98.1 kN, got 117.72"),
        ('crab = "5 m"', 'crab = "0.4 m"', "the hook can stand from 1 m to 19 m from this rail"),
        ('to = "20 m"', 'to = "29 m"', "with 'to' 29 m, wheel 2 of the crane would stand at 30.5 m"),
        ('section = "3 m"', 'section = "13 m"', "section must lie on the girder, from 0 to 12 m, got 13 m"),
        ('section = "3 m"', "bracket = 4", "support must be one of 1 to 3, counted along the girder, got 4"),
        ('section = "3 m"', "bracket = 3", "bracket 3 carries the girder beyond as well, as the runway goes on there"),
        ('section = "3 m"', "", 'nothing is looked at: give a section = "3 m", a bracket = 2'),
        ('spans = ["6 m", "6 m"]', 'spans = ["6 m", "-6 m"]', "span 2 must be above 0 mm, got -6000"),
        ('runway = ["-20 m", "30 m"]', 'runway = ["1 m", "30 m"]', "must reach over the whole girder, 0 m to 12 m"),
        ('lifts = "100000"', 'lifts = "3000/day"', "the crane would travel 20.8 years in a life of 10 years"),
        ('lifts = "100000"', "", 'lifts is missing; give it as in lifts = "40/day"'),
        ('travel_speed = "60 m/min"', "", "travel_speed is missing"),
        ('lifts = "100000"', 'lifts = "100000"\ntogether = 0.1', "a second crane is named here but not described"),
        ('name = "crane"', 'name = "crane"\noccurs = "1/day"', "the duty of the crane says how often it lifts"),
        ('name = "crane"', 'name = "crane"\nhistory = "a.csv"', "history and crane are both given; give one of them"),
    ],
)  # fmt: skip
def test_what_a_crane_cannot_do_is_refused_in_the_words_of_the_trade(tmp_path, old, new, wording):
    text = "".join((LOAD, GIRDER, ROW))
    assert old in text
    found = problems(tmp_path, text.replace(old, new, 1))
    assert any(wording in problem for problem in found), found


def test_rotation_without_stiffness_is_no_channel(tmp_path):
    girder = GIRDER.replace('section = "3 m"', "bracket = 2")
    (found,) = problems(tmp_path, LOAD.replace('"COLUMN"', '"Rotation", factor = "1 kNm/rad"'), girder, ROW)
    assert "column 'Rotation' is unknown" in found
    assert "Reaction" in found


def test_a_class_without_the_users_way_is_refused(tmp_path):
    bare = '\n[load.crane.class]\ncycles = "U4"\nspectrum = "Q2"\n'
    found = problems(tmp_path, LOAD, GIRDER, bare)
    assert [text.split(" is missing")[0] for text in found] == ["loads", "crab", "from", "to"]


@pytest.mark.parametrize(
    ("old", "new", "wording"),
    [
        ('cycles = "U4"', 'cycles = "U12"', "class of cycles 'U12' is unknown"),
        ('cycles = "U4"', 'cycles = "Q2"', "cycles takes a class U0, U1"),
        ('spectrum = "Q2"', "spectrum = 1.5", "load spectrum factor must lie above 0 and up to 1, got 1.5"),
    ],
)
def test_a_class_that_is_none_is_refused(tmp_path, old, new, wording):
    assert any(wording in text for text in problems(tmp_path, LOAD, GIRDER, CLASS.replace(old, new)))


@pytest.mark.parametrize(
    ("content", "wording"),
    [
        ("", "duty.csv is empty"),
        ("Load;Crab\n", "duty.csv has no column 'From'; known: Load, Crab"),
        ("Load;Crab;From;To;Number\n", "duty.csv has no row below its head"),
        ("Load;Crab;From;To;Number\n1;2;3\n", "line 2 of duty.csv has 3 cells, its head 5"),
        (DUTY_CSV.replace("5,0", "heavy"), "(duty.csv, line 2.hook_load)"),
        (DUTY_CSV.replace("2,5", "25"), "hook load must lie from 0 to the rated load of 98.1 kN, got 245.25 kN"),
    ],
)
def test_a_table_of_duty_that_cannot_be_used_is_refused_with_its_line(tmp_path, content, wording):
    (tmp_path / "duty.csv").write_text(content, encoding="utf-8")
    found = problems(tmp_path, LOAD, GIRDER, FROM_FILE)
    assert any(wording in text for text in found), found


def test_rows_of_one_name_are_refused(tmp_path):
    named = ROW.replace("[[load.crane.duty]]", '[[load.crane.duty]]\nname = "heavy"')
    assert any("2 rows have the name 'heavy'" in text for text in problems(tmp_path, LOAD, GIRDER, named, named))


def test_a_made_load_that_comes_to_the_name_of_another_is_refused(tmp_path):
    other = LOAD.replace('name = "crane"', 'name = "crane: row 1"') + GIRDER
    named = ROW.replace("[[load.crane.duty]]", '[[load.crane.duty]]\nname = "x"')
    first = LOAD + GIRDER + ROW.replace("[[load.crane.duty]]", '[[load.crane.duty]]\nname = "row 1: x"')
    found = problems(tmp_path, first, other, named)
    assert any("2 loads come to the name 'crane: row 1: x'" in text for text in found)


def test_the_crane_of_the_readme_is_read(tmp_path):
    """Hook 4 m from this rail: 0.8 of crab and load; phi_fat 1.05 and 1.065."""
    block = next(part for part in README.split("```toml")[1:] if "[load.crane]" in part).split("```")[0]
    contract = assess_file(write(tmp_path, block))
    (load,) = contract["loads"]
    on_rail = 1.05 * (12 * 9.81 / 2 + 0.8 * 20) + 1.065 * 0.8 * 8 * 9.81
    # Two equal spans: influence of the middle support 1.5 a - 0.5 a^3 with a = x / L; both wheels 1.5 m from it.
    middle = 2 * (1.5 * 0.75 - 0.5 * 0.75**3)
    assert load["extremes"]["Fy"]["low"] == pytest.approx(-middle * on_rail / 2)


def test_both_roads_give_one_damage_where_they_must(tmp_path):
    """2e6 lifts of the rated load, crane without weight, one wheel: class S7, factor 1, 75 MPa lies above the knee.

    Category 112 / 1.35 = 82.96 MPa: (75 / 82.96)^3 = 0.7388 by the class and by the counted passages.
    """
    load = LOAD.replace('"8 t"', '"0 kN"').replace('"20 kN"', '"0 kN"').replace('["3 m"]', "[]")
    load = load.replace('"10 t"', '"100 kN"')
    row = ROW.replace('"5 t"', '"100 kN"').replace('"100000"', '"2000000"')
    crane = (
        '[[crane]]\nname = "casting crane"\nclass = "S7"\nfatigue_factors = { own = 1, hoist = 1 }\n'
        'wheel_load = { crane = "0 kN", hoist = "75 kN" }\n'
    )
    runway = (
        '[[joint.runway]]\nname = "web"\ncranes = ["casting crane"]\ncategory = 112\nstress_cycles = 1\n'
        'stress = { normal = "1 MPa/kN" }\nbeside = "toe"\nrecords = "this crane"\n'
    )
    path = write(tmp_path, load, GIRDER, row, crane)
    path.write_text(path.read_text(encoding="utf-8").replace("= 71", "= 112") + runway, encoding="utf-8")
    contract = assess_file(path)
    (place,) = contract["joints"][0]["runway"]
    assert contract["joints"][0]["details"][0]["damage"] == pytest.approx((75 * 1.35 / 112) ** 3, rel=1e-6)
    assert place["damage"] == pytest.approx((75 * 1.35 / 112) ** 3, rel=1e-6)
    assert place["beside"]["damage_counted"] == pytest.approx(place["damage"], rel=1e-6)
