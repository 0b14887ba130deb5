import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fatigue import count_cycles
from loadhistories.crane import crane, fatigue_factors
from loadhistories.crane_class import lifts_of_class
from loadhistories.crane_ledger import ledger
from loadhistories.crane_passages import Handling, Partner, Places, working_cycle
from loadhistories.girder import girder
from loadhistories.validation import InputError

DATA = {
    "rated_load": 100e3, "bridge": 120e3, "crab": 20e3, "span": 20e3, "approach": (1e3, 1e3), "spacings": [3e3],
    "own_factor": 1.0, "hoist_factor": 1.0,
}  # fmt: skip
PLAIN = crane(**DATA)
LIFT = Handling(100e3, 2e3, 2e3)


def girder_at(section, support=None, spans=(6e3, 6e3), system="continuous", runway=None):
    beam = girder(spans, system=system, modulus=210e3, second_moments=[1e9])
    return Places(beam, runway or (-2e4, sum(spans) + 2e4), section, support, 400.0)


def cycle_of(places, machine=PLAIN, handling=LIFT, start=-5e3, end=17e3, **more):
    return working_cycle(machine, handling, places, start=start, end=end, speed=1e3, **more)


def counted(values):
    """Ranges and numbers of the cycles of one repeat among many."""
    one = count_cycles(values)
    ten, eleven = 10 * one, 11 * one
    found: dict[float, float] = {}
    for count, sign in ((eleven, 1.0), (ten, -1.0)):
        for size, number in zip(count.ranges, count.counts, strict=True):
            key = round(float(size), 3)
            found[key] = found.get(key, 0.0) + sign * number
    return {size: number for size, number in found.items() if abs(number) > 1e-9 and size > 0.0}


def test_wheel_loads_by_the_lever_rule():
    """Hook 2 m from the rail of a bridge of 20 m: 0.9 of crab and load; 60 + 0.9 x 120 = 168 kN, 84 kN a wheel."""
    found = PLAIN.wheel_loads(100e3, 2e3)
    assert (found.lever, found.total, found.largest) == pytest.approx((0.9, 168e3, 84e3))


def test_fatigue_factors_of_the_article_on_a_crane_runway_beam():
    """phi_fat = (1 + phi) / 2, as an article on the fatigue of a crane runway beam quotes EN 1991-3, 2.12.1."""
    found = fatigue_factors(1.1, 1.134)
    assert (found.own, found.hoist) == pytest.approx((1.05, 1.067))


def test_dynamic_factors_act_on_own_weight_and_hoist_load():
    """1.05 x (60 + 0.9 x 20) + 1.1 x 0.9 x 100 = 81.9 + 99 = 180.9 kN."""
    machine = crane(**{**DATA, "own_factor": 1.05, "hoist_factor": 1.1})
    assert machine.wheel_loads(100e3, 2e3).total == pytest.approx(180.9e3)


def test_the_classic_maximum_below_two_wheels_stands_in_the_history_itself():
    """P / (2 L) (L - a / 2)^2 with P = 84 kN, L = 8 m, a = 2 m: 257.25 kNm at a / 4 from the middle."""
    machine = crane(**{**DATA, "spacings": [2e3]})
    found = cycle_of(girder_at(3.5e3, spans=(8e3,), system="simple spans"), machine)
    assert found.history.channel("Moment").max() == pytest.approx(84e3 / 16e3 * 7e3**2, rel=1e-12)


def test_peaks_between_the_wheels_are_exact_on_a_continuous_girder():
    """One wheel: the largest moment over the support is - P L / (6 sqrt 3), the wheel at L / sqrt 3."""
    machine = crane(**{**DATA, "spacings": []})
    found = cycle_of(girder_at(6e3), machine)
    moment = found.history.channel("Moment")
    assert moment.min() == pytest.approx(-168e3 * 6e3 / (6 * math.sqrt(3)), rel=1e-12)
    assert found.places[moment.argmin()] / 6e3 in (
        pytest.approx(1 / math.sqrt(3)), pytest.approx(2 - 1 / math.sqrt(3))
    )  # fmt: skip


def test_n_wheels_give_n_local_cycles_a_passage_and_2_n_a_working_cycle():
    """common practice, no source: each wheel is a cycle of its own at the web below the rail."""
    machine = crane(**{**DATA, "spacings": [800.0, 2e3, 800.0]})
    found = cycle_of(girder_at(3e3), machine)
    loaded, empty = found.loaded.largest, found.empty.largest
    assert counted(found.history.channel("Wheel load")) == {round(loaded, 3): 4.0, round(empty, 3): 4.0}
    entry = ledger(found, "1000", "the section", lifts=1000.0)
    assert (entry.passages, entry.wheel_passages) == (2000.0, 8000.0)


