"""One joint over its blocks. The bracket: 3 rows of 2 M20 10.9, pitch 90, gauge 130, class B, one plane."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.blocks import COMPONENTS, block_of_arrays
from loadhistories.extremes import LoadHull
from loadhistories.figures import FAILS, HOLDS, NOT_JUDGED
from loadhistories.validation import InputError
from slip.alignment import movement
from slip.assessment import assess
from slip.corners import outermost
from slip.joint import Alignment, BoltedJoint, Factors, Grid, Plate, grid_positions
from slip.sharing import share_forces

GRIP_SERVICE = 0.4 * 171_500 / 1.1
GRIP_ULTIMATE = 0.4 * 171_500 / 1.25
PLATES = (
    Plate("end plate", 20.0, "S355", 345.0, 470.0, 45.0, 40.0),
    Plate("column flange", 19.0, "S355", 345.0, 470.0, 120.0, 60.0),
)


def joint_of(**changes):
    given = {
        "name": "joint", "standard": "EN 1993", "positions": grid_positions(Grid(3, 2, 90.0, 130.0)), "size": "M20",
        "grade": "10.9", "preload": 171_500.0, "holes": "normal", "slot_axis": "", "surface": "B", "slip_factor": 0.4,
        "planes": 1, "threads_in_plane": True, "plates": PLATES, "slip": "never", "because": "",
        "permanent": np.zeros(6), "grid": Grid(3, 2, 90.0, 130.0),
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def block_of(repeats=10.0, step=0.01, **components):
    values = {key: np.asarray(value, dtype=float) for key, value in components.items()}
    return block_of_arrays("working", values, step=step, repeats=repeats)


def check(outcome, name):
    return next(item for item in outcome.checks if item.id == name)


def test_a_concentric_load_shares_evenly_at_both_levels():
    """Hand calculation: 300 kN over 6 bolts is 50 kN, at ultimate level 75 kN; grips 62.36 and 54.88 kN."""
    outcome = assess(joint_of(), [block_of(Fy=[0, -300e3, 0])])
    assert check(outcome, "slip-service").utilisation == pytest.approx(50e3 / GRIP_SERVICE)
    assert check(outcome, "slip-ultimate").utilisation == pytest.approx(75e3 / GRIP_ULTIMATE)
    assert outcome.levels["ultimate"].joint_utilisation == pytest.approx(75e3 / GRIP_ULTIMATE)
    assert check(outcome, "bolt-shear").demand == pytest.approx(75e3)
    assert outcome.levels["ultimate"].events == 1 and outcome.levels["service"].events == 0
    assert (outcome.state, outcome.slips_in_service) == (FAILS, False)


def test_an_eccentric_load_is_worst_at_the_bolts_nearest_to_it():
    """Hand calculation: V = 60 kN at 0.32 m: I_p 57 750 mm2, Fx 29.92, Fy 10 + 21.61 = 31.61, together 43.53 kN."""
    outcome = assess(joint_of(), [block_of(Fy=[0, -60e3], Mz=[0, -60e3 * 320])])
    at = outcome.levels["service"].instant
    assert np.hypot(*at.shear) == pytest.approx(43.53e3, abs=10)
    assert at.bolt in (1, 5)
    whole = outcome.levels["service"].joint_utilisation
    assert whole < outcome.levels["service"].instant.value
    assert whole > 60e3 / (6 * GRIP_SERVICE)


def test_permanent_load_is_added_with_its_factor():
    load = np.array([0, -60e3, 0, 0, 0, 0])
    outcome = assess(joint_of(permanent=load), [block_of(Fy=[0, -120e3])])
    assert check(outcome, "slip-service").demand == pytest.approx(30e3)
    assert check(outcome, "slip-ultimate").demand == pytest.approx((1.35 * 60e3 + 1.5 * 120e3) / 6)


def test_a_permanent_load_that_helps_counts_once():
    load = np.array([0, 60e3, 0, 0, 0, 0])
    factors = Factors(1.35, 1.0, 1.5)
    outcome = assess(joint_of(permanent=load, factors=factors), [block_of(Fy=[0, -240e3])])
    assert check(outcome, "slip-ultimate").demand == pytest.approx((1.5 * 240e3 - 60e3) / 6)


def test_tension_lowers_the_grip_at_the_same_instant():
    """Hand calculation: 120 kN pulls 20 kN at each bolt, at ultimate level 30 kN."""
    outcome = assess(joint_of(), [block_of(Fy=[-120e3], Fz=[120e3])])
    grip = 0.4 * (171_500 - 0.8 * 30e3) / 1.25
    assert check(outcome, "slip-ultimate").resistance == pytest.approx(grip)
    assert check(outcome, "bolt-tension").demand == pytest.approx(30e3)
    together = check(outcome, "bolt-shear-tension")
    assert together.utilisation == pytest.approx(30e3 / 98e3 + 30e3 / (1.4 * 176.4e3))


def test_slip_not_in_service_is_checked_at_service_level_only():
    outcome = assess(joint_of(slip="not in service"), [block_of(Fy=[-300e3])])
    assert {item.id for item in outcome.checks if item.id.startswith("slip")} == {"slip-service"}
    assert outcome.levels["ultimate"].slips
    assert outcome.state == HOLDS


def test_bolts_without_preload_fail_where_slip_is_ruled_out():
    outcome = assess(joint_of(preload=0.0), [block_of(Fy=[-60e3])])
    assert check(outcome, "slip-ultimate").state == FAILS
    assert "without preload do not grip" in check(outcome, "slip-ultimate").reason
    assert outcome.slips_in_service and not outcome.levels


def test_bolts_without_preload_need_only_strength_where_slip_is_allowed():
    outcome = assess(joint_of(preload=0.0, slip="allowed"), [block_of(Fy=[-60e3])])
    assert outcome.state == HOLDS
    assert not [item for item in outcome.checks if item.id.startswith("slip")]


def test_bearing_is_not_judged_without_plates():
    outcome = assess(joint_of(plates=()), [block_of(Fy=[-60e3])])
    assert check(outcome, "bearing").state == NOT_JUDGED
    assert outcome.state == NOT_JUDGED


def test_strength_after_slip_does_not_depend_on_preload():
    loads = [block_of(Fy=[0, -300e3, 50e3], Mz=[0, 1e7, -1e7], Fz=[0, 6e4, 0])]
    full, half = (assess(joint_of(preload=preload), loads) for preload in (171_500.0, 80_000.0))
    for name in ("bolt-shear", "bolt-tension", "bolt-shear-tension", "bearing-end plate-y", "bearing-end plate-x"):
        assert check(full, name).utilisation == check(half, name).utilisation


def test_a_moment_about_a_line_of_bolts_is_refused_with_the_joint_named():
    column = joint_of(positions=np.array([[0.0, -45.0], [0.0, 45.0]]), grid=None)
    with pytest.raises(InputError, match=r"bolts on one line cannot resist a moment.*\(joint\)"):
        assess(column, [block_of(Fy=[-1e3], My=[1e6])])


def test_movement_is_judged_where_the_joint_slips_at_the_level_asked_for():
    """Hand calculation: c = 2 mm all round, bolts 111 mm from the centre; the tolerance of 1 mm is passed."""
    joint = joint_of(alignment=Alignment((0.0, 420.0), 1.0))
    slipping = movement(assess(joint, [block_of(Fy=[-300e3])]))
    assert slipping.check.state == FAILS
    assert slipping.worst_at_point == pytest.approx(2 * slipping.centred_at_point)
    assert 2.0 < slipping.centred_at_point < 2.0 + 420 * slipping.rotation
    gripping = movement(assess(joint, [block_of(Fy=[-60e3])]))
    assert gripping.check is None and not gripping.moves
    assert gripping.worst_at_point == slipping.worst_at_point


@given(st.lists(st.tuples(*[st.floats(-1e5, 1e5)] * 3), min_size=1, max_size=20), st.floats(-3.1, 3.1))
def test_turning_bolts_loads_and_axes_together_changes_no_grip(loads, angle):
    table = np.array(loads)
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    joint = joint_of(plates=())
    turned = turn @ table[:, :2].T
    first = assess(joint, [block_of(Fx=table[:, 0], Fy=table[:, 1], Mz=100 * table[:, 2])])
    second = assess(
        joint_of(plates=(), positions=joint.positions @ turn.T, grid=None),
        [block_of(Fx=turned[0], Fy=turned[1], Mz=100 * table[:, 2])],
    )
    for level in ("service", "ultimate"):
        assert second.levels[level].instant.value == pytest.approx(first.levels[level].instant.value, abs=1e-9)
        assert second.levels[level].joint_utilisation == pytest.approx(first.levels[level].joint_utilisation, abs=1e-6)


@given(st.permutations(range(6)), st.lists(st.tuples(*[st.floats(-1e5, 1e5)] * 3), min_size=1, max_size=10))
def test_the_order_of_bolts_does_not_matter(order, loads):
    table = np.array(loads)
    block = block_of(Fx=table[:, 0], Fy=table[:, 1], Mx=100 * table[:, 2])
    joint = joint_of()
    first = assess(joint, [block])
    second = assess(joint_of(positions=joint.positions[list(order)]), [block])
    for one, other in zip(first.checks, second.checks, strict=True):
        assert (one.id, one.state) == (other.id, other.state)
        assert other.utilisation == pytest.approx(one.utilisation, rel=1e-9)


@given(st.floats(0.1, 1.0))
def test_grip_is_proportional_to_preload(share):
    block = block_of(Fy=[-200e3, 50e3])
    full, part = assess(joint_of(), [block]), assess(joint_of(preload=share * 171_500.0), [block])
    assert check(part, "slip-service").utilisation * share == pytest.approx(check(full, "slip-service").utilisation)


@given(st.lists(st.tuples(*[st.floats(-1e5, 1e5)] * 6), min_size=1, max_size=30))
def test_no_bolt_inside_the_group_is_worse_than_those_at_its_corners(loads):
    table = np.array(loads).T * [[1], [1], [1], [100], [100], [100]]
    joint = joint_of(positions=grid_positions(Grid(4, 3, 90.0, 65.0)), grid=None)
    block = block_of(**dict(zip(("Fx", "Fy", "Fz", "Mx", "My", "Mz"), table, strict=True)))
    forces = share_forces(joint.positions, table.T)
    outcome = assess(joint, [block])
    grip = 0.4 * (171_500 - 0.8 * np.maximum(forces.axial, 0)) / 1.1
    worst = np.where(grip > 0, forces.shear / np.where(grip > 0, grip, 1), np.inf).max()
    assert outcome.levels["service"].instant.value == pytest.approx(worst, rel=1e-9)
    assert check(outcome, "bolt-shear").demand == pytest.approx(1.5 * forces.shear.max(), rel=1e-9, abs=1e-6)
    assert outcome.worst["tension"].value == pytest.approx(1.5 * max(forces.axial.max(), 0.0), rel=1e-9, abs=1e-6)


def test_the_corners_of_a_group_are_its_convex_hull():
    positions = grid_positions(Grid(4, 3, 90.0, 65.0))
    assert outermost(positions).tolist() == [0, 2, 9, 11]
    assert sorted(outermost(np.array([[0.0, 0.0], [0.0, 70.0], [0.0, 140.0]])).tolist()) == [0, 2]
    assert outermost(np.array([[0.0, 0.0]])).tolist() == [0]


@given(st.integers(0, 10_000), st.sampled_from([("Fy",), ("Fy", "Mz"), ("Fx", "Fy", "Fz"), ("Fx", "Fy", "Fz", "Mx")]))
def test_the_outermost_load_points_give_the_same_worst_instants_as_the_whole_history(seed, names):
    random = np.random.default_rng(seed)
    phase = np.arange(3000) / 7
    values = {
        name: (6e4 if name[0] == "F" else 6e6) * (np.sin(phase + k) + random.normal(0, 0.3, 3000))
        for k, name in enumerate(names)
    }
    block = block_of(**values)
    hull = LoadHull()
    for chunk in block.chunks():
        hull.feed(chunk)
    points = hull.points()
    assert points.shape[1] < 1500
    few = block_of(**{name: points[COMPONENTS.index(name)] for name in names})
    joint = joint_of(permanent=np.array([0, -14e3, 0, 0, 0, -4e6]))
    whole, outer = assess(joint, [block]), assess(joint, [few])
    for key, instant in whole.worst.items():
        assert outer.worst[key].value == pytest.approx(instant.value, rel=1e-12), key
    for level in ("service", "ultimate"):
        assert outer.levels[level].preload_share == pytest.approx(whole.levels[level].preload_share, rel=1e-12)
        assert outer.levels[level].instant.value == pytest.approx(whole.levels[level].instant.value, rel=1e-12)
