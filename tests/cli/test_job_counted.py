"""Counted cycles and lists of events through the whole job."""

import json

import numpy as np
import pytest

from cli.assess import assess_file
from cli.job import read_job
from cli.note import note_html
from cli.screen import summary
from cli.verifying import verify_job
from fatigue import count_cycles
from fatigue.curves import life_curve
from loadhistories import InputError

HEAD = """title = "runway bracket"
standard = "EN 1993"
design_life = "25 year"
fatigue = { concept = "damage tolerant", consequence = "low" }
[[load]]
name = "crane"
"""
JOINT = """
[[joint]]
name = "bracket"
slip = "never"
factors = { permanent = 1.35, variable = 1.5 }
[joint.bolts]
size = "M20"
grade = "10.9"
preload = "full"
rows = 2
columns = 2
pitch = "90 mm"
gauge = "130 mm"
holes = "normal"
surface = "B"
planes = 1
[[joint.plates]]
name = "plate"
thickness = "20 mm"
steel = "S355"
end_distance = "45 mm"
edge_distance = "40 mm"
[[joint.detail]]
name = "weld toe"
category = "71"
stress = { Fy = "1.0 MPa/kN" }
"""
COMPONENTS = """[load.components]
Fy = { column = "Load" }
"""
COUNTED = """occurs = "1/week"
[load.counted]
file = "table.csv"
covers = "7 day"
"""
SECOND = """[[load]]
name = "start"
history = "record.csv"
occurs = "1/week"
[load.components]
Fy = { column = "Load" }
"""
WEEKS = 25 * 365.25 / 7
# The same cycles in every form: 1000 from 0 to 60 kN, 20 from -30 to 90 kN.
TABLES = {
    "ranges": ("Range [kN];Count\n60;1000\n", 'kind = "ranges"\nrange = "Range"\ncount = "Count"\nlowest = "0 kN"\n'),
    "range and mean": ("Range (kN),Mean (kN),N\n60,30,1000\n120,30,20\n",
                       'kind = "range and mean"\nrange = "Range"\nmean = "Mean"\ncount = "N"\n'),
    "from-to": ("From\tTo\tN\n0\t60\t700\n60\t0\t300\n90\t-30\t20\n",
                'kind = "from-to"\nfrom = "From"\nto = "To"\ncount = "N"\nentries = "cycles"\nunit = "kN"\n'),
    "from-to, halves": ("From,To,N\n0,60,1000\n60,0,1000\n90,-30,20\n-30,90,20\n",
                        'kind = "from-to"\nfrom = "From"\nto = "To"\ncount = "N"\nentries = "half cycles"\n'
                        'unit = "kN"\n'),
    "from-to matrix": ("from [kN];-30;0;60;90\n-30;0;0;0;20\n0;0;0;1000;0\n60;0;0;0;0\n90;0;0;0;0\n",
                       'kind = "from-to matrix"\nfrom = "from"\nentries = "cycles"\n'),
    "level crossings": ("Level;Up\n-30;0\n-1;20\n1;1020\n59;1020\n61;20\n89;20\n90;0\n",
                        'kind = "level crossings"\nlevel = "Level"\ncount = "Up"\ncrossings = "upwards"\n'
                        'unit = "kN"\n'),
}  # fmt: skip


@pytest.fixture
def assessed(tmp_path):
    def run(load, table="", joint=JOINT, **files):
        (tmp_path / "table.csv").write_text(table, encoding="utf-8")
        for name, content in files.items():
            (tmp_path / f"{name}.csv").write_text(content, encoding="utf-8")
        (tmp_path / "job.toml").write_text(HEAD + load + COMPONENTS + joint, encoding="utf-8")
        return assess_file(tmp_path / "job.toml")

    return run


def detail_of(contract):
    return contract["joints"][0]["details"][0]


def damage(ranges, counts):
    return life_curve("EN 1993", "71").damage(np.array(ranges, dtype=float), np.array(counts, dtype=float)) * WEEKS


