"""Results of the fatigue room; each class with a formula at least once."""

import numpy as np

from fatigue.cycles import count_cycles
from fatigue.detail import detail
from fatigue.standards import standard as rules_of
from fatigue.stress import stress_of_net_section, stress_of_section, stress_of_shear_area


def results():
    """One of every kind."""
    moduli, second = {"y": 1e5, "z": -2e5}, {"y": 1e7, "z": 2e7}
    recipes = [
        stress_of_section("x", area=5000.0, moduli=moduli),
        stress_of_section("x", area=5000.0, second_moments=second, point={"y": 50.0, "z": -100.0}),
        stress_of_shear_area("Fy", 1000.0),
        stress_of_net_section("Fz", width=200.0, thickness=10.0, holes=2, hole_diameter=22.0),
    ]
    yield [recipe.working for recipe in recipes]
    sizes = {"8.3-5": {"thickness": 40.0}, "8.1-14": {"diameter": 36.0}}
    sizes["8.3-17"] = {"thickness": 20.0, "thicker": 30.0, "eccentricity": 3.0}
    for category, given in sizes.items():
        item = detail("d", standard="EN 1993", recipe=recipes[0], category=category, yield_strength=355.0, **given)
        yield item.size_effect
        yield damage_of(item)
    yield damage_of(detail("s", standard="EN 1993", recipe=recipes[2], category="8.1-6-7", yield_strength=355.0))
    yield from results_of_stress_recipes()
    yield from results_of_as4100(recipes)
    yield from results_of_aisc360(recipes)
    yield from results_of_curves_and_points(recipes)
    yield from results_of_cracks()
    yield from results_of_runways()


def results_of_stress_recipes():
    from fatigue.bolt_stress import share_of_stiffness, stress_of_bolt_tension
    from fatigue.hotspot import stress_of_hot_spot
    from fatigue.lever import standing_at
    from fatigue.net_bending import stress_of_bent_net_section
    from fatigue.section_stress import stress_of_shape
    from fatigue.weld_stress import stress_of_welds

    upper = {"height": 300.0, "web_thickness": 8.0, "top_width": 150.0, "top_thickness": 12.0}
    lower = {"bottom_width": 200.0, "bottom_thickness": 20.0}
    lines = [[[10, 20], [10, 220]], [[10, 20], [110, 30]]]
    axial = [[0, 0, 0.5, -0.01, 0.002, 0], [0, 0, 0.5, 0.01, -0.002, 0]]
    made = [
        standing_at(stress_of_shape("x", "z", "corners", shape="I", **upper, **lower), (10.0, -20.0, 300.0)),
        stress_of_shape("y", "x", "+x", shape="box", height=200.0, width=90.0, flange_thickness=9.0, web_thickness=5.0),
        stress_of_shape("z", "x", "+x +y", shape="rectangle", height=200.0, width=12.0),
        stress_of_shape("z", "x", "around", shape="tube", diameter=114.3, wall=6.3),
        stress_of_bent_net_section(
            "Fx", "Mz", width=200.0, thickness=10.0, hole_diameter=22.0, hole_offsets=[-50.0, 0.0, 50.0]
        ),
        stress_of_hot_spot("0.4 t, 1.0 t", [{"Fy": 1e-3, "Mz": 2e-6}, {"Fy": 8e-4, "Mz": 1e-6}]),
        stress_of_hot_spot("0.4 t, 0.9 t, 1.4 t", [{"Fy": 1e-3}, {"Fy": 8e-4}, {"Fy": 7e-4}]),
        stress_of_bolt_tension(axial, area=245.0, prying=1.2, share=share_of_stiffness(2.5), preload=172e3),
        stress_of_welds(lines, "normal", leg=6.0),
        stress_of_welds(lines, "shear", throat=5.0),
    ]
    yield [(recipe.working, recipe.workings) for recipe in made]


def results_of_as4100(recipes):
    rules = rules_of("AS 4100")
    normal = {"category": "11.5.1(4)-28a", "thickness": 40.0, "recipe": recipes[0]}
    shear = {"category": "11.5.1(4)-32", "recipe": recipes[2]}
    factors = rules.partial_factors("not redundant", "regular", "not highly irregular")
    yield factors
    sums = []
    for given in (normal, shear):
        item = detail("d", standard="AS 4100", yield_strength=300.0, **given)
        yield item.size_effect
        for history in ([0.0, 90.0, -20.0, 60.0, 20.0, 60.0, 0.0], [0.0, 60.0, 0.0]):
            sums.append(
                rules.detail_damage(
                    item, [count_cycles(np.array(history))], blocks=[("working", 1e5)], factors=factors,
                    design_life=25 * 31_557_600.0, permanent_stress=5.0,
                )
            )  # fmt: skip
    yield sums
    yield rules.together(sums[0], sums[2])


