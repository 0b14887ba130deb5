"""Warnings: each has its cause, its clause, and is silent without the cause."""

import numpy as np
import pytest

from fatigue.assessment import StressWalk, assess_details
from fatigue.detail import detail
from fatigue.stress import stress_per_component
from loadhistories.blocks import block_of_arrays
from loadhistories.tables import read_table
from slip.advice import PRACTICE, Findings, Record, warnings
from slip.alignment import movement
from slip.assessment import assess
from slip.joint import Alignment, BoltedJoint, Grid, Plate, grid_positions
from slip.preload import preload_life

PACKAGE = "slip.standards.en1993"
PLATES = (Plate("end plate", 20.0, "S355", 345.0, 470.0, 45.0, 40.0),)
FULL_DAY = Record("working", "a full day", True)


def joint_of(**changes):
    given = {
        "name": "joint", "standard": "EN 1993", "positions": grid_positions(Grid(3, 2, 90.0, 130.0)), "size": "M20",
        "grade": "10.9", "preload": 171_500.0, "holes": "normal", "slot_axis": "", "surface": "B", "slip_factor": 0.4,
        "planes": 1, "threads_in_plane": True, "plates": PLATES, "slip": "never", "because": "shaft alignment",
        "permanent": np.zeros(6), "grid": Grid(3, 2, 90.0, 130.0),
    }  # fmt: skip
    return BoltedJoint(**{**given, **changes})


def found(joint, forces, *, category=None, records=(FULL_DAY,), pull=0.0):
    table = np.asarray(forces, dtype=float)
    block = block_of_arrays("working", {"Fy": table, "Fz": pull + 0 * table}, step=0.01, repeats=1000.0)
    outcome = assess(joint, [block])
    details = ()
    if category:
        recipe = stress_per_component({"Fy": 1e-3})
        sizes = {"diameter": 20.0} if category == "8.1-14" else {}
        item = detail("plate at the bolts", standard="EN 1993", category=category, recipe=recipe, **sizes)
        walk = StressWalk([item])
        walk.feed(next(block.chunks()))
        details = assess_details(
            [item], [walk.counts()], blocks=[("working", 1000.0)], standard="EN 1993",
            basis={"concept": "safe life", "consequence": "high"}, design_life=1e9,
            slips=outcome.slips_in_service, permanent=np.zeros(6),
        )  # fmt: skip
    items = warnings(Findings(outcome, movement(outcome), details, records), "EN 1993")
    return {item.code: item for item in items}


def test_a_slip_at_ultimate_level_is_warned_of_with_its_clause_and_number():
    items = found(joint_of(), [0, -300e3, 0, 300e3, 0])
    assert "slips-in-service" not in items
    warning = items["slips-at-ultimate"]
    assert "EN 1993-1-8:2005, 3.4.1(1)c" in warning.clause
    assert "2 times in the record of 'working', back and forth" in warning.text
    assert "shaft alignment" in warning.text and "in the life" not in warning.text


def test_a_slip_in_service_is_warned_of_with_how_often_it_occurs_in_the_life():
    items = found(joint_of(), [0, -400e3, 0, 400e3, 0, -400e3])
    often = "3 times in the record of 'working', back and forth, 2e+03 times in the life"
    assert often in items["slips-in-service"].text
    assert "slips-at-ultimate" in items


def test_a_joint_that_slips_one_way_only_seats_once_in_the_life():
    items = found(joint_of(), [0, -400e3, 0, -400e3, 0])
    assert "once in the record of 'working', one way (it seats and stays), once in the life" in (
        items["slips-in-service"].text
    )
    assert "transverse-slip-loosens" not in items


def test_slip_back_and_forth_under_unfactored_loads_is_named_as_what_loosens_nuts():
    warning = found(joint_of(), [0, -400e3, 400e3])["transverse-slip-loosens"]
    assert "2e+03 times in the life" in warning.text and "Sanclemente and Hess" in warning.clause


