import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.detail import detail
from fatigue.hotspot import schemes, stress_of_hot_spot
from fatigue.stress import stress_per_component
from loadhistories.tables import read_table
from loadhistories.validation import InputError

TWO = stress_of_hot_spot("0.4 t, 1.0 t", [{"Fy": 1e-3}, {"Fy": 8e-4}])
NOMINAL = stress_per_component({"Fy": 1e-3})
DISTANCES = {"0.4 t, 1.0 t": (0.4, 1.0), "0.5 t, 1.5 t": (0.5, 1.5), "0.4 t, 0.9 t, 1.4 t": (0.4, 0.9, 1.4),
             "5 mm, 15 mm": (5.0, 15.0), "4 mm, 8 mm, 12 mm": (4.0, 8.0, 12.0)}  # fmt: skip


@pytest.mark.parametrize(
    ("points", "weights"),
    [
        ("0.4 t, 1.0 t", [1.67, -0.67]),
        ("0.5 t, 1.5 t", [1.5, -0.5]),
        ("0.4 t, 0.9 t, 1.4 t", [2.52, -2.24, 0.72]),
    ],
)
def test_weights_are_those_of_the_iiw_recommendations_2016_2_2_3_4(points, weights):
    for number, weight in enumerate(weights):
        stresses = [{"Fz": 1.0 if k == number else 0.0} for k in range(len(weights))]
        assert stress_of_hot_spot(points, stresses).coefficients[2] == pytest.approx(weight, abs=1e-12)


@given(st.floats(1.0, 300.0), st.floats(-1.0, 1.0))
def test_straight_fall_of_the_surface_stress_is_carried_on_to_its_value_at_the_toe(at_toe, slope):
    """Polynomials through the points give the stress at distance 0, to the two decimals of the printed weights."""
    for points in schemes():
        stresses = [{"Fy": at_toe * (1 - 0.3 * slope * x / max(DISTANCES[points]))} for x in DISTANCES[points]]
        assert stress_of_hot_spot(points, stresses).coefficients[1] == pytest.approx(at_toe, rel=0.01)


def test_curved_fall_is_carried_on_by_three_points():
    """2 + (1 - x)^2 at 0.4, 0.9, 1.4 gives 3 at the toe; two points would give 2.6."""
    fall = [{"Mz": 2 + (1 - x) ** 2} for x in (0.4, 0.9, 1.4)]
    assert stress_of_hot_spot("0.4 t, 0.9 t, 1.4 t", fall).coefficients[5] == pytest.approx(3.0, rel=0.002)
    assert stress_of_hot_spot("0.4 t, 1.0 t", [{"Mz": 2.36}, {"Mz": 2.0}]).coefficients[5] == pytest.approx(2.6, 0.001)


def test_every_component_is_carried_on_by_itself():
    made = stress_of_hot_spot("0.5 t, 1.5 t", [{"Fy": 2.0, "Mz": 1.0}, {"Fy": 1.0, "Mz": 3.0}])
    assert list(made.coefficients) == [0, 2.5, 0, 0, 0, 0.0]
    assert [part.component for part in made.working] == ["Fy", "Mz"]


def test_weights_of_every_scheme_add_to_one():
    for row in read_table("fatigue", "hotspot_schemes").values():
        assert sum(row["weights"]) == pytest.approx(1.0, abs=1e-12)
        assert len(row["points"]) == len(row["weights"])
        assert "from memory" in row["source"]


@pytest.mark.parametrize(("category", "strength"), [("B.1-1", 112), ("B.1-2", 100), ("B.1-5", 100), ("B.1-7", 90)])
def test_hot_spot_categories_of_en_1993_1_9_table_b_1_from_memory(category, strength):
    made = detail("toe", standard="EN 1993", category=category, recipe=TWO)
    assert (made.strength, made.row.stress_on, made.unconfirmed) == (strength, "hot spot", True)


def test_coefficients_may_be_said_to_be_hot_spot_stress():
    given_ = stress_per_component({"Fy": 1e-3}, on="hot spot")
    assert detail("toe", standard="EN 1993", category="B.1-4", recipe=given_).strength == 100


def test_strength_of_ones_own_may_stand_for_a_hot_spot_category():
    assert detail("toe", standard="EN 1993", strength=100.0, recipe=TWO).strength == 100.0


@pytest.mark.parametrize("category", ["8.4-1a", "8.5-1-71", "8.1-4", 71, "100"])
def test_hot_spot_stress_with_a_nominal_category_is_refused(category):
    with pytest.raises(InputError, match="is for nominal stress, its recipe gives hot-spot stress"):
        detail("toe", standard="EN 1993", category=category, recipe=TWO)


def test_nominal_stress_with_a_hot_spot_category_is_refused():
    with pytest.raises(InputError, match=r'B.1-5 is for hot-spot stress, its recipe gives nominal .*on = "hot spot"'):
        detail("toe", standard="EN 1993", category="B.1-5", recipe=NOMINAL)


@pytest.mark.parametrize(
    ("points", "stresses", "wording"),
    [
        ("0.4t, 1.0t", [], r"read-out points '0.4t, 1.0t' is unknown; did you mean '0.4 t, 1.0 t'\?"),
        ("0.4 t, 1.0 t", [{"Fy": 1.0}], "'0.4 t, 1.0 t' need the stress at 2 points, got 1"),
        ("0.5 t, 1.5 t", [{"Fy": 1.0}, {"Fz": 1.0}], "read-out point 2 has Fz, the first has Fy"),
        ("0.5 t, 1.5 t", [{}, {}], "hot-spot stress is 0 for every load"),
        ("0.5 t, 1.5 t", [{"fy": 1.0}, {"fy": 1.0}], "load component 'fy' is unknown"),
        ("0.5 t, 1.5 t", [{"Fy": np.nan}, {"Fy": 1.0}], "stress per Fy must be finite"),
    ],
)
def test_refused_hot_spot_says_what_would_do(points, stresses, wording):
    with pytest.raises(InputError, match=wording):
        stress_of_hot_spot(points, stresses)
