import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue.net_bending import stress_of_bent_net_section
from fatigue.stress import stress_of_net_section
from loadhistories.validation import InputError

BAR = {"width": 200.0, "thickness": 10.0, "hole_diameter": 22.0, "hole_offsets": [-50.0, 50.0]}


def bar(force="Fx", moment="Mz", **changes):
    return stress_of_bent_net_section(force, moment, **(BAR | changes))


def test_force_on_the_bar_is_that_of_the_plain_net_section():
    plain = stress_of_net_section("Fx", width=200, thickness=10, holes=2, hole_diameter=22)
    assert bar().histories[:, 0] == pytest.approx([plain.coefficients[0]] * 2)
    assert (bar().stress, bar().on) == ("normal", "net")


def test_moment_bends_the_width_less_the_holes_by_hand():
    """I = 10 x 200^3 / 12 - 2 (10 x 22^3 / 12 + 10 x 22 x 50^2) = 5 548 920 mm4; 1 kNm at 100 mm: 18.02 MPa."""
    stress = bar().stress_of([0, 0, 0, 0, 0, 1e6])
    assert stress == pytest.approx([-18.0215, 18.0215], rel=1e-5)
    assert bar().names == ("edge at +y", "edge at -y")


@pytest.mark.parametrize(
    ("force", "moment", "names", "sign"),
    [
        ("Fx", "My", ("edge at +z", "edge at -z"), 1),
        ("Fy", "Mz", ("edge at +x", "edge at -x"), 1),
        ("Fy", "Mx", ("edge at +z", "edge at -z"), -1),
        ("Fz", "Mx", ("edge at +y", "edge at -y"), 1),
        ("Fz", "My", ("edge at +x", "edge at -x"), -1),
    ],
)
def test_positive_moment_pulls_at_the_edge_that_the_right_hand_says(force, moment, names, sign):
    made = bar(force, moment)
    loads = [0.0] * 6
    loads[3 + "xyz".index(moment[1])] = 1e6
    assert made.names == names
    assert made.stress_of(loads)[0] * sign > 0


@given(st.floats(-1e6, 1e6), st.floats(-1e7, 1e7))
def test_edges_of_a_bar_without_bending_feel_the_same_and_mirror_under_bending(force, moment):
    first, second = bar().stress_of([force, 0, 0, 0, 0, moment])
    assert (first + second) / 2 == pytest.approx(force / 1560, abs=1e-6)


@pytest.mark.parametrize(
    ("changes", "wording"),
    [
        ({"moment": "Mx"}, r"moment in the plane of the bar 'Mx' is unknown; .*known: My, Mz"),
        ({"hole_offsets": []}, "hole_offsets must name at least one hole"),
        ({"hole_offsets": [0.0, 50.0]}, "holes must stand alike on both sides of the middle"),
        ({"hole_offsets": [-95.0, 95.0]}, "a hole of 22 mm at 95 mm from the middle leaves a width of 200 mm"),
        ({"hole_offsets": [-10.0, 10.0]}, "holes of 22 mm at these offsets run into each other"),
        ({"thickness": 0.0}, "thickness must be above 0 mm, got 0"),
    ],
)
def test_refused_bar_says_what_would_do(changes, wording):
    with pytest.raises(InputError, match=wording):
        bar(**changes)