@pytest.mark.parametrize("kind", [name for name in TABLES if name not in ("ranges", "level crossings")])
def test_the_same_cycles_in_every_form_do_the_same_damage(assessed, kind):
    table, keys = TABLES[kind]
    contract = assessed(COUNTED + keys, table)
    detail = detail_of(contract)
    assert detail["damage"] == pytest.approx(damage([60, 120], [1000, 20]), rel=1e-12)
    assert detail["cycles_per_life"] == pytest.approx(1020 * WEEKS)
    assert contract["loads"][0]["extremes"]["Fy"] == {"low": -30.0, "high": 90.0, "unit": "kN"}


def test_ranges_from_a_stated_lowest_load(assessed):
    table, keys = TABLES["ranges"]
    contract = assessed(COUNTED + keys, table)
    assert detail_of(contract)["damage"] == pytest.approx(damage([60], [1000]), rel=1e-12)
    assert contract["loads"][0]["extremes"]["Fy"] == {"low": 0.0, "high": 60.0, "unit": "kN"}


def test_level_crossings_count_with_the_next_level_outwards(assessed):
    table, keys = TABLES["level crossings"]
    # By hand: 20 from -30 to 90; the 1000 left between 1 and 59 reach from -1 to 61.
    contract = assessed(COUNTED + keys, table)
    assert detail_of(contract)["damage"] == pytest.approx(damage([120, 62], [20, 1000]), rel=1e-12)
    assert any("the largest cycle that the crossings allow" in text for text in contract["assumptions"])


def test_a_counted_record_and_the_record_itself_do_the_same_damage(assessed):
    values = np.array([90, -30, 40, 10, 60, 0, 75, 20, 25, -5, 90.0])
    record = "Time [s],Load [kN]\n" + "".join(f"{i},{v}\n" for i, v in enumerate(values))
    recorded = assessed('occurs = "1/week"\nhistory = "record.csv"\n', record=record)
    counted = count_cycles(values)
    rows = "".join(f"{r},{m},{n}\n" for r, m, n in zip(counted.ranges, counted.means, counted.counts, strict=True))
    keys = TABLES["range and mean"][1]
    given = assessed(COUNTED + keys, "Range [kN],Mean [kN],N\n" + rows)
    assert detail_of(given)["damage"] == pytest.approx(detail_of(recorded)["damage"], rel=1e-12)
    assert given["loads"][0]["extremes"] == recorded["loads"][0]["extremes"]
    levels = [joint["joints"][0]["slip"]["levels"] for joint in (given, recorded)]
    for mine, theirs in zip(*levels, strict=True):
        assert mine["utilisation"] == theirs["utilisation"]


def test_number_and_times_of_slips_are_not_known_and_never_zero(assessed):
    table, keys = TABLES["range and mean"]
    contract = assessed(COUNTED + keys, table.replace("120,30,20", "1200,300,20"))
    service, ultimate = contract["joints"][0]["slip"]["levels"]
    for level in (service, ultimate):
        assert level["utilisation"] > 1.0
        assert level["uncounted"] == ["crane"]
        for key in ("events", "events_in_life", "share_of_time", "longest_s", "times_without_margin", "time_s"):
            assert level[key] is None, key
        assert level["by_load"][0]["events"] is None
        assert level["event_list"] == level["traces"] == []
        assert level["kind"] == "two-way"
    text = summary(contract, colour=False)
    assert "slips under crane, two way; of counted cycles it is not known" in " ".join(text.split())
    note = note_html(contract)
    assert "not known how often: crane is given as counted cycles without times" in note
    assert contract["loads"][0]["trace"] is None
    assert json.loads(json.dumps(contract, allow_nan=False))
    assert "how often is not known" in " ".join(item["text"] for item in contract["joints"][0]["warnings"])


def test_a_joint_that_grips_under_counted_cycles_does_not_slip(assessed):
    table, keys = TABLES["range and mean"]
    service = assessed(COUNTED + keys, table)["joints"][0]["slip"]["levels"][0]
    assert (service["events"], service["uncounted"], service["events_in_life"]) == (0, [], 0)


