"""Bolts that share the load with welds: the conditions, the strengths together, what is refused."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadhistories.blocks import block_of_arrays
from loadhistories.figures import HOLDS, NOT_JUDGED
from slip.alignment import movement
from slip.assessment import assess
from slip.joint import Alignment, BoltedJoint, Factors, Grid, Plate, grid_positions
from slip.sharing_with_welds import Sharing, rule_of, share_with_welds
from slip.standards import names, standard
from slip.welded import WeldedJoint, assess_welds

PLATES = (Plate("end plate", 20.0, "S355", 345.0, 470.0, 45.0, 40.0),)
SIDES = np.array([[[-105, -135], [-105, 135]], [[105, -135], [105, 135]]], dtype=float)
STATED = Sharing(tightened_after_welding=True)


def bolts_of(**changes):
    given = {
        "name": "joint", "standard": "EN 1993", "positions": grid_positions(Grid(3, 2, 90.0, 130.0)), "size": "M20",
        "grade": "10.9", "preload": 171_500.0, "holes": "normal", "slot_axis": "", "surface": "B", "slip_factor": 0.4,
        "planes": 1, "threads_in_plane": True, "plates": PLATES, "slip": "never", "because": "",
        "permanent": np.zeros(6), "alignment": Alignment((0.0, 420.0), 1.0), "factors": Factors(1.0, 1.0, 1.0),
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def block_of(**components):
    arrays = {key: np.asarray(values, dtype=float) for key, values in components.items()}
    return block_of_arrays("working", arrays, step=0.01, repeats=1.0)


def shared(blocks, *, stated=STATED, joint=None, leg=5.0, lines=SIDES):
    joint = bolts_of() if joint is None else joint
    made = {"steel": "S355"} if joint.standard == "EN 1993" else {"electrode": "E70XX"}
    weld = standard(joint.standard).fillet_weld(leg=leg, **made)
    welds = assess_welds(
        WeldedJoint("joint", joint.standard, lines, weld, "shop", joint.permanent, joint.factors), blocks
    )
    return share_with_welds(assess(joint, blocks), welds, stated, blocks), welds


def test_strengths_of_bolts_and_welds_add_in_a_joint_of_category_c():
    """Hand calculation, EN 1993-1-8, 3.9.3: six bolts grip 6 x 0.4 x 171.5 / 1.25 = 329.3 kN; 2 x 270 mm of 5 mm
    weld (a 3.5 mm) in S355 hold 540 x 3.5 x 470 / (sqrt(3) 0.9 1.25) = 455.9 kN; together 785.2 kN."""
    found, _ = shared([block_of(Fy=[0.0, -700e3])])
    assert found.shared
    assert found.checks[0].utilisation == pytest.approx(700 / (329.28 + 455.87), rel=1e-4)
    assert found.checks[0].state == HOLDS
    share = found.checks[0].working[-1]
    assert share.bolt_share == pytest.approx(329.28 / 785.15, rel=1e-4)


def test_the_bolts_grip_under_their_share_and_the_part_stays():
    found, _ = shared([block_of(Fy=[0.0, -700e3])])
    assert not found.slip.levels["ultimate"].slips and found.slip.levels["ultimate"].events == 0
    assert not movement(found.slip).moves
    grip = next(check for check in found.slip.checks if check.id == "slip-ultimate")
    assert grip.utilisation == pytest.approx(found.checks[0].utilisation)


def test_strength_after_slip_stays_judged_under_the_whole_load():
    blocks = [block_of(Fy=[0.0, -700e3])]
    found, _ = shared(blocks)
    alone = {check.id: check.utilisation for check in assess(bolts_of(), blocks).checks}
    for check in found.slip.checks:
        if not check.id.startswith("slip-"):
            assert check.utilisation == alone[check.id]


@pytest.mark.parametrize(
    ("changes", "stated", "reason"),
    [
        ({}, Sharing(), "final tightening of the bolts after the welding is done is not stated"),
        ({}, Sharing(tightened_after_welding=False), "is denied"),
        ({"slip": "not in service"}, STATED, "slip is 'not in service'"),
        ({"preload": 0.0, "slip": "allowed"}, STATED, "the bolts are not preloaded"),
    ],
)
def test_what_the_clause_asks_and_is_not_there_is_named_and_nothing_is_shared(changes, stated, reason):
    found, welds = shared([block_of(Fy=[0.0, -500e3])], stated=stated, joint=bolts_of(**changes))
    first, second = found.checks
    assert first.state == NOT_JUDGED and reason in first.reason and "3.9.3" in first.clause
    assert second == welds.check and not found.shared


def test_tension_on_the_bolts_is_not_judged_as_shared():
    found, _ = shared([block_of(Fy=[-300e3], Fz=[20e3])])
    assert found.checks[0].state == NOT_JUDGED and "only shear" in found.checks[0].reason


def test_every_standard_of_joints_says_what_it_asks_of_bolts_with_welds():
    for name in names():
        rule = rule_of(name)
        assert rule["clause"] and rule["welds_alone_clause"] and (rule["allowed"] or rule["why_not"])


def slip_critical(**changes):
    rules = standard("AISC 360-22")
    preload = rules.specified_preload(rules.bolt("M20", "A325"))
    given = {"standard": "AISC 360-22", "grade": "A325", "surface": "A", "slip_factor": 0.3, "preload": preload}
    return bolts_of(**{**given, **changes})


TIGHTENED = Sharing(tightening="other")


def test_strengths_add_with_their_own_resistance_factor_in_aisc_360_j1_8():
    """Hand calculation: six bolts 0.75 x 0.30 x 1.13 x 142 = 36.1 kN each; 540 mm of 5 mm fillet in E70 along the
    load 0.75 x 0.60 x 482.6 x 0.7071 x 5 = 767.8 N/mm; together 216.6 + 414.6 = 631.2 kN."""
    found, _ = shared([block_of(Fy=[0.0, -400e3])], joint=slip_critical(), stated=TIGHTENED)
    assert found.shared
    assert found.checks[0].utilisation == pytest.approx(400 / 631.2, rel=2e-3)


@pytest.mark.parametrize(
    ("load", "joint", "stated", "reason"),
    [
        ({"Fy": [-400e3]}, {}, Sharing(), "how the bolts are tightened is not stated"),
        ({"Fx": [-400e3]}, {}, TIGHTENED, "welds that run along the load may share, along x here"),
        ({"Fy": [-400e3]}, {"holes": "oversize"}, TIGHTENED, "only bolts in normal holes"),
        ({"Fy": [-700e3]}, {}, TIGHTENED, "the bolts alone carry less than 0.33 of the load"),
        ({"Fy": [-620e3]}, {}, TIGHTENED, "the welds alone carry less than 0.7 of the load"),
        ({"Fy": [-400e3]}, {"slip": "allowed"}, TIGHTENED, "slip is 'allowed'"),
    ],
)
def test_conditions_of_aisc_360_j1_8_are_named_where_they_fail(load, joint, stated, reason):
    found, _ = shared([block_of(**load)], joint=slip_critical(**joint), stated=stated)
    assert not found.shared and reason in found.checks[0].reason
    assert "J1.8" in found.checks[0].clause


def test_turn_of_nut_lets_the_welds_be_weaker():
    """Hand calculation: at 620 kN the welds alone carry 0.669 of the load, between 50 and 70 %."""
    found, _ = shared([block_of(Fy=[-620e3])], joint=slip_critical(), stated=Sharing(tightening="turn-of-nut"))
    assert found.shared


def test_as_4100_gives_bolts_no_friction_strength_that_could_be_added():
    assert rule_of("AS 4100")["allowed"] is False


@settings(max_examples=25)
@given(st.floats(1e4, 6e5), st.floats(-5e7, 5e7), st.floats(5.0, 12.0))
def test_together_they_are_used_less_than_either_alone(force, moment, leg):
    blocks = [block_of(Fy=[force], Mz=[moment])]
    found, welds = shared(blocks, leg=leg)
    bolts = assess(bolts_of(), blocks).levels["ultimate"].instant.value
    together = found.checks[0].utilisation
    assert together < min(bolts, welds.utilisation)
    assert 1 / together == pytest.approx(1 / bolts + 1 / welds.utilisation)


def test_a_joint_without_load_is_not_shared_out_by_nothing():
    """No use on either side: the shares would be 0 over 0."""
    found, _ = shared([block_of(Fy=[0.0])])
    assert not found.shared and found.checks[0].state == NOT_JUDGED
    assert "no load in the plane" in found.checks[0].reason


def test_outcome_of_the_bolts_is_not_changed_in_place():
    blocks = [block_of(Fy=[0.0, -700e3])]
    before = assess(bolts_of(), blocks)
    found, _ = shared(blocks)
    assert before.levels["ultimate"].slips and replace(found.slip, checks=()).joint.bolts == 6