def test_a_short_wheelbase_bends_a_simple_span_once_a_passage():
    """Two global cycles a working cycle: the loaded and the empty way, both from zero."""
    found = cycle_of(girder_at(3e3, spans=(6e3,), system="simple spans"), crane(**{**DATA, "spacings": [500.0]}))
    ranges = counted(found.history.channel("Moment"))
    assert ranges == {
        round(84e3 * (1500 + 1250), 3): 1.0,
        round((60e3 + 0.9 * 20e3) / 2 * (1500 + 1250), 3): 1.0,
    }


def test_a_wheelbase_beyond_the_span_bends_it_once_a_wheel():
    found = cycle_of(girder_at(3e3, spans=(6e3,), system="simple spans"), crane(**{**DATA, "spacings": [7e3]}))
    assert sum(counted(found.history.channel("Moment")).values()) == 4.0


def test_the_way_back_is_counted_from_the_loaded_peak_to_the_smallest_load_between():
    """Bracket between simple spans, never unloaded: 1.5 Q out and back, 0.5 Q at the ends; Q = 84 and 39 kN."""
    found = cycle_of(girder_at(None, 2, system="simple spans", runway=(0.0, 12e3)), start=1.5e3, end=10.5e3)
    lowest = 0.5 * 39e3
    assert counted(found.history.channel("Reaction")) == {
        round(1.5 * 84e3 - lowest, 3): 1.0, round(1.5 * 39e3 - lowest, 3): 1.0
    }  # fmt: skip


def test_taking_up_a_load_without_travel_is_a_cycle_where_the_crane_stands():
    found = cycle_of(girder_at(3e3, spans=(6e3,), system="simple spans"), start=3e3, end=3e3)
    factor = 2 * 84e3 * 750
    assert counted(found.history.channel("Moment")) == {round(factor * (1 - 78 / 168), 3): 1.0}
    assert (found.passages_out, found.wheels_out, found.time) == (0, 0, 0.0)


def test_a_load_carried_back_makes_both_ways_alike():
    found = cycle_of(girder_at(3e3), handling=Handling(80e3, 5e3, 5e3), returns="loaded")
    half = len(found.places) // 2
    assert found.empty.hook_load == 80e3
    peaks = found.history.channel("Wheel load")
    assert peaks[:half].max() == pytest.approx(peaks[half:].max())


def test_two_cranes_side_by_side_are_the_sum_of_both():
    """Simple span of 12 m, section in its middle: second crane with 1 m between the wheels, influence by hand."""
    places = girder_at(6e3, spans=(12e3,), system="simple spans")
    partner = Partner(PLAIN, Handling(0.0, 10e3, 10e3), 1e3, True)
    found = cycle_of(places, start=4.5e3, end=4.5e3, partner=partner)
    alone = cycle_of(places, start=4.5e3, end=4.5e3)
    # Wheels of the first at 3 and 6 m, of the second at 7 and 10 m with 35 kN each: (12 - 7) / 2 and (12 - 10) / 2.
    added = 35e3 * (2.5e3 + 1e3)
    assert found.history.channel("Moment").max() == pytest.approx(alone.history.channel("Moment").max() + added)


def test_forces_across_the_rail_have_channels_of_their_own():
    machine = crane(**{**DATA, "lateral_out": [4e3, -4e3], "lateral_back": [-4e3, 4e3]})
    found = cycle_of(girder_at(3e3, 2, system="simple spans"), machine)
    assert found.history.names[-3:] == ("Lateral moment", "Lateral shear", "Lateral reaction")
    lateral = found.history.channel("Lateral moment")
    assert lateral.max() == pytest.approx(-lateral.min())
    assert lateral[0] == 0.0
    assert found.history.channel("Moment").max() == pytest.approx(cycle_of(
        girder_at(3e3, 2, system="simple spans")).history.channel("Moment").max()
    )  # fmt: skip


@given(st.floats(0.1, 5.0), st.floats(1e3, 19e3), st.just(0.0) | st.floats(1e-6, 12e3))
def test_twice_every_weight_is_twice_every_channel(factor, distance, section):
    heavy = crane(**{**DATA, **{key: DATA[key] * factor for key in ("rated_load", "bridge", "crab")}})
    places = girder_at(section, 2)
    one = cycle_of(places, handling=Handling(50e3, distance, distance)).history
    other = cycle_of(places, heavy, Handling(50e3 * factor, distance, distance)).history
    for light, loaded in zip(one.values, other.values, strict=True):
        largest = np.abs(loaded).max()
        assert abs(loaded.max() - factor * light.max()) <= 1e-9 * largest
        assert abs(loaded.min() - factor * light.min()) <= 1e-9 * largest
        assert count_cycles(loaded).counts.sum() == count_cycles(light).counts.sum()


