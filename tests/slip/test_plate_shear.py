"""Shear of the plates of a joint beside their bolts: published values, by hand, and through the engine."""

import numpy as np
import pytest

from loadhistories.blocks import block_of_arrays
from loadhistories.figures import FAILS, HOLDS, recomputed
from loadhistories.validation import InputError
from slip.assessment import assess
from slip.holes import without_play
from slip.joint import BoltedJoint, Grid, Plate, grid_positions
from slip.plate_sections import sections
from slip.standards import aisc360, as4100, en1993


def plate_of(**more):
    return Plate("fin plate", 10.0, "S275", 275.0, 430.0, 40.0, 50.0, **more)


def checks(plate, *, standard="EN 1993", size="M20", grade="8.8", **loads):
    grid = Grid(5, 1, 70.0, 0.0)
    joint = BoltedJoint(
        "joint", standard, grid_positions(grid), size, grade, 0.0, "normal", "", "", 0.0, 1, True, (plate,), "allowed",
        "", np.zeros(6), grid=grid,
    )  # fmt: skip
    values = {key: np.asarray(value, dtype=float) for key, value in loads.items()}
    outcome = assess(joint, [block_of_arrays("working", values, step=0.01, repeats=10.0)])
    return {item.id: item for item in outcome.checks}, outcome


def test_steel_buildings_in_europe_fin_plate_in_shear():
    """Multi-Storey Part 5, p. 5-43: h 360, t 10, S275, 5 holes of 22: gross 450 kN with its 1.27, net 497 kN."""
    found, outcome = checks(plate_of(height=360.0), Fy=[0.0, -200e3])
    gross, net = found["gross-shear-fin plate"], found["net-shear-fin plate"]
    assert gross.resistance / 1.27e3 == pytest.approx(450.0, abs=0.5)
    assert net.working[0].area == 2500.0
    assert net.resistance / 1e3 == pytest.approx(497.0, abs=0.5)
    assert gross.demand == net.demand == pytest.approx(300e3)
    assert any("shear of fin plate along y is judged as if" in text for text in outcome.assumptions)
    for check in (gross, net):
        for result in check.working:
            for figure, stored, computed in recomputed(result):
                assert computed == pytest.approx(stored, rel=1e-12), figure.symbol


def test_shear_is_judged_where_the_extent_along_the_load_is_known_and_nowhere_else():
    """Width 200 is across the load along y; for a load along x it is the extent along it."""
    assert not any("shear-fin" in name for name in checks(plate_of(), Fy=[-200e3])[0])
    assert not any("shear-fin" in name for name in checks(plate_of(width=200.0), Fy=[-200e3])[0])
    along_x, _ = checks(plate_of(width=200.0), Fx=[-200e3])
    assert along_x["gross-shear-fin plate"].resistance == pytest.approx(2000.0 * 275.0 / np.sqrt(3.0))
    assert along_x["net-shear-fin plate"].working[0].area == pytest.approx(1780.0)


def test_a_plate_sheared_beyond_its_strength_fails():
    states = [checks(plate_of(height=360.0), Fy=[pull])[0]["net-shear-fin plate"].state for pull in (-330e3, -332e3)]
    assert states == [HOLDS, FAILS]


def test_aisc_shear_of_a_plate_by_hand():
    """J4.2: 0.60 x 275 x 3600 = 594 kN at yielding; 0.75 x 0.60 x 430 x (360 - 5 x 24) x 10 = 464.4 kN at rupture."""
    found, _ = checks(plate_of(height=360.0), standard="AISC 360-22", grade="A325", Fy=[-200e3])
    assert found["gross-shear-fin plate"].resistance == pytest.approx(594e3)
    assert found["net-shear-fin plate"].resistance == pytest.approx(464.4e3)


def test_as4100_shear_of_a_ply_by_hand_and_no_net_section():
    """5.11: 0.9 x 2/(0.9 + 1.5) x 0.6 x 275 x 3600 = 445.5 kN."""
    found, _ = checks(plate_of(height=360.0), standard="AS 4100", Fy=[-200e3])
    assert found["gross-shear-fin plate"].resistance == pytest.approx(445.5e3)
    assert "net-shear-fin plate" not in found


@pytest.mark.parametrize("rules", [en1993, aisc360, as4100])
def test_other_sections_and_areas_are_refused(rules):
    with pytest.raises(InputError, match="section 'grosz' is unknown; did you mean 'gross'"):
        rules.plate_shear(plate_of(), kind="grosz", area=100.0)
    with pytest.raises(InputError, match="gross area in shear must be above 0 mm2, got 0"):
        rules.plate_shear(plate_of(), kind="gross", area=0.0)


def test_shigley_example_8_7_bending_of_the_bar_at_its_bolts_recalled():
    """P. 459, from memory: bar 15 x 200, holes of 16 mm at +-60 mm: I 8.26e6 mm4, 16 kN x 350 mm: 67.8 MPa."""
    grid = Grid(1, 2, 0.0, 120.0)
    bar = Plate("bar", 15.0, "given", 300.0, 400.0, 40.0, 40.0, width=200.0)
    joint = BoltedJoint(
        "joint", "EN 1993", grid_positions(grid), "M16", "8.8", 0.0, "normal", "", "", 0.0, 1, False, (bar,), "allowed",
        "", np.zeros(6), grid=grid, fit="fitted",
    )  # fmt: skip
    bolt = en1993.bolt("M16", "8.8")
    (net,) = [
        item for item in sections(joint, [without_play(en1993.hole(bolt, "normal"), bolt)]) if item.kind == "net"
    ]
    assert net.working.modulus * 100.0 / 1e6 == pytest.approx(8.26, abs=0.005)
    assert 16e3 * 350.0 / net.working.modulus == pytest.approx(67.8, abs=0.05)
