import re
import runpy
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from cli.plots import damage_plot, history_plot, joint_sketch, spectrum_plot

sample = runpy.run_path(str(Path(__file__).with_name("sample_contract.py")))
SVG = "{http://www.w3.org/2000/svg}"


def texts(svg):
    return ["".join(element.itertext()).strip() for element in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def test_sketch_numbers_every_bolt_and_names_the_aligned_point():
    found = texts(joint_sketch(sample["joint"](), key="a"))
    assert {"1", "2", "3", "4", "5", "6"} <= set(found)
    assert "aligned point, tolerance 1 mm" in found


def test_sketch_is_to_scale():
    joint = sample["joint"]()
    circles = []
    for group in ElementTree.fromstring(joint_sketch(joint, key="a")).iter(f"{SVG}path"):
        numbers = [float(text) for text in re.findall(r"-?\d+\.?\d*", group.get("d"))]
        if "fill: #c8c8c8" in group.get("style", ""):
            circles.append((min(numbers[::2]), max(numbers[::2]), min(numbers[1::2]), max(numbers[1::2])))
    diameter = circles[0][1] - circles[0][0]
    assert diameter == pytest.approx(circles[0][3] - circles[0][2], rel=0.02)
    # bolts 1 and 2 lie 130 mm apart along x, bolts 1 and 3 lie 90 mm apart along y; the bolt is 20 mm thick
    assert circles[1][0] - circles[0][0] == pytest.approx(diameter * 130 / 20, rel=0.02)
    assert circles[0][2] - circles[2][2] == pytest.approx(diameter * 90 / 20, rel=0.02)


def test_sketch_of_a_single_bolt_without_force_is_drawn():
    joint = sample["joint"]()
    bolt = {"number": 1, "x_mm": 0.0, "y_mm": 0.0, "shear_x_N": 0.0, "shear_y_N": 0.0, "tension_N": 0.0}
    joint["geometry"] |= {"bolts": [bolt], "plates": [], "alignment": None}
    assert "1" in texts(joint_sketch(joint, key="a"))


def test_history_shows_components_levels_and_the_slip_limit():
    found = texts(history_plot(sample["load"]("start and stop", 1.0), sample["joint"](), key="h"))
    assert {"Fy", "Mz", "service", "ultimate", "slip limit", "slips, ultimate", "time [s]"} <= set(found)


def test_levels_differ_by_line_style_and_not_by_colour_alone():
    svg = history_plot(sample["load"]("start and stop", 1.0), sample["joint"](), key="h")
    assert re.search(r'style="[^"]*stroke-dasharray: [\d.]+', svg)


def test_history_without_a_joint_shows_the_load_only():
    found = texts(history_plot(sample["load"]("start and stop", 1.0), None, key="h"))
    assert "Fy" in found
    assert "slip limit" not in found


def test_a_long_history_is_shown_in_hours():
    load = sample["load"]("start and stop", 1.0)
    load["trace"]["time_s"] = [120.0 * place for place in range(300)]
    assert "time [h]" in texts(history_plot(load, None, key="h"))


def test_spectrum_shows_curve_bands_and_shares():
    found = texts(spectrum_plot(sample["weld_toe"](), key="s"))
    assert {"design life curve", "cycles in the design life", "equivalent range", "share of damage [%]"} <= set(found)


def test_spectrum_without_damage_is_drawn_and_without_anything_left_out():
    detail = sample["plate_at_holes"]()
    assert "equivalent range" not in texts(spectrum_plot(detail, key="s"))
    assert spectrum_plot(detail | {"share_by_range": [], "curve": None}, key="s") == ""


def test_every_picture_carries_words_and_ids_of_its_own():
    joint = sample["joint"]()
    joint["name"] = '<script>"&'
    for key, svg in (
        ("a", joint_sketch(joint, key="a")),
        ("h", history_plot(sample["load"]("start and stop", 1.0), joint, key="h")),
        ("s", spectrum_plot(joint["details"][0], key="s")),
    ):
        root = ElementTree.fromstring(svg)
        ids = [element.get("id") for element in root.iter() if element.get("id")]
        assert len(ids) == len(set(ids))
        assert all(name.startswith(f"{key}-") for name in ids)
        referred = re.findall(r"url\(#([^)]+)\)", svg) + re.findall(r'href="#([^"]+)"', svg)
        assert set(referred) <= set(ids)
        assert referred
        assert root.get("role") == "img"
        assert set(root.get("aria-labelledby").split()) <= set(ids)
        assert root.find(f"{SVG}title").text
        assert root.find(f"{SVG}desc").text
        assert "<script" not in svg
    assert root.find(f"{SVG}metadata") is None


def test_a_picture_is_the_same_each_time():
    assert spectrum_plot(sample["weld_toe"](), key="s") == spectrum_plot(sample["weld_toe"](), key="s")


def test_damage_along_the_record_is_drawn_for_each_load():
    found = texts(damage_plot(sample["weld_toe"](), key="d"))
    assert {"loaded running", "start and stop", "damage in the design life [-]", "time [s]"} <= set(found)


def test_without_damage_along_a_record_nothing_is_drawn():
    assert damage_plot(sample["plate_at_holes"](), key="d") == ""
