import numpy as np
import pytest

from fatigue.assessment import StressWalk, assess_details
from fatigue.curves import life_curve
from fatigue.detail import detail
from fatigue.net_bending import stress_of_bent_net_section
from fatigue.standards import en1993
from fatigue.stress import stress_of_net_section, stress_of_section
from loadhistories.blocks import block_of_arrays
from loadhistories.validation import InputError

# A flat of 200 x 10 with two holes of 22: 2000 mm2 gross, 1560 mm2 net.
GROSS = stress_of_section("x", area=2000.0, on="gross")
NET = stress_of_net_section("Fx", width=200, thickness=10, holes=2, hole_diameter=22)


def plate(category="8.1-8", net=NET, **more):
    return detail("plate", standard="EN 1993", category=category, recipe=GROSS, net=net, **more)


def judged(item, forces, *, slips, permanent=0.0):
    block = block_of_arrays("running", {"Fx": np.array(forces, dtype=float)}, step=1.0, repeats=1e5)
    walk = StressWalk([item])
    for chunk in block.chunks():
        walk.feed(chunk)
    (outcome,) = assess_details(
        [item], [walk.counts()], blocks=[("running", 1e5)], standard="EN 1993",
        basis={"concept": "safe life", "consequence": "low"}, design_life=1e9, slips=slips,
        permanent=np.array([permanent, 0, 0, 0, 0, 0]),
    )  # fmt: skip
    return outcome


def test_plate_of_a_joint_that_grips_keeps_its_category_on_the_gross_section():
    """0 to 156 kN: 78 MPa on 2000 mm2, category 112."""
    outcome = judged(plate(), [0, 156e3, 0], slips=False)
    assert (outcome.detail.category, outcome.instead_of, outcome.notes) == ("8.1-8", None, ())
    assert outcome.result.largest_range == pytest.approx(78.0)


def test_plate_of_a_joint_that_slips_is_judged_on_its_net_section_with_category_50():
    """0 to 156 kN: 100 MPa on 1560 mm2; category 50 at 1.15: 2e6 (50 / 115)^3 = 164 379 cycles."""
    given = plate()
    outcome = judged(given, [0, 156e3, 0], slips=True)
    assert (outcome.detail.category, outcome.detail.strength, outcome.instead_of) == ("8.1-13", 50.0, given)
    assert outcome.result.largest_range == pytest.approx(100.0)
    assert outcome.result.damage == pytest.approx(1e5 / 164_378.9, rel=1e-4)
    (note,) = outcome.notes
    assert "judged on the net section with category 8.1-13 (50 MPa" in note
    assert "EN 1993-1-9:2005, Table 8.1, details 8 and 13" in note
    assert note in outcome.remarks


def test_plate_of_a_joint_that_slips_under_reversed_load_is_not_judged():
    outcome = judged(plate(), [-50e3, 156e3, -50e3], slips=True)
    assert (outcome.state, outcome.result, outcome.instead_of) == ("not judged", None, None)
    assert "the load on the detail reverses: EN 1993-1-9:2005, Table 8.1, detail 13" in outcome.reason


def test_permanent_load_that_keeps_the_load_from_reversing_lets_the_net_section_be_judged():
    outcome = judged(plate(), [-50e3, 100e3, -50e3], slips=True, permanent=60e3)
    assert (outcome.detail.category, outcome.reverses) == ("8.1-13", False)


def test_plate_without_a_net_section_is_not_judged_when_the_joint_slips():
    outcome = judged(plate(net=None), [0, 156e3, 0], slips=True)
    assert outcome.state == "not judged"
    assert "take the net section with a category for bolts that bear" in outcome.reason


def test_plate_is_not_judged_when_nobody_knows_whether_the_joint_slips():
    outcome = judged(plate(), [0, 156e3, 0], slips=None)
    assert (outcome.state, outcome.instead_of) == ("not judged", None)


def test_bent_net_section_is_judged_at_its_worse_edge():
    bent = stress_of_bent_net_section(
        "Fx", "Mz", width=200, thickness=10, hole_diameter=22, hole_offsets=[-50, 50]
    )
    item = plate("8.1-10", net=bent)
    force = np.array([0.0, 100e3, 0.0])
    block = block_of_arrays("running", {"Fx": force, "Mz": 10.0 * force}, step=1.0, repeats=1e5)
    walk = StressWalk([item])
    walk.feed(next(block.chunks()))
    (outcome,) = assess_details(
        [item], [walk.counts()], blocks=[("running", 1e5)], standard="EN 1993",
        basis={"concept": "safe life", "consequence": "low"}, design_life=1e9, slips=True, permanent=np.zeros(6),
    )  # fmt: skip
    assert outcome.result.largest_range == pytest.approx(100e3 / 1560 + 1e6 * 100 / 5_548_920, rel=1e-6)
    assert outcome.notes[1] == "the worst of 2 stress histories governs: edge at -y"
    by_hand = life_curve("EN 1993", 50, gamma_Mf=1.15).damage([outcome.result.largest_range], [1e5])
    assert outcome.result.damage == pytest.approx(by_hand, rel=1e-4)


def test_only_rows_that_rely_on_grip_have_a_category_without_it():
    rows = en1993.rows()
    assert en1993.category_without_grip(rows["8.1-8"], reverses=False) == "8.1-13"
    assert en1993.category_without_grip(rows["8.1-8"], reverses=True) is None
    assert en1993.category_without_grip(rows["8.1-8"], reverses=None) is None
    assert en1993.category_without_grip(rows["8.1-9"], reverses=False) is None


def test_net_section_of_a_category_that_needs_none_is_refused():
    with pytest.raises(InputError, match=r"category 8.1-4 does not rely on grip, so that no second, net section"):
        plate("8.1-4")
    with pytest.raises(InputError, match="net_section must give normal stress on the net section"):
        plate(net=GROSS)