def test_a_joint_that_bears_little_loss_of_preload_is_to_be_looked_after():
    """Hand calculation: 300 kN over 6 bolts of 62.36 kN slip at 80.2 % of the preload, 330 kN at 88.2 %."""
    warning = found(joint_of(), [-300e3])["preload-margin"]
    assert "falls to 80.2 % of the specified one: it bears a loss of 19.8 %" in warning.text
    assert warning.clause == "common practice, no source" and "each main inspection" in warning.advice[0]
    assert "every year" in found(joint_of(), [-330e3])["preload-margin"].advice[0]
    assert "preload-margin" not in found(joint_of(), [-250e3])
    assert "preload-margin" not in found(joint_of(), [-400e3])


def test_preload_that_its_stated_losses_bring_below_the_slip_is_warned_of():
    """Hand calculation: 100 - 5 - 2.5 - 15 = 77.5 % are left; 300 kN slip at 80.2 %, 280 kN at 74.8 %."""
    life = preload_life(171_500.0, method="combined", surface="uncoated", later_loss=0.15)
    joint = joint_of(preload_life=life, slip="not in service")
    text = found(joint, [-300e3])["slips-after-losses"].text
    assert "77.5 % of the specified preload is left" in text and "at service level" in text and "80.2 %" in text
    assert "slips-after-losses" not in found(joint, [-280e3])


def test_a_joint_that_grips_at_both_levels_has_no_slip_warning():
    assert not {"slips-in-service", "slips-at-ultimate", "slips-beyond-what-is-asked"} & set(found(joint_of(), [-9e4]))


def test_a_slip_beyond_the_level_that_is_asked_for_is_still_told():
    items = found(joint_of(slip="not in service"), [-300e3])
    assert "which is not ruled out here" in items["slips-beyond-what-is-asked"].text


def test_a_preloaded_joint_is_always_told_that_bearing_has_to_hold_as_well():
    assert "here they do" in found(joint_of(), [-9e4])["bearing-after-slip"].text
    thin = (Plate("thin plate", 3.0, "S355", 355.0, 470.0, 45.0, 40.0),)
    text = found(joint_of(plates=thin), [-300e3])["bearing-after-slip"].text
    assert "here they do not (bearing on the thin plate along y after slip)" in text


def test_bolts_without_preload_under_reversed_load_are_warned_of():
    joint = joint_of(preload=0.0, slip="allowed")
    assert "EN 1993-1-8:2005, 2.6" in found(joint, [-60e3, 60e3])["reversal-without-preload"].clause
    assert "10 kN one way and 10 kN the other" in found(joint, [-60e3, 60e3])["reversal-without-preload"].text
    assert "reversal-without-preload" not in found(joint, [-60e3, -10e3])


def test_slip_ruled_out_without_preload_is_warned_of():
    assert "no-preload-no-grip" in found(joint_of(preload=0.0), [-60e3])


def test_allowing_slip_under_reversal_is_a_deviation_and_not_silenced():
    joint = joint_of(slip="allowed")
    assert "deviation" in found(joint, [-60e3, 60e3])["slip-allowed-under-reversal"].text
    assert "slip-allowed-under-reversal" not in found(joint, [-60e3])


def test_a_plate_loses_its_gross_section_category_when_the_joint_slips_in_service():
    items = found(joint_of(), [0, -400e3, 0], category="8.1-10")
    assert "Table 8.1, details 8 and 10" in items["gross-section-lost"].clause
    assert "plate at the bolts" in items["gross-section-lost"].text
    assert "gross-section-lost" not in found(joint_of(), [0, -300e3, 0], category="8.1-10")


def test_a_category_without_reversal_is_lost_when_the_stress_turns_round():
    joint = joint_of(preload=0.0, slip="allowed")
    assert "reversal-category-lost" in found(joint, [-60e3, 60e3], category="8.1-13")
    assert "reversal-category-lost" not in found(joint, [-60e3, -10e3], category="8.1-13")


