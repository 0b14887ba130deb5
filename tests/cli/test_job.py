"""The job file: everything it may say, and the refusal of everything else."""

import hashlib
from pathlib import Path

import numpy as np
import pytest

from cli.job import read_job

JOBS = Path(__file__).parent.parent / "jobs"
TEXT = (JOBS / "bracket.toml").read_text(encoding="utf-8")
RECORD = (JOBS / "bracket.csv").read_bytes()


def changed(*changes):
    """The text of the job with pieces of it replaced; a piece that is not there is a fault of the test."""
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


@pytest.fixture
def read(tmp_path):
    """Reads a job with pieces of it replaced, beside its record."""

    def from_changes(*changes):
        (tmp_path / "bracket.csv").write_bytes(RECORD)
        (tmp_path / "bracket.toml").write_text(changed(*changes), encoding="utf-8")
        return read_job(tmp_path / "bracket.toml")

    return from_changes


def block_values(load):
    return np.concatenate(list(load.block.chunks()), axis=1)


def test_the_job_as_shown_reads_into_base_units():
    job = read_job(JOBS / "bracket.toml")
    assert job.sha256 == hashlib.sha256((JOBS / "bracket.toml").read_bytes()).hexdigest()
    assert (job.title, job.standard) == ("Transfer tower: drive bracket at column C4", "EN 1993")
    assert job.design_life_years == pytest.approx(25.0)
    (given,), (load,) = job.joints, job.loads
    joint = given.joint
    assert (joint.size, joint.grade, joint.preload, joint.slip_factor) == ("M20", "10.9", 171_500.0, 0.4)
    assert joint.positions.tolist() == [[x, y] for y in (-90.0, 0.0, 90.0) for x in (-65.0, 65.0)]
    assert joint.permanent.tolist() == [0.0, -14_000.0, 0.0, 0.0, 0.0, 0.0]
    assert (joint.slip, joint.because, joint.planes) == ("never", "drive alignment", 1)
    assert joint.alignment.point == (0.0, 420.0)
    assert joint.alignment.tolerance == 1.0
    plate = joint.plates[0]
    assert (plate.thickness, plate.steel, plate.end_distance, plate.edge_distance) == (20.0, "S355", 45.0, 40.0)
    assert given.details[0].category == "8.4-1a"
    assert given.details[0].coefficients == pytest.approx([0, 0.35e-3, 0, 0, 0, 1.9e-6])
    assert load.block.repeats == pytest.approx(16 * 3600 * 365.25 * 25 / 0.06)
    assert job.loads_on(given) == (load,)


def test_a_column_and_a_lever_make_force_and_moment():
    load = read_job(JOBS / "bracket.toml").loads[0]
    values = block_values(load)
    assert values.shape == (6, 6)
    assert values[1] == pytest.approx([-10_000, -22_500, -31_000, -18_000, -9_500, -12_000])
    assert values[5] == pytest.approx(320.0 * values[1])
    assert [(column.component, column.column, column.factor) for column in load.columns] == [
        ("Fy", "Vertical", "1"),
        ("Mz", "Vertical", "0.32 m"),
    ]


def test_columns_of_a_component_are_summed_with_their_signs_and_factors(read):
    job = read(
        (
            'Fy = { column = "Vertical", unit = "kN" }',
            'Fy = [{ column = "Vertical", unit = "kN", sign = "-" }, { column = "Sideways", factor = "-2" }]',
        )
    )
    assert block_values(job.loads[0])[1][:3] == pytest.approx([8_000, 21_500, 32_000])
    columns = job.loads[0].columns
    assert [(column.factor, column.unit) for column in columns] == [("-1", "kN"), ("-2", "kN"), ("0.32 m", "kN")]


