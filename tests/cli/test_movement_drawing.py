"""The picture of the movement: before and after, to scale and magnified, path of the point, words for the blind."""

import re
import runpy
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from cli.movement_drawing import driven_way
from cli.plots import movement_plot

sample = runpy.run_path(str(Path(__file__).with_name("sample_contract.py")))
SVG = "{http://www.w3.org/2000/svg}"


def motion(x, y, turn, point):
    return {
        "x_mm": x, "y_mm": y, "rotation_mrad": turn,
        "point_x_mm": x - turn / 1e3 * point[1], "point_y_mm": y + turn / 1e3 * point[0],
    }  # fmt: skip


def joint(*, back=True, levels=("service", "ultimate")):
    """The sample joint, driven by a turn about its middle."""
    one = sample["joint"]()
    point = (0.0, 420.0)
    ways = [
        {
            "level": level, "load": "start and stop", "time_s": 9.0, "forward_mm": 7.56, "worst_start_mm": 15.1,
            "back_mm": 7.56 if back else None, "between_mm": 15.1, "text": "",
            "forward": motion(0.0, 0.0, -18.0, point), "back": motion(0.0, 0.0, 18.0, point) if back else None,
        }
        for level in levels
    ]  # fmt: skip
    one["movement"] |= {
        "point": {"x_mm": 0.0, "y_mm": 420.0, "aligned": True}, "driven": ways, "play_mm": 2.0, "slot_play_mm": None,
    }  # fmt: skip
    return one


def texts(svg):
    return ["".join(element.itertext()).strip() for element in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def dashes(svg):
    return set(re.findall(r"stroke-dasharray: ([\d., ]+)", svg))


def test_before_and_after_stand_to_scale_and_magnified():
    found = texts(movement_plot(joint(), key="m"))
    assert {"to scale", "motion 10 times", "before", "driven forward", "pushed back", "play of each bolt"} <= set(found)


def test_positions_are_told_apart_by_line_style_and_not_by_colour_alone():
    assert len(dashes(movement_plot(joint(), key="m"))) >= 2


def test_a_part_that_nothing_pushes_back_is_drawn_once():
    svg = movement_plot(joint(back=False), key="m")
    assert "pushed back" not in texts(svg) and "nothing pushes it back" in svg


def test_the_words_say_how_far_the_point_goes():
    description = ElementTree.fromstring(movement_plot(joint(), key="m")).find(f"{SVG}desc").text
    assert "aligned point moves 7.56 mm forward and 7.56 mm back" in description


def test_the_level_that_is_asked_for_is_drawn():
    assert driven_way(joint())["level"] == joint()["slip"]["level"]
    assert driven_way(joint(levels=("ultimate",)))["level"] == "ultimate"


def test_without_motion_there_is_no_picture():
    assert movement_plot(sample["joint"](), key="m") == ""


def test_the_magnified_circles_of_play_never_overlap():
    """Bolts 20 mm apart with 2 mm of play: at most 0.4 * 20 / 2 = 4, the next round step below is 2."""
    close = joint()
    for number, bolt in enumerate(close["geometry"]["bolts"]):
        bolt |= {"x_mm": 20.0 * (number % 2), "y_mm": 20.0 * (number // 2)}
    assert "motion 2 times" in texts(movement_plot(close, key="m"))


def test_slots_are_drawn_out_along_their_axis():
    def widest(axis):
        slotted = joint()
        slotted["geometry"] |= {"slot_mm": 42.0, "slot_axis": axis}
        slotted["movement"]["slot_play_mm"] = 10.0
        root = ElementTree.fromstring(movement_plot(slotted, key="m"))
        sizes = []
        for path in root.iter(f"{SVG}path"):
            numbers = [float(text) for text in re.findall(r"-?\d+\.?\d*", path.get("d"))]
            if path.get("d").count("L") > 40 and "stroke: #000000" in path.get("style", ""):
                sizes.append((max(numbers[::2]) - min(numbers[::2]), max(numbers[1::2]) - min(numbers[1::2])))
        return sizes[0]

    along_x, along_y = widest("x"), widest("y")
    assert along_x[0] / along_x[1] == pytest.approx(42 / 22, rel=0.03)
    assert along_y[1] / along_y[0] == pytest.approx(42 / 22, rel=0.03)
