"""Places of a runway judged by equivalent ranges; numbers worked by hand, see tests/published/runway.toml."""

import pytest

from fatigue.crane_duty import dynamic_factors, s_class
from fatigue.standards import standard
from fatigue.wheel_damage import judge_place, with_counted
from fatigue.wheels import Crane, RunwayPlace, Web, require_whole, strength_of
from loadhistories.figures import recomputed
from loadhistories.validation import InputError

FACTORS = standard("EN 1993").partial_factors("damage tolerant", "high")
HC2 = dynamic_factors("HC2", hoisting_speed=100.0, own=1.1)
FORCE = 1.05 * 50e3 + 1.067 * 100e3
FIXED = {"thickness": 10.0, "seat": "fixed", "inertias": {"rail_and_flange": 4e6}}
BENDING = {"rail_width": 55.0, "web_height": 600.0, "spacing": 1500.0, "flange_torsion": 1e6}
# Pressure under 100 kN and bending of the web under it, of tests/published/runway.toml.
PRESSURE, BENT = 41.76027102, 35.46757574


def crane(name="one", duty="S3", wheels=(), **more):
    return Crane(name, s_class(duty), None, HC2, 50e3, 100e3, wheels, **more)


def place(*cranes, normal=71, shear=None, cycles=1.0, **more):
    strengths = {
        kind: strength_of(category, kind)
        for kind, category in (("normal", normal), ("shear", shear))
        if category is not None
    }
    return require_whole(RunwayPlace("web", cranes or (crane(),), strengths, cycles, **more))


def judged(*cranes, **more):
    outcome = judge_place(1, place(*cranes, **more), factors=FACTORS)
    for check in outcome.checks:
        for part in check.working:
            assert all(again == pytest.approx(stored) for _, stored, again in recomputed(part))
    return outcome


def test_pressure_under_the_equivalent_wheel_load_is_compared_with_the_category():
    outcome = judged(web=Web(**FIXED))
    demand = PRESSURE * 0.397 * FORCE / 100e3
    assert outcome.checks[1].demand == pytest.approx(demand)
    assert outcome.checks[0].demand == pytest.approx((demand * 1.15 / 71) ** 3)


def test_from_s4_on_bending_of_the_web_adds_to_the_pressure_as_en_1993_6_9_3_3_asks():
    outcome = judged(crane(duty="S4"), web=Web(**FIXED, bending=BENDING))
    assert outcome.checks[1].demand == pytest.approx((PRESSURE + BENT) * 0.5 * FORCE / 100e3, rel=1e-6)


def test_two_throats_share_the_pressure_and_take_the_bending_as_a_couple():
    """Throats of 5 mm under a web of 10 mm: the pressure of the web, and a third of its bending stress."""
    web = Web(**FIXED, bending=BENDING, throat=5.0)
    outcome = judged(crane(duty="S4"), normal="8.10-4", web=web)
    assert outcome.checks[1].demand == pytest.approx((PRESSURE + BENT / 3) * 0.5 * FORCE / 100e3, rel=1e-6)
    # Moment per length of the web over its thickness, in one throat.
    moment = BENT * 10.0**2 / 6
    assert moment / 10.0 / 5.0 == pytest.approx(BENT / 3)


def test_local_shear_turns_its_sign_and_adds_to_that_of_the_girder():
    outcome = judged(normal=None, shear=80, web=Web(**FIXED), unit={"shear": (0.1e-3,)})
    assert outcome.checks[1].demand == pytest.approx(0.575 * FORCE * (0.4 * PRESSURE / 100e3 + 0.1e-3))


def test_twice_the_cycles_are_one_class_more():
    """The closed form of Table 2.12 doubles the history from class to class; its printed factors are rounded."""
    for kind, slope in (("normal", 3), ("shear", 5)):
        given = {"normal": None, "shear": 80} if kind == "shear" else {}
        unit = {kind: (0.2e-3,)}
        for index in range(9):
            twice = judged(crane(duty=f"S{index}"), cycles=2.0, unit=unit, **given).checks[1]
            above = judged(crane(duty=f"S{index + 1}"), unit=unit, **given).checks[1]
            assert twice.demand == pytest.approx(above.demand, rel=5e-3)
            once = judged(crane(duty=f"S{index}"), unit=unit, **given).checks[1]
            assert twice.demand == pytest.approx(once.demand * 2 ** (1 / slope))


def test_normal_and_shear_stress_add_by_their_damages():
    outcome = judged(shear=80, unit={"normal": (0.3e-3,), "shear": (0.2e-3,)})
    normal, shear = 0.3e-3 * 0.397 * FORCE * 1.15 / 71, 0.2e-3 * 0.575 * FORCE * 1.15 / 80
    assert outcome.damage == pytest.approx(normal**3 + shear**5)


