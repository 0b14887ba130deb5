"""What the attacks found, each with the answer that it must get now."""

import contextlib
import os
import struct
import time
import zlib
from pathlib import Path

import mutants
import pytest
import seeds

from cli.assess import assess_file
from cli.compare_rates import read_rates
from cli.compare_toml import toml_text
from cli.files import require_targets
from cli.job import read_job
from cli.keys import SHOWN_UNKNOWN
from cli.look import look_at, look_text
from cli.recheck import read_result
from cli.schedule import read_schedule
from loadhistories import InputError, read_history
from loadhistories.density import read_density

BRACKET = mutants.ROOT / "tests" / "jobs" / "bracket.toml"


@pytest.fixture
def refusal_of(tmp_path):
    """The problems of the bracket's job with keys changed, as one text."""

    def refused(change):
        job = mutants.sound_jobs()["bracket.toml"]
        change(job)
        for record in mutants.records():
            (tmp_path / record.name).write_bytes(record.read_bytes())
        (tmp_path / "job.toml").write_text(toml_text(job), encoding="utf-8")
        with pytest.raises(InputError) as refusal:
            assess_file(tmp_path / "job.toml")
        return str(refusal.value)

    return refused


def test_a_whole_number_beyond_every_float_is_no_number(refusal_of):
    assert "must be finite, got a whole number beyond 1e308" in refusal_of(
        lambda job: job["joint"][0].update(factors={"permanent": 10**400, "variable": 1.5})
    )


def test_a_number_of_planes_beyond_every_float_is_refused(refusal_of):
    assert "planes must be at most 1000000" in refusal_of(lambda job: job["joint"][0]["bolts"].update(planes=10**400))


@pytest.mark.parametrize("where", [["1e300 mm", "0 mm"], ["0 mm", "-1e16 mm"]])
def test_a_point_beyond_every_joint_is_refused(refusal_of, where):
    def change(job):
        bolts = job["joint"][0]["bolts"]
        for key in ("rows", "columns", "pitch", "gauge"):
            bolts.pop(key, None)
        bolts["at"] = [where, ["0 mm", "50 mm"]]

    assert "must not be beyond 1e+15 mm, as no joint has it" in refusal_of(change)


@pytest.mark.parametrize("name", ["a" * 300 + ".csv", "a/" * 3000 + "b.csv", "self.csv", "a\x00.csv"])
def test_a_record_under_a_name_that_no_file_can_have_is_refused(refusal_of, tmp_path, name):
    (tmp_path / "self.csv").symlink_to("self.csv")
    assert "the file cannot be read" in refusal_of(lambda job: job["load"][0].update(history=name))


@pytest.mark.parametrize(
    "text",
    ["a" + ".a" * 900 + " = 1\n", "[" + "a." * 300 + "a]\n", "a = " + "[" * 200 + "]" * 200 + "\n",
     "a = " + "{a = " * 200 + "1" + "}" * 200 + "\n"],
)  # fmt: skip
def test_tables_within_tables_without_end_are_refused(tmp_path, text):
    (tmp_path / "job.toml").write_text(text + BRACKET.read_text(encoding="utf-8"), encoding="utf-8")
    with pytest.raises(InputError, match=r"more than 50 words|more than 50 deep"):
        read_job(tmp_path / "job.toml")


def test_a_key_of_very_many_words_does_not_keep_the_reader_busy(tmp_path):
    (tmp_path / "job.toml").write_text("a" + ".a" * 200_000 + " = 1", encoding="utf-8")
    begun = time.monotonic()
    with pytest.raises(InputError, match="more than 50 words"):
        read_job(tmp_path / "job.toml")
    assert time.monotonic() - begun < 15.0


def test_decimals_in_a_long_line_are_no_words_of_a_key(tmp_path):
    points = ", ".join(f'["{number}.25 mm", "0.5 mm"]' for number in range(200))
    (tmp_path / "job.toml").write_text(f"at = [{points}]", encoding="utf-8")
    with pytest.raises(InputError) as refusal:
        read_job(tmp_path / "job.toml")
    assert "words" not in str(refusal.value)


def test_of_very_many_unknown_keys_some_are_named_and_the_rest_counted(tmp_path):
    (tmp_path / "job.toml").write_text("\n".join(f"a{number} = 1" for number in range(3000)), encoding="utf-8")
    with pytest.raises(InputError) as refusal:
        read_job(tmp_path / "job.toml")
    assert f"{3000 - SHOWN_UNKNOWN} more keys are none here" in str(refusal.value)
    assert len(refusal.value.problems) < 40


def test_a_key_of_very_many_letters_is_shown_in_part(tmp_path):
    (tmp_path / "job.toml").write_text("a" * 100_000 + " = 1", encoding="utf-8")
    with pytest.raises(InputError) as refusal:
        read_job(tmp_path / "job.toml")
    assert max(map(len, refusal.value.problems)) < 1000


@pytest.mark.parametrize("read", [read_job, read_rates, read_density, read_result, read_schedule])
def test_pipes_devices_folders_and_links_to_themselves_are_no_files_of_ours(tmp_path, read):
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "zero.csv").symlink_to("/dev/zero")
    (tmp_path / "self.csv").symlink_to("self.csv")
    for name in ("pipe.csv", "zero.csv", "self.csv"):
        with pytest.raises(InputError, match=r"no ordinary file|cannot be read|give a folder of jobs"):
            read(tmp_path / name)


