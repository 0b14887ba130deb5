"""Results of the room of load histories; each class with a formula at least once."""

import numpy as np


def results():
    """One of every kind."""
    from loadhistories.occurrence import YEAR, repeats

    for text in ("16 h/day", "100 h", "40/day, 250 day/year", "3/h, 16 h/day", "200000"):
        yield repeats(text, design_life=25 * YEAR, span=300.0)
    yield from results_of_records()
    yield from results_of_machines()
    yield from results_of_cranes()


def results_of_records():
    """A strain gauge as force and as moment, and a sampling test."""
    from loadhistories.sampling import sampling_of
    from loadhistories.strain import strain_force, strain_moment

    gauge = {"gauge_factor": 2.08, "set_to": 2.0, "bridge": 2.0}
    yield [strain_force(210e3, **gauge, area=12e3), strain_moment(210e3, **gauge, section_modulus=48e3)]
    yield sampling_of(np.sin(np.arange(400.0) / 2.0), 0.01, 0.0)


def results_of_machines():
    from fractions import Fraction

    from fatigue.stated_duty import stated_duty
    from loadhistories import machine, unbalance
    from loadhistories.exciters import rotating
    from loadhistories.occurrence import repeats
    from loadhistories.support import support, support_response

    yield unbalance.mass_unbalance(40.0, 50.0, 94.0)
    yield unbalance.force_unbalance(2000.0, 94.0, 150.0)
    yield unbalance.grade_unbalance("G 6.3", 200.0, 94.0, factor=2.0)
    yield unbalance.crank_forces(60.0, 150.0, 600.0, 50.0)
    yield support_response(2000.0, 15.0, support(4.0, 0.05), direction="Vertical", source="fan")
    fans = rotating("a", Fraction(15), 20.0) + rotating("b", Fraction(74, 5), 20.0)
    given = machine.Machine(
        (None, None), fans, start=machine.ramp(1.0, rising=True), stop=machine.ramp(1.0, rising=False)
    )
    yield machine.beats(given)
    yield machine.passages(given, machine.running_history(given), machine.start_stop_history(given))
    yield stated_duty(
        [np.array([0.0, 10.0, 0.0])], repeats("3/day", design_life=3e8, span=3.0), channel="Vertical", stated=4.0,
        per="day", smallest=5.0, threshold="5 N", tolerance=0.2, design_life=3e8,
    )  # fmt: skip


def results_of_cranes():
    from loadhistories.crane import crane, fatigue_factors
    from loadhistories.crane_class import SPECTRA, lifts_of_class
    from loadhistories.crane_ledger import ledger
    from loadhistories.crane_passages import Handling, Places, working_cycle
    from loadhistories.girder import girder

    machine = crane(
        rated_load=9e4, bridge=1e5, crab=2e4, span=2e4, approach=(1e3, 1e3), spacings=[3e3], own_factor=1.05,
        hoist_factor=1.1,
    )  # fmt: skip
    places = Places(girder([6e3], system="simple spans"), (-9e3, 15e3), 2e3, None, 300.0)
    cycle = working_cycle(machine, Handling(8e4, 3e3, 9e3), places, start=-3e3, end=9e3, speed=700.0)
    yield [cycle.loaded, cycle.empty, fatigue_factors(1.1, 1.2)]
    yield ledger(cycle, "40/day", places.title, lifts=2e5, share=0.25)
    yield [lifts_of_class(kind, cycles=1e5, factor=0.125, rated_load=9e4) for kind in SPECTRA]
