"""A printed formula is a computed one: every formula of every result class gives the number that the result holds.

What is built of each room stands in tests/formulas, in a file of the room's name.
"""

import dataclasses
import importlib
import math
import pkgutil
import runpy
import typing
from importlib.resources import as_file, files
from pathlib import Path

import numpy as np
import pytest

import cli
import fatigue
import loadhistories
import slip
from loadhistories.figures import Figure, figure_values, recomputed

HERE = Path(__file__).parent
ROOMS = {room: runpy.run_path(str(HERE / "formulas" / f"{room}.py")) for room in ("loadhistories", "fatigue", "slip")}


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
            outcome = assess(one, [ROOMS["slip"]["without_moments"](load.block) for load in job.loads])
            yield outcome
            yield movement(outcome)
    for room in ROOMS.values():
        yield from room["results"]()
    yield from results_of_alternatives()


def results_of_alternatives():
    from cli.compare import compare_job
    from cli.compare_contract import quantities, work_items
    from cli.compare_rates import read_rates
    from cli.job import read_job
    from slip.groove_welds import factored, full_penetration, partial_penetration

    own = read_rates(None)
    (found,) = compare_job(read_job(Path(__file__).parent / "jobs" / "compare_en1993.toml"), own)
    weld = full_penetration("AS 4100", thickness=16.0, yield_strength=300.0)
    yield [weld, factored(weld, 0.8), partial_penetration("AISC 360-22", depth=10.0, electrode="E70XX")]
    for rung in found.alternatives:
        yield rung
        if rung.proposal is not None:
            taken = quantities(found.situation, rung.proposal)
            yield [taken, work_items(rung.proposal, taken, own.rates)]
    yield [shear_parts_working(rung.proposal, found.situation) for rung in found.alternatives if rung.proposal]


def shear_parts_working(proposal, situation):
    from fatigue.bolt_shear import stress_of_bolt_shear
    from slip.sharing import sharing_matrices
    from slip.shear_parts import shear_part_checks

    recipe = stress_of_bolt_shear(sharing_matrices(situation.joint.positions)[0], area=314.0, planes=2)
    checks = ()
    if proposal.parts is not None:
        checks = shear_part_checks(proposal.parts, situation.joint, situation.blocks, np.zeros(6))
    return [recipe, checks]


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
