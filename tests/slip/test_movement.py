"""Travel of a part in the clearance of its holes: closed forms, a brute-force search, properties, refusals."""

import math
import time
import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadhistories.figures import recomputed
from loadhistories.validation import InputError
from slip.movement import driven_travel, travel

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "movement.toml").read_text(encoding="utf-8"))["case"]
FOUR = [[-40.0, -60.0], [40.0, -60.0], [-40.0, 60.0], [40.0, 60.0]]
PAIR = [[0.0, -40.0], [0.0, 40.0]]
CROSSED = [[0.0, 6.0], [0.0, 0.0], [4.0, -3.0], [0.0, 0.0]]
GRID = [(x, y) for y in (-105.0, -35.0, 35.0, 105.0) for x in (-65.0, 65.0)]
EIGHT = np.array(GRID)


def at_bolts(positions, motion):
    """Displacement of each bolt by a motion at the origin."""
    x, y = np.asarray(positions, dtype=float).T
    return np.stack([motion[0] - motion[2] * y, motion[1] + motion[2] * x], axis=1)


def excess(positions, clearances, slots, motion):
    """By how much a motion leaves the tightest hole: distance to the slot's line less the clearance."""
    moved, half = at_bolts(positions, motion), np.hypot(*np.transpose(slots))
    axis = np.asarray(slots) / np.where(half > 0, half, 1.0)[:, None]
    along = np.clip(np.sum(moved * axis, axis=1), -half, half)
    return float(np.max(np.hypot(*(moved - along[:, None] * axis).T) - clearances))


def largest_by_linear_program(positions, clearances, slots, point, direction, sides):
    """Upper bound of the travel: every hole as a polygon of tangents, a slot's flanks among them."""
    from scipy.optimize import linprog

    rows, limits = [], []
    for (x, y), clearance, slot in zip(positions, np.broadcast_to(clearances, len(positions)), slots, strict=True):
        for angle in math.atan2(slot[1], slot[0]) + np.arange(sides) * 2 * math.pi / sides:
            a, b = math.cos(angle), math.sin(angle)
            rows.append([a, b, (b * x - a * y) / 100.0])
            limits.append(clearance + abs(a * slot[0] + b * slot[1]))
    goal = [-direction[0], -direction[1], -(direction[1] * point[0] - direction[0] * point[1]) / 100.0]
    return -linprog(goal, A_ub=rows, b_ub=limits, bounds=[(None, None)] * 3).fun


def farthest_by_search(positions, clearance, point):
    """Travel in any direction for round holes, by search over the rotation, refined round its best value."""
    arms = np.asarray(positions, dtype=float) - point
    high = 2 * clearance / max(np.hypot(*(first - second)) for first in arms for second in arms)
    low = -high
    for _ in range(4):
        tried = np.linspace(low, high, 301)
        swings = tried[:, None, None] * np.stack([arms[:, 1], -arms[:, 0]], axis=1)
        reached = [farthest_corner(swing, clearance) for swing in swings]
        best = int(np.argmax(reached))
        low, high = tried[max(best - 1, 0)], tried[min(best + 1, 300)]
    return reached[best]


def farthest_corner(centres, radius):
    """Distance to the farthest point that lies in all circles: on a circle straight ahead, or where two meet."""
    corners = [centre * (1 + radius / np.hypot(*centre)) for centre in centres if np.any(centre)]
    for i, first in enumerate(centres):
        for second in centres[:i]:
            span = np.hypot(*(second - first))
            if 0 < span <= 2 * radius:
                across = np.array([first[1] - second[1], second[0] - first[0]]) / span
                rise = math.sqrt(radius**2 - span**2 / 4) * across
                corners += [(first + second) / 2 + rise, (first + second) / 2 - rise]
    inside = [c for c in corners if np.all(np.hypot(*(centres - c).T) <= radius + 1e-9)]
    return max((float(np.hypot(*c)) for c in inside), default=0.0)