def test_counted_cycles_beside_a_record_add_their_damage(assessed, tmp_path):
    table, keys = TABLES["range and mean"]
    record = "Time [s],Load [kN]\n0,0\n1,50\n2,0\n3,0\n"
    both = assessed(COUNTED + keys, table, joint=SECOND + JOINT, record=record)
    (first, other) = detail_of(both)["by_load"]
    assert first["damage"] == pytest.approx(damage([60, 120], [1000, 20]), rel=1e-12)
    assert other["damage"] == pytest.approx(damage([50], [1]), rel=1e-12)
    assert "found the same" in verify_job(read_job(tmp_path / "job.toml"))


def test_a_weld_is_proposed_for_the_counted_number_of_cycles(assessed):
    keys = TABLES["range and mean"][1]
    few = assessed(COUNTED + keys, "Range (kN),Mean (kN),N\n500,250,1\n")
    many = assessed(COUNTED + keys, "Range (kN),Mean (kN),N\n500,250,5000\n")

    def weld(contract):
        return next(item for item in contract["joints"][0]["alternatives"] if item["kind"] == "fillet weld")

    def fatigue(contract):
        return next(item["utilisation"] for item in weld(contract)["checks"] if "fatigue" in item["title"])

    assert weld(few)["title"] != weld(many)["title"] or fatigue(many) > 100 * fatigue(few)


def test_counted_cycles_are_not_joined_to_a_sequence(assessed):
    table, keys = TABLES["range and mean"]
    order = '[[sequence]]\nname = "both"\norder = ["crane", "start"]\noccurs = "1/year"\n'
    record = "Time [s],Load [kN]\n0,0\n1,50\n2,0\n3,0\n"
    with pytest.raises(InputError, match="'crane' is given as counted cycles, of which no order is known"):
        assessed(COUNTED + keys, table, joint=SECOND + order + JOINT, record=record)


@pytest.mark.parametrize(
    ("kind", "old", "new", "wording"),
    [
        ("ranges", 'lowest = "0 kN"\n', "", "ranges alone do not say between which loads the cycles lie"),
        ("ranges", "lowest", 'mean = "3 kN"\nlowest', "ranges alone do not say"),
        ("ranges", 'lowest = "0 kN"', 'lowest = "0 mm"', "lowest must be a force"),
        ("ranges", "covers", "cover", "covers is missing"),
        ("ranges", 'range = "Range"', 'range = "Rnage"', "column 'Rnage' is unknown; did you mean 'Range'"),
        ("ranges", "[kN]", "", "column 'Range' states no unit: give unit = \"kN\""),
        ("range and mean", "(kN)", "(mm)", "column 'Load' is a length and Fy is a force"),
        ("ranges", "60;1000", "60;1000\n60;many", "text 'many' where a number must stand"),
        ("ranges", "60;1000", "60;-5", "number of cycles must not be below 0, got -5 in entry 1"),
        ("ranges", "60;1000", "0;1000", "the table holds no cycle"),
        ("ranges", 'kind = "ranges"', 'kind = "rainflow"', "kind 'rainflow' is unknown; known: ranges, range and mean"),
        ("ranges", 'file = "table.csv"', 'file = "tabel.csv"', "there is no file .*did you mean 'table.csv'"),
        ("ranges", "covers", 'values = "middle"\ncovers', "class_width must be above 0"),
        ("ranges", 'occurs = "1/week"', 'occurs = "1/month"', "occurs '1/month' is unknown"),
        ("range and mean", "Mean (kN)", "Mean (mm)", "the columns are of different kinds: 'Range' in N, 'Mean' in mm"),
        ("from-to", 'entries = "cycles"\n', "", "entries is missing"),
        ("from-to", 'unit = "kN"', 'unit = "t"', "'t' is a mass and no force"),
        ("from-to matrix", "from [kN];-30", "from [kN];low", "column 'low' of the matrix must be named by the level"),
        ("level crossings", "\n90;0", "", "the highest level, 89000 in base units, is still crossed 20 times"),
        ("level crossings", 'crossings = "upwards"\n', "", "crossings is missing"),
        ("level crossings", "covers", 'lowest = "0 kN"\ncovers', "'lowest' is no key here"),
    ],
)
def test_a_table_that_leaves_something_open_is_refused(assessed, kind, old, new, wording):
    table, keys = TABLES[kind]
    load = (COUNTED + keys).replace(old, new)
    with pytest.raises(InputError, match=wording):
        assessed(load, table.replace(old, new))