def test_a_duty_of_a_crane_is_not_read_from_a_pipe_or_a_device(tmp_path):
    job = mutants.sound_jobs()["crane_bracket.toml"]
    os.mkfifo(tmp_path / "pipe.csv")
    columns = {key: key for key in ("hook_load", "crab", "from", "to", "lifts")}
    for name in ("pipe.csv", "/dev/zero"):
        job["load"][0]["crane"]["duty"] = {"file": name, "columns": columns, "lifts_per": "day"}
        (tmp_path / "job.toml").write_text(toml_text(job), encoding="utf-8")
        with pytest.raises(InputError, match="is no ordinary file, but a device or a pipe"):
            read_job(tmp_path / "job.toml")


def test_a_result_is_not_written_through_a_link_to_itself(tmp_path):
    (tmp_path / "self.json").symlink_to("self.json")
    with pytest.raises(InputError, match="is a link that leads to itself"):
        require_targets([tmp_path / "self.json"], force=True, inputs=[tmp_path / "self.json"])


def test_numbers_where_the_names_of_a_record_are_looked_for_are_told(tmp_path):
    (tmp_path / "a.csv").write_bytes(b"2\n0.0,")
    with pytest.raises(InputError, match=r"numbers stand where the names are looked for: \['2'\]"):
        read_history(tmp_path / "a.csv")


def test_a_zone_that_is_written_otherwise_is_no_stamp(tmp_path):
    rows = "2024-03-31T01:59:59+0200,1\n2024-03-31T02:00:00+0,2\n2024-03-31T03:00:01+0200,3\n"
    Path(tmp_path / "a.csv").write_text("Time,Fy (kN)\n" + rows, encoding="utf-8")
    with pytest.raises(InputError, match="where a time stamp must stand"):
        read_history(tmp_path / "a.csv")


@pytest.mark.parametrize("value", ["1e300", "-1e31"])
def test_a_value_beyond_every_load_is_refused_at_every_door_of_a_record(tmp_path, value):
    (tmp_path / "a.csv").write_text(f"Time (s),Fy (kN)\n0,1\n1,{value}\n2,3\n3,1\n", encoding="utf-8")
    for read in (read_history, look_at):
        with pytest.raises(InputError, match=r"is beyond what any channel holds; if it marks a gap, say so"):
            read(tmp_path / "a.csv")


def test_a_damaged_page_of_a_parquet_file_is_refused_when_it_is_looked_at(tmp_path):
    made = seeds.ByteMutants(seeds.binary(".parquet"), 20240229)
    for _ in range(60):
        (tmp_path / "a.parquet").write_bytes(made.next())
        with contextlib.suppress(InputError):
            look_at(tmp_path / "a.parquet")


@pytest.mark.parametrize("head", [b"{'descr': '<f8', (\x00", b"{'descr': (((", b"1 +", b"{'shape': (1,), 'descr'"])
def test_a_broken_head_of_an_array_is_refused(tmp_path, head):
    (tmp_path / "a.npy").write_bytes(b"\x93NUMPY\x01\x00" + (64).to_bytes(2, "little") + head.ljust(63) + b"\n")
    with pytest.raises(InputError, match="no whole NumPy array"):
        read_history(tmp_path / "a.npy", rate="10 Hz")


@pytest.mark.parametrize("packed", [False, True], ids=["plain", "packed"])
@pytest.mark.parametrize(
    ("place", "byte", "words"),
    [
        (8, 7, "has no flags"), (24, 6, "has no dimensions"), (35, 0x80, "has the dimensions"), (40, 9, "has no name"),
        (36, 17, "17 values are stated and 128 bytes of kind 9 held"), (48, 0x7F, "values of the kind 127"),
        (53, 1, "ends before its values"),
    ],
)  # fmt: skip
def test_a_damaged_variable_of_a_mat_file_is_refused_before_its_reader_crashes(tmp_path, place, byte, words, packed):
    whole = seeds.binary(".mat")[0][:312]
    head, variable = whole[:128], bytearray(whole[128:])
    variable[place] = byte
    if packed:
        content = zlib.compress(bytes(variable))
        variable = struct.pack("<II", 15, len(content)) + content
    (tmp_path / "a.mat").write_bytes(head + bytes(variable))
    with pytest.raises(InputError, match=rf"the MAT file is damaged: .*({words})"):
        read_history(tmp_path / "a.mat", rate="10 Hz")


@pytest.mark.parametrize("ending", [".parquet", ".feather"])
def test_names_of_columns_that_are_no_text_are_refused(tmp_path, ending):
    whole = seeds.binary(ending)[0]
    (tmp_path / f"a{ending}").write_bytes(whole.replace(b"Fy (kN)", b"\xff\xfe\xff (k)"))
    for read in (read_history, look_at):
        with pytest.raises(InputError, match=r"is no whole|damaged"):
            read(tmp_path / f"a{ending}")


def test_stamps_without_measure_are_told_as_such(tmp_path):
    rows = "".join(f"{time},{number}\n" for number, time in enumerate([0, 1e-280, 2e-280, 3e-280, 1e30, 2e30]))
    (tmp_path / "a.csv").write_text("Time (s),Fy (kN)\n" + rows, encoding="utf-8")
    assert "no time of a record" in " ".join(look_text(look_at(tmp_path / "a.csv")).split())