@st.composite
def joints(draw, slotted=True):
    """Positions on a raster, clearances and slots of two to eight bolts."""
    cells = draw(st.lists(st.tuples(st.integers(-4, 4), st.integers(-4, 4)), min_size=2, max_size=8, unique=True))
    count = len(cells)
    clearances = draw(st.lists(st.sampled_from([0.3, 1.0, 2.0, 3.0]), min_size=count, max_size=count))
    vector = st.sampled_from([(0.0, 0.0), (0.0, 6.0), (4.0, 3.0)] if slotted else [(0.0, 0.0)])
    slots = draw(st.lists(vector, min_size=count, max_size=count))
    return 45.0 * np.array(cells, dtype=float), np.array(clearances), np.array(slots)


points = st.tuples(st.floats(-600, 600), st.floats(-600, 600))
angles = st.floats(0.0, 2 * math.pi)


def test_two_bolts_rotate_by_the_closed_form():
    case = CASES["two-bolts"]
    given_, expected = case["inputs"], case["expected"]
    half = given_["spacing_mm"] / 2
    lever = given_["lever_mm"]
    load = [0.0, 0.0, 1.0]
    turned = driven_travel([[0, -half], [0, half]], given_["clearance_mm"], [lever, 0], load)
    assert 1e3 * turned.largest_rotation == pytest.approx(expected["rotation_mrad"], rel=case["tolerance"])
    assert turned.displacement == pytest.approx(expected["tip_mm_from_rotation"], rel=case["tolerance"])


def test_tip_of_two_bolts_gains_by_giving_up_a_little_rotation():
    # along y at (L, 0): u_y + theta L with u_y^2 + (theta s/2)^2 = c^2 gives c sqrt(1 + (2 L / s)^2)
    found = travel(PAIR, 2.0, [400.0, 0.0], [0.0, 1.0])
    assert found.displacement == pytest.approx(2.0 * math.sqrt(1 + 10.0**2), abs=1e-8)
    assert found.rotation == pytest.approx(0.05 * 10 / math.sqrt(101), rel=1e-5)


def test_extreme_travel_of_four_bolts_in_the_published_case():
    case = CASES["four-bolts"]
    given_ = case["inputs"]
    found = travel(given_["bolts_mm"], given_["clearance_mm"], given_["point_mm"])
    assert found.displacement == pytest.approx(case["expected"]["extreme_mm"], abs=case["tolerance_mm"])
    assert found.direction == pytest.approx((0.0, 1.0), abs=1e-6)


@pytest.mark.parametrize("point", [(400.0, 0.0), (55.0, 20.0), (-90.0, 200.0)])
def test_travel_in_any_direction_is_that_of_a_brute_force_search(point):
    # the search walks the rotations and for each takes the exact corners of what the holes leave
    assert travel(FOUR, 2.0, point).displacement == pytest.approx(farthest_by_search(FOUR, 2.0, point), abs=1e-6)


@pytest.mark.parametrize("angle", [0.0, 0.7, 1.5707, 2.9])
@pytest.mark.parametrize("slots", [np.zeros((4, 2)), np.array(CROSSED)], ids=["round", "slotted"])
def test_travel_along_a_direction_is_that_of_a_linear_program(slots, angle):
    clearances, point, along = [2.0, 1.0, 1.5, 3.0], (300.0, -120.0), (math.cos(angle), math.sin(angle))
    found = travel(FOUR, clearances, point, along, slots=slots).displacement
    bound = largest_by_linear_program(FOUR, clearances, slots, point, along, 720)
    assert bound * math.cos(math.pi / 720) - 1e-9 <= found <= bound + 1e-9


@settings(max_examples=25)
@given(joints(), points, angles)
def test_no_motion_leaves_a_hole(joint, point, angle):
    positions, clearances, slots = joint
    for found in (
        travel(positions, clearances, point, slots=slots),
        travel(positions, clearances, point, [math.cos(angle), math.sin(angle)], slots=slots),
        driven_travel(positions, clearances, point, [1.0, -2.0, 100.0], slots=slots),
    ):
        assert excess(positions, clearances, slots, found.motion) <= 1e-9


@settings(max_examples=25)
@given(joints(), points, angles)
def test_travel_in_any_direction_is_not_below_that_in_one(joint, point, angle):
    positions, clearances, slots = joint
    along = travel(positions, clearances, point, [math.cos(angle), math.sin(angle)], slots=slots)
    largest = travel(positions, clearances, point, slots=slots)
    assert largest.displacement >= along.displacement - 1e-6
    assert along.displacement >= along.translation - 1e-8
    again = travel(positions, clearances, point, largest.direction, slots=slots)
    assert again.displacement == pytest.approx(largest.displacement, abs=1e-6)