def test_what_the_file_leaves_to_us_is_listed(read):
    job = read(
        ('factors   = { permanent = 1.35, variable = 1.5 }\n', ""),
        ('permanent = { Fy = "-14 kN" }\n', ""),
        ("planes = 1\n", ""),
    )
    told = "\n".join((*job.assumptions, *job.joints[0].assumptions))
    for words in (
        "safe life", "high consequence", "no permanent load", "planes = 1", "threads lie in the shear plane",
        "factor 1.35 on permanent load", "factor 1 on favourable permanent load", "factor 1.5 on variable load",
        "centred on the joint's origin", "1 of the 2 plates",
    ):  # fmt: skip
        assert words in told


def test_what_the_file_says_is_not_listed_as_assumed(read):
    job = read(
        ("variable = 1.5 }", "permanent_favourable = 0.9, variable = 1.4 }"),
        ("planes = 1", 'planes = 1\nthreads = "not in shear plane"'),
        ('"25 year"', '"25 year"\nfatigue = { concept = "damage tolerant", consequence = "low" }'),
    )
    assert (job.basis, job.assumptions) == ({"concept": "damage tolerant", "consequence": "low"}, ())
    assert job.joints[0].joint.threads_in_plane is False
    assert job.joints[0].joint.factors.permanent_favourable == 0.9
    told = "\n".join(job.joints[0].assumptions)
    assert "factor" not in told
    assert "threads" not in told


def test_bolts_may_be_listed_one_by_one(read):
    listed = 'at = [["-65 mm", "-90 mm"], ["65 mm", "-90 mm"], ["0 mm", "0.1 m"]]'
    job = read(('rows = 3\ncolumns = 2\npitch = "90 mm"\ngauge = "130 mm"', listed))
    assert job.joints[0].joint.positions.tolist() == [[-65.0, -90.0], [65.0, -90.0], [0.0, 100.0]]
    assert job.joints[0].joint.grid is None


def test_a_smaller_preload_is_taken_and_listed(read):
    job = read(('preload = "full"', 'preload = "120 kN"'))
    assert job.joints[0].joint.preload == 120_000.0
    assert "preload 120 kN as given, below the 171.5 kN specified for M20 10.9" in job.joints[0].assumptions


def test_bolts_without_preload_need_no_surface(read):
    job = read(('preload = "full"', 'preload = "none"'), ('surface = "B"\n', ""))
    assert job.joints[0].joint.preloaded is False
    assert job.joints[0].joint.slip_factor == 0.0


def test_a_slip_factor_may_be_given_and_a_high_one_only_by_test(read):
    job = read(('surface = "B"', "surface = { slip_factor = 0.45 }"))
    assert job.joints[0].joint.slip_factor == 0.45
    assert "slip factor 0.45 as given, not by class" in job.joints[0].assumptions
    job = read(('surface = "B"', "surface = { slip_factor = 0.60, by_test = true }"))
    assert job.joints[0].joint.slip_factor == 0.60


def test_slotted_holes_name_their_long_axis(read):
    job = read(('holes = "normal"', 'holes = "long slot"\nslot = "y"'))
    assert (job.joints[0].joint.holes, job.joints[0].joint.slot_axis) == ("long slot", "y")


def test_a_joint_may_consist_of_details_only(read):
    start, end = TEXT.index("slip "), TEXT.index("[[joint.detail]]")
    job = read((TEXT[start:end], ""))
    assert job.joints[0].joint is None
    assert len(job.joints[0].details) == 1


def test_steel_may_be_given_by_its_strengths(read):
    job = read(('steel = "S355"', 'steel = { yield_strength = "345 MPa", ultimate_strength = "47 kN/cm2" }'))
    plate = job.joints[0].joint.plates[0]
    assert (plate.yield_strength, plate.ultimate_strength) == (345.0, pytest.approx(470.0))


