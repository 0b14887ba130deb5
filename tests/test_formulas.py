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
