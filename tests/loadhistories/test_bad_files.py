"""Files that lie, are cut short, unfold without end or are no files: refused with words, in bounded time and memory."""

import gzip
import importlib.util
import os
import pickle
import resource
import sys
import tarfile
import time
import zipfile
import zlib
from pathlib import Path

import numpy as np
import pytest

from loadhistories import InputError, open_record, read_history

_spec = importlib.util.spec_from_file_location("written_formats", Path(__file__).with_name("test_formats.py"))
written = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(written)

ROWS = "Time (s),Fy (kN)\n" + "".join(f"{i / 100:.2f},{i % 7}.5\n" for i in range(200))


def walk(path, **options):
    record = open_record(path, **options)
    return sum(chunk.shape[1] for _, chunk in record.chunks())


@pytest.fixture
def bounded():
    """No test may take more than 15 s or let the process grow by more than 700 MB."""
    before, start = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, time.monotonic()
    yield
    assert time.monotonic() - start < 15.0
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 700_000


@pytest.mark.parametrize("name", ["a.parquet", "a.npy", "a.feather", "a.mat", "a.h5", "a.tdms", "a.mf4", "a.arrow"])
def test_text_under_the_name_of_another_format_is_refused(tmp_path, name):
    (tmp_path / name).write_text(ROWS)
    with pytest.raises(InputError, match=r"no whole|no MAT file|no MDF file|damaged"):
        walk(tmp_path / name)


@pytest.mark.parametrize("form", ["Parquet", "Feather", "NumPy array", "MAT", "HDF5", "TDMS", "MDF"])
@pytest.mark.parametrize("name", ["a.csv", "a.tdms.csv", "other"])
def test_a_format_under_the_name_of_another_is_named(tmp_path, form, name):
    ending, write, _ = written.BINARY[form]
    write(tmp_path / ending)
    false = name if name != "other" else ("a.parquet" if form != "Parquet" else "a.h5")
    (tmp_path / ending).rename(tmp_path / false)
    with pytest.raises(InputError, match=r"by its ending '\.\w+' and .* by its bytes: name it \*\."):
        walk(tmp_path / false)


@pytest.mark.parametrize("name", ["a.zip", "a.tar", "a.tar.gz", "a.7z", "a.tgz"])
def test_an_archive_is_not_looked_into(tmp_path, name):
    (tmp_path / name).write_bytes(b"PK\x03\x04")
    with pytest.raises(InputError, match="an archive is not looked into: unpack it"):
        walk(tmp_path / name)


@pytest.mark.parametrize("kind", ["zip", "tar"])
def test_an_archive_under_another_name_is_not_looked_into(tmp_path, kind):
    file = tmp_path / "record.csv"
    (tmp_path / "inner.csv").write_text(ROWS)
    if kind == "zip":
        with zipfile.ZipFile(file, "w") as archive:
            archive.write(tmp_path / "inner.csv", "../inner.csv")
    else:
        with tarfile.open(file, "w") as archive:
            archive.add(tmp_path / "inner.csv", "../inner.csv")
    with pytest.raises(InputError, match="holds an archive, which is not looked into"):
        walk(file)


def test_a_packed_file_without_its_ending_is_told_how_to_name_it(tmp_path):
    (tmp_path / "a.csv").write_bytes(gzip.compress(ROWS.encode()))
    with pytest.raises(InputError, match=r"packed text by its bytes: name it \*\.csv\.gz"):
        walk(tmp_path / "a.csv")


def test_folders_pipes_and_devices_are_no_records(tmp_path, bounded):
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "folder.csv").mkdir()
    (tmp_path / "zero.csv").symlink_to("/dev/zero")
    with pytest.raises(InputError, match="is no ordinary file, but a device or a pipe"):
        walk(tmp_path / "pipe.csv")
    with pytest.raises(InputError, match="is no ordinary file"):
        walk(tmp_path / "zero.csv")
    with pytest.raises(InputError, match="must be a file, got the folder"):
        walk(tmp_path / "folder.csv")


