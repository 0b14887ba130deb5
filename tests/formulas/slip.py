"""Results of the slip room; each class with a formula at least once."""

import dataclasses

import numpy as np

from slip.centre import centre_forces
from slip.joint import Plate
from slip.standards import standard

EN = standard("EN 1993")
M20 = EN.bolt("M20", "10.9")
M12 = EN.bolt("M12", "8.8")
PLATE = Plate("gusset", 10.0, "S355", 355.0, 470.0, 40.0, 30.0)


def results():
    """One of every kind."""
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
    yield EN.punching(head_diameter=32.3, thickness=8.0, ultimate_strength=470.0)
    areas = {"net_tension_area": 380.0, "net_shear_area": 1450.0, "yield_strength": 355.0, "ultimate_strength": 470.0}
    yield [EN.block_tearing(**areas, eccentric=eccentric) for eccentric in (False, True)]
    yield EN.net_section(net_area=2194.0, yield_strength=355.0)
    yield EN.net_section_rupture(net_area=2194.0, ultimate_strength=470.0)
    yield EN.directional_weld(
        throat=5.0, normal_force=300.0, cross_force=-200.0, axial_force=400.0, ultimate_strength=470.0, beta_w=0.9
    )
    yield EN.fillet_weld(leg=6.0, steel="S355", thickness=10.0, electrode=None, quality=None, angle=0.7)
    yield from supporting_columns()
    yield from results_of_prying()
    yield from results_of_plates_and_mixed_welds()
    yield from results_of_preload()
    yield from results_of_movement_and_welds()
    yield from results_of_plates_in_joints()
    yield from results_of_as4100_joints()
    yield from results_of_aisc360_joints()
    for law in ("bearing", "friction"):
        yield centre_forces([[-60, -40], [60, -40], [0, 70]], [2e3, -9e3, 1e6], law=law, strength=5e4)


def supporting_columns():
    """A stiff joint on a column, rigid or not, and on the lower end of one."""
    from slip.column_moment import Member, supporting_column

    beam, column = Member(8e7, 8000.0, "mirrored"), Member(4e7, 4000.0, "pinned")
    loads = {"fixed_end_moment": 96e6, "reaction": 120e3, "eccentricity": 150.0}
    yield supporting_column(beam, above=column, below=column, turn=0.0, **loads)
    yield supporting_column(beam, above=None, below=column, turn=6.25e-11, **loads)


def results_of_prying():
    """Flanges that pry on their bolts, and those that do not."""
    from slip.prying import Flange, prying_force
    from slip.standards import aisc360

    plate = Flange(20.0, "S355", 345.0, 470.0, m=45.0, e=40.0, length=400.0)
    for flange in (plate, dataclasses.replace(plate, bolt_length=80.0), dataclasses.replace(plate, bolt_length=900.0)):
        found = EN.prying(EN.bolt("M20", "10.9"), flange, hole_width=22.0)
        yield [found, prying_force(found, 80e3)]
    for thickness in (10.0, 19.0, 40.0):
        flange = dataclasses.replace(plate, thickness=thickness)
        yield aisc360.prying(aisc360.bolt("M20", "A325"), flange, hole_width=22.0)


def results_of_plates_and_mixed_welds():
    """Sections of plates in shear, and welds of unlike throats."""
    from loadhistories.blocks import block_of_arrays
    from slip.joint import Factors
    from slip.plate_checks import PlateShear
    from slip.standards import aisc360, as4100
    from slip.tightening import torque_ceiling, torque_steps
    from slip.welded import WeldedJoint, assess_welds

    plate = Plate("plate", 10.0, "S355", 355.0, 470.0, 40.0, 50.0)
    for rules, kinds in ((EN, ("gross", "net")), (aisc360, ("gross", "net")), (as4100, ("gross",))):
        yield [rules.plate_shear(plate, kind=kind, area=2500.0)[0] for kind in kinds]
    yield PlateShear(0.5, 300e3, 150e3)
    yield [torque_steps(4e5, first=0.75, final=1.1), torque_ceiling(0.25, 1e5, 20.0)]
    each = tuple(EN.fillet_weld(throat=throat, steel="S355") for throat in (3.0, 5.0))
    lines = np.array([[[-50, -100], [-50, 100]], [[50, -100], [60, 100]]], dtype=float)
    joint = WeldedJoint("joint", "EN 1993", lines, each[0], "shop", np.ones(6), Factors(), each=each)
    yield assess_welds(joint, [block_of_arrays("working", {"Fy": np.array([1e5])}, step=0.01, repeats=1.0)])


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


def without_moments(block):
    forces = np.array([[1.0], [1.0], [1.0], [0.0], [0.0], [0.0]])
    return dataclasses.replace(block, chunks=lambda: (chunk * forces for chunk in block.chunks()))


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