@given(st.floats(100.0, 11.9e3), st.floats(500.0, 5e3))
def test_a_mirrored_runway_has_the_same_cycles(section, spacing):
    machine = crane(**{**DATA, "spacings": [spacing]})
    ours = cycle_of(girder_at(section, 2), machine, start=-6e3, end=18e3).history
    other = cycle_of(girder_at(12e3 - section, 2), machine, start=18e3, end=-6e3).history
    for name in ("Moment", "Reaction", "Wheel load"):
        assert ours.channel(name).max() == pytest.approx(other.channel(name).max(), abs=1e-3)
        assert ours.channel(name).min() == pytest.approx(other.channel(name).min(), abs=1e-3)


def test_a_finer_step_changes_no_cycle(monkeypatch):
    places = girder_at(2.5e3, 2)
    coarse = cycle_of(places).history
    monkeypatch.setattr("loadhistories.crane_passages.INSTANTS", 3000)
    fine = cycle_of(places).history
    assert fine.samples > 5 * coarse.samples
    for name in coarse.names:
        ours, other = counted(coarse.channel(name)), counted(fine.channel(name))
        assert sorted(ours) == pytest.approx(sorted(other), rel=1e-9, abs=1e-12)
        assert sum(ours.values()) == pytest.approx(sum(other.values()))


@given(st.lists(st.floats(450.0, 4e3), max_size=4), st.floats(-8e3, 3e3), st.floats(9e3, 20e3), st.floats(1e3, 11e3))
def test_the_ledger_has_as_many_wheel_passages_as_local_cycles_are_counted(spacings, start, end, section):
    machine = crane(**{**DATA, "spacings": spacings})
    found = cycle_of(girder_at(section), machine, start=start, end=end)
    standing = [start + machine.offsets, end + machine.offsets]
    if np.abs(np.concatenate(standing) - section).min() < 400.0:
        return
    ranges = counted(found.history.channel("Wheel load"))
    entry = ledger(found, "", "", lifts=1.0)
    assert sum(number for size, number in ranges.items() if size > 1.0) == pytest.approx(entry.wheel_passages)


def test_lifts_alike_and_lifts_full_or_empty_have_the_same_mean_cube():
    alike = lifts_of_class("alike", cycles=1e5, factor=0.125, rated_load=100e3)
    full = lifts_of_class("full or empty", cycles=1e5, factor=0.125, rated_load=100e3)
    assert alike.rows == (("lifts alike", pytest.approx(50e3), 1e5), ("rated load once", 100e3, 1.0))
    assert full.rows == (("rated load", 100e3, 12500.0), ("without load", 0.0, 87500.0))


def test_a_share_of_lifts_beside_a_second_crane_is_a_share_of_the_ledger():
    entry = ledger(cycle_of(girder_at(3e3)), "40/day", "the section at 3 m", lifts=1000.0, share=0.1)
    assert (entry.repeats, entry.passages, entry.wheel_passages) == pytest.approx((100.0, 200.0, 400.0))
    assert entry.per_life == (
        "100 working cycles (10 % of the lifts), 200 passages and 400 wheel passages of the section at 3 m"
    )


def test_every_problem_of_a_crane_is_named():
    with pytest.raises(InputError) as refusal:
        wrong = {"rated_load": 0.0, "spacings": [-3e3], "shares": [0.7, 0.7], "approach": (1e3, 3e4)}
        crane(**{**DATA, **wrong}, place="job")
    assert refusal.value.problems == (
        "rated_load must be above 0 N, got 0 (job)",
        "wheel spacing 1 must be above 0 mm, got -3000 (job)",
        "approaches of 1 m and 30 m leave the hook no way on a bridge of 20 m (job)",
        "wheel_shares must add up to 1, got 1.4 (job)",
    )


def test_a_load_above_the_rated_one_and_a_hook_beyond_its_approach_are_refused_together():
    with pytest.raises(InputError) as refusal:
        PLAIN.wheel_loads(120e3, 500.0)
    assert refusal.value.problems == (
        "hook load must lie from 0 to the rated load of 100 kN, got 120 kN",
        "the hook can stand from 1 m to 19 m from this rail (approach of the crab), got 0.5 m",
    )


def test_a_wheel_beyond_the_end_of_the_runway_is_refused():
    with pytest.raises(InputError, match=r"with 'to' 11 m, wheel 2 of the crane would stand at 12.5 m, beyond the end"):
        cycle_of(girder_at(3e3, runway=(0.0, 12e3)), start=2e3, end=11e3)
