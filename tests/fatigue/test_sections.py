import math
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.lever import standing_at
from fatigue.section_stress import AROUND, stress_of_shape
from fatigue.sections import box_section, i_section, rectangle_section, section, tube_section
from fatigue.stress import stress_of_section
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "stress_recipes.toml").read_text())["case"]
BEAM = {"shape": "I", "height": 200.0, "web_thickness": 10.0, "top_width": 100.0, "top_thickness": 10.0}
lengths = st.floats(5.0, 500.0)
numbers = st.floats(-1e5, 1e5)


@pytest.mark.parametrize("name", ["i_section", "tee"])
def test_plates_make_the_section_worked_by_hand(name):
    case = CASES[name]
    made = i_section(**case["inputs"])
    for key, value in case["expected"].items():
        assert getattr(made, key) == pytest.approx(value, rel=case["tolerance_rel"]), key


def test_box_less_its_hollow_and_full_bar_are_plane_figures():
    """200 x 100 outside, 180 x 90 inside: (100 x 200^3 - 90 x 180^3) / 12 and (200 x 100^3 - 180 x 90^3) / 12."""
    box = box_section(height=200.0, width=100.0, flange_thickness=10.0, web_thickness=5.0)
    assert (box.area, box.about_width) == (3800.0, pytest.approx(22_926_666.67, rel=1e-9))
    assert box.about_height == pytest.approx(5_731_666.667, rel=1e-9)
    bar = rectangle_section(height=120.0, width=10.0)
    assert (bar.area, bar.top_modulus, bar.side_modulus) == (1200.0, 24_000.0, 2000.0)


def test_tube_with_its_wall_to_the_middle_is_a_round_bar():
    bar = tube_section(diameter=40.0, wall=20.0)
    assert bar.area == pytest.approx(math.pi * 400)
    assert bar.modulus == pytest.approx(math.pi * 40**3 / 32)


@given(lengths, lengths, st.floats(0.01, 0.4), st.floats(0.01, 0.4))
def test_box_is_the_difference_of_two_bars(height, width, flange_part, web_part):
    t_f, t_w = flange_part * height, web_part * width
    box = box_section(height=height, width=width, flange_thickness=t_f, web_thickness=t_w)
    outer = rectangle_section(height=height, width=width)
    inner = rectangle_section(height=height - 2 * t_f, width=width - 2 * t_w)
    assert box.about_width == pytest.approx(outer.about_width - inner.about_width, rel=1e-9)
    assert box.area == pytest.approx(outer.area - inner.area, rel=1e-9)


def test_axial_force_and_both_moments_add_at_a_corner():
    """A 3800, I 22.93e6 and 1.682e6: 38 kN gives 10; My 2.2927 kNm at z 100 gives 10; Mz at y 50: minus."""
    corner = stress_of_shape("x", "z", "+y +z", **BEAM)
    assert corner.stress_of([38_000, 0, 0, 0, 2_292_666.667, 0]) == pytest.approx(20.0)
    assert corner.stress_of([0, 0, 0, 0, 0, 336_333.333]) == pytest.approx(-10.0)
    assert (corner.stress, corner.coefficients.shape) == ("normal", (6,))


def test_fibre_in_the_middle_of_a_face_feels_no_moment_about_the_height():
    face = stress_of_shape("x", "z", "-z", **BEAM)
    assert face.coefficients[5] == 0.0
    assert face.coefficients[4] == pytest.approx(-100 / 22_926_666.667)


def test_section_given_by_sizes_agrees_with_the_same_section_given_by_its_values():
    by_size = stress_of_shape("y", "z", "+z -x", **BEAM)
    by_value = stress_of_section(
        "y", area=3800.0, second_moments={"x": 22_926_666.667, "z": 1_681_666.667}, point={"x": -50.0, "z": 100.0}
    )
    assert by_size.coefficients == pytest.approx(by_value.coefficients, rel=1e-9)