def results_of_aisc360(recipes):
    rules = rules_of("AISC 360-22")
    factors = rules.partial_factors("SI")
    yield [factors, rules.net_tensile_area(20.0, pitch=2.5), rules.bolt_tension_share(prying=1.1)]
    welds = {"thickness": 20.0, "leg": 8.0}
    given = [("E", {}), ("5.7-root", welds), ("5.6-root", {**welds, "root_face": 12.0}), ("A", {})]
    for category, sizes in given:
        item = detail("d", standard="AISC 360-22", recipe=recipes[0], category=category, yield_strength=250.0, **sizes)
        yield rules.detail_damage(
            item, [count_cycles(np.array([0.0, 90.0, -20.0, 60.0, 0.0]))], blocks=[("working", 1e4)], factors=factors,
            design_life=25 * 31_557_600.0, permanent_stress=5.0,
        )  # fmt: skip


def results_of_curves_and_points(recipes):
    from fatigue.curves_only import own_safety

    for thickness in (20.0, 40.0):
        item = detail(
            "d", standard="DNV-RP-C203", recipe=recipes[0], category="D", thickness=thickness,
            safety=own_safety(1.25, 3.0),
        )  # fmt: skip
        yield item.size_effect
        yield rules_of(item.standard).detail_damage(
            item, [count_cycles(np.array([0.0, 90.0, -20.0, 60.0, 0.0]))], blocks=[("working", 1e4)],
            factors=item.safety, design_life=25 * 31_557_600.0,
        )  # fmt: skip
    stars = {"starred": "limit at 1e7"}
    normal = damage_of(detail("n", standard="EN 1993", recipe=recipes[0], category="8.10-4", conditions=stars))
    shear = damage_of(detail("s", standard="EN 1993", recipe=recipes[2], category="8.5-3t"))
    yield normal
    yield [check.working for check in rules_of("EN 1993").point_checks(1, "root", normal, shear)]


def results_of_cracks():
    from fatigue.crack_toe import WeldToe
    from fatigue.cracks import EdgeCrack, PlainCrack, SurfaceCrack
    from fatigue.growth import yearly_spectrum
    from fatigue.growth_laws import constant_growth, growth_law
    from fatigue.inspection import Detection, Failure, inspection_plan

    laws = [growth_law(name, condition="as welded") for name in ("simplified", "two-stage, high ratio, mean")]
    yield constant_growth(laws[0], factor=1.12, stress_range=80.0, start=0.5, end=12.0)
    shapes = [
        (PlainCrack(1.12), (2.0,)), (EdgeCrack(60.0, 0.3, WeldToe(30.0)), (2.0,)),
        (SurfaceCrack(20.0, 300.0, 0.3, WeldToe(40.0)), (2.0, 5.0)),
    ]  # fmt: skip
    failure = Failure(150.0, 100.0, toughness=4000.0, toughness_share=0.7)
    for law in laws:
        for crack, size in shapes:
            yield inspection_plan(
                crack, law, yearly_spectrum([80.0, 40.0], [1e4, 1e5], years=1), share=0.5, found="none",
                detection=Detection("eddy current", size, "trial"), failure=failure,
            )  # fmt: skip


def results_of_runways():
    from fatigue import crane_duty, runway

    duty = crane_duty.s_class("S4")
    factors = crane_duty.dynamic_factors("HC2", hoisting_speed=100.0, own=1.1)
    yield [duty, factors, crane_duty.duty_class("U6", "Q3")]
    load = crane_duty.equivalent_wheel_load(40e3, 60e3, factors=factors, duty=duty)
    yield [load, runway.wheel_pressure(load.normal, seat="elastic pad", web_thickness=8.0, rail=3e6, flange=1e6)]
    yield runway.web_bending(
        1e5, rail_width=55.0, web_thickness=10.0, web_height=600.0, spacing=1500.0, flange_torsion=1e6
    )
    damage = runway.equivalent_damage(
        factors=rules_of("EN 1993").partial_factors("safe life", "high"), normal_range=40.0, shear_range=20.0,
        normal_category=71, shear_category=80,
    )  # fmt: skip
    yield runway.cranes_together([damage, damage], damage)
    yield from results_of_wheels(factors)
    yield from life_results()


