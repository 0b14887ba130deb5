"""Deflection of a frame by the slips of its joints."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loadhistories.validation import InputError
from slip.frame import frame_deflection

CASES = tomllib.loads((Path(__file__).parent.parent / "published" / "frame.toml").read_text(encoding="utf-8"))["case"]


def test_truss_of_steel_buildings_in_europe_single_storey_part_5_section_3_6():
    case = CASES["B08"]
    found = frame_deflection(case["inputs"]["N_unit_abs"], case["inputs"]["slip_per_member_mm"])
    assert found.deflection == pytest.approx(case["expected"]["v_mm"], abs=case["tolerance_mm"])
    assert found.largest.unit_force == 2.85


def test_the_sign_of_a_members_force_does_not_matter_as_it_slips_the_way_it_is_pushed():
    """Hand calculation: 1.2 * 4 + 0.5 * 2 = 5.8 mm."""
    assert frame_deflection([1.2, -0.5], [4.0, 2.0]).deflection == pytest.approx(5.8)


@given(st.lists(st.floats(-5, 5), min_size=1, max_size=9), st.floats(0, 6), st.floats(0.1, 10))
def test_deflection_is_proportional_to_the_slip(forces, slip, factor):
    one = frame_deflection(forces, slip).deflection
    assert frame_deflection(forces, factor * slip).deflection == pytest.approx(factor * one, rel=1e-9, abs=1e-12)


def test_what_makes_no_frame_is_refused_by_name():
    with pytest.raises(InputError, match="at least one member, got none"):
        frame_deflection([], 4.0)
    with pytest.raises(InputError, match=r"slips\[1\] must not be below 0 mm, got -1"):
        frame_deflection([1.0, 2.0], [1.0, -1.0])
    with pytest.raises(InputError, match="of one count, got 2, 1 and 2"):
        frame_deflection([1.0, 2.0], [1.0])
