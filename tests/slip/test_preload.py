"""Preload from the drawing to what is left of it: published scatter and losses, sums by hand, refusals."""

import statistics
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.validation import InputError
from slip.preload import METHODS, SURFACES, preload_life, tightening_torque

CASES = tomllib.loads(
    (Path(__file__).parent.parent / "published" / "preload.toml").read_text(encoding="utf-8")
)["case"]  # fmt: skip
KIP, INCH, LBF = 4448.2216, 25.4, 4.4482216


def life(**changes):
    return preload_life(172e3, **{"method": "torque", "surface": "uncoated", **changes})


def test_torque_of_shigley_example_8_3():
    case = CASES["D03"]
    found = tightening_torque(case["torque_factor"], case["diameter_in"] * INCH, case["preload_kip"] * KIP)
    assert found.torque / (LBF * INCH) == pytest.approx(case["torque_lbf_in"], abs=case["tolerance"])


def test_reference_torques_of_en_1090_2():
    case = CASES["S42"]
    for diameter, preload, torque in zip(case["diameter_mm"], case["preload_kN"], case["torque_Nm"], strict=True):
        found = tightening_torque(case["torque_factor"], diameter, 1000 * preload).torque
        assert found / 1000 == pytest.approx(torque, abs=case["tolerance"])


def test_scatter_of_torque_tightening_is_that_of_shigley_table_8_14():
    case = CASES["D04"]
    mean, deviation = statistics.mean(case["preload_kN"]), statistics.stdev(case["preload_kN"])
    assert mean == pytest.approx(case["mean_kN"], abs=case["tolerance"])
    assert deviation == pytest.approx(case["deviation_kN"], abs=case["tolerance"])
    assert life().variation == pytest.approx(deviation / mean, abs=0.0005)


@pytest.mark.parametrize("surface", CASES["E02"]["left_kN"])
def test_relaxation_reported_by_the_rcsc_commentary(surface):
    case = CASES["E02"]
    found = preload_life(1000 * case["preload_kN"], method="combined", surface=surface, seating=0.0)
    assert found.remaining / 1000 == pytest.approx(case["left_kN"][surface], abs=case["tolerance"])


def test_mean_slip_load_of_the_guide_to_design_criteria():
    case = CASES["S43"]
    found = preload_life(case["specified_kip"] * KIP, method="turn-of-nut", surface="uncoated", grade="A325")
    mean = case["bolts"] * case["faces"] * case["mean_slip_factor"] * found.mean_installed / KIP
    assert mean == pytest.approx(case["mean_slip_kip"], abs=case["tolerance"])
    assert found.unconfirmed


def test_losses_are_shares_of_the_installed_preload_that_add_up():
    """Hand calculation: 100 - 5 - 2.5 - 5 - 10 = 77.5 % of 172 kN are 133.3 kN; of 1.13 x 172 = 194.36 kN, 150.63."""
    found = life(coating_creep=0.05, later_loss=0.10)
    assert found.left == pytest.approx(0.775)
    assert found.remaining == pytest.approx(133_300.0)
    assert (found.seating_loss, found.relaxation_loss) == (pytest.approx(8600.0), pytest.approx(4300.0))
    assert (found.creep_loss, found.later_loss) == (pytest.approx(8600.0), pytest.approx(17_200.0))
    assert found.mean_installed == pytest.approx(194_360.0)
    assert found.mean_remaining == pytest.approx(150_629.0)


def test_low_preload_is_the_five_percent_fractile():
    """Hand calculation: 1.10 x 172 (1 - 1.645 x 0.10) = 158.076 kN, less 7.5 %: 146.220 kN."""
    found = life(installed=1.10, variation=0.10)
    assert found.low_installed == pytest.approx(158_076.0, abs=1)
    assert found.low_remaining == pytest.approx(146_220.0, abs=1)
    assert statistics.NormalDist().cdf(-1.645) == pytest.approx(0.05, abs=1e-4)


def test_a_method_without_known_scatter_has_no_low_preload():
    found = life(method="combined")
    assert (found.variation, found.low_installed, found.low_remaining, found.installed) == (None, None, None, 1.0)
    assert len(found.shares) == 2


def test_a_grade_with_values_of_its_own_has_them():
    assert life(method="turn-of-nut", grade="A490").installed == 1.26
    assert life(method="turn-of-nut", grade="10.9").installed == 1.0


@given(
    st.sampled_from(METHODS), st.sampled_from(SURFACES), st.floats(1e3, 1e6), st.floats(0, 0.2), st.floats(0, 0.2),
    st.floats(0, 0.2),
)  # fmt: skip
def test_what_is_left_and_what_is_lost_make_the_specified_preload(method, surface, force, seating, creep, later):
    found = preload_life(
        force, method=method, surface=surface, seating=seating, coating_creep=creep, later_loss=later
    )  # fmt: skip
    lost = found.seating_loss + found.relaxation_loss + found.creep_loss + found.later_loss
    assert found.remaining + lost == pytest.approx(force)
    assert found.remaining <= force


def test_every_value_taken_from_a_table_names_its_source():
    assert len(life().sources) == 3
    assert len(life(seating=0.0, installed=1.1, variation=0.05).sources) == 1


@pytest.mark.parametrize(("changes", "words"), [
    ({"method": "by hand"}, "method 'by hand' is unknown; known: torque, combined"),
    ({"surface": "seating"}, "surface 'seating' is unknown; known: uncoated, galvanised, coated"),
    ({"surface": "coated"}, "coating_creep is missing: a coated surface loses preload"),
    ({"later_loss": 0.95}, "losses of preload add up to 102 %; they must leave some"),
    ({"later_loss": 10.0}, "later_loss must be below 1, got 10; it is a share such as 5 %"),
    ({"seating": -0.1}, "seating must not be below 0, got -0.1"),
    ({"variation": 0.5}, "variation must be below 0.5, got 0.5"),
    ({"installed": 0.0}, "installed must be above 0, got 0"),
    ({"coating_creep": float("nan")}, "coating_creep must be finite"),
])  # fmt: skip
def test_what_cannot_be_is_refused(changes, words):
    with pytest.raises(InputError, match=words):
        life(**changes)


def test_a_torque_factor_above_one_is_refused():
    with pytest.raises(InputError, match="torque_factor must not be above 1, got 13"):
        tightening_torque(13.0, 20.0, 172e3)