def sparse(path, head=b"", size=10 << 30):
    with open(path, "wb") as stream:
        stream.write(head)
        stream.truncate(size)
    return path


@pytest.mark.parametrize(
    "name", ["a.csv", "a.csv.gz", "a.parquet", "a.npy", "a.feather", "a.arrows", "a.mat", "a.h5", "a.tdms", "a.mf4"]
)
def test_ten_gigabytes_of_zeros_are_refused_by_their_first_bytes(tmp_path, bounded, name):
    with pytest.raises(InputError, match=r"zero byte|damaged|no whole|no MAT file|no MDF file"):
        walk(sparse(tmp_path / name))


@pytest.mark.parametrize(
    ("name", "head"),
    [
        ("a.mat", b"MATLAB 5.0 MAT-file".ljust(124) + b"\x00\x01IM"),
        ("a.tdms", b"TDSm"),
        ("a.mf4", b"MDF     4.10    "),
        ("a.h5", b"\x89HDF\r\n\x1a\n"),
        ("a.parquet", b"PAR1"),
        ("a.feather", b"ARROW1\x00\x00"),
        ("a.csv", ROWS.encode()),
    ],
)
def test_ten_gigabytes_of_zeros_behind_a_right_beginning_are_refused(tmp_path, bounded, name, head):
    with pytest.raises(InputError):
        walk(sparse(tmp_path / name, head))


def test_a_packed_file_that_unfolds_without_measure_is_refused(tmp_path, bounded):
    packer = zlib.compressobj(9, zlib.DEFLATED, 31)
    with open(tmp_path / "a.csv.gz", "wb") as stream:
        stream.write(packer.compress(b"Time (s),Fy (kN)\n"))
        line = b"0.0,0.0\n" * 131_072
        for _ in range(100):
            stream.write(packer.compress(line))
        stream.write(packer.flush())
    with pytest.raises(InputError, match="unfolds to more than 300 times its size"):
        open_record(tmp_path / "a.csv.gz", time_column="", rate="100 Hz").source  # noqa: B018


def test_a_mat_file_that_unfolds_without_measure_is_refused(tmp_path, bounded, monkeypatch):
    monkeypatch.setattr("loadhistories.matlab.MOST_BYTES", 1 << 26)
    packer = zlib.compressobj(9)
    packed = b"".join(packer.compress(bytes(1 << 20)) for _ in range(80)) + packer.flush()
    head = b"MATLAB 5.0 MAT-file".ljust(124) + b"\x00\x01IM"
    (tmp_path / "a.mat").write_bytes(head + (15).to_bytes(4, "little") + len(packed).to_bytes(4, "little") + packed)
    with pytest.raises(InputError, match="unpack to more than 64 MB"):
        walk(tmp_path / "a.mat")


def test_a_data_set_that_states_rows_it_does_not_hold_is_refused(tmp_path, bounded):
    import h5py

    with h5py.File(tmp_path / "a.h5", "w") as file:
        file.create_dataset("Fy", shape=(10**12,), dtype="f8", chunks=(1 << 16,))
    with pytest.raises(InputError, match="'Fy' states 1000000000000 rows and holds no value"):
        walk(tmp_path / "a.h5", rate="10 Hz")


def test_a_data_set_in_pieces_too_large_to_unpack_is_refused(tmp_path, bounded):
    import h5py

    with h5py.File(tmp_path / "a.h5", "w") as file:
        held = file.create_dataset("Fy", shape=(10**9,), dtype="f8", chunks=(10**8,), compression="gzip")
        held.id.write_direct_chunk((0,), zlib.compress(b"no matter what"))
    with pytest.raises(InputError, match=r"stored in pieces of .* more than are read at once"):
        walk(tmp_path / "a.h5", rate="10 Hz")


def test_a_data_set_that_points_to_another_file_is_refused(tmp_path):
    import h5py

    np.arange(100.0).tofile(tmp_path / "elsewhere.bin")
    with h5py.File(tmp_path / "a.h5", "w") as file:
        file.create_dataset("Fy", (100,), "f8", external=[(str(tmp_path / "elsewhere.bin"), 0, 800)])
    with pytest.raises(InputError, match="'Fy' points to values in another file"):
        walk(tmp_path / "a.h5", rate="10 Hz")


