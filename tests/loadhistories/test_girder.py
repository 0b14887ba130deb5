import tomllib
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.cubics import under_wheels
from loadhistories.girder import girder
from loadhistories.validation import InputError

CASES = tomllib.loads((Path(__file__).parents[1] / "published" / "girder.toml").read_text(encoding="utf-8"))
HALF_DIGIT = 0.0005 + 1e-9
STIFF = {"modulus": 210e3, "second_moments": [9e8]}

lengths = st.floats(2e3, 12e3)
several = st.lists(lengths, min_size=1, max_size=5)


def equal_spans(number):
    return girder([1000.0] * number, system="continuous")


@pytest.mark.parametrize("case", CASES["point"], ids=lambda case: case["title"])
def test_coefficients_of_equal_spans_under_loads_in_their_middle(case):
    beam = equal_spans(case["spans"])
    at = [1000.0 * span - 500.0 for span in case["loaded"]]
    total = lambda line: float(line.after(at).sum())  # noqa: E731
    supports = [total(beam.moment(1000.0 * k)) / 1000.0 for k in range(1, case["spans"])]
    middles = [total(beam.moment(1000.0 * k - 500.0)) / 1000.0 for k in case["loaded"]]
    reactions = [total(beam.reaction(k)) for k in range(1, case["spans"] + 2)]
    assert supports == pytest.approx(case["support_moments"], abs=HALF_DIGIT)
    assert middles == pytest.approx(case["span_moments"], abs=HALF_DIGIT)
    assert reactions == pytest.approx(case["reactions"], abs=HALF_DIGIT)


@pytest.mark.parametrize("case", CASES["spread"], ids=lambda case: case["title"])
def test_coefficients_of_equal_spans_loaded_all_over(case):
    beam = equal_spans(case["spans"])
    supports = [area(beam.moment(1000.0 * k)) / 1e6 for k in range(1, case["spans"])]
    reactions = [area(beam.reaction(k)) / 1e3 for k in range(1, case["spans"] + 2)]
    assert supports == pytest.approx(case["support_moments"], abs=HALF_DIGIT)
    assert reactions == pytest.approx(case["reactions"], abs=HALF_DIGIT)


def area(line):
    """Below an influence line: what a load of 1 N/mm all over causes."""
    widths = np.diff(line.breaks)[:, None] ** np.arange(1, 5)
    return float((line.coefficients * widths / np.arange(1, 5)).sum())


def test_largest_moment_below_a_pair_of_wheels_on_a_simple_span():
    (case,) = CASES["moving_pair"]
    beam = girder([float(case["span_mm"])], system="simple spans")
    offsets, loads = [0.0, float(case["distance_mm"])], [case["load_N"]] * 2

    def largest(section):
        return under_wheels(beam.moment(section), offsets, loads).extremes(-1e4, 1e4)[1]

    assert largest(float(case["section_mm"])) == pytest.approx(case["moment_Nmm"], rel=1e-12)
    assert max(largest(section) for section in np.linspace(0.0, 8000.0, 401)) == pytest.approx(case["moment_Nmm"])


def test_largest_moments_below_one_wheel_on_two_spans():
    (case,) = CASES["moving_load"]
    beam = equal_spans(2)
    support = beam.moment(1000.0)
    assert support.extremes(0.0, 2000.0)[0] / 1000.0 == pytest.approx(case["support_moment"], abs=HALF_DIGIT)
    assert support.extremes(0.0, 2000.0)[0] == pytest.approx(-1000.0 / (6.0 * 3.0**0.5), rel=1e-12)
    assert support.turning_places()[0] / 1000.0 == pytest.approx(case["support_at"], abs=HALF_DIGIT)
    sections = np.arange(300.0, 600.0)
    best = [beam.moment(at).extremes(0.0, 2000.0)[1] / 1000.0 for at in sections]
    assert max(best) == pytest.approx(case["span_moment"], abs=HALF_DIGIT)
    assert sections[int(np.argmax(best))] / 1000.0 == pytest.approx(case["span_at"], abs=0.0015)


def test_end_rotation_of_a_simple_span_is_p_a_b_times_l_plus_b_over_6_e_i_l():
    beam = girder([8000.0], system="simple spans", **STIFF)
    a, b, length, stiffness = 3000.0, 5000.0, 8000.0, 210e3 * 9e8
    assert beam.rotation(1).after(a) == pytest.approx(a * b * (length + b) / (6 * stiffness * length), rel=1e-12)
    assert beam.rotation(2).after(a) == pytest.approx(-a * b * (length + a) / (6 * stiffness * length), rel=1e-12)


def test_shear_jumps_by_the_load_as_it_passes_the_section():
    line = girder([8000.0], system="simple spans").shear(3000.0)
    assert line.before(3000.0) == pytest.approx(-3 / 8)
    assert line.after(3000.0) == pytest.approx(5 / 8)


def test_simple_spans_share_a_support_and_nothing_else():
    beam = girder([6000.0, 4000.0], system="simple spans", **STIFF)
    assert beam.reaction(2).after([3000.0, 8000.0]) == pytest.approx([0.5, 0.5])
    assert beam.moment(3000.0).after(8000.0) == 0.0
    assert beam.rotation(2, "left").after([3000.0, 8000.0])[1] == 0.0
    assert beam.rotation(2, "right").after([3000.0, 8000.0])[0] == 0.0