@settings(max_examples=25)
@given(joints(), points, st.floats(0.05, 20.0))
def test_travel_scales_with_the_clearances(joint, point, factor):
    positions, clearances, slots = joint
    once = travel(positions, clearances, point, slots=slots)
    scaled = travel(positions, factor * clearances, point, slots=factor * slots)
    assert scaled.displacement == pytest.approx(factor * once.displacement, abs=1e-6 * max(1.0, factor))
    assert scaled.largest_rotation == pytest.approx(factor * once.largest_rotation, rel=1e-6)


@settings(max_examples=25)
@given(joints(), points, angles, points)
def test_turning_and_shifting_everything_changes_no_travel(joint, point, angle, shift):
    positions, clearances, slots = joint
    turn = np.array([[math.cos(angle), -math.sin(angle)], [math.sin(angle), math.cos(angle)]])
    here = travel(positions, clearances, point, slots=slots)
    there = travel(positions @ turn.T + shift, clearances, turn @ point + shift, slots=slots @ turn.T)
    assert there.displacement == pytest.approx(here.displacement, abs=1e-6)
    assert there.largest_rotation == pytest.approx(here.largest_rotation, rel=1e-6)


@settings(max_examples=25)
@given(joints(), points, angles)
def test_the_opposite_direction_allows_as_much(joint, point, angle):
    positions, clearances, slots = joint
    way = np.array([math.cos(angle), math.sin(angle)])
    forward, back = (travel(positions, clearances, point, sign * way, slots=slots) for sign in (1, -1))
    assert back.displacement == pytest.approx(forward.displacement, abs=1e-8)


@settings(max_examples=25)
@given(joints(slotted=False), points)
def test_a_tighter_hole_never_lets_the_part_go_farther(joint, point):
    positions, clearances, slots = joint
    tighter = np.array(clearances)
    tighter[0] /= 2
    wide, tight = (travel(positions, sizes, point, slots=slots).displacement for sizes in (clearances, tighter))
    assert tight <= wide + 1e-6


def test_a_point_among_round_holes_moves_by_the_clearance_of_the_tightest():
    assert travel(FOUR, 2.0, [10.0, -30.0]).displacement == pytest.approx(2.0, abs=1e-12)
    # bolts 0 and 3 stand across; the point lies between them
    assert travel(FOUR, [0.5, 2.0, 2.0, 0.5], [0.0, 0.0]).displacement == pytest.approx(0.5, abs=1e-12)


def test_short_slots_all_along_y_let_the_middle_go_along_y():
    found = travel(EIGHT, 2.0, [0.0, 0.0], slots=np.tile([0.0, 4.0], (8, 1)))
    assert found.displacement == pytest.approx(6.0, abs=1e-12)
    assert abs(found.direction[1]) == 1.0
    assert found.rotation == 0.0


def test_a_fitted_bolt_is_the_pivot_of_the_part():
    # bolt at (0, -40) fitted, the other 80 mm away with 2 mm: 0.025 rad; the point stands 500 mm from the pivot
    found = travel(PAIR, [0.0, 2.0], [300.0, 360.0])
    assert found.rotation == pytest.approx(0.025)
    assert found.displacement == pytest.approx(0.025 * 500.0)
    assert found.translation == 0.0
    assert travel(PAIR, [0.0, 2.0], [300.0, -40.0], [0.0, -1.0]).displacement == pytest.approx(0.025 * 300.0)


def test_a_fitted_bolt_and_a_slot_that_points_past_it():
    # slot across the line of the bolts: half-length 3, clearance 1, so that bolt 2 swings 4 mm at 80 mm
    found = travel(PAIR, [0.0, 1.0], [0.0, 40.0], slots=[[0.0, 0.0], [3.0, 0.0]])
    assert found.displacement == pytest.approx(4.0)
    # slot along that line: only the clearance across it counts
    found = travel(PAIR, [0.0, 1.0], [0.0, 40.0], slots=[[0.0, 0.0], [0.0, 3.0]])
    assert found.displacement == pytest.approx(1.0)


def test_two_fitted_bolts_let_nothing_move():
    found = travel([*PAIR, [60.0, 0.0]], [0.0, 0.0, 2.0], [500.0, 0.0])
    assert (found.displacement, found.largest_rotation) == (0.0, 0.0)


