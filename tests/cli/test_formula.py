import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cli.notes.formula import Fraction, Power, formula, formula_with_values, symbol, variables
from cli.notes.mathml import mathml
from loadhistories.figures import evaluate


@pytest.mark.parametrize(
    ("name", "printed"),
    [
        ("n", "n"),
        ("mu", "μ"),
        ("F_p,C", "F_p,C"),
        ("F_v,Ed,ser", "F_v,Ed,ser"),
        ("gamma_M3", "γ_M3"),
        ("beta_Lf", "β_Lf"),
        ("Delta_sigma_C,d", "Δσ_C,d"),
        ("Delta_tau", "Δτ"),
        ("<b>", "<b>"),
    ],
)
def test_symbols_are_set_with_greek_letters_and_indices(name, printed):
    assert symbol(name).text == printed


def text_of(text):
    return formula(text, {}).text


@pytest.mark.parametrize(
    ("written", "printed"),
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
        ("(a / b) ** m", "(a / b)^m"),
        ("(-a) ** 2", "(−a)^2"),
        ("-a ** 2", "−a^2"),
        ("a ** (1 / m)", "a^(1 / m)"),
        ("sqrt(a + b)", "√(a + b)"),
        ("hypot(a, b + c)", "√(a^2 + (b + c)^2)"),
        ("min(a / 3, 1)", "min(a / 3, 1)"),
        ("abs(a - b)", "|a − b|"),
        ("pi * d ** 2 / 4", "π × d^2 / 4"),
        ("2e6 * a", "2·10⁶ × a"),
    ],
)
def test_formulas_are_printed_with_the_brackets_they_need(written, printed):
    assert text_of(written) == printed


def test_variables_of_a_formula_are_printed_by_their_full_symbols():
    assert formula("F_pC / gamma_M3", {"F_pC": "F_p,C"}).text == "F_p,C / γ_M3"


def test_numbers_that_could_be_misread_in_a_formula_get_brackets():
    values = {"a": -3.25, "c": 0.5, "d": 1_234_567.8}
    assert formula_with_values("a - c", values).text == "−3.25 − 0.5"
    assert formula_with_values("c - a", values).text == "0.5 − (−3.25)"
    assert formula_with_values("a ** 2", values).text == "(−3.25)^2"
    assert formula_with_values("c / d", values).text == "0.5 / (1.235·10⁶)"


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
def test_a_printed_formula_read_again_gives_the_same_number(written, a, b, c):
    known = {"a": a, "b": b, "c": c}
    read = text_of(written)
    for printed, typed in (("−", "-"), ("×", "*"), ("^", "**")):
        read = read.replace(printed, typed)
    while "|" in read:
        before, inside, after = innermost_bars(read)
        read = f"{before}abs({inside}){after}"
    try:
        expected = evaluate(written, known)
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


@pytest.mark.parametrize("written", ["__import__('os')", "a if b else c", "min()", "sqrt(a, b)", "a.b", "a[0]"])
def test_a_formula_of_more_than_arithmetic_is_not_printed(written):
    with pytest.raises(ValueError, match="uses more than plain arithmetic"):
        formula(written, {})


def test_variables_leave_out_functions_and_pi():
    assert variables("min(pi * d, sqrt(e_1)) / gamma_M2") == ["d", "e_1", "gamma_M2"]


def test_a_fraction_with_a_bar_needs_no_brackets_but_as_the_base_of_a_power():
    quotient = formula("(a + b) / (c * d)", {}).tree
    assert isinstance(quotient, Fraction)
    assert mathml(formula("(a + b) / c", {})) == (
        '<math displaystyle="true"><mfrac><mrow><mi>a</mi><mo>+</mo><mi>b</mi></mrow><mi>c</mi></mfrac></math>'
    )
    raised = formula("(a / b) ** 2", {}).tree
    assert isinstance(raised, Power)
    assert "<mo>(</mo><mfrac>" in mathml(formula("(a / b) ** 2", {}))


def test_a_long_formula_is_cut_before_its_outermost_signs_only():
    long = formula(" + ".join(f"(a_{k} - b_{k}) * c_{k}" for k in range(8)), {})
    parts = mathml(long).split("</math> <math")
    assert len(parts) > 1
    assert all(part.count("<mrow>") == part.count("</mrow>") for part in parts)
    text = "".join(letter for letter in long.text if letter not in " _")
    assert "".join(part for part in _text_of(mathml(long))) == text


def _text_of(markup):
    inside = False
    for letter in markup:
        inside = letter == "<" or (inside and letter != ">")
        if not inside and letter not in "> ":
            yield letter
