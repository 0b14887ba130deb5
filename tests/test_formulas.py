"""A printed formula is a computed one: every formula of every result class gives the number that the result holds."""

import dataclasses
import importlib
import math
import pkgutil
import typing
from importlib.resources import as_file, files

import numpy as np
import pytest

import cli
import fatigue
import loadhistories
import slip
from fatigue.cycles import count_cycles
from fatigue.detail import detail
from fatigue.standards import standard as rules_of
from fatigue.stress import stress_of_net_section, stress_of_section, stress_of_shear_area
from loadhistories.figures import Figure, figure_values, recomputed
from slip.centre import centre_forces
from slip.joint import Plate
from slip.standards import standard

EN = standard("EN 1993")
M20 = EN.bolt("M20", "10.9")
M12 = EN.bolt("M12", "8.8")
PLATE = Plate("gusset", 10.0, "S355", 355.0, 470.0, 40.0, 30.0)


def classes_with_formulas():
    found = {}
    for package in (loadhistories, fatigue, slip, cli):
        for item in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            for value in vars(importlib.import_module(item.name)).values():
                if isinstance(value, type) and dataclasses.is_dataclass(value) and formulas_of(value):
                    found[f"{value.__module__}.{value.__qualname__}"] = value
    return found


def formulas_of(kind):
    hints = typing.get_type_hints(kind, include_extras=True)
    marks = [mark for hint in hints.values() for mark in getattr(hint, "__metadata__", ())]
    return [mark for mark in marks if isinstance(mark, Figure) and mark.formula]


