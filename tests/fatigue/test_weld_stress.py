import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.assessment import StressWalk, assess_details
from fatigue.curves import life_curve
from fatigue.detail import detail
from fatigue.weld_stress import stress_of_welds
from fatigue.welds import PROJECTIONS
from loadhistories.blocks import block_of_arrays
from loadhistories.figures import recomputed
from loadhistories.validation import InputError

SIDES = [[[-50, -100], [-50, 100]], [[50, -100], [50, 100]]]
C_SHAPE = [[[0, 0], [0, 200]], [[0, 0], [100, 0]], [[0, 200], [100, 200]]]
AXES = ("Fx", "Fy", "Fz", "Mx", "My", "Mz")


def test_force_along_two_welds_is_shear_in_their_throats_by_hand():
    """200 kN along 2 x 200 mm of throat 5 mm: 100 MPa."""
    assert stress_of_welds(SIDES, "shear", throat=5.0).stress_of([0, 200e3, 0, 0, 0, 0]) == pytest.approx([100, 100])


def test_force_off_the_plane_is_transverse_stress_in_their_throats_by_hand():
    """200 kN across 2 x 200 mm of throat 5 mm: 100 MPa, found with the bound of the projections."""
    stress = stress_of_welds(SIDES, "normal", throat=5.0).stress_of([0, 0, 200e3, 0, 0, 0])
    assert np.abs(stress).max() == pytest.approx(100 / math.cos(math.pi / (2 * PROJECTIONS)))


def test_eccentric_load_on_a_c_shaped_weld_is_that_of_the_elastic_line_method():
    """Shigley Table 9-1 / AISC: 1080.8 N/mm at the worst end for 100 kN; its square is shared by the two stresses."""
    load = np.array([0, -100e3, 0, 0, 0, -100e3 * 250.0])
    across = np.abs(stress_of_welds(C_SHAPE, "normal", throat=1.0).stress_of(load)).max()
    along = np.abs(stress_of_welds(C_SHAPE, "shear", throat=1.0).stress_of(load)).max()
    assert max(across, along) <= 1080.8 * 1.0197
    assert math.hypot(across, along) >= 1080.8


def test_leg_makes_the_throat():
    by_leg, by_throat = stress_of_welds(SIDES, "shear", leg=6.0), stress_of_welds(SIDES, "shear", throat=6 / 2**0.5)
    assert by_leg.coefficients == pytest.approx(by_throat.coefficients, rel=1e-12)
    assert by_leg.working[0].throat == pytest.approx(4.2426, abs=1e-4)


@pytest.mark.parametrize("kind", ["normal", "shear"])
def test_working_of_every_history_gives_its_coefficients(kind):
    made = stress_of_welds(np.add(C_SHAPE, (30.0, -20.0)), kind, throat=4.0)
    for row, (part,) in zip(made.histories, made.workings, strict=True):
        shown = [getattr(part, f"per_{axis}", 0.0) for axis in AXES]
        assert shown == pytest.approx(row, rel=1e-9, abs=1e-12 * np.abs(row).max())
        for figure, stored, again in recomputed(part):
            assert again == pytest.approx(stored, rel=1e-9, abs=1e-15), figure.symbol


@given(st.tuples(*[st.floats(-1e5, 1e5)] * 3), st.floats(1.0, 10.0))
def test_thicker_throat_eases_the_stress_in_proportion(forces, factor):
    load = [*forces, 0, 0, 0]
    thin, thick = (stress_of_welds(SIDES, "normal", throat=a).stress_of(load) for a in (4.0, 4.0 * factor))
    assert thick * factor == pytest.approx(thin, abs=1e-6)


def test_toe_category_refuses_throat_stress_and_throat_category_takes_it():
    throat = stress_of_welds(SIDES, "normal", leg=6.0)
    assert detail("root", standard="EN 1993", category="8.5-3", recipe=throat).strength == 36
    shear = stress_of_welds(SIDES, "shear", leg=6.0)
    assert detail("root", standard="EN 1993", category="8.5-3t", recipe=shear).strength == 80
    with pytest.raises(InputError, match=r"8.5-3 is for normal stress, its recipe gives shear stress"):
        detail("root", standard="EN 1993", category="8.5-3", recipe=shear)
    with pytest.raises(InputError, match="does not tell pull from push; leave 'stress-relieved' out"):
        detail("r", standard="EN 1993", category="8.5-3", recipe=throat, free_of_welding_stress="stress-relieved")


def test_the_worst_end_of_the_welds_governs_with_its_own_history():
    """Mz turns the group: shear along the sides is the same at all, Fy adds at x = +50 and takes off at x = -50."""
    item = detail("root", standard="EN 1993", category="8.5-3t", recipe=stress_of_welds(SIDES, "shear", throat=5.0))
    history = {"Fy": np.array([0.0, 100e3, 0.0]), "Mz": np.array([0.0, 5e6, 0.0])}
    block = block_of_arrays("running", history, step=1.0, repeats=1e6)
    walk = StressWalk([item])
    walk.feed(next(block.chunks()))
    (outcome,) = assess_details(
        [item], [walk.counts()], blocks=[("running", 1e6)], standard="EN 1993",
        basis={"concept": "safe life", "consequence": "low"}, design_life=1e9, slips=None, permanent=np.zeros(6),
    )  # fmt: skip
    # J_p = 400 x 50^2 + 2 x 200^3 / 12 = 2 333 333 mm3; 5e6 x 50 / J_p = 107.14 N/mm
    worst = (100e3 / 400 + 5e6 * 50 / 2_333_333.33) / 5.0
    assert outcome.result.largest_range == pytest.approx(worst, rel=1e-6)
    assert outcome.notes == ("the worst of 2 stress histories governs: weld line 2 at (50, -100) mm",)
    assert outcome.result.damage == pytest.approx(
        life_curve("EN 1993", "8.5-3t", gamma_Mf=1.15).damage([worst], [1e6]), rel=1e-5
    )


@pytest.mark.parametrize(
    ("changes", "wording"),
    [
        ({"throat": 4.0, "leg": 6.0}, "a weld needs one of throat and leg"),
        ({}, "a weld needs one of throat and leg"),
        ({"leg": 0.0}, "leg must be above 0 mm, got 0"),
        ({"kind": "across", "leg": 6.0}, "stress in the throat 'across' is unknown; known: normal, shear"),
        ({"lines": SIDES[:1], "leg": 6.0}, "all lie on one straight line"),
    ],
)
def test_refused_weld_says_what_would_do(changes, wording):
    with pytest.raises(InputError, match=wording):
        stress_of_welds(**({"lines": SIDES, "kind": "normal"} | changes))
