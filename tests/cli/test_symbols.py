import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cli.symbols import (
    formula_html,
    formula_values_html,
    number,
    plain,
    plain_number,
    quantity,
    stored_quantity,
    symbol_html,
    utilisation,
    variables,
    whole_number,
)
from loadhistories.figures import evaluate

SPACE = "\u202f"


@pytest.mark.parametrize(
    ("symbol", "printed"),
    [
        ("n", "<i>n</i>"),
        ("mu", "<i>μ</i>"),
        ("F_p,C", "<i>F</i><sub>p,C</sub>"),
        ("F_v,Ed,ser", "<i>F</i><sub>v,Ed,ser</sub>"),
        ("gamma_M3", "<i>γ</i><sub>M3</sub>"),
        ("beta_Lf", "<i>β</i><sub>Lf</sub>"),
        ("Delta_sigma_C,d", "<i>Δσ</i><sub>C,d</sub>"),
        ("Delta_tau", "<i>Δτ</i>"),
        ("<b>", "<i>&lt;b&gt;</i>"),
    ],
)
def test_symbols_are_set_with_greek_letters_and_indices(symbol, printed):
    assert symbol_html(symbol) == printed


def text_of(formula):
    return formula_html(formula, {}).replace("<i>", "").replace("</i>", "")


@pytest.mark.parametrize(
    ("formula", "printed"),
    [
        ("a * b / c", "a × b / c"),
        ("a / b * c", "(a / b) × c"),
        ("a / b / c", "(a / b) / c"),
        ("a / (b * c)", "a / (b × c)"),
        ("a * (b / c)", "a × (b / c)"),
        ("a * (b * c)", "a × b × c"),
        ("(a + b) * c", "(a + b) × c"),
        ("a - (b + c)", "a − (b + c)"),
        ("a - (b - c)", "a − (b − c)"),
        ("a + (b - c)", "a + b − c"),
        ("a + b / c", "a + b / c"),
        ("-a * b", "−a × b"),
        ("a * -b", "a × (−b)"),
        ("-(a + b)", "−(a + b)"),
        ("(a / b) ** m", "(a / b)<sup>m</sup>"),
        ("(-a) ** 2", "(−a)<sup>2</sup>"),
        ("-a ** 2", "−a<sup>2</sup>"),
        ("a ** (1 / m)", "a<sup>1 / m</sup>"),
        ("sqrt(a + b)", "√(a + b)"),
        ("hypot(a, b + c)", "√(a<sup>2</sup> + (b + c)<sup>2</sup>)"),
        ("min(a / 3, 1)", "min(a / 3, 1)"),
        ("abs(a - b)", "|a − b|"),
        ("pi * d ** 2 / 4", "π × d<sup>2</sup> / 4"),
        ("2e6 * a", "2·10⁶ × a"),
    ],
)
def test_formulas_are_printed_with_the_brackets_they_need(formula, printed):
    assert text_of(formula) == printed


def test_variables_of_a_formula_are_printed_by_their_full_symbols():
    assert formula_html("F_pC / gamma_M3", {"F_pC": "F_p,C"}) == "<i>F</i><sub>p,C</sub> / <i>γ</i><sub>M3</sub>"


def test_numbers_that_could_be_misread_in_a_formula_get_brackets():
    values = {"a": -3.25, "c": 0.5, "d": 1_234_567.8}
    assert formula_values_html("a - c", values) == "−3.25 − 0.5"
    assert formula_values_html("c - a", values) == "0.5 − (−3.25)"
    assert formula_values_html("a ** 2", values) == "(−3.25)<sup>2</sup>"
    assert formula_values_html("c / d", values) == "0.5 / (1.235·10⁶)"


NUMBERS = st.floats(-1e6, 1e6).filter(lambda value: abs(value) > 1e-3)
FORMULAS = st.recursive(
    st.sampled_from(["a", "b", "c", "2"]),
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from("+-*/"), inner).map(lambda p: f"({p[0]}) {p[1]} ({p[2]})"),
        inner.map(lambda text: f"-({text})"),
        inner.map(lambda text: f"({text}) ** 2"),
        inner.map(lambda text: f"abs({text})"),
    ),
    max_leaves=8,
)


@given(FORMULAS, NUMBERS, NUMBERS, NUMBERS)
def test_a_printed_formula_read_again_gives_the_same_number(formula, a, b, c):
    known = {"a": a, "b": b, "c": c}
    read = text_of(formula)
    for printed, typed in (("−", "-"), ("×", "*"), ("<sup>2</sup>", "**2")):
        read = read.replace(printed, typed)
    while "|" in read:
        before, inside, after = innermost_bars(read)
        read = f"{before}abs({inside}){after}"
    try:
        expected = evaluate(formula, known)
    except (ZeroDivisionError, OverflowError):
        return
    sizes = [abs(evaluate(part, known)) for part in ("a", "b", "c")]
    assert math.isclose(evaluate(read, known), expected, rel_tol=1e-6, abs_tol=1e-6 * max(sizes) ** 2)


def innermost_bars(text):
    """Split at a pair of bars without bars between them; nested bars are told apart by what they follow."""
    opened = 0
    for place, letter in enumerate(text):
        if letter == "|":
            if place == 0 or text[place - 1] in "( |" or text[place - 1] == "-":
                opened = place
            else:
                return text[:opened], text[opened + 1 : place], text[place + 1 :]
    raise AssertionError(f"bars of {text!r} do not pair")


@pytest.mark.parametrize("formula", ["__import__('os')", "a if b else c", "min()", "sqrt(a, b)", "a.b", "a[0]"])
def test_a_formula_of_more_than_arithmetic_is_not_printed(formula):
    with pytest.raises(ValueError, match="uses more than plain arithmetic"):
        formula_html(formula, {})


def test_variables_leave_out_functions_and_pi():
    assert variables("min(pi * d, sqrt(e_1)) / gamma_M2") == ["d", "e_1", "gamma_M2"]


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
