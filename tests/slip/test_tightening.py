"""Steps of tightening: torques and turns by the method of a joint, and the torque that is not to be passed."""

import tomllib
from pathlib import Path

import numpy as np
import pytest

from loadhistories.figures import recomputed
from loadhistories.validation import InputError
from slip.joint import BoltedJoint, Grid, grid_positions
from slip.preload import preload_life, tightening_torque
from slip.tightening import tightening_of, torque_ceiling, torque_steps

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "preload.toml").read_text(encoding="utf-8"))["case"]


def joint_of(standard, grade, method, *, torque_factor=None):
    grid = Grid(2, 2, 90.0, 90.0)
    return BoltedJoint(
        "joint", standard, grid_positions(grid), "M20", grade, 142e3, "normal", "", "", 0.3, 1, True, (), "never", "",
        np.zeros(6), preload_life=preload_life(142e3, method=method, surface="uncoated"),
        tightening=None if torque_factor is None else tightening_torque(torque_factor, 20.0, 142e3),
    )  # fmt: skip


def test_torques_of_the_steps_by_en_1090_2_from_memory():
    case = CASES["S42"]
    for torque, first, final in zip(case["torque_Nm"], case["first_Nm"], case["final_Nm"], strict=True):
        found = torque_steps(torque, first=0.75, final=1.10)
        assert (found.first, found.final) == pytest.approx((first, final), abs=case["tolerance"])


def test_torque_ceiling_of_the_fhwa_rotational_capacity_test_2005():
    case = CASES["E03"]
    found = torque_ceiling(case["share"], case["tension_lb"], case["diameter_in"] / 12.0)
    assert found.ceiling == pytest.approx(case["torque_ft_lb"], abs=case["tolerance"])


def test_a_joint_by_en_1090_2_has_the_steps_of_its_method():
    torque = tightening_of(joint_of("EN 1993", "10.9", "torque", torque_factor=0.13))
    assert torque.results[0].final == pytest.approx(1.1 * 0.13 * 20.0 * 142e3)
    combined = tightening_of(joint_of("EN 1993", "10.9", "combined", torque_factor=0.13))
    assert (combined.results[0].first, combined.results[0].final) == (pytest.approx(0.75 * 0.13 * 20.0 * 142e3), None)
    assert "1/6 up to 2 d, 1/4 up to 6 d, 1/3 up to 10 d" in combined.sentences[0]
    assert not tightening_of(joint_of("EN 1993", "10.9", "combined")).results


def test_turn_of_nut_of_rcsc_and_as_nzs_5131():
    for standard, grade in (("AISC 360-22", "A325"), ("AS 4100", "8.8")):
        found = tightening_of(joint_of(standard, grade, "turn-of-nut"))
        assert "1/3 up to 4 d, 1/2 up to 8 d, 2/3 up to 12 d" in found.sentences[0]
    ceiling = tightening_of(joint_of("AISC 360-22", "A325", "torque")).results[0]
    assert ceiling.ceiling == pytest.approx(0.25 * 142e3 * 20.0)


def test_no_steps_are_made_up():
    assert tightening_of(joint_of("AS 4100", "8.8", "torque")) is None
    assert tightening_of(joint_of("EN 1993", "10.9", "direct tension indicator")) is None


def test_every_printed_formula_gives_its_number():
    steps = (torque_steps(4e5, first=0.75), torque_steps(4e5, first=0.75, final=1.1), torque_ceiling(0.25, 1e5, 20.0))
    for result in steps:
        for figure, stored, computed in recomputed(result):
            assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


def test_a_tension_that_is_none_is_refused():
    with pytest.raises(InputError, match="tension must be above 0 N, got 0"):
        torque_ceiling(0.25, 0.0, 20.0)