def test_a_load_through_the_middle_pushes_the_part_straight():
    found = driven_travel(FOUR, 2.0, [400.0, 0.0], [3.0, 4.0, 0.0])
    assert found.motion == pytest.approx((1.2, 1.6, 0.0), abs=1e-7)
    assert found.play == pytest.approx(4.0, abs=1e-7)
    assert found.direction == pytest.approx((0.6, 0.8), abs=1e-6)


@settings(max_examples=25)
@given(joints(), points, st.tuples(st.floats(-1, 1), st.floats(-1, 1), st.floats(-300, 300)))
def test_a_load_drives_no_point_farther_than_its_extreme(joint, point, load):
    positions, clearances, slots = joint
    if max(map(abs, load)) < 1e-3:
        load = (1.0, 0.0, 0.0)
    driven = driven_travel(positions, clearances, point, load, slots=slots)
    assert driven.displacement <= travel(positions, clearances, point, slots=slots).displacement + 1e-6


def test_every_printed_formula_gives_its_number():
    for result in (travel(FOUR, 2.0, [400.0, 50.0]), driven_travel(EIGHT + 900.0, 1.0, [0, 0], [1, 2, 3])):
        found = recomputed(result)
        assert {figure.symbol for figure, _, _ in found} == {"d", "d_play"}
        for _, stored, computed in found:
            assert computed == pytest.approx(stored, rel=1e-12)


def test_forty_bolts_take_a_few_hundredths_of_a_second():
    turns = np.arange(40) * 2 * math.pi / 40
    ring = 300.0 * np.stack([np.cos(turns), np.sin(turns)], axis=1)
    spent = []
    for _ in range(3):
        start = time.process_time()
        found = travel(ring, 2.0, [1000.0, 300.0])
        spent.append(time.process_time() - start)
    assert found.displacement == pytest.approx(2.0 * math.hypot(1000, 300) / 300, rel=0.01)
    assert min(spent) < 0.5  # some twenty times what a free machine needs


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (([[5, 5]], 2.0, [0, 0]), r"does not stop the part from turning .* all 1 positions lie at 5, 5 mm"),
        (([[5, 5], [5, 5]], 2.0, [5, 5]), r"all 2 positions lie at 5, 5 mm; give two or more"),
        ((PAIR, [2.0, -1.0], [0, 0]), r"clearances\[1\] must be finite and not below 0 mm, got -1 mm"),
        ((PAIR, math.nan, [0, 0]), r"clearances\[0\] must be finite"),
        ((PAIR, [1.0, 1.0, 1.0], [0, 0]), r"one number or one per bolt \(2\), got shape \(3,\)"),
        (([[0, 0], [math.inf, 0]], 2.0, [0, 0]), r"positions\[1\] must be finite, got inf, 0 mm"),
        (([], 2.0, [0, 0]), r"positions must be pairs x, y of one bolt or more"),
        (([["a", 0]], 2.0, [0, 0]), r"positions must hold numbers only"),
        ((PAIR, 2.0, [0, math.nan]), r"point must be two finite numbers"),
        ((PAIR, 2.0, [0, 0], [0, 0]), r"direction must have a length above 0"),
    ],
)
def test_refused_numbers_are_named(arguments, message):
    with pytest.raises(InputError, match=message):
        travel(*arguments)


def test_refused_slots_and_loads_are_named():
    with pytest.raises(InputError, match=r"clearances\[1\] must be above 0 mm across a slotted hole"):
        travel(PAIR, [2.0, 0.0], [0, 0], slots=[[0, 0], [0, 5]])
    with pytest.raises(InputError, match=r"slots must be a vector per bolt, shape \(2, 2\), got shape \(2,\)"):
        travel(PAIR, 2.0, [0, 0], slots=[0, 5])
    with pytest.raises(InputError, match=r"load must be three finite numbers .* not all 0"):
        driven_travel(PAIR, 2.0, [0, 0], [0, 0, 0])


def test_all_refused_numbers_are_listed_at_once():
    with pytest.raises(InputError) as refusal:
        travel([[math.nan, 0], [0, 1]], [-1.0, -2.0], [0, 0])
    assert len(refusal.value.problems) == 3
