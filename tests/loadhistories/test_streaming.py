"""Long records that break late: refused with their place, in bounded time and memory."""

import gzip
import json
import os
import subprocess
import sys

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from loadhistories import InputError, Term, block_of_history, open_record
from loadhistories.ahead import read_ahead

ROWS = 1_200_000
HEADER = b"Fy (kN),Mz (kNm)\n"
ROW = b"1.5,-2.25\n"
LATE = 1_100_000
LINE = LATE + 2
LONG_ENOUGH = 60
MOST_MEMORY = 250.0


def written(folder, late=ROW, after=(ROWS - LATE - 1) * ROW, name="long.csv"):
    """A record whose row LATE, from 0, is replaced; LINE is where it stands."""
    text = HEADER + LATE * ROW + late + after
    file = folder / name
    file.write_bytes(gzip.compress(text, 1) if name.endswith(".gz") else text)
    return file


def walked(file, **dialect):
    """Samples of a record that is walked to its end as an assessment does."""
    record = open_record(file, rate=100, **dialect)
    mapping = {"Fy": [Term("Fy")], "Mz": [Term("Mz")]}
    block = block_of_history("running", record, mapping, repeats=1.0)
    samples = sum(chunk.shape[1] for chunk in read_ahead(block.chunks()))
    assert samples == block.samples
    return samples


def test_a_long_record_that_is_sound_is_walked_whole(tmp_path):
    assert walked(written(tmp_path)) == ROWS
    assert walked(written(tmp_path, name="long.csv.gz")) == ROWS


@pytest.mark.parametrize(
    ("late", "wording"),
    [
        (b"nan,1\n", r"number that is not finite \('nan'\) \(.*long\.csv, line 1100002, column 1 'Fy'\)"),
        (b"1,inf\n", r"number that is not finite \('inf'\) \(.*long\.csv, line 1100002, column 2 'Mz'\)"),
        (b"1,\n", r"gap \(empty cell\) \(.*long\.csv, line 1100002, column 2 'Mz'\)"),
        (b"1,NA\n", r"gap \(marked 'NA'\) \(.*long\.csv, line 1100002, column 2 'Mz'\)"),
        (b"1\n", r"row has 1 of 2 cells \(.*long\.csv, line 1100002, column 2 'Mz'\)"),
        (b"1,2,3\n", r"row has 3 cells instead of 2 \(.*long\.csv, line 1100002, column 3\)"),
        (b"\n", r"empty line among the rows \(.*long\.csv, line 1100002, column 1\)"),
        (b'1,"2\n', r"quotation mark that is not closed \(.*long\.csv, line 1100002\)"),
        (b"1,2\r1,2\n", r"carriage return in the middle of a line \(.*long\.csv, line 1100002\)"),
        (b"1," + 200_000 * b"2" + b"x\n", r"line that cannot be split into cells: .*long\.csv, line 1100002\)"),
        (b"1,\0\n", r"text '.*' where a number must stand \(.*long\.csv, line 1100002, column 2 'Mz'\)"),
    ],
)
def test_a_fault_after_a_million_rows_is_refused_with_line_and_column(tmp_path, late, wording):
    with pytest.raises(InputError, match=wording):
        walked(written(tmp_path, late))


def test_a_column_that_turns_to_text_after_a_million_rows_is_refused_where_it_turns(tmp_path):
    file = written(tmp_path, b"1.5,open\n", after=100_000 * b"1.5,open\n")
    with pytest.raises(InputError, match=r"text 'open' where a number must stand \(.*line 1100002, column 2 'Mz'\)"):
        walked(file)


@pytest.mark.parametrize(
    ("late", "wording"),
    [
        (b"1.5", r"row has 1 of 2 cells; the file ends in the middle of this row \(.*line 1100002, column 2 'Mz'\)"),
        (b"1.5,", r"gap \(empty cell\); the file ends in the middle of this row \(.*line 1100002, column 2 'Mz'\)"),
        (b"1.5,-", r"text '-' .* stand; the file ends in the middle of this row \(.*line 1100002, column 2 'Mz'\)"),
    ],
)
def test_a_long_file_that_ends_in_the_middle_of_a_row_is_refused(tmp_path, late, wording):
    for name in "long.csv", "long.csv.gz":
        with pytest.raises(InputError, match=wording):
            walked(written(tmp_path, late, after=b"", name=name))


@pytest.mark.parametrize("share", [0.3, 0.999])
def test_a_packed_file_that_is_cut_short_is_refused(tmp_path, share):
    file = tmp_path / "long.csv.gz"
    numbers = np.random.default_rng(1).integers(0, 10, (50_000, 2))
    rows = b"".join(b"%d,%d\n" % (a, b) for a, b in numbers)
    packed = gzip.compress(HEADER + 20 * rows, 1)
    file.write_bytes(packed[: int(share * len(packed))])
    with pytest.raises(InputError, match=r"the packed file is damaged or cut short: .*long\.csv\.gz"):
        walked(file)


def forces(rows=ROWS):
    return np.random.default_rng(2).normal(size=(rows, 2))


