"""Sections, block tearing and punching of the plates of a joint; prying, packing and fitted bolts, by the engine."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED, recomputed
from slip.advice import Findings, warnings
from slip.alignment import movement
from slip.assessment import assess
from slip.centre import friction_limit
from slip.fatigue_distances import fatigue_distance_checks
from slip.joint import Alignment, BoltedJoint, Grid, Plate, grid_positions


def plate_of(thickness=10.0, end=40.0, edge=50.0, **more):
    return Plate("plate", thickness, "S275", 275.0, 430.0, end, edge, **more)


def joint_of(grid=None, **changes):
    given = {
        "name": "joint", "standard": "EN 1993", "size": "M20", "grade": "8.8", "preload": 0.0, "holes": "normal",
        "slot_axis": "", "surface": "", "slip_factor": 0.0, "planes": 1, "threads_in_plane": True,
        "plates": (plate_of(),), "slip": "allowed", "because": "", "permanent": np.zeros(6), "grid": grid,
        "positions": grid_positions(grid) if grid else None,
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def gripping(**changes):
    given = {"grade": "10.9", "preload": 171_500.0, "slip_factor": 0.4, "surface": "B", "slip": "never"}
    return joint_of(Grid(3, 2, 90.0, 130.0), **{**given, **changes})


def block_of(**components):
    values = {key: np.asarray(value, dtype=float) for key, value in components.items()}
    return block_of_arrays("working", values, step=0.01, repeats=10.0)


def checks(joint, **loads):
    return {item.id: item for item in assess(joint, [block_of(**loads)]).checks}


def assert_formulas_hold(check):
    for result in check.working:
        for figure, stored, computed in recomputed(result):
            assert computed == pytest.approx(stored, rel=1e-9), figure.symbol


def test_steel_buildings_in_europe_block_tearing_of_a_fin_plate():
    """Multi-Storey Part 5, p. 5-43: 5 rows of 2, pitch 70, gauge 60, e_1 40, e_2 50, t 10, S275: 483 kN, eccentric."""
    found = checks(joint_of(Grid(5, 2, 70.0, 60.0)), Fy=[-200e3], Mz=[-200e3 * 80.0])["block-plate"]
    faces = found.working[1]
    assert (faces.net_tension_area, faces.net_shear_area) == (770.0, 2210.0)
    assert found.resistance / 1e3 == pytest.approx(483.0, abs=0.5)
    assert found.demand == pytest.approx(300e3)
    assert_formulas_hold(found)


def test_steel_buildings_in_europe_block_tearing_under_tying():
    """Multi-Storey Part 5, p. 5-48: A_nt 1920, A_nv 1540 mm2, 995 kN by a factor of 1.1 in both parts of ours."""
    joint = joint_of(Grid(5, 2, 70.0, 60.0), plates=(plate_of(end=50.0, edge=40.0),))
    found = checks(joint, Fx=[200e3])["block-plate"]
    faces = found.working[1]
    assert (faces.net_tension_area, faces.net_shear_area) == (1920.0, 1540.0)
    assert found.resistance / 1e3 == pytest.approx(430 * 1.92 / 1.25 + 275 * 1.54 / 3**0.5)
    assert pytest.approx(995, abs=0.5) == (430 * 1.92 / 1.1 + 275 * 1.54 / 3**0.5)


def test_steel_buildings_in_europe_block_tearing_of_a_column_splice():
    """Multi-Storey Part 5, p. 5-96: t 12, e_2 55, e_1 40, 2 rows at 160, S275: 1056 and 4008 mm2, 1000 kN."""
    joint = joint_of(Grid(2, 2, 160.0, 150.0), plates=(plate_of(12.0, 40.0, 55.0),))
    found = checks(joint, Fy=[-200e3])["block-plate"]
    faces = found.working[1]
    assert (faces.net_tension_area, faces.net_shear_area) == (1056.0, 4008.0)
    assert found.resistance / 1e3 == pytest.approx(1000, abs=0.5)


def test_one_line_of_bolts_tears_to_the_edge_with_uneven_tension():
    """Hand calculation: A_nt = 10 (50 - 11) = 390, A_nv = 10 (40 + 180 - 2.5 * 22) = 1650 mm2."""
    found = checks(joint_of(Grid(3, 1, 90.0, 0.0)), Fy=[-100e3])["block-plate"]
    assert found.resistance == pytest.approx(0.5 * 430 * 390 / 1.25 + 275 * 1650 / 3**0.5)


def test_block_tearing_of_staggered_bolts_is_not_judged():
    joint = joint_of(positions=np.array([[-30.0, -50.0], [30.0, 0.0], [-30.0, 50.0]]))
    found = checks(joint, Fy=[-100e3])["block-plate"]
    assert found.state == NOT_JUDGED and "full rows and columns" in found.reason


def test_steel_buildings_in_europe_net_section_of_category_c():
    """Single-Storey Part 5, p. 5-119: A_net 2194 mm2, S355 of 510 MPa: 778 kN; two holes of 26 mm in 15 mm."""
    width = 2194 / 15 + 52
    gusset = Plate("gusset", 15.0, "S355", 355.0, 510.0, 90.0, 60.0, width=width)
    given = {"size": "M24", "grade": "10.9", "preload": 247_100.0, "slip_factor": 0.5, "planes": 2}
    joint = joint_of(Grid(2, 2, 65.0, 65.0), **given, slip="never", plates=(gusset,))
    found = checks(joint, Fy=[-406.92e3 / 1.5])
    assert found["net-section-gusset"].resistance / 1e3 == pytest.approx(778.87, abs=0.005)
    assert found["net-section-gusset"].demand == pytest.approx(406.92e3)
    assert found["net-section-gusset"].clause == "EN 1993-1-8:2005, 3.4.1(1)c"
    allowed = checks(replace(joint, slip="allowed"), Fy=[-406.92e3 / 1.5])
    assert allowed["net-section-gusset"].resistance == pytest.approx(0.9 * 2194 * 510 / 1.25)
    assert allowed["gross-section-gusset"].resistance == pytest.approx(width * 15 * 355)


def test_bending_of_a_section_counts_beside_its_force():
    """Hand calculation: 300 kN along y, 20 kN across at the outer row 90 mm away and 6 kN m; b 210, t 10, gross."""
    plate = plate_of(width=210.0)
    loads = {"Fy": [-200e3], "Fx": [40e3 / 3], "Mz": [4e6]}
    found = checks(joint_of(Grid(3, 2, 90.0, 130.0), plates=(plate,)), **loads)["gross-section-plate"]
    bending = 6e6 + 20e3 * 90.0
    assert found.demand == pytest.approx(300e3 + bending * 6.0 / 210.0)
    assert_formulas_hold(found)
    net = checks(joint_of(Grid(3, 2, 90.0, 130.0), plates=(plate,)), **loads)["net-section-plate"]
    second = 210**3 / 12 - 2 * (22**3 / 12 + 22 * 65**2)
    assert net.demand == pytest.approx(300e3 + bending * 166.0 / (second / 105.0))
    assert net.resistance == pytest.approx(0.9 * 1660 * 430 / 1.25)
    assert_formulas_hold(net)


@settings(max_examples=20)
@given(st.lists(st.tuples(*[st.floats(-1e5, 1e5)] * 3), min_size=1, max_size=20))
def test_no_instant_bends_a_section_more_than_the_check_says(loads):
    table = np.array(loads) * [1.0, 1.0, 100.0]
    positions = np.add(grid_positions(Grid(3, 2, 90.0, 130.0)), [20.0, -35.0])
    joint = joint_of(positions=positions, plates=(plate_of(width=210.0, height=300.0),))
    outcome = assess(joint, [block_of(Fx=table[:, 0], Fy=table[:, 1], Mz=table[:, 2])])
    along, width, lever = {"y": (1, 210.0, 90.0), "x": (0, 300.0, 65.0)}[outcome.load_axis]
    moment = table[:, 2] - 20.0 * table[:, 1] - 35.0 * table[:, 0]
    bending = np.abs(moment) + np.abs(table[:, 1 - along]) * lever
    expected = 1.5 * float((np.abs(table[:, along]) + bending * 6.0 / width).max())
    found = [item.demand for item in outcome.checks if item.id == "gross-section-plate"]
    assert found == [pytest.approx(expected, rel=1e-9, abs=1e-9)]


def test_punching_by_hand():
    """Table 3.4, from memory: 0.6 pi 32.3 8 470 / 1.25 = 183.1 kN; M20 heads are 30 mm wide: d_m 32.32 mm."""
    plate = Plate("plate", 8.0, "S355", 355.0, 470.0, 45.0, 40.0)
    found = checks(gripping(plates=(plate,)), Fy=[-60e3], Fz=[120e3])["punching-plate"]
    assert found.resistance / 1e3 == pytest.approx(183.14, rel=1e-3)
    assert found.demand == pytest.approx(30e3)
    assert_formulas_hold(found)
    assert "punching-plate" not in checks(gripping(plates=(plate,)), Fy=[-60e3])


def test_no_head_bears_on_the_middle_plate_of_a_double_lap():
    plates = tuple(replace(plate_of(), name=name) for name in ("upper", "middle", "lower"))
    found = checks(gripping(planes=2, plates=plates), Fy=[-60e3], Fz=[120e3])
    assert "punching-upper" in found and "punching-lower" in found and "punching-middle" not in found


def test_prying_raises_bolt_tension_everywhere():
    """Hand calculation: 120 kN over 6 bolts, 1.5 times, 30 kN; with prying of 1.25 37.5 kN."""
    loads = {"Fy": [-60e3], "Fz": [120e3]}
    plain, pried = checks(gripping(), **loads), checks(gripping(prying=1.25), **loads)
    for name in ("bolt-tension", "punching-plate"):
        assert pried[name].demand == pytest.approx(1.25 * plain[name].demand) == pytest.approx(37.5e3)
    assert pried["slip-ultimate"].resistance == pytest.approx(0.4 * (171_500 - 0.8 * 37.5e3) / 1.25)
    assert pried["bolt-shear-tension"].utilisation == pytest.approx(15e3 / 98e3 + 37.5e3 / (1.4 * 176.4e3))
    for item in pried.values():
        assert_formulas_hold(item)


def test_what_was_said_of_prying_is_told():
    told = {None: "prying is not included", 1.0: "no prying, as stated", 1.2: "bolt tension times 1.2 for prying"}
    for prying, words in told.items():
        assert words in assess(gripping(prying=prying), [block_of(Fy=[-60e3])]).assumptions[0]


def test_contact_makes_up_for_tension_from_moments_in_the_grip_alone():
    """EN 1993-1-8:2005, 3.9.2(2). Hand calculation: Fz 20 kN a bolt, Mx 9 kN m over 4 bolts at 90 mm: 25 kN more."""
    loads = {"Fy": [0.0, -60e3], "Fz": [0.0, 80e3], "Mx": [0.0, 6e6]}
    plain, helped = (checks(gripping(contact=contact), **loads) for contact in ("", "moment only"))
    even = 1.5 * 80e3 / 6
    assert plain["slip-ultimate"].resistance == pytest.approx(0.4 * (171_500 - 0.8 * (even + 25e3)) / 1.25)
    assert helped["slip-ultimate"].resistance == pytest.approx(0.4 * (171_500 - 0.8 * even) / 1.25)
    for name in ("bolt-tension", "bolt-shear-tension", "punching-plate", "bolt-shear", "bearing-plate-y"):
        assert helped[name].utilisation == pytest.approx(plain[name].utilisation)
    assert helped["bolt-tension"].demand == pytest.approx(even + 25e3)
    for item in helped.values():
        assert_formulas_hold(item)
    outcome = assess(gripping(contact="moment only"), [block_of(**loads)])
    without = assess(gripping(), [block_of(**loads)])
    assert outcome.levels["service"].preload_share < without.levels["service"].preload_share
    assert any("3.9.2(2)" in text for text in outcome.assumptions)


def test_steel_buildings_in_europe_shear_through_packing():
    """Multi-Storey Part 5, p. 5-98: M20 8.8 through 30 mm of packing: beta_p 0.72, 68 kN (67.74 unrounded)."""
    found = checks(joint_of(Grid(2, 2, 70.0, 70.0), packing=30.0), Fy=[-60e3])["bolt-shear"]
    assert found.working[-1].packing_factor == pytest.approx(0.72)
    assert found.resistance / 1e3 == pytest.approx(67.738, abs=0.005)


def test_plates_that_come_apart_are_warned_of():
    """Hand calculation: 6 bolts of 171.5 kN: 1029 kN in service, 686 kN with a factor of 1.5."""
    def codes(pull):
        outcome = assess(gripping(), [block_of(Fz=[pull])])
        return {item.code: item.text for item in warnings(Findings(outcome, None, (), ()), "EN 1993")}

    assert "plates-separate" not in codes(680e3)
    assert "at ultimate level" in codes(700e3)["plates-separate"]
    both = codes(1100e3)["plates-separate"]
    assert "at service level bolt 1 is pulled with 183 kN and at ultimate level bolt 1 is pulled with 275 kN" in both


def fitted(**changes):
    return joint_of(Grid(3, 2, 90.0, 130.0), fit="fitted", threads_in_plane=False, slip="never", **changes)


def test_fitted_bolts_do_not_move_and_stand_by_shear_and_bearing():
    """EN 1993-1-8:2005, 2.6(2), from memory: fit bolts where slip must not be; d_0 is d: 40/60, 2.5, 430, 20, 10."""
    outcome = assess(fitted(alignment=Alignment((0.0, 400.0), 0.1)), [block_of(Fy=[-200e3, 200e3])])
    found = {item.id: item for item in outcome.checks}
    assert not [name for name in found if name.startswith("slip")]
    assert found["bearing-plate-y"].resistance == pytest.approx(2.5 * 40 / 60 * 430 * 20 * 10 / 1.25)
    assert found["bolt-shear"].resistance == pytest.approx(0.6 * 800 * 314 / 1.25)
    move = movement(outcome)
    assert move.centred_at_point == pytest.approx(0.0, abs=1e-9)
    assert {item.state for item in move.checks} <= {HOLDS}
    assert any("2.6(2)" in text for text in outcome.assumptions)
    codes = {item.code for item in warnings(Findings(outcome, move, (), ()), "EN 1993")}
    assert not codes & {"no-preload-no-grip", "reversal-without-preload"}


def injected(**changes):
    sizes = {"a": 12.0, "b": 15.0, "c": 10.0}
    plates = tuple(replace(plate_of(thickness), name=name) for name, thickness in sizes.items())
    given = {"fit": "injection", "planes": 2, "plates": plates, "slip": "never", **changes}
    return joint_of(Grid(3, 2, 90.0, 130.0), **given)


def test_resin_of_injection_bolts_by_hand():
    """EN 1993-1-8:2005, 3.6.2.2, from memory: t_1/t_2 1.5, beta 1.165, t_b 15: 20 x 15 x 1.165 x 140 = 48.93 kN."""
    found = checks(injected(resin_strength=140.0), Fy=[-100e3])["resin"]
    assert found.resistance == pytest.approx(48_930.0)
    assert found.demand == pytest.approx(25e3)
    assert_formulas_hold(found)


def test_resin_is_not_judged_without_its_strength_or_in_a_single_lap():
    assert "found by test" in checks(injected(), Fy=[-100e3])["resin"].reason
    single = injected(resin_strength=140.0, planes=1, plates=(plate_of(),))
    assert checks(single, Fy=[-100e3])["resin"].state == NOT_JUDGED
    assert "resin" not in checks(gripping(fit="injection"), Fy=[-60e3])


class Detail:
    def __init__(self, category):
        self.category = category


@pytest.mark.parametrize(("end", "state"), [(30.0, HOLDS), (29.9, FAILS)])
def test_distances_that_the_bolted_details_8_to_13_ask_for(end, state):
    """EN 1993-1-9:2005, Table 8.1, from memory: 1.5 d = 30 mm to the end, 2.5 d = 50 mm between bolts."""
    outcome = assess(gripping(plates=(plate_of(end=end),)), [block_of(Fy=[-60e3])])
    (found,) = fatigue_distance_checks(outcome, [Detail("8.1-10"), Detail("8.5-3")])
    assert found.state == state
    assert "category 8.1-10" in found.title
    assert fatigue_distance_checks(outcome, [Detail("8.5-3")]) == ()


def test_a_pitch_below_two_and_a_half_diameters_is_found():
    outcome = assess(gripping(positions=grid_positions(Grid(3, 2, 49.0, 130.0))), [block_of(Fy=[-60e3])])
    (found,) = fatigue_distance_checks(outcome, [Detail("8.1-8")])
    assert (found.state, found.demand, found.resistance) == (FAILS, 50.0, 49.0)


STRENGTH = ("bolt-", "bearing-", "block-", "gross-", "net-", "punching-", "distances-")


def test_strength_does_not_depend_on_preload():
    loads = {"Fy": [0, -300e3, 50e3], "Mz": [0, 1e7, -1e7], "Fz": [0, 6e4, 0]}
    plates = (plate_of(width=220.0, height=300.0),)
    full, half = (checks(gripping(plates=plates, preload=preload), **loads) for preload in (171_500.0, 60_000.0))
    names = [name for name in full if name.startswith(STRENGTH)]
    assert len(names) >= 9
    assert {name: full[name].utilisation for name in names} == {name: half[name].utilisation for name in names}


@settings(max_examples=20)
@given(st.lists(st.tuples(*[st.floats(-1e5, 1e5)] * 6), min_size=1, max_size=10))
def test_turning_joint_and_loads_by_a_quarter_changes_nothing(loads):
    fx, fy, fz, mx, my, mz = (np.array(loads) * [1, 1, 1, 100, 100, 100]).T
    first = gripping(plates=(plate_of(width=220.0, height=300.0),))
    second = replace(
        first, positions=first.positions @ np.array([[0.0, 1.0], [-1.0, 0.0]]), grid=None,
        plates=(plate_of(width=300.0, height=220.0),),
    )  # fmt: skip
    one = checks(first, Fx=fx, Fy=fy, Fz=fz, Mx=mx, My=my, Mz=mz)
    other = checks(second, Fx=-fy, Fy=fx, Fz=fz, Mx=-my, My=mx, Mz=mz)
    if abs(np.abs(fx).max() - np.abs(fy).max()) < 1.0:
        return
    turned = {name.replace("plate-x", "plate-q").replace("plate-y", "plate-x").replace("plate-q", "plate-y"): item
              for name, item in other.items()}  # fmt: skip
    assert set(turned) == set(one)
    for name, item in one.items():
        assert turned[name].state == item.state
        if item.utilisation is not None:
            assert turned[name].utilisation == pytest.approx(item.utilisation, rel=1e-6, abs=1e-9), name


@settings(max_examples=25)
@given(
    st.lists(st.tuples(st.integers(-5, 5), st.integers(-5, 5)), min_size=2, max_size=6, unique=True),
    st.tuples(*[st.floats(-1.0, 1.0)] * 3),
)
def test_adding_a_bolt_never_lowers_the_grip_of_the_joint(places, direction):
    if np.abs(direction[:2]).max() < 0.1:
        return
    positions = 60.0 * np.array(places, dtype=float)
    load = (1e5 * direction[0], 1e5 * direction[1], 1e7 * direction[2])
    grips = np.full(len(positions), 60e3)
    fewer = friction_limit(positions[:-1], grips[:-1], load)
    assert friction_limit(positions, grips, load) >= fewer * (1 - 1e-6)