def by_elements(spans, moduli, modulus, load_at, support_shown):
    """Reactions, and slope at a support, of a unit load: beam elements with a node at the load."""
    supports = np.concatenate(([0.0], np.cumsum(spans)))
    nodes = np.unique(np.concatenate((supports, [load_at])))
    stiffness = np.zeros((2 * len(nodes), 2 * len(nodes)))
    for k, h in enumerate(np.diff(nodes)):
        span = min(int(np.searchsorted(supports, nodes[k], side="right")) - 1, len(spans) - 1)
        ei = modulus * moduli[span]
        one = ei / h**3 * np.array(
            [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h], [-12, -6 * h, 12, -6 * h],
             [6 * h, 2 * h * h, -6 * h, 4 * h * h]]
        )  # fmt: skip
        stiffness[2 * k : 2 * k + 4, 2 * k : 2 * k + 4] += one
    force = np.zeros(2 * len(nodes))
    force[2 * int(np.searchsorted(nodes, load_at))] = 1.0
    held = 2 * np.searchsorted(nodes, supports)
    free = np.setdiff1d(np.arange(2 * len(nodes)), held)
    moved = np.zeros(2 * len(nodes))
    moved[free] = np.linalg.solve(stiffness[np.ix_(free, free)], force[free])
    return (force - stiffness @ moved)[held], moved[held[support_shown - 1] + 1]


@given(several, st.data())
def test_a_continuous_girder_agrees_with_beam_elements(spans, data):
    moduli = data.draw(st.lists(st.floats(2e8, 3e9), min_size=len(spans), max_size=len(spans)))
    share = data.draw(st.floats(0.05, 0.95))
    span = data.draw(st.integers(0, len(spans) - 1))
    at = float(sum(spans[:span]) + share * spans[span])
    shown = data.draw(st.integers(1, len(spans) + 1))
    beam = girder(spans, system="continuous", modulus=210e3, second_moments=moduli)
    reactions, slope = by_elements(spans, moduli, 210e3, at, shown)
    ours = [float(beam.reaction(k).after(at)) for k in range(1, len(spans) + 2)]
    assert ours == pytest.approx(reactions, abs=1e-6)
    assert float(beam.rotation(shown).after(at)) == pytest.approx(slope, rel=1e-5, abs=1e-14)


@given(several, st.sampled_from(["simple spans", "continuous"]), st.floats(0.0, 1.0))
def test_reactions_carry_the_load_and_its_moment(spans, system, share):
    beam = girder(spans, system=system)
    at = share * beam.length * (1 - 1e-12)
    reactions = np.array([float(beam.reaction(k).after(at)) for k in range(1, len(spans) + 2)])
    assert reactions.sum() == pytest.approx(1.0, abs=1e-9)
    assert reactions @ beam.supports == pytest.approx(at, abs=1e-6 * beam.length)


@given(several, st.floats(0.01, 0.99), st.floats(0.01, 0.99))
def test_a_mirrored_girder_has_the_mirrored_moment(spans, section, load):
    beam, mirrored = girder(spans, system="continuous"), girder(spans[::-1], system="continuous")
    at, loaded = section * beam.length, load * beam.length
    ours = float(beam.moment(at).after(loaded))
    other = float(mirrored.moment(beam.length - at).before(beam.length - loaded))
    assert ours == pytest.approx(other, abs=1e-7 * beam.length)


@given(several, st.floats(0.02, 0.98), st.lists(st.floats(500.0, 5e3), max_size=3), st.data())
def test_no_finer_step_finds_more_than_the_exact_extremes(spans, section, spacings, data):
    beam = girder(spans, system="continuous")
    offsets = np.concatenate(([0.0], np.cumsum(spacings)))
    loads = data.draw(st.lists(st.floats(1.0, 1e5), min_size=len(offsets), max_size=len(offsets)))
    at = section * beam.length
    for line in (beam.moment(at), beam.shear(at), beam.reaction(1)):
        moved = under_wheels(line, offsets, loads)
        places = np.linspace(moved.breaks[0], moved.breaks[-1], 2001)
        walked = sum(load * line.after(places + offset) for offset, load in zip(offsets, loads, strict=True))
        low, high = moved.extremes(moved.breaks[0], moved.breaks[-1])
        slack = 1e-9 * max(abs(low), abs(high))
        assert low - slack <= walked.min() and walked.max() <= high + slack
        inside = moved.after(places)
        near = np.abs(places[:, None] - moved.breaks).min(axis=1) > 1e-3
        assert np.abs(inside - walked)[near].max() <= 1e-9 * sum(loads) * beam.length


def test_every_problem_of_a_girder_is_named():
    with pytest.raises(InputError) as refusal:
        girder([6000.0, -1.0], system="continous", modulus=210e3, second_moments=[1e9, 0.0, 1e9], place="job")
    assert refusal.value.problems == (
        "span 2 must be above 0 mm, got -1 (job)",
        "system 'continous' is unknown; did you mean 'continuous'?; known: simple spans, continuous (job)",
        "second_moment must be above 0 mm4, got 0 (job)",
        "second_moment must be one for all or one for each of 2 spans, got 3 (job)",
    )


def test_a_section_off_the_girder_is_refused():
    with pytest.raises(InputError, match=r"section must lie on the girder, from 0 to 6 m, got 7 m"):
        girder([6000.0], system="continuous").moment(7000.0)


def test_a_support_that_is_not_there_is_refused():
    with pytest.raises(InputError, match=r"support must be one of 1 to 2, counted along the girder, got 3"):
        girder([6000.0], system="continuous").reaction(3)


def test_rotation_without_stiffness_is_refused():
    with pytest.raises(InputError, match=r"rotation at a support needs the stiffness of the girder, E and I"):
        girder([6000.0], system="continuous").rotation(1)
