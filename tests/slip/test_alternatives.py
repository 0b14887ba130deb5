"""The ladder: relaxing a demand never makes a rung fail; keys, dowels, groove welds and shanks by hand."""

import math
from pathlib import Path

import numpy as np
import pytest

from cli.compare import compare_job
from cli.compare_rates import read_rates
from cli.job import read_job
from fatigue.bolt_shear import stress_of_bolt_shear
from loadhistories.blocks import block_of_arrays
from loadhistories.validation import InputError
from slip.alternatives.bolts import sizes_like
from slip.alternatives.search import MOST_CANDIDATES, Candidate, first_that_does
from slip.groove_welds import factored, full_penetration, partial_penetration
from slip.joint import BoltedJoint, Grid, Plate, grid_positions
from slip.shear_parts import Dowels, ShearKey, ShearParts, relieved, shear_part_checks
from slip.standards import standard

JOB = Path(__file__).parents[1] / "jobs" / "compare_en1993.toml"
SCALES = (1.0, 1.6)
PLATES = (
    Plate("hanger", 16.0, "S355", 355.0, 470.0, 50.0, 40.0),
    Plate("gusset", 20.0, "S355", 345.0, 470.0, 50.0, 60.0),
)


def states_of(folder, *, scale=1.0, times="20000", slip="never"):
    """State of every rung for the job with its record scaled."""
    rows = JOB.with_suffix(".csv").read_text(encoding="utf-8").splitlines()
    pairs = (row.split(",") for row in rows[1:])
    scaled = [rows[0], *(f"{time},{scale * float(value)!r}" for time, value in pairs)]
    (folder / "compare_en1993.csv").write_text("\n".join(scaled) + "\n", encoding="utf-8")
    text = JOB.read_text(encoding="utf-8").replace('"20000"', f'"{times}"')
    text = text.replace('slip = "never"', f'slip = "{slip}"')
    (folder / "job.toml").write_text(text, encoding="utf-8")
    (found,) = compare_job(read_job(folder / "job.toml"), read_rates(None))
    return {rung.kind: rung.state for rung in found.alternatives}


@pytest.fixture(scope="module")
def strict_states(tmp_path_factory):
    return {scale: states_of(tmp_path_factory.mktemp("strict"), scale=scale) for scale in SCALES}


@pytest.mark.parametrize(
    "relaxed", [{"less": 0.9}, {"less": 0.4}, {"times": "200"}, {"slip": "not in service"}, {"slip": "allowed"}]
)
@pytest.mark.parametrize("scale", SCALES)
def test_relaxing_a_demand_never_makes_an_alternative_fail(relaxed, scale, tmp_path, strict_states):
    strict = strict_states[scale]
    given = {key: value for key, value in relaxed.items() if key != "less"}
    eased = states_of(tmp_path, scale=scale * relaxed.get("less", 1.0), **given)
    assert {kind for kind, state in strict.items() if state == "holds"} <= {
        kind for kind, state in eased.items() if state == "holds"
    }