def test_pulled_bolts_without_a_detail_of_their_own_are_pointed_out():
    assert "cyclic-bolt-tension" in found(joint_of(), [-9e4], pull=60e3)
    assert "cyclic-bolt-tension" not in found(joint_of(), [-9e4], pull=60e3, category="8.1-14")
    assert "cyclic-bolt-tension" not in found(joint_of(), [-9e4])


def test_movement_beyond_the_tolerance_is_told_with_both_bounds():
    aligned = joint_of(alignment=Alignment((0.0, 420.0), 1.0))
    assert "its tolerance is 1 mm" in found(aligned, [-9e4])["movement-beyond-tolerance"].text
    wide = joint_of(alignment=Alignment((0.0, 420.0), 100.0))
    assert "movement-beyond-tolerance" not in found(wide, [-9e4])


def test_a_record_shorter_than_what_it_stands_for_is_told_as_common_practice():
    short = Record("working", "the record of 120 s stands for 16 h in each day over 25 year", False)
    warning = found(joint_of(), [-9e4], records=(short,))["record-too-short"]
    assert warning.clause == PRACTICE
    assert "the record of 120 s stands for 16 h" in warning.text
    assert "record-too-short" not in found(joint_of(), [-9e4])


@pytest.mark.parametrize("code", read_table(PACKAGE, "warnings"))
def test_every_clause_of_the_table_belongs_to_a_warning_that_exists(code):
    from pathlib import Path

    import slip.advice
    import slip.trade
    import slip.triggers

    modules = (slip.advice, slip.triggers, slip.trade)
    texts = [Path(module.__file__).read_text(encoding="utf-8") for module in modules]
    assert any(f'"{code}"' in text for text in texts)


def toe_and(*others, **statement):
    """Warnings of a joint with the toe of a cruciform joint, and with further details."""
    recipe = stress_per_component({"Fy": 1e-3})
    items = [detail("toe", standard="EN 1993", category="8.5-1-71", recipe=recipe, **statement), *others]
    walk = StressWalk(items)
    walk.feed(np.array([[0.0] * 3, [0.0, 1e4, 0.0], *[[0.0] * 3] * 4]))
    details = assess_details(
        items, [walk.counts()], blocks=[("working", 1000.0)], standard="EN 1993",
        basis={"concept": "safe life", "consequence": "high"}, design_life=1e9, slips=None, permanent=np.zeros(6),
    )  # fmt: skip
    return warnings(Findings(None, None, details, (FULL_DAY,)), "EN 1993")


def test_a_toe_whose_root_nobody_judges_is_told_with_what_would_do():
    first, second = toe_and()
    assert (first.code, second.code) == ("root-not-judged", "root-not-judged")
    assert "no detail of this joint has category 8.5-3" in first.text
    assert 'root = "none: full penetration"' in first.advice[1]
    assert "EN 1993-1-9:2005, Table 8.5" in first.clause


def test_a_root_that_is_stated_not_to_be_there_is_not_told():
    assert toe_and(root="none: full penetration") == ()


def test_a_root_whose_toe_nobody_judges_is_told():
    recipe = stress_per_component({"Fy": 1e-3}, on="weld throat")
    root = detail("root", standard="EN 1993", category="8.5-3", recipe=recipe)
    walk = StressWalk([root])
    walk.feed(np.array([[0.0] * 3, [0.0, 1e4, 0.0], *[[0.0] * 3] * 4]))
    details = assess_details(
        [root], [walk.counts()], blocks=[("working", 1.0)], standard="EN 1993",
        basis={"concept": "safe life", "consequence": "high"}, design_life=1e9, slips=None, permanent=np.zeros(6),
    )  # fmt: skip
    codes = [item.code for item in warnings(Findings(None, None, details, (FULL_DAY,)), "EN 1993")]
    assert codes == ["root-not-judged", "toe-not-judged"]
