import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cli.symbols import (
    number,
    plain,
    plain_number,
    quantity,
    stored_quantity,
    utilisation,
    whole_number,
)

SPACE = "\u202f"


@pytest.mark.parametrize(
    ("value", "printed"),
    [
        (0.0, "0"),
        (0.4, "0.4"),
        (-12.3456789, "−12.35"),
        (365.25, "365.2"),
        (1000.0, "1000"),
        (123_456.7, f"123{SPACE}457"),
        (9999.9, f"10{SPACE}000"),
        (2e6, "2·10⁶"),
        (999_999.9, "1·10⁶"),
        (6.283e-5, "6.283·10⁻⁵"),
        (np.int64(7), "7"),
        (None, "–"),
        (math.nan, "–"),
    ],
)
def test_numbers_on_the_page(value, printed):
    assert number(value) == printed


def test_numbers_of_a_working_are_whole_up_to_six_digits():
    values = (365.25, 20_275_200.0, 1 / 3, None)
    assert [whole_number(value) for value in values] == ["365.25", "2.02752·10⁷", "0.3333", "–"]
    assert stored_quantity(51_241.6, "N") == f"51{SPACE}242 N = 51.24 kN"


def test_numbers_on_the_terminal_are_ascii():
    values = (0.4, 27_393.0, 6.28e8, -1.5, None)
    assert [plain_number(value) for value in values] == ["0.4", "27393", "6.28e8", "-1.5", "-"]


@given(st.floats(0.0, 100.0))
def test_a_printed_utilisation_lies_on_the_same_side_of_one(value):
    printed = float(utilisation(value))
    assert (printed > 1.0) == (value > 1.0) or math.isclose(value, 1.0, rel_tol=1e-11)


def test_a_small_damage_is_not_printed_as_none():
    assert utilisation(3.1e-4) == "0.00031"
    assert utilisation(0.0) == "0.00"


def test_forces_are_printed_in_kn_beside_their_base_unit():
    assert quantity(171_500.0, "N") == "171.5 kN"
    assert quantity(-2.5e7, "N mm") == "−25 kN m"
    assert quantity(1e-9, "N") == "0 kN"
    assert quantity(245.0, "mm2") == "245 mm²"
    assert stored_quantity(68_600.0, "N") == f"68{SPACE}600 N = 68.6 kN"
    assert stored_quantity(355.0, "MPa") == "355 MPa"
    assert stored_quantity(0.0, "N") == "0 N"


def test_text_for_the_terminal_has_no_greek_and_no_control_characters():
    assert plain("Δσ ≤ 71 → γ\x1b[31m\n") == "Deltasigma <= 71 -> gamma [31m "