def test_one_batch_of_an_arrow_file_that_would_not_fit_is_refused_before_it_is_unpacked(tmp_path, bounded):
    import pyarrow as pa
    import pyarrow.feather as feather

    table = pa.table({"Fy [kN]": np.zeros((1 << 24) + 1, np.int8)})
    feather.write_feather(table, tmp_path / "a.feather", chunksize=1 << 25, compression="zstd")
    assert (tmp_path / "a.feather").stat().st_size < 100_000
    with pytest.raises(InputError, match="one batch holds 16777217 rows"):
        walk(tmp_path / "a.feather", rate="10 Hz")


@pytest.mark.parametrize("share", [0.02, 0.3, 0.6, 0.9, 0.999])
@pytest.mark.parametrize("form", [name for name in written.BINARY if "NumPy" not in name])
def test_a_file_that_is_cut_short_is_refused(tmp_path, form, share):
    name, write, options = written.BINARY[form]
    write(tmp_path / name)
    whole = (tmp_path / name).read_bytes()
    (tmp_path / name).write_bytes(whole[: int(share * len(whole))])
    with pytest.raises(InputError):
        walk(tmp_path / name, **options)


@pytest.mark.parametrize("form", [name for name in written.BINARY if "NumPy" not in name])
def test_a_damaged_byte_is_refused_or_changes_one_value_and_never_crashes(tmp_path, form):
    name, write, options = written.BINARY[form]
    write(tmp_path / name)
    whole = bytearray((tmp_path / name).read_bytes())
    for place in range(3, len(whole), max(1, len(whole) // 40)):
        damaged = whole.copy()
        damaged[place] ^= 0xFF
        (tmp_path / name).write_bytes(damaged)
        try:
            rows = walk(tmp_path / name, **options)
        except InputError:
            continue
        assert rows <= 10 * written.ROWS


class Trap:
    def __reduce__(self):
        return (sys.exit, ("a pickle was run",))


def test_pickles_in_arrays_are_never_run(tmp_path):
    np.save(tmp_path / "a.npy", np.array([Trap(), 1, 2], dtype=object), allow_pickle=True)
    with pytest.raises(InputError, match=r"no whole NumPy array|real numbers"):
        walk(tmp_path / "a.npy", rate="10 Hz")
    (tmp_path / "b.npy").write_bytes(pickle.dumps(Trap()))
    with pytest.raises(InputError, match="no whole NumPy array"):
        walk(tmp_path / "b.npy", rate="10 Hz")


def test_cells_texts_and_complex_numbers_of_a_mat_file_are_no_channels(tmp_path):
    import scipy.io

    cell = np.empty(3, dtype=object)
    cell[:] = [np.arange(3.0), "b", 1.0]
    held = {"cell": cell, "text": "abcdef", "wave": np.arange(5) * 1j, "flag": np.array([True] * 5)}
    scipy.io.savemat(tmp_path / "a.mat", held)
    with pytest.raises(InputError, match="holds no channel of at least 3 numbers"):
        walk(tmp_path / "a.mat", rate="10 Hz")


def test_text_that_lies_about_its_encoding_is_refused(tmp_path):
    (tmp_path / "a.csv").write_bytes(ROWS.replace("Fy", "Fµ").encode("cp1252"))
    with pytest.raises(InputError, match="give its encoding"):
        walk(tmp_path / "a.csv", encoding="utf-8")
    (tmp_path / "b.csv").write_bytes(ROWS.encode("utf-16"))
    with pytest.raises(InputError, match="UTF-16 text: save it as UTF-8"):
        walk(tmp_path / "b.csv")


def test_units_that_contradict_each_other_are_refused(tmp_path):
    (tmp_path / "a.csv").write_text(ROWS.replace("(kN)", "(mm)"))
    with pytest.raises(InputError, match="column 'Fy' is in 'mm' by the file, but 'kN' is given"):
        read_history(tmp_path / "a.csv", units={"Fy": "kN"})