def results_of_wheels(factors):
    from fatigue import wheels
    from fatigue.crane_duty import s_class
    from fatigue.wheel_damage import judge_place, with_counted
    from fatigue.wheel_girder import GirderSection
    from loadhistories.girder import girder

    yield wheels.FatigueFactors(1.05, 1.1)
    bent = {"rail_width": 55.0, "web_height": 600.0, "spacing": 1500.0, "flange_torsion": 1e6}
    web = {"thickness": 10.0, "seat": "fixed", "inertias": {"rail_and_flange": 4e6}, "bending": bent}
    cranes = tuple(wheels.Crane(k, s_class(k), None, factors, 5e4, 1e5, (0.0, 3200.0)) for k in ("S4", "S5"))
    strengths = {k: wheels.strength_of(c, k) for k, c in (("normal", 71), ("shear", 80))}
    throat = {"normal": wheels.strength_of("8.10-4", "normal")}
    span = girder([1e4, 8e3], system="continuous")
    beam, local = GirderSection(span, 4e3, None, 7e3), wheels.Web(**web)
    partial = rules_of("EN 1993").partial_factors("safe life", "high")
    for given in (
        wheels.RunwayPlace("a", cranes, strengths, 2.0, local, beam, None, 2e3, same_crane=False),
        wheels.RunwayPlace("b", cranes[:1], throat, 1.0, wheels.Web(**web, throat=5.0)),
        wheels.RunwayPlace("c", cranes, strengths, 1.0, None, GirderSection(span, 4e3, 4e6, 7e3), None, 2e3),
        wheels.RunwayPlace("d", cranes[:1], strengths, 1.0, None, GirderSection(span, 4e3, 4e6, 7e3)),
        wheels.RunwayPlace("e", cranes, strengths, 1.0, None, None, {"normal": (1e-3, 2e-3), "shear": (1e-4, 1e-4)}),
    ):
        found = judge_place(1, given, factors=partial)
        yield [check.working for check in found.checks]
        yield with_counted("x", found, 0.3, past=False)


def life_results():
    """Results of the life beside its damage, and of random stress."""
    from fatigue.random_vibration import dirlik_shape, spectral_moments
    from fatigue.remaining import remaining_life
    from fatigue.resampling import LifeInterval
    from fatigue.scatter import failure_damage

    for past in (0.4, 1.2):
        yield remaining_life(past_damage=past, damage=0.5, allowed=1.0, served=20.0, design_life=25.0)
    yield LifeInterval(200, 40, 1, 25.0, 0.5, 0.4, 0.8, 25.0 * 0.5 / 0.8, 25.0 * 0.5 / 0.4)
    moments = spectral_moments([0.5, 3.0, 12.0], [20.0, 60.0, 1.0])
    yield [moments, dirlik_shape(moments), failure_damage()]
    yield from results_of_random_stress()


def results_of_random_stress():
    from types import SimpleNamespace

    from fatigue.random_stress import point_with_random, random_check, random_damage, random_task, sum_check
    from fatigue.stress import stress_per_component
    from loadhistories.occurrence import repeats

    item = detail("d", standard="EN 1993", category=71, recipe=stress_per_component({"Fy": 1e-3}))
    times = repeats("16 h/day", design_life=25 * 31_557_600.0, span=1.0)
    task = random_task("d.csv", np.array([1.0, 5.0]), np.array([40.0, 10.0]), times)
    found = random_damage(item, task, factors=rules_of("EN 1993").partial_factors("safe life", "high"))
    yield [random_check("random:1", "d", task, found).working, sum_check("random:1:together", "d", found, counted=0.2)]
    yield sum_check("random:1:together", "d", found, counted=0.2, years=25.0).working
    point = SimpleNamespace(result=SimpleNamespace(damage=0.2), random=found)
    yield point_with_random("p", "p", point, point).working


def damage_of(item):
    return rules_of("EN 1993").detail_damage(
        item,
        [count_cycles(np.array([0.0, 90.0, -20.0, 60.0, 0.0]))],
        blocks=[("working", 1e4)],
        factors=rules_of("EN 1993").partial_factors("safe life", "high"),
        design_life=25 * 31_557_600.0,
        permanent_stress=5.0,
    )