@given(st.tuples(*[numbers] * 3))
def test_all_corners_hold_the_largest_stress_of_the_section(loads):
    force, first, second = loads
    corners = stress_of_shape("x", "z", "corners", **BEAM).stress_of([force, 0, 0, 0, first, second])
    exact = abs(force) / 3800 + abs(first) / 229_266.6667 + abs(second) / (1_681_666.667 / 50)
    assert np.abs(corners).max() == pytest.approx(exact, rel=1e-8, abs=1e-12)


@given(st.floats(0.0, 2 * math.pi))
def test_places_around_a_tube_bound_its_bending_stress_from_above_by_two_per_cent(angle):
    tube = stress_of_shape("x", "z", "around", shape="tube", diameter=100.0, wall=5.0)
    found = tube.stress_of([0, 0, 0, 0, 1e6 * math.cos(angle), 1e6 * math.sin(angle)]).max()
    exact = 1e6 / 33_762.3035
    assert tube.histories.shape == (AROUND, 6)
    assert exact * (1 - 1e-6) <= found <= exact * 1.0197


def test_force_that_acts_away_from_the_section_bends_it():
    """A bracket root 400 mm behind the origin: 1 kN upwards turns about it by -0.4 kNm about x, pulls below."""
    root = standing_at(stress_of_shape("z", "y", "-y", **BEAM), (0.0, 0.0, -400.0))
    assert root.stress_of([0, 1000, 0, 0, 0, 0]) == pytest.approx(400e3 / 229_266.6667)
    assert root.stress_of([0, 0, 38_000, 0, 0, 0]) == pytest.approx(10.0)
    assert "centroid at (0, 0, -400) mm" in root.text


@given(st.tuples(*[st.floats(-500, 500)] * 3), st.tuples(*[numbers] * 6))
def test_moved_section_feels_the_moments_of_statics(point, loads):
    here = stress_of_shape("x", "z", "corners", **BEAM)
    there = standing_at(here, point)
    force, moment = np.array(loads[:3]), np.array(loads[3:])
    at_section = [*force, *(moment - np.cross(point, force))]
    assert there.stress_of(loads) == pytest.approx(here.stress_of(at_section), rel=1e-9, abs=1e-9 * 1e5)


def test_fibre_at_the_origin_of_a_moved_section_keeps_the_stress_of_its_own_loads():
    here = stress_of_shape("x", "z", "+z", **BEAM)
    assert standing_at(here, (0, 0, 0)).coefficients == pytest.approx(here.coefficients)


@pytest.mark.parametrize(
    ("make", "wording"),
    [
        (lambda: section("H"), "shape 'H' is unknown; known: I, box, rectangle, tube"),
        (lambda: i_section(**{k: v for k, v in BEAM.items() if k != "shape"} | {"height": 20.0}), "leave no web"),
        (lambda: i_section(**{k: v for k, v in BEAM.items() if k != "shape"} | {"web_thickness": 120.0}),
         "web_thickness 120 mm is more than the width of a flange, 100 mm"),
        (lambda: i_section(**{k: v for k, v in BEAM.items() if k != "shape"}, bottom_width=80.0),
         "width and thickness of the lower flange, or neither"),
        (lambda: box_section(height=20.0, width=20.0, flange_thickness=10.0, web_thickness=2.0), "leave no hollow"),
        (lambda: rectangle_section(height=-1.0, width=20.0), "height must be above 0 mm, got -1"),
        (lambda: tube_section(diameter=20.0, wall=11.0), "wall must not be above half the diameter, 10 mm, got 11"),
        (lambda: stress_of_shape("x", "x", "+x", **BEAM), "up 'x' is unknown; .*known: y, z"),
        (lambda: stress_of_shape("x", "z", "+y", **BEAM), r"fibre '\+y' is unknown in the I section; known: \+z, -z"),
        (lambda: stress_of_shape("x", "z", "corners", shape="tube", diameter=20.0, wall=2.0),
         "fibre 'corners' is unknown in the tube section; known: .*around"),
        (lambda: standing_at(stress_of_shape("x", "z", "+z", **BEAM), (0, math.nan, 0)), "coordinate y must be finite"),
    ],
)  # fmt: skip
def test_refused_section_says_what_would_do(make, wording):
    with pytest.raises(InputError, match=wording):
        make()