@pytest.mark.parametrize(
    ("recipe", "coefficients"),
    [
        ('{ section = { normal = "y", area = "20 cm2", modulus = { z = "50 cm3" } } }',
         [0, 1 / 2000, 0, 0, 0, 1 / 5e4]),
        ('{ net_section = { force = "Fy", width = "20 cm", thickness = "1 cm", holes = 2, hole_diameter = "22 mm" } }',
         [0, 1 / 1560, 0, 0, 0, 0]),
        ('{ section = { normal = "y", second_moment = { z = "100 cm4" }, point = { x = "-50 mm" } } }',
         [0, 0, 0, 0, 0, -50 / 1e6]),
    ],
)  # fmt: skip
def test_stress_may_come_from_a_section(read, recipe, coefficients):
    job = read(
        ('category = "8.4-1a"', "category = 71"), ('{ Fy = "0.35 MPa/kN", Mz = "1.9 MPa/(kN m)" }', recipe)
    )  # fmt: skip
    assert job.joints[0].details[0].coefficients == pytest.approx(coefficients)


def test_a_shear_area_makes_a_shear_stress(read):
    job = read(
        ('category = "8.4-1a"', "category = 80"),
        ('{ Fy = "0.35 MPa/kN", Mz = "1.9 MPa/(kN m)" }', '{ shear = { force = "Fy", area = "1000 mm2" } }'),
    )
    assert job.joints[0].details[0].stress == "shear"
    assert job.joints[0].details[0].coefficients == pytest.approx([0, 1e-3, 0, 0, 0, 0])


def test_a_category_may_be_a_number_or_a_strength(read):
    assert read(('category = "8.4-1a"', "category = 71")).joints[0].details[0].strength == 71.0
    job = read(('category = "8.4-1a"', 'category = { strength = "75 MPa", stress = "normal" }'))
    assert job.joints[0].details[0].strength == 75.0
    assert any("strength 75 MPa as given" in line for line in job.joints[0].assumptions)


def test_a_load_may_act_on_one_joint_only(read):
    load = TEXT[TEXT.index("[[load]]") : TEXT.index("[[joint]]")]
    other = load.replace('"loaded running"', '"empty running"\njoint = "b"')
    second = '[[joint]]\nname = "b"\n[[joint.detail]]\nname = "c"\ncategory = 71\nstress = { Fy = "1 MPa/kN" }\n'
    job = read((load, load + other + second))
    names = {joint.name: [load.name for load in job.loads_on(joint)] for joint in job.joints}
    assert names == {"b": ["loaded running", "empty running"], "end plate to column flange": ["loaded running"]}
    assert job.loads[0].history is job.loads[1].history


def test_how_the_record_is_written_may_be_said(tmp_path):
    (tmp_path / "bracket.csv").write_bytes(b"Vertical;Sideways\nkN;kN\n-10,0;1\n-22,5;2\n-31,0;3\n")
    file = '[load.file]\ndelimiter = ";"\ndecimal = ","\nrate = "50 Hz"\n[load.components]'
    (tmp_path / "bracket.toml").write_text(changed(("[load.components]", file)), encoding="utf-8")
    job = read_job(tmp_path / "bracket.toml")
    assert job.loads[0].block.step == pytest.approx(0.02)
    assert block_values(job.loads[0])[1] == pytest.approx([-10_000, -22_500, -31_000])


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(tmp_path):
    (tmp_path / "bracket.csv").write_bytes(RECORD)
    (tmp_path / "bracket.toml").write_bytes(b"\xef\xbb\xbf" + TEXT.replace("\n", "\r\n").encode())
    assert read_job(tmp_path / "bracket.toml").standard == "EN 1993"


def test_a_record_too_large_for_memory_gives_the_same_loads_walked_from_its_file(monkeypatch):
    whole = read_job(JOBS / "bracket.toml").loads[0]
    monkeypatch.setattr("cli.job_loads.LARGEST_IN_MEMORY", 10)
    walked = read_job(JOBS / "bracket.toml").loads[0]
    assert type(walked.history).__name__ == "Record"
    assert np.array_equal(block_values(walked), block_values(whole))
    assert (walked.block.samples, walked.columns) == (whole.block.samples, whole.columns)
    assert walked.history.source.sha256 == whole.history.source.sha256