def test_two_cranes_add_their_damages_and_that_of_acting_together():
    """S4 and S3 alone; together two classes below the lower, S1; their ranges add."""
    outcome = judged(crane("a", "S4"), crane("b", "S3"), unit={"normal": (0.4e-3, 0.2e-3)})
    parts = [(0.4e-3 * factor * FORCE * 1.15 / 71) ** 3 for factor in (0.5, 0.397 / 2)]
    together = (0.6e-3 * 0.25 * FORCE * 1.15 / 71) ** 3
    assert outcome.together.duty.name == "S1"
    assert [item.damage for item in outcome.cranes] == pytest.approx(parts)
    assert outcome.damage == pytest.approx(sum(parts) + together)
    assert [check.id for check in outcome.checks] == [
        "runway:1", "runway:1:crane:1", "runway:1:crane:2", "runway:1:together",
    ]  # fmt: skip
    assert any("upper bound" in text for text in outcome.remarks)


def test_two_cranes_over_one_place_of_the_web_do_not_add_their_pressures():
    outcome = judged(crane("a"), crane("b"), web=Web(**FIXED))
    assert outcome.together.ranges["normal"].range == pytest.approx(PRESSURE * s_class("S1").normal * FORCE / 100e3)


def test_size_effect_lowers_the_strength():
    """Category 112 in a plate of 50 mm: (25/50)^0.2 of it (EN 1993-1-9:2005, 7.2.2)."""
    assert strength_of("8.3-1", "normal", thickness=50.0).curve.strength == pytest.approx(112 * 0.5**0.2)
    assert strength_of("8.3-1", "normal", thickness=20.0).curve.strength == 112.0
    check = judged(normal=112, unit={"normal": (3e-4,)}).checks[1]
    assert check.resistance == pytest.approx(112 / 1.15)


def test_heavy_cycles_of_all_cranes_count_and_exempt_nothing():
    stated = judged(crane("a", heavy_cycles=6000.0), crane("b", heavy_cycles=5000.0), unit={"normal": (1e-4, 1e-4)})
    assert (stated.exemption.cycles, stated.exemption.may_be_exempt) == (11_000.0, False)
    few = judged(crane(heavy_cycles=9000.0), unit={"normal": (9e-3,)})
    assert few.exemption.may_be_exempt and few.checks[0].state == "fails"
    assert judged(crane("a", heavy_cycles=1.0), crane("b"), unit={"normal": (1e-4, 1e-4)}).exemption is None


def test_a_crack_that_was_found_leaves_nothing_judged():
    outcome = judged(unit={"normal": (1e-4,)}, crack_found=True)
    assert [check.state for check in outcome.checks] == ["not judged"] and outcome.damage is None


def test_both_roads_are_compared_and_added_only_for_other_loads():
    same = judged(unit={"normal": (3e-4,)}, beside="d")
    roads, checks = with_counted("x", same, 0.1, past=False)
    assert checks == () and roads.ratio == pytest.approx(same.damage / 0.1)
    other = judged(unit={"normal": (3e-4,)}, beside="d", same_crane=False)
    _, (check,) = with_counted("x", other, 0.1, past=False)
    assert check.demand == pytest.approx(other.damage + 0.1)
    assert with_counted("x", other, 0.1, past=True)[1][0].state == "not judged"
    assert with_counted("x", same, 0.0, past=False)[0].ratio is None


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: strength_of("8.1-8", "normal"), "counts on grip of the joint"),
        (lambda: strength_of("B.1-1", "normal"), "is for hot-spot stress"),
        (lambda: strength_of(80, "normal", thickness=-1.0), "thickness must be above 0"),
        (lambda: place(), "nothing makes stress for category 71"),
        (lambda: place(crane(duty="S4"), web=Web(**FIXED)), "class S4 of crane 'one' asks for bending"),
        (lambda: place(web=Web(**FIXED), unit={"normal": (1e-4,)}), "the pressure under a wheel is vertical"),
        (lambda: place(web=Web(**FIXED, throat=5.0)), "throat goes with a category for the throat"),
        (lambda: place(normal="8.10-4", web=Web(**FIXED)), "category 8.10-4 is for the throats: give throat in web"),
        (lambda: place(normal="8.10-2"), "8.10-2 is for pressure under a wheel: give web"),
        (lambda: place(shear=80, web=Web(**FIXED)), "which adds to the local shear"),
        (lambda: place(unit={"normal": (1e-4,), "shear": (1e-4,)}), "shear stress is stated without a category"),
        (
            lambda: place(normal=None, shear=80, web=Web(**FIXED, bending=BENDING), unit={"shear": (0.0,)}),
            "bending of the web does nothing to shear stress",
        ),
        (lambda: place(crane(wheels=(0.0, 200.0)), web=Web(**FIXED)), "200 mm apart and spread over 239.5 mm each"),
    ],
)
def test_refused_places_say_why(make, words):
    with pytest.raises(InputError, match=words):
        make()