def test_a_layout_that_is_of_a_record_is_refused(assessed):
    table, keys = TABLES["range and mean"]
    with pytest.raises(InputError, match="rate is of a record with times; counted cycles have none"):
        assessed(COUNTED + keys + '[load.file]\nrate = "10 Hz"\n', table)


LIFTS = "Start;Load;Duration\n01.03.2024 08:00:00;60;120\n01.03.2024 08:10:00;30;60\n01.03.2024 09:00:00;90;300\n"
EVENTS = """occurs = "24 h/day"
[load.events]
file = "table.csv"
time = "Start"
load = "Load"
duration = "Duration"
idle = "5 kN"
covers = "1 day"
step = "20 s"
[load.file]
date_format = "%d.%m.%Y %H:%M:%S"
units = { Load = "kN", Duration = "s" }
"""


def test_each_lift_is_a_cycle_and_its_duration_a_share_of_time(assessed):
    contract = assessed(EVENTS, LIFTS)
    days = 25 * 365.25
    detail = detail_of(contract)
    curve = life_curve("EN 1993", "71")
    # From the idle load of 5 kN to 60, 30 and 90 kN, once a day.
    assert detail["damage"] == pytest.approx(curve.damage(np.array([55.0, 25.0, 85.0]), np.ones(3)) * days, rel=1e-3)
    assert detail["cycles_per_life"] == pytest.approx(3 * days)
    load = contract["loads"][0]
    assert load["span_s"] == 86_400.0
    assert load["extremes"]["Fy"] == {"low": 5.0, "high": 90.0, "unit": "kN"}
    trace = load["trace"]
    lifted = [time for time, high in zip(trace["time_s"], trace["components"]["Fy"]["high"], strict=True) if high > 80]
    assert min(lifted) == pytest.approx(3600.0, abs=120.0)


@pytest.mark.parametrize(
    ("old", "new", "wording"),
    [
        ("date_format", "#", "leaves open what is day and month: give date_format"),
        ('idle = "5 kN"\n', "", "idle is missing"),
        ('Duration = "s"', 'Duration = "kN"', "column 'Duration' must be a time"),
        ('Load = "kN", ', "", "column 'Load' states no unit"),
        ('time = "Start"', 'time = "Begin"', "time_column 'Begin' is unknown; known: Start, Load, Duration"),
        ('covers = "1 day"', 'covers = "10 min"', "covers 600 s ends before the last event"),
        ("08:10:00", "08:01:00", "event 2 begins 60 s before event 1 ends"),
        ("01.03.2024 09", "01.02.2024 09", "event 3 does not begin after event 2"),
        (";60;120", ";60;0", "duration of event 1 must be above 0 s"),
    ],
)
def test_a_list_of_events_that_leaves_something_open_is_refused(assessed, old, new, wording):
    with pytest.raises(InputError, match=wording):
        assessed(EVENTS.replace(old, new), LIFTS.replace(old, new))


def test_earlier_duty_may_be_given_as_counted_cycles(assessed):
    table, keys = TABLES["range and mean"]
    past = f'[[past]]\nname = "before"\nserved = "10 year"\n{COUNTED}{keys}{COMPONENTS}'.replace("[load.", "[past.")
    contract = assessed(COUNTED + keys, table, joint=past + JOINT)
    (before,) = detail_of(contract)["past"]["duty"]
    assert before["damage"] == pytest.approx(damage([60, 120], [1000, 20]) * 10 / 25, rel=1e-9)


def test_a_detail_that_the_counted_load_does_not_stress_has_no_damage(assessed):
    table, keys = TABLES["range and mean"]
    contract = assessed(COUNTED + keys, table, joint=JOINT.replace('Fy = "1.0 MPa/kN"', 'Fx = "1.0 MPa/kN"'))
    assert (detail_of(contract)["damage"], detail_of(contract)["state"]) == (0.0, "holds")
