"""Closed forms of a machine on its support, and the unbalance that turns in it, against values of textbooks."""

import math
import re
import tomllib
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.support import (
    amplification,
    handed_on,
    support,
    support_response,
    transmissibility,
    unbalance_response,
)
from loadhistories.tables import read_table
from loadhistories.unbalance import angular_speed, crank_forces, force_unbalance, grade_unbalance, mass_unbalance
from loadhistories.validation import InputError

PUBLISHED = tomllib.loads((Path(__file__).parents[1] / "published" / "machine.toml").read_text(encoding="utf-8"))
ratios = st.floats(0.01, 20.0)
dampings = st.floats(0.01, 0.9)


@pytest.mark.parametrize(
    ("function", "row"),
    [
        (function, row)
        for function in (amplification, transmissibility, unbalance_response)
        for row in PUBLISHED[function.__name__]
    ],
    ids=lambda value: value["what"] if isinstance(value, dict) else value.__name__,
)
def test_closed_forms_give_the_values_of_textbooks(function, row):
    assert function(row["ratio"], row["damping"]) == pytest.approx(row["expected"], rel=row["tolerance"])


@pytest.mark.parametrize("row", PUBLISHED["grade"], ids=lambda row: row["what"])
def test_unbalance_of_a_balance_grade_by_iso_21940(row):
    found = grade_unbalance(row["grade"], row["rotor_mass_kg"], angular_speed(row["rpm"] / 60.0))
    assert found.eccentricity == pytest.approx(row["eccentricity_mm"], rel=row["tolerance"])
    assert found.force == pytest.approx(row["force_N"], rel=row["tolerance"])


def test_grades_go_by_a_factor_of_about_two_and_a_half_each():
    values = [row["speed_mm_per_s"] for row in read_table("loadhistories", "balance_grades").values()]
    assert all(2.49 <= high / low <= 2.55 for high, low in pairwise(values))


@given(ratios, dampings)
def test_the_support_is_given_spring_and_damper_force_together(ratio, damping):
    on = support(10.0, damping)
    assert abs(handed_on(10.0 * ratio, on)) == pytest.approx(transmissibility(ratio, damping), rel=1e-9)


@given(ratios, dampings, st.floats(1.0, 1e5))
def test_force_on_the_support_is_proportional_to_the_force(ratio, damping, force):
    on = support(4.0, damping)
    once = support_response(force, 4.0 * ratio, on, direction="Vertical", source="fan")
    twice = support_response(2.0 * force, 4.0 * ratio, on, direction="Vertical", source="fan")
    assert twice.transmitted == pytest.approx(2.0 * once.transmitted, rel=1e-12)


@given(ratios, dampings)
def test_more_damping_never_amplifies_the_displacement_more(ratio, damping):
    assert amplification(ratio, damping * 1.1) <= amplification(ratio, damping) * (1.0 + 1e-12)


@given(st.floats(1.45, 20.0), dampings)
def test_above_the_square_root_of_two_the_support_is_given_less_than_the_force(ratio, damping):
    assert transmissibility(ratio, damping) < 1.0


def test_unbalance_by_mass_and_by_its_force_are_the_same():
    given_mass = mass_unbalance(40.0, 50.0, 94.2)
    given_force = force_unbalance(given_mass.force, 94.2, 94.2)
    assert given_force.unbalance == pytest.approx(2000.0, rel=1e-12)


@given(st.floats(1.0, 500.0), st.floats(0.1, 100.0), st.floats(1.0, 300.0))
def test_twice_the_unbalance_makes_twice_the_force_and_twice_the_speed_four_times(mass, eccentricity, speed):
    once = mass_unbalance(mass, eccentricity, speed).force
    assert mass_unbalance(2.0 * mass, eccentricity, speed).force == pytest.approx(2.0 * once)
    assert mass_unbalance(mass, eccentricity, 2.0 * speed).force == pytest.approx(4.0 * once)


def test_crank_forces_are_the_second_derivative_of_the_exact_place_of_the_piston():
    # Exact place r cos + sqrt(l^2 - r^2 sin^2), differentiated numerically; the series leaves out the fourth order.
    mass, radius, rod, speed = 100.0, 200.0, 800.0, 50.0
    forces = crank_forces(mass, radius, rod, speed)

    def place(time):
        angle = speed * time
        return radius * math.cos(angle) + math.sqrt(rod**2 - (radius * math.sin(angle)) ** 2)

    width = 1e-5
    for time in (0.0, 0.007, 0.02, 0.031):
        exact = -mass * (place(time + width) - 2.0 * place(time) + place(time - width)) / width**2 / 1000.0
        series = forces.primary * math.cos(speed * time) + forces.secondary * math.cos(2.0 * speed * time)
        assert series == pytest.approx(exact, abs=0.01 * forces.primary)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: support(0.0, 0.05), "natural frequency of the support must be above 0 Hz, got 0"),
        (lambda: support(4.0, -0.1), "damping ratio of the support must not be below 0, got -0.1"),
        (lambda: support(4.0, 5.0), 'got 5: was it meant in per cent, as in "5 %"?'),
        (lambda: amplification(1.0, 0.0), "at 1 times the natural frequency without damping the response has no bound"),
        (lambda: grade_unbalance("G 6.2", 10.0, 100.0), "balance grade 'G 6.2' is unknown; did you mean 'G 6.3'?"),
        (lambda: mass_unbalance(1.0, 1.0, 0.0), "angular speed must be above 0 rad/s, got 0"),
        (lambda: crank_forces(10.0, 100.0, 200.0, 50.0), "at least 3 times the crank radius"),
    ],
)
def test_what_has_no_answer_is_refused_with_its_value(call, words):
    with pytest.raises(InputError, match=re.escape(words)):
        call()