def test_a_parquet_file_is_refused_where_it_is_cut_or_damaged(tmp_path):
    file = tmp_path / "long.parquet"
    table = pa.table({"Fy (kN)": forces()[:, 0], "Mz (kNm)": forces()[:, 1]})
    pq.write_table(table, file, row_group_size=100_000, write_page_checksum=True, use_dictionary=False)
    assert walked(file) == ROWS
    whole = file.read_bytes()
    for kept in len(whole) - 1, len(whole) // 2, 20:
        file.write_bytes(whole[:kept])
        with pytest.raises(InputError, match=r"the file is no whole Parquet file: .*long\.parquet"):
            walked(file)
    damaged = bytearray(whole)
    damaged[len(whole) // 2] ^= 1
    file.write_bytes(damaged)
    with pytest.raises(InputError, match=r"the Parquet file is damaged from row [5-6]\d{5}: .*long\.parquet"):
        walked(file)


def test_a_number_that_is_not_finite_late_in_a_parquet_file_is_refused_with_its_row(tmp_path):
    values = forces()
    values[LATE, 1] = np.nan
    pq.write_table(pa.table({"Fy (kN)": values[:, 0], "Mz (kNm)": values[:, 1]}), tmp_path / "long.parquet")
    with pytest.raises(InputError, match=r"not finite \(nan\) \(.*long\.parquet, row 1100001, column 'Mz'\)"):
        walked(tmp_path / "long.parquet")


@pytest.mark.parametrize("order", ["C", "F"])
@pytest.mark.parametrize("kind", ["<f8", "<f4", ">f8"])
def test_a_long_array_is_read_alike_in_every_order_and_kind(tmp_path, order, kind):
    values = forces(400_000).astype(kind)
    np.save(tmp_path / "long.npy", np.asarray(values, order=order))
    record = open_record(tmp_path / "long.npy", names=["Fy (N)", "Mz (N mm)"], step=0.01)
    read = np.concatenate([chunk for _, chunk in record.chunks(["Mz", "Fy"])], axis=1)
    np.testing.assert_array_equal(read, values[:, ::-1].T.astype(float))


def saved(folder, values):
    file = folder / "long.npy"
    np.save(file, values)
    return file


@pytest.mark.parametrize(("order", "place"), [("C", "row 1199990, column 1"), ("F", "row 1199979, column 2")])
def test_an_array_with_fewer_or_more_bytes_than_its_header_states_is_refused(tmp_path, order, place):
    file = saved(tmp_path, np.asarray(forces(), order=order))
    whole = file.read_bytes()
    file.write_bytes(whole[: -22 * 8 + 3])
    wording = rf"its header states 1200000 rows in 19200000 bytes, and 19199827 bytes .*cut short in {place}\)"
    with pytest.raises(InputError, match=wording):
        walked(file, names=["Fy (kN)", "Mz (kNm)"])
    file.write_bytes(whole + b"12345678")
    with pytest.raises(InputError, match=r"8 bytes stand behind the 1200000 rows of the array: save one array"):
        walked(file, names=["Fy (kN)", "Mz (kNm)"])


def test_a_number_that_is_not_finite_late_in_an_array_is_refused_with_its_row(tmp_path):
    values = forces()
    values[LATE, 1] = -np.inf
    with pytest.raises(InputError, match=r"not finite \(-inf\) \(.*long\.npy, row 1100001, column 'Mz'\)"):
        walked(saved(tmp_path, values), names=["Fy (kN)", "Mz (kNm)"])


def test_an_array_cut_short_while_it_is_read_is_refused_and_does_not_crash(tmp_path):
    file = saved(tmp_path, forces())
    chunks = open_record(file, rate=100).chunks()
    next(chunks)
    os.truncate(file, 4_000_000)
    with pytest.raises(InputError, match=r"the array was cut short while it was read \(.*long\.npy, from row \d+\)"):
        list(chunks)


def grown(file):
    with open(file, "ab") as stream:
        stream.write(1000 * ROW)


def replaced(file):
    """Another file of the same size and the same time."""
    facts, other = file.stat(), file.with_suffix(".new")
    other.write_bytes(file.read_bytes().replace(b"1.5,", b"1.6,"))
    os.utime(other, ns=(facts.st_atime_ns, facts.st_mtime_ns))
    os.replace(other, file)


@pytest.mark.parametrize("change", [grown, replaced])
def test_a_file_that_changes_while_it_is_walked_is_refused_at_the_end(tmp_path, change):
    file = written(tmp_path)
    record = open_record(file, rate=100)
    assert record.samples == ROWS
    chunks = record.chunks()
    next(chunks)
    change(file)
    with pytest.raises(InputError, match=r"the file was changed after it was opened: start again \(.*long\.csv\)"):
        list(chunks)


@pytest.mark.parametrize("change", [grown, replaced])
def test_a_file_that_changes_before_its_rows_are_counted_is_refused(tmp_path, change):
    file = written(tmp_path)
    for wanted in "samples", "source":
        record = open_record(file, rate=100)
        change(file)
        with pytest.raises(InputError, match=r"the file was changed after it was opened"):
            getattr(record, wanted)


def test_a_file_that_is_taken_away_while_it_is_walked_is_refused(tmp_path):
    file = written(tmp_path)
    chunks = open_record(file, rate=100).chunks()
    next(chunks)
    file.unlink()
    with pytest.raises(InputError, match=r"the file cannot be read: No such file or directory \(.*long\.csv\)"):
        list(chunks)


def test_other_rows_than_were_counted_are_refused_even_if_size_and_time_agree(tmp_path):
    file = written(tmp_path)
    record = open_record(file, rate=100)
    assert record.samples == ROWS
    facts = file.stat()
    with open(file, "r+b") as stream:
        stream.seek(len(HEADER) + LATE * len(ROW))
        stream.write(b"1.5,-2.2512345678901\n"[1:])
    os.utime(file, ns=(facts.st_atime_ns, facts.st_mtime_ns))
    with pytest.raises(InputError, match=r"1200000 rows were counted and 1199999 read: start again \(.*long\.csv\)"):
        list(record.chunks())


def test_what_is_counted_and_hashed_in_one_pass_is_what_a_walk_finds(tmp_path):
    file = written(tmp_path)
    counted, after = open_record(file, rate=100), open_record(file, rate=100)
    list(after.chunks())
    assert counted.samples == after.samples == ROWS
    assert counted.source.sha256 == after.source.sha256


CHILD = """
import json, resource, sys, time
from pathlib import Path
from loadhistories import InputError, open_record
began = time.perf_counter()
try:
    record = open_record(sys.argv[1], rate=100)
    said = str(record.samples + sum(chunk.shape[1] for _, chunk in record.chunks()))
except InputError as refusal:
    said = str(refusal)
peak, status = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, Path("/proc/self/status")
if status.exists():  # the other figure counts what the parent held, in KiB on Linux
    (peak,) = [1024 * int(line.split()[1]) for line in status.read_text().splitlines() if line.startswith("VmHWM")]
print(json.dumps({"said": said, "peak": peak / 2**20, "seconds": time.perf_counter() - began}))
"""


def in_a_process(file):
    """What the reader says of a file in a process of its own, which may not take long nor much memory."""
    command = [sys.executable, "-c", CHILD, str(file)]
    ended = subprocess.run(command, capture_output=True, text=True, timeout=LONG_ENOUGH)
    assert ended.returncode == 0, ended.stderr
    found = json.loads(ended.stdout)
    assert found["peak"] < MOST_MEMORY
    return found["said"]


def bomb(folder, front, filling):
    """A packed file of a gigabyte of one text, made of many members that are all alike."""
    file = folder / "long.csv.gz"
    member = gzip.compress(filling * ((1 << 24) // len(filling)), 1)
    file.write_bytes(gzip.compress(front) + 64 * member)
    assert file.stat().st_size < 10_000_000
    return file


@pytest.mark.parametrize("front", [b"", HEADER, HEADER + 100_000 * ROW], ids=["nothing", "header", "rows"])
@pytest.mark.parametrize("filling", [b"\0", b"0", b"\n"])
def test_a_gigabyte_packed_into_a_small_file_is_refused(tmp_path, front, filling):
    said = in_a_process(bomb(tmp_path, front, filling))
    assert "long.csv.gz" in said
    if len(front) > 300_000:
        assert "no row ends within 1048576 bytes" in said
        assert "from line 100002" in said


@pytest.mark.parametrize("front", [b"", HEADER, HEADER + 100_000 * ROW], ids=["nothing", "header", "rows"])
def test_a_line_of_200_megabytes_is_refused(tmp_path, front):
    file = tmp_path / "long.csv"
    with open(file, "wb") as stream:
        stream.write(front)
        for _ in range(200):
            stream.write(b"1" * 1_000_000)
    said = in_a_process(file)
    assert "long.csv" in said
    if len(front) > 300_000:
        assert "no row ends within 1048576 bytes" in said


def test_ten_million_rows_of_zeros_are_walked(tmp_path):
    file = tmp_path / "long.csv"
    file.write_bytes(b"Fy (kN)\n" + 10_000_000 * b"0\n")
    assert in_a_process(file) == str(2 * 10_000_000)


def test_a_long_array_and_a_parquet_file_are_walked(tmp_path):
    file = tmp_path / "long.npy"
    values = np.zeros((1_000_000, 2))
    with open(file, "wb") as stream:
        header = {"descr": "<f8", "fortran_order": False, "shape": (10_000_000, 2)}
        np.lib.format.write_array_header_1_0(stream, header)
        for _ in range(10):
            values.tofile(stream)
    assert in_a_process(file) == str(2 * 10_000_000)
    file.unlink()
    table = pa.table({"Fy": forces(1_000_000)[:, 0], "Mz": forces(1_000_000)[:, 1]})
    with pq.ParquetWriter(tmp_path / "long.parquet", table.schema) as writer:
        for _ in range(10):
            writer.write_table(table)
    assert in_a_process(tmp_path / "long.parquet") == str(2 * 10_000_000)
