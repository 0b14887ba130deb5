"""A whole job through all rooms: what changes nothing, and what the contract promises."""

import json
from importlib.resources import files

import pytest

from cli.assess import assess_file
from cli.note import note_html
from loadhistories.validation import InputError

RECORD = files("loadhistories.samples").joinpath("drive_bracket_start_stop.csv").read_text(encoding="utf-8")
ROWS = [line.split(",") for line in RECORD.splitlines()[4:]]


def job_text(*, force="kN", length="mm", scale=1.0, tension=True):
    def of(value):
        return f"{value / (1000 if length == 'm' else 1):.12g} {length}"

    def stress(value):
        return f"{value if force == 'kN' else value / 1000:.12g} MPa/{force}"

    pull = f'Fz = {{ column = "Belt pull", unit = "{force}" }}' if tension else ""
    return f"""
title = "units"
standard = "EN 1993"
design_life = "25 year"
[[load]]
name = "start and stop"
history = "record.csv"
occurs = "40/day"
[load.components]
Fy = {{ column = "Vertical", unit = "{force}" }}
Mz = {{ column = "Vertical", unit = "{force}", factor = "{of(320)}" }}
{pull}
[[joint]]
name = "plate"
slip = "never"
permanent = {{ Fy = "{-14 if force == "kN" else -14000} {force}" }}
[joint.bolts]
size = "M20"
grade = "10.9"
preload = "full"
rows = 3
columns = 2
pitch = "{of(90)}"
gauge = "{of(130)}"
holes = "normal"
surface = "B"
planes = 1
[[joint.plates]]
name = "plate"
thickness = "{of(20)}"
steel = "S355"
end_distance = "{of(45)}"
edge_distance = "{of(40)}"
[[joint.detail]]
name = "toe"
category = "8.5-1-71"
stress = {{ Fy = "{stress(0.35 * scale)}" }}
"""


def assessed(tmp_path, name, text, rows):
    folder = tmp_path / name
    folder.mkdir()
    (folder / "job.toml").write_text(text, encoding="utf-8")
    lines = ["Time [s],Vertical,Belt pull", *(",".join(row) for row in rows)]
    (folder / "record.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    return assess_file(folder / "job.toml")


def numbers(contract):
    (joint,) = contract["joints"]
    found = {check["id"]: check["utilisation"] for check in joint["checks"]}
    found |= {item["name"]: item["damage"] for item in joint["details"]}
    found |= {f"{item['kind']}": item["utilisation"] for item in joint["alternatives"]}
    found |= {level["level"]: level["joint_utilisation"] for level in joint["slip"]["levels"]}
    return found


def test_the_unit_of_record_and_job_changes_no_result(tmp_path):
    one = numbers(assessed(tmp_path, "kN", job_text(), ROWS))
    newtons = [[time, f"{float(a) * 1000:.1f}", f"{float(b) * 1000:.1f}"] for time, a, b in ROWS]
    other = numbers(assessed(tmp_path, "N", job_text(force="N", length="m"), newtons))
    assert set(one) == set(other)
    for key, value in one.items():
        assert other[key] == pytest.approx(value, rel=1e-9), key


def test_the_contract_is_json_without_nan_and_the_same_at_every_run(tmp_path):
    first = assessed(tmp_path, "a", job_text(), ROWS)
    text = json.dumps(first, allow_nan=False, sort_keys=True)
    again = json.dumps(assess_file(tmp_path / "a" / "job.toml"), allow_nan=False, sort_keys=True)
    assert text == again
    assert note_html(first) == note_html(json.loads(text))


def test_the_promised_keys_are_there(tmp_path):
    contract = assessed(tmp_path, "a", job_text(), ROWS)
    assert {"griplife", "standard", "inputs", "state", "joints"} <= set(contract)
    (joint,) = contract["joints"]
    assert {"name", "state", "checks", "slip", "movement", "details", "warnings", "alternatives"} <= set(joint)
    of_check = {"id", "title", "state", "demand", "resistance", "unit", "utilisation", "clause", "figures"}
    assert all(of_check <= set(check) for check in joint["checks"])
    assert {"events", "first_bolt_utilisation", "joint_utilisation", "preload_at_slip_share"} <= set(joint["slip"])
    assert {"travel_mm", "rotation_mrad", "at_point_mm", "tolerance_mm"} <= set(joint["movement"])
    (detail,) = joint["details"]
    wanted = {"name", "category", "state", "cycles_per_life", "largest_range_MPa", "equivalent_range_MPa", "damage"}
    assert wanted | {"life_years", "share_by_range"} <= set(detail)
    assert {item["what"]: len(item["sha256"]) for item in contract["inputs"]} == {"job": 64, "history": 64}


def test_twice_the_occurrence_is_twice_the_damage_and_the_same_slip(tmp_path):
    once = assessed(tmp_path, "a", job_text(), ROWS)
    text = job_text().replace("40/day", "80/day")
    twice = assessed(tmp_path, "b", text, ROWS)
    first, second = (item["joints"][0]["details"][0]["damage"] for item in (once, twice))
    assert second == pytest.approx(2 * first, rel=1e-3)
    assert once["joints"][0]["slip"]["events"] == twice["joints"][0]["slip"]["events"]


def test_the_same_block_under_two_names_adds_its_damage(tmp_path):
    text = job_text()
    block = text[text.index("[[load]]") : text.index("[[joint]]")]
    double = text.replace(block, block + block.replace("start and stop", "a second shift"))
    one = assessed(tmp_path, "a", text, ROWS)["joints"][0]["details"][0]
    two = assessed(tmp_path, "b", double, ROWS)["joints"][0]["details"][0]
    assert two["damage"] == pytest.approx(2 * one["damage"], rel=1e-12)
    assert [part["load"] for part in two["by_load"]] == ["start and stop", "a second shift"]


def test_a_detail_that_relies_on_grip_is_not_judged_when_the_joint_slips_in_service(tmp_path):
    text = job_text().replace("8.5-1-71", "8.1-10").replace('"-14 kN"', '"-400 kN"')
    (joint,) = assessed(tmp_path, "a", text, ROWS)["joints"]
    (detail,) = joint["details"]
    assert (detail["state"], detail["damage"]) == ("not judged", None)
    assert "gross-section-lost" in {warning["code"] for warning in joint["warnings"]}
    assert joint["state"] == "fails"


def test_a_load_that_no_bolt_group_can_carry_is_refused_with_the_joint(tmp_path):
    text = job_text().replace("columns = 2", "columns = 1").replace('column = "Belt pull", unit = "kN" }', (
        'column = "Belt pull", unit = "kN" }\nMy = { column = "Belt pull", unit = "kN", factor = "50 mm" }'
    ))  # fmt: skip
    with pytest.raises(InputError, match=r"bolts on one line cannot resist a moment.*\(plate\)"):
        assessed(tmp_path, "a", text, ROWS)
