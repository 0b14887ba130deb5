import pytest

from fatigue.detail import detail
from fatigue.stress import stress_of_net_section, stress_of_section, stress_of_shear_area, stress_per_component
from loadhistories.validation import InputError

UNIT = stress_per_component({"Fy": 0.001})
SHEAR = stress_of_shear_area("Fy", 1000.0)
NET = stress_of_net_section("Fy", width=200, thickness=10, holes=2, hole_diameter=22)
GROSS = stress_of_section("y", area=2000.0, on="gross")


def made(**changes):
    return detail("weld toe", **({"standard": "EN 1993", "recipe": UNIT, "category": "8.4-1a"} | changes))


def test_detail_of_the_catalogue_carries_its_row_curve_and_coefficients():
    found = made(yield_strength=355.0)
    assert (found.category, found.strength, found.stress, found.curve.strength) == ("8.4-1a", 80.0, "normal", 80.0)
    assert list(found.coefficients) == [0, 0.001, 0, 0, 0, 0]
    assert (found.size_factor, found.size_effect, found.yield_strength) == (1.0, None, 355.0)
    assert found.unconfirmed
    assert "Table 8.4, detail 1" in found.source


def test_curve_of_a_detail_holds_the_size_effect_and_its_strength_does_not():
    found = made(category="8.3-5", thickness=40)
    assert found.strength == 90.0
    assert found.curve.strength == pytest.approx(90.0 * (25 / 40) ** 0.2, rel=1e-12)
    assert found.size_factor == found.size_effect.factor


def test_number_takes_the_kind_of_stress_from_its_recipe():
    assert made(category=80, recipe=SHEAR).stress == "shear"
    assert made(category="80", recipe=SHEAR).curve.slopes == (5.0,)
    assert made(category=80).stress == "normal"
    assert made(category=80, stress="shear").stress == "shear"


def test_strength_of_ones_own_stands_for_a_category():
    found = made(category=None, strength=70.0)
    assert (found.category, found.strength) == ("strength 70 MPa", 70.0)
    assert made(category=None, strength=70.0, recipe=SHEAR).stress == "shear"


def test_category_on_the_net_section_takes_a_net_section():
    assert made(category="8.1-9", recipe=NET).relies_on == ""
    assert made(category="8.1-8", recipe=GROSS).relies_on == "grip"


@pytest.mark.parametrize(
    ("changes", "wording"),
    [
        ({"category": None}, r"detail 'weld toe' needs one of category and strength"),
        ({"strength": 70.0}, r"detail 'weld toe' needs one of category and strength"),
        ({"standard": "EN1993"}, r"standard 'EN1993' is unknown"),
        ({"category": "8.4-1z", "place": "job.toml, detail 2"}, r"'8.4-1z' is unknown .*\(job.toml, detail 2\)"),
        ({"category": "8.3-5"}, r"depends on size .* give its thickness"),
        ({"thicknes": 20.0}, r"size 'thicknes' is unknown; did you mean 'thickness'\?"),
        ({"category": None, "strength": -3.0}, r"strength must be above 0 MPa, got -3"),
        ({"yield_strength": 0.0}, r"yield strength must be above 0 MPa, got 0"),
        ({"recipe": SHEAR}, r"category 8.4-1a is for normal stress, its recipe gives shear stress \(mean shear"),
        ({"category": "8.5-8", "recipe": GROSS}, r"category 8.5-8 is for shear stress, its recipe gives normal"),
        ({"category": "8.1-8", "recipe": NET}, r"8.1-8 is for stress on the gross section, .* on the net section"),
        ({"category": "8.1-9", "recipe": GROSS}, r"8.1-9 is for stress on the net section, .* on the gross section"),
        ({"free_of_welding_stress": "yes"}, r"free_of_welding_stress 'yes' is unknown"),
        ({"free_of_welding_stress": "non-welded"}, r"8.4-1a is a welded detail; only 'stress-relieved'"),
        (
            {"category": "8.1-1", "free_of_welding_stress": "stress-relieved"},
            r"8.1-1 is not welded; say 'non-welded'",
        ),
        (
            {"category": "8.5-8", "recipe": SHEAR, "free_of_welding_stress": "stress-relieved"},
            r"shear stress has no compression part; leave 'stress-relieved' out",
        ),
    ],
)
def test_refused_detail_says_what_would_do(changes, wording):
    with pytest.raises(InputError, match=wording):
        made(**changes)