def parts_of(value):
    """The results in a value, in whatever it holds them."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        yield value
        for field in dataclasses.fields(value):
            yield from parts_of(getattr(value, field.name))
    elif isinstance(value, (list, tuple)):
        for item in value:
            yield from parts_of(item)
    elif isinstance(value, dict):
        for item in value.values():
            yield from parts_of(item)


def built():
    """Results of real assessments, and of single calls for what these do not reach."""
    from cli.assess import assessed_joints
    from cli.job import read_job
    from loadhistories.occurrence import YEAR, repeats
    from slip.alignment import movement
    from slip.assessment import assess

    with as_file(files("loadhistories.samples")) as folder:
        job = read_job(folder / "drive_bracket.toml")
        yield [load.occurrence for load in job.loads]
        yield assessed_joints(job)
        for joint in job.joints:
            one = dataclasses.replace(
                joint.joint, positions=np.zeros((1, 2)), grid=None, alignment=None, permanent=np.zeros(6)
            )
            outcome = assess(one, [without_moments(load.block) for load in job.loads])
            yield outcome
            yield movement(outcome)
    for text in ("16 h/day", "100 h", "40/day, 250 day/year", "3/h, 16 h/day", "200000"):
        yield repeats(text, design_life=25 * YEAR, span=300.0)
    hole = EN.hole(M20, "normal")
    yield EN.preload_working(M20)
    yield EN.bearing(M20, hole, PLATE, end_distance=40.0, edge_distance=30.0, pitch=60.0, gauge=60.0)
    yield EN.bearing(M20, EN.hole(M20, "oversize"), PLATE, pitch=60.0, gauge=60.0)
    yield EN.bolt_shear(M12, 2, True, hole_clearance=2.0, joint_length=400.0, packing=12.0)
    yield EN.shear_with_tension(50e3, -80e3, shear_resistance=94e3, tension_resistance=141e3)
    for level in ("service", "ultimate"):
        for tension in (0.0, 60e3, 300e3, -60e3):
            yield EN.slip_resistance(
                preload=171_500.0, slip_factor=0.4, planes=2, hole_factor=0.85, level=level, tension=tension
            )
    yield from more_results()
    for law in ("bearing", "friction"):
        yield centre_forces([[-60, -40], [60, -40], [0, 70]], [2e3, -9e3, 1e6], law=law, strength=5e4)


def without_moments(block):
    forces = np.array([[1.0], [1.0], [1.0], [0.0], [0.0], [0.0]])
    return dataclasses.replace(block, chunks=lambda: (chunk * forces for chunk in block.chunks()))


def more_results():
    """Results of rules that no joint of the demo needs."""
    yield EN.punching(head_diameter=32.3, thickness=8.0, ultimate_strength=470.0)
    areas = {"net_tension_area": 380.0, "net_shear_area": 1450.0, "yield_strength": 355.0, "ultimate_strength": 470.0}
    yield [EN.block_tearing(**areas, eccentric=eccentric) for eccentric in (False, True)]
    yield EN.net_section(net_area=2194.0, yield_strength=355.0)
    yield EN.net_section_rupture(net_area=2194.0, ultimate_strength=470.0)
    yield EN.directional_weld(
        throat=5.0, normal_force=300.0, cross_force=-200.0, axial_force=400.0, ultimate_strength=470.0, beta_w=0.9
    )
    yield EN.fillet_weld(leg=6.0, steel="S355", thickness=10.0, electrode=None, quality=None, angle=0.7)
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
    yield from results_of_as4100(recipes)
    yield from results_of_as4100_joints()
    yield from results_of_plates_in_joints()
    yield from results_of_aisc360_joints()
    yield from results_of_aisc360(recipes)
    yield from results_of_cracks()
    yield from results_of_runways()
    yield from results_of_stress_recipes()
    yield from results_of_curves_and_points(recipes)
    yield from results_of_movement_and_welds()
    yield from results_of_preload()


def results_of_preload():
    from slip.preload import METHODS, preload_life, tightening_torque

    for method in METHODS:
        yield preload_life(172e3, method=method, surface="coated", grade="A325", coating_creep=0.05, later_loss=0.1)
    yield tightening_torque(0.13, 20.0, 172e3)


def results_of_movement_and_welds():
    from loadhistories.blocks import block_of_arrays
    from slip.alignment import PlayOfBolt, TurnOfPart
    from slip.frame import frame_deflection
    from slip.joint import Factors
    from slip.sharing_with_welds import SharedLoad
    from slip.tolerances import class_tolerance
    from slip.welded import WeldedJoint, assess_welds

    yield [frame_deflection([1.2, -0.5], 4.0), TurnOfPart(0.01, 0.02, 0.5e-3)]
    yield [PlayOfBolt(4.0, 2.0, 3.0, None, None, None), PlayOfBolt(2.0, 2.0, 2.0, 4.0, 0.0, 2.0)]
    yield [class_tolerance("crane rail 1", span=span, items=["span"]) for span in (10e3, 20e3, 90e3)]
    yield [class_tolerance("coupling 3000 rpm excellent"), SharedLoad(3.0, 0.75, 4.0, 0.5, 0.5, 2.0)]
    lines = np.array([[[0, 0], [0, 200]], [[0, 0], [100, 0]], [[0, 200], [100, 250]]], dtype=float)
    loads = {"Fx": [2e4], "Fy": [-1e5], "Fz": [3e4], "Mx": [2e6], "My": [-3e6], "Mz": [2e7]}
    block = block_of_arrays("working", {key: np.array(value) for key, value in loads.items()}, step=0.1, repeats=1.0)
    weld = EN.fillet_weld(leg=6.0, steel="S355")
    yield assess_welds(WeldedJoint("joint", "EN 1993", lines, weld, "shop", np.ones(6), Factors()), [block])


def results_of_plates_in_joints():
    """Sections, blocks, punching and bearing of a joint with tension, a moment and plates of known width."""
    from loadhistories.blocks import block_of_arrays
    from slip.assessment import assess
    from slip.joint import BoltedJoint, Grid, grid_positions

    plates = tuple(dataclasses.replace(PLATE, name=name, width=width) for name, width in (("a", 220.0), ("b", None)))
    loads = {"Fy": [-9e4, 3e4], "Fx": [2e4, 0.0], "Fz": [6e4, 0.0], "Mz": [5e6, -1e6]}
    block = block_of_arrays("w", {key: np.array(value) for key, value in loads.items()}, step=0.1, repeats=1.0)
    for columns in (1, 2, 3):
        grid = Grid(3, columns, 90.0, 60.0)
        places = np.add(grid_positions(grid), [10.0, -5.0])
        joint = BoltedJoint(
            "j", "EN 1993", places, "M20", "10.9", 171_500.0, "normal", "", "B", 0.4, 1,
            True, plates, "never", "", np.zeros(6), prying=1.2, packing=8.0,
        )  # fmt: skip
        loaded = block if columns > 1 else without_moments(block)
        outcome = assess(joint, [dataclasses.replace(loaded, chunks=lambda b=loaded: no_moment_x(b))])
        yield outcome.checks
    yield EN.fatigue_distance(M20, "pitch", 90.0)
    yield [EN.resin_bearing(M20, middle=middle, outer=10.0, strength=140.0) for middle in (8.0, 15.0, 40.0)]


def no_moment_x(block):
    """The block at the centroid of the bolts, where one column of them has no moment about its line."""
    for chunk in block.chunks():
        moved = chunk.copy()
        moved[4] = -10.0 * chunk[2]
        moved[3] = -5.0 * chunk[2]
        yield moved


def results_of_as4100_joints():
    rules = standard("AS 4100")
    bolt = rules.bolt("M20", "8.8")
    hole, slot = rules.hole(bolt, "normal"), rules.hole(bolt, "long slot")
    yield rules.preload_working(bolt)
    for tension in (0.0, 30e3, 200e3, -30e3):
        yield rules.slip_resistance(
            preload=145e3, slip_factor=0.35, planes=2, hole_factor=0.85, level="service", tension=tension
        )
    yield [rules.bolt_shear(bolt, 2, thread, joint_length=700.0, packing=12.0) for thread in (True, False)]
    yield rules.bolt_tension(bolt)
    yield rules.shear_with_tension(50e3, 80e3, shear_resistance=94e3, tension_resistance=141e3)
    yield rules.bearing(bolt, hole, PLATE, end_distance=40.0, pitch=60.0)
    yield rules.bearing(bolt, slot, PLATE, end_distance=90.0, slot_across_load=True)
    yield rules.resultant_bearing(bolt, hole, PLATE)
    yield rules.net_section(net_area=2194.0, ultimate_strength=430.0, distribution=0.9)
    areas = {"net_tension_area": 380.0, "net_shear_area": 1450.0, "yield_strength": 300.0, "ultimate_strength": 430.0}
    yield [rules.block_tearing(**areas, gross_shear_area=gross, eccentric=True) for gross in (2000.0, 3000.0)]
    yield rules.distance_checks(
        hole, thickness=10.0, end_distance=40.0, edge_distance=40.0, pitch=60.0, gauge=None, exposed=False
    )
    yield rules.fillet_weld(leg=6.0, electrode="E48XX", quality="GP", lap_length=3000.0)
    yield rules.plate_section(PLATE, kind="gross", area=2194.0, grips_at_ultimate=False)[0]


def results_of_aisc360_joints():
    rules = standard("AISC 360-22")
    bolt = rules.bolt("3/4 in", "A325")
    hole, slot = rules.hole(bolt, "normal"), rules.hole(bolt, "long slot")
    yield rules.preload_working(bolt)
    for method, tension in (("LRFD", 30e3), ("ASD", 30e3), ("LRFD", 200e3), ("LRFD", -30e3)):
        yield rules.slip_resistance(
            preload=124e3, slip_factor=0.3, planes=2, hole_factor=0.85, level="ultimate", tension=tension, fillers=2,
            method=method,
        )  # fmt: skip
    yield [rules.bolt_shear(bolt, 2, thread, joint_length=1000.0, packing=12.0) for thread in (True, False)]
    yield rules.bolt_tension(bolt)
    yield [rules.shear_with_tension(v, 80e3, shear_resistance=94e3, tension_resistance=141e3) for v in (9e3, 70e3)]
    yield rules.bearing(bolt, hole, PLATE, end_distance=40.0, pitch=60.0)
    yield rules.bearing(bolt, slot, PLATE, end_distance=90.0, slot_across_load=True)
    yield rules.resultant_bearing(bolt, slot, PLATE)
    yield rules.net_section(net_area=2194.0, ultimate_strength=430.0, shear_lag=0.9)
    yield rules.gross_section(gross_area=2500.0, yield_strength=300.0)
    areas = {"net_tension_area": 380.0, "net_shear_area": 1450.0, "yield_strength": 300.0, "ultimate_strength": 430.0}
    yield [rules.block_tearing(**areas, gross_shear_area=gross, eccentric=True) for gross in (2000.0, 3000.0)]
    for kind in (hole, slot):
        yield rules.distance_checks(
            kind, thickness=10.0, end_distance=40.0, edge_distance=40.0, pitch=60.0, gauge=None, exposed=False
        )
    yield rules.fillet_weld(leg=6.0, electrode="E70XX", angle=0.7, lap_length=1500.0)
    yield rules.fillet_weld_group(along=200e3, across=100e3)


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
    yield from life_results()


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
    from fatigue.random_stress import random_check, random_damage, random_task, sum_check
    from fatigue.stress import stress_per_component
    from loadhistories.occurrence import repeats

    item = detail("d", standard="EN 1993", category=71, recipe=stress_per_component({"Fy": 1e-3}))
    times = repeats("16 h/day", design_life=25 * 31_557_600.0, span=1.0)
    task = random_task("d.csv", np.array([1.0, 5.0]), np.array([40.0, 10.0]), times)
    found = random_damage(item, task, factors=rules_of("EN 1993").partial_factors("safe life", "high"))
    yield [random_check("random:1", "d", task, found).working, sum_check("random:1:together", "d", found, counted=0.2)]


def damage_of(item):
    return rules_of("EN 1993").detail_damage(
        item,
        [count_cycles(np.array([0.0, 90.0, -20.0, 60.0, 0.0]))],
        blocks=[("working", 1e4)],
        factors=rules_of("EN 1993").partial_factors("safe life", "high"),
        design_life=25 * 31_557_600.0,
        permanent_stress=5.0,
    )


def test_every_formula_of_every_result_class_gives_the_stored_number():
    known = classes_with_formulas()
    seen = set()
    for value in built():
        for result in parts_of(value):
            name = f"{type(result).__module__}.{type(result).__qualname__}"
            if name not in known:
                continue
            seen.add(name)
            for figure, stored, again in recomputed(result):
                assert again == pytest.approx(stored, rel=1e-9, abs=1e-9 * scale_of(result)), (name, figure.symbol)
    assert set(known) <= seen, "no test builds these results"


def scale_of(result):
    """Size against which the rounding of a difference of large numbers is measured."""
    return max((abs(item.value) for item in figure_values(result) if math.isfinite(item.value)), default=1.0) * 1e-3


def test_a_formula_that_was_not_computed_is_found():
    @dataclasses.dataclass(frozen=True)
    class Wrong:
        force: typing.Annotated[float, Figure("F", "N")]
        stress: typing.Annotated[float, Figure("σ", "MPa", "F / 2")]

    # Hints of a class inside a function resolve here because the annotations are no strings.
    ((_, stored, again),) = recomputed(Wrong(10.0, 4.0))
    assert (stored, again) == (4.0, 5.0)


def test_formulas_know_plain_arithmetic_only():
    from loadhistories.figures import evaluate

    assert evaluate("min(a, 2) ** 2 / sqrt(4) - -b", {"a": 3.0, "b": 1.0}) == 3.0
    with pytest.raises(ValueError, match="more than plain arithmetic"):
        evaluate("a.__class__", {"a": 1.0})
    with pytest.raises(KeyError):
        evaluate("a + c", {"a": 1.0})
