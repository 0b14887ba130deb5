"""Places that may crack in the drawing of a joint, and the map of ranges and means: told in words as well."""

import runpy
import tomllib
import xml.etree.ElementTree as ElementTree
from importlib.resources import files
from pathlib import Path

import pytest

from cli import plots
from cli.job import read_job
from cli.notes.markdown import markdown_text
from cli.notes.whole import note_of
from loadhistories.validation import InputError

sample = runpy.run_path(str(Path(__file__).with_name("sample_contract.py")))
JOB = Path(str(files("loadhistories.samples").joinpath("drive_bracket.toml")))


def joint():
    made = sample["joint"]()
    made["details"][0]["site"] = {"x_mm": 30.0, "y_mm": 100.0}
    return made


def cells(*shares):
    return [
        {"range_from_MPa": 10.0 * k, "range_to_MPa": 10.0 * (k + 1), "mean_from_MPa": -5.0, "mean_to_MPa": 5.0,
         "cycles": 10.0 ** (k + 2), "share": share}
        for k, share in enumerate(shares)
    ]  # fmt: skip


def test_a_stated_place_has_a_letter_in_the_drawing_and_in_its_words():
    svg = plots.joint_sketch(joint(), key="a")
    texts = ["".join(element.itertext()).strip() for element in ElementTree.fromstring(svg).iter()]
    assert "A" in texts
    assert "places that may crack: A bracket web to end plate, weld toe" in plots.words_of(svg)
    assert "places that may crack" not in plots.words_of(plots.joint_sketch(sample["joint"](), key="a"))


def test_the_note_lists_the_letters_and_the_details_without_a_place():
    contract = sample["contract"]() | {"joints": [joint()]}
    text = markdown_text(note_of(contract))
    assert "| A | bracket web to end plate, weld toe | 30 mm | 100 mm |" in text
    assert "Without a stated place: end plate at the bolt holes." in text


def test_the_map_says_where_the_damage_lies():
    detail = {"name": "toe", "range_mean": cells(0.0, 0.2, 0.8)}
    words = plots.words_of(plots.range_mean_plot(detail, key="a"))
    assert "the largest share of the damage, 80 %, lies at ranges of 20 to 30 MPa and means of -5 to 5 MPa" in words
    assert "none does damage" in plots.words_of(
        plots.range_mean_plot({"name": "toe", "range_mean": cells(0.0)}, key="a")
    )
    assert plots.range_mean_plot({"name": "toe", "range_mean": []}, key="a") == ""


def test_the_place_of_a_detail_is_read_in_joint_axes_and_refused_if_it_is_none(tmp_path):
    places = [detail.site for detail in read_job(JOB).joints[0].details]
    stated = [detail["site"] for detail in tomllib.loads(JOB.read_text(encoding="utf-8"))["joint"][0]["detail"]]
    assert places == [tuple(float(length.removesuffix(" mm")) for length in pair) for pair in stated]
    for name in ("drive_bracket_running.csv", "drive_bracket_start_stop.csv"):
        (tmp_path / name).write_bytes(JOB.with_name(name).read_bytes())
    other = tmp_path / "job.toml"
    other.write_text(JOB.read_text(encoding="utf-8").replace('["0 mm", "115 mm"]', '["0 mm"]'), encoding="utf-8")
    with pytest.raises(InputError, match=r"a point must be two lengths.*joint\[1\]\.detail\[1\]\.site"):
        read_job(other)
