import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loadhistories import COMPONENTS, InputError, LoadHistory, Term, block_of_arrays, block_of_history, open_record

VERTICAL = np.array([10.0, -4.0, 0.5, 7.0])
LATERAL = np.array([1.0, 2.0, -3.0, 4.0])


def history(units=("N", "N"), stated=("kN", "kN")):
    return LoadHistory(
        ("Vertical", "Lateral"), units, np.array([VERTICAL * 1000.0, LATERAL * 1000.0]), 0.01, stated_units=stated
    )


def components(block):
    return dict(zip(COMPONENTS, np.concatenate(list(block.chunks()), axis=1), strict=True))


def test_components_are_sums_of_channels_with_factor_sign_and_lever():
    mapping = {
        "Fy": [Term("Vertical", -1.0), Term("Lateral", "0.5")],
        "Mz": [Term("Vertical", "0.32 m"), Term("Lateral", "-90 mm")],
    }
    block = block_of_history("running", history(), mapping, repeats=1000.0)
    assert (block.name, block.samples, block.step, block.repeats) == ("running", 4, 0.01, 1000.0)
    found = components(block)
    np.testing.assert_allclose(found["Fy"], (-VERTICAL + 0.5 * LATERAL) * 1e3, rtol=1e-15)
    np.testing.assert_allclose(found["Mz"], (VERTICAL * 320 - LATERAL * 90) * 1e3, rtol=1e-15)
    assert not np.any([found[name] for name in ("Fx", "Fz", "Mx", "My")])


def test_a_unit_is_given_where_the_record_states_none():
    mapping = {"Fy": [Term("Vertical", unit="kN")]}
    unstated = history((None, "N"), (None, "kN"))
    np.testing.assert_array_equal(
        components(block_of_history("a", unstated, mapping, repeats=1.0))["Fy"], VERTICAL * 1e6
    )
    same = components(block_of_history("a", history(), mapping, repeats=1.0))["Fy"]
    np.testing.assert_array_equal(same, VERTICAL * 1e3)
    misspelt = history(("KN", "N"), ("KN", "kN"))
    np.testing.assert_array_equal(
        components(block_of_history("a", misspelt, mapping, repeats=1.0))["Fy"], VERTICAL * 1e6
    )


def test_strain_becomes_force_by_a_factor_with_a_unit():
    strain = LoadHistory(("Strain",), ("",), np.array([[1e-6, 2e-6]]), 0.01, stated_units=("um/m",))
    block = block_of_history("a", strain, {"Fx": [Term("Strain", "250 MN")]}, repeats=1.0)
    np.testing.assert_allclose(components(block)["Fx"], [250.0, 500.0])


@pytest.mark.parametrize(
    ("component", "term", "wording"),
    [
        ("Mz", Term("Vertical"), r'is a force and Mz is a moment: give a lever, such as factor = "0.32 m"'),
        ("Fy", Term("Vertical", "0.32 m"), r"is a force with the factor '0.32 m' and Fy is a force: mend the factor"),
        ("Fy", Term("Vertical", "1,5"), r"factor of column 'Vertical' has a comma"),
        ("Fy", Term("Vertical", float("nan")), r"factor of column 'Vertical' must be finite"),
        ("Fy", Term("Vertical", 0.0), r"factor of column 'Vertical' must not be 0: leave Fy out"),
        ("Fy", Term("Vertcal"), r"column 'Vertcal' is unknown; did you mean 'Vertical'\?; known: Vertical, Lateral"),
        ("Fy", Term("Vertical", unit="N"), r"column 'Vertical' is in 'kN' by its record, but 'N' is given"),
        ("Fy", Term("Vertical", unit="kn"), r"unit of column 'Vertical': unit 'kn' is unknown \(it means knots\)"),
        ("Vy", Term("Vertical"), r"component 'Vy' is unknown; known: Fx, Fy, Fz"),
    ],
)
def test_a_term_that_cannot_be_judged_is_refused_with_its_place(component, term, wording):
    with pytest.raises(InputError, match=rf"{wording}.*\(job\.toml, load 'run'\)"):
        block_of_history("run", history(), {component: [term]}, repeats=1.0, place="job.toml, load 'run'")


@pytest.mark.parametrize(
    ("unit", "wording"),
    [
        (None, r'column \'Vertical\' states no unit: add unit = "kN" to Fy'),
        ("KN", r"unit of column 'Vertical': unit 'KN' is unknown; did you mean 'kN'"),
        ("°C", r"unit of column 'Vertical': unit '°C' is unknown"),
        ("MPa", r"column 'Vertical' is a stress and Fy is a force: give a column in kN"),
        ("", r"column 'Vertical' is a plain number and Fy is a force: give the force for a strain of 1"),
    ],
)
def test_a_channel_whose_unit_is_no_force_is_refused(unit, wording):
    with pytest.raises(InputError, match=wording):
        block_of_history("a", history((unit, "N"), (unit, "kN")), {"Fy": [Term("Vertical")]}, repeats=1.0)


def test_all_problems_of_a_mapping_are_named_at_once():
    mapping = {"Fy": [Term("Vert")], "Mz": [Term("Vertical")], "Q": [Term("Lateral")]}
    with pytest.raises(InputError) as refusal:
        block_of_history("a", history(), mapping, repeats=1.0)
    assert len(refusal.value.problems) == 3


def test_a_block_of_nothing_and_repeats_of_nothing_are_refused():
    with pytest.raises(InputError, match="no component is named; known: Fx, Fy, Fz, Mx, My, Mz"):
        block_of_history("a", history(), {}, repeats=1.0)
    with pytest.raises(InputError, match="repeats must be above 0, got 0"):
        block_of_history("a", history(), {"Fy": [Term("Vertical")]}, repeats=0.0)


@settings(deadline=None, max_examples=20)
@given(block_size=st.integers(1, 3000))
def test_a_record_streams_the_same_components_bit_for_bit_whatever_the_chunk(tmp_path_factory, block_size):
    file = tmp_path_factory.mktemp("block") / "drive.csv"
    rows = "".join(f"{i / 100:.2f},{(i * 7919 % 1000) / 7!r},{(i * 104729 % 1000) / 3!r}\n" for i in range(150))
    file.write_text(f"Time (s),Vertical (kN),Lateral (kN)\n{rows}")
    mapping = {"Fy": [Term("Vertical", "0.3"), Term("Lateral", -0.7)], "Mz": [Term("Lateral", "0.32 m")]}
    blocks = [
        block_of_history("a", open_record(file, block_size=size), mapping, repeats=1.0) for size in (None, block_size)
    ]
    whole, streamed = (np.concatenate(list(block.chunks()), axis=1) for block in blocks)
    assert whole.tobytes() == streamed.tobytes()
    assert blocks[1].samples == 150


def test_a_block_of_arrays_walks_its_components_in_chunks():
    block = block_of_arrays("a", {"Fy": VERTICAL, "Mz": LATERAL}, step=0.1, repeats=2.0, chunk=3)
    assert [chunk.shape for chunk in block.chunks()] == [(6, 3), (6, 1)]
    assert block.span == pytest.approx(0.4)
    np.testing.assert_array_equal(components(block)["Mz"], LATERAL)