def joint_of(**changes):
    grid = Grid(2, 2, 80.0, 120.0)
    given = {
        "name": "joint", "standard": "EN 1993", "positions": grid_positions(grid), "size": "M20", "grade": "10.9",
        "preload": 171_500.0, "holes": "normal", "slot_axis": "", "surface": "C", "slip_factor": 0.3, "planes": 1,
        "threads_in_plane": True, "plates": PLATES, "slip": "never", "because": "", "permanent": np.zeros(6),
        "grid": grid,
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def key_of(**changes):
    weld = standard("EN 1993").fillet_weld(leg=10.0, steel="S355")
    given = {"axis": "y", "width": 50.0, "depth": 12.0, "length": 24.0, "steel": "S355", "yield_strength": 355.0,
             "ultimate_strength": 470.0, "clearance": 0.0, "weld": weld}  # fmt: skip
    return ShearKey(**{**given, **changes})


def used(checks):
    return {check.id: check.utilisation for check in checks}


def test_a_key_along_x_holds_what_a_key_along_y_holds():
    ways = {}
    for axis in "xy":
        parts = ShearParts(key=key_of(axis=axis))
        loads = [block_of_arrays("w", {f"F{axis}": np.array([0.0, -120e3, 20e3])}, step=1.0, repeats=1.0)]
        ways[axis] = used(shear_part_checks(parts, joint_of(), loads, np.zeros(6)))
    assert ways["x"] == pytest.approx(ways["y"])


def test_a_key_relieves_the_bolts_of_its_force_and_dowels_of_all_in_the_plane():
    loads = {name: np.array([1.0, 2.0]) for name in ("Fx", "Fy", "Fz", "Mz")}
    block = block_of_arrays("w", loads, step=1.0, repeats=1.0)
    (by_key,) = relieved(ShearParts(key=key_of()), block).chunks()
    (by_dowels,) = relieved(ShearParts(dowels=Dowels(np.zeros((2, 2)), 20.0, "S", 1.0, 1.0)), block).chunks()
    assert by_key[:, 1].tolist() == [2.0, 0.0, 2.0, 0.0, 0.0, 2.0]
    assert by_dowels[:, 1].tolist() == [0.0, 0.0, 2.0, 0.0, 0.0, 0.0]
    assert relieved(None, block) is block


def test_dowels_carry_a_moment_by_their_distance():
    """12 kN m over 200 mm: 60 kN each; permanent load with its factor 1.35."""
    dowels = Dowels(np.array([[0.0, -100.0], [0.0, 100.0]]), 25.0, "S355", 355.0, 470.0)
    loads = [block_of_arrays("w", {"Mz": np.array([0.0, 0.0])}, step=1.0, repeats=1.0)]
    permanent = np.array([0, 0, 0, 0, 0, 12e6])
    found = shear_part_checks(ShearParts(dowels=dowels), joint_of(), loads, permanent)
    assert found[0].demand == pytest.approx(1.35 * 60e3)


def test_long_dowels_bend_and_are_not_judged():
    """Plates of 36 mm against three diameters of 10 mm."""
    dowels = Dowels(np.array([[0.0, -100.0], [0.0, 100.0]]), 10.0, "S355", 355.0, 470.0)
    loads = [block_of_arrays("w", {"Fy": np.array([0.0, 1.0])}, step=1.0, repeats=1.0)]
    found = shear_part_checks(ShearParts(dowels=dowels), joint_of(), loads, np.zeros(6))
    assert found[-1].state == "not judged" and "more than 3 diameters bends" in found[-1].reason


def test_shear_of_one_shank_is_its_force_over_its_area():
    """Along a projection exactly: 1 / cos(pi / 16) above the force over the area; two planes halve it."""
    rows = [[[0.5, 0, 0, 0, 0, 0.0], [0, 0.5, 0, 0, 0, 0.0]]]
    one, two = (stress_of_bolt_shear(rows, area=314.0, planes=n).stress_of([1000.0, 0, 0, 0, 0, 0]) for n in (1, 2))
    assert np.abs(one).max() == pytest.approx(500 / 314 / math.cos(math.pi / 16))
    assert np.abs(two).max() == pytest.approx(np.abs(one).max() / 2)


@pytest.mark.parametrize("angle", [0.0, 0.3, 1.1, 2.0])
def test_projections_bound_the_shear_of_a_shank_in_every_direction_by_2_percent(angle):
    rows = [[[1.0, 0, 0, 0, 0, 0.0], [0, 1.0, 0, 0, 0, 0.0]]]
    load = [math.cos(angle), math.sin(angle), 0, 0, 0, 0]
    stress = np.abs(stress_of_bolt_shear(rows, area=1.0).stress_of(load)).max()
    assert 1.0 <= stress <= 1.02


def test_groove_welds_refuse_what_leaves_nothing():
    with pytest.raises(InputError, match="depth must be above the 3 mm that are not counted, got 3"):
        partial_penetration("EN 1993", depth=3.0, steel="S355")
    with pytest.raises(InputError, match=r"strength factor must not be above 1, got 1\.2"):
        factored(full_penetration("EN 1993", thickness=20.0, yield_strength=345.0), 1.2)


def test_a_bevel_is_as_strong_as_a_fillet_of_its_throat():
    found = partial_penetration("EN 1993", depth=8.0, steel="S355")
    assert found.strength == pytest.approx(standard("EN 1993").fillet_weld(throat=5.0, steel="S355").strength)
    inch = partial_penetration("AISC 360-22", depth=8.0, electrode="E70XX")
    assert inch.strength == pytest.approx(0.45 * 70 * 6.894757 * (8 - 3.175))


@pytest.mark.parametrize(
    ("name", "size", "grade", "after"),
    [("EN 1993", "M20", "10.9", "M22"), ("AS 4100", "M24", "8.8", "M27"), ("AISC 360-22", "7/8 in", "A325", "1 in")],
)
def test_the_next_larger_size_is_of_the_same_table(name, size, grade, after):
    names = sizes_like(joint_of(standard=name, size=size, grade=grade))
    assert names[names.index(size) + 1] == after


def test_a_search_ends_and_says_so():
    from slip.alternatives.alternative import Judged, Proposal, Situation

    joint = joint_of()
    block = block_of_arrays("w", {"Fy": np.array([0.0, -1.0])}, step=1.0, repeats=1.0)
    failing = Judged("fails", 1.5, (), ("grip 1.5",), False)
    situation = Situation(joint, [block], [block], "y", {}, (), lambda proposal: failing)
    many = (Candidate(f"way {number}", Proposal(joint)) for number in range(MOST_CANDIDATES + 5))
    found = first_that_does(situation, "more bolts", many)
    assert found.state == "fails" and found.title == "way 0; does not do"
    assert len(found.tried) == MOST_CANDIDATES + 1 and "the search ends after" in found.tried[-1].reason
